//! Names, routines, reversed stages and formulas as an author writes them: text in, findings out.

use cotter::analysis::{Analysis, analyse_texts};
use cotter::diagnostic::Severity;
use cotter::procedure::{Block, Members, Object, Verb, steps_of};

fn told(analysis: &Analysis) -> Vec<String> {
    let real = analysis.diagnostics.iter().filter(|d| d.severity != Severity::Advice);
    real.map(|d| format!("{}: {}", d.rule, d.message)).collect()
}

fn check(text: &str) -> Analysis {
    analyse_texts(&[("job.job", text)])
}

/// Verbs of the job's steps in order, generated ones marked.
fn verbs(analysis: &Analysis) -> Vec<String> {
    let job = analysis.job.as_ref().unwrap_or_else(|| panic!("has errors: {:#?}", told(analysis)));
    let mut out = Vec::new();
    steps_of(&job.procedure().body, &mut |step| {
        let name = step.things().next().map(|t| job.procedure()[t.thing].name.clone()).unwrap_or_default();
        let mark = if step.generated { "+" } else { "" };
        out.push(format!("{mark}{} {name}", step.verb.name()).trim().to_owned());
    });
    out
}

const COVER: &str = "
parts
  cover: held by cover bolts
  gasket: single-use, behind cover
  plug: behind cover
fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m
";

#[test]
fn a_reversed_stage_is_written_out_last_off_first_on() {
    let text = format!(
        "job: Look\n{COVER}
stage: Open
  remove cover
  disconnect plug
  remove gasket
stage: Close
  reverse stage Open
"
    );
    let analysis = check(&text);
    assert_eq!(told(&analysis), Vec::<String>::new());
    assert_eq!(
        verbs(&analysis),
        ["remove cover", "disconnect plug", "remove gasket", "+fit gasket", "+connect plug", "+refit cover"]
    );
}

#[test]
fn an_exception_and_what_is_back_already_are_left_out_of_the_reverse() {
    let text = format!(
        "job: Look\n{COVER}
stage: Open
  remove cover
  disconnect plug
  remove gasket
  fit gasket
stage: Close
  reverse stage Open
    except: plug
"
    );
    let analysis = check(&text);
    // The plug is excepted and nobody connects it: that is a fault of the job, and the only one.
    assert_eq!(told(&analysis).len(), 1, "{:#?}", told(&analysis));
    assert!(told(&analysis)[0].starts_with("left-disconnected"), "{:#?}", told(&analysis));
}

const MACHINE: &str = "machine: Try
options
  long bed
sets
  side: left, right
parts
  cover: held by cover bolts, behind hose
  hose: held by hose clip
  upper: held by shared screws
  lower: held by shared screws
  wheel: each side, held by wheel nuts
  stud: 2 x, temporary, in positions 1 3 of cover bolts
  pump: held by pump bolts
  cap: filler of oil
  plug: screwed M18x1.5, hex 24 mm, torque 35 N·m, drain of oil
fasteners
  cover bolts: 4 x M8x25, class 8.8, hex 13 mm, torque 24 N·m, layout circle
  hose clip: 1 x spring clamp
  shared screws: 4 x M6x16, class 8.8, hex 10 mm, torque 8 N·m
  wheel nuts: 5 x M12x1.5, each side, hex 19 mm, torque 110 N·m, tighten at vehicle lowered
  pump bolts: 3 x M8x60, class 8.8, hex 13 mm, torque 24 N·m, single-use
fluids
  oil: 4 L, kind engine oil, drains 3.8 L
    spec: 15W-40
    with long bed
      5 L, drains 4.6 L
";

/// Nothing is told of the stages, and the steps that the reverse writes are these.
fn reverses(stages: &str, written: &[&str]) {
    let text = format!("job: Try\nuses: m.job\n{stages}");
    let analysis = analyse_texts(&[("job.job", &text), ("m.job", MACHINE)]);
    assert_eq!(told(&analysis), Vec::<String>::new(), "{stages}");
    let steps: Vec<String> = verbs(&analysis).into_iter().filter(|v| v.starts_with('+')).collect();
    assert_eq!(steps, written, "{stages}");
}

