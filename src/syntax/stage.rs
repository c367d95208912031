//! `stage …: title`.

use super::findings::Findings;
use super::grammar::{self, Rule, inner};
use super::piece::Piece;
use super::place::Logical;
use super::tree::{Stage, When, Word};
use super::value::{Wanted, number_word, quantity};
use crate::quantity::{Kind, Quantity, parse_quantity};

const AFTER: Wanted =
    Wanted::of("stage after", &[Kind::Time, Kind::Length, Kind::Count], "stage after 50 km: Second torque");
const WITHIN: Wanted =
    Wanted::of("stage within", &[Kind::Time, Kind::Length, Kind::Count], "stage within 50 km: Second torque");

/// The stage that this line begins, if it begins one.
pub(super) fn read(line: &Logical<'_>, findings: &mut Findings) -> Option<Stage> {
    // the first word alone decides, so that most lines cost nothing
    if !line.whole.text.get(..5)?.eq_ignore_ascii_case("stage") {
        return None;
    }
    let found = match grammar::read(Rule::stage_head, line.head) {
        Ok(found) => found,
        Err(_) if line.head.text.len() == 5 => return Some(Stage { when: When::Now, title: title(line, findings) }),
        Err(_) => return None,
    };
    if line.after.is_none() && found.as_rule() == Rule::stage_other {
        // `stage Make safe`: the colon is missing
        let rest = grammar::part(line.head, &found);
        let gap = line.head.sub(5, rest.at - line.head.at).span();
        findings.bad_fix(line.head.span(), "a colon is missing after `stage`", "write `stage: `", gap, ": ");
        return Some(Stage { when: When::Now, title: rest.word() });
    }
    let text = |found| inner(line.head, found, Rule::text).unwrap_or(line.head);
    let when = match found.as_rule() {
        Rule::EOI => When::Now,
        Rule::at_bench => When::AtBench,
        Rule::day_before => When::Before(grammar::part(line.head, &found).word()),
        Rule::stage_after => time(grammar::part(line.head, &found), text(&found), &AFTER, When::After, findings),
        Rule::stage_within => time(grammar::part(line.head, &found), text(&found), &WITHIN, When::Within, findings),
        _ => When::Other(grammar::part(line.head, &found).word()),
    };
    Some(Stage { when, title: title(line, findings) })
}

/// `after 50 km`, `after one week`; anything else is kept in words, `after` included (`after the test drive`).
fn time(
    all: Piece<'_>,
    piece: Piece<'_>,
    wanted: &Wanted,
    make: fn(Quantity) -> When,
    findings: &mut Findings,
) -> When {
    let (first, rest) = piece.text.split_once(char::is_whitespace).unwrap_or((piece.text, ""));
    let counted = match first {
        "a" | "an" => Some(1),
        word => number_word(word),
    };
    let spelled = counted.and_then(|n| parse_quantity(&format!("{n} {}", rest.trim())).ok());
    if let Some(spelled) = spelled.filter(|q| wanted.kinds.contains(&q.kind())) {
        return make(spelled);
    }
    if !piece.text.starts_with(|c: char| c.is_ascii_digit()) {
        return When::Other(all.word());
    }
    quantity(piece, wanted, findings).map_or_else(|| When::Other(all.word()), make)
}

fn title(line: &Logical<'_>, findings: &mut Findings) -> Word {
    line.prose().unwrap_or_else(|| {
        findings.bad(line.span, "the stage has no title", "write it after a colon, like `stage: Make safe`");
        Word { text: String::new(), span: line.span }
    })
}
