//! Orders and passes of tightening, as an author writes them: text in, findings and the words of the sheet out.

use cotter::analysis::{Analysis, analyse_texts};
use cotter::diagnostic::Severity;
use cotter::sheet::page::{Kind, Tag};
use cotter::sheet::{Choice, lay_out};

fn told(analysis: &Analysis) -> Vec<String> {
    let real = analysis.diagnostics.iter().filter(|d| d.severity != Severity::Advice);
    real.map(|d| format!("{}: {}", d.rule, d.message)).collect()
}

/// A cover on a pump with these bolts, off and on again.
fn job(bolts: &str, off: &str, on: &str) -> String {
    format!(
        "job: Reseat the pump cover\n\nparts\n  pump cover: held by bolts\n\nfasteners\n  bolts: {bolts}\n\nstage: Off and on\n  {off}\n  {on}\n"
    )
}

fn check(text: &str) -> Analysis {
    analyse_texts(&[("job.job", text)])
}

/// What is told of these bolts.
fn faults(bolts: &str) -> Vec<String> {
    told(&check(&job(bolts, "remove pump cover", "refit pump cover")))
}

/// The words of the sheet in the order in which they are read, with what stands for its figures; breaks are blanks.
fn sheet(text: &str) -> String {
    let analysis = check(text);
    let Some(job) = &analysis.job else { panic!("has errors: {:#?}", told(&analysis)) };
    let choice = Choice { printed_on: "2026-11-25".to_owned(), ..Choice::default() };
    let mut words = Vec::new();
    for page in &lay_out(job, &choice).pages {
        for item in &page.items {
            match &item.kind {
                Kind::Text(run) => words.push(run.text()),
                Kind::Open(Tag::Figure(alternative)) => words.push(format!("[{alternative}]")),
                _ => {}
            }
        }
    }
    words.join(" ").split(|c: char| c.is_whitespace()).filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ")
}

fn refitted(bolts: &str) -> String {
    sheet(&job(bolts, "remove pump cover", "refit pump cover"))
}

/// ASME PCC-1 table 2 in its form of 2010: 30, 70, 100 %, then 100 % round the circle; rounded down to what a wrench shows.
#[test]
fn in_three_passes_then_once_round() {
    let bolts =
        "8 x M12x40, class 8.8, hex 18 mm, torque 80 N·m, in 3 passes then once round, order cross, layout circle";
    assert_eq!(faults(bolts), Vec::<String>::new());
    let sheet = refitted(bolts);
    for words in [
        "24 N·m",
        "30 %",
        "56 N·m",
        "70 %",
        "30 % crosswise",
        "round the circle until none turns",
        "in the order shown",
        "[Positions in the order of tightening: 1, 5, 3, 7, 2, 6, 4, 8]",
    ] {
        assert!(sheet.contains(words), "{words}: {sheet}");
    }
}

#[test]
fn shares_in_pass_lines() {
    // Of the torque beside them, and of the last pass that states one.
    let beside = "6 x M8x30, class 8.8, hex 13 mm, torque 24 N·m, order spiral, layout rows 2 x 3\n    pass: 50 %\n    pass: 100 %";
    let last = "6 x M8x30, class 8.8, hex 13 mm, order spiral, layout rows 2 x 3\n    pass: 50 %\n    pass: 24 N·m";
    for bolts in [beside, last] {
        assert_eq!(faults(bolts), Vec::<String>::new());
        let sheet = refitted(bolts);
        assert!(sheet.contains("12 N·m") && sheet.contains("50 %") && sheet.contains("24 N·m"), "{sheet}");
        assert!(!sheet.contains("100 %"), "{sheet}");
    }
    let check = format!("{beside}\n    pass: check 100 %, row");
    assert_eq!(faults(&check), Vec::<String>::new());
    assert!(refitted(&check).contains("check 24 N·m"));
    // An angle after the torque.
    let angle = "4 x M10x60, class 10.9, hex 16 mm, torque 50 N·m\n    pass: 50 %\n    pass: 100 %\n    pass: turn 90°";
    assert_eq!(faults(angle), Vec::<String>::new());
    // A range is shared out from its lower end.
    let range = "4 x M10x60, class 8.8, hex 16 mm, torque 40 to 48 N·m, in 2 passes, order cross, layout circle";
    assert_eq!(faults(range), Vec::<String>::new());
    let sheet = refitted(range);
    assert!(sheet.contains("20 N·m") && sheet.contains("40 – 48 N·m"), "{sheet}");
}

