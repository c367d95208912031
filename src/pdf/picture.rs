//! Pictures as objects of the document: what came packed goes out packed.

use std::sync::Arc;

use printpdf::{DictItem, ExternalStream, ExternalXObject, XObject, XObjectId};
use sha2::{Digest as _, Sha256};

use super::PdfError;
use crate::sheet::page::{Kind, Picture, PictureFormat, Sheet};

/// A picture with its place in the resources.
pub(super) struct Placed {
    /// Its name.
    pub id: XObjectId,
    /// The picture it is made of.
    pub picture: Arc<Picture>,
    /// What `printpdf` writes.
    pub object: XObject,
}

/// Every picture of the sheet, once each.
pub(super) fn collect(sheet: &Sheet) -> Result<Vec<Placed>, PdfError> {
    let mut all: Vec<Placed> = Vec::new();
    for item in sheet.pages.iter().flat_map(|page| &page.items) {
        let Kind::Image { picture, .. } = &item.kind else { continue };
        if all.iter().any(|placed| placed.picture == *picture) {
            continue;
        }
        let digest = Sha256::digest(&picture.bytes);
        let name: String = digest.iter().take(6).map(|byte| format!("{byte:02x}")).collect();
        all.push(Placed {
            id: XObjectId(format!("P{name}")),
            picture: picture.clone(),
            object: XObject::External(object(picture)?),
        });
    }
    Ok(all)
}

fn object(picture: &Picture) -> Result<ExternalXObject, PdfError> {
    let (entries, content) = match picture.format {
        PictureFormat::Jpeg => jpeg(&picture.bytes)?,
        PictureFormat::Png => png(&picture.bytes)?,
    };
    let name = |text: &str| DictItem::Name(text.as_bytes().to_vec());
    let mut dict: std::collections::BTreeMap<String, DictItem> = [
        ("Type".to_owned(), name("XObject")),
        ("Subtype".to_owned(), name("Image")),
        ("Width".to_owned(), DictItem::Int(i64::from(picture.width))),
        ("Height".to_owned(), DictItem::Int(i64::from(picture.height))),
    ]
    .into();
    dict.extend(entries);
    let stream = ExternalStream { dict, content, compress: false };
    Ok(ExternalXObject { stream, width: None, height: None, dpi: None })
}

type Entries = Vec<(String, DictItem)>;

fn entry(key: &str, value: DictItem) -> (String, DictItem) {
    (key.to_owned(), value)
}

fn space(channels: u8) -> Result<DictItem, PdfError> {
    let name: &[u8] = match channels {
        1 => b"DeviceGray",
        3 => b"DeviceRGB",
        4 => b"DeviceCMYK",
        _ => return Err(PdfError::Picture(format!("{channels} colour channels"))),
    };
    Ok(DictItem::Name(name.to_vec()))
}

/// A JPEG goes on as it is; only its start-of-frame segment is read (ITU-T T.81, B.2.2).
fn jpeg(bytes: &[u8]) -> Result<(Entries, Vec<u8>), PdfError> {
    let fault = || PdfError::Picture("the JPEG has no frame".to_owned());
    let mut at = 2;
    loop {
        let head = bytes.get(at..at + 4).ok_or_else(fault)?;
        if head[0] != 0xff {
            return Err(fault());
        }
        let frame = matches!(head[1], 0xc0..=0xc2);
        if frame {
            let depth = *bytes.get(at + 4).ok_or_else(fault)?;
            let channels = *bytes.get(at + 9).ok_or_else(fault)?;
            let entries = vec![
                entry("ColorSpace", space(channels)?),
                entry("BitsPerComponent", DictItem::Int(i64::from(depth))),
                entry("Filter", DictItem::Name(b"DCTDecode".to_vec())),
            ];
            return Ok((entries, bytes.to_vec()));
        }
        at += 2 + usize::from(u16::from_be_bytes([head[2], head[3]]));
    }
}

/// A PNG without transparency and interlacing goes on packed: its rows are filtered just as PDF's
/// predictor 15 says (ISO 32000-1, 7.4.4.4).
fn png(bytes: &[u8]) -> Result<(Entries, Vec<u8>), PdfError> {
    let fault = |why: &str| PdfError::Picture(format!("the PNG {why}"));
    let (mut at, mut header, mut palette, mut data) = (8, None, None, Vec::new());
    while let Some(head) = bytes.get(at..at + 8) {
        let length = u32::from_be_bytes([head[0], head[1], head[2], head[3]]) as usize;
        let body = bytes.get(at + 8..at + 8 + length).ok_or_else(|| fault("is cut short"))?;
        match &head[4..8] {
            b"IHDR" => header = Some(body.to_vec()),
            b"PLTE" => palette = Some(body.to_vec()),
            b"IDAT" => data.extend_from_slice(body),
            b"tRNS" => return Err(fault("is transparent; save it without transparency")),
            b"IEND" => break,
            _ => {}
        }
        at += 12 + length;
    }
    let header = header.filter(|header| header.len() >= 13).ok_or_else(|| fault("has no header"))?;
    let width = u32::from_be_bytes([header[0], header[1], header[2], header[3]]);
    let (depth, kind, interlaced) = (header[8], header[9], header[12]);
    if interlaced != 0 {
        return Err(fault("is interlaced; save it without interlacing"));
    }
    let (channels, colours) = match (kind, palette) {
        (0, _) => (1, space(1)?),
        (2, _) => (3, space(3)?),
        (3, Some(palette)) => {
            let last = (palette.len() / 3).saturating_sub(1) as i64;
            let name = |text: &str| DictItem::Name(text.as_bytes().to_vec());
            let table = DictItem::String { data: palette, literal: false };
            (1, DictItem::Array(vec![name("Indexed"), name("DeviceRGB"), DictItem::Int(last), table]))
        }
        (4 | 6, _) => return Err(fault("is transparent; save it without transparency")),
        _ => return Err(fault("has colours of an unknown kind")),
    };
    let predictor = [
        entry("Predictor", DictItem::Int(15)),
        entry("Colors", DictItem::Int(channels)),
        entry("BitsPerComponent", DictItem::Int(i64::from(depth))),
        entry("Columns", DictItem::Int(i64::from(width))),
    ];
    let entries = vec![
        entry("ColorSpace", colours),
        entry("BitsPerComponent", DictItem::Int(i64::from(depth))),
        entry("Filter", DictItem::Name(b"FlateDecode".to_vec())),
        entry("DecodeParms", DictItem::Dict { map: predictor.into_iter().collect() }),
    ];
    Ok((entries, data))
}
