//! Findings teach: each is told once, says the way as a sentence and the repair as a line, and what is offered as a
//! fix mends the job.

// The demo jobs are read from disk; the ban on file access is for the core.
#![allow(clippy::disallowed_methods, clippy::disallowed_types)]

use std::collections::BTreeMap;
use std::path::Path;

use cotter::analysis::{Analysis, LoadError, analyse, analyse_texts};
use cotter::diagnostic::{Diagnostic, Severity};

type Files = BTreeMap<String, String>;

/// All demo files by their name.
fn demos() -> Files {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("procedures");
    let mut files = Files::new();
    for folder in ["", "machines/", "routines/"] {
        for entry in std::fs::read_dir(root.join(folder)).expect("the folder is part of the project") {
            let path = entry.expect("a readable folder").path();
            if path.extension().is_some_and(|e| e == "job") {
                let name = format!("{folder}{}", path.file_name().and_then(|n| n.to_str()).expect("a plain name"));
                files.insert(name, std::fs::read_to_string(&path).expect("a text"));
            }
        }
    }
    files
}

fn look_at(files: &Files, entry: &str) -> Analysis {
    analyse(entry, &mut |name| files.get(name).cloned().ok_or(LoadError::Missing))
}

fn mistakes(analysis: &Analysis) -> Vec<&Diagnostic> {
    analysis.diagnostics.iter().filter(|d| d.severity != Severity::Advice).collect()
}

fn depth(line: &str) -> usize {
    line.len() - line.trim_start().len()
}

/// One past the last line of what stands under line `at`.
fn body(lines: &[&str], at: usize) -> usize {
    let deeper = |line: &&&str| line.trim().is_empty() || depth(line) > depth(lines[at]);
    let mut end = at + 1 + lines[at + 1..].iter().take_while(deeper).count();
    while end > at + 1 && lines[end - 1].trim().is_empty() {
        end -= 1;
    }
    end
}

/// The job with one step forgotten, one written twice, one after the next, one with the other of `fit` and `refit`, one name misspelt.
fn spoilt(text: &str) -> Vec<(String, String)> {
    const BACK: &[&str] =
        &["refit", "fit", "connect", "return", "close", "unlock", "unchock", "lower", "take", "tighten"];
    const OFF: &[&str] = &["remove", "disconnect", "lock", "open", "let", "start"];
    let lines: Vec<&str> = text.lines().collect();
    let first = lines.iter().position(|l| l.starts_with("stage")).expect("a stage");
    let mut out = Vec::new();
    let mut add = |what: &str, line: &str, lines: Vec<&str>| {
        out.push((format!("{what} `{}`", line.trim()), lines.join("\n") + "\n"));
    };
    for at in first..lines.len() {
        let line = lines[at];
        let verb = line.trim().split(' ').next().unwrap_or_default();
        if !BACK.contains(&verb) && !OFF.contains(&verb) {
            continue;
        }
        let end = body(&lines, at);
        let bare = line.split(": ").next().unwrap_or_default();
        add("without", line, [&lines[..at], &lines[end..]].concat());
        add("twice", line, [&lines[..end], &[bare], &lines[end..]].concat());
        // With the step below it, if there is one.
        let beside = lines.get(end).is_some_and(|l| depth(l) == depth(line) && !l.trim().is_empty());
        if beside && !["if", "otherwise", "with"].iter().any(|w| lines[end].trim().starts_with(w)) {
            let below = body(&lines, end);
            add("out of turn", line, [&lines[..at], &lines[end..below], &lines[at..end], &lines[below..]].concat());
        }
        let other = match verb {
            "refit" => line.replacen("refit", "fit", 1),
            "fit" => line.replacen("fit", "refit", 1),
            _ => continue,
        };
        add("the other verb in", line, [&lines[..at], &[other.as_str()], &lines[at + 1..]].concat());
    }
    for at in first..lines.len() {
        // The last word of the object, with two letters changed round.
        let Some(object) = lines[at].trim().split([',', ':']).next().filter(|o| o.contains(' ')) else { continue };
        let word = object.rsplit(' ').next().unwrap_or_default();
        if word.len() < 5 || !word.is_ascii() || lines[at].starts_with("stage") || word[1..2] == word[2..3] {
            continue;
        }
        let slip = format!("{}{}{}{}", &word[..1], &word[2..3], &word[1..2], &word[3..]);
        let line = lines[at].replacen(word, &slip, 1);
        add("misspelt", &line, [&lines[..at], &[line.as_str()], &lines[at + 1..]].concat());
    }
    out
}

