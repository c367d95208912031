//! `left-chocked`: wheels that are chocked and never freed.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "left-chocked",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "wheels that are chocked and never freed",
    why: "The driver starts against the chock, or over it.",
    wrong: "\
job: Adjust the hand brake

stage: Adjust
  chock front wheels
  adjust hand brake
",
    right: "\
job: Adjust the hand brake

stage: Adjust
  chock front wheels
  adjust hand brake
  unchock front wheels
",
    source: "Common practice: what comes off goes back before the machine is handed over.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::LeftChocked, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let repair = told.bring_home(&format!("unchock {}", told.line_name()), "before the job ends");
    Words::repaired(
        format!("{} chocked here and the chocks never come away", told.is()),
        "chocked from here on",
        repair,
    )
}
