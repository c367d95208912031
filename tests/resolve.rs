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
