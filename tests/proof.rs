//! The proof, on small jobs: every kind of fault fires on the mistake it is named for, and a correct job is clean.

use cotter::proof::{Fault, FaultKind, Proof, prove};
use cotter::resolve::{Bundle, Loaded, resolve};
use cotter::source::{Source, Sources};
use cotter::syntax::parse;

/// The proof of a job in one file, and the words of each fault: `left-off seat plate`.
fn proof_of(text: &str) -> (Proof, Vec<String>) {
    let mut sources = Sources::default();
    let file = sources.add(Source::new("test.job", text));
    let source = sources.get(file).expect("was just added");
    let (tree, _) = parse(file, source);
    let bundle = Bundle { files: vec![Loaded { path: "test.job".into(), tree, uses: Vec::new() }] };
    let (procedure, _) = resolve(&bundle, &sources);
    let proof = prove(&procedure);
    let told = |f: &Fault| format!("{} {}", f.kind.rule_name(), f.thing_name(&procedure));
    let words = proof.faults.iter().map(|f| told(f).trim().to_owned()).collect();
    (proof, words)
}

/// Asserts the faults of a job, in the order of the file.
#[track_caller]
fn told(text: &str, expected: &[&str]) {
    let (_, words) = proof_of(text);
    assert_eq!(words, expected, "in:\n{text}");
}

/// `JOB` with one line replaced (a line ending in `: ` and the like is matched by its beginning).
#[track_caller]
fn edited(line: &str, by: &str) -> String {
    let mut found = 0;
    let lines: Vec<&str> = JOB
        .lines()
        .filter_map(|l| {
            if l.trim() == line {
                found += 1;
                if by.is_empty() { None } else { Some(by) }
            } else {
                Some(l)
            }
        })
        .collect();
    assert_eq!(found, 1, "`{line}` stands once in the job");
    lines.join("\n")
}

/// A correct job that uses most of the language.
const JOB: &str = "\
job: Renew the pump
options
  guard fitted
sets
  side: left, right
parts
  battery cable: held by cable nut
  starter: held by starter bolts
  guard: held by guard bolts, only with guard fitted
  seat plate: held by plate screws
  tank cap: filler of oil
  drain plug: screwed M22x1.5, hex 27 mm, torque 55 N·m, drain of oil, behind guard
  plug washer: single-use, part of drain plug
  hose: held by clamps, carries oil, behind seat plate
  pump: new, held by pump bolts, behind hose, carries oil
  pump seal: single-use, part of pump
  lever: part of pump, held by lever screw
  belt: new if bad, behind seat plate
  caliper: each side, held by caliper bolts, needs support
  pads: each side, new, as a set, behind caliper
  pistons: each side, once pushed back then pump before drive
  arms: hazard crush
  rod: held by rod nut, needs arms locked
  pegs: 2 x, temporary
fasteners
  cable nut: 1 x M8, torque 12 N·m
  starter bolts: 2 x M10x40, torque 40 N·m
  guard bolts: 5 x M10x20, torque 42 N·m, only with guard fitted
  plate screws: 4 x M10x25, torque 42 N·m
  clamps: 2 x band clamp, torque 5 N·m
  pump bolts: 4 x M12x40, torque 40 N·m then 80 N·m
  lever screw: 1 x M6x16, torque 9 N·m
  caliper bolts: 2 x M10x30, each side, torque 30 N·m then 60°
  rod nut: 1 x M16, torque 90 N·m, tighten at vehicle lowered
fluids
  oil: 38 L, kind hydraulic oil, drains 31 L, needs bleeding
acts
  push back / pump: pushed back
stage: Make safe
  chock rear wheels
  raise front, on stands
  lock arms
  open tank cap
  disconnect battery cable
stage: Strip
  remove starter
  remove seat plate
  remove guard
  drain oil, into tray of 40 L
  disconnect hose, into tray of 5 L
  remove pump
  remove rod
  put in pegs
  inspect belt: Cracks.
  remove belt
  for each side
    support caliper
    move aside caliper
    remove pads
    push back pistons
stage: Build
  take out pegs
  if belt bad
    fit belt
  otherwise
    refit belt
  for each side
    fit pads
    return caliper
    release caliper
  transfer lever
  fit pump seal
  place pump
  start pump bolts
  tighten pump bolts
  connect hose
  place rod
  start rod nut
  remove plug washer
  fit plug washer
  close drain plug
  refit guard
  refit seat plate
  refit starter
  connect battery cable
  lower front
  tighten rod nut
  unlock arms
