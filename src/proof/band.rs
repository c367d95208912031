//! What is true of the machine at the start of each stage, on every way: for the band over its steps.

use super::shop::Shop;
use super::world::Unit;
use crate::procedure::{Procedure, State, ThingId};
use std::collections::{BTreeMap, BTreeSet};

/// A state worth saying over a stage.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notable {
    /// `None` where the thing is not named in the job (the engine).
    pub thing: Option<ThingId>,
    /// The member of its set; `None` where it has none, or all of them are meant.
    pub member: Option<u32>,
    pub state: State,
}

impl Notable {
    /// In words: `engine cold`, `battery earth cable off`.
    #[must_use]
    pub fn words(&self, procedure: &Procedure) -> String {
        let thing = self.thing.and_then(|t| procedure.things.get(t.index()));
        let name = thing.map_or("engine", |t| t.name.as_str());
        let member = match (thing.and_then(|t| t.each), self.member) {
            (Some(set), Some(member)) => procedure.sets.get(set.index()).and_then(|s| s.members.get(member as usize)),
            _ => None,
        };
        let state = match &self.state {
            State::Cooled => "cold".to_owned(),
            State::Running => "running".to_owned(),
            State::Disconnected | State::Removed | State::SwitchedOff => "off".to_owned(),
            State::Drained => "drained".to_owned(),
            State::Raised => "raised".to_owned(),
            State::Locked => "locked".to_owned(),
            State::Supported => "supported".to_owned(),
            State::Chocked => "chocked".to_owned(),
            State::In => "in".to_owned(),
            State::Away(pair) => procedure.pairs.get(pair.index()).map_or_else(String::new, |p| p.away.clone()),
            _ => String::new(),
        };
        match member {
            Some(member) => format!("{member} {name} {state}"),
            None => format!("{name} {state}"),
        }
    }
}

/// The states at the start of one stage.
#[derive(Clone, Debug, PartialEq)]
pub struct StageState {
    /// Number of the stage among those that stand in no other stage, in the order of the file, from 0.
    pub stage: usize,
    /// What holds on every way that comes here, the weightiest first.
    pub states: Vec<Notable>,
}

/// The order in which states are worth saying, and one of them.
type Key = (u32, Option<ThingId>, Option<u32>, u32);

/// The bands of one walk, or of all so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Bands {
    at: BTreeMap<usize, BTreeMap<Key, State>>,
}

impl Bands {
    /// The stage begins here, on all ways that come here; where it begins several times (in a loop), what is true
    /// every time.
    pub fn note(&mut self, stage: usize, shop: &mut Shop<'_>) {
        let mut now = always(shop, of_the_rig);
        for unit in 0..shop.world.thing.len() {
            if shop.is_touched(unit) {
                now.extend(always(shop, |shop| of_a_unit(shop, unit)));
            }
        }
        let known = self.at.entry(stage).or_insert_with(|| now.clone());
        known.retain(|key, _| now.contains_key(key));
    }

    /// As it is handed out.
    pub fn finish(self, procedure: &Procedure) -> Vec<StageState> {
        self.at.into_iter().map(|(stage, states)| StageState { stage, states: gather(procedure, states) }).collect()
    }
}

/// Says what is true of every member once.
fn gather(procedure: &Procedure, states: BTreeMap<Key, State>) -> Vec<Notable> {
    let mut notables: Vec<Notable> = Vec::new();
    for ((weight, thing, member, pair), state) in &states {
        let members = thing
            .and_then(|t| procedure.things.get(t.index()))
            .and_then(|t| t.each)
            .and_then(|s| procedure.sets.get(s.index()))
            .map_or(1, |s| s.members.len());
        let same = states.keys().filter(|(w, t, _, p)| w == weight && t == thing && p == pair).count();
        let whole = member.is_some() && same == members;
        let notable = Notable { thing: *thing, member: if whole { None } else { *member }, state: state.clone() };
        if !notables.contains(&notable) {
            notables.push(notable);
        }
    }
    notables
}

/// What is true on every way that comes here.
fn always(shop: &mut Shop<'_>, of: impl Fn(&Shop<'_>) -> BTreeMap<Key, State>) -> BTreeMap<Key, State> {
    let mut parts = shop.tell_apart_here(of).into_iter();
    let Some((mut all, _)) = parts.next() else { return BTreeMap::new() };
    for (other, _) in parts {
        all.retain(|key, _| other.contains_key(key));
    }
    all
}

fn of_the_rig(shop: &Shop<'_>) -> BTreeMap<Key, State> {
    let mut states = BTreeMap::new();
    let rig = shop.rig();
    if rig.running.is_some() {
        states.insert((0, None, None, 0), State::Running);
    } else if !rig.hot {
        states.insert((1, None, None, 0), State::Cooled);
    }
    let ends: BTreeSet<ThingId> = rig.ends.iter().flatten().map(|r| r.thing).collect();
    for thing in ends {
        states.insert((2, Some(thing), None, 0), State::Raised);
    }
    states
}

fn of_a_unit(shop: &Shop<'_>, unit: Unit) -> BTreeMap<Key, State> {
    let mut states = BTreeMap::new();
    if !shop.exists(unit) {
        return states;
    }
    let thing = Some(shop.world.thing[unit]);
    let member = shop.world.each(unit).map(|_| shop.world.member[unit]);
    let state = shop.unit(unit);
    let mut add = |weight: u32, pair: u32, holds: bool, state: State| {
        if holds {
            states.insert((weight, thing, member, pair), state);
        }
    };
    add(3, 0, shop.world.battery_cables.contains(&unit) && shop.on(unit).is_none(), State::Disconnected);
    add(4, 0, state.switched_off.is_some(), State::SwitchedOff);
    add(5, 0, state.locked.is_some(), State::Locked);
    add(6, 0, shop.world.is_fluid(unit) && state.level.drained.is_some(), State::Drained);
    add(7, 0, state.raised.is_some(), State::Raised);
    add(8, 0, state.supported.is_some(), State::Supported);
    add(9, 0, state.chocked.is_some(), State::Chocked);
    add(10, 0, state.inside > 0, State::In);
    for pair in &state.item(shop.meant(unit, crate::procedure::Version::Unsaid)).away {
        add(11, pair.0, true, State::Away(*pair));
    }
    states
}
