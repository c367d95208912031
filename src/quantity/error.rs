//! What can be wrong with a written quantity, in the words of the shop.

use std::fmt;

use super::kind::Kind;
use super::unit::Unit;

/// Why a text is no quantity. Its `Display` says what is wrong and how to write it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum QuantityError {
    /// Nothing is written where a quantity should be.
    Empty,
    /// It does not start with a number.
    NotANumber {
        /// What stands there.
        text: String,
    },
    /// A number without its unit.
    UnitMissing {
        /// The number as written.
        number: String,
    },
    /// What follows the number is no unit.
    UnknownUnit {
        /// What follows the number.
        unit: String,
        /// The nearest unit, if one is near.
        did_you_mean: Option<Unit>,
    },
    /// The unit has two sizes, and the text does not say which.
    AmbiguousUnit {
        /// The unit as written.
        unit: String,
        /// What can be meant, canonically spelled.
        choices: &'static [&'static str],
    },
    /// A comma between digits.
    DecimalComma {
        /// The whole text with a point instead.
        fixed: String,
    },
    /// A comma that may part thousands or decimals: `1,200`.
    ThousandsComma {
        /// Read as thousands.
        thousands: String,
        /// Read as decimals.
        decimals: String,
    },
    /// The first value of a range is above the second.
    ReversedRange {
        /// The range the right way round.
        fixed: String,
    },
    /// The two ends of a range, or a value and its tolerance, are of different kinds.
    DifferentKinds {
        /// Kind of the first.
        first: Kind,
        /// Kind of the second.
        second: Kind,
    },
    /// A value below nought of something that can not be.
    Negative {
        /// What it measures.
        kind: Kind,
    },
    /// Colder than anything can be.
    BelowAbsoluteZero,
    /// A fraction over nought.
    DividedByZero,
    /// More digits than a reading can have.
    TooManyDigits,
}

impl QuantityError {
    /// The corrected text, where there is just one.
    pub fn fix(&self) -> Option<&str> {
        match self {
            QuantityError::DecimalComma { fixed } | QuantityError::ReversedRange { fixed } => Some(fixed),
            _ => None,
        }
    }
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            QuantityError::Empty => write!(f, "a value is missing: write a number and its unit, like `25 N·m`"),
            QuantityError::NotANumber { text } => {
                write!(f, "`{text}` does not start with a number: write a number and its unit, like `25 N·m`")
            }
            QuantityError::UnitMissing { number } => write!(
                f,
                "`{number}` has no unit: write it after the number, like `{number} mm` or, for things that are counted, `{number} clicks`"
            ),
            QuantityError::UnknownUnit { unit, did_you_mean: Some(near) } => {
                write!(f, "`{unit}` is no unit: did you mean `{near}`?")
            }
            QuantityError::UnknownUnit { unit, did_you_mean: None } => {
                write!(
                    f,
                    "`{unit}` is no unit: write one like `N·m`, `mm`, `L`, `bar`, or one plain word for things that are counted"
                )
            }
            QuantityError::AmbiguousUnit { unit, choices } => {
                write!(f, "`{unit}` has more than one size: write {}", or_list(choices))
            }
            QuantityError::DecimalComma { fixed } => {
                write!(f, "a comma in a number: write the decimal point, `{fixed}`")
            }
            QuantityError::ThousandsComma { thousands, decimals } => {
                write!(f, "a comma in a number can be read two ways: write `{thousands}` or `{decimals}`")
            }
            QuantityError::ReversedRange { fixed } => {
                write!(f, "the range runs downwards: write the smaller value first, `{fixed}`")
            }
            QuantityError::DifferentKinds { first, second } => {
                write!(f, "{} and {} do not go together in one value", first.with_article(), second.with_article())
            }
            QuantityError::Negative { kind } => {
                write!(f, "{} can not be below nought", kind.with_article())
            }
            QuantityError::BelowAbsoluteZero => {
                write!(f, "nothing is that cold: the lowest temperature there is lies at −273.15 °C")
            }
            QuantityError::DividedByZero => {
                write!(f, "a fraction can not have nought below the line")
            }
            QuantityError::TooManyDigits => {
                write!(f, "too many digits: no reading has more than {}", super::digits::MOST_DIGITS)
            }
        }
    }
}

impl std::error::Error for QuantityError {}

fn or_list(choices: &[&str]) -> String {
    choices.iter().map(|c| format!("`{c}`")).collect::<Vec<_>>().join(" or ")
}
