//! Quantities on paper: the author's number in the author's unit, and the reader's unit beside it, rounded as a
//! technician expects and never past a limit.

use super::counterpart::{counterpart, decimals, largest, metric_of, range_decimals, us_of};
use super::number::{Number, Rounding, Written};
use super::parse::in_two_units;
use super::table::Usage;
use super::{Known, Quantity, Spec, Unit};

/// Stands between a number and its unit: never broken.
const SPACE: char = '\u{a0}';
/// Stands around the dash of a range: narrow, never broken.
const NARROW: char = '\u{202f}';

/// Whose units a sheet is printed in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum System {
    /// Metric units only.
    Metric,
    /// US customary units only.
    Us,
    /// The author's unit, and the other system's beside it.
    #[default]
    Both,
}

/// A value ready for paper. It holds no space at which a line may break.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Printed {
    /// What is read first: the author's own value where it is in the reader's system.
    pub main: String,
    /// The same in the other system; `None` where nothing differs or only one system is asked for.
    pub other: Option<String>,
}

/// Prints one quantity.
///
/// [`System::Both`]: the author's value, and the other system's. [`System::Metric`] and [`System::Us`]: the author's
/// value where it is of that system or of none, else the converted one alone.
pub fn print(quantity: &Quantity, system: System) -> Printed {
    print_spec(&Spec::Exactly(quantity.clone()), system)
}

/// Prints what a value must be. Converted limits are rounded inwards: what lies within them lies within the author's.
pub fn print_spec(spec: &Spec, system: System) -> Printed {
    let own = author(spec);
    let converted = || counterpart(spec).map(|unit| convert(spec, &unit).unwrap_or_else(|| own.clone()));
    let printed = |main, other| Printed { main, other };
    match (system, spec.unit().usage()) {
        (_, Usage::Everywhere) | (System::Metric, Usage::Metric) | (System::Us, Usage::Us) => printed(own, None),
        (System::Both, _) => {
            let other = converted();
            printed(own, other)
        }
        (System::Metric | System::Us, Usage::Imperial) => {
            let unit = metric_of(spec);
            let metric = unit.clone().and_then(|u| convert(spec, &u));
            let us = unit.and_then(|u| us_of(&largest(spec)?.convert(&u)?)).and_then(|u| convert(spec, &u));
            printed(if system == System::Us { us } else { metric }.unwrap_or(own), None)
        }
        (System::Metric | System::Us, _) => {
            let main = converted();
            printed(main.unwrap_or(own), None)
        }
    }
}

/// The author's own numbers and unit.
fn author(spec: &Spec) -> String {
    match spec {
        Spec::Exactly(value) => written(value),
        Spec::Between(low, high) if low.unit == high.unit && !is_chain(low) && !is_chain(high) => {
            range(&low.value.to_string(), &high.value.to_string(), &high.unit, &high.value)
        }
        Spec::Between(low, high) => format!("{}{NARROW}–{NARROW}{}", written(low), written(high)),
        Spec::Tolerance { value, plus, minus } => with_tolerance(
            &value.value.to_string(),
            &plus.to_string(),
            &minus.to_string(),
            plus == minus,
            &value.unit,
            &value.value,
        ),
        Spec::AtLeast(value) => format!("at{SPACE}least{SPACE}{}", written(value)),
        Spec::AtMost(value) => format!("at{SPACE}most{SPACE}{}", written(value)),
    }
}

fn is_chain(quantity: &Quantity) -> bool {
    quantity.value.written() == Written::TwoUnits
}

fn written(quantity: &Quantity) -> String {
    match in_two_units(quantity) {
        Some(parts) => parts.join(" ").replace(' ', &SPACE.to_string()),
        None => join(&plain(&quantity.value), &quantity.unit, &quantity.value),
    }
}

/// As written; a calculated value to at most four digits after the point.
fn plain(number: &Number) -> String {
    match (number.written(), number.decimals_needed()) {
        (Written::Computed, None) => trimmed(&number.to_decimal(4)),
        (Written::Computed, Some(decimals)) if decimals > 4 => trimmed(&number.to_decimal(4)),
        _ => number.to_string(),
    }
}

/// A number as text and its unit, with the spaces and signs of print.
fn join(number: &str, unit: &Unit, value: &Number) -> String {
    let symbol = unit.symbol_for(value).replace(' ', &SPACE.to_string());
    let space = if unit.known() == Some(Known::Degree) { String::new() } else { SPACE.to_string() };
    format!("{}{space}{symbol}", signed(number))
}

