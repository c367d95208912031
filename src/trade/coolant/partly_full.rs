//! A system that stays partly full: what to pour so that the whole becomes the mix that is wanted.

use super::{fraction, percentage, volume};
use crate::quantity::{Number, Quantity};

/// A system that is not empty.
#[derive(Clone, Debug, PartialEq)]
pub struct PartlyFull<'a> {
    /// What it holds when full.
    pub capacity: &'a Quantity,
    /// What is still in it.
    pub left: &'a Quantity,
    /// The share of concentrate of what is still in it.
    pub left_share: &'a Quantity,
}

/// What to pour.
#[derive(Clone, Debug, PartialEq)]
pub struct Pour {
    /// Concentrate, or the ready-made mix that was to be poured.
    pub coolant: Quantity,
    /// Water.
    pub water: Quantity,
    /// Both together: what fits in.
    pub both: Quantity,
    /// The share of concentrate of what is poured, both together; `None` where nothing fits in.
    pub share: Option<Quantity>,
}

/// Why a mix can't be brought about.
#[derive(Clone, Debug, PartialEq)]
pub enum NoWay {
    /// The arguments are of other kinds, or outside: a share beyond 100 %, more left in than it holds.
    Arguments,
    /// What is poured is not strong enough, however much is drained; how strong it is.
    Never {
        /// The share that is never passed.
        reaches: Option<Quantity>,
    },
    /// What fits in, poured undiluted, does not make it strong enough.
    TooWeak(Box<Best>),
    /// Even pure water does not make it weak enough.
    TooStrong(Box<Best>),
}

/// How near a mix comes that can't be brought about.
#[derive(Clone, Debug, PartialEq)]
pub struct Best {
    /// The share it comes to.
    pub reaches: Quantity,
    /// What may stay in at most, so that it could be.
    pub may_stay: Quantity,
}

impl PartlyFull<'_> {
    /// What to pour so that the full system has the share `target`: coolant of the share `with` (100 % for concentrate) and water, in the
    /// unit of the capacity; exact.
    ///
    /// From the balance of the concentrate: C · w = V · c − L · cL, and water = V − L − C.
    pub fn pour(&self, target: &Quantity, with: &Quantity) -> Result<Pour, NoWay> {
        let sums = self.sums(target, with).ok_or(NoWay::Arguments)?;
        if sums.wanted.is_negative() {
            return Err(self.too_strong(&sums).ok_or(NoWay::Arguments)?);
        }
        if sums.with.is_zero() && !sums.wanted.is_zero() {
            return Err(NoWay::Never { reaches: percentage(&sums.with) });
        }
        let coolant = if sums.wanted.is_zero() {
            sums.capacity.times(&Number::ZERO)
        } else {
            sums.wanted.checked_div(&sums.with).and_then(|part| sums.capacity.times(&part))
        };
        let coolant = coolant.ok_or(NoWay::Arguments)?;
        let water = sums.room.minus(&coolant).ok_or(NoWay::Arguments)?;
        if water.value.is_negative() {
            return Err(self.too_weak(&sums).ok_or(NoWay::Arguments)?);
        }
        let strength = coolant.over(&sums.room).and_then(|part| part.checked_mul(&sums.with));
        Ok(Pour { coolant, water, both: sums.room, share: strength.as_ref().and_then(percentage) })
    }

    fn sums(&self, target: &Quantity, with: &Quantity) -> Option<Sums> {
        let (capacity, left) = (volume(self.capacity)?, volume(self.left)?);
        let (target, with, old) = (fraction(target)?, fraction(with)?, fraction(self.left_share)?);
        let stays = left.over(capacity)?;
        let room = capacity.minus(left).filter(|room| !room.value.is_negative())?;
        let wanted = target.checked_sub(&stays.checked_mul(&old)?)?;
        Some(Sums { capacity: capacity.clone(), room, stays, target, with, old, wanted })
    }

    /// (V − L)·w + L·cL is what it comes to; (V − L)·w + L·cL = V·c gives what may stay.
    fn too_weak(&self, sums: &Sums) -> Option<NoWay> {
        let fresh = Number::ONE.checked_sub(&sums.stays)?;
        let reaches = fresh.checked_mul(&sums.with)?.checked_add(&sums.stays.checked_mul(&sums.old)?)?;
        let (margin, gap) = (sums.with.checked_sub(&sums.target)?, sums.with.checked_sub(&sums.old)?);
        if margin.is_negative() || gap.is_negative() || gap.is_zero() {
            return Some(NoWay::Never { reaches: percentage(&sums.with.max(sums.old)) });
        }
        let may_stay = sums.capacity.times(&margin.checked_div(&gap)?)?;
        Some(NoWay::TooWeak(Box::new(Best { reaches: percentage(&reaches)?, may_stay })))
    }

    /// L·cL / V is what pure water makes of it; L = V·c / cL may stay.
    fn too_strong(&self, sums: &Sums) -> Option<NoWay> {
        let reaches = percentage(&sums.stays.checked_mul(&sums.old)?)?;
        let may_stay = sums.capacity.times(&sums.target.checked_div(&sums.old)?)?;
        Some(NoWay::TooStrong(Box::new(Best { reaches, may_stay })))
    }
}

/// The arguments as parts of one, and what fits in.
struct Sums {
    capacity: Quantity,
    room: Quantity,
    stays: Number,
    target: Number,
    with: Number,
    old: Number,
    /// Concentrate that is missing, as a part of the capacity.
    wanted: Number,
}
