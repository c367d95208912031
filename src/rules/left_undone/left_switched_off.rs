//! `left-switched-off`: what is switched off and never switched on.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "left-switched-off",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "what is switched off and never switched on",
    why: "The machine is handed over dead, and the alarm or the pump that it fed stays dead with it.",
    wrong: "\
job: Look at the panel

parts
  main switch

stage: Look
  switch off main switch
  inspect terminals: Burnt ends.
",
    right: "\
job: Look at the panel

parts
  main switch

stage: Look
  switch off main switch
  inspect terminals: Burnt ends.
  switch on main switch
",
    source: "Common practice: what comes off goes back before the machine is handed over.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::LeftSwitchedOff, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let repair = told.bring_home(&format!("switch on {}", told.line_name()), "before the job ends");
    Words::repaired(format!("{} switched off here and never switched on again", told.is()), "off from here on", repair)
}
