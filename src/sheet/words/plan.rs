//! The tightening plan of a group: its layout and order, drawn or in words.

use super::{fastener, name, sentence};
use crate::procedure::{Fastening, Layout, Order, Pass, PassAction, Thing};
use crate::sheet::catalogue as say;
use crate::sheet::content::Drawing;
use crate::sheet::draw::plan::{Look, Shape, Spot, is_readable};
use crate::trade::order::each_of;

/// A group as an act works through it.
#[derive(Clone, Copy)]
pub(super) struct Group<'a> {
    pub fastening: &'a Fastening,
    /// How many there are.
    pub count: u32,
    /// The positions that the act is about; empty: all.
    pub chosen: &'a [u32],
    /// The act's own order, or that of the pass it does.
    pub order: Option<&'a Order>,
    /// The order is worked backwards.
    pub reversed: bool,
}

/// Fewer places need no plan.
const FEWEST: usize = 3;

impl Group<'_> {
    fn order(&self) -> Option<&Order> {
        self.order.or(self.fastening.order.as_ref())
    }

    /// All positions in the order in which they are worked.
    fn positions(&self) -> Option<Vec<u32>> {
        let mut positions = self.order()?.positions(self.fastening.layout.as_ref()?, self.count).ok()?;
        if self.reversed {
            positions.reverse();
        }
        Some(positions)
    }

    /// The number of each position in the plan, and in which order they come; `None` where no order is worked.
    fn turns(&self) -> Option<Vec<u32>> {
        // Of some positions their own order may be listed.
        if let Some(Order::Positions(list)) = self.order.filter(|_| !self.chosen.is_empty())
            && each_of(list, self.chosen)
        {
            return Some(list.clone());
        }
        let mut positions = self.positions()?;
        positions.retain(|position| self.chosen.is_empty() || self.chosen.contains(position));
        Some(positions)
    }

    fn look(&self, position: u32) -> Look {
        let other = self.fastening.positions_are.iter().position(|(positions, _, _)| positions.contains(&position));
        match other {
            Some(0) => Look::Black,
            Some(1) => Look::Ringed,
            _ => Look::Plain,
        }
    }

    /// The places with what stands in them; `None` where they can't be drawn so that they are read.
    fn spots(&self, turns: Option<&[u32]>) -> Option<Vec<Spot>> {
        let places = self.fastening.layout.as_ref()?.places(self.count)?;
        let mark = |position: u32| match turns {
            Some(turns) => turns.iter().position(|at| *at == position).map(|turn| (turn + 1).to_string()),
            None => (self.chosen.is_empty() || self.chosen.contains(&position)).then(|| position.to_string()),
        };
        let spot = |(position, (x, y)): (u32, (f64, f64))| Spot {
            x: x as f32,
            y: y as f32,
            mark: mark(position).unwrap_or_default(),
            look: self.look(position),
        };
        let spots: Vec<Spot> = (1..).zip(places).map(spot).collect();
        (spots.len() >= FEWEST && is_readable(&spots)).then_some(spots)
    }

    /// What positions are called beside the plan: the numbers that stand in it, or their own where it has no order.
    fn called(&self, positions: &[u32], turns: Option<&[u32]>) -> String {
        let mut numbers: Vec<u32> = match turns {
            None => positions.to_vec(),
            Some(turns) => (1..).zip(turns).filter(|(_, at)| positions.contains(at)).map(|(turn, _)| turn).collect(),
        };
        numbers.sort_unstable();
        let word = match (turns.is_some(), numbers.len()) {
            (true, 1) => say::NUMBER,
            (true, _) => say::NUMBERS,
            (false, 1) => say::POSITION,
            (false, _) => say::POSITIONS,
        };
        format!("{word} {}", name::runs(&numbers))
    }

    /// Which of its positions a pass is about: as the plan shows them, where one is drawn.
    pub(super) fn meant(&self, positions: &[u32]) -> String {
        let turns = self.turns().filter(|turns| self.spots(Some(turns)).is_some());
        let black = self.fastening.positions_are.first().is_some_and(|(black, _, _)| same(black, positions));
        match turns {
            Some(_) if black && self.chosen.is_empty() => say::THE_BLACK_ONES.to_owned(),
            turns => self.called(positions, turns.as_deref()),
        }
    }

    /// Which sizes are where.
    fn sizes(&self, turns: Option<&[u32]>, caption: &mut Vec<String>) {
        if self.fastening.positions_are.is_empty() {
            return;
        }
        for (index, (positions, _, size)) in self.fastening.positions_are.iter().enumerate() {
            let shown: Vec<u32> = positions
                .iter()
                .copied()
                .filter(|position| self.chosen.is_empty() || self.chosen.contains(position))
                .collect();
            if shown.is_empty() {
                continue;
            }
            let (size, called) = (fastener::size(size), self.called(&shown, turns));
            caption.push(match index {
                0 => format!("{} {size} ({called}).", say::BLACK_IS),
                1 => format!("{} {size} ({called}).", say::RINGED_IS),
                _ => format!("{}: {size}.", sentence::capital(&called)),
            });
        }
        if let Some(size) = &self.fastening.size {
            caption.push(format!("{} {}.", say::THE_OTHERS, fastener::size(size)));
        }
    }
}

fn same(a: &[u32], b: &[u32]) -> bool {
    a.len() == b.len() && a.iter().all(|position| b.contains(position))
}

