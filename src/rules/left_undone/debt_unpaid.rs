//! `debt-unpaid`: a declared `once … then … before …` that is not kept in time.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "debt-unpaid",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "a declared `once … then … before …` that is not kept in time",
    why: "Pistons that were pushed back leave the pedal empty: the first braking goes to the floor.",
    wrong: "\
job: Look at the pads

parts
  pistons: once pushed back then pump before drive

acts
  push back / pump: pushed back

stage: Look
  push back pistons
  inspect pads: Their thickness.
  drive, for 1 km
  pump pistons
",
    right: "\
job: Look at the pads

parts
  pistons: once pushed back then pump before drive

acts
  push back / pump: pushed back

stage: Look
  push back pistons
  inspect pads: Their thickness.
  pump pistons
  drive, for 1 km
",
    source: "The declaration itself says so.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::DebtUnpaid, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let (then, before) = match &told.fault.why {
        Why::Debt { then, before } => (then.as_str(), before.as_str()),
        _ => ("…", "…"),
    };
    Words::new(
        format!("{}: `{then}` must come before `{before}`, and it has not", told.name),
        "too soon",
        format!("Write `{then}` between the two places."),
    )
    .there("owed from here on")
}
