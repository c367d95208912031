//! Torque wrenches: which ranges to have ready, whether one can be used, what to set it to with an extension.
//!
//! Source: ISO 6789:2003 for the range of use from 20 to 100 % of the largest value; the 2017 edition lets the range start at
//! the lowest marked value, which must then be a tested one. The list of ranges is common practice.

use crate::quantity::{Kind, Known, Number, Quantity, Spec};

/// Ranges of wrenches as shops own them, in N·m, each from 20 to 100 % of its largest value.
const RANGES: [(i64, i64); 9] =
    [(1, 5), (2, 10), (5, 25), (10, 50), (20, 100), (40, 200), (80, 400), (150, 750), (300, 1500)];

/// A wrench to have ready.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrench {
    /// Its range, in N·m.
    pub range: Spec,
    /// Which of the torques asked about it is for, by index.
    pub covers: Vec<usize>,
}

/// The wrenches for a job, and what none of them reaches.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Wrenches {
    /// Smallest first, as few as do.
    pub ready: Vec<Wrench>,
    /// Torques below the smallest or above the largest range, by index; quantities that are no torque are not counted.
    pub uncovered: Vec<usize>,
}

/// Whether a wrench can be used for a torque.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// Within 20 to 100 % of the scale, and marked.
    Good,
    /// Marked on the scale but below 20 % of its largest value: only where that part was tested (ISO 6789:2017).
    Low,
    /// Below the lowest value marked.
    TooLow,
    /// Above the largest value.
    TooHigh,
}

/// The fewest ranges that cover the torques, each the smallest that covers its own.
///
/// A torque given as a range counts with both ends where one wrench can cover both.
pub fn wrenches_for(torques: &[Spec]) -> Wrenches {
    let mut left: Vec<(usize, Number, Number)> = Vec::new();
    let mut result = Wrenches::default();
    for (index, torque) in torques.iter().enumerate().filter(|(_, torque)| torque.kind() == Kind::Torque) {
        match ends(torque) {
            Some((low, high)) if reaching(&low, &high).is_some() => left.push((index, low, high)),
            _ => result.uncovered.push(index),
        }
    }
    // Smallest upper end first: the range that starts low enough for it and reaches furthest takes the most others along.
    left.sort_by_key(|(index, _, high)| (*high, *index));
    while let Some((_, low, high)) = left.first().copied() {
        let Some(widest) = RANGES.iter().rfind(|range| covers(range, &low, &high)) else {
            break;
        };
        let (taken, rest): (Vec<_>, Vec<_>) = left.into_iter().partition(|(_, low, high)| covers(widest, low, high));
        left = rest;
        let lowest = taken.iter().map(|t| t.1).min().unwrap_or(low);
        let highest = taken.iter().map(|t| t.2).max().unwrap_or(high);
        let range = reaching(&lowest, &highest).unwrap_or(*widest);
        let mut indexes: Vec<usize> = taken.into_iter().map(|t| t.0).collect();
        indexes.sort_unstable();
        let newton_metres = |n| Quantity::new(Number::whole(n), Known::NewtonMetre);
        let spec = Spec::Between(newton_metres(range.0), newton_metres(range.1));
        result.ready.push(Wrench { range: spec, covers: indexes });
    }
    result
}

/// Whether a wrench marked with `range` can be used for `torque`; `None` where either is no torque or the range is open.
pub fn fit(range: &Spec, torque: &Quantity) -> Option<Fit> {
    if range.kind() != Kind::Torque || torque.kind() != Kind::Torque {
        return None;
    }
    let (low, high, torque) = (range.low()?.to_si(), range.high()?.to_si(), torque.to_si());
    let fifth = high.checked_mul(&Number::from_ratio(1, 5)?)?;
    Some(match torque {
        t if t > high => Fit::TooHigh,
        t if t < low => Fit::TooLow,
        t if t < fifth => Fit::Low,
        _ => Fit::Good,
    })
}

