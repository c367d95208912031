//! The page model that stands between layout and PDF.
//!
//! All positions are millimetres from the top left corner of the paper, y downwards; type sizes are
//! points (1/72 inch). The order of the items is the order in which the sheet is read aloud.

use std::fmt::Write as _;

use super::font::{Face, Glyph};

/// Where in the source an item comes from.
pub type Origin = Option<crate::source::Span>;

/// A whole sheet, ready to be drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// What names this sheet in a file list, a reader's title bar and the PDF's properties.
    pub meta: Meta,
    /// Size of every page.
    pub paper: Paper,
    /// The pages in order.
    pub pages: Vec<Page>,
    /// The outline a reader shows beside the pages.
    pub outline: Vec<Bookmark>,
    /// Characters the fonts lack. A lost sign beside a value is a safety fault, so a caller that
    /// prints must refuse or tell; the page shows the code point in words instead of an empty box.
    pub missing: Vec<MissingGlyph>,
}

/// Facts about the sheet that are not on its pages.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Meta {
    /// Title of the job.
    pub title: String,
    /// Number of the job in the shop.
    pub number: String,
    /// Revision, as written.
    pub revision: String,
    /// The machine.
    pub machine: String,
    /// BCP 47 language tag of the text, e.g. `en`.
    pub language: String,
    /// Hexadecimal digest of the content, in full.
    pub digest: String,
    /// Day of printing, if it is known.
    pub printed_on: Option<Day>,
}

/// A calendar day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Day {
    /// Year of the common era.
    pub year: u16,
    /// 1 to 12.
    pub month: u8,
    /// 1 to 31.
    pub day: u8,
}

impl Day {
    /// Reads `2026-11-25`; anything else is `None`.
    pub fn parse(text: &str) -> Option<Self> {
        let mut parts = text.trim().splitn(3, '-');
        let year: u16 = parts.next()?.parse().ok()?;
        let month: u8 = parts.next()?.parse().ok()?;
        let day: u8 = parts.next()?.parse().ok()?;
        let real = (1..=9999).contains(&year) && (1..=12).contains(&month) && (1..=31).contains(&day);
        real.then_some(Self { year, month, day })
    }
}

/// Size of the paper in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Paper {
    /// ISO 216 A4, 210 × 297 mm.
    #[default]
    A4,
    /// US Letter, 8.5 × 11 in (ANSI/ASME Y14.1 size A).
    Letter,
}

impl Paper {
    /// Width and height in millimetres.
    pub fn size(self) -> (f32, f32) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }
}

/// One page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    /// What is placed on it, in reading order.
    pub items: Vec<Item>,
}

/// A line of the outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Bookmark {
    /// What it says.
    pub title: String,
    /// Index of the page it leads to.
    pub page: usize,
    /// Distance from the top of that page, mm.
    pub y: f32,
    /// What stands below it.
    pub children: Vec<Bookmark>,
}

/// A character that neither face has.
#[derive(Clone, Debug, PartialEq)]
pub struct MissingGlyph {
    /// The character.
    pub character: char,
    /// The text it stands in.
    pub origin: Origin,
}

/// Something placed on a page.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// What it is and where.
    pub kind: Kind,
    /// The source it comes from.
    pub origin: Origin,
}

impl From<Kind> for Item {
    fn from(kind: Kind) -> Self {
        Self { kind, origin: None }
    }
}

/// What can be placed on a page.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    /// A run of text on one baseline.
    Text(TextRun),
    /// A straight line.
    Line {
        /// One end.
        from: Point,
        /// The other end.
        to: Point,
        /// How it is drawn.
        stroke: Stroke,
    },
    /// A rectangle; with a radius its corners are round.
    Rect {
        /// Where it is.
        area: Area,
        /// Corner radius in mm.
        radius: f32,
        /// Its inside.
        fill: Option<Colour>,
        /// Its edge.
        stroke: Option<Stroke>,
    },
    /// Any outline of lines and Béziers, filled by the even-odd rule.
    Path {
        /// The outline.
        path: Path,
        /// Its inside.
        fill: Option<Colour>,
        /// Its edge.
        stroke: Option<Stroke>,
    },
    /// A picture, passed on as it came.
    Image {
        /// Where it is.
        area: Area,
        /// The picture.
        picture: std::sync::Arc<Picture>,
    },
    /// A place that leads somewhere when touched.
    Link {
        /// The place.
        area: Area,
        /// Index of the page it leads to.
        page: usize,
        /// Distance from the top of that page, mm.
        y: f32,
    },
    /// The start of an element of the structure that a reader speaks.
    Open(Tag),
    /// The end of the innermost element.
    Close,
}

