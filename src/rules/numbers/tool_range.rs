//! `tool-range`: a measuring tool that can't read the value, or that reads another kind of quantity.

use std::collections::HashSet;

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Procedure, Step, Tool, ToolId, Verb, steps_of};
use crate::quantity::{Kind, Number, Spec};
use crate::rules::readings::{Reading, Weight, readings, tools_of};
use crate::rules::tightened::scale;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "tool-range",
    group: Group::Numbers,
    severity: Severity::Warning,
    finds: "a measuring tool whose scale does not hold the value, or that reads another kind of quantity",
    why: "With a caliper that ends at 150 mm nobody measures 182 mm: the value is guessed, or copied from the limit.",
    wrong: "\
job: Look at the spacer

parts
  spacer

tools
  caliper: range 0 to 150 mm

stage: Look
  measure length of spacer, with caliper, at least 182 mm
  if spacer bad
    stop: Order a spacer.
",
    right: "\
job: Look at the spacer

parts
  spacer

tools
  caliper: range 0 to 200 mm

stage: Look
  measure length of spacer, with caliper, at least 182 mm
  if spacer bad
    stop: Order a spacer.
",
    source: "The declared `range` and `reads` of the tool itself.",
    check: Check::Job(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    let mut told: HashSet<(ToolId, bool)> = HashSet::new();
    steps_of(&procedure.body, &mut |step| {
        let tools = tools_of(step);
        if tools.is_empty() {
            return;
        }
        let values = readings(procedure, step);
        for id in &tools {
            let tool = &procedure[*id];
            if !told.contains(&(*id, true))
                && let Some(value) = out_of_range(procedure, step, tool, &tools, &values)
            {
                told.insert((*id, true));
                out.push(beyond(step, tool, value));
            }
            if !told.contains(&(*id, false))
                && let Some(finding) = another_kind(procedure, step, *id, &tools, &values)
            {
                told.insert((*id, false));
                out.push(finding);
            }
        }
    });
}

/// What a tool is declared to read; empty where that is not said.
fn kinds(tool: &Tool) -> Vec<Kind> {
    tool.reads.iter().copied().chain(tool.ranges.iter().map(Spec::kind)).collect()
}

/// The first value on no scale of this tool, where it has one of that kind and no other tool of the step reads it.
fn out_of_range<'v>(
    procedure: &Procedure,
    step: &Step,
    tool: &Tool,
    tools: &[ToolId],
    values: &'v [Reading],
) -> Option<&'v Reading> {
    // What a wrench is set to is another rule's business.
    if scale(tool).is_some() && !looks(step.verb) {
        return None;
    }
    let read_by = |tool: &Tool, value: &Spec| tool.ranges.iter().any(|range| holds(range, value));
    let has_scale = |value: &Spec| tool.ranges.iter().any(|range| range.kind() == value.kind());
    values.iter().filter(|value| value.weight != Weight::Mentioned && has_scale(&value.spec)).find(|value| {
        !tools.iter().any(|id| {
            let other = &procedure[*id];
            // A tool of this kind without a scale may well read it.
            let unknown = other.ranges.is_empty() && other.reads.contains(&value.spec.kind());
            unknown || read_by(other, &value.spec)
        })
    })
}

/// Whether both ends of a value can be read on a scale of its kind. A limit of nought needs no mark.
fn holds(range: &Spec, value: &Spec) -> bool {
    if range.kind() != value.kind() {
        return false;
    }
    let (low, high) = match range {
        // `range 150 mm` is the end of the scale.
        Spec::Exactly(end) => (None, Some(end.to_si())),
        _ => (range.low().map(|q| q.to_si()), range.high().map(|q| q.to_si())),
    };
    // A vacuum, a discharge, a valve that stands back, a wheel that leans in: shown without its sign.
    let unsigned = range.kind() != Kind::Temperature && low.is_some_and(|low| !low.is_negative());
    let ends = [value.low(), value.high()];
    ends.iter().flatten().filter(|end| !end.value.is_zero()).all(|end| {
        let end = end.to_si();
        let end = if unsigned && end.is_negative() { end.negated() } else { end };
        low.is_none_or(|low| end >= low || is_difference(range.kind(), &low, &end))
            && high.is_none_or(|high| end <= high)
    })
}

