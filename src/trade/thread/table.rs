//! Coarse pitches of metric threads and the unified coarse and fine series.
//!
//! Sources: ISO 261 (M3 to M24 compared with a published copy, the rest from memory); ASME B1.1 (from memory).

use super::Series;
use crate::quantity::Number;

/// Diameter in tenths and coarse pitch in hundredths of a millimetre.
#[rustfmt::skip] // as a table
const COARSE: [(i128, i128); 40] = [
    (10, 25), (11, 25), (12, 25), (14, 30), (16, 35), (18, 35), (20, 40), (22, 45), (25, 45), (30, 50),
    (35, 60), (40, 70), (45, 75), (50, 80), (60, 100), (70, 100), (80, 125), (90, 125), (100, 150), (110, 150),
    (120, 175), (140, 200), (160, 200), (180, 250), (200, 250), (220, 250), (240, 300), (270, 300), (300, 350), (330, 350),
    (360, 400), (390, 400), (420, 450), (450, 450), (480, 500), (520, 500), (560, 550), (600, 550), (640, 600), (680, 600),
];

/// Size, and threads in ten inches of the coarse and of the fine series; nought where the series has no such size.
#[rustfmt::skip] // as a table
const UNIFIED: [(&str, i128, i128); 27] = [
    ("#0", 0, 800), ("#1", 640, 720), ("#2", 560, 640), ("#3", 480, 560), ("#4", 400, 480), ("#5", 400, 440),
    ("#6", 320, 400), ("#8", 320, 360), ("#10", 240, 320), ("#12", 240, 280), ("1/4", 200, 280), ("5/16", 180, 240),
    ("3/8", 160, 240), ("7/16", 140, 200), ("1/2", 130, 200), ("9/16", 120, 180), ("5/8", 110, 180), ("3/4", 100, 160),
    ("7/8", 90, 140), ("1", 80, 120), ("1 1/8", 70, 120), ("1 1/4", 70, 120), ("1 3/8", 60, 120), ("1 1/2", 60, 120),
    ("1 3/4", 50, 0), ("2", 45, 0), ("2 1/4", 45, 0),
];

/// The coarse pitch in millimetres of a metric thread of this diameter in millimetres; `None` where ISO 261 has none.
pub fn coarse_pitch(diameter: &Number) -> Option<Number> {
    let tenths = diameter.checked_mul(&Number::whole(10))?;
    let (_, pitch) = COARSE.iter().find(|(d, _)| Number::from_ratio(*d, 1).as_ref() == Some(&tenths))?;
    Number::from_ratio(*pitch, 100)
}

/// The series, coarse or fine, that has this size (`#10`, `1/2`) with this number of threads an inch.
pub fn unified_series(size: &str, per_inch: &Number) -> Option<Series> {
    let tenfold = per_inch.checked_mul(&Number::whole(10))?;
    let (_, coarse, fine) = UNIFIED.iter().find(|(s, _, _)| *s == size)?;
    match tenfold.parts() {
        (n, 1) if n == *coarse => Some(Series::Unc),
        (n, 1) if n == *fine => Some(Series::Unf),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Coarse pitches of ISO 261, from a published copy of ISO 898-1.
    #[test]
    fn coarse_pitches() {
        for (diameter, pitch) in [
            ("3", "0.5"),
            ("3.5", "0.6"),
            ("4", "0.7"),
            ("5", "0.8"),
            ("6", "1"),
            ("7", "1"),
            ("8", "1.25"),
            ("10", "1.5"),
            ("12", "1.75"),
            ("14", "2"),
            ("16", "2"),
            ("18", "2.5"),
            ("20", "2.5"),
            ("22", "2.5"),
            ("24", "3"),
        ] {
            assert_eq!(coarse_pitch(&Number::parse(diameter).unwrap()), Number::parse(pitch).ok(), "M{diameter}");
        }
        assert_eq!(coarse_pitch(&Number::whole(13)), None);
    }
}
