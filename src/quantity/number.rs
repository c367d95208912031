//! Exact numbers: what the author wrote, never a rounded copy of it.

use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};

use num_rational::Ratio;

use super::digits::{self, NumberError};

/// An exact rational number.
///
/// Two numbers are equal when their values are, however they were written (`2.40` equals `2.4`); how it
/// was written is kept only so that it can be printed the same way.
#[derive(Clone, Copy, Debug)]
pub struct Number {
    ratio: Ratio<i128>,
    written: Written,
}

/// How the author wrote a number, kept for printing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Written {
    /// With so many digits after the point.
    Decimals(u8),
    /// As a fraction: `1/6`, `1 1/2`.
    Fraction,
    /// In two units of one kind: `3 h 15 min`.
    TwoUnits,
    /// Not written by anybody: the result of a calculation.
    Computed,
}

/// Which way to round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// To the nearest; a half goes away from zero, as schools teach it.
    Nearest,
    /// Towards minus infinity: for an upper limit.
    Down,
    /// Towards plus infinity: for a lower limit.
    Up,
}

impl Number {
    /// Nought.
    pub const ZERO: Number = Number { ratio: Ratio::new_raw(0, 1), written: Written::Computed };
    /// One.
    pub const ONE: Number = Number { ratio: Ratio::new_raw(1, 1), written: Written::Computed };

    /// The whole number `value`.
    pub fn whole(value: i64) -> Number {
        Number { ratio: Ratio::from_integer(i128::from(value)), written: Written::Computed }
    }

    /// `numerator / denominator`; `None` over nought or beyond 128 bits.
    pub fn from_ratio(numerator: i128, denominator: i128) -> Option<Number> {
        // i128::MIN has no positive counterpart, so reducing it could overflow.
        if denominator == 0 || numerator == i128::MIN || denominator == i128::MIN {
            return None;
        }
        Some(Number { ratio: Ratio::new(numerator, denominator), written: Written::Computed })
    }

    /// Reads a whole text as a number: `7.5`, `-37`, `1/6`, `1 1/2`, `½`.
    pub fn parse(text: &str) -> Result<Number, NumberError> {
        let text = text.trim();
        let (number, rest) = Number::read(text)?;
        if rest.is_empty() { Ok(number) } else { Err(NumberError::NotANumber) }
    }