/// Role of an element of the structure (ISO 32000-1, 14.8.4).
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tag {
    /// A division of the sheet.
    Section,
    /// The title.
    Heading1,
    /// Heading of a part or a stage.
    Heading2,
    /// Heading within a part.
    Heading3,
    /// A paragraph.
    Paragraph,
    /// A list.
    List,
    /// One item of a list.
    ListItem,
    /// A table.
    Table,
    /// A row of a table.
    Row,
    /// A head cell of a table.
    HeadCell,
    /// A cell of a table.
    Cell,
    /// A drawing, with the words that stand for it when it can't be seen.
    Figure(String),
    /// Something that is not content: a rule, a ground, the foot of the page.
    Artifact,
}

impl Tag {
    /// The name the PDF standard gives to the role.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Section => "Sect",
            Self::Heading1 => "H1",
            Self::Heading2 => "H2",
            Self::Heading3 => "H3",
            Self::Paragraph => "P",
            Self::List => "L",
            Self::ListItem => "LI",
            Self::Table => "Table",
            Self::Row => "TR",
            Self::HeadCell => "TH",
            Self::Cell => "TD",
            Self::Figure(_) => "Figure",
            Self::Artifact => "Artifact",
        }
    }
}

/// A run of text in one face, size and colour.
#[derive(Clone, Debug, PartialEq)]
pub struct TextRun {
    /// Left end of the baseline.
    pub at: Point,
    /// Which face.
    pub face: Face,
    /// Size in points.
    pub size: f32,
    /// Colour.
    pub colour: Colour,
    /// The glyphs, shaped and kerned.
    pub glyphs: Vec<Glyph>,
    /// Width in mm.
    pub width: f32,
}

impl TextRun {
    /// The characters of the run.
    pub fn text(&self) -> String {
        self.glyphs.iter().map(|glyph| glyph.text.as_str()).collect()
    }

    /// The box that the letters take up, from ascender to descender as drawn (cap height to
    /// descender), used to prove that no two texts overlap.
    pub fn area(&self) -> Area {
        let above = super::font::millimetres(self.face.metrics().cap_height, self.size);
        let below = super::font::millimetres(-self.face.metrics().descent_drawn, self.size);
        Area { x: self.at.x, y: self.at.y - above, width: self.width, height: above + below }
    }
}

/// A picture that came as a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// How the bytes are packed.
    pub format: PictureFormat,
    /// Width in pixels.
    pub width: u32,
    /// Height in pixels.
    pub height: u32,
    /// The bytes of the file.
    pub bytes: Vec<u8>,
}

/// The picture formats that pass through to PDF.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PictureFormat {
    /// Portable network graphics.
    Png,
    /// JPEG.
    Jpeg,
}

/// A point in mm from the top left corner of the page.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Point {
    /// To the right.
    pub x: f32,
    /// Downwards.
    pub y: f32,
}

/// Short for a [`Point`].
pub fn at(x: f32, y: f32) -> Point {
    Point { x, y }
}

/// An upright rectangle in mm.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Area {
    /// Left edge.
    pub x: f32,
    /// Top edge.
    pub y: f32,
    /// Width.
    pub width: f32,
    /// Height.
    pub height: f32,
}

impl Area {
    /// A rectangle from its top left corner and its size.
    pub fn new(x: f32, y: f32, width: f32, height: f32) -> Self {
        Self { x, y, width, height }
    }

    /// Right edge.
    pub fn right(&self) -> f32 {
        self.x + self.width
    }

    /// Bottom edge.
    pub fn bottom(&self) -> f32 {
        self.y + self.height
    }

