//! Which torques a wrench can be set to, and which of several wrenches to take.
//!
//! Source: ISO 6789:2003, used from 20 to 100 % of the largest value; ISO 6789-1:2017, used from the lowest value marked,
//! which must then be tested. Taking the smallest wrench that will do is common practice: its scale is the finest.

use crate::quantity::{Kind, Number, Quantity, Rounding, Spec};

/// Whether a wrench can be used for a torque.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// Within 20 to 100 % of the scale, and marked.
    Good,
    /// Marked on the scale but below 20 % of its largest value: only where that part was tested (ISO 6789-1:2017).
    Low,
    /// Below the lowest value marked.
    TooLow,
    /// Above the largest value.
    TooHigh,
}

impl Fit {
    /// Whether the wrench may be used by the edition of 2003: 20 to 100 % of the largest value.
    #[must_use]
    pub fn by_2003(self) -> bool {
        self == Self::Good
    }

    /// Whether it may be used by the edition of 2017: anywhere on the marked scale.
    #[must_use]
    pub fn by_2017(self) -> bool {
        matches!(self, Self::Good | Self::Low)
    }

    /// A fixed word for scripts.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Good => "ok",
            Self::Low => "low",
            Self::TooLow => "too-low",
            Self::TooHigh => "too-high",
        }
    }
}

/// Whether a wrench marked with `range` can be used for `torque`; `None` where either is no torque or the range is open.
#[must_use]
pub fn fit(range: &Spec, torque: &Quantity) -> Option<Fit> {
    reach(range, &Spec::Exactly(torque.clone()))
}

/// Whether some value that the torque allows can be set: of `81 to 88 N·m` any, of `25 N·m ± 2` the 25, of `at least 40 N·m`
/// what is not below. `None` where either is no torque or the range of the wrench is open.
#[must_use]
pub fn reach(range: &Spec, torque: &Spec) -> Option<Fit> {
    if range.kind() != Kind::Torque || torque.kind() != Kind::Torque {
        return None;
    }
    let largest = range.high()?.to_si();
    let fifth = largest.checked_mul(&Number::from_ratio(1, 5)?)?;
    let mark = lowest_mark(range).map_or(fifth, |mark| mark.to_si());
    // A wrench is set to the value aimed at; the tolerance around it is not set.
    let (low, high) = match torque.target() {
        Some(target) => (Some(target.to_si()), Some(target.to_si())),
        None => (torque.low().map(|q| q.to_si()), torque.high().map(|q| q.to_si())),
    };
    Some(match (low, high) {
        (Some(low), _) if low > largest => Fit::TooHigh,
        (_, Some(high)) if high < mark => Fit::TooLow,
        (_, Some(high)) if high < fifth => Fit::Low,
        _ => Fit::Good,
    })
}

/// The lowest value marked; `None` where only the end of the scale is stated (`range 100 N·m`), which then starts at a fifth.
#[must_use]
pub fn lowest_mark(range: &Spec) -> Option<Quantity> {
    match range {
        Spec::Exactly(_) | Spec::AtMost(_) => None,
        Spec::Between(..) | Spec::Tolerance { .. } | Spec::AtLeast(_) => range.low(),
    }
}

/// The torque as a share of the largest value of the wrench, in per cent.
#[must_use]
pub fn percent_of_scale(range: &Spec, torque: &Quantity) -> Option<Number> {
    if range.kind() != Kind::Torque || torque.kind() != Kind::Torque {
        return None;
    }
    torque.to_si().checked_div(&range.high()?.to_si())?.checked_mul(&Number::whole(100))
}

/// Which of the wrenches to take, by index: the smallest on which the torque lies within 20 to 100 %, else the smallest that
/// has it marked. `None` where none has it.
#[must_use]
pub fn choose(ranges: &[&Spec], torque: &Spec) -> Option<usize> {
    choose_for_all(ranges, &[torque])
}

