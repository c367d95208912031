//! Pages to PDF bytes: thin, no measuring. The only place that names `printpdf` and `lopdf`.
//!
//! `printpdf` writes the page operators; what it leaves out (nested outline, tags, language, page
//! labels, links, an identifier that depends only on the content) is finished in `lopdf`. The same
//! sheet gives the same bytes.

mod fonts;
mod operators;
mod outline;
mod picture;
mod structure;

use std::collections::BTreeMap;
use std::io::Write as _;

use lopdf::{Dictionary, Document, Object, ObjectId, StringFormat};
use sha2::{Digest as _, Sha256};

use crate::sheet::page::{Area, Kind, Sheet};

/// Why a sheet could not be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PdfError {
    /// A font could not be cut down to the glyphs in use.
    Font(String),
    /// A picture can't be passed on; says why.
    Picture(String),
    /// The document could not be put together.
    Document(String),
}

impl std::fmt::Display for PdfError {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Font(why) => write!(to, "the font can't be embedded: {why}"),
            Self::Picture(why) => write!(to, "a picture can't be printed: {why}"),
            Self::Document(why) => write!(to, "the PDF can't be put together: {why}"),
        }
    }
}

impl std::error::Error for PdfError {}

/// Writes a sheet as PDF 1.7.
pub fn write(sheet: &Sheet) -> Result<Vec<u8>, PdfError> {
    let fonts = fonts::embed(sheet)?;
    let pictures = picture::collect(sheet)?;
    let mut structure = structure::Structure::new();
    let mut document = printpdf::PdfDocument::new(&sheet.meta.title);
    for font in fonts.values() {
        document.resources.fonts.map.insert(font.id.clone(), font.embedded.clone());
    }
    for picture in &pictures {
        document.resources.xobjects.map.insert(picture.id.clone(), picture.object.clone());
    }
    let (width, height) = sheet.paper.size();
    for (index, page) in sheet.pages.iter().enumerate() {
        let ops = operators::of_page(page, index, height, &fonts, &pictures, &mut structure);
        document.pages.push(printpdf::PdfPage::new(printpdf::Mm(width), printpdf::Mm(height), ops));
    }
    let options =
        printpdf::PdfSaveOptions { optimize: false, subset_fonts: false, secure: true, image_optimization: None };
    let mut warnings = Vec::new();
    let mut document = document.to_lopdf_document(&options, &mut warnings);
    finish(&mut document, sheet, &structure)?;
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).map_err(|error| PdfError::Document(error.to_string()))?;
    Ok(bytes)
}

fn finish(document: &mut Document, sheet: &Sheet, structure: &structure::Structure) -> Result<(), PdfError> {
    document.version = "1.7".to_owned();
    let pages: Vec<ObjectId> = document.get_pages().into_values().collect();
    let fault = |error: lopdf::Error| PdfError::Document(error.to_string());

    add_links(document, sheet, &pages)?;
    let tree = structure.write(document, &pages);
    let outline = outline::write(document, sheet, &pages);
    for (index, page) in pages.iter().enumerate() {
        let page = document.get_object_mut(*page).and_then(Object::as_dict_mut).map_err(fault)?;
        page.set("StructParents", index as i64);
        page.set("Tabs", Object::Name(b"S".to_vec()));
        page.remove(b"TrimBox");
        page.remove(b"CropBox");
        if page.get(b"Annots").and_then(Object::as_array).is_ok_and(Vec::is_empty) {
            page.remove(b"Annots");
        }
    }

    let catalog = document.catalog_mut().map_err(fault)?;
    catalog.set("Lang", text_object(&sheet.meta.language));
    catalog.set("MarkInfo", Dictionary::from_iter([("Marked", Object::Boolean(true))]));
    catalog.set("StructTreeRoot", tree);
    let shows_title = Dictionary::from_iter([("DisplayDocTitle", Object::Boolean(true))]);
    catalog.set("ViewerPreferences", shows_title);
    let decimal = Dictionary::from_iter([("S", Object::Name(b"D".to_vec()))]);
    let labels = Object::Array(vec![0.into(), decimal.into()]);
    catalog.set("PageLabels", Dictionary::from_iter([("Nums", labels)]));
    let mode = if outline.is_some() { "UseOutlines" } else { "UseNone" };
    catalog.set("PageMode", Object::Name(mode.as_bytes().to_vec()));
    if let Some(outline) = outline {
        catalog.set("Outlines", outline);
    }

    let info = document.add_object(information(sheet));
    if let Ok(old) = document.trailer.get(b"Info").and_then(Object::as_reference) {
        document.objects.remove(&old);
    }
    document.trailer.set("Info", info);
    deflate(document)?;
    let identity = identity(document, sheet);
    document.trailer.set("ID", identity);
    document.renumber_objects();
    Ok(())
}

