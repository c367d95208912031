//! `limit-reversed`: a range that runs downwards, or a new part that would fail its own limit.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Condition, Limits, Measurement, PassAction, Procedure, steps_of};
use crate::quantity::Spec;
use crate::rules::used::answered_for;
use crate::rules::{Check, Group, Rule};
use crate::source::Span;

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "limit-reversed",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "a lower limit above the upper, or a new part that fails its own limit",
    why: "Nothing can pass, or the wrong ones do: a good part is thrown away, or a worn one goes back because the two figures were swapped.",
    wrong: "\
job: Look at the front discs

parts
  front disc

measurements
  disc thickness: of front disc, at least 24 mm, new 22.4 mm

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
    source: "Arithmetic; a new part lies inside its wear limit.",
    check: Check::Declarations(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    for measurement in &procedure.measurements {
        // The last one said holds where several could; one that is right for some variant is enough for `new`.
        let limits: Vec<&Limits> = measurement.limits.iter().map(|(_, l)| l).collect();
        limits.iter().for_each(|l| reversed_limits(&measurement.name, measurement.span, l, out));
        new_and_set(measurement, out);
    }
    for (_, thing) in answered_for(procedure) {
        for fastening in thing.all_facts().filter_map(|(_, f)| f.fastening.as_ref()) {
            for pass in &fastening.passes {
                if let PassAction::Torque(value) | PassAction::Check(value) = &pass.action {
                    reversed(&thing.name, pass.span, value, out);
                }
            }
        }
    }
    steps_of(&procedure.body, &mut |step| {
        if let Some(limits) = &step.clauses.limits {
            reversed_limits("the limits", limits.span, &limits.limits, out);
            if let (Limits::Spec(spec), Some(new)) = (&limits.limits, &limits.new)
                && !passes(new, spec)
            {
                out.push(fails("a new one", limits.span, new, spec));
            }
        }
    });
    out.dedup_by(|a, b| a.span == b.span && a.rule == b.rule);
}

fn new_and_set(measurement: &Measurement, out: &mut Vec<Diagnostic>) {
    for (what, value) in [("a new one", &measurement.new), ("the value to set it to", &measurement.set)] {
        let Some(value) = value else { continue };
        let against: Vec<&Spec> = measurement
            .limits
            .iter()
            .filter(|(condition, _)| *condition != Condition::Never)
            .filter_map(|(_, limits)| match limits {
                Limits::Spec(spec) => Some(spec),
                _ => None,
            })
            .collect();
        // With limits by variant the new value passes at least one of them.
        if let Some(spec) = against.last()
            && !against.iter().any(|spec| passes(value, spec))
        {
            out.push(fails(what, measurement.span, value, spec));
        }
    }
}

fn fails(what: &str, span: Span, value: &Spec, limits: &Spec) -> Diagnostic {
    RULE.at(span, format!("{what} measures {value} and would fail its own limit, {limits}"))
        .label("these two can't both hold")
        .help("Swap the two figures if they were taken for each other; else look up both again.")
}

fn reversed_limits(name: &str, span: Span, limits: &Limits, out: &mut Vec<Diagnostic>) {
    if let Limits::Spec(spec) = limits {
        reversed(name, span, spec, out);
    }
}

fn reversed(name: &str, span: Span, spec: &Spec, out: &mut Vec<Diagnostic>) {
    if let (Some(low), Some(high)) = (spec.low(), spec.high())
        && low.compare(&high) == Some(std::cmp::Ordering::Greater)
    {
        out.push(
            RULE.at(span, format!("{name}: the lower limit {low} is above the upper limit {high}"))
                .label("runs downwards")
                .help(format!("Write the smaller value first: `{high} to {low}`.")),
        );
    }
}

/// Every value that a new one may have lies inside the limits; another kind of quantity is told elsewhere.
fn passes(value: &Spec, limits: &Spec) -> bool {
    value.kind() != limits.kind() || [value.low(), value.high()].into_iter().flatten().all(|end| limits.contains(&end))
}
