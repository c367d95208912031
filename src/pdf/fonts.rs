//! The faces of a sheet, cut down to the glyphs in use.

use std::collections::BTreeMap;

use printpdf::{FontId, FontMetrics, FontType, ParsedFont, PdfFont, PdfFontMetricsStub};
use rustybuzz::ttf_parser;
use sha2::{Digest as _, Sha256};

use super::PdfError;
use crate::sheet::font::Face;
use crate::sheet::page::{Kind, Sheet};

/// A face as it stands in the document.
pub(super) struct Embedded {
    /// Its name in the resources.
    pub id: FontId,
    /// What `printpdf` writes.
    pub embedded: PdfFont,
    /// From the font's glyphs to those of the subset.
    pub glyphs: BTreeMap<u16, u16>,
    /// From a character to its glyph in the subset.
    pub characters: BTreeMap<char, u16>,
}

/// Makes a subset of each face the sheet uses.
pub(super) fn embed(sheet: &Sheet) -> Result<BTreeMap<Face, Embedded>, PdfError> {
    let mut used: BTreeMap<Face, BTreeMap<u16, String>> = BTreeMap::new();
    for item in sheet.pages.iter().flat_map(|page| &page.items) {
        let Kind::Text(run) = &item.kind else { continue };
        let glyphs = used.entry(run.face).or_default();
        for glyph in &run.glyphs {
            glyphs.entry(glyph.id).or_insert_with(|| glyph.text.clone());
        }
    }
    used.into_iter().map(|(face, glyphs)| Ok((face, subset(face, &glyphs)?))).collect()
}

fn subset(face: Face, used: &BTreeMap<u16, String>) -> Result<Embedded, PdfError> {
    let ids: Vec<u16> = used.keys().copied().collect();
    let remapper = subsetter::GlyphRemapper::new_from_glyphs_sorted(&ids);
    let bytes = subsetter::subset(face.bytes(), 0, &remapper).map_err(|error| PdfError::Font(error.to_string()))?;
    let parsed = ttf_parser::Face::parse(face.bytes(), 0).map_err(|error| PdfError::Font(error.to_string()))?;

    let mut glyphs = BTreeMap::new();
    let mut characters = BTreeMap::new();
    let mut widths = BTreeMap::new();
    for (&old, text) in used {
        let Some(new) = remapper.get(old) else { continue };
        glyphs.insert(old, new);
        widths.insert(new, u16::try_from(face.plain_advance(old)).unwrap_or(0));
        let mut letters = text.chars();
        if let (Some(letter), None) = (letters.next(), letters.next())
            && face.glyph(letter) == Some(old)
        {
            characters.insert(letter, new);
        }
    }
    let name = format!("{}+{}", tag(face, used), face.name());
    let bounds = parsed.global_bounding_box();
    let embedded = PdfFont::new(ParsedFont {
        original_bytes: bytes,
        font_index: 0,
        font_name: Some(name),
        codepoint_to_glyph: characters.iter().map(|(&c, &id)| (u32::from(c), id)).collect(),
        glyph_widths: widths,
        units_per_em: parsed.units_per_em(),
        font_metrics: FontMetrics { ascent: parsed.ascender(), descent: parsed.descender() },
        font_type: FontType::TrueType,
        pdf_font_metrics: PdfFontMetricsStub {
            units_per_em: parsed.units_per_em(),
            x_min: bounds.x_min,
            y_min: bounds.y_min,
            x_max: bounds.x_max,
            y_max: bounds.y_max,
            us_weight_class: parsed.weight().to_number(),
            ..PdfFontMetricsStub::default()
        },
    });
    let id = FontId(match face {
        Face::Regular => "R".to_owned(),
        Face::Bold => "B".to_owned(),
    });
    Ok(Embedded { id, embedded, glyphs, characters })
}

/// Six capitals that depend on the glyphs only, as ISO 32000-1, 9.6.4 wants before a subset's name.
fn tag(face: Face, used: &BTreeMap<u16, String>) -> String {
    let mut hash = Sha256::new();
    hash.update(face.name());
    for id in used.keys() {
        hash.update(id.to_be_bytes());
    }
    hash.finalize().iter().take(6).map(|byte| char::from(b'A' + byte % 26)).collect()
}
