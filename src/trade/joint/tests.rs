//! The published tables, each with its source and the tolerance with which it is met.

use super::*;

fn joint(size: &str) -> Joint {
    Joint::new(&Thread::parse(size).unwrap(), Head::Hexagon).unwrap()
}

fn strength(size: &str, class: &str) -> Strength {
    Strength::of_class(class, Thread::parse(size).unwrap().diameter_mm().unwrap()).unwrap()
}

fn tightened(size: &str, class: &str, friction: f64) -> Assembly {
    joint(size).assembly(&strength(size, class), USE_OF_YIELD, friction, friction)
}

/// Tightening torques in N·m of VDI 2230-1 for coarse threads, as a catalogue prints them: 1 %, small values half of the last
/// digit more. M7 (whose head is in no standard) 2.1 %, M4 6 % (the table is out of line there).
#[test]
fn torques_of_coarse_threads() {
    for (size, class, torques) in [
        ("M4", "8.8", [2.3, 2.6, 3.0, 3.3, 3.6]),
        ("M4", "12.9", [3.9, 4.5, 5.1, 5.6, 6.2]),
        ("M5", "10.9", [6.5, 7.6, 8.6, 9.5, 10.4]),
        ("M5", "12.9", [7.6, 8.9, 10.0, 11.2, 12.2]),
        ("M6", "8.8", [7.7, 9.0, 10.1, 11.3, 12.3]),
        ("M6", "10.9", [11.3, 13.2, 14.9, 16.5, 18.0]),
        ("M7", "8.8", [12.6, 14.8, 16.8, 18.7, 20.5]),
        ("M7", "12.9", [21.6, 25.4, 28.9, 32.2, 35.2]),
        ("M8", "10.9", [27.2, 31.8, 36.1, 40.1, 43.8]),
        ("M8", "12.9", [31.8, 37.2, 42.2, 46.9, 51.2]),
        ("M10", "8.8", [36.0, 43.0, 48.0, 54.0, 59.0]),
        ("M10", "10.9", [53.0, 63.0, 71.0, 79.0, 87.0]),
        ("M12", "8.8", [63.0, 73.0, 84.0, 93.0, 102.0]),
        ("M12", "12.9", [108.0, 126.0, 144.0, 160.0, 175.0]),
        ("M14", "10.9", [146.0, 172.0, 195.0, 218.0, 238.0]),
        ("M14", "12.9", [171.0, 201.0, 229.0, 255.0, 279.0]),
        ("M16", "8.8", [153.0, 180.0, 206.0, 230.0, 252.0]),
        ("M16", "10.9", [224.0, 264.0, 302.0, 338.0, 370.0]),
        ("M18", "8.8", [220.0, 259.0, 295.0, 329.0, 360.0]),
        ("M18", "12.9", [367.0, 432.0, 492.0, 549.0, 601.0]),
        ("M20", "10.9", [438.0, 517.0, 592.0, 661.0, 725.0]),
        ("M20", "12.9", [513.0, 605.0, 692.0, 773.0, 848.0]),
        ("M22", "8.8", [417.0, 495.0, 567.0, 634.0, 697.0]),
        ("M22", "10.9", [595.0, 704.0, 807.0, 904.0, 993.0]),
        ("M24", "8.8", [529.0, 625.0, 714.0, 798.0, 875.0]),
        ("M24", "12.9", [882.0, 1041.0, 1190.0, 1329.0, 1458.0]),
    ] {
        let tolerance = match size {
            "M4" => 0.06,
            "M7" => 0.021,
            _ => 0.01,
        };
        for (friction, torque) in [0.08, 0.10, 0.12, 0.14, 0.16].into_iter().zip(torques) {
            let got = tightened(size, class, friction).torque;
            assert!((got / torque - 1.0).abs() <= tolerance, "{size} {class} {friction}: {got}, not {torque}");
        }
    }
}

