//! What must hold before a thing is touched: reach, stated needs, a safe stand, no live cable.

use super::fault::{FaultKind, Place, Why};
use super::shop::{Shop, Where};
use super::state::{At, Which};
use super::world::Unit;
use crate::procedure::{Need, State, StateRef, Subject, Verb};
use crate::trade::hazard::Hazard;

impl Shop<'_> {
    /// Everything that binds an act that changes the state of a part.
    pub fn touch(&mut self, unit: Unit, verb: Verb) {
        self.note(unit);
        let behind = self.behind(unit);
        self.reach(unit, &behind);
        self.needs(unit, unit, verb, true);
        self.stand(unit);
        self.live(unit, verb);
    }

    /// The same for the shop's own pairs, which are done to a thing where it sits (a chamber is caged with its hoses
    /// on): what it is behind does not bind them.
    pub fn touch_in_place(&mut self, unit: Unit, verb: Verb) {
        self.note(unit);
        self.needs(unit, unit, verb, true);
        self.stand(unit);
    }

    /// The same for a fastener, acted on by itself or for `acting_for`.
    ///
    /// What binds a thing binds the fasteners that hold only that thing; a shared one is bound by what all its things
    /// have in common. But a bolt that is only slackened or tightened where it sits (a belt is slacked by the bolts of
    /// the alternator behind it, a pivot is tightened with the wheel back on) needs only what it is itself behind of.
    pub fn touch_fastener(&mut self, fastener: Unit, verb: Verb, acting_for: Option<Unit>) {
        self.note(fastener);
        let mut behind = self.behind(fastener);
        let held = self.holds(fastener);
        let where_it_sits = matches!(verb, Verb::Tighten | Verb::Loosen);
        if acting_for.is_none() && !where_it_sits {
            let common = self.in_common(&held, |shop, unit| shop.behind(unit));
            behind.extend(common);
        }
        self.reach(fastener, &behind);
        self.needs(fastener, fastener, verb, true);
        if acting_for.is_none() {
            if let [only] = held[..] {
                self.needs(fastener, only, verb, false);
            } else if let Some((first, rest)) = held.split_first() {
                let shared: Vec<Need> = self
                    .facts(*first)
                    .needs
                    .iter()
                    .filter(|n| rest.iter().all(|r| self.facts(*r).needs.iter().any(|m| m.state.text == n.state.text)))
                    .cloned()
                    .collect();
                for need in shared.iter().filter(|n| n.act.is_none()) {
                    self.need(fastener, *first, need);
                }
            }
        }
        self.stand(fastener);
    }

    fn in_common(&self, held: &[Unit], of: impl Fn(&Self, Unit) -> Vec<Unit>) -> Vec<Unit> {
        let Some((first, rest)) = held.split_first() else { return Vec::new() };
        of(self, *first).into_iter().filter(|u| rest.iter().all(|r| of(self, *r).contains(u))).collect()
    }

    /// What it is `behind` must be off, aside, disconnected or open.
    fn reach(&mut self, unit: Unit, behind: &[Unit]) {
        let bench = self.on_the_bench(unit);
        for blocker in behind {
            let in_the_way = |shop: &Self| {
                shop.exists(*blocker)
                    && !shop.is_meant(*blocker)
                    && match bench {
                        // On the bench only what sits on the same part is in the way.
                        Some((parent, host)) => {
                            shop.parent(*blocker) == Some(parent) && shop.blocks_on_the_bench(*blocker, host)
                        }
                        None => shop.blocks(*blocker),
                    }
            };
            if self.decide(in_the_way) {
                let why = Why::Thing(self.world.thing[*blocker]);
                self.because_of(FaultKind::OutOfReach, unit, *blocker, why);
            }
        }
    }

    /// The part that a thing sits on or goes on to, and which one, where that is off the machine.
    fn on_the_bench(&self, unit: Unit) -> Option<(Unit, Which)> {
        let parent = self.parent(unit)?;
        let host = self.host_for(unit);
        let seat = [Which::New, Which::Old].into_iter().find(|w| self.unit(unit).item(*w).at == At::On);
        let host = seat.map_or(host, |w| self.unit(unit).item(w).host);
        (!self.item_on(parent, host)).then_some((parent, host))
    }

    fn blocks_on_the_bench(&self, unit: Unit, host: Which) -> bool {
        let state = self.unit(unit);
        let opened = state.open && !self.facts(unit).normally_open;
        let sits = state.items.iter().any(|i| i.at == At::On && i.host == host);
        sits && !opened && !state.trial
    }

    /// The stated needs of `of` for this act on `unit`. A need `to ACT` binds that act only.
    fn needs(&mut self, unit: Unit, of: Unit, verb: Verb, with_acts: bool) {
        let facts = self.facts(of);
        for need in &facts.needs {
            let binds = match need.act {
                None => true,
                Some(act) => with_acts && includes(verb, act),
            };
            if binds {
                self.need(unit, of, need);
            }
        }
    }

    fn need(&mut self, unit: Unit, of: Unit, need: &Need) {
        // A hot cooling system has a rule of its own.
        if need.state.state == State::Cooled && self.shuts_in_coolant(unit) {
            return;
        }
        if self.member_state_holds(of, &need.state) || self.exempts(&need.state) {
            return;
        }
        let subject = self.subject_unit(of, &need.state);
        let mut raw = self.raw(FaultKind::NotReady, unit, Why::State(need.state.text.clone()));
        raw.other = vec![(Place::Declared, Where::At(need.span))];
        raw.same = Some(need.state.text.to_lowercase());
        self.fault(raw, subject, Some(subject.unwrap_or(unit)));
    }

    /// `each side` in a declaration means the member that the declared thing is.
    fn member_state_holds(&mut self, of: Unit, state: &StateRef) -> bool {
        self.as_member(of, |shop| shop.state_holds(state))
    }

    /// Does something as if inside a loop at the member that `of` is.
    pub fn as_member<T>(&mut self, of: Unit, run: impl FnOnce(&Self) -> T) -> T {
        let member = self.world.each(of).map(|set| (set, self.world.member[of]));
        self.loops.extend(member);
        let declared = std::mem::replace(&mut self.as_declared, true);
        let value = run(self);
        self.as_declared = declared;
        if member.is_some() {
            self.loops.pop();
        }
        value
    }

    pub fn subject_unit(&mut self, of: Unit, state: &StateRef) -> Option<Unit> {
        let Subject::Thing(reference) = &state.subject else { return None };
        self.as_member(of, |shop| {
            let units = shop.units(reference);
            units
                .iter()
                .copied()
                .find(|u| !shop.unit_is(*u, reference, &state.state))
                .or_else(|| units.first().copied())
        })
    }

    /// Whether a `with X STATE` of the act names the same thing.
    fn exempts(&self, state: &StateRef) -> bool {
        let Subject::Thing(reference) = &state.subject else { return false };
        self.units(reference).into_iter().any(|u| self.is_meant(u))
    }

    /// An end in the air stands on something before anything is worked on.
    fn stand(&mut self, unit: Unit) {
        let Some(raised) = self.rig().ends.into_iter().flatten().find(|r| !r.stands) else { return };
        if self.stands_are_in() {
            return;
        }
        let mut raw = self.raw(FaultKind::Unsupported, unit, Why::Raised);
        raw.other = vec![(Place::LeftHome, Where::At(raised.mark.span))];
        self.fault(raw, None, None);
        for raised in self.rig_mut().ends.iter_mut().flatten() {
            raised.stands = true;
        }
    }

    /// Stands that were put in as a temporary thing.
    fn stands_are_in(&self) -> bool {
        let stands = |u: &Unit| self.procedure()[self.world.thing[*u]].name.to_lowercase().contains("stand");
        let mut stands = self.world.temporary.iter().copied().filter(stands);
        stands.any(|u| self.is_temporary(u) && self.unit(u).inside > 0)
    }

    /// A battery, a starter, an airbag or high voltage is not parted or put back on a live cable.
    fn live(&mut self, unit: Unit, verb: Verb) {
        use Verb::{Close, Connect, Disconnect, Fit, MoveAside, Open, Place as Put, Refit, Remove, Renew, Return};
        if !matches!(
            verb,
            Remove | Disconnect | MoveAside | Open | Refit | Fit | Connect | Return | Close | Put | Renew
        ) {
            return;
        }
        let cables: Vec<Unit> = self.world.battery_cables.clone();
        if cables.is_empty() || cables.contains(&unit) || !self.world.is_part(unit) {
            return;
        }
        let name = self.procedure()[self.world.thing[unit]].name.to_lowercase();
        let hazards = &self.facts(unit).hazards;
        let dangerous = hazards.contains(&Hazard::Airbag)
            || hazards.contains(&Hazard::HighVoltage)
            || ["battery", "starter", "starter motor"].iter().any(|n| name == *n || name.ends_with(&format!(" {n}")));
        if !dangerous {
            return;
        }
        let cables: Vec<Unit> = cables.into_iter().filter(|c| self.exists(*c)).collect();
        let Some(first) = cables.first().copied() else { return };
        // One cable off, or a battery switch off, and there is no circuit.
        let dead = |u: &Unit| self.on(*u).is_none() || self.unit(*u).switched_off.is_some() || self.is_open(*u);
        if cables.iter().any(dead) || cables.iter().any(|c| self.is_meant(*c)) {
            return;
        }
        let told = cables.iter().copied().find(|c| self.unit(*c).muted).unwrap_or(first);
        let why = Why::Thing(self.world.thing[told]);
        self.because_of(FaultKind::LiveWork, unit, told, why);
    }
}

/// Whether doing `verb` does `act` too: to refit is to place, to renew is to remove and to fit.
pub(super) fn includes(verb: Verb, act: Verb) -> bool {
    verb == act
        || match verb {
            Verb::Refit | Verb::Connect | Verb::Return | Verb::Try => act == Verb::Place,
            Verb::Fit => act == Verb::Place,
            Verb::Renew => matches!(act, Verb::Remove | Verb::Fit | Verb::Place),
            _ => false,
        }
}
