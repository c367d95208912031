//! Whole jobs of many trades, written by the language reference, and what must be found in them.
//!
//! `jobs/*.job` are correct: no error, no warning. `jobs/*.faults` spoil one line of the job beside them and name
//! the rule that must notice. `damaged/*.job` are broken files: each must get a finding that says where, and none
//! may bring the program down. All of it runs the program itself, so that what a shop sees is what is tested.

// The tests put spoilt copies of files on disk for the program to read; the ban on file access is for the core.
#![allow(clippy::disallowed_methods, clippy::disallowed_types)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

/// Longer than any file here may take, on a slow machine that is busy with other tests.
const PATIENCE: Duration = Duration::from_secs(120);

struct Outcome {
    code: Option<i32>,
    findings: Vec<Finding>,
    stderr: String,
}

struct Finding {
    rule: String,
    severity: String,
    file: String,
    line: u64,
    message: String,
}

impl Finding {
    fn is_fault(&self) -> bool {
        self.severity == "error" || self.severity == "warning"
    }

    fn shown(&self) -> String {
        format!("{}:{}: {} [{}] {}", self.file, self.line, self.severity, self.rule, self.message)
    }
}

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(name)
}

fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = fs::read_dir(folder)
        .expect("the folder is part of the project")
        .map(|entry| entry.expect("a readable folder").path())
        .filter(|path| path.extension().is_some_and(|e| e == ending))
        .collect();
    found.sort();
    assert!(!found.is_empty(), "no .{ending} files in {}", folder.display());
    found
}

/// Runs `cotter check --as json` in a folder and reads its findings; fails when it hangs, dies or prints no JSON.
fn check(root: &Path, paths: &[&str]) -> Outcome {
    let out = tempfile::NamedTempFile::new().expect("a temporary file");
    let err = tempfile::NamedTempFile::new().expect("a temporary file");
    let mut child = Command::new(env!("CARGO_BIN_EXE_cotter"))
        .current_dir(root)
        .args(["check", "--quiet", "--as", "json"])
        .args(paths)
        .stdin(Stdio::null())
        .stdout(out.reopen().expect("a temporary file"))
        .stderr(err.reopen().expect("a temporary file"))
        .spawn()
        .expect("the program starts");
    let start = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().expect("a child to wait for") {
            break status;
        }
        if start.elapsed() > PATIENCE {
            child.kill().expect("a child to end");
            child.wait().expect("a child to wait for");
            panic!("{paths:?}: still running after {PATIENCE:?}");
        }
        std::thread::sleep(Duration::from_millis(2));
    };
    let stdout = String::from_utf8(fs::read(out.path()).expect("output")).expect("UTF-8 on standard output");
    let stderr = String::from_utf8_lossy(&fs::read(err.path()).expect("output")).into_owned();
    assert!(!stderr.contains("panicked"), "{paths:?} panics:\n{stderr}");
    assert!(status.code().is_some_and(|c| c <= 2), "{paths:?} ends with {status}:\n{stderr}");
    let json: Value =
        serde_json::from_str(&stdout).unwrap_or_else(|e| panic!("{paths:?}: no JSON ({e}):\n{stdout}\n{stderr}"));
    let text = |f: &Value, key: &str| f[key].as_str().unwrap_or_default().to_owned();
    let findings = json["findings"].as_array().expect("a list of findings").iter().map(|f| Finding {
        rule: text(f, "rule"),
        severity: text(f, "severity"),
        file: text(f, "file"),
        line: f["line"].as_u64().unwrap_or_default(),
        message: text(f, "message"),
    });
    Outcome { code: status.code(), findings: findings.collect(), stderr }
}

fn name(path: &Path) -> &str {
    path.file_name().and_then(|n| n.to_str()).expect("a plain file name")
}

fn copy_tree(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a temporary folder");
    for entry in fs::read_dir(from).expect("a readable folder") {
        let entry = entry.expect("a readable folder").path();
        let target = to.join(name(&entry));
        if entry.is_dir() {
            copy_tree(&entry, &target);
        } else {
            fs::copy(&entry, &target).expect("a copy");
        }
    }
}

