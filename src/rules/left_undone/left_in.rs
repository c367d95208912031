//! `left-in`: a temporary thing (pin, cap, rag, guide stud) that goes in and never comes out.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "left-in",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "a temporary thing (pin, cap, rag, guide stud) that goes in and never comes out",
    why: "A rag in the intake, a locking pin in the flywheel: the first start does the damage.",
    wrong: "\
job: Clean the bores

parts
  bore rags: 4 x, temporary

stage: Clean
  put in bore rags
  clean block face
",
    right: "\
job: Clean the bores

parts
  bore rags: 4 x, temporary

stage: Clean
  put in bore rags
  clean block face
  take out bore rags
",
    source: "Common practice: what is put into a machine is counted in and counted out.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::LeftIn, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    let count = told.fault.counts.map_or(1, |c| c.out);
    let message = if count > 1 {
        format!("{count} {name} go in and are still in at the end")
    } else {
        format!("{name} {} in here and never {} out", told.verb("goes", "go"), told.verb("comes", "come"))
    };
    let line = format!("take out {}", told.line_name());
    let repair = told.bring_home(&line, "before the engine runs and before what covers it goes back");
    Words::repaired(message, "in from here on", repair)
}
