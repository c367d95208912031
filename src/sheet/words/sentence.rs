//! The printed sentence of an act, from its verb, its names and its clauses.

use super::{name, one};
use crate::procedure::{Clauses, Facts, Object, PassChoice, Procedure, Stand, Step, Verb, Version, With};
use crate::quantity::System;
use crate::sheet::catalogue as say;

/// The first letter as a capital.
pub(in crate::sheet) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// What the sentence needs to know besides the step.
pub(super) struct About<'a> {
    pub job: &'a Procedure,
    pub units: System,
    /// Facts of a thing as they hold here.
    pub facts: &'a dyn Fn(crate::procedure::ThingId) -> &'a Facts,
    /// A plan of the order is drawn below.
    pub plan: bool,
}

/// The sentence: `Disconnect the pressure pipe, with the line spanner.`
pub(super) fn of(step: &Step, about: &About<'_>) -> String {
    let clauses = &step.clauses;
    let objects: Vec<String> = step.objects.iter().map(|object| object_of(step, object, about)).collect();
    let object = name::list(&objects);
    let mut sentence = head(step, &object, about);
    if clauses.by_hand || step.verb == Verb::Start {
        push(&mut sentence, "", say::BY_HAND);
    }
    if clauses.again {
        push(&mut sentence, "", say::AGAIN);
    }
    let time = clauses.for_time.as_ref().map(|time| one(time, about.units));
    if let Some(time) = time {
        push(&mut sentence, "", &format!("{} {time}", say::FOR));
    }
    tail(&mut sentence, step, clauses, about);
    if !sentence.ends_with(['.', '?', '!']) {
        sentence.push('.');
    }
    capital(&sentence)
}

fn push(sentence: &mut String, before: &str, words: &str) {
    if !words.is_empty() {
        sentence.push_str(before);
        sentence.push(' ');
        sentence.push_str(words);
    }
}

/// A new one is called so where the act puts a new one in.
fn object_of(step: &Step, object: &Object, about: &About<'_>) -> String {
    if let Object::Thing(reference) = object
        && reference.version == Version::Unsaid
    {
        let facts = (about.facts)(reference.thing);
        let new = match step.verb {
            Verb::Fit => !facts.added,
            Verb::Place => facts.new,
            _ => false,
        };
        if new {
            let named = crate::procedure::ThingRef { version: Version::New, ..reference.clone() };
            return name::the(about.job, &named);
        }
    }
    if let (Verb::Apply, Object::Supply(id)) = (step.verb, object) {
        return about.job[*id].name.clone();
    }
    name::object(about.job, object)
}

fn head(step: &Step, object: &str, about: &About<'_>) -> String {
    let words = |before: &str, after: &str| super::join(&[before, object, after], " ");
    match step.verb {
        Verb::MoveAside => words(say::MOVE, say::ASIDE),
        Verb::Return => words(say::PUT, say::BACK),
        Verb::Try => words(say::TRY_ON, ""),
        Verb::LetCool => words(say::LET, say::COOL),
        Verb::RunEngine => say::RUN_ENGINE.to_owned(),
        Verb::StopEngine => say::STOP_ENGINE.to_owned(),
        Verb::Drive => {
            let amounts: Vec<String> = step
                .clauses
                .amounts
                .iter()
                .map(|amount| crate::quantity::print_spec(amount, about.units).main)
                .collect();
            super::join(&[say::TEST_DRIVE, &amounts.join(", ")], ", ")
        }
        Verb::Open1(pair) => words(&about.job[pair].opening, ""),
        Verb::Close1(pair) => words(&about.job[pair].closing, ""),
        Verb::Found => match &step.state {
            Some(state) => format!("{} {}", say::FOUND, state.text),
            None => words(say::FOUND, ""),
        },
        Verb::Fill => words(say::FILL_IN, ""),
        Verb::WorkOut => match &step.work_out {
            Some(work) => format!("{} {}", say::WORK_OUT, name::article(&about.job[work.result].name)),
            None => words(say::WORK_OUT, ""),
        },
        verb => words(verb.name(), ""),
    }
}

