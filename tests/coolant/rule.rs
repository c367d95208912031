//! What `mix-implausible` finds, and what it must leave alone.

use cotter::analysis::analyse_texts;

/// What the rule says of a fluid declared like this, in a machine file.
fn told(fluid: &str) -> Vec<String> {
    told_in(&format!("machine: Brindle 40 light truck\n\noptions\n  heater at the rear\n\nfluids\n  {fluid}\n"))
}

fn told_in(text: &str) -> Vec<String> {
    let analysis = analyse_texts(&[("m.job", text)]);
    let found = analysis.diagnostics.iter().filter(|d| d.rule == "mix-implausible");
    found
        .map(|d| format!("{}{}. {}", if d.on_which.is_empty() { "" } else { "(some ways) " }, d.message, d.help))
        .collect()
}

#[track_caller]
fn says(fluid: &str, words: &[&str]) {
    let found = told(fluid);
    assert_eq!(found.len(), 1, "{fluid}: {found:#?}");
    for word in words {
        assert!(found[0].contains(word), "{fluid}: {} lacks {word:?}", found[0]);
    }
}

#[track_caller]
fn silent(fluid: &str) {
    let found = told(fluid);
    assert!(found.is_empty(), "{fluid}: {found:#?}");
}

/// Figures of the trade for the usual mixes, from several published tables (ASTM D3306, engine makers' pages, Lange's Handbook, Melinder): none may
/// be told.
#[test]
fn published_figures_are_plausible() {
    for (percent, protects) in [
        ("33 %", "-18 °C"),
        ("33 %", "-20 °C"),
        ("40 %", "-24 °C"),
        ("40 %", "-25 °C"),
        ("40 %", "-27 °C"),
        ("45 %", "-28 °C"),
        ("45 %", "-30 °C"),
        ("50 %", "-35 °C"),
        ("50 %", "-37 °C"),
        ("50 %", "-34 °F"),
        ("50 %", "-37 °F"),
        ("50 %", "-40 °C"),
        ("50 %", "-25 °C"),
        ("55 %", "-45 °C"),
        ("60 %", "-52 °C"),
        ("60 %", "-54 °C"),
        ("60 %", "-62 °F"),
        ("60 %", "-40 °C"),
    ] {
        silent(&format!("coolant: 9 L, kind ethylene glycol coolant, mix {percent} by volume, protects to {protects}"));
    }
    for (percent, protects) in [
        ("33 %", "-15 °C"),
        ("40 %", "-20 °C"),
        ("40 %", "-21 °C"),
        ("50 %", "-32 °C"),
        ("50 %", "-33 °C"),
        ("60 %", "-49 °C"),
        ("60 %", "-51 °C"),
    ] {
        silent(&format!(
            "coolant: 9 L, kind propylene glycol coolant, mix {percent} by volume, protects to {protects}"
        ));
    }
}

#[test]
fn what_freezes_too_soon_is_told_with_the_mix_that_would_do() {
    says(
        "coolant: 5.5 L, kind ethylene glycol coolant, mix 20 % by volume, protects to -28 °C",
        &["20 % freezes at about -9 °C", "-28 °C takes about 43 %", "mix 43 % by volume"],
    );
    says(
        "coolant: 5 L, kind ethylene glycol coolant, mix 40 %, protects to -34 °F",
        &["-13 °F", "-34 °F takes about 50 %"],
    );
    says("coolant: 5 L, kind propylene glycol coolant, mix 40 %, protects to -37 °C", &["-22 °C", "takes about 53 %"]);
    // The figure of ethylene glycol, claimed for the other.
    says("coolant: 5 L, kind propylene glycol coolant, mix 50 %, protects to -37 °C", &["-34 °C", "2.5 K are allowed"]);
    says(
        "coolant: 5 L, kind ethylene glycol coolant, mix 60 %, protects to -70 °C",
        &["No mix of ethylene glycol", "-52 °C"],
    );
    says(
        "coolant: 5 L, kind ethylene glycol coolant, mix 50 %, protects to 37 °C",
        &["minus sign", "`protects to -37 °C`"],
    );
}