/// `22 – 28 N·m`; below nought `−10 to −5 °C`, since a dash beside a minus is misread.
fn range(low: &str, high: &str, unit: &Unit, value: &Number) -> String {
    let between = if low.starts_with('-') || high.starts_with('-') {
        format!("{SPACE}to{SPACE}")
    } else {
        format!("{NARROW}–{NARROW}")
    };
    join(&format!("{}{between}{}", signed(low), signed(high)), unit, value)
}

fn with_tolerance(value: &str, plus: &str, minus: &str, even: bool, unit: &Unit, number: &Number) -> String {
    let tolerance = if even { format!("±{SPACE}{plus}") } else { format!("+{plus}{SPACE}\u{2212}{minus}") };
    join(&format!("{value}{SPACE}{tolerance}"), unit, number)
}

/// With a real minus, and no break inside a mixed fraction.
fn signed(number: &str) -> String {
    let number = number.replace(' ', &SPACE.to_string());
    match number.strip_prefix('-') {
        Some(rest) => format!("\u{2212}{rest}"),
        None => number,
    }
}

fn trimmed(decimal: &str) -> String {
    if decimal.contains('.') {
        decimal.trim_end_matches('0').trim_end_matches('.').to_string()
    } else {
        decimal.to_string()
    }
}

/// The whole spec in another unit.
fn convert(spec: &Spec, unit: &Unit) -> Option<String> {
    let to = |quantity: &Quantity| quantity.convert(unit).map(|q| q.value);
    let round = |value: &Number, decimals: u8, way| value.rounded(decimals, way);
    let text = |value: &Number, decimals: u8| shown(&value.to_decimal(decimals), unit);
    Some(match spec {
        Spec::Exactly(value) => {
            let value = to(value)?;
            let decimals = decimals(&value, unit);
            join(&text(&value, decimals), unit, &round(&value, decimals, Rounding::Nearest))
        }
        Spec::AtLeast(value) => limit("at least", &to(value)?, unit, Rounding::Up),
        Spec::AtMost(value) => limit("at most", &to(value)?, unit, Rounding::Down),
        Spec::Between(low, high) => {
            let (low, high) = (to(low)?, to(high)?);
            let decimals = range_decimals(&low, &high, unit);
            let (low, high) = (round(&low, decimals, Rounding::Up), round(&high, decimals, Rounding::Down));
            range(&text(&low, decimals), &text(&high, decimals), unit, &high)
        }
        Spec::Tolerance { value, plus, minus } => {
            let (low, high) = (to(&spec.low()?)?, to(&spec.high()?)?);
            let decimals = range_decimals(&low, &high, unit);
            let middle = round(&to(value)?, decimals, Rounding::Nearest);
            let up = round(&high.checked_sub(&middle)?, decimals, Rounding::Down);
            let down = round(&middle.checked_sub(&low)?, decimals, Rounding::Down);
            if up.is_negative() || down.is_negative() {
                let (low, high) = (round(&low, decimals, Rounding::Up), round(&high, decimals, Rounding::Down));
                return Some(range(&text(&low, decimals), &text(&high, decimals), unit, &high));
            }
            // An even tolerance stays even: the smaller of the two sides is inside both.
            let even = plus == minus;
            let (up, down) = if even { (up.min(down), up.min(down)) } else { (up, down) };
            with_tolerance(&text(&middle, decimals), &text(&up, decimals), &text(&down, decimals), even, unit, &middle)
        }
    })
}

fn limit(words: &str, value: &Number, unit: &Unit, way: Rounding) -> String {
    let decimals = decimals(value, unit);
    let rounded = value.rounded(decimals, way);
    let number = shown(&rounded.to_decimal(decimals), unit);
    format!("{}{SPACE}{}", words.replace(' ', &SPACE.to_string()), join(&number, unit, &rounded))
}

