//! The author's figures: PNG and JPEG pass through to paper, SVG is read to plain outlines.
//!
//! What a sheet can't print as it is meant is refused with the reason, never printed half. A picture
//! is not trusted: its size is read from its own head, and what it unpacks to is counted.

use std::io::Read as _;

use usvg::tiny_skia_path::{PathSegment, Point as SvgPoint};

use super::page::{Colour, Path, Picture, PictureFormat, Stroke};

/// A figure that can be printed.
#[derive(Clone, Debug, PartialEq)]
pub enum Figure {
    /// Pixels.
    Picture(Picture),
    /// Outlines, in mm from their top left corner.
    Drawing(Drawing),
}

/// A drawing of plain outlines.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Width in mm.
    pub width: f32,
    /// Height in mm.
    pub height: f32,
    /// The outlines, the first at the bottom.
    pub outlines: Vec<Outline>,
}

/// An outline of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// Where it runs.
    pub path: Path,
    /// Its inside.
    pub fill: Option<Colour>,
    /// Its edge.
    pub stroke: Option<Stroke>,
}

/// Why a figure can't be printed, in words that end a sentence: `it holds text`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FigureError(pub String);

impl std::fmt::Display for FigureError {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        to.write_str(&self.0)
    }
}

impl std::error::Error for FigureError {}

/// Largest file that is looked at.
pub const MOST_BYTES: usize = 20_000_000;
/// Most pixels of a picture: an A4 page at 600 dpi has 35 million.
const MOST_PIXELS: u64 = 50_000_000;
/// Most outlines of a drawing.
const MOST_OUTLINES: usize = 20_000;

/// Reads a figure from the bytes of its file; what it is, is seen from them and not from its name.
pub fn read(bytes: &[u8]) -> Result<Figure, FigureError> {
    if bytes.len() > MOST_BYTES {
        return fault("the file is too large");
    }
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        return png(bytes).map(Figure::Picture);
    }
    if bytes.starts_with(&[0xff, 0xd8]) {
        return jpeg(bytes).map(Figure::Picture);
    }
    svg(bytes).map(Figure::Drawing)
}

fn fault<T>(why: impl Into<String>) -> Result<T, FigureError> {
    Err(FigureError(why.into()))
}

fn checked(format: PictureFormat, width: u32, height: u32, bytes: &[u8]) -> Result<Picture, FigureError> {
    if width == 0 || height == 0 {
        return fault("the picture has no size");
    }
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        return fault("the picture has too many pixels");
    }
    Ok(Picture { format, width, height, bytes: bytes.to_vec() })
}

/// Size from the head; the packed rows must come to just what the head says (W3C PNG, 7.2).
fn png(bytes: &[u8]) -> Result<Picture, FigureError> {
    let number = |at: usize| bytes.get(at..at + 4).map(|b| u32::from_be_bytes([b[0], b[1], b[2], b[3]]));
    let (Some(width), Some(height), Some(head)) = (number(16), number(20), bytes.get(24..29)) else {
        return fault("the PNG is cut short");
    };
    let (depth, kind, interlaced) = (head[0], head[1], head[4]);
    let channels = match kind {
        0 | 3 => 1,
        2 => 3,
        _ => return fault("the PNG is transparent; save it without transparency"),
    };
    if interlaced != 0 {
        return fault("the PNG is interlaced; save it without interlacing");
    }
    let picture = checked(PictureFormat::Png, width, height, bytes)?;
    let (mut at, mut packed) = (8, Vec::new());
    while let Some(length) = number(at) {
        let length = length as usize;
        let Some(body) = bytes.get(at + 8..).and_then(|rest| rest.get(..length)) else {
            return fault("the PNG is cut short");
        };
        match &bytes[at + 4..at + 8] {
            b"IDAT" => packed.extend_from_slice(body),
            b"tRNS" => return fault("the PNG is transparent; save it without transparency"),
            _ => {}
        }
        at += 12 + length;
    }
    let row = (u64::from(width) * channels * u64::from(depth)).div_ceil(8) + 1;
    let wanted = row * u64::from(height);
    let mut counted = 0;
    let mut unpacked = flate2::read::ZlibDecoder::new(packed.as_slice()).take(wanted + 1);
    let mut buffer = [0; 16_384];
    loop {
        match unpacked.read(&mut buffer) {
            Ok(0) => break,
            Ok(read) => counted += read as u64,
            Err(_) => return fault("the PNG can't be unpacked"),
        }
    }
    if counted != wanted {
        return fault("the PNG does not hold the rows that its head tells of");
    }
    Ok(picture)
}

