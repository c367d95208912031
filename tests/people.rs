//! The rules for people on odd inputs: what must be told, and what must not.

use cotter::analysis::{Analysis, analyse_texts};

const HEAD: &str = "job: Try\nmachine: Brindle 40 light truck\ntakes: 5 min\n\n";

fn look_at(text: &str) -> Analysis {
    analyse_texts(&[("t.job", &format!("{HEAD}{text}"))])
}

/// The messages of a rule.
fn told(text: &str, rule: &str) -> Vec<String> {
    look_at(text).diagnostics.into_iter().filter(|d| d.rule == rule).map(|d| d.message).collect()
}

/// The hazards whose standard message is put in, each with the line before which it stands.
fn put_in(text: &str) -> Vec<(String, &'static str)> {
    let text = format!("{HEAD}{text}");
    let analysis = analyse_texts(&[("t.job", &text)]);
    let all: Vec<_> = analysis.diagnostics.iter().map(|d| (d.rule, &d.message)).collect();
    let job = analysis.job.as_ref().unwrap_or_else(|| panic!("can't be printed: {all:?}\n{text}"));
    let line = |span: cotter::source::Span| text[span.range()].to_owned();
    job.cautions().iter().map(|c| (line(c.span), c.hazard.name())).collect()
}

fn hazards(text: &str) -> Vec<&'static str> {
    put_in(text).into_iter().map(|(_, hazard)| hazard).collect()
}

#[test]
fn the_authors_own_message_keeps_the_standard_one_out() {
    let job = |message: &str| {
        format!(
            "parts\n  coil spring: held by seat clips\n\nfasteners\n  seat clips: 2 x clip\n\nstage: S\n  remove coil spring\n    {message}\n  refit coil spring\n"
        )
    };
    for own in [
        "danger stored spring",
        "danger stored spring: Stay out of its line.",
        "warning stored spring: Stay out of its line.",
        "danger: The spring is loaded. Stay out of its line.",
        "danger: A loaded spring kills. Cage it first.",
    ] {
        assert_eq!(hazards(&job(own)), Vec::<&str>::new(), "{own}");
    }
    for other in [
        // too low a word, no way out, another thing
        "caution: The spring is loaded. Stay out of its line.",
        "danger: The spring is loaded.",
        "danger: Nobody in the pit.",
        "note: The spring is loaded. Stay out of its line.",
        "danger crush",
    ] {
        assert_eq!(hazards(&job(other)), ["stored spring"], "{other}");
    }
}

#[test]
fn a_message_on_one_way_does_not_speak_for_the_other() {
    let parts = "parts\n  brake pads\n\n";
    let both = "stage: S\n  inspect brake pads\n  if brake pads bad\n    remove brake pads\n    refit brake pads\n  otherwise\n    clean brake pads\n";
    assert_eq!(hazards(&format!("{parts}{both}")), ["brake dust", "brake dust"]);
    let own = both.replace("    remove brake pads\n", "    remove brake pads\n      warning brake dust\n");
    assert_eq!(hazards(&format!("{parts}{own}")), ["brake dust"]);
    let before = both.replace("  inspect brake pads\n", "  clean brake pads\n  inspect brake pads\n");
    assert_eq!(put_in(&format!("{parts}{before}")), [("clean brake pads".to_owned(), "brake dust")]);
    let one_side = "sets\n  side: left, right\n\nparts\n  brake pads: each side\n\nstage: S\n  for each side\n    with side left\n      \
                    clean brake pads\n    clean brake pads, again\n";
    assert_eq!(hazards(one_side), ["brake dust", "brake dust"]);
    let option = "options\n  long bed\n\nparts\n  brake pads\n\nstage: S\n  with long bed\n    clean brake pads\n  clean brake pads, again\n";
    assert_eq!(hazards(option), ["brake dust", "brake dust"]);
}

#[test]
fn a_message_is_put_in_once_a_stage_and_again_in_the_next() {
    let text = "parts\n  airbag module\n\nstage: Off\n  remove airbag module\n  store airbag module\n\nstage: On\n  refit airbag module\n";
    assert_eq!(
        put_in(text),
        [("remove airbag module".to_owned(), "airbag"), ("refit airbag module".to_owned(), "airbag")]
    );
    assert_eq!(told(text, "caution-missing").len(), 1, "the author is told once");
}

