//! A piece of the text with its place: what all readers of this room take.

use super::tree::Word;
use crate::source::{FileId, Span};

/// A slice of structured text that knows where it stands. Continued lines have been put on one line with their line
/// ends and comments blanked byte for byte, so places stay true.
#[derive(Clone, Copy)]
pub(super) struct Piece<'t> {
    pub(super) text: &'t str,
    /// Byte of the file at which `text` begins.
    pub(super) at: usize,
    pub(super) file: FileId,
}

impl<'t> Piece<'t> {
    pub(super) fn span(self) -> Span {
        Span::new(self.file, self.at, self.at + self.text.len())
    }

    /// The bytes `from..to` of this piece; empty where they are no whole characters of it.
    pub(super) fn sub(self, from: usize, to: usize) -> Piece<'t> {
        Piece { text: self.text.get(from..to).unwrap_or_default(), at: self.at + from, file: self.file }
    }

    pub(super) fn from(self, from: usize) -> Piece<'t> {
        self.sub(from, self.text.len())
    }

    /// Without white space at both ends.
    pub(super) fn trim(self) -> Piece<'t> {
        let left = self.text.len() - self.text.trim_start().len();
        let text = self.text.trim();
        Piece { text, at: self.at + left, file: self.file }
    }

    /// As it goes into the tree: trimmed, inner white space folded.
    pub(super) fn word(self) -> Word {
        let piece = self.trim();
        Word { text: fold_gaps(piece.text), span: piece.span() }
    }

    pub(super) fn is_empty(self) -> bool {
        self.text.trim().is_empty()
    }

    /// Head and what follows the first `: ` (or a `:` at the end). Nothing is split inside `{ }`.
    pub(super) fn split_colon(self) -> (Piece<'t>, Option<Piece<'t>>) {
        match colon(self.text) {
            Some(i) => (self.sub(0, i).trim(), Some(self.from(i + 1).trim())),
            None => (self.trim(), None),
        }
    }

    /// The clauses: split at commas before white space or at the end, never inside `{ }`. Trimmed; an empty one stays
    /// in the list, so that its place can be told.
    pub(super) fn split_commas(self) -> Vec<Piece<'t>> {
        let bytes = self.text.as_bytes();
        let mut pieces = Vec::new();
        let (mut begin, mut depth) = (0, 0_usize);
        for (i, byte) in bytes.iter().enumerate() {
            match byte {
                b'{' => depth += 1,
                b'}' => depth = depth.saturating_sub(1),
                b',' if depth == 0 && self.text[i + 1..].chars().next().is_none_or(char::is_whitespace) => {
                    pieces.push(self.sub(begin, i).trim());
                    begin = i + 1;
                }
                _ => {}
            }
        }
        pieces.push(self.from(begin).trim());
        pieces
    }
}

/// Where the first `: ` stands, outside `{ }`; a `:` at the end counts.
pub(super) fn colon(text: &str) -> Option<usize> {
    let mut depth = 0_usize;
    for (i, byte) in text.bytes().enumerate() {
        match byte {
            b'{' => depth += 1,
            b'}' => depth = depth.saturating_sub(1),
            b':' if depth == 0 && text[i + 1..].chars().next().is_none_or(char::is_whitespace) => return Some(i),
            _ => {}
        }
    }
    None
}

/// As much of a text as a message can bear.
pub(super) fn short(text: &str) -> &str {
    text.char_indices().nth(60).map_or(text, |(end, _)| text.get(..end).unwrap_or(text))
}

/// Inner white space folded to one space each.
pub(super) fn fold_gaps(text: &str) -> String {
    let plain = !text.bytes().any(|b| b == b'\t' || b >= 0x80) && !text.contains("  ");
    if plain { text.to_owned() } else { text.split_whitespace().collect::<Vec<_>>().join(" ") }
}
