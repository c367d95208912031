//! In which order a group of fasteners is tightened.
//!
//! Positions are numbered from 1 as [`Layout`] lays them out; an order lists them as they are tightened.

mod circle;
mod middle;

use std::fmt;

use super::layout::{Layout, around_middle};

/// Most fasteners one group may have.
pub const MOST_POSITIONS: u32 = 400;

/// How a group is worked through.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Order {
    /// Opposite ones one after the other, so that the joint closes evenly.
    Cross,
    /// From the middle outwards, round and round.
    Spiral,
    /// One after the other as numbered: along the rows, round the circle.
    Row,
    /// The author's own: positions, from 1, in the order of tightening.
    Positions(Vec<u32>),
}

/// Why there is no order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OrderFault {
    /// More fasteners than [`MOST_POSITIONS`], or none.
    Count(u32),
    /// The layout has so many places for another count.
    Places {
        /// How many places it has.
        places: u32,
        /// How many fasteners there are.
        count: u32,
    },
    /// Each position must stand once in it, and does not.
    NotEachOnce {
        /// Positions that are not in the list.
        missing: Vec<u32>,
        /// Positions that are in it more than once.
        repeated: Vec<u32>,
        /// Numbers that are no position.
        beyond: Vec<u32>,
        /// How many positions there are.
        count: u32,
    },
}

impl Order {
    /// Reads `cross`, `spiral`, `row`, or positions like `3 1 4 2`; `None` for anything else.
    pub fn parse(text: &str) -> Option<Order> {
        match text.trim().to_lowercase().as_str() {
            "cross" => Some(Order::Cross),
            "spiral" => Some(Order::Spiral),
            "row" => Some(Order::Row),
            list => list
                .split(|c: char| c.is_whitespace() || matches!(c, '-' | ';' | ',' | '/'))
                .filter(|word| !word.is_empty())
                .map(|word| word.parse().ok())
                .collect::<Option<Vec<u32>>>()
                .filter(|positions| !positions.is_empty() && positions.len() <= MOST_POSITIONS as usize)
                .map(Order::Positions),
        }
    }

    /// The positions of `count` fasteners in the order of tightening.
    ///
    /// Cross on a circle: the legacy cross pattern of ASME PCC-1, and common practice where it has no row. Spiral and row
    /// on a circle go round it. Cross and spiral on rows and free layouts: from the middle outwards, which is common practice
    /// for heads and long covers; no standard gives it.
    pub fn positions(&self, layout: &Layout, count: u32) -> Result<Vec<u32>, OrderFault> {
        if !(1..=MOST_POSITIONS).contains(&count) {
            return Err(OrderFault::Count(count));
        }
        let Some(places) = layout.places(count) else {
            return Err(OrderFault::Places { places: layout.own_count().unwrap_or(count), count });
        };
        match (self, layout) {
            (Order::Positions(list), _) => each_once(list, count).map(|()| list.clone()),
            (Order::Row, _) | (Order::Spiral, Layout::Circle) => Ok((1..=count).collect()),
            (Order::Cross, Layout::Circle) => Ok(circle::cross(count)),
            (Order::Cross, _) => Ok(middle::cross(&around_middle(&places))),
            (Order::Spiral, _) => Ok(middle::spiral(&around_middle(&places))),
        }
    }

    /// The order as people write it down: `1-5-3-7 / 2-6-4-8`, in groups where each group closes the joint evenly (fours
    /// on a circle of a multiple of four, pairs on other even ones), else in one run.
    pub fn written(&self, layout: &Layout, positions: &[u32]) -> String {
        let group = match (self, layout) {
            (Order::Cross, Layout::Circle) if positions.len() >= 4 && positions.len().is_multiple_of(4) => 4,
            (Order::Cross, Layout::Circle) if positions.len() > 2 && positions.len().is_multiple_of(2) => 2,
            _ => positions.len().max(1),
        };
        let run = |run: &[u32]| run.iter().map(u32::to_string).collect::<Vec<_>>().join("-");
        positions.chunks(group).map(run).collect::<Vec<_>>().join(" / ")
    }
}

/// Whether a list holds each of the positions 1 to `count` just once.
pub fn each_once(list: &[u32], count: u32) -> Result<(), OrderFault> {
    if count > MOST_POSITIONS {
        return Err(OrderFault::Count(count));
    }
    let mut times = vec![0_u32; count as usize];
    let mut beyond = Vec::new();
    for position in list {
        match position.checked_sub(1).and_then(|index| times.get_mut(index as usize)) {
            Some(seen) => *seen += 1,
            None => beyond.push(*position),
        }
    }
    let with = |wanted: fn(u32) -> bool| {
        (1..).zip(&times).filter(|(_, seen)| wanted(**seen)).map(|(position, _)| position).collect::<Vec<u32>>()
    };
    let (missing, repeated) = (with(|n| n == 0), with(|n| n > 1));
    if missing.is_empty() && repeated.is_empty() && beyond.is_empty() {
        Ok(())
    } else {
        Err(OrderFault::NotEachOnce { missing, repeated, beyond, count })
    }
}

/// Whether a list holds each of the chosen positions just once, and no other.
pub fn each_of(list: &[u32], chosen: &[u32]) -> bool {
    let sorted = |positions: &[u32]| {
        let mut positions = positions.to_vec();
        positions.sort_unstable();
        positions
    };
    sorted(list) == sorted(chosen)
}

