//! The table of steps: *No. · Step · Value · Sign*, under bands that carry the state of the machine.

use super::branch;
use super::breaking::{Block, Running};
use super::catalogue as say;
use super::content::{Detail, Drawing, Row, RowKind, Stage, Step};
use super::draw::{boxes, dial, plan};
use super::figure::Figure;
use super::fragment::Fragment;
use super::head::pieces;
use super::message;
use super::page::{Area, Item, Kind, Origin, Stroke, Tag, at};
use super::style::Look;
use super::style::{ACT, BAND, BLACK, DETAIL, GROUND, Grid, HAIR, LABEL, PROSE, SMALL, STEP_NUMBER, SUBHEADING, WHITE};
use super::text::{self, Align};
use super::value;

/// Width of one level of bars, mm.
pub const BAR: f32 = 4.2;
/// Above and below what stands in a row, mm.
const PAD: f32 = 1.8;
/// Beside the text of the value and the sign column, mm.
const SIDE: f32 = 2.4;
/// Height that a signature needs, mm.
const SIGNATURE: f32 = 8.2;

/// The heads of the columns.
pub fn column_heads(grid: &Grid) -> Fragment {
    let mut all = Fragment::new();
    all.tagged(Tag::Row, |to| {
        to.tagged(Tag::HeadCell, |_| ());
        let heads = [(say::STEP, grid.act), (say::VALUE, grid.value + SIDE), (say::SIGN, grid.sign + SIDE)];
        for (word, x) in heads {
            to.tagged(Tag::HeadCell, |to| to.words(word, LABEL, x, 0.4, 40.0));
        }
    });
    all.height = LABEL.leading() + 1.0;
    all
}

/// The band of a stage.
pub fn band(stage: &Stage, grid: &Grid, continued: bool) -> Fragment {
    let width = grid.body.width;
    let look = BAND.in_colour(WHITE);
    let mut title = pieces(&stage.title, look);
    if continued {
        let plain = SUBHEADING.in_colour(WHITE);
        let words = format!(", {}", say::CONTINUED);
        title.push(text::piece(words, Look { face: DETAIL.face, ..plain }, None));
    }
    let left = if stage.number.is_some() { grid.act } else { 3.0 };
    let wanted = text::set(&title, f32::INFINITY).width;
    let state_width = if stage.state.is_empty() || continued { 0.0 } else { width * 0.46 };
    let title_width = (width - left - 4.0).min(wanted.max(width - left - state_width - 6.0));
    let title = text::set(&title, title_width.min(width - left - state_width - 4.0));
    let state = text::set(
        &[text::piece(stage.state.as_str(), DETAIL.in_colour(WHITE), stage.title.origin)],
        width - left - title.width - 10.0,
    );
    let shown = !continued && !stage.state.is_empty();
    let inner = title.height().max(if shown { state.height() } else { 0.0 });
    let height = inner + 2.6;
    let mut all = Fragment::of_height(height);
    all.rect(Area::new(0.0, 0.0, width, height), 0.0, Some(BLACK), None);
    all.tagged(Tag::Heading3, |to| {
        let top = (height - title.height()) / 2.0;
        if let Some(number) = stage.number {
            to.label(&number.to_string(), look, (3.0, top, grid.act), Align::Left);
        }
        to.paragraph(&title, at(left, top), width, Align::Left);
    });
    if shown {
        let top = (height - state.height()) / 2.0;
        all.tagged(Tag::Paragraph, |to| {
            to.paragraph(&state, at(0.0, top), width - 3.0, Align::Right);
        });
    }
    all
}

/// What is repeated where a stage goes on on the next page.
pub fn running(stage: &Stage, grid: &Grid) -> Running {
    let mut head = column_heads(grid);
    head.stack(band(stage, grid, true), 0.0);
    let mut foot = Fragment::of_height(SMALL.leading() + 1.0);
    let name = match stage.number {
        Some(number) => format!("{} {number}", say::STAGE),
        None => stage.title.text(),
    };
    let words = format!("{name} {}", say::GOES_ON);
    foot.tagged(Tag::Artifact, |to| {
        to.label(&words, SMALL, (0.0, 1.0, grid.body.width), Align::Right);
    });
    Running { head, foot }
}