/// The same for fine threads: 1.1 %.
#[test]
fn torques_of_fine_threads() {
    for (size, class, torques) in [
        ("M8x1", "8.8", [19.3, 22.8, 26.1, 29.2, 32.0]),
        ("M8x1", "10.9", [28.4, 33.5, 38.3, 42.8, 47.0]),
        ("M10x1", "8.8", [39.0, 46.0, 53.0, 60.0, 66.0]),
        ("M10x1", "12.9", [67.0, 80.0, 91.0, 103.0, 113.0]),
        ("M10x1.25", "10.9", [55.0, 65.0, 75.0, 83.0, 92.0]),
        ("M10x1.25", "12.9", [65.0, 76.0, 87.0, 98.0, 107.0]),
        ("M12x1.25", "8.8", [66.0, 79.0, 90.0, 101.0, 111.0]),
        ("M12x1.25", "10.9", [97.0, 116.0, 133.0, 149.0, 164.0]),
        ("M12x1.5", "8.8", [64.0, 76.0, 87.0, 97.0, 107.0]),
        ("M12x1.5", "12.9", [111.0, 131.0, 150.0, 167.0, 183.0]),
        ("M14x1.5", "10.9", [153.0, 182.0, 209.0, 234.0, 257.0]),
        ("M14x1.5", "12.9", [179.0, 213.0, 244.0, 274.0, 301.0]),
        ("M16x1.5", "8.8", [159.0, 189.0, 218.0, 244.0, 269.0]),
        ("M16x1.5", "10.9", [233.0, 278.0, 320.0, 359.0, 396.0]),
        ("M18x1.5", "8.8", [237.0, 283.0, 327.0, 368.0, 406.0]),
        ("M18x1.5", "12.9", [394.0, 472.0, 544.0, 613.0, 676.0]),
        ("M20x1.5", "10.9", [466.0, 558.0, 646.0, 728.0, 804.0]),
        ("M20x1.5", "12.9", [545.0, 653.0, 756.0, 852.0, 941.0]),
        ("M22x1.5", "8.8", [440.0, 529.0, 613.0, 692.0, 765.0]),
        ("M22x1.5", "10.9", [627.0, 754.0, 873.0, 985.0, 1090.0]),
        ("M24x2", "8.8", [f64::NAN, 666.0, 769.0, 865.0, f64::NAN]),
        ("M24x2", "12.9", [f64::NAN, 1110.0, 1282.0, 1442.0, f64::NAN]),
    ] {
        for (friction, torque) in [0.08, 0.10, 0.12, 0.14, 0.16].into_iter().zip(torques) {
            if torque.is_nan() {
                continue;
            }
            let got = tightened(size, class, friction);
            assert!(
                (got.torque / torque - 1.0).abs() <= 0.011,
                "{size} {class} {friction}: {}, not {torque}",
                got.torque
            );
            let linear = joint(size).torque_linear(got.preload, friction, friction);
            assert!(
                (linear / torque - 1.0).abs() <= 0.011,
                "{size} {class} {friction}: {linear} (linear), not {torque}"
            );
        }
    }
}

/// Preloads in kN of VDI 2230-1 table A1, coarse: 0.6 %, below 20 kN 1.2 % for the rounding of the table.
#[test]
fn preloads_of_coarse_threads() {
    for (size, class, preloads) in [
        ("M4", "10.9", [6.8, 6.7, 6.5, 6.3, 6.1, 5.7, 5.4]),
        ("M4", "12.9", [8.0, 7.8, 7.6, 7.4, 7.1, 6.7, 6.3]),
        ("M5", "8.8", [7.6, 7.4, 7.2, 7.0, 6.8, 6.4, 6.0]),
        ("M5", "10.9", [11.1, 10.8, 10.6, 10.3, 10.0, 9.4, 8.8]),
        ("M6", "8.8", [10.7, 10.4, 10.2, 9.9, 9.6, 9.0, 8.4]),
        ("M6", "12.9", [18.4, 17.9, 17.5, 17.0, 16.5, 15.5, 14.5]),
        ("M7", "10.9", [22.7, 22.2, 21.7, 21.1, 20.5, 19.3, 18.1]),
        ("M7", "12.9", [26.6, 26.0, 25.4, 24.7, 24.0, 22.6, 21.2]),
        ("M8", "8.8", [19.5, 19.1, 18.6, 18.1, 17.6, 16.5, 15.5]),
        ("M8", "10.9", [28.7, 28.0, 27.3, 26.6, 25.8, 24.3, 22.7]),
        ("M10", "8.8", [31.0, 30.3, 29.6, 28.8, 27.9, 26.3, 24.7]),
        ("M10", "12.9", [53.3, 52.1, 50.8, 49.4, 48.0, 45.2, 42.4]),
        ("M12", "10.9", [66.3, 64.8, 63.2, 61.5, 59.8, 56.3, 52.8]),
        ("M12", "12.9", [77.6, 75.9, 74.0, 72.0, 70.0, 65.8, 61.8]),
        ("M14", "8.8", [62.0, 60.6, 59.1, 57.5, 55.9, 52.6, 49.3]),
        ("M14", "10.9", [91.0, 88.9, 86.7, 84.4, 82.1, 77.2, 72.5]),
        ("M16", "8.8", [84.7, 82.9, 80.9, 78.8, 76.6, 72.2, 67.8]),
        ("M16", "12.9", [145.5, 142.4, 139.0, 135.4, 131.7, 124.1, 116.6]),
        ("M18", "10.9", [152.0, 149.0, 145.0, 141.0, 137.0, 129.0, 121.0]),
        ("M18", "12.9", [178.0, 174.0, 170.0, 165.0, 160.0, 151.0, 142.0]),
        ("M20", "8.8", [136.0, 134.0, 130.0, 127.0, 123.0, 116.0, 109.0]),
        ("M20", "10.9", [194.0, 190.0, 186.0, 181.0, 176.0, 166.0, 156.0]),
        ("M22", "8.8", [170.0, 166.0, 162.0, 158.0, 154.0, 145.0, 137.0]),
        ("M22", "12.9", [283.0, 277.0, 271.0, 264.0, 257.0, 242.0, 228.0]),
        ("M24", "10.9", [280.0, 274.0, 267.0, 260.0, 253.0, 239.0, 224.0]),
        ("M24", "12.9", [327.0, 320.0, 313.0, 305.0, 296.0, 279.0, 262.0]),
    ] {
        for (friction, preload) in [0.08, 0.10, 0.12, 0.14, 0.16, 0.20, 0.24].into_iter().zip(preloads) {
            let got = tightened(size, class, friction).preload / 1000.0;
            let tolerance = if preload < 20.0 { 0.012 } else { 0.006 };
            assert!((got / preload - 1.0).abs() <= tolerance, "{size} {class} {friction}: {got}, not {preload}");
        }
    }
}