    /// Reads a number at the start of `text` and gives what follows it.
    pub fn read(text: &str) -> Result<(Number, &str), NumberError> {
        let (negative, unsigned) = match text.strip_prefix(['-', '\u{2212}']) {
            Some(rest) => (true, rest),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let (number, rest) = digits::read_unsigned(unsigned)?;
        Ok((if negative { number.negated() } else { number }, rest))
    }

    /// The same value, said to have been written so.
    pub fn written_as(self, written: Written) -> Number {
        Number { written, ..self }
    }

    /// How it was written.
    pub fn written(&self) -> Written {
        self.written
    }

    /// Top and bottom of the reduced fraction; the bottom is positive.
    pub fn parts(&self) -> (i128, i128) {
        (*self.ratio.numer(), *self.ratio.denom())
    }

    /// The nearest binary fraction, for formulas with roots and angles.
    pub fn to_f64(&self) -> f64 {
        let (top, bottom) = self.parts();
        top as f64 / bottom as f64
    }

    /// Whether it is below nought.
    pub fn is_negative(&self) -> bool {
        *self.ratio.numer() < 0
    }

    /// Whether it is nought.
    pub fn is_zero(&self) -> bool {
        *self.ratio.numer() == 0
    }

    /// Whether it is a whole number.
    pub fn is_whole(&self) -> bool {
        *self.ratio.denom() == 1
    }

    /// The value as a count; `None` where it is no whole number or does not fit.
    pub fn to_u32(&self) -> Option<u32> {
        if self.is_whole() { u32::try_from(*self.ratio.numer()).ok() } else { None }
    }

    /// With the sign turned, written the same way.
    pub fn negated(&self) -> Number {
        // The top is never i128::MIN, see `from_ratio`.
        Number { ratio: Ratio::new_raw(-*self.ratio.numer(), *self.ratio.denom()), written: self.written }
    }

    /// Sum, or `None` beyond 128 bits.
    pub fn checked_add(&self, other: &Number) -> Option<Number> {
        let ((a, b), (c, d)) = (self.parts(), other.parts());
        let common = greatest_divisor(b, d);
        let top = a.checked_mul(d / common)?.checked_add(c.checked_mul(b / common)?)?;
        Number::from_ratio(top, (b / common).checked_mul(d)?)
    }

    /// Difference, or `None` beyond 128 bits.
    pub fn checked_sub(&self, other: &Number) -> Option<Number> {
        self.checked_add(&other.negated())
    }

    /// Product, or `None` beyond 128 bits.
    pub fn checked_mul(&self, other: &Number) -> Option<Number> {
        let ((a, b), (c, d)) = (self.parts(), other.parts());
        // Reducing crosswise first keeps the intermediate products as small as they can be.
        let (across, back) = (greatest_divisor(a, d), greatest_divisor(c, b));
        let top = (a / across).checked_mul(c / back)?;
        Number::from_ratio(top, (b / back).checked_mul(d / across)?)
    }

    /// Quotient, or `None` over nought or beyond 128 bits.
    pub fn checked_div(&self, other: &Number) -> Option<Number> {
        let (top, bottom) = other.parts();
        self.checked_mul(&Number::from_ratio(bottom, top)?)
    }

    /// Rounded to `decimals` digits after the point; the value itself where it cannot be done in 128 bits.
    pub fn rounded(&self, decimals: u8, way: Rounding) -> Number {
        self.rounded_in_full(decimals, way).unwrap_or(*self)
    }

    /// Rounded to a multiple of `step`; `None` where the step is nought or negative, or beyond 128 bits.
    pub fn rounded_to_step(&self, step: &Number, way: Rounding) -> Option<Number> {
        if step.is_zero() || step.is_negative() {
            return None;
        }
        self.checked_div(step)?.rounded_in_full(0, way)?.checked_mul(step)
    }

    fn rounded_in_full(&self, decimals: u8, way: Rounding) -> Option<Number> {
        let scale = 10_i128.checked_pow(u32::from(decimals))?;
        let (top, bottom) = self.parts();
        let scaled = top.checked_mul(scale)?;
        let down = scaled.div_euclid(bottom);
        let left_over = scaled.rem_euclid(bottom);
        let up = match way {
            Rounding::Down => false,
            Rounding::Up => left_over > 0,
            Rounding::Nearest => {
                let rest = bottom - left_over;
                left_over > rest || (left_over == rest && top > 0)
            }
        };
        let whole = if up { down.checked_add(1)? } else { down };
        Some(Number::from_ratio(whole, scale)?.written_as(Written::Decimals(decimals)))
    }

    /// Digits after the point that this value needs to be written in full; `None` for 1/3 and its like.
    pub fn decimals_needed(&self) -> Option<u8> {
        let mut bottom = *self.ratio.denom();
        let (mut twos, mut fives) = (0_u8, 0_u8);
        while bottom % 2 == 0 {
            bottom /= 2;
            twos += 1;
        }
        while bottom % 5 == 0 {
            bottom /= 5;
            fives += 1;
        }
        if bottom == 1 { Some(twos.max(fives)) } else { None }
    }

    /// The number with just `decimals` digits after the point, rounded to nearest, with an ASCII minus.
    pub fn to_decimal(&self, decimals: u8) -> String {
        let decimals = decimals.min(30);
        let rounded = self.rounded(decimals, Rounding::Nearest);
        let (top, bottom) = rounded.parts();
        let scaled = 10_i128
            .checked_pow(u32::from(decimals))
            .filter(|scale| scale % bottom == 0)
            .and_then(|scale| top.checked_mul(scale / bottom));
        let Some(scaled) = scaled else {
            return format!("{:.*}", usize::from(decimals), self.to_f64());
        };
        let digits = format!("{:0>width$}", scaled.unsigned_abs(), width = usize::from(decimals) + 1);
        let (whole, part) = digits.split_at(digits.len() - usize::from(decimals));
        let sign = if scaled < 0 { "-" } else { "" };
        if decimals == 0 { format!("{sign}{whole}") } else { format!("{sign}{whole}.{part}") }
    }

    /// As a whole number and a proper fraction: `1/6`, `1 1/2`, `-3`.
    pub fn to_fraction(&self) -> String {
        let (top, bottom) = self.parts();
        let sign = if top < 0 { "-" } else { "" };
        let (whole, part) = (top.unsigned_abs() / bottom.unsigned_abs(), top.unsigned_abs() % bottom.unsigned_abs());
        match (whole, part) {
            (_, 0) => format!("{sign}{whole}"),
            (0, _) => format!("{sign}{part}/{bottom}"),
            _ => format!("{sign}{whole} {part}/{bottom}"),
        }
    }
}

/// As it was written; a computed one in full where it ends within six digits after the point, else as a fraction
/// where that is short, else to six digits.
impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.written {
            Written::Decimals(decimals) => f.write_str(&self.to_decimal(decimals)),
            Written::Fraction => f.write_str(&self.to_fraction()),
            Written::TwoUnits | Written::Computed => match self.decimals_needed() {
                Some(decimals) if decimals <= 6 => f.write_str(&self.to_decimal(decimals)),
                _ if self.parts().1 < 1000 => f.write_str(&self.to_fraction()),
                _ => f.write_str(&self.to_decimal(6)),
            },
        }
    }
}

