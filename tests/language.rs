//! The language as it is written down: every example of `grammar/README.md` is read here, right ones without a finding
//! and wrong ones with the finding they promise; and the laws of reading hold on all of them, cut and shuffled.

use cotter::diagnostic::Diagnostic;
use cotter::source::{FileId, Source};
use cotter::syntax::tree::{FileKind, Tree};
use cotter::syntax::{MAX_FILE_BYTES, MAX_FINDINGS, dump, parse};

const REFERENCE: &str = include_str!("../grammar/README.md");
const EVERY_FORM: &str = include_str!("language/every-form.job");

fn read(text: &str) -> (Source, Tree, Vec<Diagnostic>) {
    let source = Source::new("test.job", text);
    let (tree, findings) = parse(FileId(0), &source);
    (source, tree, findings)
}

/// Findings as a person would read them: place, rule, message, what stands there, help, fix.
fn shown(source: &Source, findings: &[Diagnostic]) -> String {
    findings
        .iter()
        .map(|d| {
            let (line, column) = source.line_column(d.span.start);
            let there = source.text().get(d.span.range()).unwrap_or("<no place>");
            let fix = d.fix.as_ref().map(|f| format!("\n    fix: {} {:?}", f.title, f.replacement)).unwrap_or_default();
            format!("{line}:{column} {}: {}\n    at: {there}\n    help: {}{fix}\n", d.rule, d.message, d.help)
        })
        .collect()
}

// ---------------------------------------------------------------- the reference

struct Example {
    line: usize,
    /// `job`, `header`, `sections`, `stages` or `steps`.
    kind: String,
    /// The rule that must be found; empty for a right example.
    wrong: String,
    text: String,
}

