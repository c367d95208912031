//! The command line: reads disk and clock, calls [`crate::analysis`], shows what comes back. A file a command.
//!
//! Exit status: 0 nothing is an error; 1 something is (with `--strict` a warning counts); 2 wrong use, or a file that
//! can't be read or written.
// The one room that may touch the disk and the clock; `clippy.toml` keeps all others from it.
#![allow(clippy::disallowed_methods, clippy::disallowed_types)]

mod check;
mod choices;
mod explain;
mod figures;
mod files;
mod findings;
mod json;
mod orders;
mod print;
mod progress;
mod report;
mod trace;
mod work_out;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::png::MOST_DPI;

/// Write a repair job once, in plain text; prove it; print the job sheet.
#[derive(Debug, Parser)]
#[command(name = "cotter", version, max_term_width = 100, arg_required_else_help = true, after_help = AFTER)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

const AFTER: &str = "A sheet is as good as its source: follow the maker's data, local codes and licensed practice.\n\
    Exit status: 0 nothing is an error, 1 something is, 2 wrong use or an unreadable file.";

#[derive(Debug, Subcommand)]
enum Command {
    /// Check jobs and the files they use, and tell every mistake at once
    Check(CheckArgs),
    /// Print the sheets of jobs without errors
    Print(PrintArgs),
    /// Follow one thing through a job: after which line it is in which state, on which ways; without a name, all of them
    Trace(TraceArgs),
    /// Tell what a rule finds, why it matters, and how to mend it; without a name, list all rules
    Explain(ExplainArgs),
    /// Work out what stands on the back of the sheet: torque, order, wrench, mix, units
    WorkOut(work_out::WorkOutArgs),
}

/// What `check` and `print` have in common.
#[derive(Debug, Args)]
struct Common {
    /// Files or folders; folders are searched for `.job` files [default: the current folder]
    #[arg(value_name = "PATH")]
    paths: Vec<PathBuf>,
    /// Count warnings as errors
    #[arg(long)]
    strict: bool,
    /// Tell errors only: no warnings, no advice, no summary, no progress
    #[arg(short, long)]
    quiet: bool,
}

#[derive(Debug, Args)]
struct CheckArgs {
    #[command(flatten)]
    common: Common,
    /// How to show the findings
    #[arg(long = "as", value_name = "FORM", default_value = "text")]
    form: Form,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Form {
    /// For people, with the lines they stand in
    Text,
    /// One object, for programs
    Json,
}

#[derive(Debug, Args)]
struct PrintArgs {
    #[command(flatten)]
    common: Common,
    /// The folder the sheets go to; it is made where it is missing
    #[arg(short, long = "output", value_name = "DIR", default_value = "out")]
    output: PathBuf,
    /// What the sheets are written as
    #[arg(long = "as", value_name = "FORM", default_value = "pdf")]
    form: SheetForm,
    /// Resolution of PNG pictures, in dots an inch
    #[arg(long, value_name = "DPI", default_value = "150", value_parser = clap::value_parser!(u32).range(20..=i64::from(MOST_DPI)))]
    dpi: u32,
    /// Size of the paper
    #[arg(long, default_value = "a4")]
    paper: PaperArg,
    /// Whose units stand on the sheet
    #[arg(long, default_value = "both")]
    units: UnitsArg,
    /// Print for a machine that has this option, or this one of several
    #[arg(long = "with", value_name = "OPTION[=VALUE]")]
    with: Vec<String>,
    /// Print for a machine that does not have this option
    #[arg(long = "without", value_name = "OPTION")]
    without: Vec<String>,
    /// Fill in a field of the head: order, serial, odometer, technician or date
    #[arg(long = "field", value_name = "FIELD=TEXT")]
    fields: Vec<String>,
    /// A list of orders, one sheet each: CSV with a row of names, or TOML with `[[order]]`. Its columns are the fields, and `job`,
    /// `with`, `without`
    #[arg(long, value_name = "FILE")]
    orders: Option<PathBuf>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum SheetForm {
    /// One document
    Pdf,
    /// A drawing for each page, for screens and the web
    Svg,
    /// A picture of each page
    Png,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum PaperArg {
    A4,
    Letter,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum UnitsArg {
    /// N·m, L, mm, °C
    Metric,
    /// lbf·ft, US gal, in, °F
    Us,
    /// The author's unit large, the other one small
    Both,
}

#[derive(Debug, Args)]
struct TraceArgs {
    /// The job
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// The thing's name, as the job gives it
    #[arg(value_name = "NAME", num_args = 0..)]
    name: Vec<String>,
}

#[derive(Debug, Args)]
struct ExplainArgs {
    /// The rule's name, as a finding shows it
    rule: Option<String>,
}

/// How a command ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Outcome {
    Clean,
    Faulty,
    /// Wrong use, or a file that can't be read or written.
    Unusable,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        Self::from(match outcome {
            Outcome::Clean => 0,
            Outcome::Faulty => 1,
            Outcome::Unusable => 2,
        })
    }
}

/// Wrong use: what is wrong and what to do instead.
#[derive(Debug)]
struct WrongUse(String);

/// Runs the command that the arguments ask for.
#[must_use]
pub fn main() -> ExitCode {
    let ended = match Cli::parse_from(work_out::arguments(std::env::args_os())).command {
        Command::Check(args) => check::run(&args),
        Command::Print(args) => print::run(&args),
        Command::Trace(args) => trace::run(&args),
        Command::Explain(args) => explain::run(&args),
        Command::WorkOut(args) => work_out::run(&args),
    };
    ended
        .unwrap_or_else(|WrongUse(message)| {
            report::tell(&format!("cotter: {message}\n"));
            Outcome::Unusable
        })
        .into()
}
