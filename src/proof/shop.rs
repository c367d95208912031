//! The machine on all ways at once, while the job is walked: its state, what was found, and what is wrong so far.

use super::bdd::{ALWAYS, Cond, NEVER};
use super::choices::Choices;
use super::fault::{FaultKind, Place, Why};
use super::found::{Look, Outcome};
use super::history::{Event, Happened, Log, LogEntry};
use super::lift::{Guarded, Run, Slot};
use super::state::{Debt, DoneTo, Mark, Rig, UnitState, start_of};
use super::world::{Relations, Unit, World};
use crate::procedure::{Condition, Facts, OptionId, Procedure, SetId, Step, Verb, Version};
use crate::source::Span;
use rustc_hash::FxHashMap;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// Different situations that one act may meet at most; all acts together may meet [`MOST_RUNS`].
const MOST_RUNS_OF_AN_ACT: usize = 4_096;
/// Runs at most over the whole job.
pub(super) const MOST_RUNS: usize = 1_000_000;
/// Different states of one thing that are told apart; beyond, what was filled is no longer summed up.
const MOST_SUMS: usize = 64;

/// Where a fault is, or its second place, where that is not the act itself: it may differ from way to way, and is
/// looked up when the way is chosen that is told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Where {
    At(Span),
    /// The act that took this away from home last.
    LeftHome(Unit),
    /// The last act on this.
    LastAct(Unit),
    /// The act that put this on last.
    PutOn(Unit),
    /// The last act on this before the one at fault.
    Before(Unit),
}

/// How many, for a message.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum CountOf {
    Said {
        there: u32,
        out: u32,
        back: u32,
    },
    /// So many there; out and in as moved so far.
    Moved {
        there: u32,
    },
}

/// A fault on the ways of one run.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct RawFault {
    pub kind: FaultKind,
    pub mark: Mark,
    /// Where it is told, the first that is there on the way; none: at the act.
    pub from: Vec<Where>,
    pub unit: Option<Unit>,
    pub version: Version,
    pub why: Why,
    /// Second places, the first that is there on the way.
    pub other: Vec<(Place, Where)>,
    pub counts: Option<CountOf>,
    /// What makes it the same mistake elsewhere, where that is not the place.
    pub same: Option<String>,
    /// When, among the events of the histories.
    pub time: u32,
}

impl RawFault {
    /// Told at an act, of no unit, with no second place.
    pub fn new(kind: FaultKind, mark: Mark, why: Why) -> Self {
        Self {
            kind,
            mark,
            from: Vec::new(),
            unit: None,
            version: Version::Unsaid,
            why,
            other: Vec::new(),
            counts: None,
            same: None,
            time: 0,
        }
    }
}

/// Something that holds from here on, once it has happened.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) enum Flag {
    /// Something was done to it.
    Touched(Unit),
    /// A new one was fitted.
    Renewed(Unit),
    /// An act that changes nothing was done to it.
    Done(DoneTo, Verb),
    /// A state in the shop's own words was brought about or found.
    Words(String),
    /// An act came while it was away.
    HeldBack(Unit),
    /// The act here was told as misplaced.
    Misplaced(Span),
}

/// Which variant of its declaration a unit is, and whether it is there at all.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Nature {
    pub exists: bool,
    pub variant: usize,
}

#[derive(Clone, Copy, Debug)]
enum SlotId {
    Unit(Unit),
    Nature(Unit),
    Option(usize),
    Rig,
    Debt(usize),
    Look(usize),
}

/// What the run that goes on will leave behind when it ends.
#[derive(Debug, Default)]
pub(super) struct Pending {
    flags: Vec<usize>,
    pub events: Vec<(Unit, Mark, Happened)>,
    pub logs: Vec<(Unit, Log)>,
    pub faults: Vec<RawFault>,
    pub too_early: Vec<(RawFault, Unit)>,
    pub stop: bool,
}

