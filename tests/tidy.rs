//! The house rules that no compiler checks: who may import whom, which room may name which library, how long a file
//! may be.
// A test reads the sources from the disk.
#![allow(clippy::disallowed_methods)]

use std::fs;
use std::path::{Path, PathBuf};

/// The rooms in the order in which they may import each other: each only from those before it. Rooms in one row must
/// not know each other.
const ORDER: &[&[&str]] = &[
    &["source"],
    &["diagnostic"],
    &["quantity"],
    &["trade"],
    &["syntax"],
    &["format"],
    &["procedure"],
    &["resolve"],
    &["proof"],
    &["rules"],
    &["check"],
    &["analysis"],
    &["compare"],
    &["sheet"],
    &["pdf", "svg"],
    &["png"],
    &["cli", "lsp"],
];

/// Libraries that only one room may name.
const ROOMS: &[(&str, &[&str])] = &[
    ("pest", &["syntax/"]),
    ("pest_derive", &["syntax/"]),
    ("printpdf", &["pdf.rs", "pdf/"]),
    ("lopdf", &["pdf.rs", "pdf/"]),
    ("resvg", &["png.rs"]),
    ("base64", &["svg.rs"]),
    ("miette", &["cli/report.rs"]),
    ("clap", &["cli/"]),
    ("ignore", &["cli/"]),
    ("tempfile", &["cli/"]),
    ("csv", &["cli/"]),
    ("toml", &["cli/"]),
    ("jiff", &["cli/"]),
    ("lsp_types", &["lsp/"]),
];

/// Lines of a file; above it, split.
const MOST_LINES: usize = 800;

fn sources() -> Vec<(String, String)> {
    fn below(folder: &Path, out: &mut Vec<PathBuf>) {
        let mut entries: Vec<_> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
        entries.sort();
        for path in entries {
            if path.is_dir() {
                below(&path, out);
            } else if path.extension().is_some_and(|e| e == "rs") {
                out.push(path);
            }
        }
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut paths = Vec::new();
    below(&root, &mut paths);
    assert!(paths.len() > 20, "the sources were not found");
    paths
        .into_iter()
        .map(|path| {
            let name = path.strip_prefix(&root).unwrap().to_str().unwrap().replace('\\', "/");
            (name, fs::read_to_string(path).unwrap())
        })
        .collect()
}

/// The room that a file belongs to; none for `lib.rs` and `main.rs`.
fn room(file: &str) -> Option<&str> {
    let first = file.split('/').next()?;
    let name = first.strip_suffix(".rs").unwrap_or(first);
    (!matches!(name, "lib" | "main")).then_some(name)
}

fn rank(room: &str) -> Option<usize> {
    ORDER.iter().position(|row| row.contains(&room))
}

/// Code without comments and string literals: what it says is not what it imports.
fn code(text: &str) -> String {
    text.lines().map(|line| line.split("//").next().unwrap_or("")).collect::<Vec<_>>().join("\n")
}

/// The rooms named as `crate::room`, in groups (`use crate::{a, b::c}`) too.
fn rooms_named(code: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + "crate::".len()..];
        if let Some(group) = rest.strip_prefix('{') {
            let mut depth = 0;
            let mut name = String::new();
            let mut reading = true;
            for c in group.chars() {
                match c {
                    '{' => depth += 1,
                    '}' if depth == 0 => break,
                    '}' => depth -= 1,
                    ',' if depth == 0 => {
                        found.push(std::mem::take(&mut name));
                        reading = true;
                    }
                    ':' if depth == 0 => reading = false,
                    c if depth == 0 && reading && !c.is_whitespace() => name.push(c),
                    _ => {}
                }
            }
            found.push(name);
        } else {
            found.push(rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect());
        }
    }
    found.retain(|name| !name.is_empty());
    found
}

#[test]
fn every_room_has_its_place_in_the_order() {
    for (file, _) in sources() {
        if let Some(room) = room(&file) {
            assert!(rank(room).is_some(), "{file}: the room `{room}` stands in no row of ORDER");
        }
    }
}

#[test]
fn imports_run_one_way() {
    let mut wrong = Vec::new();
    for (file, text) in sources() {
        let Some(own) = room(&file) else { continue };
        let Some(own_rank) = rank(own) else { continue };
        for other in rooms_named(&code(&text)) {
            if other == own {
                continue;
            }
            if let Some(other_rank) = rank(&other)
                && other_rank >= own_rank
            {
                wrong.push(format!("{file}: `{own}` must not know `{other}`"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn libraries_stay_in_their_rooms() {
    let mut wrong = Vec::new();
    for (file, text) in sources() {
        let code = code(&text);
        for (library, rooms) in ROOMS {
            let names_it = code.contains(&format!("{library}::"))
                || code.contains(&format!("use {library};"))
                || code.contains(&format!("extern crate {library}"));
            let inside_a_word = !names_it
                || code
                    .match_indices(&format!("{library}::"))
                    .all(|(at, _)| code[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == ':'))
                    && !code.contains(&format!("use {library};"));
            if !inside_a_word && !rooms.iter().any(|room| file.starts_with(room)) {
                wrong.push(format!("{file} names `{library}`, which belongs to {}", rooms.join(", ")));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn files_are_short_enough_to_read() {
    let long: Vec<String> = sources()
        .into_iter()
        .map(|(file, text)| (text.lines().count(), file))
        .filter(|(lines, _)| *lines > MOST_LINES)
        .map(|(lines, file)| format!("{file}: {lines} lines"))
        .collect();
    assert!(long.is_empty(), "split these:\n{}", long.join("\n"));
}

#[test]
fn unsafe_code_is_forbidden() {
    let library = sources().into_iter().find(|(file, _)| file == "lib.rs").unwrap().1;
    assert!(library.contains("#![forbid(unsafe_code)]"));
}

#[test]
fn the_reader_of_imports_reads_groups() {
    let named = rooms_named("use crate::{source::Span, rules::{Rule, names::x}, check};\nuse crate::quantity::Kind;");
    assert_eq!(named, ["source", "rules", "check", "quantity"]);
    assert_eq!(code("let a = 1; // crate::cli\n/// crate::cli\n").trim(), "let a = 1;");
}
