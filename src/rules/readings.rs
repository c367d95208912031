//! What is read with the tools of a step.

use crate::procedure::{
    DetailKind, Limits, MeasurementId, Object, PassAction, Procedure, Prose, ProsePart, Step, ToolId, Verb, With,
};
use crate::quantity::{Kind, Spec, find_quantities};
use crate::source::Span;

/// How surely a value is one that the tool must read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// What is measured: its kind must be the tool's, and it must be on the scale.
    Judged,
    /// It must be on the scale if it is of the tool's kind: `until coolant 80 °C`.
    Watched,
    /// It stands somewhere in the text and only tells that the kind is spoken of.
    Mentioned,
}

/// A value of a step.
#[derive(Clone, Debug)]
pub struct Reading {
    pub spec: Spec,
    /// What is measured, for the message.
    pub name: String,
    pub weight: Weight,
    /// Where it is declared, if not in the step.
    pub declared: Option<Span>,
}

/// The tools of a step; what is read or checked may be the tool itself (`read pressure gauge, at least 6 bar`).
pub fn tools_of(step: &Step) -> Vec<ToolId> {
    let with = step.clauses.with.iter().filter_map(|with| match with {
        With::Tool(id) => Some(*id),
        _ => None,
    });
    let details = step.details.iter().filter_map(|detail| match &detail.kind {
        DetailKind::Tool { tool, .. } => *tool,
        _ => None,
    });
    let objects = step.objects.iter().filter_map(|object| match object {
        Object::Tool(id) if matches!(step.verb, Verb::Read | Verb::Check | Verb::Record) => Some(*id),
        _ => None,
    });
    with.chain(details).chain(objects).collect()
}

/// The values of a step, what is declared of its measurements included.
pub fn readings(procedure: &Procedure, step: &Step) -> Vec<Reading> {
    let mut all = Vec::new();
    let measures = matches!(
        step.verb,
        Verb::Measure | Verb::Read | Verb::Record | Verb::Check | Verb::Test | Verb::Set | Verb::Adjust
    );
    let name = step.objects.iter().find_map(|object| match object {
        Object::Measurement(id, _) => Some(procedure[*id].name.clone()),
        Object::Thing(thing) => Some(procedure[thing.thing].name.clone()),
        Object::Free(text, _) => Some(text.clone()),
        Object::Tool(_) | Object::Supply(_) => None,
    });
    let name = name.unwrap_or_else(|| "the value".to_owned());
    let reading = |spec: &Spec, weight| Reading { spec: spec.clone(), name: name.clone(), weight, declared: None };
    if measures {
        if let Some(own) = &step.clauses.limits {
            all.extend(spec_of(&own.limits).map(|spec| reading(spec, Weight::Judged)));
            all.extend(own.new.iter().map(|spec| reading(spec, Weight::Judged)));
        }
        for object in &step.objects {
            if let Object::Measurement(id, _) = object {
                declared(procedure, *id, step.clauses.limits.is_some(), &mut all);
            }
        }
        all.extend(step.clauses.amounts.iter().map(|amount| reading(amount, weight_of(step.verb, amount))));
    }
    if step.verb == Verb::Tighten && !step.clauses.by_hand {
        all.extend(torques(procedure, step));
    }
    if let Some(until) = &step.clauses.until {
        in_prose(until, Weight::Watched, true, &mut all);
    }
    for detail in &step.details {
        match &detail.kind {
            DetailKind::Expect(prose) if measures => in_prose(prose, Weight::Watched, false, &mut all),
            DetailKind::Expect(prose)
            | DetailKind::Note(prose)
            | DetailKind::Tip(prose)
            | DetailKind::Tool { prose, .. } => in_prose(prose, Weight::Mentioned, true, &mut all),
            _ => {}
        }
    }
    if let Some(prose) = &step.prose {
        in_prose(prose, Weight::Mentioned, true, &mut all);
    }
    step.clauses.other.iter().for_each(|prose| in_prose(prose, Weight::Mentioned, true, &mut all));
    all
}

fn spec_of(limits: &Limits) -> Option<&Spec> {
    match limits {
        Limits::Spec(spec) => Some(spec),
        // How far two values may lie apart is no value on a scale.
        Limits::WithinOf { .. } | Limits::AtLeast(_) | Limits::AtMost(_) => None,
    }
}

/// Limits, the value when new and what it is set to; limits in the step stand in place of those declared.
fn declared(procedure: &Procedure, id: MeasurementId, own_limits: bool, all: &mut Vec<Reading>) {
    let measurement = &procedure[id];
    let limits = measurement.limits.iter().filter(|_| !own_limits).filter_map(|(_, limits)| spec_of(limits));
    let specs = limits.chain(&measurement.new).chain(&measurement.set);
    all.extend(specs.map(|spec| Reading {
        spec: spec.clone(),
        name: measurement.name.clone(),
        weight: Weight::Judged,
        declared: Some(measurement.span),
    }));
}

/// A bare amount beside `set`, `adjust`, `check` or `test` may be how far something is turned, how often, or how hot it is made.
fn weight_of(verb: Verb, amount: &Spec) -> Weight {
    use Kind::{Angle, Count, Ratio, RotationSpeed, Speed, Temperature, Time};
    let beside = matches!(amount.kind(), Angle | Count | Ratio | RotationSpeed | Speed | Temperature | Time);
    match verb {
        Verb::Measure | Verb::Read => Weight::Judged,
        _ if !beside && !matches!(amount, Spec::Exactly(_)) => Weight::Judged,
        Verb::Set | Verb::Adjust if !beside => Weight::Judged,
        _ => Weight::Watched,
    }
}

/// The torque of what is tightened, where the step says nothing else of how: a spring balance may be there for the drag.
fn torques(procedure: &Procedure, step: &Step) -> Vec<Reading> {
    let speaks = step.prose.is_some() || !step.details.is_empty() || step.clauses.until.is_some();
    if speaks || !step.clauses.amounts.is_empty() || step.clauses.limits.is_some() {
        return Vec::new();
    }
    let mut all = Vec::new();
    for reference in step.things() {
        let thing = &procedure[reference.thing];
        let fastenings: Vec<_> = thing.all_facts().filter_map(|(_, facts)| facts.fastening.as_ref()).collect();
        if fastenings.iter().any(|fastening| !fastening.setting.is_empty()) {
            return Vec::new();
        }
        for pass in fastenings.iter().flat_map(|fastening| &fastening.passes) {
            let spec = match &pass.action {
                PassAction::Torque(spec) | PassAction::Check(spec) => spec.clone(),
                PassAction::Turn(angle) => Spec::Exactly(angle.clone()),
                PassAction::HandTight | PassAction::Slacken => continue,
            };
            let name = format!("the tightening of the {}", thing.name);
            all.push(Reading { spec, name, weight: Weight::Judged, declared: Some(thing.span) });
        }
    }
    all
}

/// Values in braces, and with `bare` those that are only typed.
fn in_prose(prose: &Prose, weight: Weight, bare: bool, all: &mut Vec<Reading>) {
    for part in &prose.parts {
        let mut add = |spec: Spec| all.push(Reading { spec, name: "it".to_owned(), weight, declared: None });
        match part {
            ProsePart::Value(spec) => add(spec.clone()),
            ProsePart::Text(text) if bare => {
                find_quantities(text).into_iter().for_each(|(_, quantity)| add(Spec::Exactly(quantity)));
            }
            _ => {}
        }
    }
}