fn key(d: &Diagnostic) -> (&'static str, String) {
    (d.rule, d.message.clone())
}

#[test]
fn every_fix_that_is_offered_mends_its_finding_and_breaks_nothing() {
    let demos = demos();
    let (mut offered, mut bad) = (0, Vec::new());
    for entry in ["hydraulic-pump.job", "thermostat-and-coolant.job"] {
        for (what, text) in spoilt(&demos[entry]) {
            let mut files = demos.clone();
            files.insert(entry.to_owned(), text);
            let before = look_at(&files, entry);
            let told: Vec<_> = mistakes(&before).into_iter().map(key).collect();
            for finding in mistakes(&before) {
                let Some(fix) = &finding.fix else { continue };
                offered += 1;
                let file = before.sources.get(fix.span.file).expect("a known file").name().to_owned();
                let mut mended = files.clone();
                mended.get_mut(&file).expect("a known file").replace_range(fix.span.range(), &fix.replacement);
                let after = look_at(&mended, entry);
                let left: Vec<_> = mistakes(&after).into_iter().map(key).collect();
                let new: Vec<_> = left.iter().filter(|k| !told.contains(k)).collect();
                if left.contains(&key(finding)) || !new.is_empty() {
                    bad.push(format!("{entry} {what}: {} ({}): {new:?}", finding.message, fix.title));
                }
            }
        }
    }
    assert!(offered > 80, "only {offered} fixes were offered");
    assert!(bad.is_empty(), "of {offered} fixes {} do not mend:\n{}", bad.len(), bad.join("\n"));
}

#[test]
fn a_name_misspelt_in_one_line_is_told_once() {
    let demos = demos();
    let mut several = Vec::new();
    let mut tried = 0;
    for entry in ["hydraulic-pump.job", "valve-clearance.job"] {
        for (what, text) in spoilt(&demos[entry]).into_iter().filter(|(what, _)| what.starts_with("misspelt")) {
            tried += 1;
            let mut files = demos.clone();
            files.insert(entry.to_owned(), text);
            let analysis = look_at(&files, entry);
            if mistakes(&analysis).len() > 1 {
                let told: Vec<_> = mistakes(&analysis).iter().map(|d| format!("{}: {}", d.rule, d.message)).collect();
                several.push(format!("{entry} {what}:\n  {}", told.join("\n  ")));
            }
        }
    }
    assert!(tried > 30, "only {tried} names were misspelt");
    assert!(several.is_empty(), "{}", several.join("\n"));
}

const HEAD: &str = "job: Look behind the cover
number: 1
revision: 1
machine: Osier 20 compact loader

options
  side guard fitted

parts
  side guard: held by guard bolts, only with side guard fitted
  cover: held by cover bolts, behind side guard
  belt: new if bad, behind cover
  belts box
  oil cap: filler of gear oil, behind cover

fasteners
  guard bolts: 2 x M8x20, class 8.8, hex 13 mm, torque 22 N·m, only with side guard fitted
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

fluids
  gear oil: 2 L, kind gear oil
    spec: SAE 80W-90

tools
  micrometer: range 0 to 25 mm

measurements
  belt width: of belt, at least 12 mm

";