/// How far a setting wrench of this largest value may be off, in per cent: ±6 % up to 10 N·m, ±4 % above (ISO 6789-1:2017,
/// type II, classes A, B and C). `None` where it is no torque.
pub fn tolerance_percent(largest: &Quantity) -> Option<u8> {
    if largest.kind() != Kind::Torque {
        return None;
    }
    Some(if largest.to_si() <= Number::whole(10) { 6 } else { 4 })
}

/// What to set for `torque` at the bolt with an adapter in line with the wrench: T · L / (L + E).
///
/// `length` is from the middle of the grip to the square, `extension` from the square to the bolt, negative when the adapter is
/// turned back. With the adapter at a right angle the setting does not change. Source: FAA AC 43.13-1B par. 7-40. `None`
/// where the kinds are wrong or the bolt would lie at or behind the grip.
pub fn setting_with_extension(torque: &Quantity, length: &Quantity, extension: &Quantity) -> Option<Quantity> {
    if torque.kind() != Kind::Torque || length.kind() != Kind::Length || extension.kind() != Kind::Length {
        return None;
    }
    let (arm, whole) = (length.to_si(), length.to_si().checked_add(&extension.to_si())?);
    if arm <= Number::ZERO || whole <= Number::ZERO {
        return None;
    }
    torque.times(&arm.checked_div(&whole)?)
}

/// Lowest and highest value in N·m that must be within the range.
fn ends(torque: &Spec) -> Option<(Number, Number)> {
    // A wrench is set to the value aimed at; the tolerance around it is not set.
    if let Some(target) = torque.target() {
        return Some((target.to_si(), target.to_si()));
    }
    let (low, high) = (torque.low().map(|q| q.to_si()), torque.high().map(|q| q.to_si()));
    match (low, high) {
        (Some(low), Some(high)) => Some((low, high)),
        (Some(one), None) | (None, Some(one)) => Some((one, one)),
        (None, None) => None,
    }
}

fn covers(range: &(i64, i64), low: &Number, high: &Number) -> bool {
    Number::whole(range.0) <= *low && *high <= Number::whole(range.1)
}

