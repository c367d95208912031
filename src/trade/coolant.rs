//! Coolant: how much concentrate and water, at which temperature it freezes, how to change the mix.

use crate::quantity::{Kind, Known, Number, Quantity};

/// What a coolant is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Glycol {
    /// Inhibited ethylene glycol.
    Ethylene,
    /// Inhibited propylene glycol.
    Propylene,
}

/// Per cent by volume and freezing point in °C: ASHRAE Handbook Fundamentals (2009) ch. 31 table 4; pure water; and 60 %
/// from the ASHRAE data by volume in CoolProp 8.0.0 (AEG).
const ETHYLENE: [(f64, f64); 9] = [
    (0.0, 0.0),
    (8.9, -3.2),
    (18.1, -7.8),
    (22.9, -10.7),
    (32.6, -17.9),
    (37.5, -22.3),
    (47.6, -33.8),
    (52.7, -41.1),
    (60.0, -52.0),
];

/// The same of table 5.
const PROPYLENE: [(f64, f64); 8] =
    [(0.0, 0.0), (14.5, -5.1), (19.4, -7.1), (29.4, -12.7), (34.4, -16.4), (44.7, -26.7), (49.9, -33.5), (60.0, -51.1)];

/// What is poured together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mix {
    /// Undiluted coolant.
    pub concentrate: Quantity,
    /// Distilled or deionised water.
    pub water: Quantity,
}

/// Concentrate and water for `total` of a mix, both in the unit of `total`; exact.
///
/// `concentrate` is a percentage by volume from 0 to 100 %. `None` where the arguments are of other kinds or outside.
/// That volumes shrink a little when mixed (under 1 %) is left out, as everywhere in the trade.
pub fn mix(total: &Quantity, concentrate: &Quantity) -> Option<Mix> {
    let part = fraction(concentrate)?;
    if total.kind() != Kind::Volume {
        return None;
    }
    let concentrate = total.times(&part)?;
    let water = total.minus(&concentrate)?;
    Some(Mix { concentrate, water })
}

/// How much to drain, and to replace by coolant of the percentage `with`, so that a system of `capacity` goes from
/// `from` to `to`.
///
/// The mixture rule of any textbook of algebra: D = V (c1 − c0) / (c2 − c0). `None` where `to` does not lie between `from` and
/// `with`: then no amount does it.
pub fn drain_and_replace(capacity: &Quantity, from: &Quantity, to: &Quantity, with: &Quantity) -> Option<Quantity> {
    let (from, to, with) = (fraction(from)?, fraction(to)?, fraction(with)?);
    if capacity.kind() != Kind::Volume {
        return None;
    }
    let part = to.checked_sub(&from)?.checked_div(&with.checked_sub(&from)?)?;
    if part.is_negative() || part > Number::ONE {
        return None;
    }
    capacity.times(&part)
}

/// Freezing point in °C of a mix of `percent` by volume, 0 to 60; `None` outside the tables.
///
/// Read from the table of ASHRAE Fundamentals by the parabola through the three nearest rows.
pub fn freezing_point(glycol: Glycol, percent: f64) -> Option<f64> {
    let table = table(glycol);
    let last = table.last()?;
    if !(0.0..=last.0).contains(&percent) {
        return None;
    }
    let above = table.iter().position(|(p, _)| *p >= percent)?;
    let upper = table.get(above)?;
    if above == 0 {
        return Some(upper.1);
    }
    // Of the two possible third rows, the one nearer to what is asked for.
    let lower_gap = above.checked_sub(2).and_then(|i| table.get(i)).map_or(f64::INFINITY, |row| percent - row.0);
    let upper_gap = table.get(above + 1).map_or(f64::INFINITY, |row| row.0 - percent);
    let start = if lower_gap <= upper_gap { above.saturating_sub(2) } else { above - 1 };
    let rows = table.get(start..start + 3)?;
    let mut sum = 0.0;
    for (i, (x, y)) in rows.iter().enumerate() {
        let others = rows.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, (other, _))| other);
        sum += y * others.map(|other| (percent - other) / (x - other)).product::<f64>();
    }
    Some(sum)
}

/// The percentage by volume that does not freeze at `celsius`; `None` where the tables do not reach.
pub fn percent_for(glycol: Glycol, celsius: f64) -> Option<f64> {
    if !celsius.is_finite() || celsius > 0.0 {
        return None;
    }
    let (mut low, mut high) = (0.0, table(glycol).last()?.0);
    if freezing_point(glycol, high)? > celsius {
        return None;
    }
    // Halving: the freezing point falls all the way, and 50 halvings leave less than any table shows.
    for _ in 0..50 {
        let middle = (low + high) / 2.0;
        if freezing_point(glycol, middle)? > celsius { low = middle } else { high = middle }
    }
    Some(high)
}

/// The freezing point of a mix as a temperature, to a tenth of a degree; `None` outside the tables or for no percentage.
pub fn freezing_temperature(glycol: Glycol, concentrate: &Quantity) -> Option<Quantity> {
    let percent = fraction(concentrate)?.to_f64() * 100.0;
    let tenths = (freezing_point(glycol, percent)? * 10.0).round() as i128;
    Some(Quantity::new(Number::from_ratio(tenths, 10)?, Known::Celsius))
}

fn table(glycol: Glycol) -> &'static [(f64, f64)] {
    match glycol {
        Glycol::Ethylene => &ETHYLENE,
        Glycol::Propylene => &PROPYLENE,
    }
}

