//! Which key fits which head: widths across flats, hexagon sockets, hexalobular sockets.
//!
//! Sources: ISO 272, ISO 4014, 4017, 4032 (hexagons); the older DIN 931, 933, 934 and the JIS small series, where they differ;
//! ISO 4162 and DIN 6921 (flange heads, from memory); ISO 4762 (cap), ISO 7380-1 (button, from memory), ISO 10642 (countersunk), ISO 4026 to 4029 (set screws); ISO 10664 with ISO 14579
//! to 14583 (hexalobular); ASME B18.2.1, B18.2.2, B18.3 (inch; nuts, button, flat and set screws from memory). Sizes
//! above M24, and what a published copy did not show, from memory.

use super::thread::Thread;

/// What kind of head or nut a standard is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum HeadKind {
    Hexagon,
    /// Cylindrical head with a socket.
    Cap,
    /// Low cylindrical head.
    LowCap,
    Button,
    Countersunk,
    SetScrew,
    Pan,
}

/// What turns it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Turned {
    /// Outer hexagon, by its width across flats.
    Hex,
    /// Hexagon socket, by the size of the key.
    Key,
    /// Hexalobular socket, by its number.
    Hexalobular,
}

/// A size that a standard gives a thread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeySize {
    pub kind: HeadKind,
    /// Millimetres for hexagons and keys, the number for hexalobular sockets.
    pub size: f64,
    /// `ISO 4014, 4017`
    pub standard: &'static str,
}

const ISO_HEX: &str = "ISO 272, 4014, 4017, 4032";
const DIN_HEX: &str = "DIN 931, 933, 934 (older)";
const JIS_HEX: &str = "JIS small series";
const SMALL_FLANGE_HEX: &str = "ISO 4162 small flange";
const FLANGE_HEX: &str = "DIN 6921 flange";

/// Diameter and width across flats: ISO.
#[rustfmt::skip] // as a table
const HEX_ISO: [(f64, f64); 29] = [
    (1.6, 3.2), (2.0, 4.0), (2.5, 5.0), (3.0, 5.5), (3.5, 6.0), (4.0, 7.0), (5.0, 8.0), (6.0, 10.0), (7.0, 11.0), (8.0, 13.0),
    (10.0, 16.0), (12.0, 18.0), (14.0, 21.0), (16.0, 24.0), (18.0, 27.0), (20.0, 30.0), (22.0, 34.0), (24.0, 36.0),
    (27.0, 41.0), (30.0, 46.0), (33.0, 50.0), (36.0, 55.0), (39.0, 60.0), (42.0, 65.0), (45.0, 70.0), (48.0, 75.0),
    (52.0, 80.0), (56.0, 85.0), (64.0, 95.0),
];
/// Where DIN differs.
const HEX_DIN: [(f64, f64); 4] = [(10.0, 17.0), (12.0, 19.0), (14.0, 22.0), (22.0, 32.0)];
/// Where the JIS small series differs.
const HEX_JIS: [(f64, f64); 9] = [
    (8.0, 12.0),
    (10.0, 14.0),
    (12.0, 17.0),
    (14.0, 19.0),
    (16.0, 22.0),
    (18.0, 24.0),
    (20.0, 27.0),
    (22.0, 30.0),
    (24.0, 32.0),
];

/// Flange bolts of the small series (from memory).
const HEX_SMALL_FLANGE: [(f64, f64); 7] =
    [(5.0, 7.0), (6.0, 8.0), (8.0, 10.0), (10.0, 13.0), (12.0, 15.0), (14.0, 18.0), (16.0, 21.0)];
/// Flange bolts and nuts, where they differ from plain ones (from memory).
const HEX_FLANGE: [(f64, f64); 5] = [(10.0, 15.0), (12.0, 16.0), (14.0, 18.0), (16.0, 22.0), (20.0, 28.0)];

