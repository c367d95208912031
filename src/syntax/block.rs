//! Heads of blocks: `if …`, `until …`, `for each …`.

use super::expected::unread;
use super::grammar::{self, Rule, inner};
use super::margin::{no_text, opens_otherwise};
use super::piece::Piece;
use super::place::{Logical, Walk, is_until};
use super::tree::Block;
use super::value::number_word;

/// Words that begin a block, and `else`, which is told.
const FIRST_WORDS: [&str; 7] = ["with", "if", "otherwise", "until", "before", "for", "else"];
const BELOW: &str = "write the steps in the lines below it, indented";

/// The block that this line begins, if it begins one.
pub(super) fn read(line: &Logical<'_>, walk: &mut Walk<'_>) -> Option<Block> {
    // the first word alone tells most lines apart, so that they cost no reading by the grammar
    let first = line.head.text.split(char::is_whitespace).next().unwrap_or_default();
    if !FIRST_WORDS.iter().any(|word| word.eq_ignore_ascii_case(first)) {
        return None;
    }
    let Ok(found) = grammar::read(Rule::block_head, line.head) else {
        return half_written(line, walk);
    };
    let text = inner(line.head, &found, Rule::text).unwrap_or(line.head);
    match found.as_rule() {
        Rule::with_condition => {
            no_text(line, "`with …`", BELOW, walk.findings);
            Some(Block::With { condition: text.word() })
        }
        Rule::if_condition => {
            no_text(line, "`if …`", BELOW, walk.findings);
            Some(Block::If { condition: text.word() })
        }
        Rule::otherwise => {
            otherwise(line, walk);
            Some(Block::Otherwise)
        }
        Rule::before_next_try => {
            no_text(line, "`before the next try`", BELOW, walk.findings);
            if !is_until(walk.holder_item()) {
                let help = "indent it below the `until …` that goes round again";
                walk.findings.bad(line.span, "`before the next try` stands in an `until` block", help);
            }
            Some(Block::BeforeTheNextTry)
        }
        Rule::until_condition => Some(until(line, text, walk)),
        _ => Some(for_each(line, text, walk)),
    }
}

fn otherwise(line: &Logical<'_>, walk: &mut Walk<'_>) {
    no_text(line, "`otherwise`", BELOW, walk.findings);
    if !walk.line_before().is_some_and(|node| opens_otherwise(&node.item)) {
        let help = "write it at the depth of its `if …`, right after the steps of that";
        walk.findings.bad(line.span, "`otherwise` follows an `if …`", help);
    }
}

/// `until COND, at most N times, then ACT: prose`
fn until(line: &Logical<'_>, text: Piece<'_>, walk: &mut Walk<'_>) -> Block {
    let mut at_most = None;
    let mut then = None;
    let pieces = text.split_commas();
    let condition = pieces.first().copied().unwrap_or(text);
    let mut told = false;
    for piece in pieces.iter().skip(1) {
        // `then` takes all that is left: `then fit new shims, with a helper`
        let rest = text.from(piece.at - text.at);
        let is_then = piece.text.get(..5).is_some_and(|t| t.eq_ignore_ascii_case("then "));
        let piece = if is_then { rest } else { *piece };
        match grammar::read(Rule::until_clause, piece) {
            Ok(found) if found.as_rule() == Rule::then_act => {
                then = Some(inner(piece, &found, Rule::text).unwrap_or(piece).word());
                break;
            }
            Ok(found) => {
                let digits = inner(piece, &found, Rule::digits).and_then(|d| d.text.parse().ok());
                let word = inner(piece, &found, Rule::number_word).and_then(|w| number_word(w.text));
                at_most = digits.or(word);
                // `at most 3 times then stop`, without a comma
                then = inner(piece, &found, Rule::text).map(Piece::word);
            }
            Err(error) => {
                unread(piece, "`until …`", &error, Rule::until_clause, walk.findings);
                told = true;
            }
        }
    }
    if at_most.is_none() && !told {
        let help = format!("write the number of tries, like `until {}, at most 3 times`", condition.text);
        walk.findings.bad(line.head.span(), "an `until` block says how often it may be tried at most", help);
    }
    Block::Until { condition: condition.word(), at_most, then, prose: line.prose() }
}

fn for_each(line: &Logical<'_>, text: Piece<'_>, walk: &mut Walk<'_>) -> Block {
    no_text(line, "`for each …`", BELOW, walk.findings);
    let pieces = text.split_commas();
    let mut one_after_the_other = false;
    for piece in pieces.iter().skip(1) {
        match grammar::read(Rule::loop_clause, *piece) {
            Ok(_) => one_after_the_other = true,
            Err(error) => unread(*piece, "`for each …`", &error, Rule::loop_clause, walk.findings),
        }
    }
    Block::ForEach { set: pieces.first().copied().unwrap_or(text).word(), one_after_the_other }
}

/// `if`, `until` without their condition; `else`.
fn half_written(line: &Logical<'_>, walk: &mut Walk<'_>) -> Option<Block> {
    let head = line.head;
    let is = |word: &str| head.text.eq_ignore_ascii_case(word);
    if is("else") {
        walk.findings.bad_fix(
            head.span(),
            "write `otherwise` for `else`",
            "write `otherwise`",
            head.span(),
            "otherwise",
        );
        otherwise(line, walk);
        return Some(Block::Otherwise);
    }
    let starts = |text: &str| head.text.get(..text.len()).is_some_and(|t| t.eq_ignore_ascii_case(text));
    if starts("otherwise ") || starts("else ") {
        let help = "write `otherwise` alone, and the next `if …` below it, indented";
        walk.findings.bad(head.span(), "`otherwise` stands alone in its line", help);
        otherwise(&Logical { whole: line.whole, head, after: None, more: Vec::new(), span: line.span }, walk);
        return Some(Block::Otherwise);
    }
    if starts("for ") && line.after.is_none() && !is("for each") {
        let place = head.sub(0, 3).span();
        walk.findings.bad_fix(
            head.span(),
            "a repetition begins with `for each`",
            "write `for each`",
            place,
            "for each",
        );
        return Some(for_each(line, head.from(4).trim(), walk));
    }
    let missing = ["with", "if", "until", "for each"].into_iter().find(|w| is(w))?;
    let (what, example) = match missing {
        "for each" => ("names a set", "for each side"),
        "with" => ("names an option", "with side guard fitted"),
        "if" => ("has a condition", "if drive belt bad"),
        _ => ("has a condition", "until end float within, at most 3 times"),
    };
    walk.findings.bad(head.span(), format!("`{missing}` {what}"), format!("write it like `{example}`"));
    let condition = Piece { text: "", at: head.at + head.text.len(), file: head.file }.word();
    Some(match missing {
        "for each" => Block::ForEach { set: condition, one_after_the_other: false },
        "with" => Block::With { condition },
        "if" => Block::If { condition },
        _ => Block::Until { condition, at_most: None, then: None, prose: line.prose() },
    })
}
