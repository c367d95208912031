//! Noting what is done, and telling what is wrong with it.

use super::fault::{FaultKind, Place, Why};
use super::history::{Happened, Log};
use super::shop::{Flag, RawFault, Shop, Where};
use super::state::Which;
use super::world::Unit;
use crate::procedure::Version;
use crate::source::Span;

impl Shop<'_> {
    /// Notes the act on a unit.
    pub fn note(&mut self, unit: Unit) {
        self.pending.events.push((unit, self.mark, Happened::Act));
        self.happens(Flag::Touched(unit));
        self.acted_on.insert(unit);
    }

    /// Notes that the act takes a unit away from home.
    pub fn leaves_home(&mut self, unit: Unit) {
        self.pending.events.push((unit, self.mark, Happened::LeftHome));
        self.happens(Flag::Touched(unit));
    }

    /// Notes that the act puts a unit on what it belongs to.
    pub fn is_put_on(&mut self, unit: Unit) {
        self.pending.events.push((unit, self.mark, Happened::PutOn));
    }

    /// Notes that it is home whatever was done to it.
    pub fn comes_home(&mut self, unit: Unit) {
        self.pending.events.push((unit, self.mark, Happened::CameHome));
    }

    /// Adds to what was done to a unit.
    pub fn log(&mut self, unit: Unit, add: impl FnOnce(&mut Log)) {
        let mut log = Log::default();
        add(&mut log);
        if log.renewed {
            self.happens(Flag::Renewed(unit));
        }
        self.pending.logs.push((unit, log));
    }

    /// The job ends here.
    pub fn stop(&mut self) {
        self.pending.stop = true;
    }

    /// Tells a fault, unless one of the things it is about (`unit`, `cause`) was told of before.
    /// What is blamed is muted from here on.
    pub fn fault(&mut self, fault: RawFault, cause: Option<Unit>, blamed: Option<Unit>) {
        let muted = |u: Option<Unit>| u.is_some_and(|u| self.unit(u).muted);
        if muted(fault.unit) || muted(cause) {
            return;
        }
        self.pending.faults.push(fault);
        if let Some(unit) = blamed {
            self.unit_mut(unit).muted = true;
        }
    }

    /// An act that comes while `away` is not home: held back until it is known whether that comes home at all.
    pub fn too_early(&mut self, mut raw: RawFault, away: Unit) {
        if self.unit(away).muted || raw.unit.is_some_and(|u| self.unit(u).muted) {
            return;
        }
        raw.other.insert(0, (Place::LeftHome, Where::LeftHome(away)));
        if !self.has(&Flag::HeldBack(away)) {
            self.happens(Flag::HeldBack(away));
            self.pending.too_early.push((raw, away));
        }
    }

    /// A fault of the act that is being done.
    pub fn raw(&self, kind: FaultKind, unit: Unit, why: Why) -> RawFault {
        RawFault { unit: Some(unit), ..RawFault::new(kind, self.mark, why) }
    }

    /// A fault of the unit's own state: it is blamed, and the last act on it is the second place.
    pub fn wrong_state(&mut self, kind: FaultKind, unit: Unit, why: Why) {
        let mut raw = self.raw(kind, unit, why);
        raw.other = vec![(Place::ActBefore, Where::Before(unit)), (Place::Declared, Where::At(self.declared(unit)))];
        self.fault(raw, None, Some(unit));
    }

    /// A fault that another thing brings about: that one is blamed.
    pub fn because_of(&mut self, kind: FaultKind, unit: Unit, cause: Unit, why: Why) {
        let mut raw = self.raw(kind, unit, why);
        raw.other = vec![(Place::LeftHome, Where::LeftHome(cause)), (Place::Declared, Where::At(self.declared(cause)))];
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