#[test]
fn who_undoes_the_only_holder_undoes_the_thing() {
    let text = "parts\n  spring chamber: held by chamber nuts\n\nfasteners\n  chamber nuts: 2 x M16x1.5, hex 24 mm, torque 180 N·m\n\nstage: S\n  remove chamber nuts\n  remove spring chamber\n  refit spring chamber\n";
    assert_eq!(put_in(text), [("remove chamber nuts".to_owned(), "stored spring")]);
    let declared =
        text.replace("spring chamber", "brake pot").replace("held by chamber", "hazard stored spring, held by chamber");
    assert_eq!(put_in(&declared), [("remove chamber nuts".to_owned(), "stored spring")]);
}

#[test]
fn an_author_who_knows_better_takes_a_message_out_with_a_reason() {
    let text = "parts\n  coil spring\n    allow caution-missing: A soft spring of a pedal, it can be held with two fingers.\n\nstage: S\n  remove coil spring\n  refit coil spring\n";
    assert_eq!(hazards(text), Vec::<&str>::new());
    let allowed = told(text, "allowed");
    assert!(
        allowed.len() == 1 && allowed[0].contains("two fingers") && !allowed[0].contains("nothing to silence"),
        "{allowed:?}"
    );
    let at_the_step = "parts\n  coil spring\n\nstage: S\n  remove coil spring\n    allow caution-missing: A soft spring.\n  refit coil spring\n";
    assert_eq!(put_in(at_the_step), [("refit coil spring".to_owned(), "stored spring")]);
    // What the act itself brings stays on the sheet.
    let act = "stage: S\n  run engine, for 2 min\n    allow caution-missing: Everybody knows.\n";
    assert_eq!(hazards(act), ["exhaust gas", "rotating parts"]);
    assert_eq!(told(act, "caution-missing"), Vec::<String>::new());
    // At the head it silences the advice and leaves the messages.
    let text = "job: Try\nallow caution-missing: The shop knows.\n\nparts\n  coil spring\n\nstage: S\n  remove coil spring\n  refit coil spring\n";
    let analysis = analyse_texts(&[("t.job", text)]);
    assert_eq!(analysis.job.expect("is printed").cautions().len(), 1);
}

#[test]
fn fluids_bring_what_waits_in_them_and_less_when_poured() {
    let coolant =
        "fluids\n  coolant: 9 L, kind ethylene glycol coolant, mix 50 % by volume\n    spec: to ASTM D3306\n\n";
    let opened = format!(
        "parts\n  cap: filler of coolant\n\n{coolant}stage: S\n  let engine cool\n  open cap\n  top up coolant\n  close cap\n"
    );
    assert_eq!(put_in(&opened), [("open cap".to_owned(), "scald"), ("top up coolant".to_owned(), "poison")]);
    let oil = "parts\n  cap: filler of engine oil\n\nfluids\n  engine oil: 6 L, kind engine oil\n    spec: 15W-40\n\nstage: S\n  open cap\n  top up engine oil\n  close cap\n";
    assert_eq!(hazards(oil), Vec::<&str>::new());
    let hose = "parts\n  hose: carries diesel\n\nfluids\n  diesel: 60 L, kind fuel\n\nstage: S\n  disconnect hose, into tray of 1 L\n  connect hose\n";
    assert_eq!(put_in(hose), [("disconnect hose".to_owned(), "fire")]);
}

/// What a supply or a tool says of itself stands on the sheet where it is taken.
#[test]
fn a_hazard_of_a_supply_is_told_where_it_is_used() {
    let text = "parts\n  horn\n\nsupplies\n  brake cleaner: hazard fire\n    note: From the red can.\n  glue\n    warning: It gums up the eye. Wear goggles.\n\n\
                stage: S\n  clean horn, with brake cleaner\n  clean horn, again\n    use: glue\n";
    let analysis = look_at(text);
    let told: Vec<_> = analysis.diagnostics.iter().map(|d| (d.rule, &d.message)).collect();
    let job = analysis.job.as_ref().unwrap_or_else(|| panic!("{told:?}"));
    let cautions: Vec<_> = job.cautions().iter().map(|c| (c.step, c.hazard)).collect();
    let content = cotter::sheet::words::content(job.procedure(), job.proof(), &cautions, &Default::default());
    let messages: Vec<String> = content.stages[0]
        .rows
        .iter()
        .filter_map(|row| match &row.kind {
            cotter::sheet::content::RowKind::Step(step) => Some(&step.messages),
            _ => None,
        })
        .flatten()
        .map(|message| message.says.text())
        .collect();
    assert!(messages.len() == 2 && messages[0].starts_with("Fire.") && messages[1].contains("gums up"), "{messages:?}");
    let unknown = look_at("supplies\n  brake cleaner: hazard smoke\n\nstage: S\n  do: Sweep, then wash.\n");
    assert!(unknown.diagnostics.iter().any(|d| d.rule == "unknown-name"), "{:?}", unknown.diagnostics);
}

