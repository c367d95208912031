//! Conditions in words.

use super::name;
use crate::procedure::{Condition, Found, Procedure};
use crate::sheet::catalogue as say;

/// `the drive belt is bad`, `side guard fitted and not frost`.
pub(super) fn words(job: &Procedure, condition: &Condition) -> String {
    match condition {
        Condition::Always => String::new(),
        Condition::Never => say::NEVER.to_owned(),
        Condition::All(all) => joined(job, all, say::AND),
        Condition::Any(any) => joined(job, any, say::OR),
        Condition::Not(inner) => negated(job, inner),
        Condition::Option(id) => job[*id].name.clone(),
        Condition::OptionIs(id, value) => {
            let option = &job[*id];
            let value = option.values.get(*value as usize).map_or("", String::as_str);
            format!("{} {value}", option.name)
        }
        Condition::Member(set, member) => {
            let set = &job[*set];
            let member = set.members.get(*member as usize).map_or("", String::as_str);
            format!("{} {member}", set.name)
        }
        Condition::Found(found) => match found {
            Found::Bad(thing) => {
                let bad = if name::is_plural(job, thing) { say::ARE_BAD } else { say::IS_BAD };
                format!("{} {bad}", name::the(job, thing))
            }
            Found::Outside(id) => format!("{} {}", name::article(&job[*id].name), say::IS_OUTSIDE),
            Found::Answer(id, answer) => {
                let ask = &job[*id];
                let named = ask.name.clone().unwrap_or_default();
                match ask.answers.get(*answer as usize).map(String::as_str) {
                    Some(other) if named.is_empty() => format!("{} {other}", say::ANSWER_IS),
                    Some(other) => format!("{named}: {other}"),
                    None => named,
                }
            }
            Found::Is(state) => state.text.clone(),
        },
    }
}

fn joined(job: &Procedure, all: &[Condition], between: &str) -> String {
    let all: Vec<String> = all.iter().map(|one| words(job, one)).collect();
    all.join(&format!(" {between} "))
}

fn negated(job: &Procedure, inner: &Condition) -> String {
    match inner {
        Condition::Found(Found::Bad(thing)) => {
            let good = if name::is_plural(job, thing) { say::ARE_GOOD } else { say::IS_GOOD };
            format!("{} {good}", name::the(job, thing))
        }
        Condition::Found(Found::Outside(id)) => {
            format!("{} {}", name::article(&job[*id].name), say::IS_WITHIN)
        }
        Condition::Found(Found::Answer(id, answer)) if job[*id].answers.len() == 2 => {
            words(job, &Condition::Found(Found::Answer(*id, 1 - (*answer).min(1))))
        }
        Condition::OptionIs(id, value) => {
            let option = &job[*id];
            let others = option.values.iter().enumerate().filter(|(index, _)| *index != *value as usize);
            let others: Vec<&str> = others.map(|(_, name)| name.as_str()).collect();
            format!("{} {}", option.name, others.join(&format!(" {} ", say::OR)))
        }
        Condition::Member(set, member) => {
            let members = job[*set].members.iter().enumerate();
            let others: Vec<&str> =
                members.filter(|(index, _)| *index != *member as usize).map(|(_, name)| name.as_str()).collect();
            others.join(&format!(" {} ", say::OR))
        }
        other => format!("{} {}", say::NOT, words(job, other)),
    }
}
