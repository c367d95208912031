//! Putting back: refit, fit, connect, return, place, try, close.

use crate::procedure::{Verb, Version};
use crate::proof::fault::{FaultKind, Place, Why};
use crate::proof::shop::{Shop, Where};
use crate::proof::state::{At, Grip, Slack, Which};
use crate::proof::world::Unit;

impl Shop<'_> {
    /// `refit`, `fit`, `connect`, `return`, `place` and `try` of a part.
    pub fn put_on(&mut self, unit: Unit, verb: Verb, version: Version) {
        self.put_on_to_depth(unit, verb, version, 8);
    }

    fn put_on_to_depth(&mut self, unit: Unit, verb: Verb, version: Version, depth: u32) {
        let which = self.item_for(unit, verb, version);
        let host = self.host_for(unit);
        let seated = self.seated_on(unit, host);
        let completes = self.seat_is_free(unit, verb, which, seated);
        self.touch(unit, verb);
        if !completes {
            self.may_go_on(unit, verb, which);
            self.seals_are_fresh(unit, which);
        }
        self.lay_on(unit, which, host, seated);
        if verb == Verb::Try {
            self.unit_mut(unit).trial = true;
        } else if verb == Verb::Place {
            self.start_itself(unit);
        } else {
            self.grip(unit, depth);
        }
    }

    /// The old or the new one.
    fn item_for(&self, unit: Unit, verb: Verb, version: Version) -> Which {
        let facts = self.facts(unit);
        let state = self.unit(unit);
        match (verb, version) {
            (_, Version::Old) => Which::Old,
            (_, Version::New) | (Verb::Fit | Verb::Renew, Version::Unsaid) => Which::New,
            (Verb::Place | Verb::Try, Version::Unsaid) => {
                let bad = facts.new_if_bad && state.item(Which::Old).bad;
                let used = state.last_off == Which::New;
                if facts.new || facts.added || facts.single_use || bad || used { Which::New } else { Which::Old }
            }
            _ => {
                let host = self.host_for(unit);
                match self.seated_on(unit, host) {
                    Some(which) => which,
                    // It was never on: there is only a new one.
                    None if state.item(Which::Old).at == At::Nowhere => Which::New,
                    None => state.last_off,
                }
            }
        }
    }

    /// Tells a seat that is taken. True where the thing is already placed and this act only fastens it.
    fn seat_is_free(&mut self, unit: Unit, verb: Verb, which: Which, seated: Option<Which>) -> bool {
        let Some(seated) = seated.filter(|w| self.unit(unit).item(*w).at == At::On) else {
            // It was never taken off the old one of what it is part of.
            if self.unit(unit).item(which).at == At::On {
                self.wrong_state(FaultKind::NotOffYet, unit, Why::Plain);
            }
            return false;
        };
        let state = self.unit(unit);
        if state.trial {
            self.wrong_state(FaultKind::NotOffYet, unit, Why::Trial);
            return false;
        }
        let to_fasten = !matches!(verb, Verb::Place | Verb::Try);
        if seated == which && state.placed && to_fasten && !self.gripped(unit) {
            return true;
        }
        self.wrong_state(FaultKind::NotOffYet, unit, Why::Plain);
        // Taken as if it had been off: so had its fasteners.
        for grip in self.grips(unit) {
            if self.holds(grip).len() <= 1 {
                self.unit_mut(grip).grips.fill(Grip::Out);
            }
        }
        seated == which
    }

    /// New ones are meant to be renewed; old ones are fit to go back, and the right way round.
    fn may_go_on(&mut self, unit: Unit, verb: Verb, which: Which) {
        let facts = self.facts(unit);
        let item = self.unit(unit).item(which).clone();
        if verb == Verb::Refit && facts.added && item.at == At::Stock {
            self.wrong_state(FaultKind::OldPartRefitted, unit, Why::NeverOn);
        }
        let fresh = item.at == At::Stock || which == Which::New && matches!(verb, Verb::Fit | Verb::Renew);
        if fresh || item.at == At::Nowhere {
            let in_a_kit = self.procedure().kits.iter().any(|k| k.things.contains(&self.world.thing[unit]));
            if !(facts.new || facts.new_if_bad || facts.single_use || facts.added || in_a_kit) {
                self.wrong_state(FaultKind::OldPartRefitted, unit, Why::NotDeclaredNew);
            }
            return;
        }
        let why = if item.at == At::Discarded {
            Some(Why::Discarded)
        } else if facts.single_use && item.spent && self.in_until == 0 {
            Some(Why::SingleUse)
        } else if facts.new && which == Which::Old && verb != Verb::Try {
            Some(Why::DeclaredNew)
        } else if facts.new_if_bad && item.bad {
            Some(Why::FoundBad)
        } else {
            None
        };
        if let Some(why) = why {
            self.wrong_state(FaultKind::OldPartRefitted, unit, why);
            return;
        }
        if item.at != At::Off || verb == Verb::Try {
            return;
        }
        if facts.count > 1 && !facts.by_position && !facts.alike && self.world.is_part(unit) {
            let mut raw = self.raw(FaultKind::PositionUnkept, unit, Why::Plain);
            raw.other = vec![(Place::Declared, Where::At(self.declared(unit)))];
            self.fault(raw, None, None);
        }
    }

    /// A single-use seal that stayed on what came off does not go back with it.
    pub fn seals_are_fresh(&mut self, unit: Unit, which: Which) {
        for seal in self.children(unit) {
            if !self.world.single_use[seal] || !self.facts(seal).single_use || !self.is_seal(seal) || self.in_until > 0
            {
                continue;
            }
            let worn = self.unit(seal).items.iter().any(|i| i.at == At::On && i.host == which && i.undone);
            if worn {
                let mut raw = self.raw(FaultKind::OldPartRefitted, seal, Why::SingleUse);
                raw.other = vec![(Place::LeftHome, Where::LeftHome(unit))];
                self.fault(raw, Some(unit), Some(seal));
            }
        }
    }

    /// What it sits on comes off, or opens: what sealed it is used up.
    pub fn seals_come_undone(&mut self, unit: Unit, which: Which) {
        for seal in self.world.children[unit].clone() {
            if !self.world.single_use[seal] {
                continue;
            }
            let used = |i: &crate::proof::state::Item| i.at == At::On && i.host == which && i.spent && !i.undone;
            if self.exists(seal) && self.is_seal(seal) && self.unit(seal).items.iter().any(used) {
                for item in self.unit_mut(seal).items.iter_mut().filter(|i| used(i)) {
                    item.undone = true;
                }
            }
        }
    }

    fn lay_on(&mut self, unit: Unit, which: Which, host: Which, seated: Option<Which>) {
        let (thing, member) = (self.world.thing[unit], self.world.member[unit]);
        let member = self.world.each(unit).map(|_| member);
        let single_use = self.facts(unit).single_use;
        let pairs = &self.procedure().pairs;
        let named_home = |pair: crate::procedure::PairId| pairs.get(pair.index()).is_some_and(|p| p.home.is_some());
        let state = self.unit_mut(unit);
        if let Some(seated) = seated.filter(|w| *w != which) {
            state.item_mut(seated).at = At::Off;
        }
        let came_from = state.item(which).at;
        let item = state.item_mut(which);
        item.at = At::On;
        item.host = host;
        if which == Which::New && (came_from == At::Stock || single_use && came_from != At::On) {
            item.bad = false;
            item.spent = false;
            item.undone = false;
        }
        state.trial = false;
        state.placed = true;
        state.slack = Slack::Unsaid;
        if which == Which::New && came_from == At::Stock {
            // A pair whose home has a name of its own (`bent over`): a new one comes in neither state, and is owed it.
            let owed: Vec<_> = state.item(Which::Old).away.iter().copied().filter(|p| named_home(*p)).collect();
            state.item_mut(which).away.extend(owed);
        }
        self.is_put_on(unit);
        self.log(unit, |log| (log.put_back, log.renewed) = (true, which == Which::New));
        if which == Which::New && came_from == At::Stock {
            self.renewed(thing, member);
        }
    }

    /// A part that is its own fastener is started by hand where it is placed.
    fn start_itself(&mut self, unit: Unit) {
        if self.screws_itself(unit) {
            let mut back = 0;
            for grip in self.unit_mut(unit).grips.iter_mut().filter(|g| **g == Grip::Out) {
                *grip = Grip::Started;
                back += 1;
            }
            self.log(unit, |log| log.back += back);
        }
    }

    /// Puts back and tightens what holds it, as far as everything held is in place.
    fn grip(&mut self, unit: Unit, depth: u32) {
        for grip in self.grips(unit) {
            if self.is_fastener(grip) {
                self.drive_home(grip, unit);
            } else if depth > 0 && self.on(grip).is_none() {
                let facts = self.facts(grip);
                let verb = if facts.single_use || facts.new { Verb::Fit } else { Verb::Refit };
                self.put_on_to_depth(grip, verb, Version::Unsaid, depth - 1);
            }
        }
        self.settle(unit);
    }

    /// What is locked in place is spent, if it is for one use: it, its seals, and what lies behind it.
    pub fn settle(&mut self, unit: Unit) {
        if !self.decide(|shop| shop.gripped(unit)) {
            return;
        }
        let spend = |shop: &mut Self, unit: Unit| {
            let fresh = |shop: &Self| shop.unit(unit).items.iter().any(|i| i.at == At::On && !i.spent);
            if !shop.world.single_use[unit] || !shop.decide(fresh) {
                return;
            }
            for item in &mut shop.unit_mut(unit).items {
                item.spent |= item.at == At::On;
            }
        };
        if !self.grips(unit).is_empty() {
            spend(self, unit);
        }
        for child in self.children(unit) {
            if self.world.single_use[child] && self.is_seal(child) {
                spend(self, child);
            }
        }
        for other in self.world.in_front_of[unit].clone() {
            if self.world.single_use[other]
                && self.exists(other)
                && self.facts(other).single_use
                && self.is_behind(other, unit)
            {
                spend(self, other);
            }
        }
    }

    /// `close`.
    pub fn close(&mut self, unit: Unit) {
        self.touch(unit, Verb::Close);
        let which = self.meant(unit, Version::Unsaid);
        if !self.unit(unit).open {
            if matches!(self.unit(unit).item(which).at, At::Off | At::Disconnected | At::Aside) {
                self.put_on(unit, Verb::Refit, Version::Unsaid);
                return;
            }
            self.wrong_state(FaultKind::NotOffYet, unit, Why::Plain);
        }
        self.seals_are_fresh(unit, which);
        let homeward = !self.facts(unit).normally_open;
        self.unit_mut(unit).open = false;
        self.log(unit, |log| log.put_back = true);
        if !homeward {
            self.leaves_home(unit);
            return;
        }
        self.grip(unit, 8);
    }
}
