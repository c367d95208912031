//! `cotter work-out` as people and scripts use it. The tables are tested where the functions stand; here it is seen that each
//! is reached from the command line, with its units, source and caution.
// These tests start the program.
#![allow(clippy::disallowed_methods, clippy::disallowed_types)]

use std::process::{Command, Output};

use serde_json::Value;

fn work_out(arguments: &str) -> Output {
    Command::new(env!("CARGO_BIN_EXE_cotter")).arg("work-out").args(words(arguments)).output().unwrap()
}

/// Words as a shell splits them: what stands in quotes stays together.
fn words(text: &str) -> Vec<String> {
    text.split('"')
        .enumerate()
        .flat_map(|(i, part)| match i % 2 {
            1 => vec![part.to_owned()],
            _ => part.split_whitespace().map(str::to_owned).collect(),
        })
        .collect()
}

fn json(arguments: &str) -> Value {
    let output = work_out(&format!("{arguments} --as json"));
    let errors = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{arguments}: {errors}");
    let object: Value = serde_json::from_slice(&output.stdout).unwrap();
    for part in ["calculation", "method", "source", "caution"] {
        assert!(object[part].as_str().is_some_and(|text| !text.is_empty()), "{arguments}: `{part}` is empty");
    }
    assert!(object["inputs"].is_object() && object["result"].is_object(), "{arguments}");
    object
}

fn refused(arguments: &str) -> String {
    let output = work_out(arguments);
    assert_eq!(output.status.code(), Some(2), "{arguments}");
    assert!(output.stdout.is_empty(), "{arguments}");
    String::from_utf8(output.stderr).unwrap()
}

fn near(value: &Value, expected: f64, tolerance: f64) -> bool {
    value.as_f64().is_some_and(|value| (value - expected).abs() <= tolerance)
}

/// VDI 2230-1 as a catalogue prints it: M8 of 10.9 at friction 0.12 takes 36.1 N·m and then holds 27.3 kN; 1 % and 0.6 %.
#[test]
fn torque() {
    let result = &json("torque M8 --class 10.9 --friction 0.12")["result"];
    assert!(near(&result["torque"]["value"], 36.1, 0.36), "{result}");
    assert!(near(&result["preload"]["value"], 27.3, 0.17), "{result}");
    assert_eq!((&result["torque"]["unit"], &result["preload"]["unit"]), (&"N·m".into(), &"kN".into()));
    // The same table at 0.08 and 0.16, the ends of 'oiled'.
    let oiled = &json("torque M10x1.25 --class 10.9 --oiled")["result"]["torque"];
    assert!(near(&oiled["low"], 55.0, 0.6) && near(&oiled["high"], 92.0, 1.0), "{oiled}");
    // A textbook of fasteners: K 0.30, 0.190 in, 1275 lbf give 72.7 lbf·in = 8.214 N·m; 0.2 %.
    let short = &json("torque 10-32 --k 0.30 --preload 1275 lbf")["result"]["torque"];
    assert!(near(&short["value"], 8.214, 0.017), "{short}");
    // A table after SAE J429: 1/2-13 grade 2 dry, 75 % of proof, 48.8 lbf·ft = 66.2 N·m; 1 %.
    let grade = &json("torque 1/2-13 UNC --grade 2 --k 0.2 --of-proof 75 %")["result"]["torque"];
    assert!(near(&grade["value"], 66.2, 0.66), "{grade}");
}

/// ISO 898-1: M12 of class 8.8 has 84.3 mm² and a proof load of 48 900 N; ASME B1.1: 3/8-24 has 0.0878 in².
#[test]
fn thread() {
    let result = &json("thread M12 --class 8.8")["result"];
    assert!(near(&result["stress_area"]["value"], 84.3, 0.1) && near(&result["proof_load"]["value"], 48_900.0, 293.0));
    assert!(near(&json("thread 3/8-24 UNF")["result"]["stress_area_inch"]["value"], 0.0878, 0.0002));
}

/// ISO 4762: M8 has key 6 mm; ISO 272: M10 16 mm, older DIN 17 mm; ISO 14579: M6 has 30.
#[test]
fn key() {
    assert!(near(&json("key M8 --head cap")["result"]["key"]["value"], 6.0, 0.0));
    let hex = &json("key M10")["result"]["hex"];
    let sizes: Vec<f64> = hex["all"].as_array().unwrap().iter().filter_map(|s| s["value"].as_f64()).collect();
    assert_eq!(sizes, [16.0, 17.0, 14.0, 15.0, 13.0]);
    assert!(near(&json("key M6 --hexalobular")["result"]["hexalobular"]["value"], 30.0, 0.0));
}

/// NIST SP 811: 90 N·m is 66.3806 lbf·ft, 37 °C is 98.6 °F; half of the last digit.
#[test]
fn convert() {
    assert!(near(&json("convert 90 N·m lbf·ft")["result"]["converted"]["value"], 66.3806, 0.000_05));
    assert!(near(&json("convert 37 °C °F")["result"]["converted"]["value"], 98.6, 1e-9));
    assert!(near(&json("convert -40 C to F")["result"]["converted"]["value"], -40.0, 1e-9));
    assert!(near(&json("convert 3 h 15 min min")["result"]["converted"]["value"], 195.0, 1e-9));
}

/// A published page of a farm implement manual prints 145 N·m (104 lbf·ft), and one about cooling 125 °C (262 °F): wrong by this.
#[test]
fn published_figures_that_contradict_themselves() {
    let converted = |text: &str| json(&format!("convert {text}"))["result"]["converted"]["value"].as_f64().unwrap();
    assert!((converted("145 N·m lbf·ft") - 104.0).abs() > 0.5 && (converted("145 N·m lbf·ft") - 106.9).abs() < 0.05);
    assert!((converted("125 °C °F") - 262.0).abs() > 0.5 && (converted("125 °C °F") - 257.0).abs() < 1e-9);
    // Web tables of stress areas: M18x2 216 mm² (that is M18x1.5), M10x0.75 72.7, M8x0.75 44.2, M12x1 98.0 mm².
    for (thread, printed, right) in
        [("M18x2", 216.0, 204.0), ("M10x0.75", 72.7, 67.9), ("M8x0.75", 44.2, 41.8), ("M12x1", 98.0, 96.1)]
    {
        let area = json(&format!("thread {thread}"))["result"]["stress_area"]["value"].as_f64().unwrap();
        assert!((area / right - 1.0).abs() <= 0.004 && (area / printed - 1.0).abs() > 0.01, "{thread}: {area}");
    }
}

#[test]
fn what_can_not_be_worked_out_is_said() {
    for (arguments, words) in [
        ("torque M8", "--class 8.8"),
        ("torque M8 --class 8.7", "there is no property class `8.7`"),
        ("torque Q8 --class 8.8", "no thread"),
        ("torque G 1/4 --class 8.8", "pipe thread"),
        ("torque M8 --class 8.8 --preload 5 mm", "the preload is written like `22 N`, but `5 mm` is a length"),
        ("key M95x2", "measure it"),
        ("convert 25 N·m", "no unit to convert to"),
        ("convert 25 N·m mm", "one can't become the other"),
        ("convert 25 gal L", "more than one size"),
        ("thread M8 --nut 7", "ISO 898-2 has no nut of class 7"),
    ] {
        let error = refused(arguments);
        assert!(error.contains(words) && error.starts_with("cotter: "), "{arguments}: {error}");
    }
}