/// A stage: its band, then its rows. `band_running` heads the columns where the band begins a page,
/// `rows_running` repeats the band.
pub fn stage(stage: &Stage, grid: &Grid, band_running: Option<usize>, rows_running: Option<usize>) -> Vec<Block> {
    let title = match stage.number {
        Some(number) => format!("{number} {}", stage.title.text()),
        None => stage.title.text(),
    };
    let mut blocks = vec![Block {
        keep_with_next: true,
        bookmark: Some((1, title)),
        running: band_running,
        ..Block::of(band(stage, grid, false))
    }];
    if !stage.details.is_empty() {
        let mut all = Fragment::of_height(PAD);
        for detail in &stage.details {
            all.stack(detail_line(detail, grid.act, grid.body.width - grid.act), 0.4);
        }
        all.height += PAD;
        finish_row(&mut all, grid, 0, RowEnd { ground: false, hair: true });
        blocks.push(Block { keep_with_next: true, running: rows_running, ..Block::of(all) });
    }
    for row in &stage.rows {
        let heads = matches!(row.kind, RowKind::Fork(_) | RowKind::Heading { .. });
        blocks.push(Block {
            slices: self::row(row, grid),
            keep_with_next: heads,
            running: rows_running,
            ..Block::default()
        });
    }
    blocks
}

/// A row in slices; more than one only where it is longer than a page.
pub fn row(row: &Row, grid: &Grid) -> Vec<Fragment> {
    match &row.kind {
        RowKind::Step(step) => self::step(step, row.depth, grid),
        RowKind::Fork(fork) => vec![branch::fork(fork, row.depth, grid)],
        RowKind::Heading { words, details } => vec![branch::heading(words, details, row.depth, grid)],
        RowKind::Stop { words, open, number } => {
            vec![branch::stop(words, open, *number, row.depth, grid)]
        }
    }
}

/// Left edge of what stands in a row.
pub fn left_of(depth: usize, grid: &Grid) -> f32 {
    grid.act + depth as f32 * BAR
}

/// How a row ends.
pub struct RowEnd {
    /// Grey ground in the value column.
    pub ground: bool,
    /// A hairline below.
    pub hair: bool,
}

/// Puts the grounds, bars and hairlines of a row behind what is in it.
pub fn finish_row(row: &mut Fragment, grid: &Grid, depth: usize, end: RowEnd) {
    let mut behind = Fragment::new();
    let height = row.height;
    if end.ground {
        let area = Area::new(grid.value, 0.0, grid.sign - grid.value, height);
        behind.rect(area, 0.0, Some(GROUND), None);
        behind.line((grid.sign, 0.0), (grid.sign, height), Stroke::of(0.2, HAIR));
    }
    for level in 0..depth {
        let area = Area::new(grid.act + level as f32 * BAR, 0.0, 1.1, height);
        behind.rect(area, 0.0, Some(BLACK), None);
    }
    if end.hair {
        behind.line((0.0, height), (grid.body.width, height), Stroke::of(0.2, HAIR));
    }
    row.items.splice(0..0, behind.items);
}

/// More than this and a step is cut into slices, mm.
const LONGEST: f32 = 215.0;

fn step(step: &Step, depth: usize, grid: &Grid) -> Vec<Fragment> {
    let left = left_of(depth, grid);
    let room = grid.value - left - 3.0;
    let mut messages = Fragment::new();
    for message in &step.messages {
        let mut drawn = message::message(message, grid.sign - left - 1.0);
        drawn.items.iter_mut().for_each(|item| item.shift(left, 0.0));
        messages.stack(drawn, 1.6);
    }
    if !step.messages.is_empty() {
        messages.height += 0.2;
    }

    // The act, the number and the value begin on one line.
    let mut act = Fragment::new();
    let mut end = act.tagged(Tag::Paragraph, |to| to.text(&pieces(&step.act, ACT), left, 0.0, room));
    if let Some(prose) = &step.prose {
        end = act.tagged(Tag::Paragraph, |to| to.text(&pieces(prose, PROSE), left, end + 0.3, room));
    }
    act.height = end;
    let mut parts = vec![act];
    parts.extend(step.details.iter().map(|detail| detail_line(detail, left, room)));
    parts.extend(step.drawings.iter().map(|drawing| self::drawing(drawing, left, room, step.origin)));

    let width = grid.sign - grid.value - 2.0 * SIDE;
    let mut values = value::column(&step.values, width, step.origin);
    if values.height > LONGEST_VALUES {
        let (narrow, wide) = value::too_many(&step.values);
        values = value::column(&narrow, width, step.origin);
        for chunk in wide {
            let mut part = value::column(&chunk, room, step.origin);
            part.items.iter_mut().for_each(|item| item.shift(left, 0.0));
            parts.push(part);
        }
    }
    let signs = signatures(step, grid);
    let needed = (values.height + PAD).max(signs.height);

    let top = messages.height + PAD;
    // Three figures must not touch the act.
    let look = if step.number < 100 { STEP_NUMBER } else { Look { size: ACT.size, ..STEP_NUMBER } };
    let number = text::set(&[text::piece(step.number.to_string(), look, step.origin)], f32::INFINITY);
    let corner = at(1.0, top + (ACT.leading() - look.leading()) / 2.0);
    let mut current = Fragment::new();
    current.tagged(Tag::Cell, |to| to.paragraph(&number, corner, grid.act, Align::Left));
    current.push(Kind::Open(Tag::Cell), None);
    current.stack(messages, 0.0);
    current.height = top;
    let mut slices = Vec::new();
    let value_top = top + (ACT.leading() - super::style::VALUE.leading()) / 2.0;
    let lowest = top + needed;
    let mut values = Some(values);
    for (index, part) in parts.into_iter().enumerate() {
        let taken = current.height + part.height + 1.0;
        if taken > LONGEST && current.height >= lowest {
            current.push(Kind::Close, None);
            close(&mut current, values.take(), value_top, depth, grid);
            let mut next = Fragment::of_height(PAD);
            next.push(Kind::Open(Tag::Cell), None);
            slices.push(std::mem::replace(&mut current, next));
        }
        current.stack(part, if index == 0 { 0.0 } else { 1.0 });
    }
    current.push(Kind::Close, None);
    if values.is_some() {
        current.height = current.height.max(lowest);
    }
    current.height = (current.height + PAD).max(top + signs.height);
    current.tagged(Tag::Cell, |to| {
        if let Some(values) = values.take() {
            to.place(values, grid.value + SIDE, value_top);
        }
    });
    let sign_top = current.height - signs.height;
    current.tagged(Tag::Cell, |to| to.place(signs, grid.sign + SIDE, sign_top));
    finish_row(&mut current, grid, depth, RowEnd { ground: true, hair: true });
    slices.push(as_row(current));
    slices
}

