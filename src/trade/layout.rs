//! Where the fasteners of a group sit, seen as they are drawn.

use std::f64::consts::TAU;

use super::order::MOST_POSITIONS;
use crate::quantity::Number;

/// Where the fasteners of a group sit. Positions are numbered from 1.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Layout {
    /// So many on a circle, numbered clockwise from the top.
    Circle(usize),
    /// Numbered along the first (upper) row from left to right, then the second, and so on.
    Rows {
        /// How many rows.
        rows: usize,
        /// How many in each row.
        columns: usize,
    },
    /// Each at its place in one unit of any size, numbered as listed: `x` to the right, `y` down the page.
    At(Vec<(Number, Number)>),
}

impl Layout {
    /// Reads `circle` (of `count`), `rows 2 x 7`, or `at x y; x y; …`; `None` where it is none of them or there are more
    /// than [`MOST_POSITIONS`]. Whether it has `count` places is for the caller to compare.
    pub fn parse(text: &str, count: usize) -> Option<Layout> {
        let text = text.trim().to_lowercase();
        let layout = if text == "circle" {
            Layout::Circle(count)
        } else if let Some(rest) = text.strip_prefix("rows ") {
            let (rows, columns) = rest.split_once(['x', '×'])?;
            Layout::Rows { rows: rows.trim().parse().ok()?, columns: columns.trim().parse().ok()? }
        } else {
            let points = text.strip_prefix("at ")?.split(';').map(|point| {
                let (x, y) = point.trim().split_once(char::is_whitespace)?;
                Some((Number::parse(x).ok()?, Number::parse(y).ok()?))
            });
            Layout::At(points.take(MOST_POSITIONS + 1).collect::<Option<Vec<_>>>()?)
        };
        (1..=MOST_POSITIONS).contains(&layout.count()).then_some(layout)
    }

    /// How many positions it has.
    pub fn count(&self) -> usize {
        match self {
            Layout::Circle(n) => *n,
            Layout::Rows { rows, columns } => rows.saturating_mul(*columns),
            Layout::At(points) => points.len(),
        }
    }

    /// The places in a square of side 1 for drawing, `x` to the right and `y` down, in proportion, as large as they fit, and
    /// centred; no more than [`MOST_POSITIONS`] of them. A single place, or all on one spot, lies in the middle.
    pub fn in_unit_square(&self) -> Vec<(f64, f64)> {
        let points = self.raw();
        let (low, high) = bounds(&points);
        let side = (high.0 - low.0).max(high.1 - low.1);
        let middle = ((low.0 + high.0) / 2.0, (low.1 + high.1) / 2.0);
        let scale = if side > 0.0 { 1.0 / side } else { 0.0 };
        points.into_iter().map(|(x, y)| (0.5 + (x - middle.0) * scale, 0.5 + (y - middle.1) * scale)).collect()
    }

    /// Height over width of what is drawn; 1 for a circle, a square and a single place, 0 for one row.
    pub fn height_over_width(&self) -> f64 {
        let (low, high) = bounds(&self.raw());
        let (width, height) = (high.0 - low.0, high.1 - low.1);
        match self {
            Layout::Circle(_) => 1.0,
            _ if width > 0.0 => height / width,
            _ => 1.0,
        }
    }

    /// Places from the middle of them all, at the distance of two neighbours in a row.
    pub(super) fn around_middle(&self) -> Vec<(f64, f64)> {
        let points = self.raw();
        let (low, high) = bounds(&points);
        let middle = ((low.0 + high.0) / 2.0, (low.1 + high.1) / 2.0);
        points.into_iter().map(|(x, y)| (x - middle.0, y - middle.1)).collect()
    }

    fn raw(&self) -> Vec<(f64, f64)> {
        match self {
            Layout::Circle(n) => (0..(*n).min(MOST_POSITIONS))
                .map(|i| {
                    let turn = TAU * i as f64 / *n as f64;
                    (turn.sin(), -turn.cos())
                })
                .collect(),
            Layout::Rows { columns, .. } => {
                (0..self.count().min(MOST_POSITIONS)).map(|i| ((i % columns) as f64, (i / columns) as f64)).collect()
            }
            Layout::At(points) => points.iter().map(|(x, y)| (x.to_f64(), y.to_f64())).collect(),
        }
    }
}

fn bounds(points: &[(f64, f64)]) -> ((f64, f64), (f64, f64)) {
    let start = points.first().copied().unwrap_or((0.0, 0.0));
    points
        .iter()
        .fold((start, start), |(low, high), (x, y)| ((low.0.min(*x), low.1.min(*y)), (high.0.max(*x), high.1.max(*y))))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(got: (f64, f64), expected: (f64, f64)) -> bool {
        (got.0 - expected.0).abs() < 1e-9 && (got.1 - expected.1).abs() < 1e-9
    }

    #[test]
    fn a_circle_runs_clockwise_from_the_top() {
        let places = Layout::Circle(4).in_unit_square();
        for (place, expected) in places.iter().zip([(0.5, 0.0), (1.0, 0.5), (0.5, 1.0), (0.0, 0.5)]) {
            assert!(close(*place, expected), "{place:?} is not {expected:?}");
        }
    }

    #[test]
    fn rows_run_left_to_right_and_down() {
        let places = Layout::Rows { rows: 2, columns: 3 }.in_unit_square();
        for (place, expected) in
            places.iter().zip([(0.0, 0.25), (0.5, 0.25), (1.0, 0.25), (0.0, 0.75), (0.5, 0.75), (1.0, 0.75)])
        {
            assert!(close(*place, expected), "{place:?} is not {expected:?}");
        }
        assert_eq!(Layout::Rows { rows: 2, columns: 3 }.height_over_width(), 0.5);
    }

    #[test]
    fn reads_layouts() {
        assert_eq!(Layout::parse("circle", 7), Some(Layout::Circle(7)));
        assert_eq!(Layout::parse("rows 2 x 7", 14), Some(Layout::Rows { rows: 2, columns: 7 }));
        assert_eq!(Layout::parse("Rows 2x7", 14), Some(Layout::Rows { rows: 2, columns: 7 }));
        assert_eq!(Layout::parse("at 0 0; 10 0; 5 8.5", 3).map(|l| l.count()), Some(3));
        for text in
            ["", "ring", "rows 2", "rows 0 x 3", "rows 99999999999 x 99999999999", "at", "at 1", "at 1 2;", "at 1,5 2"]
        {
            assert_eq!(Layout::parse(text, 4), None, "{text}");
        }
        assert_eq!(Layout::parse("circle", 0), None);
    }

    #[test]
    fn all_places_lie_in_the_square() {
        let free = Layout::parse("at -5 0; 10 0; 5 8.5; 5 8.5", 4).unwrap();
        for layout in [free, Layout::Circle(1), Layout::Circle(13), Layout::Rows { rows: 5, columns: 1 }] {
            for (x, y) in layout.in_unit_square() {
                assert!((-1e-9..=1.0 + 1e-9).contains(&x) && (-1e-9..=1.0 + 1e-9).contains(&y), "{layout:?} {x} {y}");
            }
        }
    }
}
