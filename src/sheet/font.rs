//! The two faces of the sheet, parsed once: shaping, kerning, coverage.
//!
//! IBM Plex Sans (SIL Open Font License 1.1, `assets/OFL-plex.txt`): 1000 units to the em, tabular
//! figures by default, unlike forms of I, l and 1.

use std::collections::HashMap;
use std::sync::{Arc, OnceLock, RwLock};

use rustybuzz::ttf_parser::Tag as FeatureTag;

use super::page::Path;

/// A face of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Face {
    /// For prose and details.
    Regular,
    /// For acts, values and signal words.
    Bold,
}

/// A glyph as placed: distances are thousandths of the type size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Glyph {
    /// Index in the font.
    pub id: u16,
    /// How far the pen goes on, kerning included.
    pub advance: i32,
    /// How far the glyph is moved from the pen, to the right.
    pub dx: i32,
    /// The characters it stands for; empty where an earlier glyph of the cluster has them.
    pub text: String,
}

/// Measures of a face, in thousandths of the type size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Metrics {
    /// Height of a capital.
    pub cap_height: f32,
    /// Height of the letter x.
    pub x_height: f32,
    /// Highest ink of the line.
    pub ascent: f32,
    /// Lowest ink of the line, negative.
    pub descent: f32,
    /// Bottom of g, p, q: what reaches below in a plain line, negative.
    pub descent_drawn: f32,
}

/// A shaped piece of text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shaped {
    /// Its glyphs.
    pub glyphs: Vec<Glyph>,
    /// Sum of the advances, thousandths of the type size.
    pub advance: i32,
    /// Characters that the face lacks.
    pub missing: Vec<char>,
}

static REGULAR: &[u8] = include_bytes!("assets/plex-regular.ttf");
static BOLD: &[u8] = include_bytes!("assets/plex-bold.ttf");

struct Loaded {
    face: rustybuzz::Face<'static>,
    metrics: Metrics,
    words: RwLock<HashMap<String, Arc<Shaped>>>,
}

/// Words kept; a batch of many jobs must not grow without bound.
const WORDS_KEPT: usize = 20_000;

/// Turns thousandths of the type size into millimetres.
pub fn millimetres(thousandths: f32, size: f32) -> f32 {
    thousandths * size / 1000.0 * MM_PER_POINT
}

/// One point is 1/72 inch; the inch is 25.4 mm exactly.
pub const MM_PER_POINT: f32 = 25.4 / 72.0;

impl Face {
    /// The bytes of the font file.
    pub fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => REGULAR,
            Self::Bold => BOLD,
        }
    }

    /// Name for the PDF.
    pub fn name(self) -> &'static str {
        match self {
            Self::Regular => "IBMPlexSans",
            Self::Bold => "IBMPlexSans-Bold",
        }
    }

    /// The measures of the face.
    pub fn metrics(self) -> Metrics {
        self.loaded().map_or(FALLBACK, |loaded| loaded.metrics)
    }

    /// Advance of one glyph without kerning.
    pub fn plain_advance(self, glyph: u16) -> i32 {
        let face = self.loaded().map(|loaded| &loaded.face);
        let advance = face.and_then(|face| face.glyph_hor_advance(rustybuzz::ttf_parser::GlyphId(glyph)));
        advance.map_or(0, i32::from)
    }

    /// Glyph that a character has without shaping.
    pub fn glyph(self, character: char) -> Option<u16> {
        let face = self.loaded().map(|loaded| &loaded.face)?;
        face.glyph_index(character).map(|glyph| glyph.0)
    }

    /// The outline of a glyph in thousandths of the type size, y upwards; empty for a space or a glyph the face lacks.
    pub fn outline(self, glyph: u16) -> Path {
        let mut pen = Outline { path: Path::new(), scale: 1.0 };
        if let Some(loaded) = self.loaded() {
            pen.scale = 1000.0 / loaded.face.units_per_em() as f32;
            let _ = loaded.face.outline_glyph(rustybuzz::ttf_parser::GlyphId(glyph), &mut pen);
        }
        pen.path
    }

    /// Shapes one word or phrase, kerned, without ligatures. A character that the face lacks is
    /// written out as `[U+2611]` and listed in `missing`.
    pub fn shape(self, text: &str) -> Arc<Shaped> {
        let Some(loaded) = self.loaded() else {
            return Arc::new(Shaped { glyphs: Vec::new(), advance: 0, missing: text.chars().collect() });
        };
        if let Ok(words) = loaded.words.read()
            && let Some(known) = words.get(text)
        {
            return known.clone();
        }
        let shaped = Arc::new(shape(&loaded.face, text));
        if let Ok(mut words) = loaded.words.write() {
            if words.len() >= WORDS_KEPT {
                words.clear();
            }
            words.insert(text.to_owned(), shaped.clone());
        }
        shaped
    }

    /// Width of a text in mm at a size in points.
    pub fn width(self, text: &str, size: f32) -> f32 {
        millimetres(self.shape(text).advance as f32, size)
    }

    fn loaded(self) -> Option<&'static Loaded> {
        static FACES: OnceLock<[Option<Loaded>; 2]> = OnceLock::new();
        let faces = FACES.get_or_init(|| [load(REGULAR), load(BOLD)]);
        let [regular, bold] = faces;
        match self {
            Self::Regular => regular.as_ref(),
            Self::Bold => bold.as_ref(),
        }
    }
}

