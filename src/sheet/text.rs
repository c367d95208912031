//! Measuring and breaking of text: mixed faces in one paragraph, Unicode line breaking (UAX #14),
//! values that never part from their units.

use super::font::{Glyph, MM_PER_POINT, millimetres};
use super::page::{Item, Kind, MissingGlyph, Origin, TextRun, at};
use super::style::Look;

/// A piece of text in one look.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What it says.
    pub text: String,
    /// How it looks.
    pub look: Look,
    /// Where it was written.
    pub origin: Origin,
}

/// Short for a [`Piece`].
pub fn piece(text: impl Into<String>, look: Look, origin: Origin) -> Piece {
    Piece { text: text.into(), look, origin }
}

/// A paragraph broken into lines.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Paragraph {
    /// Its lines.
    pub lines: Vec<Line>,
    /// Distance of baselines, mm.
    pub leading: f32,
    /// Width of the widest line, mm.
    pub width: f32,
    /// Signs that the face lacks.
    pub missing: Vec<MissingGlyph>,
}

/// One line; its runs stand on a baseline at y = 0.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Line {
    /// The runs, each with the source it came from.
    pub runs: Vec<(TextRun, Origin)>,
    /// Width without the space at its end, mm.
    pub width: f32,
    /// Largest type size in it, points.
    pub size: f32,
}

/// Where a line stands in its column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// Flush left.
    Left,
    /// In the middle.
    Centre,
    /// Flush right.
    Right,
}

impl Paragraph {
    /// Height in mm.
    pub fn height(&self) -> f32 {
        self.leading * self.lines.len() as f32
    }

    /// Distance from the top of the paragraph to its first baseline, mm.
    pub fn first_baseline(&self) -> f32 {
        self.lines.first().map_or(0.0, |line| self.drop(line))
    }

    /// Capitals stand in the middle of the line's height, so that a rule above and a rule below
    /// look equally far.
    fn drop(&self, line: &Line) -> f32 {
        self.leading / 2.0 + CAP_MIDDLE * line.size * MM_PER_POINT
    }

    /// The lines as items, with the top left corner of the paragraph at a place.
    pub fn place(&self, x: f32, y: f32, width: f32, align: Align) -> Vec<Item> {
        let mut items = Vec::new();
        for (index, line) in self.lines.iter().enumerate() {
            let left = match align {
                Align::Left => x,
                Align::Centre => x + (width - line.width) / 2.0,
                Align::Right => x + width - line.width,
            };
            let baseline = y + self.leading * index as f32 + self.drop(line);
            for (run, origin) in &line.runs {
                let mut run = run.clone();
                run.at = at(left + run.at.x, baseline);
                items.push(Item { kind: Kind::Text(run), origin: *origin });
            }
        }
        items
    }
}

/// Half the cap height of the face, as a fraction of the type size.
const CAP_MIDDLE: f32 = 0.349;

/// Sets one line that is never broken.
pub fn line(text: &str, look: Look) -> Paragraph {
    set(&[piece(text, look, None)], f32::INFINITY)
}

/// Breaks a paragraph to a width in mm. A word wider than the column is broken where it must.
pub fn set(pieces: &[Piece], width: f32) -> Paragraph {
    let mut setter = Setter { width, ..Setter::default() };
    let whole: String = pieces.iter().map(|piece| piece.text.as_str()).collect();
    let mut starts = Vec::with_capacity(pieces.len() + 1);
    let mut length = 0;
    for piece in pieces {
        starts.push(length);
        length += piece.text.len();
    }
    let mut start = 0;
    for (end, kind) in unicode_linebreak::linebreaks(&whole) {
        let forced = kind == unicode_linebreak::BreakOpportunity::Mandatory;
        if !forced && keeps_together(&whole, end) {
            continue;
        }
        setter.chunk(pieces, &starts, &whole, start, end);
        if forced && end < whole.len() {
            setter.finish_line();
        }
        start = end;
    }
    setter.finish_line();
    setter.end();
    let size = pieces.iter().map(|piece| piece.look.size).fold(0.0, f32::max);
    Paragraph {
        leading: size * super::style::LEADING * MM_PER_POINT,
        width: setter.lines.iter().map(|line| line.width).fold(0.0, f32::max),
        lines: setter.lines,
        missing: setter.missing,
    }
}

#[derive(Default)]
struct Setter {
    width: f32,
    lines: Vec<Line>,
    line: Line,
    /// Pen position, trailing space included.
    pen: f32,
    missing: Vec<MissingGlyph>,
}

