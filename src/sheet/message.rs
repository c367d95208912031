//! Safety messages in the manner of ISO 3864-2 and ANSI Z535.6: sign and signal word on a coloured
//! panel, beside it hazard, consequence and avoidance. The word, its weight and the sign carry the
//! meaning; colour only adds.

use super::catalogue as say;
use super::content::{Message, Signal};
use super::draw::sign::{self, Picture};
use super::fragment::Fragment;
use super::head::pieces;
use super::page::{Area, Colour, Path, Stroke, Tag, at};
use super::style::{BLACK, DETAIL, SAFETY_BLUE, SAFETY_ORANGE, SAFETY_RED, SAFETY_YELLOW, SIGNAL, WHITE};
use super::text::{self, Align};

/// Width of the panel, mm.
const PANEL: f32 = 39.0;
/// Side of the sign, mm.
const SIGN: f32 = 8.4;
/// Around the text, mm.
const PAD: f32 = 1.5;

/// Lays out a message across a width in mm.
pub fn message(message: &Message, width: f32) -> Fragment {
    let mut all = Fragment::new();
    let (word, ground, ink, edge) = manner(message.signal);
    let x = PANEL + 2.4;
    // What must be worn stands at the end of the words; the triangle of the panel is then the general one.
    let worn = message.picture.is_mandatory() && message.signal != Signal::Notice;
    let room = width - x - 2.0 - if worn { SIGN + 1.0 } else { 0.0 };
    let mut words = Fragment::new();
    words.tagged(Tag::Paragraph, |to| {
        let mut end = PAD;
        if !message.says.is_empty() {
            end = to.text(&pieces(&message.says, DETAIL), x, end, room);
        }
        if !message.avoid.is_empty() {
            end = to.text(&pieces(&message.avoid, DETAIL.emphasised()), x, end, room);
        }
        to.height = end + PAD;
    });
    let height = words.height.max(SIGN + 2.0);
    let sink = (height - words.height) / 2.0;

    let inner = edge / 2.0;
    // White below, so that the ground of the value column does not show through.
    all.rect(Area::new(0.0, 0.0, width, height), 0.0, Some(WHITE), None);
    let panel = Area::new(inner, inner, PANEL, height - edge);
    all.rect(panel, 0.0, Some(ground), None);
    all.line((PANEL, 0.0), (PANEL, height), Stroke::black(0.3));
    let drawn = match message.signal {
        Signal::Notice => sign::mandatory(SIGN - 1.6, word),
        _ if worn => sign::warning(Picture::General, SIGN, word),
        _ => sign::warning(message.picture, SIGN, word),
    };
    if message.signal == Signal::Danger {
        // The triangle needs a light ground to stand out on red.
        let triangle = [(50.0, 0.0), (103.0, 93.0), (-3.0, 93.0)];
        let path = Path::polygon(&triangle).placed(1.8, (height - SIGN) / 2.0, SIGN / 100.0);
        all.path(path, Some(WHITE), Some(Stroke::of(0.5, WHITE).rounded()));
    }
    if message.signal == Signal::Notice {
        let radius = drawn.height / 2.0 + 0.3;
        all.path(Path::circle(1.8 + drawn.height / 2.0, height / 2.0, radius), Some(WHITE), None);
    }
    let sunk = (height - drawn.height) / 2.0;
    all.place(drawn, 1.8, sunk);
    let set = text::line(word, SIGNAL.in_colour(ink));
    let left = 1.8 + SIGN;
    let corner = at(left, (height - set.height()) / 2.0);
    all.tagged(Tag::Paragraph, |to| to.paragraph(&set, corner, PANEL - left, Align::Centre));
    all.place(words, 0.0, sink);
    if worn {
        all.place(sign::of(message.picture, SIGN, say::WEAR_IT), width - SIGN - 1.2, (height - SIGN) / 2.0);
    }
    all.rect(Area::new(0.0, 0.0, width, height), 0.0, None, Some(Stroke::black(edge)));
    all.height = height;
    all
}

/// Word, ground, ink and edge in mm of a signal.
fn manner(signal: Signal) -> (&'static str, Colour, Colour, f32) {
    match signal {
        Signal::Danger => (say::DANGER, SAFETY_RED, WHITE, 0.9),
        Signal::Warning => (say::WARNING, SAFETY_ORANGE, BLACK, 0.6),
        Signal::Caution => (say::CAUTION, SAFETY_YELLOW, BLACK, 0.35),
        Signal::Notice => (say::NOTICE, SAFETY_BLUE, WHITE, 0.35),
    }
}
