//! In which order a group of fasteners is tightened.
//!
//! Positions are numbered from 1 as [`Layout`](super::layout::Layout) lays them out; an order lists them as they are tightened.

use std::fmt;

use super::layout::Layout;

/// Most fasteners one group may have.
pub const MOST_POSITIONS: usize = 400;

/// How a group is worked through.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Order {
    /// Opposite pairs, so that the joint closes evenly.
    Cross,
    /// From the middle outwards, round and round.
    Spiral,
    /// One after the other as numbered.
    Row,
    /// As the author lists them.
    Listed(Vec<usize>),
}

/// Why a list of positions is no order, or that there are more than [`MOST_POSITIONS`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderFault {
    /// Positions that are not in the list.
    pub missing: Vec<usize>,
    /// Positions that are in it more than once.
    pub repeated: Vec<usize>,
    /// Numbers that are no position.
    pub beyond: Vec<usize>,
    /// How many positions there are.
    pub count: usize,
}

impl Order {
    /// Reads `cross`, `spiral`, `row`, or positions like `3 1 4 2`; `None` for anything else.
    pub fn parse(text: &str) -> Option<Order> {
        match text.trim().to_lowercase().as_str() {
            "cross" => Some(Order::Cross),
            "spiral" => Some(Order::Spiral),
            "row" => Some(Order::Row),
            "" => None,
            list => list
                .split(|c: char| c.is_whitespace() || c == '-' || c == ';')
                .filter(|word| !word.is_empty())
                .map(|word| word.parse().ok())
                .collect::<Option<Vec<usize>>>()
                .filter(|positions| !positions.is_empty() && positions.len() <= MOST_POSITIONS)
                .map(Order::Listed),
        }
    }

    /// The positions of `layout` in the order of tightening.
    ///
    /// Cross on a circle: the legacy cross pattern of ASME PCC-1. Cross and spiral on rows: from the middle outwards, which is
    /// common practice for heads and long covers; no standard gives it.
    pub fn positions(&self, layout: &Layout) -> Result<Vec<usize>, OrderFault> {
        let count = layout.count();
        if count > MOST_POSITIONS {
            return Err(OrderFault { missing: Vec::new(), repeated: Vec::new(), beyond: Vec::new(), count });
        }
        match (self, layout) {
            (Order::Row, _) => Ok((1..=count).collect()),
            (Order::Listed(list), _) => check(list, count).map(|()| list.clone()),
            (Order::Cross, Layout::Circle(_)) => Ok(cross_on_circle(count)),
            (Order::Spiral, Layout::Circle(_)) => Ok((1..=count).collect()),
            (Order::Cross, _) => Ok(cross_from_middle(layout)),
            (Order::Spiral, _) => Ok(spiral_from_middle(layout)),
        }
    }
}

impl fmt::Display for OrderFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let list = |positions: &[usize]| positions.iter().map(usize::to_string).collect::<Vec<_>>().join(", ");
        if self.count > MOST_POSITIONS {
            return write!(f, "{} positions are too many for one group: at most {MOST_POSITIONS}", self.count);
        }
        let mut parts = Vec::new();
        if !self.missing.is_empty() {
            parts.push(format!("{} left out", list(&self.missing)));
        }
        if !self.repeated.is_empty() {
            parts.push(format!("{} more than once", list(&self.repeated)));
        }
        if !self.beyond.is_empty() {
            parts.push(format!("{} no position", list(&self.beyond)));
        }
        write!(f, "each of the {} positions stands once in an order: {}", self.count, parts.join("; "))
    }
}

impl std::error::Error for OrderFault {}

/// Whether a list holds each of the positions 1 to `count` just once.
pub fn check(list: &[usize], count: usize) -> Result<(), OrderFault> {
    let mut times = vec![0_usize; count];
    let mut beyond = Vec::new();
    for position in list {
        match position.checked_sub(1).and_then(|index| times.get_mut(index)) {
            Some(seen) => *seen += 1,
            None => beyond.push(*position),
        }
    }
    let with = |wanted: fn(usize) -> bool| {
        times.iter().enumerate().filter(|(_, seen)| wanted(**seen)).map(|(i, _)| i + 1).collect::<Vec<_>>()
    };
    let (missing, repeated) = (with(|n| n == 0), with(|n| n > 1));
    if missing.is_empty() && repeated.is_empty() && beyond.is_empty() {
        Ok(())
    } else {
        Err(OrderFault { missing, repeated, beyond, count })
    }
}

