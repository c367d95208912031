//! What a litre of the mix weighs.

use super::Glycol;
use super::table::along_parabola;

/// Per cent by volume and density in kg/m³ at 21.1 °C (70 °F). ASHRAE Handbook Fundamentals ch. 31, printed in lb/ft³ (63.31, 65.30,
/// 66.20, 67.86 at 10, 30, 40, 60 %); the rows of 20 and 50 % from CoolProp 8.0.0 (AEG), raised by the 0.11 % by which that library lies below
/// the printed rows; water from IAPWS-95.
const ETHYLENE: [(f64, f64); 7] =
    [(0.0, 998.0), (10.0, 1014.1), (20.0, 1030.5), (30.0, 1046.0), (40.0, 1060.4), (50.0, 1074.0), (60.0, 1087.0)];

/// The same for propylene glycol, from CoolProp 8.0.0 (APG) as it is.
const PROPYLENE: [(f64, f64); 7] =
    [(0.0, 998.0), (10.0, 1007.8), (20.0, 1018.6), (30.0, 1027.9), (40.0, 1035.7), (50.0, 1042.3), (60.0, 1047.6)];

/// Density in kg/m³ at 21.1 °C (70 °F) of a mix of `percent` by volume, 0 to 60; `None` outside the tables.
///
/// Between the rows along the parabola through the three nearest; good to 0.2 %.
#[must_use]
pub fn density(glycol: Glycol, percent: f64) -> Option<f64> {
    let table = match glycol {
        Glycol::Ethylene => &ETHYLENE,
        Glycol::Propylene => &PROPYLENE,
    };
    along_parabola(table, percent)
}
