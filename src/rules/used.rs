//! Which declared things a job works on.

use std::collections::HashSet;

use crate::procedure::{Object, Procedure, Thing, ThingId, With, steps_of};

/// The things that the steps name, and what holds them: what `remove P` takes out is worked on too.
#[must_use]
pub fn worked_on(procedure: &Procedure) -> HashSet<ThingId> {
    let mut found = HashSet::new();
    let mut open = Vec::new();
    steps_of(&procedure.body, &mut |step| {
        open.extend(step.objects.iter().filter_map(|o| match o {
            Object::Thing(thing) => Some(thing.thing),
            _ => None,
        }));
        open.extend(step.clauses.with.iter().filter_map(|w| match w {
            With::Thing(thing) => Some(thing.thing),
            _ => None,
        }));
    });
    while let Some(id) = open.pop() {
        if found.insert(id) {
            procedure[id].all_facts().for_each(|(_, facts)| open.extend(&facts.held_by));
        }
    }
    found
}

/// The declared things that this job answers for: its own, and those of shared files that it works on. A file that
/// has no steps of its own answers for all it declares.
pub fn answered_for(procedure: &Procedure) -> impl Iterator<Item = (ThingId, &Thing)> {
    let worked_on = worked_on(procedure);
    let no_steps = procedure.body.is_empty();
    procedure.things.iter().enumerate().filter_map(move |(i, thing)| {
        let id = ThingId(u32::try_from(i).unwrap_or(u32::MAX));
        (no_steps || !thing.shared || worked_on.contains(&id)).then_some((id, thing))
    })
}
