//! Which stages of a recipe are due at an act, where some wait for a state that comes later (`pass: 160 N·m, at vehicle
//! lowered`): a torque that can't be given yet is not printed with boxes to tick.
//!
//! A job without errors never tightens a tight fastener twice. So when a later act tightens what this act puts on, this act
//! left the waiting stages open, and that one gives them.

use crate::procedure::{Pass, PassChoice, Procedure, Step, ThingId, Verb, steps_of};

/// What is due of a recipe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Due {
    All,
    /// What needs no state yet; the rest comes later.
    Early,
    /// What waited.
    Late,
}

impl Due {
    /// Whether a stage is due.
    pub fn holds(self, pass: &Pass) -> bool {
        match self {
            Due::All => true,
            Due::Early => pass.at.is_none(),
            Due::Late => pass.at.is_some(),
        }
    }
}

/// What of the recipe of `fastener` is due at `step`.
pub(super) fn at(job: &Procedure, step: &Step, fastener: ThingId) -> Due {
    let waits = |id: ThingId| {
        job[id]
            .all_facts()
            .filter_map(|(_, facts)| facts.fastening.as_ref())
            .any(|fastening| fastening.tighten_at.is_some() || fastening.passes.iter().any(|pass| pass.at.is_some()))
    };
    if !waits(fastener) || step.clauses.pass.is_some() || step.clauses.again {
        return Due::All;
    }
    let (mut before, mut after): (Vec<&Step>, Vec<&Step>) = (Vec::new(), Vec::new());
    let mut here = false;
    steps_of(&job.body, &mut |other| {
        if other.id == step.id {
            here = true;
        } else if touches(job, other, fastener) {
            if here { after.push(other) } else { before.push(other) }
        }
    });
    let names = |other: &&Step| other.things().any(|thing| thing.thing == fastener);
    if step.verb == Verb::Tighten {
        let put_on = before.last().is_some_and(|other| puts_on(other.verb) && !names(other));
        // Where all of it waits, all of it is due.
        return if put_on && in_part(job, fastener) { Due::Late } else { Due::All };
    }
    let tightened_later = after.first().is_some_and(|other| {
        let rest = matches!(other.clauses.pass, None | Some(PassChoice::Last));
        other.verb == Verb::Tighten && names(other) && rest && !other.clauses.again && !other.clauses.by_hand
    });
    if puts_on(step.verb) && tightened_later { Due::Early } else { Due::All }
}

/// Whether some stages wait, and not the whole of it.
fn in_part(job: &Procedure, fastener: ThingId) -> bool {
    let mut recipes = job[fastener].all_facts().filter_map(|(_, facts)| facts.fastening.as_ref());
    recipes.any(|fastening| fastening.passes.iter().any(|pass| pass.at.is_some()))
}

/// Whether the act puts on and tightens.
fn puts_on(verb: Verb) -> bool {
    matches!(verb, Verb::Refit | Verb::Fit | Verb::Connect | Verb::Return | Verb::Renew)
}

/// Whether an act is done to the fastener, or to something that it holds.
fn touches(job: &Procedure, step: &Step, fastener: ThingId) -> bool {
    let changes = puts_on(step.verb)
        || matches!(
            step.verb,
            Verb::Tighten
                | Verb::Start
                | Verb::Place
                | Verb::Loosen
                | Verb::Remove
                | Verb::Disconnect
                | Verb::MoveAside
        );
    changes
        && step.things().any(|thing| {
            thing.thing == fastener || job[thing.thing].all_facts().any(|(_, facts)| facts.held_by.contains(&fastener))
        })
}