/// Size from the start-of-frame segment (ITU-T T.81, B.2.2).
fn jpeg(bytes: &[u8]) -> Result<Picture, FigureError> {
    let mut at = 2;
    while let Some(head) = bytes.get(at..at + 4) {
        if head[0] != 0xff {
            break;
        }
        if matches!(head[1], 0xc0..=0xc2) {
            let Some(frame) = bytes.get(at + 4..at + 10) else { break };
            let height = u32::from(u16::from_be_bytes([frame[1], frame[2]]));
            let width = u32::from(u16::from_be_bytes([frame[3], frame[4]]));
            if !matches!(frame[5], 1 | 3) {
                return fault("the JPEG is neither grey nor in red, green and blue");
            }
            return checked(PictureFormat::Jpeg, width, height, bytes);
        }
        at += 2 + usize::from(u16::from_be_bytes([head[2], head[3]]));
    }
    fault("the JPEG has no frame that can be printed")
}

fn svg(bytes: &[u8]) -> Result<Drawing, FigureError> {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return fault("it is neither PNG nor JPEG nor SVG");
    };
    if text.contains("<text") {
        return fault("the drawing holds text; turn it into outlines");
    }
    let options = usvg::Options {
        // Nothing is fetched and no file is opened for a drawing.
        image_href_resolver: usvg::ImageHrefResolver {
            resolve_data: Box::new(|_, _, _| None),
            resolve_string: Box::new(|_, _| None),
        },
        ..usvg::Options::default()
    };
    let tree = match usvg::Tree::from_str(text, &options) {
        Ok(tree) => tree,
        Err(error) => return fault(format!("the SVG can't be read: {error}")),
    };
    let size = tree.size();
    let mut drawing =
        Drawing { width: size.width() * MM_PER_PIXEL, height: size.height() * MM_PER_PIXEL, outlines: Vec::new() };
    group(tree.root(), &mut drawing)?;
    if drawing.outlines.is_empty() {
        return fault("the drawing is empty, or all of it is pictures");
    }
    Ok(drawing)
}

/// A CSS pixel is 1/96 inch.
const MM_PER_PIXEL: f32 = 25.4 / 96.0;

fn group(group: &usvg::Group, to: &mut Drawing) -> Result<(), FigureError> {
    if group.clip_path().is_some() || group.mask().is_some() || !group.filters().is_empty() {
        return fault("the drawing holds a clip, a mask or a filter");
    }
    if group.opacity().get() < 1.0 {
        return fault("the drawing holds something half transparent");
    }
    for node in group.children() {
        match node {
            usvg::Node::Group(inner) => self::group(inner, to)?,
            usvg::Node::Path(path) => outline(path, to)?,
            usvg::Node::Image(_) => return fault("the drawing holds a picture"),
            usvg::Node::Text(_) => return fault("the drawing holds text; turn it into outlines"),
        }
    }
    Ok(())
}

/// How far an outline's control points may reach out of the frame, mm.
const SLACK: f32 = 1.0;

fn outline(svg: &usvg::Path, to: &mut Drawing) -> Result<(), FigureError> {
    if !svg.is_visible() {
        return Ok(());
    }
    if to.outlines.len() >= MOST_OUTLINES {
        return fault("the drawing has too many outlines");
    }
    let turn = svg.abs_transform();
    let place = |mut point: SvgPoint| {
        turn.map_point(&mut point);
        (point.x * MM_PER_PIXEL, point.y * MM_PER_PIXEL)
    };
    let mut path = Path::new();
    let mut last = (0.0, 0.0);
    for segment in svg.data().segments() {
        match segment {
            PathSegment::MoveTo(p) => {
                last = place(p);
                path = path.move_to(last.0, last.1);
            }
            PathSegment::LineTo(p) => {
                last = place(p);
                path = path.line_to(last.0, last.1);
            }
            PathSegment::QuadTo(c, p) => {
                // A quadratic as a cubic: both controls two thirds of the way to its one.
                let (c, end) = (place(c), place(p));
                let toward =
                    |from: (f32, f32)| (from.0 + (c.0 - from.0) * 2.0 / 3.0, from.1 + (c.1 - from.1) * 2.0 / 3.0);
                path = path.curve_to(toward(last), toward(end), end);
                last = end;
            }
            PathSegment::CubicTo(a, b, p) => {
                last = place(p);
                path = path.curve_to(place(a), place(b), last);
            }
            PathSegment::Close => path = path.close(),
        }
    }
    let bounds = path.bounds();
    let beyond = bounds.x < -SLACK
        || bounds.y < -SLACK
        || bounds.right() > to.width + SLACK
        || bounds.bottom() > to.height + SLACK;
    if beyond {
        // It would stand on the words beside it.
        return fault("the drawing reaches beyond its own frame");
    }
    let fill = svg.fill().map(|fill| colour(fill.paint(), fill.opacity())).transpose()?;
    let scale = (turn.get_scale().0 + turn.get_scale().1) / 2.0;
    let stroke = match svg.stroke() {
        Some(stroke) => {
            let width = stroke.width().get() * scale * MM_PER_PIXEL;
            let mut pen = Stroke::of(width, colour(stroke.paint(), stroke.opacity())?);
            pen.round = stroke.linecap() == usvg::LineCap::Round;
            if let Some([on, off, ..]) = stroke.dasharray() {
                pen = pen.dashed(on * scale * MM_PER_PIXEL, off * scale * MM_PER_PIXEL);
            }
            Some(pen)
        }
        None => None,
    };
    to.outlines.push(Outline { path, fill, stroke });
    Ok(())
}