/// A percentage from 0 to 100 % as a part of one.
fn fraction(percentage: &Quantity) -> Option<Number> {
    let part = percentage.to_si();
    (percentage.kind() == Kind::Ratio && !part.is_negative() && part <= Number::ONE).then_some(part)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::parse_quantity;

    fn quantity(text: &str) -> Quantity {
        parse_quantity(text).unwrap()
    }

    /// CoolProp 8.0.0, ASHRAE data by volume (AEG and APG): ±0.3 °C, of which 0.2 °C is the agreement of that library with the
    /// printed tables.
    #[test]
    fn freezing_points_between_the_rows() {
        for (percent, ethylene, propylene) in [
            (15.0, -6.2, -5.2),
            (20.0, -9.0, -7.4),
            (30.0, -15.7, -13.1),
            (33.0, -18.1, -15.3),
            (40.0, -24.8, -21.5),
            (45.0, -30.5, -27.0),
            (55.0, -44.4, -41.6),
            (60.0, -52.0, -51.1),
        ] {
            for (glycol, expected) in [(Glycol::Ethylene, ethylene), (Glycol::Propylene, propylene)] {
                let got = freezing_point(glycol, percent).unwrap();
                assert!((got - expected).abs() <= 0.3, "{glycol:?} {percent} %: {got}, not {expected}");
            }
        }
    }

    /// Published tables by volume: an engine maker's coolant page (ethylene), Lange's Handbook of Chemistry, 15th ed., table
    /// 5.13 (propylene; it lies up to 1.4 °C above the ASHRAE data).
    #[test]
    fn freezing_points_published_elsewhere() {
        for (glycol, percent, expected, tolerance) in [
            (Glycol::Ethylene, 40.0, -24.0, 1.0),
            (Glycol::Ethylene, 60.0, -52.0, 1.0),
            (Glycol::Propylene, 40.0, -21.0, 1.0),
            (Glycol::Propylene, 10.0, -2.2, 1.4),
            (Glycol::Propylene, 30.0, -12.8, 1.4),
            (Glycol::Propylene, 40.0, -20.6, 1.4),
            (Glycol::Propylene, 50.0, -33.3, 1.4),
        ] {
            let got = freezing_point(glycol, percent).unwrap();
            assert!((got - expected).abs() <= tolerance, "{glycol:?} {percent} %: {got}, not {expected}");
        }
    }

    #[test]
    fn more_coolant_never_freezes_sooner() {
        for glycol in [Glycol::Ethylene, Glycol::Propylene] {
            let mut last = 1.0;
            for tenths in 0..=600 {
                let got = freezing_point(glycol, f64::from(tenths) / 10.0).unwrap();
                assert!(got < last, "{glycol:?} at {tenths} tenths");
                last = got;
            }
            for outside in [-0.1, 60.1, f64::NAN, f64::INFINITY] {
                assert_eq!(freezing_point(glycol, outside), None);
            }
        }
    }

    #[test]
    fn percentage_for_a_temperature_is_the_way_back() {
        for glycol in [Glycol::Ethylene, Glycol::Propylene] {
            for celsius in [-1.0, -10.0, -24.0, -37.0, -50.0] {
                let percent = percent_for(glycol, celsius).unwrap();
                assert!((freezing_point(glycol, percent).unwrap() - celsius).abs() < 1e-6);
            }
            assert_eq!(percent_for(glycol, -60.0), None);
            assert_eq!(percent_for(glycol, 5.0), None);
        }
        assert_eq!(freezing_temperature(Glycol::Ethylene, &quantity("47.6 %")), Some(quantity("-33.8 °C")));
    }

    #[test]
    fn concentrate_and_water_add_up() {
        let mix = mix(&quantity("9.4 L"), &quantity("40 %")).unwrap();
        assert_eq!((mix.concentrate, mix.water), (quantity("3.76 L"), quantity("5.64 L")));
        assert_eq!(super::mix(&quantity("9.4 L"), &quantity("140 %")), None);
        assert_eq!(super::mix(&quantity("9.4 kg"), &quantity("40 %")), None);
    }

    /// Mixture problems of published textbooks of algebra (the last but one computed): exact.
    #[test]
    fn drain_and_replace_of_the_textbooks() {
        for (capacity, from, to, with, drain) in [
            ("20 US qt", "55 %", "70 %", "80 %", "12 US qt"),
            ("3.6 L", "60 %", "50 %", "0 %", "0.6 L"),
            ("10 US qt", "30 %", "65 %", "100 %", "5 US qt"),
            ("16 L", "52 %", "70 %", "100 %", "6 L"),
            ("18 L", "10 %", "40 %", "100 %", "6 L"),
        ] {
            let got = drain_and_replace(&quantity(capacity), &quantity(from), &quantity(to), &quantity(with));
            assert_eq!(got, Some(quantity(drain)), "{capacity} from {from} to {to}");
        }
        let computed = drain_and_replace(&quantity("7.5 L"), &quantity("35 %"), &quantity("50 %"), &quantity("100 %"));
        assert!((computed.unwrap().value.to_f64() - 1.7308).abs() < 0.000_05);
        let whole = drain_and_replace(&quantity("7.5 L"), &quantity("35 %"), &quantity("50 %"), &quantity("50 %"));
        assert_eq!(whole, Some(quantity("7.5 L")), "with the right premix all is drained");
        let impossible = drain_and_replace(&quantity("7.5 L"), &quantity("35 %"), &quantity("50 %"), &quantity("45 %"));
        assert_eq!(impossible, None);
    }
}
