//! Torque wrenches: which ranges to have ready, whether one can be used, how far it may be off, what to set it to with a
//! crow-foot.
//!
//! Source: ISO 6789:2003 for the range of use from 20 to 100 % of the largest value. The list of ranges is common practice.

mod adapter;
mod deviation;
mod range;

pub use adapter::{Arm, Doubt};
pub use deviation::{Claim, Class, Type, band, judge};
pub use range::{Fit, choose, choose_for_all, fit, is_wrench, lowest_mark, nearest, on_scale, percent_of_scale, reach};

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
    use crate::quantity::parse_spec;

    fn ready(torques: &[&str]) -> (Vec<String>, Vec<usize>) {
        let specs: Vec<Spec> = torques.iter().map(|t| parse_spec(t).unwrap()).collect();
        let wrenches = wrenches_for(&specs);
        (wrenches.ready.iter().map(|w| w.range.to_string()).collect(), wrenches.uncovered)
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
