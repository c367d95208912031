//! The pictures in the README are the sheet itself: rendered here and compared with the stored ones.
//!
//! After a change of the sheet, `COTTER_PICTURES=write cargo test --test pictures` makes them anew.
#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "tests read the demo procedures and pictures from disk"
)]

use std::path::{Path, PathBuf};
use std::sync::Arc;

use cotter::analysis::{LoadError, analyse};
use cotter::sheet::page::Paper;
use cotter::sheet::{Choice, lay_out};
use image::codecs::png::{CompressionType, FilterType, PngEncoder};

/// Pages of the hydraulic pump's sheet, from 0: the first, one with a plan of the bolts, the last.
const PAGES: [(usize, &str); 3] = [(0, "sheet-1.png"), (4, "sheet-2.png"), (7, "sheet-3.png")];
/// Pixels a point.
const SCALE: f32 = 1.15;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

fn render(page: usize) -> image::RgbImage {
    let folder = root().join("procedures");
    let mut load = |name: &str| std::fs::read_to_string(folder.join(name)).map_err(|_| LoadError::Missing);
    let job = analyse("hydraulic-pump.job", &mut load).job.expect("the demo has no error");
    let choice = Choice { paper: Paper::A4, printed_on: "2026-11-25".to_owned(), ..Choice::default() };
    let bytes = cotter::pdf::write(&lay_out(&job, &choice)).expect("writes");
    let pdf = hayro::Pdf::new(Arc::new(bytes)).expect("parses");
    let settings = hayro::RenderSettings { x_scale: SCALE, y_scale: SCALE, ..Default::default() };
    let pages = pdf.pages();
    let page = pages.get(page).expect("the sheet has this page");
    let pixels = hayro::render(page, &hayro::InterpreterSettings::default(), &settings);
    let (width, height) = (u32::from(pixels.width()), u32::from(pixels.height()));
    let data = pixels.data_as_u8_slice();
    image::RgbImage::from_fn(width, height, |x, y| {
        let at = ((y * width + x) * 4) as usize;
        // Transparent is paper.
        let over = |c: u8| c.saturating_add(255 - data[at + 3]);
        image::Rgb([over(data[at]), over(data[at + 1]), over(data[at + 2])])
    })
}

#[test]
fn pictures_in_the_readme_are_the_sheet() {
    let folder = root().join("grammar/pictures");
    let write = std::env::var("COTTER_PICTURES").is_ok_and(|v| v == "write");
    for (page, name) in PAGES {
        let drawn = render(page);
        let path = folder.join(name);
        if write {
            std::fs::create_dir_all(&folder).expect("makes the folder");
            let file = std::fs::File::create(&path).expect("makes the file");
            let encoder = PngEncoder::new_with_quality(file, CompressionType::Best, FilterType::NoFilter);
            drawn.write_with_encoder(encoder).expect("writes");
            continue;
        }
        let stored = image::open(&path).unwrap_or_else(|e| panic!("{name}: {e}")).into_rgb8();
        assert_eq!(stored.dimensions(), drawn.dimensions(), "{name}");
        let differ =
            stored.pixels().zip(drawn.pixels()).filter(|(a, b)| a.0.iter().zip(b.0).any(|(a, b)| a.abs_diff(b) > 40));
        // Renderers may round an edge otherwise; a changed word is hundreds of pixels.
        let differ = differ.count();
        assert!(
            differ < 60,
            "{name} is not the sheet any more ({differ} pixels differ): COTTER_PICTURES=write makes it anew"
        );
    }
}
