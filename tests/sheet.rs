//! Every demo procedure printed: the rules of the page, the text layer, the same bytes each time.
#![allow(clippy::disallowed_methods, reason = "tests read the demo procedures from disk")]

use std::path::Path;
use std::sync::OnceLock;

use cotter::analysis::{LoadError, analyse};
use cotter::check::CheckedProcedure;
use cotter::pdf;
use cotter::procedure::{Block, PassAction, ThingId};
use cotter::quantity::System;
use cotter::sheet::page::{Area, Kind, Paper, Sheet, Tag};
use cotter::sheet::{Choice, lay_out, style};

/// The demo jobs, read once.
fn jobs() -> &'static [(String, CheckedProcedure)] {
    static JOBS: OnceLock<Vec<(String, CheckedProcedure)>> = OnceLock::new();
    JOBS.get_or_init(read_jobs)
}

fn read_jobs() -> Vec<(String, CheckedProcedure)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("procedures");
    let mut names: Vec<String> = std::fs::read_dir(&root)
        .expect("the demo procedures")
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| name.ends_with(".job"))
        .collect();
    names.sort();
    let mut load = |name: &str| std::fs::read_to_string(root.join(name)).map_err(|_| LoadError::Missing);
    let mut jobs = Vec::new();
    for name in names {
        // A demo with an error in it is told by the test of the demos, and can't be printed here.
        if let Some(job) = analyse(&name, &mut load).job {
            jobs.push((name, job));
        }
    }
    assert!(jobs.len() >= 8, "only {} demo jobs can be printed", jobs.len());
    jobs
}

fn choice(paper: Paper) -> Choice {
    Choice { paper, printed_on: "2026-11-25".to_owned(), ..Choice::default() }
}

/// Every sheet of the demos, on both papers, with its name.
fn sheets() -> &'static [(String, Sheet)] {
    static SHEETS: OnceLock<Vec<(String, Sheet)>> = OnceLock::new();
    SHEETS.get_or_init(|| {
        let mut sheets = Vec::new();
        for (name, job) in jobs() {
            for paper in [Paper::A4, Paper::Letter] {
                sheets.push((format!("{name} {paper:?}"), lay_out(job, &choice(paper))));
            }
        }
        sheets
    })
}

fn texts(sheet: &Sheet, page: usize) -> Vec<(String, Area)> {
    let items = sheet.pages[page].items.iter();
    items
        .filter_map(|item| match &item.kind {
            Kind::Text(run) if !run.text().trim().is_empty() => Some((run.text(), run.area())),
            _ => None,
        })
        .collect()
}

#[test]
fn nothing_stands_outside_the_margins_and_no_text_on_another() {
    for (name, sheet) in sheets() {
        let (width, height) = sheet.paper.size();
        for (index, page) in sheet.pages.iter().enumerate() {
            let page_name = format!("{name} page {}", index + 1);
            for item in &page.items {
                let Some(area) = item.area() else { continue };
                // Strokes may stand out of the grid by half their width.
                assert!(area.x >= 19.4 && area.right() <= width - 9.4, "{page_name}: {:?}", item.kind);
                assert!(area.y >= 9.4 && area.bottom() <= height - 9.4, "{page_name}: {:?}", item.kind);
            }
            let texts = texts(sheet, index);
            for (at, (text, area)) in texts.iter().enumerate() {
                for (other, second) in &texts[at + 1..] {
                    assert!(!area.overlaps(second, 0.15), "{page_name}: {text:?} on {other:?}");
                }
            }
        }
    }
}

#[test]
fn every_sign_is_in_the_face() {
    for (name, sheet) in sheets() {
        assert_eq!(sheet.missing, Vec::new(), "{name}");
    }
}

