//! `orientation-missing`: a directional part goes on and nothing says which way round.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{DetailKind, Object, Procedure, ProsePart, Step, Thing, ThingId, Verb, Version, steps_of};
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
    check: Check::Job(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    let mut steps: Vec<&Step> = Vec::new();
    steps_of(&procedure.body, &mut |step| steps.push(step));
    for (i, thing) in procedure.things.iter().enumerate() {
        let id = ThingId(u32::try_from(i).unwrap_or(u32::MAX));
        if thing.all_facts().all(|(_, f)| !f.directional || !f.orient.is_empty()) {
            continue;
        }
        let stated = |step: &Step| {
            step.clauses.at_clock.is_some() || step.details.iter().any(|d| matches!(d.kind, DetailKind::Orient(_)))
        };
        let open = steps.iter().enumerate().find(|(n, step)| {
            puts_on(step, id)
                && !stated(step)
                && !(is_reuse(step, id, thing) && steps[..*n].iter().any(|s| marks(procedure, s, id)))
        });
        if let Some((_, step)) = open {
            let reuse = is_reuse(step, id, thing);
            let finding = RULE
                .at(
                    step.head_span,
                    format!("{} {} put on here and nothing says which way round", thing.name, is_are(&thing.name)),
                )
                .label("which way round?")
                .related(thing.span, "declared `directional` here");
            out.push(finding.help(if reuse {
                format!("write `mark {}` before it comes off, or a line `orient: arrow forward` under this step or the declaration", thing.name)
            } else {
                "write a line `orient: arrow forward` (what points, and where to) under this step or the declaration".to_string()
            }));
        }
    }
}

fn puts_on(step: &Step, id: ThingId) -> bool {
    matches!(
        step.verb,
        Verb::Fit | Verb::Refit | Verb::Place | Verb::Renew | Verb::Connect | Verb::Return | Verb::Transfer
    ) && step.things().any(|t| t.thing == id)
}

/// The old one goes back: a mark made before it came off tells the way.
fn is_reuse(step: &Step, id: ThingId, thing: &Thing) -> bool {
    let version = step.things().find(|t| t.thing == id).map_or(Version::Unsaid, |t| t.version);
    match step.verb {
        Verb::Refit | Verb::Connect | Verb::Return | Verb::Transfer => version != Version::New,
        Verb::Place => match version {
            Version::Old => true,
            Version::New => false,
            Version::Unsaid => !(thing.facts.new || thing.facts.single_use || thing.facts.added),
        },
        _ => false,
    }
}

/// `mark drive belt`, or a `mark` whose words name it.
fn marks(procedure: &Procedure, step: &Step, id: ThingId) -> bool {
    let name = procedure[id].name.to_lowercase();
    step.verb == Verb::Mark
        && (step.objects.iter().any(|object| match object {
            Object::Thing(thing) => thing.thing == id,
            Object::Free(text, _) => text.to_lowercase().contains(&name),
            _ => false,
        }) || step.prose.iter().flat_map(|p| &p.parts).any(|part| match part {
            ProsePart::Name(thing) => *thing == id,
            ProsePart::Text(text) => text.to_lowercase().contains(&name),
            _ => false,
        }))
}