    /// Whether the two share more than `slack` mm in both directions.
    pub fn overlaps(&self, other: &Self, slack: f32) -> bool {
        let wide = self.right().min(other.right()) - self.x.max(other.x);
        let high = self.bottom().min(other.bottom()) - self.y.max(other.y);
        wide > slack && high > slack
    }
}

/// A colour, 0 to 255 each of red, green, blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Width in mm.
    pub width: f32,
    /// Colour.
    pub colour: Colour,
    /// Length of dash and of gap in mm.
    pub dash: Option<(f32, f32)>,
    /// Round ends and corners.
    pub round: bool,
}

impl Stroke {
    /// A plain black line of this width in mm.
    pub fn black(width: f32) -> Self {
        Self::of(width, super::style::BLACK)
    }

    /// A plain line of this width in mm and colour.
    pub fn of(width: f32, colour: Colour) -> Self {
        Self { width, colour, dash: None, round: false }
    }

    /// The same with round ends.
    pub fn rounded(self) -> Self {
        Self { round: true, ..self }
    }

    /// The same dashed, dash and gap in mm.
    pub fn dashed(self, dash: f32, gap: f32) -> Self {
        Self { dash: Some((dash, gap)), ..self }
    }
}

/// An outline of lines and cubic Béziers, of one or more rings.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Path {
    /// Its rings.
    pub rings: Vec<Ring>,
}

/// One connected part of a path.
#[derive(Clone, Debug, PartialEq)]
pub struct Ring {
    /// Where it begins.
    pub start: Point,
    /// What follows.
    pub segments: Vec<Segment>,
    /// Whether it returns to its start.
    pub closed: bool,
}

/// One piece of a ring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// Straight to a point.
    Line(Point),
    /// A cubic Bézier: two control points and the end.
    Curve(Point, Point, Point),
}

impl Path {
    /// An empty path.
    pub fn new() -> Self {
        Self::default()
    }

    /// Begins a ring.
    pub fn move_to(mut self, x: f32, y: f32) -> Self {
        self.rings.push(Ring { start: at(x, y), segments: Vec::new(), closed: false });
        self
    }

    /// Goes straight to a point.
    pub fn line_to(self, x: f32, y: f32) -> Self {
        self.push(Segment::Line(at(x, y)))
    }

    /// Goes along a cubic Bézier.
    pub fn curve_to(self, c1: (f32, f32), c2: (f32, f32), end: (f32, f32)) -> Self {
        self.push(Segment::Curve(at(c1.0, c1.1), at(c2.0, c2.1), at(end.0, end.1)))
    }

    /// Where the pen is; the origin before it was set down.
    pub fn end(&self) -> Point {
        self.rings.last().map_or_else(Point::default, |ring| match ring.segments.last() {
            Some(Segment::Line(end) | Segment::Curve(_, _, end)) => *end,
            None => ring.start,
        })
    }

    /// Closes the ring.
    pub fn close(mut self) -> Self {
        if let Some(ring) = self.rings.last_mut() {
            ring.closed = true;
        }
        self
    }

    fn push(mut self, segment: Segment) -> Self {
        match self.rings.last_mut() {
            Some(ring) => ring.segments.push(segment),
            // A path that was not begun begins at the first point it is sent to.
            None => {
                let (Segment::Line(start) | Segment::Curve(_, _, start)) = segment;
                self.rings.push(Ring { start, segments: Vec::new(), closed: false });
            }
        }
        self
    }

    /// A ring through points, closed.
    pub fn polygon(points: &[(f32, f32)]) -> Self {
        let mut path = Self::new();
        for (index, &(x, y)) in points.iter().enumerate() {
            path = if index == 0 { path.move_to(x, y) } else { path.line_to(x, y) };
        }
        path.close()
    }

    /// An open line through points.
    pub fn polyline(points: &[(f32, f32)]) -> Self {
        let mut path = Self::new();
        for (index, &(x, y)) in points.iter().enumerate() {
            path = if index == 0 { path.move_to(x, y) } else { path.line_to(x, y) };
        }
        path
    }

