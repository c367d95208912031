//! Findings for people: source, labels, help. The only place that names `miette`.

use std::io::{IsTerminal, Write};
use std::sync::Arc;

use miette::{
    GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents, SourceCode, SourceSpan,
    SpanContents,
};

use super::findings::Finding;
use crate::diagnostic::Severity;
use crate::source::{FileId, Sources, Span};

/// Widest line of a report.
const WIDTH: usize = 100;
/// More findings than this of one file are counted, not shown.
const MOST_OF_A_FILE: usize = 200;
/// Of a line longer than this, so many bytes around the place are shown.
const LINE: usize = 400;

/// Writes to standard output; a reader that has gone away is no fault.
pub fn say(text: &str) {
    let _ = std::io::stdout().lock().write_all(text.as_bytes());
}

/// Writes to standard error.
pub fn tell(text: &str) {
    let _ = std::io::stderr().lock().write_all(text.as_bytes());
}

/// The findings as text, in their order. Colour where standard output is a terminal and `NO_COLOR` is not set.
pub fn findings(all: &[&Finding]) -> String {
    with_colour(all, std::io::stdout().is_terminal())
}

/// The same for standard error.
pub fn findings_aside(all: &[&Finding]) -> String {
    with_colour(all, std::io::stderr().is_terminal())
}

fn with_colour(all: &[&Finding], terminal: bool) -> String {
    let wanted = std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty());
    let dumb = std::env::var_os("TERM").is_some_and(|v| v == "dumb");
    let theme = if terminal && wanted && !dumb { GraphicalTheme::unicode() } else { GraphicalTheme::unicode_nocolor() };
    let handler =
        GraphicalReportHandler::new_themed(theme).with_width(WIDTH).with_context_lines(1).without_syntax_highlighting();
    let mut out = String::new();
    let mut file = "";
    let mut of_file = 0;
    // Within a file, mistakes come before advice.
    let mut all: Vec<&Finding> = all.to_vec();
    all.sort_by_key(|f| (f.file(f.diagnostic.span).to_string(), f.diagnostic.severity == Severity::Advice));
    for finding in all {
        let this = finding.file(finding.diagnostic.span);
        if this != file {
            rest(&mut out, file, of_file);
            (file, of_file) = (this, 0);
        }
        of_file += 1;
        if of_file > MOST_OF_A_FILE {
            continue;
        }
        if finding.diagnostic.severity == Severity::Advice {
            out.push_str(&advice(finding));
        } else if handler.render_report(&mut out, &Shown::new(finding)).is_err() {
            out.push_str(&finding.diagnostic.message);
        } else {
            // A snippet holds one file; places in others follow in snippets of their own.
            for place in Elsewhere::of(finding) {
                let _ = handler.render_report(&mut out, &place);
            }
        }
        out.push('\n');
    }
    rest(&mut out, file, of_file);
    out
}

fn rest(out: &mut String, file: &str, of_file: usize) {
    if of_file > MOST_OF_A_FILE {
        out.push_str(&format!("{file}: {} more findings; mend these first\n\n", of_file - MOST_OF_A_FILE));
    }
}

/// Advice takes two lines, so that it hides no mistake.
fn advice(finding: &Finding) -> String {
    let d = &finding.diagnostic;
    let place = finding.place(d.span);
    let help = if d.help.is_empty() { String::new() } else { format!("\n    {}", d.help) };
    format!("advice {}:{}:{}: {} ({}){help}\n", place.file, place.line, place.column, message(finding), d.rule)
}

fn message(finding: &Finding) -> String {
    let d = &finding.diagnostic;
    if d.on_which.is_empty() { d.message.clone() } else { format!("{}: {}", d.on_which, d.message) }
}

/// A finding as miette wants it.
#[derive(Debug)]
struct Shown<'a> {
    finding: &'a Finding,
    message: String,
    source: Excerpt,
}

/// A related place in another file.
#[derive(Debug)]
struct Elsewhere {
    message: String,
    source: Excerpt,
    span: SourceSpan,
}

impl<'a> Shown<'a> {
    fn new(finding: &'a Finding) -> Self {
        let d = &finding.diagnostic;
        Self { finding, message: message(finding), source: Excerpt::of(finding, d.span) }
    }
}

impl std::fmt::Display for Shown<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Shown<'_> {}

