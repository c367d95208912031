//! `left-disconnected`: a plug, pipe or cable that is disconnected and never connected.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "left-disconnected",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "a plug, pipe or cable that is disconnected and never connected",
    why: "A plug left hanging is a lamp that stays on, a pipe left open is a trail of oil to the gate.",
    wrong: "\
job: Measure the sensor

parts
  sensor plug

stage: Measure
  disconnect sensor plug
  clean contacts
",
    right: "\
job: Measure the sensor

parts
  sensor plug

stage: Measure
  disconnect sensor plug
  clean contacts
  connect sensor plug
",
    source: "Common practice: what comes off goes back before the machine is handed over.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::LeftDisconnected, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let repair = told.bring_home(&told.puts_back("connect"), "before the job ends");
    Words::repaired(
        format!("{} disconnected here and never connected again", told.is()),
        "disconnected from here on",
        repair,
    )
}
