//! Rows that are no acts: the question at the head of a block with its box, the tries of a loop, the
//! end of the road.

use super::catalogue as say;
use super::content::{Detail, Fork, Words};
use super::draw::{boxes, sign};
use super::fragment::Fragment;
use super::head::pieces;
use super::page::{Area, Stroke, Tag, at};
use super::steps::{RowEnd, finish_row, left_of};
use super::style::{ACT, BLACK, BOX, DETAIL, Grid, PROSE, SIGNAL, STEP_NUMBER, SUBHEADING};
use super::text::{self, Align};

/// Above and below the words, mm.
const PAD: f32 = 1.5;

/// The head of a block; its bar begins here. `depth` counts the bars, this one included.
pub fn fork(fork: &Fork, depth: usize, grid: &Grid) -> Fragment {
    let left = left_of(depth, grid);
    let room = grid.value - left - 3.0;
    let look = SUBHEADING;
    let mut all = Fragment::new();
    let mut inset = 0.0;
    let top = PAD + 1.0;
    if fork.ticked {
        boxes::tick(&mut all, left, top + (look.leading() - BOX) / 2.0, fork.words.origin);
        inset = BOX + 2.0;
    }
    all.height = all.tagged(Tag::Paragraph, |to| {
        let mut end = to.text(&pieces(&fork.words, look), left + inset, top, room - inset);
        if let Some(below) = &fork.below {
            end = to.text(&pieces(below, DETAIL), left + inset, end, room - inset);
        }
        end
    });
    if fork.tries > 0 {
        let top = all.height + 1.0;
        all.height = tries(&mut all, fork.tries, (left + inset, top));
    }
    all.height += PAD;
    // The bar of this block begins a little lower, so that two blocks in a row are two.
    let bar = Area::new(left_of(depth.saturating_sub(1), grid), 1.4, 1.1, all.height - 1.4);
    if depth > 0 {
        all.rect(bar, 0.0, Some(BLACK), None);
    }
    finish_row(&mut all, grid, depth.saturating_sub(1), RowEnd { ground: true, hair: true });
    all
}

/// A numbered box for each try; returns where they end.
fn tries(to: &mut Fragment, count: usize, corner: (f32, f32)) -> f32 {
    let (x, y) = corner;
    to.tagged(Tag::Paragraph, |to| {
        to.label(say::TRY, DETAIL, (x, y, 20.0), Align::Left);
        let mut left = x + DETAIL.face.width(say::TRY, DETAIL.size) + 2.0;
        for number in 1..=count.min(MOST_TRIES) {
            let word = number.to_string();
            to.label(&word, DETAIL, (left, y, 10.0), Align::Left);
            left += DETAIL.face.width(&word, DETAIL.size) + 1.0;
            boxes::tick(to, left, y + (DETAIL.leading() - BOX) / 2.0, None);
            left += BOX + 3.0;
        }
    });
    y + DETAIL.leading()
}

/// More tries than this are counted by hand.
const MOST_TRIES: usize = 9;

/// A heading of steps that come from elsewhere.
pub fn heading(words: &Words, details: &[Detail], depth: usize, grid: &Grid) -> Fragment {
    let left = left_of(depth, grid);
    let mut all = Fragment::new();
    let width = grid.value - left - 3.0;
    all.height = all.tagged(Tag::Heading3, |to| to.text(&pieces(words, SUBHEADING), left, PAD, width));
    for detail in details {
        all.stack(super::steps::detail_line(detail, left, width), 0.6);
    }
    all.height += PAD;
    finish_row(&mut all, grid, depth, RowEnd { ground: true, hair: true });
    all
}

/// The end of the road on this way.
pub fn stop(words: &Words, open: &[String], number: Option<usize>, depth: usize, grid: &Grid) -> Fragment {
    let left = left_of(depth, grid);
    let width = grid.sign - left - 1.0;
    let size = 9.0;
    let inset = size + 20.0;
    let room = width - inset - 3.0;
    let mut inner = Fragment::new();
    inner.height = inner.tagged(Tag::Paragraph, |to| {
        let mut end = 1.6;
        if !words.is_empty() {
            end = to.text(&pieces(words, PROSE.emphasised()), left + inset, end, room);
        }
        if !open.is_empty() {
            let list = format!("{} {}.", say::OPEN_NOW, super::words::capital(&open.join("; ")));
            end = to.words(&list, DETAIL, left + inset, end, room);
        }
        end + 1.6
    });
    let height = inner.height.max(size + 3.0);
    let mut all = Fragment::new();
    let top = PAD + 0.4;
    all.rect(Area::new(left, top, width, height), 0.0, None, Some(Stroke::black(0.8)));
    all.place(sign::stop(size, say::STOP), left + 2.0, top + (height - size) / 2.0);
    let set = text::line(say::STOP, SIGNAL);
    let corner = at(left + size + 4.0, top + (height - set.height()) / 2.0);
    all.tagged(Tag::Paragraph, |to| to.paragraph(&set, corner, 20.0, Align::Left));
    let sink = top + (height - inner.height) / 2.0;
    all.place(inner, 0.0, sink);
    if let Some(number) = number {
        let look = if number < 100 { STEP_NUMBER } else { super::style::Look { size: ACT.size, ..STEP_NUMBER } };
        let set = text::line(&number.to_string(), look);
        let corner = at(1.0, top + (ACT.leading() - set.height()) / 2.0 + 1.0);
        all.tagged(Tag::Paragraph, |to| to.paragraph(&set, corner, grid.act, Align::Left));
    }
    all.height = top + height + PAD + 0.4;
    finish_row(&mut all, grid, depth, RowEnd { ground: false, hair: true });
    all
}
