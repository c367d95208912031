//! Torque wrenches, crow-feet and measuring tools: what is told of them, and where the rules stay silent.

use cotter::analysis::{Analysis, analyse_texts};
use cotter::sheet::Choice;
use cotter::sheet::content::{Content, RowKind, Tick, Value};
use cotter::sheet::words::content;

/// What the jobs below work on.
const MACHINE: &str = "\
machine: Osier 20 compact loader

parts
  cover: held by cover bolts
  hub: held by hub nut
  pump: held by pump bolts

fasteners
  cover bolts: 6 x M6x20, class 8.8, hex 10 mm, torque 9 N·m
  hub nut: 1 x M20x1.5, hex 30 mm, torque 90 N·m
  pump bolts: 4 x M10x40, class 8.8, hex 17 mm, torque 20 N·m then 45 N·m

measurements
  drag: 10 to 25 N
  turning torque: 0.8 to 1.6 N·m
  length of spacer: at least 182 mm
  disc thickness: at least 22.4 mm, new 26 mm
  gap: 0.02 to 0.08 mm
  boost: 17 to 19 bar
  coolant warmth: 78 to 84 °C
  vacuum: -8 to -6 kPa
";

/// A job with these tools and steps, one a piece.
fn job(tools: &[&str], steps: &[&str]) -> String {
    let lines = |lines: &[&str]| lines.iter().map(|line| format!("  {line}\n")).collect::<String>();
    format!("job: Reseat the pump\nuses: machine.job\n\ntools\n{}\nstage: Work\n{}", lines(tools), lines(steps))
}

fn look(text: &str) -> Analysis {
    analyse_texts(&[("try.job", text), ("machine.job", MACHINE)])
}

/// Rule and message of each error and warning, and of the advice of the two rules.
fn told(text: &str) -> Vec<String> {
    let analysis = look(text);
    let ours = |rule: &str| ["wrench-range", "tool-range"].contains(&rule);
    let found = analysis.diagnostics.iter().filter(|d| d.severity.name() != "advice" || ours(d.rule));
    found.map(|d| format!("{} {}: {} [{}] {}", d.severity.name(), d.rule, d.message, d.label, d.help)).collect()
}

#[track_caller]
fn one(text: &str, parts: &[&str]) {
    let told = told(text);
    assert_eq!(told.len(), 1, "{text}\n{told:#?}");
    for part in parts {
        assert!(told[0].contains(part), "`{part}` is not in {}", told[0]);
    }
}

#[track_caller]
fn silent(text: &str) {
    assert_eq!(told(text), Vec::<String>::new(), "{text}");
}

const SMALL: &str = "torque wrench 5-25: range 5 to 25 N·m, length 280 mm";
const MIDDLE: &str = "torque wrench 20-100: range 20 to 100 N·m, length 400 mm";

#[test]
fn a_torque_that_no_declared_wrench_has() {
    let off_and_on = ["remove hub", "refit hub"];
    one(&job(&[SMALL], &off_and_on), &["warning wrench-range", "90 N·m for the hub nut", "20 to 100 N·m"]);
    one(
        &job(&[MIDDLE], &["remove cover", "refit cover"]),
        &["9 N·m for the cover bolts", "`torque wrench 2-10: range 2 to 10 N·m`"],
    );
    silent(&job(&[SMALL, MIDDLE], &off_and_on));
    // Nothing declared: the sheet works the ranges out.
    silent(&job(&["line spanner"], &off_and_on));
    // A gauge that reads torque is no wrench.
    silent(&job(&["drag gauge: range 0.1 to 3 N·m"], &off_and_on));
    // Only the end of the scale is stated.
    silent(&job(&["torque wrench: range 100 N·m"], &off_and_on));
    silent(&job(&["torque wrench: range at most 100 N·m"], &off_and_on));
    // In the job's other unit.
    silent(&job(&["torque wrench: range 20 to 100 lbf·ft"], &off_and_on));
}

#[test]
fn one_wrench_wrong_is_one_finding() {
    let large = "torque wrench: range 300 to 1500 N·m";
    let all = ["remove cover", "remove hub", "remove pump", "refit pump", "refit hub", "refit cover"];
    let asked = ["9 N·m for the cover bolts, nor for 3 others", "range 5 to 25 N·m` and `torque wrench 20-100"];
    one(&job(&[large], &all), &asked);
}