#[test]
fn correct_jobs_have_no_error_and_no_warning() {
    let root = folder("jobs");
    let mut bad = Vec::new();
    for job in files(&root, "job") {
        let outcome = check(&root, &[name(&job)]);
        for finding in outcome.findings.iter().filter(|f| f.is_fault()) {
            bad.push(finding.shown());
        }
        if outcome.code != Some(0) && outcome.findings.is_empty() {
            bad.push(format!("{}: {:?} {}", name(&job), outcome.code, outcome.stderr));
        }
    }
    assert!(bad.is_empty(), "{} findings in correct jobs:\n{}", bad.len(), bad.join("\n"));
}

struct Fault {
    rule: String,
    old: String,
    new: Option<String>,
}

/// Blocks between blank lines: the rule, `- ` and the line as it stands, `+ ` and the spoilt line (none: forgotten).
fn faults(path: &Path) -> Vec<Fault> {
    let text = fs::read_to_string(path).expect("a list of faults");
    let blocks = text.split("\n\n").map(|block| block.lines().filter(|l| !l.starts_with('#')).collect::<Vec<_>>());
    blocks
        .filter(|lines| !lines.is_empty())
        .map(|lines| Fault {
            rule: lines[0].to_owned(),
            old: lines[1].strip_prefix("- ").expect("the line as it stands").to_owned(),
            new: lines.get(2).map(|l| l.strip_prefix("+ ").expect("the spoilt line").to_owned()),
        })
        .collect()
}

#[test]
fn every_fault_is_reported_under_its_rule() {
    let tree = tempfile::tempdir().expect("a temporary folder");
    copy_tree(&folder("jobs"), tree.path());
    let waiting: BTreeSet<String> = fs::read_to_string(folder("jobs").join("not-yet.txt"))
        .expect("the list of faults that no rule finds yet")
        .lines()
        .filter(|l| !l.starts_with('#') && !l.trim().is_empty())
        .map(|l| l.split("  because ").next().unwrap_or(l).trim().to_owned())
        .collect();
    let (mut missed, mut total) = (BTreeSet::new(), 0);
    let mut report = Vec::new();
    for list in files(&folder("jobs"), "faults") {
        let job = list.with_extension("job");
        let text = fs::read_to_string(&job).expect("the job beside the list");
        for fault in faults(&list) {
            total += 1;
            let places: Vec<usize> =
                text.lines().enumerate().filter(|(_, l)| *l == fault.old).map(|(i, _)| i).collect();
            assert_eq!(places.len(), 1, "{}: '{}' must stand once in the job", name(&list), fault.old);
            let spoilt: Vec<&str> = text
                .lines()
                .enumerate()
                .filter_map(|(i, l)| if i == places[0] { fault.new.as_deref() } else { Some(l) })
                .collect();
            fs::write(tree.path().join(name(&job)), spoilt.join("\n") + "\n").expect("a spoilt copy");
            let outcome = check(tree.path(), &[name(&job)]);
            if !outcome.findings.iter().any(|f| f.rule == fault.rule) {
                let key = format!("{}: {}: {}", name(&job), fault.rule, fault.old.trim());
                let found: Vec<String> = outcome.findings.iter().filter(|f| f.is_fault()).map(Finding::shown).collect();
                report.push(format!("{key}\n    found instead: {}", found.join("\n                   ")));
                missed.insert(key);
            }
        }
        fs::copy(&job, tree.path().join(name(&job))).expect("the correct job again");
    }
    assert!(total > 100, "only {total} faults were tried");
    assert!(
        missed == waiting,
        "{} of {total} faults missed; not-yet.txt lists {}. Newly missed: {:#?}\nlisted but found now: {:#?}\n{}",
        missed.len(),
        waiting.len(),
        missed.difference(&waiting).collect::<Vec<_>>(),
        waiting.difference(&missed).collect::<Vec<_>>(),
        report.join("\n")
    );
}

#[test]
fn every_damaged_file_gets_a_finding_that_says_where() {
    let root = folder("damaged");
    for file in files(&root, "job").into_iter() {
        let outcome = check(&root, &[name(&file)]);
        let placed = outcome.findings.iter().any(|f| f.file.contains(name(&file)) && f.line > 0);
        let shown: Vec<String> = outcome.findings.iter().map(Finding::shown).collect();
        assert!(placed, "{} gets no finding of its own: {shown:#?}\n{}", name(&file), outcome.stderr);
        assert!(outcome.findings.iter().all(|f| !f.message.is_empty()), "an empty message: {shown:#?}");
        assert!(matches!(outcome.code, Some(1 | 2)), "{} ends with {:?}: {shown:#?}", name(&file), outcome.code);
    }
}