/// Cross on a circle of `n`, numbered clockwise.
///
/// Multiples of four go by quads k, k + n/2, k + n/4, k + 3n/4 (ASME PCC-1, legacy cross-pattern table). Other even
/// numbers go by opposite pairs and odd ones by the star, for which PCC-1 has no row: common practice.
fn cross_on_circle(n: usize) -> Vec<usize> {
    if n.is_multiple_of(4) {
        let quads = n / 4;
        return spread(quads).into_iter().flat_map(|k| [k, k + 2 * quads, k + quads, k + 3 * quads]).collect();
    }
    if n.is_multiple_of(2) {
        let pairs = n / 2;
        return spread(pairs).into_iter().flat_map(|k| [k, k + pairs]).collect();
    }
    // Half the circle forward each time meets every position, since n and (n - 1) / 2 have no common divisor.
    let step = if n == 3 { 1 } else { n / 2 };
    (0..n).map(|i| (i * step) % n + 1).collect()
}

/// The first bolts of the quads (or pairs) in the order in which they are taken, as far apart as they can be.
///
/// Up to eight as in the table of ASME PCC-1; beyond that by halving the gap (the numbers 0… with their bits reversed).
fn spread(count: usize) -> Vec<usize> {
    match count {
        4 => vec![1, 3, 2, 4],
        5 => vec![1, 3, 5, 2, 4],
        6 => vec![1, 4, 2, 5, 3, 6],
        7 => vec![1, 4, 6, 2, 5, 3, 7],
        8 => vec![1, 5, 3, 7, 2, 6, 4, 8],
        0..=3 => (1..=count).collect(),
        _ => {
            let bits = usize::BITS - (count - 1).leading_zeros();
            (0..1_usize << bits)
                .map(|i| i.reverse_bits() >> (usize::BITS - bits))
                .filter(|i| *i < count)
                .map(|i| i + 1)
                .collect()
        }
    }
}

/// From the middle outwards, each followed by the one opposite.
fn cross_from_middle(layout: &Layout) -> Vec<usize> {
    let points = layout.around_middle();
    let mut left: Vec<usize> = (0..points.len()).collect();
    left.sort_by(|a, b| length(points[*a]).total_cmp(&length(points[*b])));
    let mut order = Vec::with_capacity(left.len());
    while !left.is_empty() {
        let first = left.remove(0);
        order.push(first + 1);
        let (x, y) = points[first];
        // The one opposite through the middle; where there is none, the next goes alone.
        if let Some(index) = left.iter().position(|i| length((points[*i].0 + x, points[*i].1 + y)) < 1e-6) {
            order.push(left.remove(index) + 1);
        }
    }
    order
}

/// From the middle outwards in rings, each walked clockwise from where the last one ended.
fn spiral_from_middle(layout: &Layout) -> Vec<usize> {
    let points = layout.around_middle();
    let ring = |(x, y): (f64, f64)| ((x.abs().max(y.abs()) * 1000.0).round()) as i64;
    let mut rings: Vec<i64> = points.iter().map(|p| ring(*p)).collect();
    rings.sort_unstable();
    rings.dedup();
    let mut order: Vec<usize> = Vec::with_capacity(points.len());
    for radius in rings {
        let mut members: Vec<usize> = (0..points.len()).filter(|i| ring(points[*i]) == radius).collect();
        // y runs down the page, so growing angles run clockwise.
        members.sort_by(|a, b| points[*a].1.atan2(points[*a].0).total_cmp(&points[*b].1.atan2(points[*b].0)));
        if let Some(last) = order.last().map(|p| points[p - 1]) {
            let near = |i: &usize| length((points[*i].0 - last.0, points[*i].1 - last.1));
            let start =
                (0..members.len()).min_by(|a, b| near(&members[*a]).total_cmp(&near(&members[*b]))).unwrap_or(0);
            members.rotate_left(start);
        }
        order.extend(members.into_iter().map(|i| i + 1));
    }
    order
}

