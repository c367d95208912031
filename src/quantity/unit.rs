//! Units: those of the table, and the plain nouns of counts.

use std::collections::HashMap;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::sync::LazyLock;

use super::kind::Kind;
use super::number::Number;
use super::table::{Known, Usage};

/// A unit: one of the table, or the plain noun of a count (`clicks`, `teeth`).
#[derive(Clone, Debug)]
pub struct Unit(Inner);

#[derive(Clone, Debug)]
enum Inner {
    Known(Known),
    Noun(String),
}

/// What a spelling turned out to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Spelling {
    /// One unit.
    Unit(Unit),
    /// One of several; the author must say which.
    Ambiguous(&'static [&'static str]),
    /// None; the nearest, if one is near.
    Unknown(Option<Unit>),
}

impl Unit {
    /// The unit of a count, by its noun.
    pub fn noun(word: &str) -> Unit {
        Unit(Inner::Noun(word.to_lowercase()))
    }

    /// The row of the table, or `None` for the noun of a count.
    pub fn known(&self) -> Option<Known> {
        match self.0 {
            Inner::Known(known) => Some(known),
            Inner::Noun(_) => None,
        }
    }

    /// What it measures.
    pub fn kind(&self) -> Kind {
        self.known().map_or(Kind::Count, |known| known.definition().kind)
    }

    /// The canonical spelling; a count's noun as written.
    pub fn symbol(&self) -> &str {
        match &self.0 {
            Inner::Known(known) => known.definition().symbol,
            Inner::Noun(word) => word,
        }
    }

    /// The word that stands after `value`: `1 turn`, `20 turns`, `1 mile`; other units never change.
    pub fn symbol_for(&self, value: &Number) -> &str {
        let one = !value.is_negative() && *value <= Number::ONE;
        match (self.known(), one) {
            (Some(Known::Turn), false) => "turns",
            (Some(Known::Day), false) => "days",
            (Some(Known::Week), false) => "weeks",
            (Some(Known::Month), false) => "months",
            (Some(Known::Year), false) => "years",
            (Some(Known::Mile), true) => "mile",
            _ => self.symbol(),
        }
    }

    /// Who reads it.
    pub fn usage(&self) -> Usage {
        self.known().map_or(Usage::Everywhere, |known| known.definition().usage)
    }

    /// Factor to the base unit of its kind (see [`Kind`]), after [`Unit::offset`] has been added.
    pub fn factor(&self) -> Number {
        let (top, bottom) = self.known().map_or((1, 1), |known| known.definition().factor);
        Number::from_ratio(top, bottom).unwrap_or(Number::ONE)
    }

    /// What is added to a reading before the factor is applied: nought except for °C and °F.
    pub fn offset(&self) -> Number {
        let hundredths = self.known().map_or(0, |known| known.definition().offset_hundredths);
        Number::from_ratio(hundredths, 100).unwrap_or(Number::ZERO)
    }

    /// The unit spelled just so: canonically or in one of the variants, capitals as in the table. No nouns.
    pub fn exact(text: &str) -> Option<Unit> {
        BY_SPELLING.get(&joined(text)).copied().map(Unit::from)
    }

    /// Reads a unit as people spell it.
    ///
    /// After the exact spellings, capitals are forgiven where only one unit can be meant; after that any single
    /// lower-case word is the noun of a count.
    pub fn read(text: &str) -> Spelling {
        let text = text.trim();
        if let Some(unit) = Unit::exact(text).or_else(|| Unit::exact(text.trim_end_matches('.'))) {
            return Spelling::Unit(unit);
        }
        if let Some(choices) = ambiguous(text) {
            return Spelling::Ambiguous(choices);
        }
        match forgiving(text) {
            Some((unit, true)) => Spelling::Unit(unit),
            Some((unit, false)) => Spelling::Unknown(Some(unit)),
            None if is_noun(text) => Spelling::Unit(Unit::noun(text)),
            None => Spelling::Unknown(Unit::nearest(text)),
        }
    }

    /// The unit whose spelling is nearest, for 'did you mean'; `None` where none is near.
    pub fn nearest(text: &str) -> Option<Unit> {
        let wanted = joined(text.trim()).to_lowercase();
        let length = wanted.chars().count();
        let limit = match length {
            0 | 1 => return None,
            2..=4 => 1,
            5..=24 => 2,
            _ => return None,
        };
        FOLDED
            .iter()
            .filter(|(s, _)| (2..=length + limit).contains(&s.chars().count()))
            .map(|(s, known)| (strsim::osa_distance(&wanted, s), *known))
            .filter(|(distance, _)| *distance <= limit)
            .min()
            .map(|(_, known)| Unit::from(known))
    }

