//! From the middle outwards: heads, long covers, free layouts. Common practice; no standard gives it.
//!
//! Points are seen from the middle, `x` to the right and `y` down, in one unit of any size.

use std::cmp::Ordering;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

type Point = (f64, f64);

/// Points whose distances from the middle differ by no more than this share of a pitch count as equally far; one nearer to
/// the middle sits on it.
const EQUALLY_FAR: f64 = 0.25;

/// A difference of angles, radians, or of distances below which two are the same.
const SAME: f64 = 1e-6;

/// Crosswise: each followed by the one opposite, the pairs nearest the middle first. Of pairs that are equally far the
/// one that stands most across to those before comes first.
pub(super) fn cross(points: &[Point]) -> Vec<u32> {
    let points = &on_grid(points).unwrap_or_else(|| points.to_vec());
    let equally = EQUALLY_FAR * pitch(points);
    let mut free: Vec<usize> = (0..points.len()).collect();
    let mut order = Vec::with_capacity(points.len());
    // Least angle of each point's line to the lines of the pairs taken at its distance.
    let mut across = vec![FRAC_PI_2; points.len()];
    let mut band = f64::NEG_INFINITY;
    let mut last: Option<f64> = None;
    while let Some(nearest) = free.iter().map(|i| length(points[*i])).min_by(f64::total_cmp) {
        if nearest > band {
            band = nearest + equally;
            across.fill(FRAC_PI_2);
        }
        let in_band = free.iter().copied().filter(|i| length(points[*i]) <= band);
        let to_last = |i: usize| last.map_or(0.0, |last| between(line(points[i]), last));
        let better =
            |a: &usize, b: &usize| about(across[*a], across[*b]).then(about(to_last(*a), to_last(*b))).then(b.cmp(a));
        let Some(first) = in_band.max_by(better) else { break };
        take(first, &mut free, &mut order);
        if length(points[first]) <= equally {
            continue; // it has nothing opposite
        }
        let angle = line(points[first]);
        for (least, point) in across.iter_mut().zip(points) {
            *least = least.min(between(line(*point), angle));
        }
        last = Some(angle);
        if let Some(second) = opposite(points, first, &free) {
            take(second, &mut free, &mut order);
        }
    }
    order
}

fn take(index: usize, free: &mut Vec<usize>, order: &mut Vec<u32>) {
    free.retain(|i| *i != index);
    order.extend(u32::try_from(index + 1));
}

/// The free point nearest to where the mirror image of `first` lies; `None` where nothing lies on that side.
fn opposite(points: &[Point], first: usize, free: &[usize]) -> Option<usize> {
    let (x, y) = points[first];
    let away = |i: &usize| length((points[*i].0 + x, points[*i].1 + y));
    let other_side = |i: &usize| points[*i].0 * x + points[*i].1 * y < 0.0;
    free.iter().copied().filter(other_side).min_by(|a, b| away(a).total_cmp(&away(b)).then(a.cmp(b)))
}

/// Round and round: ring after ring from the middle, each walked clockwise on from where the last one ended.
pub(super) fn spiral(points: &[Point]) -> Vec<u32> {
    let grid = on_grid(points);
    let pitch = pitch(points);
    // On a grid the rings are square frames; elsewhere they are as wide as neighbours are apart.
    let inner = points.iter().map(|p| length(*p)).fold(f64::INFINITY, f64::min);
    let ring = |i: usize| match &grid {
        Some(grid) => (2.0 * grid[i].0.abs().max(grid[i].1.abs())).round(),
        None if pitch > 0.0 => ((length(points[i]) - inner) / pitch + EQUALLY_FAR).floor(),
        None => 0.0,
    };
    let points = grid.as_deref().unwrap_or(points);
    let mut all: Vec<(f64, usize)> = (0..points.len()).map(|i| (ring(i), i)).collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut order: Vec<u32> = Vec::with_capacity(points.len());
    let mut at: Option<f64> = None;
    for ring in all.chunk_by(|a, b| a.0 == b.0) {
        let mut ring: Vec<usize> = ring.iter().map(|(_, i)| *i).collect();
        // The first of all is the one nearest the middle.
        let nearest = ring.iter().copied().min_by(|a, b| about(length(points[*a]), length(points[*b])).then(a.cmp(b)));
        let from = at.or(nearest.map(|i| angle(points[i]) - SAME)).unwrap_or(0.0);
        // y runs down the page, so growing angles run clockwise.
        let on = |i: usize| (angle(points[i]) - from).rem_euclid(TAU);
        let turn = |i: usize| if on(i) < SAME / 2.0 { TAU } else { on(i) };
        ring.sort_by(|a, b| turn(*a).total_cmp(&turn(*b)).then(a.cmp(b)));
        if let Some(end) = ring.last().filter(|end| length(points[**end]) > SAME) {
            at = Some(angle(points[*end]));
        }
        order.extend(ring.into_iter().filter_map(|i| u32::try_from(i + 1).ok()));
    }
    order
}

