//! Quantities typed into prose, where they can be neither converted nor compared.

use std::ops::Range;

use super::digits::MOST_DIGITS;
use super::number::Number;
use super::{Known, Quantity, Unit};

/// Longest unit looked for, in characters: `inches of mercury` has 17.
const LONGEST_UNIT: usize = 18;

/// Numbers with a unit of the table in prose, with the bytes each takes up.
///
/// Left alone: what stands in `{…}` (checked already), thread sizes (`M8x35`, `M8 x 35`), part numbers (`20-3318`,
/// `HY-207`), counts (`10 gentle stops`), and `in` where it may be the preposition (`fit 4 in each side`).
pub fn find_quantities(prose: &str) -> Vec<(Range<usize>, Quantity)> {
    let mut found = Vec::new();
    let (mut at, mut depth) = (0_usize, 0_usize);
    while let Some(c) = prose.get(at..).and_then(|rest| rest.chars().next()) {
        if depth > 0 || !c.is_ascii_digit() {
            depth = match c {
                '{' => depth + 1,
                '}' => depth.saturating_sub(1),
                _ => depth,
            };
            at += c.len_utf8();
            continue;
        }
        at = match quantity_at(prose, at) {
            Some((range, quantity)) => {
                let end = range.end;
                found.push((range, quantity));
                end
            }
            None => end_of_digits(prose, at),
        };
    }
    found
}

fn end_of_digits(prose: &str, start: usize) -> usize {
    let rest = prose.get(start..).unwrap_or("");
    start + rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len())
}

fn quantity_at(prose: &str, start: usize) -> Option<(Range<usize>, Quantity)> {
    let before = prose.get(..start)?;
    if !may_begin(before) {
        return None;
    }
    let text = prose.get(start..)?;
    let (number, used) = number_in_prose(text)?;
    let rest = text.get(used..)?;
    let gap = rest.len() - rest.trim_start_matches([' ', '\u{a0}', '\u{202f}']).len();
    let (length, unit) = unit_at(rest.get(gap..)?)?;
    let end = start + used + gap + length;
    if is_sign(before) {
        let sign = before.trim_end_matches(['-', '\u{2212}']).len();
        return Some((sign..end, Quantity { value: number.negated(), unit }));
    }
    Some((start..end, Quantity { value: number, unit }))
}

/// Whether a number can begin after `before`: not inside a word, a part number, a decimal or a size.
fn may_begin(before: &str) -> bool {
    let Some(last) = before.chars().next_back() else {
        return true;
    };
    if matches!(last, '-' | '\u{2212}' | '–') {
        // A range (`41-54 Nm`) or a sign (` -37 °C`), but not `HY-207`.
        let earlier = before.strip_suffix(last).unwrap_or(before);
        let low = earlier.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.');
        return is_sign(before)
            || (low.len() < earlier.len() && low.chars().next_back().is_none_or(|c| c.is_whitespace() || c == '('));
    }
    if last.is_whitespace() {
        // `M8 x 35 mm`, `2 x 13 mm`: a size, not a reading.
        let earlier = before.trim_end();
        return !(earlier.ends_with(['×', '#']) || ends_with_times(earlier));
    }
    "(\"'“‘,;:=<>≤≥±~".contains(last)
}

fn ends_with_times(text: &str) -> bool {
    text == "x" || text.strip_suffix('x').is_some_and(|rest| rest.ends_with(|c: char| c.is_whitespace()))
}

/// Whether the minus at the end of `before` is a sign: nothing or a space stands before it.
fn is_sign(before: &str) -> bool {
    let earlier = before.strip_suffix(['-', '\u{2212}']).unwrap_or(before);
    earlier.len() < before.len() && earlier.chars().next_back().is_none_or(|c| c.is_whitespace() || c == '(')
}