/// Which one wrench to take for all stages of one recipe; see [`choose`].
#[must_use]
pub fn choose_for_all(ranges: &[&Spec], torques: &[&Spec]) -> Option<usize> {
    let best = |allowed: &dyn Fn(Fit) -> bool| {
        let fits = |range: &Spec| torques.iter().all(|torque| reach(range, torque).is_some_and(allowed));
        let fitting = ranges.iter().enumerate().filter(|(_, range)| fits(range));
        fitting.min_by_key(|(index, range)| (range.high().map(|q| q.to_si()), *index)).map(|(index, _)| index)
    };
    best(&Fit::by_2003).or_else(|| best(&Fit::by_2017))
}

/// The wrench that comes nearest to a torque that none has: by ratio, since scales grow by factors.
#[must_use]
pub fn nearest(ranges: &[&Spec], torque: &Spec) -> Option<usize> {
    let asked = torque.target().cloned().or_else(|| torque.low()).or_else(|| torque.high())?.to_si().to_f64();
    let distance = |range: &Spec| -> Option<f64> {
        let high = range.high()?.to_si().to_f64();
        let low = lowest_mark(range).map_or(high / 5.0, |mark| mark.to_si().to_f64());
        let far = if asked > high { asked / high } else { low / asked };
        far.is_finite().then_some(far)
    };
    let all = ranges.iter().enumerate().filter_map(|(index, range)| Some((index, distance(range)?)));
    all.min_by(|(_, a), (_, b)| a.total_cmp(b)).map(|(index, _)| index)
}

/// Whether a tool with a range of torque is a wrench and not a gauge that only reads (a drag gauge, a torque meter).
#[must_use]
pub fn is_wrench(name: &str, range: &Spec) -> bool {
    const WRENCHES: [&str; 6] = ["wrench", "driver", "spanner", "ratchet", "torque key", "torque handle"];
    const READERS: [&str; 7] = ["gauge", "gage", "meter", "tester", "balance", "scale", "dial"];
    let name = name.to_lowercase();
    let says = |words: &[&str]| words.iter().any(|word| name.contains(word));
    range.kind() == Kind::Torque && range.high().is_some() && (says(&WRENCHES) || !says(&READERS))
}

