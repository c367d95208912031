//! `debt-unpaid`: a declared `once … then … before …` that is not kept in time.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::place::{Side, Spot};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::speech;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "debt-unpaid",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "a declared `once … then … before …` that is not kept in time",
    why: "Pistons that were pushed back leave the pedal empty: the first braking goes to the floor.",
    wrong: "\
job: Look at the pads

parts
  pistons: once pushed back then pump before drive

acts
  push back / pump: pushed back

stage: Look
  push back pistons
  inspect pads: Their thickness.
  drive, for 1 km
  pump pistons
",
    right: "\
job: Look at the pads

parts
  pistons: once pushed back then pump before drive

acts
  push back / pump: pushed back

stage: Look
  push back pistons
  inspect pads: Their thickness.
  pump pistons
  drive, for 1 km
",
    source: "The declaration itself says so.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::DebtUnpaid, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let (then, before) = match &told.fault.why {
        Why::Debt { then, before } => (then.as_str(), before.as_str()),
        _ => ("…", "…"),
    };
    let message = format!("{}: `{then}` must come before `{before}`, and it has not", told.name);
    // Told at the act that left home: the job ends and it is still owed.
    let at_the_end = told.step().is_some_and(|step| step.things().any(|t| Some(t.thing) == told.fault.thing));
    if at_the_end {
        let message = format!("{}: `{then}` is owed from here on, and it is never done", told.name);
        let last = told.last_home();
        return match (line(told, then), last) {
            (Some(line), Some(step)) => {
                let spot = Spot { side: Side::After, step, certain: false };
                Words::repaired(message, "owed from here on", told.at(&line, &spot))
            }
            _ => Words::new(message, "owed from here on", format!("Write `{then}` where it is home again.")),
        };
    }
    let words = match (line(told, then), told.step().filter(|step| !step.generated)) {
        // On every way it is owed, so it may be paid right here.
        (Some(line), Some(step)) => {
            let spot = Spot { side: Side::Before, step, certain: told.fault.way.is_empty() };
            Words::repaired(message, "too soon", told.at(&line, &spot))
        }
        _ => Words::new(message, "too soon", format!("Write `{then}` between the two places.")),
    };
    words.there("owed from here on")
}

/// The act as a step writes it: `turn crankshaft, 2 turns`; without an object of its own it is done to the thing.
fn line(told: &Told<'_>, then: &str) -> Option<String> {
    let facts = told.thing()?.all_facts().flat_map(|(_, facts)| &facts.debts);
    let debt = facts.into_iter().find(|debt| then.starts_with(&debt.then.text))?;
    let verb = speech::verb(told.procedure, debt.then.verb);
    let object = match &debt.then.object {
        Some(object) => speech::reference(told.procedure, object),
        None => told.line_name(),
    };
    let amount = debt.amount.as_ref().map(|a| format!(", {a}")).unwrap_or_default();
    Some(format!("{verb} {object}{amount}"))
}
