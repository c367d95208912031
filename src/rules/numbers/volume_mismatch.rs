//! `volume-mismatch`: a fluid filled with more than ran out, or with less and never topped up; a tray that holds less than runs out.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::quantity::Quantity;
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "volume-mismatch",
    group: Group::Numbers,
    severity: Severity::Error,
    finds: "a fluid filled with more than ran out, or with less and never topped up; a tray that holds less than runs out",
    why: "Overfilled it foams or bursts a seal, underfilled it runs dry, and what the tray cannot hold is on the floor.",
    wrong: "\
job: Change the gear oil

parts
  oil filler cap: filler of gear oil
  drain screw: drain of gear oil

fluids
  gear oil: 2 L, kind gear oil
    spec: SAE 80W-90

stage: Change the oil
  drain gear oil, into tray of 5 L
  close drain screw
  open oil filler cap
  fill gear oil, 3 L
  close oil filler cap
",
    right: "\
job: Change the gear oil

parts
  oil filler cap: filler of gear oil
  drain screw: drain of gear oil

fluids
  gear oil: 2 L, kind gear oil
    spec: SAE 80W-90

stage: Change the oil
  drain gear oil, into tray of 5 L
  close drain screw
  open oil filler cap
  fill gear oil, 2 L
  close oil filler cap
",
    source: "The declared volumes themselves: `drains`, else the capacity.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::VolumeMismatch, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    match told.fault.why {
        Why::TraySmall => Words::new(
            format!("the tray holds less than what runs out of the {name}{}", ran_out(told)),
            "too small",
            "Take a larger tray, or correct `drains` in the declaration.",
        ),
        Why::Volume { more: true } => Words::new(
            format!("more {name} is filled than ran out{}", ran_out(told)),
            "too much",
            match amount(told) {
                Some(amount) => format!("Write `fill {name}, {amount}`, or correct `drains` in the declaration."),
                None => "Correct the amount, or `drains` in the declaration.".to_owned(),
            },
        ),
        _ => Words::new(
            format!("less {name} is filled than ran out{}, and it is never topped up", ran_out(told)),
            "too little",
            match amount(told) {
                Some(amount) => format!("Write `fill {name}, {amount}`, or `top up {name}` after it."),
                None => format!("Correct the amount, or write `top up {name}` after it."),
            },
        ),
    }
}

/// What runs out, as it is declared; by variant nobody can say it here.
fn amount<'a>(told: &Told<'a>) -> Option<&'a Quantity> {
    let fluid = told.fault.thing.and_then(|id| told.procedure.things.get(id.index()))?;
    let facts = fluid.variants.is_empty().then_some(&fluid.facts)?.fluid.as_ref()?;
    facts.drains.as_ref().or(facts.capacity.as_ref())
}

/// ` (31 L)`
fn ran_out(told: &Told<'_>) -> String {
    amount(told).map(|amount| format!(" ({amount})")).unwrap_or_default()
}