impl Setter {
    /// Adds the text between two break opportunities.
    fn chunk(&mut self, pieces: &[Piece], starts: &[usize], whole: &str, start: usize, end: usize) {
        let text = whole[start..end].trim_end_matches(['\n', '\r']);
        let body_end = start + text.trim_end_matches(' ').len();
        let text_end = start + text.len();
        let parts = |from: usize, to: usize| {
            pieces.iter().zip(starts).filter_map(move |(piece, &begin)| {
                let low = from.max(begin);
                let high = to.min(begin + piece.text.len());
                (low < high).then(|| (piece, &piece.text[low - begin..high - begin]))
            })
        };
        let body: f32 = parts(start, body_end).map(|(piece, text)| piece.look.face.width(text, piece.look.size)).sum();
        if self.pen + body > self.width + TOLERANCE && !self.line.runs.is_empty() {
            self.finish_line();
        }
        for (piece, text) in parts(start, body_end) {
            self.put(piece, text, true);
        }
        self.line.width = self.pen;
        for (piece, text) in parts(body_end, text_end) {
            self.put(piece, text, false);
        }
    }

    fn put(&mut self, piece: &Piece, text: &str, breakable: bool) {
        let look = piece.look;
        let shaped = look.face.shape(text);
        for &character in &shaped.missing {
            self.missing.push(MissingGlyph { character, origin: piece.origin });
        }
        let fits = self.pen + millimetres(shaped.advance as f32, look.size) <= self.width + TOLERANCE;
        if fits || !breakable {
            self.glyphs(piece, &shaped.glyphs);
            return;
        }
        for glyph in &shaped.glyphs {
            let advance = millimetres(glyph.advance as f32, look.size);
            if self.pen + advance > self.width && !self.line.runs.is_empty() {
                self.line.width = self.pen;
                self.finish_line();
            }
            self.glyphs(piece, std::slice::from_ref(glyph));
        }
    }

    fn glyphs(&mut self, piece: &Piece, glyphs: &[Glyph]) {
        let look = piece.look;
        let advance: i32 = glyphs.iter().map(|glyph| glyph.advance).sum();
        let width = millimetres(advance as f32, look.size);
        self.line.size = self.line.size.max(look.size);
        match self.line.runs.last_mut() {
            Some((run, origin))
                if run.face == look.face
                    && run.size == look.size
                    && run.colour == look.colour
                    && *origin == piece.origin =>
            {
                run.glyphs.extend_from_slice(glyphs);
                run.width += width;
            }
            _ => {
                let run = TextRun {
                    at: at(self.pen, 0.0),
                    face: look.face,
                    size: look.size,
                    colour: look.colour,
                    glyphs: glyphs.to_vec(),
                    width,
                };
                self.line.runs.push((run, piece.origin));
            }
        }
        self.pen += width;
    }

    /// A space that takes up no room ends the paragraph too, or its last word would run into the next
    /// paragraph's first where the sheet is read aloud.
    fn end(&mut self) {
        if let Some((run, _)) = self.lines.last_mut().and_then(|line| line.runs.last_mut())
            && run.glyphs.last().is_some_and(|glyph| glyph.text != " ")
        {
            run.glyphs.extend_from_slice(&run.face.shape(" ").glyphs);
        }
    }

    fn finish_line(&mut self) {
        let mut line = std::mem::take(&mut self.line);
        self.pen = 0.0;
        if line.runs.is_empty() {
            return;
        }
        // The space at a wrapped line's end stays in the text, so that two lines copy as two words,
        // but it takes up no room.
        if let Some((run, _)) = line.runs.last_mut() {
            run.width = (line.width - run.at.x).max(0.0);
        }
        self.lines.push(line);
    }
}

/// Rounding of sums of advances, mm.
const TOLERANCE: f32 = 0.01;

/// Whether a line must not end before byte `index`, because a value would part from its unit, a
/// range from its second half or a size from its figures.
fn keeps_together(text: &str, index: usize) -> bool {
    let before = text[..index].trim_end();
    let after = text[index..].trim_start();
    let last = before.rsplit(char::is_whitespace).next().unwrap_or_default();
    let next = after.split(char::is_whitespace).next().unwrap_or_default();
    let ends_in_figure = before.ends_with(|c: char| c.is_ascii_digit() || "½¼¾⅓⅔⅛".contains(c));
    let begins_with_figure = |word: &str| word.starts_with(|c: char| c.is_ascii_digit() || "-−±½¼¾".contains(c));
    if matches!(last, "×" | "x" | "±" | "≥" | "≤" | "<" | ">") {
        return true;
    }
    if ends_in_figure && matches!(next, "×" | "±" | "x") {
        return true;
    }
    if DRIVES.contains(&last) && begins_with_figure(next) {
        return true;
    }
    if ends_in_figure && is_unit(next) {
        return true;
    }
    let joins = |word: &str| matches!(word, "to" | "–" | "-" | "then");
    if ends_in_figure && joins(next) {
        return begins_with_figure(after[next.len()..].trim_start());
    }
    if joins(last) && begins_with_figure(next) {
        let earlier = before[..before.len() - last.len()].trim_end();
        return earlier.ends_with(|c: char| c.is_ascii_digit());
    }
    false
}