#[test]
fn tools_and_words_bring_what_they_do_to_people() {
    for (step, expected) in [
        ("clean side cover, with compressed air", vec!["eye injury"]),
        ("clean side cover, with hammer and chisel", vec!["eye injury"]),
        ("clean side cover, with rag", vec![]),
        ("do: Grind the edge.", vec!["eye injury"]),
        ("do: Weld the seam.", vec!["fire", "eye injury"]),
        ("do: Start the engine and listen.", vec!["exhaust gas", "rotating parts"]),
        ("ask noise: Start the engine?", vec![]),
        ("inspect side cover: Blue spots, drill marks.", vec![]),
        ("do: Charge the battery overnight.", vec!["battery acid"]),
        ("do: Set the hoist aside.", vec![]),
    ] {
        let handled = if step.starts_with("ask") { "\n  if noise\n    do: Write it down." } else { "" };
        let text = format!("parts\n  side cover\n\nstage: S\n  {step}{handled}\n");
        assert_eq!(hazards(&text), expected, "{step}");
    }
}

#[test]
fn more_than_one_may_lift_is_not_lifted_alone() {
    let job = |weighs: &str, step: &str| {
        format!("parts\n  case: {weighs}\n\nstage: S\n  {step}\n  store case\n  refit case, with a helper\n")
    };
    let helper = |weighs: &str, step: &str| {
        told(&job(weighs, step), "caution-missing").iter().filter(|m| m.contains("helper")).count()
    };
    for (weighs, step, times) in [
        ("weighs 45 kg", "remove case", 1),
        ("weighs 45 kg", "remove case, with a helper", 0),
        ("weighs 45 kg", "remove case, with hoist", 0),
        ("weighs 45 kg", "remove case, with engine crane", 0),
        ("weighs 45 kg", "remove case: On the hoist, slowly.", 0),
        ("weighs 45 kg", "move aside case", 1),
        ("weighs 25 kg", "remove case", 0),
        ("weighs 26 kg", "remove case", 1),
        ("weighs 60 lb", "remove case", 1),
        ("weighs 45 kg, needs support", "remove case", 1),
    ] {
        let text = if step.starts_with("move") {
            job(weighs, step).replace("  store case\n", "").replace("refit case", "return case")
        } else {
            job(weighs, step)
        };
        assert_eq!(
            helper(weighs, step).max(told(&text, "caution-missing").iter().filter(|m| m.contains("helper")).count()),
            times,
            "{weighs} {step}"
        );
    }
    let supported = "parts\n  case: weighs 45 kg\n\nstage: S\n  support case, with jack\n  remove case\n  store case\n  refit case\n  release case\n";
    assert!(told(supported, "caution-missing").iter().all(|m| !m.contains("helper")));
}

#[test]
fn a_message_after_its_act_is_late_and_one_before_it_is_not() {
    let parts = "parts\n  airbag module\n  horn\n  coil spring: hazard stored spring\n\n";
    for (steps, late) in [
        ("remove airbag module\n  inspect horn\n  refit airbag module", 0),
        (
            "remove airbag module\n  remove horn\n    warning airbag: Stay beside it.\n  refit horn\n  refit airbag module",
            0,
        ),
        (
            "remove airbag module\n  refit airbag module\n  remove horn\n    warning airbag: Stay beside it.\n  refit horn",
            1,
        ),
        (
            "remove coil spring\n  refit coil spring\n  remove horn\n    danger stored spring: Keep out.\n  refit horn",
            1,
        ),
        (
            "remove horn\n    danger stored spring: Keep out.\n  remove coil spring\n  refit coil spring\n  refit horn",
            0,
        ),
        // A name alone does not make an everyday message late.
        ("remove horn, with hammer\n  refit horn\n    caution eye injury: Wear goggles.", 0),
        ("run engine, for 1 min\n  refit horn\n    warning exhaust gas: Open the gate.", 1),
        (
            "run engine, for 1 min\n    warning exhaust gas: Open the gate.\n  remove horn\n    warning exhaust gas: Keep it open.\n  refit horn",
            0,
        ),
        ("remove horn\n    warning: Before you remove the coil spring keep clear.\n  refit horn", 0),
        (
            "remove coil spring\n  refit coil spring\n  remove horn\n    warning: Never remove the coil spring before it is caged.\n  refit horn",
            1,
        ),
    ] {
        let text = format!("{parts}stage: S\n  {steps}\n");
        assert_eq!(told(&text, "caution-late").len(), late, "{steps}: {:?}", told(&text, "caution-late"));
    }
}

