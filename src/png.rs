//! Pages to PNG: the SVG of a page, drawn. The only place that names `resvg`.

use resvg::{tiny_skia, usvg};

use crate::sheet::page::Sheet;
use crate::svg;

/// Highest resolution in dots an inch: a page of A4 then takes 140 megapixels of memory.
pub const MOST_DPI: u32 = 1200;

/// Why a page could not be drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PngError(String);

impl std::fmt::Display for PngError {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(to, "the page can't be drawn: {}", self.0)
    }
}

impl std::error::Error for PngError {}

/// One page as PNG on white, at a resolution in dots an inch (1 to [`MOST_DPI`]); `None` where the sheet has no such page.
pub fn page(sheet: &Sheet, index: usize, dpi: u32) -> Option<Result<Vec<u8>, PngError>> {
    let drawing = svg::page(sheet, index, &|_| None)?;
    Some(draw(&drawing, sheet.paper.size(), dpi))
}

fn draw(drawing: &str, (width, height): (f32, f32), dpi: u32) -> Result<Vec<u8>, PngError> {
    let fault = |why: &str| PngError(why.to_owned());
    let dots = |mm: f32| (mm / 25.4 * dpi.clamp(1, MOST_DPI) as f32).round() as u32;
    let (wide, high) = (dots(width), dots(height));
    // No text is drawn from fonts: letters are outlines, and the text over them has no ink.
    let tree = usvg::Tree::from_str(drawing, &usvg::Options::default()).map_err(|error| PngError(error.to_string()))?;
    let mut picture = tiny_skia::Pixmap::new(wide, high).ok_or_else(|| fault("it is too large"))?;
    picture.fill(tiny_skia::Color::WHITE);
    let size = tree.size();
    let scale = tiny_skia::Transform::from_scale(wide as f32 / size.width(), high as f32 / size.height());
    resvg::render(&tree, scale, &mut picture.as_mut());
    picture.encode_png().map_err(|error| PngError(error.to_string()))
}
