//! `opened-hot`: a cooling system that is opened before the engine has cooled.

use crate::diagnostic::{Diagnostic, Mend, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "opened-hot",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "a cooling system that is opened before the engine has cooled",
    why: "The system is under pressure: boiling coolant shoots out and scalds face and arms.",
    wrong: "\
job: Top up the coolant

parts
  radiator cap: filler of coolant

fluids
  coolant: 9 L, kind ethylene glycol coolant, mix 40 % by volume, protects to -24 °C
    spec: concentrate to ASTM D3306 in demineralised water

stage: Top up
  open radiator cap
    warning scald
  top up coolant
    warning poison
  close radiator cap
",
    right: "\
job: Top up the coolant

parts
  radiator cap: filler of coolant

fluids
  coolant: 9 L, kind ethylene glycol coolant, mix 40 % by volume, protects to -24 °C
    spec: concentrate to ASTM D3306 in demineralised water

stage: Top up
  let engine cool
  open radiator cap
    warning scald
  top up coolant
    warning poison
  close radiator cap
",
    source: "Common practice: a cooling system is opened cold.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::OpenedHot, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let cool = told
        .step()
        .filter(|step| !step.generated)
        .map(|step| Mend::WriteBefore { place: step.span, line: "let engine cool".to_owned() });
    Words::new(
        format!("{} opened while the engine may still be hot", told.is()),
        "hot",
        "Write `let engine cool` before this line; after a `run engine` it is hot again.",
    )
    .there("opened before, here")
    .mend(cool)
}