    /// A full circle of four Béziers. The handle length 0.5523 r is the usual approximation,
    /// off the true circle by at most 0.03 % of the radius.
    pub fn circle(x: f32, y: f32, radius: f32) -> Self {
        Self::ellipse(x, y, radius, radius)
    }

    /// An upright ellipse.
    pub fn ellipse(x: f32, y: f32, rx: f32, ry: f32) -> Self {
        let (kx, ky) = (rx * HANDLE, ry * HANDLE);
        Self::new()
            .move_to(x + rx, y)
            .curve_to((x + rx, y + ky), (x + kx, y + ry), (x, y + ry))
            .curve_to((x - kx, y + ry), (x - rx, y + ky), (x - rx, y))
            .curve_to((x - rx, y - ky), (x - kx, y - ry), (x, y - ry))
            .curve_to((x + kx, y - ry), (x + rx, y - ky), (x + rx, y))
            .close()
    }

    /// An open arc, angles in degrees clockwise from twelve o'clock; cut into pieces of at most 90°.
    pub fn arc(x: f32, y: f32, radius: f32, from: f32, to: f32) -> Self {
        let point = |degrees: f32| {
            let angle = degrees.to_radians();
            (x + radius * angle.sin(), y - radius * angle.cos())
        };
        let pieces = ((to - from).abs() / 90.0).ceil().max(1.0);
        let step = (to - from) / pieces;
        let handle = 4.0 / 3.0 * (step.to_radians() / 4.0).tan() * radius;
        let start = point(from);
        let mut path = Self::new().move_to(start.0, start.1);
        let mut angle = from;
        for _ in 0..pieces as usize {
            let next = angle + step;
            let (p, q) = (point(angle), point(next));
            let (a, b) = (angle.to_radians(), next.to_radians());
            path = path.curve_to(
                (p.0 + handle * a.cos(), p.1 + handle * a.sin()),
                (q.0 - handle * b.cos(), q.1 - handle * b.sin()),
                q,
            );
            angle = next;
        }
        path
    }

    /// A rectangle with round corners.
    pub fn rounded(area: Area, radius: f32) -> Self {
        let r = radius.min(area.width / 2.0).min(area.height / 2.0).max(0.0);
        let k = r * (1.0 - HANDLE);
        let (l, t, rt, b) = (area.x, area.y, area.right(), area.bottom());
        Self::new()
            .move_to(l + r, t)
            .line_to(rt - r, t)
            .curve_to((rt - k, t), (rt, t + k), (rt, t + r))
            .line_to(rt, b - r)
            .curve_to((rt, b - k), (rt - k, b), (rt - r, b))
            .line_to(l + r, b)
            .curve_to((l + k, b), (l, b - k), (l, b - r))
            .line_to(l, t + r)
            .curve_to((l, t + k), (l + k, t), (l + r, t))
            .close()
    }

    /// The rings of both.
    pub fn and(mut self, other: Self) -> Self {
        self.rings.extend(other.rings);
        self
    }

    /// Scaled about the origin, then moved.
    pub fn placed(mut self, x: f32, y: f32, scale: f32) -> Self {
        self.each_point(|p| *p = at(p.x * scale + x, p.y * scale + y));
        self
    }

    /// Applies a change to every point, control points too.
    pub fn each_point(&mut self, mut change: impl FnMut(&mut Point)) {
        for ring in &mut self.rings {
            change(&mut ring.start);
            for segment in &mut ring.segments {
                match segment {
                    Segment::Line(p) => change(p),
                    Segment::Curve(a, b, c) => {
                        change(a);
                        change(b);
                        change(c);
                    }
                }
            }
        }
    }

    /// The smallest upright rectangle that holds every point, control points too.
    pub fn bounds(&self) -> Area {
        let mut low = at(f32::INFINITY, f32::INFINITY);
        let mut high = at(f32::NEG_INFINITY, f32::NEG_INFINITY);
        self.clone().each_point(|p| {
            low = at(low.x.min(p.x), low.y.min(p.y));
            high = at(high.x.max(p.x), high.y.max(p.y));
        });
        if low.x > high.x {
            return Area::default();
        }
        Area::new(low.x, low.y, high.x - low.x, high.y - low.y)
    }
}

