//! `never-touched`: a part that is declared new and never fitted.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "never-touched",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "a part that is declared new and never fitted",
    why: "The new part is paid for and lies in the box, the worn one is back in the machine, or nothing is.",
    wrong: "\
job: Change the air filter

parts
  air filter: new

stage: Change
  remove air filter
  clean filter housing
",
    right: "\
job: Change the air filter

parts
  air filter: new

stage: Change
  remove air filter
  clean filter housing
  fit air filter
",
    source: "Common practice.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::NeverTouched, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    let message = if told.fault.step.is_some() {
        format!(
            "the old {name} {} off here and the new {} never fitted",
            told.verb("comes", "come"),
            told.verb("one is", "ones are")
        )
    } else {
        format!("{} declared new, and no step fits {}", told.is(), told.verb("a new one", "new ones"))
    };
    let place = "where it belongs";
    let repair =
        told.bring_home(&told.puts_back("fit"), place).and("; if the old one stays, take `new` out of the declaration");
    Words::repaired(message, "new, and never fitted", repair)
}