#[test]
fn fasteners_that_came_out_by_themselves_go_back_by_themselves() {
    let back = "stage: On\n  reverse stage Off\n";
    let off = |steps: &str| format!("stage: Off\n  disconnect hose\n{steps}{back}");
    let whole = ["+place cover", "+refit cover bolts", "+connect hose"];
    reverses(&off("  remove cover bolts\n  remove cover\n"), &whole);
    reverses(&off("  loosen cover bolts, in 3 passes\n  remove cover bolts\n  remove cover\n"), &whole);
    reverses(&off("  remove 2 of cover bolts\n  remove cover\n"), &whole);
    reverses(&off("  loosen cover bolts\n  remove cover\n"), &["+refit cover", "+connect hose"]);
    reverses(
        &off("  remove positions 1 3 of cover bolts\n  put in stud\n  remove cover\n"),
        &[
            "+place cover",
            "+start cover bolts",
            "+take out stud",
            "+start cover bolts",
            "+tighten cover bolts",
            "+connect hose",
        ],
    );
    // Two things under one group: it goes in when both are there, and new because it is single-use.
    let both = format!("stage: Off\n  remove shared screws\n  remove upper\n  remove lower\n{back}");
    reverses(&both, &["+place lower", "+place upper", "+refit shared screws"]);
    let new = format!("stage: Off\n  remove pump bolts\n  remove pump\n{back}");
    reverses(&new, &["+place pump", "+fit pump bolts"]);
}

#[test]
fn an_excepted_fastener_stays_out_and_an_excepted_thing_takes_its_fasteners_along() {
    let off = "stage: Off\n  disconnect hose\n  remove cover\nstage: On\n  reverse stage Off\n";
    let rest = "  refit cover bolts\n  connect hose\n";
    reverses(&format!("{off}    except: cover bolts and hose\n{rest}"), &["+place cover"]);
    let own = "stage: Off\n  disconnect hose\n  remove cover bolts\n  remove cover\nstage: On\n  reverse stage Off\n";
    let by_hand = "    except: cover\n  disconnect hose\n  place cover\n  refit cover bolts\n  connect hose\n";
    reverses(&format!("{own}{by_hand}"), &["+connect hose"]);
    let stale = format!("job: Try\nuses: m.job\n{off}    except: pump\n");
    let analysis = analyse_texts(&[("job.job", &stale), ("m.job", MACHINE)]);
    assert_eq!(told(&analysis), ["never-touched: pump is excepted, but stage 'Off' does not take it off"]);
}

#[test]
fn a_reverse_goes_member_by_member() {
    let off = "stage: Off\n  for each side\n    remove wheel\nstage: On\n";
    reverses(&format!("{off}  reverse stage Off\n    except: left wheel\n  refit left wheel\n"), &["+refit wheel"]);
    reverses(&format!("{off}  refit left wheel\n  reverse stage Off\n"), &["+refit wheel"]);
}

#[test]
fn a_reverse_stands_under_what_its_stage_stands_under() {
    let analysis = |stages: &str| {
        let text = format!("job: Try\nuses: m.job\n{stages}");
        analyse_texts(&[("job.job", &text), ("m.job", MACHINE)])
    };
    for around in ["with long bed", "for each side"] {
        let act = if around.starts_with("with") { "remove pump" } else { "remove wheel" };
        let found = analysis(&format!("{around}\n  stage: Off\n    {act}\nstage: On\n  reverse stage Off\n"));
        assert_eq!(told(&found), Vec::<String>::new(), "{around}");
        let job = found.job.as_ref().unwrap_or_else(|| panic!("{around}"));
        let Some(Block::Stage(stage)) = job.procedure().body.last() else { panic!("{around}") };
        let Some(Block::Reverse(reverse)) = stage.body.last() else { panic!("{around}") };
        assert!(
            matches!(reverse.body.as_slice(), [Block::With { .. } | Block::ForEach { .. }]),
            "{around}: {:#?}",
            reverse.body
        );
    }
}

