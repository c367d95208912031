//! What is wrong with the characters themselves: tabs, control characters, decimal commas, lines that are too long.

use std::borrow::Cow;

use super::findings::Findings;
use super::lines::Raw;
use crate::source::Span;

/// A control character, or one that turns the direction of writing and can make a line read other than it is.
fn is_control(c: char) -> bool {
    (c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
        || matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{FFFE}')
}

/// Whether a text has so many control characters that reading it line by line would only make noise.
pub(super) fn not_text(text: &str) -> bool {
    let count = text.chars().filter(|c| is_control(*c)).take(text.len() / 100 + 17).count();
    count > 16 && count > text.len() / 100
}

/// Told where lines end in CR alone, as they did on some old machines; such a file is one long line.
pub(super) fn lone_line_ends(text: &str, findings: &mut Findings) -> bool {
    let old = text.contains('\r') && !text.contains('\n');
    if old {
        let help = "save it with line ends LF or CR LF";
        findings.bad(
            Span::new(findings.file, 0, 0),
            "the lines of this file end in CR alone, and can't be told apart",
            help,
        );
    }
    old
}

/// One finding for all control characters of a file, at the first; another for all that were no UTF-8.
pub(super) fn control_characters(text: &str, findings: &mut Findings) {
    if let Some(at) = text.find('\u{FFFD}') {
        let span = Span::new(findings.file, at, at + '\u{FFFD}'.len_utf8());
        let help = "save the file as UTF-8, and write the character again";
        findings.bad(span, "a character could not be read: the file is not UTF-8 here", help);
    }
    let lone_cr = |i: usize, c: char| c == '\r' && !text[i + 1..].starts_with('\n');
    let mut found = text.char_indices().filter(|(i, c)| is_control(*c) || lone_cr(*i, *c));
    let Some((at, c)) = found.next() else { return };
    let more = found.count();
    let span = Span::new(findings.file, at, at + c.len_utf8());
    findings.error("bad-syntax", span, |d| {
        d.message = format!("a control character (U+{:04X}) stands in the text", u32::from(c));
        if more > 0 {
            d.message.push_str(&format!(", and {more} more in this file"));
        }
        d.label = "here".to_owned();
        d.help = "take it out; it can't be seen and can't be printed".to_owned();
        if c != '\r' {
            d.fix = Some(crate::diagnostic::Fix {
                title: "take the control character out".to_owned(),
                span,
                replacement: String::new(),
            });
        }
    });
}

/// One finding for all tabs in the indentation of a file, with one fix that writes spaces for each.
pub(super) fn tabs(lines: &[Raw], text: &str, findings: &mut Findings) {
    let mut tabbed = lines.iter().filter(|l| !l.blank && l.tabbed);
    let Some(first) = tabbed.next() else { return };
    let (count, last) = tabbed.fold((1, first), |(n, _), line| (n + 1, line));
    let mut repaired = String::new();
    let mut done = first.start;
    for line in lines.iter().filter(|l| l.start >= first.start && l.start <= last.start && l.tabbed) {
        repaired.push_str(&text[done..line.start]);
        repaired.push_str(&" ".repeat(line.width));
        done = line.body;
    }
    // the last tabbed line may be blank only where it is not the last with text
    let end = done.max(last.body);
    repaired.push_str(&text[done..end]);
    let span = Span::new(findings.file, first.start, first.body);
    findings.error("bad-syntax", span, |d| {
        let tab = text[line_indent(first)].contains('\t');
        d.message = match (tab, count) {
            (true, 1) => "a tab in the indentation".to_owned(),
            (true, n) => format!("tabs in the indentation of {n} lines"),
            (false, _) => "white space that is no plain space in the indentation".to_owned(),
        };
        d.help = "indent with spaces, two a level".to_owned();
        d.fix = Some(crate::diagnostic::Fix {
            title: "write spaces for each tab".to_owned(),
            span: Span::new(span.file, first.start, end),
            replacement: repaired,
        });
    });
}

fn line_indent(line: &Raw) -> std::ops::Range<usize> {
    line.start..line.body
}

/// Commas between digits in structured text: each is told with its fix, and read as what it was meant to be. A comma
/// that may part thousands (`1,200`) stays; the reader of the amount tells it. Only the first `upto` bytes are structured; `at` is
/// the place of `text` in the file.
pub(super) fn decimal_commas<'t>(text: Cow<'t, str>, upto: usize, at: usize, findings: &mut Findings) -> Cow<'t, str> {
    let structured = text.as_bytes().get(..upto).unwrap_or_default();
    if !structured.windows(3).any(|w| w[1] == b',' && w[0].is_ascii_digit() && w[2].is_ascii_digit()) {
        return text;
    }
    let mut bytes = text.clone().into_owned().into_bytes();
    let mut i = 0;
    while i < upto {
        let begin = i;
        while i < upto && (bytes[i].is_ascii_digit() || number_comma(&bytes, i)) {
            i += 1;
        }
        let run = begin..i;
        i += usize::from(run.is_empty());
        let commas: Vec<usize> = run.clone().filter(|j| bytes[*j] == b',').collect();
        let Some(first) = commas.first() else { continue };
        let written = text.get(run.clone()).unwrap_or_default();
        let whole = first - run.start;
        let thousands = run.end - first == 4 && whole <= 3 && bytes[run.start] != b'0';
        if commas.len() == 1 && thousands {
            continue;
        }
        let (to, title) =
            if commas.len() == 1 { ('.', "write the decimal point") } else { (' ', "part the numbers by spaces") };
        let replacement = written.replace(',', &to.to_string());
        let message = if commas.len() == 1 {
            format!("a comma in a number: write the decimal point, `{replacement}`")
        } else {
            format!("commas in a row of numbers: part them by spaces, `{replacement}`")
        };
        let span = Span::new(findings.file, at + run.start, at + run.end);
        findings.bad_fix(span, message, title, span, replacement);
        for comma in commas {
            bytes[comma] = to as u8;
        }
    }
    String::from_utf8(bytes).map_or(text, Cow::Owned)
}

