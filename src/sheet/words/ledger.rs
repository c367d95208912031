//! What is off, loose, open or drained while the sheet is written, so that an act shows the fasteners
//! it takes along and a stage the state it begins in.
//!
//! It follows the paper from top to bottom; whether the job is right is the proof's business.

use std::collections::{BTreeMap, BTreeSet};

use super::fastener::Doing;
use super::name;
use super::ways::Known;
use crate::procedure::{Members, PairId, PassChoice, Portion, Procedure, Step, ThingId, ThingKind, ThingRef, Verb};
use crate::sheet::catalogue as say;

/// A thing and the member of its set; 0 where it has none.
pub(super) type Key = (ThingId, u32);

/// Where a thing is when it is not at home.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Away {
    Off,
    Aside,
    Disconnected,
    Placed,
    Loose,
    Started,
    Open,
    Drained,
    Unbled,
    Raised,
    Supported,
    Locked,
    Chocked,
    SwitchedOff,
    In,
    Own(PairId),
}

/// A group of fasteners that an act takes along, or is done to.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Taken {
    pub thing: ThingId,
    pub members: BTreeSet<u32>,
    pub doing: Doing,
    pub portion: Portion,
    /// The act names it; else it holds what the act names.
    pub named: bool,
    /// It was at home before: tight, unless it is put in now.
    pub home: bool,
}

/// The state of the machine as the sheet has it so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Ledger {
    away: BTreeMap<Key, Away>,
    /// In the order in which they left home.
    order: Vec<Key>,
    pub running: bool,
}

/// What the ledger needs to look things up.
pub(super) struct Shop<'a, 'p> {
    pub job: &'p Procedure,
    pub known: &'a Known<'p>,
    /// What each fastener holds.
    pub holds: &'a BTreeMap<ThingId, Vec<ThingId>>,
}

impl Shop<'_, '_> {
    /// The members that a reference means here.
    pub(super) fn members(&self, reference: &ThingRef) -> Vec<u32> {
        let Some(set) = self.job[reference.thing].each else { return vec![0] };
        if let Members::One(member) = reference.members {
            return vec![member];
        }
        match self.known.narrowed.iter().rev().find(|(narrowed, _)| *narrowed == set) {
            Some((_, member)) => vec![*member],
            None => (0..self.job[set].members.len() as u32).collect(),
        }
    }

    /// The same member of another thing; all of them where only the other one belongs to a set.
    fn same(&self, key: Key, other: ThingId) -> Vec<Key> {
        match (self.job[key.0].each, self.job[other].each) {
            (Some(a), Some(b)) if a == b => vec![(other, key.1)],
            (_, None) => vec![(other, 0)],
            (_, Some(set)) => (0..self.job[set].members.len() as u32).map(|m| (other, m)).collect(),
        }
    }

    fn exists(&self, thing: ThingId) -> bool {
        self.known.holds(&self.job[thing].exists) != Some(false)
    }

    fn is_fastener(&self, thing: ThingId) -> bool {
        self.job[thing].kind == ThingKind::Fastener
    }

    fn holders(&self, key: Key) -> Vec<Key> {
        let facts = self.known.facts(&self.job[key.0]);
        let holders = facts.held_by.iter().filter(|holder| self.exists(**holder));
        holders
            .flat_map(|holder| match facts.only_member.iter().find(|(only, _)| only == holder) {
                // `held by right caliper bolts`: that member of them, and no other.
                Some((_, member)) => vec![(*holder, *member)],
                None => self.same(key, *holder).into_iter().collect(),
            })
            .collect()
    }
}

impl Ledger {
    pub(super) fn at(&self, key: Key) -> Option<Away> {
        self.away.get(&key).copied()
    }

    fn set(&mut self, key: Key, away: Away) {
        if self.away.insert(key, away).is_none() {
            self.order.push(key);
        }
    }

    fn home(&mut self, key: Key) {
        if self.away.remove(&key).is_some() {
            self.order.retain(|other| *other != key);
        }
    }

