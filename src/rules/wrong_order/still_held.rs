//! `still-held`: taking out what something else still holds, where the act does not say so.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "still-held",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "taking out what something else still holds, where the act does not say so",
    why: "It will not come, and the hand that pulls harder breaks it.",
    wrong: "\
job: Change the gasket

parts
  cover: held by cover bolts
  cover gasket: single-use, part of cover

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Change the gasket
  remove cover gasket
  remove cover
  fit cover gasket
  refit cover
",
    right: "\
job: Change the gasket

parts
  cover: held by cover bolts
  cover gasket: single-use, part of cover

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Change the gasket
  remove cover
  remove cover gasket
  fit cover gasket
  refit cover
",
    source: "Common practice.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::StillHeld, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    match told.fault.why {
        Why::Thing(holder) => Words::repaired(
            format!("{} clamped by {}, which is still on", told.is(), told.named(holder)),
            "still clamped",
            told.needs_first(&told.takes_away(holder)),
        ),
        _ => Words::repaired(
            format!("{} still on the machine", told.is()),
            "still on",
            told.needs_first(&format!("remove {}", told.line_name())),
        ),
    }
}
