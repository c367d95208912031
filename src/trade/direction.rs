//! Which way round a thing goes on: `lip inward`, `arrow forward`, `dot at 12 o'clock`.
//!
//! Directions are in the frame of the vehicle: forward is the way it drives, left as seen by the driver looking forward.

use std::fmt;

/// A direction that is understood.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Direction {
    /// The way the vehicle drives.
    Forward,
    /// Against it.
    Rearward,
    /// The vehicle's left.
    Left,
    /// The vehicle's right.
    Right,
    /// Against gravity.
    Up,
    /// With gravity.
    Down,
    /// Towards the middle of the vehicle or of the housing.
    Inward,
    /// Away from it.
    Outward,
    /// As the hands of a clock turn.
    Clockwise,
    /// Against it.
    Anticlockwise,
    /// On the face of a clock.
    Clock(Clock),
}

/// A position on the face of a clock, to the half hour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Clock {
    /// 0 for 12 o'clock, 1 for half past twelve, … 23.
    half_hours: u8,
}

/// Text of an `orient` detail that is understood.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Orientation {
    /// The feature that is looked at, in small letters and without `the`: `lip`.
    pub feature: String,
    /// Where it points or sits.
    pub direction: Direction,
    /// Whether it is the other way round on the other side of the vehicle.
    pub mirrored: bool,
}

impl Clock {
    /// So many hours, 1 to 12, and whether half an hour more.
    pub fn new(hour: u8, half: bool) -> Option<Clock> {
        (1..=12).contains(&hour).then(|| Clock { half_hours: hour % 12 * 2 + u8::from(half) })
    }

    /// Reads `4 o'clock`, `4:30 o'clock`, `at 12 o'clock`.
    pub fn parse(text: &str) -> Option<Clock> {
        let words: Vec<String> = words(text).collect();
        match words.as_slice() {
            [at, hour, oclock] if at == "at" && is_oclock(oclock) => clock(hour),
            [hour, oclock] if is_oclock(oclock) => clock(hour),
            _ => None,
        }
    }

    /// Degrees clockwise from the top.
    pub fn degrees(self) -> f64 {
        f64::from(self.half_hours) * 15.0
    }

    /// The place on a circle of radius ½ in a unit square, `x` to the right and `y` down.
    pub fn in_unit_square(self) -> (f64, f64) {
        let angle = self.degrees().to_radians();
        (0.5 + 0.5 * angle.sin(), 0.5 - 0.5 * angle.cos())
    }

    /// The same place in a mirror.
    pub fn mirrored(self) -> Clock {
        Clock { half_hours: (24 - self.half_hours) % 24 }
    }
}

impl Direction {
    /// Reads a direction that fills the whole text: `forward`, `to the left`, `at 4 o'clock`.
    pub fn parse(text: &str) -> Option<Direction> {
        let words: Vec<String> = words(text).collect();
        let (direction, used) = direction_at(&words)?;
        (used == words.len()).then_some(direction)
    }

    /// The same on the other side of the vehicle.
    pub fn mirrored(self) -> Direction {
        match self {
            Direction::Left => Direction::Right,
            Direction::Right => Direction::Left,
            Direction::Clockwise => Direction::Anticlockwise,
            Direction::Anticlockwise => Direction::Clockwise,
            Direction::Clock(clock) => Direction::Clock(clock.mirrored()),
            other => other,
        }
    }

    /// Whether one feature can not point both ways.
    ///
    /// Two different ways of one family contradict each other: the six directions of the vehicle, in and out, the two senses of
    /// rotation, the hours. Of ways of two families (`left` and `inward`) nobody can tell without the place.
    pub fn contradicts(self, other: Direction) -> bool {
        self != other && self.family() == other.family()
    }

    fn family(self) -> u8 {
        match self {
            Direction::Forward
            | Direction::Rearward
            | Direction::Left
            | Direction::Right
            | Direction::Up
            | Direction::Down => 0,
            Direction::Inward | Direction::Outward => 1,
            Direction::Clockwise | Direction::Anticlockwise => 2,
            Direction::Clock(_) => 3,
        }
    }
}