const HANDLE: f32 = 0.552_284_8;

impl Item {
    /// Moves the item.
    pub fn shift(&mut self, dx: f32, dy: f32) {
        let by = |p: &mut Point| *p = at(p.x + dx, p.y + dy);
        match &mut self.kind {
            Kind::Text(run) => by(&mut run.at),
            Kind::Line { from, to, .. } => {
                by(from);
                by(to);
            }
            Kind::Rect { area, .. } | Kind::Image { area, .. } | Kind::Link { area, .. } => {
                area.x += dx;
                area.y += dy;
            }
            Kind::Path { path, .. } => path.each_point(by),
            Kind::Open(_) | Kind::Close => {}
        }
    }

    /// The place it takes up, edges included; `None` for what has no place.
    pub fn area(&self) -> Option<Area> {
        let grown = |area: Area, stroke: Option<Stroke>| {
            let half = stroke.map_or(0.0, |stroke| stroke.width / 2.0);
            Area::new(area.x - half, area.y - half, area.width + 2.0 * half, area.height + 2.0 * half)
        };
        match &self.kind {
            Kind::Text(run) => Some(run.area()),
            Kind::Line { from, to, stroke } => {
                let path = Path::polyline(&[(from.x, from.y), (to.x, to.y)]);
                Some(grown(path.bounds(), Some(*stroke)))
            }
            Kind::Rect { area, stroke, .. } => Some(grown(*area, *stroke)),
            Kind::Path { path, stroke, .. } => Some(grown(path.bounds(), *stroke)),
            Kind::Image { area, .. } => Some(*area),
            Kind::Link { .. } | Kind::Open(_) | Kind::Close => None,
        }
    }
}

impl Sheet {
    /// The sheet as text, one item a line, for tests: positions to a tenth of a millimetre.
    pub fn dump(&self) -> String {
        let mut out = String::new();
        let (width, height) = self.paper.size();
        let _ = writeln!(out, "sheet {:?} {width} x {height} mm", self.meta.title);
        for (index, page) in self.pages.iter().enumerate() {
            let _ = writeln!(out, "page {}", index + 1);
            let mut depth = 1;
            for item in &page.items {
                dump_item(&mut out, item, &mut depth);
            }
        }
        out
    }

    /// The text of a page in reading order, a run a line.
    pub fn text(&self, page: usize) -> String {
        let mut out = String::new();
        for item in self.pages.get(page).iter().flat_map(|page| &page.items) {
            if let Kind::Text(run) = &item.kind {
                out.push_str(run.text().trim_end());
                out.push('\n');
            }
        }
        out
    }
}

fn dump_item(out: &mut String, item: &Item, depth: &mut usize) {
    if matches!(item.kind, Kind::Close) {
        *depth = depth.saturating_sub(1).max(1);
        return;
    }
    let pad = "  ".repeat(*depth);
    let area = |a: &Area| format!("{:.1} {:.1} {:.1}x{:.1}", a.x, a.y, a.width, a.height);
    let _ = match &item.kind {
        Kind::Text(run) => {
            writeln!(out, "{pad}text {:.1} {:.1} {:?} {} {:?}", run.at.x, run.at.y, run.face, run.size, run.text())
        }
        Kind::Line { from, to, .. } => {
            writeln!(out, "{pad}line {:.1} {:.1} to {:.1} {:.1}", from.x, from.y, to.x, to.y)
        }
        Kind::Rect { area: a, .. } => writeln!(out, "{pad}rect {}", area(a)),
        Kind::Path { path, .. } => writeln!(out, "{pad}path {}", area(&path.bounds())),
        Kind::Image { area: a, picture } => {
            writeln!(out, "{pad}image {} {:?}", area(a), picture.format)
        }
        Kind::Link { area: a, page, .. } => {
            writeln!(out, "{pad}link {} to page {}", area(a), page + 1)
        }
        Kind::Open(tag) => {
            *depth += 1;
            match tag {
                Tag::Figure(words) => writeln!(out, "{pad}Figure {words:?}"),
                other => writeln!(out, "{pad}{}", other.name()),
            }
        }
        Kind::Close => Ok(()),
    };
}