    fn noun_key(&self) -> Option<&str> {
        match &self.0 {
            Inner::Noun(word) => Some(singular(word)),
            Inner::Known(_) => None,
        }
    }
}

impl From<Known> for Unit {
    fn from(known: Known) -> Unit {
        Unit(Inner::Known(known))
    }
}

/// `click` and `clicks` are one unit.
impl PartialEq for Unit {
    fn eq(&self, other: &Unit) -> bool {
        self.known() == other.known() && self.noun_key() == other.noun_key()
    }
}

impl Eq for Unit {}

impl Hash for Unit {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.known().hash(state);
        self.noun_key().hash(state);
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

/// Every spelling, joints as `·`, to its unit.
static BY_SPELLING: LazyLock<HashMap<String, Known>> =
    LazyLock::new(|| Known::ALL.iter().flat_map(|known| spellings(*known).map(|s| (s, *known))).collect());

/// The same in small letters, in the order of the table.
static FOLDED: LazyLock<Vec<(String, Known)>> = LazyLock::new(|| {
    Known::ALL.iter().flat_map(|known| spellings(*known).map(|s| (s.to_lowercase(), *known))).collect()
});

/// Canonical spelling and variants, joints as `·`.
fn spellings(known: Known) -> impl Iterator<Item = String> {
    let definition = known.definition();
    let canonical = definition.symbol.replace(' ', "·");
    std::iter::once(canonical).chain(definition.spellings.iter().map(|s| (*s).to_string()))
}

/// One joint `·` for every way of joining words; one letter for every way of writing micro and ohm.
fn joined(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut pending = false;
    let mut characters = text.trim().chars().peekable();
    while let Some(c) = characters.next() {
        let abbreviation =
            c == '.' && out.ends_with(['U', 'S']) && (characters.peek() == Some(&'S') || out.ends_with("U.S"));
        let joint = c.is_whitespace() || "·⋅∙•*-\u{2010}\u{2011}".contains(c) || (c == '.' && !abbreviation);
        if joint {
            pending = !out.is_empty();
            continue;
        }
        if pending {
            out.push('·');
            pending = false;
        }
        out.push(match c {
            'μ' => 'µ',
            '\u{2126}' => 'Ω',
            other => other,
        });
    }
    out
}

/// Units whose name alone does not say how much: a fifth lies between the two quarts.
fn ambiguous(text: &str) -> Option<&'static [&'static str]> {
    match joined(text).to_lowercase().as_str() {
        "qt" | "qts" | "quart" | "quarts" => Some(&["US qt", "imp qt"]),
        "gal" | "gals" | "gallon" | "gallons" => Some(&["US gal", "imp gal"]),
        "pt" | "pts" | "pint" | "pints" => Some(&["US pt", "imp pt"]),
        "gpm" | "gal/min" => Some(&["US gal/min", "imp gal/min"]),
        "ton" | "tons" => Some(&["t", "lb"]),
        _ => None,
    }
}

/// The only unit that differs by capitals alone, and whether that may be read without asking.
///
/// `nm` can only be N·m; but between `mPa` and `MPa` lie nine noughts, so those are asked about.
fn forgiving(text: &str) -> Option<(Unit, bool)> {
    let wanted = joined(text);
    let folded = wanted.to_lowercase();
    if folded.chars().count() < 2 {
        return None;
    }
    let mut found: Option<(Known, String)> = None;
    for (_, known) in FOLDED.iter().filter(|(s, _)| *s == folded) {
        match &found {
            Some((other, _)) if other != known => return None,
            Some(_) => {}
            None => found = spellings(*known).find(|s| s.to_lowercase() == folded).map(|s| (*known, s)),
        }
    }
    let (known, spelling) = found?;
    let first = |s: &str| s.chars().next();
    let prefix_differs = matches!(first(&wanted), Some('m' | 'M')) && first(&wanted) != first(&spelling);
    let risky = matches!(
        known.definition().kind,
        Kind::Pressure
            | Kind::Energy
            | Kind::Voltage
            | Kind::Current
            | Kind::Resistance
            | Kind::Power
            | Kind::Charge
            | Kind::Density
    );
    Some((Unit::from(known), !(prefix_differs && risky)))
}

