//! Which mixes and which water a cooling system stands.

use super::Glycol;

/// Least share of concentrate in % by volume: below it there is too little inhibitor against corrosion, whatever the frost
/// (common practice; a third is the least that is sold ready mixed).
pub const LEAST: f64 = 33.0;
/// Least share for which ASTM D3306 is written, in % by volume.
pub const LEAST_OF_STANDARD: f64 = 40.0;
/// Most, in % by volume: ASTM D3306 (to 70 % by agreement). Beyond it the mix carries less heat and protects hardly better.
pub const MOST: f64 = 60.0;
/// By how many kelvins a published figure for a mix may lie below our freezing point.
///
/// Ethylene glycol: Melinder's data by mass lie up to 2.9 K below the ASHRAE data at 60 %, and figures of the trade are printed in whole
/// degrees: 3.5 K. Propylene glycol: the other data (Melinder; Lange's Handbook) lie above the ASHRAE data, never below, so that only round
/// figures need room: 2.5 K, which still tells the −37 °C of 50 % of ethylene glycol where it is claimed for propylene glycol.
#[must_use]
pub fn data_differ(glycol: Glycol) -> f64 {
    match glycol {
        Glycol::Ethylene => 3.5,
        Glycol::Propylene => 2.5,
    }
}

/// By how many per cent by volume a mix may be stronger than what is asked for needs before it is more than a margin. The common
/// mix of 50 % is never that much stronger than [`LEAST_OF_STANDARD`].
pub const MARGIN: f64 = 12.0;