/// Diameter; key of cap, low cap, button, countersunk and set screws; nought where there is none.
#[rustfmt::skip] // as a table
const KEYS: [(f64, [f64; 5]); 22] = [
    (1.6, [1.5, 0.0, 0.0, 0.0, 0.7]), (2.0, [1.5, 0.0, 0.0, 0.0, 0.9]), (2.5, [2.0, 0.0, 0.0, 0.0, 1.3]),
    (3.0, [2.5, 2.0, 2.0, 2.0, 1.5]), (4.0, [3.0, 2.5, 2.5, 2.5, 2.0]), (5.0, [4.0, 3.0, 3.0, 3.0, 2.5]),
    (6.0, [5.0, 4.0, 4.0, 4.0, 3.0]), (8.0, [6.0, 5.0, 5.0, 5.0, 4.0]), (10.0, [8.0, 7.0, 6.0, 6.0, 5.0]),
    (12.0, [10.0, 8.0, 8.0, 8.0, 6.0]), (14.0, [12.0, 10.0, 0.0, 10.0, 0.0]), (16.0, [14.0, 12.0, 10.0, 10.0, 8.0]),
    (18.0, [14.0, 12.0, 0.0, 0.0, 0.0]), (20.0, [17.0, 14.0, 0.0, 12.0, 10.0]), (22.0, [17.0, 0.0, 0.0, 0.0, 0.0]),
    (24.0, [19.0, 17.0, 0.0, 0.0, 12.0]), (27.0, [19.0, 0.0, 0.0, 0.0, 0.0]), (30.0, [22.0, 0.0, 0.0, 0.0, 0.0]),
    (33.0, [24.0, 0.0, 0.0, 0.0, 0.0]), (36.0, [27.0, 0.0, 0.0, 0.0, 0.0]), (42.0, [32.0, 0.0, 0.0, 0.0, 0.0]),
    (48.0, [36.0, 0.0, 0.0, 0.0, 0.0]),
];
const KEY_STANDARDS: [(HeadKind, &str); 5] = [
    (HeadKind::Cap, "ISO 4762"),
    (HeadKind::LowCap, "DIN 7984"),
    (HeadKind::Button, "ISO 7380-1"),
    (HeadKind::Countersunk, "ISO 10642"),
    (HeadKind::SetScrew, "ISO 4026 to 4029"),
];

/// Diameter; hexalobular number of cap, low cap, countersunk and pan head screws; nought where there is none.
#[rustfmt::skip] // as a table
const LOBES: [(f64, [u32; 4]); 14] = [
    (2.0, [6, 6, 6, 6]), (2.5, [8, 8, 8, 8]), (3.0, [10, 10, 10, 10]), (3.5, [0, 15, 15, 15]), (4.0, [20, 20, 20, 20]),
    (5.0, [25, 25, 25, 25]), (6.0, [30, 30, 30, 30]), (8.0, [45, 45, 45, 45]), (10.0, [50, 50, 50, 50]),
    (12.0, [55, 0, 55, 0]), (14.0, [60, 0, 55, 0]), (16.0, [70, 0, 60, 0]), (18.0, [80, 0, 0, 0]), (20.0, [90, 0, 80, 0]),
];
const LOBE_STANDARDS: [(HeadKind, &str); 4] = [
    (HeadKind::Cap, "ISO 14579"),
    (HeadKind::LowCap, "ISO 14580"),
    (HeadKind::Countersunk, "ISO 14581, 14582"),
    (HeadKind::Pan, "ISO 14583"),
];
/// A published copy of the tables for pan and countersunk heads has 40 for M8 where ISO 14583 has 45 (from memory): both are met with.
const LOBE_ALSO: (f64, u32, HeadKind, &str) = (8.0, 40, HeadKind::Pan, "published copies of ISO 14583");

/// Hexalobular number and nominal width over the points A in millimetres: ISO 10664.
#[rustfmt::skip] // as a table
const POINTS: [(u32, f64); 16] = [
    (6, 1.75), (8, 2.4), (10, 2.8), (15, 3.35), (20, 3.95), (25, 4.5), (27, 5.1), (30, 5.6), (40, 6.75), (45, 7.93), (50, 8.95),
    (55, 11.35), (60, 13.45), (70, 15.7), (80, 17.75), (90, 20.2),
];