/// A word that a count may be of: lower case, of letters alone, long enough to be a word, and with a vowel.
///
/// Without a vowel (`lbft`, `kpsi`) it is more likely a unit that went wrong.
fn is_noun(text: &str) -> bool {
    const NEVER: [&str; 14] =
        ["to", "of", "at", "by", "or", "and", "then", "on", "with", "for", "from", "per", "is", "a"];
    let ascii = text.is_ascii();
    text.chars().count() >= 2
        && text.chars().all(|c| c.is_alphabetic() && !c.is_uppercase())
        && (!ascii || text.contains(['a', 'e', 'i', 'o', 'u', 'y']))
        && !NEVER.contains(&text)
}

/// Near enough to compare two spellings of one noun; never printed.
fn singular(word: &str) -> &str {
    match word {
        "teeth" => "tooth",
        _ if word.len() > 3 && word.ends_with("ches") => &word[..word.len() - 2],
        _ if word.len() > 3 && !word.ends_with("ss") => word.strip_suffix('s').unwrap_or(word),
        _ => word,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_units_share_a_spelling() {
        let mut seen: HashMap<String, Known> = HashMap::new();
        for known in Known::ALL {
            for spelling in spellings(*known) {
                assert_eq!(joined(&spelling), spelling, "spelling in the table is not in its joined form");
                if let Some(other) = seen.insert(spelling.clone(), *known) {
                    assert_eq!(other, *known, "{spelling}");
                }
            }
        }
    }

    #[test]
    fn reads_the_common_variants() {
        let cases = [
            ("N·m", "Nm N.m N⋅m N-m N*m|N m|nm|NM|newton metres"),
            ("lbf·ft", "lb-ft ft-lb ft·lb lbf.ft lbf-ft ft-lbs FT-LB lb·ft ftlb|ft lb|lb ft|lbf ft|foot-pounds"),
            ("lbf·in", "in-lb lb-in lbf.in in·lbs IN-LB|in lb|inch pounds"),
            ("L", "l litre litres liter"),
            ("mL", "ml ML"),
            ("cm³", "cm3 cc"),
            ("°", "deg degrees º"),
            ("°C", "C degC ℃|deg C|° C|degrees C|degrees Celsius"),
            ("°F", "F degF|degrees F"),
            ("h", "hr hrs hour hours"),
            ("min", "minute minutes mins min."),
            ("s", "sec seconds"),
            ("day", "days"),
            ("rpm", "RPM r/min 1/min"),
            ("Ω", "ohm ohms Ohm \u{2126}"),
            ("µm", "um μm micron"),
            ("in", "inch inches in. \""),
            ("miles", "mile mi"),
            ("km/h", "kmh kph"),
            ("L/min", "l/min lpm"),
            ("US qt", "|us qt|US quarts|U.S. qt"),
            ("US gal", "|US gallons|U.S. gal"),
            ("imp qt", "|imperial quart|Imp qt"),
            ("US fl oz", "|fl oz|fl. oz."),
            ("kW", "KW kilowatts"),
            ("A·h", "Ah|A h|amp hours"),
            ("psi", "PSI Psi"),
            ("turn", "turns rev"),
        ];
        for (symbol, variants) in cases {
            let mut parts = variants.split('|');
            let words = parts.next().unwrap_or_default().split(' ').filter(|w| !w.is_empty());
            for spelling in words.chain(parts).chain([symbol]) {
                let expected = Unit::exact(symbol).unwrap();
                assert_eq!(Unit::read(spelling), Spelling::Unit(expected), "{spelling}");
            }
        }
    }

    #[test]
    fn a_plain_word_is_a_count_and_a_wrong_unit_is_not() {
        for word in ["clicks", "teeth", "strokes", "pins", "rounds", "zähne"] {
            assert_eq!(Unit::read(word), Spelling::Unit(Unit::noun(word)), "{word}");
        }
        assert_eq!(Unit::noun("click"), Unit::noun("clicks"));
        assert_eq!(Unit::noun("tooth"), Unit::noun("teeth"));
        assert_ne!(Unit::noun("click"), Unit::noun("turns"));
        for (wrong, meant) in [("Nmm", "N·m"), ("Kpsi", "psi"), ("mPa", "MPa"), ("Kpaa", "kPa")] {
            assert_eq!(Unit::read(wrong), Spelling::Unknown(Unit::exact(meant)), "{wrong}");
        }
        for wrong in ["x", "##", "to", "XYZZY", ""] {
            assert_eq!(Unit::read(wrong), Spelling::Unknown(None), "{wrong}");
        }
        assert_eq!(Unit::read("qt"), Spelling::Ambiguous(&["US qt", "imp qt"]));
    }
}
