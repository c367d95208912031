//! Physical lines: where they end, how far they are indented, what of them is a comment.

use std::ops::Range;

use super::tree::Line;
use crate::source::{FileId, Span};

/// One physical line. All numbers are bytes of the file.
pub(super) struct Raw {
    /// The line without its line end (and with a byte-order mark, on the first one).
    pub(super) start: usize,
    pub(super) end: usize,
    /// First character that is not white space; `end` where there is none.
    pub(super) body: usize,
    /// Past the last character that is neither comment nor white space.
    pub(super) body_end: usize,
    pub(super) comment: Option<Range<usize>>,
    /// Width of the indentation in columns; a tab is as wide as a level of this file.
    pub(super) width: usize,
    /// White space in front that is no space: tabs, no-break spaces.
    pub(super) tabbed: bool,
    pub(super) blank: bool,
}

impl Raw {
    pub(super) fn as_tree_line(&self, file: FileId) -> Line {
        Line {
            span: Span::new(file, self.start, self.end),
            indent: u32::try_from(self.body - self.start).unwrap_or(u32::MAX),
            comment: self.comment.clone().map(|c| Span::new(file, c.start, c.end)),
            blank: self.blank,
            node: None,
        }
    }
}

/// Splits a text into its lines. A line end at the end of the text begins no further line.
pub(super) fn physical(text: &str) -> Vec<Raw> {
    let mut lines = Vec::new();
    let mut start = 0;
    while start < text.len() {
        let next = text[start..].find('\n').map_or(text.len(), |i| start + i + 1);
        let line =
            text[start..next].strip_suffix('\n').map_or(&text[start..next], |l| l.strip_suffix('\r').unwrap_or(l));
        lines.push(raw(text, start, start + line.len()));
        start = next;
    }
    // a tab most probably stands for one level of the lines that are indented by spaces
    let spaced = lines.iter().filter(|l| !l.blank && !l.tabbed && l.width > 0).map(|l| l.width);
    let level = spaced.min().unwrap_or(2).min(8);
    for line in lines.iter_mut().filter(|l| l.tabbed) {
        line.width = text[line.start..line.body].chars().map(|c| if c == '\t' { level } else { 1 }).sum();
    }
    lines
}

fn raw(text: &str, start: usize, end: usize) -> Raw {
    let mut body = start;
    let mut width = 0;
    let mut tabbed = false;
    if start == 0 && text.starts_with('\u{FEFF}') {
        body = '\u{FEFF}'.len_utf8();
    }
    for c in text[body..end].chars() {
        if !c.is_whitespace() {
            break;
        }
        width += 1;
        tabbed |= c != ' ';
        body += c.len_utf8();
    }
    let comment = comment(&text[body..end]).map(|i| body + i..end);
    let before = &text[body..comment.as_ref().map_or(end, |c| c.start)];
    let body_end = body + before.trim_end().len();
    Raw { start, end, body, body_end, width, tabbed, blank: body_end == body, comment }
}

/// Where the comment of a line (its indentation taken off) begins: at a `#` in front, or at a `#` before white space
/// or the end, after two or more characters of white space. `bolt #3` is none.
fn comment(body: &str) -> Option<usize> {
    if body.starts_with('#') {
        return Some(0);
    }
    body.match_indices('#').map(|(i, _)| i).find(|i| {
        let mut before = body[..*i].chars().rev();
        let gap = matches!((before.next(), before.next()), (Some(a), Some(b)) if (a.is_whitespace() && b.is_whitespace()) || a == '\t');
        gap && body[i + 1..].chars().next().is_none_or(char::is_whitespace)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn comment_of(line: &str) -> Option<&str> {
        let lines = physical(line);
        lines[0].comment.clone().map(|c| &line[c])
    }

    #[test]
    fn a_comment_stands_in_front_or_after_two_spaces() {
        assert_eq!(comment_of("# all of it"), Some("# all of it"));
        assert_eq!(comment_of("   # all of it"), Some("# all of it"));
        assert_eq!(comment_of("#5"), Some("#5"));
        assert_eq!(comment_of("engine: B4-20   # one of"), Some("# one of"));
        assert_eq!(comment_of("tighten bolt #3"), None);
        assert_eq!(comment_of("tighten bolt # 3"), None);
        assert_eq!(comment_of("tighten bolt  #3"), None);
        assert_eq!(comment_of("lock arms  #"), Some("#"));
    }

    #[test]
    fn lines_end_in_lf_or_crlf() {
        let text = "\u{FEFF}job: A\r\n  b  # c\n\n  \nlast";
        let lines = physical(text);
        let shown: Vec<&str> = lines.iter().map(|l| &text[l.body..l.body_end]).collect();
        assert_eq!(shown, ["job: A", "b", "", "", "last"]);
        assert_eq!(lines.iter().map(|l| l.blank).collect::<Vec<_>>(), [false, false, true, true, false]);
        assert_eq!(lines[1].width, 2);
    }
}
