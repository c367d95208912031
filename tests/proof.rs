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

#[test]
fn a_new_seal_fitted_on_the_bench_is_not_the_old_one() {
    let job = "job: A\nparts\n  head: held by head bolts\n  spring: part of head\n  seal: single-use, part of head, behind spring\n\
        fasteners\n  head bolts: 4 x M8x25, torque 24 N·m\nstage: All\n  remove head\n  remove spring\n  remove seal\n\
        \x20 fit seal\n  refit spring\n  refit head\n";
    told(job, &[]);
    told(&job.replace("  remove seal\n  fit seal\n", ""), &["old-part-refitted seal"]);
    // On the bench what sits on the same part is in the way.
    told(&job.replace("  remove spring\n  remove seal\n", "  remove seal\n  remove spring\n"), &["out-of-reach seal"]);
}

#[test]
fn new_fasteners_may_be_started_in_place_of_bad_ones() {
    let job = "job: A\nparts\n  cover: held by bolts\nfasteners\n  bolts: 4 x M8x25, torque 24 N·m, new if bad\nmeasurements\n  \
        shank: of bolts, at least 7.8 mm\nstage: All\n  remove bolts\n  measure shank\n  remove cover\n  place cover\n  if bolts bad\n    \
        start new bolts\n  otherwise\n    start bolts\n  tighten bolts\n";
    told(job, &[]);
    told(&job.replace("start new bolts", "start bolts"), &["old-part-refitted bolts"]);
}

#[test]
fn bolts_that_are_out_are_not_tightened_by_hand() {
    let job = "job: A\nparts\n  arm: held by bolts\nfasteners\n  bolts: 2 x M18x1.5, torque 353 N·m\nstage: All\n  remove arm\n  place arm\n  \
        start bolts\n  tighten bolts, by hand\n  tighten bolts\n";
    told(job, &[]);
    told(&job.replace("  start bolts\n", ""), &["torqued-too-early bolts"]);
}

#[test]
fn what_goes_along_is_new_on_either_side() {
    let job = "job: A\nparts\n  cup: new if bad\n  cone: new if bad, always with cup\nstage: All\n  remove cup and cone\n  fit cup\n  fit cone\n";
    told(job, &[]);
    told(&job.replace("fit cone", "refit cone"), &["set-incomplete cone"]);
    told(&job.replace("fit cup", "refit cup"), &["set-incomplete cup"]);
}

#[test]
fn a_fluid_is_drained_once_and_weighed_where_it_is_weighed() {
    let job = "job: A\nparts\n  cap: filler of gas\n  valve: drain of gas\nfluids\n  gas: 0.62 kg, spec: R 1\nstage: All\n  drain gas\n  \
        close valve\n  open cap\n  fill gas, 0.62 kg\n  close cap\n";
    told(job, &[]);
    told(&job.replace("  drain gas\n", "  drain gas\n  drain gas\n"), &["already-off gas"]);
    told(&job.replace("fill gas, 0.62", "fill gas, 0.4"), &["volume-mismatch gas"]);
}

#[test]
fn a_reading_that_is_only_written_down_judges_nothing() {
    let job = "job: A\nmeasurements\n  oil found\nstage: All\n  measure oil found, record\n  inspect oil found\n  if oil found bad\n    stop: Call.\n";
    told(job, &[]);
    told(&job.replace("  inspect oil found\n", ""), &["not-ready"]);
}

/// What another condition brings with it is not told: with the cooler goes the gearbox that it belongs to.
#[test]
fn a_way_says_no_more_than_is_needed() {
    let job = "job: A\noptions\n  gearbox: six, eight\n  cooler fitted, only with gearbox eight\nparts\n  \
        cooler: held by bolts, only with cooler fitted\nfasteners\n  bolts: 4 x M8x20, torque 20 N·m\nstage: All\n  with cooler fitted\n    remove cooler\n";
    let (proof, _) = proof_of(job);
    assert_eq!(proof.faults[0].way, [("cooler fitted".to_owned(), "yes".to_owned())]);
}

/// Five unusual things must come together: no way of few unusual choices shows it.
#[test]
fn a_fault_that_needs_many_choices_is_found_with_all_of_them() {
    let mut job = String::from("job: A\nparts\n  plate\nstage: All\n");
    for i in 0..5 {
        job.push_str(&format!("  ask ask{i}: Is it so?\n"));
    }
    for i in 0..5 {
        job.push_str(&format!("{}if ask{i}\n", "  ".repeat(i + 1)));
    }
    job.push_str("            remove plate\n");
    let (proof, words) = proof_of(&job);
    assert_eq!(words, ["left-off plate"]);
    assert_eq!(proof.faults[0].way.len(), 5, "{:?}", proof.faults[0].way);
}

