//! `with crowfoot 40 mm at 90° on torque wrench 40-200`: what makes the arm of a torque wrench longer.

use super::findings::Findings;
use super::grammar::{Found, Rule, inner};
use super::piece::Piece;
use super::tree::{Adapter, StepClauseKind as Kind};
use super::value::{Wanted, quantity};
use crate::quantity::{Kind as Measures, Quantity, parse_quantity};

const LIKE: &str = "with crowfoot 40 mm on wrench 300 mm";
const EXTENSION: Wanted = Wanted::of("crowfoot", &[Measures::Length], LIKE);
const LENGTH: Wanted = Wanted::of("on wrench", &[Measures::Length], LIKE);
const ANGLE: Wanted = Wanted::of("at", &[Measures::Angle], "with crowfoot 40 mm at 90° on wrench 300 mm");

/// The clause; the inner `None` where a value in it can't be used and has been told, the outer one where no wrench stands
/// after `on`: then it is the name of a tool.
#[allow(clippy::option_option)]
pub(super) fn read<'t>(piece: Piece<'t>, found: &Found<'t>, findings: &mut Findings) -> Option<Option<Kind>> {
    let what = inner(piece, found, Rule::adapter)?;
    let on = inner(piece, found, Rule::text)?;
    let lower = on.text.to_lowercase();
    if !lower.contains("wrench") && !lower.contains(|c: char| c.is_ascii_digit()) {
        return None;
    }
    Some(values(piece, found, what, on, findings).map(|adapter| Kind::Adapter(Box::new(adapter))))
}

fn values<'t>(
    piece: Piece<'t>,
    found: &Found<'t>,
    what: Piece<'t>,
    on: Piece<'t>,
    findings: &mut Findings,
) -> Option<Adapter> {
    let first = inner(piece, found, Rule::arm_first);
    let after = inner(piece, found, Rule::adapter_arm);
    // `a 40 mm crowfoot at 90° on a 300 mm wrench` is the same the other way round.
    let turned = after.filter(|_| first.is_some());
    let Some(arm) = first.or(after) else {
        let message = format!("`{}` lacks its length: how far the bolt lies from the square of the wrench", what.text);
        findings.bad(what.span(), message, format!("write it like `{LIKE}`"));
        return None;
    };
    let mut back = false;
    let mut angle = None;
    let mut how = |piece: Piece<'t>| {
        let (piece, is_back) = without_end(piece, &["turned back", "turned round", "backwards"]);
        let (piece, at) = at_angle(piece);
        back |= is_back;
        angle = angle.or(at);
        piece
    };
    let (arm, on) = (plain(how(arm)), plain(how(on)));
    let rest = turned.map(&mut how).filter(|rest| !rest.is_empty());
    if let Some(rest) = rest {
        findings.bad(
            rest.span(),
            format!("`{}` says nothing of how it is turned", rest.text),
            format!("write it like `{LIKE}`"),
        );
        return None;
    }
    let angle = match angle {
        Some(angle) => Some(quantity(angle, &ANGLE, findings)?),
        None => None,
    };
    let extension = quantity(arm, &EXTENSION, findings)?;
    let (wrench, length) = length(on, findings)?;
    Some(Adapter { what: what.word(), extension, angle, back, on: on.word(), wrench: wrench.word(), length })
}

/// Takes one of these words off the end.
fn without_end<'t>(piece: Piece<'t>, words: &[&str]) -> (Piece<'t>, bool) {
    let lower = piece.text.to_ascii_lowercase();
    match words.iter().find(|word| lower.ends_with(*word)) {
        Some(word) => (piece.sub(0, piece.text.len() - word.len()).trim(), true),
        None => (piece, false),
    }
}

/// Takes `at 90°` off the end: what stands before it, and the angle.
fn at_angle(piece: Piece<'_>) -> (Piece<'_>, Option<Piece<'_>>) {
    let lower = piece.text.to_ascii_lowercase();
    match lower.rfind(" at ") {
        Some(at) => (piece.sub(0, at).trim(), Some(piece.from(at + " at ".len()).trim())),
        None if lower.starts_with("at ") => (piece.sub(0, 0), Some(piece.from("at ".len()).trim())),
        None => (piece, None),
    }
}

/// Without the words that only fill: `of 40 mm`, `40 mm long`.
fn plain(piece: Piece<'_>) -> Piece<'_> {
    let lower = piece.text.to_ascii_lowercase();
    let start = if lower.starts_with("of ") { "of ".len() } else { 0 };
    let end = if lower.ends_with(" long") { piece.text.len() - " long".len() } else { piece.text.len() };
    piece.sub(start, end.max(start)).trim()
}

/// `wrench 300 mm` and `300 mm wrench`: the name and the length. `wrench 300` keeps its number, which may be part of a name.
fn length<'t>(on: Piece<'t>, findings: &mut Findings) -> Option<(Piece<'t>, Option<Quantity>)> {
    let lower = on.text.to_ascii_lowercase();
    let article = ["a ", "the "].iter().find(|article| lower.starts_with(**article)).map_or(0, |article| article.len());
    let on = on.from(article).trim();
    let gaps: Vec<usize> = on.text.match_indices(' ').map(|(at, _)| at).collect();
    let is_value = |piece: Piece<'_>| {
        piece.text.starts_with(|c: char| c.is_ascii_digit() || c == '.') && parse_quantity(piece.text).is_ok()
    };
    let starts = [0].into_iter().chain(gaps.iter().map(|at| at + 1));
    let split = starts.map(|start| (on.sub(0, start).trim(), on.from(start))).find(|(_, rest)| is_value(*rest));
    let split = split.or_else(|| {
        let ends = gaps.iter().rev().map(|end| (on.from(*end).trim(), on.sub(0, *end)));
        ends.into_iter().find(|(_, first)| is_value(*first))
    });
    let Some((name, value)) = split else { return Some((on, None)) };
    let name = Piece { text: name.text.trim_end_matches(" of"), ..name };
    Some((name, Some(quantity(value, &LENGTH, findings)?)))
}