/// A box to tick or to write in never lies on text or on another box.
#[test]
fn boxes_stand_free() {
    for (name, sheet) in sheets() {
        for (index, page) in sheet.pages.iter().enumerate() {
            let boxes: Vec<Area> = page
                .items
                .iter()
                .filter_map(|item| match &item.kind {
                    Kind::Rect { area, fill: Some(fill), stroke: Some(_), .. }
                        if *fill == style::WHITE && area.height < 9.0 && area.width < 60.0 =>
                    {
                        Some(*area)
                    }
                    _ => None,
                })
                .collect();
            let texts = texts(sheet, index);
            for (at, area) in boxes.iter().enumerate() {
                for other in &boxes[at + 1..] {
                    assert!(!area.overlaps(other, 0.1), "{name} page {}: {area:?} {other:?}", index + 1);
                }
                // A boxed word is the one text that stands in its box.
                let inside = texts.iter().filter(|(_, text)| area.overlaps(text, 0.3)).count();
                assert!(inside <= 1, "{name} page {}: {area:?}", index + 1);
                if (area.width - area.height).abs() < 0.01 {
                    assert_eq!(inside, 0, "{name} page {}: a text in a box to tick {area:?}", index + 1);
                }
            }
        }
    }
}

/// A stage heading or the head of a block is never the last thing on a page.
#[test]
fn no_heading_ends_a_page() {
    for (name, sheet) in sheets() {
        let foot = style::Grid::of(sheet.paper).foot.y;
        for (index, page) in sheet.pages.iter().enumerate() {
            let mut heading: Option<String> = None;
            let (mut inside, mut words) = (0_usize, String::new());
            for item in &page.items {
                match &item.kind {
                    Kind::Open(Tag::Heading1 | Tag::Heading2 | Tag::Heading3) => {
                        inside += 1;
                        words.clear();
                    }
                    Kind::Close if inside > 0 => {
                        inside -= 1;
                        heading = Some(words.clone());
                    }
                    Kind::Text(run) if inside > 0 => words.push_str(&run.text()),
                    // The line that tells of the next page is no content.
                    Kind::Text(run) if run.at.y < foot && !run.text().contains("continues on the next page") => {
                        heading = None;
                    }
                    Kind::Rect { stroke: Some(_), .. } => heading = None,
                    _ => {}
                }
            }
            assert_eq!(heading, None, "{name}: a heading ends page {}", index + 1);
        }
    }
}

#[test]
fn the_heads_repeat_and_the_continuation_is_said_on_both_pages() {
    let mut seen = 0;
    for (name, sheet) in sheets() {
        for index in 1..sheet.pages.len() {
            let before = sheet.text(index - 1).contains("continues on the next page");
            let after = sheet.text(index);
            if before {
                seen += 1;
                assert!(after.starts_with("Step\nValue\nSign\n"), "{name} page {}", index + 1);
                assert!(after.contains(", continued"), "{name} page {}", index + 1);
            }
        }
    }
    assert!(seen > 20, "{seen}");
}

#[test]
fn every_page_has_its_foot() {
    for (name, sheet) in sheets() {
        let total = sheet.pages.len();
        for index in 0..total {
            let text = sheet.text(index);
            let number = &sheet.meta.number;
            assert!(text.contains(number.as_str()), "{name} page {}", index + 1);
            assert!(text.contains("Printed 25 Nov 2026. Check that this is the current revision."), "{name}");
            assert!(text.contains(&format!(" of {total}")), "{name} page {}", index + 1);
        }
    }
}

