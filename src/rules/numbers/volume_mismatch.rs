//! `volume-mismatch`: a fluid filled with more than ran out, or with less and never topped up; a tray that holds less than runs out.

use std::cmp::Ordering;

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Facts, Procedure};
use crate::proof::{FaultKind, Proof, Why};
use crate::quantity::Quantity;
use crate::rules::proved::{Told, Words, tell};
use crate::rules::ways::way_where;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "volume-mismatch",
    group: Group::Numbers,
    severity: Severity::Error,
    finds: "a fluid filled with more than ran out, or with less and never topped up; a tray that holds less than runs out; more that runs out than there is",
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
    source: "The declared volumes themselves: what `drain` states, else `drains`, else the capacity. Figures in two units may differ by half of their last digits.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::VolumeMismatch, procedure, proof, out, &words);
    for thing in &procedure.things {
        let more_than_there_is = |facts: &Facts| contradiction(facts).is_some();
        if let Some(way) = way_where(procedure, thing, &more_than_there_is)
            && let Some((drains, holds)) = thing.all_facts().find_map(|(_, facts)| contradiction(facts))
        {
            out.push(
                RULE.at(thing.span, format!("{}: {drains} run out of what holds only {holds}", thing.name))
                    .label("these two can't both hold")
                    .help("The amount that stands alone is what the circuit holds, `drains` is what runs out of it: swap the two figures if they were taken for each other; else look up both again.")
                    .way(way),
            );
        }
    }
}

/// `drains` and the capacity, where more runs out than there is.
fn contradiction(facts: &Facts) -> Option<(&Quantity, &Quantity)> {
    let fluid = facts.fluid.as_ref()?;
    let (drains, holds) = (fluid.drains.as_ref()?, fluid.capacity.as_ref()?);
    (drains.compare(holds)? == Ordering::Greater).then_some((drains, holds))
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    match told.fault.why {
        Why::TraySmall => Words::new(
            format!("the tray holds less than what runs out of the {name}{}", ran_out(told)),
            "too small",
            match amount(told) {
                Some(amount) => format!("Take a tray of at least {amount}, or correct `drains` in the declaration."),
                None => "Take a larger tray, or correct `drains` in the declaration.".to_owned(),
            },
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

/// What runs out: as the job's one `drain` of it says, else as it is declared. Where that differs by variant, or from one `drain` to the
/// next, nobody can say it here.
fn amount(told: &Told<'_>) -> Option<Quantity> {
    let id = told.fault.thing?;
    let fluid = told.procedure.things.get(id.index())?;
    if let Some(stated) = told.procedure.part_let_out(id) {
        return Some(stated.clone());
    }
    if told.procedure.drained_by(id).iter().any(|step| !step.clauses.amounts.is_empty()) {
        return None;
    }
    let mut all = fluid.all_facts().map(|(_, facts)| facts.fluid.as_ref().and_then(|fluid| fluid.runs_out()));
    let first = all.next()??;
    all.all(|other| other.is_some_and(|other| other.same_as(first))).then(|| first.clone())
}

/// ` (31 L)`
fn ran_out(told: &Told<'_>) -> String {
    amount(told).map(|amount| format!(" ({amount})")).unwrap_or_default()
}
