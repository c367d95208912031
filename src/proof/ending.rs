//! The end of the job, and of each follow-up: everything is home.

use super::fault::{Counts, FaultKind, Place, Why};
use super::shop::Shop;
use super::state::{At, Grip, Level, Mark, Slack, Which};
use super::world::Unit;
use crate::procedure::Version;

impl Shop<'_> {
    /// Tells everything that is not home.
    pub fn end(&mut self) {
        let end = self.mark;
        let told = self.faults.len();
        for unit in 0..self.world.thing.len() {
            if !self.world.exists[unit] || !self.was_touched(unit) {
                continue;
            }
            if self.world.is_group(unit) {
                self.group_is_home(unit);
            } else if self.world.is_temporary(unit) {
                let inside = self.unit(unit).inside;
                if inside > 0 {
                    let counts = Counts { there: self.world.places(unit), out: inside, back: 0 };
                    self.left(FaultKind::LeftIn, unit, Why::Plain, None, Some(counts));
                }
            } else if self.world.is_part(unit) {
                self.part_is_home(unit);
            }
            if self.world.is_fluid(unit) {
                self.fluid_is_home(unit);
            }
            self.pairs_are_home(unit);
        }
        self.vehicle_is_home();
        self.engine_is_home();
        for index in 0..self.machine.debts.len() {
            let ((unit, which), _, owed) = self.machine.debts[index];
            if let Some(mark) = owed {
                self.mark = mark;
                self.unpaid(index, unit, which);
                self.mark = end;
            }
        }
        for early in std::mem::take(&mut self.begun_early) {
            if early.unit.is_some_and(|u| self.is_home(u)) {
                self.fault(early, None, None);
            }
        }
        self.sets_are_whole();
        self.came_home_too_late(told);
    }

    /// Whether anything was done to it, or to what it is part of.
    fn was_touched(&self, unit: Unit) -> bool {
        let touched = |u: Unit| self.unit(u).last_act.is_some() || self.unit(u).left_home.is_some();
        touched(unit)
            || self.world.is_fluid(unit)
            || self.world.parent[unit].is_some_and(|p| touched(p) || self.world.parent[p].is_some())
    }

    /// Acts that came while a thing was away: told where that came home after all; else they show where it was due.
    fn came_home_too_late(&mut self, told: usize) {
        let mut misplaced = Vec::new();
        for (early, away) in std::mem::take(&mut self.too_early) {
            match self.faults[told..].iter_mut().find(|f| f.unit == Some(away)) {
                Some(left) => left.other = Some((Place::EndsHere, early.mark.span)),
                // One act that stands in the wrong place is one mistake, however much is still away there.
                None if misplaced.contains(&early.mark.span) => {}
                None => {
                    misplaced.push(early.mark.span);
                    self.fault(early, Some(away), Some(away));
                }
            }
        }
    }

    /// The job stops here: whether things would have come home is seen on the ways that go on.
    pub fn stop(&mut self) {
        self.too_early.clear();
        self.begun_early.clear();
    }

    fn left(&mut self, kind: FaultKind, unit: Unit, why: Why, mark: Option<Mark>, counts: Option<Counts>) {
        let state = self.unit(unit);
        let mark = mark.or(state.left_home).or(state.last_act).unwrap_or(self.mark);
        let mut raw = self.raw(kind, unit, why);
        raw.mark = mark;
        raw.counts = counts;
        raw.other = Some((Place::Declared, self.declared(unit)));
        self.fault(raw, None, Some(unit));
    }

    fn group_is_home(&mut self, group: Unit) {
        let held = &self.world.holds[group];
        if self.unit(group).all_tight() || !held.is_empty() && held.iter().all(|h| self.on(*h).is_none()) {
            return; // what it holds is away, and told
        }
        let state = self.unit(group);
        let there = u32::try_from(state.grips.len()).unwrap_or(u32::MAX);
        let out = state.how_many(|g| g == Grip::Out);
        let taken = state.how_many(|g| g == Grip::Taken);
        let counts = Some(Counts { there, out: state.log.out, back: state.log.back });
        if out + taken == there {
            self.left(FaultKind::LeftOff, group, Why::Plain, None, counts);
        } else if out > 0 {
            let counts = Some(Counts { there, out, back: there - out - taken });
            self.left(FaultKind::CountMismatch, group, Why::StillOut, None, counts);
        } else {
            self.loose(group, counts);
        }
    }

    fn loose(&mut self, group: Unit, counts: Option<Counts>) {
        let of = self.world.facts[group].fastening.as_ref().map_or(1, |f| f.passes.len().max(1));
        let of = u32::try_from(of).unwrap_or(u32::MAX);
        let Some(worst) = self.unit(group).grips.iter().copied().find(|g| !matches!(g, Grip::Tight | Grip::Taken))
        else {
            return;
        };
        let why = match worst {
            Grip::Loose => Why::Loosened,
            Grip::Passed(done) => Why::OnlyPasses { done, of },
            Grip::Snug => Why::OnlyPasses { done: 0, of },
            _ => Why::OnlyStarted,
        };
        self.left(FaultKind::LeftLoose, group, why, None, counts);
    }

    fn part_is_home(&mut self, unit: Unit) {
        let Some(on) = self.on(unit) else { return self.part_is_off(unit) };
        let state = self.unit(unit);
        let screwed = self.world.screws_itself(unit);
        if state.trial {
            self.left(FaultKind::LeftOff, unit, Why::Trial, None, None);
        } else if state.open != self.world.facts[unit].normally_open {
            self.left(FaultKind::LeftOpen, unit, Why::Plain, None, None);
        } else if screwed && state.all_out() {
            self.left(FaultKind::LeftOff, unit, Why::Plain, None, None);
        } else if screwed && !state.all_tight() {
            self.loose(unit, None);
        } else if let Slack::Loosened(mark) = state.slack {
            self.left(FaultKind::LeftLoose, unit, Why::Loosened, Some(mark), None);
        }
        self.parent_carries_it(unit, on);
    }

    /// A part that was never put on the new one of what it belongs to.
    fn parent_carries_it(&mut self, unit: Unit, on: Which) {
        let Some(parent) = self.world.parent[unit] else { return };
        let host = self.unit(unit).item(on).host;
        if self.on(parent).is_some_and(|p| p != host) {
            let why = Why::Thing(self.world.thing[parent]);
            self.left(FaultKind::NotTransferred, unit, why, self.unit(parent).last_act, None);
        }
    }

    fn part_is_off(&mut self, unit: Unit) {
        let facts = self.world.facts[unit];
        let state = self.unit(unit);
        if let Some(parent) = self.world.parent[unit] {
            let Some(host) = self.on(parent) else { return };
            if state.items.iter().any(|i| i.at == At::On && i.host != host) {
                let why = Why::Thing(self.world.thing[parent]);
                if !self.unit(parent).muted {
                    self.left(FaultKind::NotTransferred, unit, why, self.unit(parent).last_act, None);
                }
                return;
            }
        }
        let mut fellows = self.world.units_of(self.world.thing[unit]);
        let kind = if facts.new && state.item(Which::New).at == At::Stock {
            if fellows.any(|u| self.unit(u).log.renewed) {
                let mark = self.unit(unit).last_act;
                return self.left(FaultKind::SetIncomplete, unit, Why::SetBroken, mark, None);
            }
            FaultKind::NeverTouched
        } else if state.items.iter().any(|i| i.at == At::Aside) {
            FaultKind::LeftAside
        } else if state.items.iter().any(|i| i.at == At::Disconnected) {
            FaultKind::LeftDisconnected
        } else if state.items.iter().any(|i| i.at == At::Off) {
            FaultKind::LeftOff
        } else if state.item(Which::Old).at != At::Nowhere && (facts.new || facts.new_if_bad || facts.single_use) {
            // The old one is done with, and nothing took its place.
            FaultKind::LeftOff
        } else {
            return;
        };
        self.left(kind, unit, Why::Plain, None, None);
    }

    fn fluid_is_home(&mut self, fluid: Unit) {
        let level = self.unit(fluid).level;
        if let Some(mark) = level.drained {
            self.left(FaultKind::LeftDry, fluid, Why::Dry, Some(mark), None);
        } else if let Some(mark) = level.unbled {
            self.left(FaultKind::LeftDry, fluid, Why::Unbled, Some(mark), None);
        }
        self.volumes(fluid);
    }

    fn pairs_are_home(&mut self, unit: Unit) {
        let state = self.unit(unit);
        for (mark, kind) in [
            (state.locked, FaultKind::LeftLocked),
            (state.chocked, FaultKind::LeftChocked),
            (state.supported, FaultKind::LeftSupported),
            (state.switched_off, FaultKind::LeftSwitchedOff),
            (state.raised, FaultKind::LeftRaised),
        ] {
            if mark.is_some() {
                self.left(kind, unit, Why::Plain, mark, None);
            }
        }
        let which = self.meant(unit, Version::Unsaid);
        let item = self.unit(unit).item(which);
        if let Some(pair) = item.away.first().copied().filter(|_| item.at == At::On) {
            let mut raw_version = Shop::version_of(which);
            if which == Which::Old {
                raw_version = Version::Unsaid;
            }
            let mark = self.unit(unit).left_home;
            let mut raw = self.raw(FaultKind::LeftUndone, unit, Why::Pair(pair));
            raw.mark = mark.unwrap_or(self.mark);
            raw.version = raw_version;
            raw.other = Some((Place::Declared, self.declared(unit)));
            self.fault(raw, None, Some(unit));
        }
    }

    fn vehicle_is_home(&mut self) {
        let raised = self.machine.ends.iter().flatten().next().copied();
        if let Some(raised) = raised {
            let unit = self.world.units_of(raised.thing).start;
            self.left(FaultKind::LeftRaised, unit, Why::Raised, Some(raised.mark), None);
        }
    }

    fn engine_is_home(&mut self) {
        let Some(mark) = self.machine.running else { return };
        let fault = super::shop::RawFault {
            kind: FaultKind::LeftRunning,
            mark,
            unit: None,
            version: Version::Unsaid,
            why: Why::Plain,
            other: None,
            counts: None,
            same: None,
        };
        self.fault(fault, None, None);
    }

    /// Where one is new, so are all that belong to it.
    fn sets_are_whole(&mut self) {
        for unit in (0..self.world.thing.len()).filter(|u| self.world.exists[*u]).collect::<Vec<_>>() {
            if !self.unit(unit).log.renewed {
                continue;
            }
            let facts = self.world.facts[unit];
            let mark = self.unit(unit).last_act;
            if facts.as_a_set {
                let others = self.world.units_of(self.world.thing[unit]);
                let old = others.filter(|u| self.world.exists[*u]).find(|u| !self.unit(*u).log.renewed);
                if let Some(old) = old {
                    self.left(FaultKind::SetIncomplete, old, Why::SetBroken, mark, None);
                }
            }
            for with in &facts.always_with {
                let old = self
                    .world
                    .beside(unit, *with)
                    .into_iter()
                    .find(|u| self.world.exists[*u] && !self.unit(*u).log.renewed && *u != unit);
                if let Some(old) = old {
                    let why = Why::AlwaysWith(self.world.thing[unit]);
                    self.left(FaultKind::SetIncomplete, old, why, mark, None);
                }
            }
        }
    }

    /// After the sign-off everything is home again, and hot; what was found and fitted stays.
    pub fn sign_off(&mut self) {
        self.machine.ends = [None, None];
        self.machine.hot = true;
        self.machine.running = None;
        self.machine.told_hot = false;
        for unit in 0..self.world.thing.len() {
            let open = self.world.facts[unit].normally_open;
            let seated = self.seated(unit);
            let on = self.on(unit).is_some();
            let state = self.unit_mut(unit);
            if !on && let Some(seated) = seated {
                state.item_mut(seated).at = At::On;
            }
            for item in &mut state.items {
                item.spent |= item.at == At::On;
                item.away.clear();
            }
            state.grips.fill(Grip::Tight);
            state.trial = false;
            state.placed = false;
            state.open = open;
            state.slack = Slack::Tight;
            state.anonymous = false;
            state.used_up = false;
            state.discarded = false;
            state.inside = 0;
            state.level = Level::default();
            state.left_home = None;
            (state.raised, state.supported, state.locked, state.chocked, state.switched_off) =
                (None, None, None, None, None);
        }
        for debt in &mut self.machine.debts {
            debt.2 = None;
        }
    }
}
