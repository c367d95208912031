//! Digits on the page to an exact number: decimals, fractions, mixed fractions.

use super::number::{Number, Written};

/// Most digits a written number may have, before and after the point together.
///
/// No reading in a workshop has more than six; the limit keeps every conversion inside 128 bits.
pub const MOST_DIGITS: usize = 15;

/// Why a text is no number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NumberError {
    /// It does not read as digits with at most one point, nor as a fraction.
    NotANumber,
    /// More than [`MOST_DIGITS`] digits.
    TooManyDigits,
    /// A fraction over nought.
    DividedByZero,
    /// A comma stands between digits.
    Comma,
}

fn digits(text: &str) -> (&str, &str) {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    text.split_at(end)
}

fn vulgar(c: char) -> Option<(i128, i128)> {
    Some(match c {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    })
}

/// Reads a number without a sign at the start of `text` and gives what follows it.
pub(super) fn read_unsigned(text: &str) -> Result<(Number, &str), NumberError> {
    let (whole, rest) = digits(text);
    // `½` and `1½`
    if let Some(c) = rest.chars().next()
        && let Some((top, bottom)) = vulgar(c)
    {
        let before = if whole.is_empty() { 0 } else { integer(whole)? };
        let after = rest.strip_prefix(c).unwrap_or(rest);
        return Ok((mixed(before, top, bottom)?, after));
    }
    if whole.is_empty() && !rest.starts_with('.') {
        return Err(NumberError::NotANumber);
    }
    if let Some(after) = rest.strip_prefix(',')
        && after.starts_with(|c: char| c.is_ascii_digit())
    {
        return Err(NumberError::Comma);
    }
    if let Some(after) = rest.strip_prefix('.') {
        let (part, rest) = digits(after);
        if part.is_empty() {
            return Err(NumberError::NotANumber);
        }
        if rest.starts_with(['.', ',']) && rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
            return Err(if rest.starts_with(',') { NumberError::Comma } else { NumberError::NotANumber });
        }
        return Ok((decimal(whole, part)?, rest));
    }
    // `1/6`
    if let Some((bottom, rest)) = slash_and_digits(rest) {
        return Ok((mixed(0, integer(whole)?, integer(bottom)?)?, rest));
    }
    // `1 1/2`
    let after = rest.trim_start_matches(' ');
    let (top, over) = digits(after);
    if !top.is_empty()
        && after.len() < rest.len()
        && let Some((bottom, rest)) = slash_and_digits(over)
    {
        return Ok((mixed(integer(whole)?, integer(top)?, integer(bottom)?)?, rest));
    }
    Ok((decimal(whole, "")?, rest))
}

fn slash_and_digits(text: &str) -> Option<(&str, &str)> {
    let after = text.strip_prefix(['/', '\u{2044}'])?;
    let (bottom, rest) = digits(after);
    if bottom.is_empty() { None } else { Some((bottom, rest)) }
}

fn integer(digits: &str) -> Result<i128, NumberError> {
    if digits.len() > MOST_DIGITS {
        return Err(NumberError::TooManyDigits);
    }
    digits.parse().map_err(|_| NumberError::NotANumber)
}

fn mixed(whole: i128, top: i128, bottom: i128) -> Result<Number, NumberError> {
    if bottom == 0 {
        return Err(NumberError::DividedByZero);
    }
    // Each is below 10^15, so this stays far inside 128 bits.
    Number::from_ratio(whole * bottom + top, bottom)
        .map(|n| n.written_as(Written::Fraction))
        .ok_or(NumberError::TooManyDigits)
}

fn decimal(whole: &str, part: &str) -> Result<Number, NumberError> {
    if whole.len() + part.len() > MOST_DIGITS {
        return Err(NumberError::TooManyDigits);
    }
    let top = integer(&format!("{whole}{part}"))?;
    let decimals = part.len() as u32; // at most MOST_DIGITS
    Number::from_ratio(top, 10_i128.pow(decimals))
        .map(|n| n.written_as(Written::Decimals(decimals as u8)))
        .ok_or(NumberError::TooManyDigits)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_a_technician_writes() {
        for (text, top, bottom) in [
            ("7.5", 15, 2),
            ("-37", -37, 1),
            ("\u{2212}37", -37, 1),
            ("0.025", 1, 40),
            (".5", 1, 2),
            ("1/6", 1, 6),
            ("1 1/2", 3, 2),
            ("1½", 3, 2),
            ("-1/4", -1, 4),
            ("007", 7, 1),
        ] {
            assert_eq!(Number::parse(text).unwrap().parts(), (top, bottom), "{text}");
        }
    }

    #[test]
    fn refuses_the_rest() {
        for (text, error) in [
            ("", NumberError::NotANumber),
            ("-", NumberError::NotANumber),
            ("5.", NumberError::NotANumber),
            ("1.2.3", NumberError::NotANumber),
            ("ten", NumberError::NotANumber),
            ("7,5", NumberError::Comma),
            ("1/0", NumberError::DividedByZero),
            ("1234567890123456", NumberError::TooManyDigits),
            ("0.0000000000000001", NumberError::TooManyDigits),
        ] {
            assert_eq!(Number::parse(text), Err(error), "{text}");
        }
    }
}
