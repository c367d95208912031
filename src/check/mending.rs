//! Makes a fix of a repair: finds the lines, their indentation and their line ends in the text.

use crate::diagnostic::{Diagnostic, Fix, Mend};
use crate::source::{Source, Sources, Span};

/// Turns the repair of a finding into a fix where its place in the text is clear.
pub fn place(finding: &mut Diagnostic, sources: &Sources) {
    let Some(mend) = finding.mend.take() else { return };
    if finding.fix.is_none() {
        finding.fix = fix(&mend, sources);
    }
}

fn fix(mend: &Mend, sources: &Sources) -> Option<Fix> {
    match mend {
        Mend::WriteAfter { place, line } => {
            let lines = Lines::of(sources, *place)?;
            let end = lines.end_of_body();
            let replacement = format!("{}{}{line}", lines.line_end(), lines.indent());
            Some(Fix { title: format!("write `{line}` here"), span: lines.span(end, end), replacement })
        }
        Mend::WriteBefore { place, line } => {
            let lines = Lines::of(sources, *place)?;
            let at = lines.start + lines.indent().len();
            let replacement = format!("{line}{}{}", lines.line_end(), lines.indent());
            Some(Fix { title: format!("write `{line}` here"), span: lines.span(at, at), replacement })
        }
        Mend::TakeOut { place } => {
            let lines = Lines::of(sources, *place)?;
            let end = lines.end_of_body();
            // Alone in its block it would leave an empty one behind.
            if lines.is_alone(end) {
                return None;
            }
            let after = lines.text[end..].find('\n').map_or(lines.text.len(), |n| end + n + 1);
            let title = "take this line out".to_owned();
            Some(Fix { title, span: lines.span(lines.start, after), replacement: String::new() })
        }
        Mend::Exchange { first, second } => {
            let (above, below) = (Lines::of(sources, *first)?, Lines::of(sources, *second)?);
            let (above_end, below_end) = (above.end_of_body(), below.end_of_body());
            let between = above.text.get(above_end..below.start)?;
            // Something else stands between them, a comment perhaps that speaks of one of the two.
            if first.file != second.file || !between.trim().is_empty() {
                return None;
            }
            let (one, two) = (above.text.get(above.start..above_end)?, above.text.get(below.start..below_end)?);
            let replacement = format!("{two}{between}{one}");
            Some(Fix {
                title: "exchange these two lines".to_owned(),
                span: above.span(above.start, below_end),
                replacement,
            })
        }
        Mend::OtherWord { place, was, now } => {
            let text = sources.get(place.file)?.text().get(place.range())?;
            let begins = |word: &&String| {
                let start = text.get(..word.len());
                let apart = !text.get(word.len()..).is_some_and(|rest| rest.starts_with(char::is_alphanumeric));
                start.is_some_and(|s| s.eq_ignore_ascii_case(word)) && apart
            };
            let word = was.iter().filter(begins).max_by_key(|word| word.len())?;
            let span = place.part(0..word.len());
            Some(Fix { title: format!("write `{now}`"), span, replacement: now.clone() })
        }
    }
}

/// A line and what is indented under it.
struct Lines<'a> {
    source: &'a Source,
    text: &'a str,
    place: Span,
    /// First byte of the line.
    start: usize,
}

impl<'a> Lines<'a> {
    fn of(sources: &'a Sources, place: Span) -> Option<Self> {
        let source = sources.get(place.file)?;
        let text = source.text();
        let at = (place.start as usize).min(text.len());
        let start = text.as_bytes()[..at].iter().rposition(|b| *b == b'\n').map_or(0, |n| n + 1);
        // A place in the middle of a line (a list of values) is none of a step.
        text.get(start..at)?.chars().all(char::is_whitespace).then_some(Self { source, text, place, start })
    }

