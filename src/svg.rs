//! Pages to SVG: thin, no measuring. The same pages that become PDF, so that a preview is the sheet itself.
//!
//! Letters are drawn as outlines, each glyph once a page, so that the picture looks alike on every machine. Over them
//! lies the text itself, without ink: it can be searched, copied and read aloud.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use base64::Engine as _;

use crate::sheet::font::{Face, MM_PER_POINT};
use crate::sheet::page::{Area, Colour, Kind, Page, Path, PictureFormat, Point, Segment, Sheet, Stroke, Tag, TextRun};

/// One page as an SVG 1.1 document; `None` where the sheet has no such page.
///
/// `leads_to` gives the address of a page by its index, for links; `None` leaves them out.
#[must_use]
pub fn page(sheet: &Sheet, index: usize, leads_to: &dyn Fn(usize) -> Option<String>) -> Option<String> {
    let page = sheet.pages.get(index)?;
    let (width, height) = sheet.paper.size();
    let mut out = String::with_capacity(page.items.len() * 160);
    let (title, language) = (escaped(&sheet.meta.title), escaped(&sheet.meta.language));
    let (wide, high) = (number(width), number(height));
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" width=\"{wide}mm\" height=\"{high}mm\" \
         viewBox=\"0 0 {wide} {high}\" xml:lang=\"{language}\">\n<title>{title} · {} / {}</title>\n",
        index + 1,
        sheet.pages.len()
    );
    definitions(&mut out, page);
    let _ = writeln!(out, "<rect width=\"{wide}\" height=\"{high}\" fill=\"#fff\"/>");
    let mut open = 0_usize;
    for item in &page.items {
        match &item.kind {
            Kind::Open(tag) => {
                open += 1;
                element(&mut out, tag);
            }
            // A part that goes on from the page before closes here without having been opened.
            Kind::Close if open == 0 => {}
            Kind::Close => {
                open -= 1;
                out.push_str("</g>\n");
            }
            Kind::Text(run) => text(&mut out, run),
            Kind::Line { from, to, stroke } => {
                shape(&mut out, &Path::polyline(&[(from.x, from.y), (to.x, to.y)]), None, Some(*stroke));
            }
            Kind::Rect { area, radius, fill, stroke } => {
                shape(&mut out, &Path::rounded(*area, *radius), *fill, *stroke)
            }
            Kind::Path { path, fill, stroke } => shape(&mut out, path, *fill, *stroke),
            Kind::Image { area, picture } => {
                let kind = match picture.format {
                    PictureFormat::Png => "png",
                    PictureFormat::Jpeg => "jpeg",
                };
                let bytes = base64::engine::general_purpose::STANDARD.encode(&picture.bytes);
                let _ = writeln!(
                    out,
                    "<image {} preserveAspectRatio=\"none\" xlink:href=\"data:image/{kind};base64,{bytes}\"/>",
                    corners(area)
                );
            }
            Kind::Link { area, page, .. } => {
                if let Some(address) = leads_to(*page) {
                    let _ = writeln!(
                        out,
                        "<a xlink:href=\"{}\"><rect {} fill-opacity=\"0\"/></a>",
                        escaped(&address),
                        corners(area)
                    );
                }
            }
        }
    }
    out.push_str(&"</g>\n".repeat(open));
    out.push_str("</svg>\n");
    Some(out)
}

/// The glyphs of the page, each once, in thousandths of the type size with y upwards.
fn definitions(out: &mut String, page: &Page) {
    let used: BTreeSet<(Face, u16)> = page
        .items
        .iter()
        .filter_map(|item| match &item.kind {
            Kind::Text(run) => Some(run.glyphs.iter().map(move |glyph| (run.face, glyph.id))),
            _ => None,
        })
        .flatten()
        .collect();
    out.push_str("<defs>\n");
    for (face, glyph) in used {
        let outline = face.outline(glyph);
        if !outline.rings.is_empty() {
            let _ = writeln!(out, "<path id=\"{}\" d=\"{}\"/>", name(face, glyph), data(&outline));
        }
    }
    out.push_str("</defs>\n");
}

fn name(face: Face, glyph: u16) -> String {
    match face {
        Face::Regular => format!("r{glyph}"),
        Face::Bold => format!("b{glyph}"),
    }
}

