//! The tightening plan of a group: its layout and order, drawn.

use super::name;
use super::ways::Known;
use crate::procedure::{Layout, Thing};
use crate::sheet::catalogue as say;
use crate::sheet::content::Drawing;
use crate::sheet::draw::plan::{Look, Shape, Spot};

/// Fewer places need no plan.
const FEWEST: usize = 3;

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
    let count = fastening.count.unwrap_or(facts.count);
    let layout = fastening.layout.as_ref()?;
    let places = layout.places(count).filter(|places| places.len() >= FEWEST)?;
    let order = fastening.order.as_ref().filter(|_| !places_only);
    let mut order = order.and_then(|order| order.positions(layout, count).ok());
    let marked = !fastening.positions_are.is_empty() || !chosen.is_empty();
    if order.is_none() && !marked {
        return None;
    }
    let shape = shape(layout);
    if let Some(order) = &mut order
        && reversed
    {
        order.reverse();
    }
    let turn_of = |position: u32| -> Option<usize> {
        let order = order.as_ref()?;
        let mut in_turn = order.iter().filter(|position| chosen.is_empty() || chosen.contains(position));
        in_turn.position(|at| *at == position).map(|at| at + 1)
    };
    let look = |position: u32| {
        let other = fastening.positions_are.iter().position(|(positions, _, _)| positions.contains(&position));
        match other {
            Some(0) => Look::Black,
            Some(1) => Look::Ringed,
            _ => Look::Plain,
        }
    };
    let spots: Vec<Spot> = (1..)
        .zip(&places)
        .map(|(position, &(x, y))| {
            let mark = match (&order, turn_of(position)) {
                (Some(_), Some(turn)) => turn.to_string(),
                (Some(_), None) => String::new(),
                (None, _) if chosen.is_empty() || chosen.contains(&position) => position.to_string(),
                (None, _) => String::new(),
            };
            Spot { x: x as f32, y: y as f32, mark, look: look(position) }
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
            let order: Vec<String> = order.iter().map(u32::to_string).collect();
            format!("{}: {}", say::ORDER_OF_POSITIONS, order.join(", "))
        }
        None => format!("{} {}", say::PLAN_OF, name::article(&thing.name)),
    };
    let ordered = order.is_some();
    Some(Drawing::Plan { spots, shape, caption: caption.join(" "), words, ordered })
}

/// What joins the places.
fn shape(layout: &Layout) -> Shape {
    match layout {
        Layout::Circle => Shape::Circle,
        Layout::Rows { .. } => Shape::Rows,
        Layout::Free(_) => Shape::Free,
    }
}
