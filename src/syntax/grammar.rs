//! The generated reader of lines and clauses.

use pest::Parser;
use pest::iterators::Pair;

use super::piece::Piece;

/// Rules of `grammar/cotter.pest`.
#[derive(pest_derive::Parser)]
#[grammar = "../grammar/cotter.pest"]
struct Grammar;

/// The named things that a line or a clause may hold, found in it.
pub(super) type Found<'t> = Pair<'t, Rule>;

/// Reads the whole text by `rule`, which is a choice of named forms: the form it has, or what was expected where.
pub(super) fn read<'t>(rule: Rule, piece: Piece<'t>) -> Result<Found<'t>, pest::error::Error<Rule>> {
    let found = Grammar::parse(rule, piece.text)?.next();
    // every entry rule is a choice of named forms, so there is a first one; an empty reading would be a fault of ours
    found.ok_or_else(|| {
        pest::error::Error::new_from_pos(
            pest::error::ErrorVariant::ParsingError { positives: vec![rule], negatives: Vec::new() },
            pest::Position::from_start(piece.text),
        )
    })
}

/// The place of something found in `piece`.
pub(super) fn part<'t>(piece: Piece<'t>, found: &Found<'t>) -> Piece<'t> {
    let span = found.as_span();
    piece.sub(span.start(), span.end()).trim()
}

/// The first inner thing of this rule.
pub(super) fn inner<'t>(piece: Piece<'t>, found: &Found<'t>, rule: Rule) -> Option<Piece<'t>> {
    found.clone().into_inner().find(|p| p.as_rule() == rule).map(|p| part(piece, &p))
}

/// All inner things of this rule.
pub(super) fn all_inner<'t>(piece: Piece<'t>, found: &Found<'t>, rule: Rule) -> Vec<Piece<'t>> {
    found.clone().into_inner().filter(|p| p.as_rule() == rule).map(|p| part(piece, &p)).collect()
}

/// Positions `1 to 4 7 9 and 11`, in the order they are written. A run is written out up to 999 positions.
pub(super) fn positions(found: &Found<'_>) -> Vec<u32> {
    let mut list = Vec::new();
    for position in found.clone().into_inner().flatten().filter(|p| p.as_rule() == Rule::position) {
        let mut ends = position.into_inner().map(|d| d.as_str().parse::<u32>().unwrap_or(u32::MAX));
        match (ends.next(), ends.next()) {
            (Some(from), Some(to)) if from <= to => list.extend((from..=to).take(999)),
            (Some(from), Some(to)) => list.extend((to..=from).rev().take(999)),
            (Some(one), None) => list.push(one),
            _ => {}
        }
    }
    list
}