/// A number at the start of `text` and its length; a decimal comma is read as the point it stands for.
fn number_in_prose(text: &str) -> Option<(Number, usize)> {
    if let Ok((number, rest)) = Number::read(text) {
        return Some((number, text.len() - rest.len()));
    }
    let length = text.bytes().take(2 * MOST_DIGITS).take_while(|c| c.is_ascii_digit() || *c == b',').count();
    let written = text.get(..length)?.trim_end_matches(',');
    let (whole, part) = written.split_once(',')?;
    let plain = if part.len() == 3 { format!("{whole}{part}") } else { format!("{whole}.{part}") };
    Some((Number::parse(&plain).ok()?, written.len()))
}

/// The longest unit of the table at the start of `text`, with its length in bytes.
fn unit_at(text: &str) -> Option<(usize, Unit)> {
    // Not the marks for inches and feet, which in prose are as often quotation marks.
    let first = text.chars().next()?;
    if !first.is_alphabetic() && !"°℃℉%".contains(first) {
        return None;
    }
    let ends: Vec<usize> = text.char_indices().map(|(i, c)| i + c.len_utf8()).take(LONGEST_UNIT).collect();
    ends.into_iter().rev().find_map(|end| {
        let (word, after) = text.split_at_checked(end)?;
        let clean = !word.ends_with([' ', '.', '-', '*', '·', '\u{a0}']);
        let goes_on = after.starts_with(|c: char| c.is_alphanumeric() || "/·°".contains(c))
            || after.strip_prefix('-').is_some_and(|rest| rest.starts_with(char::is_alphanumeric));
        if !clean || goes_on {
            return None;
        }
        let unit = Unit::exact(word)?;
        let preposition = word == "in" && unit.known() == Some(Known::Inch) && !ends_phrase(after);
        (!preposition).then_some((end, unit))
    })
}

/// Whether `in` is followed by the end, a stop, or `.` as in an abbreviation: then it is inches.
fn ends_phrase(after: &str) -> bool {
    let rest = after.trim_start();
    rest.is_empty() || after.starts_with(['.', ',', ';', ':', ')', '!', '?'])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(prose: &str) -> Vec<(&str, String)> {
        find_quantities(prose).into_iter().map(|(range, q)| (&prose[range], q.to_string())).collect()
    }

    #[test]
    fn finds_numbers_with_units() {
        let cases = [
            ("Tighten to 25 Nm.", ("25 Nm", "25 N·m")),
            ("It takes 6.8 L of oil", ("6.8 L", "6.8 L")),
            ("Between 41-54 N·m, dry", ("54 N·m", "54 N·m")),
            ("Cold (-37 °C) starts", ("-37 °C", "-37 °C")),
            ("Leave 0,25 mm play", ("0,25 mm", "0.25 mm")),
            ("A gap of 1/8 in.", ("1/8 in", "1/8 in")),
            ("pull at 22 lbf·ft once", ("22 lbf·ft", "22 lbf·ft")),
            ("use 30 lb-ft here", ("30 lb-ft", "30 lbf·ft")),
            ("Hold 2.5bar for a while", ("2.5bar", "2.5 bar")),
        ];
        for (prose, (text, quantity)) in cases {
            assert_eq!(texts(prose), [(text, quantity.to_string())], "{prose}");
        }
        assert_eq!(texts("5 mm, then 10 mm").len(), 2);
    }

    #[test]
    fn is_not_fooled() {
        for prose in [
            "Use M8x35 and M10 x 1.25 bolts",
            "bolts M8 x 35 mm long",
            "10 gentle stops from walking pace",
            "Part 20-3318, drawing HY-207 A",
            "Fit 4 in each side",
            "Use the {6.5 mm} drill and {hydraulic oil.drains}",
            "Engine B4-20 or B4-24",
            "the 3rd gear, the 2nd bolt",
            "seen in 1998, page 12",
            "no numbers at all",
            "5 clicks, 20 teeth",
            "",
        ] {
            assert_eq!(texts(prose), [], "{prose}");
        }
    }
}