#[test]
fn only_what_is_really_tightened_counts() {
    silent(&job(&[SMALL], &["remove cover", "refit cover"]));
    silent(&job(&[SMALL], &["check hub nut", "remove cover", "refit cover"]));
    one(&job(&[SMALL], &["loosen hub nut", "tighten hub nut, by hand", "tighten hub nut"]), &["90 N·m"]);
}

#[test]
fn what_is_marked_but_low_is_advice() {
    let wide = "torque wrench 5-60: range 5 to 60 N·m";
    one(
        &job(&[wide], &["remove cover", "refit cover"]),
        &["advice wrench-range", "9 N·m", "less than 20 % of 60 N·m", "from 5 N·m on", "ISO 6789-1:2017"],
    );
    silent(&job(&[wide, SMALL], &["remove cover", "refit cover"]));
}

#[test]
fn a_wrench_named_in_the_step() {
    let with = |wrench: &str| job(&[SMALL, MIDDLE], &["loosen hub nut", &format!("tighten hub nut, with {wrench}")]);
    one(
        &with("torque wrench 5-25"),
        &[
            "warning wrench-range",
            "can't be set to the 90 N·m of the hub nut",
            "too small",
            "`with torque wrench 20-100`",
        ],
    );
    silent(&with("torque wrench 20-100"));
    silent(&with("torque wrench 5-25 and torque wrench 20-100"));
    // A stage by itself asks for its own value only.
    let passes = [
        "loosen pump bolts",
        "tighten pump bolts, pass 1, with torque wrench 5-25",
        "tighten pump bolts, last pass, with torque wrench 20-100",
    ];
    silent(&job(&[SMALL, MIDDLE], &passes));
    // No wrench has it: that is one mistake.
    one(
        &job(&[SMALL], &["loosen hub nut", "tighten hub nut, with torque wrench 5-25"]),
        &["no torque wrench declared here"],
    );
    // A multiplier turns a small torque into a large one.
    silent(&job(&[SMALL, "torque multiplier"], &["loosen hub nut", "tighten hub nut, with torque multiplier"]));
}

#[test]
fn a_crowfoot_changes_what_must_be_in_range() {
    let by = |clause: &str, tools: &[&str]| job(tools, &["loosen hub nut", &format!("tighten hub nut, {clause}")]);
    // 90 N·m at the bolt: 90 · 400 / 440 = 81.8 on the wrench.
    silent(&by("with crowfoot 40 mm on torque wrench 20-100", &[SMALL, MIDDLE]));
    // 90 · 300 / 360 = 75: a wrench to 80 can do it, for which 90 is too much.
    let to_80 = "torque wrench 16-80: range 16 to 80 N·m, length 300 mm";
    silent(&by("with crowfoot 60 mm on torque wrench 16-80", &[to_80]));
    one(&by("with torque wrench 16-80", &[to_80]), &["can be set to 90 N·m"]);
    one(
        &by("with crowfoot 40 mm on torque wrench 5-25", &[SMALL]),
        &["78.8 N·m (the crowfoot makes that of 90 N·m)", "20 to 100 N·m"],
    );
    // Turned back it takes more than there is on the scale.
    one(&by("with crowfoot 60 mm turned back on torque wrench 20-100", &[MIDDLE]), &["106 N·m (the crowfoot"]);
    // Square to the wrench nothing changes.
    silent(&by("with crowfoot 40 mm at 90° on wrench 300 mm", &[MIDDLE]));
    one(
        &by("with crowfoot 300 mm on wrench 40 mm", &[MIDDLE]),
        &["wrench-range", "not shorter than its wrench", "exchanged?"],
    );
    one(&by("with crowfoot 40 mm on wrench 30 m", &[MIDDLE]), &["hardly meant"]);
}