impl Orientation {
    /// Understands text that begins `FEATURE DIRECTION`; `None` for any other, which is prose.
    ///
    /// The direction ends the text or the phrase: `lip inward, grease behind it` is understood, `mark up the shaft` is not.
    /// The word `mirrored` after it says that the other side of the vehicle has it the other way round.
    pub fn parse(text: &str) -> Option<Orientation> {
        let phrase_end = text.find([',', ';', '(']).or_else(|| text.find(". ")).unwrap_or(text.len());
        let (phrase, rest) = text.split_at_checked(phrase_end)?;
        let mut words: Vec<String> = words(phrase).take(LONGEST_PHRASE).collect();
        let mut mirrored = rest.trim_start_matches([',', ';', '(', ' ']).to_lowercase().starts_with("mirrored");
        if words.last().is_some_and(|word| word == "mirrored") {
            words.pop();
            mirrored = true;
        }
        // How it is looked at does not belong to the direction.
        if let Some(seen) = words.iter().position(|word| matches!(word.as_str(), "seen" | "viewed" | "from")) {
            words.truncate(seen);
        }
        let (start, direction) = (1..words.len()).find_map(|start| {
            let (direction, used) = direction_at(words.get(start..)?)?;
            (start + used == words.len()).then_some((start, direction))
        })?;
        let mut feature = words.get(..start)?;
        while let [before @ .., last] = feature {
            if !matches!(last.as_str(), "faces" | "facing" | "points" | "pointing" | "is" | "are" | "goes" | "stands") {
                break;
            }
            feature = before;
        }
        let prose =
            |word: &String| matches!(word.as_str(), "in" | "of" | "with" | "so" | "that" | "until" | "not" | "never");
        if feature.is_empty() || feature.iter().any(prose) {
            return None;
        }
        Some(Orientation { feature: feature.join(" "), direction, mirrored })
    }

    /// Whether two statements about one thing contradict each other: the same feature, two ways.
    pub fn contradicts(&self, other: &Orientation) -> bool {
        self.feature == other.feature && self.direction.contradicts(other.direction)
    }

    /// As it is on the other side of the vehicle.
    pub fn on_other_side(&self) -> Orientation {
        let direction = if self.mirrored { self.direction.mirrored() } else { self.direction };
        Orientation { direction, ..self.clone() }
    }
}

impl fmt::Display for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let hour = match self.half_hours / 2 {
            0 => 12,
            hour => hour,
        };
        let half = if self.half_hours % 2 == 1 { ":30" } else { "" };
        write!(f, "{hour}{half} o'clock")
    }
}

impl fmt::Display for Direction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Direction::Forward => "forward",
            Direction::Rearward => "rearward",
            Direction::Left => "left",
            Direction::Right => "right",
            Direction::Up => "up",
            Direction::Down => "down",
            Direction::Inward => "inward",
            Direction::Outward => "outward",
            Direction::Clockwise => "clockwise",
            Direction::Anticlockwise => "anticlockwise",
            Direction::Clock(clock) => return write!(f, "at {clock}"),
        })
    }
}

/// Words of one phrase looked at; a longer one is prose.
const LONGEST_PHRASE: usize = 16;

/// Small words without `the` and `a`, without a full stop at the end.
fn words(text: &str) -> impl Iterator<Item = String> {
    text.split_whitespace()
        .map(|word| word.trim_end_matches(['.', '!']).replace('’', "'").to_lowercase())
        .filter(|word| !matches!(word.as_str(), "" | "the" | "a" | "an"))
}

fn is_oclock(word: &str) -> bool {
    matches!(word, "o'clock" | "oclock")
}

fn clock(word: &str) -> Option<Clock> {
    let (hour, half) = match word.strip_suffix(":30") {
        Some(hour) => (hour, true),
        None => (word, false),
    };
    Clock::new(hour.parse().ok()?, half)
}

