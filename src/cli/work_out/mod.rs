//! `cotter work-out`: the mechanics of the trade at the bench, for people and for scripts. A file a calculation.
//!
//! Each is a thin front of a pure function in [`crate::trade`] or [`crate::quantity`]: it reads what was typed, and hands back
//! a [`Worked`] with inputs, results, method, source and caution.

mod convert;
mod coolant;
mod drain;
mod glycol;
mod joint;
mod key;
mod mix;
mod order;
mod output;
mod thread;
mod torque;
mod wrench;

use std::ffi::OsString;

use clap::{Args, Subcommand};

use super::{Form, Outcome, WrongUse, report};
use crate::quantity::{Kind, Quantity, Spec, parse_quantity, parse_spec};
use output::{Figure, Worked};

#[derive(Debug, Args)]
pub struct WorkOutArgs {
    #[command(subcommand)]
    calculation: Calculation,
    /// How to show the result
    #[arg(long = "as", value_name = "FORM", default_value = "text", global = true)]
    form: Form,
}

#[derive(Debug, Subcommand)]
enum Calculation {
    /// How tight a bolt may be, by thread, strength and friction, and what it then clamps
    Torque(torque::TorqueArgs),
    /// The measures of a thread, and what it carries
    Thread(thread::ThreadArgs),
    /// Which spanner, key or bit fits the head
    Key(key::KeyArgs),
    /// Which torque wrench to take and what to set it to, with a crow-foot too
    Wrench(wrench::WrenchArgs),
    /// In which order a group of fasteners is tightened, and in which passes
    Order(order::OrderArgs),
    /// Convert a value to another unit
    Convert(convert::ConvertArgs),
    /// Concentrate and water for a cooling system, empty or partly full
    Mix(mix::MixArgs),
    /// When a coolant freezes and boils, or how strong it must be
    Coolant(coolant::CoolantArgs),
    /// How much coolant to drain and replace, or what is left of the old after changes
    Drain(drain::DrainArgs),
}

/// Works it out and shows it.
pub fn run(args: &WorkOutArgs) -> Result<Outcome, WrongUse> {
    let worked = match &args.calculation {
        Calculation::Torque(args) => torque::run(args),
        Calculation::Thread(args) => thread::run(args),
        Calculation::Key(args) => key::run(args),
        Calculation::Wrench(args) => wrench::run(args),
        Calculation::Order(args) => order::run(args),
        Calculation::Convert(args) => convert::run(args),
        Calculation::Mix(args) => mix::run(args),
        Calculation::Coolant(args) => coolant::run(args),
        Calculation::Drain(args) => drain::run(args),
    }?;
    report::say(&match args.form {
        Form::Text => worked.text(),
        Form::Json => worked.json(),
    });
    Ok(Outcome::Clean)
}

/// The arguments as they are to be read: a minus before a figure (`-36 °C`) becomes the true minus sign, which can't be taken
/// for an option.
pub fn arguments(typed: impl Iterator<Item = OsString>) -> Vec<OsString> {
    let mut typed: Vec<OsString> = typed.collect();
    if typed.get(1).is_some_and(|command| command == "work-out") {
        for argument in &mut typed {
            let text = argument.to_str().and_then(|text| text.strip_prefix('-'));
            if let Some(figure) = text.filter(|rest| rest.starts_with(|c: char| c.is_ascii_digit() || c == '.')) {
                *argument = format!("\u{2212}{figure}").into();
            }
        }
    }
    typed
}

/// A quantity of this kind, typed in one word or several; `what` names it in the error: `the torque`.
fn quantity(words: &[String], kind: Kind, what: &str) -> Result<Quantity, WrongUse> {
    let text = words.join(" ");
    let quantity = parse_quantity(&text).map_err(|error| {
        WrongUse(format!("{what} can not be read from `{text}`: {error}; write it like `{}`", kind.example()))
    })?;
    right_kind(quantity.kind(), kind, &text, what)?;
    Ok(quantity)
}

/// A value or range of this kind; see [`quantity`].
fn spec(words: &[String], kind: Kind, what: &str) -> Result<Spec, WrongUse> {
    let text = words.join(" ");
    let spec = parse_spec(&text).map_err(|error| {
        WrongUse(format!("{what} can not be read from `{text}`: {error}; write it like `{}`", kind.example()))
    })?;
    right_kind(spec.kind(), kind, &text, what)?;
    Ok(spec)
}

fn right_kind(got: Kind, wanted: Kind, text: &str, what: &str) -> Result<(), WrongUse> {
    if got == wanted {
        return Ok(());
    }
    Err(WrongUse(format!("{what} is written like `{}`, but `{text}` is {}", wanted.example(), got.with_article())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_minus_before_a_figure_is_no_option() {
        let read = |typed: &[&str]| -> Vec<String> {
            arguments(typed.iter().map(OsString::from)).into_iter().map(|a| a.into_string().unwrap()).collect()
        };
        assert_eq!(
            read(&["cotter", "work-out", "mix", "--protect", "-36", "°C", "-h"]),
            ["cotter", "work-out", "mix", "--protect", "\u{2212}36", "°C", "-h"]
        );
        assert_eq!(read(&["cotter", "check", "-3.job"]), ["cotter", "check", "-3.job"]);
    }

    #[test]
    fn a_wrong_kind_names_both() {
        let words = ["10".to_owned(), "mm".to_owned()];
        let WrongUse(message) = quantity(&words, Kind::Torque, "the torque").unwrap_err();
        assert_eq!(message, "the torque is written like `25 N·m`, but `10 mm` is a length");
    }
}
