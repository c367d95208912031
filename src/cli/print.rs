//! `cotter print`

use std::collections::HashMap;
use std::fs;
use std::io::Write as _;
use std::path::Path;

use super::check::counted;
use super::figures::{self, Figures};
use super::files::Entry;
use super::findings::Findings;
use super::orders::{self, Order};
use super::progress::Progress;
use super::{Outcome, PaperArg, PrintArgs, SheetForm, UnitsArg, WrongUse, files, report};
use crate::check::CheckedProcedure;
use crate::diagnostic::Severity;
use crate::procedure::OptionId;
use crate::quantity::System;
use crate::sheet::page::Paper;
use crate::sheet::{Choice, Chosen, lay_out};
use crate::syntax::tree::FileKind;
use crate::{pdf, png, svg};

/// A job that may be printed.
struct Ready<'a> {
    entry: &'a Entry,
    job: CheckedProcedure,
    figures: Figures,
}

/// Checks every job, and prints those in which nothing is an error.
pub fn run(args: &PrintArgs) -> Result<Outcome, WrongUse> {
    let orders = orders::read(&args.fields, &args.with, &args.without, args.orders.as_deref())?;
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
    for order in &orders {
        let of = |path: &Path| order.is_for(path);
        if !ready.iter().any(|r| of(&r.entry.path)) && !refused.iter().any(|entry| of(&entry.path)) {
            return Err(WrongUse(format!(
                "none of the jobs here is `{}`, which an order is for",
                order.job().unwrap_or_default()
            )));
        }
        let jobs: Vec<_> = ready.iter().filter(|r| of(&r.entry.path)).map(|r| r.job.procedure()).collect();
        if !jobs.is_empty()
            && let Some(wrong) = order.choices.unknown(&jobs)
        {
            return Err(wrong);
        }
    }
    let printed = print_all(args, &orders, today, &ready)?;
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

/// One sheet to print.
struct Task<'a> {
    ready: &'a Ready<'a>,
    order: &'a Order,
    name: String,
    chosen: Vec<(OptionId, Chosen)>,
}

fn print_all(
    args: &PrintArgs,
    orders: &[Order],
    today: jiff::civil::Date,
    ready: &[Ready<'_>],
) -> Result<Vec<Printed>, WrongUse> {
    let here = files::here()?;
    let names = sheet_names(&ready.iter().map(|r| r.entry).collect::<Vec<_>>());
    // Every choice is looked up before the first sheet is written.
    let mut tasks: Vec<Task<'_>> = Vec::new();
    for order in orders {
        for (ready, name) in ready.iter().zip(&names).filter(|(r, _)| order.is_for(&r.entry.path)) {
            let chosen = order.choices.of(ready.job.procedure())?;
            tasks.push(Task { ready, order, name: format!("{name}{}", order.suffix), chosen });
        }
    }
    if !tasks.is_empty() {
        fs::create_dir_all(&args.output).map_err(|error| no_output(&args.output, &error))?;
    }
    let mut progress = Progress::new(args.common.quiet, "printing", tasks.len());
    let mut printed = Vec::new();
    for task in &tasks {
        progress.at(&task.ready.entry.shown);
        let sheet = render(task, args, today)
            .map_err(|why| WrongUse(format!("the sheet of {} can't be printed: {why}", task.ready.entry.shown)))?;
        let mut first = None;
        for (page, bytes) in &sheet.files {
            let path = args.output.join(format!("{}{page}", task.name));
            write(&args.output, &path, bytes).map_err(|error| no_output(&path, &error))?;
            first.get_or_insert(path);
        }
        let full = first.map(|path| fs::canonicalize(&path).unwrap_or(path)).unwrap_or_default();
        printed.push(Printed { shown: files::shown(&here, &full), pages: sheet.pages, missing: sheet.missing });
    }
    Ok(printed)
}

/// The files of a sheet.
struct Rendered {
    /// What stands after the sheet's name (`.pdf`, `-1.svg`), and the bytes.
    files: Vec<(String, Vec<u8>)>,
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
                long.strip_suffix(".job").unwrap_or(&long).to_owned()
            } else {
                own
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

fn render(task: &Task<'_>, args: &PrintArgs, today: jiff::civil::Date) -> Result<Rendered, String> {
    let Task { ready, name, .. } = task;
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
        options: task.chosen.clone(),
        printed_on: today.to_string(),
        figures: ready.figures.had.clone(),
        fields: task.order.fields.clone(),
    };
    let sheet = lay_out(&ready.job, &choice);
    let files = match args.form {
        SheetForm::Pdf => vec![(".pdf".to_owned(), pdf::write(&sheet).map_err(|error| error.to_string())?)],
        SheetForm::Svg => (0..sheet.pages.len())
            .filter_map(|i| svg::page(&sheet, i, &|page| Some(format!("{name}-{}.svg", page + 1))))
            .enumerate()
            .map(|(i, page)| (format!("-{}.svg", i + 1), page.into_bytes()))
            .collect(),
        SheetForm::Png => (0..sheet.pages.len())
            .filter_map(|i| png::page(&sheet, i, args.dpi).map(|page| (i, page)))
            .map(|(i, page)| Ok((format!("-{}.png", i + 1), page.map_err(|error| error.to_string())?)))
            .collect::<Result<_, String>>()?,
    };
    let mut missing: Vec<char> = sheet.missing.iter().map(|m| m.character).collect();
    missing.sort_unstable();
    missing.dedup();
    Ok(Rendered { files, pages: sheet.pages.len(), missing })
}
