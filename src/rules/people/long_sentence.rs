//! `long-sentence`: a sentence nobody keeps in mind while the hands work.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::rules::prose::{Belongs, each_prose, place, words};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "long-sentence",
    group: Group::People,
    severity: Severity::Advice,
    finds: "a sentence of more than 20 words under an act (25 in a detail)",
    why: "It is read once, at arm's length, with a part in the other hand. What stands at its end is forgotten before the hands get there.",
    wrong: "\
job: Look at the side cover

parts
  side cover

stage: Look
  inspect side cover: Look along the whole of the lower edge from the front to the back for any crack that runs away from a bolt hole.
",
    right: "\
job: Look at the side cover

parts
  side cover

stage: Look
  inspect side cover: Look along the whole of the lower edge. No crack may run away from a bolt hole.
",
    source: "ASD-STE100: at most 20 words in a sentence that tells what to do, 25 in one that describes (limits from memory).",
    check: Check::Job(check),
};

const MOST_WORDS_OF_AN_ACT: usize = 20;
const MOST_WORDS_OF_A_DETAIL: usize = 25;

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    each_prose(procedure, &mut |belongs, prose| {
        let most = match belongs {
            Belongs::Act => MOST_WORDS_OF_AN_ACT,
            Belongs::Detail | Belongs::Declaration => MOST_WORDS_OF_A_DETAIL,
            Belongs::Header => return,
        };
        let text = words(prose);
        for range in sentences(&text) {
            let count = text[range.clone()].split_whitespace().filter(|w| w.chars().any(char::is_alphanumeric)).count();
            if count > most {
                let finding = RULE
                    .at(place(prose, range), format!("a sentence of {count} words"))
                    .label("long")
                    .help(format!("Make two of it; {most} words are enough to read in one look."));
                if !out.contains(&finding) {
                    out.push(finding);
                }
            }
        }
    });
}

/// The sentences of a text: they end with `.`, `!`, `?` or `;` before white space.
fn sentences(text: &str) -> Vec<std::ops::Range<usize>> {
    let mut out = Vec::new();
    let mut start = 0;
    for (at, c) in text.char_indices() {
        let end = at + c.len_utf8();
        let ends = matches!(c, '.' | '!' | '?' | ';') && text[end..].chars().next().is_none_or(char::is_whitespace);
        if ends {
            out.push(start..end);
            start = end + text[end..].len() - text[end..].trim_start().len();
        }
    }
    out.push(start..text.len());
    out.retain(|r| !r.is_empty());
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stop_inside_a_number_ends_no_sentence() {
        let text = "Use 2.5 of it. Then stop! And; so";
        let found: Vec<_> = sentences(text).into_iter().map(|r| &text[r]).collect();
        assert_eq!(found, ["Use 2.5 of it.", "Then stop!", "And;", "so"]);
    }
}
