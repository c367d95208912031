//! Where the findings of one file are gathered.

use super::MAX_FINDINGS;
use crate::diagnostic::Diagnostic;
use crate::source::{FileId, Span};

/// The findings of one file, in the order they were made.
pub(super) struct Findings {
    pub(super) file: FileId,
    list: Vec<Diagnostic>,
    /// How many were left out after the list was full.
    more: usize,
}

impl Findings {
    pub(super) fn new(file: FileId) -> Self {
        Self { file, list: Vec::new(), more: 0 }
    }

    /// Whether no more findings are kept: there is no use in looking for what was meant.
    pub(super) fn is_full(&self) -> bool {
        self.list.len() >= MAX_FINDINGS
    }

    /// Adds an error; `fill` writes its words. Nothing is made up once the list is full, so that a hostile file costs
    /// no memory.
    pub(super) fn error(&mut self, rule: &'static str, span: Span, fill: impl FnOnce(&mut Diagnostic)) {
        if self.is_full() {
            self.more += 1;
            return;
        }
        let mut finding = Diagnostic::error(rule, span, "");
        fill(&mut finding);
        self.list.push(finding);
    }

    /// A `bad-syntax` finding with a message and a help.
    pub(super) fn bad(&mut self, span: Span, message: impl Into<String>, help: impl Into<String>) {
        self.error("bad-syntax", span, |d| {
            d.message = message.into();
            d.help = help.into();
        });
    }

    /// A `bad-syntax` finding with a certain repair.
    pub(super) fn bad_fix(
        &mut self,
        span: Span,
        message: impl Into<String>,
        title: impl Into<String>,
        place: Span,
        replacement: impl Into<String>,
    ) {
        let (title, replacement) = (title.into(), replacement.into());
        self.error("bad-syntax", span, |d| {
            d.message = message.into();
            d.help.clone_from(&title);
            d.fix = Some(crate::diagnostic::Fix { title, span: place, replacement });
        });
    }

    /// All findings by their place; the last one says how many were left out.
    pub(super) fn finish(mut self) -> Vec<Diagnostic> {
        self.list.sort_by_key(|d| (d.span.start, d.span.end));
        if self.more > 0 {
            let last = self.list.last().map_or(Span::new(self.file, 0, 0), |d| d.span);
            self.list.push(
                Diagnostic::error(
                    "bad-syntax",
                    last,
                    format!("{} more findings in this file are not shown", self.more),
                )
                .help("mend the first ones; is this a job file at all?"),
            );
        }
        self.list
    }
}