#[test]
fn crowfeet_that_can_not_be_read() {
    let by = |clause: &str| {
        job(
            &[SMALL, "torque wrench 40-200: range 40 to 200 N·m", "micrometer: range 0 to 25 mm"],
            &["loosen hub nut", &format!("tighten hub nut, {clause}")],
        )
    };
    for (clause, parts) in [
        ("with crowfoot 40 on wrench 300 mm", ["unit-missing", "40"]),
        ("with crowfoot 40 mm on wrench 300", ["unit-missing", "300"]),
        ("with crowfoot 40 N·m on wrench 300 mm", ["unit-mismatch", "a torque"]),
        ("with crowfoot 40 mm on wrench 300 N·m", ["unit-mismatch", "a length"]),
        ("with crowfoot 40 mm at 90 mm on wrench 300 mm", ["unit-mismatch", "an angle"]),
        ("with crowfoot on wrench 300 mm", ["bad-syntax", "how far the bolt lies"]),
        ("with crowfoot 40 mm on wrench", ["bad-syntax", "how long"]),
        ("with crowfoot 40 mm on torque wrench 40-200", ["bad-syntax", "length 400 mm"]),
        ("with crowfoot 40 mm on torque wrench 40-20", ["unknown-name", "torque wrench 40-200"]),
        ("with crowfoot 40 mm on ratchet 12", ["unknown-name", "'ratchet 12'"]),
        ("with crowfoot 40 mm on micrometer 300 mm", ["bad-syntax", "no torque wrench"]),
        ("with a 40 mm crowfoot sideways on a 300 mm wrench", ["bad-syntax", "`sideways`"]),
        ("with crowfoot 40 mm on wrench 300 mm, with crowfoot 50 mm on wrench 300 mm", ["bad-syntax", "two crow-feet"]),
        ("with crowfoot 40 mm on wrench 0 mm", ["bad-syntax", "leaves no arm"]),
        ("with crowfoot 400 mm turned back on wrench 300 mm", ["bad-syntax", "at the grip or behind it"]),
    ] {
        one(&by(clause), &parts);
    }
}

#[test]
fn crowfeet_that_are_read() {
    for (clause, expected) in [
        ("with crowfoot 40 mm on wrench 300 mm", "79.4 N·m"),
        ("with a crow-foot 40 mm on a torque wrench 300 mm", "79.4 N·m"),
        ("with the crow foot 40 mm on torque wrench 20-100", "81.8 N·m"),
        ("with in-line extension 100 mm on torque wrench 20-100", "72 N·m"),
        ("with crowfoot 40 mm on torque wrench 20-100 300 mm", "79.4 N·m"),
        ("with crowfoot 40 mm turned back on wrench 300 mm", "104 N·m"),
        ("with crowfoot 40 mm on wrench 300 mm, turned back", "104 N·m"),
        ("with crowfoot -40 mm on wrench 300 mm", "104 N·m"),
        ("with crowfoot 40 mm at 60° on wrench 300 mm", "84.4 N·m"),
        ("with crowfoot 40 mm on wrench 300 mm, at 60°", "84.4 N·m"),
        ("with crowfoot 1.5 in on wrench 1 ft", "80 N·m"),
        ("with a 40 mm crowfoot on a 300 mm wrench", "79.4 N·m"),
        ("with a 40 mm crow-foot at 60° on the torque wrench 20-100 300 mm", "84.4 N·m"),
        ("with a 40 mm crowfoot turned back on a 300 mm torque wrench", "104 N·m"),
        ("with crowfoot wrench of 40 mm on wrench of 300 mm", "79.4 N·m"),
        ("with crowfoot adapter 40 mm long on a wrench 300 mm long", "79.4 N·m"),
        ("with crowfoot 40mm on wrench 300mm", "79.4 N·m"),
        // Square: as declared.
        ("with crowfoot 40 mm at 90° on wrench 300 mm", "90 N·m"),
        ("with crowfoot 40 mm on wrench 300 mm at 90°", "90 N·m"),
        // The open end of a plain crow-foot is its name, and a bar between ratchet and socket changes nothing.
        ("with crowfoot 30 mm", "none"),
        ("with extension 150 mm on torque wrench 20-100", "none"),
    ] {
        let analysis = look(&job(
            &[MIDDLE, "torque wrench: range 40 to 200 N·m"],
            &["loosen hub nut", &format!("tighten hub nut, {clause}")],
        ));
        let errors: Vec<_> = analysis.diagnostics.iter().filter(|d| d.severity.name() != "advice").collect();
        assert!(errors.is_empty(), "{clause}: {errors:#?}");
        let procedure = analysis.job.as_ref().unwrap().procedure();
        let mut adapter = None;
        cotter::procedure::steps_of(&procedure.body, &mut |step| {
            adapter = step.clauses.adapter.clone().or(adapter.take())
        });
        let torque = cotter::quantity::parse_spec("90 N·m").unwrap();
        let setting = adapter.map(|adapter| adapter.arm.setting_of(&torque).unwrap().to_string());
        assert_eq!(setting.unwrap_or_else(|| "none".to_owned()), expected, "{clause}");
    }
}

