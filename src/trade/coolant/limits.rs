//! Which mixes and which water a cooling system stands.

/// Least share of concentrate in % by volume: below it there is too little inhibitor against corrosion, whatever the frost
/// (common practice; a third is the least that is sold ready mixed).
pub const LEAST: f64 = 33.0;
/// Least share for which ASTM D3306 is written, in % by volume.
pub const LEAST_OF_STANDARD: f64 = 40.0;
/// Most, in % by volume: ASTM D3306 (to 70 % by agreement). Beyond it the mix carries less heat and protects hardly better.
pub const MOST: f64 = 60.0;
/// By how many kelvins published freezing points of one mix differ: between the ASHRAE data by volume and Melinder's by mass up to 2.9 K
/// at 60 %, and half a degree more for figures printed in whole degrees.
pub const DATA_DIFFER: f64 = 3.5;
/// By how many per cent by volume a mix may be stronger than what is asked for needs before it is more than a margin. The common
/// mix of 50 % is never that much stronger than [`LEAST_OF_STANDARD`].
pub const MARGIN: f64 = 12.0;
