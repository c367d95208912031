//! What every front end and every test calls: the text of a file in, findings and the checked job out.

use std::collections::BTreeMap;

use crate::check::CheckedProcedure;
use crate::diagnostic::Diagnostic;
use crate::procedure::Procedure;
use crate::resolve::{Bundle, Loaded, resolve};
use crate::source::{Source, Sources, Span};
use crate::syntax::tree::{FileKind, Header, Item};

/// Why a file could not be had.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LoadError {
    /// There is no such file.
    Missing,
    /// It lies outside the root of the checked tree.
    Outside,
    /// It can't be read; why.
    Unreadable(String),
    /// It is no UTF-8 text.
    NotText,
}

/// What came out.
#[derive(Debug)]
pub struct Analysis {
    pub sources: Sources,
    /// Sorted by file and place.
    pub diagnostics: Vec<Diagnostic>,
    /// The job, where it has no error.
    pub job: Option<CheckedProcedure>,
    pub kind: FileKind,
}

/// Most files one job may bring in, directly or not.
pub const MOST_FILES: usize = 500;
/// How deep `uses` may go.
pub const DEEPEST_USES: usize = 32;

/// Analyses the file named `entry`; `load` gives the text of a file by its name, names written with `/`.
///
/// Names of used files are made from the name of the file that uses them (`a/b.job` uses `../c.job`: `c.job`).
pub fn analyse(entry: &str, load: &mut dyn FnMut(&str) -> Result<String, LoadError>) -> Analysis {
    let mut reading = Reading {
        sources: Sources::default(),
        findings: Vec::new(),
        bundle: Bundle::default(),
        known: BTreeMap::new(),
    };
    let text = match load(entry) {
        Ok(text) => text,
        Err(error) => {
            let id = reading.sources.add(Source::new(entry, ""));
            reading.findings.push(unreadable(entry, &error, Span::new(id, 0, 0)));
            let Reading { sources, findings, .. } = reading;
            return Analysis { sources, diagnostics: findings, job: None, kind: FileKind::Unknown };
        }
    };
    reading.read(entry, text, load, &mut Vec::new());
    let Reading { sources, mut findings, bundle, .. } = reading;
    let kind = bundle.files.first().map_or(FileKind::Unknown, |f| f.tree.kind);
    let (procedure, resolved) = resolve(&bundle, &sources);
    findings.extend(resolved);
    let (diagnostics, job) = match kind {
        FileKind::Job => {
            let proof = crate::proof::prove(&procedure);
            crate::check::check(procedure, proof, findings, &sources)
        }
        _ => (crate::check::check_declarations(&procedure, findings, &sources), None),
    };
    Analysis { sources, diagnostics, job, kind }
}

/// A job, faulty or not, with the lives of all that it touches.
#[derive(Clone, Debug)]
pub struct Traced {
    pub sources: Sources,
    pub procedure: Procedure,
    pub trace: crate::proof::Trace,
}

/// Follows each thing through the job in the file named `entry`; `load` as for [`analyse`].
///
/// # Errors
/// The file can't be read, or is no job; said to the author.
pub fn trace(entry: &str, load: &mut dyn FnMut(&str) -> Result<String, LoadError>) -> Result<Traced, String> {
    let mut reading = Reading {
        sources: Sources::default(),
        findings: Vec::new(),
        bundle: Bundle::default(),
        known: BTreeMap::new(),
    };
    let text = load(entry).map_err(|error| {
        let id = reading.sources.add(Source::new(entry, ""));
        unreadable(entry, &error, Span::new(id, 0, 0)).message
    })?;
    reading.read(entry, text, load, &mut Vec::new());
    let Reading { sources, bundle, .. } = reading;
    if bundle.files.first().is_none_or(|f| f.tree.kind != FileKind::Job) {
        return Err(format!("{entry} is no job: only a job has steps to follow things through"));
    }
    let (procedure, _) = resolve(&bundle, &sources);
    let trace = crate::proof::trace(&procedure);
    Ok(Traced { sources, procedure, trace })
}

struct Reading {
    sources: Sources,
    findings: Vec<Diagnostic>,
    bundle: Bundle,
    /// Files by their name.
    known: BTreeMap<String, usize>,
}

impl Reading {
    /// Reads a file and all it uses; gives its index.
    fn read(
        &mut self,
        name: &str,
        text: String,
        load: &mut dyn FnMut(&str) -> Result<String, LoadError>,
        above: &mut Vec<usize>,
    ) -> usize {
        let id = self.sources.add(Source::new(name, text));
        let index = self.bundle.files.len();
        let (tree, findings) = match self.sources.get(id) {
            Some(source) => crate::syntax::parse(id, source),
            None => return index,
        };
        self.findings.extend(findings);
        let uses: Vec<(String, Span)> = tree
            .roots
            .iter()
            .filter_map(|root| match &tree.node(*root).item {
                Item::Header { field: Header::Uses, value } => Some((value.text.clone(), value.span)),
                _ => None,
            })
            .collect();
        self.known.insert(name.to_owned(), index);
        self.bundle.files.push(Loaded { path: name.to_owned(), tree, uses: Vec::new() });
        above.push(index);
        for (path, span) in uses {
            if let Some(used) = self.used(name, &path, span, load, above) {
                self.bundle.files[index].uses.push((span, used));
            }
        }
        above.pop();
        index
    }