/// The roles of WAI-ARIA that say the same.
fn element(out: &mut String, tag: &Tag) {
    match tag {
        Tag::Heading1 => out.push_str("<g role=\"heading\" aria-level=\"1\">\n"),
        Tag::Heading2 => out.push_str("<g role=\"heading\" aria-level=\"2\">\n"),
        Tag::Heading3 => out.push_str("<g role=\"heading\" aria-level=\"3\">\n"),
        Tag::Figure(words) => {
            let _ = writeln!(out, "<g role=\"img\" aria-label=\"{}\">", escaped(words));
        }
        Tag::Artifact => out.push_str("<g aria-hidden=\"true\">\n"),
        Tag::Table => out.push_str("<g role=\"table\">\n"),
        Tag::Row => out.push_str("<g role=\"row\">\n"),
        Tag::HeadCell => out.push_str("<g role=\"columnheader\">\n"),
        Tag::Cell => out.push_str("<g role=\"cell\">\n"),
        Tag::List => out.push_str("<g role=\"list\">\n"),
        Tag::ListItem => out.push_str("<g role=\"listitem\">\n"),
        Tag::Section | Tag::Paragraph => out.push_str("<g>\n"),
    }
}

fn text(out: &mut String, run: &TextRun) {
    let words = run.text();
    if words.is_empty() {
        return;
    }
    // Thousandths of the type size to millimetres.
    let scale = run.size * MM_PER_POINT / 1000.0;
    let _ = write!(
        out,
        "<g aria-hidden=\"true\" fill=\"{}\" transform=\"matrix({scale:.6} 0 0 -{scale:.6} {} {})\">",
        colour(run.colour),
        number(run.at.x),
        number(run.at.y)
    );
    let mut pen = 0;
    for glyph in &run.glyphs {
        // A space has no outline; a reference to nothing draws nothing.
        if !glyph.text.trim().is_empty() || glyph.text.is_empty() {
            let _ = write!(out, "<use xlink:href=\"#{}\" x=\"{}\"/>", name(run.face, glyph.id), pen + glyph.dx);
        }
        pen += glyph.advance;
    }
    out.push_str("</g>\n");
    let weight = if run.face == Face::Bold { " font-weight=\"bold\"" } else { "" };
    let _ = writeln!(
        out,
        "<text x=\"{}\" y=\"{}\" font-family=\"sans-serif\"{weight} font-size=\"{}\" textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\" \
         fill-opacity=\"0\" xml:space=\"preserve\">{}</text>",
        number(run.at.x),
        number(run.at.y),
        number(run.size * MM_PER_POINT),
        number(run.width),
        escaped(&words)
    );
}

fn shape(out: &mut String, path: &Path, fill: Option<Colour>, stroke: Option<Stroke>) {
    if fill.is_none() && stroke.is_none() {
        return;
    }
    let _ = write!(out, "<path d=\"{}\"", data(path));
    match fill {
        Some(fill) => {
            let _ = write!(out, " fill=\"{}\" fill-rule=\"evenodd\"", colour(fill));
        }
        None => out.push_str(" fill=\"none\""),
    }
    if let Some(stroke) = stroke {
        let _ = write!(out, " stroke=\"{}\" stroke-width=\"{}\"", colour(stroke.colour), number(stroke.width));
        if let Some((dash, gap)) = stroke.dash {
            let _ = write!(out, " stroke-dasharray=\"{} {}\"", number(dash), number(gap));
        }
        if stroke.round {
            out.push_str(" stroke-linecap=\"round\" stroke-linejoin=\"round\"");
        }
    }
    out.push_str("/>\n");
}

fn data(path: &Path) -> String {
    let mut out = String::new();
    let place = |out: &mut String, letter: char, points: &[Point]| {
        out.push(letter);
        for (i, point) in points.iter().enumerate() {
            let _ = write!(out, "{}{} {}", if i == 0 { "" } else { " " }, number(point.x), number(point.y));
        }
    };
    for ring in &path.rings {
        place(&mut out, 'M', &[ring.start]);
        for segment in &ring.segments {
            match *segment {
                Segment::Line(end) => place(&mut out, 'L', &[end]),
                Segment::Curve(a, b, end) => place(&mut out, 'C', &[a, b, end]),
            }
        }
        if ring.closed {
            out.push('Z');
        }
    }
    out
}

fn corners(area: &Area) -> String {
    format!(
        "x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"",
        number(area.x),
        number(area.y),
        number(area.width),
        number(area.height)
    )
}

fn colour(Colour(r, g, b): Colour) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// To a thousandth, without noughts that say nothing.
fn number(value: f32) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// For text and for attributes in double quotes. What XML 1.0 can't hold (control characters) becomes a space.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\t' | '\n' | '\r' => out.push(character),
            c if u32::from(c) < 0x20 || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