#[test]
fn a_reverse_closes_the_drain_fills_by_variant_and_tightens_on_the_ground() {
    let drained =
        "stage: Off\n  open cap\n  open plug\n  drain oil, into tray of 6 L\nstage: On\n  reverse stage Off\n";
    reverses(drained, &["+close plug", "+fill oil", "+fill oil", "+close cap"]);
    let closed =
        "stage: Off\n  open cap\n  drain oil, into tray of 6 L\n  close plug\nstage: On\n  reverse stage Off\n";
    reverses(closed, &["+fill oil", "+fill oil", "+close cap"]);
    let raised =
        "stage: Off\n  raise front, on stands\n  loosen wheel nuts\n  remove wheel\nstage: On\n  reverse stage Off\n";
    reverses(raised, &["+refit wheel", "+lower front", "+tighten wheel nuts"]);
}

#[test]
fn a_pair_worked_around_what_came_off_is_worked_around_what_goes_back() {
    let analysis = check(
        "job: Try
parts
  spring: held by collets
fasteners
  collets: 2 x half collet, needs spring squeezed
acts
  squeeze / ease: squeezed
stage: Off
  squeeze spring, with press
  remove collets
  ease spring
  remove spring
stage: On
  reverse stage Off
",
    );
    assert_eq!(told(&analysis), Vec::<String>::new());
    let written: Vec<String> = verbs(&analysis).into_iter().filter(|v| v.starts_with('+')).collect();
    // The shop's own verbs have no name here.
    assert_eq!(written, ["+place spring", "+ spring", "+refit collets", "+ spring"]);
}

#[test]
fn a_thing_belongs_to_one_set() {
    let analysis = check(
        "job: Try\nsets\n  axle: front, rear\n  side: left, right\nparts\n  hub: each axle, each side\nstage: A\n  remove hub\n  refit hub\n",
    );
    assert_eq!(told(&analysis), ["bad-syntax: `each axle` is said of hub already: a thing belongs to one set"]);
}

#[test]
fn a_stage_that_is_not_there_cannot_be_reversed() {
    let analysis =
        check(&format!("job: Look\n{COVER}\nstage: Open\n  remove cover\n  refit cover\n  reverse stage Opn\n"));
    assert!(
        told(&analysis).iter().any(|t| t.contains("no stage before this line is called 'Opn'")),
        "{:#?}",
        told(&analysis)
    );
}

#[test]
fn a_misspelt_stage_is_told_once() {
    let told_of = |title: &str| {
        let stages = format!("job: Look\n{COVER}\nstage: Open\n  remove cover\nstage: Shut\n  reverse stage {title}\n");
        told(&check(&stages))
            .into_iter()
            .filter(|t| !t.starts_with("never-touched") && !t.starts_with("unused"))
            .collect::<Vec<_>>()
    };
    assert_eq!(told_of("Opn"), ["unknown-name: no stage before this line is called 'Opn'"]);
    assert_eq!(told_of("Strip the axle"), ["unknown-name: no stage before this line is called 'Strip the axle'"]);
}

#[test]
fn a_routine_gets_its_arguments_and_misses_none_silently() {
    let routine = "routine: Shut it
given
  lid: part
  wait time: time, default 10 min
stage: Shut
  wait, for {wait time}
  close {lid}
";
    let job = |call: &str| {
        let text = format!("job: Look\nuses: r.job\nparts\n  hatch\nstage: A\n  open hatch\n  {call}\n");
        analyse_texts(&[("job.job", &text), ("r.job", routine)])
    };
    let good = job("follow shut it, with lid hatch, wait time 5 min");
    assert_eq!(told(&good), Vec::<String>::new());
    assert_eq!(verbs(&good), ["open hatch", "wait", "close hatch"]);
    assert_eq!(told(&job("follow shut it, with lid hatch")), Vec::<String>::new());
    assert!(told(&job("follow shut it"))[0].starts_with("argument-missing: 'Shut it' needs its argument 'lid'"));
    assert_eq!(
        told(&job("follow shut it, with lidd hatch, wait time 5 min")),
        ["unknown-name: 'Shut it' takes no argument 'lidd hatch'"]
    );
    assert!(told(&job("follow shut it, with lid hatch, wait time 5 mm"))[0].starts_with("unit-mismatch"));
    assert!(told(&job("follow shut"))[0].starts_with("unknown-name: no routine is called 'shut'"));
}