/// The smallest range that covers both.
fn reaching(low: &Number, high: &Number) -> Option<(i64, i64)> {
    RANGES.iter().copied().find(|range| covers(range, low, high))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{parse_quantity, parse_spec};

    fn quantity(text: &str) -> Quantity {
        parse_quantity(text).unwrap()
    }

    fn ready(torques: &[&str]) -> (Vec<String>, Vec<usize>) {
        let specs: Vec<Spec> = torques.iter().map(|t| parse_spec(t).unwrap()).collect();
        let wrenches = wrenches_for(&specs);
        (wrenches.ready.iter().map(|w| w.range.to_string()).collect(), wrenches.uncovered)
    }

    /// The 20 to 100 % rule of ISO 6789:2003.
    #[test]
    fn whether_a_wrench_fits() {
        for (range, torque, expected) in [
            ("40 to 200 N·m", "90 N·m", Fit::Good),
            ("40 to 200 N·m", "210 N·m", Fit::TooHigh),
            ("5 to 25 N·m", "5 N·m", Fit::Good),
            ("20 to 100 N·m", "100 N·m", Fit::Good),
            ("2 to 10 N·m", "8 N·m", Fit::Good),
            ("10 to 100 N·m", "12 N·m", Fit::Low),
            ("40 to 200 N·m", "30 N·m", Fit::TooLow),
            ("40 to 200 N·m", "66 lbf·ft", Fit::Good),
        ] {
            assert_eq!(fit(&parse_spec(range).unwrap(), &quantity(torque)), Some(expected), "{range} {torque}");
        }
        assert_eq!(fit(&parse_spec("0 to 150 mm").unwrap(), &quantity("90 N·m")), None);
    }

    /// ISO 6789-1:2017: 8 N·m on a wrench to 10 N·m may be 7.52 to 8.48.
    #[test]
    fn tolerances() {
        assert_eq!(tolerance_percent(&quantity("10 N·m")), Some(6));
        assert_eq!(tolerance_percent(&quantity("25 N·m")), Some(4));
        assert_eq!(tolerance_percent(&quantity("25 mm")), None);
        let spec = parse_spec("8 N·m ± 6 %").unwrap();
        assert_eq!(spec.low().unwrap(), quantity("7.52 N·m"));
        assert_eq!(spec.high().unwrap(), quantity("8.48 N·m"));
    }

    /// Worked examples of FAA AC 43.13-1B and of service manuals after it; half of the last digit printed.
    #[test]
    fn settings_with_an_extension() {
        for (torque, length, extension, expected, half) in [
            ("300 lbf·in", "10 in", "4 in", 214.0, 0.5),
            ("100 lbf·in", "12 in", "6 in", 66.67, 0.005),
            ("135 lbf·in", "10 in", "1.5 in", 117.39, 0.005),
            ("30 lbf·ft", "1 ft", "0.25 ft", 24.0, 1e-9),
            ("20 lbf·ft", "14 in", "3 in", 16.47, 0.005),
            ("30 lbf·ft", "12 in", "6 in", 20.0, 1e-9),
            ("130 N·m", "500 mm", "150 mm", 100.0, 1e-9),
            ("90 N·m", "500 mm", "0 mm", 90.0, 1e-9),
        ] {
            let got = setting_with_extension(&quantity(torque), &quantity(length), &quantity(extension)).unwrap();
            assert!((got.value.to_f64() - expected).abs() <= half, "{torque} {length} {extension}: {}", got.value);
        }
        let back = setting_with_extension(&quantity("90 N·m"), &quantity("500 mm"), &quantity("-50 mm")).unwrap();
        assert_eq!(back, quantity("100 N·m"));
        assert_eq!(setting_with_extension(&quantity("90 N·m"), &quantity("50 mm"), &quantity("-50 mm")), None);
    }

    #[test]
    fn as_few_ranges_as_do() {
        let both = |ranges: &[&str]| (ranges.iter().map(|r| (*r).to_string()).collect::<Vec<_>>(), Vec::new());
        assert_eq!(ready(&[]), both(&[]));
        assert_eq!(ready(&["42 N·m", "12 N·m", "24 N·m"]), both(&["10 to 50 N·m"]));
        assert_eq!(ready(&["5 N·m", "12 N·m", "80 N·m", "95 N·m"]), both(&["5 to 25 N·m", "20 to 100 N·m"]));
        assert_eq!(ready(&["22 to 28 N·m"]), both(&["10 to 50 N·m"]));
        assert_eq!(ready(&["353 N·m", "10 N·m"]), both(&["2 to 10 N·m", "80 to 400 N·m"]));
        assert_eq!(ready(&["66 lbf·ft"]), both(&["20 to 100 N·m"]));
    }

    #[test]
    fn what_no_wrench_reaches_is_said() {
        assert_eq!(ready(&["0.4 N·m", "25 N·m", "4000 N·m"]), (vec!["5 to 25 N·m".to_string()], vec![0, 2]));
        assert_eq!(ready(&["1 to 1000 N·m"]).1, [0]);
        assert_eq!(ready(&["90°"]), (vec![], vec![]));
    }

    /// Every torque is covered by the range it is given, by the rule itself.
    #[test]
    fn ranges_keep_the_rule() {
        let texts: Vec<String> = (1..300).map(|n| format!("{} N·m", n * n % 997 + 1)).collect();
        let specs: Vec<Spec> = texts.iter().map(|t| parse_spec(t).unwrap()).collect();
        let wrenches = wrenches_for(&specs);
        let mut seen = vec![false; specs.len()];
        for wrench in &wrenches.ready {
            for index in &wrench.covers {
                assert_eq!(fit(&wrench.range, specs[*index].target().unwrap()), Some(Fit::Good));
                seen[*index] = true;
            }
        }
        assert!(seen.into_iter().all(|s| s) && wrenches.uncovered.is_empty() && wrenches.ready.len() <= 5);
    }
}
