//! Where what was forgotten goes: last off, first on.
//!
//! A thing goes back after what came off right after it, and before what came off right before it. Where both are
//! found the order of taking apart says where it belongs.

use crate::procedure::{Members, Procedure, Step, StepId, ThingId, Verb, VerbGroup};
use crate::rules::context::{InContext, steps_in_context};

/// On which side of a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    Before,
    After,
}

/// Where a line goes.
pub struct Spot<'a> {
    pub side: Side,
    pub step: &'a Step,
    /// It can't go anywhere else.
    pub certain: bool,
}

/// The place for the act that undoes step `off`.
#[must_use]
pub fn mirrored<'a>(procedure: &'a Procedure, off: StepId) -> Option<Spot<'a>> {
    let steps = steps_in_context(procedure);
    let at = steps.iter().position(|s| s.step.id == off)?;
    if steps[at].step.generated {
        return None;
    }
    // The nearest that goes home by a line of the same file; one that is passed over may stand in between.
    let beside = |range: &mut dyn Iterator<Item = usize>| {
        let list = range.take_while(|n| steps[*n].block == steps[at].block);
        let mut passed = false;
        for n in list.filter(|n| leaves_home(steps[*n].step.verb)) {
            match Back::of(&steps, n, at) {
                Some(back) => return Some(Back { certain: back.certain && !passed, ..back }),
                None => passed = true,
            }
        }
        None
    };
    let before = beside(&mut (0..at).rev());
    let after = beside(&mut (at + 1..steps.len()));
    let near = carries(procedure, steps[at].step);
    let spot = |side, back: &Back, certain| {
        // What is in front goes back later: the line comes before that at the latest.
        let last = if side == Side::Before { back.index } else { back.index + 1 };
        match (at + 1..last).find(|n| is_in_front(procedure, steps[at].step, steps[*n].step)) {
            Some(n) if !steps[n].step.generated => {
                Some(Spot { side: Side::Before, step: steps[n].step, certain: false })
            }
            Some(_) => None,
            None => Some(Spot { side, step: steps[back.index].step, certain }),
        }
    };
    match (before, after) {
        (Some(before), Some(after)) if after.index < before.index => {
            let between = &steps[after.index + 1..before.index];
            let nothing_between = between.iter().all(|s| s.step.verb.group() == VerbGroup::Work);
            let one_block = steps[after.index].block == steps[before.index].block;
            if after.certain && before.certain && nothing_between && one_block {
                spot(Side::After, &after, true)
            } else if before.certain {
                spot(Side::Before, &before, !near)
            } else {
                spot(Side::After, &after, false)
            }
        }
        (Some(before), Some(_)) => spot(Side::Before, &before, false),
        // What came off last goes on first; a circuit waits for nothing.
        (Some(before), None) => spot(Side::Before, &before, before.certain && !near),
        (None, Some(after)) => {
            let certain = after.certain && !near && !reached_after(procedure, &steps, at, after.index);
            spot(Side::After, &after, certain)
        }
        (None, None) => None,
    }
}

/// Whether something that lies behind what step `off` takes away is worked on after step `from`.
fn reached_after(procedure: &Procedure, steps: &[InContext<'_>], off: usize, from: usize) -> bool {
    let in_front: Vec<ThingId> = steps[off].step.things().map(|t| t.thing).collect();
    let is_behind =
        |id: ThingId| procedure[id].all_facts().any(|(_, facts)| facts.behind.iter().any(|id| in_front.contains(id)));
    // A fastener is reached as what it holds is reached.
    let holds_one = |id: ThingId| {
        let held = |n: &usize| procedure.things[*n].all_facts().any(|(_, facts)| facts.held_by.contains(&id));
        (0..procedure.things.len()).filter(held).any(|n| is_behind(ThingId(u32::try_from(n).unwrap_or(u32::MAX))))
    };
    steps[from + 1..].iter().flat_map(|s| s.step.things()).any(|t| is_behind(t.thing) || holds_one(t.thing))
}

/// Whether `step` puts something back behind which lies what `off` takes away.
fn is_in_front(procedure: &Procedure, off: &Step, step: &Step) -> bool {
    let behind =
        |thing: ThingId, front: ThingId| procedure[thing].all_facts().any(|(_, facts)| facts.behind.contains(&front));
    comes_home(step.verb) && step.things().any(|front| off.things().any(|t| behind(t.thing, front.thing)))
}

/// Where a thing goes home again.
struct Back {
    index: usize,
    certain: bool,
}

impl Back {
    /// Of what step `off` takes away, after step `from`.
    fn of(steps: &[InContext<'_>], off: usize, from: usize) -> Option<Self> {
        let away: Vec<(ThingId, Members)> = steps[off].step.things().map(|t| (t.thing, t.members)).collect();
        let back: Vec<usize> = (from.max(off) + 1..steps.len())
            .filter(|n| {
                let step = steps[*n].step;
                comes_home(step.verb)
                    && step.things().any(|t| away.contains(&(t.thing, t.members)))
                    && steps[*n].condition == steps[off].condition
                    && steps[*n].loops == steps[off].loops
                    && steps[*n].round == steps[off].round
            })
            .collect();
        let index = *back.first()?;
        let (there, here) = (&steps[index], &steps[off]);
        if there.step.generated || there.step.span.file != here.step.span.file {
            return None;
        }
        // More than once, or together with another, the mirror is no proof.
        let certain = back.len() == 1 && there.step.objects.len() == 1 && here.step.objects.len() == 1;
        Some(Self { index, certain })
    }
}

fn leaves_home(verb: Verb) -> bool {
    use Verb::{Chock, Disconnect, Lock, MoveAside, Open, Open1, PutIn, Raise, Remove, SwitchOff};
    matches!(verb, Remove | Disconnect | MoveAside | Open | Lock | Chock | Raise | SwitchOff | PutIn | Open1(_))
}

fn comes_home(verb: Verb) -> bool {
    use Verb::{Close, Close1, Connect, Fit, Lower, Place, Refit, Return, SwitchOn, TakeOut, Unchock, Unlock};
    matches!(
        verb,
        Refit | Fit | Connect | Return | Close | Unlock | Unchock | Lower | SwitchOn | TakeOut | Place | Close1(_)
    )
}

/// Whether it is a matter of a fluid when it goes back.
fn carries(procedure: &Procedure, step: &Step) -> bool {
    step.things().any(|t| {
        let facts = &procedure[t.thing].facts;
        !facts.carries.is_empty() || facts.filler_of.is_some() || facts.drain_of.is_some()
    })
}
