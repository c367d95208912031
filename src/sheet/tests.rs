//! A made-up sheet with one of everything, laid out; the rules of the page as checks over its pages.

use super::content::*;
use super::draw::dial::Direction;
use super::draw::plan::{Look, Shape, Spot};
use super::draw::sign::Picture;
use super::page::{Area, Day, Item, Kind, Meta, Paper, Sheet};
use super::style::Grid;

fn words(text: &str) -> Words {
    Words::plain(text, None)
}

fn tick(name: &str, amount: &str) -> Tick {
    Tick { words: words(name), amount: amount.to_owned(), ..Tick::default() }
}

fn step(number: usize, act: &str) -> Step {
    Step { number, act: words(act), signs: vec![String::new()], ..Step::default() }
}

fn row(depth: usize, step: Step) -> Row {
    Row { depth, kind: RowKind::Step(Box::new(step)) }
}

fn bolts(number: usize) -> Step {
    let places = crate::trade::layout::Layout::Circle.places(7).unwrap();
    let spots = places.into_iter().enumerate().map(|(index, (x, y))| Spot {
        x: x as f32,
        y: y as f32,
        mark: (index + 1).to_string(),
        look: if index == 3 { Look::Black } else { Look::Plain },
    });
    Step {
        prose: Some(words("All seven must run in by hand; the long one sits at the bottom.")),
        details: vec![
            Detail { label: "use".into(), words: words("thread-locker on the last two threads") },
            Detail {
                label: "why".into(),
                words: words(
                    "The case is aluminium. A bolt that is started with a wrench crosses its thread, and the housing is lost.",
                ),
            },
        ],
        drawings: vec![Drawing::Plan {
            spots: spots.collect(),
            shape: Shape::Circle,
            caption: "seen from the rear; black: M8 × 60".into(),
            words: "order of tightening".into(),
            ordered: true,
        }],
        values: vec![
            Value::Large("80\u{a0}N·m".into()),
            Value::Small(["59\u{a0}lbf·ft", "7 × M12 × 40", "hex 18\u{a0}mm"].map(String::from).into()),
            Value::Pass { number: 1, main: "40\u{a0}N·m".into(), beside: vec!["30\u{a0}lbf·ft".into()] },
            Value::Ticks(7),
            Value::Pass {
                number: 2,
                main: "80\u{a0}N·m".into(),
                beside: vec!["59\u{a0}lbf·ft".into(), "with vehicle lowered".into()],
            },
            Value::Ticks(7),
        ],
        ..step(number, "Tighten the pump bolts in the order shown, in two passes.")
    }
}

