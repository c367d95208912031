//! From a procedure to what is on its sheet, in words and numbers. No place on paper is decided here.

mod body;
mod condition;
mod details;
mod digest;
mod due;
mod fastener;
mod fluid;
mod gather;
mod hazard;
mod last;
mod ledger;
mod lists;
mod name;
mod plan;
mod sentence;
mod step;
mod values;
mod ways;
mod wrench;

use std::sync::Arc;

use super::catalogue as say;
use super::content::{Before, Content, Head, Words};
use super::field::Field;
use super::figure::Figure;
use super::page::{Day, Meta, Paper};
use crate::procedure::{Detail, DetailKind, OptionId, Procedure, Prose, ProsePart, StepId, steps_of};
use crate::proof::Proof;
use crate::quantity::{self, Quantity, Spec, System};
use crate::source::{FileId, Span};
use crate::trade::hazard::Hazard;

pub(super) use sentence::capital;
pub use ways::Chosen;

/// What the person who prints decides.
#[derive(Clone, Debug, Default)]
pub struct Choice {
    /// Size of the paper.
    pub paper: Paper,
    /// Whose units.
    pub units: System,
    /// The options that are known; of the others both ways are printed.
    pub options: Vec<(OptionId, Chosen)>,
    /// The figures of the job that could be had: the file that names it, the path as written, the figure.
    /// [`wanted_figures`] tells which there are.
    pub figures: Vec<(FileId, String, Arc<Figure>)>,
    /// Day of printing as `2026-11-25`, or any other text; empty: not told.
    pub printed_on: String,
    /// What is filled in already in the head.
    pub fields: Vec<(Field, String)>,
}

/// The figures that the steps of a job name: where, and the path as written, relative to that file.
pub fn wanted_figures(job: &Procedure) -> Vec<(Span, String)> {
    let mut wanted: Vec<(Span, String)> = Vec::new();
    let mut note = |detail: &Detail| {
        if let DetailKind::Figure { path, .. } = &detail.kind
            && !wanted.iter().any(|(span, known)| span.file == detail.span.file && known == path)
        {
            wanted.push((detail.span, path.clone()));
        }
    };
    steps_of(&job.body, &mut |step| step.details.iter().for_each(&mut note));
    job.things.iter().flat_map(|thing| &thing.details).for_each(&mut note);
    wanted
}

/// Puts a job into words. `cautions` are the standard messages that stand before steps.
pub fn content(job: &Procedure, proof: &Proof, cautions: &[(StepId, Hazard)], choice: &Choice) -> Content {
    let known = ways::Known::new(job, &choice.options);
    let mut writer = body::Writer::new(job, known, choice, cautions, &proof.stage_states);
    let stages = writer.stages();
    let header = &job.header;
    let number = header.number.clone().unwrap_or_default();
    let revision = header.revision.map(|revision| revision.to_string()).unwrap_or_default();
    let day = Day::parse(&choice.printed_on);
    let prose = |prose: &Prose| words_of(job, prose, choice.units);

    let mut content = Content {
        head: Head {
            title: Words::plain(header.title.as_str(), Some(header.span)),
            machine: header.machine.clone().unwrap_or_default(),
            ways: writer.known.shown(&writer.gather.options),
            changed: header.changed.as_ref().map(prose),
            fields: choice.fields.clone(),
            ..Head::default()
        },
        before: Before {
            reason: header.reason.as_ref().map(prose),
            rule_out: header
                .rule_out
                .iter()
                .map(|cause| Words::plain(sentence::capital(&with_values(cause, choice.units)), None))
                .collect(),
            facts: facts(job, choice.units, writer.gather.helper),
            hazards: hazard::strip(&writer.gather.hazards),
            deference: hazard::deference(&writer.gather, job),
        },
        ready: lists::ready(&writer),
        last_look: last::look(&writer, &proof.ledger),
        last_look_sum: last::sum(&proof.ledger),
        later: stages.later,
        stages: stages.now,
        printed: printed(&choice.printed_on, day),
        meta: Meta {
            title: header.title.clone(),
            number: number.clone(),
            revision: revision.clone(),
            machine: header.machine.clone().unwrap_or_default(),
            language: say::LANGUAGE.to_owned(),
            digest: String::new(),
            printed_on: day,
        },
    };
    let digest = digest::of(&content);
    let short: String = digest.chars().take(8).collect();
    content.head.number = join(&[number.as_str(), &prefixed("rev ", &revision)], " · ");
    content.head.digest = format!("{} {}", &short[..4], &short[4..]);
    content.head.code = join(&[number.as_str(), &prefixed("rev ", &revision), &short], " ");
    content.meta.digest = digest;
    content
}