/// A direction at the start of `words`, and how many of them it takes.
fn direction_at(words: &[String]) -> Option<(Direction, usize)> {
    if let [at, hour, oclock, ..] = words
        && at == "at"
        && is_oclock(oclock)
    {
        return clock(hour).map(|clock| (Direction::Clock(clock), 3));
    }
    if let [hour, oclock, ..] = words
        && is_oclock(oclock)
    {
        return clock(hour).map(|clock| (Direction::Clock(clock), 2));
    }
    let led = words.first().is_some_and(|word| matches!(word.as_str(), "to" | "towards" | "toward" | "at"));
    let word = words.get(usize::from(led))?;
    let direction = match (word.as_str(), led) {
        ("forward" | "forwards" | "frontward" | "ahead", false) | ("front", true) => Direction::Forward,
        ("rearward" | "rearwards" | "backward" | "backwards" | "aft", false) | ("rear" | "back", true) => {
            Direction::Rearward
        }
        ("left", _) | ("leftward" | "leftwards", false) => Direction::Left,
        ("right", _) | ("rightward" | "rightwards", false) => Direction::Right,
        ("up" | "upward" | "upwards" | "upright", false) | ("top", true) => Direction::Up,
        ("down" | "downward" | "downwards", false) | ("bottom", true) => Direction::Down,
        ("inward" | "inwards" | "in", false) | ("inside", true) => Direction::Inward,
        ("outward" | "outwards" | "out", false) | ("outside", true) => Direction::Outward,
        ("clockwise", false) => Direction::Clockwise,
        ("anticlockwise" | "anti-clockwise" | "counterclockwise" | "counter-clockwise", false) => {
            Direction::Anticlockwise
        }
        _ => return None,
    };
    Some((direction, 1 + usize::from(led)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn understood(text: &str) -> String {
        match Orientation::parse(text) {
            Some(o) => format!("{} | {}{}", o.feature, o.direction, if o.mirrored { " | mirrored" } else { "" }),
            None => "prose".to_string(),
        }
    }

    #[test]
    fn understands_feature_and_direction() {
        for (text, expected) in [
            ("lip inward", "lip | inward"),
            ("Arrow forward.", "arrow | forward"),
            ("dot at 12 o'clock", "dot | at 12 o'clock"),
            ("Dot at 4:30 o’clock, seen from behind", "dot | at 4:30 o'clock"),
            ("heads up", "heads | up"),
            ("inlet port left", "inlet port | left"),
            ("the sealing lip facing inwards", "sealing lip | inward"),
            ("open end points to the rear", "open end | rearward"),
            ("arrow clockwise from the front", "arrow | clockwise"),
            ("arrow forward, mirrored", "arrow | forward | mirrored"),
            ("spring leg to the left mirrored", "spring leg | left | mirrored"),
            ("lip inward, grease behind it", "lip | inward"),
            ("teeth counter-clockwise", "teeth | anticlockwise"),
        ] {
            assert_eq!(understood(text), expected, "{text}");
        }
    }

    #[test]
    fn the_rest_is_prose() {
        for text in [
            "",
            "forward",
            "mark up the shaft to the collar",
            "arrow in the direction of engine rotation, clockwise from the front",
            "as it came off",
            "lip not inward",
            "dot at 13 o'clock",
            "dot at 0 o'clock",
            "é up é",
        ] {
            assert_eq!(understood(text), "prose", "{text}");
        }
    }

    #[test]
    fn contradictions() {
        let contradict = |a: &str, b: &str| Orientation::parse(a).unwrap().contradicts(&Orientation::parse(b).unwrap());
        assert!(contradict("lip inward", "Lip outwards"));
        assert!(contradict("arrow forward", "arrow up"));
        assert!(contradict("dot at 3 o'clock", "dot at 4 o'clock"));
        assert!(!contradict("lip inward", "the lip inwards"));
        assert!(!contradict("lip inward", "arrow outward"));
        assert!(!contradict("lip inward", "lip left"));
    }

    #[test]
    fn mirrors() {
        let mirrored = |text: &str| Orientation::parse(text).unwrap().on_other_side().direction.to_string();
        assert_eq!(mirrored("leg left, mirrored"), "right");
        assert_eq!(mirrored("leg left"), "left");
        assert_eq!(mirrored("dot at 4 o'clock, mirrored"), "at 8 o'clock");
        assert_eq!(mirrored("dot at 12 o'clock, mirrored"), "at 12 o'clock");
        assert_eq!(mirrored("dot at 4:30 o'clock, mirrored"), "at 7:30 o'clock");
        assert_eq!(mirrored("arrow clockwise, mirrored"), "anticlockwise");
    }

    #[test]
    fn clock_positions() {
        let clock = Clock::parse("at 3 o'clock").unwrap();
        assert_eq!(clock.degrees(), 90.0);
        let (x, y) = clock.in_unit_square();
        assert!((x - 1.0).abs() < 1e-9 && (y - 0.5).abs() < 1e-9);
        assert_eq!(Clock::parse("12 o'clock").map(Clock::degrees), Some(0.0));
        assert_eq!(Clock::parse("noon"), None);
        assert_eq!(Direction::parse("at 4 o'clock").map(|d| d.to_string()), Some("at 4 o'clock".to_string()));
        assert_eq!(Direction::parse("sideways"), None);
    }
}
