//! Declared names, and which of them a word may be a slip for.

use std::collections::HashMap;

use crate::procedure::{MeasurementId, Origin, Procedure, ThingId, ThingKind};
use crate::rules::names::unused_name;
use crate::source::Span;

/// What a name can be of.
#[derive(Clone, Debug)]
pub(super) enum Of {
    Thing(ThingId),
    Measurement(MeasurementId),
    /// A tool, a supply, or what every machine has.
    Tool,
}

/// A declared name.
#[derive(Clone, Debug)]
pub(super) struct Declared {
    pub name: String,
    pub span: Span,
    pub of: Of,
}

impl Declared {
    /// Tools and supplies may stand on the list alone.
    pub fn is_named_nowhere(&self, used: &unused_name::Used) -> bool {
        match self.of {
            Of::Thing(id) => !used.things.contains(&id),
            Of::Measurement(id) => !used.measurements.contains(&id),
            Of::Tool => false,
        }
    }
}

/// Which names a word may be a slip for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kinds {
    All,
    Measurements,
    Tools,
}

/// All declared names, and how often each word stands in them.
pub(super) struct Names {
    declared: Vec<Declared>,
    words: HashMap<String, usize>,
}

impl Names {
    pub fn of(procedure: &Procedure) -> Self {
        let mut declared = Vec::new();
        for (i, thing) in procedure.things.iter().enumerate() {
            if !matches!(thing.kind, ThingKind::Seen | ThingKind::Builtin(_)) {
                let of = Of::Thing(ThingId(u32::try_from(i).unwrap_or(u32::MAX)));
                declared.push(Declared { name: thing.name.clone(), span: thing.span, of });
            }
        }
        for (i, measurement) in procedure.measurements.iter().enumerate() {
            if measurement.origin == Origin::Declared {
                let of = Of::Measurement(MeasurementId(u32::try_from(i).unwrap_or(u32::MAX)));
                declared.push(Declared { name: measurement.name.clone(), span: measurement.span, of });
            }
        }
        let built_in = crate::resolve::objects::BUILT_IN.iter();
        declared.extend(built_in.map(|(name, _)| Declared {
            name: (*name).to_owned(),
            span: Span::default(),
            of: Of::Tool,
        }));
        let tools = procedure.tools.iter().filter(|t| t.declared).map(|t| (&t.name, t.span));
        let supplies = procedure.supplies.iter().filter(|s| s.declared).map(|s| (&s.name, s.span));
        declared.extend(tools.chain(supplies).map(|(name, span)| Declared { name: name.clone(), span, of: Of::Tool }));
        let mut words: HashMap<String, usize> = HashMap::new();
        for name in &declared {
            for word in name.name.to_lowercase().split(' ') {
                *words.entry(word.to_owned()).or_default() += 1;
            }
        }
        Self { declared, words }
    }

    /// The one declared name that `word` is a slip for.
    pub fn meant(&self, word: &str, kinds: Kinds, used: &unused_name::Used) -> Option<Declared> {
        let fits = |of: &Of| match kinds {
            Kinds::All => true,
            Kinds::Measurements => matches!(of, Of::Measurement(_)),
            Kinds::Tools => matches!(of, Of::Tool),
        };
        let mut near = self.declared.iter().filter(|d| fits(&d.of) && is_slip(word, &d.name));
        let first = near.next()?;
        // A word that other names are made of is meant as it stands: then the slip may be in the declaration.
        let real = odd_word(word, &first.name).is_some_and(|odd| self.words.contains_key(&odd));
        let alone = odd_word(&first.name, word).is_some_and(|odd| self.words.get(&odd).is_none_or(|n| *n == 1));
        let slip = !real || (alone && first.is_named_nowhere(used));
        (near.next().is_none() && slip).then(|| first.clone())
    }

    /// Of two declared names: the odd word of the first stands in no other name.
    pub fn is_slip(&self, word: &str, name: &str) -> bool {
        is_slip(word, name) && odd_word(word, name).is_some_and(|odd| self.words.get(&odd).is_none_or(|n| *n <= 1))
    }
}

/// The one word in which two names differ.
pub fn odd_word(word: &str, name: &str) -> Option<String> {
    let (word, name) = (word.to_lowercase(), name.to_lowercase());
    let (a, b): (Vec<&str>, Vec<&str>) = (word.split(' ').collect(), name.split(' ').collect());
    if a.len() != b.len() {
        return None;
    }
    let mut odd = a.iter().zip(&b).filter(|(a, b)| a != b);
    let (first, _) = odd.next()?;
    odd.next().is_none().then(|| (*first).to_owned())
}

/// One word of the name with one letter wrong, missing, too many, or changed with its neighbour. A plural is no slip,
/// and neither is a number: sizes and sides differ in one letter and are two things.
fn is_slip(word: &str, name: &str) -> bool {
    let (Some(odd), Some(right)) = (odd_word(word, name), odd_word(name, word)) else { return false };
    let letters = |w: &str| w.chars().all(|c| c.is_alphabetic() || c == '-');
    let plural =
        |a: &str, b: &str| !a.ends_with("ss") && (a.strip_suffix('s') == Some(b) || a.strip_suffix("es") == Some(b));
    if !letters(&odd) || !letters(&right) || plural(&odd, &right) || plural(&right, &odd) {
        return false;
    }
    let swapped = odd.len() == right.len() && {
        let (mut a, mut b): (Vec<char>, Vec<char>) = (odd.chars().collect(), right.chars().collect());
        a.sort_unstable();
        b.sort_unstable();
        a == b
    };
    let long = right.chars().count() >= if swapped { 3 } else { 5 };
    long && strsim::damerau_levenshtein(&odd, &right) == 1
}

#[cfg(test)]
mod tests {
    use super::is_slip;

    #[test]
    fn a_slip_is_one_letter_of_one_word() {
        for (word, name) in [
            ("barke pads", "brake pads"),
            ("dsic", "disc"),
            ("disc thicknes", "disc thickness"),
            ("micrommeter", "micrometer"),
            ("clamp mater", "clamp meter"),
        ] {
            assert!(is_slip(word, name), "{word} / {name}");
        }
        for (word, name) in [
            ("brake pad", "brake pads"),
            ("torque wrench 2-25", "torque wrench 5-25"),
            ("inner bearing", "outer bearing"),
            ("side cover", "cover"),
            ("hose A", "hose B"),
            ("belt", "bolt"),
        ] {
            assert!(!is_slip(word, name), "{word} / {name}");
        }
    }
}
