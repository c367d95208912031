//! Steps: `disconnect suction hose, into tray of 5 L: prose`. Verb and object stay one text here.

use super::adapter;
use super::clause::{in_passes, layout_order, split};
use super::findings::Findings;
use super::grammar::{self, Found, Rule, inner, part, positions};
use super::name::split_word;
use super::piece::Piece;
use super::place::Logical;
use super::tree::{Item, Order, Step, StepClause, StepClauseKind as Kind, Word};
use super::value::{STEP, Wanted, quantity, spec};
use crate::diagnostic::Diagnostic;
use crate::quantity::{Kind as Measures, Number, Quantity, Unit, parse_quantity};
use crate::source::Span;

const AMOUNT: Wanted = Wanted::any(STEP, "fill hydraulic oil, 31 L");
const TRAY: Wanted = Wanted::of("into", &[Measures::Volume], "into tray of 10 L");
const FOR: Wanted = Wanted::any("for", "for 5 min");
const WITHIN: Wanted = Wanted::any("within", "within 10 min");
const NEW: Wanted = Wanted::any("new", "new 24 mm");
const SET: Wanted = Wanted::any("set", "set 0.18 mm");
const ROUND: Wanted = Wanted::any("round to", "round to 0.05 mm");

/// The line as a step; one without a head is a finding.
pub(super) fn item(line: &Logical<'_>, findings: &mut Findings) -> Item {
    if line.whole.text.starts_with('|') {
        let help = "text goes on with `|` right below the line it belongs to; a declaration goes on after a comma";
        findings.bad(line.span, "there is no text above that this line could go on with", help);
        return Item::Unknown;
    }
    let all = line.head;
    let nothing = all.text.chars().all(|c| c == ',' || c.is_whitespace());
    let pieces = if nothing { Vec::new() } else { split(all, findings) };
    let head = pieces.first().copied().unwrap_or(all);
    if nothing || head.is_empty() {
        findings.bad(line.span, "the step says nothing to do", "write it like `remove side guard`");
        return Item::Unknown;
    }
    let verb = head.text.split_whitespace().next().unwrap_or_default();
    let is_ask = verb.eq_ignore_ascii_case("ask");
    let is_follow = is_follow(verb);
    let mut clauses = Vec::new();
    let mut answers: Vec<Piece<'_>> = Vec::new();
    for (i, piece) in pieces.iter().enumerate().skip(1) {
        if piece.is_empty() || piece.text.ends_with(',') {
            if piece.text.ends_with(',') {
                findings.bad(
                    piece.span(),
                    "two commas stand together here",
                    "take one of them out, or write what stands between",
                );
            }
            continue;
        }
        if is_ask && !is_hold_point(*piece) {
            answers.push(*piece);
            continue;
        }
        if is_follow && !is_hold_point(*piece) && !begins_with_with(*piece) {
            // an argument: its name may be any word, even one that begins a clause
            clauses.push(StepClause { span: piece.span(), kind: Kind::Other(piece.word()) });
            continue;
        }
        let until = piece.text.get(..6).is_some_and(|w| w.eq_ignore_ascii_case("until "));
        let piece = if until { all.from(piece.at - all.at).trim() } else { *piece };
        if let Some(kind) = clause(piece, findings) {
            clauses.push(StepClause { span: piece.span(), kind });
        }
        if until && i + 1 < pieces.len() {
            break;
        }
    }
    if let (Some(first), Some(last)) = (answers.first(), answers.last()) {
        let words: Vec<Word> = answers.iter().flat_map(|p| split_or(*p)).collect();
        clauses.insert(0, StepClause { span: first.span().to(last.span()), kind: Kind::Answers(words) });
    }
    Item::Step(Step { head: head.word(), clauses, prose: line.prose() })
}

/// `follow ROUTINE` and `reverse stage T`: acts that stand for whole stages, and stand where stages stand.
pub(super) fn stands_for_stages(head: &str) -> bool {
    let mut words = head.split_whitespace();
    let is = |word: Option<&str>, wanted: &str| word.is_some_and(|w| w.eq_ignore_ascii_case(wanted));
    is_follow(head) || (is(words.next(), "reverse") && is(words.next(), "stage"))
}

fn is_follow(head: &str) -> bool {
    head.split_whitespace().next().is_some_and(|verb| verb.eq_ignore_ascii_case("follow"))
}

fn begins_with_with(piece: Piece<'_>) -> bool {
    piece.text.get(..5).is_some_and(|w| w.eq_ignore_ascii_case("with "))
}

/// `sign`, `witness`, `record` and `until …` are clauses of an `ask` too; all else there are its answers.
fn is_hold_point(piece: Piece<'_>) -> bool {
    ["sign", "witness", "record"].iter().any(|w| piece.text.eq_ignore_ascii_case(w))
}

/// `caged or not caged`, one word each. A leading `or` of a last piece goes.
pub(super) fn split_or(piece: Piece<'_>) -> Vec<Word> {
    let rest = match piece.text.get(..3) {
        Some(or) if or.eq_ignore_ascii_case("or ") => piece.from(3).trim(),
        _ => piece,
    };
    split_word(rest.text, "or").into_iter().map(|(range, _)| rest.sub(range.start, range.end).word()).collect()
}

