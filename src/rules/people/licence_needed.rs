//! `licence-needed`: work that many places reserve for licensed people.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{DetailKind, Procedure, Step, VerbGroup, steps_of};
use crate::rules::cautions::{Brought, brought, surroundings};
use crate::rules::{Check, Group, Rule};
use crate::source::Span;
use crate::trade::bring::is_gas_system;
use crate::trade::hazard::Hazard;

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "licence-needed",
    group: Group::People,
    severity: Severity::Advice,
    finds: "work that many places reserve for licensed or specially trained people",
    why: "Refrigerant let off is fined, an airbag that fires in the hands maims, high voltage kills at the first touch. The sheet says to follow local codes; who may do it is for the shop to say.",
    wrong: "\
job: Move the airbag wiring aside

parts
  clock spring plug: hazard airbag

stage: Aside and back
  disconnect clock spring plug
  connect clock spring plug
",
    right: "\
job: Move the radio wiring aside

parts
  clock spring plug

stage: Aside and back
  disconnect clock spring plug
  connect clock spring plug
",
    source: "Common practice; which work is reserved, and for whom, is a matter of local law.",
    check: Check::Job(check),
};

const ON_GAS: &str = "work on gas systems is reserved for registered people in most places";

/// What is reserved, and for whom, in most places.
const RESERVED: [(Hazard, &str); 3] = [
    (Hazard::Refrigerant, "work on refrigerant circuits is reserved for certified people in most places"),
    (Hazard::Airbag, "work on airbags and belt tensioners is reserved for trained people in many places"),
    (Hazard::HighVoltage, "work on high-voltage systems is reserved for qualified people in most places"),
];

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    let around = surroundings(procedure);
    let mut first: [Option<Span>; RESERVED.len()] = Default::default();
    let mut gas = None;
    steps_of(&procedure.body, &mut |step| {
        let brought = brought(procedure, step, &around);
        for (at, (hazard, _)) in RESERVED.iter().enumerate() {
            if first[at].is_none() && speaks_of_or_brings(step, &brought, *hazard) {
                first[at] = Some(step.head_span);
            }
        }
        if gas.is_none() && is_on_gas(procedure, step) {
            gas = Some(step.head_span);
        }
    });
    let found = RESERVED.iter().zip(first).map(|((hazard, words), span)| (hazard.name(), *words, span));
    for (label, words, span) in found.chain([("gas", ON_GAS, gas)]) {
        let Some(span) = span else { continue };
        out.push(RULE.at(span, words).label(label).help(match &procedure.header.level {
            Some(level) => format!("Nothing need be done: the sheet says to follow local codes, and that it is for `{level}`."),
            None => "The sheet says to follow local codes; write `level: …` at the head of the job to say who may do it."
                .to_owned(),
        }));
    }
}

/// Whether a step changes something on a system that burns gas.
fn is_on_gas(procedure: &Procedure, step: &Step) -> bool {
    step.verb.group() != VerbGroup::Work && step.things().any(|t| is_gas_system(&procedure[t.thing].name))
}

/// Whether a step brings a hazard, or its author speaks of it.
fn speaks_of_or_brings(step: &Step, brought: &[Brought], hazard: Hazard) -> bool {
    step.details.iter().any(|d| matches!(d.kind, DetailKind::Safety { hazard: Some(h), .. } if h == hazard))
        || step.clauses.hazards.contains(&hazard)
        || brought.iter().any(|b| b.hazard == hazard)
}