#[test]
fn a_scale_that_does_not_hold_the_value() {
    for (tool, step, parts) in [
        ("caliper: range 0 to 150 mm", "measure length of spacer, with caliper", ["182 mm", "0 to 150 mm"]),
        ("caliper: range 150 mm", "measure length of spacer, with caliper", ["182 mm", "150 mm"]),
        ("caliper: range 0 to 6 in", "measure length of spacer, with caliper", ["182 mm", "0 to 6 in"]),
        ("caliper: range 0 to 150 mm", "measure sleeve, with caliper, at least 182 mm", ["182 mm", "0 to 150 mm"]),
        ("micrometer: range 0 to 25 mm", "measure disc thickness, with micrometer", ["26 mm", "0 to 25 mm"]),
        ("feeler gauge: range 0.05 to 1 mm", "measure gap, with feeler gauge", ["0.02 to 0.08 mm", "0.05 to 1 mm"]),
        ("pressure gauge: range 0 to 16 bar", "measure boost, with pressure gauge", ["17 to 19 bar", "0 to 16 bar"]),
        ("pressure gauge: range 0 to 200 psi", "measure boost, with pressure gauge", ["17 to 19 bar", "0 to 200 psi"]),
        ("thermometer: range 0 to 60 °C", "run engine, with thermometer, until coolant 80 °C", ["80 °C", "0 to 60 °C"]),
        ("feeler gauge: range 0.05 to 1 mm", "set valves, 1.2 mm, with feeler gauge", ["1.2 mm", "0.05 to 1 mm"]),
        ("gauge: range 0 to 4 bar", "check gauge, at least 6 bar", ["6 bar", "0 to 4 bar"]),
    ] {
        let mut all = vec!["warning tool-range", "can't read", "scale"];
        all.extend(parts);
        one(&job(&[tool], &[step]), &all);
    }
}

#[test]
fn scales_that_hold_it() {
    for (tool, step) in [
        ("caliper: range 0 to 200 mm", "measure length of spacer, with caliper"),
        ("caliper: range 0 to 8 in", "measure length of spacer, with caliper"),
        ("feeler gauge: range 0.02 to 1 mm", "measure gap, with feeler gauge"),
        // Limits of the step stand in place of those declared.
        ("caliper: range 0 to 150 mm", "measure length of spacer, with caliper, at least 82 mm"),
        // A gauge for vacuum shows it without its sign.
        ("vacuum gauge: range 0 to 10 kPa", "measure vacuum, with vacuum gauge"),
        ("thermometer: range 0 to 110 °C", "run engine, with thermometer, until coolant 80 °C"),
        ("thermometer: range 0 to 110 °C", "measure coolant warmth, with thermometer"),
        // A nought is no mark.
        ("feeler gauge: range 0.05 to 1 mm", "measure play, with feeler gauge, 0 to 0.3 mm"),
        // Where it is held is not what it reads.
        (
            "dial gauge: range 0 to 10 mm",
            "measure run-out, with dial gauge, at most 0.1 mm: Touch it {20 mm} from the rim.",
        ),
        // The difference of two readings.
        ("outside micrometer: range 50 to 75 mm", "measure taper, with outside micrometer, at most 0.02 mm"),
        ("dial gauge: range 0 to 10 mm", "measure protrusion, with dial gauge, -0.05 to 0.1 mm"),
        // Two scales.
        ("meter: range 0 to 20 V, range 0 to 10 A", "measure rest, with meter, at least 12.4 V"),
        ("meter: range 0 to 20 V, range 0 to 10 A", "measure draw, with meter, at most 5 A"),
    ] {
        silent(&job(&[tool], &[step]));
    }
}

#[test]
fn a_tool_that_reads_another_kind() {
    for (tool, step, parts) in [
        ("spring balance: reads force", "measure turning torque, with spring balance", ["reads force", "is a torque"]),
        (
            "voltage tester: reads force",
            "measure link voltage, at most 5 V, with voltage tester",
            ["reads force", "is a voltage"],
        ),
        ("dial gauge: range 0 to 10 mm", "measure boost, with dial gauge", ["reads length", "is a pressure"]),
        ("thermometer: reads temperature", "check boost, with thermometer", ["reads temperature", "is a pressure"]),
        (
            "multimeter: reads pressure",
            "measure rest, with multimeter, at least 12.4 V",
            ["reads pressure", "is a voltage"],
        ),
        ("multimeter: reads voltage", "measure boost, with multimeter", ["reads voltage", "is a pressure"]),
    ] {
        let mut all = vec!["warning tool-range"];
        all.extend(parts);
        one(&job(&[tool], &[step]), &all);
    }
    one(
        &job(&["spring balance: reads force"], &["loosen hub nut", "tighten hub nut, with spring balance"]),
        &["warning tool-range", "reads force", "tightening of the hub nut is a torque"],
    );
    // One tool, one mistake, however often it is used.
    one(
        &job(
            &["spring balance: reads force"],
            &["measure turning torque, with spring balance", "measure turning torque, with spring balance"],
        ),
        &["reads force"],
    );
}

