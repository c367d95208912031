//! `with crowfoot 40 mm at 90° on torque wrench 40-200`: what makes the arm of a torque wrench longer.

use super::findings::Findings;
use super::grammar::{Found, Rule, inner};
use super::piece::Piece;
use super::tree::{Adapter, StepClauseKind as Kind};
use super::value::{Wanted, quantity};
use crate::quantity::{Kind as Measures, parse_quantity};

const LIKE: &str = "with crowfoot 40 mm on wrench 300 mm";
const EXTENSION: Wanted = Wanted::of("crowfoot", &[Measures::Length], LIKE);
const LENGTH: Wanted = Wanted::of("on wrench", &[Measures::Length], LIKE);
const ANGLE: Wanted = Wanted::of("at", &[Measures::Angle], "with crowfoot 40 mm at 90° on wrench 300 mm");

/// The clause; the inner `None` where a value in it can't be used and has been told, the outer one where no wrench stands
/// after `on`: then it is the name of a tool.
#[allow(clippy::option_option)]
pub(super) fn read(piece: Piece<'_>, found: &Found<'_>, findings: &mut Findings) -> Option<Option<Kind>> {
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
    found: &Found<'_>,
    what: Piece<'t>,
    on: Piece<'t>,
    findings: &mut Findings,
) -> Option<Adapter> {
    let arm = inner(piece, found, Rule::adapter_arm);
    let Some(arm) = arm else {
        let message = format!("`{}` lacks its length: how far the bolt lies from the square of the wrench", what.text);
        findings.bad(what.span(), message, format!("write it like `{LIKE}`"));
        return None;
    };
    let (arm, back) = without_end(arm, &["turned back", "turned round", "backwards"]);
    let (arm, angle) = angle(arm);
    let (on, on_back) = without_end(on, &["turned back", "turned round", "backwards"]);
    let (on, on_angle) = self::angle(on);
    let angle = match angle.or(on_angle) {
        Some(angle) => Some(quantity(angle, &ANGLE, findings)?),
        None => None,
    };
    let extension = quantity(arm, &EXTENSION, findings)?;
    let (wrench, length) = length(on, findings)?;
    Some(Adapter {
        what: what.word(),
        extension,
        angle,
        back: back || on_back,
        on: on.word(),
        wrench: wrench.word(),
        length,
    })
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
fn angle(piece: Piece<'_>) -> (Piece<'_>, Option<Piece<'_>>) {
    let lower = piece.text.to_ascii_lowercase();
    match lower.rfind(" at ") {
        Some(at) => (piece.sub(0, at).trim(), Some(piece.from(at + " at ".len()).trim())),
        None => (piece, None),
    }
}

/// `wrench 300 mm`: the name and the length at its end. `wrench 300` keeps its number, which may be part of a name.
#[allow(clippy::type_complexity)]
fn length<'t>(on: Piece<'t>, findings: &mut Findings) -> Option<(Piece<'t>, Option<crate::quantity::Quantity>)> {
    let words: Vec<usize> = on.text.match_indices(' ').map(|(at, _)| at + 1).chain([0]).collect();
    let mut starts: Vec<usize> = words;
    starts.sort_unstable();
    for start in starts {
        let rest = on.from(start);
        let is_value =
            rest.text.starts_with(|c: char| c.is_ascii_digit() || c == '.') && parse_quantity(rest.text).is_ok();
        if is_value {
            let name = on.sub(0, start).trim();
            let name = Piece { text: name.text.trim_end_matches(" of").trim_end_matches(" length"), ..name };
            return Some((name, Some(quantity(rest, &LENGTH, findings)?)));
        }
    }
    Some((on, None))
}