/// The plan of a group; `None` where there is nothing to show, or no room for it. `places_only`: no order is worked.
/// `undone`: it is loosened. `called`: whose plan it is, where an act has several.
pub(super) fn of(group: &Group<'_>, thing: &Thing, places_only: bool, undone: bool, called: bool) -> Option<Drawing> {
    let turns = if places_only { None } else { group.turns() };
    let marked = !group.fastening.positions_are.is_empty() || !group.chosen.is_empty();
    if turns.is_none() && !marked {
        return None;
    }
    let shape = shape(group.fastening.layout.as_ref()?);
    let spots = group.spots(turns.as_deref())?;
    let mut caption = Vec::new();
    if called {
        caption.push(format!("{}:", sentence::capital(&thing.name)));
    }
    let numbers = match &turns {
        Some(_) if undone => say::NUMBERS_ARE_LOOSENING,
        Some(_) => say::NUMBERS_ARE_ORDER,
        None => say::NUMBERS_ARE_POSITIONS,
    };
    caption.push(numbers.to_owned());
    group.sizes(turns.as_deref(), &mut caption);
    if shape == Shape::Circle && turns.is_none() {
        caption.push(say::CLOCKWISE_FROM_TOP.to_owned());
    }
    let words = match &turns {
        Some(turns) => {
            let turns: Vec<String> = turns.iter().map(u32::to_string).collect();
            let order = if undone { say::LOOSENING_OF_POSITIONS } else { say::ORDER_OF_POSITIONS };
            format!("{order}: {}", turns.join(", "))
        }
        None => format!("{} {}", say::PLAN_OF, name::article(&thing.name)),
    };
    let ordered = turns.is_some();
    Some(Drawing::Plan { spots, shape, caption: caption.join(" "), words, ordered })
}

/// The order in words, where it can't be drawn; nothing where there is none or the group is too small for one.
pub(super) fn in_words(group: &Group<'_>, undone: bool) -> Option<String> {
    if (group.count as usize) < FEWEST {
        return None;
    }
    let order = group.order()?;
    if undone {
        return Some(loosening(order, group.fastening.layout.as_ref()).to_owned());
    }
    // Of many that can't be drawn the numbers are known all the same.
    let listed = match (order, group.turns()) {
        (Order::Positions(list), None) => Some(list.clone()),
        (Order::Positions(_), Some(turns)) => Some(turns),
        _ => None,
    };
    if let Some(list) = listed {
        let list: Vec<String> = list.iter().map(u32::to_string).collect();
        return Some(format!("{} {}", sentence::capital(say::POSITIONS), list.join(", ")));
    }
    Some(sentence::capital(manner(order, group.fastening.layout.as_ref())))
}

/// How a group is loosened that is tightened in this order.
fn loosening(order: &Order, layout: Option<&Layout>) -> &'static str {
    match (order, layout) {
        (Order::Cross, None | Some(Layout::Circle)) => say::LOOSEN_CROSSWISE,
        _ => say::LOOSEN_IN_REVERSE,
    }
}

/// Whether loosening all of a group at once could bend what it holds: the trade lets it go in the reverse of the order of
/// tightening (common practice).
pub(super) fn loosened_in_order(group: &Group<'_>) -> bool {
    const FEWEST_LOOSENED: u32 = 4;
    let ordered = matches!(group.order(), Some(Order::Cross | Order::Spiral | Order::Positions(_)));
    ordered && group.count >= FEWEST_LOOSENED && group.chosen.is_empty()
}

/// Whether it is a long joint, of which the reversed order is drawn although nobody asked for it.
pub(super) fn is_long(group: &Group<'_>) -> bool {
    const FEWEST_OF_LONG: u32 = 8;
    let circle = matches!(group.fastening.layout, None | Some(Layout::Circle));
    !circle && group.count >= FEWEST_OF_LONG
}

/// How an order is called: `crosswise`, `round the circle`.
fn manner(order: &Order, layout: Option<&Layout>) -> &'static str {
    match (order, layout) {
        (Order::Cross, Some(Layout::Rows { .. })) => say::CROSSWISE_FROM_MIDDLE,
        (Order::Cross, _) => say::CROSSWISE,
        (Order::Row | Order::Spiral, Some(Layout::Circle)) => say::ROUND_THE_CIRCLE,
        (Order::Spiral, _) => say::SPIRAL_FROM_MIDDLE,
        (Order::Row, _) => say::ONE_AFTER_ANOTHER,
        (Order::Positions(_), _) => say::IN_THE_ORDER_SHOWN,
    }
}

/// The order of each pass in words, beside its value; nothing where all go as the plan says.
pub(super) fn of_pass(pass: &Pass, before: &[&Pass], all: &[Pass], fastening: &Fastening) -> Option<String> {
    if all.iter().all(|pass| pass.order.is_none()) {
        return None;
    }
    let layout = fastening.layout.as_ref();
    let order = pass.order.as_ref().or(fastening.order.as_ref())?;
    let words = match &pass.order {
        Some(Order::Positions(list)) => {
            let list: Vec<String> = list.iter().map(u32::to_string).collect();
            format!("{} {}", say::POSITIONS, list.join(", "))
        }
        // The plan shows the rest.
        _ if *order == Order::Cross => say::CROSSWISE_ONLY.to_owned(),
        _ => manner(order, layout).to_owned(),
    };
    // Once more at the value that is reached: it is done when none turns.
    let value = |pass: &Pass| match &pass.action {
        PassAction::Torque(value) | PassAction::Check(value) => Some(value.clone()),
        _ => None,
    };
    let again = pass.order == Some(Order::Row)
        && value(pass).is_some()
        && before.iter().rev().find_map(|pass| value(pass)) == value(pass);
    Some(if again { format!("{words} {}", say::UNTIL_NONE_TURNS) } else { words })
}

/// What joins the places.
fn shape(layout: &Layout) -> Shape {
    match layout {
        Layout::Circle => Shape::Circle,
        Layout::Rows { .. } => Shape::Rows,
        Layout::Free(_) => Shape::Free,
    }
}
