//! `left-raised`: an end or a body that is raised and never lowered.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "left-raised",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "an end or a body that is raised and never lowered",
    why: "Somebody else takes the stands away, or drives off them.",
    wrong: "\
job: Look underneath

stage: Look underneath
  raise front, on stands
    danger unsupported vehicle
  inspect hoses: Rubbed through.
",
    right: "\
job: Look underneath

stage: Look underneath
  raise front, on stands
    danger unsupported vehicle
  inspect hoses: Rubbed through.
  lower front
",
    source: "Common practice: what comes off goes back before the machine is handed over.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::LeftRaised, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let repair = told.bring_home(&format!("lower {}", told.line_name()), "before the job ends");
    Words::repaired(format!("{} raised here and never lowered", told.is()), "in the air from here on", repair)
}
