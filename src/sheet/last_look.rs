//! The last look at everything the job touched, and the sign-off.

use super::before::part_heading;
use super::breaking::Block;
use super::catalogue as say;
use super::content::Content;
use super::fragment::Fragment;
use super::page::{Area, Kind, Stroke, Tag};
use super::ready::{GUTTER, column_width, row};
use super::style::{DETAIL, Grid, HAIR, SMALL};
use super::text::Align;

/// Lays out the last look; nothing if nothing was touched.
pub fn last_look(content: &Content, grid: &Grid) -> Vec<Block> {
    if content.last_look.is_empty() {
        return Vec::new();
    }
    let beside = match content.last_look_sum.as_str() {
        "" => say::LAST_LOOK_LINE.to_owned(),
        sum => format!("{}: {sum}", say::LAST_LOOK_LINE),
    };
    let heading = part_heading(say::LAST_LOOK, &beside, grid.body.width);
    let heading =
        Block { gap: 6.0, keep_with_next: true, bookmark: Some((0, say::LAST_LOOK.to_owned())), ..Block::of(heading) };
    let width = column_width(grid);
    let half = content.last_look.len().div_ceil(2);
    let mut slices = Vec::new();
    for index in 0..half {
        let left = row(&content.last_look[index], width);
        let right = content.last_look.get(half + index).map(|tick| row(tick, width));
        let height = right.as_ref().map_or(0.0, |right| right.height).max(left.height);
        let mut pair = Fragment::of_height(height);
        pair.place(left, 0.0, 0.0);
        if let Some(right) = right {
            pair.place(right, width + GUTTER, 0.0);
        }
        slices.push(pair);
    }
    vec![heading, Block { slices, ..Block::default() }]
}

/// Lays out the sign-off.
pub fn sign_off(grid: &Grid) -> Block {
    let width = grid.body.width;
    let mut all = part_heading(say::SIGN_OFF, "", width);
    let top = all.height + 0.8;
    let height = 19.0;
    let frame = Area::new(0.0, top, width, height);
    let stroke = Some(Stroke::black(0.35));
    all.push(Kind::Rect { area: frame, radius: 0.0, fill: None, stroke }, None);
    all.line((width / 2.0, top), (width / 2.0, top + height), Stroke::black(0.25));
    for (words, x) in [(say::DONE_BY, 0.0), (say::CHECKED_BY, width / 2.0)] {
        all.tagged(Tag::Paragraph, |to| {
            to.label(words, SMALL, (x + 2.0, top + 1.2, width / 2.0), Align::Left);
        });
    }
    let mut y = top + height + 4.0;
    y = all.tagged(Tag::Paragraph, |to| to.words(say::DEVIATIONS, DETAIL, 0.0, y, width));
    for _ in 0..3 {
        y += 8.5;
        all.line((0.0, y), (width, y), Stroke::of(0.25, HAIR));
    }
    all.height = y + 1.0;
    Block { gap: 7.0, bookmark: Some((0, say::SIGN_OFF.to_owned())), ..Block::of(all) }
}