fn tail(sentence: &mut String, step: &Step, clauses: &Clauses, about: &About<'_>) {
    let job = about.job;
    let mut add = |words: String| push(sentence, ",", &words);
    match clauses.pass {
        Some(PassChoice::Number(number)) => add(format!("{}\u{a0}{number}", say::PASS)),
        Some(PassChoice::Last) => add(say::LAST_PASS.to_owned()),
        None => {}
    }
    if let Some(passes) = clauses.in_passes {
        add(format!("{} {} {}", say::IN, passes.count, say::PASSES));
        if passes.round {
            add(say::THEN_ONCE_ROUND.to_owned());
        }
    }
    if about.plan {
        add(say::IN_THE_ORDER_SHOWN.to_owned());
    } else if clauses.reverse_order {
        add(say::IN_REVERSE_ORDER.to_owned());
    }
    if matches!(step.verb, Verb::Turn | Verb::Loosen) {
        for amount in &clauses.amounts {
            add(crate::quantity::print_spec(amount, about.units).main);
        }
    }
    if step.verb == Verb::Turn {
        for direction in step.things().filter_map(|thing| (about.facts)(thing.thing).turns_clockwise).take(1) {
            add(if direction { say::CLOCKWISE_ONLY } else { say::ANTICLOCKWISE_ONLY }.to_owned());
        }
    }
    if let Some(from) = &clauses.from {
        add(format!("{} {}", say::FROM, name::article(from)));
    }
    if let Some(tray) = &clauses.into {
        let volume = tray.volume.as_ref().map(|volume| one(volume, about.units));
        let what = format!("{} {} {}", say::INTO, say::A, tray.what);
        add(match volume {
            Some(volume) => format!("{what} {} {volume}", say::OF),
            None => what,
        });
    }
    if let Some(clock) = &clauses.at_clock {
        add(format!("{} {}", say::AT, one(clock, about.units)));
    }
    if let Some(stand) = clauses.stand {
        add(match stand {
            Stand::Stands => say::ON_STANDS,
            Stand::Ramps => say::ON_RAMPS,
            Stand::Lift => say::ON_A_LIFT,
        }
        .to_owned());
    }
    for with in &clauses.with {
        add(match with {
            With::Tool(id) => format!("{} {}", say::WITH, name::article(&job[*id].name)),
            With::Supply(id) => format!("{} {}", say::WITH, job[*id].name),
            With::State(state) => format!("{} {}", say::WITH, name::article(&state.text)),
            With::Thing(thing) => format!("{} {}", say::WITH, name::the(job, thing)),
        });
    }
    if let Some(adapter) = &clauses.adapter {
        add(super::wrench::words(job, adapter, about.units));
    }
    if let Some(state) = &clauses.at {
        add(format!("{} {}", say::WITH, name::article(&state.text)));
    }
    if clauses.helper {
        add(say::WITH_A_HELPER.to_owned());
    }
    if let Some(time) = &clauses.within {
        add(format!("{} {}", say::WITHIN, one(time, about.units)));
    }
    for other in &clauses.other {
        add(super::words_of(job, other, about.units).text());
    }
    if let Some(until) = &clauses.until {
        let words = super::words_of(job, until, about.units).text();
        add(match words.strip_prefix(say::UNTIL) {
            Some(_) => words,
            None => format!("{} {words}", say::UNTIL),
        });
    }
}

/// Cuts prose after its first sentence: for acts that are prose altogether.
pub(super) fn first_sentence(text: &str) -> (&str, &str) {
    for (at, sign) in text.char_indices() {
        let end = at + sign.len_utf8();
        let after = &text[end..];
        let ends = matches!(sign, '.' | '?' | '!')
            && after.starts_with(' ')
            && after.trim_start().starts_with(char::is_uppercase);
        if ends {
            return (&text[..end], after.trim_start());
        }
    }
    (text, "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prose_is_cut_after_its_first_sentence() {
        let cut = first_sentence("Rock the hub by 20 mm and catch the cone. Label it.");
        assert_eq!(cut, ("Rock the hub by 20 mm and catch the cone.", "Label it."));
        assert_eq!(first_sentence("Wait 1.5 h. then go"), ("Wait 1.5 h. then go", ""));
    }

    #[test]
    fn capitals_of_any_script() {
        assert_eq!(capital("öl prüfen"), "Öl prüfen");
        assert_eq!(capital(""), "");
    }
}
