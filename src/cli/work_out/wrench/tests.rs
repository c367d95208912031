use clap::Parser;

use super::*;

#[derive(Parser)]
struct Typed {
    #[command(flatten)]
    args: WrenchArgs,
}

fn worked(typed: &[&str]) -> Result<Value, String> {
    let words = ["wrench"].iter().chain(typed).copied();
    let typed = Typed::try_parse_from(words).map_err(|error| error.to_string())?;
    let worked = run(&typed.args).map_err(|WrongUse(message)| message)?;
    assert!(worked.text().contains("Caution: "));
    Ok(serde_json::from_str(&worked.json()).unwrap())
}

/// The published rows of crow-feet (half of the last digit printed), through what is typed.
#[test]
fn settings_with_a_crowfoot() {
    for (torque, length, crowfoot, expected, half) in [
        ("300 lbf·in", "10 in", "4 in", 214.0, 0.5),
        ("100 lbf·in", "12 in", "6 in", 66.67, 0.005),
        ("135 lbf·in", "10 in", "1.5 in", 117.39, 0.005),
        ("30 lbf·ft", "1 ft", "0.25 ft", 24.0, 1e-9),
        ("20 lbf·ft", "14 in", "3 in", 16.47, 0.005),
        ("130 N·m", "500 mm", "150 mm", 100.0, 1e-9),
        ("90 N·m", "400 mm", "50 mm", 80.0, 1e-9),
        ("90 N·m", "500 mm", "\u{2212}50 mm", 100.0, 1e-9),
    ] {
        let got = worked(&[torque, "--crowfoot", crowfoot, "--length", length]).unwrap();
        let value = got["result"]["setting"]["value"].as_f64().unwrap();
        assert!((value - expected).abs() <= half, "{torque} {length} {crowfoot}: {value}");
        assert_eq!(got["result"]["setting"]["unit"], torque.split_once(' ').unwrap().1);
    }
    let at = |angle: &str| worked(&["90 N·m", "--crowfoot", "50 mm", "--length", "400 mm", "--angle", angle]).unwrap();
    assert_eq!(at("90°")["result"]["setting"]["value"], 90.0);
    let back = worked(&["90", "N·m", "--crowfoot", "50", "mm", "--length", "500", "mm", "--turned-back"]).unwrap();
    assert_eq!(back["result"]["setting"]["value"], 100.0);
}

/// 20 to 100 % by the edition of 2003, from the lowest mark by that of 2017; exact.
#[test]
fn verdicts() {
    for (range, torque, verdict, percent, by_2003, by_2017) in [
        ("40 to 200 N·m", "90 N·m", "ok", 45.0, true, true),
        ("40 to 200 N·m", "210 N·m", "too-high", 105.0, false, false),
        ("5 to 25 N·m", "5 N·m", "ok", 20.0, true, true),
        ("20 to 100 N·m", "100 N·m", "ok", 100.0, true, true),
        ("2 to 10 N·m", "8 N·m", "ok", 80.0, true, true),
        ("10 to 100 N·m", "12 N·m", "low", 12.0, false, true),
        ("10 to 100 N·m", "8 N·m", "too-low", 8.0, false, false),
        ("200 N·m", "39 N·m", "too-low", 19.5, false, false),
    ] {
        let got = worked(&[torque, "--range", range]).unwrap();
        let result = &got["result"];
        assert_eq!(result["verdict"], verdict, "{range} {torque}");
        assert_eq!(result["part_of_scale"]["value"], percent, "{range} {torque}");
        assert_eq!((&result["by_edition_2003"], &result["by_edition_2017"]), (&json!(by_2003), &json!(by_2017)));
    }
}

#[test]
fn how_far_it_may_be_off() {
    let got = worked(&["8 N·m", "--range", "2 to 10 N·m"]).unwrap();
    assert_eq!(got["result"]["permissible_deviation"], json!({ "value": 6, "unit": "%" }));
    assert_eq!(got["result"]["band"], json!({ "low": 7.52, "high": 8.48, "unit": "N·m" }));
    let got = worked(&["90 N·m", "--range", "40 to 200 N·m", "--class", "I", "A"]).unwrap();
    assert_eq!(got["result"]["permissible_deviation"]["value"], 6);
    // A page gives ±1.5, 2 and 3 % as the standard, another ±25 %.
    for (stated, key) in [("1.5 %", "closer"), ("±3 %", "closer"), ("4 %", "standard"), ("25 %", "wider")] {
        let got = worked(&["90 N·m", "--range", "40 to 200 N·m", "--deviation", stated]).unwrap();
        assert_eq!(got["result"]["stated_deviation"], key, "{stated}");
    }
    let got = worked(&["90 N·m", "--crowfoot", "50 mm", "--length", "400 mm", "--range", "40 to 200 N·m"]).unwrap();
    assert_eq!(got["result"]["band"], json!({ "low": 76.8, "high": 83.2, "unit": "N·m" }));
    assert_eq!(got["result"]["band_at_the_bolt"], json!({ "low": 86.4, "high": 93.6, "unit": "N·m" }));
}

#[test]
fn which_of_several_to_take() {
    let got = worked(&[
        "22 N·m",
        "--range",
        "5 to 25 N·m",
        "--range",
        "20",
        "to",
        "100",
        "N·m",
        "--range",
        "40 N·m to 200 N·m",
    ]);
    let got = got.unwrap();
    assert_eq!(got["result"]["take"], json!({ "low": 5.0, "high": 25.0, "unit": "N·m" }));
    let verdicts: Vec<&Value> = got["result"]["each"].as_array().unwrap().iter().map(|one| &one["verdict"]).collect();
    assert_eq!(verdicts, ["ok", "ok", "too-low"]);
    let got = worked(&["353 N·m", "--range", "5 to 25 N·m", "--range", "40 to 200 N·m"]).unwrap();
    assert_eq!(got["result"]["take"], Value::Null);
    assert_eq!(got["result"]["nearest"]["high"], 200.0);
    assert_eq!(got["result"]["fetch"], json!({ "low": 80.0, "high": 400.0, "unit": "N·m" }));
    let got = worked(&["81 to 88 N·m"]).unwrap();
    assert_eq!(got["result"]["fetch"]["high"], 100.0);
    assert_eq!(got["result"]["permissible_deviation"]["value"], 4);
}

#[test]
fn what_can_not_be_read_is_said() {
    for (typed, part) in [
        (&["90 mm"][..], "the torque is written like `25 N·m`, but `90 mm` is a length"),
        (&["90"], "can not be read"),
        (&["90 N·m", "--range", "40 to 200"], "like `40 to 200 N·m`"),
        (&["90 N·m", "--range", "0 to 150 mm"], "the range is written like"),
        (&["90 N·m", "--range", "at least 5 N·m"], "has an end"),
        (&["90 N·m", "--crowfoot", "50 mm"], "--length"),
        (&["90 N·m", "--crowfoot", "50 N·m", "--length", "400 mm"], "the crow-foot is written like"),
        (&["90 N·m", "--crowfoot", "500 mm", "--length", "400 mm", "--turned-back"], "nothing can be set"),
        (&["90 N·m", "--class", "III"], "`II A` to `II G`"),
    ] {
        let error = worked(typed).unwrap_err();
        assert!(error.contains(part), "{typed:?}: {error}");
    }
}