#[test]
fn a_message_without_a_way_out_or_with_too_low_a_word_is_weak() {
    for (message, weak) in [
        ("warning scald", 0),
        ("caution scald", 1),
        ("notice scald", 1),
        ("caution scald: Hot.", 2),
        ("warning: Hot coolant scalds.", 1),
        ("warning: Hot coolant scalds. Let it cool.", 0),
        ("danger: Death.", 1),
        ("caution: Gloves.", 0),
        ("notice: Wrong oil ruins the clutch.", 0),
        ("notice crush: Keep clear.", 1),
        ("caution: HOT! Don't touch.", 0),
        ("danger sharp edge: Wear gloves.", 0),
        ("caution: It can kill. Keep out.", 1),
        ("notice: Hot oil scalds. Let it cool.", 1),
        ("notice: A dry start kills the pump. Fill it first.", 0),
    ] {
        let text = format!("parts\n  horn\n\nstage: S\n  remove horn\n    {message}\n  refit horn\n");
        assert_eq!(told(&text, "caution-weak").len(), weak, "{message}: {:?}", told(&text, "caution-weak"));
    }
}

#[test]
fn reserved_work_is_told_once_and_asks_for_nothing_that_is_there() {
    let help = |text: &str| -> Vec<String> {
        let analysis = analyse_texts(&[("t.job", text)]);
        analysis.diagnostics.iter().filter(|d| d.rule == "licence-needed").map(|d| d.help.clone()).collect()
    };
    let body = "\n\nparts\n  airbag module\n\nstage: S\n  remove airbag module\n  refit airbag module\n";
    let asked = help(&format!("job: T{body}"));
    assert!(asked.len() == 1 && asked[0].contains("write `level: …`"), "{asked:?}");
    let there = help(&format!("job: T\nlevel: trained on airbags{body}"));
    assert!(
        there.len() == 1 && !there[0].contains("write `level") && there[0].contains("trained on airbags"),
        "{there:?}"
    );
    assert!(help(&format!("job: T\nallow licence-needed: The card hangs in the office.{body}")).is_empty());
    for (part, times) in [
        ("traction battery", 1),
        ("LPG tank", 1),
        ("gas regulator", 1),
        ("gas strut", 0),
        ("seat belt tensioner", 1),
        ("timing belt tensioner", 0),
        ("condenser", 1),
        ("airbag lamp", 0),
        ("coolant hose", 0),
        ("orange cable", 1),
    ] {
        let found = help(&format!("job: T\n\nparts\n  {part}\n\nstage: S\n  remove {part}\n  refit {part}\n"));
        assert_eq!(found.len(), times, "{part}");
    }
    // Looking is not working on it.
    assert!(help("job: T\n\nparts\n  airbag module\n\nstage: S\n  inspect airbag module\n").is_empty());
}

