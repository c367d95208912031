//! The command line as a user meets it.
// These tests start the program and look at the files it leaves.
#![allow(clippy::disallowed_methods, clippy::disallowed_types)]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use tempfile::TempDir;

const GOOD: &str = "\
job: Clean behind the side cover
number: T-1
revision: 1

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Off and on
  remove side cover
  refit side cover
";

fn bad() -> String {
    GOOD.replace(", torque 22 N·m", "")
}

/// A folder with these files.
fn folder(files: &[(&str, &str)]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    folder
}

fn cotter(here: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_cotter"))
        .args(arguments)
        .current_dir(here)
        .env_remove("NO_COLOR")
        .env("SOURCE_DATE_EPOCH", "1764028800")
        .output()
        .unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn json(output: &Output) -> serde_json::Value {
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn a_clean_job_ends_with_nought() {
    let folder = folder(&[("a.job", GOOD)]);
    let output = cotter(folder.path(), &["check"]);
    assert_eq!(out(&output), "1 file checked: nothing found\n");
    assert_eq!(output.status.code(), Some(0));
}

#[test]
fn an_error_is_shown_where_it_stands_and_ends_with_one() {
    let folder = folder(&[("jobs/a.job", &bad())]);
    let output = cotter(folder.path(), &["check", "jobs/a.job"]);
    let text = out(&output);
    for part in ["torque-missing", "[jobs/a.job:9:3]", "cover bolts: 4 x M8x20", "how tight?", "Write `torque 22 N·m`"]
    {
        assert!(text.contains(part), "`{part}` is missing from:\n{text}");
    }
    assert!(!text.contains('\u{1b}'), "colour although it is no terminal");
    assert!(text.ends_with("1 file checked: 1 error\n"), "{text}");
    assert_eq!(output.status.code(), Some(1));
}

#[test]
fn json_has_its_shape() {
    let folder = folder(&[("jobs/a.job", &bad()), ("jobs/b.job", GOOD)]);
    let output = cotter(folder.path(), &["check", "--as", "json"]);
    let object = json(&output);
    assert_eq!(object["version"], 1);
    assert_eq!(object["checked"], 2);
    let finding = &object["findings"][0];
    assert_eq!(finding["rule"], "torque-missing");
    assert_eq!(finding["severity"], "error");
    assert_eq!(finding["file"], "jobs/a.job");
    assert_eq!((finding["line"].as_u64(), finding["column"].as_u64()), (Some(9), Some(3)));
    assert_eq!((finding["end_line"].as_u64(), finding["end_column"].as_u64()), (Some(9), Some(14)));
    assert!(finding["message"].as_str().is_some_and(|m| m.contains("cover bolts")));
    assert!(finding["help"].is_string() && finding["related"].is_array() && finding["way"].is_object());
    let keys = finding.as_object().unwrap().len();
    assert!(finding["on_which"].is_string() && finding.get("fix").is_none(), "no fix is no field");
    assert_eq!(keys, 12, "the shape of a finding changed: raise the version");
    assert_eq!(object["findings"].as_array().unwrap().len(), 1);
    assert_eq!(output.status.code(), Some(1));
}

#[test]
fn paths_are_those_of_where_it_was_run() {
    let folder = folder(&[("jobs/a.job", &bad()), ("here/x.txt", "")]);
    let output = cotter(&folder.path().join("here"), &["check", "../jobs", "--as", "json"]);
    assert_eq!(json(&output)["findings"][0]["file"], "../jobs/a.job");
}

#[test]
fn strict_counts_warnings_and_quiet_leaves_them_out() {
    let text = GOOD.replace("  remove side cover\n", "  remove side cover: About 20 mm to the left.\n");
    let folder = folder(&[("a.job", &text)]);
    let plain = cotter(folder.path(), &["check"]);
    assert!(out(&plain).contains("number-in-prose"), "{}", out(&plain));
    assert_eq!(plain.status.code(), Some(0));
    assert_eq!(cotter(folder.path(), &["check", "--strict"]).status.code(), Some(1));
    let quiet = cotter(folder.path(), &["check", "--quiet"]);
    assert_eq!((out(&quiet).as_str(), err(&quiet).as_str()), ("", ""));
}

#[test]
fn a_fault_in_a_shared_file_is_told_once() {
    let machine = "machine: Brindle 40 light truck\n\nparts\n  side cover: held by cover bolts\n\nfasteners\n  cover bolts: 4 x M8x20, class 8.8, hex 13 mm\n";
    let job = |title: &str| {
        format!("job: {title}\nuses: machines/m.job\n\nstage: Off and on\n  remove side cover\n  refit side cover\n")
    };
    let folder = folder(&[("a.job", &job("One")), ("b.job", &job("Two")), ("machines/m.job", machine)]);
    let output = cotter(folder.path(), &["check", "--as", "json"]);
    let object = json(&output);
    let found: Vec<_> = object["findings"].as_array().unwrap().iter().map(|f| (&f["rule"], &f["file"])).collect();
    assert_eq!(found, [(&"torque-missing".into(), &"machines/m.job".into())], "{object}");
    assert_eq!(object["checked"], 3);
}

#[test]
fn wrong_use_ends_with_two_and_says_what_was_meant() {
    let folder = folder(&[("pump.job", GOOD)]);
    for (arguments, said) in [
        (vec!["check", "pmup.job"], "did you mean `pump.job`?"),
        (vec!["explain", "torque-mising"], "did you mean `torque-missing`?"),
        (vec!["check", "--as", "xml"], "json"),
        (vec!["print", "--with", "side guard"], "no options to choose"),
        (vec!["prin"], "print"),
    ] {
        let output = cotter(folder.path(), &arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {}", err(&output));
        assert!(err(&output).contains(said), "{arguments:?}: {}", err(&output));
    }
    let empty = tempfile::tempdir().unwrap();
    let output = cotter(empty.path(), &["check"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("no .job file"), "{}", err(&output));
}

#[test]
fn a_file_that_is_no_text_is_a_finding() {
    let folder = folder(&[]);
    fs::write(folder.path().join("a.job"), b"job: Renew the p\xffmp\n").unwrap();
    let output = cotter(folder.path(), &["check", "--as", "json"]);
    let finding = &json(&output)["findings"][0];
    assert_eq!(finding["rule"], "bad-syntax");
    assert_eq!((finding["line"].as_u64(), finding["column"].as_u64()), (Some(1), Some(17)));
    assert!(finding["help"].as_str().unwrap().contains("UTF-8"));
    assert_eq!(output.status.code(), Some(1));
}

#[cfg(unix)]
#[test]
fn an_unreadable_file_ends_with_two() {
    let folder = folder(&[("good.job", GOOD)]);
    std::os::unix::fs::symlink("nowhere", folder.path().join("gone.job")).unwrap();
    let output = cotter(folder.path(), &["check", "gone.job"]);
    assert_eq!(output.status.code(), Some(2));
    // A socket, a device or a folder is no job, and is not waited for.
    let output = cotter(folder.path(), &["check", "/dev/null", "--as", "json"]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(json(&output)["findings"][0]["rule"], "missing-file");
}

#[cfg(unix)]
#[test]
fn no_path_leaves_the_checked_folder() {
    let outside = folder(&[("secret.job", "machine: Secret\n")]);
    let text = |path: &str| GOOD.replacen("revision: 1\n", &format!("revision: 1\nuses: {path}\n"), 1);
    let inside = folder(&[
        ("jobs/up.job", &text("../../secret.job")),
        ("jobs/full.job", &text(&outside.path().join("secret.job").to_string_lossy())),
        ("jobs/link.job", &text("link.job.txt")),
    ]);
    std::os::unix::fs::symlink(outside.path().join("secret.job"), inside.path().join("jobs/link.job.txt")).unwrap();
    let output = cotter(inside.path(), &["check", "jobs", "--as", "json"]);
    let object = json(&output);
    let findings = object["findings"].as_array().unwrap();
    let files: Vec<_> =
        findings.iter().filter(|f| f["rule"] == "missing-file").map(|f| f["file"].as_str().unwrap()).collect();
    assert_eq!(files, ["jobs/full.job", "jobs/link.job", "jobs/up.job"], "{object}");
}

#[test]
fn folders_are_walked_as_git_sees_them() {
    let folder = folder(&[
        ("a.job", GOOD),
        ("deep/er/b.job", GOOD),
        ("old/c.job", &bad()),
        (".gitignore", "old/\n"),
        ("d.txt", ""),
    ]);
    let output = cotter(folder.path(), &["check"]);
    assert_eq!(out(&output), "2 files checked: nothing found\n");
}

#[test]
fn print_writes_sheets_and_refuses_faulty_jobs() {
    let folder = folder(&[("a.job", GOOD), ("b.job", &bad())]);
    let output = cotter(folder.path(), &["print"]);
    assert_eq!(output.status.code(), Some(1), "{}", err(&output));
    assert!(
        err(&output).contains("torque-missing") && err(&output).contains("b.job is not printed"),
        "{}",
        err(&output)
    );
    assert!(out(&output).starts_with("out/a.pdf ("), "{}", out(&output));
    let names: Vec<_> = fs::read_dir(folder.path().join("out")).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(names, ["a.pdf"], "nothing half written is left");
    let bytes = fs::read(folder.path().join("out/a.pdf")).unwrap();
    assert!(bytes.starts_with(b"%PDF-"));
    cotter(folder.path(), &["print", "a.job", "-o", "again"]);
    assert_eq!(fs::read(folder.path().join("again/a.pdf")).unwrap(), bytes, "the same input gives the same bytes");
}

#[test]
fn sheets_of_the_same_name_do_not_overwrite_each_other() {
    let folder = folder(&[("front/pads.job", GOOD), ("rear/pads.job", GOOD)]);
    let output = cotter(folder.path(), &["print", "--quiet"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let mut names: Vec<_> = fs::read_dir(folder.path().join("out")).unwrap().map(|e| e.unwrap().file_name()).collect();
    names.sort();
    assert_eq!(names, ["front-pads.pdf", "rear-pads.pdf"]);
}

#[test]
fn options_are_chosen_by_name() {
    let text = GOOD
        .replacen("parts\n", "options\n  side guard fitted\n  engine: B4-20, B4-24\n\nparts\n", 1)
        .replace("  remove side cover\n", "  with side guard fitted\n    inspect side guard: No cracks.\n  with engine B4-24\n    inspect rear mount: No cracks.\n  remove side cover\n");
    let folder = folder(&[("a.job", &text)]);
    let print = |arguments: &[&str]| cotter(folder.path(), &[&["print", "a.job"], arguments].concat());
    for right in [vec!["--with", "Side guard fitted"], vec!["--without", "side guard fitted", "--with", "engine=b4-24"]]
    {
        let output = print(&right);
        assert_eq!(output.status.code(), Some(0), "{right:?}: {}{}", out(&output), err(&output));
    }
    for (wrong, said) in [
        (vec!["--with", "side gard fitted"], "did you mean `side guard fitted`?"),
        (vec!["--with", "engine=B4-25"], "engine=B4-20"),
        (vec!["--with", "engine"], "one of several"),
        (vec!["--with", "side guard fitted", "--without", "side guard fitted"], "chosen twice"),
    ] {
        let output = print(&wrong);
        assert_eq!(output.status.code(), Some(2), "{wrong:?}: {}", err(&output));
        assert!(err(&output).contains(said), "{wrong:?}: {}", err(&output));
    }
}

#[test]
fn explain_lists_all_and_tells_one() {
    let folder = folder(&[]);
    let list = out(&cotter(folder.path(), &["explain"]));
    for rule in cotter::rules::RULES {
        assert!(list.contains(&format!("  {} ", rule.name)), "{} is missing:\n{list}", rule.name);
    }
    let page = out(&cotter(folder.path(), &["explain", "torque-missing"]));
    for part in ["Finds:", "Why it matters:", "Wrong:", "Right:", "Source:", "allow torque-missing"] {
        assert!(page.contains(part), "{part} is missing:\n{page}");
    }
}

/// The job of the README is what it says: clean, printable, and found out when its cap stays open.
#[test]
fn the_job_of_the_readme_is_true() {
    let readme = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let job = readme.split("```job\n").nth(1).and_then(|rest| rest.split("```").next()).expect("a job in the README");
    let folder = folder(&[("readme.job", job)]);
    let output = cotter(folder.path(), &["check", "--strict"]);
    assert_eq!(output.status.code(), Some(0), "{}", out(&output));
    let output = cotter(folder.path(), &["print"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let told =
        readme.split("```text\n").nth(1).and_then(|rest| rest.split("```").next()).expect("a message in the README");
    let (rule, message) = told.trim().strip_prefix("error ").and_then(|t| t.split_once(": ")).expect("an error");
    fs::write(folder.path().join("readme.job"), job.replace("  close filler cap\n", "")).unwrap();
    let object = json(&cotter(folder.path(), &["check", "--as", "json"]));
    let errors: Vec<_> = object["findings"].as_array().unwrap().iter().filter(|f| f["severity"] == "error").collect();
    assert_eq!(errors.len(), 1, "{object}");
    assert_eq!((&errors[0]["rule"], &errors[0]["message"]), (&rule.into(), &message.into()));
}

const TWO_WAYS: &str = "\
job: Look behind the guard
options
  guard fitted
parts
  guard: held by guard bolts, only with guard fitted
  belt: new if bad, behind guard
fasteners
  guard bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m, only with guard fitted
stage: Work
  with guard fitted
    remove guard
  inspect belt
  if belt bad
    remove belt
    fit belt
";

#[test]
fn trace_follows_a_thing_on_all_ways() {
    let folder = folder(&[("a.job", TWO_WAYS)]);
    let text = out(&cotter(folder.path(), &["trace", "a.job", "guard", "bolts"]));
    assert_eq!(
        text,
        "guard bolts\n        before the job                                  home\n    \
         11  remove guard                                    4 out   when guard fitted: yes\n"
    );
    let text = out(&cotter(folder.path(), &["trace", "a.job", "belt"]));
    let lines: Vec<&str> = text.lines().map(str::trim_end).collect();
    assert!(lines[2].starts_with("    14  remove belt") && lines[2].ends_with("home   when belt: good"), "{text}");
    assert!(lines[3].ends_with("off   when belt: bad"), "{text}");
    assert!(lines[4].starts_with("    15  fit belt"), "{text}");
    assert!(lines[5].ends_with("new one home   when belt: bad"), "{text}");
    let all = out(&cotter(folder.path(), &["trace", "a.job"]));
    assert!(all.contains("belt                           14: home or off → 15: home or new one home\n"), "{all}");
}

#[test]
fn trace_says_what_it_cannot_follow() {
    let folder = folder(&[("a.job", TWO_WAYS), ("m.job", "machine: Osier 20\nparts\n  cab\n")]);
    let output = cotter(folder.path(), &["trace", "a.job", "gard"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("did you mean `guard`?"), "{}", err(&output));
    let output = cotter(folder.path(), &["trace", "m.job"]);
    assert!(err(&output).contains("m.job is no job"), "{}", err(&output));
    assert_eq!(output.status.code(), Some(2));
}

/// The names of the files below `out`, sorted.
fn printed(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder.join("out"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn pages_become_drawings_and_pictures() {
    let folder = folder(&[("a.job", GOOD)]);
    let output = cotter(folder.path(), &["print", "--as", "svg"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let names = printed(folder.path());
    assert!(names.len() > 1 && names[0] == "a-1.svg" && names.iter().all(|n| n.ends_with(".svg")), "{names:?}");
    let first = fs::read_to_string(folder.path().join("out/a-1.svg")).unwrap();
    assert!(first.starts_with("<svg ") && first.contains("T-1"), "{first}");
    let output = cotter(folder.path(), &["print", "--as", "png", "--dpi", "30"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let picture = image::open(folder.path().join("out/a-1.png")).unwrap();
    // A4 at 30 dots an inch: 210 / 25.4 * 30 = 248.
    assert_eq!(picture.width(), 248);
}

#[test]
fn a_list_of_orders_gives_a_sheet_each_with_its_fields() {
    let orders = "order,serial,date,job\n4711,BR 40-118,2026-11-25,a\n47/12,BR 40-119,,a\n";
    let folder = folder(&[("a.job", GOOD), ("b.job", GOOD), ("today.csv", orders)]);
    let run =
        |more: &[&str]| cotter(folder.path(), &[&["print", "--orders", "today.csv", "--as", "svg"], more].concat());
    let output = run(&["--field", "technician=R. Aske"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let names = printed(folder.path());
    assert!(names.contains(&"a-4711-1.svg".to_owned()) && names.contains(&"a-47-12-1.svg".to_owned()), "{names:?}");
    assert!(!names.iter().any(|name| name.starts_with('b')), "no order is for b: {names:?}");
    let first = fs::read_to_string(folder.path().join("out/a-4711-1.svg")).unwrap();
    for text in ["4711", "BR 40-118", "R. Aske"] {
        assert!(first.contains(&format!(">{text} </text>")), "`{text}` is missing");
    }
    let other = fs::read_to_string(folder.path().join("out/a-47-12-1.svg")).unwrap();
    assert!(other.contains(">BR 40-119 </text>") && !other.contains("BR 40-118"));
}

#[test]
fn a_wrong_order_or_field_says_where() {
    let bad_column = "order,colour\n1,red\n";
    let bad_job = "order,job\n1,z\n";
    let folder = folder(&[("a.job", GOOD), ("c.csv", bad_column), ("j.csv", bad_job), ("e.csv", "order\n")]);
    for (arguments, words) in [
        (&["print", "--field", "colour=red"][..], "there is no field `colour`"),
        (&["print", "--field", "order"], "has no value"),
        (&["print", "--orders", "c.csv"], "c.csv:2: there is no field `colour`"),
        (&["print", "--orders", "j.csv"], "none of the jobs here is `z`"),
        (&["print", "--orders", "e.csv"], "holds no order"),
        (&["print", "--orders", "none.csv"], "can't be read"),
    ] {
        let output = cotter(folder.path(), arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(err(&output).contains(words), "{arguments:?}: {}", err(&output));
    }
    assert!(!folder.path().join("out").exists(), "nothing was printed");
}
