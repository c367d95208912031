//! How names are compared and split.

use std::ops::Range;

use super::tree::Word;

/// A name as it is compared: lower case, inner white space folded, a leading `the` dropped, typographic quotation
/// marks and dashes as the plain ones.
#[must_use]
pub fn fold_name(name: &str) -> String {
    let mut folded = String::with_capacity(name.len());
    for (i, word) in name.split_whitespace().enumerate() {
        if i > 0 {
            folded.push(' ');
        }
        for c in word.chars() {
            match c {
                '’' | '‘' | 'ʼ' => folded.push('\''),
                '“' | '”' | '″' => folded.push('"'),
                '‐' | '‑' | '–' => folded.push('-'),
                _ => folded.extend(c.to_lowercase()),
            }
        }
    }
    match folded.strip_prefix("the ") {
        Some(rest) => rest.to_owned(),
        None => folded,
    }
}

/// The pieces of `A and B and C`, each trimmed, with its bytes in `text`. Which `and` belongs to a name is for those
/// who know the names.
#[must_use]
pub fn split_and(text: &str) -> Vec<(Range<usize>, &str)> {
    split_word(text, "and")
}

/// As [`split_and`], at another word between white space.
pub(super) fn split_word<'t>(text: &'t str, word: &str) -> Vec<(Range<usize>, &'t str)> {
    let mut pieces = Vec::new();
    let mut begin = 0;
    let mut push = |from: usize, to: usize| {
        let raw = &text[from..to];
        let start = from + (raw.len() - raw.trim_start().len());
        let piece = raw.trim();
        pieces.push((start..start + piece.len(), piece));
    };
    let mut after_gap = false;
    for (i, c) in text.char_indices() {
        let gap_begins = c.is_whitespace() && !after_gap;
        after_gap = c.is_whitespace();
        if !gap_begins {
            continue;
        }
        let rest = text[i..].trim_start();
        let at = text.len() - rest.len();
        let ends = rest.get(word.len()..).is_some_and(|after| after.starts_with(char::is_whitespace));
        let some = i >= begin && !text[begin..i].trim().is_empty();
        if some && ends && rest.get(..word.len()).is_some_and(|w| w.eq_ignore_ascii_case(word)) {
            push(begin, i);
            begin = at + word.len();
        }
    }
    push(begin, text.len());
    pieces
}

/// Rule and reason of a header's `allow RULE: reason`, which the tree keeps as one text.
#[must_use]
pub fn split_allow(value: &Word) -> (&str, &str) {
    match value.text.split_once(':') {
        Some((rule, reason)) => (rule.trim(), reason.trim()),
        None => (value.text.trim(), ""),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_compared_without_case_article_and_gaps() {
        assert_eq!(fold_name("  The  Pump   Bolts "), "pump bolts");
        assert_eq!(fold_name("THE ÖLWANNE"), "ölwanne");
        assert_eq!(fold_name("theatre light"), "theatre light");
        assert_eq!(fold_name("the"), "the");
        assert_eq!(fold_name("Driver’s seat"), "driver's seat");
    }

    #[test]
    fn names_are_split_at_and_between_spaces() {
        let pieces: Vec<&str> = split_and("suction hose and  Handbrake and sand  tray").iter().map(|p| p.1).collect();
        assert_eq!(pieces, ["suction hose", "Handbrake", "sand  tray"]);
        assert_eq!(split_and("a and b")[1].0, 6..7);
        assert_eq!(split_and("and").len(), 1);
        assert_eq!(split_and("").len(), 1);
        assert_eq!(split_and("a and").len(), 1);
        assert_eq!(split_and("a and and b").iter().map(|p| p.1).collect::<Vec<_>>(), ["a", "and b"]);
    }
}
