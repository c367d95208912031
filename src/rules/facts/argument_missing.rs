//! `argument-missing`: a routine followed without one of its arguments.

use crate::diagnostic::Severity;
use crate::rules::{Check, Group, Rule};

/// The rule and its page. It is told while the files are read.
pub const RULE: Rule = Rule {
    name: "argument-missing",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "a routine followed without one of the things it asks for",
    why: "The routine does not know which fluid, which part or how long: the sheet would have a hole where the value stands.",
    wrong: "\
job: Renew the coolant
uses: fill.job

parts
  header tank cap: filler of coolant

fluids
  coolant: 9 L, kind ethylene glycol coolant, mix 50 % by volume
    spec: concentrate to ASTM D3306 in demineralised water

stage: Top it up
  let engine cool
  open header tank cap
    warning scald
  follow fill slowly
  close header tank cap
=== fill.job
routine: Fill slowly

given
  liquid: fluid

stage: Fill
  top up liquid: In a thin stream.
    warning poison
",
    right: "\
job: Renew the coolant
uses: fill.job

parts
  header tank cap: filler of coolant

fluids
  coolant: 9 L, kind ethylene glycol coolant, mix 50 % by volume
    spec: concentrate to ASTM D3306 in demineralised water

stage: Top it up
  let engine cool
  open header tank cap
    warning scald
  follow fill slowly, with liquid coolant
  close header tank cap
=== fill.job
routine: Fill slowly

given
  liquid: fluid

stage: Fill
  top up liquid: In a thin stream.
    warning poison
",
    source: "The language: an argument has no default unless one is written.",
    check: Check::Reading,
};