    fn used(
        &mut self,
        from: &str,
        path: &str,
        span: Span,
        load: &mut dyn FnMut(&str) -> Result<String, LoadError>,
        above: &mut Vec<usize>,
    ) -> Option<usize> {
        let Some(name) = joined(from, path) else {
            self.findings.push(unreadable(path, &LoadError::Outside, span));
            return None;
        };
        if let Some(known) = self.known.get(&name).copied() {
            if above.contains(&known) {
                let first = self.bundle.files[known].tree.title.span;
                self.findings.push(
                    Diagnostic::error("file-cycle", span, format!("'{path}' uses this file in turn: a circle"))
                        .label("closes the circle")
                        .related(first, "the file it comes back to")
                        .help("Take one `uses` out; what both need goes into a third file that each uses."),
                );
                return None;
            }
            return Some(known);
        }
        if above.len() >= DEEPEST_USES || self.bundle.files.len() >= MOST_FILES {
            self.findings.push(
                Diagnostic::error(
                    "file-cycle",
                    span,
                    format!("`uses` goes too far here: at most {DEEPEST_USES} files deep and {MOST_FILES} in all"),
                )
                .help("Let the job use its machine file and routines directly."),
            );
            return None;
        }
        match load(&name) {
            Ok(text) => {
                let index = self.read(&name, text, load, above);
                let kind = self.bundle.files[index].tree.kind;
                if kind == FileKind::Job {
                    self.findings.push(
                        Diagnostic::error(
                            "missing-file",
                            span,
                            format!("'{path}' is a job: `uses` names machine and routine files"),
                        )
                        .help("Move what both jobs need to a file that begins `routine: …` or `machine: …`."),
                    );
                }
                Some(index)
            }
            Err(error) => {
                self.findings.push(unreadable(path, &error, span));
                None
            }
        }
    }
}

/// `uses` of `from`, as a name from the root; nothing where it leaves the root or is absolute.
fn joined(from: &str, path: &str) -> Option<String> {
    let path = path.trim().replace('\\', "/");
    let absolute = path.starts_with('/') || path.get(1..2) == Some(":");
    if absolute || path.is_empty() {
        return None;
    }
    let mut parts: Vec<&str> = from.split('/').collect();
    parts.pop();
    // A name that itself begins with `..` (run from a folder inside the root) keeps those steps.
    for part in path.split('/') {
        match part {
            "" | "." => {}
            ".." => match parts.last() {
                Some(&"..") | None => parts.push(".."),
                Some(_) => {
                    parts.pop();
                }
            },
            part => parts.push(part),
        }
    }
    Some(parts.join("/"))
}

fn unreadable(path: &str, error: &LoadError, span: Span) -> Diagnostic {
    let (message, help) = match error {
        LoadError::Missing => (
            format!("there is no file '{path}'"),
            "The path is taken from the folder of this file: `uses: machines/osier-20.job`. Mend the path, or add the file.",
        ),
        LoadError::Outside => (
            format!("'{path}' lies outside the folder that is checked"),
            "Write a path from this file that stays inside it; copy the file in if it is needed.",
        ),
        LoadError::Unreadable(why) => (format!("'{path}' can't be read: {why}"), "Look at the file's permissions."),
        LoadError::NotText => {
            (format!("'{path}' is no UTF-8 text"), "Open it in an editor and save it again as UTF-8.")
        }
    };
    Diagnostic::error("missing-file", span, message).help(help)
}

/// An analysis of texts in memory, for tests: (name, text), the first one is the entry.
#[must_use]
pub fn analyse_texts(files: &[(&str, &str)]) -> Analysis {
    let entry = files.first().map_or("", |(name, _)| name);
    analyse(entry, &mut |name| {
        files.iter().find(|(n, _)| *n == name).map(|(_, text)| (*text).to_owned()).ok_or(LoadError::Missing)
    })
}

/// Where a finding stands, as `file:line:column`.
#[must_use]
pub fn place(sources: &Sources, span: Span) -> String {
    sources.get(span.file).map_or_else(String::new, |source| {
        let (line, column) = source.line_column(span.start);
        format!("{}:{line}:{column}", source.name())
    })
}

#[cfg(test)]
mod tests {
    use super::joined;

    #[test]
    fn paths_are_taken_from_the_file_that_uses_them() {
        assert_eq!(joined("a/b.job", "machines/c.job").as_deref(), Some("a/machines/c.job"));
        assert_eq!(joined("a/b.job", "../c.job").as_deref(), Some("c.job"));
        assert_eq!(joined("b.job", "../c.job").as_deref(), Some("../c.job"));
        assert_eq!(joined("b.job", "/etc/passwd"), None);
        assert_eq!(joined("b.job", "C:\\x.job"), None);
    }
}
