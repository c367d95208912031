//! What a value must be: exactly so much, between two limits, within a tolerance, at least, at most.

use std::fmt;

use super::kind::Kind;
use super::number::Number;
use super::{Quantity, Unit};

/// What a value must be.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Spec {
    /// `25 N·m`
    Exactly(Quantity),
    /// `22 to 28 N·m`; the first is never above the second where it was read from text.
    Between(Quantity, Quantity),
    /// `25 N·m ± 2`, `10 N·m + 5 - 3`
    Tolerance {
        /// The value aimed at.
        value: Quantity,
        /// How much more is allowed, in the unit of `value`; not negative.
        plus: Number,
        /// How much less is allowed, in the unit of `value`; not negative.
        minus: Number,
    },
    /// `at least 22.4 mm`
    AtLeast(Quantity),
    /// `at most 0.05 mm`
    AtMost(Quantity),
}

impl Spec {
    /// What it measures.
    pub fn kind(&self) -> Kind {
        self.first().kind()
    }

    /// The unit the author wrote (the first, of two).
    pub fn unit(&self) -> &Unit {
        &self.first().unit
    }

    /// The value aimed at, where one is named.
    pub fn target(&self) -> Option<&Quantity> {
        match self {
            Spec::Exactly(value) | Spec::Tolerance { value, .. } => Some(value),
            Spec::Between(..) | Spec::AtLeast(_) | Spec::AtMost(_) => None,
        }
    }

    /// The lowest value that is right; `None` where there is no lower limit.
    pub fn low(&self) -> Option<Quantity> {
        match self {
            Spec::Exactly(value) | Spec::Between(value, _) | Spec::AtLeast(value) => Some(value.clone()),
            Spec::Tolerance { value, minus, .. } => {
                let low = value.value.checked_sub(minus)?;
                Some(Quantity { value: low, unit: value.unit.clone() })
            }
            Spec::AtMost(_) => None,
        }
    }

    /// The highest value that is right; `None` where there is no upper limit.
    pub fn high(&self) -> Option<Quantity> {
        match self {
            Spec::Exactly(value) | Spec::Between(_, value) | Spec::AtMost(value) => Some(value.clone()),
            Spec::Tolerance { value, plus, .. } => {
                let high = value.value.checked_add(plus)?;
                Some(Quantity { value: high, unit: value.unit.clone() })
            }
            Spec::AtLeast(_) => None,
        }
    }

    /// Whether a value is right; never for one of another kind.
    pub fn contains(&self, value: &Quantity) -> bool {
        let above = self.low().is_none_or(|low| value.compare(&low).is_some_and(|o| o.is_ge()));
        let below = self.high().is_none_or(|high| value.compare(&high).is_some_and(|o| o.is_le()));
        value.kind() == self.kind() && above && below
    }

    fn first(&self) -> &Quantity {
        match self {
            Spec::Exactly(value)
            | Spec::Between(value, _)
            | Spec::Tolerance { value, .. }
            | Spec::AtLeast(value)
            | Spec::AtMost(value) => value,
        }
    }
}

impl From<Quantity> for Spec {
    fn from(value: Quantity) -> Spec {
        Spec::Exactly(value)
    }
}

/// As the language writes it, in its canonical form.
impl fmt::Display for Spec {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Spec::Exactly(value) => write!(f, "{value}"),
            Spec::Between(low, high) if low.unit == high.unit && low.unit.symbol() != "°" => {
                write!(f, "{} to {high}", low.value)
            }
            Spec::Between(low, high) => write!(f, "{low} to {high}"),
            Spec::Tolerance { value, plus, minus } if plus == minus => {
                write!(f, "{value} ± {plus}")
            }
            Spec::Tolerance { value, plus, minus } => write!(f, "{value} + {plus} - {minus}"),
            Spec::AtLeast(value) => write!(f, "at least {value}"),
            Spec::AtMost(value) => write!(f, "at most {value}"),
        }
    }
}
