//! Findings as one JSON object, for programs.

use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

use super::findings::{Finding, Findings, Place};
use crate::source::Span;

/// Of the shape of the object; raised when a field changes its meaning or goes.
const VERSION: u32 = 1;

#[derive(Serialize)]
struct Object<'a> {
    version: u32,
    checked: usize,
    findings: Vec<One<'a>>,
}

#[derive(Serialize)]
struct One<'a> {
    rule: &'a str,
    severity: &'a str,
    #[serde(flatten)]
    place: FullPlace,
    message: &'a str,
    help: &'a str,
    related: Vec<Related<'a>>,
    way: Way<'a>,
    /// The way as a sentence begins.
    on_which: &'a str,
    /// Replacing the text from the place to its end mends the finding.
    #[serde(skip_serializing_if = "Option::is_none")]
    fix: Option<Fix<'a>>,
}

#[derive(Serialize)]
struct Fix<'a> {
    title: &'a str,
    #[serde(flatten)]
    place: FullPlace,
    /// The same place in bytes of the file, from 0; the end is the first byte after it.
    start_byte: u32,
    end_byte: u32,
    replacement: &'a str,
}

#[derive(Serialize)]
struct FullPlace {
    file: String,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

#[derive(Serialize)]
struct Related<'a> {
    file: String,
    line: usize,
    column: usize,
    message: &'a str,
}

/// Facts in the order in which they are decided.
struct Way<'a>(&'a [(String, String)]);

impl Serialize for Way<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut map = to.serialize_map(Some(self.0.len()))?;
        for (fact, value) in self.0 {
            map.serialize_entry(fact, value)?;
        }
        map.end()
    }
}

impl<'a> From<&'a Finding> for One<'a> {
    fn from(finding: &'a Finding) -> Self {
        let d = &finding.diagnostic;
        let related = d.related.iter().map(|r| {
            let Place { file, line, column, .. } = finding.place(r.span);
            Related { file, line, column, message: &r.message }
        });
        let fix = d.fix.as_ref().map(|fix| Fix {
            title: &fix.title,
            place: FullPlace::of(finding, fix.span),
            start_byte: fix.span.start,
            end_byte: fix.span.end,
            replacement: &fix.replacement,
        });
        Self {
            rule: d.rule,
            severity: d.severity.name(),
            place: FullPlace::of(finding, d.span),
            message: &d.message,
            help: &d.help,
            related: related.collect(),
            way: Way(&d.way),
            on_which: &d.on_which,
            fix,
        }
    }
}

impl FullPlace {
    fn of(finding: &Finding, span: Span) -> Self {
        let Place { file, line, column, end_line, end_column } = finding.place(span);
        Self { file, line, column, end_line, end_column }
    }
}

/// The object, with a line end.
pub fn object(findings: &Findings) -> String {
    let object = Object {
        version: VERSION,
        checked: findings.checked,
        findings: findings.sorted().into_iter().map(One::from).collect(),
    };
    // Nothing in it can fail: its keys are strings and its numbers are whole.
    let mut text = serde_json::to_string_pretty(&object).unwrap_or_default();
    text.push('\n');
    text
}
