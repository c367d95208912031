//! A page's items as page operators.

use std::collections::BTreeMap;

use printpdf::{
    Codepoint, Color, CurTransMat, DictItem, Greyscale, Line, LineCapStyle, LineDashPattern, LineJoinStyle, LinePoint,
    Op, PaintMode, PdfFontHandle, Point, Polygon, PolygonRing, Pt, Rgb, TextItem, WindingOrder, XObjectTransform,
};

use super::fonts::Embedded;
use super::picture::Placed;
use super::structure::{Mark, Structure};
use super::{points, round};
use crate::sheet::font::{Face, Glyph};
use crate::sheet::page::{self, Area, Colour, Kind, Page, Path, Ring, Segment, Stroke, TextRun};

/// Writes a page; tells the structure what it marked.
pub(super) fn of_page(
    page: &Page,
    index: usize,
    height: f32,
    fonts: &BTreeMap<Face, Embedded>,
    pictures: &[Placed],
    structure: &mut Structure,
) -> Vec<Op> {
    let mut pen = Pen { height, ops: Vec::new(), state: State::default() };
    let mut open = Mark::None;
    structure.begin_page(index);
    for item in &page.items {
        match &item.kind {
            Kind::Open(tag) => {
                structure.open(tag);
                continue;
            }
            Kind::Close => {
                structure.close();
                continue;
            }
            Kind::Link { .. } => continue,
            _ => {}
        }
        let wanted = structure.place(matches!(item.kind, Kind::Text(_)), &open);
        if wanted != open {
            pen.end_mark(&open);
            pen.begin_mark(&wanted, structure);
            open = wanted;
        }
        match &item.kind {
            Kind::Text(run) => pen.text(run, fonts),
            Kind::Line { from, to, stroke } => {
                pen.stroke(&Path::polyline(&[(from.x, from.y), (to.x, to.y)]), *stroke);
            }
            Kind::Rect { area, radius, fill, stroke } => {
                let path = if *radius > 0.0 { Path::rounded(*area, *radius) } else { upright(area) };
                pen.path(&path, *fill, *stroke);
            }
            Kind::Path { path, fill, stroke } => pen.path(path, *fill, *stroke),
            Kind::Image { area, picture } => {
                if let Some(placed) = pictures.iter().find(|placed| placed.picture == *picture) {
                    pen.picture(area, placed);
                }
            }
            Kind::Open(_) | Kind::Close | Kind::Link { .. } => {}
        }
    }
    pen.end_mark(&open);
    structure.end_page();
    pen.ops
}

fn upright(area: &Area) -> Path {
    Path::polygon(&[(area.x, area.y), (area.right(), area.y), (area.right(), area.bottom()), (area.x, area.bottom())])
}

/// What the page's graphics state is known to be; nothing is said twice.
#[derive(Default)]
struct State {
    fill: Option<Colour>,
    stroke: Option<Colour>,
    width: Option<f32>,
    dash: Option<Option<(f32, f32)>>,
    round: Option<bool>,
}

struct Pen {
    height: f32,
    ops: Vec<Op>,
    state: State,
}

impl Pen {
    fn begin_mark(&mut self, mark: &Mark, structure: &Structure) {
        match mark {
            Mark::None => {}
            Mark::Artifact => self.ops.push(Op::BeginMarkedContent { tag: "Artifact".to_owned() }),
            Mark::Content { node, id } => {
                let map = [("MCID".to_owned(), DictItem::Int(*id))].into();
                self.ops.push(Op::BeginMarkedContentWithProperties {
                    tag: structure.name(*node).to_owned(),
                    properties: DictItem::Dict { map },
                });
            }
        }
    }

    fn end_mark(&mut self, mark: &Mark) {
        if *mark != Mark::None {
            self.ops.push(Op::EndMarkedContent);
        }
    }

    fn fill_colour(&mut self, colour: Colour) {
        if self.state.fill != Some(colour) {
            self.state.fill = Some(colour);
            self.ops.push(Op::SetFillColor { col: of_colour(colour) });
        }
    }

    fn outline(&mut self, stroke: Stroke) {
        if self.state.stroke != Some(stroke.colour) {
            self.state.stroke = Some(stroke.colour);
            self.ops.push(Op::SetOutlineColor { col: of_colour(stroke.colour) });
        }
        if self.state.width != Some(stroke.width) {
            self.state.width = Some(stroke.width);
            self.ops.push(Op::SetOutlineThickness { pt: Pt(points(stroke.width)) });
        }
        if self.state.dash != Some(stroke.dash) {
            self.state.dash = Some(stroke.dash);
            let mut dash = LineDashPattern::default();
            if let Some((on, off)) = stroke.dash {
                dash.pattern = [points(on), points(off)].into_iter().collect();
            }
            self.ops.push(Op::SetLineDashPattern { dash });
        }
        if self.state.round != Some(stroke.round) {
            self.state.round = Some(stroke.round);
            let (cap, join) = if stroke.round {
                (LineCapStyle::Round, LineJoinStyle::Round)
            } else {
                (LineCapStyle::Butt, LineJoinStyle::Miter)
            };
            self.ops.push(Op::SetLineCapStyle { cap });
            self.ops.push(Op::SetLineJoinStyle { join });
        }
    }

