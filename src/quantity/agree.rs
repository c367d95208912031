//! One value told in two units: whether both figures can mean the same.

use std::ops::Range;

use super::number::Written;
use super::table::Usage;
use super::{Kind, Known, Number, Quantity, find_quantities};

/// Two figures of one kind that stand for one value and don't agree.
#[derive(Clone, Debug, PartialEq)]
pub struct Disagreement {
    /// Both of them, in bytes of the prose.
    pub range: Range<usize>,
    /// As it stands first.
    pub first: Quantity,
    /// As it stands beside it.
    pub second: Quantity,
    /// The first in the unit of the second, to the digits that the second shows.
    pub truth: String,
}

/// Rounded figures (`110`, `250`) may be off by this much of their value.
const ROUNDED: f64 = 0.01;

/// Every `145 N·m (104 lbf·ft)` in prose whose figures don't agree. Two figures stand for one value where the second
/// follows at once in brackets or after `/` or `=`, and one is metric, the other of inches and pounds.
pub fn disagreements(prose: &str) -> Vec<Disagreement> {
    let found = find_quantities(prose);
    let mut out = Vec::new();
    for pair in found.windows(2) {
        let [(one, first), (two, second)] = pair else { continue };
        if !of_two_systems(first, second) {
            continue;
        }
        let differ = |a: &Quantity, b: &Quantity| agree(a, b) == Some(false);
        let mut ends = vec![(first.clone(), second.clone())];
        let mut start = one.start;
        if !stand_for_one_value(prose, one, two) {
            let Some((from, low, second_low)) = lower_ends(prose, (one, first), (two, second)) else { continue };
            ends.insert(0, (low, second_low));
            start = from;
        }
        if let Some((first, second)) = ends.into_iter().find(|(a, b)| differ(a, b))
            && let Some(truth) = told_in(&first, &second)
        {
            out.push(Disagreement { range: start..two.end, first, second, truth });
        }
    }
    out
}

/// Where two ranges stand for one (`22 to 28 N·m (16 to 21 lbf·ft)`): where the first begins, and the lower ends of both.
fn lower_ends(
    prose: &str,
    (one, first): (&Range<usize>, &Quantity),
    (two, second): (&Range<usize>, &Quantity),
) -> Option<(usize, Quantity, Quantity)> {
    let low_before = |text: &str| -> Option<(usize, Number)> {
        let rest = text.trim_end();
        let rest = rest.strip_suffix("to").or_else(|| rest.strip_suffix(['-', '–']))?.trim_end();
        let start = rest
            .rfind(|c: char| !c.is_ascii_digit() && c != '.')
            .map_or(0, |at| at + rest.get(at..).and_then(|r| r.chars().next()).map_or(1, char::len_utf8));
        Some((start, Number::parse(rest.get(start..)?).ok()?))
    };
    let between = prose.get(one.end..two.start)?;
    let (open, second_low) = low_before(between)?;
    if between.get(..open)?.trim() != "(" || !prose.get(two.end..)?.starts_with([')', ',', ';']) {
        return None;
    }
    let (start, low) = low_before(prose.get(..one.start)?)?;
    Some((start, Quantity::new(low, first.unit.clone()), Quantity::new(second_low, second.unit.clone())))
}

fn stand_for_one_value(prose: &str, one: &Range<usize>, two: &Range<usize>) -> bool {
    let between = prose.get(one.end..two.start).unwrap_or_default().trim();
    let after = prose.get(two.end..).unwrap_or_default().chars().next();
    match between {
        "(" | "[" => matches!(after, None | Some(')' | ']' | ',' | ';')),
        "/" | "=" => true,
        _ => false,
    }
}

fn of_two_systems(first: &Quantity, second: &Quantity) -> bool {
    let system = |quantity: &Quantity| match quantity.unit.usage() {
        Usage::Metric => Some(true),
        Usage::Us | Usage::Imperial => Some(false),
        Usage::Everywhere => None,
    };
    matches!((system(first), system(second)), (Some(a), Some(b)) if a != b)
}

/// Whether two figures can mean one value: either of them, converted, lies within half of the last digit that the other
/// shows, or within a hundredth of a figure that ends in nought. `None` where they measure different things.
pub fn agree(first: &Quantity, second: &Quantity) -> Option<bool> {
    let there = first.convert(&second.unit)?;
    let back = second.convert(&first.unit)?;
    let close = |converted: f64, shown: &Quantity| {
        let value = shown.value.to_f64();
        let rounded = if ends_in_nought(shown) { value.abs() * ROUNDED } else { 0.0 };
        // A little more for what a double loses.
        (converted - value).abs() <= half_of_last_digit(&shown.value).max(rounded) * (1.0 + 1e-9)
    };
    if close(there.value.to_f64(), second) || close(back.value.to_f64(), first) {
        return Some(true);
    }
    // `a rise of 10 °C (18 °F)`: both are steps on the scale.
    let step = |q: &Quantity| q.value.to_f64() * q.unit.factor().to_f64();
    let as_step = first.kind() == Kind::Temperature && close(step(first) / second.unit.factor().to_f64(), second);
    Some(as_step)
}

