//! When a mix freezes: the temperature at which the first crystals form.

use super::table::along_parabola;
use super::{Glycol, celsius, fraction};
use crate::quantity::{Kind, Known, Number, Quantity};

/// Where the tables end: beyond it more concentrate protects hardly better, and pure glycol freezes far sooner.
pub const LAST_PERCENT: f64 = 60.0;

/// Per cent by volume and freezing point in °C. From 10 % on the ASHRAE data by volume as CoolProp 8.0.0 gives them (AEG); below, ASHRAE
/// Handbook Fundamentals (2009) ch. 31 table 4 (from memory) and pure water.
const ETHYLENE: [(f64, f64); 23] = [
    (0.0, 0.0),
    (4.4, -1.4),
    (10.0, -3.62),
    (12.5, -4.85),
    (15.0, -6.15),
    (17.5, -7.53),
    (20.0, -8.98),
    (22.5, -10.50),
    (25.0, -12.12),
    (27.5, -13.85),
    (30.0, -15.70),
    (32.5, -17.70),
    (35.0, -19.88),
    (37.5, -22.24),
    (40.0, -24.80),
    (42.5, -27.56),
    (45.0, -30.54),
    (47.5, -33.73),
    (50.0, -37.11),
    (52.5, -40.67),
    (55.0, -44.37),
    (57.5, -48.17),
    (60.0, -52.02),
];

/// The same for propylene glycol (APG; table 5).
const PROPYLENE: [(f64, f64); 23] = [
    (0.0, 0.0),
    (4.8, -1.6),
    (10.0, -3.43),
    (12.5, -4.31),
    (15.0, -5.25),
    (17.5, -6.27),
    (20.0, -7.38),
    (22.5, -8.61),
    (25.0, -9.97),
    (27.5, -11.46),
    (30.0, -13.11),
    (32.5, -14.92),
    (35.0, -16.91),
    (37.5, -19.10),
    (40.0, -21.51),
    (42.5, -24.15),
    (45.0, -27.03),
    (47.5, -30.20),
    (50.0, -33.66),
    (52.5, -37.45),
    (55.0, -41.59),
    (57.5, -46.12),
    (60.0, -51.06),
];

fn table(glycol: Glycol) -> &'static [(f64, f64)] {
    match glycol {
        Glycol::Ethylene => &ETHYLENE,
        Glycol::Propylene => &PROPYLENE,
    }
}

/// Freezing point in °C of a mix of `percent` by volume, 0 to 60; `None` outside the tables.
///
/// Between the rows along the parabola through the three nearest; within 0.05 °C of the library between them.
#[must_use]
pub fn freezing_point(glycol: Glycol, percent: f64) -> Option<f64> {
    along_parabola(table(glycol), percent)
}

/// The percentage by volume that does not freeze at `celsius`; `None` where the tables do not reach.
#[must_use]
pub fn percent_for(glycol: Glycol, celsius: f64) -> Option<f64> {
    if !celsius.is_finite() || celsius > 0.0 {
        return None;
    }
    let (mut low, mut high) = (0.0, LAST_PERCENT);
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
#[must_use]
pub fn freezing_temperature(glycol: Glycol, concentrate: &Quantity) -> Option<Quantity> {
    celsius(freezing_point(glycol, fraction(concentrate)?.to_f64() * 100.0)?)
}

/// The share by volume that does not freeze at a temperature, rounded up to a tenth of a per cent; `None` where the tables do
/// not reach.
#[must_use]
pub fn percent_for_temperature(glycol: Glycol, temperature: &Quantity) -> Option<Quantity> {
    if temperature.kind() != Kind::Temperature {
        return None;
    }
    let percent = percent_for(glycol, in_celsius(temperature)?)?;
    // What is a tenth but for the last bits of the halving stays that tenth.
    let tenths = (percent * 10.0 - 1e-6).ceil().max(0.0);
    Some(Quantity::new(Number::from_ratio(tenths as i128, 10)?, Known::Percent))
}

/// A temperature in °C; `None` for anything else.
#[must_use]
pub fn in_celsius(temperature: &Quantity) -> Option<f64> {
    (temperature.kind() == Kind::Temperature).then(|| temperature.to_si().to_f64() - 273.15)
}