/// A taller value column goes on below the act, where there is more room, mm.
const LONGEST_VALUES: f32 = 150.0;

fn close(slice: &mut Fragment, values: Option<Fragment>, value_top: f32, depth: usize, grid: &Grid) {
    slice.tagged(Tag::Cell, |to| {
        if let Some(values) = values {
            to.place(values, grid.value + SIDE, value_top);
        }
    });
    slice.height += PAD;
    finish_row(slice, grid, depth, RowEnd { ground: true, hair: false });
    let whole = as_row(std::mem::take(slice));
    *slice = whole;
}

fn as_row(fragment: Fragment) -> Fragment {
    let mut all = Fragment::of_height(fragment.height);
    all.tagged(Tag::Row, |to| to.place(fragment, 0.0, 0.0));
    all
}

/// Dotted lines to sign on, from the top of the space they need.
fn signatures(step: &Step, grid: &Grid) -> Fragment {
    let width = grid.body.width - grid.sign - SIDE;
    let mut all = Fragment::new();
    for caption in &step.signs {
        let mut y = all.height + SIGNATURE;
        let stroke = Stroke::black(0.3).dashed(0.3, 0.7);
        all.line((0.0, y), (width, y), stroke);
        if !caption.is_empty() {
            y = all.tagged(Tag::Paragraph, |to| to.words(caption, SMALL, 0.0, y + 0.2, width + SIDE));
        }
        all.height = y;
    }
    all.height += PAD;
    all
}

/// A detail: its boxed word, then what it says.
pub fn detail_line(detail: &Detail, left: f32, room: f32) -> Fragment {
    let mut all = Fragment::new();
    all.push(Kind::Open(Tag::Paragraph), None);
    let inset = boxes::chip(&mut all, &detail.label, LABEL, (left, 0.0), DETAIL.leading()) + 1.8;
    let words = pieces(&detail.words, DETAIL);
    all.height = all.text(&words, left + inset, 0.0, room - inset).max(DETAIL.leading());
    all.push(Kind::Close, None);
    all
}

fn drawing(drawing: &Drawing, left: f32, room: f32, origin: Origin) -> Fragment {
    let mut all = Fragment::new();
    match drawing {
        Drawing::Direction { direction, words, label } => {
            let detail = Detail { label: label.clone(), words: words.clone() };
            let line = detail_line(&detail, left, room - dial::SIZE - 3.0);
            let height = line.height.max(dial::SIZE);
            let right = line.items.iter().filter_map(Item::area).map(|area| area.right());
            let x = right.fold(left, f32::max) + 3.0;
            let line_height = line.height;
            all.place(line, 0.0, (height - line_height) / 2.0);
            let drawn = dial::direction(*direction, &words.text());
            all.place(with_origin(drawn, origin), x, (height - dial::SIZE) / 2.0);
            all.height = height;
        }
        Drawing::Fields { names, unit } => all = fields(names, unit, left, room, origin),
        Drawing::Said { words, label } => {
            let detail = Detail { label: label.clone(), words: words.clone() };
            all = detail_line(&detail, left, room);
        }
        Drawing::Plan { spots, shape, caption, words, .. } => {
            let (drawn, width) = plan::plan(spots, *shape, room, words);
            let height = drawn.height;
            all.place(with_origin(drawn, origin), left, 0.8);
            all.height = height + 0.8;
            if caption.is_empty() {
                return all;
            }
            let beside = room - width - 5.0;
            if beside > 32.0 {
                let set = text::set(&[text::piece(caption.as_str(), DETAIL, origin)], beside);
                let top = 0.8 + ((height - set.height()) / 2.0).max(0.0);
                let corner = at(left + width + 5.0, top);
                let end = all.tagged(Tag::Paragraph, |to| to.paragraph(&set, corner, beside, Align::Left));
                all.height = all.height.max(end);
            } else {
                let top = all.height + 1.0;
                all.height = all.tagged(Tag::Paragraph, |to| to.words(caption, DETAIL, left, top, room));
            }
        }
        Drawing::Figure { caption, path, figure: None } => {
            let label = say::FIGURE.to_owned();
            let words = caption.clone().and(format!(" ({path})"), false);
            all = detail_line(&Detail { label, words }, left, room);
        }
        Drawing::Figure { caption, figure: Some(figure), .. } => {
            all = self::figure(figure, &caption.text(), left, room, origin);
            if !caption.is_empty() {
                let top = all.height + 0.6;
                all.height = all.tagged(Tag::Paragraph, |to| to.text(&pieces(caption, DETAIL), left, top, room));
            }
        }
    }
    all
}

