//! `cotter print`

use std::collections::HashMap;
use std::fs;
use std::io::Write as _;
use std::path::Path;

use super::check::counted;
use super::choices::Choices;
use super::figures::{self, Figures};
use super::files::Entry;
use super::findings::Findings;
use super::progress::Progress;
use super::{Outcome, PaperArg, PrintArgs, UnitsArg, WrongUse, files, report};
use crate::check::CheckedProcedure;
use crate::diagnostic::Severity;
use crate::pdf;
use crate::procedure::OptionId;
use crate::quantity::System;
use crate::sheet::page::Paper;
use crate::sheet::{Choice, Chosen, lay_out};
use crate::syntax::tree::FileKind;

/// A job that may be printed.
struct Ready<'a> {
    entry: &'a Entry,
    job: CheckedProcedure,
    figures: Figures,
}

/// Checks every job, and prints those in which nothing is an error.
pub fn run(args: &PrintArgs) -> Result<Outcome, WrongUse> {
    let choices = Choices::read(&args.with, &args.without)?;
    let today = today()?;
    let entries = files::entries(&args.common.paths)?;
    let mut findings = Findings::default();
    let mut ready: Vec<Ready<'_>> = Vec::new();
    let mut refused: Vec<&Entry> = Vec::new();
    let mut progress = Progress::new(args.common.quiet, "checking", entries.len());
    for entry in &entries {
        progress.at(&entry.shown);
        let mut own = Findings::default();
        let analysis = own.look_at(entry)?;
        let faulty = own.outcome(args.common.strict) != Outcome::Clean;
        match analysis {
            // A machine or routine file has no sheet; what is wrong with it is told by the jobs that use it.
            Some(analysis) if matches!(analysis.kind, FileKind::Machine | FileKind::Routine) => continue,
            Some(analysis) => match analysis.job {
                Some(job) if !faulty => {
                    let figures = figures::read(&entry.root, job.procedure(), &analysis.sources);
                    ready.push(Ready { entry, job, figures });
                }
                _ => refused.push(entry),
            },
            None => refused.push(entry),
        }
        findings.merge(own);
    }
    progress.end();
    if ready.is_empty() && refused.is_empty() {
        return Err(WrongUse("there is no job to print here: only machine and routine files".to_string()));
    }
    let jobs: Vec<_> = ready.iter().map(|r| r.job.procedure()).collect();
    if !jobs.is_empty()
        && let Some(wrong) = choices.unknown(&jobs)
    {
        return Err(wrong);
    }
    let printed = print_all(args, &choices, today, &ready)?;
    tell(args, &findings, &refused, &printed);
    for ready in &ready {
        for figure in &ready.figures.refused {
            report::tell(&format!("{}: the figure {figure}; its caption is printed alone\n", ready.entry.shown));
        }
    }
    let outcome = findings.outcome(args.common.strict);
    Ok(if refused.is_empty() { Outcome::Clean } else { outcome.max(Outcome::Faulty) })
}

/// A sheet that was written.
struct Printed {
    shown: String,
    pages: usize,
    /// Signs that the sheet's face lacks, each once.
    missing: Vec<char>,
}

