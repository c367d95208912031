//! Lists to tick: 'Have ready' in two columns, and the rows that the last look shares with it.

use super::before::part_heading;
use super::breaking::Block;
use super::catalogue as say;
use super::content::{Tick, TickList};
use super::draw::boxes;
use super::fragment::Fragment;
use super::head::pieces;
use super::page::{Kind, Stroke, Tag, at};
use super::style::{BOX, DETAIL, FAINT, Grid, PROSE, SUBHEADING};
use super::text::{self, Align};

/// Space between the two columns, mm.
pub const GUTTER: f32 = 8.0;
/// Space before a list that does not begin a column, mm.
const LIST_GAP: f32 = 4.0;

/// Width of one of two columns.
pub fn column_width(grid: &Grid) -> f32 {
    (grid.body.width - GUTTER) / 2.0
}

/// One line with its box; the amount stands flush right.
pub fn row(tick: &Tick, width: f32) -> Fragment {
    let mut all = Fragment::new();
    let inset = BOX + 2.0;
    let look = if tick.strong { DETAIL.emphasised() } else { DETAIL };
    let amount = text::set(&[text::piece(tick.amount.as_str(), look, None)], width * 0.55);
    let beside = if tick.amount.is_empty() { 0.0 } else { amount.width + 3.0 };
    boxes::tick(&mut all, 0.0, PAD + (PROSE.leading() - BOX) / 2.0, tick.words.origin);
    all.push(Kind::Open(Tag::ListItem), None);
    let mut end = all.text(&pieces(&tick.words, PROSE), inset, PAD, width - inset - beside);
    if !tick.amount.is_empty() {
        // One baseline for both sizes.
        let drop = (PROSE.leading() - DETAIL.leading()) / 2.0 + 0.12;
        let below = all.paragraph(&amount, at(inset, PAD + drop), width - inset, Align::Right);
        end = end.max(below);
    }
    if let Some(below) = &tick.below {
        end = all.text(&pieces(below, DETAIL), inset, end, width - inset);
    }
    all.push(Kind::Close, None);
    all.height = end + PAD;
    all.line((0.0, all.height), (width, all.height), Stroke::of(0.2, FAINT));
    all
}

/// Above and below the words of a row, mm.
const PAD: f32 = 0.9;

fn list_head(title: &str, width: f32) -> Fragment {
    let mut all = Fragment::new();
    all.height = all.tagged(Tag::Heading3, |to| to.words(title, SUBHEADING, 0.0, 0.0, width)) + 0.8;
    all.line((0.0, all.height), (width, all.height), Stroke::black(0.35));
    all
}

/// A piece of a list that stays whole.
struct Atom {
    list: usize,
    begins: bool,
    fragment: Fragment,
}

/// Lays the lists out: `first` mm are left on the page they begin on.
pub fn ready(lists: &[TickList], grid: &Grid, first: f32) -> Vec<Block> {
    let width = column_width(grid);
    let heading = part_heading(say::HAVE_READY, "", grid.body.width);
    let heading_height = heading.height;
    let mut blocks = vec![Block {
        gap: GAP,
        keep_with_next: true,
        bookmark: Some((0, say::HAVE_READY.to_owned())),
        ..Block::of(heading)
    }];
    let mut atoms = Vec::new();
    for (list, TickList { title, ticks }) in lists.iter().enumerate() {
        for (index, tick) in ticks.iter().enumerate() {
            let mut fragment = if index == 0 { list_head(title, width) } else { Fragment::new() };
            fragment.stack(row(tick, width), 0.0);
            atoms.push(Atom { list, begins: index == 0, fragment });
        }
    }
    if atoms.is_empty() {
        return Vec::new();
    }
    let mut room = first - heading_height - GAP;
    if room < LEAST {
        room = grid.body.height - heading_height;
    }
    let titles: Vec<&str> = lists.iter().map(|list| list.title.as_str()).collect();
    let mut rest = atoms.as_slice();
    while !rest.is_empty() {
        let (taken, fragment) = two_columns(rest, &titles, width, room);
        rest = &rest[taken..];
        blocks.push(Block::of(fragment));
        room = grid.body.height;
    }
    blocks
}

/// Before the heading, mm.
const GAP: f32 = 5.0;
/// Lists begin on the next page if less than this is left, mm.
const LEAST: f32 = 35.0;

/// Fills two columns of at most `room` mm and as even as may be; returns how many atoms they hold.
fn two_columns(atoms: &[Atom], titles: &[&str], width: f32, room: f32) -> (usize, Fragment) {
    let ends = |limit: f32| {
        let first = fill(atoms, 0, titles, width, limit);
        (first, fill(atoms, first, titles, width, limit))
    };
    let mut limit = room;
    if ends(room).1 == atoms.len() {
        let (mut low, mut high) = (0.0, room);
        for _ in 0..24 {
            let middle = (low + high) / 2.0;
            if ends(middle).1 == atoms.len() {
                high = middle;
            } else {
                low = middle;
            }
        }
        limit = high;
    }
    let (mut first, mut second) = ends(limit);
    // Better uneven than a list torn apart.
    let whole = (1..atoms.len())
        .filter(|&at| atoms[at].begins)
        .map(|at| (at, height(atoms, 0, at, titles, width).max(height(atoms, at, atoms.len(), titles, width))))
        .min_by(|a, b| a.1.total_cmp(&b.1));
    if let Some((at, tall)) = whole
        && tall <= room
        && (tall <= limit * 1.35 + 8.0)
        && second == atoms.len()
    {
        (first, second) = (at, atoms.len());
    }
    // Better a whole list on the next page than its last line alone.
    let begin = (0..=second.min(atoms.len() - 1)).rev().find(|&at| atoms[at].begins);
    if let Some(begin) = begin
        && second < atoms.len()
        && atoms.len() - second <= 2
        && begin > first
    {
        second = begin;
    }
    if second == 0 {
        // A single row taller than the page: better over the edge of the column than lost.
        (first, second) = (1, 1);
    }
    let left = column(atoms, 0, first, titles, width);
    let right = column(atoms, first, second, titles, width);
    let mut all = Fragment::of_height(left.height.max(right.height));
    all.place(left, 0.0, 0.0);
    all.place(right, width + GUTTER, 0.0);
    (second, all)
}

/// Index of the first atom that does not fit a column of `limit` mm.
fn fill(atoms: &[Atom], start: usize, titles: &[&str], width: f32, limit: f32) -> usize {
    let mut end = start;
    while end < atoms.len() && height(atoms, start, end + 1, titles, width) <= limit + 0.01 {
        end += 1;
    }
    end
}

fn height(atoms: &[Atom], start: usize, end: usize, titles: &[&str], width: f32) -> f32 {
    let mut total = 0.0;
    for (index, atom) in atoms[start..end].iter().enumerate() {
        if index == 0 && !atom.begins {
            total += list_head(titles[atom.list], width).height;
        } else if index > 0 && atom.begins {
            total += LIST_GAP;
        }
        total += atom.fragment.height;
    }
    total
}

fn column(atoms: &[Atom], start: usize, end: usize, titles: &[&str], width: f32) -> Fragment {
    let mut all = Fragment::new();
    for (index, atom) in atoms[start..end].iter().enumerate() {
        let mut gap = 0.0;
        if index == 0 && !atom.begins {
            all.stack(list_head(&format!("{}, {}", titles[atom.list], say::CONTINUED), width), 0.0);
        } else if index > 0 && atom.begins {
            gap = LIST_GAP;
        }
        all.stack(atom.fragment.clone(), gap);
    }
    all
}
