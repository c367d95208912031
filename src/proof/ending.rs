//! The end of the job, and of each follow-up: everything is home.

use super::bdd::NEVER;
use super::fault::{FaultKind, Place, Why};
use super::shop::{CountOf, Flag, RawFault, Shop, Where};
use super::state::{At, Debt, Grip, Level, Mark, Rig, Slack, Which};
use super::world::Unit;
use crate::procedure::Version;

impl Shop<'_> {
    /// Tells everything that is not home, on every way that comes to the end.
    pub fn end(&mut self) {
        let end = self.mark;
        let told = self.faults.len();
        for unit in 0..self.world.thing.len() {
            if !self.may_be_away(unit) {
                continue;
            }
            self.each_way(|shop| {
                if shop.exists(unit) && shop.was_touched(unit) {
                    shop.unit_is_home(unit);
                }
            });
        }
        self.each_way(Self::vehicle_is_home);
        self.each_way(Self::engine_is_home);
        for index in 0..self.debts() {
            self.each_way(|shop| {
                if let Some(mark) = shop.debt(index).2.owed {
                    shop.mark = mark;
                    shop.unpaid(index);
                }
                shop.mark = end;
            });
        }
        for (cond, early) in std::mem::take(&mut self.begun_early) {
            let ways = self.run.bdd.and(cond, self.run.bdd.and(self.here, self.alive));
            self.each_way_of(ways, &mut |shop| {
                if early.unit.is_some_and(|u| shop.is_home(u)) {
                    shop.fault(early.clone(), None, None);
                }
            });
        }
        self.sets_are_whole();
        self.came_home_too_late(told);
    }

    fn unit_is_home(&mut self, unit: Unit) {
        if self.world.is_group(unit) {
            self.group_is_home(unit);
        } else if self.is_temporary(unit) {
            let inside = self.unit(unit).inside;
            if inside > 0 {
                let counts = CountOf::Said { there: self.places_of(unit), out: inside, back: 0 };
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

    /// Whether it is of use to look at a unit at all.
    pub fn may_be_away(&self, unit: Unit) -> bool {
        let parents = self.world.relations[unit].iter().flat_map(|r| &r.parents);
        self.is_touched(unit)
            || self.world.is_fluid(unit)
            || parents
                .into_iter()
                .any(|p| self.is_touched(*p) || self.world.relations[*p].iter().any(|r| !r.parents.is_empty()))
    }

    /// Whether anything was done to it, or to what it is part of.
    fn was_touched(&self, unit: Unit) -> bool {
        let touched = |u: Unit| self.has(&Flag::Touched(u));
        touched(unit)
            || self.world.is_fluid(unit)
            || self.parent(unit).is_some_and(|p| touched(p) || self.parent(p).is_some())
    }

    /// Acts that came while a thing was away: told where that came home after all; else they show where it was due.
    fn came_home_too_late(&mut self, told: usize) {
        let here = self.run.bdd.and(self.here, self.alive);
        for (cond, early, away) in std::mem::take(&mut self.too_early) {
            let mut ways = self.run.bdd.and(cond, here);
            let last = self.faults.len();
            for index in told..last {
                let (left, fault) = &mut self.faults[index];
                if fault.unit != Some(away) {
                    continue;
                }
                let both = self.run.bdd.and(*left, ways);
                if both == NEVER {
                    continue;
                }
                let mut shown = fault.clone();
                shown.other.insert(0, (Place::EndsHere, Where::At(early.mark.span)));
                *left = self.run.bdd.without(*left, both);
                ways = self.run.bdd.without(ways, both);
                self.faults.push((both, shown));
            }
            // One act that stands in the wrong place is one mistake, however much is still away there.
            let misplaced = Flag::Misplaced(early.mark.span);
            ways = self.run.bdd.without(ways, self.where_it_happened(&misplaced));
            self.each_way_of(ways, &mut |shop| {
                shop.happens(misplaced.clone());
                shop.fault(early.clone(), Some(away), Some(away));
            });
        }
        self.forget_all(|flag| matches!(flag, Flag::HeldBack(_) | Flag::Misplaced(_)));
    }

    fn left(&mut self, kind: FaultKind, unit: Unit, why: Why, mark: Option<Mark>, counts: Option<CountOf>) {
        let mut raw = self.raw(kind, unit, why);
        match mark {
            Some(mark) => raw.mark = mark,
            None => raw.from = vec![Where::LeftHome(unit), Where::LastAct(unit)],
        }
        raw.counts = counts;
        raw.other = vec![(Place::Declared, Where::At(self.declared(unit)))];
        self.fault(raw, None, Some(unit));
    }

    fn group_is_home(&mut self, group: Unit) {
        let held = self.holds(group);
        if self.unit(group).all_tight() || !held.is_empty() && held.iter().all(|h| self.on(*h).is_none()) {
            return; // what it holds is away, and told
        }
        let state = self.unit(group);
        let there = u32::try_from(state.grips.len()).unwrap_or(u32::MAX);
        let out = state.how_many(|g| g == Grip::Out);
        let taken = state.how_many(|g| g == Grip::Taken);
        let counts = Some(CountOf::Moved { there });
        if out + taken == there {
            self.left(FaultKind::LeftOff, group, Why::Plain, None, counts);
        } else if out > 0 {
            let counts = Some(CountOf::Said { there, out, back: there - out - taken });
            self.left(FaultKind::CountMismatch, group, Why::StillOut, None, counts);
        } else {
            self.loose(group, counts);
        }
    }

    fn loose(&mut self, group: Unit, counts: Option<CountOf>) {
        let of = self.facts(group).fastening.as_ref().map_or(1, |f| f.passes.len().max(1));
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
        let screwed = self.screws_itself(unit);
        if state.trial {
            self.left(FaultKind::LeftOff, unit, Why::Trial, None, None);
        } else if state.open != self.facts(unit).normally_open {
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
        let Some(parent) = self.parent(unit) else { return };
        let host = self.unit(unit).item(on).host;
        if self.on(parent).is_some_and(|p| p != host) {
            let why = Why::Thing(self.world.thing[parent]);
            self.left_since(FaultKind::NotTransferred, unit, why, parent);
        }
    }

    fn part_is_off(&mut self, unit: Unit) {
        let facts = self.facts(unit);
        let state = self.unit(unit);
        if let Some(parent) = self.parent(unit) {
            let Some(host) = self.on(parent) else { return };
            if state.items.iter().any(|i| i.at == At::On && i.host != host) {
                let why = Why::Thing(self.world.thing[parent]);
                if !self.unit(parent).muted {
                    self.left_since(FaultKind::NotTransferred, unit, why, parent);
                }
                return;
            }
        }
        let mut fellows = self.world.units_of(self.world.thing[unit]);
        let kind = if facts.new && state.item(Which::New).at == At::Stock {
            if fellows.any(|u| self.has(&Flag::Renewed(u))) {
                return self.left_since(FaultKind::SetIncomplete, unit, Why::SetBroken, unit);
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
        let state = self.unit(unit);
        let item = state.item(which);
        if let Some(pair) = item.away.first().copied().filter(|_| item.at == At::On) {
            let mut raw_version = Shop::version_of(which);
            if which == Which::Old {
                raw_version = Version::Unsaid;
            }
            let mut raw = self.raw(FaultKind::LeftUndone, unit, Why::Pair(pair));
            raw.from = vec![Where::LeftHome(unit)];
            raw.version = raw_version;
            raw.other = vec![(Place::Declared, Where::At(self.declared(unit)))];
            self.fault(raw, None, Some(unit));
        }
    }

    fn vehicle_is_home(&mut self) {
        let raised = self.rig().ends.iter().flatten().next().copied();
        if let Some(raised) = raised {
            let unit = self.world.units_of(raised.thing).start;
            self.left(FaultKind::LeftRaised, unit, Why::Raised, Some(raised.mark), None);
        }
    }

    fn engine_is_home(&mut self) {
        let Some(mark) = self.rig().running else { return };
        let fault = RawFault::new(FaultKind::LeftRunning, mark, Why::Plain);
        self.fault(fault, None, None);
    }

    /// Told where the last act was done to something.
    fn left_since(&mut self, kind: FaultKind, unit: Unit, why: Why, acted_on: Unit) {
        let mut raw = self.raw(kind, unit, why);
        raw.from = vec![Where::PutOn(acted_on), Where::LastAct(acted_on), Where::LeftHome(unit), Where::LastAct(unit)];
        raw.other = vec![(Place::Declared, Where::At(self.declared(unit)))];
        self.fault(raw, None, Some(unit));
    }

    /// Where one is new, so are all that belong to it.
    fn sets_are_whole(&mut self) {
        for unit in 0..self.world.thing.len() {
            if self.world.goes_with[unit] {
                self.each_way(|shop| {
                    if shop.exists(unit) {
                        shop.goes_along(unit);
                    }
                });
            }
            if self.where_it_happened(&Flag::Renewed(unit)) == NEVER {
                continue;
            }
            self.each_way(|shop| {
                if shop.exists(unit) && shop.has(&Flag::Renewed(unit)) {
                    shop.set_is_whole(unit);
                }
            });
        }
    }

    fn set_is_whole(&mut self, unit: Unit) {
        let facts = self.facts(unit);
        let is_old = |shop: &Self, other: &Unit| shop.exists(*other) && !shop.has(&Flag::Renewed(*other));
        if facts.as_a_set {
            let mut others = self.world.units_of(self.world.thing[unit]);
            if let Some(old) = others.find(|u| is_old(self, u)) {
                self.left_since(FaultKind::SetIncomplete, old, Why::SetBroken, unit);
            }
        }
        for with in &facts.always_with {
            let beside = self.world.beside(unit, *with);
            if let Some(old) = beside.into_iter().find(|u| *u != unit && is_old(self, u)) {
                let why = Why::AlwaysWith(self.world.thing[unit]);
                self.left_since(FaultKind::SetIncomplete, old, why, unit);
            }
        }
    }

    /// `always with` binds both: what is declared to go with a thing that is new.
    fn goes_along(&mut self, unit: Unit) {
        if self.has(&Flag::Renewed(unit)) {
            return; // told from its own side
        }
        for with in &self.facts(unit).always_with {
            let beside = self.world.beside(unit, *with);
            let new = beside.into_iter().find(|u| *u != unit && self.exists(*u) && self.has(&Flag::Renewed(*u)));
            if let Some(new) = new {
                let why = Why::AlwaysWith(self.world.thing[new]);
                self.left_since(FaultKind::SetIncomplete, unit, why, new);
            }
        }
    }

    /// After the sign-off everything is home again, and hot; what was found and fitted stays.
    pub fn sign_off(&mut self) {
        self.each_way(|shop| *shop.rig_mut() = Rig::at_start());
        for unit in 0..self.world.thing.len() {
            self.each_way(|shop| shop.put_home(unit));
        }
        for index in 0..self.debts() {
            self.each_way(|shop| {
                let held = shop.debt(index).2.held;
                shop.set_debt(index, Debt { held, owed: None });
            });
        }
    }

    fn put_home(&mut self, unit: Unit) {
        let open = self.facts(unit).normally_open;
        let seated = self.seated(unit);
        let on = self.on(unit).is_some();
        self.comes_home(unit);
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
        (state.raised, state.supported, state.locked, state.chocked, state.switched_off) =
            (None, None, None, None, None);
    }
}
