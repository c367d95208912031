//! Tightening in passes: which share of the final torque each takes.

use crate::quantity::{Kind, Number, Quantity, Rounding, Spec};

/// In how many passes, and whether one goes round at the end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct InPasses {
    /// How many, the one at full torque included.
    pub count: u32,
    /// After them once round at full torque, one beside the other, until none turns.
    pub round: bool,
}

/// Most passes that are worked out.
pub const MOST_PASSES: u32 = 6;

/// The shares of the final torque, in percent, of a tightening in `count` passes; `None` for none and for more than
/// [`MOST_PASSES`].
///
/// Three: 30, 70, 100, the form ASME PCC-1 (2010) table 2 takes in practice; the table itself gives 20 to 30, 50 to 70, 100,
/// then 100 round the circle until no nut turns. Other counts: even steps, common practice.
pub fn shares(count: u32) -> Option<Vec<u32>> {
    match count {
        3 => Some(vec![30, 70, 100]),
        1..=MOST_PASSES => Some((1..=count).map(|pass| 100 * pass / count).collect()),
        _ => None,
    }
}

/// So many percent of a torque, down to what a wrench shows, so that no pass takes more than it may: steps of 10 from 500 of
/// the unit up, 5 from 100, 1 from 10, 0.5 from 2, 0.1 from 1, 0.05 from 0.2,
/// 0.01 below. The whole is not rounded. `None` where it is no
/// torque, or `percent` is not above 0 and at most 100.
pub fn share_of(torque: &Quantity, percent: &Number) -> Option<Quantity> {
    let hundred = Number::whole(100);
    if torque.kind() != Kind::Torque || percent.is_negative() || percent.is_zero() || *percent > hundred {
        return None;
    }
    if *percent == hundred {
        return Some(torque.clone());
    }
    let exact = torque.value.checked_mul(percent)?.checked_div(&hundred)?;
    let (numerator, denominator) = match exact.to_f64() {
        value if value >= 500.0 => (10, 1),
        value if value >= 100.0 => (5, 1),
        value if value >= 10.0 => (1, 1),
        value if value >= 2.0 => (1, 2),
        value if value >= 1.0 => (1, 10),
        value if value >= 0.2 => (1, 20),
        _ => (1, 100),
    };
    let step = Number::from_ratio(numerator, denominator)?;
    let shown = exact.rounded_to_step(&step, Rounding::Down).filter(|shown| !shown.is_zero()).unwrap_or(exact);
    Some(Quantity::new(shown, torque.unit.clone()))
}

/// The passes in which a torque is reached: the percentage and the value of each, the last one as it is stated. Of a range or a
/// limit the lower end is shared out. `None` where it is no torque, or so many passes are not worked out.
pub fn worked(torque: &Spec, count: u32) -> Option<Vec<(u32, Spec)>> {
    shares(count)?
        .into_iter()
        .map(|percent| Some((percent, part_of(torque, &Number::whole(percent.into()))?)))
        .collect()
}

/// So many percent of a torque, see [`share_of`]; the whole of it is the torque as it is stated.
pub fn part_of(torque: &Spec, percent: &Number) -> Option<Spec> {
    if torque.kind() == Kind::Torque && *percent == Number::whole(100) {
        return Some(torque.clone());
    }
    share_of(&aim(torque)?, percent).map(Spec::Exactly)
}

/// What a share is taken of: the value aimed at, of a range or limit its lower end.
pub fn aim(torque: &Spec) -> Option<Quantity> {
    torque.target().cloned().or_else(|| torque.low()).or_else(|| torque.high())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::parse_quantity;

    fn worked(torque: &str, count: u32) -> Vec<String> {
        let torque = crate::quantity::parse_spec(torque).unwrap();
        super::worked(&torque, count).unwrap().into_iter().map(|(_, value)| value.to_string()).collect()
    }

    /// ASME PCC-1 table 2: the first pass takes 20 to 30 %, the second 50 to 70 %, the third all of it. The bands are as
    /// given; no rounding may lead out of them.
    #[test]
    fn three_passes_stay_in_the_bands_of_asme_pcc_1() {
        for unit in ["N·m", "lbf·ft", "lbf·in"] {
            for tenths in (2..=2_000).chain((2_000..=20_000).step_by(37)) {
                let torque = Quantity::new(
                    Number::from_ratio(tenths, 10).unwrap(),
                    parse_quantity(&format!("1 {unit}")).unwrap().unit,
                );
                let percent = |of: u32| {
                    let share = share_of(&torque, &Number::whole(of.into())).unwrap();
                    share.over(&torque).unwrap().to_f64() * 100.0
                };
                let [first, second, third] = shares(3).unwrap()[..] else { panic!("three") };
                assert!((20.0..=30.0).contains(&percent(first)), "{torque}: {}", percent(first));
                assert!((50.0..=70.0).contains(&percent(second)), "{torque}: {}", percent(second));
                assert_eq!(percent(third), 100.0);
            }
        }
    }

    #[test]
    fn passes_are_what_a_wrench_shows() {
        assert_eq!(worked("90 N·m", 3), ["27 N·m", "63 N·m", "90 N·m"]);
        assert_eq!(worked("24 N·m", 3), ["7 N·m", "16 N·m", "24 N·m"]);
        assert_eq!(worked("450 N·m", 3), ["135 N·m", "315 N·m", "450 N·m"]);
        assert_eq!(worked("22.5 N·m", 2), ["11 N·m", "22.5 N·m"]);
        assert_eq!(worked("66 lbf·ft", 4), ["16 lbf·ft", "33 lbf·ft", "49 lbf·ft", "66 lbf·ft"]);
        assert_eq!(worked("90 N·m", 1), ["90 N·m"]);
        assert_eq!(worked("40 to 48 N·m", 2), ["20 N·m", "40 to 48 N·m"]);
    }

    #[test]
    fn what_is_no_pass_is_none() {
        assert_eq!((shares(0), shares(MOST_PASSES + 1)), (None, None));
        for count in 1..=MOST_PASSES {
            let shares = shares(count).unwrap();
            assert_eq!((shares.len() as u32, shares.last()), (count, Some(&100)));
            assert!(shares.windows(2).all(|two| two[0] < two[1]));
        }
        let torque = parse_quantity("90 N·m").unwrap();
        for percent in [0, -5, 101] {
            assert_eq!(share_of(&torque, &Number::whole(percent)), None, "{percent}");
        }
        assert_eq!(share_of(&parse_quantity("90 mm").unwrap(), &Number::whole(50)), None);
    }
}
