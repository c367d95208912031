//! Coolant of glycol and water: how much of each, when it freezes and boils, how to change the mix.
//!
//! Shares are by volume, as the shop measures and the handbooks tabulate them; [`share`] turns them into shares by mass and back.
//! Amounts are exact; freezing points, boiling points and densities are read from published tables.

pub mod boiling;
pub mod density;
pub mod dilution;
pub mod freezing;
pub mod limits;
pub mod partly_full;
pub mod share;
mod table;
pub mod water;

use crate::quantity::{Kind, Known, Number, Quantity};

pub use dilution::{Mix, mix};
pub use freezing::{freezing_point, freezing_temperature, percent_for, percent_for_temperature};
pub use partly_full::{NoWay, PartlyFull};

/// What a coolant is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Glycol {
    /// Inhibited ethylene glycol.
    Ethylene,
    /// Inhibited propylene glycol.
    Propylene,
}

impl Glycol {
    /// Both.
    pub const ALL: [Glycol; 2] = [Glycol::Ethylene, Glycol::Propylene];

    /// `ethylene glycol`
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Glycol::Ethylene => "ethylene glycol",
            Glycol::Propylene => "propylene glycol",
        }
    }
}

/// A share from 0 to 100 % as a part of one; `None` for anything else.
#[must_use]
pub fn fraction(percentage: &Quantity) -> Option<Number> {
    let part = percentage.to_si();
    (percentage.kind() == Kind::Ratio && !part.is_negative() && part <= Number::ONE).then_some(part)
}

/// A part of one as a percentage.
#[must_use]
pub fn percentage(part: &Number) -> Option<Quantity> {
    part.checked_mul(&Number::whole(100)).map(|percent| Quantity::new(percent, Known::Percent))
}

/// A volume that is not negative, as it is; `None` for anything else.
fn volume(quantity: &Quantity) -> Option<&Quantity> {
    (quantity.kind() == Kind::Volume && !quantity.value.is_negative()).then_some(quantity)
}

/// A temperature in °C to a tenth of a degree, which is as good as the tables are.
fn celsius(degrees: f64) -> Option<Quantity> {
    let tenths = (degrees * 10.0).round();
    if !tenths.is_finite() || tenths.abs() > 1e6 {
        return None;
    }
    Some(Quantity::new(Number::from_ratio(tenths as i128, 10)?, Known::Celsius))
}

#[cfg(test)]
mod tests;