    /// Does a step; returns the groups of fasteners it touches.
    pub(super) fn apply(&mut self, step: &Step, shop: &Shop<'_, '_>) -> Vec<Taken> {
        let mut taken = Vec::new();
        match step.verb {
            Verb::RunEngine => {
                self.running = step.clauses.for_time.is_none() && step.clauses.until.is_none();
            }
            Verb::StopEngine => self.running = false,
            _ => {}
        }
        for reference in step.things() {
            if !shop.exists(reference.thing) {
                continue;
            }
            for member in shop.members(reference) {
                self.act(step, reference, (reference.thing, member), shop, &mut taken);
            }
        }
        taken
    }

    fn act(&mut self, step: &Step, reference: &ThingRef, key: Key, shop: &Shop<'_, '_>, taken: &mut Vec<Taken>) {
        let whole = reference.portion == Portion::Whole;
        let home = self.at(key).is_none();
        let mut named = |doing: Doing| add(taken, key, doing, &reference.portion, true, home);
        let fastener = shop.job[key.0].is_fastener();
        match step.verb {
            Verb::Remove | Verb::Disconnect | Verb::MoveAside if shop.is_fastener(key.0) => {
                named(Doing::Undo);
                if whole {
                    self.set(key, Away::Off);
                }
            }
            Verb::Remove => self.take(key, Away::Off, shop, taken),
            Verb::Disconnect => self.take(key, Away::Disconnected, shop, taken),
            Verb::MoveAside => self.take(key, Away::Aside, shop, taken),
            Verb::Renew => {
                self.take(key, Away::Off, shop, taken);
                taken.clear();
                self.put(key, shop, taken);
            }
            Verb::Refit | Verb::Fit | Verb::Connect | Verb::Return => {
                if shop.is_fastener(key.0) {
                    named(Doing::Tighten(None));
                    self.home(key);
                    self.settle(key, shop);
                } else {
                    self.put(key, shop, taken);
                }
            }
            // What nothing holds is home once it is in its place.
            Verb::Place if shop.holders(key).is_empty() && !fastener => self.home(key),
            Verb::Place | Verb::Try => self.set(key, Away::Placed),
            Verb::Start => {
                named(Doing::Start);
                self.set(key, Away::Started);
            }
            Verb::Loosen => {
                if fastener {
                    named(Doing::Undo);
                }
                self.set(key, Away::Loose);
            }
            Verb::Tighten => {
                let by_hand = step.clauses.by_hand;
                let doing = if by_hand { Doing::Snug } else { Doing::Tighten(pass_of(step)) };
                if fastener {
                    named(doing);
                }
                if by_hand || self.is_early(step, key, shop) {
                    self.set(key, Away::Started);
                } else if whole || matches!(reference.portion, Portion::Positions(_)) {
                    self.home(key);
                    self.settle(key, shop);
                }
            }
            Verb::Open => {
                if fastener {
                    named(Doing::Undo);
                }
                self.set(key, Away::Open);
            }
            Verb::Close => {
                if fastener {
                    named(Doing::Tighten(None));
                }
                self.home(key);
            }
            Verb::Drain => {
                self.set(key, Away::Drained);
                self.open_drains(key, shop, taken);
            }
            Verb::Fill => {
                let facts = shop.known.facts(&shop.job[key.0]);
                if facts.fluid.as_ref().is_some_and(|fluid| fluid.needs_bleeding) {
                    self.set(key, Away::Unbled);
                } else {
                    self.home(key);
                }
            }
            Verb::Bleed => self.home(key),
            Verb::Raise => self.set(key, Away::Raised),
            Verb::Support => self.set(key, Away::Supported),
            Verb::Lock => self.set(key, Away::Locked),
            Verb::Chock => self.set(key, Away::Chocked),
            Verb::SwitchOff => self.set(key, Away::SwitchedOff),
            Verb::PutIn => self.set(key, Away::In),
            Verb::Lower | Verb::Release | Verb::Unlock | Verb::Unchock | Verb::SwitchOn | Verb::TakeOut => {
                self.home(key);
            }
            Verb::Open1(pair) => self.set(key, Away::Own(pair)),
            Verb::Close1(_) => self.home(key),
            _ => {}
        }
    }