#[test]
fn tools_that_may_well_be_right() {
    for (tools, steps) in [
        (&["spring balance: reads force"][..], &["measure drag, with spring balance"][..]),
        // A balance marked in kilograms shows a force.
        (&["spring balance: range 0 to 5 kg"], &["measure drag, with spring balance"]),
        // The undeclared lever may do what the balance can't.
        (&["spring balance: reads force"], &["measure turning torque, with spring balance and lever"]),
        (
            &["spring balance: reads force", "bar: reads torque"],
            &["measure turning torque, with spring balance and bar"],
        ),
        // The balance is there for the drag while it is tightened.
        (
            &["spring balance: reads force"],
            &["loosen hub nut", "tighten hub nut, with spring balance: Until it pulls {15 N}."],
        ),
        (&["angle gauge: reads angle", "belt gauge"], &["loosen hub nut", "tighten hub nut, with belt gauge"]),
        (&["multimeter: reads voltage"], &["measure coil, with multimeter, 4 to 6 Ω"]),
        // A second scale in per cent.
        (&["refractometer: range -50 to 0 °C"], &["measure concentration, with refractometer, 40 to 50 %"]),
        (&["meter: reads voltage and resistance"], &["measure coil, with meter, 4 to 6 Ω"]),
        // How far it is turned is not what the gauge reads.
        (&["toe gauge: range 0 to 20 mm"], &["adjust tie rod, 2 turns, with toe gauge"]),
        (&["depth gauge: range 0 to 25 mm"], &["test thermostat, 90 °C, with depth gauge"]),
        (&["thermometer: reads temperature"], &["measure warming, at most 15 K, with thermometer"]),
        (&["gauge: range 0 to 10 bar"], &["clean seat, with gauge", "measure sleeve, at least 182 mm, with caliper"]),
    ] {
        silent(&job(tools, steps));
    }
}

/// What the sheet says of a job with these tools and steps.
fn sheet(tools: &[&str], steps: &[&str]) -> Content {
    let analysis = look(&job(tools, steps));
    let checked = analysis.job.unwrap_or_else(|| panic!("{:#?}", analysis.diagnostics));
    content(checked.procedure(), checked.proof(), &[], &Choice::default())
}

/// The value column of the last step, one line a value, with plain spaces.
fn values(content: &Content) -> Vec<String> {
    let mut steps = content.stages.iter().flat_map(|stage| &stage.rows).filter_map(|row| match &row.kind {
        RowKind::Step(step) => Some(step),
        _ => None,
    });
    let said = |value: &Value| match value {
        Value::Large(words) => format!("LARGE {words}"),
        Value::Title(words) => format!("TITLE {words}"),
        Value::Pass { number, main, beside } => format!("PASS {number} {main} ({})", beside.join(", ")),
        Value::Small(facts) => facts.join(", "),
        Value::Counted(count) | Value::Ticks(count) => format!("{count} boxes"),
        other => format!("{other:?}"),
    };
    let last = steps.next_back().expect("a step");
    last.values.iter().map(said).map(|line| line.replace(['\u{a0}', '\u{202f}'], " ")).collect()
}

/// 'Have ready', tools only: title and what stands below it.
fn ready(content: &Content) -> Vec<String> {
    let ticks = content.ready.iter().filter(|list| list.title == "Tools").flat_map(|list| &list.ticks);
    let both = |tick: &Tick| {
        let below = tick.below.as_ref().map(|below| format!(" | {}", below.text())).unwrap_or_default();
        format!("{}{below}", tick.words.text()).replace(['\u{a0}', '\u{202f}'], " ")
    };
    ticks.map(both).collect()
}

