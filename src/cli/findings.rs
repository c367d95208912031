//! Findings of many files brought together: each once, by file and place.

use std::collections::HashSet;
use std::path::Path;
use std::sync::Arc;

use super::files::{self, Entry};
use super::{Outcome, WrongUse};
use crate::analysis::{Analysis, LoadError, analyse};
use crate::diagnostic::{Diagnostic, Severity};
use crate::rules::names::{bad_syntax, missing_file};
use crate::source::{Source, Sources, Span};

/// A finding with the files it speaks of.
#[derive(Clone, Debug)]
pub struct Finding {
    pub diagnostic: Diagnostic,
    pub sources: Arc<Sources>,
    names: Arc<Vec<String>>,
}

/// A place in a file, lines and columns from 1; the end is the first column after it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    pub file: String,
    pub line: usize,
    pub column: usize,
    pub end_line: usize,
    pub end_column: usize,
}

impl Finding {
    /// The path of a file, as shown.
    pub fn file(&self, span: Span) -> &str {
        self.names.get(span.file.0 as usize).map_or("", String::as_str)
    }

    /// Where a span of this finding is.
    pub fn place(&self, span: Span) -> Place {
        let at = |byte| self.sources.get(span.file).map_or((1, 1), |s: &Source| s.line_column(byte));
        let ((line, column), (end_line, end_column)) = (at(span.start), at(span.end));
        Place { file: self.file(span).to_string(), line, column, end_line, end_column }
    }
}

/// What came of looking at files.
#[derive(Debug, Default)]
pub struct Findings {
    all: Vec<Finding>,
    told: HashSet<(&'static str, String, u32, u32, String)>,
    /// How many files were looked at.
    pub checked: usize,
    /// Whether a file could not be read.
    pub unreadable: bool,
}

impl Findings {
    /// Looks at one file and keeps what was found; `None` where it could not be read at all.
    pub fn look_at(&mut self, entry: &Entry) -> Result<Option<Analysis>, WrongUse> {
        self.checked += 1;
        let here = files::here()?;
        match files::read(&entry.path) {
            Err(error) => {
                self.unreadable = true;
                self.unread(entry, String::new(), |span| {
                    missing_file::RULE
                        .at(span, format!("{} can't be read: {}", entry.shown, words(&error)))
                        .help("Nothing in it was checked.")
                });
                Ok(None)
            }
            Ok(Err(not_text)) => {
                let at = not_text.at;
                self.unread(entry, not_text.text, |span| {
                    bad_syntax::RULE
                        .at(
                            span.part(at..at + '\u{fffd}'.len_utf8()),
                            "this file is no UTF-8 text: here is the first byte that can't be read",
                        )
                        .label("not text")
                        .help("Open it in an editor and save it again with the encoding UTF-8.")
                });
                Ok(None)
            }
            Ok(Ok(text)) => {
                let name = files::inside(entry);
                let mut own = Some(text);
                let mut analysis = analyse(&name, &mut |path| match own.take() {
                    Some(text) if path == name => Ok(text),
                    _ => files::load(&entry.root, path),
                });
                // The analysis keeps its own: the figures of a job are looked for beside its files.
                let sources = analysis.sources.clone();
                self.keep(&here, entry, sources, std::mem::take(&mut analysis.diagnostics));
                Ok(Some(analysis))
            }
        }
    }

    /// A finding about a file that was not analysed.
    fn unread(&mut self, entry: &Entry, text: String, make: impl FnOnce(Span) -> Diagnostic) {
        let mut sources = Sources::default();
        let file = sources.add(Source::new(entry.shown.clone(), text));
        self.add(make(Span::new(file, 0, 0)), Arc::new(sources), Arc::new(vec![entry.shown.clone()]));
    }

    fn keep(&mut self, here: &Path, entry: &Entry, sources: Sources, diagnostics: Vec<Diagnostic>) {
        let names = sources.iter().map(|(_, s)| files::shown(here, &entry.root.join(s.name()))).collect();
        let (sources, names) = (Arc::new(sources), Arc::new(names));
        for diagnostic in diagnostics {
            self.add(diagnostic, Arc::clone(&sources), Arc::clone(&names));
        }
    }

    /// A fault in a shared file is told once, however many jobs use it.
    fn add(&mut self, diagnostic: Diagnostic, sources: Arc<Sources>, names: Arc<Vec<String>>) {
        let finding = Finding { diagnostic, sources, names };
        let d = &finding.diagnostic;
        let key = (d.rule, finding.file(d.span).to_string(), d.span.start, d.span.end, d.message.clone());
        if self.told.insert(key) {
            self.all.push(finding);
        }
    }

    /// Takes over what another has found.
    pub fn merge(&mut self, other: Self) {
        self.checked += other.checked;
        self.unreadable |= other.unreadable;
        for Finding { diagnostic, sources, names } in other.all {
            self.add(diagnostic, sources, names);
        }
    }

    /// All findings, sorted by file and place.
    pub fn sorted(&self) -> Vec<&Finding> {
        let mut all: Vec<&Finding> = self.all.iter().collect();
        all.sort_by(|a, b| {
            let key = |f: &&Finding| {
                (f.diagnostic.span.start, f.diagnostic.span.end, f.diagnostic.severity, f.diagnostic.rule)
            };
            (a.file(a.diagnostic.span), key(a), &a.diagnostic.message).cmp(&(
                b.file(b.diagnostic.span),
                key(b),
                &b.diagnostic.message,
            ))
        });
        all
    }

    /// How many of a severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.all.iter().filter(|f| f.diagnostic.severity == severity).count()
    }

    /// What the command ends with.
    pub fn outcome(&self, strict: bool) -> Outcome {
        if self.unreadable {
            Outcome::Unusable
        } else if self.count(Severity::Error) > 0 || (strict && self.count(Severity::Warning) > 0) {
            Outcome::Faulty
        } else {
            Outcome::Clean
        }
    }
}

/// Why a file could not be read.
pub fn words(error: &LoadError) -> String {
    match error {
        LoadError::Missing => "it is not there".to_string(),
        LoadError::Outside => "it lies outside the checked folder".to_string(),
        LoadError::NotText => "it is no UTF-8 text".to_string(),
        LoadError::Unreadable(why) => why.clone(),
    }
}
