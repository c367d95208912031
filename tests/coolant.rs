//! Coolant at the bench and on the sheet: what `cotter work-out mix`, `coolant` and `drain` say, and what 'Have ready' prints.
// These tests start the program.
#![allow(clippy::disallowed_methods, clippy::disallowed_types)]

#[path = "coolant/rule.rs"]
mod rule;

use std::process::Command;

use cotter::analysis::analyse_texts;
use cotter::quantity::System;
use cotter::sheet::page::Kind;
use cotter::sheet::{Choice, lay_out};
use serde_json::Value;

/// Words are parted by `|`.
fn work_out(words: &str) -> (Option<i32>, String, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_cotter"))
        .arg("work-out")
        .args(words.split('|'))
        .output()
        .expect("the program starts");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (out.status.code(), text(&out.stdout), text(&out.stderr))
}

fn result(words: &str) -> Value {
    let (code, out, err) = work_out(&format!("{words}|--as|json"));
    assert_eq!(code, Some(0), "{words}: {err}");
    let whole: Value = serde_json::from_str(&out).unwrap_or_else(|e| panic!("{words}: {e}: {out}"));
    for part in ["inputs", "result", "method", "source", "caution"] {
        assert!(!whole[part].is_null(), "{words}: no {part}");
    }
    whole["result"].clone()
}

#[track_caller]
fn near(result: &Value, key: &str, expected: f64, tolerance: f64) {
    let got = result[key]["value"].as_f64().unwrap_or_else(|| panic!("no {key} in {result}"));
    assert!((got - expected).abs() <= tolerance, "{key}: {got}, not {expected} ± {tolerance}");
}

#[test]
fn a_mix_for_a_system_that_stays_partly_full() {
    let mixed = result("mix|7.2 L|--kind|ethylene glycol coolant|--protect|-36 °C|--left|1.6 L|--left-mix|30 %");
    near(&mixed, "whole_mix", 49.2, 0.5);
    near(&mixed, "freezes_at", -36.0, 0.2);
    let share = mixed["whole_mix"]["value"].as_f64().unwrap() / 100.0;
    near(&mixed, "concentrate", 7.2 * share - 0.48, 1e-9);
    near(&mixed, "poured", 5.6, 1e-9);
    let sum = mixed["concentrate"]["value"].as_f64().unwrap() + mixed["water"]["value"].as_f64().unwrap();
    assert!((sum - 5.6).abs() < 1e-9, "no drop is lost: {sum}");
    // The other reading: 7.2 L on top of the 1.6 L.
    let on_top = &mixed["if_poured_on_top"];
    assert!((on_top["coolant"].as_f64().unwrap() - (8.8 * share - 0.48)).abs() < 1e-9, "{on_top}");
    let (code, text, _) = work_out("mix|7.2|L|--protect|-36|°C|--left|1.6|L|--left-mix|30|%");
    assert_eq!(code, Some(0));
    assert!(text.contains("ethylene glycol coolant") && text.contains("what the whole system holds"), "{text}");
}

