//! The figures of a job: read from beside the file that names them, never from outside the checked tree.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use crate::procedure::Procedure;
use crate::sheet::figure::{self, Figure};
use crate::sheet::wanted_figures;
use crate::source::{FileId, Sources};

/// What could be had of a job's figures.
#[derive(Debug, Default)]
pub struct Figures {
    /// The file that names it, the path as written, the figure.
    pub had: Vec<(FileId, String, Arc<Figure>)>,
    /// The others, each with the reason: `leak.svg: it is not there`.
    pub refused: Vec<String>,
}

/// Reads the figures that the job names; the names of its files are paths from `root`.
pub fn read(root: &Path, job: &Procedure, sources: &Sources) -> Figures {
    let mut figures = Figures::default();
    for (span, path) in wanted_figures(job) {
        let name = sources.get(span.file).map_or("", |source| source.name());
        match one(root, name, &path) {
            Ok(figure) => figures.had.push((span.file, path, Arc::new(figure))),
            Err(why) => figures.refused.push(format!("{path}: {why}")),
        }
    }
    figures
}

fn one(root: &Path, named_in: &str, path: &str) -> Result<Figure, String> {
    let folder = root.join(named_in).parent().map(Path::to_path_buf).unwrap_or_else(|| root.to_path_buf());
    let full = fs::canonicalize(folder.join(path)).map_err(|_| "it is not there".to_string())?;
    if !full.starts_with(root) {
        return Err("it lies outside the checked folder".to_string());
    }
    let about = fs::metadata(&full).map_err(|error| error.to_string())?;
    if !about.is_file() || about.len() > figure::MOST_BYTES as u64 {
        return Err("it is no file, or too large a one".to_string());
    }
    let bytes = fs::read(&full).map_err(|error| error.to_string())?;
    figure::read(&bytes).map_err(|error| error.to_string())
}
