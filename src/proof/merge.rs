//! One mistake, one finding: the faults of all ways are put together, each with the fewest conditions that make it fail.

use super::fault::{Fault, FaultKind, Why};
use super::found::Look;
use super::shop::RawFault;
use super::ways::{Choice, Made, Unusual};
use super::world::World;
use crate::procedure::{AskId, Procedure, ProsePart, ThingId, steps_of};
use crate::source::Span;
use std::collections::BTreeMap;

/// What makes two faults the same mistake.
pub(super) type Key = (FaultKind, Option<Span>, Option<ThingId>, String);

/// Walks that are taken again at most to find out which conditions matter.
pub(super) const MOST_CHECKS: usize = 400;
/// Choices of a way that are tried for whether they matter.
const MOST_CHOICES: usize = 64;

/// Of a fault on one way.
pub(super) fn key_of(world: &World<'_>, raw: &RawFault) -> Key {
    let thing = raw.unit.map(|u| world.thing[u]);
    if let Some(same) = &raw.same {
        return (raw.kind, None, None, same.clone());
    }
    let wherever =
        raw.kind <= FaultKind::LeftUndone || matches!(raw.kind, FaultKind::NotTransferred | FaultKind::NeverTouched);
    if wherever {
        return (raw.kind, thing.is_none().then_some(raw.mark.span), thing, String::new());
    }
    if raw.kind == FaultKind::RunUnready {
        return (raw.kind, Some(raw.mark.span), None, String::new());
    }
    // Who stands in the way is the mistake, whatever is reached for first.
    if let (FaultKind::OutOfReach | FaultKind::LiveWork, Why::Thing(blocker)) = (raw.kind, &raw.why) {
        return (raw.kind, None, Some(*blocker), String::new());
    }
    (raw.kind, Some(raw.mark.span), thing, why_key(&raw.why))
}

fn why_key(why: &Why) -> String {
    format!("{why:?}")
}

/// A mistake, and the first way on which it was met.
#[derive(Debug)]
pub(super) struct Mistake {
    pub fault: Fault,
    pub unusual: Unusual,
    pub made: Vec<Made>,
}

/// All mistakes so far, in the order they were met.
#[derive(Debug, Default)]
pub(super) struct Mistakes {
    known: BTreeMap<Key, usize>,
    pub list: Vec<Mistake>,
}

impl Mistakes {
    /// Adds the faults of one walk.
    pub fn add(&mut self, world: &World<'_>, faults: &[RawFault], unusual: &Unusual, made: &[Made]) {
        let before = self.list.len();
        for raw in faults {
            let key = key_of(world, raw);
            let member = raw.unit.filter(|u| world.each(*u).is_some()).map(|u| world.member[u]);
            match self.known.get(&key) {
                // Another member on the same way; another way has its own conditions, and the first is the simplest.
                Some(index) if *index >= before => {
                    let members = &mut self.list[*index].fault.members;
                    if let Some(member) = member.filter(|m| !members.contains(m)) {
                        members.push(member);
                    }
                }
                Some(_) => {}
                None => {
                    self.known.insert(key, self.list.len());
                    let fault = Fault {
                        kind: raw.kind,
                        span: raw.mark.span,
                        step: Some(raw.mark.step),
                        verb: Some(raw.mark.verb),
                        thing: raw.unit.map(|u| world.thing[u]),
                        version: raw.version,
                        members: member.into_iter().collect(),
                        why: raw.why.clone(),
                        other: raw.other,
                        counts: raw.counts,
                        way: Vec::new(),
                    };
                    self.list.push(Mistake { fault, unusual: unusual.clone(), made: made.to_vec() });
                }
            }
        }
        for mistake in &mut self.list[before..] {
            let whole =
                mistake.fault.thing.and_then(|t| world.procedure[t].each).map_or(0, |s| world.set_size(s) as usize);
            if mistake.fault.members.len() == whole {
                mistake.fault.members.clear();
            }
        }
    }

    /// The keys, beside the mistakes they stand for.
    pub fn keys(&self) -> BTreeMap<usize, Key> {
        self.known.iter().map(|(key, index)| (*index, key.clone())).collect()
    }
}

/// The choices of a mistake's way that matter: turned over, the mistake is gone, and the job still runs to its end.
pub(super) fn what_matters(
    procedure: &Procedure,
    mistake: &Mistake,
    shows: &mut dyn FnMut(&Unusual) -> Option<bool>,
) -> Vec<(String, String)> {
    let mut way = Vec::new();
    for made in mistake.made.iter().take(MOST_CHOICES) {
        let matters = (0..made.arity).filter(|v| *v != made.value).any(|value| {
            let mut other = mistake.unusual.clone();
            other.insert(made.choice, value);
            shows(&other) == Some(false)
        });
        if matters {
            let words = words_of(procedure, *made);
            if !way.contains(&words) {
                way.push(words);
            }
        }
    }
    way
}

/// A choice in the author's words.
fn words_of(procedure: &Procedure, made: Made) -> (String, String) {
    let yes_no = |yes: bool| if yes { "yes" } else { "no" }.to_owned();
    match made.choice {
        Choice::Option(id) => {
            let option = &procedure[id];
            let value = option.values.get(made.value as usize).cloned().unwrap_or_else(|| yes_no(made.value == 1));
            (option.name.clone(), value)
        }
        Choice::Found { look, member, .. } => match look {
            Look::Inspect(thing) | Look::Verdict(thing) => {
                (with_member(procedure, thing, member), if made.value == 1 { "bad" } else { "good" }.to_owned())
            }
            Look::Measure(id) => {
                let measurement = &procedure[id];
                let set = measurement.each.and_then(|s| procedure.sets.get(s.index()));
                let member = set.zip(member).and_then(|(s, m)| s.members.get(m as usize));
                let name = member.map_or_else(|| measurement.name.clone(), |m| format!("{m} {}", measurement.name));
                (name, if made.value == 1 { "outside" } else { "within" }.to_owned())
            }
            Look::Ask(id) => {
                let ask = &procedure[id];
                let name = ask.name.clone().unwrap_or_else(|| question(procedure, id));
                (name, ask.answers.get(made.value as usize).cloned().unwrap_or_default())
            }
        },
    }
}

/// What an unnamed question asks.
fn question(procedure: &Procedure, id: AskId) -> String {
    let mut words = String::new();
    steps_of(&procedure.body, &mut |step| {
        if step.ask == Some(id)
            && words.is_empty()
            && let Some(prose) = &step.prose
        {
            for part in &prose.parts {
                if let ProsePart::Text(text) = part {
                    words.push_str(text);
                }
            }
        }
    });
    if words.is_empty() { "the answer".to_owned() } else { words.trim().to_owned() }
}

fn with_member(procedure: &Procedure, thing: ThingId, member: Option<u32>) -> String {
    let thing = &procedure[thing];
    let names = thing.each.and_then(|s| procedure.sets.get(s.index())).map(|s| &s.members);
    match names.zip(member).and_then(|(n, m)| n.get(m as usize)) {
        Some(member) => format!("{member} {}", thing.name),
        None => thing.name.clone(),
    }
}