/// What stands before a size and stays with it.
const DRIVES: &[&str] = &["hex", "key", "cross", "hexalobular", "position", "positions", "pass", "No."];

/// Units as the sheet prints them and as authors write them in prose.
const UNITS: &[&str] = &[
    "N·m", "lbf·ft", "lbf·in", "mm", "cm", "m", "km", "in", "ft", "mi", "mile", "miles", "µm", "L", "mL", "l", "ml",
    "gal", "qt", "pt", "oz", "fl", "bar", "kPa", "MPa", "psi", "N", "kN", "lbf", "kg", "g", "lb", "rpm", "km/h", "mph",
    "V", "mV", "A", "mA", "Ω", "kΩ", "W", "kW", "%", "°", "°C", "°F", "K", "h", "min", "s", "day", "days", "week",
    "weeks", "month", "months", "turn", "turns", "clicks", "teeth", "hours", "minutes", "kPa", "dm³", "cm³", "in³",
    "US", "Hz",
];

fn is_unit(word: &str) -> bool {
    let bare = word.trim_end_matches(['.', ',', ';', ':', ')', '!', '?']);
    UNITS.contains(&bare)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::style::{ACT, PROSE};

    fn lines(text: &str, width: f32) -> Vec<String> {
        set(&[piece(text, PROSE, None)], width)
            .lines
            .iter()
            .map(|line| line.runs.iter().map(|(run, _)| run.text()).collect())
            .collect()
    }

    #[test]
    fn wraps_between_words_and_keeps_the_space_in_the_text() {
        assert_eq!(
            lines("Straight back, until the coupling clears the flywheel housing.", 60.0),
            ["Straight back, until the coupling ", "clears the flywheel housing. "]
        );
    }

    #[test]
    fn no_line_is_wider_than_the_column() {
        let text = "The lift is slow with warm oil and the relief valve holds its pressure.";
        for width in 20..90 {
            let set = set(&[piece(text, PROSE, None)], width as f32);
            assert!(set.lines.iter().all(|line| line.width <= width as f32 + 0.02), "{width}");
        }
    }

    #[test]
    fn a_value_never_parts_from_its_unit() {
        let text = "Tighten to 40 N·m, then 22 to 28 N·m, on M8 × 35 at 45 ± 5 % of 1/6 turn and -37 °C";
        for width in 22..100 {
            for line in lines(text, width as f32) {
                let line = line.trim_end();
                for start in ["N·m", "×", "%", "turn", "°C", "±", "to 28", "35", "28"] {
                    assert!(!line.starts_with(start), "{width}: {line}");
                }
            }
        }
    }

    #[test]
    fn a_word_wider_than_the_column_is_broken_rather_than_clipped() {
        let set = set(&[piece("Donaudampfschifffahrtsgesellschaft", ACT, None)], 30.0);
        assert!(set.lines.len() > 1);
        assert!(set.lines.iter().all(|line| line.width <= 30.02));
    }

    #[test]
    fn a_printed_range_never_breaks_at_its_dash() {
        let text = "Set it to 0.0079\u{202f}–\u{202f}0.0118\u{a0}in or 88.5\u{a0}+26.5\u{a0}−8.8\u{a0}lbf·in";
        for width in 50..100 {
            for line in lines(text, width as f32) {
                assert!(!line.trim_end().ends_with('–') && !line.starts_with("lbf"), "{width}: {line}");
            }
        }
    }

    #[test]
    fn faces_mix_on_one_baseline() {
        let set = set(&[piece("Remove ", PROSE, None), piece("it", PROSE.emphasised(), None)], 60.0);
        assert_eq!(set.lines.len(), 1);
        assert_eq!(set.lines[0].runs.len(), 2);
        assert!(set.lines[0].runs[1].0.at.x > 10.0);
    }

    #[test]
    fn a_break_in_the_source_breaks_the_line() {
        assert_eq!(lines("one\ntwo", 60.0), ["one", "two "]);
        assert_eq!(lines("", 60.0), Vec::<String>::new());
    }

    #[test]
    fn missing_signs_are_told() {
        let set = set(&[piece("a ⚠ b", PROSE, None)], 60.0);
        assert_eq!(set.missing.len(), 1);
        assert_eq!(set.missing[0].character, '⚠');
    }
}