/// Two rows of answers that are compared pair by pair, one row asked after the other, take 2ⁿ nodes.
#[test]
fn a_job_built_to_blow_up_ends_with_a_finding() {
    let mut job = String::from("job: A\nparts\n  plate\nstage: All\n");
    for side in ["a", "b"] {
        for i in 0..24 {
            job.push_str(&format!("  ask {side}{i}: Is it so?\n"));
        }
    }
    for i in 0..24 {
        for (one, other) in [(format!("a{i}"), format!("not b{i}")), (format!("not a{i}"), format!("b{i}"))] {
            job.push_str(&format!("  if {one}\n    if {other}\n      found plate removed\n"));
        }
    }
    let (proof, words) = proof_of(&job);
    assert!(words.contains(&"too-much-to-prove".to_owned()), "{words:?}");
    assert!(proof.cost.nodes <= 1_000_000);
}

const GEAR_OIL: &str = "job: A\nparts\n  plug: drain of oil\n  level hole: filler of oil\n  cover: held by cover bolts, carries oil\nfasteners\n  \
    cover bolts: 8 x M8x20, torque 22 N·m\nfluids\n  oil: 2 L, kind gear oil, spec: SAE 80W-90\nstage: All\n  open level hole\n  \
    drain oil, into tray of 3 L\n  close plug\n  fill oil, 2 L\n  close level hole\n";

#[test]
fn a_part_that_is_let_out_is_filled_again() {
    let part = GEAR_OIL
        .replace("drain oil, into tray of 3 L", "drain oil, 0.5 L, into tray of 1 L")
        .replace("fill oil, 2 L", "fill oil, 0.5 L");
    told(&part, &[]);
    told(&part.replace("fill oil, 0.5 L", "fill oil, 2 L"), &["volume-mismatch oil"]);
    told(&part.replace("fill oil, 0.5 L", "fill oil, 0.3 L"), &["volume-mismatch oil"]);
    told(&part.replace("tray of 1 L", "tray of 0.3 L"), &["volume-mismatch oil"]);
    let twice = part.replace("into tray of 1 L\n", "into tray of 1 L\n  drain oil, 0.25 L, into tray of 1 L\n");
    told(&twice, &["volume-mismatch oil"]);
    told(&twice.replace("fill oil, 0.5 L", "fill oil, 0.75 L"), &[]);
}

#[test]
fn figures_in_two_units_are_the_same_but_for_their_last_digits() {
    told(&GEAR_OIL.replace("fill oil, 2 L", "fill oil, 2.1 US qt"), &[]);
    told(&GEAR_OIL.replace("fill oil, 2 L", "fill oil, 2.3 US pt"), &["volume-mismatch oil"]);
    told(&GEAR_OIL.replace("fill oil, 2 L", "fill oil, 1.9 to 2.1 L"), &[]);
    told(&GEAR_OIL.replace("fill oil, 2 L", "fill oil, 2.5 to 2.6 L"), &["volume-mismatch oil"]);
    told(&GEAR_OIL.replace("tray of 3 L", "tray of 1 US gal"), &[]);
    told(&GEAR_OIL.replace("tray of 3 L", "tray of 2 US qt"), &["volume-mismatch oil"]);
}

#[test]
fn the_level_hole_says_when_it_is_enough() {
    told(&GEAR_OIL.replace("fill oil, 2 L", "fill oil, 1.8 L, until it runs out of the hole"), &[]);
    told(&GEAR_OIL.replace("fill oil, 2 L", "fill oil, 1.8 L"), &["volume-mismatch oil"]);
}

#[test]
fn a_tray_is_as_large_at_the_act_that_opens_the_circuit() {
    // The plug comes out by itself: all of it runs out there.
    let opened = GEAR_OIL.replace("drain oil, into tray of 3 L", "open plug, into tray of 3 L");
    told(&opened, &[]);
    told(&opened.replace("tray of 3 L", "tray of 1 L"), &["volume-mismatch oil"]);
    // Never drained, and filled altogether: it ran out at the cover.
    let cover = GEAR_OIL
        .replace("drain oil, into tray of 3 L", "remove cover, into tray of 3 L")
        .replace("close plug", "refit cover");
    told(&cover, &[]);
    told(&cover.replace("tray of 3 L", "tray of 1 L"), &["volume-mismatch oil"]);
    told(&cover.replace("tray of 3 L", "tray of 1 L").replace("fill oil, 2 L", "fill oil, 0.5 L"), &[]);
    told(&cover.replace("tray of 3 L", "tray of 1 L").replace("gear oil", "brake fluid"), &[]);
}

#[test]
fn a_stage_put_back_fills_in_what_it_let_out() {
    let job = "job: A\nparts\n  plug: drain of oil\n  cap: filler of oil\n  cover: held by screws\nfasteners\n  screws: 4 x M8x20, torque 22 N·m\n\
        fluids\n  oil: 38 L, kind hydraulic oil, drains 31 L\nstage: Open up\n  open cap\n  drain oil, into tray of 40 L\n  remove cover\n\
        stage: Look\n  inspect cover: Cracks.\nreverse stage Open up\n";
    told(job, &[]);
    told(&job.replace("drain oil, into tray of 40 L", "drain oil, 12 L, into tray of 15 L"), &[]);
    told(&job.replace("drain oil, into tray of 40 L", "drain oil, 12 L, into tray of 10 L"), &["volume-mismatch oil"]);
}
