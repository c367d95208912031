//! `cotter check`

use super::findings::Findings;
use super::progress::Progress;
use super::{CheckArgs, Form, Outcome, WrongUse, files, json, report};
use crate::diagnostic::Severity;

/// Looks at every file and tells what was found.
pub fn run(args: &CheckArgs) -> Result<Outcome, WrongUse> {
    let entries = files::entries(&args.common.paths)?;
    let mut findings = Findings::default();
    let mut progress = Progress::new(args.common.quiet, "checking", entries.len());
    for entry in &entries {
        progress.at(&entry.shown);
        findings.look_at(entry)?;
    }
    progress.end();
    match args.form {
        Form::Json => report::say(&json::object(&findings)),
        Form::Text => {
            let least = if args.common.quiet && !args.common.strict {
                Severity::Error
            } else if args.common.quiet {
                Severity::Warning
            } else {
                Severity::Advice
            };
            let shown: Vec<_> = findings.sorted().into_iter().filter(|f| f.diagnostic.severity <= least).collect();
            report::say(&report::findings(&shown));
            if !args.common.quiet {
                report::say(&summary(&findings));
            }
        }
    }
    Ok(findings.outcome(args.common.strict))
}

/// One line that adds it up.
fn summary(findings: &Findings) -> String {
    let files = counted(findings.checked, "file", "files");
    let parts: Vec<String> = [
        (Severity::Error, "error", "errors"),
        (Severity::Warning, "warning", "warnings"),
        (Severity::Advice, "piece of advice", "pieces of advice"),
    ]
    .into_iter()
    .filter_map(|(severity, one, many)| match findings.count(severity) {
        0 => None,
        n => Some(counted(n, one, many)),
    })
    .collect();
    match parts.as_slice() {
        [] => format!("{files} checked: nothing found\n"),
        [only] => format!("{files} checked: {only}\n"),
        [first @ .., last] => format!("{files} checked: {} and {last}\n", first.join(", ")),
    }
}

/// `1 file`, `3 files`.
pub fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}
