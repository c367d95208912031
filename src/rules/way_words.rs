//! A way through the job as a sentence begins: `on an Osier 20 compact loader with side guard fitted, when the pump
//! coupling was found bad`.

use crate::procedure::Procedure;

/// The way in words; nothing for every way.
#[must_use]
pub fn sentence(procedure: &Procedure, way: &[(String, String)]) -> String {
    if way.is_empty() {
        return String::new();
    }
    let (mut before, mut found) = (Vec::new(), Vec::new());
    for (fact, value) in way {
        match kind_of(procedure, fact, value) {
            FactKind::Option => before.push(option(fact, value)),
            FactKind::Thing => found.push(format!("{} {} found {value}", the(fact), was(fact))),
            FactKind::Measurement => {
                let limits = if value == "outside" { "outside its limits" } else { "within its limits" };
                found.push(format!("{} was {limits}", the(fact)));
            }
            FactKind::Question => found.push(format!("the answer to `{fact}` was {value}")),
            FactKind::Said => found.push(match value.as_str() {
                "yes" => fact.clone(),
                "no" => format!("not {fact}"),
                _ => format!("{fact} is {value}"),
            }),
        }
    }
    let known = machine(procedure);
    let with = before.join(" and ");
    let head = match (known, before.is_empty()) {
        (Some(machine), false) => format!("on {machine} {with}"),
        (Some(machine), true) => format!("on {machine}"),
        (None, _) => with,
    };
    let when = if found.is_empty() { String::new() } else { format!("when {}", found.join(" and when ")) };
    [head, when].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
}

enum FactKind {
    Option,
    Thing,
    Measurement,
    Question,
    /// Anything else that is so or not.
    Said,
}

/// The two name spaces of facts and things may share a word: the value tells which is meant.
fn kind_of(procedure: &Procedure, fact: &str, value: &str) -> FactKind {
    let option = procedure.options.iter().find(|o| o.name == fact);
    let is_of_option = |values: &[String]| values.iter().any(|v| v == value) || matches!(value, "yes" | "no");
    if option.is_some_and(|o| is_of_option(&o.values)) {
        return FactKind::Option;
    }
    match value {
        "bad" | "good" => FactKind::Thing,
        "outside" | "within" => FactKind::Measurement,
        _ if procedure
            .asks
            .iter()
            .any(|a| a.name.as_deref().is_none_or(|n| n == fact) && a.answers.iter().any(|v| v == value)) =>
        {
            FactKind::Question
        }
        _ => FactKind::Said,
    }
}

fn option(fact: &str, value: &str) -> String {
    match value {
        "yes" => format!("with {fact}"),
        "no" => format!("without {fact}"),
        _ => format!("with {fact} {value}"),
    }
}

/// The machine with its article, where the head of the job gives a plain name.
fn machine(procedure: &Procedure) -> Option<String> {
    let name = procedure.header.machine.as_deref()?.trim();
    let name = name.strip_prefix("the ").or_else(|| name.strip_prefix("The ")).unwrap_or(name);
    let plain = !name.is_empty() && name.len() <= 50 && !name.contains([',', ';', '(', '/']);
    // A list of machines is no machine.
    let one = !name.contains(" and ") && !name.contains(" or ");
    let article = if name.starts_with(['A', 'E', 'I', 'O', 'U', 'a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    (plain && one).then(|| format!("{article} {name}"))
}

fn the(name: &str) -> String {
    if name.starts_with("every ") || name.starts_with("all ") { name.to_owned() } else { format!("the {name}") }
}

fn was(name: &str) -> &'static str {
    if super::wording::is_are(name) == "are" { "were" } else { "was" }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::procedure::{Ask, OptionDecl};
    use crate::source::Span;

    fn way(parts: &[(&str, &str)]) -> Vec<(String, String)> {
        parts.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect()
    }

    #[test]
    fn a_way_is_said_with_the_machine_and_in_the_authors_words() {
        let option = |name: &str, values: &[&str]| OptionDecl {
            name: name.to_owned(),
            span: Span::default(),
            values: values.iter().map(|v| (*v).to_owned()).collect(),
            only_with: None,
        };
        let mut procedure = Procedure {
            options: vec![option("side guard fitted", &[]), option("pump", &["single", "tandem"])],
            asks: vec![Ask {
                name: Some("pin in hole".to_owned()),
                span: Span::default(),
                answers: vec!["yes".to_owned(), "no".to_owned()],
            }],
            ..Procedure::default()
        };
        procedure.header.machine = Some("Osier 20 compact loader".to_owned());
        let said = |parts| sentence(&procedure, &way(parts));
        assert_eq!(said(&[]), "");
        assert_eq!(
            said(&[("side guard fitted", "yes"), ("pump", "tandem"), ("pump coupling", "bad")]),
            "on an Osier 20 compact loader with side guard fitted and with pump tandem, when the pump coupling was found bad"
        );
        assert_eq!(
            said(&[("end float", "outside")]),
            "on an Osier 20 compact loader, when the end float was outside its limits"
        );
        assert_eq!(
            said(&[("pin in hole", "no")]),
            "on an Osier 20 compact loader, when the answer to `pin in hole` was no"
        );
        assert_eq!(said(&[("brake pads", "bad")]), "on an Osier 20 compact loader, when the brake pads were found bad");
        procedure.header.machine = None;
        assert_eq!(sentence(&procedure, &way(&[("side guard fitted", "no")])), "without side guard fitted");
    }
}