/// Inch sizes. The size; in sixty-fourths of an inch: hexagon of the bolt, of the nut; key of cap, button, countersunk,
/// set screw. Nought where there is none.
#[rustfmt::skip] // as a table
const INCH: [(&str, [f64; 6]); 22] = [
    ("#2", [0.0, 12.0, 5.0, 3.2, 3.2, 2.24]), ("#3", [0.0, 12.0, 5.0, 0.0, 3.2, 3.2]),
    ("#4", [12.0, 16.0, 6.0, 4.0, 4.0, 3.2]), ("#5", [12.0, 20.0, 6.0, 0.0, 5.0, 4.0]),
    ("#6", [16.0, 20.0, 7.0, 5.0, 5.0, 4.0]), ("#8", [16.0, 22.0, 9.0, 6.0, 6.0, 5.0]),
    ("#10", [20.0, 24.0, 10.0, 8.0, 8.0, 6.0]), ("#12", [20.0, 28.0, 0.0, 0.0, 0.0, 0.0]),
    ("1/4", [28.0, 28.0, 12.0, 10.0, 10.0, 8.0]), ("5/16", [32.0, 32.0, 16.0, 12.0, 12.0, 10.0]),
    ("3/8", [36.0, 36.0, 20.0, 14.0, 14.0, 12.0]), ("7/16", [40.0, 44.0, 24.0, 0.0, 16.0, 14.0]),
    ("1/2", [48.0, 48.0, 24.0, 20.0, 20.0, 16.0]), ("9/16", [52.0, 56.0, 0.0, 0.0, 0.0, 16.0]),
    ("5/8", [60.0, 60.0, 32.0, 24.0, 24.0, 20.0]), ("3/4", [72.0, 72.0, 40.0, 0.0, 32.0, 24.0]),
    ("7/8", [84.0, 84.0, 48.0, 0.0, 36.0, 32.0]), ("1", [96.0, 96.0, 48.0, 0.0, 40.0, 36.0]),
    ("1 1/8", [108.0, 108.0, 56.0, 0.0, 0.0, 36.0]), ("1 1/4", [120.0, 120.0, 56.0, 0.0, 0.0, 40.0]),
    ("1 3/8", [132.0, 132.0, 64.0, 0.0, 0.0, 40.0]), ("1 1/2", [144.0, 144.0, 64.0, 0.0, 0.0, 48.0]),
];
const INCH_STANDARDS: [(Turned, HeadKind, &str); 6] = [
    (Turned::Hex, HeadKind::Hexagon, "ASME B18.2.1"),
    (Turned::Hex, HeadKind::Hexagon, "ASME B18.2.2 (nut)"),
    (Turned::Key, HeadKind::Cap, "ASME B18.3"),
    (Turned::Key, HeadKind::Button, "ASME B18.3"),
    (Turned::Key, HeadKind::Countersunk, "ASME B18.3"),
    (Turned::Key, HeadKind::SetScrew, "ASME B18.3"),
];

impl HeadKind {
    pub const ALL: [HeadKind; 7] = [
        HeadKind::Hexagon,
        HeadKind::Cap,
        HeadKind::LowCap,
        HeadKind::Button,
        HeadKind::Countersunk,
        HeadKind::SetScrew,
        HeadKind::Pan,
    ];

    /// As it is printed.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            HeadKind::Hexagon => "hexagon",
            HeadKind::Cap => "cap",
            HeadKind::LowCap => "low cap",
            HeadKind::Button => "button",
            HeadKind::Countersunk => "countersunk",
            HeadKind::SetScrew => "set screw",
            HeadKind::Pan => "pan",
        }
    }
}