/// Taper, wear and out-of-round are told from two readings: far below the start of a scale of lengths stands no reading.
fn is_difference(kind: Kind, start: &Number, value: &Number) -> bool {
    kind == Kind::Length && value.checked_mul(&Number::whole(50)).is_some_and(|fifty| fifty < *start)
}

fn beyond(step: &Step, tool: &Tool, value: &Reading) -> Diagnostic {
    let scales: Vec<String> =
        tool.ranges.iter().filter(|r| r.kind() == value.spec.kind()).map(Spec::to_string).collect();
    let scales = scales.join(" or ");
    let value_words = match &value.spec {
        Spec::AtLeast(limit) | Spec::AtMost(limit) => limit.to_string(),
        other => other.to_string(),
    };
    let finding = RULE
        .at(step.span, format!("the {} can't read {value_words}: its scale is {scales}", tool.name))
        .label("not on its scale")
        .related(tool.span, format!("{scales} here"))
        .help(format!("Take a tool whose scale holds {value_words}, or correct the value or the `range`."));
    match value.declared {
        Some(at) => finding.related(at, format!("{} is declared here", value.name)),
        None => finding,
    }
}

/// A value of a kind that neither this tool nor another of the step reads.
fn another_kind(
    procedure: &Procedure,
    step: &Step,
    id: ToolId,
    tools: &[ToolId],
    values: &[Reading],
) -> Option<Diagnostic> {
    let tool = &procedure[id];
    let own = kinds(tool);
    if own.is_empty() || (scale(tool).is_some() && !looks(step.verb)) {
        return None;
    }
    // A multimeter that is said to read voltage reads current and resistance too.
    let electric = |kind: Kind| matches!(kind, Kind::Voltage | Kind::Current | Kind::Resistance | Kind::Frequency);
    let multi = tool.name.to_lowercase().contains("multi") && own.iter().all(|kind| electric(*kind));
    let reads = |kinds: &[Kind], value: &Spec| kinds.iter().any(|kind| alike(*kind, value.kind()));
    if values.iter().any(|value| reads(&own, &value.spec)) {
        return None;
    }
    let judged = |value: &&Reading| value.weight == Weight::Judged && !(multi && electric(value.spec.kind()));
    let unread = values.iter().filter(judged).find(|value| {
        !tools.iter().filter(|other| **other != id).any(|other| {
            let kinds = kinds(&procedure[*other]);
            kinds.is_empty() || reads(&kinds, &value.spec)
        })
    })?;
    let kind = unread.spec.kind();
    let says: Vec<&str> = own.iter().map(|kind| kind.name()).collect();
    let message =
        format!("the {} reads {}, but {} is {}", tool.name, says.join(" and "), unread.name, kind.with_article());
    let finding = RULE
        .at(step.span, message)
        .label(format!("a tool that reads {} is needed", kind.name()))
        .related(tool.span, "declared here")
        .help(format!("Take a tool that reads {}, or correct what the {} reads.", kind.name(), tool.name));
    Some(match unread.declared {
        Some(at) => finding.related(at, format!("{} here", unread.spec)),
        None => finding,
    })
}

/// Whether a tool of the one kind can tell a value of the other.
fn alike(tool: Kind, value: Kind) -> bool {
    use Kind::{Count, Density, Force, Frequency, Mass, Ratio, RotationSpeed, Temperature, TemperatureDifference};
    let pair = |a: Kind, b: Kind| (tool == a && value == b) || (tool == b && value == a);
    tool == value
        // Leakage, wetness, concentration: many a scale is marked in per cent beside its own unit.
        || matches!(value, Count | Ratio)
        || matches!(tool, Count | Ratio)
        || pair(Temperature, TemperatureDifference)
        || pair(Mass, Force)
        || pair(RotationSpeed, Frequency)
        || pair(Force, Frequency)
        || pair(Density, Temperature)
}

/// Whether the act only looks: a wrench that turns a shaft reads its drag.
fn looks(verb: Verb) -> bool {
    matches!(verb, Verb::Measure | Verb::Read)
}
