//! Which built-in safety messages a job needs, and where: those of declarations, and those of acts that are known to
//! hurt people. The sheet prints them; `caution-missing` tells the author about the ones nobody asked for.
//!
//! Which act brings which hazard is common practice of the trade, not a published table.

use std::collections::HashSet;

use crate::procedure::{
    Builtin, Detail, DetailKind, Procedure, Stage, Step, StepId, Thing, ThingKind, Verb, VerbGroup,
};
use crate::rules::context::{InContext, steps_in_context};
use crate::source::Span;
use crate::trade::hazard::Hazard;

/// A message that is put in before a step.
#[derive(Clone, Debug, PartialEq)]
pub struct Caution {
    pub step: StepId,
    /// Of the step's verb and objects.
    pub span: Span,
    pub hazard: Hazard,
    /// What brings it, for the author: `draining fuel`.
    pub because: String,
    /// A declaration asks for it (`hazard …`, `weighs …`); else the act alone does.
    pub declared: bool,
}

/// The messages to put in, in the order of the steps: one hazard once a stage, and none that the author has already
/// said in that stage.
#[must_use]
pub fn cautions(procedure: &Procedure) -> Vec<Caution> {
    let mut out = Vec::new();
    let mut said: HashSet<(Option<usize>, Hazard)> = HashSet::new();
    for seen in steps_in_context(procedure) {
        let stage = seen.stage.map(|(n, _)| n);
        for hazard in spoken_of(procedure, &seen) {
            said.insert((stage, hazard));
        }
        for (hazard, because, declared) in brought(procedure, seen.step) {
            if said.insert((stage, hazard)) {
                out.push(Caution { step: seen.step.id, span: seen.step.head_span, hazard, because, declared });
            }
        }
    }
    out
}

/// The hazards that the author speaks of at this step or at the head of its stage.
pub(super) fn spoken_of(procedure: &Procedure, seen: &InContext<'_>) -> Vec<Hazard> {
    let mut found = seen.step.clauses.hazards.clone();
    let of_stage = |(_, stage): (usize, &Stage)| hazards_of(&stage.details);
    found.extend(hazards_of(&seen.step.details));
    found.extend(seen.stage.map(of_stage).unwrap_or_default());
    found.extend(seen.step.things().flat_map(|t| hazards_of(&procedure[t.thing].details)));
    found
}

fn hazards_of(details: &[Detail]) -> Vec<Hazard> {
    details
        .iter()
        .filter_map(|d| match d.kind {
            DetailKind::Safety { hazard, .. } => hazard,
            _ => None,
        })
        .collect()
}

/// What a step brings: the hazard, what of, and whether a declaration says so.
pub(super) fn brought(procedure: &Procedure, step: &Step) -> Vec<(Hazard, String, bool)> {
    let mut out: Vec<(Hazard, String, bool)> = Vec::new();
    if step.verb == Verb::RunEngine {
        out.push((Hazard::ExhaustGas, "running the engine".to_string(), false));
        out.push((Hazard::RotatingParts, "running the engine".to_string(), false));
    }
    for reference in step.things() {
        let thing = &procedure[reference.thing];
        let touched = step.verb.group() != VerbGroup::Work;
        if touched {
            out.extend(thing.facts.hazards.iter().map(|h| (*h, thing.name.clone(), true)));
            if let Some(weight) = thing.facts.weighs.as_ref().filter(|_| is_lifted(step.verb)) {
                out.push((Hazard::HeavyLoad, format!("{} ({weight})", thing.name), true));
            }
        }
        if step.verb == Verb::Raise && lifts_the_machine(thing) {
            out.push((Hazard::UnsupportedVehicle, format!("raising {}", with_the(thing)), false));
        }
        for fluid in opened(procedure, step.verb, thing) {
            let kind = fluid.facts.fluid.as_ref().and_then(|f| f.kind);
            out.extend(kind.into_iter().flat_map(|k| k.hazards()).map(|h| (*h, fluid.name.clone(), false)));
        }
    }
    out
}

fn is_lifted(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::Remove
            | Verb::Refit
            | Verb::Fit
            | Verb::Place
            | Verb::Renew
            | Verb::Support
            | Verb::MoveAside
            | Verb::Return
    )
}

fn lifts_the_machine(thing: &Thing) -> bool {
    use Builtin::{Front, FrontWheels, Rear, RearWheels, Vehicle, Wheels};
    matches!(thing.kind, ThingKind::Builtin(Vehicle | Front | Rear | Wheels | FrontWheels | RearWheels))
}

fn with_the(thing: &Thing) -> String {
    format!("the {}", thing.name)
}

/// The fluids that an act lets out or pours in.
fn opened<'a>(procedure: &'a Procedure, verb: Verb, thing: &'a Thing) -> Vec<&'a Thing> {
    match verb {
        Verb::Drain | Verb::Fill | Verb::Bleed | Verb::TopUp if thing.kind == ThingKind::Fluid => vec![thing],
        Verb::Remove | Verb::Disconnect | Verb::Open | Verb::Renew => {
            thing.facts.carries.iter().chain(&thing.facts.drain_of).map(|id| &procedure[*id]).collect()
        }
        _ => Vec::new(),
    }
}
