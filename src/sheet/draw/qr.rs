//! The QR code at the head of the sheet, as one polygon.

use qrcodegen::{QrCode, QrCodeEcc};

use crate::sheet::fragment::Fragment;
use crate::sheet::page::{Path, Tag};
use crate::sheet::style::BLACK;

/// Smallest module that survives a photocopy and still scans, mm.
pub const SMALLEST_MODULE: f32 = 0.5;

/// A code of at most `size` mm, with its modules at least 0.5 mm; `None` if the text is too long for
/// that. The quiet zone of four modules (ISO/IEC 18004) around it is left to the caller.
pub fn code(text: &str, size: f32) -> Option<Fragment> {
    let code = QrCode::encode_text(text, QrCodeEcc::Medium).ok()?;
    let count = code.size();
    let module = size / count as f32;
    if module < SMALLEST_MODULE {
        return None;
    }
    let mut path = Path::new();
    for y in 0..count {
        let mut x = 0;
        while x < count {
            if !code.get_module(x, y) {
                x += 1;
                continue;
            }
            let start = x;
            while x < count && code.get_module(x, y) {
                x += 1;
            }
            let (left, right) = (start as f32 * module, x as f32 * module);
            let (top, bottom) = (y as f32 * module, (y + 1) as f32 * module);
            let run = [(left, top), (right, top), (right, bottom), (left, bottom)];
            path = path.and(Path::polygon(&run));
        }
    }
    let mut drawing = Fragment::of_height(size);
    drawing.tagged(Tag::Figure(format!("QR code: {text}")), |drawing| {
        drawing.path(path, Some(BLACK), None);
    });
    Some(drawing)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_fits_its_size_and_a_long_text_is_refused() {
        let code = code("HY-207 rev 3 7f3a91c2", 22.0).expect("short enough");
        let area = code.items.iter().find_map(|item| item.area()).expect("a path");
        assert!(area.width <= 22.01 && area.width > 21.9);
        assert!(super::code(&"x".repeat(600), 22.0).is_none());
    }
}
