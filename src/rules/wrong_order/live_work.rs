//! `live-work`: a battery, starter, airbag or high-voltage part that is worked on while a battery cable is connected.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "live-work",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "a battery, starter, airbag or high-voltage part that is worked on while a battery cable is connected",
    why: "A spanner between the starter stud and the block welds itself on; an airbag goes off in the face.",
    wrong: "\
job: Look at the starter

parts
  battery earth cable
  starter: held by starter bolts

fasteners
  starter bolts: 2 x M10x40, class 8.8, hex 16 mm, torque 44 N·m

stage: Look at the starter
  remove starter
    warning electric shock
  disconnect battery earth cable
  inspect pinion: Worn teeth.
  refit starter
  connect battery earth cable
",
    right: "\
job: Look at the starter

parts
  battery earth cable
  starter: held by starter bolts

fasteners
  starter bolts: 2 x M10x40, class 8.8, hex 16 mm, torque 44 N·m

stage: Look at the starter
  disconnect battery earth cable
  remove starter
    warning electric shock
  inspect pinion: Worn teeth.
  refit starter
  connect battery earth cable
",
    source: "Common practice: the earth cable comes off first and goes back last.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::LiveWork, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let cable = match told.fault.why {
        Why::Thing(thing) => told.named(thing),
        _ => "the battery cable",
    };
    Words::new(
        format!("{} live here: {cable} is still connected", told.is()),
        "live",
        format!("Write `disconnect {cable}` before the first such line and `connect {cable}` after the last."),
    )
}