fn number_comma(bytes: &[u8], i: usize) -> bool {
    bytes[i] == b',' && i > 0 && bytes[i - 1].is_ascii_digit() && bytes.get(i + 1).is_some_and(u8::is_ascii_digit)
}

/// Braces in a line: each `{` has its `}` and none stands within another.
pub(super) fn braces(line: &super::place::Logical<'_>, findings: &mut Findings) {
    let pieces = [line.whole, line.after.unwrap_or(line.whole.sub(0, 0))];
    let twice = line.after.is_some_and(|a| a.at < line.whole.at + line.whole.text.len());
    for piece in pieces.into_iter().take(if twice { 1 } else { 2 }).chain(line.more.iter().copied()) {
        let mut open: Option<usize> = None;
        let mut wrong = None;
        for (i, byte) in piece.text.bytes().enumerate() {
            match (byte, open) {
                (b'{', None) => open = Some(i),
                (b'{', Some(_)) => wrong = wrong.or(Some((i, "`{` stands within `{ }`"))),
                (b'}', Some(_)) => open = None,
                (b'}', None) => wrong = wrong.or(Some((i, "`}` without its `{`"))),
                _ => {}
            }
        }
        let wrong = wrong.or(open.map(|i| (i, "`{` is not closed in this line")));
        if let Some((i, message)) = wrong {
            let help = "write a name or an amount between braces, like `{pump bolts.torque}` or `{6.5 mm}`";
            findings.bad(piece.sub(i, i + 1).span(), message, help);
        }
    }
}

/// A number or a bullet in front of a line is told; how many bytes of the line it takes.
pub(super) fn list_mark(body: &str, at: usize, findings: &mut Findings) -> usize {
    let mark = mark_len(body);
    if mark > 0 {
        let place = Span::new(findings.file, at, at + mark);
        let message = "lines carry no numbers and no bullets: the sheet numbers its steps";
        findings.bad_fix(place, message, "take it away", place, "");
    }
    mark
}

/// The length of a list mark in front of a line: `1. `, `12) `, `- `, `* `, `• `; 0 for none.
fn mark_len(text: &str) -> usize {
    let after = text.trim_start_matches(|c: char| c.is_ascii_digit());
    let digits = text.len() - after.len();
    let mark = match after.chars().next() {
        Some(c @ ('.' | ')')) if digits > 0 => c,
        Some(c @ ('-' | '*' | '•' | '–')) if digits == 0 => c,
        _ => return 0,
    };
    let rest = after.get(mark.len_utf8()..).unwrap_or_default();
    if rest.starts_with(char::is_whitespace) { text.len() - rest.trim_start().len() } else { 0 }
}