/// The machine, on every way.
pub(super) struct Shop<'p> {
    pub world: Rc<World<'p>>,
    pub run: Run,
    /// The ways on which the part of the job that is walked comes here.
    pub here: Cond,
    /// The ways on which the job has not been ended.
    pub alive: Cond,
    /// The ways that end with a `stop`.
    pub stopped: Cond,
    /// Ways that have ended are of no more interest.
    pub forget_ended: bool,
    pub choices: Choices,
    pub(super) options: Vec<Slot<Option<u32>>>,
    natures: Vec<Slot<Nature>>,
    pub(super) units: Vec<Slot<UnitState>>,
    rig: Slot<Rig>,
    debts: Vec<(Unit, usize, Slot<Debt>)>,
    pub(super) looks: Vec<Slot<Option<Outcome>>>,
    pub(super) look_at: BTreeMap<(Look, Option<u32>), usize>,
    flag_at: FxHashMap<Flag, usize>,
    pub(super) flags: Vec<Cond>,
    pub histories: Vec<Vec<Event>>,
    pub logs: Vec<Vec<LogEntry>>,
    /// What is wrong, under which condition.
    pub faults: Vec<(Cond, RawFault)>,
    held: RefCell<Vec<SlotId>>,
    pub(super) pending: Pending,
    time: u32,
    pub runs: usize,
    /// It became too much: what comes after is not proved.
    pub too_much: bool,
    /// The loops that the walk is in, innermost last, with the member each is at.
    pub loops: Vec<(SetId, u32)>,
    pub step: Option<&'p Step>,
    /// Where the walk is; also told for what has no step of its own.
    pub mark: Mark,
    /// How many `until` blocks the walk is in.
    pub in_until: u32,
    /// Which turn of each loop and which try of each `until` this is, outermost first.
    pub turn: Vec<u32>,
    /// Counts the steps, so that one look can be told from a later one.
    pub looks_taken: u32,
    /// Units that were acted on, on some way, since the innermost `one after the other` began this member.
    pub acted_on: BTreeSet<Unit>,
    /// Pairs, and what they were ever opened on.
    pub ever_away: BTreeMap<crate::procedure::PairId, BTreeSet<Unit>>,
    /// Second members begun before the first was home, held back until it is known whether that one comes home at all.
    pub begun_early: Vec<(Cond, RawFault)>,
    /// Acts that come while a thing is away from home. If it never comes home at all, that is the mistake, and it is
    /// told at the end; else this is: the thing came home too late.
    pub too_early: Vec<(Cond, RawFault, Unit)>,
    /// A declaration is being read: `each side` in it means the member whose declaration it is.
    pub as_declared: bool,
}

impl<'p> Shop<'p> {
    /// Everything home, on every way that the options leave open.
    pub fn new(procedure: &'p Procedure, mut choices: Choices) -> Self {
        let world = Rc::new(World::new(procedure));
        let run = Run::default();
        let options = choices.options(procedure, &run.bdd).into_iter().map(Slot::new).collect();
        let count = world.thing.len();
        let with_duties = world.with_duties.clone();
        let most_debts = |unit: &Unit| {
            procedure[world.thing[*unit]].all_facts().map(|(_, f)| f.debts.len()).max().unwrap_or_default()
        };
        let debts = with_duties
            .iter()
            .flat_map(|u| (0..most_debts(u)).map(move |i| (*u, i, Slot::new(Guarded::new(Debt::default())))))
            .collect();
        let mark = Mark { span: procedure.header.span, step: crate::procedure::StepId(0), verb: Verb::Do };
        let mut shop = Self {
            world,
            run,
            here: ALWAYS,
            alive: ALWAYS,
            stopped: NEVER,
            forget_ended: true,
            choices,
            options,
            natures: Vec::new(),
            units: Vec::new(),
            rig: Slot::new(Guarded::new(Rig::at_start())),
            debts,
            looks: Vec::new(),
            look_at: BTreeMap::new(),
            flag_at: FxHashMap::default(),
            flags: Vec::new(),
            histories: vec![Vec::new(); count],
            logs: vec![Vec::new(); count],
            faults: Vec::new(),
            held: RefCell::default(),
            pending: Pending::default(),
            time: 0,
            runs: 0,
            too_much: false,
            loops: Vec::new(),
            step: None,
            mark,
            in_until: 0,
            turn: Vec::new(),
            looks_taken: 0,
            acted_on: BTreeSet::new(),
            ever_away: BTreeMap::new(),
            begun_early: Vec::new(),
            too_early: Vec::new(),
            as_declared: false,
        };
        for unit in 0..count {
            let parts = shop.tell_apart_on(ALWAYS, |shop| shop.nature_under_options(unit));
            let nature = Guarded::of_parts(&shop.run.bdd, parts.into_iter().map(|(n, c)| (c, n)));
            shop.natures.push(Slot::new(nature));
        }
        for unit in 0..count {
            let parts = shop.tell_apart_on(ALWAYS, |shop| {
                let parent_added = shop.parent(unit).is_some_and(|p| shop.facts(p).added);
                start_of(&shop.world, unit, shop.facts(unit), shop.exists(unit), parent_added)
            });
            let state = Guarded::of_parts(&shop.run.bdd, parts.into_iter().map(|(s, c)| (c, s)));
            shop.units.push(Slot::new(state));
        }
        shop
    }