stage: Fill
  fill oil, 31 L
  close tank cap
  run engine, for 2 min
  bleed oil
  unchock rear wheels
  pump brake pedal
  drive, for 1 km
";

#[test]
fn the_job_is_clean() {
    told(JOB, &[]);
}

#[test]
fn what_is_not_put_back_is_told_once() {
    for (line, fault) in [
        ("refit seat plate", "left-off seat plate"),
        ("refit guard", "left-off guard"),
        ("connect hose", "left-disconnected hose"),
        ("connect battery cable", "left-disconnected battery cable"),
        ("return caliper", "left-aside caliper"),
        ("release caliper", "left-supported caliper"),
        ("close tank cap", "left-open tank cap"),
        ("close drain plug", "left-open drain plug"),
        ("unlock arms", "left-locked arms"),
        ("unchock rear wheels", "left-chocked rear wheels"),
        ("take out pegs", "left-in pegs"),
        ("tighten pump bolts", "left-loose pump bolts"),
        ("tighten rod nut", "left-loose rod nut"),
        ("fill oil, 31 L", "left-dry oil"),
        ("bleed oil", "left-dry oil"),
        ("transfer lever", "not-transferred lever"),
        ("fit pump seal", "not-transferred pump seal"),
        ("fit pads", "never-touched pads"),
        ("fit plug washer", "left-off plug washer"),
        ("refit starter", "left-off starter"),
    ] {
        told(&edited(line, ""), &[fault]);
    }
}

#[test]
fn what_was_never_taken_off_is_told_once() {
    for (line, fault) in [
        ("remove seat plate", "out-of-reach hose"),
        ("remove guard", "out-of-reach drain plug"),
        ("disconnect hose, into tray of 5 L", "out-of-reach pump"),
        ("remove pump", "not-off-yet pump"),
        ("remove starter", "not-off-yet starter"),
        ("disconnect battery cable", "live-work starter"),
        ("open tank cap", "not-ready oil"),
        ("lock arms", "not-ready rod"),
        ("put in pegs", "already-off pegs"),
        ("chock rear wheels", "not-off-yet rear wheels"),
        ("start pump bolts", "torqued-too-early pump bolts"),
        ("place pump", "never-touched pump"),
        ("support caliper", "unsupported caliper"),
        ("inspect belt: Cracks.", "not-ready"),
        ("remove plug washer", "not-off-yet plug washer"),
    ] {
        told(&edited(line, ""), &[fault]);
    }
}

#[test]
fn acts_in_the_wrong_order_are_told() {
    for (line, by, faults) in [
        ("disconnect hose, into tray of 5 L", "  connect hose", vec!["not-off-yet hose"]),
        ("raise front, on stands", "  raise front", vec!["unsupported tank cap"]),
        ("tighten pump bolts", "  tighten pump bolts\n  tighten pump bolts", vec!["torqued-again pump bolts"]),
        ("refit starter", "  fit starter", vec!["old-part-refitted starter"]),
        ("place pump", "  place old pump", vec!["old-part-refitted pump"]),
        ("fit plug washer", "  refit plug washer", vec!["old-part-refitted plug washer"]),
        ("fill oil, 31 L", "  fill oil, 35 L", vec!["volume-mismatch oil"]),
        ("drain oil, into tray of 40 L", "  drain oil, into tray of 10 L", vec!["volume-mismatch oil"]),
        ("pump brake pedal", "  check brake pedal", vec!["left-undone pistons"]),
        ("start pump bolts", "  start 3 of pump bolts", vec!["torqued-too-early pump bolts"]),
    ] {
        let text = edited(line, by);
        let (_, mut words) = proof_of(&text);
        words.sort();
        let mut expected = faults;
        expected.sort_unstable();
        assert_eq!(words, expected, "{line} -> {by}");
    }
}

#[test]
fn a_fault_names_the_option_it_hangs_on() {
    let (proof, _) = proof_of(&edited("refit guard", ""));
    assert_eq!(proof.faults[0].way, [("guard fitted".to_owned(), "yes".to_owned())]);
    let (proof, _) = proof_of(&edited("refit seat plate", ""));
    assert!(proof.faults[0].way.is_empty(), "{:?}", proof.faults[0].way);
}

#[test]
fn a_fault_names_the_finding_it_hangs_on() {
    let (proof, words) = proof_of(&edited("fit belt", "    refit belt"));
    assert_eq!(words, ["old-part-refitted belt"]);
    assert_eq!(proof.faults[0].way, [("belt".to_owned(), "bad".to_owned())]);
}

