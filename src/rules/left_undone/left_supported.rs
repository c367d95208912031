//! `left-supported`: a support that is set and never taken away.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "left-supported",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "a support that is set and never taken away",
    why: "The jack stands under the gearbox when the truck rolls out.",
    wrong: "\
job: Look at the mounts

parts
  gearbox

stage: Look
  support gearbox, with jack
  inspect mounts: Torn rubber.
",
    right: "\
job: Look at the mounts

parts
  gearbox

stage: Look
  support gearbox, with jack
  inspect mounts: Torn rubber.
  release gearbox
",
    source: "Common practice: what comes off goes back before the machine is handed over.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::LeftSupported, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let line = format!("release {}", told.line_name());
    Words::new(
        format!("{} supported here and the support is never taken away", told.is()),
        "supported from here on",
        format!("Write `{line}` where everything that holds {} is in again.", told.name),
    )
}
