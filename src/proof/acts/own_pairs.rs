//! The shop's own pairs of verbs, and the states that are taken over.

use crate::procedure::{PairId, State, StateRef, Subject, Verb, Version};
use crate::proof::fault::{FaultKind, Why};
use crate::proof::shop::{Flag, Shop};
use crate::proof::state::{At, DoneTo, Grip, Rig, Slack, Which};
use crate::proof::world::Unit;

impl Shop<'_> {
    /// The first verb of a pair.
    pub fn open_pair(&mut self, unit: Unit, pair: PairId, version: Version) {
        self.touch_in_place(unit, Verb::Open1(pair));
        let which = self.meant(unit, version);
        if self.unit(unit).item(which).away.contains(&pair) {
            self.wrong_state(FaultKind::AlreadyOff, unit, Why::Plain);
        }
        self.unit_mut(unit).item_mut(which).away.insert(pair);
        self.ever_away.entry(pair).or_default().insert(unit);
        self.leaves_home(unit);
        self.log(unit, |log| log.used = true);
    }

    /// The second verb. What is done to a lever may bring something else home (`pump brake pedal` the pistons).
    pub fn close_pair(&mut self, unit: Unit, pair: PairId, version: Version) {
        self.touch_in_place(unit, Verb::Close1(pair));
        let which = self.meant(unit, version);
        if self.unit_mut(unit).item_mut(which).away.remove(&pair) {
            return;
        }
        let its_own = self.ever_away.get(&pair).is_some_and(|units| units.contains(&unit));
        if its_own || !self.close_pair_everywhere(pair) {
            self.wrong_state(FaultKind::NotOffYet, unit, Why::Plain);
        }
    }

    /// Brings home all that this pair took away; false where there was nothing.
    pub fn close_pair_everywhere(&mut self, pair: PairId) -> bool {
        let mut any = false;
        for unit in self.ever_away.get(&pair).cloned().unwrap_or_default() {
            if self.decide(|shop| shop.unit(unit).items.iter().any(|i| i.at != At::Discarded && i.away.contains(&pair)))
            {
                any = true;
                for item in self.unit_mut(unit).items.iter_mut().filter(|i| i.at != At::Discarded) {
                    item.away.remove(&pair);
                }
            }
        }
        any
    }

    /// `found X STATE`, and what a `wait … until X STATE` leaves: the state holds from here on.
    pub fn take_over(&mut self, found: &StateRef) {
        match &found.subject {
            Subject::Thing(reference) => {
                for unit in self.units(reference) {
                    let which = self.meant(unit, reference.version);
                    self.bring_about(unit, which, &found.state, found.negated);
                }
            }
            Subject::Words(words) => {
                if let State::Done(verb) = found.state {
                    self.happens(Flag::Done(DoneTo::Words(words.to_lowercase()), verb));
                }
            }
            Subject::Measurement(_) => {}
        }
        self.happens(Flag::Words(found.text.to_lowercase()));
    }

    fn bring_about(&mut self, unit: Unit, which: Which, wanted: &State, negated: bool) {
        let mark = self.mark;
        let name = self.procedure()[self.world.thing[unit]].name.to_lowercase();
        let yes = (!negated).then_some(mark);
        let engine = self.world.builtin(unit) == Some(crate::procedure::Builtin::Engine);
        if let State::Raised = wanted {
            for end in Rig::ends_of(self.world.builtin(unit)) {
                let thing = self.world.thing[unit];
                self.rig_mut().ends[*end] = yes.map(|mark| crate::proof::state::Raised { thing, mark, stands: true });
            }
        }
        match wanted {
            State::Cooled if engine => self.rig_mut().hot = negated,
            State::Hot if engine => self.rig_mut().hot = !negated,
            State::Running => self.rig_mut().running = yes,
            State::Stopped => self.rig_mut().running = None,
            State::Done(verb) => {
                self.happens(Flag::Done(DoneTo::Unit(unit), *verb));
            }
            State::Words(words) => {
                self.happens(Flag::Words(format!("{name} {}", words.to_lowercase())));
            }
            _ => {}
        }
        let count = self.places_of(unit);
        let state = self.unit_mut(unit);
        let item_at = |state: &mut crate::proof::state::UnitState, at: At| state.item_mut(which).at = at;
        match wanted {
            State::Removed if !negated => {
                item_at(state, At::Off);
                state.last_off = which;
                state.grips.fill(Grip::Out);
            }
            State::Disconnected if !negated => item_at(state, At::Disconnected),
            State::Aside if !negated => item_at(state, At::Aside),
            State::Fitted | State::Connected | State::Returned | State::Placed if !negated => item_at(state, At::On),
            State::Loose if !negated && state.grips.is_empty() => state.slack = Slack::Loosened(mark),
            State::Loose if !negated => state.grips.fill(Grip::Loose),
            State::Tight if !negated && state.grips.is_empty() => state.slack = Slack::Tight,
            State::Tight if !negated => state.grips.fill(Grip::Tight),
            State::Open => state.open = !negated,
            State::Closed => state.open = negated,
            State::Drained => state.level.drained = yes,
            State::Filled | State::Bled if !negated => state.level = crate::proof::state::Level::default(),
            State::Raised => state.raised = yes,
            State::Supported => state.supported = yes,
            State::Locked => state.locked = yes,
            State::Chocked => state.chocked = yes,
            State::SwitchedOff => state.switched_off = yes,
            State::Lowered => state.raised = None,
            State::Released => state.supported = None,
            State::Unlocked => state.locked = None,
            State::Unchocked => state.chocked = None,
            State::SwitchedOn => state.switched_off = None,
            State::In if !negated => state.inside = count,
            State::Out if !negated => state.inside = 0,
            State::Cooled => state.cooled = !negated,
            State::Away(pair) if !negated => {
                state.item_mut(which).away.insert(*pair);
            }
            State::Away(pair) | State::HomeOf(pair) => {
                state.item_mut(which).away.remove(pair);
            }
            _ => {}
        }
        if let State::Away(pair) = wanted {
            self.ever_away.entry(*pair).or_default().insert(unit);
        }
        self.leaves_home(unit);
    }
}
