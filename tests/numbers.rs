//! The rules of numbers on whole declarations: what a good technician stops at is told, and nothing else.

use cotter::analysis::analyse_texts;

/// A job that takes a cover with this fastener off and puts it back.
fn job(fastener: &str) -> String {
    format!(
        "job: Reseat the cover\nnumber: N-1\nrevision: 1\n\nparts\n  cover: held by cover bolts\n\nfasteners\n  cover bolts: {fastener}\n\n\
         stage: Off and on\n  remove cover\n  refit cover\n"
    )
}

/// The rules of numbers that speak, with their messages.
fn told(text: &str) -> Vec<String> {
    analyse_texts(&[("cover.job", text)])
        .diagnostics
        .into_iter()
        .filter(|d| ["torque-implausible", "key-mismatch"].contains(&d.rule))
        .map(|d| format!("{}: {} | {}", d.rule, d.message, d.help))
        .collect()
}

/// Torques of VDI 2230-1 at friction 0.08 and 0.16 for the classes (a catalogue's table), and the half of them, which
/// handbooks give soft gaskets: none is implausible. Ten times and a twentieth of them are.
#[test]
fn the_torques_of_the_table_are_plausible() {
    for (thread, class, low, high) in [
        ("M5", "10.9", 6.5, 10.4),
        ("M6", "8.8", 7.7, 12.3),
        ("M8", "10.9", 27.2, 43.8),
        ("M10", "8.8", 36.0, 59.0),
        ("M12", "12.9", 108.0, 175.0),
        ("M16", "8.8", 153.0, 252.0),
        ("M24", "12.9", 882.0, 1458.0),
        ("M10x1.25", "10.9", 55.0, 92.0),
        ("M14x1.5", "12.9", 179.0, 301.0),
    ] {
        for plausible in [low, high, low / 2.0] {
            let text = job(&format!("4 x {thread}, class {class}, torque {plausible:.1} N·m"));
            assert_eq!(told(&text), Vec::<String>::new(), "{thread} {class} {plausible}");
        }
        for (wrong, way) in [(high * 10.0, "too much"), (low / 20.0, "too little")] {
            let text = job(&format!("4 x {thread}, class {class}, torque {wrong:.2} N·m"));
            let told = told(&text);
            assert!(
                told.len() == 1 && told[0].contains(way) && told[0].contains("VDI 2230-1"),
                "{thread} {wrong}: {told:?}"
            );
        }
    }
}

/// FAA AC 43.13-1B table 7-1, nuts in tension, oil-free cadmium-plated bolts (about grade 5 strength): plausible as they are.
#[test]
fn the_torques_of_the_faa_table_are_plausible() {
    for (thread, torque) in [
        ("10-32", "20 to 25"),
        ("1/4-28", "50 to 70"),
        ("3/8-24", "160 to 190"),
        ("7/16-20", "450 to 500"),
        ("1/4-20", "40 to 50"),
        ("5/16-18", "80 to 90"),
        ("7/16-14", "235 to 255"),
        ("1/2-13", "400 to 480"),
    ] {
        let text = job(&format!("4 x {thread}, grade 5, torque {torque} lbf·in"));
        assert_eq!(told(&text), Vec::<String>::new(), "{thread}");
    }
}

#[test]
fn a_slip_of_unit_or_point_is_guessed() {
    for (torque, meant) in [("220 N·m", "22 N·m"), ("18 lbf·in", "18 N·m"), ("2.2 N·m", "22 N·m")] {
        let told = told(&job(&format!("4 x M8x20, class 8.8, torque {torque}")));
        assert!(told.len() == 1 && told[0].contains(meant), "{torque}: {told:?}");
    }
}

/// Where the torque of a plain joint says nothing, the rule says nothing.
#[test]
fn silence_where_nothing_is_known() {
    for fastener in [
        "4 x M8x20, torque 220 N·m",
        "1 x plug M14x1.5, class 8.8, torque 2 N·m",
        "1 x jam nut M12, class 8, torque 5 N·m",
        "2 x union M12x1, torque 15 N·m",
        "4 x spring clamp, hand tight",
        "1 x M24x2, class 8.8, torque 4 N·m, at most 60 N·m, slot align forward",
        "4 x M12x100, class 10.9, torque 5 N·m then 90°",
        "4 x G 1/4, torque 300 N·m",
    ] {
        assert_eq!(told(&job(fastener)), Vec::<String>::new(), "{fastener}");
    }
    let slackened = "1 x M24x2, class 8.8\n    pass: 100 N·m\n    pass: slacken\n    pass: 5 N·m";
    assert_eq!(told(&job(slackened)), Vec::<String>::new());
}