#[test]
fn too_strong_and_too_weak_whatever_the_frost() {
    says(
        "coolant: 11.5 L, kind ethylene glycol coolant, mix 65 % by volume, protects to -28 °C",
        &["65 % by volume is more than 60 %", "takes about 43 %"],
    );
    says("coolant: 9 L, kind ethylene glycol coolant, mix 25 %, protects to -12 °C", &["less than 33 %", "inhibitor"]);
    says("coolant: 9 L, kind ethylene glycol coolant, mix 70 %", &["40 to 60 %"]);
    says(
        "coolant: 9 L, kind ethylene glycol coolant, mix 60 %, protects to -24 °C",
        &["far below the -24 °C", "about 40 %"],
    );
}

#[test]
fn what_the_rule_does_not_judge() {
    for fluid in [
        "coolant: 9 L, kind ethylene glycol coolant, mix 50 %",
        "coolant: 9 L, kind ethylene glycol coolant, protects to -37 °C",
        "two-stroke fuel: 9 L, kind fuel, mix 2 %",
        "screen wash: 5 L, kind washer fluid, mix 20 %, protects to -20 °C",
        "coolant: 9 L, kind other, mix 10 %, protects to -60 °C",
        "coolant: 9 L, kind ethylene glycol coolant, mix 50 %, old mix 10 %",
        "coolant: 9 L, kind ethylene glycol coolant, mix 50 %, drains 7 L, old mix 30 %",
    ] {
        silent(fluid);
    }
}

#[test]
fn a_system_that_stays_partly_full_and_can_not_be_brought_there() {
    says(
        "coolant: 9 L, kind ethylene glycol coolant, mix 50 %, drains 3 L, old mix 20 %",
        &["6 L of 20 % stay in", "makes only 47 %, not 50 %"]
            .map(|w| if w.starts_with("makes") { "makes only 47 % of it" } else { w }),
    );
    says(
        "coolant: 9 L, kind ethylene glycol coolant, mix 50 %, drains 3 L, old mix 20 %",
        &["At most 5.62 L may stay in"],
    );
    says(
        "coolant: 9 L, kind ethylene glycol coolant, mix 40 %, drains 1 L, old mix 60 %",
        &["even pure water on top leaves 53 %", "At most 6 L"],
    );
    says("coolant: 9 L, kind ethylene glycol coolant, mix 40 %, drains 7 L, old mix 130 %", &["no share"]);
    says(
        "coolant: 9 L, kind ethylene glycol coolant, mix 50 %, protects to -37 °C, drains 5 L, old mix 20 %\n    spec: ready mixed",
        &["the whole is 37 %", "Pour concentrate"],
    );
}

#[test]
fn variants_are_judged_where_they_hold() {
    let found = told(
        "coolant: 9 L, kind ethylene glycol coolant, mix 50 %, protects to -37 °C\n    with heater at the rear\n      protects to -50 °C",
    );
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].starts_with("(some ways) "), "{found:#?}");
    // What is wrong whatever the option is one mistake.
    let found = told("coolant: 9 L, kind ethylene glycol coolant, mix 70 %\n    with heater at the rear\n      12 L");
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(!found[0].starts_with("(some ways) "), "{found:#?}");
}

#[test]
fn the_wrong_water() {
    says(
        "coolant: 9 L, kind ethylene glycol coolant, mix 50 %\n    spec: concentrate to ASTM D3306 in tap water",
        &["tap water for the coolant", "demineralised"],
    );
    silent(
        "coolant: 9 L, kind ethylene glycol coolant, mix 50 %\n    spec: concentrate and distilled water, never tap water",
    );
    silent("gear oil: 2 L, kind gear oil\n    spec: SAE 80W-90; wash off with tap water");
    let job = "job: Fill up\n\nparts\n  cap: filler of coolant\n\nfluids\n  coolant: 9 L, kind ethylene glycol coolant, mix 50 %\n    \
               spec: concentrate to ASTM D3306\n\nstage: Fill\n  open cap\n  top up coolant, with tap water: To the mark.\n  close cap\n  \
               clean radiator: With tap water.\n";
    let found = told_in(job);
    assert_eq!(found.len(), 1, "{found:#?}");
    let found = told_in(&job.replace(", with tap water: To the mark.", ": Any tap water will do."));
    assert_eq!(found.len(), 1, "{found:#?}");
}
