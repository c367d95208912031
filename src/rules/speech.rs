//! An act as a line of the language: `refit side guard`, `remove 2 of housing bolts`.

use crate::procedure::{Members, Object, Portion, Procedure, State, StateRef, Step, Subject, ThingRef, Verb, Version};

/// Verb and objects of a step, in the author's names.
#[must_use]
pub fn act(procedure: &Procedure, step: &Step) -> String {
    let verb = verb(procedure, step.verb);
    let objects: Vec<String> = step.objects.iter().map(|object| self::object(procedure, object)).collect();
    if step.verb == Verb::LetCool {
        return format!("let {} cool", objects.join(" and "));
    }
    if objects.is_empty() { verb.to_owned() } else { format!("{verb} {}", objects.join(" and ")) }
}

/// The verb, as this job writes it.
#[must_use]
pub fn verb(procedure: &Procedure, verb: Verb) -> &str {
    match verb {
        Verb::Open1(pair) => procedure.pairs.get(pair.index()).map_or("", |p| p.opening.as_str()),
        Verb::Close1(pair) => procedure.pairs.get(pair.index()).map_or("", |p| p.closing.as_str()),
        verb => verb.name(),
    }
}

fn object(procedure: &Procedure, object: &Object) -> String {
    match object {
        Object::Thing(thing) => reference(procedure, thing),
        Object::Measurement(id, _) => procedure[*id].name.clone(),
        Object::Tool(id) => procedure[*id].name.clone(),
        Object::Supply(id) => procedure[*id].name.clone(),
        Object::Free(text, _) => text.clone(),
    }
}

/// A thing as a step names it.
#[must_use]
pub fn reference(procedure: &Procedure, reference: &ThingRef) -> String {
    let thing = &procedure[reference.thing];
    let version = match reference.version {
        Version::Old => "old ",
        Version::New => "new ",
        Version::Unsaid => "",
    };
    let member = match (reference.members, thing.each) {
        (Members::One(member), Some(set)) => procedure[set].members.get(member as usize),
        _ => None,
    };
    let member = member.map(|name| format!("{name} ")).unwrap_or_default();
    let portion = match &reference.portion {
        Portion::Whole => String::new(),
        Portion::Count(count) => format!("{count} of "),
        Portion::Positions(positions) => {
            let numbers: Vec<String> = positions.iter().map(u32::to_string).collect();
            format!("positions {} of ", numbers.join(" "))
        }
    };
    format!("{portion}{version}{member}{}", thing.name)
}

/// The verb that undoes another: `connect` for `disconnect`.
#[must_use]
pub fn undoing(procedure: &Procedure, verb: Verb) -> Option<&str> {
    Some(match verb {
        Verb::Remove => "refit",
        Verb::Disconnect => "connect",
        Verb::MoveAside => "return",
        Verb::Loosen => "tighten",
        Verb::Open => "close",
        Verb::Drain => "fill",
        Verb::Raise => "lower",
        Verb::Support => "release",
        Verb::Lock => "unlock",
        Verb::Chock => "unchock",
        Verb::SwitchOff => "switch on",
        Verb::PutIn => "take out",
        Verb::Open1(pair) => procedure.pairs.get(pair.index())?.closing.as_str(),
        _ => return None,
    })
}

/// The line that brings about a state which a declaration asks for, as written there.
#[must_use]
pub fn bringing_about(procedure: &Procedure, text: &str) -> Option<String> {
    let state = stated(procedure).find(|s| s.text == text && !s.negated)?;
    let name = match &state.subject {
        Subject::Thing(thing) => reference(procedure, thing),
        Subject::Measurement(id) => procedure[*id].name.clone(),
        Subject::Words(_) => return None,
    };
    let verb = match &state.state {
        State::Removed => "remove",
        State::Disconnected => "disconnect",
        State::Aside => "move aside",
        State::Open => "open",
        State::Drained => "drain",
        State::Raised => "raise",
        State::Supported => "support",
        State::Locked => "lock",
        State::Chocked => "chock",
        State::SwitchedOff => "switch off",
        State::In => "put in",
        State::Out => "take out",
        State::Connected => "connect",
        State::Closed => "close",
        State::Tight => "tighten",
        State::Filled => "fill",
        State::Bled => "bleed",
        State::Within => "measure",
        State::Cooled => return Some(format!("let {name} cool")),
        State::Running => return Some("run engine".to_owned()),
        State::Stopped => return Some("stop engine".to_owned()),
        State::Away(pair) => procedure[*pair].opening.as_str(),
        State::HomeOf(pair) => procedure[*pair].closing.as_str(),
        State::Done(verb) if !matches!(verb, Verb::Do | Verb::Wait | Verb::LetCool) => self::verb(procedure, *verb),
        // `vehicle lowered` means every end: there is no one line for it.
        _ => return None,
    };
    Some(format!("{verb} {name}"))
}

/// All states that declarations ask for.
fn stated(procedure: &Procedure) -> impl Iterator<Item = &StateRef> {
    procedure.things.iter().flat_map(|thing| thing.all_facts()).flat_map(|(_, facts)| {
        let fastening = facts.fastening.iter();
        let at = fastening.flat_map(|f| f.tighten_at.iter().chain(f.passes.iter().filter_map(|p| p.at.as_ref())));
        facts.needs.iter().map(|need| &need.state).chain(at)
    })
}