#[test]
fn members_of_a_set_are_found_by_their_names() {
    let analysis = check(
        "job: Look
sets
  side: left, right
parts
  caliper: each side, held by caliper bolts
  clamp: held by right caliper bolts
fasteners
  caliper bolts: 2 x M10x30, class 8.8, hex 16 mm, torque 45 N·m, each side
stage: A
  remove left caliper
  refit left caliper
",
    );
    assert_eq!(told(&analysis).iter().filter(|t| !t.starts_with("unused-name")).count(), 0, "{:#?}", told(&analysis));
    let job = analysis.job.expect("no error");
    let mut members = Vec::new();
    steps_of(&job.procedure().body, &mut |step| {
        members.extend(step.objects.iter().filter_map(|o| match o {
            Object::Thing(thing) => Some(thing.members),
            _ => None,
        }));
    });
    assert_eq!(members, [Members::One(0), Members::One(0)]);
    let clamp = job.procedure().things.iter().find(|t| t.name == "clamp").expect("declared");
    assert_eq!(clamp.facts.only_member.len(), 1);
}

#[test]
fn an_example_is_worked_with_its_kinds_and_its_rounding() {
    let job = |gives: &str| {
        check(&format!(
            "job: Shim
stage: A
  measure shim found, record
  measure opening pressure, 150 to 250 bar
  work out shim wanted = shim found + (200 bar - opening pressure) x 0.01 mm / 1 bar, round to 0.05 mm
    example: shim found 1.52 mm, opening pressure 190 bar gives {gives}
"
        ))
    };
    assert_eq!(told(&job("1.60 mm")), Vec::<String>::new());
    assert!(
        told(&job("1.62 mm"))[0].starts_with("example-fails: the formula gives 1.6"),
        "{:#?}",
        told(&job("1.62 mm"))
    );
    assert!(told(&job("1.60 bar"))[0].starts_with("example-fails"));
}

#[test]
fn what_is_only_looked_at_can_be_bad_but_not_taken_off() {
    let good = check("job: Look\nstage: A\n  inspect crank seal: Dry?\n  if crank seal bad\n    stop: Seal first.\n");
    assert_eq!(told(&good), Vec::<String>::new());
    let bad = check("job: Look\nstage: A\n  inspect crank seal: Dry?\n  remove crank seal\n");
    assert!(told(&bad)[0].starts_with("unknown-name"), "{:#?}", told(&bad));
}

#[test]
fn and_with_or_in_one_condition_reads_two_ways() {
    let analysis = check(
        "job: Look\noptions\n  turbo\n  frost\n  trailer\nstage: A\n  with turbo and frost or trailer\n    do: look.\n",
    );
    assert!(told(&analysis).iter().any(|t| t.contains("reads two ways")), "{:#?}", told(&analysis));
}

#[test]
fn a_stage_the_day_before_comes_first_and_a_follow_up_last() {
    let analysis = check(
        "job: Order\nstage after 50 km: Later\n  do: look again.\nstage: Now\n  do: work.\nstage the day before: Early\n  do: soak.\n",
    );
    let job = analysis.job.expect("no error");
    let titles: Vec<&str> = job
        .procedure()
        .body
        .iter()
        .filter_map(|b| match b {
            Block::Stage(stage) => Some(stage.title.as_str()),
            _ => None,
        })
        .collect();
    assert_eq!(titles, ["Early", "Now", "Later"]);
}

#[test]
fn loops_inside_loops_are_bounded() {
    let mut text = String::from("job: Loop\nsets\n");
    for set in ["a", "b", "c"] {
        text.push_str(&format!("  {set} place: 1 to 40\n"));
    }
    text.push_str("stage: A\n  for each a place\n    for each b place\n      for each c place\n        do: look.\n");
    let analysis = check(&text);
    assert!(analysis.job.is_none());
    assert_eq!(told(&analysis).len(), 1, "{:#?}", told(&analysis));
}

#[test]
fn the_verb_is_the_longest_one_and_the_shops_own_counts() {
    let analysis = check(
        "job: Pins
parts
  brake piston
acts
  push back / pump: pushed back
stage: A
  push back brake piston
  pump brake piston
",
    );
    assert_eq!(told(&analysis), Vec::<String>::new());
    let job = analysis.job.expect("no error");
    let mut found = Vec::new();
    steps_of(&job.procedure().body, &mut |step| found.push(step.verb));
    assert!(matches!(found[..], [Verb::Open1(_), Verb::Close1(_)]));
}
