//! What becomes of a part: transferred, stored, discarded, renewed.

use crate::procedure::{Verb, Version};
use crate::proof::fault::{FaultKind, Why};
use crate::proof::shop::Shop;
use crate::proof::state::{At, Which};
use crate::proof::world::Unit;

impl Shop<'_> {
    /// `transfer`: from the old to the new one of what it is part of.
    pub fn transfer(&mut self, unit: Unit) {
        self.touch(unit, Verb::Transfer);
        let old = self.unit(unit).item(Which::Old).clone();
        let which =
            if matches!(old.at, At::On | At::Off | At::Aside | At::Disconnected) { Which::Old } else { Which::New };
        let item = self.unit(unit).item(which).clone();
        let gone = matches!(item.at, At::Nowhere | At::Discarded | At::Stock);
        if gone || (item.at == At::On && item.host == Which::New) {
            self.wrong_state(FaultKind::NotOffYet, unit, Why::Plain);
        } else if self.facts(unit).single_use && item.spent {
            self.wrong_state(FaultKind::OldPartRefitted, unit, Why::SingleUse);
        } else if self.facts(unit).new_if_bad && item.bad {
            self.wrong_state(FaultKind::OldPartRefitted, unit, Why::FoundBad);
        }
        for grip in self.grips(unit) {
            if self.is_fastener(grip) && self.unit(grip).grips.iter().any(|g| g.is_in()) {
                self.pull_out(grip);
            }
        }
        let state = self.unit_mut(unit);
        state.item_mut(which).at = At::On;
        state.item_mut(which).host = Which::New;
        self.log(unit, |log| (log.taken_off, log.put_back) = (true, true));
        for grip in self.grips(unit) {
            if self.is_fastener(grip) {
                self.drive_home(grip, unit);
            }
        }
    }

    /// `store` and `discard`: off it must be.
    pub fn part_with(&mut self, unit: Unit, verb: Verb, version: Version) {
        self.note(unit);
        if self.world.is_group(unit) {
            let any_in = self.unit(unit).grips.iter().any(|g| g.is_in());
            if any_in && self.unit(unit).all_tight() {
                self.wrong_state(FaultKind::StillHeld, unit, Why::Plain);
            }
            self.unit_mut(unit).discarded |= verb == Verb::Discard;
            return;
        }
        let state = self.unit(unit);
        let away = |w: &Which| !matches!(state.item(*w).at, At::On | At::Stock | At::Nowhere);
        let hosted_off = |w: &Which| state.item(*w).at == At::On && !self.item_on(unit, *w);
        let which = match version {
            Version::Old => Which::Old,
            Version::New => Which::New,
            Version::Unsaid => {
                let both = [Which::Old, Which::New];
                both.iter().find(|w| away(w)).or(both.iter().find(|w| hosted_off(w))).copied().unwrap_or(Which::Old)
            }
        };
        if self.item_on(unit, which) && self.world.is_part(unit) && !self.is_temporary(unit) {
            self.wrong_state(FaultKind::StillHeld, unit, Why::Plain);
        }
        let at = if verb == Verb::Discard { At::Discarded } else { At::Stored };
        self.unit_mut(unit).item_mut(which).at = at;
    }

    /// `renew`: remove and fit in one act.
    pub fn renew(&mut self, unit: Unit) {
        self.take_off(unit, Verb::Renew, Version::Unsaid);
        self.put_on(unit, Verb::Renew, Version::New);
    }
}