/// Every torque of a fastener that the job tightens is in the text of the PDF, with its unit.
#[test]
fn every_torque_is_in_the_text_layer_with_its_unit() {
    for (name, job) in jobs() {
        let bytes = pdf::write(&lay_out(job, &choice(Paper::A4))).expect("writes");
        let document = lopdf::Document::load_mem(&bytes).expect("reads");
        let pages: Vec<u32> = document.get_pages().keys().copied().collect();
        let text = document.extract_text(&pages).expect("text").replace('\n', " ");
        let procedure = job.procedure();
        let touched = job.proof().ledger.touched.iter().filter(|touched| touched.tightened && !touched.sometimes);
        let mut torques = 0;
        for thing in touched.map(|touched| touched.thing) {
            let Some(fastening) = &procedure[thing].facts.fastening else { continue };
            for pass in &fastening.passes {
                let PassAction::Torque(spec) = &pass.action else { continue };
                let printed = cotter::quantity::print_spec(spec, System::Both).main;
                let plain = printed.replace(['\u{a0}', '\u{202f}'], " ");
                assert!(text.contains(&plain), "{name}: {plain} of {}", procedure[thing].name);
                torques += 1;
            }
        }
        assert!(torques > 0 || !has_torque(job), "{name}: no torque was looked for");
    }
}

fn has_torque(job: &CheckedProcedure) -> bool {
    let procedure = job.procedure();
    let mut acted: Vec<ThingId> = Vec::new();
    cotter::procedure::steps_of(&procedure.body, &mut |step| acted.extend(step.things().map(|thing| thing.thing)));
    let tight = job.proof().ledger.touched.iter().any(|touched| {
        touched.tightened
            && !touched.sometimes
            && procedure[touched.thing].facts.fastening.as_ref().is_some_and(|fast| fast.final_torque().is_some())
    });
    !acted.is_empty() && tight
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    for ((name, first), (_, second)) in jobs().iter().zip(&read_jobs()) {
        let write = |job: &CheckedProcedure| pdf::write(&lay_out(job, &choice(Paper::A4))).expect("writes");
        assert!(write(first) == write(second), "{name}");
    }
}

/// The digest tells of the words, not of the day and the paper.
#[test]
fn the_digest_is_of_the_content() {
    let (_, job) = &jobs()[0];
    let first = lay_out(job, &choice(Paper::A4)).meta.digest;
    let other_day = Choice { printed_on: "2027-01-01".to_owned(), ..choice(Paper::Letter) };
    assert_eq!(first, lay_out(job, &other_day).meta.digest);
    let other_units = Choice { units: System::Us, ..choice(Paper::A4) };
    assert_ne!(first, lay_out(job, &other_units).meta.digest);
}

#[test]
fn every_stage_is_in_the_outline() {
    for (name, job) in jobs() {
        let sheet = lay_out(job, &choice(Paper::A4));
        let mut titles = Vec::new();
        fn collect(bookmarks: &[cotter::sheet::page::Bookmark], titles: &mut Vec<String>) {
            for bookmark in bookmarks {
                titles.push(bookmark.title.to_lowercase());
                collect(&bookmark.children, titles);
            }
        }
        collect(&sheet.outline, &mut titles);
        for block in &job.procedure().body {
            if let Block::Stage(stage) = block {
                let wanted = stage.title.to_lowercase();
                assert!(titles.iter().any(|title| title.contains(&wanted)), "{name}: {wanted}");
            }
        }
    }
}

/// A figure that was handed over is drawn; one that was not leaves its caption and its path.
#[test]
fn a_figure_is_drawn_or_told_of() {
    let text = "job: Look at the cover\nnumber: FI-1\nrevision: 1\nmachine: Press\n\nstage: Look\n  \
                check cover: It is dry.\n    figure leak.svg: Where to look\n";
    let mut load = |_: &str| Ok(text.to_owned());
    let analysis = analyse("look.job", &mut load);
    let findings: Vec<&String> = analysis.diagnostics.iter().map(|finding| &finding.message).collect();
    let job = analysis.job.unwrap_or_else(|| panic!("{findings:?}"));
    let wanted = cotter::sheet::wanted_figures(job.procedure());
    assert_eq!(wanted.len(), 1);
    let (span, path) = &wanted[0];
    assert_eq!(path, "leak.svg");

    let told = lay_out(&job, &choice(Paper::A4));
    assert!((0..told.pages.len()).any(|page| told.text(page).contains("(leak.svg)")));

    let svg =
        br#"<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm"><circle cx="30" cy="30" r="9"/></svg>"#;
    let figure = std::sync::Arc::new(cotter::sheet::figure::read(svg).expect("a drawing"));
    let with_figure = Choice { figures: vec![(span.file, path.clone(), figure)], ..choice(Paper::A4) };
    let drawn = lay_out(&job, &with_figure);
    let is_figure = |item: &cotter::sheet::page::Item| matches!(&item.kind, Kind::Open(Tag::Figure(words)) if words == "Where to look");
    assert!(drawn.pages.iter().flat_map(|page| &page.items).any(is_figure));
    assert!((0..drawn.pages.len()).all(|page| !drawn.text(page).contains("(leak.svg)")));
}

