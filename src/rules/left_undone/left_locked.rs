//! `left-locked`: what is locked and never unlocked.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "left-locked",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "what is locked and never unlocked",
    why: "The lock is forgotten and the next driver bends it, or the machine is taken for broken.",
    wrong: "\
job: Grease the hinges

parts
  tipping body: hazard crush

stage: Grease
  lock tipping body
  lubricate hinges
",
    right: "\
job: Grease the hinges

parts
  tipping body: hazard crush

stage: Grease
  lock tipping body
  lubricate hinges
  unlock tipping body
",
    source: "Common practice: what comes off goes back before the machine is handed over.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::LeftLocked, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let repair = told.bring_home(&format!("unlock {}", told.line_name()), "before the job ends");
    Words::repaired(format!("{} locked here and never unlocked", told.is()), "locked from here on", repair)
}
