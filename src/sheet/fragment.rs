//! A piece of a page that is laid out before it is known where it goes: items measured from its own
//! top left corner, and its height.

use super::page::{Area, Colour, Item, Kind, MissingGlyph, Origin, Path, Point, Stroke, Tag, at};
use super::style::Look;
use super::text::{self, Align, Paragraph, Piece};

/// Items from a top left corner of their own.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fragment {
    /// What is in it, in reading order.
    pub items: Vec<Item>,
    /// How much of the page it takes, mm.
    pub height: f32,
    /// Signs that the faces lack.
    pub missing: Vec<MissingGlyph>,
}

impl Fragment {
    /// An empty piece.
    pub fn new() -> Self {
        Self::default()
    }

    /// An empty piece of a height.
    pub fn of_height(height: f32) -> Self {
        Self { height, ..Self::default() }
    }

    /// Adds an item.
    pub fn push(&mut self, kind: Kind, origin: Origin) {
        self.items.push(Item { kind, origin });
    }

    /// Adds what `inside` adds, as an element of the structure.
    pub fn tagged<T>(&mut self, tag: Tag, inside: impl FnOnce(&mut Self) -> T) -> T {
        self.push(Kind::Open(tag), None);
        let result = inside(self);
        self.push(Kind::Close, None);
        result
    }

    /// Adds a straight line.
    pub fn line(&mut self, from: (f32, f32), to: (f32, f32), stroke: Stroke) {
        let (from, to) = (at(from.0, from.1), at(to.0, to.1));
        self.push(Kind::Line { from, to, stroke }, None);
    }

    /// Adds a rectangle.
    pub fn rect(&mut self, area: Area, radius: f32, fill: Option<Colour>, stroke: Option<Stroke>) {
        self.push(Kind::Rect { area, radius, fill, stroke }, None);
    }

    /// Adds an outline.
    pub fn path(&mut self, path: Path, fill: Option<Colour>, stroke: Option<Stroke>) {
        self.push(Kind::Path { path, fill, stroke }, None);
    }

    /// Adds a paragraph that is already broken; returns where it ends.
    pub fn paragraph(&mut self, set: &Paragraph, corner: Point, width: f32, align: Align) -> f32 {
        self.items.extend(set.place(corner.x, corner.y, width, align));
        self.missing.extend(set.missing.iter().cloned());
        corner.y + set.height()
    }

    /// Breaks and adds pieces of text in a column; returns where the text ends.
    pub fn text(&mut self, pieces: &[Piece], x: f32, y: f32, width: f32) -> f32 {
        self.paragraph(&text::set(pieces, width), at(x, y), width, Align::Left)
    }

    /// Adds one look of text in a column; returns where the text ends.
    pub fn words(&mut self, words: &str, look: Look, x: f32, y: f32, width: f32) -> f32 {
        self.text(&[text::piece(words, look, None)], x, y, width)
    }

    /// Adds one line, never broken, aligned in a column; returns where it ends.
    pub fn label(&mut self, words: &str, look: Look, area: (f32, f32, f32), align: Align) -> f32 {
        let (x, y, width) = area;
        self.paragraph(&text::line(words, look), at(x, y), width, align)
    }

    /// Adds another piece, moved.
    pub fn place(&mut self, other: Self, dx: f32, dy: f32) {
        self.missing.extend(other.missing);
        self.items.extend(other.items.into_iter().map(|mut item| {
            item.shift(dx, dy);
            item
        }));
    }

    /// Adds another piece below what is there.
    pub fn stack(&mut self, other: Self, gap: f32) {
        let top = self.height + gap;
        self.height = top + other.height;
        self.place(other, 0.0, top);
    }
}
