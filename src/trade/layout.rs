//! Where the fasteners of a group sit, seen as they are drawn.

use std::f64::consts::TAU;

use super::order::MOST_POSITIONS;

/// Where the fasteners of a group sit. Positions are numbered from 1.
#[derive(Clone, Debug, PartialEq)]
pub enum Layout {
    /// As many as there are on a circle, numbered clockwise from the top.
    Circle,
    /// Numbered along the first (upper) row from left to right, then the second, and so on.
    Rows {
        /// How many rows.
        rows: u32,
        /// How many in each row.
        columns: u32,
    },
    /// Each at its place in one unit of any size, numbered as listed: `x` to the right, `y` down the page.
    Free(Vec<(f64, f64)>),
}

impl Layout {
    /// Reads `circle`, `rows 2 x 7`, or `at x y; x y; …`; `None` for anything else.
    pub fn parse(text: &str) -> Option<Layout> {
        let text = text.trim().to_lowercase();
        if text == "circle" {
            return Some(Layout::Circle);
        }
        if let Some(rest) = text.strip_prefix("rows ") {
            let (rows, columns) = rest.split_once(['x', '×'])?;
            return Some(Layout::Rows { rows: rows.trim().parse().ok()?, columns: columns.trim().parse().ok()? });
        }
        Layout::at(text.strip_prefix("at ")?)
    }

    /// Reads the points of a free layout: `0 0; 40 0; 40 60`, with or without `mm` behind the last.
    pub fn at(text: &str) -> Option<Layout> {
        let text = text.trim();
        let points = text.strip_suffix("mm").unwrap_or(text).split(';').map(point);
        points.collect::<Option<Vec<_>>>().map(Layout::Free)
    }

    /// How many positions it has; `None` where it takes as many as there are.
    pub fn own_count(&self) -> Option<u32> {
        match self {
            Layout::Circle => None,
            Layout::Rows { rows, columns } => Some(rows.saturating_mul(*columns)),
            Layout::Free(points) => Some(u32::try_from(points.len()).unwrap_or(u32::MAX)),
        }
    }

    /// The places of `count` fasteners, in the order of their numbers: `x` to the right, `y` down. A circle has the
    /// radius 1 about the origin; rows are one apart. `None` where the layout has another count, or there are none or
    /// more than [`MOST_POSITIONS`].
    pub fn places(&self, count: u32) -> Option<Vec<(f64, f64)>> {
        if !(1..=MOST_POSITIONS).contains(&count) || self.own_count().is_some_and(|own| own != count) {
            return None;
        }
        Some(match self {
            Layout::Circle => (0..count)
                .map(|i| {
                    let turn = TAU * f64::from(i) / f64::from(count);
                    (turn.sin(), -turn.cos())
                })
                .collect(),
            Layout::Rows { columns, .. } => {
                (0..count).map(|i| (f64::from(i % columns), f64::from(i / columns))).collect()
            }
            Layout::Free(points) => points.clone(),
        })
    }
}

/// Farther out than this no bolt sits, in whatever unit.
const FARTHEST: f64 = 1e6;

/// `40 60`
fn point(text: &str) -> Option<(f64, f64)> {
    let mut numbers =
        text.split_whitespace().map(|n| n.parse::<f64>().ok().filter(|n| n.is_finite() && n.abs() <= FARTHEST));
    match (numbers.next()??, numbers.next()??, numbers.next()) {
        (x, y, None) => Some((x, y)),
        _ => None,
    }
}

/// Places as seen from the middle of the rectangle around them.
pub(super) fn around_middle(places: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let Some(first) = places.first().copied() else { return Vec::new() };
    let (low, high) = places
        .iter()
        .fold((first, first), |(low, high), (x, y)| ((low.0.min(*x), low.1.min(*y)), (high.0.max(*x), high.1.max(*y))));
    let middle = ((low.0 + high.0) / 2.0, (low.1 + high.1) / 2.0);
    places.iter().map(|(x, y)| (x - middle.0, y - middle.1)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(got: (f64, f64), expected: (f64, f64)) -> bool {
        (got.0 - expected.0).abs() < 1e-9 && (got.1 - expected.1).abs() < 1e-9
    }

    #[test]
    fn a_circle_runs_clockwise_from_the_top() {
        let places = Layout::Circle.places(4).unwrap();
        assert_eq!(places.len(), 4);
        for (place, expected) in places.iter().zip([(0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)]) {
            assert!(close(*place, expected), "{place:?} is not {expected:?}");
        }
    }

    #[test]
    fn rows_run_left_to_right_and_down() {
        let rows = Layout::Rows { rows: 2, columns: 3 };
        let expected = [(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (0.0, 1.0), (1.0, 1.0), (2.0, 1.0)];
        assert_eq!(rows.places(6).unwrap(), expected);
        assert_eq!(rows.places(5), None);
    }

    #[test]
    fn reads_layouts() {
        assert_eq!(Layout::parse("circle"), Some(Layout::Circle));
        assert_eq!(Layout::parse("rows 2 x 7"), Some(Layout::Rows { rows: 2, columns: 7 }));
        assert_eq!(Layout::parse("Rows 2x7"), Some(Layout::Rows { rows: 2, columns: 7 }));
        assert_eq!(Layout::parse("at 0 0; 10 0; 5 8.5 mm").and_then(|l| l.own_count()), Some(3));
        for text in ["", "ring", "rows 2", "rows 99999999999 x 1", "at", "at 1", "at 1 2;", "at 1,5 2", "at 1e99 0"] {
            assert_eq!(Layout::parse(text), None, "{text}");
        }
    }

    #[test]
    fn impossible_counts_have_no_places() {
        assert_eq!(Layout::Circle.places(0), None);
        assert_eq!(Layout::Circle.places(MOST_POSITIONS + 1), None);
        assert_eq!(Layout::Rows { rows: 0, columns: 3 }.places(0), None);
        let most = Layout::Rows { rows: u32::MAX, columns: u32::MAX };
        assert_eq!((most.own_count(), most.places(4)), (Some(u32::MAX), None));
        assert_eq!(Layout::Circle.places(1).unwrap().len(), 1);
    }

    #[test]
    fn the_middle_is_that_of_the_rectangle() {
        assert_eq!(around_middle(&[(0.0, 0.0), (10.0, 0.0), (10.0, 4.0)]), [(-5.0, -2.0), (5.0, -2.0), (5.0, 2.0)]);
        assert_eq!(around_middle(&[]), []);
    }
}
