//! `limit-missing`: something is measured and nothing says what is right.

use std::collections::HashSet;

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{
    Block, Condition, DetailKind, Formula, Found, Limits, Measurement, MeasurementId, Object, Origin, Procedure,
    ProsePart, Step, Subject, Verb, steps_of,
};
use crate::rules::context::steps_in_context;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "limit-missing",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "a measurement with nothing to compare it with and no `record`",
    why: "A number that is measured and compared with nothing decides nothing. The apprentice sees 22.1 mm and has nobody to ask whether that is still good.",
    wrong: "\
job: Look at the front discs

parts
  front disc

measurements
  disc thickness: of front disc

stage: Look
  measure disc thickness
  if front disc bad
    stop: Order two discs.
",
    right: "\
job: Look at the front discs

parts
  front disc

measurements
  disc thickness: of front disc, at least 22.4 mm, new 24 mm

stage: Look
  measure disc thickness
  if front disc bad
    stop: Order two discs.
",
    source: "Common practice: a measured value has limits, is compared with another value, or is recorded for later.",
    check: Check::Job(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    let mut compared = compared_elsewhere(procedure);
    // `if X outside` and `until X within` ask for limits, whatever else is done with the value.
    asked_within(&procedure.body, &mut |id| {
        compared.remove(&id);
    });
    let mut told: HashSet<MeasurementId> = HashSet::new();
    steps_of(&procedure.body, &mut |step| {
        if step.verb != Verb::Measure || step.clauses.limits.is_some() || step.clauses.record || expects(step) {
            return;
        }
        if step.clauses.call_it.is_some_and(|id| compared.contains(&id)) {
            return;
        }
        for object in &step.objects {
            match object {
                Object::Measurement(id, _) => {
                    let measurement = &procedure[*id];
                    if !has_limits(measurement) && !compared.contains(id) && told.insert(*id) {
                        out.push(finding(step, measurement));
                    }
                }
                Object::Free(text, _) => out.push(without_limits(step, text)),
                Object::Thing(thing) => out.push(without_limits(step, &procedure[thing.thing].name)),
                Object::Tool(_) | Object::Supply(_) => {}
            }
        }
    });
}

fn finding(step: &Step, measurement: &Measurement) -> Diagnostic {
    let finding = without_limits(step, &measurement.name);
    if measurement.origin == Origin::Declared {
        finding.related(measurement.span, "declared here, without limits")
    } else {
        finding
    }
}

fn without_limits(step: &Step, name: &str) -> Diagnostic {
    RULE.at(step.span, format!("{name} is measured here and nothing says what is right"))
        .label("compared with what?")
        .help("Write its limits (`at least 22.4 mm`, `0.15 to 0.20 mm`), or `record` where it is only written down.")
}

fn has_limits(measurement: &Measurement) -> bool {
    !measurement.limits.is_empty()
        || measurement.record
        || measurement.set.is_some()
        || measurement.details.iter().any(|d| matches!(d.kind, DetailKind::Expect(_)))
}

/// `expect:` under the step says what is right, in words.
fn expects(step: &Step) -> bool {
    step.details.iter().any(|d| matches!(d.kind, DetailKind::Expect(_)))
}

/// Measurements that some block asks about: within or outside their limits.
fn asked_within(blocks: &[Block], visit: &mut dyn FnMut(MeasurementId)) {
    for block in blocks {
        if let Block::With { condition, .. } | Block::If { condition, .. } | Block::Until { condition, .. } = block {
            condition.atoms(&mut |atom| match atom {
                Condition::Found(Found::Outside(id)) => visit(*id),
                Condition::Found(Found::Is(state)) => {
                    if let Subject::Measurement(id) = state.subject {
                        visit(id);
                    }
                }
                _ => {}
            });
        }
        match block {
            Block::Step(_) => {}
            Block::Stage(stage) => asked_within(&stage.body, visit),
            Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => {
                asked_within(body, visit);
            }
            Block::If { then: body, otherwise: other, .. } | Block::Until { body, before_next: other, .. } => {
                asked_within(body, visit);
                asked_within(other, visit);
            }
            Block::Reverse(reversed) => asked_within(&reversed.body, visit),
        }
    }
}

/// Values that are worked with, printed or decided on later.
fn compared_elsewhere(procedure: &Procedure) -> HashSet<MeasurementId> {
    let mut found = HashSet::new();
    for limits in procedure.measurements.iter().flat_map(|m| &m.limits) {
        of_limits(&limits.1, &mut found);
    }
    for seen in steps_in_context(procedure) {
        let step = seen.step;
        step.clauses.limits.iter().for_each(|l| of_limits(&l.limits, &mut found));
        if let Some(work_out) = &step.work_out {
            of_formula(&work_out.formula, &mut found);
        }
        if step.verb != Verb::Measure {
            found.extend(step.objects.iter().filter_map(|o| match o {
                Object::Measurement(id, _) => Some(*id),
                _ => None,
            }));
        }
        let mut in_prose = |prose: &crate::procedure::Prose| {
            found.extend(prose.parts.iter().filter_map(|p| match p {
                ProsePart::Found(id) => Some(*id),
                _ => None,
            }));
        };
        crate::rules::prose::of_step(step, &mut |_, prose| in_prose(prose));
        step.clauses.other.iter().for_each(&mut in_prose);
    }
    found
}

fn of_limits(limits: &Limits, found: &mut HashSet<MeasurementId>) {
    match limits {
        Limits::Spec(_) => {}
        Limits::WithinOf { of, .. } | Limits::AtLeast(of) | Limits::AtMost(of) => {
            found.insert(*of);
        }
    }
}

fn of_formula(formula: &Formula, found: &mut HashSet<MeasurementId>) {
    match formula {
        Formula::Value(id, _) => {
            found.insert(*id);
        }
        Formula::Quantity(_) | Formula::Number(_) => {}
        Formula::Add(a, b) | Formula::Sub(a, b) | Formula::Mul(a, b) | Formula::Div(a, b) => {
            of_formula(a, found);
            of_formula(b, found);
        }
        Formula::Highest(all) | Formula::Lowest(all) | Formula::Spread(all) => {
            all.iter().for_each(|f| of_formula(f, found));
        }
    }
}