/// The author's figure, as large as its pixels or its own size allow in the column.
fn figure(figure: &Figure, caption: &str, left: f32, room: f32, origin: Origin) -> Fragment {
    let mut all = Fragment::new();
    let (wide, high) = match figure {
        Figure::Picture(picture) => (picture.width as f32 / PIXELS_PER_MM, picture.height as f32 / PIXELS_PER_MM),
        Figure::Drawing(drawing) => (drawing.width.max(0.1), drawing.height.max(0.1)),
    };
    let scale = (room / wide).min(TALLEST_FIGURE / high).min(1.0);
    let area = Area::new(left, 0.8, wide * scale, high * scale);
    all.tagged(Tag::Figure(caption.to_owned()), |to| match figure {
        Figure::Picture(picture) => {
            let picture = std::sync::Arc::new(picture.clone());
            to.push(Kind::Image { area, picture }, origin);
        }
        Figure::Drawing(drawing) => {
            for outline in &drawing.outlines {
                let path = outline.path.clone().placed(area.x, area.y, scale);
                let stroke = outline.stroke.map(|stroke| Stroke {
                    width: stroke.width * scale,
                    dash: stroke.dash.map(|(on, off)| (on * scale, off * scale)),
                    ..stroke
                });
                to.push(Kind::Path { path, fill: outline.fill, stroke }, origin);
            }
        }
    });
    all.height = area.bottom() + 0.4;
    all
}

/// Least pixels of a picture in a millimetre on paper: 150 to the inch.
const PIXELS_PER_MM: f32 = 150.0 / 25.4;
/// Tallest figure, mm.
const TALLEST_FIGURE: f32 = 90.0;

/// Boxes side by side, each under its name; the unit stands after each.
fn fields(names: &[String], unit: &str, left: f32, room: f32, origin: Origin) -> Fragment {
    const HEIGHT: f32 = 7.6;
    let unit_set = text::line(unit, SUBHEADING);
    let unit_wide = if unit.is_empty() { 0.0 } else { unit_set.width + 1.2 };
    let columns = names.len().clamp(1, 4);
    let cell = room / columns as f32;
    let mut all = Fragment::of_height(0.6);
    for line in names.chunks(columns) {
        let top = all.height;
        let set = |name: &String| text::set(&[text::piece(name.as_str(), DETAIL, origin)], cell - 2.0);
        let sets: Vec<_> = line.iter().map(set).collect();
        let tallest = sets.iter().map(text::Paragraph::height).fold(0.0, f32::max);
        for (column, set) in sets.iter().enumerate() {
            let corner = at(left + column as f32 * cell, top + tallest - set.height());
            all.tagged(Tag::Paragraph, |to| to.paragraph(set, corner, cell, Align::Left));
        }
        let below = top + tallest + 0.3;
        for column in 0..line.len() {
            let x = left + column as f32 * cell;
            let wide = cell - unit_wide - 3.0;
            boxes::field(&mut all, Area::new(x, below, wide, HEIGHT), origin);
            if !unit.is_empty() {
                let corner = at(x + wide + 1.0, below + (HEIGHT - unit_set.height()) / 2.0);
                all.tagged(Tag::Paragraph, |to| to.paragraph(&unit_set, corner, unit_wide, Align::Left));
            }
        }
        all.height = below + HEIGHT + 1.0;
    }
    all
}

fn with_origin(mut fragment: Fragment, origin: Origin) -> Fragment {
    fragment.items.iter_mut().for_each(|item| item.origin = item.origin.or(origin));
    fragment
}
