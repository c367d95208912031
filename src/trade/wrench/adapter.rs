//! What to set a torque wrench to with a crow-foot or another adapter that moves the bolt away from the square.
//!
//! Source: FAA AC 43.13-1B par. 7-40: setting = T · L / (L + E). An adapter at an angle lengthens the arm by E · cos α; a
//! published scan of TM 9-254 prints l_T × l_A cos α for the whole arm, which can't be (a product of two lengths is an area):
//! it is l_T + l_A cos α.

use super::range::on_scale;
use crate::quantity::{Kind, Number, Quantity, Rounding, Spec};

/// How an adapter stands on its wrench.
#[derive(Clone, Debug, PartialEq)]
pub struct Arm {
    /// From the middle of the grip to the square: what the wrench was adjusted with.
    pub length: Quantity,
    /// From the middle of the square to the middle of the bolt; below nought where it is turned back towards the grip.
    pub extension: Quantity,
    /// Degrees by which it points away from straight on: 0 in line, 90 square to the wrench, 180 turned back.
    pub angle: Number,
}

/// What makes the figures of an arm doubtful.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doubt {
    /// The adapter is as long as the wrench or longer: the two figures may be exchanged.
    LongerThanTheWrench,
    /// The wrench would be shorter than 80 mm or longer than 2 m.
    NoSuchWrench,
}

impl Arm {
    /// The share of the bolt's torque that is set on the wrench: L / (L + E cos α). `None` where a kind is wrong, the wrench has
    /// no length, or the bolt would lie at or behind the middle of the grip.
    #[must_use]
    pub fn factor(&self) -> Option<Number> {
        if self.length.kind() != Kind::Length || self.extension.kind() != Kind::Length {
            return None;
        }
        let arm = self.length.to_si();
        let whole = arm.checked_add(&self.extension.to_si().checked_mul(&cosine(&self.angle)?)?)?;
        if arm <= Number::ZERO || whole <= Number::ZERO {
            return None;
        }
        arm.checked_div(&whole)
    }

    /// What to set for `torque` at the bolt, exactly.
    #[must_use]
    pub fn setting(&self, torque: &Quantity) -> Option<Quantity> {
        if torque.kind() != Kind::Torque {
            return None;
        }
        torque.times(&self.factor()?)
    }

    /// What to set for what the torque must be at the bolt, as a scale shows it: limits are rounded inwards.
    #[must_use]
    pub fn setting_of(&self, torque: &Spec) -> Option<Spec> {
        let factor = self.factor()?;
        let to = |value: &Quantity, way| Some(on_scale(&self.setting(value)?, way));
        let nearest = |value: &Quantity| to(value, Rounding::Nearest);
        Some(match torque {
            Spec::Exactly(value) => Spec::Exactly(nearest(value)?),
            Spec::Between(low, high) => {
                let (inner_low, inner_high) = (to(low, Rounding::Up)?, to(high, Rounding::Down)?);
                // A range narrower than the scale shows has no inside.
                match inner_low.to_si() <= inner_high.to_si() {
                    true => Spec::Between(inner_low, inner_high),
                    false => Spec::Between(nearest(low)?, nearest(high)?),
                }
            }
            Spec::Tolerance { value, plus, minus } => {
                let value = nearest(value)?;
                // No finer than the setting itself.
                let decimals = value.value.decimals_needed().unwrap_or(0).max(1);
                let side = |side: &Number| Some(side.checked_mul(&factor)?.rounded(decimals, Rounding::Down));
                let (plus, minus) = (side(plus)?, side(minus)?);
                Spec::Tolerance { value, plus, minus }
            }
            Spec::AtLeast(value) => Spec::AtLeast(to(value, Rounding::Up)?),
            Spec::AtMost(value) => Spec::AtMost(to(value, Rounding::Down)?),
        })
    }

    /// Whether it stands square to the wrench, so that the setting does not change.
    #[must_use]
    pub fn is_square(&self) -> bool {
        cosine(&self.angle).is_some_and(|cosine| cosine.is_zero())
    }

    /// What is doubtful in the figures, if anything. That an adapter is shorter than its wrench and a hand wrench from 80 mm
    /// to 2 m long is common practice.
    #[must_use]
    pub fn doubt(&self) -> Option<Doubt> {
        let (length, extension) = (self.length.to_si().to_f64(), self.extension.to_si().to_f64().abs());
        match length {
            _ if extension >= length => Some(Doubt::LongerThanTheWrench),
            0.08..=2.0 => None,
            _ => Some(Doubt::NoSuchWrench),
        }
    }
}

