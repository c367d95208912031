//! `left-loose`: a fastener that is not tightened to its value at the end, or only started by hand.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
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
    let name = &told.name;
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
    Words::new(
        format!("{} {state}", told.is()),
        "loose from here on",
        format!("Write `{line}` once everything it holds is in place."),
    )
}