#[test]
fn mixes_of_a_share_of_a_premix_and_under_a_cap() {
    let mixed = result("mix|9.4 L|--mix|40 %|--cap|15 psi");
    near(&mixed, "concentrate", 3.76, 1e-9);
    near(&mixed, "water", 5.64, 1e-9);
    near(&mixed, "freezes_at", -24.8, 0.2);
    near(&mixed, "boils_under_cap", 127.5, 1.5);
    let premix = result("mix|7.2 L|--mix|40 %|--left|1.6 L|--left-mix|30 %|--with-mix|50 %");
    near(&premix, "ready_mix", 4.8, 1e-9);
    near(&premix, "water", 0.8, 1e-9);
    let weak = result("mix|9 L|--mix|50 %|--left|6 L|--left-mix|20 %");
    assert!(weak["impossible"].as_str().unwrap().contains("pure concentrate"), "{weak}");
    near(&weak, "may_stay", 5.625, 1e-9);
    near(&weak, "drain_more", 0.375, 1e-9);
    near(&weak, "reaches", 46.6667, 0.001);
    let premix = result("mix|9 L|--mix|50 %|--left|6 L|--left-mix|20 %|--with-mix|45 %");
    assert!(premix["impossible"].is_string() && premix["concentrate"].is_null(), "{premix}");
    for (words, said) in [
        ("mix|9 L|--protect|-70 °C", "60 %"),
        ("mix|9 L|--protect|36 °C", "minus"),
        ("mix|9 L", "--protect"),
        ("mix|9 L|--mix|140 %", "0 to 100 %"),
        ("mix|9 kg|--mix|40 %", "is a weight"),
        ("mix|9 L|--mix|40 %|--left|10 L|--left-mix|30 %", "part of the whole"),
        ("mix|9 L|--mix|40 %|--kind|gear oil", "ethylene glycol coolant"),
        ("mix|9 L|--mix|40 %|--cap|900 kPa", "cap"),
        ("coolant|40 mm", "share"),
        ("drain|7 L|--changes|3|--drain|8 L", "more is drained"),
    ] {
        let (code, _, err) = work_out(words);
        assert_eq!(code, Some(2), "{words}: {err}");
        assert!(err.contains(said), "{words}: {err}");
    }
}

/// ASHRAE Handbook Fundamentals (2009) ch. 31 tables 4 and 5: ±0.5 °C freezing, ±0.5 % by volume, ±1 °C boiling. CoolProp 8.0.0: ±0.2 °C by volume.
#[test]
fn coolants_of_the_handbook() {
    for (words, volume, freezes, boils, tolerance) in [
        ("coolant|50 %|--by|mass|--kind|ethylene glycol coolant", 47.6, -33.8, 107.2, 0.5),
        ("coolant|30 %|--by|mass|--kind|ethylene glycol", 27.7, -14.1, 104.4, 0.5),
        ("coolant|35 %|--by|mass|--kind|propylene glycol coolant", 34.4, -16.4, 102.8, 0.5),
        ("coolant|45 %|--kind|ethylene glycol coolant", 45.0, -30.5, 106.9, 0.2),
        ("coolant|55 %|--kind|propylene glycol coolant", 55.0, -41.6, 106.1, 0.2),
    ] {
        let got = result(words);
        near(&got, "by_volume", volume, 0.5);
        near(&got, "freezes_at", freezes, tolerance);
        near(&got, "boils_at", boils, 1.0);
    }
    near(&result("coolant|40 %"), "density", 1060.4, 2.1);
    let (_, text, _) = work_out("coolant|30 %");
    assert!(text.contains("65.30 lb/ft³"), "{text}");
    near(&result("coolant|-24.8 °C"), "by_volume", 40.0, 0.1);
    let capped = result("coolant|50 %|--by|mass|--cap|15 psi");
    near(&capped, "boils_under_cap", 128.9, 1.5);
    let (_, text, _) = work_out("coolant|50 %|--by|mass|--cap|15 psi");
    assert!(text.contains("264 °F") && text.contains("overstates"), "{text}");
    assert!(result("coolant|80 %")["freezes"].as_str().unwrap().contains("60 %"));
}

/// Mixture problems of textbooks: exact.
#[test]
fn drain_and_replace() {
    near(&result("drain|20 US qt|--from|55 %|--to|70 %|--with|80 %"), "drain", 12.0, 1e-9);
    near(&result("drain|3.6 L|--from|60 %|--to|50 %|--with|water"), "drain", 0.6, 1e-9);
    near(&result("drain|7.5 L|--from|35 %|--to|50 %"), "drain", 1.7308, 0.000_05);
    let all = result("drain|7.5 L|--from|35 %|--to|50 %|--with|50 %");
    assert!(all["impossible"].as_str().unwrap().contains("unless all is drained"), "{all}");
    near(&all, "drain", 7.5, 1e-9);
    let never = result("drain|7.5 L|--from|35 %|--to|50 %|--with|45 %");
    assert!(never["impossible"].is_string() && never["drain"].is_null(), "{never}");
    let changes = result("drain|8 L|--changes|3|--drain|4 L|--from|30 %|--with|50 %|--kind|ethylene glycol coolant");
    near(&changes, "left_of_old", 12.5, 1e-9);
    near(&changes, "whole_mix", 47.5, 1e-9);
    near(&changes, "freezes_at", -33.7, 0.2);
    near(&result("drain|8 L|--changes|400|--drain|3 L"), "left_of_old", 0.0, 1e-9);
}

