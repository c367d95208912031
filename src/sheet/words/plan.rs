//! The tightening plan of a group: its layout and order, drawn.

use super::name;
use super::ways::Known;
use crate::procedure::{Fastening, Layout, Order, Thing};
use crate::sheet::catalogue as say;
use crate::sheet::content::Drawing;
use crate::sheet::draw::plan::{Shape, Spot, in_rows, on_circle};
use crate::trade;

/// The plan of a group; `None` where there is nothing to show. `chosen` are the positions that the
/// act is about; empty: all. `reversed`: the order is worked backwards; `places_only`: no order is worked.
pub(super) fn of(
    known: &Known<'_>,
    thing: &Thing,
    chosen: &[u32],
    reversed: bool,
    places_only: bool,
) -> Option<Drawing> {
    let facts = known.facts(thing);
    let fastening = facts.fastening.as_ref()?;
    let count = fastening.count.unwrap_or(facts.count) as usize;
    if !(3..=trade::order::MOST_POSITIONS).contains(&count) {
        return None;
    }
    let layout = fastening.layout.as_ref();
    let order = order_of(fastening, count).filter(|_| !places_only);
    let marked = !fastening.positions_are.is_empty() || !chosen.is_empty();
    if order.is_none() && !(layout.is_some() && marked) {
        return None;
    }
    let (places, shape) = places(layout, count)?;
    let mut order = order.filter(|order| order.len() == places.len());
    if let Some(order) = &mut order
        && reversed
    {
        order.reverse();
    }
    let turn_of = |position: usize| -> Option<usize> {
        let order = order.as_ref()?;
        let in_turn: Vec<usize> = order
            .iter()
            .copied()
            .filter(|position| chosen.is_empty() || chosen.contains(&(*position as u32)))
            .collect();
        in_turn.iter().position(|at| *at == position).map(|at| at + 1)
    };
    let dark = |position: usize| {
        let of_size = |(positions, _, _): &(Vec<u32>, u32, _)| positions.contains(&(position as u32));
        fastening.positions_are.iter().any(of_size)
    };
    let spots: Vec<Spot> = places
        .iter()
        .enumerate()
        .map(|(index, &(x, y))| {
            let position = index + 1;
            let mark = match (&order, turn_of(position)) {
                (Some(_), Some(turn)) => turn.to_string(),
                (Some(_), None) => String::new(),
                (None, _) if chosen.is_empty() || chosen.contains(&(position as u32)) => position.to_string(),
                (None, _) => String::new(),
            };
            Spot { x, y, mark, dark: dark(position) }
        })
        .collect();
    let mut caption = vec![match order {
        Some(_) => say::NUMBERS_ARE_ORDER.to_owned(),
        None => say::NUMBERS_ARE_POSITIONS.to_owned(),
    }];
    for (positions, _, size) in &fastening.positions_are {
        let size = super::fastener::size(size);
        let word = if positions.len() == 1 { say::POSITION } else { say::POSITIONS };
        caption.push(format!("{} {size} ({word} {}).", say::BLACK_IS, name::runs(positions)));
    }
    if shape == Shape::Circle && order.is_none() {
        caption.push(say::CLOCKWISE_FROM_TOP.to_owned());
    }
    let words = match &order {
        Some(order) => {
            let order: Vec<String> = order.iter().map(usize::to_string).collect();
            format!("{}: {}", say::ORDER_OF_POSITIONS, order.join(", "))
        }
        None => format!("{} {}", say::PLAN_OF, name::article(&thing.name)),
    };
    let ordered = order.is_some();
    Some(Drawing::Plan { spots, shape, caption: caption.join(" "), words, ordered })
}

type Places = Vec<(f32, f32)>;

fn places(layout: Option<&Layout>, count: usize) -> Option<(Places, Shape)> {
    Some(match layout {
        Some(Layout::Circle) => (on_circle(count), Shape::Circle),
        Some(Layout::Rows { rows, columns }) => {
            let (rows, columns) = (*rows as usize, *columns as usize);
            if rows.checked_mul(columns)? > trade::order::MOST_POSITIONS {
                return None;
            }
            (in_rows(rows, columns), Shape::Rows)
        }
        Some(Layout::Free(points)) => (points.iter().map(|(x, y)| (*x as f32, *y as f32)).collect(), Shape::Free),
        None => return None,
    })
}

/// Positions in the order of tightening.
fn order_of(fastening: &Fastening, count: usize) -> Option<Vec<usize>> {
    let order = match fastening.order.as_ref()? {
        Order::Cross => trade::order::Order::Cross,
        Order::Spiral => trade::order::Order::Spiral,
        Order::Row => trade::order::Order::Row,
        Order::Positions(list) => trade::order::Order::Listed(list.iter().map(|position| *position as usize).collect()),
    };
    let layout = match fastening.layout.as_ref()? {
        Layout::Circle => trade::layout::Layout::Circle(count),
        Layout::Rows { rows, columns } => {
            trade::layout::Layout::Rows { rows: *rows as usize, columns: *columns as usize }
        }
        Layout::Free(points) => {
            let near = |value: f64| crate::quantity::Number::from_ratio((value * 1000.0).round() as i128, 1000);
            let points: Option<Vec<_>> = points.iter().map(|(x, y)| Some((near(*x)?, near(*y)?))).collect();
            trade::layout::Layout::At(points?)
        }
    };
    order.positions(&layout).ok()
}