/// Preloads in kN of fine threads at 0.10, 0.12 and 0.14, of classes 8.8, 10.9, 12.9; a catalogue after VDI 2230: 0.4 %,
/// and half of the last digit where three are printed.
#[test]
fn preloads_of_fine_threads() {
    for (size, preloads) in [
        ("M8x1", [[20.7, 20.2, 19.7], [30.4, 29.7, 28.9], [35.6, 34.7, 33.9]]),
        ("M12x1.25", [[49.1, 48.0, 46.8], [72.1, 70.5, 68.7], [84.4, 82.5, 80.4]]),
        ("M14x1.5", [[66.4, 64.8, 63.2], [97.5, 95.2, 92.9], [114.1, 111.4, 108.7]]),
        ("M18x1.5", [[120.0, 117.0, 115.0], [171.0, 167.0, 163.0], [200.0, 196.0, 191.0]]),
        ("M20x1.5", [[151.0, 148.0, 144.0], [215.0, 211.0, 206.0], [252.0, 246.0, 241.0]]),
        ("M24x2", [[213.0, 209.0, 204.0], [304.0, 297.0, 290.0], [355.0, 348.0, 339.0]]),
    ] {
        for (class, row) in ["8.8", "10.9", "12.9"].into_iter().zip(preloads) {
            for (friction, preload) in [0.10, 0.12, 0.14].into_iter().zip(row) {
                let got = tightened(size, class, friction).preload / 1000.0;
                let half = if preload < 100.0 { 0.05 } else { 0.5 };
                let tolerance = f64::max(0.004 * preload, half);
                assert!((got - preload).abs() <= tolerance, "{size} {class} {friction}: {got}, not {preload}");
            }
        }
    }
}

/// The short form: a textbook of fasteners (0.190 in, 1275 lbf), and 75 % of proof load dry and lubricated: 0.2 %,
/// small ones half of the last digit printed.
#[test]
fn short_form_of_the_textbooks() {
    let lbf_in = |coefficient: f64, inches: f64, lbf: f64| {
        short_form(coefficient, inches * 25.4, lbf * 4.448_221_615_260_5) / 0.112_984_829_027_616_7
    };
    for (coefficient, inches, preload, torque) in [
        (0.30, 0.190, 1275.0, 72.7),
        (0.20, 0.190, 1275.0, 48.5),
        (0.15, 0.190, 1275.0, 36.3),
        (0.20, 0.164, 462.0 * 0.75, 11.4),
        (0.15, 0.164, 462.0 * 0.75, 8.5),
        (0.20, 0.25, 1049.0 * 0.75, 39.4),
        (0.15, 0.25, 1049.0 * 0.75, 29.5),
        (0.20, 0.375, 2558.0 * 0.75, 143.9),
        (0.15, 0.375, 2558.0 * 0.75, 107.9),
        (0.20, 0.4375, 3917.0 * 0.75, 257.1),
        (0.15, 0.4375, 3917.0 * 0.75, 192.8),
    ] {
        let got = lbf_in(coefficient, inches, preload);
        assert!((got - torque).abs() <= f64::max(0.002 * torque, 0.05), "{coefficient} {inches}: {got}, not {torque}");
    }
}

