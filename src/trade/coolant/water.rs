//! Which water a cooling system takes, read from what an author writes.
//!
//! Common practice, and the water that ASTM D3306 concentrates are diluted with: distilled, deionised or demineralised. What comes from a
//! tap or a well brings lime and chloride, which foul and corrode (limits of the appendix of ASTM D3306: chloride 40, sulphate
//! 100, hardness 170 mg/L).

use std::ops::Range;

/// Water that is none of the right ones, whoever praises it.
const WRONG: [&str; 30] = [
    "tap",
    "mains",
    "drinking",
    "potable",
    "well",
    "hard",
    "hose",
    "hosepipe",
    "city",
    "town",
    "municipal",
    "spring",
    "river",
    "lake",
    "pond",
    "stream",
    "ditch",
    "sea",
    "salt",
    "bottled",
    "mineral",
    "softened",
    "bore",
    "borehole",
    "raw",
    "untreated",
    "faucet",
    "kitchen",
    "ground",
    "brackish",
];
/// Words that praise water and leave open what it is.
const VAGUE: [&str; 9] = ["clean", "plain", "ordinary", "normal", "fresh", "soft", "filtered", "boiled", "rain"];
/// The right ones.
const RIGHT: [&str; 12] = [
    "distilled",
    "deionised",
    "deionized",
    "de-ionised",
    "de-ionized",
    "demineralised",
    "demineralized",
    "de-mineralised",
    "de-mineralized",
    "desalinated",
    "di",
    "purified",
];
/// A word before that turns it round: `never tap water`.
const AGAINST: [&str; 12] =
    ["no", "not", "never", "without", "neither", "nor", "than", "instead", "avoid", "don't", "don’t", "cannot"];

/// What water is used for beside being mixed in: a sentence with one of these asks for none in the system.
const RINSING: [&str; 10] = ["rinse", "flush", "wash", "clean", "wipe", "spray", "spill", "spilt", "hose", "scrub"];
/// After `hard water`: where a coolant is sold, or what it stands.
const DISTRICT: [&str; 14] = [
    "area",
    "areas",
    "district",
    "districts",
    "region",
    "regions",
    "hardness",
    "pump",
    "use",
    "stable",
    "stability",
    "compatible",
    "resistant",
    "tolerant",
];
/// Before `hard water`, where it is asked for: `in hard water`, but not `for hard water`.
const ASKING: [&str; 8] = ["in", "with", "and", "or", "of", "plus", "half", "use"];

/// Where a specification asks for water that is neither distilled nor deionised: the bytes of `tap water`. `None` where it asks for the
/// right water, for none, or leaves open which.
#[must_use]
pub fn unfit(text: &str) -> Option<Range<usize>> {
    find(text, true)
}

/// The same in what is said of an act, where `clean water` may mean anything: only what is surely wrong.
#[must_use]
pub fn unfit_in_prose(text: &str) -> Option<Range<usize>> {
    find(text, false)
}

fn find(text: &str, specification: bool) -> Option<Range<usize>> {
    let words = words(text);
    let vague = specification && !words.iter().any(|(_, word)| RIGHT.contains(&word.as_str()));
    words.iter().enumerate().filter(|(_, (_, word))| word == "water").find_map(|(at, (place, _))| {
        let (first, last) = asked_for(&words, at, vague)?;
        let start = words.get(first)?.0.start;
        let same_sentence = |other: &Range<usize>| {
            let between = if other.end <= start { text.get(other.end..start) } else { text.get(start..other.start) };
            between.is_some_and(|between| !between.contains(['.', ';', ':']))
        };
        // Up to four words before.
        let against = words[first.saturating_sub(4)..first]
            .iter()
            .any(|(before, word)| AGAINST.contains(&word.as_str()) && same_sentence(before));
        let rinses = words.iter().enumerate().any(|(i, (other, word))| {
            let asked = (first..=last).contains(&i);
            !asked && RINSING.iter().any(|rinsing| word.starts_with(rinsing)) && same_sentence(other)
        });
        let end = words.get(last).map_or(place.end, |(end, _)| end.end);
        (!against && !rinses).then_some(start..end)
    })
}