/// The lines of the last look, from their name and how it is left.
fn last_look(job: &CheckedProcedure, choice: &Choice) -> String {
    let sheet = lay_out(job, choice);
    let text: Vec<String> = (0..sheet.pages.len()).map(|page| sheet.text(page)).collect();
    let text = text.join("\n").replace(['\u{a0}', '\u{202f}', '\n'], " ");
    let (_, look) = text.split_once("Last look").expect("a last look");
    look.split_once("Sign-off").expect("a sign-off").0.to_owned()
}

const GUARD: &str = "job: Renew the belt\nnumber: LL-1\nrevision: 1\nmachine: Press\n\noptions\n  side shield\n\n\
    parts\n  guard: held by guard screws\n  shield: held by shield screws, only with side shield\n  \
    belt: new, behind guard\n\n\
    fasteners\n  guard screws: 5 x M8x16, torque 24 N·m\n  shield screws: 2 x M6x12, torque 10 N·m\n\n\
    stage: Work\n  with side shield\n    remove shield\n  remove guard\n  remove belt\n  fit belt\n  refit guard\n  \
    with side shield\n    refit shield\n";

/// Counted by hand in the text of the job: 5 screws of the guard, 2 more where the shield is fitted.
#[test]
fn the_last_look_lists_what_the_job_touched() {
    let analysis = analyse("guard.job", &mut |_: &str| Ok(GUARD.to_owned()));
    let findings: Vec<&String> = analysis.diagnostics.iter().map(|finding| &finding.message).collect();
    let job = analysis.job.unwrap_or_else(|| panic!("{findings:?}"));
    let look = last_look(&job, &choice(Paper::A4));
    assert!(look.contains("7 fasteners out, 7 in"), "{look}");
    assert!(look.contains("Guard 5 × 24 N·m"), "{look}");
    assert!(look.contains("Shield, if fitted 2 × 10 N·m"), "{look}");
    assert!(look.contains("Belt, new fitted"), "{look}");

    let option = cotter::procedure::OptionId(0);
    let without = Choice { options: vec![(option, cotter::sheet::Chosen::No)], ..choice(Paper::A4) };
    let look = last_look(&job, &without);
    assert!(look.contains("Guard 5 × 24 N·m") && !look.contains("Shield"), "{look}");

    let with = Choice { options: vec![(option, cotter::sheet::Chosen::Yes)], ..choice(Paper::A4) };
    let look = last_look(&job, &with);
    assert!(look.contains("Shield 2 × 10 N·m") && !look.contains("if fitted"), "{look}");
}

/// The pads come off on both sides, the pads of one side at a time; only a bad disc or a bad caliper
/// brings work on the hose and the hose bolt.
#[test]
fn the_last_look_of_a_demo_marks_what_is_done_on_some_ways() {
    let (_, job) = jobs().iter().find(|(name, _)| name == "front-brake-pads.job").expect("the demo");
    let look = last_look(job, &choice(Paper::A4));
    assert!(look.contains("Brake hose, if worked on"), "{look}");
    assert!(look.contains("Brake guard, if fitted"), "{look}");
    assert!(look.contains("Holding screws"), "{look}");
    assert!(!look.contains("Brake pads, new, if"), "{look}");
}