    fn indent(&self) -> &'a str {
        let line = self.text.get(self.start..).unwrap_or_default();
        &line[..line.len() - line.trim_start_matches([' ', '\t']).len()]
    }

    fn line_end(&self) -> &'static str {
        if self.source.text().get(self.start..).unwrap_or_default().lines().next().is_some()
            && self.text[self.start..].find('\n').is_some_and(|n| self.text[self.start..][..n].ends_with('\r'))
        {
            "\r\n"
        } else {
            "\n"
        }
    }

    /// The end of the last line that is indented deeper than this one, before its line end.
    fn end_of_body(&self) -> usize {
        let deep = self.indent().chars().count();
        let mut at = self.start;
        let mut end = self.start;
        for (n, line) in self.text[self.start..].split_inclusive('\n').enumerate() {
            let bare = line.trim_end_matches(['\n', '\r']);
            let blank = bare.trim().is_empty();
            let depth = bare.chars().take_while(|c| matches!(c, ' ' | '\t')).count();
            if n > 0 && !blank && depth <= deep {
                break;
            }
            if !blank {
                end = at + bare.len();
            }
            at += line.len();
        }
        end
    }

    /// Whether nothing stands beside it: the line above is less deep, and so is the one after `end`.
    fn is_alone(&self, end: usize) -> bool {
        let deep = self.indent().chars().count();
        let depth = |line: &str| line.chars().take_while(|c| matches!(c, ' ' | '\t')).count();
        let real = |line: &&str| !line.trim().is_empty() && !line.trim_start().starts_with("# ");
        let above = self.text[..self.start].lines().rev().find(real).is_none_or(|line| depth(line) < deep);
        let below = self.text[end..].lines().skip(1).find(real).is_none_or(|line| depth(line) < deep);
        above && below
    }

    fn span(&self, start: usize, end: usize) -> Span {
        Span::new(self.place.file, start, end)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "stage: S\n  remove cover: Lift it.\n    tip: Two hands.\n\n    note: Or one.\n  refit cover\n";

    fn mended(text: &str, mend: &dyn Fn(Span) -> Mend, at: &str) -> Option<String> {
        let mut sources = Sources::default();
        let file = sources.add(Source::new("a.job", text));
        let start = text.find(at).unwrap();
        let fix = fix(&mend(Span::new(file, start, start + at.len())), &sources)?;
        let mut out = text.to_owned();
        out.replace_range(fix.span.range(), &fix.replacement);
        Some(out)
    }

    #[test]
    fn a_line_is_written_after_all_that_stands_under_the_one_before() {
        let mend = |place| Mend::WriteAfter { place, line: "clean face".to_owned() };
        let after = mended(TEXT, &mend, "remove cover").unwrap();
        assert_eq!(after, TEXT.replace("    note: Or one.\n", "    note: Or one.\n  clean face\n"));
        let last = mended(TEXT.trim_end(), &mend, "refit cover").unwrap();
        assert_eq!(last, format!("{TEXT}  clean face"));
    }

    #[test]
    fn a_line_is_written_before_another_with_its_indentation_and_line_end() {
        let mend = |place| Mend::WriteBefore { place, line: "clean face".to_owned() };
        let text = TEXT.replace('\n', "\r\n");
        let before = mended(&text, &mend, "refit cover").unwrap();
        assert_eq!(before, text.replace("  refit", "  clean face\r\n  refit"));
    }

    #[test]
    fn a_line_goes_with_what_stands_under_it_unless_it_stands_alone() {
        let mend = |place| Mend::TakeOut { place };
        assert_eq!(mended(TEXT, &mend, "remove cover").unwrap(), "stage: S\n  refit cover\n");
        assert_eq!(mended("stage: S\n  refit cover\n\nstage: T\n", &mend, "refit cover"), None);
    }

    #[test]
    fn two_lines_change_places_with_what_stands_under_them() {
        let exchange = |text: &str| {
            let mut sources = Sources::default();
            let file = sources.add(Source::new("a.job", text));
            let span = |of: &str| Span::new(file, text.find(of).unwrap(), text.find(of).unwrap() + of.len());
            let fix = fix(&Mend::Exchange { first: span("remove cover"), second: span("refit cover") }, &sources)?;
            let mut out = text.to_owned();
            out.replace_range(fix.span.range(), &fix.replacement);
            Some(out)
        };
        let text = "stage: S\n  remove cover: Lift it.\n    tip: Two hands.\n  refit cover\n  clean face\n";
        let wanted = "stage: S\n  refit cover\n  remove cover: Lift it.\n    tip: Two hands.\n  clean face\n";
        assert_eq!(exchange(text).as_deref(), Some(wanted));
        assert_eq!(exchange(&text.replace("  refit", "  clean lid\n  refit")), None);
    }

    #[test]
    fn another_verb_takes_the_place_of_the_one_written() {
        let was = vec!["put".to_owned(), "put back".to_owned()];
        let mend = |place| Mend::OtherWord { place, was: was.clone(), now: "fit".to_owned() };
        assert_eq!(mended("  Put back cover\n", &mend, "Put back cover").unwrap(), "  fit cover\n");
        assert_eq!(mended("  puts cover\n", &mend, "puts cover"), None);
    }
}