/// Rounded to three significant digits, which is as fine as a scale shows.
#[must_use]
pub fn on_scale(value: &Quantity, way: Rounding) -> Quantity {
    let size = value.value.to_f64().abs();
    let decimals = match size {
        s if s >= 100.0 => 0,
        s if s >= 10.0 => 1,
        s if s >= 1.0 => 2,
        _ => 3,
    };
    // 80.0 is written 80, 79.4 stays 79.4.
    let rounded = value.value.rounded(decimals, way);
    let needed = rounded.decimals_needed().unwrap_or(decimals);
    Quantity { value: rounded.rounded(needed.min(decimals), Rounding::Nearest), unit: value.unit.clone() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{parse_quantity, parse_spec};

    fn quantity(text: &str) -> Quantity {
        parse_quantity(text).unwrap()
    }

    fn spec(text: &str) -> Spec {
        parse_spec(text).unwrap()
    }

    /// The rule of ISO 6789:2003, 20 to 100 % of the largest value, and the start of the range by ISO 6789-1:2017; exact.
    #[test]
    fn whether_a_wrench_fits() {
        for (range, torque, expected, percent) in [
            ("40 to 200 N·m", "90 N·m", Fit::Good, 45.0),
            ("40 to 200 N·m", "210 N·m", Fit::TooHigh, 105.0),
            ("5 to 25 N·m", "5 N·m", Fit::Good, 20.0),
            ("20 to 100 N·m", "100 N·m", Fit::Good, 100.0),
            ("2 to 10 N·m", "8 N·m", Fit::Good, 80.0),
            ("10 to 100 N·m", "12 N·m", Fit::Low, 12.0),
            ("40 to 200 N·m", "30 N·m", Fit::TooLow, 15.0),
            // Only the end is stated: the scale starts at a fifth.
            ("100 N·m", "90 N·m", Fit::Good, 90.0),
            ("at most 100 N·m", "19 N·m", Fit::TooLow, 19.0),
            // The mark is above a fifth of the scale: it counts.
            ("60 to 200 N·m", "50 N·m", Fit::TooLow, 25.0),
        ] {
            let (range, torque) = (spec(range), quantity(torque));
            assert_eq!(fit(&range, &torque), Some(expected), "{range} {torque}");
            assert_eq!(percent_of_scale(&range, &torque).unwrap().to_f64(), percent, "{range} {torque}");
        }
        assert_eq!(fit(&spec("40 to 200 N·m"), &quantity("66 lbf·ft")), Some(Fit::Good));
        assert_eq!(fit(&spec("0 to 150 mm"), &quantity("90 N·m")), None);
        let low = fit(&spec("10 to 100 N·m"), &quantity("12 N·m")).unwrap();
        assert!(low.by_2017() && !low.by_2003());
    }

    #[test]
    fn a_torque_with_room_fits_where_any_of_it_can_be_set() {
        let range = spec("5 to 25 N·m");
        for (torque, expected) in [
            ("22 to 28 N·m", Fit::Good),
            ("26 to 28 N·m", Fit::TooHigh),
            ("3 to 4 N·m", Fit::TooLow),
            ("25 N·m ± 2", Fit::Good),
            ("26 N·m ± 2", Fit::TooHigh),
            ("at least 20 N·m", Fit::Good),
            ("at least 40 N·m", Fit::TooHigh),
            ("at most 60 N·m", Fit::Good),
            ("at most 3 N·m", Fit::TooLow),
        ] {
            assert_eq!(reach(&range, &spec(torque)), Some(expected), "{torque}");
        }
    }

    #[test]
    fn the_smallest_that_will_do_is_taken() {
        let owned = ["5 to 25 N·m", "20 to 100 N·m", "40 to 200 N·m", "10 to 100 N·m"].map(spec);
        let owned: Vec<&Spec> = owned.iter().collect();
        for (torque, expected) in
            [("9 N·m", Some(0)), ("25 N·m", Some(0)), ("60 N·m", Some(1)), ("150 N·m", Some(2)), ("3 N·m", None)]
        {
            assert_eq!(choose(&owned, &spec(torque)), expected, "{torque}");
        }
        // What has it only in the lowest fifth comes second.
        assert_eq!(choose(&owned[1..], &spec("12 N·m")), Some(2));
        assert_eq!(choose_for_all(&owned, &[&spec("10 N·m"), &spec("24 N·m")]), Some(0));
        assert_eq!(choose_for_all(&owned, &[&spec("25 N·m"), &spec("90 N·m")]), Some(1));
        assert_eq!(choose_for_all(&owned, &[&spec("5 N·m"), &spec("150 N·m")]), None);
        assert_eq!(nearest(&owned, &spec("3 N·m")), Some(0));
        assert_eq!(nearest(&owned, &spec("353 N·m")), Some(2));
        assert_eq!(nearest(&[], &spec("3 N·m")), None);
    }

    #[test]
    fn gauges_are_no_wrenches() {
        for (name, is) in [
            ("torque wrench 5-25", true),
            ("dial torque wrench", true),
            ("torque screwdriver", true),
            ("click tool", true),
            ("drag gauge", false),
            ("torque meter", false),
        ] {
            assert_eq!(is_wrench(name, &spec("1 to 5 N·m")), is, "{name}");
        }
        assert!(!is_wrench("torque wrench", &spec("0 to 150 mm")));
    }

    #[test]
    fn a_scale_shows_three_digits() {
        for (exact, shown) in
            [("79.41 N·m", "79.4 N·m"), ("214.3 lbf·in", "214 lbf·in"), ("80 N·m", "80 N·m"), ("8.333 N·m", "8.33 N·m")]
        {
            assert_eq!(on_scale(&quantity(exact), Rounding::Nearest).to_string(), shown);
        }
    }
}
