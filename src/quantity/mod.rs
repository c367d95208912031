//! Exact, typed quantities: read from what people write, converted without rounding, rounded only for print.
//!
//! A quantity keeps the number and the unit its author wrote. Everything that compares or converts works on exact
//! fractions, so `at least 22.4 mm` means just that in any unit.

mod agree;
mod counterpart;
mod digits;
mod error;
mod find;
mod kind;
mod number;
mod parse;
mod print;
mod spec;
mod table;
mod unit;

use std::cmp::Ordering;
use std::fmt;

pub use agree::{Disagreement, agree, disagreements};
pub use digits::{MOST_DIGITS, NumberError};
pub use error::QuantityError;
pub use find::find_quantities;
pub use kind::Kind;
pub use number::{Number, Rounding, Written};
pub use parse::{parse_quantity, parse_spec};
pub use print::{Printed, System, print, print_spec};
pub use spec::Spec;
pub use table::{Definition, Known, Usage};
pub use unit::{Spelling, Unit};

/// A number with its unit, as the author wrote it.
///
/// `==` compares what is written (`1 h` is not `60 min`); [`Quantity::same_as`] compares what is meant.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Quantity {
    /// How many of the unit.
    pub value: Number,
    /// The unit.
    pub unit: Unit,
}

impl Quantity {
    /// So many of a unit.
    pub fn new(value: Number, unit: impl Into<Unit>) -> Quantity {
        Quantity { value, unit: unit.into() }
    }

    /// What it measures.
    pub fn kind(&self) -> Kind {
        self.unit.kind()
    }

    /// The value in the base unit of its kind, named at [`Kind`]: SI, but degrees for angles.
    ///
    /// Exact for all that can be read. A calculated value too large for 128 bits becomes the largest there is,
    /// one too small becomes nought.
    pub fn to_si(&self) -> Number {
        let exact = self.value.checked_add(&self.unit.offset()).and_then(|v| v.checked_mul(&self.unit.factor()));
        exact.unwrap_or_else(|| {
            let near = (self.value.to_f64() + self.unit.offset().to_f64()) * self.unit.factor().to_f64();
            let largest = Number::from_ratio(i128::MAX, 1).unwrap_or(Number::ONE);
            match near.abs() >= 1.0 {
                true if near < 0.0 => largest.negated(),
                true => largest,
                false => Number::ZERO,
            }
        })
    }

    /// The same quantity in another unit, exactly; `None` where the kinds (or the nouns of counts) differ.
    pub fn convert(&self, unit: &Unit) -> Option<Quantity> {
        if *unit == self.unit {
            return Some(Quantity { value: self.value, unit: unit.clone() });
        }
        if unit.kind() != self.kind() || unit.known().is_none() || self.unit.known().is_none() {
            return None;
        }
        let ratio = self.unit.factor().checked_div(&unit.factor())?;
        let value = self.value.checked_add(&self.unit.offset())?.checked_mul(&ratio)?.checked_sub(&unit.offset())?;
        Some(Quantity { value, unit: unit.clone() })
    }

    /// Which of two of one kind is more; `None` where the kinds (or the nouns of counts) differ.
    pub fn compare(&self, other: &Quantity) -> Option<Ordering> {
        let comparable = self.kind() == other.kind() && (self.kind() != Kind::Count || self.unit == other.unit);
        comparable.then(|| self.to_si().cmp(&other.to_si()))
    }

    /// Whether both mean the same, in whatever units: `1 h` and `60 min`.
    pub fn same_as(&self, other: &Quantity) -> bool {
        self.compare(other) == Some(Ordering::Equal)
    }

    /// Sum in this one's unit. To a temperature only a temperature difference can be added.
    pub fn plus(&self, other: &Quantity) -> Option<Quantity> {
        self.value.checked_add(&self.step(other)?).map(|value| Quantity { value, unit: self.unit.clone() })
    }

    /// Difference in this one's unit. From a temperature a difference can be taken; of two temperatures the
    /// result is a difference, in kelvins.
    pub fn minus(&self, other: &Quantity) -> Option<Quantity> {
        if self.kind() == Kind::Temperature && other.kind() == Kind::Temperature {
            return self.to_si().checked_sub(&other.to_si()).map(|k| Quantity::new(k, Known::Kelvin));
        }
        self.value.checked_sub(&self.step(other)?).map(|value| Quantity { value, unit: self.unit.clone() })
    }

    /// So many times as much; `None` for a temperature, of which there is no double.
    pub fn times(&self, factor: &Number) -> Option<Quantity> {
        if self.kind() == Kind::Temperature {
            return None;
        }
        self.value.checked_mul(factor).map(|value| Quantity { value, unit: self.unit.clone() })
    }

    /// What part of another of the same kind it is; `None` over nought or where the kinds differ.
    pub fn over(&self, other: &Quantity) -> Option<Number> {
        self.compare(other)?;
        self.to_si().checked_div(&other.to_si())
    }

    /// How many of this one's units `other` is, as a step up or down the scale.
    fn step(&self, other: &Quantity) -> Option<Number> {
        match (self.kind(), other.kind()) {
            (Kind::Temperature, Kind::TemperatureDifference) => other.to_si().checked_div(&self.unit.factor()),
            (Kind::Temperature, _) => None,
            _ => other.convert(&self.unit).map(|same| same.value),
        }
    }
}

/// As the language writes it: canonical unit, plain space, ASCII minus.
impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(parts) = parse::in_two_units(self) {
            return f.write_str(&parts.join(" "));
        }
        let space = if self.unit.known() == Some(Known::Degree) { "" } else { " " };
        write!(f, "{}{space}{}", self.value, self.unit.symbol_for(&self.value))
    }
}

#[cfg(test)]
mod tests;
