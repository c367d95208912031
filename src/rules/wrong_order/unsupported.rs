//! `unsupported`: the last fastener out of what needs support, or work under an end that stands on nothing.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "unsupported",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "the last fastener out of what needs support, or work under an end that stands on nothing",
    why: "It falls on the hands that hold it. A vehicle on a jack alone kills.",
    wrong: "\
job: Look at the clutch

parts
  gearbox: held by bell bolts, needs support, hazard heavy load

fasteners
  bell bolts: 8 x M10x50, class 8.8, hex 16 mm, torque 44 N·m

stage: Gearbox
  remove gearbox
  inspect clutch: Its thickness.
  refit gearbox
",
    right: "\
job: Look at the clutch

parts
  gearbox: held by bell bolts, needs support, hazard heavy load

fasteners
  bell bolts: 8 x M10x50, class 8.8, hex 16 mm, torque 44 N·m

stage: Gearbox
  support gearbox, with jack
  remove gearbox
  inspect clutch: Its thickness.
  refit gearbox
  release gearbox
",
    source: "Common practice: nothing hangs on its last bolt, nobody works under a jack.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::Unsupported, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    match told.fault.why {
        Why::Raised => Words::new(
            "the vehicle is up here and stands on nothing".to_owned(),
            "on the jack alone",
            "Say what it stands on where it is raised: `raise front, on stands`.".to_owned(),
        )
        .there("raised here"),
        Why::NotStarted => Words::new(
            format!("the support of {name} goes away here, and its fasteners are not in"),
            "hangs on nothing",
            format!("Start what holds {name} before this line."),
        ),
        _ => Words::new(
            format!("the last fastener of {name} comes out here and nothing supports it"),
            "falls",
            format!("Write `support {name}` before this line, and `release {name}` when it is held again."),
        ),
    }
}