fn small(steps: &str) -> Analysis {
    let text = format!("{HEAD}stage: Look\n  inspect belts box: Cracks.\n{steps}");
    analyse_texts(&[("small.job", &text)])
}

/// Rule and way of each mistake.
fn told(steps: &str) -> Vec<(String, String)> {
    mistakes(&small(steps)).iter().map(|d| (d.rule.to_owned(), d.on_which.clone())).collect()
}

const WHOLE: &str = "  remove side guard
  remove cover
  measure belt width, with micrometer
  inspect belt: Cracks.
  remove belt
  if belt bad
    fit belt
  otherwise
    refit belt
  open oil cap
  check gear oil: At the mark.
  close oil cap
  refit cover
  refit side guard
";

#[test]
fn the_whole_small_job_is_clean() {
    assert_eq!(told(WHOLE), []);
}

#[test]
fn the_way_is_a_sentence_with_the_machine_in_it() {
    let without = |line: &str| told(&WHOLE.replacen(line, "", 1));
    assert_eq!(
        without("  refit side guard\n"),
        [pair("left-off", "on an Osier 20 compact loader with side guard fitted")]
    );
    assert_eq!(without("  refit cover\n"), [pair("left-off", "")]);
    let twice = told(&WHOLE.replace("    fit belt\n", "    clean belt\n"));
    let outside = "on an Osier 20 compact loader, when the belt width was outside its limits";
    assert_eq!(twice, [pair("left-off", outside)]);
    let looked_at = WHOLE.replace("  measure belt width, with micrometer\n", "  check belt width, with micrometer\n");
    let found = told(&looked_at.replace("    fit belt\n", "    clean belt\n"));
    assert!(
        found.contains(&pair("left-off", "on an Osier 20 compact loader, when the belt was found bad")),
        "{found:?}"
    );
}

fn pair(rule: &str, way: &str) -> (String, String) {
    (rule.to_owned(), way.to_owned())
}

#[test]
fn the_repair_is_a_line_with_its_place_and_a_fix() {
    let analysis = small(&WHOLE.replacen("  refit cover\n", "", 1));
    let found = mistakes(&analysis);
    assert_eq!(found.len(), 1);
    assert_eq!(
        found[0].help,
        "Write `refit cover` before `refit side guard`; if it stays off for good, write `discard cover`."
    );
    let fix = found[0].fix.as_ref().expect("a certain repair");
    assert_eq!(fix.replacement, "refit cover\n  ");
}

#[test]
fn slips_that_the_reading_can_not_know_are_told_once() {
    for (right, wrong) in [
        ("inspect belt:", "inspect betl:"),
        ("measure belt width", "measure belt wdith"),
        ("with micrometer", "with mircometer"),
    ] {
        assert_eq!(told(&WHOLE.replacen(right, wrong, 1)), [pair("unknown-name", "")], "{wrong}");
    }
    // Another tool, a plural and another number are no slips.
    for (right, other) in [("with micrometer", "with micrometers"), ("with micrometer", "with caliper gauge")] {
        assert_eq!(told(&WHOLE.replacen(right, other, 1)), [], "{other}");
    }
}

#[test]
fn a_declaration_with_a_slip_is_told_once() {
    for (right, wrong) in [
        ("  cover: held", "  covre: held"),
        ("  belt: new if bad", "  betl: new if bad"),
        ("  belt width: of belt", "  belt wdith: of belt"),
        ("  cover bolts: 4", "  cover blots: 4"),
    ] {
        let text = format!("{HEAD}stage: Look\n  inspect belts box: Cracks.\n{WHOLE}").replacen(right, wrong, 1);
        let analysis = analyse_texts(&[("small.job", &text)]);
        let told: Vec<_> = mistakes(&analysis).iter().map(|d| format!("{}: {}", d.rule, d.message)).collect();
        assert!(told.len() == 1 && told[0].starts_with("unknown-name"), "{wrong}: {told:#?}");
    }
}