    fn path(&mut self, path: &Path, fill: Option<Colour>, stroke: Option<Stroke>) {
        if let Some(colour) = fill {
            self.fill_colour(colour);
            let rings = path.rings.iter().map(|ring| PolygonRing { points: self.points_of(ring) }).collect();
            let polygon = Polygon { rings, mode: PaintMode::Fill, winding_order: WindingOrder::EvenOdd };
            self.ops.push(Op::DrawPolygon { polygon });
        }
        if let Some(stroke) = stroke {
            self.stroke(path, stroke);
        }
    }

    fn stroke(&mut self, path: &Path, stroke: Stroke) {
        self.outline(stroke);
        for ring in &path.rings {
            let line = Line { points: self.points_of(ring), is_closed: ring.closed };
            self.ops.push(Op::DrawLine { line });
        }
    }

    fn points_of(&self, ring: &Ring) -> Vec<LinePoint> {
        let point = |p: page::Point, bezier| LinePoint { p: self.point(p), bezier };
        let mut all = vec![point(ring.start, false)];
        for segment in &ring.segments {
            match *segment {
                Segment::Line(end) => all.push(point(end, false)),
                Segment::Curve(a, b, end) => {
                    all.extend([point(a, true), point(b, true), point(end, false)]);
                }
            }
        }
        all
    }

    fn point(&self, p: page::Point) -> Point {
        Point { x: Pt(points(p.x)), y: Pt(points(self.height - p.y)) }
    }

    fn text(&mut self, run: &TextRun, fonts: &BTreeMap<Face, Embedded>) {
        let Some(font) = fonts.get(&run.face) else { return };
        self.fill_colour(run.colour);
        let handle = PdfFontHandle::External(font.id.clone());
        self.ops.extend([
            Op::StartTextSection,
            Op::SetFont { font: handle, size: Pt(round(run.size)) },
            Op::SetTextCursor { pos: self.point(run.at) },
            Op::ShowText { items: text_items(run, font) },
            Op::EndTextSection,
        ]);
    }

    fn picture(&mut self, area: &Area, placed: &Placed) {
        let corner = self.point(page::at(area.x, area.bottom()));
        let matrix = [points(area.width), 0.0, 0.0, points(area.height), corner.x.0, corner.y.0];
        self.ops.extend([
            Op::SaveGraphicsState,
            Op::SetTransformationMatrix { matrix: CurTransMat::Raw(matrix) },
            Op::UseXobject {
                id: placed.id.clone(),
                transform: XObjectTransform { no_auto_scale: true, ..XObjectTransform::default() },
            },
            Op::RestoreGraphicsState,
        ]);
    }
}

/// Letters as they are wherever the font's own table leads to the right glyph, glyph numbers
/// elsewhere; kerning as distances in between.
fn text_items(run: &TextRun, font: &Embedded) -> Vec<TextItem> {
    let mut items = Vec::new();
    let mut letters = String::new();
    let mut gap = 0;
    for glyph in &run.glyphs {
        let before = gap - glyph.dx;
        if before != 0 {
            flush(&mut items, &mut letters);
            items.push(TextItem::Offset(before as f32));
        }
        match single(glyph).filter(|letter| plain(*letter, glyph, font)) {
            Some(letter) => letters.push(letter),
            None => {
                flush(&mut items, &mut letters);
                let gid = font.glyphs.get(&glyph.id).copied().unwrap_or(0);
                let cid = Some(glyph.text.clone());
                items.push(TextItem::GlyphIds(vec![Codepoint { gid, offset: 0.0, cid }]));
            }
        }
        // What the reader advances by itself, less what we want.
        gap = run.face.plain_advance(glyph.id) - glyph.advance + glyph.dx;
    }
    flush(&mut items, &mut letters);
    items
}

fn single(glyph: &Glyph) -> Option<char> {
    let mut letters = glyph.text.chars();
    letters.next().filter(|_| letters.next().is_none())
}

fn plain(letter: char, glyph: &Glyph, font: &Embedded) -> bool {
    let subset = font.glyphs.get(&glyph.id);
    subset.is_some() && font.characters.get(&letter) == subset
}

fn flush(items: &mut Vec<TextItem>, letters: &mut String) {
    if !letters.is_empty() {
        items.push(TextItem::Text(std::mem::take(letters)));
    }
}

fn of_colour(Colour(r, g, b): Colour) -> Color {
    let part = |value: u8| round(f32::from(value) / 255.0);
    if r == g && g == b {
        return Color::Greyscale(Greyscale { percent: part(r), icc_profile: None });
    }
    Color::Rgb(Rgb { r: part(r), g: part(g), b: part(b), icc_profile: None })
}