/// Grade 2 dry (K 0.20, 75 % of proof): torque in lbf·ft and load in lbf of a table after SAE J429: 1 %, but 5/16-18, which is
/// printed 11.5 and computes to 11.26, 2.1 %, and 1/4-20, whose 5.47 is printed 5.4.
#[test]
fn grade_2_dry() {
    for (size, torque, load) in [
        ("0.25-20", 5.4, 1312.0),
        ("0.3125-18", 11.5, 2162.0),
        ("0.3125-24", 12.5, 2397.0),
        ("0.375-24", 22.6, 3622.0),
        ("0.4375-14", 32.0, 4385.0),
        ("0.5-13", 48.8, 5853.0),
        ("0.5-20", 55.0, 6600.0),
        ("0.5625-18", 78.5, 8374.0),
        ("0.625-11", 97.1, 9323.0),
        ("0.75-10", 172.0, 13778.0),
        ("0.75-16", 192.0, 15366.0),
        ("0.875-14", 184.0, 12598.0),
        ("1-8", 250.0, 14999.0),
    ] {
        let (inches, per_inch) = size.split_once('-').unwrap();
        let inches: f64 = inches.parse().unwrap();
        let thread = Thread::parse(&format!("{}-{per_inch}", size_of(inches))).unwrap();
        let strength = Strength::of_grade("2", inches).unwrap();
        let preload = 0.75 * strength.loads(&thread).unwrap().proof.unwrap();
        let got = (short_form(0.20, inches * 25.4, preload) / 1.355_817_948_331_4, preload / 4.448_221_615_260_5);
        let tolerance = if size == "0.3125-18" { 0.021 * torque } else { f64::max(0.01 * torque, 0.07) };
        assert!((got.0 - torque).abs() <= tolerance, "{size}: {}, not {torque}", got.0);
        assert!((got.1 / load - 1.0).abs() <= 0.01, "{size}: {}, not {load}", got.1);
    }
}

fn size_of(inches: f64) -> String {
    let sixteenths = (inches * 16.0).round() as i64;
    crate::quantity::Number::from_ratio(sixteenths.into(), 16).map(|n| n.to_fraction()).unwrap()
}

/// K that the elastic-limit method implies, computed apart: 0.003.
#[test]
fn implied_coefficients() {
    for (friction, expected) in [
        (0.08, [0.119, 0.117, 0.112, 0.112]),
        (0.10, [0.142, 0.140, 0.135, 0.135]),
        (0.14, [0.189, 0.186, 0.182, 0.181]),
        (0.16, [0.212, 0.210, 0.205, 0.204]),
    ] {
        for (size, coefficient) in ["M6", "M10", "M16", "M24"].into_iter().zip(expected) {
            let got = joint(size).torque_coefficient(friction, friction);
            assert!((got - coefficient).abs() <= 0.003, "{size} {friction}: {got}, not {coefficient}");
        }
    }
}

/// More friction: more torque for less preload; and torque and preload are each other's way back.
#[test]
fn friction_eats_the_torque() {
    for size in ["M3", "M8", "M10x1.25", "M20", "M42", "1/2-13", "#10-32"] {
        let joint = joint(size);
        let strength = Strength::of_class("8.8", 10.0).unwrap();
        let mut last = joint.assembly(&strength, USE_OF_YIELD, 0.04, 0.04);
        for hundredths in 5..40 {
            let friction = f64::from(hundredths) / 100.0;
            let next = joint.assembly(&strength, USE_OF_YIELD, friction, friction);
            assert!(next.torque > last.torque && next.preload < last.preload, "{size} at {friction}");
            assert!((joint.preload(next.torque, friction, friction) / next.preload - 1.0).abs() < 1e-12);
            last = next;
        }
    }
    assert_eq!(Joint::new(&Thread::parse("G 1/4").unwrap(), Head::Hexagon), None);
}
