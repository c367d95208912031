//! Text in, tree and findings out.

use super::{dump, parse};
use crate::diagnostic::Diagnostic;
use crate::source::{FileId, Source};

fn findings(source: &Source, list: &[Diagnostic]) -> String {
    list.iter()
        .map(|d| {
            let (line, column) = source.line_column(d.span.start);
            let fix = d.fix.as_ref().map(|f| format!(" => {:?}", f.replacement)).unwrap_or_default();
            format!("{line}:{column} {}: {} | {}{fix}\n", d.rule, d.message, d.help)
        })
        .collect()
}

#[test]
fn try_files() {
    let Ok(list) = std::env::var("TRY") else { return };
    for path in list.split(' ') {
        let source = Source::new(path, std::fs::read_to_string(path).unwrap());
        let start = std::time::Instant::now();
        let (tree, list) = parse(FileId(0), &source);
        println!("{path}: {} bytes, {} findings, {:?}", source.text().len(), list.len(), start.elapsed());
        if source.text().len() > 100_000 {
            continue;
        }
        println!("{}----\n{}", dump(&tree), findings(&source, &list));
    }
}
