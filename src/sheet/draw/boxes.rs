//! Tick boxes, boxed words, ruled boxes for values.

use crate::sheet::fragment::Fragment;
use crate::sheet::page::{Area, Kind, Origin, Stroke, at};
use crate::sheet::style::{BOX, Look, WHITE};
use crate::sheet::text::{self, Align};

/// Width of the edge of a tick box, mm.
const EDGE: f32 = 0.35;

/// Adds a box to tick, its top left corner at a place.
pub fn tick(to: &mut Fragment, x: f32, y: f32, origin: Origin) {
    field(to, Area::new(x, y, BOX, BOX), origin);
}

/// Adds a row of boxes to tick, wrapped in a column; returns where it ends.
/// Every fifth gap is wider, so that ten boxes can be counted at a glance.
pub fn ticks(to: &mut Fragment, count: usize, column: (f32, f32, f32), origin: Origin) -> f32 {
    let (x, y, width) = column;
    let (in_a_row, pitch) = (row_of(count, width), BOX + GAP);
    for index in 0..count {
        let (row, place) = (index / in_a_row, index % in_a_row);
        let dx = place as f32 * pitch + (place / 5) as f32 * GROUP_GAP;
        tick(to, x + dx, y + row as f32 * pitch, origin);
    }
    if count == 0 { y } else { y + ((count - 1) / in_a_row) as f32 * pitch + BOX }
}

/// Width of so many boxes in one row, mm.
pub fn row_width(count: usize) -> f32 {
    count as f32 * (BOX + GAP) - GAP + (count.saturating_sub(1) / 5) as f32 * GROUP_GAP
}

/// How many boxes stand in a row: all if they fit, else a multiple of five.
fn row_of(count: usize, width: f32) -> usize {
    let fits = |n: usize| row_width(n) <= width;
    if count == 0 || fits(count) {
        return count.max(1);
    }
    let fives = (1..=count.div_ceil(5)).map(|n| 5 * n).take_while(|&n| fits(n)).last();
    fives.unwrap_or_else(|| (1..5).take_while(|&n| fits(n)).last().unwrap_or(1))
}

/// Between two boxes, mm.
pub const GAP: f32 = 1.0;
/// Extra after each five boxes, mm.
const GROUP_GAP: f32 = 0.8;

/// Width of a boxed word, mm.
pub fn chip_width(word: &str, look: Look) -> f32 {
    look.face.width(word, look.size) + 2.0 * CHIP_PAD
}

/// Space beside the word in its box, mm.
const CHIP_PAD: f32 = 1.2;

/// Adds a word in a box with round corners, in the middle of a line of `height` mm; returns its width.
pub fn chip(to: &mut Fragment, word: &str, look: Look, corner: (f32, f32), height: f32) -> f32 {
    let (x, y) = corner;
    let width = chip_width(word, look);
    let set = text::line(word, look);
    let inset = (height - CHIP_HEIGHT * look.size).max(0.0) / 2.0;
    let area = Area::new(x, y + inset, width, height - 2.0 * inset);
    to.rect(area, 0.8, Some(WHITE), Some(Stroke::black(0.3)));
    let top = y + (height - set.height()) / 2.0;
    to.paragraph(&set, at(x, top), width, Align::Centre);
    width
}

/// Height of a chip in mm for each point of its type size.
const CHIP_HEIGHT: f32 = 0.46;

/// Adds a box to write in.
pub fn field(to: &mut Fragment, area: Area, origin: Origin) {
    let stroke = Some(Stroke::black(EDGE));
    to.push(Kind::Rect { area, radius: 0.0, fill: Some(WHITE), stroke }, origin);
}