#[test]
fn a_job_that_adds_to_a_machine_file_under_a_misspelt_name_is_told_once() {
    let machine = "machine: Osier 20 compact loader\n\nparts\n  return filter\n  gear pump: held by pump bolts\n  pump seal: single-use, part of \
                   gear pump\n\nfasteners\n  pump bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m\n";
    let job = |filter: &str, pump: &str| {
        format!(
            "job: J\nnumber: 1\nrevision: 1\nuses: m.job\n\nparts\n  {filter}: new\n  {pump}: new\n\nstage: S\n  remove gear pump\n  fit pump \
             seal\n  fit gear pump\n  renew return filter\n"
        )
    };
    let told = |filter: &str, pump: &str| -> Vec<String> {
        let analysis = analyse_texts(&[("j.job", &job(filter, pump)), ("m.job", machine)]);
        mistakes(&analysis).iter().map(|d| format!("{}: {}", d.rule, d.message)).collect()
    };
    assert_eq!(told("return filter", "gear pump"), Vec::<String>::new());
    assert_eq!(
        told("rteurn filter", "gear pump"),
        ["unknown-name: 'rteurn filter' is declared here and nothing names it: the steps speak of 'return filter'"]
    );
    assert_eq!(
        told("return filter", "gaer pump"),
        ["unknown-name: 'gaer pump' is declared here and nothing names it: the steps speak of 'gear pump'"]
    );
}

/// The steps of a stage in which messages stand, with what must be found.
fn late(steps: &str) -> usize {
    let text = "job: Drain\nnumber: 1\nrevision: 1\n\noptions\n  tall\n\nparts\n  drain screw: screwed M14x1.5, hex 19 mm, \
                torque 25 N·m, drain of coolant\n  cap: filler of coolant\n  fan: hazard sharp edge\n  lid\n\nfluids\n  coolant: 9 L, kind \
                ethylene glycol coolant, mix 50 % by volume\n    spec: ASTM D3306\n\nstage: S\n  let engine cool\n";
    let analysis = analyse_texts(&[("late.job", &format!("{text}{steps}"))]);
    analysis.diagnostics.iter().filter(|d| d.rule == "caution-late").count()
}

#[test]
fn a_message_after_its_act_is_late() {
    let cases = [
        (1, "  drain coolant, into tray of 12 L\n  close drain screw\n    warning scald: Wait until it is cold.\n"),
        (0, "  drain coolant, into tray of 12 L\n    warning scald: Wait until it is cold.\n  close drain screw\n"),
        // Said in time and again.
        (0, "  drain coolant, into tray of 12 L\n    warning scald\n  close drain screw\n    warning scald\n"),
        // A later act brings it too.
        (
            0,
            "  drain coolant, into tray of 12 L\n  close drain screw\n    warning scald\n  open cap\n  fill coolant\n  close cap\n",
        ),
        // Looking may meet what no declaration tells of.
        (0, "  drain coolant, into tray of 12 L\n  inspect hose: Drips.\n    warning scald\n  close drain screw\n"),
        // The engine still runs.
        (0, "  run engine\n  check hose: Drips.\n    warning rotating parts\n  stop engine\n"),
        (0, "  run engine\n  turn lid\n    warning rotating parts\n  stop engine\n"),
        (1, "  run engine\n  check hose: Drips.\n    warning exhaust gas\n  stop engine\n"),
        (1, "  run engine\n  stop engine\n    warning rotating parts: Keep clear.\n"),
        (1, "  run engine, for 5 min\n  remove lid\n    warning exhaust gas: Doors open.\n  refit lid\n"),
        // A declared hazard.
        (1, "  remove fan\n  refit lid\n    caution sharp edge: Wear gloves.\n"),
        (0, "  remove fan\n  refit fan\n    caution sharp edge: Wear gloves.\n"),
        // The other branch is another way.
        (0, "  with tall\n    remove fan\n  with not tall\n    refit lid\n      caution sharp edge: Wear gloves.\n"),
        // In words: the act is named.
        (1, "  remove lid\n  mark fan\n    warning: Stand aside before you remove the lid.\n"),
        (0, "  mark fan\n    warning: Stand aside before you remove the lid.\n  remove lid\n"),
        (0, "  remove lid\n  mark fan\n    warning: Keep the lid away from the fan.\n"),
        (0, "  remove lid\n  refit lid\n    warning: Never remove the lid again while it runs.\n"),
    ];
    for (wanted, steps) in cases {
        assert_eq!(late(steps), wanted, "{steps}");
    }
}

