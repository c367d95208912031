//! Shares by mass and by volume.

use super::Glycol;
use super::table::{along_lines, rows};

/// The share by volume of a mix of `percent` by mass, both in % from 0 to 100; `None` outside.
///
/// ASHRAE Handbook Fundamentals (2009) ch. 31 tables 4 and 5, along the straight line between the rows (5 % by mass apart; the
/// line is off by 0.1 % at most).
#[must_use]
pub fn by_volume(glycol: Glycol, percent: f64) -> Option<f64> {
    along_lines(rows(glycol).iter().map(|(mass, volume, _)| (*mass, *volume)), percent)
}

/// The share by mass of a mix of `percent` by volume: the way back of [`by_volume`].
#[must_use]
pub fn by_mass(glycol: Glycol, percent: f64) -> Option<f64> {
    along_lines(rows(glycol).iter().map(|(mass, volume, _)| (*volume, *mass)), percent)
}

/// The share by mass in % from the densities of the pure liquids at 20 °C: w = v·ρg / (v·ρg + (1 − v)·ρw), with 998.2 kg/m³ for
/// water, 1113.2 for ethylene and 1036 for propylene glycol.
///
/// The textbook formula; beside the handbook it lies within 0.5 % by volume (ethylene) and 1.0 % (propylene), because it leaves
/// out that the volumes shrink when mixed and that the handbook's glycols are inhibited.
#[must_use]
pub fn by_mass_of_densities(glycol: Glycol, percent: f64) -> Option<f64> {
    if !(0.0..=100.0).contains(&percent) {
        return None;
    }
    let heavy = match glycol {
        Glycol::Ethylene => 1113.2,
        Glycol::Propylene => 1036.0,
    };
    let (part, water) = (percent / 100.0, 998.2);
    Some(100.0 * part * heavy / (part * heavy + (1.0 - part) * water))
}
