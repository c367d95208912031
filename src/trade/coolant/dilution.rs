//! Concentrate and water: plain mixes, blends, drain and replace.

use super::partly_full::NoWay;
use super::{fraction, percentage, volume};
use crate::quantity::{Number, Quantity};

/// What is poured together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mix {
    /// Undiluted coolant.
    pub concentrate: Quantity,
    /// Distilled or deionised water.
    pub water: Quantity,
}

/// Concentrate and water for `total` of a mix, both in the unit of `total`; exact.
///
/// `concentrate` is a percentage by volume from 0 to 100 %. `None` where the arguments are of other kinds or outside.
/// That volumes shrink a little when mixed (under 1 %) is left out, as everywhere in the trade.
#[must_use]
pub fn mix(total: &Quantity, concentrate: &Quantity) -> Option<Mix> {
    let part = fraction(concentrate)?;
    let concentrate = volume(total)?.times(&part)?;
    let water = total.minus(&concentrate)?;
    Some(Mix { concentrate, water })
}

/// What comes of pouring these together: the whole, in the unit of the first, and its share of concentrate; exact.
///
/// `None` where there is nothing, or where something is no volume or no share.
#[must_use]
pub fn blend(parts: &[(&Quantity, &Quantity)]) -> Option<(Quantity, Quantity)> {
    let (first, rest) = parts.split_first()?;
    let mut whole = volume(first.0)?.clone();
    let mut concentrate = whole.times(&fraction(first.1)?)?;
    for (amount, share) in rest {
        whole = whole.plus(volume(amount)?)?;
        concentrate = concentrate.plus(&amount.times(&fraction(share)?)?)?;
    }
    let share = percentage(&concentrate.over(&whole)?)?;
    Some((whole, share))
}

/// How much to drain, and to replace by coolant of the percentage `with`, so that a system of `capacity` goes from `from` to `to`;
/// in the unit of `capacity`, exact.
///
/// The mixture rule of any textbook of algebra: D = V (c1 − c0) / (c2 − c0). [`NoWay::Never`] where `to` does not lie between `from`
/// and `with`; all of it where `to` is `with`.
pub fn drain_and_replace(
    capacity: &Quantity,
    from: &Quantity,
    to: &Quantity,
    with: &Quantity,
) -> Result<Quantity, NoWay> {
    let part = part_to_drain(from, to, with)?;
    volume(capacity).and_then(|capacity| capacity.times(&part)).ok_or(NoWay::Arguments)
}

fn part_to_drain(from: &Quantity, to: &Quantity, with: &Quantity) -> Result<Number, NoWay> {
    let shares = || Some((fraction(from)?, fraction(to)?, fraction(with)?));
    let (from, to, with) = shares().ok_or(NoWay::Arguments)?;
    if from == to {
        return Ok(Number::ZERO);
    }
    let (wanted, possible) = (to.checked_sub(&from), with.checked_sub(&from));
    let (Some(wanted), Some(possible)) = (wanted, possible) else { return Err(NoWay::Arguments) };
    if possible.is_zero() {
        return Err(NoWay::Never { reaches: percentage(&with) });
    }
    let part = wanted.checked_div(&possible).ok_or(NoWay::Arguments)?;
    if part.is_negative() || part > Number::ONE {
        return Err(NoWay::Never { reaches: percentage(&with) });
    }
    Ok(part)
}

/// The part of the first filling that is still in a system after `changes` times draining `drain` of `capacity` and filling up again:
/// (1 − D/V)ⁿ, exact. `None` where more is drained than there is, or beyond 128 bits.
#[must_use]
pub fn residue(capacity: &Quantity, drain: &Quantity, changes: u32) -> Option<Number> {
    let drained = volume(drain)?.over(volume(capacity)?)?;
    let stays = Number::ONE.checked_sub(&drained)?;
    if stays.is_negative() {
        return None;
    }
    let mut left = Number::ONE;
    for _ in 0..changes {
        left = left.checked_mul(&stays)?;
        if left.is_zero() {
            break;
        }
    }
    Some(left)
}

/// The share after those changes, each filled up with `with`: c = c2 + (c0 − c2) · residue.
#[must_use]
pub fn share_after(from: &Quantity, with: &Quantity, residue: &Number) -> Option<Quantity> {
    let (from, with) = (fraction(from)?, fraction(with)?);
    percentage(&with.checked_add(&from.checked_sub(&with)?.checked_mul(residue)?)?)
}
