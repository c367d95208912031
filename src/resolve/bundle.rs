//! The files of one job.

use crate::source::Span;
use crate::syntax::tree::Tree;

/// A file that was read and parsed.
#[derive(Clone, Debug)]
pub struct Loaded {
    /// Its path, as in findings.
    pub path: String,
    pub tree: Tree,
    /// Indices of the files it uses, with the place that says so. Only files that could be read.
    pub uses: Vec<(Span, usize)>,
}

/// A job (the first file) and everything it uses, each file once.
#[derive(Clone, Debug, Default)]
pub struct Bundle {
    pub files: Vec<Loaded>,
}

impl Bundle {
    /// The file itself and all it uses, directly or not, each once; the file itself first.
    #[must_use]
    pub fn reach(&self, file: usize) -> Vec<usize> {
        let mut seen = vec![file];
        let mut at = 0;
        while at < seen.len() {
            if let Some(loaded) = self.files.get(seen[at]) {
                for (_, used) in &loaded.uses {
                    if !seen.contains(used) {
                        seen.push(*used);
                    }
                }
            }
            at += 1;
        }
        seen
    }
}