fn print_all(
    args: &PrintArgs,
    choices: &Choices,
    today: jiff::civil::Date,
    ready: &[Ready<'_>],
) -> Result<Vec<Printed>, WrongUse> {
    let here = files::here()?;
    let names = sheet_names(&ready.iter().map(|r| r.entry).collect::<Vec<_>>());
    // Every choice is looked up before the first sheet is written.
    let chosen: Vec<Vec<(OptionId, Chosen)>> =
        ready.iter().map(|r| choices.of(r.job.procedure())).collect::<Result<_, _>>()?;
    if !ready.is_empty() {
        fs::create_dir_all(&args.output).map_err(|error| no_output(&args.output, &error))?;
    }
    let mut progress = Progress::new(args.common.quiet, "printing", ready.len());
    let mut printed = Vec::new();
    for ((ready, name), chosen) in ready.iter().zip(&names).zip(&chosen) {
        progress.at(&ready.entry.shown);
        let sheet = render(ready, args, chosen, today)
            .map_err(|why| WrongUse(format!("the sheet of {} can't be printed: {why}", ready.entry.shown)))?;
        let path = args.output.join(name);
        write(&args.output, &path, &sheet.bytes).map_err(|error| no_output(&path, &error))?;
        let full = fs::canonicalize(&path).unwrap_or(path);
        printed.push(Printed { shown: files::shown(&here, &full), pages: sheet.pages, missing: sheet.missing });
    }
    Ok(printed)
}

/// The bytes of a sheet.
struct Rendered {
    bytes: Vec<u8>,
    pages: usize,
    missing: Vec<char>,
}

fn tell(args: &PrintArgs, findings: &Findings, refused: &[&Entry], printed: &[Printed]) {
    let least = if args.common.strict { Severity::Warning } else { Severity::Error };
    let shown: Vec<_> = findings.sorted().into_iter().filter(|f| f.diagnostic.severity <= least).collect();
    report::tell(&report::findings_aside(&shown));
    for entry in refused {
        report::tell(&format!("{} is not printed: mend what is told above first\n", entry.shown));
    }
    for sheet in printed {
        if !sheet.missing.is_empty() {
            let signs: Vec<String> = sheet.missing.iter().map(|c| format!("`{c}`")).collect();
            report::tell(&format!("{}: the sheet's face has no sign for {}\n", sheet.shown, signs.join(", ")));
        }
        if !args.common.quiet {
            report::say(&format!("{} ({})\n", sheet.shown, counted(sheet.pages, "page", "pages")));
        }
    }
    let warnings = findings.count(Severity::Warning);
    if warnings > 0 && !args.common.strict && !args.common.quiet {
        report::tell(&format!("{} told by `cotter check`\n", counted(warnings, "warning is", "warnings are")));
    }
}

/// The name of each sheet: that of its file; where two would be the same, the folders stand before it.
fn sheet_names(entries: &[&Entry]) -> Vec<String> {
    let stem = |path: &Path| path.file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default();
    let mut count: HashMap<String, usize> = HashMap::new();
    for entry in entries {
        *count.entry(stem(&entry.path).to_lowercase()).or_default() += 1;
    }
    entries
        .iter()
        .map(|entry| {
            let own = stem(&entry.path);
            if count.get(&own.to_lowercase()).is_some_and(|n| *n > 1) {
                let long = files::inside(entry).replace('/', "-");
                format!("{}.pdf", long.strip_suffix(".job").unwrap_or(&long))
            } else {
                format!("{own}.pdf")
            }
        })
        .collect()
}

/// Writes beside and renames, so that nobody ever opens half a sheet.
fn write(folder: &Path, path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".sheet-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // As for any new file: what the user's mask leaves of it.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut beside = builder.tempfile_in(folder)?;
    beside.write_all(bytes)?;
    beside.as_file().sync_all()?;
    beside.persist(path).map_err(|error| error.error)?;
    Ok(())
}

fn no_output(path: &Path, error: &std::io::Error) -> WrongUse {
    let hint = match error.kind() {
        std::io::ErrorKind::PermissionDenied => "you have no permission to write there".to_string(),
        std::io::ErrorKind::AlreadyExists | std::io::ErrorKind::NotADirectory => {
            "a file stands where the folder should be".to_string()
        }
        _ => error.to_string(),
    };
    WrongUse(format!("`{}` can't be written: {hint}", path.display()))
}

/// The day of printing. `SOURCE_DATE_EPOCH` (seconds, as at reproducible-builds.org) stands for today where it is set.
fn today() -> Result<jiff::civil::Date, WrongUse> {
    let Some(text) = std::env::var_os("SOURCE_DATE_EPOCH") else { return Ok(jiff::Zoned::now().date()) };
    let text = text.to_string_lossy();
    text.trim()
        .parse::<i64>()
        .ok()
        .and_then(|seconds| jiff::Timestamp::from_second(seconds).ok())
        .map(|moment| moment.to_zoned(jiff::tz::TimeZone::UTC).date())
        .ok_or_else(|| WrongUse(format!("SOURCE_DATE_EPOCH is `{text}`; it must be a number of seconds since 1970")))
}

fn render(
    ready: &Ready<'_>,
    args: &PrintArgs,
    chosen: &[(OptionId, Chosen)],
    today: jiff::civil::Date,
) -> Result<Rendered, String> {
    let choice = Choice {
        paper: match args.paper {
            PaperArg::A4 => Paper::A4,
            PaperArg::Letter => Paper::Letter,
        },
        units: match args.units {
            UnitsArg::Metric => System::Metric,
            UnitsArg::Us => System::Us,
            UnitsArg::Both => System::Both,
        },
        options: chosen.to_vec(),
        printed_on: today.to_string(),
        figures: ready.figures.had.clone(),
    };
    let sheet = lay_out(&ready.job, &choice);
    let bytes = pdf::write(&sheet).map_err(|error| error.to_string())?;
    let mut missing: Vec<char> = sheet.missing.iter().map(|m| m.character).collect();
    missing.sort_unstable();
    missing.dedup();
    Ok(Rendered { bytes, pages: sheet.pages.len(), missing })
}