#[test]
fn what_is_told_reads_as_more_than_the_limit() {
    // M8 of A2-70 bears 29.8 N·m without a word on the friction: told as 29.8, not as 30.
    let told = told(&job("4 x M8x25, class A2-70, hex 13 mm, torque 30 N·m"));
    assert!(told.len() == 1 && told[0].contains("yields at 29.") && told[0].contains("ISO 3506-1"), "{told:?}");
}

/// Stages that fall are one mistake: `torque-conflict` tells it.
#[test]
fn a_stage_too_high_for_the_next_is_told_once() {
    let stages = |high: &str| job(&format!("4 x M12x100, class 10.9\n    pass: {high}\n    pass: 90 N·m"));
    assert_eq!(told(&stages("300 N·m")), Vec::<String>::new());
    let rules: Vec<_> =
        analyse_texts(&[("cover.job", &stages("300 N·m"))]).diagnostics.iter().map(|d| d.rule).collect();
    assert_eq!(rules, ["torque-conflict"]);
    let last = job("4 x M12x100, class 10.9\n    pass: 40 N·m\n    pass: 300 N·m");
    assert_eq!(told(&last).len(), 1);
}

#[test]
fn a_last_turn_beyond_a_full_one_is_told() {
    assert_eq!(told(&job("4 x M12x100, class 10.9, torque 40 N·m then 120°")), Vec::<String>::new());
    let far = told(&job("4 x M12x100, class 10.9, torque 40 N·m then 600°"));
    assert!(far.len() == 1 && far[0].contains("full turn"), "{far:?}");
}

/// Lubrication decides: what a dry bolt bears snaps an oiled one.
#[test]
fn oil_and_soft_metal_lower_the_limit() {
    let line = |rest: &str| told(&job(&format!("4 x M8x20, class 8.8, torque 38 N·m, {rest}")));
    assert_eq!(line("dry"), Vec::<String>::new());
    assert_eq!(line("oiled").len(), 1);
    assert_eq!(line("into aluminium 16 mm deep"), Vec::<String>::new());
    let strips = line("into aluminium 3 mm deep");
    assert!(strips.len() == 1 && strips[0].contains("strips"), "{strips:?}");
}

/// ISO 272 / 4014 with the older DIN and the JIS small series; ISO 4762, 7380-1, 10642; ISO 14579 to 14583; ASME B18.2.1, B18.3.
#[test]
fn heads_by_the_standards() {
    for fits in [
        "M10, hex 16 mm",
        "M10, hex 17 mm",
        "M10, hex 14 mm",
        "M10, hex 13 mm",
        "M10, hex 15 mm",
        "M6, hex 8 mm",
        "M8, class 8.8, key 5 mm, torque 20 N·m",
        "M8, hex 12 mm",
        "M12x1.25, hex 19 mm",
        "M8, class 8.8, key 6 mm, torque 24 N·m",
        "M8, class 10.9, key 5 mm, torque 12 N·m",
        "M6, hexalobular 30",
        "M8, hexalobular 40",
        "1/2-13 UNC, hex 3/4 in",
        "1/2-13 UNC, hex 19 mm",
        "1/4-20 UNC, key 3/16 in",
        "M30x1.5, hex 46 mm",
        "M95x2, hex 100 mm",
    ] {
        assert_eq!(told(&job(&format!("4 x {fits}, hand tight"))), Vec::<String>::new(), "{fits}");
    }
    for wrong in [
        "M10, hex 18 mm",
        "M10, hex 12 mm",
        "M22x1.5, hex 24 mm",
        "M8, hex 15 mm",
        "M6, key 6 mm",
        "M8, hexalobular 30",
        "1/2-13 UNC, hex 16 mm",
        "M12, class 10.9, key 8 mm, torque 110 N·m",
    ] {
        let told = told(&job(&format!("4 x {wrong}, order cross, layout circle")));
        assert!(
            told.len() == 1 && told[0].starts_with("key-mismatch") && told[0].contains("by the standards"),
            "{wrong}: {told:?}"
        );
    }
}

#[test]
fn a_class_that_no_standard_has_is_refused() {
    let text = job("4 x M8x20, class 8.7, torque 22 N·m");
    let analysis = analyse_texts(&[("cover.job", &text)]);
    let found: Vec<_> = analysis.diagnostics.iter().map(|d| (d.rule, d.message.as_str(), d.label.as_str())).collect();
    assert_eq!(found, [("bad-syntax", "there is no property class 8.7", "did you mean `class 8.8`?")]);
}
