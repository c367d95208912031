//! One way through the job while it is walked: the machine, what was found, and what is wrong so far.

use super::fault::{Counts, FaultKind, Place, Why};
use super::found::Looks;
use super::state::{Machine, Mark, UnitState, Which};
use super::ways::Choices;
use super::world::{Unit, World};
use crate::procedure::{Members, Procedure, SetId, StateRef, Step, Subject, ThingRef, Verb, Version, With};
use crate::source::Span;
use std::rc::Rc;

/// A fault on one way, before the ways are merged.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct RawFault {
    pub kind: FaultKind,
    pub mark: Mark,
    pub unit: Option<Unit>,
    pub version: Version,
    pub why: Why,
    pub other: Option<(Place, Span)>,
    pub counts: Option<Counts>,
    /// What makes it the same mistake elsewhere, where that is not the place.
    pub same: Option<String>,
}

/// The state of one walk.
pub(super) struct Shop<'p> {
    pub world: Rc<World<'p>>,
    pub machine: Machine,
    pub looks: Looks,
    pub choices: Choices,
    pub faults: Vec<RawFault>,
    /// The loops that the walk is in, innermost last, with the member each is at.
    pub loops: Vec<(SetId, u32)>,
    pub step: Option<&'p Step>,
    /// Where the walk is; also told for what has no step of its own.
    pub mark: Mark,
    /// How many `until` blocks the walk is in.
    pub in_until: u32,
    /// Units that were acted on since the innermost `one after the other` began this member.
    pub acted_on: Vec<Unit>,
    /// Second members begun before the first was home, held back until it is known whether that one comes home at all.
    pub begun_early: Vec<RawFault>,
    /// Acts that come while a thing is away from home. If it never comes home at all, that is the mistake, and it is
    /// told at the end; else this is: the thing came home too late.
    pub too_early: Vec<(RawFault, Unit)>,
    /// A declaration is being read: `each side` in it means the member whose declaration it is.
    pub as_declared: bool,
    /// The job ends here on this way.
    pub stopped: bool,
}

impl<'p> Shop<'p> {
    pub fn new(world: Rc<World<'p>>, choices: Choices) -> Self {
        let machine = Machine::at_start(&world);
        let mark = Mark { span: world.procedure.header.span, step: crate::procedure::StepId(0), verb: Verb::Do };
        Self {
            world,
            machine,
            looks: Looks::default(),
            choices,
            faults: Vec::new(),
            loops: Vec::new(),
            step: None,
            mark,
            in_until: 0,
            acted_on: Vec::new(),
            begun_early: Vec::new(),
            too_early: Vec::new(),
            as_declared: false,
            stopped: false,
        }
    }