#[test]
fn shares_that_can_not_be() {
    let of = |lines: &str| faults(&format!("4 x M8x30, class 8.8, hex 13 mm{lines}"));
    for (lines, rule, words) in [
        ("\n    pass: 30 %\n    pass: 100 %", "torque-missing", "30 % of which torque?"),
        (", torque 24 N·m\n    pass: 50 %\n    pass: 120 %", "torque-conflict", "a pass at 120 % of the torque"),
        (", torque 24 N·m\n    pass: 0 %\n    pass: 100 %", "torque-conflict", "a pass at 0 % of the torque"),
        (", torque 24 N·m\n    pass: 70 %\n    pass: 30 %\n    pass: 100 %", "torque-conflict", "does not rise"),
        (", torque 24 N·m\n    pass: 50 %\n    pass: 70 %", "torque-conflict", "no pass reaches the torque of 24 N·m"),
        (", torque 24 N·m\n    pass: 12 N·m\n    pass: 24 N·m", "torque-conflict", "has a torque and `pass` lines"),
        (", torque 12 N·m then 24 N·m, in 2 passes", "torque-conflict", "its stages are stated too"),
        (", torque 24 N·m, in 2 passes\n    pass: 50 %\n    pass: 100 %", "torque-conflict", "and `pass` lines"),
        (", hand tight, in 2 passes", "torque-conflict", "no torque to share out"),
        (", torque 24 N·m, in 0 passes", "bad-syntax", "nothing is worked in so many passes"),
        (", torque 24 N·m, in 40 passes", "bad-syntax", "nothing is worked in so many passes"),
        (", torque 24 N·m, in 99999999999 passes", "bad-syntax", "nothing is worked in so many passes"),
        (", torque 24 N·m, order 1 2 3 99999999999", "order-incomplete", "leaves out 4"),
        (", torque 24 N·m, layout rows 99999999999 x 2", "order-incomplete", "places for 4 fasteners"),
    ] {
        let told = of(lines);
        assert!(told.len() == 1 && told[0].starts_with(rule) && told[0].contains(words), "{lines}: {told:#?}");
    }
    // Twice the whole is right in another order, and only then.
    assert_eq!(of(", torque 24 N·m\n    pass: 100 %\n    pass: 100 %, round the circle"), Vec::<String>::new());
    assert_eq!(of(", torque 24 N·m\n    pass: 100 %\n    pass: 100 %").len(), 1);
}

#[test]
fn variants_go_on_with_the_shares() {
    let text = |bolts: &str| {
        job(bolts, "remove pump cover", "refit pump cover").replace("\n\nparts", "\n\noptions\n  heavy pump\n\nparts")
    };
    let torque = "8 x M10x30, class 8.8, hex 16 mm, torque 40 N·m, order cross, layout circle\n    pass: 50 %\n    pass: 100 %\n    with heavy pump\n      torque 48 N·m";
    let shares = "8 x M10x30, class 8.8, hex 16 mm, torque 40 N·m, in 2 passes, order cross, layout circle\n    with heavy pump\n      torque 48 N·m";
    for bolts in [torque, shares] {
        assert_eq!(told(&check(&text(bolts))), Vec::<String>::new());
        let sheet = sheet(&text(bolts));
        for words in ["20 N·m", "40 N·m", "24 N·m", "48 N·m"] {
            assert!(sheet.contains(words), "{words}: {sheet}");
        }
    }
}

#[test]
fn a_step_works_the_passes_out() {
    let bolts = "8 x M12x40, class 8.8, hex 18 mm, torque 80 N·m, order cross, layout circle";
    let on = "place pump cover\n  start bolts\n  tighten bolts, in 3 passes";
    let sheet = sheet(&job(bolts, "remove pump cover", on));
    for words in ["24 N·m", "30 %", "56 N·m", "80 N·m", "in 3 passes"] {
        assert!(sheet.contains(words), "{words}: {sheet}");
    }
    for passes in ["in 9 passes", "in 0 passes"] {
        let told = told(&check(&job(bolts, "remove pump cover", &on.replace("in 3 passes", passes))));
        assert_eq!(told, ["bad-syntax: nothing is worked in so many passes"]);
    }
    let slow = job(bolts, "loosen bolts, in 9 passes\n  remove pump cover", "refit pump cover");
    assert_eq!(told(&check(&slow)), Vec::<String>::new());
    let staged = bolts.replace("80 N·m", "40 N·m then 80 N·m");
    let told = told(&check(&job(&staged, "remove pump cover", on)));
    assert!(told.len() == 1 && told[0].contains("in 3 passes here, 2 stages"), "{told:?}");
}

