//! Small words that messages are made of.

/// `are` for a name that sounds like several things (`pump bolts`), else `is`.
#[must_use]
pub fn is_are(name: &str) -> &'static str {
    if sounds_plural(name) { "are" } else { "is" }
}

/// `have` for a name that sounds like several things, else `has`.
#[must_use]
pub fn has_have(name: &str) -> &'static str {
    if sounds_plural(name) { "have" } else { "has" }
}

/// `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn list<S: AsRef<str>>(names: &[S]) -> String {
    match names {
        [] => String::new(),
        [one] => one.as_ref().to_string(),
        [first @ .., last] => {
            let first: Vec<_> = first.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", first.join(", "), last.as_ref())
        }
    }
}

fn sounds_plural(name: &str) -> bool {
    name.ends_with('s') && !name.ends_with("ss") && !name.ends_with("us")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_take_the_verb_that_sounds_right() {
        assert_eq!(format!("pump bolts {}", has_have("pump bolts")), "pump bolts have");
        assert_eq!(format!("gland {}", is_are("gland")), "gland is");
        assert_eq!(format!("brass boss {}", is_are("brass boss")), "brass boss is");
        assert_eq!(list(&["a", "b", "c"]), "a, b and c");
    }
}