/// Inches keep their noughts, as gauges show them; other units lose them.
fn shown(decimal: &str, unit: &Unit) -> String {
    match unit.known() {
        Some(Known::Inch) => decimal.to_string(),
        _ => trimmed(decimal),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::parse_spec;

    /// Main and other with plain spaces, joined by ` | `, so that the tests can be read.
    fn printed(text: &str, system: System) -> String {
        let printed = print_spec(&parse_spec(text).unwrap_or_else(|e| panic!("{text}: {e}")), system);
        let all = [Some(printed.main), printed.other].into_iter().flatten().collect::<Vec<_>>().join(" | ");
        assert!(!all.replace(" | ", "").contains(' '), "breakable space in {all}");
        all.replace([SPACE, NARROW], " ")
    }

    #[test]
    fn both_units_side_by_side() {
        for (text, expected) in [
            ("90 Nm", "90 N·m | 66.4 lbf·ft"),
            ("80 N·m", "80 N·m | 59 lbf·ft"),
            ("353 N·m", "353 N·m | 260 lbf·ft"),
            ("10 N·m", "10 N·m | 88.5 lbf·in"),
            ("7.5 lbf·ft", "7.5 lbf·ft | 10.2 N·m"),
            ("89 lbf·in", "89 lbf·in | 10.1 N·m"),
            ("5 lbf·in", "5 lbf·in | 0.56 N·m"),
            ("6.8 L", "6.8 L | 7.2 US qt"),
            ("40 L", "40 L | 10.6 US gal"),
            ("100 mL", "100 mL | 3.4 US fl oz"),
            ("1 imp qt", "1 imp qt | 1.14 L"),
            ("0.25 mm", "0.25 mm | 0.0098 in"),
            ("22.4 mm", "22.4 mm | 0.882 in"),
            ("0.05 mm", "0.05 mm | 0.0020 in"),
            ("13/16 in", "13/16 in | 20.64 mm"),
            ("50 km", "50 km | 31 miles"),
            ("50 km/h", "50 km/h | 31 mph"),
            ("2.3 bar", "2.3 bar | 33.4 psi"),
            ("35 psi", "35 psi | 2.41 bar"),
            ("200 bar", "200 bar | 2901 psi"),
            ("14 kg", "14 kg | 30.9 lb"),
            ("22 N", "22 N | 4.9 lbf"),
            ("-37 °C", "−37 °C | −35 °F"),
            ("121 °C", "121 °C | 250 °F"),
            ("15 K", "15 K | 27 °F difference"),
            ("90°", "90°"),
            ("1/6 turn", "1/6 turn"),
            ("20 turns", "20 turns"),
            ("3 h 15 min", "3 h 15 min"),
            ("50 %", "50 %"),
            ("12.6 V", "12.6 V"),
            ("1200 rpm", "1200 rpm"),
            ("5 clicks", "5 clicks"),
            ("2.40 mm", "2.40 mm | 0.094 in"),
        ] {
            assert_eq!(printed(text, System::Both), expected, "{text}");
        }
    }

    #[test]
    fn limits_are_rounded_inwards() {
        for (text, expected) in [
            // 16.226 and 20.652 lbf·ft
            ("22 to 28 N·m", "22 – 28 N·m | 16.3 – 20.6 lbf·ft"),
            // 0.8819 in
            ("at least 22.4 mm", "at least 22.4 mm | at least 0.882 in"),
            // 0.00197 in
            ("at most 0.05 mm", "at most 0.05 mm | at most 0.0019 in"),
            // 18.439, 16.964, 19.914 lbf·ft
            ("25 N·m ± 2", "25 ± 2 N·m | 18.4 ± 1.4 lbf·ft"),
            ("10 N·m + 5 - 3", "10 +5 −3 N·m | 88.5 +44.2 −26.5 lbf·in"),
            // -34.6 °F
            ("-40 to -37 °C", "−40 to −37 °C | −40 to −35 °F"),
            ("80 to 90°", "80 – 90°"),
            ("0 to 5 mm", "0 – 5 mm | 0.000 – 0.196 in"),
            ("-1 to 1 mm", "−1 to 1 mm | −0.039 to 0.039 in"),
            // 0.00098 and 0.00984 in
            ("0.025 to 0.25 mm", "0.025 – 0.25 mm | 0.0010 – 0.0098 in"),
        ] {
            assert_eq!(printed(text, System::Both), expected, "{text}");
        }
    }

    #[test]
    fn one_system_alone() {
        assert_eq!(printed("90 N·m", System::Metric), "90 N·m");
        assert_eq!(printed("90 N·m", System::Us), "66.4 lbf·ft");
        assert_eq!(printed("35 psi", System::Us), "35 psi");
        assert_eq!(printed("35 psi", System::Metric), "2.41 bar");
        assert_eq!(printed("5 imp qt", System::Us), "6 US qt");
        assert_eq!(printed("5 imp qt", System::Metric), "5.68 L");
        assert_eq!(printed("90°", System::Us), "90°");
    }

    #[test]
    fn what_lies_in_a_printed_range_lies_in_the_written_one() {
        // The law behind `limits_are_rounded_inwards`, over many ranges.
        for tenths in 1..400_i64 {
            let text = format!("{}.{} to {}.{} N·m", tenths / 10, tenths % 10, (tenths + 30) / 10, tenths % 10);
            let spec = parse_spec(&text).unwrap();
            let other = print_spec(&spec, System::Both).other.unwrap().replace(NARROW, "").replace('–', " to ");
            let printed = parse_spec(&other).unwrap_or_else(|e| panic!("{other}: {e}"));
            assert!(
                spec.contains(&printed.low().unwrap()) && spec.contains(&printed.high().unwrap()),
                "{text} -> {other}"
            );
        }
    }
}