    /// Whether a stage of the recipe is still to come.
    fn is_early(&self, step: &Step, key: Key, shop: &Shop<'_, '_>) -> bool {
        let facts = shop.known.facts(&shop.job[key.0]);
        let passes = facts.fastening.as_ref().map_or(0, |fastening| fastening.passes.len());
        matches!(step.clauses.pass, Some(PassChoice::Number(number)) if (number as usize) < passes)
    }

    /// Takes a thing away, and what still holds it.
    fn take(&mut self, key: Key, away: Away, shop: &Shop<'_, '_>, taken: &mut Vec<Taken>) {
        // A thing that is on its way already is not undone again; this also ends a circle.
        let before = self.at(key);
        self.set(key, away);
        for holder in shop.holders(key) {
            if shop.is_fastener(holder.0) {
                let at = self.at(holder);
                if at != Some(Away::Off) {
                    add(taken, holder, Doing::Undo, &Portion::Whole, false, at.is_none());
                    self.set(holder, Away::Off);
                }
            } else if self.at(holder).is_none() {
                self.take(holder, Away::Off, shop, taken);
            }
        }
        if shop.job[key.0].is_fastener() && !matches!(before, Some(Away::Off | Away::Loose)) {
            add(taken, key, Doing::Undo, &Portion::Whole, true, before.is_none());
        }
    }

    /// Puts a thing back, with what holds it once all that it holds is there.
    fn put(&mut self, key: Key, shop: &Shop<'_, '_>, taken: &mut Vec<Taken>) {
        self.home(key);
        for holder in shop.holders(key) {
            let Some(away) = self.at(holder) else { continue };
            if !shop.is_fastener(holder.0) {
                if away == Away::Off {
                    self.put(holder, shop, taken);
                }
                continue;
            }
            let held = shop.holds.get(&holder.0).map_or(&[][..], Vec::as_slice);
            let others_on = held
                .iter()
                .filter(|thing| shop.exists(**thing))
                .flat_map(|thing| shop.same(holder, *thing))
                .all(|thing| matches!(self.at(thing), None | Some(Away::Placed)));
            if others_on {
                add(taken, holder, Doing::Tighten(None), &Portion::Whole, false, false);
                self.home(holder);
                // What was only placed is home once its last holder is tight.
                for thing in held.iter().flat_map(|thing| shop.same(holder, *thing)) {
                    if self.at(thing) == Some(Away::Placed) {
                        self.home(thing);
                    }
                }
            }
        }
        if shop.job[key.0].is_fastener() {
            add(taken, key, Doing::Tighten(None), &Portion::Whole, true, false);
        }
    }

    /// What was only placed is home once the last that holds it is tight.
    fn settle(&mut self, holder: Key, shop: &Shop<'_, '_>) {
        let held = shop.holds.get(&holder.0).map_or(&[][..], Vec::as_slice);
        for thing in held.iter().flat_map(|thing| shop.same(holder, *thing)).collect::<Vec<_>>() {
            let held_fast = shop.holders(thing).into_iter().all(|holder| self.at(holder).is_none());
            if self.at(thing) == Some(Away::Placed) && held_fast {
                self.home(thing);
            }
        }
    }

    fn open_drains(&mut self, fluid: Key, shop: &Shop<'_, '_>, taken: &mut Vec<Taken>) {
        for (index, thing) in shop.job.things.iter().enumerate() {
            let id = ThingId(index as u32);
            let drains = shop.known.facts(thing).drain_of == Some(fluid.0);
            if drains && shop.exists(id) {
                for key in shop.same(fluid, id) {
                    if self.at(key).is_none() {
                        self.set(key, Away::Open);
                        if thing.is_fastener() {
                            add(taken, key, Doing::Undo, &Portion::Whole, false, true);
                        }
                    }
                }
            }
        }
    }

