//! `orientation-missing`: a directional part goes on and nothing says which way round.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{DetailKind, Procedure, Step, Thing, ThingId, Verb, Version, steps_of};
use crate::proof::{FaultKind, Place, Proof};
use crate::rules::wording::is_are;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "orientation-missing",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "a part that fits either way round goes on, and nothing says which way is right",
    why: "It goes on both ways and works one way: a belt run backwards loses its cords, a seal with the wrong lip leaks, a check valve turned round blocks.",
    wrong: "\
job: Renew the fan belt

parts
  fan belt: new, directional

stage: Off and on
  remove fan belt
  fit fan belt
",
    right: "\
job: Renew the fan belt

parts
  fan belt: new, directional
    orient: arrow in the direction of engine rotation

stage: Off and on
  remove fan belt
  fit fan belt
",
    source: "Common practice: what can be put on two ways is marked before it comes off, or the way is written down.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    for (i, thing) in procedure.things.iter().enumerate() {
        let id = ThingId(u32::try_from(i).unwrap_or(u32::MAX));
        if thing.all_facts().any(|(_, f)| f.directional && f.orient.is_empty()) {
            let mut open = None;
            steps_of(&procedure.body, &mut |step| {
                if open.is_none() && puts_on_new(step, id, thing) && !says_how(step) {
                    open = Some(step.head_span);
                }
            });
            out.extend(open.map(|span| {
                asked(thing, span).help("Write a line `orient: arrow forward` (what points, and where to) under this step or the declaration.")
            }));
        }
    }
    // The old one goes back: whether it was marked before it came off, the proof knows.
    for fault in proof.faults.iter().filter(|f| f.kind == FaultKind::ReuseUnmarked) {
        let Some(thing) = fault.thing.and_then(|id| procedure.things.get(id.index())) else { continue };
        let finding = asked(thing, fault.span).way(fault.way.clone()).help(format!(
            "Write `mark {}` before it comes off, or a line `orient: arrow forward` under this step or the declaration.",
            thing.name
        ));
        out.push(match fault.other {
            Some((Place::LeftHome, span)) => finding.related(span, "came off here, unmarked"),
            _ => finding,
        });
    }
}

fn asked(thing: &Thing, span: crate::source::Span) -> Diagnostic {
    RULE.at(span, format!("{} {} put on here and nothing says which way round", thing.name, is_are(&thing.name)))
        .label("which way round?")
        .related(thing.span, "declared `directional` here")
}

fn says_how(step: &Step) -> bool {
    step.clauses.at_clock.is_some() || step.details.iter().any(|d| matches!(d.kind, DetailKind::Orient(_)))
}

fn puts_on_new(step: &Step, id: ThingId, thing: &Thing) -> bool {
    let f = &thing.facts;
    step.things().filter(|t| t.thing == id).any(|t| match step.verb {
        Verb::Fit | Verb::Renew => true,
        Verb::Place => t.version == Version::New || (t.version == Version::Unsaid && (f.new || f.single_use || f.added)),
        _ => false,
    })
}