fn length((x, y): (f64, f64)) -> f64 {
    x.hypot(y)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn order(order: &str, layout: &Layout) -> Vec<usize> {
        Order::parse(order).unwrap().positions(layout).unwrap()
    }

    /// ASME PCC-1 legacy cross-pattern table; the rows of 12 and 20 from memory.
    #[test]
    fn cross_on_a_circle_is_that_of_asme_pcc_1() {
        for (n, expected) in [
            (4, "1-3-2-4"),
            (8, "1-5-3-7-2-6-4-8"),
            (12, "1-7-4-10-2-8-5-11-3-9-6-12"),
            (16, "1-9-5-13-3-11-7-15-2-10-6-14-4-12-8-16"),
            (20, "1-11-6-16-3-13-8-18-5-15-10-20-2-12-7-17-4-14-9-19"),
            (24, "1-13-7-19-4-16-10-22-2-14-8-20-5-17-11-23-3-15-9-21-6-18-12-24"),
            (28, "1-15-8-22-4-18-11-25-6-20-13-27-2-16-9-23-5-19-12-26-3-17-10-24-7-21-14-28"),
        ] {
            assert_eq!(Order::Listed(order("cross", &Layout::Circle(n))), Order::parse(expected).unwrap(), "{n}");
        }
    }

    /// Common practice, from memory: PCC-1 has no row for these.
    #[test]
    fn cross_on_other_circles() {
        for (n, expected) in [(3, "1 2 3"), (5, "1 3 5 2 4"), (6, "1 4 2 5 3 6"), (10, "1 6 3 8 5 10 2 7 4 9")] {
            assert_eq!(Order::Listed(order("cross", &Layout::Circle(n))), Order::parse(expected).unwrap(), "{n}");
        }
    }

    /// The properties behind the table: each once; on even circles opposite ones follow each other.
    #[test]
    fn every_order_holds_each_position_once() {
        for n in 1..=100 {
            let cross = order("cross", &Layout::Circle(n));
            assert_eq!(check(&cross, n), Ok(()), "{n}");
            if n.is_multiple_of(2) {
                for pair in cross.chunks(2) {
                    assert_eq!(pair[0].abs_diff(pair[1]), n / 2, "{n}: {cross:?}");
                }
            }
        }
        for rows in 1..6 {
            for columns in 1..9 {
                let layout = Layout::Rows { rows, columns };
                for word in ["cross", "spiral", "row"] {
                    assert_eq!(check(&order(word, &layout), rows * columns), Ok(()), "{word} {rows} x {columns}");
                }
            }
        }
    }

    #[test]
    fn rows_go_from_the_middle_outwards() {
        assert_eq!(order("cross", &Layout::Rows { rows: 2, columns: 2 }), [1, 4, 2, 3]);
        assert_eq!(
            order("cross", &Layout::Rows { rows: 2, columns: 7 }),
            [4, 11, 3, 12, 5, 10, 2, 13, 6, 9, 1, 14, 7, 8]
        );
        assert_eq!(order("spiral", &Layout::Rows { rows: 3, columns: 3 }), [5, 2, 3, 6, 9, 8, 7, 4, 1]);
    }

    #[test]
    fn a_listed_order_is_checked() {
        let layout = Layout::Rows { rows: 2, columns: 7 };
        let good = Order::parse("4 11 10 3 5 12 13 6 2 9 8 1 7 14").unwrap();
        assert!(good.positions(&layout).is_ok());
        let fault = Order::parse("1 2 2 9").unwrap().positions(&Layout::Circle(4)).unwrap_err();
        assert_eq!((fault.missing, fault.repeated, fault.beyond), (vec![3, 4], vec![2], vec![9]));
        let fault = check(&[1, 2, 2, 9, 0], 4).unwrap_err();
        assert_eq!(
            fault.to_string(),
            "each of the 4 positions stands once in an order: 3, 4 left out; 2 more than once; 9, 0 no position"
        );
        assert!(Order::Cross.positions(&Layout::Circle(usize::MAX)).is_err());
        assert_eq!(Order::parse("crosswise"), None);
        assert_eq!(Order::parse("1 two 3"), None);
    }
}