fn colour(paint: &usvg::Paint, opacity: usvg::Opacity) -> Result<Colour, FigureError> {
    match paint {
        _ if opacity.get() < 1.0 => fault("the drawing holds something half transparent"),
        usvg::Paint::Color(colour) => Ok(Colour(colour.red, colour.green, colour.blue)),
        _ => fault("the drawing holds a gradient or a pattern"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn why(bytes: &[u8]) -> String {
        read(bytes).expect_err("refused").0
    }

    #[test]
    fn an_svg_becomes_outlines_in_millimetres() {
        let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm" viewBox="0 0 40 20">
            <rect x="1" y="8" width="38" height="4" fill="none" stroke="black"/><circle cx="20" cy="10" r="6"/></svg>"#;
        let Ok(Figure::Drawing(drawing)) = read(svg) else { panic!("no drawing") };
        assert!((drawing.width - 40.0).abs() < 0.01 && (drawing.height - 20.0).abs() < 0.01);
        assert_eq!(drawing.outlines.len(), 2);
        let bar = drawing.outlines[0].path.bounds();
        assert!((bar.x - 1.0).abs() < 0.01 && (bar.width - 38.0).abs() < 0.01, "{bar:?}");
    }

    #[test]
    fn what_would_be_printed_half_is_refused() {
        let svg = |inner: &str| {
            format!(r#"<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9">{inner}</svg>"#).into_bytes()
        };
        assert!(why(&svg("<text>A</text>")).contains("text"));
        assert!(why(&svg(r#"<rect width="5" height="5" opacity="0.5"/>"#)).contains("transparent"));
        assert!(why(&svg("")).contains("empty"));
        assert!(why(&svg(r#"<rect width="500" height="5"/>"#)).contains("frame"));
        assert!(why(b"no figure").contains("SVG"));
    }

    /// A head that tells of 60,000 × 60,000 pixels, and one whose rows do not come to what it tells.
    #[test]
    fn pictures_that_lie_of_their_size_are_refused() {
        let png = |width: u32, height: u32, rows: &[u8]| {
            let mut bytes = b"\x89PNG\r\n\x1a\n".to_vec();
            let mut chunk = |name: &[u8], body: &[u8]| {
                bytes.extend((body.len() as u32).to_be_bytes());
                bytes.extend(name);
                bytes.extend(body);
                bytes.extend([0; 4]);
            };
            let size = [width.to_be_bytes(), height.to_be_bytes()].concat();
            chunk(b"IHDR", &[size, vec![8, 0, 0, 0, 0]].concat());
            let mut packer = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::default());
            std::io::Write::write_all(&mut packer, rows).expect("packs");
            chunk(b"IDAT", &packer.finish().expect("packs"));
            bytes
        };
        assert!(read(&png(2, 2, &[0, 1, 2, 0, 3, 4])).is_ok());
        assert!(why(&png(60_000, 60_000, &[0])).contains("too many pixels"));
        assert!(why(&png(2, 2, &[0; 4000])).contains("rows"));
        assert!(why(&png(2, 2, &[0, 1])).contains("rows"));
        assert!(why(&png(2, 2, &[0])[..30]).contains("PNG"));
    }
}
