//! Things brought by us: all that goes in comes out.

use crate::procedure::{Portion, Verb};
use crate::proof::fault::{FaultKind, Place, Why};
use crate::proof::shop::{CountOf, Shop, Where};
use crate::proof::state::Grip;
use crate::proof::world::Unit;

impl Shop<'_> {
    /// `put in`.
    pub fn put_in(&mut self, unit: Unit, portion: &Portion) {
        self.touch(unit, Verb::PutIn);
        let there = self.places_of(unit);
        let inside = self.unit(unit).inside;
        let wanted = wanted(portion, there.saturating_sub(inside));
        if inside >= there {
            self.wrong_state(FaultKind::NotOffYet, unit, Why::Plain);
        } else if inside + wanted > there {
            self.temporary_miscounted(unit, there, wanted, there - inside);
        }
        self.take_up(unit);
        self.unit_mut(unit).inside = (inside + wanted).min(there);
        self.leaves_home(unit);
        self.log(unit, |log| (log.out, log.used) = (wanted, true));
    }

    /// The places it sits in are empty before it goes in.
    fn take_up(&mut self, unit: Unit) {
        let facts = self.facts(unit);
        let Some((positions, group)) = facts.temporary.as_ref().and_then(|t| t.takes_up.as_ref()) else { return };
        for group in self.world.beside(unit, *group) {
            if !self.exists(group) {
                continue;
            }
            for position in positions {
                let index = (*position as usize).wrapping_sub(1);
                match self.unit(group).grips.get(index).copied() {
                    Some(Grip::Out | Grip::Taken) => {}
                    Some(_) if self.unit(group).anonymous && self.swap_for_empty(group, index) => {}
                    Some(_) => {
                        let why = Why::InPlace(self.world.thing[group]);
                        self.because_of(FaultKind::NotReady, unit, group, why);
                    }
                    None => continue,
                }
                if let Some(grip) = self.unit_mut(group).grips.get_mut(index) {
                    *grip = Grip::Taken;
                }
            }
        }
    }

    /// Which places are empty was never said: let one of them be this one.
    fn swap_for_empty(&mut self, group: Unit, index: usize) -> bool {
        let grips = &mut self.unit_mut(group).grips;
        let Some(empty) = grips.iter().position(|g| *g == Grip::Out) else { return false };
        grips.swap(empty, index);
        true
    }

    /// `take out`.
    pub fn take_out(&mut self, unit: Unit, portion: &Portion) {
        self.touch(unit, Verb::TakeOut);
        let inside = self.unit(unit).inside;
        let wanted = wanted(portion, inside);
        if inside == 0 {
            self.wrong_state(FaultKind::AlreadyOff, unit, Why::Plain);
        } else if wanted > inside {
            self.temporary_miscounted(unit, self.places_of(unit), wanted, inside);
        }
        let left = inside.saturating_sub(wanted);
        self.unit_mut(unit).inside = left;
        self.log(unit, |log| log.back = wanted.min(inside));
        if left > 0 {
            return;
        }
        let facts = self.facts(unit);
        let Some((positions, group)) = facts.temporary.as_ref().and_then(|t| t.takes_up.as_ref()) else { return };
        for group in self.world.beside(unit, *group) {
            for position in positions {
                let grip = self.unit_mut(group).grips.get_mut((*position as usize).wrapping_sub(1));
                if let Some(grip) = grip.filter(|g| **g == Grip::Taken) {
                    *grip = Grip::Out;
                }
            }
        }
    }

    fn temporary_miscounted(&mut self, unit: Unit, there: u32, wanted: u32, available: u32) {
        let mut raw = self.raw(FaultKind::CountMismatch, unit, Why::Plain);
        raw.counts = Some(CountOf::Said { there, out: wanted, back: available });
        raw.other = vec![(Place::Declared, Where::At(self.declared(unit)))];
        self.fault(raw, None, Some(unit));
    }
}

fn wanted(portion: &Portion, whole: u32) -> u32 {
    match portion {
        Portion::Whole => whole,
        Portion::Count(count) => *count,
        Portion::Positions(named) => u32::try_from(named.len()).unwrap_or(u32::MAX),
    }
}