impl miette::Diagnostic for Shown<'_> {
    fn code<'b>(&'b self) -> Option<Box<dyn std::fmt::Display + 'b>> {
        Some(Box::new(format!("{} {}", self.finding.diagnostic.severity.name(), self.finding.diagnostic.rule)))
    }

    fn severity(&self) -> Option<miette::Severity> {
        Some(match self.finding.diagnostic.severity {
            Severity::Error => miette::Severity::Error,
            Severity::Warning => miette::Severity::Warning,
            Severity::Advice => miette::Severity::Advice,
        })
    }

    fn help<'b>(&'b self) -> Option<Box<dyn std::fmt::Display + 'b>> {
        let help = &self.finding.diagnostic.help;
        (!help.is_empty()).then(|| Box::new(help) as Box<dyn std::fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.source)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let d = &self.finding.diagnostic;
        let label = |text: &str, span: Span| {
            let text = (!text.is_empty()).then(|| text.to_string());
            (text, on_characters(&self.finding.sources, span))
        };
        let (text, span) = label(&d.label, d.span);
        let first = LabeledSpan::new_primary_with_span(text, span);
        let others = d.related.iter().filter(|r| r.span.file == d.span.file && r.span != d.span).map(move |r| {
            let (text, span) = label(&r.message, r.span);
            LabeledSpan::new_with_span(text, span)
        });
        Some(Box::new(std::iter::once(first).chain(others)))
    }
}

impl Elsewhere {
    fn of(finding: &Finding) -> Vec<Self> {
        let d = &finding.diagnostic;
        let elsewhere = d.related.iter().filter(|r| r.span.file != d.span.file);
        elsewhere
            .map(|r| Self {
                message: r.message.clone(),
                source: Excerpt::of(finding, r.span),
                span: on_characters(&finding.sources, r.span),
            })
            .collect()
    }
}

impl std::fmt::Display for Elsewhere {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Elsewhere {}

impl miette::Diagnostic for Elsewhere {
    fn severity(&self) -> Option<miette::Severity> {
        Some(miette::Severity::Advice)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.source)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(std::iter::once(LabeledSpan::new_with_span(None, self.span))))
    }
}

/// Bytes of a span, moved apart to whole characters.
fn on_characters(sources: &Sources, span: Span) -> SourceSpan {
    let text = sources.get(span.file).map_or("", |s| s.text());
    let mut start = (span.start as usize).min(text.len());
    let mut end = (span.end as usize).clamp(start, text.len());
    while !text.is_char_boundary(start) {
        start -= 1;
    }
    while !text.is_char_boundary(end) {
        end += 1;
    }
    (start, end - start).into()
}

/// A file as miette reads it: only the lines around a place are looked at, and long lines are cut, so that ten
/// megabytes cost no more than ten lines.
#[derive(Debug)]
struct Excerpt {
    sources: Arc<Sources>,
    file: FileId,
    name: String,
}

impl Excerpt {
    fn of(finding: &Finding, span: Span) -> Self {
        Self { sources: Arc::clone(&finding.sources), file: span.file, name: finding.file(span).to_string() }
    }
}

impl SourceCode for Excerpt {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let source = self.sources.get(self.file).ok_or(MietteError::OutOfBounds)?;
        let text = source.text();
        let at = span.offset().min(text.len());
        let to = (span.offset() + span.len()).min(text.len());
        // Without context miette asks where the span itself begins; with one line of it, for the lines of the span,
        // which is all that is wanted here.
        let start = before.checked_sub(1).map_or(at, |lines| start_of_line(text, at, lines));
        let end = after.checked_sub(1).map_or(to, |lines| end_of_line(text, to, lines));
        let (line, column) = source.line_column(u32::try_from(start).unwrap_or(u32::MAX));
        let data = &text.as_bytes()[start..end];
        let lines = data.iter().filter(|b| **b == b'\n').count() + 1;
        Ok(Box::new(MietteSpanContents::new_named(
            self.name.clone(),
            data,
            (start, end - start).into(),
            line - 1,
            column - 1,
            lines,
        )))
    }
}

fn start_of_line(text: &str, at: usize, lines: usize) -> usize {
    let mut start = at;
    for line in 0..=lines {
        let least = start.saturating_sub(LINE / 2);
        if line > 0 {
            if start == 0 {
                break;
            }
            start -= 1;
        }
        match text.as_bytes()[least..start].iter().rposition(|b| *b == b'\n') {
            Some(n) => start = least + n + 1,
            None => {
                start = least;
                break;
            }
        }
    }
    while !text.is_char_boundary(start) {
        start += 1;
    }
    start.min(at)
}

fn end_of_line(text: &str, to: usize, lines: usize) -> usize {
    let mut end = to;
    for line in 0..=lines {
        if line > 0 {
            end += 1;
        }
        let most = (end + LINE).min(text.len());
        match text.as_bytes().get(end..most).and_then(|rest| rest.iter().position(|b| *b == b'\n')) {
            Some(n) => end += n,
            None => {
                end = most;
                break;
            }
        }
    }
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    end.max(to)
}