fn information(sheet: &Sheet) -> Dictionary {
    let meta = &sheet.meta;
    let mut title = meta.title.clone();
    if !meta.number.is_empty() {
        title = format!("{} · {title}", meta.number);
    }
    let maker = concat!("cotter ", env!("CARGO_PKG_VERSION"));
    let mut info = Dictionary::from_iter([
        ("Title", text_object(&title)),
        ("Creator", text_object("cotter")),
        ("Producer", text_object(maker)),
    ]);
    if !meta.machine.is_empty() {
        info.set("Subject", text_object(&meta.machine));
    }
    if let Some(day) = meta.printed_on {
        let date = format!("D:{:04}{:02}{:02}000000Z", day.year, day.month, day.day);
        info.set("CreationDate", Object::string_literal(date.as_str()));
        info.set("ModDate", Object::string_literal(date));
    }
    info
}

/// The trailer's two identifiers: which job at which revision, and which rendering of it.
fn identity(document: &Document, sheet: &Sheet) -> Object {
    let mut rendering = Sha256::new();
    for object in document.objects.values() {
        if let Object::Stream(stream) = object {
            rendering.update(&stream.content);
        }
    }
    rendering.update(sheet.meta.digest.as_bytes());
    let job = Sha256::digest(format!("{}\n{}", sheet.meta.number, sheet.meta.digest));
    let half = |digest: &[u8]| Object::String(digest.iter().take(16).copied().collect(), StringFormat::Hexadecimal);
    Object::Array(vec![half(&job), half(&rendering.finalize())])
}

/// Packs every plain stream; level 6 takes a third less time than the best for the same size.
fn deflate(document: &mut Document) -> Result<(), PdfError> {
    let fault = |error: std::io::Error| PdfError::Document(error.to_string());
    for object in document.objects.values_mut() {
        let Object::Stream(stream) = object else { continue };
        if stream.dict.has(b"Filter") {
            continue;
        }
        let mut packer = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::new(6));
        packer.write_all(&stream.content).map_err(fault)?;
        let packed = packer.finish().map_err(fault)?;
        if packed.len() + 20 < stream.content.len() {
            stream.dict.set("Filter", Object::Name(b"FlateDecode".to_vec()));
            stream.set_content(packed);
        }
    }
    Ok(())
}

fn add_links(document: &mut Document, sheet: &Sheet, pages: &[ObjectId]) -> Result<(), PdfError> {
    let (_, height) = sheet.paper.size();
    let mut found: BTreeMap<usize, Vec<Object>> = BTreeMap::new();
    for (index, page) in sheet.pages.iter().enumerate() {
        for item in &page.items {
            let Kind::Link { area, page: target, y } = &item.kind else { continue };
            let Some(&target) = pages.get(*target) else { continue };
            let link = Dictionary::from_iter([
                ("Type", Object::Name(b"Annot".to_vec())),
                ("Subtype", Object::Name(b"Link".to_vec())),
                ("Rect", corners(area, height)),
                ("Border", Object::Array(vec![0.into(), 0.into(), 0.into()])),
                ("F", Object::Integer(4)),
                ("Dest", destination(target, points(height - y))),
            ]);
            let link = document.add_object(link);
            found.entry(index).or_default().push(Object::Reference(link));
        }
    }
    for (index, links) in found {
        let Some(&page) = pages.get(index) else { continue };
        document
            .get_object_mut(page)
            .and_then(Object::as_dict_mut)
            .map_err(|error| PdfError::Document(error.to_string()))?
            .set("Annots", links);
    }
    Ok(())
}

fn corners(area: &Area, height: f32) -> Object {
    let numbers = [area.x, height - area.bottom(), area.right(), height - area.y];
    Object::Array(numbers.iter().map(|&mm| Object::Real(points(mm))).collect())
}

/// A place on a page, at the zoom the reader has.
fn destination(page: ObjectId, top: f32) -> Object {
    Object::Array(vec![
        Object::Reference(page),
        Object::Name(b"XYZ".to_vec()),
        Object::Null,
        Object::Real(top),
        Object::Null,
    ])
}

/// Millimetres to points, to a thousandth: more would only make the file longer.
fn points(mm: f32) -> f32 {
    round(mm / crate::sheet::font::MM_PER_POINT)
}

fn round(value: f32) -> f32 {
    (value * 1000.0).round() / 1000.0
}

/// A text string of the PDF standard: ASCII as it is, all else as UTF-16 with a mark.
fn text_object(text: &str) -> Object {
    if text.is_ascii() {
        return Object::String(text.as_bytes().to_vec(), StringFormat::Literal);
    }
    let mut bytes = vec![0xfe, 0xff];
    bytes.extend(text.encode_utf16().flat_map(u16::to_be_bytes));
    Object::String(bytes, StringFormat::Hexadecimal)
}

#[cfg(test)]
mod tests;
