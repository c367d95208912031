//! A made-up sheet with one of everything, written and read back.

use lopdf::{Document, Object};

use super::*;
use crate::sheet::draw::{boxes, dial, plan, qr, sign};
use crate::sheet::fragment::Fragment;
use crate::sheet::page::{Bookmark, Day, Meta, Page, Paper, Tag};
use crate::sheet::style::{ACT, DETAIL, Grid, HEADING, PROSE, TITLE, VALUE};
use crate::sheet::text::piece;
use crate::trade::layout::Layout;

fn made_up(paper: Paper) -> Sheet {
    let grid = Grid::of(paper);
    let mut first = Fragment::new();
    let width = grid.body.width;
    first.tagged(Tag::Heading1, |to| to.words("Renew the hydraulic pump", TITLE, 0.0, 0.0, width));
    if let Some(code) = qr::code("HY-207 rev 3 7f3a91c2", 22.0) {
        first.place(code, width - 22.0, 0.0);
    }
    let prose = [
        piece("The lift is slow with warm oil and the relief valve holds its pressure, or the ", PROSE, None),
        piece("shaft seal", PROSE.emphasised(), None),
        piece(" weeps: AVATAR, Wärme, Öl, ±5 %, 90°, 0.4 Ω, 10 µm.", PROSE, None),
    ];
    first.tagged(Tag::Paragraph, |to| to.text(&prose, 0.0, 26.0, 90.0));
    for (index, &picture) in sign::ALL.iter().enumerate() {
        let (column, row) = ((index % 10) as f32, (index / 10) as f32);
        let drawing = sign::of(picture, 14.0, "warning");
        first.place(drawing, column * 17.0, 56.0 + row * 17.0);
    }
    first.place(sign::mandatory(14.0, "must"), 0.0, 92.0);
    first.place(sign::stop(14.0, "stop"), 17.0, 92.0);

    let mut second = Fragment::new();
    second.tagged(Tag::Heading2, |to| to.words("Put the pump on", HEADING, 0.0, 0.0, width));
    second.tagged(Tag::Table, |to| {
        to.tagged(Tag::Row, |to| {
            to.tagged(Tag::Cell, |to| to.words("Tighten the pump bolts.", ACT, 0.0, 10.0, 90.0));
            to.tagged(Tag::Cell, |to| to.words("80\u{a0}N·m", VALUE, 120.0, 10.0, 40.0));
            to.tagged(Tag::Cell, |to| boxes::ticks(to, 14, (120.0, 18.0, 30.0), None));
        });
    });
    let chip = boxes::chip(&mut second, "caution", crate::sheet::style::LABEL, (0.0, 30.0), 5.0);
    second.words("One grain of sand ends the pump.", DETAIL, chip + 2.0, 30.0, 90.0);
    let directions = [
        dial::Direction::Clock(270),
        dial::Direction::Forward,
        dial::Direction::Left,
        dial::Direction::Inward,
        dial::Direction::Outward,
        dial::Direction::Clockwise,
        dial::Direction::Anticlockwise,
    ];
    for (index, direction) in directions.into_iter().enumerate() {
        second.place(dial::direction(direction, "seen so"), index as f32 * 16.0, 40.0);
    }
    let spots = |layout: Layout, count: u32| -> Vec<plan::Spot> {
        let spot = |(index, (x, y)): (usize, (f64, f64))| plan::Spot {
            x: x as f32,
            y: y as f32,
            mark: (index + 1).to_string(),
            look: [plan::Look::Black, plan::Look::Plain, plan::Look::Ringed][index % 3],
        };
        layout.places(count).unwrap().into_iter().enumerate().map(spot).collect()
    };
    let circle = plan::plan(&spots(Layout::Circle, 7), plan::Shape::Circle, 100.0, "seven bolts");
    second.place(circle.0, 0.0, 60.0);
    let rows = plan::plan(&spots(Layout::Rows { rows: 2, columns: 7 }, 14), plan::Shape::Rows, 100.0, "two rows");
    second.place(rows.0, 60.0, 60.0);
    let area = Area::new(0.0, 0.0, 40.0, 6.0);
    second.push(Kind::Link { area, page: 0, y: 10.0 }, None);

    let onto_page = |fragment: Fragment| {
        let mut page = Fragment::new();
        page.place(fragment, grid.body.x, grid.body.y);
        page.tagged(Tag::Artifact, |to| {
            to.words("HY-207 · page", DETAIL, grid.foot.x, grid.foot.y, 60.0);
        });
        Page { items: page.items }
    };
    let mark = |title: &str, page, children| Bookmark { title: title.into(), page, y: 10.0, children };
    Sheet {
        meta: Meta {
            title: "Renew the hydraulic pump".into(),
            number: "HY-207".into(),
            revision: "3".into(),
            machine: "Osier 20 compact loader".into(),
            language: "en".into(),
            digest: "7f3a91c2".into(),
            printed_on: Day::parse("2026-11-25"),
        },
        paper,
        pages: vec![onto_page(first), onto_page(second)],
        outline: vec![mark("Before you start", 0, vec![]), mark("Steps", 1, vec![mark("Put the pump on", 1, vec![])])],
        missing: Vec::new(),
    }
}

fn read_back() -> (Vec<u8>, Document) {
    let bytes = write(&made_up(Paper::A4)).expect("writes");
    let document = Document::load_mem(&bytes).expect("reads");
    (bytes, document)
}

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    assert!(write(&made_up(Paper::A4)).expect("writes") == write(&made_up(Paper::A4)).expect("writes"));
}

