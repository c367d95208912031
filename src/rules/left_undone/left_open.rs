//! `left-open`: what is opened and never closed.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "left-open",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "what is opened and never closed",
    why: "A cap left off boils the system dry, a lid left open lets the rain in, a cock left open empties the tank overnight.",
    wrong: "\
job: Look at the fuses

parts
  fuse box lid

stage: Look
  open fuse box lid
  inspect fuses: A broken wire.
",
    right: "\
job: Look at the fuses

parts
  fuse box lid

stage: Look
  open fuse box lid
  inspect fuses: A broken wire.
  close fuse box lid
",
    source: "Common practice: what comes off goes back before the machine is handed over.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::LeftOpen, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    let normally_open =
        told.fault.thing.and_then(|t| told.procedure.things.get(t.index())).is_some_and(|t| t.facts.normally_open);
    if normally_open {
        let message = format!("{} closed here and never opened again, and at home it is open", told.is());
        return Words::new(message, "closed from here on", format!("Write `open {name}` before the job ends."));
    }
    // A drain is opened by the fluid that runs out of it: it is shut before that goes in again.
    let fluid = told.thing().and_then(|t| t.facts.drain_of).map(|id| told.named(id));
    let message = format!("{} open from here on and never closed", told.is());
    let line = format!("close {}", told.line_name());
    match fluid {
        Some(fluid) => Words::new(message, "opened", format!("Write `{line}` before `fill {fluid}`.")),
        None => Words::repaired(message, "opened", told.bring_home(&line, "before the job ends")),
    }
}