/// Draws what the font says.
struct Outline {
    path: Path,
    scale: f32,
}

impl Outline {
    fn draw(&mut self, step: impl FnOnce(Path) -> Path) {
        self.path = step(std::mem::take(&mut self.path));
    }
}

impl rustybuzz::ttf_parser::OutlineBuilder for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        let s = self.scale;
        self.draw(|path| path.move_to(x * s, y * s));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let s = self.scale;
        self.draw(|path| path.line_to(x * s, y * s));
    }

    /// A quadratic Bézier is a cubic one whose handles go two thirds of the way.
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let s = self.scale;
        let (x1, y1, end) = (x1 * s, y1 * s, (x * s, y * s));
        self.draw(|path| {
            let start = path.end();
            let toward = |from: (f32, f32)| (from.0 + 2.0 / 3.0 * (x1 - from.0), from.1 + 2.0 / 3.0 * (y1 - from.1));
            path.curve_to(toward((start.x, start.y)), toward(end), end)
        });
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let s = self.scale;
        self.draw(|path| path.curve_to((x1 * s, y1 * s), (x2 * s, y2 * s), (x * s, y * s)));
    }

    fn close(&mut self) {
        self.draw(Path::close);
    }
}

/// Used only if the built-in font could not be parsed, which a test rules out.
const FALLBACK: Metrics =
    Metrics { cap_height: 698.0, x_height: 516.0, ascent: 1025.0, descent: -275.0, descent_drawn: -205.0 };

fn load(bytes: &'static [u8]) -> Option<Loaded> {
    let face = rustybuzz::Face::from_slice(bytes, 0)?;
    let scale = 1000.0 / f32::from(face.as_ref().units_per_em());
    let of = |units: i16| f32::from(units) * scale;
    let drawn = face
        .glyph_index('g')
        .and_then(|glyph| face.glyph_bounding_box(glyph))
        .map_or(FALLBACK.descent_drawn, |bounds| of(bounds.y_min));
    let metrics = Metrics {
        cap_height: face.capital_height().map_or(FALLBACK.cap_height, of),
        x_height: face.x_height().map_or(FALLBACK.x_height, of),
        ascent: of(face.ascender()),
        descent: of(face.descender()),
        descent_drawn: drawn,
    };
    Some(Loaded { face, metrics, words: RwLock::new(HashMap::new()) })
}