const JOB: &str = "job: Change the coolant\nnumber: CO-1\nrevision: 1\n\noptions\n  rear heater\n\nparts\n  tank cap: filler of coolant\n  \
    radiator tap: drain of coolant\n\nfluids\n  coolant: 9.4 L, kind ethylene glycol coolant, mix 40 % by volume, protects to -24 °C, drains 7 L, \
    old mix 30 % by volume\n    spec: concentrate to ASTM D3306\n\nstage: Change it\n  let engine cool\n  open tank cap\n  drain coolant\n  close radiator \
    tap\n  fill coolant, 7 L\n  close tank cap\n";

/// All text of the sheet in its order, one blank between words.
fn sheet(job: &str, units: System) -> String {
    let analysis = analyse_texts(&[("j.job", job)]);
    let told: Vec<&str> = analysis.diagnostics.iter().map(|d| d.message.as_str()).collect();
    let checked = analysis.job.unwrap_or_else(|| panic!("{told:#?}"));
    let sheet = lay_out(&checked, &Choice { units, ..Choice::default() });
    let mut text = String::new();
    for item in sheet.pages.iter().flat_map(|page| &page.items) {
        if let Kind::Text(run) = &item.kind {
            text.push_str(&run.text());
            text.push(' ');
        }
    }
    text.replace('\u{a0}', " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

#[track_caller]
fn prints(job: &str, units: System, words: &[&str]) {
    let text = sheet(job, units);
    for word in words {
        assert!(text.contains(word), "no {word:?} in:\n{text}");
    }
}

#[test]
fn the_sheet_says_what_to_pour_into_a_system_that_stays_partly_full() {
    // 9.4 L of 40 % hold 3.76 L; the 2.4 L of 30 % that stay hold 0.72 L.
    prints(
        JOB,
        System::Metric,
        &[
            "2.4 L of 30 % stay in: pour 3.04 L concentrate + 3.96 L water",
            "The whole becomes 40 % by volume, protects to −24 °C",
            "Whole system 9.4 L: 3.76 L concentrate + 5.64 L water",
            "The water is distilled or deionised",
            "Drain tray of at least 7 L",
        ],
    );
    prints(JOB, System::Us, &["3.2 US qt concentrate", "4.2 US qt water"]);
    // Nobody says how strong the rest is.
    let unknown = JOB.replace(", old mix 30 % by volume", "");
    prints(
        &unknown,
        System::Metric,
        &[
            "40 % by volume, protects to −24 °C: 2.8 L concentrate + 4.2 L water",
            "2.4 L stay in: measure how strong they are. Concentrate + water if they are 20 %: 3.28 L + 3.72 L; 30 %: 3.04 L + 3.96 L",
        ],
    );
    // No figure of the author's: the tables'.
    prints(
        &unknown.replace(", protects to -24 °C", ""),
        System::Metric,
        &["40 % by volume, freezes at about −24.8 °C"],
    );
    let water = JOB.replace("ASTM D3306", "ASTM D3306 in demineralised water");
    assert!(!sheet(&water, System::Metric).contains("The water is"), "the specification says which");
}

#[test]
fn only_a_part_of_it_is_let_out() {
    // 3 L out: 6.4 L of 30 % hold 1.92 L, and 40 % of 9.4 L are 3.76 L.
    let part = JOB
        .replace("options\n  rear heater\n\n", "")
        .replace("drain coolant", "drain coolant, 3 L")
        .replace("fill coolant, 7 L", "fill coolant, 3 L");
    let words = ["6.4 L of 30 % stay in: pour 1.84 L concentrate + 1.16 L water", "Drain tray of at least 3 L"];
    prints(&part, System::Metric, &words);
    assert_eq!(told(&part), Vec::<String>::new());
    // 1 L out: 8.4 L hold 2.52 L, and 1.24 L don't fit.
    let less = part.replace("3 L", "1 L");
    assert!(told(&less).iter().any(|t| t.contains("8.4 L of 30 % stay in")), "{:?}", told(&less));
    // Topped up only: nothing was let out, and nothing is said of what stays in.
    let top = JOB.replace("  drain coolant\n  close radiator tap\n  fill coolant, 7 L", "  top up coolant");
    let text = sheet(&top, System::Metric);
    assert!(text.contains("To top up") && !text.contains("stay in"), "{text}");
}

fn told(job: &str) -> Vec<String> {
    let analysis = analyse_texts(&[("j.job", job)]);
    let faults = analysis.diagnostics.iter().filter(|d| d.severity != cotter::diagnostic::Severity::Advice);
    faults.map(|d| format!("{}: {}", d.rule, d.message)).collect()
}

#[test]
fn the_sheet_pours_a_ready_mix_as_it_comes() {
    let ready = JOB.replace("concentrate to ASTM D3306", "ready mixed").replace("old mix 30 %", "old mix 40 %");
    let text = sheet(&ready, System::Metric);
    assert!(text.contains("40 % by volume, protects to −24 °C, ready mixed"), "{text}");
    assert!(!text.contains("concentrate"), "{text}");
}

#[test]
fn the_sheet_gives_each_variant_its_amounts() {
    let job = JOB
        .replace("    spec: conc", "    with rear heater\n      12 L\n      drains 10 L\n    spec: conc")
        .replace("fill coolant, 7 L", "fill coolant")
        .replace(", old mix 30 % by volume", "");
    prints(
        &job,
        System::Metric,
        &["Coolant, with rear heater 10 L", "4 L concentrate + 6 L water", "Drain tray of at least 10 L"],
    );
}

#[test]
fn an_impossible_mix_is_told_and_printed_without_figures() {
    let job = JOB
        .replace("mix 40 %", "mix 55 %")
        .replace("-24", "-44")
        .replace("drains 7 L", "drains 3 L")
        .replace("fill coolant, 7 L", "fill coolant, 3 L");
    let analysis = analyse_texts(&[("j.job", &job)]);
    let told: Vec<&str> =
        analysis.diagnostics.iter().filter(|d| d.rule == "mix-implausible").map(|d| d.message.as_str()).collect();
    assert_eq!(told.len(), 1, "{told:#?}");
    let text = sheet(&job, System::Metric);
    assert!(text.contains("6.4 L of 30 % stay in: no pouring makes the whole 55 %"), "{text}");
    assert!(text.contains("The whole becomes 52.3 % by volume, freezes at about −40.4 °C"), "{text}");
}

#[test]
fn odd_amounts_are_answered() {
    for words in [
        "mix|99999999999999999999999999999999999999 L|--mix|33.333333333333333333 %",
        "mix|0.000000000000000000000000000001 L|--mix|50 %|--left|0.0000000000000000000000000000001 L|--left-mix|1/3 %",
        "mix|7.2 L|--protect|-300 °C",
        "mix|-7.2 L|--mix|50 %",
        "mix|7.2 L|--mix|50 %|--left|7.2 L|--left-mix|50 %",
        "mix|7.2 L|--mix|50 %|--left|7.2 L|--left-mix|40 %",
        "mix|7.2 L|--mix|0 %|--with-mix|0 %",
        "mix|7.2 L|--mix|50 %|--with-mix|0 %",
        "coolant|0 %|--cap|0 kPa",
        "coolant|100 %|--by|mass|--kind|pg|--cap|250 kPa",
        "coolant|0 °C",
        "drain|8 L|--changes|4294967295|--drain|0.001 L",
        "drain|8 L|--changes|0|--drain|8 L|--from|30 %",
        "drain|8 L|--from|30 %|--to|30 %|--with|30 %",
    ] {
        let (code, out, err) = work_out(words);
        assert!(matches!(code, Some(0 | 2)), "{words}: {code:?} {err}");
        assert!(!err.contains("panicked") && !out.contains("NaN"), "{words}: {err}{out}");
        assert_eq!(code == Some(0), !out.is_empty(), "{words}");
    }
}
