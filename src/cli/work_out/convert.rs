//! `cotter work-out convert`: a value in another unit.

use clap::Args;

use super::{Figure, Worked, WrongUse};
use crate::quantity::{Quantity, QuantityError, Spelling, Unit, parse_quantity};

#[derive(Debug, Args)]
pub struct ConvertArgs {
    /// The value and the unit wanted: `25 N·m lbf·ft`, `3 h 15 min to min`
    #[arg(value_name = "VALUE UNIT", num_args = 1.., required = true)]
    words: Vec<String>,
}

/// Converts exactly: factors are ratios, so that there and back gives the same value.
pub fn run(args: &ConvertArgs) -> Result<Worked, WrongUse> {
    let words: Vec<&str> = args.words.iter().flat_map(|word| word.split_whitespace()).collect();
    let (given, unit) = split(&words)?;
    let Some(result) = given.convert(&unit) else {
        let (from, to) = (given.kind().with_article(), unit.kind().with_article());
        return Err(WrongUse(format!(
            "`{given}` is {from} and `{}` measures {to}: one can't become the other",
            unit.symbol()
        )));
    };
    let exact = match result.value.parts() {
        (whole, 1) => whole.to_string(),
        (upper, lower) => format!("{upper}/{lower}"),
    };
    let mut results = vec![Figure::number("converted", result.value.to_f64(), unit.symbol(), decimals(&result))];
    // People are shown a fraction that can be read; scripts get it always.
    let shown = if exact.len() <= 12 { exact.clone() } else { "a longer fraction".to_owned() };
    results.push(Figure::both("exact", shown, exact.into()));
    Ok(Worked {
        calculation: "convert",
        inputs: vec![Figure::quantity("value", &given), Figure::text("unit", unit.symbol())],
        results,
        method: "the ratio of the exact factors of the two units to the SI unit; nothing is rounded on the way"
            .to_owned(),
        source: "BIPM SI Brochure, 9th edition; NIST SP 811 (2008), appendix B.8".to_owned(),
        caution: "Round for the tool at hand, and never past a limit.".to_owned(),
        drawing: None,
    })
}

/// The longest unit at the end, and the value before it; `to` or `in` may stand between.
fn split(words: &[&str]) -> Result<(Quantity, Unit), WrongUse> {
    let mut trouble = None;
    for at in 1..words.len() {
        let unit = match Unit::read(&words[at..].join(" ")) {
            Spelling::Unit(unit) if unit.known().is_some() => unit,
            Spelling::Ambiguous(choices) => {
                let (last, choices) = (words[at..].join(" "), choices.join("` or `"));
                trouble.get_or_insert(format!("`{last}` can mean several units: write `{choices}`"));
                continue;
            }
            Spelling::Unknown(Some(near)) if at + 1 == words.len() => {
                trouble.get_or_insert(format!("`{}` is no unit; did you mean `{}`?", words[at], near.symbol()));
                continue;
            }
            _ => continue,
        };
        let mut value = &words[..at];
        if let [before @ .., "to" | "in" | "into"] = value {
            value = before;
        }
        match parse_quantity(&value.join(" ")) {
            Ok(quantity) => return Ok((quantity, unit)),
            // `25 N·m` alone: its unit was taken for the one wanted.
            Err(QuantityError::UnitMissing { .. }) => {}
            Err(error) => {
                trouble.get_or_insert(format!("`{}` can not be read: {error}", value.join(" ")));
            }
        }
    }
    let whole = words.join(" ");
    Err(WrongUse(trouble.unwrap_or_else(|| {
        format!("`{whole}` names no unit to convert to: write the value and then the unit, like `25 N·m lbf·ft`")
    })))
}

/// Seven significant digits, as far as they are needed.
fn decimals(quantity: &Quantity) -> usize {
    let size = quantity.value.to_f64().abs();
    let whole = if size >= 1.0 { size.log10().floor() as usize + 1 } else { 1 };
    let shown = 7_usize.saturating_sub(whole);
    quantity.value.decimals_needed().map_or(shown, |needed| shown.min(needed.into()))
}
