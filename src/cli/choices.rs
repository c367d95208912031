//! `--with` and `--without`: which machine the sheet is for.

use super::WrongUse;
use crate::procedure::{Condition, OptionId, Procedure};
use crate::sheet::Chosen;

/// What was chosen on the command line, read but not yet looked up.
#[derive(Clone, Debug, Default)]
pub struct Choices(Vec<Choice>);

#[derive(Clone, Debug)]
struct Choice {
    name: String,
    value: Value,
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Value {
    Yes,
    No,
    One(String),
}

impl Choices {
    /// Of the arguments as they were typed.
    pub fn read(with: &[String], without: &[String]) -> Result<Self, WrongUse> {
        let mut choices = Vec::new();
        for text in with {
            let (name, value) = match text.split_once('=') {
                Some((name, value)) => (name, Value::One(folded(value))),
                None => (text.as_str(), Value::Yes),
            };
            choices.push(Choice { name: folded(name), value });
        }
        choices.extend(without.iter().map(|name| Choice { name: folded(name), value: Value::No }));
        if choices.iter().any(|c| c.name.is_empty()) {
            return Err(WrongUse("an option without a name: write `--with OPTION`".to_string()));
        }
        for (n, choice) in choices.iter().enumerate() {
            if let Some(other) = choices[..n].iter().find(|c| c.name == choice.name && c.value != choice.value) {
                return Err(WrongUse(format!("the option `{}` is chosen twice, each time differently", other.name)));
            }
        }
        Ok(Self(choices))
    }

    /// The options of one job that are chosen: each with the condition that then holds. A name that this job does not
    /// have is left out; see [`Choices::unknown`].
    pub fn of(&self, procedure: &Procedure) -> Result<Vec<(OptionId, Chosen)>, WrongUse> {
        let mut chosen = Vec::new();
        for choice in &self.0 {
            let Some((id, wanted)) = lookup(procedure, choice)? else { continue };
            chosen.push((id, wanted));
        }
        possible(procedure, &chosen)?;
        Ok(chosen)
    }

    /// The first name that none of these jobs has, and what was most likely meant.
    pub fn unknown(&self, jobs: &[&Procedure]) -> Option<WrongUse> {
        let choice = self.0.iter().find(|c| !jobs.iter().any(|job| find(job, &c.name).is_some()))?;
        let names: Vec<&str> = jobs.iter().flat_map(|j| &j.options).map(|o| o.name.as_str()).collect();
        let near = names
            .iter()
            .map(|name| (strsim::damerau_levenshtein(&choice.name, &folded(name)), name))
            .min()
            .filter(|(distance, name)| *distance <= 2 + name.len() / 3);
        let known = match near {
            Some((_, name)) => format!("did you mean `{name}`?"),
            None if names.is_empty() => "there are no options to choose".to_string(),
            None => format!("there is {}", or_list(&names)),
        };
        Some(WrongUse(format!("no job here has the option `{}`; {known}", choice.name)))
    }
}

fn find(procedure: &Procedure, name: &str) -> Option<OptionId> {
    let at = procedure.options.iter().position(|o| folded(&o.name) == name)?;
    u32::try_from(at).ok().map(OptionId)
}

fn lookup(procedure: &Procedure, choice: &Choice) -> Result<Option<(OptionId, Chosen)>, WrongUse> {
    let Some(id) = find(procedure, &choice.name) else { return Ok(None) };
    let option = &procedure[id];
    let name = &option.name;
    let values = || option.values.iter().map(|v| format!("`--with \"{name}={v}\"`")).collect::<Vec<_>>();
    let wanted = match (&choice.value, option.values.is_empty()) {
        (Value::Yes, true) => Chosen::Yes,
        (Value::No, true) => Chosen::No,
        (Value::One(value), true) if value == "yes" => Chosen::Yes,
        (Value::One(value), true) if value == "no" => Chosen::No,
        (Value::One(value), true) => {
            return Err(WrongUse(format!(
                "the option `{name}` is there or not, so it can't be `{value}`: write `--with \"{name}\"` or `--without \"{name}\"`"
            )));
        }
        (Value::Yes | Value::No, false) => {
            return Err(WrongUse(format!("the option `{name}` is one of several: write {}", or_list(&values()))));
        }
        (Value::One(value), false) => match option.values.iter().position(|v| folded(v) == *value) {
            Some(at) => Chosen::Is(u32::try_from(at).unwrap_or(u32::MAX)),
            None => {
                return Err(WrongUse(format!("the option `{name}` can't be `{value}`: write {}", or_list(&values()))));
            }
        },
    };
    Ok(Some((id, wanted)))
}

/// An option that is only there with another can't be chosen without it.
fn possible(procedure: &Procedure, chosen: &[(OptionId, Chosen)]) -> Result<(), WrongUse> {
    for (id, value) in chosen {
        if *value == Chosen::No {
            continue;
        }
        let Some(needed) = &procedure[*id].only_with else { continue };
        let holds = needed.holds_partly(&mut |atom| match atom {
            Condition::Option(other) => chosen.iter().find(|(o, _)| o == other).map(|(_, value)| *value == Chosen::Yes),
            Condition::OptionIs(other, n) => {
                chosen.iter().find(|(o, _)| o == other).map(|(_, value)| *value == Chosen::Is(*n))
            }
            _ => None,
        });
        if holds == Some(false) {
            return Err(WrongUse(format!(
                "the option `{}` does not go with the others that were chosen: see its `only with`",
                procedure[*id].name
            )));
        }
    }
    Ok(())
}

fn folded(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

fn or_list<S: AsRef<str>>(names: &[S]) -> String {
    match names {
        [] => String::new(),
        [one] => one.as_ref().to_string(),
        [first @ .., last] => {
            let first: Vec<_> = first.iter().map(AsRef::as_ref).collect();
            format!("{} or {}", first.join(", "), last.as_ref())
        }
    }
}