#[test]
fn one_side_is_named_where_only_one_is_wrong() {
    let (proof, words) = proof_of(&edited("return caliper", "    with side left\n      return caliper"));
    assert!(words.contains(&"left-aside right caliper".to_owned()), "{words:?}");
    assert!(proof.faults.iter().all(|f| f.way.is_empty()));
}

#[test]
fn the_ledger_counts_fasteners_out_and_in() {
    let (proof, _) = proof_of(JOB);
    assert_eq!(proof.ledger.fasteners_out, proof.ledger.fasteners_back, "{:#?}", proof.ledger.touched);
    assert!(proof.ledger.fasteners_out > 20);
}

#[test]
fn the_band_says_what_is_true_on_every_way() {
    let (proof, _) = proof_of(JOB);
    let build = proof.stage_states.iter().find(|s| s.stage == 2).expect("the third stage was walked");
    assert!(build.states.iter().any(|s| s.state == cotter::procedure::State::Drained));
    assert!(build.states.iter().any(|s| s.state == cotter::procedure::State::Raised));
}

#[test]
fn a_stop_ends_the_way() {
    told(
        "job: A\nparts\n  plate\nstage: Work\n  remove plate\n  inspect plate\n  if plate bad\n    stop: Tell the foreman.\n  refit plate\n",
        &[],
    );
}

#[test]
fn an_until_is_walked_twice() {
    let job = "job: A\nfasteners\n  nut: 1 x M30x1.5, hand tight\nparts\n  hub: held by nut\nmeasurements\n  float: 0.1 to 0.2 mm\n\
        stage: Set\n  loosen nut\n  until float within, at most 3 times, then stop: Call.\n    tighten nut\n    measure float\n    before the next try\n      loosen nut\n";
    told(job, &[]);
    told(&job.replace("    before the next try\n      loosen nut\n", ""), &["torqued-again nut"]);
}

#[test]
fn a_follow_up_begins_and_ends_at_home() {
    let job = "job: A\nparts\n  cover: held by screws\nfasteners\n  screws: 4 x M6x16, torque 9 N·m\n\
        stage: Now\n  remove cover\n  refit cover\nstage after 50 km: Later\n  remove cover\n";
    told(job, &["left-off cover"]);
    told(&format!("{job}  refit cover\n"), &[]);
}

#[test]
fn an_angle_is_never_torqued_again() {
    let job = "job: A\nparts\n  cover: held by screws\nfasteners\n  screws: 4 x M6x16, torque 9 N·m then 90°\n\
        stage: Now\n  remove cover\n  refit cover\nstage after 50 km: Later\n  tighten screws, again\n";
    told(job, &["torqued-again screws"]);
    told(&job.replace(" then 90°", ""), &[]);
}

#[test]
fn a_hot_cooling_system_stays_shut() {
    let job = "job: A\nparts\n  cap: filler of coolant\nfluids\n  coolant: 9 L, kind ethylene glycol coolant\n\
        stage: Now\n  let engine cool\n  open cap\n  top up coolant\n  close cap\n";
    told(job, &[]);
    told(&job.replace("  let engine cool\n", ""), &["opened-hot cap"]);
}

#[test]
fn the_second_side_waits_for_the_first() {
    let job = "job: A\nsets\n  side: left, right\nparts\n  drum: each side\n\
        stage: Work\n  for each side, one after the other\n    remove drum\n    refit drum\n";
    told(job, &[]);
    told(&job.replace("    refit drum\n", "  refit drum\n"), &["set-incomplete left drum"]);
}

#[test]
fn forty_options_end_in_bounded_time() {
    let mut job = String::from("job: A\noptions\n");
    for i in 0..40 {
        job.push_str(&format!("  option{i} fitted\n"));
    }
    job.push_str("parts\n");
    for i in 0..40 {
        job.push_str(&format!("  plate{i}, only with option{i} fitted\n"));
    }
    job.push_str("stage: Work\n");
    for i in 0..40 {
        job.push_str(&format!("  remove plate{i}\n"));
    }
    let (proof, _) = proof_of(&job);
    assert_eq!((proof.cost.choices, proof.faults.len()), (40, 40));
    for (i, fault) in proof.faults.iter().enumerate() {
        assert_eq!(fault.kind, FaultKind::LeftOff);
        assert_eq!(fault.way, [(format!("option{i} fitted"), "yes".to_owned())]);
    }
}
