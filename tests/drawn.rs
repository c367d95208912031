//! The same pages as SVG and PNG: one page model draws them all.
#![allow(clippy::disallowed_methods, reason = "tests read the demo procedures from disk")]

use std::path::Path;
use std::sync::Arc;

use cotter::analysis::{LoadError, analyse};
use cotter::sheet::page::{Kind, Sheet};
use cotter::sheet::{Choice, lay_out};
use cotter::{pdf, png, svg};

fn sheet(name: &str) -> Sheet {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("procedures");
    let mut load = |name: &str| std::fs::read_to_string(folder.join(name)).map_err(|_| LoadError::Missing);
    let job = analyse(name, &mut load).job.unwrap_or_else(|| panic!("{name} has an error"));
    lay_out(&job, &Choice { printed_on: "2026-11-25".to_owned(), ..Choice::default() })
}

fn no_links(_: usize) -> Option<String> {
    None
}

/// What is read out of an SVG: its text elements in order.
fn texts(drawing: &str) -> Vec<String> {
    drawing
        .split("<text ")
        .skip(1)
        .filter_map(|part| part.split_once('>')?.1.split_once("</text>"))
        .map(|(text, _)| text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&"))
        .collect()
}

/// Every page is well-formed, says what the page says in its order, and refers to no glyph that it does not define.
#[test]
fn every_page_as_svg_holds_the_text_of_the_sheet() {
    for name in ["hydraulic-pump.job", "cylinder-head-gasket.job", "thermostat-and-coolant.job"] {
        let sheet = sheet(name);
        for (index, page) in sheet.pages.iter().enumerate() {
            let drawing = svg::page(&sheet, index, &no_links).unwrap();
            let parsed = resvg::usvg::Tree::from_str(&drawing, &resvg::usvg::Options::default());
            assert!(parsed.is_ok(), "{name} page {index}: {:?}", parsed.err());
            let runs: Vec<String> = page
                .items
                .iter()
                .filter_map(|item| match &item.kind {
                    Kind::Text(run) => Some(run.text()).filter(|text| !text.is_empty()),
                    _ => None,
                })
                .collect();
            assert!(runs.len() > 10, "{name} page {index} is nearly empty");
            assert_eq!(texts(&drawing), runs, "{name} page {index}");
            for part in drawing.split("<use xlink:href=\"#").skip(1) {
                let glyph = part.split('"').next().unwrap();
                assert!(drawing.contains(&format!("<path id=\"{glyph}\"")), "{name} page {index}: {glyph}");
            }
        }
        assert_eq!(svg::page(&sheet, sheet.pages.len(), &no_links), None);
    }
}

#[test]
fn links_lead_to_the_address_of_the_page() {
    let sheet = sheet("hydraulic-pump.job");
    let links = sheet.pages.iter().flat_map(|p| &p.items).filter(|i| matches!(i.kind, Kind::Link { .. })).count();
    let written: usize = (0..sheet.pages.len())
        .map(|i| {
            svg::page(&sheet, i, &|page| Some(format!("p{page}.svg"))).unwrap().matches("<a xlink:href=\"p").count()
        })
        .sum();
    assert!(links > 0);
    assert_eq!(written, links);
}

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    let (one, two) = (sheet("hydraulic-pump.job"), sheet("hydraulic-pump.job"));
    assert_eq!(svg::page(&one, 0, &no_links), svg::page(&two, 0, &no_links));
    assert_eq!(png::page(&one, 0, 40), png::page(&two, 0, 40));
}

/// PDF drawn by one renderer and SVG by another: in grey, a pixel in a hundred may differ at the edges of letters.
#[test]
fn svg_and_pdf_are_the_same_picture() {
    const DPI: u32 = 72;
    let sheet = sheet("hydraulic-pump.job");
    let bytes = pdf::write(&sheet).unwrap();
    let document = hayro::Pdf::new(Arc::new(bytes)).unwrap();
    for index in 0..sheet.pages.len() {
        let drawn = png::page(&sheet, index, DPI).unwrap().unwrap();
        let drawn = image::load_from_memory(&drawn).unwrap().into_luma8();
        let settings = hayro::RenderSettings { x_scale: 1.0, y_scale: 1.0, ..Default::default() };
        let page = document.pages().get(index).unwrap();
        let other = hayro::render(page, &hayro::InterpreterSettings::default(), &settings);
        let (wide, high) = (u32::from(other.width()).min(drawn.width()), u32::from(other.height()).min(drawn.height()));
        assert!(u32::from(other.width()).abs_diff(drawn.width()) <= 1, "page {index}");
        let data = other.data_as_u8_slice();
        let grey = |x: u32, y: u32| {
            let at = ((y * u32::from(other.width()) + x) * 4) as usize;
            let over = |c: u8| f32::from(c.saturating_add(255 - data[at + 3]));
            0.2126 * over(data[at]) + 0.7152 * over(data[at + 1]) + 0.0722 * over(data[at + 2])
        };
        let (mut differ, mut ink) = (0_u32, 0_u32);
        for (x, y) in (0..high).flat_map(|y| (0..wide).map(move |x| (x, y))) {
            let (one, two) = (f32::from(drawn.get_pixel(x, y).0[0]), grey(x, y));
            differ += u32::from((one - two).abs() > 96.0);
            ink += u32::from(two < 128.0);
        }
        assert!(ink > 2_000, "page {index} is empty");
        assert!(f64::from(differ) < 0.01 * f64::from(wide * high), "page {index}: {differ} of {} pixels", wide * high);
    }
}
