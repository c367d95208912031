//! How much of a fluid runs out, what catches it, and what goes in.

use std::cmp::Ordering;

use crate::procedure::FluidKind;
use crate::proof::fault::{FaultKind, Place, Why};
use crate::proof::shop::{Shop, Where};
use crate::proof::world::Unit;
use crate::quantity::{Kind, Quantity, Spec, Written};

/// Two volumes closer than this (litres) are the same: the author's figures are rounded.
const SAME_VOLUME: f64 = 0.001;

impl Shop<'_> {
    /// How much is declared to run out: `drains`, else the capacity. Nothing is built on `drains` of more than there is: that is told at the
    /// declaration.
    fn runs_out(&self, fluid: Unit) -> Option<&Quantity> {
        let facts = self.facts(fluid).fluid.as_ref()?;
        let more = |drains: &&Quantity| {
            facts.capacity.as_ref().and_then(|holds| drains.compare(holds)) == Some(Ordering::Greater)
        };
        facts.runs_out().filter(|_| facts.drains.as_ref().filter(more).is_none())
    }

    /// What the act's amount is of this fluid: litres, kilograms of a fluid that is weighed; and by how much that may be off.
    fn amount(&self, fluid: Unit) -> Option<(f64, f64)> {
        let declared = self.runs_out(fluid);
        let kind = declared.map_or(Kind::Volume, Quantity::kind);
        self.step?.clauses.amounts.iter().filter(|spec| spec.kind() == kind).find_map(|spec| {
            let (Some(low), Some(high)) = (spec.low(), spec.high()) else { return None };
            let middle = spec.target().cloned().unwrap_or_else(|| low.clone());
            let (low, high) = (litres_or_kilograms(&low), litres_or_kilograms(&high));
            let value =
                if matches!(spec, Spec::Between(..)) { (low + high) / 2.0 } else { litres_or_kilograms(&middle) };
            // A figure in another unit than the declared one is that one, rounded.
            let rounded = declared.filter(|declared| declared.unit != middle.unit);
            let about = rounded.map_or(0.0, |declared| last_digit(declared) + last_digit(&middle));
            Some((value, about + (high - value).max(value - low)))
        })
    }

    /// Litres that the tray of this act holds.
    pub fn tray(&self) -> Option<f64> {
        let volume = self.step?.clauses.into.as_ref()?.volume.as_ref()?;
        (volume.kind() == Kind::Volume).then(|| litres_or_kilograms(volume))
    }

    /// How much `drain F, 2 L` lets out: not all of it.
    pub fn part_that_runs_out(&self, fluid: Unit) -> Option<f64> {
        self.amount(fluid).map(|(litres, _)| litres)
    }

    /// What catches it holds as much as runs out.
    pub fn tray_is_large_enough(&mut self, fluid: Unit) {
        let Some(tray) = self.tray() else { return };
        let declared = self.runs_out(fluid).filter(|q| q.kind() == Kind::Volume).map(litres_or_kilograms);
        let Some(runs_out) = self.part_that_runs_out(fluid).or(declared) else { return };
        if tray < runs_out - SAME_VOLUME {
            let mut raw = self.raw(FaultKind::VolumeMismatch, fluid, Why::TraySmall);
            raw.other = vec![(Place::Declared, Where::At(self.declared(fluid)))];
            self.fault(raw, None, None);
        }
    }

    /// `fill`: what goes in.
    pub fn adds(&mut self, fluid: Unit) {
        let amount = self.amount(fluid);
        // `3 L, until it runs out of the level hole`: the level decides whether that was enough.
        let by_level = self.step.is_some_and(|step| step.clauses.until.is_some());
        let mark = self.mark;
        let level = &mut self.unit_mut(fluid).level;
        level.refilled = true;
        match amount {
            Some((litres, about)) => {
                level.filled += litres;
                level.filled_about += about;
                level.filled_exactly = true;
                level.topped_up |= by_level;
            }
            None => level.topped_up = true,
        }
        level.filled_at = Some(mark);
    }

    /// Opened without draining, and then filled altogether: all of it ran into the trays at the openings. Brake fluid is filled
    /// through, not only up.
    pub fn opened_full_into_too_small_a_tray(&mut self, fluid: Unit) {
        let level = self.unit(fluid).level;
        let (Some(opened), Some(caught)) = (level.opened, level.caught) else { return };
        let through = self.facts(fluid).fluid.as_ref().is_some_and(|f| f.kind == Some(FluidKind::BrakeFluid));
        let Some(runs_out) = self.runs_out(fluid).filter(|q| q.kind() == Kind::Volume).map(litres_or_kilograms) else {
            return;
        };
        let all =
            level.filled_exactly && !level.sum_unknown && level.filled + level.filled_about >= runs_out - SAME_VOLUME;
        if level.ran_out || through || !all || caught >= runs_out - SAME_VOLUME {
            return;
        }
        let mut raw = self.raw(FaultKind::VolumeMismatch, fluid, Why::TraySmall);
        raw.mark = opened;
        raw.other = vec![(Place::Declared, Where::At(self.declared(fluid)))];
        self.fault(raw, None, None);
    }

    /// At the end: what went in against what ran out.
    pub fn volumes(&mut self, fluid: Unit) {
        let level = self.unit(fluid).level;
        let Some(mark) = level
            .filled_at
            .filter(|_| level.ran_out && level.filled_exactly && !level.sum_unknown && level.drained.is_none())
        else {
            return;
        };
        let Some(ran_out) = level.part_out.or_else(|| self.runs_out(fluid).map(litres_or_kilograms)) else { return };
        let about = SAME_VOLUME + level.filled_about;
        let more = level.filled > ran_out + about;
        let less = level.filled < ran_out - about && !level.topped_up;
        if more || less {
            let mut raw = self.raw(FaultKind::VolumeMismatch, fluid, Why::Volume { more });
            raw.mark = mark;
            raw.other = vec![(Place::Declared, Where::At(self.declared(fluid)))];
            self.fault(raw, None, None);
        }
    }
}

fn litres_or_kilograms(quantity: &Quantity) -> f64 {
    let si = quantity.to_si().to_f64();
    // SI volume is the cubic metre: 1 m³ = 1000 L exactly.
    if quantity.kind() == Kind::Volume { si * 1000.0 } else { si }
}

/// Half of what the last digit written stands for, in litres or kilograms.
fn last_digit(quantity: &Quantity) -> f64 {
    match quantity.value.written() {
        Written::Decimals(decimals) => {
            let one = Quantity { value: crate::quantity::Number::ONE, unit: quantity.unit.clone() };
            litres_or_kilograms(&one) * 0.5 * 10_f64.powi(-i32::from(decimals))
        }
        _ => 0.0,
    }
}
