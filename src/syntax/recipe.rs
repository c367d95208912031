//! Recipes of tightening: `torque 40 N·m then 90°`, `pass: check 90 N·m`.

use super::clause::layout_order;
use super::expected::unread;
use super::findings::Findings;
use super::grammar::{self, Rule, inner, positions};
use super::name::split_word;
use super::piece::Piece;
use super::tree::{Pass, PassAction};
use super::value::{Wanted, quantity, spec};
use crate::quantity::{Kind, Spec, parse_quantity, parse_spec};

const VALUE: Wanted = Wanted::of("torque", &[Kind::Torque, Kind::Angle], "torque 25 N·m then 90°");
const PASS: Wanted = Wanted::of("pass", &[Kind::Torque, Kind::Angle, Kind::Ratio], "pass: 90 N·m");
const CHECK: Wanted = Wanted::of("check", &[Kind::Torque, Kind::Ratio], "pass: check 90 N·m");
const TURN: Wanted = Wanted::of("turn", &[Kind::Angle], "pass: turn 90°");

/// `10 N·m then 24 N·m then 90°` after `torque`. Nothing where one of them can't be read, which has been told.
pub(super) fn torque(text: Piece<'_>, findings: &mut Findings) -> Option<Vec<PassAction>> {
    let mut actions = Vec::new();
    for (range, _) in split_word(text.text, "then") {
        let piece = text.sub(range.start, range.end);
        if let Some(both) = torque_plus_angle(piece) {
            actions.extend(both);
            continue;
        }
        actions.push(action(piece, &VALUE, findings)?);
    }
    Some(actions)
}

/// `40 N·m + 90°`: a torque and then an angle, and no tolerance, for it has two units of two kinds.
fn torque_plus_angle(piece: Piece<'_>) -> Option<[PassAction; 2]> {
    let (first, second) = piece.text.split_once(" + ")?;
    let torque = parse_spec(first.trim()).ok().filter(|s| s.kind() == Kind::Torque)?;
    let angle = parse_quantity(second.trim()).ok().filter(|q| q.kind() == Kind::Angle)?;
    Some([PassAction::Torque(torque), PassAction::Turn(angle)])
}

fn action(piece: Piece<'_>, wanted: &Wanted, findings: &mut Findings) -> Option<PassAction> {
    let found = match grammar::read(Rule::recipe, piece) {
        Ok(found) => found,
        Err(error) => {
            unread(piece, "a recipe of tightening", &error, Rule::recipe, findings);
            return None;
        }
    };
    let text = inner(piece, &found, Rule::text).unwrap_or(piece);
    match found.as_rule() {
        Rule::hand_tight => Some(PassAction::HandTight),
        Rule::slacken => Some(PassAction::Slacken),
        Rule::check_torque => Some(PassAction::Check(spec(text, &CHECK, findings)?)),
        Rule::turn_angle => Some(PassAction::Turn(quantity(text, &TURN, findings)?)),
        _ => match spec(piece, wanted, findings)? {
            Spec::Exactly(angle) if angle.kind() == Kind::Angle => Some(PassAction::Turn(angle)),
            angle if angle.kind() == Kind::Angle => {
                findings.bad(piece.span(), "an angle of tightening is one value", "write it like `90°`");
                None
            }
            share if share.kind() == Kind::Ratio && !matches!(share, Spec::Exactly(_)) => {
                findings.bad(piece.span(), "a share of the torque is one value", "write it like `30 %`");
                None
            }
            torque => Some(PassAction::Torque(torque)),
        },
    }
}

/// The text of a `pass:` line: one action, then `positions …`, `at X STATE` and its order.
pub(super) fn pass(text: Piece<'_>, findings: &mut Findings) -> Option<Pass> {
    let mut pieces = super::clause::split(text, findings).into_iter();
    let first = pieces.next()?;
    if split_word(first.text, "then").len() > 1 {
        findings.bad(first.span(), "a `pass` line holds one pass", "write each pass in a line of its own");
        return None;
    }
    let action = action(first, &PASS, findings);
    let mut pass = Pass { action: action?, positions: Vec::new(), at: None, order: None };
    for piece in pieces {
        match grammar::read(Rule::pass_clause, piece) {
            Ok(found) if found.as_rule() == Rule::pass_positions => pass.positions = positions(&found),
            Ok(found) if found.as_rule() == Rule::pass_order => pass.order = Some(layout_order(&found)),
            Ok(found) => pass.at = inner(piece, &found, Rule::text).map(Piece::word),
            Err(error) => unread(piece, "a `pass`", &error, Rule::pass_clause, findings),
        }
    }
    Some(pass)
}