/// An order that the step gives itself is the one that is drawn.
#[test]
fn the_order_of_a_step_is_drawn() {
    let bolts = "4 x M12x40, class 8.8, hex 18 mm, torque 80 N·m, order cross, layout rows 2 x 2";
    let on = "place pump cover\n  start bolts\n  tighten bolts, order 2 3 1 4";
    let sheet = sheet(&job(bolts, "remove pump cover", on));
    assert!(sheet.contains("[Positions in the order of tightening: 2, 3, 1, 4]"), "{sheet}");
}

#[test]
fn orders_in_the_words_of_the_shop() {
    let cross = "8 x M12x40, class 8.8, hex 18 mm, torque 80 N·m, crosswise, in three passes, layout circle";
    assert_eq!(faults(cross), Vec::<String>::new());
    assert!(refitted(cross).contains("[Positions in the order of tightening: 1, 5, 3, 7, 2, 6, 4, 8]"));
    let bolts = "6 x M12x40, class 8.8, hex 18 mm, torque 80 N·m, order cross, layout circle";
    let on = "place pump cover\n  start bolts\n  tighten bolts\n  tighten bolts, again, round the circle";
    let sheet = sheet(&job(bolts, "remove pump cover", on));
    assert!(sheet.contains("[Positions in the order of tightening: 1, 4, 2, 5, 3, 6]"), "{sheet}");
    assert!(sheet.contains("[Positions in the order of tightening: 1, 2, 3, 4, 5, 6]"), "{sheet}");
    let missing = faults("8 x M12x40, class 8.8, hex 18 mm, torque 80 N·m in 3 passes");
    assert_eq!(missing, ["bad-syntax: `in 3 passes` is a clause of its own"]);
}

/// Common practice: heads and covers are loosened in the reverse of the order of tightening.
#[test]
fn loosening_goes_the_other_way_by_itself() {
    let long = "10 x M12x80, class 10.9, hex 18 mm, torque 100 N·m, order cross, layout rows 2 x 5";
    let on = "refit pump cover";
    let by_itself = sheet(&job(long, "remove pump cover", on));
    assert!(by_itself.contains("[Positions in the order of loosening: 6, 5, 10, 1, 7, 4, 9, 2, 8, 3]"), "{by_itself}");
    assert!(by_itself.contains("[Positions in the order of tightening: 3, 8, 2, 9, 4, 7, 1, 10, 5, 6]"), "{by_itself}");
    // Loosened already, they come out as they come.
    let twice = sheet(&job(long, "loosen bolts, in reverse order, in 3 passes\n  remove pump cover", on));
    assert_eq!(twice.matches("order of loosening:").count(), 1, "{twice}");
    let small = sheet(&job(
        "6 x M8x20, class 8.8, hex 13 mm, torque 24 N·m, order 3 4 2 5 1 6, layout rows 2 x 3",
        "remove pump cover",
        on,
    ));
    assert!(small.contains("Loosen in the reverse of the order of tightening."), "{small}");
    let circle = "6 x M14x1.5, class 8.8, hex 21 mm, torque 120 N·m, order cross, layout circle";
    let wheel = sheet(&job(circle, "remove pump cover", on));
    assert!(wheel.contains("Loosen crosswise."), "{wheel}");
    let some = "remove 2 of bolts\n  remove pump cover";
    let some = sheet(&job(long, some, on));
    // Which two they are nobody knows: the plan belongs to the rest.
    assert_eq!(some.matches("order of loosening:").count(), 1, "{some}");
    for none in [
        "3 x M8x20, class 8.8, hex 13 mm, torque 24 N·m, order cross, layout circle",
        "8 x M8x20, class 8.8, hex 13 mm, torque 24 N·m, order row, layout circle",
        "8 x M8x20, class 8.8, hex 13 mm, torque 24 N·m",
    ] {
        let sheet = sheet(&job(none, "remove pump cover", on));
        assert!(!sheet.contains("oosen"), "{sheet}");
    }
}

