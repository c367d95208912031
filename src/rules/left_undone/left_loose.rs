//! `left-loose`: a fastener that is not tightened to its value at the end, or only started by hand.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Portion, Procedure, Step, Verb, steps_of};
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::place::{Side, Spot};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "left-loose",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "a fastener that is not tightened to its value at the end, or only started by hand",
    why: "A bolt that is only finger-tight backs out on the first rough road; what it holds follows.",
    wrong: "\
job: Look behind the cover

parts
  cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Look inside
  remove cover
  inspect gears: Chipped teeth.
  place cover
  start cover bolts
",
    right: "\
job: Look behind the cover

parts
  cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Look inside
  remove cover
  inspect gears: Chipped teeth.
  place cover
  start cover bolts
  tighten cover bolts
",
    source: "Common practice: every fastener touched gets its torque before the sign-off.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::LeftLoose, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = told.line_name();
    let state = match told.fault.why {
        Why::Loosened => "loosened here and never tightened again".to_owned(),
        Why::OnlyPasses { done: 0, .. } => "only snug at the end, the torque is missing".to_owned(),
        Why::OnlyPasses { done, of } => format!("tightened to stage {done} of {of} only"),
        _ => "only started by hand at the end".to_owned(),
    };
    let line = match told.fault.why {
        Why::OnlyPasses { done, .. } if done > 0 => format!("tighten {name}, last pass"),
        _ => format!("tighten {name}"),
    };
    // Started in an act of its own, it is tightened next, unless the declaration asks for a state first.
    let waits = told.thing().and_then(|t| t.facts.fastening.as_ref()).and_then(|f| {
        f.tighten_at.iter().chain(f.passes.iter().filter_map(|p| p.at.as_ref())).next().map(|s| s.text.clone())
    });
    let message = format!("{} {state}", told.is());
    let it_holds = if told.it_is() == "they are" { "they hold" } else { "it holds" };
    let (started, alone) = last_start(told);
    match (waits, started) {
        (Some(state), _) => Words::new(
            message,
            "loose from here on",
            format!("Write `{line}` after the line that brings about `{state}`."),
        ),
        (None, Some(step)) => {
            let spot = Spot { side: Side::After, step, certain: told.fault.why == Why::OnlyStarted && alone };
            Words::repaired(message, "loose from here on", told.at(&line, &spot))
        }
        _ => {
            let help = format!("Write `{line}` once everything {it_holds} is in place.");
            Words::new(message, "loose from here on", help)
        }
    }
}

/// The last step that starts it by hand, and whether it is the only one.
fn last_start<'a>(told: &Told<'a>) -> (Option<&'a Step>, bool) {
    let mut found: Vec<&Step> = Vec::new();
    steps_of(&told.procedure.body, &mut |step| {
        let whole = step.things().any(|t| Some(t.thing) == told.fault.thing && t.portion == Portion::Whole);
        if step.verb == Verb::Start && whole && !step.generated && Some(step.id) >= told.fault.step {
            found.push(step);
        }
    });
    (found.last().copied(), found.len() == 1 && found.iter().all(|s| s.objects.len() == 1))
}
