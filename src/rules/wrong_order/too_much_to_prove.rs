//! `too-much-to-prove`: a job that is longer, or hangs on more at once, than can be walked through.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "too-much-to-prove",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "loops inside loops that make the job longer than can be walked through, or more choices hanging together than can be told apart",
    why: "What is not proved is not safe, and nobody works off a sheet of ten thousand lines.",
    wrong: "\
job: Clean the faces

sets
  row: 1 to 40
  column: 1 to 40
  layer: 1 to 40

stage: Look
  for each row
    for each column
      for each layer
        clean face
",
    right: "\
job: Clean the faces

sets
  row: 1 to 40
  column: 1 to 2
  layer: 1 to 2

stage: Look
  for each row
    for each column
      for each layer
        clean face
",
    source: "The limit is the compiler's own.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::TooMuchToProve, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    if told.fault.why == Why::TooManyChoices {
        return Words::new(
            "so many options, questions and findings hang together here that not every way can be proved".to_owned(),
            "proved up to here",
            "Let one question decide what several decide together, or make separate jobs of it.".to_owned(),
        );
    }
    Words::new(
        "the job grows too long to be proved here".to_owned(),
        "too many turns",
        "Put fewer loops inside each other, or make separate jobs of it.".to_owned(),
    )
}