    pub fn procedure(&self) -> &'p Procedure {
        self.world.procedure
    }

    pub fn unit(&self, unit: Unit) -> &UnitState {
        &self.machine.units[unit]
    }

    pub fn unit_mut(&mut self, unit: Unit) -> &mut UnitState {
        &mut self.machine.units[unit]
    }

    /// The member that the loop over `set` is at.
    pub fn member_of(&self, set: SetId) -> Option<u32> {
        self.loops.iter().rev().find(|(s, _)| *s == set).map(|(_, m)| *m)
    }

    /// The existing units a reference means here.
    pub fn units(&self, reference: &ThingRef) -> Vec<Unit> {
        let all = self.world.units_of(reference.thing);
        let set = self.procedure().things.get(reference.thing.index()).and_then(|t| t.each);
        let one = match reference.members {
            Members::One(member) => Some(member),
            Members::This | Members::Single => set.and_then(|s| self.member_of(s)),
            Members::All if self.as_declared => set.and_then(|s| self.member_of(s)),
            Members::All => None,
        };
        let existing = |u: &Unit| self.world.exists[*u];
        match one {
            Some(member) if set.is_some() => all.skip(member as usize).take(1).filter(existing).collect(),
            _ => all.filter(existing).collect(),
        }
    }

    /// Whether a `with X STATE` of the act says that this unit's state is meant.
    pub fn is_meant(&self, unit: Unit) -> bool {
        self.step.is_some_and(|step| {
            step.clauses.with.iter().any(|with| match with {
                With::State(StateRef { subject: Subject::Thing(reference), .. }) => {
                    self.units(reference).contains(&unit)
                }
                _ => false,
            })
        })
    }

    /// Notes the act on a unit.
    pub fn note(&mut self, unit: Unit) {
        let mark = self.mark;
        let state = self.unit_mut(unit);
        if state.last_act.is_none_or(|last| last.span != mark.span) {
            state.act_before = state.last_act;
        }
        state.last_act = Some(mark);
        state.log.first.get_or_insert(mark.span);
        if !self.acted_on.contains(&unit) {
            self.acted_on.push(unit);
        }
    }

    /// Tells a fault, unless one of the things it is about (`unit`, `cause`) was told of before.
    /// What is blamed is muted from here on.
    pub fn fault(&mut self, fault: RawFault, cause: Option<Unit>, blamed: Option<Unit>) {
        let muted = |u: Option<Unit>| u.is_some_and(|u| self.unit(u).muted);
        if muted(fault.unit) || muted(cause) {
            return;
        }
        self.faults.push(fault);
        if let Some(unit) = blamed {
            self.unit_mut(unit).muted = true;
        }
    }

    /// An act that comes while `away` is not home: held back until it is known whether that comes home at all.
    pub fn too_early(&mut self, mut raw: RawFault, away: Unit) {
        if self.unit(away).muted || raw.unit.is_some_and(|u| self.unit(u).muted) {
            return;
        }
        if let Some(mark) = self.unit(away).left_home {
            raw.other = Some((Place::LeftHome, mark.span));
        }
        if !self.too_early.iter().any(|(_, unit)| *unit == away) {
            self.too_early.push((raw, away));
        }
    }

    /// A fault of the act that is being done.
    pub fn raw(&self, kind: FaultKind, unit: Unit, why: Why) -> RawFault {
        RawFault {
            kind,
            mark: self.mark,
            unit: Some(unit),
            version: Version::Unsaid,
            why,
            other: None,
            counts: None,
            same: None,
        }
    }

    /// A fault of the unit's own state: it is blamed, and the last act on it is the second place.
    pub fn wrong_state(&mut self, kind: FaultKind, unit: Unit, why: Why) {
        let mut raw = self.raw(kind, unit, why);
        raw.other = Some(match self.act_before(unit) {
            Some(mark) => (Place::ActBefore, mark.span),
            None => (Place::Declared, self.declared(unit)),
        });
        self.fault(raw, None, Some(unit));
    }

    /// The last act on a unit before the one that is being done.
    pub fn act_before(&self, unit: Unit) -> Option<Mark> {
        let state = self.unit(unit);
        match state.last_act {
            Some(mark) if mark.span == self.mark.span => state.act_before,
            last => last,
        }
    }

    /// A fault that another thing brings about: that one is blamed.
    pub fn because_of(&mut self, kind: FaultKind, unit: Unit, cause: Unit, why: Why) {
        let mut raw = self.raw(kind, unit, why);
        raw.other = Some(match self.unit(cause).left_home {
            Some(mark) if mark.span != self.mark.span => (Place::LeftHome, mark.span),
            _ => (Place::Declared, self.declared(cause)),
        });
        self.fault(raw, Some(cause), Some(cause));
    }

    pub fn declared(&self, unit: Unit) -> Span {
        self.procedure()[self.world.thing[unit]].span
    }

    /// `old` or `new` for a message, where it matters.
    pub fn version_of(which: Which) -> Version {
        match which {
            Which::Old => Version::Old,
            Which::New => Version::New,
        }
    }
}