#[test]
fn the_sheet_says_what_to_set_at_each_stage() {
    let steps = ["loosen pump bolts", "tighten pump bolts, with crowfoot 40 mm on torque wrench 10-100"];
    let content = sheet(&["torque wrench 10-100: range 10 to 100 N·m, length 400 mm"], &steps);
    // 20 · 400 / 440 = 18.2 and 45 · 400 / 440 = 40.9
    assert_eq!(
        values(&content),
        [
            "TITLE set the wrench to",
            "LARGE 40.9 N·m",
            "30.2 lbf·ft",
            "45 N·m at the bolt, (33.2 lbf·ft)",
            "hex 17 mm, 4 × M10 × 40",
            "PASS 1 18.2 N·m (161 lbf·in, 20 N·m at the bolt)",
            "4 boxes",
            "PASS 2 40.9 N·m (30.2 lbf·ft, 45 N·m at the bolt)",
            "4 boxes",
        ]
    );
    assert_eq!(
        ready(&content),
        [
            "Sockets 17 mm",
            "Torque wrench 10-100 | 10 – 100 N·m (7.4 – 73.7 lbf·ft) · ±4 % by ISO 6789",
            "Crowfoot, hex 17 mm | 40 mm from square to bolt",
        ]
    );
    let wound = content.last_look.last().expect("a last look");
    assert_eq!(
        (wound.words.text().as_str(), wound.amount.as_str()),
        ("Torque wrench 10-100, wound back", "10\u{a0}N·m")
    );
}

#[test]
fn what_kind_of_wrench_it_is_follows_from_its_name() {
    for (tool, deviation, wound_back) in [
        ("torque wrench 20-100: range 20 to 100 N·m", "±4 %", true),
        ("dial torque wrench: range 20 to 100 N·m", "±4 %", false),
        ("beam torque wrench: range 20 to 100 N·m", "±6 %", false),
        ("torque wrench: range 100 N·m", "±4 %", false),
    ] {
        let content = sheet(&[tool], &["loosen hub nut", "tighten hub nut"]);
        let ready = ready(&content);
        assert!(ready[1].contains(deviation), "{ready:#?}");
        assert_eq!(content.last_look.iter().any(|tick| tick.words.text().contains("wound back")), wound_back, "{tool}");
    }
}

#[test]
fn square_to_the_wrench_nothing_is_set_otherwise() {
    let content =
        sheet(&[MIDDLE], &["loosen hub nut", "tighten hub nut, with crowfoot 30 mm at 90° on torque wrench 20-100"]);
    assert_eq!(values(&content), ["LARGE 90 N·m", "66.4 lbf·ft, hex 30 mm, 1 × M20 × 1.5", "1 boxes"]);
}

#[test]
fn the_sheet_names_the_wrench_where_there_are_several() {
    let steps = [
        "loosen cover bolts",
        "loosen pump bolts",
        "loosen hub nut",
        "tighten cover bolts",
        "tighten hub nut",
        "tighten pump bolts",
    ];
    let content = sheet(&[SMALL, MIDDLE], &steps);
    // One wrench for both stages: 20 and 45 N·m lie on the larger one.
    assert_eq!(values(&content)[1], "33.2 lbf·ft, torque wrench 20-100, hex 17 mm, 4 × M10 × 40");
    let ready = ready(&content);
    assert!(ready[1].ends_with("±4 % by ISO 6789 · for cover bolts"), "{ready:#?}");
    assert!(ready[2].ends_with("±4 % by ISO 6789 · for hub nut, pump bolts"), "{ready:#?}");
    // One wrench needs no name, and none where the author names it.
    let alone = sheet(&[MIDDLE], &["loosen hub nut", "tighten hub nut"]);
    assert!(!values(&alone).join("\n").contains("torque wrench"), "{:#?}", values(&alone));
    let named = sheet(&[SMALL, MIDDLE], &["loosen hub nut", "tighten hub nut, with torque wrench 20-100"]);
    assert!(!values(&named).join("\n").contains("torque wrench"), "{:#?}", values(&named));
}

#[test]
fn ranges_are_worked_out_where_no_wrench_is_declared() {
    let content = sheet(
        &["line spanner"],
        &[
            "loosen cover bolts",
            "loosen hub nut",
            "tighten cover bolts",
            "tighten hub nut, with crowfoot 60 mm on wrench 300 mm",
        ],
    );
    assert_eq!(
        ready(&content),
        [
            "Sockets 10 · 30 mm",
            "Torque wrench 2 – 10 N·m | 17.8 – 88.5 lbf·in · ±6 % by ISO 6789 · for cover bolts",
            // 90 · 300 / 360 = 75
            "Torque wrench 20 – 100 N·m | 14.8 – 73.7 lbf·ft · ±4 % by ISO 6789 · for hub nut",
            "Crowfoot, hex 30 mm | 60 mm from square to bolt",
        ]
    );
    assert!(content.last_look.iter().all(|tick| !tick.words.text().contains("wound back")));
}
