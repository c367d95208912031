//! The engine: run, stopped, cooled; and whether the machine is ready for it.

use crate::procedure::{Builtin, FluidKind, Verb};
use crate::proof::fault::{FaultKind, Place, Why};
use crate::proof::shop::{Shop, Where};
use crate::proof::state::{At, Grip};
use crate::proof::world::Unit;
use crate::trade::hazard::Hazard;

impl Shop<'_> {
    /// `run engine` and `drive`.
    pub fn run_engine(&mut self, verb: Verb) {
        self.ready_to_run(verb);
        let mark = self.mark;
        let stops_by_itself =
            verb == Verb::Drive || self.step.is_some_and(|s| s.clauses.for_time.is_some() || s.clauses.until.is_some());
        self.each_way(|shop| {
            let rig = shop.rig_mut();
            if !stops_by_itself && rig.running.is_none() {
                rig.running = Some(mark);
            }
            rig.hot = true;
        });
        for unit in (0..self.world.thing.len()).filter(|u| self.is_touched(*u)).collect::<Vec<_>>() {
            self.each_way(|shop| {
                if shop.unit(unit).cooled {
                    shop.unit_mut(unit).cooled = false;
                }
                // The compressor fills it.
                let air = shop.facts(unit).fluid.as_ref().is_some_and(|f| f.kind == Some(FluidKind::CompressedAir));
                if air {
                    let level = &mut shop.unit_mut(unit).level;
                    level.drained = None;
                    level.opened = None;
                }
            });
        }
    }

    /// `stop engine`.
    pub fn stop_engine(&mut self) {
        if self.rig_mut().running.take().is_none()
            && let Some(engine) = self.engine()
        {
            self.wrong_state(FaultKind::AlreadyOff, engine, Why::Plain);
        }
    }

    fn engine(&self) -> Option<Unit> {
        (0..self.world.thing.len()).find(|u| self.world.builtin(*u) == Some(Builtin::Engine))
    }

    /// `let … cool`.
    pub fn let_cool(&mut self, unit: Option<Unit>) {
        match unit {
            Some(unit) if self.world.builtin(unit) != Some(Builtin::Engine) => {
                self.note(unit);
                self.unit_mut(unit).cooled = true;
            }
            _ => {
                self.rig_mut().hot = false;
                self.rig_mut().running = None;
            }
        }
    }

    fn ready_to_run(&mut self, verb: Verb) {
        for unit in 0..self.world.thing.len() {
            if !self.may_be_unready(unit) {
                continue;
            }
            self.each_way(|shop| {
                if shop.exists(unit) && !shop.is_meant(unit) {
                    shop.unit_is_ready(unit, verb);
                }
            });
        }
        if verb == Verb::Drive {
            self.each_way(Self::stands_on_its_wheels);
        }
    }

    /// Whether it is of use to look at a unit at all: at home, it is ready.
    fn may_be_unready(&self, unit: Unit) -> bool {
        let mut all = self.procedure()[self.world.thing[unit]].all_facts().map(|(_, f)| f);
        self.may_be_away(unit)
            || self.world.relations[unit].iter().flat_map(|r| &r.holders).any(|h| self.is_touched(*h))
            || all.any(|f| f.hazards.contains(&Hazard::RotatingParts))
    }

    fn unit_is_ready(&mut self, unit: Unit, verb: Verb) {
        if self.world.is_fluid(unit) {
            self.fluid_is_ready(unit, verb);
        } else if self.is_temporary(unit) {
            let stays = self.facts(unit).temporary.as_ref().is_some_and(|t| t.stays_while_running);
            if self.unit(unit).inside > 0 && !stays {
                self.unready(unit, Why::InPlace(self.world.thing[unit]));
            }
        } else {
            self.part_is_ready(unit, verb);
        }
    }

    fn fluid_is_ready(&mut self, fluid: Unit, verb: Verb) {
        let level = self.unit(fluid).level;
        let kind = self.facts(fluid).fluid.as_ref().and_then(|f| f.kind);
        // Neither has to do with whether the engine can run.
        if matches!(kind, Some(FluidKind::WasherFluid | FluidKind::Grease | FluidKind::CompressedAir)) {
            return;
        }
        if let Some(mark) = level.drained {
            let mut raw = self.raw(FaultKind::RunUnready, fluid, Why::Dry);
            raw.other = vec![(Place::LeftHome, Where::At(mark.span))];
            self.too_early(raw, fluid);
        } else if let Some(mark) = level.unbled
            // Filled, it may run so as to be bled.
            && (!level.refilled || verb == Verb::Drive)
        {
            let mut raw = self.raw(FaultKind::RunUnready, fluid, Why::Unbled);
            raw.other = vec![(Place::LeftHome, Where::At(mark.span))];
            self.too_early(raw, fluid);
        }
    }

    fn part_is_ready(&mut self, unit: Unit, verb: Verb) {
        let facts = self.facts(unit);
        let thing = self.world.thing[unit];
        if self.unit(unit).locked.is_some() {
            return self.unready(unit, Why::Locked(thing));
        }
        if facts.hazards.contains(&Hazard::RotatingParts) && self.world.is_part(unit) && self.on(unit).is_none() {
            return self.unready(unit, Why::Off(thing));
        }
        let drains_or_carries = !facts.carries.is_empty() || facts.drain_of.is_some();
        if drains_or_carries {
            if self.leaks(unit) {
                return self.unready(unit, Why::OpenCircuit(thing));
            }
            if let Some(holder) = self.loose_holder(unit) {
                let raw = self.raw(FaultKind::RunUnready, unit, Why::OpenCircuit(thing));
                return self.too_early(raw, holder);
            }
        }
        if let Some(fluid) = facts.filler_of
            && self.leaks(unit)
        {
            let being_bled = self.world.beside(unit, fluid).into_iter().all(|f| {
                let level = self.unit(f).level;
                level.unbled.is_some() && level.refilled && verb != Verb::Drive
            });
            if !being_bled {
                self.unready(unit, Why::OpenCircuit(thing));
            }
        }
    }

    /// What holds it and is out, or no more than started, though it is on.
    fn loose_holder(&self, unit: Unit) -> Option<Unit> {
        if !self.world.is_part(unit) || !self.unit(unit).items.iter().any(|i| i.at == At::On) {
            return None;
        }
        let loose = |g: &Unit| self.unit(*g).grips.iter().any(|g| matches!(g, Grip::Out | Grip::Started));
        self.grips(unit).into_iter().find(loose)
    }

    fn stands_on_its_wheels(&mut self) {
        if let Some(raised) = self.rig().ends.iter().flatten().next().copied() {
            let unit = self.world.units_of(raised.thing).start;
            let mut raw = self.raw(FaultKind::RunUnready, unit, Why::Raised);
            raw.other = vec![(Place::LeftHome, Where::At(raised.mark.span))];
            self.too_early(raw, unit);
        }
        for unit in 0..self.world.thing.len() {
            if !self.is_touched(unit) || !self.decide(|shop| shop.unit(unit).chocked.is_some()) {
                continue;
            }
            if let Some(mark) = self.unit(unit).chocked {
                let mut raw = self.raw(FaultKind::RunUnready, unit, Why::Chocked);
                raw.other = vec![(Place::LeftHome, Where::At(mark.span))];
                self.too_early(raw, unit);
            }
        }
    }

    fn unready(&mut self, unit: Unit, why: Why) {
        let raw = self.raw(FaultKind::RunUnready, unit, why);
        self.too_early(raw, unit);
    }
}