#[test]
fn other_content_gives_another_identity() {
    let mut other = made_up(Paper::A4);
    other.pages.truncate(1);
    other.outline.clear();
    let id = |bytes: &[u8]| {
        let document = Document::load_mem(bytes).expect("reads");
        document.trailer.get(b"ID").and_then(Object::as_array).expect("an ID").clone()
    };
    let (first, second) = (id(&read_back().0), id(&write(&other).expect("writes")));
    assert_eq!(first[0], second[0], "the same job");
    assert_ne!(first[1], second[1], "another rendering");
}

#[test]
fn it_is_pdf_1_7_with_title_language_labels_and_tags() {
    let (bytes, document) = read_back();
    assert!(bytes.starts_with(b"%PDF-1.7"));
    let catalog = document.catalog().expect("a catalogue");
    assert_eq!(catalog.get(b"Lang").and_then(Object::as_str).expect("language"), b"en");
    for key in ["MarkInfo", "StructTreeRoot", "PageLabels", "Outlines", "ViewerPreferences"] {
        assert!(catalog.has(key.as_bytes()), "{key}");
    }
    let text = String::from_utf8_lossy(&bytes);
    assert!(!text.contains("printpdf") && !text.contains("GTS_PDFX"), "foreign strings");
}

#[test]
fn the_text_reads_back_with_real_spaces() {
    let (_, document) = read_back();
    let first = document.extract_text(&[1]).expect("text of page 1");
    assert!(first.contains("Renew the hydraulic pump"), "{first}");
    assert!(first.contains("Wärme, Öl, ±5 %, 90°, 0.4 Ω, 10 µm."), "{first}");
    let second = document.extract_text(&[2]).expect("text of page 2");
    assert!(second.contains("80 N·m"), "{second}");
}

#[test]
fn the_outline_is_nested_and_a_link_leads_back() {
    let (_, document) = read_back();
    let toc = document.get_toc().expect("an outline").toc;
    let lines: Vec<_> = toc.iter().map(|line| (line.level, line.title.as_str(), line.page)).collect();
    assert_eq!(lines, [(1, "Before you start", 1), (1, "Steps", 2), (2, "Put the pump on", 2)]);
    let page = document.get_pages()[&2];
    assert_eq!(document.get_page_annotations(page).expect("annotations").len(), 1);
}

#[test]
fn every_font_is_an_embedded_subset() {
    let (bytes, document) = read_back();
    let fonts: Vec<_> = document
        .objects
        .values()
        .filter_map(|object| object.as_dict().ok())
        .filter(|dict| dict.has_type(b"FontDescriptor"))
        .collect();
    assert_eq!(fonts.len(), 2);
    for font in fonts {
        let name = font.get(b"FontName").and_then(Object::as_name).expect("a name");
        assert_eq!(name.get(6), Some(&b'+'));
        assert!(font.has(b"FontFile2"));
    }
    assert!(bytes.len() < 80_000, "{} bytes", bytes.len());
}

#[test]
fn the_code_scans_from_a_rendered_page() {
    let (bytes, _) = read_back();
    let pdf = hayro::Pdf::new(std::sync::Arc::new(bytes)).expect("parses");
    let scale = 216.0 / 72.0;
    let settings = hayro::RenderSettings { x_scale: scale, y_scale: scale, ..Default::default() };
    let pages = pdf.pages();
    let page = pages.first().expect("a page");
    let image = hayro::render(page, &hayro::InterpreterSettings::default(), &settings);
    let (width, height) = (usize::from(image.width()), usize::from(image.height()));
    let pixels = image.data_as_u8_slice();
    let mut grey = rqrr::PreparedImage::prepare_from_greyscale(width, height, |x, y| pixels[(y * width + x) * 4]);
    let grids = grey.detect_grids();
    assert_eq!(grids.len(), 1);
    assert_eq!(grids[0].decode().expect("decodes").1, "HY-207 rev 3 7f3a91c2");
}

/// A picture of four pixels, red at the top left, is where it was placed.
#[test]
fn a_picture_passes_through() {
    use crate::sheet::figure::{Figure, read};
    let mut png = b"\x89PNG\r\n\x1a\n".to_vec();
    let mut chunk = |name: &[u8], body: &[u8]| {
        png.extend((body.len() as u32).to_be_bytes());
        png.extend(name);
        png.extend(body);
        png.extend([0; 4]);
    };
    chunk(b"IHDR", &[0, 0, 0, 2, 0, 0, 0, 2, 8, 2, 0, 0, 0]);
    let rows = [0, 255, 0, 0, 0, 0, 255, 0, 0, 255, 0, 9, 9, 9];
    let mut packer = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::default());
    packer.write_all(&rows).expect("packs");
    chunk(b"IDAT", &packer.finish().expect("packs"));
    chunk(b"IEND", &[]);
    let Ok(Figure::Picture(picture)) = read(&png) else { panic!("no picture") };

    let mut sheet = made_up(Paper::A4);
    let area = Area::new(30.0, 200.0, 20.0, 20.0);
    sheet.pages[0].items.push(Kind::Image { area, picture: std::sync::Arc::new(picture) }.into());
    let bytes = write(&sheet).expect("writes");
    let pdf = hayro::Pdf::new(std::sync::Arc::new(bytes)).expect("parses");
    let page = &pdf.pages()[0];
    let image = hayro::render(page, &hayro::InterpreterSettings::default(), &hayro::RenderSettings::default());
    let pixel = |x: f32, y: f32| {
        let at = (points(y) as usize * usize::from(image.width()) + points(x) as usize) * 4;
        image.data_as_u8_slice()[at..at + 3].to_vec()
    };
    assert_eq!(pixel(32.0, 202.0), [255, 0, 0]);
    assert_eq!(pixel(48.0, 202.0), [0, 0, 255]);
    assert_eq!(pixel(32.0, 218.0), [0, 255, 0]);
}
