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
