//! Fluids: drained, opened, filled, bled, topped up.

use crate::procedure::{FluidKind, Verb};
use crate::proof::fault::{FaultKind, Place, Why};
use crate::proof::shop::{Shop, Where};
use crate::proof::state::Level;
use crate::proof::world::Unit;

impl Shop<'_> {
    fn fluid_kind(&self, fluid: Unit) -> Option<FluidKind> {
        self.facts(fluid).fluid.as_ref().and_then(|f| f.kind)
    }

    fn needs_bleeding(&self, fluid: Unit) -> bool {
        self.facts(fluid).fluid.as_ref().is_some_and(|f| f.needs_bleeding)
    }

    /// The fluids that pass through a part, by `each` of the clauses that say so.
    fn fluids_in(&self, unit: Unit) -> (Vec<Unit>, Vec<Unit>, Vec<Unit>) {
        let facts = self.facts(unit);
        let of = |id| -> Vec<Unit> { self.world.beside(unit, id).into_iter().filter(|f| self.exists(*f)).collect() };
        (
            facts.carries.iter().flat_map(|f| of(*f)).collect(),
            facts.filler_of.map(of).unwrap_or_default(),
            facts.drain_of.map(of).unwrap_or_default(),
        )
    }

    /// A part comes off or is opened: what it carries runs out.
    pub fn open_circuit(&mut self, unit: Unit) {
        let (carried, fills, drains) = self.fluids_in(unit);
        if !carried.is_empty() || !drains.is_empty() {
            self.opened_running(unit);
        }
        for fluid in fills {
            self.opened_hot(unit, fluid);
        }
        for fluid in drains {
            self.opened_hot(unit, fluid);
            // Nothing keeps it in any more: `drain` says into what, or this act does.
            if self.unit(fluid).level.drained.is_none() {
                self.tray_is_large_enough(fluid);
            }
            let mark = self.mark;
            let level = &mut self.unit_mut(fluid).level;
            level.let_out = false;
            if level.drained.is_none() {
                *level = Level { drained: Some(mark), ran_out: true, ..Level::default() };
            }
        }
        for fluid in carried {
            if self.unit(fluid).level.drained.is_some() || self.fluid_kind(fluid) == Some(FluidKind::Grease) {
                continue;
            }
            self.opened_hot(unit, fluid);
            let caught = self.step.is_some_and(|s| s.clauses.into.is_some());
            let open_already = self.unit(fluid).level.opened.is_some() && self.is_opened_in_front(fluid, unit);
            if !caught && !open_already && !self.is_meant(fluid) {
                let why = Why::Thing(self.world.thing[fluid]);
                let mut raw = self.raw(FaultKind::OpenedFull, unit, why);
                raw.other = vec![(Place::Declared, Where::At(self.declared(unit)))];
                let drains = self.drains(fluid);
                if !drains.is_empty() || !self.world.drained_somewhere.contains(&self.world.thing[fluid]) {
                    // It was to be drained, and was not: one mistake, wherever it runs out, and at the drain too.
                    raw.same = Some(format!("{fluid}"));
                }
                self.fault(raw, Some(fluid), None);
                for drain in drains {
                    self.unit_mut(drain).muted = true;
                }
            }
            let mark = self.mark;
            let bleeds = self.needs_bleeding(fluid);
            let tray = self.tray();
            let level = &mut self.unit_mut(fluid).level;
            let before = if level.opened.is_none() { Some(0.0) } else { level.caught };
            level.caught = before.zip(tray).map(|(before, tray)| before + tray);
            level.opened = Some(mark);
            level.refilled = false;
            if bleeds {
                level.unbled = Some(mark);
            }
        }
    }

    /// Nothing is parted while the engine pumps through it; a screw may be opened so as to bleed it.
    fn opened_running(&mut self, unit: Unit) {
        let parts =
            self.step.is_some_and(|s| matches!(s.verb, Verb::Remove | Verb::Disconnect | Verb::Renew | Verb::Drain));
        let meant = self.step.is_some_and(|s| {
            s.clauses.with.iter().any(|w| {
                matches!(w, crate::procedure::With::State(state) if state.state == crate::procedure::State::Running)
            })
        });
        let Some(mark) = Some(())
            .filter(|()| parts && !meant)
            .and_then(|()| self.rig().running.filter(|_| !self.rig().told_running))
        else {
            return;
        };
        self.rig_mut().told_running = true;
        let mut raw = self.raw(FaultKind::RunUnready, unit, Why::Running);
        raw.other = vec![(Place::LeftHome, Where::At(mark.span))];
        self.fault(raw, None, None);
    }

    /// Whether the circuit is open right in front of the part already: what could run out has run out there.
    fn is_opened_in_front(&self, fluid: Unit, part: Unit) -> bool {
        let parent = self.parent(part);
        self.carriers(fluid).iter().any(|c| {
            self.carries(*c, fluid)
                && (self.is_behind(part, *c) || parent == Some(*c) || self.parent(*c) == Some(part))
                && self.leaks(*c)
        })
    }

    /// Whether a part keeps coolant in that is still to be let out.
    pub fn shuts_in_coolant(&self, unit: Unit) -> bool {
        let opens = self.step.is_some_and(|s| matches!(s.verb, Verb::Open | Verb::Remove | Verb::Disconnect));
        let (carried, fills, drains) = self.fluids_in(unit);
        opens
            && (carried.iter().chain(&fills).chain(&drains)).any(|f| {
                let coolant = matches!(
                    self.fluid_kind(*f),
                    Some(FluidKind::EthyleneGlycolCoolant | FluidKind::PropyleneGlycolCoolant)
                );
                coolant && (fills.contains(f) || self.unit(*f).level.drained.is_none())
            })
    }

    /// A cooling system is under pressure until the engine is cold.
    fn opened_hot(&mut self, unit: Unit, fluid: Unit) {
        let coolant = matches!(
            self.fluid_kind(fluid),
            Some(FluidKind::EthyleneGlycolCoolant | FluidKind::PropyleneGlycolCoolant)
        );
        let meant = self.step.is_some_and(|s| {
            s.clauses.with.iter().any(
                |w| matches!(w, crate::procedure::With::State(state) if state.state == crate::procedure::State::Hot),
            )
        });
        if !coolant || !self.rig().hot || self.rig().told_hot || meant {
            return;
        }
        self.rig_mut().told_hot = true;
        let mut raw = self.raw(FaultKind::OpenedHot, unit, Why::Thing(self.world.thing[fluid]));
        raw.other = vec![(Place::LeftHome, Where::LeftHome(fluid))];
        self.fault(raw, None, None);
    }

    /// `drain`: opens what it runs out of, if that is still shut.
    pub fn drain(&mut self, fluid: Unit) {
        self.note(fluid);
        let drains = self.drains(fluid);
        let open = drains.iter().any(|d| self.lets_pass(*d));
        let level = self.unit(fluid).level;
        // `drain F, 2 L` may be followed by more of it.
        let before = level.drained.and(level.part_out);
        if level.drained.is_some() && (!open || level.let_out) && before.is_none() {
            self.wrong_state(FaultKind::AlreadyOff, fluid, Why::Dry);
        }
        self.opened_hot(fluid, fluid);
        self.tray_is_large_enough(fluid);
        let part_out = self.part_that_runs_out(fluid).map(|now| before.unwrap_or(0.0) + now);
        if !open {
            for drain in drains {
                self.touch(drain, Verb::Open);
                self.set_open(drain);
            }
        }
        let mark = self.mark;
        let state = self.unit_mut(fluid);
        state.level = Level { drained: Some(mark), let_out: true, ran_out: true, part_out, ..Level::default() };
        self.leaves_home(fluid);
        self.log(fluid, |log| log.drained = true);
    }

    /// `fill`.
    pub fn fill(&mut self, fluid: Unit) {
        self.note(fluid);
        self.circuit_is_shut(fluid, false);
        self.filler_is_open(fluid);
        self.adds(fluid);
        self.opened_full_into_too_small_a_tray(fluid);
        let mark = self.mark;
        let bleeds = self.needs_bleeding(fluid);
        let state = self.unit_mut(fluid);
        if state.level.drained.take().is_some() || state.level.opened.is_some() {
            state.level.unbled = bleeds.then_some(mark);
        }
        state.level.opened = None;
        self.log(fluid, |log| log.filled = true);
    }

    /// Nothing of the circuit is off or open when it is filled (or, but for what is open, bled).
    fn circuit_is_shut(&mut self, fluid: Unit, bleeding: bool) {
        let carriers = self.carriers(fluid);
        for part in carriers.iter().chain(&self.drains(fluid)).copied() {
            let lets_out = |shop: &Self| {
                let in_circuit = shop.carries(part, fluid) || shop.drains(fluid).contains(&part);
                let is_filler = shop.fillers(fluid).contains(&part);
                in_circuit
                    && !is_filler
                    && shop.leaks(part)
                    && !(bleeding && shop.is_open(part))
                    && !shop.is_meant(part)
            };
            if !self.decide(lets_out) {
                continue;
            }
            let raw = self.raw(FaultKind::FilledOpen, fluid, Why::OpenCircuit(self.world.thing[part]));
            self.too_early(raw, part);
        }
    }

    fn filler_is_open(&mut self, fluid: Unit) {
        let fillers = self.fillers(fluid);
        if let Some(first) = fillers.first().copied()
            && !fillers.iter().any(|f| self.lets_pass(*f))
        {
            let told = fillers.iter().copied().find(|f| self.unit(*f).muted).unwrap_or(first);
            let why = Why::FillerShut(self.world.thing[told]);
            self.because_of(FaultKind::NotReady, fluid, told, why);
        }
    }

    /// `top up`.
    pub fn top_up(&mut self, fluid: Unit) {
        self.note(fluid);
        self.filler_is_open(fluid);
        let state = self.unit_mut(fluid);
        state.level.refilled = true;
        state.level.topped_up = true;
        if state.level.unbled.is_none() {
            state.level.opened = None;
        }
        self.log(fluid, |log| log.filled = true);
    }

    /// `bleed`: a drained circuit is filled first.
    pub fn bleed(&mut self, fluid: Unit) {
        self.note(fluid);
        if let Some(drained) = self.unit(fluid).level.drained {
            let mut raw = self.raw(FaultKind::NotReady, fluid, Why::Dry);
            raw.other = vec![(Place::LeftHome, Where::At(drained.span))];
            self.too_early(raw, fluid);
        }
        self.circuit_is_shut(fluid, true);
        let state = self.unit_mut(fluid);
        state.level.unbled = None;
        state.level.opened = None;
        self.log(fluid, |log| log.bled = true);
    }

    /// The fluids an act on a part means (`bleed wheel cylinder`, `top up header tank`).
    pub fn fluids_of_part(&self, unit: Unit) -> Vec<Unit> {
        if self.world.is_fluid(unit) {
            return vec![unit];
        }
        let (carried, fills, _) = self.fluids_in(unit);
        if carried.is_empty() { fills } else { carried }
    }
}