/// A job of `stages` stages.
pub(crate) fn sample(stages: usize) -> Content {
    let warning = Message {
        signal: Signal::Warning,
        picture: Picture::Jet,
        says: Words::default()
            .and("Fluid under pressure. ", true)
            .and("A jet of oil goes through skin; the wound looks small and is not.", false),
        avoid: words("Relieve the pressure first. Look for leaks with a card."),
    };
    let messages = |signal, picture| vec![Message { signal, picture, ..warning.clone() }];
    let one = |title: &str, number| {
        let mut rows = vec![
            row(0, step(1, "Let the engine cool.")),
            row(
                0,
                Step {
                    messages: vec![warning.clone()],
                    ..step(2, "Disconnect the suction hose, into the tray of 5 L.")
                },
            ),
            row(0, bolts(3)),
            row(
                0,
                Step {
                    drawings: vec![Drawing::Direction {
                        direction: Direction::Clock(270),
                        words: words("Inlet port at 9 o’clock"),
                        label: "orient".into(),
                    }],
                    values: vec![Value::Small(vec!["4 × M10 × 25".into(), "hex 16\u{a0}mm".into()]), Value::Ticks(24)],
                    ..step(4, "Place the new hydraulic pump, with a helper.")
                },
            ),
            row(
                0,
                Step {
                    values: vec![
                        Value::Large("2 – 4\u{a0}mm".into()),
                        Value::Field { name: String::new(), unit: "mm".into() },
                        Value::Field { name: "left".into(), unit: "mm".into() },
                        Value::Named("left".into(), 4),
                        Value::Named("right".into(), 4),
                    ],
                    signs: vec![String::new(), super::catalogue::WITNESS.into()],
                    ..step(5, "Measure the coupling gap.")
                },
            ),
        ];
        rows.push(Row {
            depth: 1,
            kind: RowKind::Fork(Fork { words: words("If the pump coupling is bad"), ticked: true, ..Fork::default() }),
        });
        rows.push(row(1, step(6, "Fit the new pump coupling.")));
        rows.push(Row {
            depth: 2,
            kind: RowKind::Fork(Fork {
                words: words("Until the end float is within its limits, at most 4 times"),
                tries: 4,
                below: Some(words("If it never is: report to the foreman.")),
                ..Fork::default()
            }),
        });
        rows.push(row(
            2,
            Step { messages: messages(Signal::Danger, Picture::StoredSpring), ..step(7, "Cage the spring.") },
        ));
        rows.push(row(
            2,
            Step { messages: messages(Signal::Caution, Picture::HotSurface), ..step(8, "Remove the hub cap.") },
        ));
        rows.push(row(2, Step { messages: messages(Signal::Notice, Picture::General), ..step(9, "Clean the seat.") }));
        rows.push(Row {
            depth: 1,
            kind: RowKind::Fork(Fork { words: words("Otherwise"), ticked: true, ..Fork::default() }),
        });
        rows.push(Row {
            depth: 1,
            kind: RowKind::Stop {
                words: words("The shaft is not the right one. Compare the part numbers."),
                open: vec!["hydraulic oil drained".into()],
                number: Some(10),
            },
        });
        Stage {
            number,
            title: words(title),
            state: "engine cold · arms locked · oil drained · battery off".into(),
            rows,
            ..Stage::default()
        }
    };
    let hazard = |name: &str, picture, line: &str| Hazard { name: name.into(), picture, line: line.into() };
    Content {
        meta: Meta {
            title: "Renew the hydraulic pump".into(),
            number: "HY-207".into(),
            revision: "3".into(),
            machine: "Osier 20 compact loader".into(),
            language: "en".into(),
            digest: "7f3a91c2".into(),
            printed_on: Day::parse("2026-11-25"),
        },
        head: Head {
            title: words("Renew the hydraulic pump"),
            machine: "Osier 20 compact loader".into(),
            ways: vec![
                Way { words: "pump:".into(), choices: vec!["single".into(), "tandem".into()] },
                Way { words: "side guard fitted".into(), choices: vec![] },
            ],
            changed: Some(words("Second pass of the pump bolts raised.")),
            fields: Vec::new(),
            number: "HY-207 · rev 3".into(),
            digest: "7f3a 91c2".into(),
            code: "HY-207 rev 3 7f3a91c2".into(),
        },
        before: Before {
            reason: Some(words(
                "The lift is slow with warm oil and the relief valve holds its pressure, or the shaft seal weeps.",
            )),
            rule_out: vec![
                words("Oil below the mark."),
                words("A blocked suction strainer, or air drawn in at the suction hose."),
            ],
            facts: vec![
                ("Time · people".into(), "3 h 15 min · 2".into()),
                ("Who".into(), "Apprentice, supervised".into()),
            ],
            hazards: vec![
                hazard("Fluid under pressure", Picture::Jet, "A jet goes through skin"),
                hazard("Crush", Picture::Crush, "Arms on the strut"),
                hazard("Exhaust gas", Picture::Gas, "Run it in the open"),
                hazard("Heavy load", Picture::HeavyLoad, "Pump 14 kg"),
                hazard("Hot surface", Picture::HotSurface, "Let it cool"),
            ],
            deference: vec![super::catalogue::DEFERENCE.into()],
        },
        ready: vec![
            TickList {
                title: "New parts".into(),
                ticks: vec![
                    tick("Hydraulic pump", "1 · 20-3300"),
                    tick("Pump gasket", "1"),
                    tick("Return filter", "1"),
                    tick("Pressure pipe seal", "1"),
                ],
            },
            TickList { title: "May be needed".into(), ticks: vec![tick("Pump coupling", "1 · 20-3318")] },
            TickList {
                title: "Fluids".into(),
                ticks: vec![Tick {
                    below: Some(words("HV 46 mineral oil, poured through a 10 µm filter")),
                    ..tick("Hydraulic oil", "31 L")
                }],
            },
            TickList {
                title: "Supplies".into(),
                ticks: vec![tick("Thread-locker", ""), tick("Lint-free rag", ""), tick("Fine emery cloth", "")],
            },
            TickList {
                title: "Tools".into(),
                ticks: vec![
                    tick("Sockets 13 · 16 · 18 · 27 mm", ""),
                    tick("Torque wrench for 5 – 95 N·m", ""),
                    tick("Line spanner 32 mm, open spanner 36 mm", ""),
                    tick("Arm strut with pin", ""),
                ],
            },
        ],
        stages: (0..stages).map(|index| one("Put the pump on", Some(index + 1))).collect(),
        last_look: (0..13)
            .map(|index| Tick { strong: true, ..tick(&format!("Side guard {index}"), "5 bolts, 42 N·m") })
            .collect(),
        last_look_sum: "17 fasteners out, 17 in".into(),
        later: vec![Slip {
            title: words("After 10 h: Look again"),
            stage: Stage { rows: vec![row(0, step(1, "Check the oil level."))], ..Stage::default() },
            job: "HY-207 · revision 3 · Osier 20 compact loader".into(),
        }],
        printed: "Printed 25 Nov 2026. Check that this is the current revision.".into(),
    }
}

