//! `licence-needed`: work that many places reserve for licensed people.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{DetailKind, FluidKind, Procedure, Step, Verb, VerbGroup, steps_of};
use crate::rules::{Check, Group, Rule};
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

/// What is reserved, and for whom, in most places.
const RESERVED: [(Hazard, &str); 3] = [
    (Hazard::Refrigerant, "work on refrigerant circuits is reserved for certified people in most places"),
    (Hazard::Airbag, "work on airbags and belt tensioners is reserved for trained people in many places"),
    (Hazard::HighVoltage, "work on high-voltage systems is reserved for qualified people in most places"),
];

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    for (hazard, words) in RESERVED {
        let mut first = None;
        steps_of(&procedure.body, &mut |step| {
            if first.is_none() && brings(procedure, step, hazard) {
                first = Some(step.head_span);
            }
        });
        if let Some(span) = first {
            out.push(RULE.at(span, words).label(hazard.name()).help(
                "The sheet says to follow local codes; write `level: …` at the head of the job to say who may do it.",
            ));
        }
    }
}

fn brings(procedure: &Procedure, step: &Step, hazard: Hazard) -> bool {
    let opens = matches!(
        step.verb,
        Verb::Remove | Verb::Disconnect | Verb::Open | Verb::Drain | Verb::Fill | Verb::Renew | Verb::Bleed
    );
    let in_details =
        step.details.iter().any(|d| matches!(d.kind, DetailKind::Safety { hazard: Some(h), .. } if h == hazard));
    in_details
        || step.clauses.hazards.contains(&hazard)
        || step.things().any(|reference| {
            let thing = &procedure[reference.thing];
            let refrigerant = |id: &crate::procedure::ThingId| is_refrigerant(procedure, *id);
            (step.verb.group() != VerbGroup::Work && thing.facts.hazards.contains(&hazard))
                || (hazard == Hazard::Refrigerant
                    && opens
                    && (refrigerant(&reference.thing) || thing.facts.carries.iter().any(refrigerant)))
        })
}

fn is_refrigerant(procedure: &Procedure, id: crate::procedure::ThingId) -> bool {
    procedure[id].facts.fluid.as_ref().is_some_and(|f| f.kind == Some(FluidKind::Refrigerant))
}