/// A correct small job, as head of the made-up files below.
const HEAD: &str = "job: Try\nmachine: Brindle 40 light truck\ntakes: 5 min\n\n";

fn check_text(bytes: &[u8]) -> Outcome {
    let tree = tempfile::tempdir().expect("a temporary folder");
    fs::write(tree.path().join("made.job"), bytes).expect("a made-up file");
    check(tree.path(), &["made.job"])
}

#[test]
fn five_thousand_levels_of_blocks_are_refused_and_survived() {
    let mut text = String::from(HEAD) + "stage: Deep\n";
    for level in 1..=5000 {
        text += &format!("{}if lamp bad\n", "  ".repeat(level));
    }
    text += &format!("{}clean lamp\n", "  ".repeat(5001));
    assert!(!check_text(text.as_bytes()).findings.is_empty());
}

#[test]
fn five_thousand_brackets_are_refused_and_survived() {
    let text = format!("{HEAD}stage: Deep\n  work out a = {}1 mm{}\n", "(".repeat(5000), ")".repeat(4999));
    assert!(!check_text(text.as_bytes()).findings.is_empty());
}

#[test]
fn a_line_of_ten_megabytes_is_survived() {
    for piece in ["remove bolt, ", "x", "{", "- ", "and ", "\u{301}"] {
        let text = format!("{HEAD}stage: Long\n  {}\n", piece.repeat(10_000_000 / piece.len()));
        assert!(!check_text(text.as_bytes()).findings.is_empty(), "nothing said about 10 MB of {piece:?}");
    }
}

#[test]
fn ten_thousand_lines_are_survived() {
    let text = format!("{HEAD}stage: Long\n{}", "  polish bolt 7\n".repeat(10_000));
    assert!(!check_text(text.as_bytes()).findings.is_empty());
}

/// Every job cut at some twenty places, the cuts in the middle of characters too.
#[test]
fn a_file_cut_anywhere_is_survived() {
    let jobs = folder("jobs");
    for job in files(&jobs, "job") {
        let tree = tempfile::tempdir().expect("a temporary folder");
        copy_tree(&jobs.join("machines"), &tree.path().join("machines"));
        copy_tree(&jobs.join("routines"), &tree.path().join("routines"));
        let bytes = fs::read(&job).expect("a job");
        for cut in (0..bytes.len()).step_by(bytes.len() / 19) {
            fs::write(tree.path().join(format!("cut-{cut}.job")), &bytes[..cut]).expect("a cut copy");
        }
        let outcome = check(tree.path(), &["."]);
        assert!(!outcome.findings.is_empty(), "{}: cut copies pass as whole", name(&job));
    }
}

/// Every forty-first line of every job left out, doubled, or moved one level deeper, in one folder a job.
#[test]
fn a_line_forgotten_doubled_or_shifted_is_survived() {
    let jobs = folder("jobs");
    for job in files(&jobs, "job") {
        let tree = tempfile::tempdir().expect("a temporary folder");
        copy_tree(&jobs.join("machines"), &tree.path().join("machines"));
        copy_tree(&jobs.join("routines"), &tree.path().join("routines"));
        let text = fs::read_to_string(&job).expect("a job");
        let lines: Vec<&str> = text.lines().collect();
        for at in (0..lines.len()).step_by(41) {
            let deeper = format!("   {}", lines[at]);
            let changes: [(&str, &[&str]); 3] =
                [("without", &[]), ("twice", &[lines[at], lines[at]]), ("deeper", &[&deeper])];
            for (what, instead) in changes {
                let changed = [&lines[..at], instead, &lines[at + 1..]].concat().join("\n");
                fs::write(tree.path().join(format!("{what}-{at}.job")), changed).expect("a changed copy");
            }
        }
        let outcome = check(tree.path(), &["."]);
        assert!(!outcome.findings.is_empty(), "{}: changed copies pass as correct", name(&job));
    }
}