pub(crate) fn areas(sheet: &Sheet, page: usize) -> Vec<(String, Area)> {
    let text = |item: &Item| match &item.kind {
        Kind::Text(run) if !run.text().trim().is_empty() => Some((run.text(), run.area())),
        _ => None,
    };
    sheet.pages[page].items.iter().filter_map(text).collect()
}

/// Every rule of the page that can be read off the page model.
pub(crate) fn check_rules(sheet: &Sheet) {
    let (width, height) = sheet.paper.size();
    for (index, page) in sheet.pages.iter().enumerate() {
        let name = format!("{} page {}", sheet.meta.title, index + 1);
        for item in &page.items {
            let Some(area) = item.area() else { continue };
            assert!(area.x >= 19.0 && area.right() <= width - 9.5, "{name}: {:?}", item.kind);
            assert!(area.y >= 9.5 && area.bottom() <= height - 9.5, "{name}: {:?}", item.kind);
        }
        let texts = areas(sheet, index);
        for (at, (text, area)) in texts.iter().enumerate() {
            for (other, second) in &texts[at + 1..] {
                assert!(!area.overlaps(second, 0.15), "{name}: {text:?} on {other:?}");
            }
        }
        let foot = Grid::of(sheet.paper).foot.y;
        assert!(texts.iter().any(|(_, area)| area.y > foot), "{name} has no foot");
        let body = texts.iter().filter(|(_, area)| area.y < foot).count();
        assert!(body > 0, "{name} is empty");
    }
    assert_eq!(sheet.missing, Vec::new(), "signs that the fonts lack");
}

#[test]
fn the_rules_of_the_page_hold_at_every_length() {
    for paper in [Paper::A4, Paper::Letter] {
        for stages in 1..6 {
            check_rules(&super::layout::pages(&sample(stages), paper));
        }
    }
}

#[test]
fn a_page_that_goes_on_says_so_and_repeats_the_heads() {
    let sheet = super::layout::pages(&sample(4), Paper::A4);
    let mut continued = 0;
    for page in 1..sheet.pages.len() {
        let text = sheet.text(page);
        if !text.contains(", continued") {
            continue;
        }
        continued += 1;
        assert!(text.starts_with("Step\nValue\nSign\n"), "page {}: {text}", page + 1);
        assert!(sheet.text(page - 1).contains("continues on the next page"), "page {page}");
    }
    assert!(continued >= 2);
}

/// A joint of 400 bolts in four passes, and an act told in forty paragraphs.
#[test]
fn a_step_longer_than_a_page_breaks_between_its_parts() {
    let mut content = sample(1);
    let mut values = vec![Value::Large("450\u{a0}N·m".into())];
    for number in 1..=4 {
        values.push(Value::Pass { number, main: "450\u{a0}N·m".into(), beside: Vec::new() });
        values.push(Value::Ticks(400));
    }
    let detail = Detail { label: "note".into(), words: words(&"A long note that takes up several lines. ".repeat(12)) };
    let long = Step { details: vec![detail; 40], ..step(2, "Read all of this.") };
    content.stages[0].rows = vec![row(0, Step { values, ..step(1, "Tighten the flange bolts.") }), row(0, long)];
    for paper in [Paper::A4, Paper::Letter] {
        let sheet = super::layout::pages(&content, paper);
        check_rules(&sheet);
        let boxes = sheet.pages.iter().flat_map(|page| &page.items).filter(|item| match &item.kind {
            Kind::Rect { area, .. } => (area.width - super::style::BOX).abs() < 0.01 && area.height == area.width,
            _ => false,
        });
        assert!(boxes.count() >= 1600);
    }
}
