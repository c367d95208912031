//! The published tables, and how values between their rows are read.

use super::Glycol;

/// A row of the handbook: share by mass and by volume in %, boiling point in °C at 100.7 kPa.
pub(super) type Row = (f64, f64, f64);

/// ASHRAE Handbook Fundamentals (2009) ch. 31 table 4, ethylene glycol in water, a row for every 5 % by mass (from memory; seven rows
/// up to 55 % and the freezing points that belong to them checked against a library, see `freezing`); the last row is the pure glycol.
pub(super) const ETHYLENE: [Row; 21] = [
    (0.0, 0.0, 100.0),
    (5.0, 4.4, 100.6),
    (10.0, 8.9, 101.1),
    (15.0, 13.6, 101.7),
    (20.0, 18.1, 102.2),
    (25.0, 22.9, 103.3),
    (30.0, 27.7, 104.4),
    (35.0, 32.6, 105.0),
    (40.0, 37.5, 105.6),
    (45.0, 42.5, 106.7),
    (50.0, 47.6, 107.2),
    (55.0, 52.7, 108.3),
    (60.0, 57.8, 110.0),
    (65.0, 62.8, 112.8),
    (70.0, 68.3, 116.7),
    (75.0, 73.6, 120.0),
    (80.0, 78.9, 123.9),
    (85.0, 84.3, 133.9),
    (90.0, 89.7, 140.6),
    (95.0, 95.0, 158.3),
    (100.0, 100.0, 197.3),
];

/// The same of table 5, propylene glycol in water (from memory).
pub(super) const PROPYLENE: [Row; 21] = [
    (0.0, 0.0, 100.0),
    (5.0, 4.8, 100.0),
    (10.0, 9.6, 100.0),
    (15.0, 14.5, 100.0),
    (20.0, 19.4, 100.6),
    (25.0, 24.4, 101.1),
    (30.0, 29.4, 102.2),
    (35.0, 34.4, 102.8),
    (40.0, 39.6, 103.9),
    (45.0, 44.7, 104.4),
    (50.0, 49.9, 105.6),
    (55.0, 55.0, 106.1),
    (60.0, 60.0, 107.2),
    (65.0, 65.0, 108.3),
    (70.0, 70.0, 110.0),
    (75.0, 75.0, 113.9),
    (80.0, 80.0, 118.3),
    (85.0, 85.0, 125.0),
    (90.0, 90.0, 132.2),
    (95.0, 95.0, 154.4),
    (100.0, 100.0, 187.2),
];

/// The rows of a glycol.
pub(super) fn rows(glycol: Glycol) -> &'static [Row] {
    match glycol {
        Glycol::Ethylene => &ETHYLENE,
        Glycol::Propylene => &PROPYLENE,
    }
}

/// Read along the straight line between two rows; `None` outside the table. `x` must rise from row to row.
pub(super) fn along_lines(rows: impl Iterator<Item = (f64, f64)>, x: f64) -> Option<f64> {
    let mut before: Option<(f64, f64)> = None;
    for (at, value) in rows {
        if at == x {
            return Some(value);
        }
        if at > x {
            let (lower, from) = before?;
            return Some(from + (value - from) * (x - lower) / (at - lower));
        }
        before = Some((at, value));
    }
    None
}

/// Read along the parabola through the three nearest rows; `None` outside the table. `x` must rise from row to row.
pub(super) fn along_parabola(table: &[(f64, f64)], x: f64) -> Option<f64> {
    let above = table.iter().position(|(at, _)| *at >= x)?;
    let upper = table.get(above)?;
    if upper.0 == x {
        return Some(upper.1);
    }
    if above == 0 {
        return None;
    }
    // Of the two possible third rows, the one nearer to what is asked for.
    let lower_gap = above.checked_sub(2).and_then(|i| table.get(i)).map_or(f64::INFINITY, |row| x - row.0);
    let upper_gap = table.get(above + 1).map_or(f64::INFINITY, |row| row.0 - x);
    let start = if lower_gap <= upper_gap { above.saturating_sub(2) } else { above - 1 };
    let rows = table.get(start..start + 3)?;
    let mut sum = 0.0;
    for (i, (at, value)) in rows.iter().enumerate() {
        let others = rows.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, (other, _))| other);
        sum += value * others.map(|other| (x - other) / (at - other)).product::<f64>();
    }
    Some(sum)
}