impl PartialEq for Number {
    fn eq(&self, other: &Number) -> bool {
        self.ratio == other.ratio
    }
}

impl Eq for Number {}

impl Hash for Number {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.ratio.hash(state);
    }
}

impl Ord for Number {
    fn cmp(&self, other: &Number) -> Ordering {
        self.ratio.cmp(&other.ratio)
    }
}

impl PartialOrd for Number {
    fn partial_cmp(&self, other: &Number) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// Of two numbers that are not both nought; at least 1.
fn greatest_divisor(a: i128, b: i128) -> i128 {
    let (mut a, mut b) = (a.unsigned_abs(), b.unsigned_abs());
    while b != 0 {
        (a, b) = (b, a % b);
    }
    i128::try_from(a.max(1)).unwrap_or(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(text: &str) -> Number {
        Number::parse(text).unwrap_or_else(|e| panic!("{text}: {e:?}"))
    }

    #[test]
    fn prints_as_written() {
        for text in ["2.40", "7.5", "1/6", "1 1/2", "-0.05", "100", "0.0", "-1 1/3"] {
            assert_eq!(number(text).to_string(), text);
        }
        assert_eq!(number("2.40"), number("2.4"));
    }

    #[test]
    fn rounds_half_away_from_zero_and_towards_a_limit() {
        let cases = [
            ("0.25", 1, Rounding::Nearest, "0.3"),
            ("-0.25", 1, Rounding::Nearest, "-0.3"),
            ("0.24", 1, Rounding::Nearest, "0.2"),
            ("0.21", 1, Rounding::Up, "0.3"),
            ("0.29", 1, Rounding::Down, "0.2"),
            ("-0.21", 1, Rounding::Up, "-0.2"),
            ("-0.21", 1, Rounding::Down, "-0.3"),
            ("5", 0, Rounding::Up, "5"),
        ];
        for (text, decimals, way, expected) in cases {
            assert_eq!(number(text).rounded(decimals, way).to_string(), expected, "{text} {way:?}");
        }
        let step = number("0.05");
        assert_eq!(number("2.32").rounded_to_step(&step, Rounding::Nearest), Some(number("2.30")));
        assert_eq!(number("2.32").rounded_to_step(&Number::ZERO, Rounding::Nearest), None);
    }

    #[test]
    fn sums_stay_exact_and_overflow_is_none() {
        let tenth = number("0.1");
        let mut sum = Number::ZERO;
        for _ in 0..10 {
            sum = sum.checked_add(&tenth).unwrap();
        }
        assert_eq!(sum, Number::ONE);
        assert_eq!(Number::ONE.checked_div(&Number::ZERO), None);
        let huge = Number::from_ratio(i128::MAX, 1).unwrap();
        assert_eq!(huge.checked_add(&Number::ONE), None);
        assert_eq!(huge.checked_mul(&huge), None);
        assert_eq!(Number::from_ratio(i128::MIN, 1), None);
        assert!(huge > Number::from_ratio(i128::MAX, 3).unwrap());
    }
}
