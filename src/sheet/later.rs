//! 'Later': what is due after the sign-off, as slips to cut off.

use super::before::part_heading;
use super::breaking::Block;
use super::catalogue as say;
use super::content::{Slip, Stage};
use super::fragment::Fragment;
use super::head::pieces;
use super::page::{Stroke, Tag};
use super::steps::row;
use super::style::{ACT, Grid, HAIR, SMALL};
use super::text::Align;

/// Lays out the slips.
pub fn later(slips: &[Slip], grid: &Grid) -> Vec<Block> {
    if slips.is_empty() {
        return Vec::new();
    }
    let heading = part_heading(say::LATER, say::LATER_LINE, grid.body.width);
    let mut blocks = vec![Block {
        gap: 7.0,
        keep_with_next: true,
        bookmark: Some((0, say::LATER.to_owned())),
        ..Block::of(heading)
    }];
    for slip in slips {
        blocks.extend(self::slip(slip, grid));
    }
    blocks
}

fn slip(slip: &Slip, grid: &Grid) -> Vec<Block> {
    let width = grid.body.width;
    let mut parts = vec![cut(width), head(slip, grid)];
    let Stage { rows, .. } = &slip.stage;
    parts.extend(rows.iter().flat_map(|one| row(one, grid)));
    parts.push(cut(grid.body.width));
    let whole: f32 = parts.iter().map(|part| part.height).sum();
    let bookmark = Some((1, slip.title.text()));
    if whole > grid.body.height {
        return vec![Block { slices: parts, bookmark, ..Block::default() }];
    }
    let mut all = Fragment::new();
    for part in parts {
        all.stack(part, 0.0);
    }
    vec![Block { bookmark, gap: 1.0, ..Block::of(all) }]
}

/// The line to cut along.
fn cut(width: f32) -> Fragment {
    let mut all = Fragment::of_height(3.0);
    all.line((0.0, 1.0), (width, 1.0), Stroke::black(0.35).dashed(2.0, 1.4));
    all
}

fn head(slip: &Slip, grid: &Grid) -> Fragment {
    let width = grid.body.width;
    let mut all = Fragment::new();
    let room = width - FIELDS - 6.0;
    let end = all.tagged(Tag::Heading3, |to| to.text(&pieces(&slip.title, ACT), 0.0, 0.6, room));
    let end = all.tagged(Tag::Paragraph, |to| to.words(&slip.job, SMALL, 0.0, end + 0.4, room));
    let left = width - FIELDS;
    let mut y: f32 = 7.0;
    for caption in [say::DUE, say::DONE] {
        all.tagged(Tag::Paragraph, |to| {
            to.label(caption, SMALL, (left, y - SMALL.leading(), 20.0), Align::Left);
        });
        all.line((left + 15.0, y), (width, y), Stroke::black(0.25));
        y += 7.0;
    }
    all.height = end.max(y - 7.0) + 2.0;
    all.line((0.0, all.height), (width, all.height), Stroke::of(0.2, HAIR));
    all
}

/// Width of the blank fields, mm.
const FIELDS: f32 = 62.0;
