//! The head of the first page: the job, the machine, the ways chosen, the code, blank fields.

use super::breaking::Block;
use super::catalogue as say;
use super::content::{Content, Way, Words};
use super::draw::{boxes, qr};
use super::field::Field;
use super::fragment::Fragment;
use super::page::{Area, Kind, Stroke, Tag, at};
use super::style::{BOX, DETAIL, FILLED, Grid, Look, SMALL, SUBTITLE, TITLE};
use super::text::{self, Align, Piece, piece};

/// The words as pieces of text in a look; bold where they say so.
pub fn pieces(words: &Words, look: Look) -> Vec<Piece> {
    let look_of = |bold: bool| if bold { look.emphasised() } else { look };
    words.pieces.iter().map(|(text, bold)| piece(text.as_str(), look_of(*bold), words.origin)).collect()
}

/// Side of the code, mm.
const CODE: f32 = 22.0;

/// Lays out the head.
pub fn head(content: &Content, grid: &Grid) -> Block {
    let head = &content.head;
    let width = grid.body.width;
    let mut all = Fragment::new();
    let room = width - CODE - 8.0;
    let mut y = all.tagged(Tag::Heading1, |to| to.text(&pieces(&head.title, TITLE), 0.0, 0.0, room));
    if !head.machine.is_empty() {
        y = all.tagged(Tag::Paragraph, |to| to.words(&head.machine, SUBTITLE, 0.0, y + 0.6, room));
    }
    if !head.ways.is_empty() {
        y = chips(&mut all, &head.ways, y + 1.6, room);
    }
    if let Some(changed) = &head.changed {
        let mut words = pieces(changed, DETAIL);
        words.insert(0, piece(format!("{}: ", say::CHANGED), DETAIL.emphasised(), None));
        y = all.tagged(Tag::Paragraph, |to| to.text(&words, 0.0, y + 1.6, room));
    }
    let mut below_code = 0.0;
    if let Some(code) = qr::code(&head.code, CODE) {
        all.place(code, width - CODE, 1.6);
        below_code = CODE + 2.6;
    }
    all.tagged(Tag::Paragraph, |to| {
        for line in [&head.number, &head.digest] {
            let column = (width - CODE - 10.0, below_code, CODE + 20.0);
            // The caption may be wider than the code, so it is set flush right with it.
            let set = text::line(line, SMALL);
            let left = if set.width > CODE { width - set.width } else { column.0 };
            let align = if set.width > CODE { Align::Left } else { Align::Centre };
            below_code = to.paragraph(&set, at(left, below_code), column.2, align);
        }
    });
    y = y.max(below_code) + 3.0;
    all.height = fields(&mut all, y, width, &head.fields);
    Block { bookmark: Some((0, head.title.text())), ..Block::of(all) }
}

/// The ways of the job as boxed words in rows; those that are open have boxes to tick. Returns where
/// they end.
fn chips(to: &mut Fragment, ways: &[Way], top: f32, room: f32) -> f32 {
    to.tagged(Tag::Paragraph, |to| {
        let (mut x, mut y) = (0.0, top);
        for way in ways {
            let width = way_width(way);
            if x > 0.0 && x + width > room {
                x = 0.0;
                y += CHIP + 1.2;
            }
            self::way(to, way, (x, y), width);
            x += width + 1.8;
        }
        y + CHIP
    })
}

/// Height of a boxed word, mm.
const CHIP: f32 = 6.0;
/// Beside what is in it, mm.
const INSET: f32 = 1.8;

fn way_width(way: &Way) -> f32 {
    let wide = |words: &str| DETAIL.face.width(words, DETAIL.size);
    let choices: f32 = way.choices.iter().map(|choice| wide(choice) + BOX + 1.4 + 2.6).sum();
    let words = if way.words.is_empty() { 0.0 } else { wide(&way.words) + 2.0 };
    let between = if way.choices.is_empty() { -2.0 } else { -2.6 };
    words + choices + between + 2.0 * INSET
}

fn way(to: &mut Fragment, way: &Way, (x, y): (f32, f32), width: f32) {
    to.rect(Area::new(x, y, width, CHIP), 1.0, None, Some(Stroke::black(0.3)));
    let top = y + (CHIP - DETAIL.leading()) / 2.0;
    let mut left = x + INSET;
    if !way.words.is_empty() {
        to.label(&way.words, DETAIL, (left, top, width), Align::Left);
        left += DETAIL.face.width(&way.words, DETAIL.size) + 2.0;
    }
    for choice in &way.choices {
        boxes::tick(to, left, y + (CHIP - BOX) / 2.0, None);
        left += BOX + 1.4;
        to.label(choice, DETAIL, (left, top, width), Align::Left);
        left += DETAIL.face.width(choice, DETAIL.size) + 2.6;
    }
}

/// Height of the blank fields, mm; what is filled in may need more.
const FIELD: f32 = 13.0;

fn fields(to: &mut Fragment, y: f32, width: f32, filled: &[(Field, String)]) -> f32 {
    let mut height = FIELD;
    let mut x = 0.0;
    let mut between = Vec::new();
    for field in Field::ALL {
        if x > 0.0 {
            between.push(x);
        }
        let room = width * field.share();
        to.tagged(Tag::Paragraph, |to| {
            let caption = to.label(field.caption(), SMALL, (x + 1.6, y + 0.9, room - 2.0), Align::Left);
            if let Some((_, value)) = filled.iter().find(|(known, _)| *known == field) {
                let bottom = to.words(value, FILLED, x + 1.6, caption + 0.6, room - 3.2);
                height = height.max(bottom + 1.0 - y);
            }
        });
        x += room;
    }
    for x in between {
        to.line((x, y), (x, y + height), Stroke::black(0.25));
    }
    let frame = Area::new(0.0, y, width, height);
    to.push(Kind::Rect { area: frame, radius: 0.0, fill: None, stroke: Some(Stroke::black(0.35)) }, None);
    y + height
}
