//! Text → lossless tree. Reading never fails: a line that can't be read is an [`tree::Item::Unknown`] with its finding,
//! and its neighbours are read all the same.
//!
//! The order of work, a file each: physical lines and comments ([`lines`]), what stands under what ([`outline`]), what a
//! line is ([`place`]), and then the words of the line itself. Only this room names `pest`; the rules of a line are in
//! `grammar/cotter.pest`.

mod adapter;
mod block;
mod clause;
mod detail;
mod dump;
mod entry;
mod expected;
mod findings;
mod grammar;
mod header;
mod lines;
mod margin;
mod name;
mod outline;
mod piece;
mod place;
mod recipe;
mod section;
mod share;
mod stage;
mod step;
mod tidy;
pub mod tree;
mod under;
mod value;

pub use dump::dump;
pub use name::{fold_name, split_allow, split_and};
pub use step::step_clause;

use crate::diagnostic::Diagnostic;
use crate::source::{FileId, Source, Span};
use findings::Findings;
use tree::{FileKind, Tree, Word};

/// A file of this many bytes or more is not read.
pub const MAX_FILE_BYTES: usize = 10_000_000;
/// A line of more bytes than this is not read.
pub const MAX_LINE_BYTES: usize = 65_536;
/// What stands deeper than this is read as if it stood at this depth.
pub const MAX_DEPTH: usize = 64;
/// After so many findings reading goes on in silence.
pub const MAX_FINDINGS: usize = 1000;

/// Reads one file. Every mistake is a finding; the tree holds every line, read or not.
#[must_use]
pub fn parse(file: FileId, source: &Source) -> (Tree, Vec<Diagnostic>) {
    let text = source.text();
    let mut findings = Findings::new(file);
    let empty = Word { text: String::new(), span: Span::new(file, 0, 0) };
    let mut tree =
        Tree { file, kind: FileKind::Unknown, title: empty, nodes: Vec::new(), roots: Vec::new(), lines: Vec::new() };
    if text.len() >= MAX_FILE_BYTES {
        findings.error("bad-syntax", Span::new(file, 0, 0), |d| {
            d.message = format!("the file is too long to be a job: {} bytes", text.len());
            d.help = format!(
                "a file may hold up to {} bytes; put routines and machines in files of their own",
                MAX_FILE_BYTES - 1
            );
        });
        return (tree, findings.finish());
    }
    let raw = lines::physical(text);
    tree.lines = raw.iter().map(|line| line.as_tree_line(file)).collect();
    if tidy::not_text(text) {
        findings.error("bad-syntax", Span::new(file, 0, 0), |d| {
            d.message = "this is not a text file: it is full of control characters".to_owned();
            d.help = "save the job as plain text (UTF-8)".to_owned();
        });
        return (tree, findings.finish());
    }
    if tidy::lone_line_ends(text, &mut findings) {
        return (tree, findings.finish());
    }
    tidy::control_characters(text, &mut findings);
    tidy::tabs(&raw, text, &mut findings);
    if raw.iter().all(|line| line.blank) {
        findings.error("bad-syntax", Span::new(file, 0, 0), |d| {
            d.message = "the file is empty".to_owned();
            d.help = "the first line says what the file is, like `job: Renew the hydraulic pump`".to_owned();
        });
        return (tree, findings.finish());
    }
    place::read(&raw, text, &mut tree, &mut findings);
    (tree, findings.finish())
}
