//! 'Before you start': why, what to rule out, who and how long, the hazards, whose rules come first.

use super::breaking::Block;
use super::catalogue as say;
use super::content::{Before, Hazard};
use super::draw::{boxes, sign};
use super::fragment::Fragment;
use super::head::pieces;
use super::page::{Area, Stroke, Tag};
use super::style::{BOX, DETAIL, Grid, HEADING, PROSE, SMALL, SUBHEADING};

/// A heading of a part of the sheet, under its rule.
pub fn part_heading(title: &str, beside: &str, width: f32) -> Fragment {
    let mut all = Fragment::new();
    all.line((0.0, 0.0), (width, 0.0), Stroke::black(0.6));
    let top = 1.6;
    let end = all.tagged(Tag::Heading2, |to| to.words(title, HEADING, 0.0, top, width));
    if !beside.is_empty() {
        let x = HEADING.face.width(title, HEADING.size) + 4.0;
        let drop = (HEADING.leading() - DETAIL.leading()) / 2.0 + 0.5;
        all.tagged(Tag::Paragraph, |to| to.words(beside, DETAIL, x, top + drop, width - x));
    }
    all.height = end + 1.2;
    all
}

/// Lays the part out, in blocks that may stand on different pages.
pub fn before(before: &Before, grid: &Grid) -> Vec<Block> {
    let width = grid.body.width;
    let heading = part_heading(say::BEFORE, "", width);
    let mut blocks = vec![Block {
        gap: 5.0,
        keep_with_next: true,
        bookmark: Some((0, say::BEFORE.to_owned())),
        ..Block::of(heading)
    }];
    blocks.push(Block::of(columns(before, width)));
    let cards = in_a_row(before.hazards.len());
    for row in before.hazards.chunks(cards) {
        blocks.push(Block { gap: 2.6, ..Block::of(strip(row, cards, width)) });
    }
    if !before.deference.is_empty() {
        let mut all = Fragment::new();
        for line in &before.deference {
            let top = all.height;
            all.height = all.tagged(Tag::Paragraph, |to| to.words(line, DETAIL, 0.0, top, width));
        }
        blocks.push(Block { gap: 2.4, ..Block::of(all) });
    }
    blocks
}

/// Space between columns, mm.
const GUTTER: f32 = 7.0;

fn columns(before: &Before, width: f32) -> Fragment {
    let mut all = Fragment::new();
    let facts_width = 46.0;
    let words_width = width - facts_width - GUTTER;
    let (reason_width, rule_width) = match (&before.reason, before.rule_out.is_empty()) {
        (Some(_), false) => {
            let left = (words_width - GUTTER) * 0.46;
            (left, words_width - GUTTER - left)
        }
        (_, true) => (words_width, 0.0),
        (None, false) => (0.0, words_width),
    };
    let mut end: f32 = 0.0;
    if let Some(reason) = &before.reason {
        let top = caption(&mut all, say::WHY_THIS_JOB, 0.0, 0.0);
        let words = pieces(reason, PROSE);
        end = all.tagged(Tag::Paragraph, |to| to.text(&words, 0.0, top, reason_width));
    }
    if !before.rule_out.is_empty() {
        let x = if before.reason.is_some() { reason_width + GUTTER } else { 0.0 };
        let mut top = caption(&mut all, say::RULE_OUT_FIRST, x, 0.0);
        all.push(super::page::Kind::Open(Tag::List), None);
        for cause in &before.rule_out {
            let drop = (PROSE.leading() - BOX) / 2.0;
            boxes::tick(&mut all, x, top + drop, cause.origin);
            let inset = BOX + 1.8;
            let words = pieces(cause, PROSE);
            top = all.tagged(Tag::ListItem, |to| to.text(&words, x + inset, top, rule_width - inset)) + 0.7;
        }
        all.push(super::page::Kind::Close, None);
        end = end.max(top);
    }
    let x = width - facts_width;
    let mut top = 0.0;
    for (name, words) in &before.facts {
        let below = caption(&mut all, name, x, top);
        top = all.tagged(Tag::Paragraph, |to| to.words(words, PROSE, x, below, facts_width)) + 1.0;
    }
    all.height = end.max(top);
    all
}

fn caption(to: &mut Fragment, words: &str, x: f32, y: f32) -> f32 {
    let look = SMALL.emphasised();
    to.tagged(Tag::Heading3, |to| to.words(words, look, x, y, 60.0)) + 0.2
}

/// Cards of the strip in a row: three or four, so that the last row is as full as may be.
fn in_a_row(count: usize) -> usize {
    if count <= 3 || count.div_ceil(3) <= count.div_ceil(4) { 3 } else { 4 }
}

/// Space between two cards, mm.
const BETWEEN: f32 = 3.0;

fn strip(hazards: &[Hazard], cards: usize, width: f32) -> Fragment {
    let card = (width - BETWEEN * (cards - 1) as f32) / cards as f32;
    let sign_size = 9.6;
    let inset = sign_size + 4.4;
    let mut all = Fragment::new();
    let mut tallest: f32 = 0.0;
    for (index, hazard) in hazards.iter().enumerate() {
        let x = index as f32 * (card + BETWEEN);
        all.place(sign::of(hazard.picture, sign_size, &hazard.name), x + 2.0, 1.7);
        all.tagged(Tag::Paragraph, |to| {
            let room = card - inset - 1.4;
            let below = to.words(&hazard.name, SUBHEADING, x + inset, 1.5, room);
            let end = to.words(&hazard.line, DETAIL, x + inset, below, room);
            tallest = tallest.max(end);
        });
    }
    let height = (tallest + 1.5).max(sign_size + 3.4);
    for index in 0..hazards.len() {
        let x = index as f32 * (card + BETWEEN);
        all.rect(Area::new(x, 0.0, card, height), 1.2, None, Some(Stroke::black(0.3)));
    }
    all.height = height;
    all
}
