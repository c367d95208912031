//! The vehicle and its pairs of safety: raise, support, lock, chock, switch off, and their ways back.

use crate::procedure::Verb;
use crate::proof::fault::{FaultKind, Why};
use crate::proof::shop::Shop;
use crate::proof::state::{At, Mark, Raised, Rig, UnitState};
use crate::proof::world::Unit;

impl Shop<'_> {
    /// `raise`.
    pub fn raise(&mut self, unit: Unit) {
        self.note(unit);
        let mark = self.mark;
        let stands = self.step.is_some_and(|s| s.clauses.stand.is_some()) || self.names_a_stand();
        let ends = Rig::ends_of(self.world.builtin(unit));
        if ends.is_empty() {
            return self.away(unit, |s| &mut s.raised);
        }
        if ends.iter().all(|e| self.rig().ends[*e].is_some()) {
            self.wrong_state(FaultKind::AlreadyOff, unit, Why::Raised);
        }
        let thing = self.world.thing[unit];
        for end in ends {
            self.rig_mut().ends[*end].get_or_insert(Raised { thing, mark, stands }).stands |= stands;
        }
    }

    /// A stand, ramp or lift among the tools of the act.
    fn names_a_stand(&self) -> bool {
        let Some(step) = self.step else { return false };
        step.clauses.with.iter().any(|with| match with {
            crate::procedure::With::Tool(tool) => {
                let name = self.procedure()[*tool].name.to_lowercase();
                ["stand", "stands", "ramp", "ramps", "lift"].iter().any(|n| name.ends_with(n))
            }
            _ => false,
        })
    }

    /// `lower`: the stands come out with it.
    pub fn lower(&mut self, unit: Unit) {
        self.note(unit);
        let ends = Rig::ends_of(self.world.builtin(unit));
        if ends.is_empty() {
            return self.home(unit, |s| &mut s.raised);
        }
        if ends.iter().all(|e| self.rig().ends[*e].is_none()) {
            self.wrong_state(FaultKind::NotOffYet, unit, Why::Plain);
        }
        for end in ends {
            self.rig_mut().ends[*end] = None;
        }
        for other in 0..self.world.thing.len() {
            let theirs = Rig::ends_of(self.world.builtin(other));
            if !theirs.is_empty()
                && theirs.iter().all(|e| ends.contains(e))
                && self.decide(|shop| shop.unit(other).supported.is_some())
            {
                self.unit_mut(other).supported = None;
            }
        }
    }

    /// `support`.
    pub fn support(&mut self, unit: Unit) {
        self.note(unit);
        let on_stands = self.step.is_some_and(|s| s.clauses.stand.is_some()) || self.names_a_stand();
        let ends = Rig::ends_of(self.world.builtin(unit));
        for end in 0..2 {
            if (on_stands || ends.contains(&end))
                && let Some(raised) = &mut self.rig_mut().ends[end]
            {
                raised.stands = true;
            }
        }
        self.away(unit, |s| &mut s.supported);
    }

    /// `release`: every holder is at least started, or the thing is away altogether.
    pub fn release(&mut self, unit: Unit) {
        self.note(unit);
        let hanging = self.facts(unit).needs_support
            && self.unit(unit).items.iter().any(|i| matches!(i.at, At::On | At::Aside | At::Disconnected))
            && self.grips(unit).iter().any(|g| self.is_fastener(*g) && !self.unit(*g).grips.iter().all(|g| g.is_in()));
        if hanging && self.unit(unit).supported.is_some() {
            let raw = self.raw(FaultKind::Unsupported, unit, Why::NotStarted);
            self.too_early(raw, unit);
        }
        self.home(unit, |s| &mut s.supported);
    }

    /// `lock`, `chock`, `switch off`.
    pub fn secure(&mut self, unit: Unit, verb: Verb) {
        self.note(unit);
        match verb {
            Verb::Lock => self.away(unit, |s| &mut s.locked),
            Verb::Chock => self.away(unit, |s| &mut s.chocked),
            _ => self.away(unit, |s| &mut s.switched_off),
        }
    }

    /// `unlock`, `unchock`, `switch on`.
    pub fn unsecure(&mut self, unit: Unit, verb: Verb) {
        self.note(unit);
        match verb {
            Verb::Unlock => self.home(unit, |s| &mut s.locked),
            Verb::Unchock => self.home(unit, |s| &mut s.chocked),
            _ => self.home(unit, |s| &mut s.switched_off),
        }
    }

    fn away(&mut self, unit: Unit, of: impl Fn(&mut UnitState) -> &mut Option<Mark>) {
        let mark = self.mark;
        if of(self.unit_mut(unit)).is_some() {
            self.wrong_state(FaultKind::AlreadyOff, unit, Why::Plain);
        }
        *of(self.unit_mut(unit)) = Some(mark);
        self.leaves_home(unit);
        self.log(unit, |log| log.used = true);
    }

    fn home(&mut self, unit: Unit, of: impl Fn(&mut UnitState) -> &mut Option<Mark>) {
        if of(self.unit_mut(unit)).take().is_none() {
            self.wrong_state(FaultKind::NotOffYet, unit, Why::Plain);
        }
    }
}