/// Points that stand in rows and columns, however far these are apart, with all steps made one: so that the places of a
/// long head and of a short one are walked alike. `None` where they stand otherwise.
fn on_grid(points: &[Point]) -> Option<Vec<Point>> {
    let near = pitch(points) / 4.0;
    let columns = steps(points.iter().map(|p| p.0), near);
    let rows = steps(points.iter().map(|p| p.1), near);
    let (wide, high) = (columns.iter().max()? + 1, rows.iter().max()? + 1);
    let mut cells: Vec<(usize, usize)> = columns.iter().copied().zip(rows.iter().copied()).collect();
    let grid: Vec<Point> = cells
        .iter()
        .map(|(column, row)| (*column as f64 - (wide - 1) as f64 / 2.0, *row as f64 - (high - 1) as f64 / 2.0))
        .collect();
    cells.sort_unstable();
    cells.dedup();
    // Nearly all places of the grid are taken, by one each.
    (cells.len() == points.len() && 4 * cells.len() >= 3 * wide * high).then_some(grid)
}

/// The number of each value's step when they are put in order; values nearer than `near` share one.
fn steps(values: impl Iterator<Item = f64>, near: f64) -> Vec<usize> {
    let values: Vec<f64> = values.collect();
    let mut sorted: Vec<usize> = (0..values.len()).collect();
    sorted.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let mut steps = vec![0; values.len()];
    let mut step = 0;
    for two in sorted.windows(2) {
        if values[two[1]] - values[two[0]] > near {
            step += 1;
        }
        steps[two[1]] = step;
    }
    steps
}

/// How far neighbours are apart: the median distance of each point to its nearest that is not on the same spot.
fn pitch(points: &[Point]) -> f64 {
    let nearest = |i: usize| {
        let others = points.iter().map(|p| length((p.0 - points[i].0, p.1 - points[i].1)));
        others.filter(|d| *d > 0.0).fold(f64::INFINITY, f64::min)
    };
    let mut all: Vec<f64> = (0..points.len()).map(nearest).filter(|d| d.is_finite()).collect();
    all.sort_by(f64::total_cmp);
    all.get(all.len() / 2).copied().unwrap_or(0.0)
}

fn length((x, y): Point) -> f64 {
    x.hypot(y)
}

fn angle((x, y): Point) -> f64 {
    y.atan2(x)
}

/// The angle of the line through the middle, 0 to half a turn.
fn line(point: Point) -> f64 {
    angle(point).rem_euclid(PI)
}

/// The angle between two lines, 0 to a quarter turn.
fn between(a: f64, b: f64) -> f64 {
    let apart = (a - b).abs();
    apart.min(PI - apart)
}

fn about(a: f64, b: f64) -> Ordering {
    if (a - b).abs() < SAME { Ordering::Equal } else { a.total_cmp(&b) }
}

#[cfg(test)]
mod tests {
    use super::super::tests::order;
    use super::super::{MOST_POSITIONS, each_once};
    use crate::trade::layout::Layout;
    use crate::trade::order::Order;

    fn rows(word: &str, rows: u32, columns: u32) -> Vec<u32> {
        order(word, &format!("rows {rows} x {columns}"), rows * columns)
    }

    fn free(word: &str, points: &str) -> Vec<u32> {
        order(word, &format!("at {points}"), points.split(';').count() as u32)
    }

    /// Common practice, from memory: crosswise from the middle outwards.
    #[test]
    fn rows_crosswise() {
        assert_eq!(rows("cross", 2, 2), [1, 4, 2, 3]);
        assert_eq!(rows("cross", 1, 6), [3, 4, 2, 5, 1, 6]);
        assert_eq!(rows("cross", 1, 5), [3, 2, 4, 1, 5]);
        assert_eq!(rows("cross", 2, 3), [2, 5, 1, 6, 3, 4]);
        assert_eq!(rows("cross", 2, 5), [3, 8, 2, 9, 4, 7, 1, 10, 5, 6]);
        assert_eq!(rows("cross", 2, 7), [4, 11, 3, 12, 5, 10, 2, 13, 6, 9, 1, 14, 7, 8]);
        assert_eq!(rows("cross", 3, 3), [5, 2, 8, 4, 6, 1, 9, 3, 7]);
        assert_eq!(rows("cross", 7, 2), [7, 8, 5, 10, 6, 9, 3, 12, 4, 11, 1, 14, 2, 13]);
    }

