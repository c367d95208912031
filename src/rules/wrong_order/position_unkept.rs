//! `position-unkept`: several alike parts that go back, and nothing says whether each to its own place.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "position-unkept",
    group: Group::WrongOrder,
    severity: Severity::Advice,
    finds: "several alike parts that go back, and nothing says whether each to its own place",
    why: "Parts that have run in together wear anew when they change places.",
    wrong: "\
job: Look at the push rods

parts
  rocker shaft
  push rods: 8 x, behind rocker shaft

stage: Look at the rods
  remove rocker shaft
  remove push rods
  inspect push rods: Roll each on glass.
  refit push rods
  refit rocker shaft
",
    right: "\
job: Look at the push rods

parts
  rocker shaft
  push rods: 8 x, by position, behind rocker shaft

stage: Look at the rods
  remove rocker shaft
  remove push rods
  inspect push rods: Roll each on glass.
  refit push rods
  refit rocker shaft
",
    source: "Common practice: run-in parts go back to their places.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::PositionUnkept, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    Words::new(
        format!("{name} go back here, and nothing says whether each goes to its own place"),
        "which goes where?",
        format!(
            "Add `by position` to the declaration of {name} (the sheet then says to rack them), or `alike` if they may change places."
        ),
    )
}