/// One clause. What is no clause known here is left to the next room; a known one with a bad value is told and gone.
fn clause(piece: Piece<'_>, findings: &mut Findings) -> Option<Kind> {
    let Ok(found) = grammar::read(Rule::step_clause, piece) else {
        return Some(Kind::Other(piece.word()));
    };
    let whole = matches!(found.as_rule(), Rule::value | Rule::step_with | Rule::call_it | Rule::until_rest);
    if piece.text.contains('{') && !whole {
        return Some(Kind::Other(piece.word()));
    }
    let text = inner(piece, &found, Rule::text).unwrap_or(piece);
    let digits = |found: &Found<'_>| inner(piece, found, Rule::digits).and_then(|d| d.text.parse::<u32>().ok());
    Some(match found.as_rule() {
        Rule::with_helper => Kind::WithHelper,
        Rule::with_adapter => match adapter::read(piece, &found, findings) {
            Some(adapter) => adapter?,
            // `crowfoot 14 mm on a long bar`: a tool by its name
            None => Kind::With(piece.from("with ".len()).trim().word()),
        },
        Rule::step_with => Kind::With(text.word()),
        Rule::into_volume => {
            let what = inner(piece, &found, Rule::into_what).unwrap_or(piece).word();
            Kind::Into { what, volume: Some(quantity(text, &TRAY, findings)?) }
        }
        Rule::into => Kind::Into { what: text.word(), volume: None },
        Rule::step_by_hand => Kind::ByHand,
        Rule::again => Kind::Again,
        Rule::in_reverse_order => Kind::InReverseOrder,
        Rule::in_passes => Kind::InPasses(in_passes(piece, &found)?),
        Rule::step_pass => Kind::Pass(digits(&found).unwrap_or(1)),
        Rule::last_pass => Kind::LastPass,
        Rule::on_stands => Kind::OnStands,
        Rule::on_ramps => Kind::OnRamps,
        Rule::on_a_lift => Kind::OnALift,
        Rule::call_it => Kind::CallIt(text.word()),
        Rule::step_for if !begins_with_number(text) => Kind::Other(piece.word()),
        Rule::step_for => Kind::For(quantity(text, &FOR, findings)?),
        Rule::until_rest => Kind::Until(text.word()),
        Rule::step_sign => Kind::Sign,
        Rule::step_witness => Kind::Witness,
        Rule::step_record => Kind::Record,
        Rule::each => Kind::Each(text.word()),
        Rule::round_to => Kind::RoundTo(quantity(text, &ROUND, findings)?),
        Rule::pass_positions => Kind::Positions(positions(&found)),
        Rule::order | Rule::round_once => Kind::Order(layout_order(&found)),
        Rule::crosswise => Kind::Order(Order::Cross),
        Rule::hazard => Kind::Hazard(text.word()),
        Rule::new_measures => {
            let amount = inner(piece, &found, Rule::amount).unwrap_or(piece);
            Kind::NewMeasures(spec(amount, &NEW, findings)?)
        }
        Rule::set_to if !begins_with_number(text) => Kind::Other(piece.word()),
        Rule::set_to => Kind::SetTo(spec(text, &SET, findings)?),
        Rule::step_within_of => {
            let amount = inner(piece, &found, Rule::within_amount).unwrap_or(piece);
            Kind::WithinOf { amount: quantity(amount, &WITHIN, findings)?, of: text.word() }
        }
        Rule::step_within if !begins_with_number(text) => Kind::Other(piece.word()),
        Rule::step_within => Kind::Within(quantity(text, &WITHIN, findings)?),
        Rule::at_clock => Kind::AtClock(clock(piece, &found)?),
        Rule::at_amount if parse_quantity(text.text).is_err() && text.text.contains(' ') => Kind::At(text.word()),
        Rule::at_amount => Kind::Amount(spec(text, &AMOUNT, findings)?),
        Rule::at_state => Kind::At(text.word()),
        Rule::from => Kind::From(text.word()),
        Rule::value => Kind::Value(part(piece, &found).sub(1, piece.text.len() - 1).word()),
        _ => Kind::Amount(spec(piece, &AMOUNT, findings)?),
    })
}

/// Reads a clause again after the values of `{…}` have been put in; all places in it become `span`. Nothing where the
/// text is no clause, or has an amount that can't be used (with its finding).
#[must_use]
pub fn step_clause(text: &str, span: Span) -> (Option<Kind>, Vec<Diagnostic>) {
    let mut findings = Findings::new(span.file);
    let piece = Piece { text, at: span.start as usize, file: span.file }.trim();
    let mut kind = clause(piece, &mut findings);
    if let Some(
        Kind::With(word)
        | Kind::Into { what: word, .. }
        | Kind::From(word)
        | Kind::CallIt(word)
        | Kind::WithinOf { of: word, .. }
        | Kind::Until(word)
        | Kind::Each(word)
        | Kind::At(word)
        | Kind::Hazard(word)
        | Kind::Value(word)
        | Kind::Other(word),
    ) = &mut kind
    {
        word.span = span;
    }
    if let Some(Kind::Adapter(adapter)) = &mut kind {
        for word in [&mut adapter.what, &mut adapter.on, &mut adapter.wrench] {
            word.span = span;
        }
    }
    let list = findings.finish().into_iter().map(|d| Diagnostic { span, fix: None, ..d }).collect();
    (kind, list)
}

fn begins_with_number(text: Piece<'_>) -> bool {
    text.text.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '−' | '+' | '±' | '.'))
}

/// `4 o'clock` as so many hours of the dial; nothing where there is no such hour.
pub(super) fn clock(piece: Piece<'_>, found: &Found<'_>) -> Option<Quantity> {
    let clock = inner(piece, found, Rule::clock)?;
    let hour: i64 = clock.text.split(|c: char| !c.is_ascii_digit()).next()?.parse().ok()?;
    (1..=12).contains(&hour).then(|| Quantity::new(Number::whole(hour), Unit::noun("o'clock")))
}