/// Small jobs of many trades in which nobody wrote a word about safety. What must be put in is common practice.
#[test]
fn jobs_of_many_trades_get_their_messages() {
    let cases: &[(&str, &str, &[&str])] = &[
        (
            "brake chamber of a trailer",
            "parts\n  brake chamber: held by chamber nuts\n  caging bolt\n  air hose\n\nfasteners\n  chamber nuts: 2 x M16x1.5, hex 24 mm, torque 180 N·m\n\n\
             stage: S\n  disconnect air hose\n  remove chamber nuts\n  remove brake chamber\n  refit brake chamber\n  connect air hose\n",
            &["fluid under pressure", "stored spring"],
        ),
        (
            "rear springs of a van",
            "parts\n  rear spring: each side\n  shock absorber: each side\n\nsets\n  side: left, right\n\nstage: S\n  raise rear, on stands\n  \
             for each side\n    remove rear spring\n    refit rear spring\n  lower rear\n",
            &["unsupported vehicle", "stored spring"],
        ),
        (
            "pads with no brake in their name",
            "parts\n  caliper\n  pads: 2 x, alike\n\nstage: S\n  move aside caliper\n  remove pads\n  refit pads\n  return caliper\n",
            &["brake dust"],
        ),
        (
            "clutch",
            "parts\n  clutch plate\n  gearbox\n\nstage: S\n  remove gearbox\n  remove clutch plate\n  refit clutch plate\n  refit gearbox\n",
            &["heavy load", "brake dust"],
        ),
        (
            "air-con pipes without a fluid",
            "parts\n  condenser\n\nstage: S\n  remove condenser\n  refit condenser\n",
            &["refrigerant"],
        ),
        (
            "petrol without a fluid",
            "parts\n  fuel pump\n\nstage: S\n  remove fuel pump\n  refit fuel pump\n",
            &["fire"],
        ),
        (
            "a hydraulic ram without a fluid",
            "parts\n  ram hose\n  tilt cylinder\n  boom\n\nstage: S\n  lock boom\n  remove tilt cylinder\n  refit tilt cylinder\n  unlock boom\n",
            &["crush", "fluid under pressure"],
        ),
        (
            "a shop's own words for a fluid",
            "parts\n  port\n\nfluids\n  refrigerant: 0.6 kg, kind refrigerant\n    spec: R-134a\n\nacts\n  recover / charge: recovered\n\n\
             stage: S\n  recover refrigerant\n  inspect port\n  charge refrigerant\n",
            &["refrigerant"],
        ),
        (
            "hands on a declared hazard",
            "parts\n  grille: hazard sharp edge\n\nstage: S\n  clean grille\n  inspect grille\n",
            &["sharp edge"],
        ),
        ("eyes on it", "parts\n  grille: hazard sharp edge\n\nstage: S\n  inspect grille\n", &[]),
        (
            "a radiator cap",
            "parts\n  radiator cap\n\nstage: S\n  let engine cool\n  open radiator cap\n  close radiator cap\n",
            &["scald"],
        ),
        (
            "a belt tensioner with its seat",
            "parts\n  seat\n  belt tensioner\n\nstage: S\n  remove seat\n  remove belt tensioner\n  refit belt tensioner\n  refit seat\n",
            &["airbag"],
        ),
        (
            "a belt tensioner of an engine",
            "parts\n  drive belt\n  belt tensioner\n\nstage: S\n  remove drive belt\n  remove belt tensioner\n  refit belt tensioner\n  refit drive belt\n",
            &[],
        ),
        (
            "a bearing",
            "parts\n  bearing: single-use, held by circlip\n\nfasteners\n  circlip: 1 x circlip\n\nstage: S\n  remove circlip\n  \
             remove bearing, with bearing puller\n  fit bearing, with induction heater\n",
            &["eye injury", "hot surface"],
        ),
        (
            "a starter battery",
            "parts\n  battery: weighs 19 kg\n\nstage: S\n  remove battery\n  refit battery\n",
            &["battery acid", "heavy load"],
        ),
        (
            "mower blades",
            "parts\n  mower blades: 2 x, alike\n\nstage: S\n  remove mower blades\n  refit mower blades\n",
            &["sharp edge"],
        ),
        (
            "wheel bolts only",
            "parts\n  hub cap\n  spring clip\n\nstage: S\n  remove spring clip\n  remove hub cap\n  refit hub cap\n  refit spring clip\n",
            &[],
        ),
    ];
    for (name, text, expected) in cases {
        let mut found = hazards(text);
        found.sort_unstable();
        found.dedup();
        let mut expected = expected.to_vec();
        expected.sort_unstable();
        assert_eq!(found, expected, "{name}: {:?}", put_in(text));
    }
}

#[test]
fn plain_language_is_told_where_it_helps() {
    let step = |prose: &str| format!("parts\n  horn\n\nstage: S\n  inspect horn: {prose}\n");
    let twenty = "Look at it from the left and from the right and then look once more from below with a lamp.";
    assert_eq!(twenty.split_whitespace().count(), 20);
    let more = twenty.replace("a lamp", "a good lamp");
    for (rule, prose, times) in [
        ("long-sentence", twenty, 0),
        ("long-sentence", more.as_str(), 1),
        ("long-sentence", "One. Two. Three.", 0),
        ("several-acts", "Remove the cap.", 1),
        ("several-acts", "Look, then loosen the nut.", 1),
        ("several-acts", "Do not remove the cap.", 0),
        ("several-acts", "It fits loosely.", 0),
        ("vague-word", "Clean it as necessary.", 1),
        ("vague-word", "It sits tight.", 0),
        ("vague-word", "An inadequate lamp.", 0),
        ("number-in-prose", "No crack over 6 mm.", 1),
        ("number-in-prose", "No crack over {6 mm}.", 0),
        ("number-in-prose", "Held with 145 N·m (104 lbf·ft).", 1),
        ("number-in-prose", "Held with {145 N·m} (104 lbf·ft).", 1),
        ("number-in-prose", "It opens at 125 °C (262 °F).", 1),
        ("number-in-prose", "It opens at 125 °C (257 °F).", 0),
    ] {
        assert_eq!(told(&step(prose), rule).len(), times, "{rule}: {prose}: {:?}", told(&step(prose), rule));
    }
}