    /// What is not at home, for one who stops here: each state with the things that are in it.
    pub(super) fn open(&self, shop: &Shop<'_, '_>) -> Vec<String> {
        let mut words = Vec::new();
        if self.running {
            words.push(say::ENGINE_RUNS.to_owned());
        }
        let mut states: BTreeMap<(u8, String), Vec<String>> = BTreeMap::new();
        let mut told: BTreeSet<(ThingId, u8)> = BTreeSet::new();
        for key in &self.order {
            let Some(away) = self.at(*key) else { continue };
            let (rank, state) = state(away, shop.job);
            let thing = &shop.job[key.0];
            if thing.kind == ThingKind::Fastener && away != Away::Loose {
                continue;
            }
            if !told.insert((key.0, rank)) {
                continue;
            }
            let members = self.members_at(key.0, away);
            let name = match thing.each {
                Some(set) if members.len() < shop.job[set].members.len() => {
                    let named: Vec<String> = members
                        .iter()
                        .filter_map(|member| shop.job[set].members.get(*member as usize).cloned())
                        .collect();
                    format!("{} {}", name::list(&named), thing.name)
                }
                _ => thing.name.clone(),
            };
            states.entry((rank, state)).or_default().push(name);
        }
        words.extend(states.into_iter().map(|((_, state), names)| format!("{state}: {}", names.join(", "))));
        words
    }

    fn members_at(&self, thing: ThingId, away: Away) -> Vec<u32> {
        let here = self.away.iter().filter(|((id, _), at)| *id == thing && **at == away);
        here.map(|((_, member), _)| *member).collect()
    }
}

/// The stage of the recipe that is meant: what is tightened again gets its last.
fn pass_of(step: &Step) -> Option<PassChoice> {
    step.clauses.pass.or(step.clauses.again.then_some(PassChoice::Last))
}

/// Rank and word of a state.
fn state(away: Away, job: &Procedure) -> (u8, String) {
    let (rank, word) = match away {
        Away::Raised => (0, say::RAISED),
        Away::Supported => (1, say::SUPPORTED),
        Away::Locked => (2, say::LOCKED),
        Away::Drained => (3, say::DRAINED),
        Away::Unbled => (4, say::NOT_BLED),
        Away::Own(pair) => return (5, job[pair].away.clone()),
        Away::In => (6, say::IN_PLACE),
        Away::SwitchedOff => (7, say::SWITCHED_OFF),
        Away::Disconnected => (8, say::DISCONNECTED),
        Away::Open => (9, say::OPEN),
        Away::Chocked => (10, say::CHOCKED),
        Away::Off => (11, say::OFF),
        Away::Aside => (12, say::MOVED_ASIDE),
        Away::Placed => (13, say::NOT_FASTENED),
        Away::Loose | Away::Started => (14, say::LOOSE),
    };
    (rank, word.to_owned())
}

fn add(taken: &mut Vec<Taken>, key: Key, doing: Doing, portion: &Portion, named: bool, home: bool) {
    let known = taken.iter_mut().find(|one| one.thing == key.0 && one.doing == doing && one.portion == *portion);
    match known {
        Some(one) => {
            one.members.insert(key.1);
        }
        None => {
            let (members, portion) = ([key.1].into(), portion.clone());
            taken.push(Taken { thing: key.0, members, doing, portion, named, home });
        }
    }
}

/// What each fastener, clamp or holding part holds.
pub(super) fn holds(job: &Procedure) -> BTreeMap<ThingId, Vec<ThingId>> {
    let mut holds: BTreeMap<ThingId, Vec<ThingId>> = BTreeMap::new();
    for (index, thing) in job.things.iter().enumerate() {
        let id = ThingId(index as u32);
        for (_, facts) in thing.all_facts() {
            for holder in &facts.held_by {
                let held = holds.entry(*holder).or_default();
                if !held.contains(&id) {
                    held.push(id);
                }
            }
        }
    }
    holds
}