/// The first and the last word of what is asked for, where the word `at` is `water`.
fn asked_for(words: &[(Range<usize>, String)], at: usize, vague: bool) -> Option<(usize, usize)> {
    let word = |i: usize| words.get(i).map(|(_, word)| word.as_str());
    if word(at + 1).is_some_and(|next| DISTRICT.contains(&next)) {
        return None;
    }
    if let Some(before) = at.checked_sub(1)
        && let Some(what) = word(before)
        && (WRONG.contains(&what) || (vague && VAGUE.contains(&what)))
    {
        let asks = before.checked_sub(1).and_then(word).is_none_or(|asking| ASKING.contains(&asking));
        return (what != "hard" || asks).then_some((before, at));
    }
    // `water from the tap`
    let from = match (word(at + 1), word(at + 2)) {
        (Some("from"), Some("the" | "a")) => at + 3,
        (Some("from"), _) => at + 2,
        _ => return None,
    };
    word(from).is_some_and(|what| WRONG.contains(&what)).then_some((at, from))
}

/// Whether the text names the right water: `demineralised`.
#[must_use]
pub fn names_right(text: &str) -> bool {
    words(text).iter().any(|(_, word)| RIGHT.contains(&word.as_str()))
}

/// Whether the text says that the fluid is bought ready mixed.
#[must_use]
pub fn is_ready_mixed(text: &str) -> bool {
    let words = words(text);
    words.iter().enumerate().any(|(at, (_, word))| {
        let next = words.get(at + 1).map_or("", |(_, next)| next.as_str());
        let mixed = |word: &str| word.starts_with("mix") || word.starts_with("dilut");
        match word.strip_prefix("pre") {
            Some("") => mixed(next),
            Some(rest) => mixed(rest),
            None => word == "ready" || word.starts_with("readymix"),
        }
    })
}

/// Words in small letters, with their places. `tap-water` is two, `de-ionised` is one.
fn words(text: &str) -> Vec<(Range<usize>, String)> {
    let mut words: Vec<(Range<usize>, String)> = Vec::new();
    let mut start = None;
    let ends = text.char_indices().chain([(text.len(), ' ')]);
    for (at, c) in ends {
        let inside = c.is_alphanumeric()
            || matches!(c, '\'' | '’')
            || (c == '-' && start.is_some_and(|s| text.get(s..at).is_some_and(|w| w.eq_ignore_ascii_case("de"))));
        match (inside, start) {
            (true, None) => start = Some(at),
            (false, Some(from)) => {
                words.push((from..at, text.get(from..at).unwrap_or_default().to_lowercase()));
                start = None;
            }
            _ => {}
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn water_that_is_neither_distilled_nor_deionised() {
        for (text, expected) in [
            ("concentrate to ASTM D3306 in tap water", "tap water"),
            ("Mix with Tap-Water only.", "Tap-Water"),
            ("concentrate and water from the mains", "water from the mains"),
            ("half concentrate, half hard water", "hard water"),
            ("concentrate in clean water", "clean water"),
            ("distilled or drinking water", "drinking water"),
            ("Not too much at once: tap water will do", "tap water"),
        ] {
            let found = unfit(text).and_then(|range| text.get(range));
            assert_eq!(found, Some(expected), "{text}");
        }
    }

    #[test]
    fn the_right_water_and_what_is_left_open() {
        for text in [
            "concentrate to ASTM D3306 in demineralised water",
            "concentrate in de-ionised water, never tap water",
            "Use distilled water instead of tap water.",
            "no drinking water in bottles: demineralised water",
            "concentrate and water, 40 to 60",
            "clean distilled water",
            "clean, soft demineralised water",
            "also for hard water areas",
            "hard-water stable concentrate to ASTM D3306",
            "suited for hard water",
            "Rinse with tap water first",
            "concentrate; spills are washed off with tap water",
            "water pump",
            "ready mixed",
            "Water",
            "from tap water",
            "",
        ] {
            let expected = if text == "from tap water" { Some(5..14) } else { None };
            assert_eq!(unfit(text), expected, "{text}");
        }
    }

    #[test]
    fn prose_of_an_act_is_read_with_more_care() {
        for (text, expected) in [
            ("Tap water will do.", Some("Tap water")),
            ("Until clean water runs out of the screw.", None),
            ("Blow out any water first.", None),
            ("Hose off what was spilt with tap water.", None),
            ("Rinse the funnel. Then half concentrate, half tap water.", Some("tap water")),
        ] {
            assert_eq!(unfit_in_prose(text).and_then(|range| text.get(range)), expected, "{text}");
        }
    }

    #[test]
    fn what_is_bought_ready_mixed() {
        for (text, expected) in [
            ("ready mixed", true),
            ("ASTM D3306, Pre-diluted 50 %", true),
            ("premixed coolant", true),
            ("ready for use", true),
            ("Ready-mixed, 50 %", true),
            ("premix", true),
            ("concentrate to ASTM D3306", false),
            ("as it was already; premium coolant", false),
        ] {
            assert_eq!(is_ready_mixed(text), expected, "{text}");
        }
    }
}
