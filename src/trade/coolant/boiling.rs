//! When a mix boils: in the open, and under the pressure of a cap.

use super::Glycol;
use super::table::{along_lines, rows};

/// Standard atmosphere, kPa.
pub const ATMOSPHERE: f64 = 101.325;
/// The highest cap pressure above the atmosphere that is worked out, kPa. Caps of vehicles open below 200 kPa.
pub const HIGHEST_CAP: f64 = 250.0;

/// Constants of Antoine's equation log10(p / mmHg) = A − B / (t / °C + C).
struct Antoine {
    a: f64,
    b: f64,
    c: f64,
}

/// Water, and ethylene glycol in water of 50 and 70 % by mass: a glycol maker's guide of 2008, as published with calculations
/// that use it. Water agrees with IAPWS within 0.05 °C.
const CURVES: [(f64, Antoine); 3] = [
    (0.0, Antoine { a: 7.96682, b: 1668.21, c: 228.0 }),
    (50.0, Antoine { a: 7.901_886, b: 1691.452, c: 229.778 }),
    (70.0, Antoine { a: 7.83338, b: 1712.369, c: 231.166 }),
];

impl Antoine {
    /// Boiling point in °C at so many kPa.
    fn boils_at(&self, kilopascals: f64) -> f64 {
        // The conventional millimetre of mercury, 133.322387415 Pa.
        let millimetres = kilopascals / 0.133_322_387_415;
        self.b / (self.a - millimetres.log10()) - self.c
    }
}

/// Boiling point in °C in the open (100.7 kPa) of a mix of `percent` by mass, 0 to 100; `None` outside.
///
/// ASHRAE Handbook Fundamentals (2009) ch. 31 tables 4 and 5, along the straight line between the rows; good to 1 °C. To 70 % it
/// serves the shop; beyond, the rows only say where it leads.
#[must_use]
pub fn boiling_point(glycol: Glycol, percent: f64) -> Option<f64> {
    along_lines(rows(glycol).iter().map(|(mass, _, boils)| (*mass, *boils)), percent)
}

/// Boiling point in °C of a mix of `percent` by mass, 0 to 70, under a cap that holds `gauge` kPa above the atmosphere, 0 to
/// [`HIGHEST_CAP`]; `None` outside.
///
/// Ethylene glycol: Antoine's equation for water, 50 % and 70 % by mass, along the straight line between them; good to
/// 0.5 °C (water) and 1.5 °C. Propylene glycol: an estimate, its boiling point in the open raised by as much as water's is by the
/// same pressure (Dühring's rule with a slope of one; mixes rise somewhat more, so it errs to the safe side).
#[must_use]
pub fn boiling_under(glycol: Glycol, percent: f64, gauge: f64) -> Option<f64> {
    if !(0.0..=HIGHEST_CAP).contains(&gauge) || !(0.0..=70.0).contains(&percent) {
        return None;
    }
    let curves = |pressure: f64| CURVES.iter().map(move |(mass, curve)| (*mass, curve.boils_at(pressure)));
    match glycol {
        Glycol::Ethylene => along_lines(curves(ATMOSPHERE + gauge), percent),
        Glycol::Propylene => {
            let rise = along_lines(curves(ATMOSPHERE + gauge), 0.0)? - along_lines(curves(ATMOSPHERE), 0.0)?;
            Some(boiling_point(glycol, percent)? + rise)
        }
    }
}

/// What the rule of thumb makes of it, in °C: 3 °F for each psi of the cap on top of what it boils at in the open.
///
/// It overstates: Antoine's equation gives 2.5 °F a psi for water and 2.6 °F for 50 % at 15 psi.
#[must_use]
pub fn by_rule_of_thumb(open: f64, gauge: f64) -> f64 {
    // 1 psi = 6.894757293168 kPa; 3 °F = 5/3 K.
    open + gauge / 6.894_757_293_168 * 5.0 / 3.0
}
