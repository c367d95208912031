//! Details: `caution: …`, `warning fire`, `pass: 90 N·m`.

use super::findings::Findings;
use super::piece::Piece;
use super::place::{Logical, join};
use super::recipe;
use super::tree::{Detail, DetailWord, Prose};

/// The detail that begins with just this word.
pub(super) fn word(text: &str) -> Option<DetailWord> {
    // all words are short and ASCII, which spares most lines the search
    if text.len() > 7 || !text.is_ascii() {
        return None;
    }
    DetailWord::NAMED.iter().find(|(name, _)| name.eq_ignore_ascii_case(text)).map(|(_, word)| *word)
}

/// Whether the line is a detail by its first word.
pub(super) fn is_detail(line: &Logical<'_>) -> bool {
    line.head.text.split_whitespace().next().is_some_and(|first| word(first).is_some())
}

/// The detail that this line is, if it is one.
pub(super) fn read(line: &Logical<'_>, findings: &mut Findings) -> Option<Detail> {
    let first = line.head.text.split_whitespace().next()?;
    read_as(word(first)?, line, findings)
}

/// The line as a detail of this kind, whatever its first word is (a near miss has been told).
pub(super) fn read_as(word: DetailWord, line: &Logical<'_>, findings: &mut Findings) -> Option<Detail> {
    let first = line.head.text.split_whitespace().next()?.len();
    let rest = line.head.from(first).trim();
    let value = (!rest.is_empty()).then(|| rest.word());
    let word_span = line.head.sub(0, first).span();
    let mut detail = Detail { word, word_span, value, prose: line.prose(), pass: None };
    match word {
        DetailWord::Pass => {
            let text = line.after.filter(|p| !p.is_empty()).unwrap_or_else(|| {
                // `pass 90 N·m`: all of the structured text after the word
                line.whole.from(first).trim()
            });
            detail.pass = recipe::pass(text, findings);
        }
        DetailWord::Figure => figure(line, &mut detail),
        DetailWord::Allow => allow(line, &detail, findings),
        DetailWord::Record | DetailWord::Sign | DetailWord::Witness => {}
        _ if detail.value.is_none() && detail.prose.is_none() => {
            let message = format!("`{}` says nothing", word.name());
            findings.bad(line.span, message, format!("write its text after a colon, like `{}`", example(word)));
        }
        _ => {}
    }
    Some(detail)
}

/// The path is the value and the caption the prose, whichever way they were written: `figure PATH: CAPTION`,
/// `figure: PATH`, `figure: PATH, CAPTION`, `figure: PATH: CAPTION`.
fn figure(line: &Logical<'_>, detail: &mut Detail) {
    let Some(after) = line.after.filter(|_| detail.value.is_none()) else { return };
    let (path, caption) = match after.split_colon() {
        (path, Some(caption)) => (path, Some(caption)),
        (all, None) => {
            let pieces = all.split_commas();
            let path = pieces.first().copied().unwrap_or(all);
            (path, pieces.get(1).map(|p| all.from(p.at - all.at)))
        }
    };
    if !path.is_empty() {
        detail.value = Some(path.word());
    }
    detail.prose = caption_of(caption, &line.more);
}

fn caption_of(caption: Option<Piece<'_>>, more: &[Piece<'_>]) -> Option<Prose> {
    join(caption, more)
}

fn allow(line: &Logical<'_>, detail: &Detail, findings: &mut Findings) {
    if detail.value.is_none() || detail.prose.is_none() {
        let what = if detail.value.is_none() { "names the rule that is silenced" } else { "gives a reason" };
        findings.bad(line.span, format!("`allow` {what}"), format!("write it like `{}`", example(DetailWord::Allow)));
    }
}

fn example(word: DetailWord) -> &'static str {
    match word {
        DetailWord::Danger => "danger: The spring can kill; cage it first.",
        DetailWord::Warning => "warning fluid under pressure",
        DetailWord::Caution => "caution: Cover both ends at once.",
        DetailWord::Notice => "notice: Keep the old seal for comparison.",
        DetailWord::Tip => "tip: A drop of oil keeps the ring in place.",
        DetailWord::Note => "note: The upper two are longer.",
        DetailWord::Why => "why: A dry pump seizes in seconds.",
        DetailWord::Orient => "orient: lip inward",
        DetailWord::Expect => "expect: Some oil runs out.",
        DetailWord::Use => "use: thread-locker on the screw",
        DetailWord::Tool => "tool: line spanner",
        DetailWord::Figure => "figure drawings/pump.png: The coupling from below",
        DetailWord::Number => "number: 20-3300",
        DetailWord::Spec => "spec: HV 46 mineral oil",
        DetailWord::Source => "source: maker's data sheet",
        DetailWord::Fragile => "fragile: Do not let it hang on its hose.",
        DetailWord::Pass => "pass: 90 N·m",
        DetailWord::Setting => "setting: Tighten until it binds; back off {1/6 turn}.",
        DetailWord::Allow => "allow fluid-missing: The amount is read from the sight glass.",
        DetailWord::Except => "except: side guard",
        DetailWord::Example => "example: shim found 2.40 mm gives 2.30 mm",
        DetailWord::Record => "record",
        DetailWord::Sign => "sign",
        DetailWord::Witness => "witness",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::FileId;
    use crate::syntax::grammar::{self, Rule};

    #[test]
    fn grammar_and_tree_know_the_same_words() {
        for (name, detail) in DetailWord::NAMED {
            assert_eq!(word(name), Some(*detail));
            let piece = Piece { text: name, at: 0, file: FileId(0) };
            assert!(grammar::read(Rule::detail_head, piece).is_ok(), "the grammar lacks {name}");
        }
    }
}