fn prefixed(before: &str, text: &str) -> String {
    if text.is_empty() { String::new() } else { format!("{before}{text}") }
}

/// Joins what is not empty.
fn join(parts: &[&str], between: &str) -> String {
    let parts: Vec<&str> = parts.iter().copied().filter(|part| !part.is_empty()).collect();
    parts.join(between)
}

/// Time, people, who may do it. Where somebody helps, two are needed whatever the head of the job says.
fn facts(job: &Procedure, units: System, helper: bool) -> Vec<(String, String)> {
    let header = &job.header;
    let people = header.people.max(if helper { 2 } else { 1 });
    let people = format!("{people}\u{a0}{}", if people == 1 { say::PERSON } else { say::PEOPLE });
    let mut facts = vec![match &header.takes {
        Some(takes) => {
            let takes = quantity::print(takes, units).main;
            (say::TIME_AND_PEOPLE.to_owned(), format!("{takes} · {people}"))
        }
        None => (say::PEOPLE_TITLE.to_owned(), people),
    }];
    if let Some(level) = &header.level {
        facts.push((say::WHO.to_owned(), sentence::capital(level)));
    }
    if let Some(left) = &header.left_is {
        facts.push((say::LEFT_IS.to_owned(), sentence::capital(left)));
    }
    facts
}

fn printed(text: &str, day: Option<Day>) -> String {
    let when = match day {
        Some(Day { year, month, day }) => {
            let month = say::MONTHS.get(usize::from(month) - 1).copied().unwrap_or_default();
            format!("{day}\u{a0}{month}\u{a0}{year}")
        }
        None => text.trim().to_owned(),
    };
    if when.is_empty() {
        return say::CHECK_REVISION.to_owned();
    }
    format!("{} {when}. {}", say::PRINTED, say::CHECK_REVISION)
}

/// Prose with its values in the reader's units.
fn words_of(job: &Procedure, prose: &Prose, units: System) -> Words {
    let mut text = String::new();
    for part in &prose.parts {
        match part {
            ProsePart::Text(words) | ProsePart::Words(words) => text.push_str(words),
            ProsePart::Name(thing) => text.push_str(&job[*thing].name),
            ProsePart::Value(spec) => text.push_str(&both(spec, units)),
            ProsePart::Found(measurement) => text.push_str(&job[*measurement].name),
        }
    }
    Words::plain(text.trim(), Some(prose.span))
}

/// Plain text whose `{0.9 bar}` is a value.
fn with_values(text: &str, units: System) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        let Some((inside, after)) = after.split_once('}') else {
            rest = after;
            break;
        };
        match quantity::parse_spec(inside.trim()) {
            Ok(spec) => out.push_str(&both(&spec, units)),
            Err(_) => out.push_str(inside),
        }
        rest = after;
    }
    out.push_str(rest);
    out
}

/// A value with its conversion in brackets.
fn both(spec: &Spec, units: System) -> String {
    let printed = quantity::print_spec(spec, units);
    match printed.other {
        Some(other) => format!("{} ({other})", printed.main),
        None => printed.main,
    }
}

/// One quantity without its conversion.
fn one(quantity: &Quantity, units: System) -> String {
    quantity::print(quantity, units).main
}