/// Every size that a standard gives this thread for this way of turning, the current ISO or ASME one first. Empty where no
/// table has the diameter.
#[must_use]
pub fn sizes(thread: &Thread, turned: Turned) -> Vec<KeySize> {
    if !thread.is_metric() {
        return inch(thread, turned);
    }
    let Some(diameter) = thread.diameter_mm() else { return Vec::new() };
    let at = |other: &f64| (other - diameter).abs() < 1e-9;
    let mut found = Vec::new();
    let mut add = |kind, size: f64, standard| {
        if size > 0.0 {
            found.push(KeySize { kind, size, standard });
        }
    };
    match turned {
        Turned::Hex => {
            let tables: [(&[(f64, f64)], &str); 5] = [
                (&HEX_ISO, ISO_HEX),
                (&HEX_DIN, DIN_HEX),
                (&HEX_JIS, JIS_HEX),
                (&HEX_FLANGE, FLANGE_HEX),
                (&HEX_SMALL_FLANGE, SMALL_FLANGE_HEX),
            ];
            for (table, standard) in tables {
                for (_, size) in table.iter().filter(|(d, _)| at(d)) {
                    add(HeadKind::Hexagon, *size, standard);
                }
            }
        }
        Turned::Key => {
            for (_, row) in KEYS.iter().filter(|(d, _)| at(d)) {
                for (size, (kind, standard)) in row.iter().zip(KEY_STANDARDS) {
                    add(kind, *size, standard);
                }
            }
        }
        Turned::Hexalobular => {
            for (_, row) in LOBES.iter().filter(|(d, _)| at(d)) {
                for (number, (kind, standard)) in row.iter().zip(LOBE_STANDARDS) {
                    add(kind, f64::from(*number), standard);
                }
            }
            let (of, number, kind, standard) = LOBE_ALSO;
            if at(&of) {
                add(kind, f64::from(number), standard);
            }
        }
    }
    found
}

/// Width across flats in millimetres of an inch bolt (ASME B18.2.1).
#[must_use]
pub fn hexagon_inch(thread: &Thread) -> Option<f64> {
    inch(thread, Turned::Hex).first().map(|size| size.size)
}

/// Nominal width over the points in millimetres of a hexalobular socket (ISO 10664).
#[must_use]
pub fn over_points(number: u32) -> Option<f64> {
    POINTS.iter().find(|(n, _)| *n == number).map(|(_, width)| *width)
}

