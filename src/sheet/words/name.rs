//! Names as they stand in a sentence.

use crate::procedure::{Members, Object, Portion, Procedure, ThingRef, Version};
use crate::sheet::catalogue as say;

/// `the side guard`; names that bring their own article or are of no kind that takes one stay bare.
pub(super) fn article(name: &str) -> String {
    let first = name.split_whitespace().next().unwrap_or_default().to_lowercase();
    let bare = say::DETERMINERS.contains(&first.as_str()) || first.starts_with(|c: char| c.is_ascii_digit());
    if bare { name.to_owned() } else { format!("{} {name}", say::THE) }
}

/// A reference with its article, version, portion and members.
pub(super) fn the(job: &Procedure, reference: &ThingRef) -> String {
    let thing = &job[reference.thing];
    let mut name = thing.name.clone();
    if let (Some(set), Members::One(member)) = (thing.each, reference.members) {
        let member = job[set].members.get(member as usize).cloned().unwrap_or_default();
        // `left wheel`, but `wheel 2`.
        name = if member.starts_with(|c: char| c.is_ascii_digit()) {
            format!("{name} {member}")
        } else {
            format!("{member} {name}")
        };
    }
    name = match reference.version {
        Version::Old => format!("{} {name}", say::OLD),
        Version::New => format!("{} {name}", say::NEW),
        Version::Unsaid => name,
    };
    let name = article(&name);
    match &reference.portion {
        Portion::Whole => name,
        Portion::Count(count) => format!("{count} {} {name}", say::OF),
        Portion::Positions(positions) => {
            let word = if positions.len() == 1 { say::POSITION } else { say::POSITIONS };
            format!("{word} {} {} {name}", runs(positions), say::OF)
        }
    }
}

/// An object of an act with its article.
pub(super) fn object(job: &Procedure, object: &Object) -> String {
    match object {
        Object::Thing(reference) => the(job, reference),
        Object::Measurement(id, members) => {
            let measurement = &job[*id];
            match (measurement.each, members) {
                (Some(set), Members::One(member)) => {
                    let member = job[set].members.get(*member as usize).cloned().unwrap_or_default();
                    article(&format!("{member} {}", measurement.name))
                }
                _ => article(&measurement.name),
            }
        }
        Object::Tool(id) => article(&job[*id].name),
        Object::Supply(id) => article(&job[*id].name),
        Object::Free(words, _) => article(words),
    }
}

/// `1, 3 to 5`.
pub(super) fn runs(positions: &[u32]) -> String {
    let mut parts: Vec<String> = Vec::new();
    let mut rest = positions;
    while let Some(&first) = rest.first() {
        let length = rest.iter().zip(first..).take_while(|(at, wanted)| *at == wanted).count().max(1);
        let last = rest[length - 1];
        match length {
            1 => parts.push(first.to_string()),
            2 => parts.extend([first.to_string(), last.to_string()]),
            _ => parts.push(format!("{first} {} {last}", say::TO)),
        }
        rest = &rest[length..];
    }
    list(&parts)
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn list(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} {} {last}", first.join(", "), say::AND),
    }
}

/// Whether the thing is spoken of as several: more than one of it, or a name like `brake pads`.
pub(super) fn is_plural(job: &Procedure, thing: &ThingRef) -> bool {
    let named = &job[thing.thing];
    let name = named.name.to_lowercase();
    named.facts.count > 1 || (name.ends_with('s') && !name.ends_with("ss") && !name.ends_with("us"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn articles_and_lists() {
        assert_eq!(article("side guard"), "the side guard");
        assert_eq!(article("every joint touched"), "every joint touched");
        assert_eq!(article("its hose"), "its hose");
        assert_eq!(runs(&[1, 2, 3, 4]), "1 to 4");
        assert_eq!(runs(&[2, 4, 6, 7]), "2, 4, 6 and 7");
        assert_eq!(list(&["a".into(), "b".into(), "c".into()]), "a, b and c");
    }
}