/// The cosine of an angle in degrees: exact at multiples of 60° and 90°, else to nine digits.
fn cosine(degrees: &Number) -> Option<Number> {
    let turn = Number::whole(360);
    let turns = degrees.checked_div(&turn)?.rounded(0, Rounding::Down);
    let rest = degrees.checked_sub(&turns.checked_mul(&turn)?)?;
    let exact = match rest.is_whole().then(|| rest.parts().0) {
        Some(0) => Some((1, 1)),
        Some(60 | 300) => Some((1, 2)),
        Some(90 | 270) => Some((0, 1)),
        Some(120 | 240) => Some((-1, 2)),
        Some(180) => Some((-1, 1)),
        _ => None,
    };
    let (top, bottom) = exact.unwrap_or_else(|| {
        let digits = 1_000_000_000_i128;
        ((rest.to_f64().to_radians().cos() * digits as f64).round() as i128, digits)
    });
    Number::from_ratio(top, bottom)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{parse_quantity, parse_spec};

    fn quantity(text: &str) -> Quantity {
        parse_quantity(text).unwrap()
    }

    fn arm(length: &str, extension: &str, degrees: i64) -> Arm {
        Arm { length: quantity(length), extension: quantity(extension), angle: Number::whole(degrees) }
    }

    /// Worked examples of published manuals that use the formula of FAA AC 43.13-1B; half of the last digit printed.
    #[test]
    fn published_examples() {
        for (source, torque, length, extension, expected, half) in [
            ("TM 1-1500-204-23-9 p. 8", "300 lbf·in", "10 in", "4 in", 214.0, 0.5),
            ("NAVEDTRA 14315 fig. 3-45", "100 lbf·in", "12 in", "6 in", 66.67, 0.005),
            ("a helicopter manual p. 20.4", "135 lbf·in", "10 in", "1.5 in", 117.39, 0.005),
            ("a light aircraft manual 2-90", "30 lbf·ft", "1 ft", "0.25 ft", 24.0, 1e-9),
            ("a motorcycle manual p. 11", "20 lbf·ft", "14 in", "3 in", 16.5, 0.05),
            ("a page on wrenches", "30 lbf·ft", "12 in", "6 in", 20.0, 1e-9),
            ("a page on metric tools", "130 N·m", "500 mm", "150 mm", 100.0, 1e-9),
            ("no adapter", "90 N·m", "500 mm", "0 mm", 90.0, 1e-9),
        ] {
            let got = arm(length, extension, 0).setting(&quantity(torque)).unwrap().value.to_f64();
            assert!((got - expected).abs() <= half, "{source}: {got}");
        }
    }

    #[test]
    fn turned_back_square_and_between() {
        let torque = quantity("90 N·m");
        for (extension, degrees, expected) in [
            ("-50 mm", 0, 100.0),
            ("50 mm", 180, 100.0),
            ("50 mm", 90, 90.0),
            ("50 mm", 270, 90.0),
            ("50 mm", 60, 85.7142857),
        ] {
            let got = arm("500 mm", extension, degrees).setting(&torque).unwrap().value.to_f64();
            assert!((got - expected).abs() < 1e-6, "{extension} {degrees}: {got}");
        }
        assert!(arm("500 mm", "50 mm", 90).is_square() && !arm("500 mm", "50 mm", 45).is_square());
        // At or behind the grip there is no arm left.
        assert_eq!(arm("50 mm", "-50 mm", 0).setting(&torque), None);
        assert_eq!(arm("50 mm", "80 mm", 180).setting(&torque), None);
        assert_eq!(arm("500 mm", "50 mm", 0).setting(&quantity("90 mm")), None);
    }

    /// The arm at an angle is a sum, l_T + l_A cos α. The product in a scan of TM 9-254 gives 20 in × 5 in × cos 60° = 50,
    /// more than twice the 22.5 in that there are.
    #[test]
    fn the_product_printed_in_a_scan_is_wrong() {
        let (wrench, adapter) = (20.0, 5.0);
        let got = arm("20 in", "5 in", 60).factor().unwrap().to_f64();
        let by_sum = wrench / (wrench + adapter * 0.5);
        let by_product = wrench / (wrench * adapter * 0.5);
        assert!((got - by_sum).abs() < 1e-9, "{got}");
        assert!((got - by_product).abs() > 0.4, "{got}");
        // Straight on it must agree with the published rows, which the product does not.
        let straight = arm("10 in", "4 in", 0).factor().unwrap().to_f64();
        assert!((straight - 10.0 / 14.0).abs() < 1e-9 && (straight - 10.0 / 40.0).abs() > 0.4);
    }

    #[test]
    fn what_is_set_for_ranges_and_tolerances() {
        let arm = arm("300 mm", "40 mm", 0);
        for (torque, expected) in [
            ("90 N·m", "79.4 N·m"),
            ("81 to 88 N·m", "71.5 to 77.6 N·m"),
            ("81.00 to 81.01 N·m", "71.5 to 71.5 N·m"),
            ("25 N·m ± 2", "22.1 N·m ± 1.7"),
            ("at least 40 N·m", "at least 35.3 N·m"),
            ("at most 60 N·m", "at most 52.9 N·m"),
        ] {
            assert_eq!(arm.setting_of(&parse_spec(torque).unwrap()).unwrap().to_string(), expected, "{torque}");
        }
    }

    #[test]
    fn exchanged_figures_are_doubted() {
        assert_eq!(arm("300 mm", "40 mm", 0).doubt(), None);
        assert_eq!(arm("40 mm", "300 mm", 0).doubt(), Some(Doubt::LongerThanTheWrench));
        assert_eq!(arm("300 mm", "-300 mm", 0).doubt(), Some(Doubt::LongerThanTheWrench));
        assert_eq!(arm("30 mm", "4 mm", 0).doubt(), Some(Doubt::NoSuchWrench));
        assert_eq!(arm("30 m", "4 mm", 0).doubt(), Some(Doubt::NoSuchWrench));
    }

    /// The torque at the bolt is what was asked for: setting · (L + E) / L.
    #[test]
    fn there_and_back() {
        for extension in (-200..=300).step_by(7) {
            let arm = Arm {
                length: quantity("400 mm"),
                extension: quantity(&format!("{extension} mm")),
                angle: Number::ZERO,
            };
            let setting = arm.setting(&quantity("90 N·m")).unwrap().value;
            let back = setting.checked_mul(&Number::from_ratio(400 + extension, 400).unwrap()).unwrap();
            assert_eq!(back, Number::whole(90), "{extension}");
        }
    }
}