#[test]
fn two_figures_that_disagree_are_told_in_declarations_too() {
    let job = |source: &str| {
        format!(
            "parts\n  horn: held by horn bolts\n\nfasteners\n  horn bolts: 2 x M12x40, hex 18 mm, torque 79 N·m\n    source: {source}\n\nstage: S\n  remove horn\n  refit horn\n"
        )
    };
    let found = told(&job("The maker's sheet, 145 N·m (104 lbf·ft)"), "number-in-prose");
    assert!(
        found.len() == 1 && found[0].starts_with("145 N·m (104 lbf·ft): ") && found[0].contains("107 lbf·ft"),
        "{found:?}"
    );
    assert_eq!(told(&job("The maker's sheet, 145 N·m (107 lbf·ft)"), "number-in-prose"), Vec::<String>::new());
    assert_eq!(told(&job("The maker's sheet, 145 N·m"), "number-in-prose"), Vec::<String>::new());
}

/// Each rule for people, with a job that it finds: silenced on the line, at the declaration or at the head of the job, and
/// the reason is listed.
#[test]
fn each_can_be_silenced_with_a_reason() {
    let cases = [
        (
            "long-sentence",
            "Look at it from the left and from the right and then look once more from below with a very good lamp.",
        ),
        ("several-acts", "Remove the cap."),
        ("vague-word", "Clean it as necessary."),
        ("number-in-prose", "No crack over 6 mm."),
    ];
    for (rule, prose) in cases {
        let on_the_line =
            format!("parts\n  horn\n\nstage: S\n  inspect horn: {prose}\n    allow {rule}: So it is said here.\n");
        let at_the_head = format!("parts\n  horn\n\nstage: S\n  inspect horn: {prose}\n");
        assert_eq!(told(&at_the_head, rule).len(), 1, "{rule}");
        for text in
            [format!("{HEAD}{on_the_line}"), format!("job: Try\nallow {rule}: So it is said here.\n\n{at_the_head}")]
        {
            let analysis = analyse_texts(&[("t.job", &text)]);
            let found: Vec<_> = analysis.diagnostics.iter().map(|d| (d.rule, d.message.clone())).collect();
            assert!(found.iter().all(|(r, _)| *r != rule), "{rule}: {found:?}");
            assert!(
                found.iter().any(|(r, m)| *r == "allowed" && m.contains("So it is said here")),
                "{rule}: {found:?}"
            );
        }
        assert!(cotter::rules::Rule::named(rule).is_some_and(|r| !r.why.is_empty() && !r.source.is_empty()), "{rule}");
    }
    let declared = "parts\n  horn\n    note: Clean it as necessary.\n    allow vague-word: So it is said here.\n\nstage: S\n  inspect horn\n";
    assert_eq!(told(declared, "vague-word"), Vec::<String>::new());
}

/// What ran out in an earlier stage scalds nobody at the next joint; once it is filled and has been warm it may.
#[test]
fn a_circuit_that_ran_dry_scalds_nobody() {
    let text = "parts\n  cap: filler of coolant\n  plug: drain of coolant\n  housing: carries coolant\n\nfluids\n  coolant: 7 L, kind ethylene glycol coolant, mix 50 % by volume, protects to -37 °C\n    spec: concentrate to ASTM D3306 in distilled water\n\n\
                stage: Drain\n  let engine cool\n  open cap\n  drain coolant, into tray of 10 L\n\n\
                stage: Housing\n  remove housing\n  refit housing\n\n\
                stage: Fill\n  close plug\n  fill coolant, 7 L\n  close cap\n  run engine, for 10 min\n\n\
                stage: Look\n  let engine cool\n  open cap\n  top up coolant\n  close cap\n";
    let scald: Vec<String> = put_in(text).into_iter().filter(|(_, h)| *h == "scald").map(|(line, _)| line).collect();
    assert_eq!(scald, ["open cap", "open cap"], "at the first opening and after the run, not at the dry housing");
}
