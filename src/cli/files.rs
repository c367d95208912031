//! Which files are meant, which folder they may not leave, and how they are read.

use std::collections::BTreeMap;
use std::fs;
use std::io::ErrorKind;
use std::path::{Component, Path, PathBuf};

use super::WrongUse;
use crate::analysis::LoadError;

/// Longest file that is read, in bytes. No job that people work by comes near it.
const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// A file to look at.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Entry {
    /// As shown: from the folder where the command was run, with `/`.
    pub shown: String,
    /// Where it is.
    pub path: PathBuf,
    /// The folder that it and what it uses must lie in.
    pub root: PathBuf,
}

/// The files that the arguments mean, each once, sorted by the path that is shown.
///
/// A folder means every `.job` file below it that git does not ignore. Nothing that a file uses may lie outside its
/// root: the top of the git tree that holds it; without git the folder that was given, and for a single file the
/// folder where the command is run (or its own, where it lies elsewhere).
pub fn entries(paths: &[PathBuf]) -> Result<Vec<Entry>, WrongUse> {
    let here = here()?;
    let default = [PathBuf::from(".")];
    let mut found = BTreeMap::new();
    for path in if paths.is_empty() { &default } else { paths } {
        let full = fs::canonicalize(path).map_err(|error| not_there(path, &error))?;
        if full.is_dir() {
            let root = git_top(&full).unwrap_or_else(|| full.clone());
            let before = found.len();
            for file in jobs_below(&full) {
                let shown = shown(&here, &file);
                found.insert(shown.clone(), Entry { shown, path: file, root: root.clone() });
            }
            if found.len() == before && paths.len() <= 1 {
                return Err(WrongUse(format!("there is no .job file in `{}` or below it", slashed(path))));
            }
        } else {
            let own = full.parent().map_or_else(|| here.clone(), Path::to_path_buf);
            let root = git_top(&own).unwrap_or_else(|| if full.starts_with(&here) { here.clone() } else { own });
            let shown = shown(&here, &full);
            found.insert(shown.clone(), Entry { shown, path: full, root });
        }
    }
    Ok(found.into_values().collect())
}

/// Where the command is run.
pub fn here() -> Result<PathBuf, WrongUse> {
    let here = std::env::current_dir().and_then(fs::canonicalize);
    here.map_err(|error| WrongUse(format!("the current folder can't be entered: {error}")))
}

/// A path as it is shown: from `here`, with `/`.
pub fn shown(here: &Path, path: &Path) -> String {
    if let Ok(below) = path.strip_prefix(here) {
        return slashed(below);
    }
    let common = here.components().zip(path.components()).take_while(|(a, b)| a == b).count();
    let up = here.components().count() - common;
    // Nothing in common but the root of the disk: the full path is easier to find.
    if common <= 1 {
        return slashed(path);
    }
    let rest: PathBuf = path.components().skip(common).collect();
    format!("{}{}", "../".repeat(up), slashed(&rest))
}

fn slashed(path: &Path) -> String {
    let parts: Vec<_> = path
        .components()
        .filter_map(|c| match c {
            Component::RootDir => Some(String::new()),
            Component::CurDir if path.components().count() > 1 => None,
            other => Some(other.as_os_str().to_string_lossy().into_owned()),
        })
        .collect();
    if parts.len() == 1 && parts[0].is_empty() { "/".to_string() } else { parts.join("/") }
}

fn not_there(path: &Path, error: &std::io::Error) -> WrongUse {
    let shown = slashed(path);
    if error.kind() != ErrorKind::NotFound {
        return WrongUse(format!("`{shown}` can't be read: {}", why(error)));
    }
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let near = fs::read_dir(folder)
        .into_iter()
        .flatten()
        .flatten()
        .map(|e| e.file_name().to_string_lossy().into_owned())
        .map(|other| (strsim::damerau_levenshtein(&name, &other), other))
        .filter(|(distance, _)| *distance <= 1 + name.len() / 4)
        .min()
        .map(|(_, other)| format!("; did you mean `{}`?", slashed(&folder.join(other)).trim_start_matches("./")));
    WrongUse(format!("there is no file or folder `{shown}`{}", near.unwrap_or_default()))
}

fn git_top(folder: &Path) -> Option<PathBuf> {
    folder.ancestors().find(|f| f.join(".git").exists()).map(Path::to_path_buf)
}

fn jobs_below(folder: &Path) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = ignore::WalkBuilder::new(folder)
        .require_git(false)
        .build()
        .flatten()
        .filter(|entry| entry.file_type().is_some_and(|t| t.is_file()))
        .map(ignore::DirEntry::into_path)
        .filter(|path| path.extension().is_some_and(|e| e.eq_ignore_ascii_case("job")))
        .collect();
    files.sort();
    files
}

/// The path of an entry from its root, with `/`: the name by which the analysis knows it.
pub fn inside(entry: &Entry) -> String {
    slashed(entry.path.strip_prefix(&entry.root).unwrap_or(&entry.path))
}

/// Reads a file by its path from `root`, which it may not leave, not even by a link.
pub fn load(root: &Path, path: &str) -> Result<String, LoadError> {
    let full = fs::canonicalize(root.join(path)).map_err(|error| match error.kind() {
        ErrorKind::NotFound | ErrorKind::NotADirectory => LoadError::Missing,
        _ => LoadError::Unreadable(why(&error)),
    })?;
    if !full.starts_with(root) {
        return Err(LoadError::Outside);
    }
    match read(&full)? {
        Ok(text) => Ok(text),
        Err(_) => Err(LoadError::NotText),
    }
}

/// The text of a file, or what can be shown of it and where its first bad byte is.
pub fn read(path: &Path) -> Result<Result<String, NotText>, LoadError> {
    let unreadable = |error: std::io::Error| LoadError::Unreadable(why(&error));
    let about = fs::metadata(path).map_err(unreadable)?;
    if !about.is_file() {
        return Err(LoadError::Unreadable("it is not a file".to_string()));
    }
    if about.len() > MOST_BYTES {
        return Err(LoadError::Unreadable(format!("it is longer than {} MB", MOST_BYTES / (1024 * 1024))));
    }
    let bytes = fs::read(path).map_err(unreadable)?;
    Ok(String::from_utf8(bytes).map_err(|error| NotText {
        at: error.utf8_error().valid_up_to(),
        text: String::from_utf8_lossy(error.as_bytes()).into_owned(),
    }))
}

/// A file that is no UTF-8 text.
#[derive(Debug)]
pub struct NotText {
    /// The first byte that is none, the same in `text`.
    pub at: usize,
    /// What can be shown, with a sign in place of each bad byte.
    pub text: String,
}

/// An error of the disk in plain words.
fn why(error: &std::io::Error) -> String {
    match error.kind() {
        ErrorKind::PermissionDenied => "you have no permission to read it".to_string(),
        ErrorKind::NotFound => "it is not there".to_string(),
        ErrorKind::IsADirectory => "it is a folder".to_string(),
        _ => error.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_shown_from_where_the_command_runs() {
        let here = Path::new("/home/shop/jobs");
        assert_eq!(shown(here, Path::new("/home/shop/jobs/a/b.job")), "a/b.job");
        assert_eq!(shown(here, Path::new("/home/shop/machines/m.job")), "../machines/m.job");
        assert_eq!(shown(here, Path::new("/tmp/x.job")), "/tmp/x.job");
    }
}