/// Blocks fenced by three backticks with one of our kinds behind them: ```` ```steps ```` or ```` ```steps wrong bad-syntax ````.
fn examples() -> Vec<Example> {
    let mut examples = Vec::new();
    let mut open: Option<Example> = None;
    for (i, line) in REFERENCE.lines().enumerate() {
        match (line.strip_prefix("```"), &mut open) {
            (Some(info), None) => {
                let mut words = info.split_whitespace();
                let kind = words.next().unwrap_or_default().to_owned();
                let wrong = if words.next() == Some("wrong") { words.next().unwrap_or("bad-syntax") } else { "" };
                open = Some(Example { line: i + 1, kind, wrong: wrong.to_owned(), text: String::new() });
            }
            (Some(_), Some(_)) => examples.extend(open.take()),
            (None, Some(example)) => {
                example.text.push_str(line);
                example.text.push('\n');
            }
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "a fence of grammar/README.md is not closed");
    examples.retain(|e| e.kind != "sh" && e.kind != "text");
    examples
}

fn framed(example: &Example) -> String {
    let text = &example.text;
    let indented =
        || text.lines().map(|l| if l.is_empty() { "\n".to_owned() } else { format!("  {l}\n") }).collect::<String>();
    match example.kind.as_str() {
        "job" => text.clone(),
        "header" => format!("job: Example\n{text}\nstage: Work\n  do: It.\n"),
        "sections" => format!("machine: Example\n{text}"),
        "stages" => format!("job: Example\n{text}"),
        "steps" => format!("job: Example\nstage: Work\n{}", indented()),
        other => panic!("grammar/README.md:{}: no such kind of example: {other:?}", example.line),
    }
}

#[test]
fn every_example_of_the_reference_is_read_as_it_says() {
    let examples = examples();
    assert!(examples.len() > 50, "only {} examples were found in grammar/README.md", examples.len());
    let mut wrong = String::new();
    for example in &examples {
        let (source, _, findings) = read(&framed(example));
        let as_said = if example.wrong.is_empty() {
            findings.is_empty()
        } else {
            findings.iter().any(|d| d.rule == example.wrong)
        };
        if !as_said {
            wrong += &format!(
                "grammar/README.md:{} ({} {}):\n{}\n",
                example.line,
                example.kind,
                example.wrong,
                shown(&source, &findings)
            );
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn the_reference_names_every_word_that_begins_a_line() {
    use cotter::syntax::tree::{DetailWord, Header, Section};
    let words = Header::NAMED.iter().map(|w| w.0).chain(Section::NAMED.iter().map(|w| w.0));
    for word in words.chain(DetailWord::NAMED.iter().map(|w| w.0)) {
        assert!(REFERENCE.contains(&format!("`{word}")), "grammar/README.md does not name `{word}`");
    }
}

// ---------------------------------------------------------------- trees

#[test]
fn every_form_of_the_language_has_its_place_in_the_tree() {
    let (source, tree, findings) = read(EVERY_FORM);
    assert_eq!(shown(&source, &findings), "");
    insta::assert_snapshot!(dump(&tree));
}

fn tree_of(text: &str) -> String {
    let (source, tree, findings) = read(text);
    assert_eq!(shown(&source, &findings), "", "in:\n{text}");
    dump(&tree)
}

/// The dump of the lines of one stage, without its frame.
fn steps(lines: &str) -> String {
    let body: String = lines.lines().map(|l| format!("  {l}\n")).collect();
    let tree = tree_of(&format!("job: J\nstage: S\n{body}"));
    tree.lines().skip(3).map(|l| format!("{}\n", &l[2..])).collect()
}

/// The dump of the entries of one section, without its frame.
fn entries(section: &str, lines: &str) -> String {
    let body: String = lines.lines().map(|l| format!("  {l}\n")).collect();
    let tree = tree_of(&format!("machine: M\n{section}\n{body}"));
    tree.lines().skip(3).map(|l| format!("{}\n", &l[2..])).collect()
}

#[test]
fn natural_spellings_are_read_alike() {
    for size in ["2 x", "2x", "2 ×", "2×", "2 X"] {
        assert_eq!(entries("parts", &format!("shoe: {size}")), "entry [shoe] | 2 x\n");
    }
    for size in ["6 x M8 x 35", "6x M8 x 35", "6xM8 x 35", "6 × M8 x 35"] {
        assert_eq!(entries("fasteners", &format!("screws: {size}")), "entry [screws] | 6 x [M8 x 35]\n");
    }
    for turns in ["anticlockwise", "anti-clockwise", "counterclockwise", "Anticlockwise"] {
        assert_eq!(
            entries("parts", &format!("shaft: turns {turns} only")),
            "entry [shaft] | turns anticlockwise only\n"
        );
    }
    for tight in ["hand tight", "hand-tight", "torque hand tight", "by hand"] {
        assert_eq!(
            entries("fasteners", &format!("nut: 1 x M8, {tight}")),
            "entry [nut] | 1 x [M8] | torque hand tight\n"
        );
    }
    for order in ["4 1 3 2", "4, 1, 3, 2"] {
        assert_eq!(
            entries("fasteners", &format!("nut: 4 x M8, order {order}, dry")),
            "entry [nut] | 4 x [M8] | order [4, 1, 3, 2] | dry\n"
        );
    }
    assert_eq!(entries("parts", "seal: single use, HELD BY clamp"), "entry [seal] | single-use | held by [clamp]\n");
    assert_eq!(
        entries("fasteners", "bolt: 1 x M8, torque 40 N·m + 90°"),
        "entry [bolt] | 1 x [M8] | torque 40 N·m then turn 90°\n"
    );
    assert_eq!(
        entries("sets", "side: left and right\naxle: front, and rear"),
        "entry [side] | values [left] [right]\nentry [axle] | values [front] [rear]\n"
    );
    assert_eq!(entries("acts", "cage/uncage: caged"), "entry [cage/uncage] | acts [cage] / [uncage]: [caged]\n");
    assert_eq!(
        steps("raise front, on axle stands\nturn hub, at 30 rpm, with helper"),
        "step [raise front] | on stands\nstep [turn hub] | amount 30 rpm | with a helper\n"
    );
    assert_eq!(
        steps("until play gone, at most three times\n  do: It."),
        "until [play gone] | at most 3\n  step [do] \"It.\"\n"
    );
    for tries in ["at most 3 times, then stop", "at most three times then stop", "at most 3 tries, then stop"] {
        assert_eq!(
            steps(&format!("until dry, {tries}\n  do: It.")),
            "until [dry] | at most 3 | then [stop]\n  step [do] \"It.\"\n"
        );
    }
    assert_eq!(entries("tools", "torque wrench: 20 to 100 N·m"), "entry [torque wrench] | range 20 to 100 N·m\n");
    for helper in ["a helper", "helper", "a second person", "two people", "an assistant"] {
        assert_eq!(steps(&format!("remove drum, with {helper}")), "step [remove drum] | with a helper\n");
    }
    for when in ["1 week", "one week", "a week"] {
        assert!(tree_of(&format!("job: J\nstage after {when}: S\n  do: It.")).contains("stage after 1 week [S]"));
    }
    assert!(
        tree_of("job: J\nstage after the test drive: S\n  do: It.").contains("stage other [after the test drive] [S]")
    );
    assert_eq!(tree_of("Job: J\nParts:\n  a\nStage: S\n  do: It."), tree_of("job: J\nparts\n  a\nstage: S\n  do: It."));
}

#[test]
fn text_goes_on_with_bars_and_clauses_after_a_comma() {
    assert_eq!(
        steps(
            "remove pump, with a helper,\n    into tray of 5 L,   # not this\n\n    sign: Straight\n  # nor this\n  | back, until\n  | it is free.\n  note: Yes."
        ),
        "step [remove pump] | with a helper | into [tray] of 5 L | sign \"Straight back, until it is free.\"\n  detail note \"Yes.\"\n"
    );
    // prose that ends in a comma does not go on by itself
    assert_eq!(steps("do: First,\n  note: second"), "step [do] \"First,\"\n  detail note \"second\"\n");
    assert_eq!(
        entries("parts", "pump: new,\n       held by bolts,\n          behind pipe\n  number: 7"),
        "entry [pump] | new | held by [bolts] | behind [pipe]\n  detail number \"7\"\n"
    );
}

#[test]
fn commas_colons_and_braces_of_values_do_not_part_them() {
    assert_eq!(
        steps("fill {oil, the thin one}, {amount}: 1:5 mix: yes"),
        "step [fill {oil, the thin one}] | value [amount] \"1:5 mix: yes\"\n"
    );
    assert_eq!(steps("wait, until a, b and c"), "step [wait] | until [a, b and c]\n");
    assert_eq!(
        steps("ask how, caged, bare or not at all, sign: Look."),
        "step [ask how] | answers [caged] [bare] [not at all] | sign \"Look.\"\n"
    );
    assert_eq!(
        steps("follow bleed, with oil 5 L, order x, amount 3 L, with a helper"),
        "step [follow bleed] | with [oil 5 L] | other [order x] | other [amount 3 L] | with a helper\n"
    );
}

#[test]
fn what_a_line_is_follows_from_where_it_stands() {
    // `record` and `use` are details under a step; `record …` is an act where a step can stand
    assert_eq!(
        steps("record hours\n  record\ncheck it\n  record: Both."),
        "step [record hours]\n  detail record\nstep [check it]\n  detail record \"Both.\"\n"
    );
    // a part may begin with a word that begins a detail, for there is no detail there
    assert_eq!(
        entries("parts", "number plate: new\nsource hose: new"),
        "entry [number plate] | new\nentry [source hose] | new\n"
    );
    // `machine` and `number` are header fields at the margin and details under an entry
    assert_eq!(
        tree_of("job: J\nmachine: M\nparts\n  machine\n    number: 5\nstage: S\n  do: It."),
        "Job [J]\nfirst\nheader machine [M]\nsection parts\n  entry [machine]\n    detail number \"5\"\nstage [S]\n  step [do] \"It.\"\n"
    );
}

#[test]
fn a_routine_may_be_followed_where_stages_stand() {
    let text = "job: J\nfollow lift the truck, with end front\nwith diesel\n  follow bleed the fuel\nstage: S\n  do: It.\nfollow lower the truck\nwith diesel\n  reverse stage S\nreverse stage S\n  except: filter";
    assert_eq!(
        tree_of(text),
        "Job [J]\nfirst\nstep [follow lift the truck] | with [end front]\nwith [diesel]\n  step [follow bleed the fuel]\nstage [S]\n  step [do] \"It.\"\nstep [follow lower the truck]\nwith [diesel]\n  step [reverse stage S]\nstep [reverse stage S]\n  detail except \"filter\"\n"
    );
}

#[test]
fn line_ends_and_a_byte_order_mark_change_nothing() {
    let plain = tree_of(EVERY_FORM);
    assert_eq!(tree_of(&EVERY_FORM.replace('\n', "\r\n")), plain);
    assert_eq!(tree_of(&format!("\u{FEFF}{EVERY_FORM}")), plain);
    assert_eq!(tree_of(&EVERY_FORM.replace("  ", "   ").replace("   # ", "  # ")), plain.clone());
}

// ---------------------------------------------------------------- mistakes

/// Reads a text and gives its only finding.
fn only(text: &str) -> (String, Diagnostic) {
    let (source, tree, findings) = read(text);
    assert_eq!(findings.len(), 1, "in:\n{text}\nfindings:\n{}", shown(&source, &findings));
    (dump(&tree), findings[0].clone())
}

/// One wrong line among right ones: rule, part of the message, and what the fix (if any) makes of the line.
#[track_caller]
fn wrong_step(line: &str, rule: &str, message: &str, fixed: Option<&str>) {
    wrong("job: J\nstage: S\n  do: Before.\n", line, "\n  do: After.\n", rule, message, fixed);
}

#[track_caller]
fn wrong_entry(section: &str, line: &str, rule: &str, message: &str, fixed: Option<&str>) {
    wrong(&format!("machine: M\n{section}\n  before: 2 x\n"), line, "\n  after: 2 x\n", rule, message, fixed);
}

#[track_caller]
fn wrong(before: &str, line: &str, after: &str, rule: &str, message: &str, fixed: Option<&str>) {
    let text = format!("{before}  {line}{after}");
    let (tree, finding) = only(&text);
    assert_eq!(finding.rule, rule, "{}", finding.message);
    assert!(finding.message.contains(message), "{:?} does not hold {message:?}", finding.message);
    assert!(!finding.help.is_empty(), "no help: {}", finding.message);
    let at = finding.span.start as usize;
    assert!(at + 1 >= before.len() && at <= before.len() + 2 + line.len(), "the finding is not in its line: {at}");
    assert!(
        tree.to_lowercase().contains("before") && tree.to_lowercase().contains("after"),
        "a neighbour is lost:\n{tree}"
    );
    let fix = finding.fix.map(|fix| {
        let mut mended = text.clone();
        mended.replace_range(fix.span.range(), &fix.replacement);
        let (source, _, findings) = read(&mended);
        assert_eq!(shown(&source, &findings), "", "the fix does not mend:\n{mended}");
        mended[before.len() + 2..mended.len() - after.len()].to_owned()
    });
    assert_eq!(fix.as_deref(), fixed);
}

#[test]
fn a_number_needs_its_unit_and_of_the_right_kind() {
    wrong_entry("fasteners", "pins: 2 x M8, torque 20", "unit-missing", "20", None);
    wrong_entry("fasteners", "pins: 2 x M8, hex 13", "unit-missing", "`hex` has a number without its unit", None);
    wrong_entry("fasteners", "pins: 2 x M8, torque 20 then 30 N·m", "unit-missing", "20", None);
    wrong_entry("fasteners", "pins: 2 x M8, torque 20 mm", "unit-mismatch", "`20 mm` is a length", None);
    wrong_entry(
        "fasteners",
        "pins: 2 x M8, hex 13 N·m",
        "unit-mismatch",
        "`hex` takes a length, but `13 N·m` is a torque",
        None,
    );
    wrong_entry("fasteners", "pins: 2 x M8, at most 60 L", "unit-mismatch", "a volume", None);
    wrong_entry("parts", "pump: weighs 45", "unit-missing", "45", None);
    wrong_entry("parts", "pump: weighs 45 mm", "unit-mismatch", "a length", None);
    wrong_entry("fluids", "oil: 5", "unit-missing", "5", None);
    wrong_entry("fluids", "oil: 5 L, mix 40 N", "unit-mismatch", "a percentage", None);
    wrong_entry("fluids", "oil: 5 L, mix 40 % by mass", "unit-mismatch", "`mix` takes a share by volume", None);
    let told = only("machine: M\nfluids\n  oil: 5 L, mix 40 % by weight\n").1.help;
    assert!(told.contains("`38 % by volume` of ethylene glycol or `40 % by volume` of propylene glycol"), "{told}");
    wrong_entry("fluids", "oil: 5 L, old mix 30 % by weight", "unit-mismatch", "`old mix` takes a share", None);
    wrong_entry("fluids", "oil: 5 L, old mix 30", "unit-missing", "30", None);
    wrong_entry("fluids", "oil: 5 L, mix 50/50", "bad-syntax", "no share of concentrate", Some("oil: 5 L, mix 50 %"));
    let parts = "oil: 5 L, mix 1:1 by volume";
    wrong_entry("fluids", parts, "bad-syntax", "no share of concentrate", Some("oil: 5 L, mix 50 % by volume"));
    wrong_entry("fluids", "oil: 5 L, mix 1 to 2", "bad-syntax", "leaves open which part", None);
    wrong_entry("fluids", "oil: 5 L, mix 40/60", "bad-syntax", "leaves open which part", None);
    wrong_entry("fluids", "oil: 5 L, mix 1/2", "unit-missing", "1/2", None);
    wrong_entry("fluids", "oil: 5 L, old mix 30 L", "unit-mismatch", "a percentage", None);
    wrong_entry("fluids", "oil: 5 L, protects to -24 K", "unit-mismatch", "temperature difference", None);
    wrong_step("fill oil, 9", "unit-missing", "9", None);
    wrong_step("drain oil, into tray of 10 mm", "unit-mismatch", "`into` takes a volume", None);
    wrong_entry("measurements", "gap: 4 to 2 mm", "limit-reversed", "downwards", Some("gap: 2 to 4 mm"));
}

#[test]
fn a_comma_in_a_number_is_told_with_its_fix() {
    wrong_entry(
        "fasteners",
        "pins: 2 x M8, torque 7,5 N·m, dry",
        "bad-syntax",
        "7.5",
        Some("pins: 2 x M8, torque 7.5 N·m, dry"),
    );
    wrong_entry("fasteners", "pins: 2 x M8x1,25", "bad-syntax", "1.25", Some("pins: 2 x M8x1.25"));
    wrong_step(
        "fill oil, 0,250 L: Not 7,5 L at once.",
        "bad-syntax",
        "0.250",
        Some("fill oil, 0.250 L: Not 7,5 L at once."),
    );
    wrong_entry(
        "fasteners",
        "pins: 4 x M8, order 4,1,3,2",
        "bad-syntax",
        "4 1 3 2",
        Some("pins: 4 x M8, order 4 1 3 2"),
    );
    wrong_entry("fasteners", "pins: 4 x M8, torque 1,200 N·m", "bad-syntax", "two ways", None);
}

#[test]
fn a_slip_of_the_pen_is_guessed() {
    wrong_entry(
        "parts",
        "pump: new, hled by bolts",
        "bad-syntax",
        "did you mean `held by`?",
        Some("pump: new, held by bolts"),
    );
    wrong_entry("parts", "pump: singel-use", "bad-syntax", "did you mean `single-use`?", Some("pump: single-use"));
    wrong_entry(
        "fasteners",
        "pins: 2 x M8, torqe 8 N·m",
        "bad-syntax",
        "did you mean `torque`?",
        Some("pins: 2 x M8, torque 8 N·m"),
    );
    wrong_entry("parts", "pump, new", "bad-syntax", "colon", Some("pump: new"));
    wrong_step(
        "do: It.\n    cuation: Hot.",
        "bad-syntax",
        "did you mean `caution`?",
        Some("do: It.\n    caution: Hot."),
    );
    wrong_step(
        "if belt bad\n    do: It.\n  else\n    do: That.",
        "bad-syntax",
        "otherwise",
        Some("if belt bad\n    do: It.\n  otherwise\n    do: That."),
    );
    wrong_step("for side\n    do: It.", "bad-syntax", "for each", Some("for each side\n    do: It."));
    wrong_step("3. remove pump", "bad-syntax", "no numbers", Some("remove pump"));
    wrong_step("- remove pump", "bad-syntax", "no bullets", Some("remove pump"));
    for (line, meant) in
        [("revison: 3", "revision: 3"), ("prats\n  a: new", "parts\n  a: new"), ("ruleout: It.", "rule out: It.")]
    {
        let (_, finding) = only(&format!("job: J\n{line}\nstage: S\n  do: It."));
        assert_eq!(finding.rule, "bad-syntax");
        let fix = finding.fix.expect("a fix");
        let mut mended = format!("job: J\n{line}\n");
        mended.replace_range(fix.span.range(), &fix.replacement);
        assert_eq!(mended, format!("job: J\n{meant}\n"));
    }
    // a slip is read as what was meant, so that it is told once
    let (tree, _) = only("machine: M\nprats\n  pump: held by bolts, single-use, new\n");
    assert!(tree.contains("section parts\n  entry [pump] | held by [bolts] | single-use | new"), "{tree}");
    let (tree, _) = only("machine: M\nparts\n  pump: hled by bolts\n");
    assert!(tree.contains("held by [bolts]"), "{tree}");
}

#[test]
fn a_line_in_the_wrong_place_is_told_and_read_where_it_belongs() {
    wrong_step(
        "remove pump\n      fit pump\n      fit pipe",
        "bad-syntax",
        "under a step stand only its details",
        None,
    );
    let (tree, _) = only("job: J\nstage: S\n  remove pump\n      fit pump\n  do: It.");
    assert!(tree.contains("\n  step [remove pump]\n  step [fit pump]\n"), "{tree}");
    let (tree, _) = only("job: J\nstage: S\n  do: It.\n  stage: T\n    do: That.");
    assert!(tree.ends_with("stage [T]\n  step [do] \"That.\"\n"), "{tree}");
    let (tree, _) = only("job: J\nstage: S\nremove pump\n  note: Heavy.\nfit pump");
    assert!(
        tree.ends_with("stage [S]\n  step [remove pump]\n    detail note \"Heavy.\"\n  step [fit pump]\n"),
        "{tree}"
    );
    wrong_step(
        "do: It.\n    note: One.\n      | and more\n      two",
        "bad-syntax",
        "nothing stands under a detail",
        Some("do: It.\n    note: One.\n      | and more\n      | two"),
    );
    wrong_entry(
        "parts",
        "pump: new\n    behind pipe",
        "bad-syntax",
        "in the line of their entry",
        Some("pump: new,\n    behind pipe"),
    );
    wrong_entry("parts", "number: 20-3300", "bad-syntax", "begins a detail", None);
    wrong_entry(
        "fasteners",
        "pins: 2 x M8, torque 5 N·m, then 8 N·m, dry",
        "bad-syntax",
        "`then` goes on",
        Some("pins: 2 x M8, torque 5 N·m then 8 N·m, dry"),
    );
    wrong_entry("sets", "wheel: 1-4", "bad-syntax", "`1 to 4`", Some("wheel: 1 to 4"));
    wrong_step("otherwise\n    do: It.", "bad-syntax", "`otherwise` follows an `if …`", None);
    wrong_step("before the next try\n    do: It.", "bad-syntax", "stands in an `until` block", None);
    wrong_step("until belt tight\n    do: It.", "bad-syntax", "how often", None);
    wrong_step("if belt bad: Look.\n    do: It.", "bad-syntax", "takes no text after it", None);
    wrong_step("do: {pump", "bad-syntax", "not closed", None);
    wrong_step("if belt bad", "bad-syntax", "nothing stands in this block", None);
    wrong_step("remove pump,", "bad-syntax", "ends in a comma", Some("remove pump"));
    wrong_step("do: It.\n    allow left-off", "bad-syntax", "`allow` gives a reason", None);
    assert!(only("job: J\nstage: S\n  do: It.\npeople: 2").1.message.contains("header fields stand before"));
    assert!(only("machine: M\nstage: S\n  do: It.").1.message.contains("a machine file holds no stages"));
    assert!(only("job: J\nstage: S\n  do: It.\njob: K").1.message.contains("a file holds one job"));
    assert!(only("job: J\n  number: 5\nstage: S\n  do: It.").1.message.contains("header fields stand at the margin"));
}

#[test]
fn clauses_say_what_could_stand_there() {
    wrong_entry(
        "fasteners",
        "pins: 4 x M8, layout rows 2",
        "bad-syntax",
        "after `layout` was expected `at x y; x y`, `circle` or `rows 2 x 4`",
        None,
    );
    wrong_entry(
        "fasteners",
        "pins: 4 x M8, order zigzag",
        "bad-syntax",
        "expected `cross`, `row`, `spiral` or a number",
        None,
    );
    wrong_entry(
        "fasteners",
        "pins: 4 x M8, 20 N·m",
        "bad-syntax",
        "without a word that says what it is",
        Some("pins: 4 x M8, torque 20 N·m"),
    );
    let (_, finding) = only("machine: M\nparts\n  pump: blue\n");
    assert!(finding.help.contains("`held by …`"), "{}", finding.help);
    let (_, finding) = only("machine: M\nfluids\n  oil: blue\n");
    assert!(finding.help.contains("`drains …`"), "{}", finding.help);
    wrong_entry("fasteners", "pins: 4 x M8\n    pass: 90 N·m, over there", "bad-syntax", "no clause of a `pass`", None);
    wrong_entry("fasteners", "pins: 4 x M8\n    pass: 90 mm", "unit-mismatch", "a length", None);
}

#[test]
fn a_stage_has_steps() {
    assert_eq!(only("job: J\nstage: S\n  note: So.\nstage: T\n  do: It.").1.message, "the stage has no steps");
}

#[test]
fn header_values_have_their_form() {
    let header = |line: &str| only(&format!("job: J\n{line}\nstage: S\n  do: It.")).1;
    let finding = header("revision: three");
    assert_eq!(finding.fix.map(|f| f.replacement).as_deref(), Some("3"));
    assert!(header("revision: 2.5").message.contains("whole number"));
    assert_eq!(header("takes: 3").rule, "unit-missing");
    assert_eq!(header("takes: 3 km").rule, "unit-mismatch");
    assert!(header("people: 0").message.contains("somebody must do the job"));
    assert!(header("number:").message.contains("has no value"));
    assert!(header("colour: red").help.contains("`rule out`"));
}

#[test]
fn files_that_are_none_get_one_clear_finding() {
    for text in ["", "\n", "  \n# only a comment\n", "\u{FEFF}"] {
        assert_eq!(only(text).1.message, "the file is empty");
    }
    for text in ["hello there", "remove the pump\n  note: It is heavy."] {
        assert_eq!(only(text).1.message, "the first line does not say what the file is");
    }
    let (_, tree, findings) = read("jbo: J\nstage: S\n  do: It.");
    assert_eq!((tree.kind, findings.len()), (FileKind::Job, 1));
    assert!(findings[0].message.contains("did you mean `job`?"));
    let (_, tree, findings) = read("number: 5\nstage: S\n  do: It.");
    assert_eq!((tree.kind, findings.len()), (FileKind::Unknown, 1), "{findings:?}");
    assert!(findings[0].help.contains("`job: "));
    assert_eq!(only("| stray\njob: J\nstage: S\n  do: It.").1.span.start, 0);
    assert!(only("job: J\rstage: S\r  do: It.").1.message.contains("CR alone"));
    assert!(only("job: J\nstage: S\n  do: It \u{FFFD}.").1.message.contains("not UTF-8"));
    assert_eq!(only("job:\nstage: S\n  do: It.").1.message, "the title is missing");
    assert!(only("job: J").1.message.contains("no stage"));
    assert!(only(&"x".repeat(MAX_FILE_BYTES)).1.message.contains("too long"));
    assert!(only(&"\u{0}\u{1}\u{2}x".repeat(100)).1.message.contains("not a text file"));
    let (_, finding) = only("job: J\nstage: S\n  do: It\u{0}.\n  do: \u{202E}That.");
    assert!(finding.message.contains("U+0000") && finding.message.contains("1 more"), "{}", finding.message);
    let (_, finding) = only(&format!("job: J\nstage: S\n  do: {}\n  do: It.", "x".repeat(70_000)));
    assert!(finding.message.contains("line is too long"));
}

#[test]
fn tabs_are_told_once_and_mended_by_one_fix() {
    let text = "job: J\nparts\n\tpump: new\n\t\tnumber: 5\n  # spaces\n\tpipe: new\nstage: S\n  do: It.\n";
    let (_, finding) = only(text);
    assert!(finding.message.contains("3 lines"), "{}", finding.message);
    let fix = finding.fix.expect("a fix");
    let mut mended = text.to_owned();
    mended.replace_range(fix.span.range(), &fix.replacement);
    assert!(!mended.contains('\t'));
    assert_eq!(tree_of(&mended), dump(&read(text).1));
    // among lines of four spaces a tab is four wide; a no-break space is one
    let (tree, _) = only("job: J\nstage: S\n    do: It.\n\tdo: That.\n\t  note: So.\n  \u{A0} do: Then.");
    assert!(tree.ends_with("  step [do] \"That.\"\n    detail note \"So.\"\n  step [do] \"Then.\"\n"), "{tree}");
}

#[test]
fn an_indentation_that_fits_nowhere_is_told_once() {
    let (tree, finding) = only("job: J\nstage: S\n    do: One.\n   do: Two.\n   do: Three.\n    do: Four.");
    assert!(finding.message.contains("3 spaces"), "{}", finding.message);
    assert!(finding.help.contains("4 spaces"), "{}", finding.help);
    assert_eq!(tree.matches("\n  step").count(), 4, "{tree}");
}

#[test]
fn deep_nesting_is_told_and_costs_no_stack() {
    let mut text = String::from("job: J\nstage: S\n");
    for depth in 1..5000 {
        text += &format!("{}if a\n", " ".repeat(depth.min(400)));
    }
    let (_, _, findings) = read(&text);
    assert_eq!(findings.iter().filter(|d| d.message.contains("levels deep")).count(), 1);
}

#[test]
fn findings_are_capped_and_in_order() {
    let text = format!("job: J\nparts\n{}", "  pump: blue\n".repeat(MAX_FINDINGS + 50));
    let (_, _, findings) = read(&text);
    assert_eq!(findings.len(), MAX_FINDINGS + 1);
    assert!(findings.is_sorted_by_key(|d| d.span.start));
    assert!(findings[MAX_FINDINGS].message.contains("more findings"));
}

// ---------------------------------------------------------------- laws

fn corpus() -> Vec<String> {
    let mut texts: Vec<String> = examples().iter().map(framed).collect();
    texts.push(EVERY_FORM.to_owned());
    texts
}

/// The lines and their line ends give the file back, every line with text belongs to a node, and all places lie in the file.
fn lossless(text: &str) {
    let (source, tree, findings) = read(text);
    let mut back = String::new();
    for (i, line) in tree.lines.iter().enumerate() {
        back.push_str(source.text().get(line.span.range()).expect("a line is a piece of the text"));
        let next = tree.lines.get(i + 1).map_or(text.len(), |l| l.span.start as usize);
        let end = &text[line.span.end as usize..next];
        assert!(matches!(end, "" | "\n" | "\r\n"), "{end:?} is no line end");
        back.push_str(end);
        assert_eq!(line.blank, line.node.is_none(), "line {} of:\n{text}", i + 1);
    }
    assert_eq!(back, text);
    for node in &tree.nodes {
        assert!(text.get(node.span.range()).is_some(), "a node lies outside the text");
    }
    for finding in &findings {
        assert!(text.get(finding.span.range()).is_some(), "{} lies outside the text:\n{text}", finding.message);
        assert!(finding.fix.as_ref().is_none_or(|f| text.get(f.span.range()).is_some()), "{}", finding.message);
        assert!(!finding.message.is_empty() && !finding.message.ends_with('.'), "{:?}", finding.message);
    }
}

#[test]
fn the_tree_loses_nothing() {
    for text in corpus() {
        lossless(&text);
        lossless(&text.replace('\n', "\r\n"));
        lossless(&format!("\u{FEFF}{text}"));
    }
}

#[test]
fn a_file_cut_anywhere_is_read() {
    for text in corpus() {
        // every byte of the short ones; of the long ones so many that the test stays quick
        let step = text.len() / 400 + 1;
        for end in (0..text.len()).step_by(step).filter(|i| text.is_char_boundary(*i)) {
            lossless(&text[..end]);
        }
    }
    // and one whose begin is lost
    for begin in (0..EVERY_FORM.len()).filter(|i| i % 101 == 0 && EVERY_FORM.is_char_boundary(*i)) {
        lossless(&EVERY_FORM[begin..]);
    }
}

#[test]
fn lines_lost_doubled_and_shuffled_are_read() {
    // a small generator of our own, so that a failure can be seen again
    let mut state = 0x2545_F491_4F6C_DD1D_u64;
    let mut random = move |below: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        usize::try_from(state % below.max(1) as u64).unwrap_or(0)
    };
    let lines: Vec<&str> = EVERY_FORM.lines().collect();
    let noise = [
        "|", ":", ",", "{", "}", "\t", "#", " x ", "\u{0}", "°", "\u{301}", "  - ", "then", "until ", "\u{FEFF}", "\r",
    ];
    for _ in 0..60 {
        let mut text = String::new();
        for line in &lines {
            match random(12) {
                0 => {}
                1 => text += &format!("{line}\n{line}\n"),
                2 => text += &format!("{}\n", lines[random(lines.len())]),
                3 => text += &format!("{}{line}\n", " ".repeat(random(9))),
                4 => {
                    let at = (0..=random(line.len() + 1).min(line.len()))
                        .rev()
                        .find(|i| line.is_char_boundary(*i))
                        .unwrap_or(0);
                    text += &format!("{}{}{}\n", &line[..at], noise[random(noise.len())], &line[at..]);
                }
                _ => text += &format!("{line}\n"),
            }
        }
        lossless(&text);
    }
}