fn half_of_last_digit(number: &Number) -> f64 {
    match number.written() {
        Written::Decimals(digits) => 0.5 * 10_f64.powi(-i32::from(digits)),
        // A fraction of an inch is meant as it stands, and drills go by sixty-fourths.
        Written::Fraction => 1.0 / 128.0,
        Written::TwoUnits | Written::Computed => 0.5,
    }
}

fn ends_in_nought(quantity: &Quantity) -> bool {
    let value = &quantity.value;
    quantity.kind() != Kind::Temperature
        && value.written() == Written::Decimals(0)
        && !value.is_zero()
        && value.checked_div(&Number::whole(10)).is_some_and(|tenth| tenth.is_whole())
}

/// One quantity in the unit of another, to the digits that the other shows.
fn told_in(quantity: &Quantity, like: &Quantity) -> Option<String> {
    let digits = match like.value.written() {
        Written::Decimals(digits) => digits,
        _ => 1,
    };
    let converted = quantity.convert(&like.unit)?;
    let space = if like.unit.known() == Some(Known::Degree) { "" } else { " " };
    Some(format!("{}{space}{}", converted.value.to_decimal(digits), like.unit.symbol()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn truths(prose: &str) -> Vec<String> {
        disagreements(prose).into_iter().map(|d| d.truth).collect()
    }

    /// Published figures that disagree with themselves (a farm implement manual; an engine cooling page); the truth by the
    /// exact factors of NIST SP 811.
    #[test]
    fn published_figures_that_disagree_are_found() {
        let cases = [
            ("Tighten to 145 N·m (104 ft·lb).", "107 lbf·ft"),
            ("145 Nm (104 lb-ft, dry)", "107 lbf·ft"),
            ("It opens at 125 °C (262 °F).", "257 °F"),
            ("145 N·m / 104 lbf·ft", "107 lbf·ft"),
            ("145 N·m = 104 lbf·ft", "107 lbf·ft"),
            ("104 lbf·ft (145 N·m)", "141 N·m"),
            ("Blow it up to 2.3 bar (43 psi)", "33 psi"),
            ("It holds 6.8 L (8.2 US qt)", "7.2 US qt"),
            ("a gap of 0.25 mm (0.10 in)", "0.01 in"),
            ("It weighs 45 kg (89 lb)", "99 lb"),
            ("22 to 28 N·m (16 to 31 lbf·ft)", "21 lbf·ft"),
            ("81-88 N·m (50-65 lbf·ft)", "60 lbf·ft"),
        ];
        for (prose, truth) in cases {
            assert_eq!(truths(prose), [truth], "{prose}");
        }
    }

    /// Conversions of NIST SP 811, rounded as service literature rounds them.
    #[test]
    fn figures_that_are_rounded_right_are_left_alone() {
        for prose in [
            "145 N·m (107 lbf·ft)",
            "145 N·m (106.9 ft·lb)",
            "90 N·m (66 lbf·ft)",
            "25 N·m (221 lbf·in)",
            "3.5 kgf·m (25 lbf·ft)",
            "150 N·m (110 lbf·ft)",
            "2.3 bar (33 psi)",
            "2 bar (30 psi)",
            "125 °C (257 °F)",
            "a rise of 10 °C (18 °F)",
            "-37 °C (-35 °F)",
            "6.8 L (7.2 US qt)",
            "13 mm (1/2 in)",
            "0.25 mm (0.010 in)",
            "45 kg (99 lb)",
            "Between 10 mm (the short one) and 2 in",
            "20 mm (2 in from the edge)",
            "25 N·m or 30 lbf·ft",
            "10 bar (1000 kPa)",
            "5 min (0.1 h)",
            "22 to 28 N·m (16 to 21 lbf·ft)",
            "81-88 N·m (60-65 lbf·ft)",
            "to 28 N·m (to 21 lbf·ft)",
            "",
        ] {
            assert_eq!(truths(prose), Vec::<String>::new(), "{prose}");
        }
    }

    /// Every conversion that we print agrees with what it was made from.
    #[test]
    fn what_is_converted_and_rounded_agrees() {
        for tenths in 1..3000_i64 {
            for (from, to) in
                [("N·m", "lbf·ft"), ("bar", "psi"), ("mm", "in"), ("L", "US qt"), ("kg", "lb"), ("°C", "°F")]
            {
                let first =
                    crate::quantity::parse_quantity(&format!("{}.{} {from}", tenths / 10, tenths % 10)).unwrap();
                let unit = crate::quantity::parse_quantity(&format!("1 {to}")).unwrap().unit;
                for digits in 0..3 {
                    let text = format!("{} {to}", first.convert(&unit).unwrap().value.to_decimal(digits));
                    let second = crate::quantity::parse_quantity(&text).unwrap();
                    assert_eq!(agree(&first, &second), Some(true), "{first} {second}");
                }
            }
        }
    }
}