/// Beside a plan the positions of a pass are called by what stands in the plan.
#[test]
fn positions_are_called_as_the_plan_shows_them() {
    let bolts = |positions: &str| {
        format!(
            "6 x M10x80, class 10.9, hex 16 mm, order 3 4 2 5 1 6, layout rows 2 x 3, positions 1 6 are 2 x M10x120\n    pass: 20 N·m\n    pass: 40 N·m\n    pass: 50 N·m, positions {positions}"
        )
    };
    // Positions 1 and 6 are the fifth and sixth in turn, 3 and 4 the first two.
    let sheet = refitted(&bolts("6 1"));
    assert!(sheet.contains("the black ones"), "{sheet}");
    assert!(sheet.contains("Black: M10 × 120 (numbers 5 and 6)."), "{sheet}");
    assert!(sheet.contains("The others: M10 × 80."), "{sheet}");
    assert!(sheet.contains("4 × M10 × 80 2 × M10 × 120") || sheet.contains("4 × M10 × 80 · 2 × M10 × 120"), "{sheet}");
    // What the others take is the large value; the black ones are told apart.
    assert!(sheet.contains("6 × 40 N·m, 2 of them 50 N·m"), "{sheet}");
    let sheet = refitted(&bolts("3 4"));
    assert!(sheet.contains("numbers 1 and 2") && !sheet.contains("positions 3"), "{sheet}");
}

/// Where the order can't be drawn it is told in words.
#[test]
fn an_order_without_a_plan_is_told_in_words() {
    let bolts = |order: &str| format!("4 x M8x20, class 8.8, hex 13 mm, torque 24 N·m, order {order}");
    assert!(refitted(&bolts("cross")).contains("Crosswise, opposite ones one after the other"));
    assert!(refitted(&bolts("1 3 2 4")).contains("Positions 1, 3, 2, 4"));
    let many = "120 x M8x20, class 8.8, hex 13 mm, torque 24 N·m, order cross, layout circle";
    let sheet = refitted(many);
    assert!(sheet.contains("Crosswise") && !sheet.contains("[Positions"), "{sheet}");
}

#[test]
fn orders_that_are_not_complete() {
    let of = |clauses: &str| faults(&format!("4 x M8x20, class 8.8, hex 13 mm, torque 24 N·m, {clauses}"));
    for (clauses, words) in [
        ("order 1 3 2 3", "leaves out 4, has 3 more than once"),
        ("order 1 2 3 4 5", "names 5 of only 4"),
        ("order 0 1 2 3", "names 0 of only 4"),
        ("order 1, 3, 2, 3", "leaves out 4"),
        ("order cross, layout rows 2 x 3", "6 places for 4"),
        ("order cross, layout at 0 0; 1 1; 2 2", "3 places for 4"),
        ("order cross, layout rows 0 x 4", "0 places for 4"),
        ("positions 1 2 are 3 x M8x40", "2 positions are named for 3"),
        ("positions 4 5 are 2 x M8x40", "position 5 is named"),
        ("positions 2 2 are 2 x M8x40", "position 2 is named more than once"),
        ("positions 1 2 are 2 x M8x40, positions 2 3 are 2 x M8x50", "position 2 is named for two sizes"),
        ("order cross, layout at 0 0; 10 0; 10 0; 0 10", "two positions lie on one spot"),
    ] {
        let told = of(clauses);
        assert!(
            told.len() == 1 && told[0].starts_with("order-incomplete") && told[0].contains(words),
            "{clauses}: {told:#?}"
        );
    }
    for clauses in
        ["order 1, 3, 2, 4", "order 4 3 2 1, layout rows 2 x 2", "order cross, layout circle", "order spiral"]
    {
        assert_eq!(of(clauses), Vec::<String>::new(), "{clauses}");
    }
    for few in ["1 x M8x20", "2 x M8x20"] {
        let bolts = format!("{few}, class 8.8, hex 13 mm, torque 24 N·m, order cross, layout circle");
        assert_eq!(faults(&bolts), Vec::<String>::new(), "{bolts}");
    }
}

