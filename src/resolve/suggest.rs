//! 'Did you mean'.

/// The candidate that is most like `word`, if one is like enough.
pub(crate) fn did_you_mean<'a>(word: &str, candidates: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let word = crate::syntax::fold_name(word);
    let mut best: Option<(f64, &str)> = None;
    for candidate in candidates {
        let folded = crate::syntax::fold_name(candidate);
        if folded == word || folded.len() > 4 * word.len() + 8 || word.len() > 4 * folded.len() + 8 {
            continue;
        }
        let mut likeness = strsim::normalized_damerau_levenshtein(&word, &folded);
        // A shortened name ('pump' for 'hydraulic pump') is a likely slip too.
        if folded.split(' ').any(|w| w == word) || word.split(' ').any(|w| w == folded) {
            likeness = likeness.max(0.62);
        }
        if likeness >= 0.6 && best.is_none_or(|(b, _)| likeness > b) {
            best = Some((likeness, candidate));
        }
    }
    best.map(|(_, c)| c)
}

/// Whether `meant` can only be a slip of the pen for `word`: one letter in ten, and no other candidate as near.
pub(crate) fn is_certain<'a>(word: &str, meant: &str, candidates: impl Iterator<Item = &'a str>) -> bool {
    let word = crate::syntax::fold_name(word);
    let likeness = |name: &str| strsim::normalized_damerau_levenshtein(&word, &crate::syntax::fold_name(name));
    let best = likeness(meant);
    // Names that differ in a number are two things.
    let digits = |name: &str| name.chars().filter(char::is_ascii_digit).collect::<String>();
    let rival = candidates.filter(|c| *c != meant).map(likeness).fold(0.0, f64::max);
    digits(&word) == digits(meant) && best >= 0.72 && best > rival + 0.1
}

/// Whether one is the other with an `s`: what takes any object may well mean several.
pub(crate) fn is_plural(a: &str, b: &str) -> bool {
    let more = |a: &str, b: &str| a.strip_suffix('s') == Some(b) || a.strip_suffix("es") == Some(b);
    more(a, b) || more(b, a)
}

/// `Did you mean 'x'?` or nothing.
pub(crate) fn hint<'a>(word: &str, candidates: impl Iterator<Item = &'a str>) -> String {
    did_you_mean(word, candidates).map(|c| format!("Did you mean '{c}'?")).unwrap_or_default()
}

/// The rule under which a quantity that can't be read is reported.
pub(crate) fn rule_of(error: &crate::quantity::QuantityError) -> &'static str {
    use crate::quantity::QuantityError as E;
    match error {
        E::UnitMissing { .. } => "unit-missing",
        E::DifferentKinds { .. } => "unit-mismatch",
        E::ReversedRange { .. } => "limit-reversed",
        _ => "bad-syntax",
    }
}

#[cfg(test)]
mod tests {
    use super::is_certain;

    #[test]
    fn a_suggestion_is_certain_when_nothing_else_is_near() {
        let names = ["hydraulic pump", "left hose", "right hose", "disc", "bolt 1"];
        let certain = |word, meant| is_certain(word, meant, names.into_iter());
        assert!(certain("hydralic pump", "hydraulic pump"));
        assert!(certain("dsic", "disc"));
        assert!(!certain("pump", "hydraulic pump"));
        assert!(!certain("bolt 2", "bolt 1"));
        assert!(!is_certain("left hoe", "left hose", ["left hose", "left hole"].into_iter()));
    }
}