fn shape(face: &rustybuzz::Face<'_>, text: &str) -> Shaped {
    let mut missing = Vec::new();
    let mut known = String::with_capacity(text.len());
    for character in text.chars() {
        // A soft hyphen or a joiner only steers line breaking; no-break spaces print as spaces,
        // so that a search for '40 N·m' finds it.
        match character {
            '\u{2060}' | '\u{00ad}' | '\u{200b}' | '\u{feff}' => {}
            '\u{00a0}' | '\u{202f}' | '\t' | '\n' | '\r' => known.push(' '),
            '\u{2126}' => known.push('Ω'),
            '\u{03bc}' => known.push('µ'),
            _ if face.glyph_index(character).is_some() => known.push(character),
            _ => {
                missing.push(character);
                known.push_str(&format!("[U+{:04X}]", u32::from(character)));
            }
        }
    }
    let mut buffer = rustybuzz::UnicodeBuffer::new();
    buffer.push_str(&known);
    buffer.guess_segment_properties();
    let shaped = rustybuzz::shape(face, &features(), buffer);
    let scale = 1000.0 / face.units_per_em() as f32;
    let unit = |value: i32| (value as f32 * scale).round() as i32;

    let infos = shaped.glyph_infos();
    let mut glyphs = Vec::with_capacity(infos.len());
    let mut advance = 0;
    for (index, (info, position)) in infos.iter().zip(shaped.glyph_positions()).enumerate() {
        let first_of_cluster = index == 0 || infos[index - 1].cluster != info.cluster;
        let start = info.cluster as usize;
        let end =
            infos[index..].iter().map(|next| next.cluster as usize).find(|&next| next > start).unwrap_or(known.len());
        let characters = known.get(start..end).unwrap_or_default();
        glyphs.push(Glyph {
            id: u16::try_from(info.glyph_id).unwrap_or(0),
            advance: unit(position.x_advance),
            dx: unit(position.x_offset),
            text: if first_of_cluster { characters.to_owned() } else { String::new() },
        });
        advance += unit(position.x_advance);
    }
    Shaped { glyphs, advance, missing }
}

fn features() -> [rustybuzz::Feature; 3] {
    let switch = |tag: &[u8; 4], value| rustybuzz::Feature::new(FeatureTag::from_bytes(tag), value, ..);
    [switch(b"kern", 1), switch(b"liga", 0), switch(b"clig", 0)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_faces_parse_and_have_the_signs_of_the_trade() {
        for face in [Face::Regular, Face::Bold] {
            assert!(face.loaded().is_some(), "{face:?} does not parse");
            let shaped = face.shape("N·m ≥ ≤ ± × − – — ° Ω µ ½ → ← ↑ ↓ ‹ › … • ’ “ ”");
            assert_eq!(shaped.missing, Vec::<char>::new(), "{face:?}");
        }
    }

    #[test]
    fn figures_are_tabular() {
        for face in [Face::Regular, Face::Bold] {
            let one = face.shape("1").advance;
            assert!("0123456789".chars().all(|c| face.shape(&c.to_string()).advance == one));
        }
    }

    #[test]
    fn pairs_are_kerned() {
        let apart = Face::Regular.shape("A").advance + Face::Regular.shape("V").advance;
        assert!(Face::Regular.shape("AV").advance < apart);
    }

    #[test]
    fn no_ligature_joins_letters() {
        assert_eq!(Face::Regular.shape("fi").glyphs.len(), 2);
    }

    #[test]
    fn a_missing_sign_is_reported_and_written_out() {
        let shaped = Face::Regular.shape("a☑b");
        assert_eq!(shaped.missing, ['☑']);
        let text: String = shaped.glyphs.iter().map(|glyph| glyph.text.as_str()).collect();
        assert_eq!(text, "a[U+2611]b");
        assert!(shaped.glyphs.iter().all(|glyph| glyph.id != 0));
    }

    #[test]
    fn no_break_spaces_print_as_spaces() {
        let shaped = Face::Bold.shape("40\u{a0}N\u{2060}·\u{2060}m");
        let text: String = shaped.glyphs.iter().map(|glyph| glyph.text.as_str()).collect();
        assert_eq!(text, "40 N·m");
    }
}
