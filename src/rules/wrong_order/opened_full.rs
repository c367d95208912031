//! `opened-full`: a circuit that is opened undrained, with nothing to catch the fluid.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "opened-full",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "a circuit that is opened undrained, with nothing to catch the fluid",
    why: "It runs over hands, hot parts and the floor; somebody slips, or it burns.",
    wrong: "\
job: Look at the fuel pipe

parts
  fuel pipe: carries fuel

fluids
  fuel: 60 L, kind fuel
    spec: clean diesel fuel

stage: Look at the pipe
  disconnect fuel pipe
    warning fire
  clean pipe end
  connect fuel pipe
",
    right: "\
job: Look at the fuel pipe

parts
  fuel pipe: carries fuel

fluids
  fuel: 60 L, kind fuel
    spec: clean diesel fuel

stage: Look at the pipe
  disconnect fuel pipe, into tray of 1 L
    warning fire
  clean pipe end
  connect fuel pipe
",
    source: "Common practice.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::OpenedFull, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    let fluid = match told.fault.why {
        Why::Thing(thing) => told.named(thing),
        _ => "the fluid",
    };
    Words::new(
        format!("{name} {} {fluid}, which is not drained, and nothing catches it", told.verb("carries", "carry")),
        format!("{fluid} runs out"),
        format!("Write `drain {fluid}, into tray of …` before this line, or add `, into tray of …` to it."),
    )
}