/// Numbers among `positions` that are no position of `count` fasteners.
pub fn beyond(positions: &[u32], count: u32) -> Vec<u32> {
    positions.iter().copied().filter(|position| *position == 0 || *position > count).collect()
}

impl fmt::Display for OrderFault {
    /// What is wrong, to follow 'the order' or 'the layout': `leaves out 3 and 4, has 2 twice`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let list = |positions: &[u32]| {
            let words: Vec<String> = positions.iter().map(u32::to_string).collect();
            match words.split_last() {
                Some((last, [])) => last.clone(),
                Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
                None => String::new(),
            }
        };
        match self {
            OrderFault::Count(0) => write!(f, "has no positions"),
            OrderFault::Count(count) => {
                write!(f, "has {count} positions, too many for one group: at most {MOST_POSITIONS}")
            }
            OrderFault::Places { places, count } => write!(f, "has {places} places for {count} fasteners"),
            OrderFault::NotEachOnce { missing, repeated, beyond, count } => {
                let mut parts = Vec::new();
                if !missing.is_empty() {
                    parts.push(format!("leaves out {}", list(missing)));
                }
                if !repeated.is_empty() {
                    parts.push(format!("has {} more than once", list(repeated)));
                }
                if !beyond.is_empty() {
                    parts.push(format!("names {} of only {count}", list(beyond)));
                }
                write!(f, "{}", parts.join(", "))
            }
        }
    }
}

impl std::error::Error for OrderFault {}

#[cfg(test)]
mod tests {
    use super::*;

    pub(super) fn order(order: &str, layout: &str, count: u32) -> Vec<u32> {
        Order::parse(order).unwrap().positions(&Layout::parse(layout).unwrap(), count).unwrap()
    }

    #[test]
    fn every_order_holds_each_position_once() {
        for count in 1..=MOST_POSITIONS {
            for word in ["cross", "spiral", "row"] {
                assert_eq!(each_once(&order(word, "circle", count), count), Ok(()), "{word} circle {count}");
            }
        }
        for rows in 1..=6 {
            for columns in 1..=9 {
                for word in ["cross", "spiral", "row"] {
                    let got = order(word, &format!("rows {rows} x {columns}"), rows * columns);
                    assert_eq!(each_once(&got, rows * columns), Ok(()), "{word} {rows} x {columns}");
                }
            }
        }
    }

    #[test]
    fn spiral_and_row_on_a_circle_go_round_it() {
        assert_eq!(order("spiral", "circle", 5), [1, 2, 3, 4, 5]);
        assert_eq!(order("row", "circle", 5), [1, 2, 3, 4, 5]);
    }

    #[test]
    fn a_listed_order_is_checked() {
        let layout = Layout::Rows { rows: 2, columns: 7 };
        let good = Order::parse("4 11 10 3 5 12 13 6 2 9 8 1 7 14").unwrap();
        assert!(good.positions(&layout, 14).is_ok());
        let fault = Order::parse("1 2 2 9").unwrap().positions(&Layout::Circle, 4).unwrap_err();
        let expected = OrderFault::NotEachOnce { missing: vec![3, 4], repeated: vec![2], beyond: vec![9], count: 4 };
        assert_eq!(fault, expected);
        assert_eq!(
            each_once(&[1, 2, 2, 9, 0], 4).unwrap_err().to_string(),
            "leaves out 3 and 4, has 2 more than once, names 9 and 0 of only 4"
        );
        assert!(each_of(&[7, 2, 5], &[2, 5, 7]));
        assert!(!each_of(&[7, 2, 2], &[2, 5, 7]) && !each_of(&[7, 2], &[2, 5, 7]));
        assert_eq!(each_once(&[1, 2], u32::MAX), Err(OrderFault::Count(u32::MAX)));
        assert_eq!(Order::Row.positions(&layout, 13), Err(OrderFault::Places { places: 14, count: 13 }));
        assert_eq!(Order::Cross.positions(&Layout::Circle, u32::MAX), Err(OrderFault::Count(u32::MAX)));
        assert_eq!(Order::Cross.positions(&Layout::Circle, 0), Err(OrderFault::Count(0)));
        assert_eq!(Order::parse("crosswise"), None);
        assert_eq!(Order::parse("1 two 3"), None);
        assert_eq!(Order::parse(""), None);
    }

    #[test]
    fn orders_are_written_in_groups_that_close_the_joint() {
        let written = |order: Order, layout: Layout, count| {
            let positions = order.positions(&layout, count).unwrap();
            order.written(&layout, &positions)
        };
        assert_eq!(written(Order::Cross, Layout::Circle, 8), "1-5-3-7 / 2-6-4-8");
        assert_eq!(written(Order::Cross, Layout::Circle, 6), "1-4 / 2-5 / 3-6");
        assert_eq!(written(Order::Cross, Layout::Circle, 5), "1-3-5-2-4");
        assert_eq!(written(Order::Cross, Layout::Circle, 4), "1-3-2-4");
        assert_eq!(written(Order::Row, Layout::Rows { rows: 1, columns: 3 }, 3), "1-2-3");
    }
}