#[test]
fn fluids_may_be_specified_where_a_technician_would_say_it() {
    let missing = |fluid: &str, fill: &str| {
        let name = fluid.split(':').next().unwrap_or_default();
        let text = format!(
            "job: Fill\nnumber: 1\nrevision: 1\n\noptions\n  axle: A, B\n\nparts\n  drain screw: screwed M14x1.5, hex 19 mm, torque 25 N·m, drain of \
             {name}\n  cap: filler of {name}\n\nfluids\n  {fluid}\n\nstage: S\n  drain {name}, into tray of 5 L\n  close drain screw\n  \
             open cap\n  fill {name}{fill}\n  close cap\n"
        );
        let analysis = analyse_texts(&[("fill.job", &text)]);
        analysis.diagnostics.iter().filter(|d| d.rule == "fluid-missing").count()
    };
    assert_eq!(missing("gear oil: 2 L, kind gear oil", ""), 1);
    assert_eq!(missing("gear oil: 2 L, kind gear oil", "\n    spec: SAE 80W-90"), 0);
    assert_eq!(missing("SAE 80W-90 gear oil: 2 L, kind gear oil", ""), 0);
    assert_eq!(missing("gear oil: 2 L, kind gear oil\n    number: 40-7", ""), 0);
    let by_variant = "gear oil: 2 L, kind gear oil\n    with axle A\n      spec: SAE 80W-90\n    with axle B\n      spec: SAE 75W-140";
    assert_eq!(missing(by_variant, ""), 0);
    let one_variant = "gear oil: 2 L, kind gear oil\n    with axle A\n      spec: SAE 80W-90";
    assert_eq!(missing(one_variant, ""), 1);
    assert_eq!(missing("gear oil: kind gear oil\n    spec: SAE 80W-90", ", until it runs out of the level hole"), 0);
    assert_eq!(missing("gear oil: kind gear oil\n    spec: SAE 80W-90", ""), 1);
}

#[test]
fn programs_are_given_the_fix() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let text = format!("{HEAD}stage: Look\n  inspect belts box: Cracks.\n{}", WHOLE.replacen("  refit cover\n", "", 1));
    std::fs::write(folder.path().join("small.job"), &text).expect("a file");
    let out = std::process::Command::new(env!("CARGO_BIN_EXE_cotter"))
        .current_dir(folder.path())
        .args(["check", "--quiet", "--as", "json", "small.job"])
        .output()
        .expect("the program starts");
    let json: serde_json::Value = serde_json::from_slice(&out.stdout).expect("one JSON object");
    let finding = json["findings"].as_array().expect("findings").iter().find(|f| f["rule"] == "left-off").expect("it");
    let fix = &finding["fix"];
    let bytes = |key: &str| usize::try_from(fix[key].as_u64().expect("a place")).expect("a place");
    let mut mended = text.clone();
    mended.replace_range(bytes("start_byte")..bytes("end_byte"), fix["replacement"].as_str().expect("a text"));
    assert_eq!(mended, format!("{HEAD}stage: Look\n  inspect belts box: Cracks.\n{WHOLE}"));
    assert_eq!(fix["line"], 1 + text[..bytes("start_byte")].matches('\n').count());
}