    /// Common practice, from memory: from the middle outwards, always on in one direction.
    #[test]
    fn rows_in_a_spiral() {
        assert_eq!(rows("spiral", 2, 2), [1, 2, 4, 3]);
        assert_eq!(rows("spiral", 1, 6), [3, 4, 2, 5, 1, 6]);
        assert_eq!(rows("spiral", 2, 4), [2, 3, 7, 6, 5, 1, 4, 8]);
        assert_eq!(rows("spiral", 2, 5), [3, 8, 7, 2, 4, 9, 6, 1, 5, 10]);
        assert_eq!(rows("spiral", 2, 7), [4, 11, 10, 3, 5, 12, 9, 2, 6, 13, 8, 1, 7, 14]);
        assert_eq!(rows("spiral", 3, 3), [5, 2, 3, 6, 9, 8, 7, 4, 1]);
    }

    /// Both start at the middle and never go back towards it: on two rows, column by column.
    #[test]
    fn two_rows_are_worked_outwards() {
        for columns in 2..=40_u32 {
            for word in ["cross", "spiral"] {
                let out = |position: u32| (2 * ((position - 1) % columns) + 1).abs_diff(columns);
                let order = rows(word, 2, columns);
                assert!(order.windows(2).all(|two| out(two[0]) <= out(two[1])), "{word} 2 x {columns}: {order:?}");
            }
            for pair in rows("cross", 2, columns).chunks(2) {
                assert_eq!(pair[0] + pair[1], 2 * columns + 1, "through the middle: 2 x {columns}");
            }
        }
    }

    #[test]
    fn free_layouts_with_uneven_spacing() {
        // Two rows of five, the columns not evenly apart: as rows 2 x 5.
        let head = "0 0; 38 0; 80 0; 118 0; 160 0; 0 90; 38 90; 80 90; 118 90; 160 90";
        assert_eq!(free("spiral", head), rows("spiral", 2, 5));
        let cross = free("cross", head);
        assert_eq!(&cross[..2], [3, 8]);
        assert!(cross.chunks(2).all(|pair| pair[0] + pair[1] == 11), "{cross:?}");
        // The corners of a plate, numbered round it.
        assert_eq!(free("cross", "-30 -30; 30 -30; 30 30; -30 30"), [1, 3, 2, 4]);
        assert_eq!(free("cross", "0 0; 320 0; 320 60; 0 60"), [1, 3, 2, 4]);
        assert_eq!(free("spiral", "0 0; 320 0; 320 60; 0 60"), [1, 2, 3, 4]);
        // A circle written out is worked as a circle.
        let places = Layout::Circle.places(16).unwrap();
        let circle = Layout::Free(places.iter().map(|(x, y)| (x * 50.0, y * 50.0)).collect());
        assert_eq!(Order::Cross.positions(&circle, 16), Order::Cross.positions(&Layout::Circle, 16));
        assert_eq!(Order::Spiral.positions(&circle, 16).map(|order| order.len()), Ok(16));
        // Three that have nothing straight across.
        assert_eq!(free("cross", "0 -30; 26 15; -26 15").len(), 3);
    }

    #[test]
    fn a_missing_middle_begins_beside_it() {
        let frame = "0 0; 1 0; 2 0; 0 1; 2 1; 0 2; 1 2; 2 2";
        assert_eq!(free("cross", frame), [2, 7, 4, 5, 1, 8, 3, 6]);
        assert_eq!(free("spiral", frame), [2, 3, 5, 8, 7, 6, 4, 1]);
    }

    #[test]
    fn odd_layouts_still_hold_each_position_once() {
        let one_spot = ["5 5"; 7].join("; ");
        let line = "0 0; 0 10; 0 20; 0 30; 0 41";
        let twins = "0 0; 0 0; 10 0; 10 0; 5 8";
        let lopsided = "0 0; 1 0; 2 0; 3 0; 100 0";
        let tiny = "0 0; 0.000000001 0; 0 0.000000001";
        for points in [one_spot.as_str(), line, twins, lopsided, tiny, "7 7"] {
            for word in ["cross", "spiral", "row"] {
                let count = points.split(';').count() as u32;
                assert_eq!(each_once(&free(word, points), count), Ok(()), "{word} {points}");
            }
        }
        assert_eq!(free("cross", &one_spot), [1, 2, 3, 4, 5, 6, 7]);
        // Scattered ones, by a fixed linear congruential generator (multiplier and increment of Knuth's MMIX).
        let mut state: u64 = 11;
        let mut next = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            f64::from((state >> 40) as u32 % 1000)
        };
        for count in [2, 3, 5, 9, 14, 33, MOST_POSITIONS] {
            let layout = Layout::Free((0..count).map(|_| (next(), next())).collect());
            for order in [Order::Cross, Order::Spiral] {
                assert_eq!(each_once(&order.positions(&layout, count).unwrap(), count), Ok(()), "{order:?} {count}");
            }
        }
    }

    #[test]
    fn the_most_positions_are_worked_too() {
        for word in ["cross", "spiral"] {
            assert_eq!(rows(word, 20, 20).len(), 400);
            assert_eq!(rows(word, 1, 400).len(), 400);
        }
    }
}
