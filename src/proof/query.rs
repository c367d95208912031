//! Questions to the machine: what is on, what is home, what is in the way, which named state holds.

use super::shop::{Flag, Shop};
use super::state::{At, DoneTo, Grip, Rig, Slack, Which};
use super::world::Unit;
use crate::procedure::{Builtin, State, StateRef, Subject, ThingRef, Version};

impl Shop<'_> {
    /// Whether this item sits on the machine: on, and so is what it is part of.
    pub fn item_on(&self, unit: Unit, which: Which) -> bool {
        self.item_on_to_depth(unit, which, 32)
    }

    fn item_on_to_depth(&self, unit: Unit, which: Which, depth: u32) -> bool {
        let state = self.unit(unit);
        let item = state.item(which);
        // A declared circle of `part of` is somebody else's finding; here it only has to end.
        item.at == At::On
            && self.parent(unit).is_none_or(|p| depth == 0 || self.item_on_to_depth(p, item.host, depth - 1))
    }

    /// The item that sits on the machine.
    pub fn on(&self, unit: Unit) -> Option<Which> {
        [Which::New, Which::Old].into_iter().find(|w| self.item_on(unit, *w))
    }

    /// The item that is on, aside or disconnected, on whatever it is part of; the new one first.
    pub fn seated(&self, unit: Unit) -> Option<Which> {
        self.on(unit).or_else(|| {
            [Which::New, Which::Old]
                .into_iter()
                .find(|w| matches!(self.unit(unit).item(*w).at, At::On | At::Aside | At::Disconnected))
        })
    }

    /// The item of `unit` that sits on this item of what it is part of.
    pub fn seated_on(&self, unit: Unit, host: Which) -> Option<Which> {
        let state = self.unit(unit);
        [Which::New, Which::Old].into_iter().find(|w| {
            let item = state.item(*w);
            matches!(item.at, At::On | At::Aside | At::Disconnected)
                && (self.parent(unit).is_none() || item.host == host)
        })
    }

    /// Which item an act means that names no version.
    pub fn meant(&self, unit: Unit, version: Version) -> Which {
        match version {
            Version::Old => Which::Old,
            Version::New => Which::New,
            Version::Unsaid => self.seated(unit).unwrap_or(self.unit(unit).last_off),
        }
    }

    /// The item of its parent that a thing goes on to: the new one where there will be one, else what there is.
    pub fn host_for(&self, unit: Unit) -> Which {
        let Some(parent) = self.parent(unit) else { return Which::Old };
        let facts = self.facts(parent);
        if facts.new || facts.added {
            return Which::New;
        }
        if let Some(on) = self.on(parent) {
            return on;
        }
        let state = self.unit(parent);
        let old = state.item(Which::Old);
        if facts.single_use || old.at == At::Discarded || (facts.new_if_bad && old.bad) {
            return Which::New;
        }
        self.seated(parent).unwrap_or(self.unit(parent).last_off)
    }

    /// Whether everything that grips it is tight (what holds several things too).
    pub fn gripped(&self, unit: Unit) -> bool {
        self.grips(unit).into_iter().all(|g| self.holds_tight(g, 3))
    }

    fn holds_tight(&self, grip: Unit, depth: u32) -> bool {
        if self.is_fastener(grip) {
            self.unit(grip).all_tight()
        } else {
            depth == 0
                || (self.on(grip).is_some() && self.grips(grip).into_iter().all(|g| self.holds_tight(g, depth - 1)))
        }
    }

    /// Whether it sits where it belongs, tight and shut.
    pub fn is_home(&self, unit: Unit) -> bool {
        let state = self.unit(unit);
        if self.world.is_group(unit) {
            return state.all_tight();
        }
        if self.is_temporary(unit) {
            return state.inside == 0;
        }
        if !self.world.is_part(unit) {
            return true;
        }
        self.on(unit).is_some()
            && !state.trial
            && self.gripped(unit)
            && state.open == self.facts(unit).normally_open
            && !matches!(state.slack, Slack::Loosened(_))
            && state.locked.is_none()
            && state.supported.is_none()
            && state.switched_off.is_none()
            && self.on(unit).is_some_and(|w| state.item(w).away.is_empty())
    }

    /// Whether it stands in the way of what is `behind` it.
    pub fn blocks(&self, unit: Unit) -> bool {
        let state = self.unit(unit);
        if self.is_temporary(unit) {
            return state.inside > 0;
        }
        if self.world.is_group(unit) {
            return state.grips.iter().any(|g| g.is_in());
        }
        let opened = state.open && !self.facts(unit).normally_open;
        self.world.is_part(unit) && self.on(unit).is_some() && !opened && !state.trial
    }

    /// Whether a circuit is open at this unit: the part is off, disconnected or open.
    pub fn leaks(&self, unit: Unit) -> bool {
        let state = self.unit(unit);
        if self.world.is_group(unit) {
            return state.all_out();
        }
        let absent = self.facts(unit).added && state.item(Which::New).at == At::Stock;
        !absent && (self.on(unit).is_none() && !self.is_only_aside(unit) || self.is_open(unit))
    }

    /// Moved aside as a whole, or along with what it is part of: nothing of its circuit is parted.
    fn is_only_aside(&self, unit: Unit) -> bool {
        self.seated(unit).is_some_and(|w| self.unit(unit).item(w).at == At::Aside)
            || self.parent(unit).is_some_and(|p| {
                self.unit(unit).items.iter().any(|i| i.at == At::On)
                    && self.seated(p).is_some_and(|w| self.unit(p).item(w).at == At::Aside)
            })
    }

    /// Open, of what is shut at home.
    pub fn is_open(&self, unit: Unit) -> bool {
        self.unit(unit).open && !self.facts(unit).normally_open
    }

    /// Open or off, of a filler or drain: fluid can pass.
    pub fn lets_pass(&self, unit: Unit) -> bool {
        self.unit(unit).open || self.on(unit).is_none() || self.world.is_group(unit) && self.unit(unit).all_out()
    }

    /// Whether a named state holds; what it says of several members must hold for all of them.
    /// What does not exist under these options holds.
    pub fn state_holds(&self, wanted: &StateRef) -> bool {
        let said = Flag::Words(wanted.text.to_lowercase());
        if matches!(wanted.state, State::Words(_)) && self.has(&said) {
            return !wanted.negated;
        }
        let plain = match &wanted.subject {
            Subject::Thing(reference) => {
                let units = self.units(reference);
                return units.iter().all(|u| self.unit_is(*u, reference, &wanted.state) != wanted.negated);
            }
            Subject::Measurement(id) => match wanted.state {
                State::Within | State::Good => self.is_outside(*id) == Some(false),
                State::Outside | State::Bad => self.is_outside(*id) == Some(true),
                _ => self.is_outside(*id).is_some(),
            },
            Subject::Words(words) => self.words_hold(words, &wanted.state) || self.has(&said),
        };
        plain != wanted.negated
    }

    fn words_hold(&self, words: &str, state: &State) -> bool {
        match state {
            State::Done(verb) => self.has(&Flag::Done(DoneTo::Words(words.to_lowercase()), *verb)),
            _ => false,
        }
    }

    /// Whether one unit is in a state.
    pub fn unit_is(&self, unit: Unit, reference: &ThingRef, wanted: &State) -> bool {
        if self.world.is_group(unit) {
            if let Some(answer) = self.group_is(unit, wanted) {
                return answer;
            }
        }
        if let Some(answer) = self.end_is(unit, wanted) {
            return answer;
        }
        let state = self.unit(unit);
        let which = self.meant(unit, reference.version);
        let at = state.item(which).at;
        let on = match reference.version {
            Version::Unsaid => self.on(unit).is_some(),
            _ => self.item_on(unit, which),
        };
        if self.is_temporary(unit) {
            match wanted {
                State::In | State::Fitted | State::Placed | State::Connected => return state.inside > 0,
                State::Out | State::Removed | State::Disconnected => return state.inside == 0,
                _ => {}
            }
        }
        match wanted {
            State::Fitted | State::Connected | State::Returned | State::Placed | State::In => on,
            State::Removed => !on && !matches!(at, At::Aside | At::Disconnected),
            State::Out => !on,
            State::Disconnected | State::Aside => !on,
            State::Loose => {
                matches!(state.slack, Slack::Loosened(_)) || !self.grips(unit).is_empty() && !self.gripped(unit)
            }
            State::Tight => !matches!(state.slack, Slack::Loosened(_)) && self.gripped(unit),
            State::Started => self.grips(unit).iter().all(|g| self.unit(*g).grips.iter().all(|g| g.is_in())),
            State::Open => state.open || !on,
            State::Closed => on && !state.open,
            State::Drained => {
                if self.world.is_fluid(unit) {
                    state.level.drained.is_some()
                } else {
                    self.fluids_of(unit, |l| l.drained.is_some())
                }
            }
            State::Filled => {
                if self.world.is_fluid(unit) {
                    state.level.drained.is_none()
                } else {
                    self.fluids_of(unit, |l| l.drained.is_none())
                }
            }
            State::Bled => {
                let bled = |l: &super::state::Level| l.drained.is_none() && l.unbled.is_none();
                if self.world.is_fluid(unit) { bled(&state.level) } else { self.fluids_of(unit, bled) }
            }
            State::Raised => state.raised.is_some(),
            State::Lowered => state.raised.is_none(),
            State::Supported => state.supported.is_some(),
            State::Released => state.supported.is_none(),
            State::Locked => state.locked.is_some(),
            State::Unlocked => state.locked.is_none(),
            State::Chocked => state.chocked.is_some(),
            State::Unchocked => state.chocked.is_none(),
            State::SwitchedOff => state.switched_off.is_some(),
            State::SwitchedOn => state.switched_off.is_none(),
            State::Cooled => {
                if self.world.builtin(unit) == Some(Builtin::Engine) {
                    !self.rig().hot
                } else {
                    state.cooled || !self.rig().hot
                }
            }
            State::Hot => self.rig().hot && !state.cooled,
            State::Running => self.rig().running.is_some(),
            State::Stopped => self.rig().running.is_none(),
            State::Bad => self.is_bad(self.world.thing[unit], Some(self.world.member[unit])) == Some(true),
            State::Good => self.is_bad(self.world.thing[unit], Some(self.world.member[unit])) == Some(false),
            State::Within | State::Outside => false,
            State::Away(pair) => state.item(which).away.contains(pair),
            State::HomeOf(pair) => !state.item(which).away.contains(pair),
            State::Done(verb) => self.has(&Flag::Done(DoneTo::Unit(unit), *verb)),
            State::Words(words) => self.has(&Flag::Words(format!(
                "{} {}",
                self.procedure()[self.world.thing[unit]].name.to_lowercase(),
                words.to_lowercase()
            ))),
        }
    }

    fn fluids_of(&self, unit: Unit, test: impl Fn(&super::state::Level) -> bool) -> bool {
        let facts = self.facts(unit);
        facts.carries.iter().flat_map(|f| self.world.beside(unit, *f)).all(|f| test(&self.unit(f).level))
    }

    fn group_is(&self, unit: Unit, wanted: &State) -> Option<bool> {
        let state = self.unit(unit);
        Some(match wanted {
            State::Fitted | State::Placed | State::In | State::Started | State::Connected => {
                state.grips.iter().all(|g| g.is_in())
            }
            State::Removed | State::Out | State::Disconnected => state.all_out(),
            State::Loose => state.grips.iter().any(|g| *g != Grip::Tight),
            State::Tight => state.all_tight(),
            _ => return None,
        })
    }

    fn end_is(&self, unit: Unit, wanted: &State) -> Option<bool> {
        let ends = Rig::ends_of(self.world.builtin(unit));
        if ends.is_empty() {
            return None;
        }
        let raised = |end: &usize| self.rig().ends[*end].is_some();
        Some(match wanted {
            // `vehicle raised`: some end is up; `vehicle lowered`: none is.
            State::Raised => ends.iter().any(raised),
            State::Lowered => !ends.iter().any(raised),
            State::Supported => ends.iter().any(|e| self.rig().ends[*e].is_some_and(|r| r.stands)),
            _ => return None,
        })
    }
}

impl Shop<'_> {
    /// Whether all that keeps it from home is a fastener whose last stage waits for a later state.
    pub fn only_waits(&self, unit: Unit) -> bool {
        let waits = |g: Unit| {
            let fastening = self.facts(g).fastening.as_ref();
            fastening.is_some_and(|f| f.tighten_at.is_some() || f.passes.iter().any(|p| p.at.is_some()))
        };
        let in_hand = |g: Unit| self.unit(g).grips.iter().all(|g| g.is_in());
        if self.world.is_group(unit) {
            return waits(unit) && in_hand(unit);
        }
        let grips = self.grips(unit);
        let open: Vec<Unit> =
            grips.into_iter().filter(|g| self.is_fastener(*g) && !self.unit(*g).all_tight()).collect();
        self.on(unit).is_some() && !open.is_empty() && open.into_iter().all(|g| waits(g) && in_hand(g))
    }
}
