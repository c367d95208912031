//! Every hazard of a job stands on its printed sheet before its act.
//!
//! `jobs/*.hazards` say for a job what can hurt people in it and by which act, a line each: the hazard, and the line of the
//! act as it stands in the job. The authors of the jobs wrote few messages themselves; which act brings which hazard is common
//! practice of the trade.
#![allow(clippy::disallowed_methods, reason = "tests read the jobs from disk")]

use std::path::{Path, PathBuf};

use cotter::analysis::{LoadError, analyse};
use cotter::check::CheckedProcedure;
use cotter::sheet::content::{Content, RowKind};
use cotter::sheet::page::{Kind, Sheet};
use cotter::sheet::{Choice, lay_out, words};
use cotter::trade::hazard::Hazard;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/jobs")
}

fn lists() -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = std::fs::read_dir(folder())
        .expect("the folder is part of the project")
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|e| e == "hazards"))
        .collect();
    found.sort();
    assert!(found.len() >= 5, "the lists of hazards were not found");
    found
}

fn job(list: &Path) -> CheckedProcedure {
    let file = list.with_extension("job");
    let name = file.file_name().and_then(|n| n.to_str()).expect("a plain file name");
    let mut load = |name: &str| std::fs::read_to_string(folder().join(name)).map_err(|_| LoadError::Missing);
    let analysis = analyse(name, &mut load);
    let told: Vec<String> = analysis.diagnostics.iter().map(|d| d.message.clone()).collect();
    analysis.job.unwrap_or_else(|| panic!("{name} can't be printed: {told:#?}"))
}

fn content_of(job: &CheckedProcedure, choice: &Choice) -> Content {
    let cautions: Vec<_> = job.cautions().iter().map(|caution| (caution.step, caution.hazard)).collect();
    words::content(job.procedure(), job.proof(), &cautions, choice)
}

/// Whether a message about the hazard stands in the stage of the act of that line, at its row or before it.
/// `None`: no row comes from that line.
fn stands_before(content: &Content, text: &str, line: &str, hazard: Hazard) -> Option<bool> {
    let title = format!("{}.", hazard.message().title);
    let stages = content.stages.iter().chain(content.later.iter().map(|slip| &slip.stage));
    for stage in stages {
        let mut told = false;
        for row in &stage.rows {
            let RowKind::Step(step) = &row.kind else { continue };
            told |= step.messages.iter().any(|message| message.says.text().starts_with(&title));
            let from = step.origin.and_then(|span| text.get(span.range())).unwrap_or_default();
            if from.lines().next().is_some_and(|first| first.trim() == line) {
                return Some(told);
            }
        }
    }
    None
}

/// Whether the first words of a message about the hazard are on a page, and how often.
fn times_printed(sheet: &Sheet, hazard: Hazard) -> usize {
    let title = format!("{}.", hazard.message().title);
    let items = sheet.pages.iter().flat_map(|page| &page.items);
    items.filter(|item| matches!(&item.kind, Kind::Text(run) if run.text().contains(&title))).count()
}

#[test]
fn every_hazard_stands_before_its_act() {
    let mut missing = Vec::new();
    let mut tried = 0;
    for list in lists() {
        let name = list.file_stem().and_then(|n| n.to_str()).unwrap_or_default().to_owned();
        let job = job(&list);
        let text = std::fs::read_to_string(list.with_extension("job")).expect("the job beside the list");
        let choice = Choice::default();
        let content = content_of(&job, &choice);
        let sheet = lay_out(&job, &choice);
        let expected = std::fs::read_to_string(&list).expect("a list of hazards");
        for wanted in expected.lines().filter(|l| !l.starts_with('#') && !l.trim().is_empty()) {
            let (hazard, line) = wanted.split_once(": ").expect("the hazard, a colon, the line");
            let hazard = Hazard::parse(hazard).unwrap_or_else(|| panic!("{name}: no hazard is called '{hazard}'"));
            tried += 1;
            match stands_before(&content, &text, line.trim(), hazard) {
                None => panic!("{name}: no row of the sheet comes from '{line}'"),
                Some(false) => missing.push(format!("{name}: {wanted}")),
                Some(true) => assert!(times_printed(&sheet, hazard) > 0, "{name}: {wanted}: on no page"),
            }
        }
    }
    assert!(tried >= 40, "only {tried} hazards were looked for");
    assert!(
        missing.is_empty(),
        "{} of {tried} hazards don't stand before their act:\n{}",
        missing.len(),
        missing.join("\n")
    );
}

/// ANSI Z535.6: too many messages, and none is read.
#[test]
fn no_hazard_is_told_twice_in_a_stage_by_the_standard_message() {
    for list in lists() {
        let job = job(&list);
        let content = content_of(&job, &Choice::default());
        for stage in &content.stages {
            for hazard in Hazard::ALL {
                let standard = format!("{}. {}", hazard.message().title, hazard.message().consequence);
                let rows = stage.rows.iter().filter_map(|row| match &row.kind {
                    RowKind::Step(step) => Some(step),
                    _ => None,
                });
                let times =
                    rows.flat_map(|step| &step.messages).filter(|message| message.says.text() == standard).count();
                assert!(
                    times <= 1,
                    "{}: {}: {} stands {times} times",
                    list.display(),
                    stage.title.text(),
                    hazard.name()
                );
            }
        }
    }
}