fn inch(thread: &Thread, turned: Turned) -> Vec<KeySize> {
    let Some((_, row)) = INCH.iter().find(|(size, _)| *size == thread.size) else { return Vec::new() };
    row.iter()
        .zip(INCH_STANDARDS)
        .filter(|(size, (by, _, _))| **size > 0.0 && *by == turned)
        .map(|(size, (_, kind, standard))| KeySize { kind, size: size * 25.4 / 64.0, standard })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(thread: &str, turned: Turned) -> Vec<KeySize> {
        sizes(&Thread::parse(thread).unwrap(), turned)
    }

    fn by(thread: &str, turned: Turned, kind: HeadKind) -> Option<f64> {
        of(thread, turned).into_iter().find(|s| s.kind == kind).map(|s| s.size)
    }

    /// Widths across flats in mm of ISO 272 / 4014 / 4017, of older DIN 931 / 933, and of the JIS small series; exact. Where
    /// DIN or JIS have the ISO size it is not listed twice.
    #[test]
    fn hexagons() {
        for (thread, iso, din, jis) in [
            ("M3", 5.5, 5.5, None),
            ("M4", 7.0, 7.0, Some(7.0)),
            ("M6", 10.0, 10.0, Some(10.0)),
            ("M8", 13.0, 13.0, Some(12.0)),
            ("M12", 18.0, 19.0, Some(17.0)),
            ("M14", 21.0, 22.0, Some(19.0)),
            ("M18", 27.0, 27.0, None),
            ("M20", 30.0, 30.0, None),
            ("M24", 36.0, 36.0, None),
        ] {
            let found = of(thread, Turned::Hex);
            assert_eq!(found[0], KeySize { kind: HeadKind::Hexagon, size: iso, standard: ISO_HEX }, "{thread}");
            for size in [Some(din), jis].into_iter().flatten() {
                assert!(found.iter().any(|s| s.size == size), "{thread}: {size}");
            }
        }
    }

    /// Hexagon keys in mm of ISO 4762, 7380-1, 10642, 4026 to 4029; exact.
    #[test]
    fn keys() {
        for (thread, cap, button, countersunk, set) in [
            ("M3", 2.5, Some(2.0), Some(2.0), Some(1.5)),
            ("M5", 4.0, Some(3.0), Some(3.0), Some(2.5)),
            ("M6", 5.0, Some(4.0), Some(4.0), Some(3.0)),
            ("M10", 8.0, Some(6.0), Some(6.0), Some(5.0)),
            ("M12", 10.0, Some(8.0), Some(8.0), Some(6.0)),
            ("M16", 14.0, Some(10.0), Some(10.0), Some(8.0)),
            ("M18", 14.0, None, None, None),
            ("M24", 19.0, None, None, Some(12.0)),
        ] {
            assert_eq!(by(thread, Turned::Key, HeadKind::Cap), Some(cap), "{thread}");
            assert_eq!(by(thread, Turned::Key, HeadKind::Button), button, "{thread}");
            assert_eq!(by(thread, Turned::Key, HeadKind::Countersunk), countersunk, "{thread}");
            assert_eq!(by(thread, Turned::Key, HeadKind::SetScrew), set, "{thread}");
        }
    }

    /// Hexalobular numbers of ISO 14579 and 14580, and widths over the points of ISO 10664; exact, but 45 is 7.93 or 7.95.
    #[test]
    fn hexalobular_numbers() {
        for (thread, cap, low, points) in [
            ("M2", Some(6.0), Some(6.0), 1.75),
            ("M2.5", Some(8.0), Some(8.0), 2.4),
            ("M3.5", None, Some(15.0), 3.35),
            ("M4", Some(20.0), Some(20.0), 3.95),
            ("M6", Some(30.0), Some(30.0), 5.6),
            ("M8", Some(45.0), Some(45.0), 7.93),
            ("M12", Some(55.0), None, 11.35),
        ] {
            assert_eq!(by(thread, Turned::Hexalobular, HeadKind::Cap), cap, "{thread}");
            assert_eq!(by(thread, Turned::Hexalobular, HeadKind::LowCap), low, "{thread}");
            let number = cap.or(low).unwrap() as u32;
            assert_eq!(over_points(number), Some(points), "{thread}");
        }
    }

    /// ASME B18.2.1 and B18.3 (1960 series), inches; exact. 9/16 has no cap screw in the published tables.
    #[test]
    fn inch_sizes() {
        for (thread, flats, cap) in [
            ("1/4-20", 7.0 / 16.0, Some(3.0 / 16.0)),
            ("3/8-16", 9.0 / 16.0, Some(5.0 / 16.0)),
            ("7/16-14", 5.0 / 8.0, Some(3.0 / 8.0)),
            ("9/16-12", 13.0 / 16.0, None),
            ("5/8-11", 15.0 / 16.0, Some(0.5)),
            ("7/8-9", 1.0 + 5.0 / 16.0, Some(0.75)),
            ("1-8", 1.5, Some(0.75)),
        ] {
            assert_eq!(hexagon_inch(&Thread::parse(thread).unwrap()), Some(flats * 25.4), "{thread}");
            assert_eq!(by(thread, Turned::Key, HeadKind::Cap), cap.map(|inches| inches * 25.4), "{thread}");
        }
    }

    #[test]
    fn bigger_threads_never_have_smaller_heads() {
        for table in [&HEX_ISO[..], &HEX_JIS[..], &HEX_SMALL_FLANGE[..], &HEX_FLANGE[..]] {
            assert!(table.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1 < pair[1].1));
        }
        for column in 0..5 {
            let sizes: Vec<f64> = KEYS.iter().map(|row| row.1[column]).filter(|size| *size > 0.0).collect();
            assert!(sizes.is_sorted(), "{column}: {sizes:?}");
        }
        assert!(of("M95x2", Turned::Hex).is_empty() && of("G 1/4", Turned::Hex).is_empty());
    }
}
