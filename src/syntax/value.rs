//! Amounts inside clauses: read by the room of quantities, told in the words of the clause they stand in.

use super::findings::Findings;
use super::piece::{Piece, short};
use crate::diagnostic::Fix;
use crate::quantity::{Kind, Quantity, QuantityError, Spec, parse_quantity, parse_spec};

/// How a bare amount of a step is named in findings.
pub(super) const STEP: &str = "the step";

/// What a clause asks of its amount.
pub(super) struct Wanted {
    /// The clause, as a finding names it: `torque`, `weighs`.
    pub(super) what: &'static str,
    /// The kinds it may have; empty: any.
    pub(super) kinds: &'static [Kind],
    /// How it is written, for the help.
    pub(super) like: &'static str,
}

impl Wanted {
    pub(super) const fn any(what: &'static str, like: &'static str) -> Self {
        Self { what, kinds: &[], like }
    }

    pub(super) const fn of(what: &'static str, kinds: &'static [Kind], like: &'static str) -> Self {
        Self { what, kinds, like }
    }
}

/// One amount. Where it can't be used there is a finding and nothing is given.
pub(super) fn quantity(piece: Piece<'_>, wanted: &Wanted, findings: &mut Findings) -> Option<Quantity> {
    match parse_quantity(piece.text) {
        Ok(quantity) => fits(piece, quantity.kind(), wanted, findings).then_some(quantity),
        Err(error) => {
            tell(piece, &error, wanted, findings);
            let read = error.fix().and_then(|fixed| parse_quantity(fixed).ok())?;
            wanted.kinds.is_empty().then_some(()).or(wanted.kinds.contains(&read.kind()).then_some(()))?;
            Some(read)
        }
    }
}

/// One amount, a range, a tolerance or a limit.
pub(super) fn spec(piece: Piece<'_>, wanted: &Wanted, findings: &mut Findings) -> Option<Spec> {
    match parse_spec(piece.text) {
        Ok(spec) => fits(piece, spec.kind(), wanted, findings).then_some(spec),
        Err(error) => {
            tell(piece, &error, wanted, findings);
            let read = error.fix().and_then(|fixed| parse_spec(fixed).ok())?;
            wanted.kinds.is_empty().then_some(()).or(wanted.kinds.contains(&read.kind()).then_some(()))?;
            Some(read)
        }
    }
}

fn fits(piece: Piece<'_>, kind: Kind, wanted: &Wanted, findings: &mut Findings) -> bool {
    if wanted.kinds.is_empty() || wanted.kinds.contains(&kind) {
        return true;
    }
    let right = wanted.kinds.iter().map(|k| k.with_article()).collect::<Vec<_>>().join(" or ");
    findings.error("unit-mismatch", piece.span(), |d| {
        d.message = format!("`{}` takes {right}, but `{}` is {}", wanted.what, short(piece.text), kind.with_article());
        d.label = format!("{}, not {right}", kind.name());
        d.help = format!("write it like `{}`", wanted.like);
    });
    false
}

fn tell(piece: Piece<'_>, error: &QuantityError, wanted: &Wanted, findings: &mut Findings) {
    let rule = match error {
        QuantityError::UnitMissing { .. } | QuantityError::AmbiguousUnit { .. } => "unit-missing",
        QuantityError::DifferentKinds { .. } => "unit-mismatch",
        QuantityError::ReversedRange { .. } => "limit-reversed",
        _ => "bad-syntax",
    };
    findings.error(rule, piece.span(), |d| {
        d.message = match error {
            QuantityError::UnitMissing { number } => {
                format!("`{}` has a number without its unit: {number}", wanted.what)
            }
            QuantityError::UnknownUnit { unit, did_you_mean: None } if unit.contains(char::is_whitespace) => {
                format!("`{}` is no amount", short(piece.text))
            }
            QuantityError::Empty => format!("`{}` lacks its value", wanted.what),
            other => format!("`{}`: {other}", wanted.what),
        };
        d.help = match error.fix() {
            Some(fixed) => format!("write `{fixed}`"),
            None if wanted.what == STEP => {
                format!("write it like `{}`; words for people stand after `: `", wanted.like)
            }
            None => format!("write it like `{}`", wanted.like),
        };
        d.fix = error.fix().map(|fixed| Fix {
            title: format!("write `{fixed}`"),
            span: piece.span(),
            replacement: fixed.to_owned(),
        });
    });
}

/// A whole number above nought, as a count of people or a revision.
pub(super) fn whole(piece: Piece<'_>, what: &str, like: &str, findings: &mut Findings) -> Option<u32> {
    let read = piece.text.parse::<u32>().ok();
    if read.is_none() {
        let message = format!("`{what}` takes a whole number in figures, not `{}`", short(piece.text));
        let Some(number) = number_word(piece.text) else {
            findings.bad(piece.span(), message, format!("write it like `{like}`"));
            return None;
        };
        let figures = number.to_string();
        findings.bad_fix(piece.span(), message, format!("write `{figures}`"), piece.span(), figures);
        return Some(number);
    }
    read
}

/// `one` to `twelve`, `once`, `twice`.
pub(super) fn number_word(word: &str) -> Option<u32> {
    let words = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
    match word.to_ascii_lowercase().as_str() {
        "once" => Some(1),
        "twice" => Some(2),
        word => words.iter().position(|w| *w == word).and_then(|i| u32::try_from(i + 1).ok()),
    }
}