    fn nature_under_options(&self, unit: Unit) -> Nature {
        let thing = &self.world.procedure[self.world.thing[unit]];
        let member = thing.each.map(|set| (set, self.world.member[unit]));
        let mut truth = |atom: &Condition| self.known(member, atom).unwrap_or(false);
        let exists = thing.exists.holds(&mut truth);
        let variant = thing.variants.iter().rposition(|(c, _)| c.holds(&mut truth)).map_or(0, |v| v + 1);
        Nature { exists, variant }
    }

    pub fn procedure(&self) -> &'p Procedure {
        self.world.procedure
    }

    // ---- doing something on every way ----

    /// Does something on every way that comes here. It is run once for each situation that it tells apart; what it
    /// wrote, told and noted holds on the ways of its run.
    pub fn each_way(&mut self, mut act: impl FnMut(&mut Self)) {
        let whole = self.run.bdd.and(self.here, self.alive);
        self.each_way_of(whole, &mut act);
    }

    /// The same on some of the ways.
    pub fn each_way_of(&mut self, whole: Cond, act: &mut dyn FnMut(&mut Self)) {
        let mut left = whole;
        let mut runs = 0;
        while left != NEVER && !self.too_much {
            runs += 1;
            self.runs += 1;
            if runs > MOST_RUNS_OF_AN_ACT || self.runs > MOST_RUNS || self.run.bdd.is_full() {
                self.too_much = true;
                break;
            }
            self.run.cond.set(left);
            act(self);
            let done = self.run.cond.get();
            self.end_run(done);
            left = self.run.bdd.without(left, done);
        }
        self.run.cond.set(whole);
    }

    fn end_run(&mut self, done: Cond) {
        let alive = if self.forget_ended { self.alive } else { ALWAYS };
        let held = std::mem::take(self.held.get_mut());
        for id in held {
            match id {
                SlotId::Unit(unit) => {
                    let slot = &mut self.units[unit];
                    slot.keep(&self.run, done, alive);
                    if slot.value.entries().len() > MOST_SUMS {
                        slot.value.forget_sums(&self.run.bdd);
                    }
                }
                SlotId::Nature(unit) => self.natures[unit].let_go(),
                SlotId::Option(option) => self.options[option].let_go(),
                SlotId::Rig => {
                    self.rig.keep(&self.run, done, alive);
                }
                SlotId::Debt(debt) => {
                    self.debts[debt].2.keep(&self.run, done, alive);
                }
                SlotId::Look(look) => {
                    self.looks[look].keep(&self.run, done, alive);
                }
            }
        }
        if self.run.bdd.is_full() {
            // What was written or told under a condition that the table had no room for is worth nothing.
            self.too_much = true;
            self.pending = Pending::default();
            return;
        }
        let pending = &mut self.pending;
        for flag in pending.flags.drain(..) {
            self.flags[flag] = self.run.bdd.or(self.flags[flag], done);
        }
        for (unit, mark, happened) in pending.events.drain(..) {
            self.time += 1;
            self.histories[unit].push(Event { cond: done, time: self.time, mark, happened });
        }
        for (unit, log) in pending.logs.drain(..) {
            self.time += 1;
            self.logs[unit].push(LogEntry { cond: done, time: self.time, log });
        }
        self.time += 1;
        for mut fault in pending.faults.drain(..) {
            if fault.time == 0 {
                fault.time = self.time;
            }
            self.faults.push((done, fault));
        }
        for (mut fault, away) in pending.too_early.drain(..) {
            fault.time = self.time;
            self.too_early.push((done, fault, away));
        }
        if std::mem::take(&mut pending.stop) {
            self.alive = self.run.bdd.without(self.alive, done);
            self.stopped = self.run.bdd.or(self.stopped, done);
        }
    }

    /// Lets go of what was read since.
    fn let_go_since(&self, held: usize) {
        let ids = self.held.borrow_mut().split_off(held);
        for id in ids {
            match id {
                SlotId::Unit(unit) => self.units[unit].let_go(),
                SlotId::Nature(unit) => self.natures[unit].let_go(),
                SlotId::Option(option) => self.options[option].let_go(),
                SlotId::Rig => self.rig.let_go(),
                SlotId::Debt(debt) => self.debts[debt].2.let_go(),
                SlotId::Look(look) => self.looks[look].let_go(),
            }
        }
    }

    /// The answers to a question on the ways of the run, which stay as they are, each with the ways that give it.
    pub fn tell_apart<T: PartialEq>(&self, ask: impl Fn(&Self) -> T) -> Vec<(T, Cond)> {
        let whole = self.run.cond.get();
        let held = self.held.borrow().len();
        let mut parts: Vec<(T, Cond)> = Vec::new();
        let mut left = whole;
        let mut runs = 0;
        while left != NEVER && runs < MOST_RUNS_OF_AN_ACT && !self.run.bdd.is_full() {
            runs += 1;
            self.run.cond.set(left);
            let answer = ask(self);
            let done = self.run.cond.get();
            if done != whole {
                self.let_go_since(held);
            }
            match parts.iter_mut().find(|(known, _)| *known == answer) {
                Some((_, cond)) => *cond = self.run.bdd.or(*cond, done),
                None => parts.push((answer, done)),
            }
            left = self.run.bdd.without(left, done);
        }
        self.run.cond.set(whole);
        parts
    }

    /// The ways of the run on which something holds.
    pub fn ways_where(&self, ask: impl Fn(&Self) -> bool) -> Cond {
        self.tell_apart(ask).into_iter().find(|(yes, _)| *yes).map_or(NEVER, |(_, cond)| cond)
    }

    /// Whether something holds, telling apart no more than that: the ways are narrowed to where it does only if it
    /// does on some. So a loop over many things that are all in order costs one look at each.
    pub fn decide(&self, ask: impl Fn(&Self) -> bool) -> bool {
        let yes = self.ways_where(ask);
        self.run.decide(yes)
    }

    /// The same on all ways that come here, outside of a run.
    pub fn tell_apart_here<T: PartialEq>(&mut self, ask: impl Fn(&Self) -> T) -> Vec<(T, Cond)> {
        self.tell_apart_on(self.run.bdd.and(self.here, self.alive), ask)
    }

    /// The same on some ways.
    pub fn tell_apart_on<T: PartialEq>(&mut self, ways: Cond, ask: impl Fn(&Self) -> T) -> Vec<(T, Cond)> {
        self.run.cond.set(ways);
        let parts = self.tell_apart(ask);
        self.let_go_since(0);
        parts
    }

    /// How far the histories have come.
    pub fn now(&self) -> u32 {
        self.time
    }

    /// Which variants of a unit there are, with the ways of each.
    pub fn natures_of(&self, unit: Unit) -> Vec<(Cond, Nature)> {
        self.natures[unit].value.entries().iter().map(|(cond, nature)| (*cond, **nature)).collect()
    }

    /// Whether anything was done to it so far on any way.
    pub fn is_touched(&self, unit: Unit) -> bool {
        !self.histories[unit].is_empty()
    }

    // ---- reading and writing ----

    fn hold<T>(&self, id: SlotId, (value, fresh): (T, bool)) -> T {
        if fresh {
            self.held.borrow_mut().push(id);
        }
        value
    }

    pub fn nature(&self, unit: Unit) -> Nature {
        *self.hold(SlotId::Nature(unit), self.natures[unit].read(&self.run))
    }

    pub fn exists(&self, unit: Unit) -> bool {
        self.nature(unit).exists
    }

    pub fn facts(&self, unit: Unit) -> &'p Facts {
        self.world.variant(unit, self.nature(unit).variant)
    }

    pub(super) fn relations(&self, unit: Unit) -> &Relations {
        let variants = &self.world.relations[unit];
        variants.get(self.nature(unit).variant).unwrap_or(&variants[0])
    }

    pub fn unit(&self, unit: Unit) -> Rc<UnitState> {
        self.hold(SlotId::Unit(unit), self.units[unit].read(&self.run))
    }

    pub fn unit_mut(&mut self, unit: Unit) -> &mut UnitState {
        let (state, fresh) = self.units[unit].write(&self.run);
        if fresh {
            self.held.get_mut().push(SlotId::Unit(unit));
        }
        state
    }

    pub fn rig(&self) -> Rc<Rig> {
        self.hold(SlotId::Rig, self.rig.read(&self.run))
    }

    pub fn rig_mut(&mut self) -> &mut Rig {
        let (rig, fresh) = self.rig.write(&self.run);
        if fresh {
            self.held.get_mut().push(SlotId::Rig);
        }
        rig
    }

    pub fn debts(&self) -> usize {
        self.debts.len()
    }

    /// Whose debt it is, which of its declaration's, and how it stands.
    pub fn debt(&self, index: usize) -> (Unit, usize, Rc<Debt>) {
        let (unit, which, slot) = &self.debts[index];
        (*unit, *which, self.hold(SlotId::Debt(index), slot.read(&self.run)))
    }

    pub fn whose_debt(&self, index: usize) -> (Unit, usize) {
        let (unit, which, _) = &self.debts[index];
        (*unit, *which)
    }

    pub fn set_debt(&mut self, index: usize, debt: Debt) {
        if *self.debt(index).2 == debt {
            return;
        }
        let (slot, fresh) = self.debts[index].2.write(&self.run);
        *slot = debt;
        if fresh {
            self.held.get_mut().push(SlotId::Debt(index));
        }
    }

    pub(super) fn look(&self, index: usize) -> Option<Outcome> {
        *self.hold(SlotId::Look(index), self.looks[index].read(&self.run))
    }

    /// Whatever it was before.
    pub(super) fn set_look(&mut self, index: usize, outcome: Option<Outcome>) {
        if self.looks[index].overwrite(outcome) {
            self.held.get_mut().push(SlotId::Look(index));
        }
    }

    /// The truth of what is known before printing; `None` for what is found.
    pub fn known(&self, member: Option<(SetId, u32)>, atom: &Condition) -> Option<bool> {
        match atom {
            Condition::Option(id) => Some(self.option(*id) == Some(1)),
            Condition::OptionIs(id, value) => Some(self.option(*id) == Some(*value)),
            Condition::Member(set, value) => Some(member == Some((*set, *value))),
            _ => None,
        }
    }

    fn option(&self, id: OptionId) -> Option<u32> {
        let slot = self.options.get(id.index())?;
        *self.hold(SlotId::Option(id.index()), slot.read(&self.run))
    }

    /// Whether something happened.
    pub fn has(&self, flag: &Flag) -> bool {
        let Some(at) = self.flag_at.get(flag) else { return false };
        self.pending.flags.contains(at) || self.run.decide(self.flags[*at])
    }

    /// Something happens.
    pub fn happens(&mut self, flag: Flag) {
        let next = self.flags.len();
        let at = *self.flag_at.entry(flag).or_insert(next);
        if at == next {
            self.flags.push(NEVER);
        }
        if !self.pending.flags.contains(&at) {
            self.pending.flags.push(at);
        }
    }

    /// The ways on which something happened so far.
    pub fn where_it_happened(&self, flag: &Flag) -> Cond {
        self.flag_at.get(flag).map_or(NEVER, |at| self.flags[*at])
    }

    /// It starts anew for some.
    pub fn forget_all(&mut self, which: impl Fn(&Flag) -> bool) {
        for (flag, at) in &self.flag_at {
            if which(flag) {
                self.flags[*at] = NEVER;
            }
        }
    }
}

impl Guarded<UnitState> {
    /// Gives up the exact sums of what was filled, so that states grow together again.
    fn forget_sums(&mut self, bdd: &super::bdd::Bdd) {
        let parts: Vec<(Cond, UnitState)> = self
            .entries()
            .iter()
            .map(|(cond, state)| {
                let mut state = UnitState::clone(state);
                state.level.filled = 0.0;
                state.level.filled_about = 0.0;
                state.level.filled_exactly = false;
                state.level.sum_unknown = true;
                (*cond, state)
            })
            .collect();
        *self = Self::of_parts(bdd, parts);
    }
}
