//! `out-of-reach`: touching a part while what is in front of it is still in place.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Procedure, Verb};
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "out-of-reach",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "touching a part while what is in front of it is still in place",
    why: "The apprentice stands before a cover that the sheet never mentions, and takes off what he thinks he must.",
    wrong: "\
job: Look at the belt

parts
  cover: held by cover bolts
  drive belt: behind cover

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Look at the belt
  remove drive belt
  remove cover
  refit drive belt
  refit cover
",
    right: "\
job: Look at the belt

parts
  cover: held by cover bolts
  drive belt: behind cover

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Look at the belt
  remove cover
  remove drive belt
  refit drive belt
  refit cover
",
    source: "The declaration says what is in front (`behind`).",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::OutOfReach, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let blocker = match told.fault.why {
        Why::Thing(thing) => told.named(thing),
        _ => "what is in front",
    };
    let back = matches!(
        told.fault.verb,
        Some(Verb::Refit | Verb::Fit | Verb::Connect | Verb::Return | Verb::Place | Verb::Close | Verb::Start)
    );
    let message = format!("{} behind {blocker}, which is in place here", told.is());
    match told.fault.why {
        Why::Thing(front) if back => Words::repaired(message, "out of reach", told.goes_before(front)),
        Why::Thing(front) => Words::repaired(message, "out of reach", told.needs_first(&told.takes_away(front))),
        _ => Words::new(message, "out of reach", "Take it out of the way before this line."),
    }
}