#[test]
fn orders_by_member_and_by_variant() {
    let sided = "job: Both covers\n\nsets\n  side: left, right\n\nparts\n  cover: each side, held by bolts\n\nfasteners\n  bolts: 4 x M8x20, each side, class 8.8, hex 13 mm, torque 24 N·m, order 1 3 2 4, layout circle\n\nstage: Off and on\n  remove cover\n  refit cover\n";
    assert_eq!(told(&check(sided)), Vec::<String>::new());
    let wrong = sided.replace("order 1 3 2 4", "order 1 3 2 4 5 6 7 8");
    let said = told(&check(&wrong));
    assert!(said.len() == 1 && said[0].contains("names 5, 6, 7 and 8 of only 4"), "{said:?}");
    // The count differs by variant: the order must fit each.
    let base = "4 x M8x20, class 8.8, hex 13 mm, torque 24 N·m, order 1 3 2 4, layout circle\n    with heavy pump\n      6 x M8x20";
    let options = |bolts: &str| {
        job(bolts, "remove pump cover", "refit pump cover").replace("\n\nparts", "\n\noptions\n  heavy pump\n\nparts")
    };
    let said = told(&check(&options(base)));
    assert!(said.len() == 1 && said[0].contains("leaves out 5 and 6"), "{said:?}");
    let mended = format!("{base}, order 1 4 2 5 3 6");
    assert_eq!(told(&check(&options(&mended))), Vec::<String>::new());
    // Of a pass, and of some positions only.
    let pass = |order: &str| {
        faults(&format!(
            "6 x M8x20, class 8.8, hex 13 mm, torque 24 N·m, order cross, layout circle\n    pass: 50 %\n    pass: 100 %, order {order}"
        ))
    };
    assert_eq!(pass("1 4 2 5 3 6"), Vec::<String>::new());
    assert!(pass("1 4 2 5 3 3")[0].contains("the order of this stage leaves out 6"), "{:?}", pass("1 4 2 5 3 3"));
    let some = |order: &str| {
        let on = format!(
            "place pump cover\n  start bolts\n  tighten positions 1 2 3 of bolts, order {order}\n  tighten bolts"
        );
        job("6 x M8x20, class 8.8, hex 13 mm, torque 24 N·m, order cross, layout circle", "remove pump cover", &on)
    };
    assert_eq!(told(&check(&some("2 3 1"))), Vec::<String>::new());
    assert!(sheet(&some("2 3 1")).contains("[Positions in the order of tightening: 2, 3, 1]"));
    let said = told(&check(&some("2 3 4")));
    assert!(said.len() == 1 && said[0].contains("not one of the positions of this step"), "{said:?}");
    // In a step.
    let bolts = "4 x M8x20, class 8.8, hex 13 mm, torque 24 N·m, layout circle";
    let on = |order: &str| format!("place pump cover\n  start bolts\n  tighten bolts, order {order}");
    assert_eq!(told(&check(&job(bolts, "remove pump cover", &on("1 3 2 4")))), Vec::<String>::new());
    let said = told(&check(&job(bolts, "remove pump cover", &on("1 3 2 2"))));
    assert!(said.len() == 1 && said[0].contains("leaves out 4"), "{said:?}");
}

/// A stage that waits for the vehicle on its wheels is not printed with boxes while it hangs; it is where it is given.
#[test]
fn what_waits_is_printed_where_it_is_due() {
    let job = |nuts: &str| {
        format!(
            "job: Change the wheel\n\nparts\n  road wheel: held by wheel nuts\n\nfasteners\n  wheel nuts: 6 x M14x1.5, hex 21 mm, order cross, layout circle{nuts}\n\n\
             stage: Off\n  chock rear wheels\n  raise front, on stands\n  remove road wheel\n\nstage: On\n  refit road wheel\n  lower front\n  tighten wheel nuts\n  unchock rear wheels\n"
        )
    };
    let between = |sheet: &str, from: &str, to: &str| -> String {
        let start = sheet.find(from).unwrap_or_else(|| panic!("`{from}` is missing: {sheet}"));
        let end = sheet[start..].find(to).map_or(sheet.len(), |end| start + end);
        sheet[start..end].to_owned()
    };
    let stages = sheet(&job("\n    pass: 80 N·m\n    pass: 160 N·m, at vehicle lowered"));
    let (on, down) = (
        between(&stages, "Refit the road wheel", "Lower the front"),
        between(&stages, "Tighten the wheel nuts", "Unchock"),
    );
    assert!(
        on.contains("80 N·m") && !on.contains("160 N·m") && on.contains("the rest later, with vehicle lowered"),
        "{on}"
    );
    assert!(down.contains("160 N·m") && !down.contains("80 N·m"), "{down}");
    let whole = sheet(&job(", torque 160 N·m, tighten at vehicle lowered"));
    let (on, down) = (
        between(&whole, "Refit the road wheel", "Lower the front"),
        between(&whole, "Tighten the wheel nuts", "Unchock"),
    );
    assert!(on.contains("by hand") && !on.contains("160 N·m"), "{on}");
    assert!(down.contains("160 N·m"), "{down}");
}
