//! Factors and worked conversions against published values, and laws over many inputs.

use super::*;

fn quantity(text: &str) -> Quantity {
    parse_quantity(text).unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn spec(text: &str) -> Spec {
    parse_spec(text).unwrap_or_else(|e| panic!("{text}: {e}"))
}

fn in_unit(text: &str, symbol: &str) -> f64 {
    let unit = Unit::exact(symbol).unwrap_or_else(|| panic!("no unit {symbol}"));
    quantity(text).convert(&unit).unwrap_or_else(|| panic!("{text} in {symbol}")).value.to_f64()
}

/// NIST SP 811 (2008) App. B.8 and BIPM SI Brochure 9th ed.; relative tolerance 1e-12.
#[test]
fn factors_are_those_of_nist_sp_811() {
    for (unit, to, factor) in [
        ("lbf·ft", "N·m", 1.355_817_948_331_4),
        ("kgf·m", "N·m", 9.80665),
        ("kgf·cm", "N·m", 0.098_066_5),
        ("bar", "kPa", 100.0),
        ("psi", "kPa", 6.894_757_293_168_36),
        ("inHg", "kPa", 3.386_388_640_341),
        ("mmHg", "kPa", 0.133_322_387_415),
        ("inH2O", "kPa", 0.249_088_91),
        ("US fl oz", "mL", 29.573_529_562_5),
        ("US pt", "mL", 473.176_473),
        ("imp pt", "mL", 568.261_25),
        ("imp qt", "L", 1.136_522_5),
        ("US gal", "L", 3.785_411_784),
        ("in³", "cm³", 16.387_064),
        ("in", "mm", 25.4),
        ("ft", "mm", 304.8),
        ("yd", "m", 0.9144),
        ("lb", "kg", 0.453_592_37),
        ("oz", "g", 28.349_523_125),
        ("kgf", "N", 9.80665),
        ("mph", "km/h", 1.609_344),
        ("US gal/min", "L/min", 3.785_411_784),
        ("imp gal/min", "L/min", 4.54609),
        ("hp", "kW", 0.745_699_871_582_27),
        ("PS", "kW", 0.735_498_75),
        ("kW·h", "MJ", 3.6),
    ] {
        let got = in_unit(&format!("1 {unit}"), to);
        assert!((got / factor - 1.0).abs() < 1e-12, "1 {unit} = {got} {to}, not {factor}");
    }
    assert_eq!(quantity("1 A·h").to_si(), Number::whole(3600));
}

/// How units hang together by definition (NIST SP 811 App. B): exact.
#[test]
fn units_hang_together() {
    for (text, same) in [
        ("1 lbf·ft", "12 lbf·in"),
        ("1 lbf·in", "16 ozf·in"),
        ("1 US gal", "4 US qt"),
        ("1 US qt", "2 US pt"),
        ("1 US pt", "16 US fl oz"),
        ("1 US gal", "231 in³"),
        ("1 imp gal", "4 imp qt"),
        ("1 imp qt", "2 imp pt"),
        ("1 imp pt", "20 imp fl oz"),
        ("1 lb", "16 oz"),
        ("1 lbf", "16 ozf"),
        ("1 ft", "12 in"),
        ("1 yd", "3 ft"),
        ("1 miles", "1760 yd"),
        ("1 in", "1000 thou"),
        ("1 kgf·m", "100 kgf·cm"),
        ("1 MPa", "10 bar"),
        ("1 kgf/cm²", "98066.5 Pa"),
        ("1 turn", "360°"),
        ("1°", "60 arcmin"),
        ("1 L", "1000 cm³"),
        ("1 week", "168 h"),
        ("60 °C", "140 °F"),
        ("-40 °C", "-40 °F"),
        ("15 K", "27 °F difference"),
        ("1 kg/L", "1000 g/L"),
        ("36 km/h", "10 m/s"),
    ] {
        assert!(quantity(text).same_as(&quantity(same)), "{text} is not {same}");
    }
}

/// t/°F = 1.8 t/°C + 32 and the factors above (NIST SP 811); tolerance half of the last digit shown.
#[test]
fn worked_conversions() {
    for (text, unit, shown) in [
        ("90 N·m", "lbf·ft", "66.3806"),
        ("25 N·m", "lbf·in", "221.2686"),
        ("89 lbf·in", "N·m", "10.05565"),
        ("3.5 kgf·m", "lbf·ft", "25.31555"),
        ("2.3 bar", "psi", "33.35868"),
        ("35 psi", "bar", "2.413165"),
        ("37 °C", "°F", "98.6"),
        ("121 °C", "°F", "249.8"),
        ("1 imp qt", "US qt", "1.200950"),
        ("1 US gal", "imp gal", "0.8326742"),
    ] {
        let decimals = shown.split_once('.').map_or(0, |(_, part)| part.len());
        let half = 0.5 * 10_f64.powi(-(decimals as i32)) * 1.000_001;
        let expected: f64 = shown.parse().unwrap();
        assert!((in_unit(text, unit) - expected).abs() <= half, "{text} in {unit}: {}", in_unit(text, unit));
    }
}

/// Values that published pages print wrongly: the exact arithmetic must give the other ones.
#[test]
fn misprints_are_not_reproduced() {
    assert!((in_unit("145 N·m", "lbf·ft") - 106.9).abs() < 0.05); // printed 104
    assert!((in_unit("125 °C", "°F") - 257.0).abs() < 1e-9); // printed 262
}

#[test]
fn there_and_back_is_exact() {
    for from in Known::ALL {
        for to in Known::ALL.iter().filter(|to| to.definition().kind == from.definition().kind) {
            for text in ["1", "7.5", "1/6", "123.456"] {
                let start = Quantity::new(Number::parse(text).unwrap(), *from);
                let there = start.convert(&Unit::from(*to)).unwrap();
                let back = there.convert(&Unit::from(*from)).unwrap();
                assert_eq!(back, start, "{from:?} to {to:?}");
                assert!(there.same_as(&start));
            }
        }
    }
}

#[test]
fn canonical_spelling_reads_back_as_itself() {
    for text in [
        "10 N·m",
        "7.5 lbf·ft",
        "130 lbf·in",
        "6.8 L",
        "0.25 mm",
        "90°",
        "1/6 turn",
        "-37 °C",
        "15 K",
        "3 h 15 min",
        "50 %",
        "1.1 bar",
        "22 N",
        "0.6 kg",
        "1200 rpm",
        "50 km",
        "50 km/h",
        "12.6 V",
        "5 A",
        "0.4 Ω",
        "5 clicks",
        "20 turns",
        "3 teeth",
        "1 1/2 turns",
        "1 day",
        "2 weeks",
        "2.40 mm",
        "5 ft 6 in",
        "27 °F difference",
    ] {
        assert_eq!(quantity(text).to_string(), text);
    }
    for text in [
        "25 N·m",
        "22 to 28 N·m",
        "25 N·m ± 2",
        "10 N·m + 5 - 3",
        "at least 22.4 mm",
        "at most 0.05 mm",
        "0.025 to 0.25 mm",
        "80° to 90°",
        "-40 to -37 °C",
        "1 h to 90 min",
        "1 h 30 min to 2 h",
    ] {
        assert_eq!(spec(text).to_string(), text);
    }
}

#[test]
fn variants_of_a_spec_read_the_same() {
    for (text, canonical) in [
        ("22-28 Nm", "22 to 28 N·m"),
        ("22 - 28 Nm", "22 to 28 N·m"),
        ("22–28 N·m", "22 to 28 N·m"),
        ("22 N·m to 28 N·m", "22 to 28 N·m"),
        ("from 22 to 28 N·m", "22 to 28 N·m"),
        ("between 22 and 28 N·m", "22 to 28 N·m"),
        ("25 Nm +/- 2", "25 N·m ± 2"),
        ("25 ± 2 N·m", "25 N·m ± 2"),
        ("25 N·m ± 2 N·m", "25 N·m ± 2"),
        ("25 N·m ±2", "25 N·m ± 2"),
        ("20 N·m ± 10 %", "20 N·m ± 2"),
        ("90 °C ± 5 K", "90 °C ± 5"),
        ("10 lb-ft + 5 - 3", "10 lbf·ft + 5 - 3"),
        ("10 N·m - 3 + 5", "10 N·m + 5 - 3"),
        ("10 N·m +5/-3", "10 N·m + 5 - 3"),
        ("10 N·m + 5", "10 N·m + 5 - 0"),
        ("At least 22.4 mm", "at least 22.4 mm"),
        ("≥ 22.4 mm", "at least 22.4 mm"),
        ("<= 0.05 mm", "at most 0.05 mm"),
        ("1/6 to 1/4 turn", "1/6 to 1/4 turn"),
        ("90 deg", "90°"),
        ("\u{2212}37 C", "-37 °C"),
    ] {
        assert_eq!(spec(text).to_string(), canonical, "{text}");
    }
}

#[test]
fn errors_say_how_to_write_it() {
    for (text, words) in [
        ("", "a value is missing"),
        ("25", "`25` has no unit"),
        ("3 h 15", "`15` has no unit"),
        ("7,5 N·m", "`7.5 N·m`"),
        ("1,200 rpm", "write `1200 rpm` or `1.200 rpm`"),
        ("25 Kpsi", "did you mean `psi`"),
        ("25 Nmm", "did you mean `N·m`"),
        ("5 qt", "write `US qt` or `imp qt`"),
        ("tight", "does not start with a number"),
        ("28 to 22 N·m", "`22 to 28 N·m`"),
        ("25 N·m to 28 mm", "a torque and a length"),
        ("25 N·m ± 2 mm", "a torque and a length"),
        ("-5 N·m", "a torque can not be below nought"),
        ("5 N·m ± 6", "a torque can not be below nought"),
        ("-300 °C", "nothing is that cold"),
        ("1/0 turn", "nought below the line"),
        ("1234567890123456 mm", "too many digits"),
        ("22 to 28", "`28` has no unit"),
        ("25 ± 2", "`25` has no unit"),
    ] {
        let error = parse_spec(text).map(|s| s.to_string()).expect_err(text).to_string();
        assert!(error.contains(words), "{text}: {error}");
    }
    assert_eq!(parse_quantity("7,5 N·m").unwrap_err().fix(), Some("7.5 N·m"));
    assert_eq!(parse_spec("28 to 22 N·m").unwrap_err().fix(), Some("22 to 28 N·m"));
}

#[test]
fn limits_and_what_they_contain() {
    let tolerance = spec("10 N·m + 5 - 3");
    assert_eq!(tolerance.low().unwrap().to_string(), "7 N·m");
    assert_eq!(tolerance.high().unwrap().to_string(), "15 N·m");
    assert!(spec("at least 22.4 mm").contains(&quantity("22.4 mm")));
    assert!(!spec("at least 22.4 mm").contains(&quantity("22.39 mm")));
    assert!(spec("22 to 28 N·m").contains(&quantity("18.5 lbf·ft")));
    assert!(!spec("22 to 28 N·m").contains(&quantity("25 mm")));
    assert!(spec("5 clicks").contains(&quantity("5 click")));
    assert!(!spec("5 clicks").contains(&quantity("5 teeth")));
    assert_eq!(spec("at most 0.05 mm").low(), None);
}

#[test]
fn temperatures_and_their_differences_are_kept_apart() {
    let warm = quantity("80 °C");
    assert_eq!(warm.minus(&quantity("60 °C")).unwrap(), quantity("20 K"));
    assert_eq!(warm.plus(&quantity("20 K")).unwrap(), quantity("100 °C"));
    assert_eq!(warm.plus(&quantity("36 °F difference")).unwrap(), quantity("100 °C"));
    assert_eq!(warm.plus(&warm), None);
    assert_eq!(warm.times(&Number::whole(2)), None);
    assert_eq!(warm.convert(&Unit::from(Known::Kelvin)), None);
    assert_eq!(quantity("50 cm").plus(&quantity("5 mm")).unwrap(), quantity("50.5 cm"));
    assert_eq!(quantity("3 L").over(&quantity("1500 mL")), Some(Number::whole(2)));
}

#[test]
fn a_calculated_value_beyond_all_bounds_is_no_panic() {
    let huge = Quantity::new(Number::from_ratio(i128::MAX, 1).unwrap(), Known::Mile);
    assert!(huge.to_si() >= quantity("1000000 miles").to_si());
    assert_eq!(huge.plus(&huge), None);
    let _ = print(&huge, System::Both);
    let tiny = Quantity::new(Number::from_ratio(1, i128::MAX).unwrap(), Known::Thou);
    assert!(tiny.to_si() <= quantity("1 thou").to_si());
    let _ = print(&tiny, System::Both);
}

/// A line of ten thousand pieces is read in no more than linear time and depth.
#[test]
fn long_text_is_no_trouble() {
    for piece in ["1-", "1,", "9", "1.", "{", "1 x ", "N·m", "1 h ", "-", "a", "±"] {
        let text = piece.repeat(50_000);
        assert!(parse_spec(&text).map(|s| s.to_string()).unwrap_or_else(|e| e.to_string()).len() < 1_000_000);
        let _ = find_quantities(&text);
    }
}

/// Text put together from pieces that matter here, by a fixed linear congruential generator (the multiplier and
/// increment of Knuth's MMIX), so that every run tries the same.
#[test]
fn no_text_makes_it_panic() {
    const PIECES: [&str; 44] = [
        "1",
        "25",
        "0",
        "9999999999999999",
        ".5",
        "1/6",
        "1/0",
        "-",
        "\u{2212}",
        "+",
        " ",
        "  ",
        ",",
        ".",
        "/",
        "±",
        "+/-",
        " to ",
        "–",
        "at least ",
        "at most",
        "between ",
        " and ",
        "N·m",
        "lb-ft",
        "°",
        "°C",
        "mm",
        "in",
        "h",
        "min",
        "%",
        "clicks",
        "US qt",
        "qt",
        "x",
        "M8",
        "{",
        "}",
        "½",
        "é",
        "\u{a0}",
        "µ",
        "٣",
    ];
    let mut state: u64 = 1;
    let mut next = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize
    };
    let mut read = 0;
    for round in 0..4_000 {
        // Every other one is given the shape of a spec, so that reading gets past the first number.
        let pieces: &[&str] = &PIECES;
        let mut any = |of: &[&'static str]| of[next() % of.len()];
        let text: String = if round % 2 == 0 {
            (0..1 + round % 7).map(|_| any(pieces)).collect()
        } else {
            let (numbers, joints, units) = (&pieces[..6], &pieces[11..23], &pieces[23..37]);
            let unit = any(units);
            let second = if round % 4 == 1 { unit } else { any(units) };
            [any(numbers), unit, any(joints), any(numbers), second].join(any(&["", " "]))
        };
        if let Err(error) = parse_quantity(&text) {
            assert!(!error.to_string().is_empty());
        }
        if let Ok(spec) = parse_spec(&text) {
            read += 1;
            let again = parse_spec(&spec.to_string()).unwrap_or_else(|e| panic!("{text:?} -> {spec}: {e}"));
            assert_eq!(again.kind(), spec.kind(), "{text:?} -> {spec}");
            for system in [System::Metric, System::Us, System::Both] {
                let _ = print_spec(&spec, system);
            }
        }
        for (range, _) in find_quantities(&text) {
            assert!(text.get(range).is_some());
        }
    }
    assert!(read > 100, "only {read} texts were read, so the generator tests nothing");
}
