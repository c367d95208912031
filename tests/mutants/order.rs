//! Neighbouring steps swapped, where the language says that one must come first.

use cotter::procedure::{Portion, State, StateRef, Step, Subject, ThingId, ThingRef, Verb};
use cotter::syntax::tree::Item;

use crate::bench::{Bench, Mutant, changes, puts, same, takes};

pub fn all(b: &Bench<'_>, out: &mut Vec<Mutant>) {
    for (file, node, at) in &b.lines {
        let siblings = b.job.siblings(*file, *node);
        let Some(place) = siblings.iter().position(|n| n == node) else { continue };
        let Some(next) = siblings.get(place + 1) else { continue };
        if !matches!(b.job.node(*file, *next).item, Item::Step(_)) {
            continue;
        }
        let Some((_, _, after)) = b.lines.iter().find(|(f, n, _)| f == file && n == next) else { continue };
        let Some((why, honest)) = must_precede(b, *at, *after) else { continue };
        let (first, second) = (b.job.extent(*file, *node), b.job.extent(*file, *next));
        let text = &b.job.texts[*file];
        let between = text[first.end..second.start].to_owned();
        let swapped = text[second.clone()].to_owned() + &between + &text[first.clone()];
        let what = format!("after '{}' ({why})", b.written(*file, *next));
        out.push(b.spoil(
            "neighbours swapped",
            (*file, *node),
            &what,
            &honest,
            vec![(first.start..second.end, swapped)],
        ));
    }
}

/// Whether the first of two steps must come first; which point of the language says so, and the honest names. Pairs that hang
/// together in no such way may stand in either order, so they are not swapped.
fn must_precede(b: &Bench<'_>, first: usize, second: usize) -> Option<(&'static str, Vec<&'static str>)> {
    let (one, two) = (b.step(first), b.step(second));
    for x in one.things() {
        for y in two.things() {
            if let Some((why, honest)) = of_things(b, one, x, two, y) {
                return Some((why, honest.to_vec()));
            }
        }
    }
    if two.verb == Verb::RunEngine {
        for x in one.things() {
            if let Some(honest) = before_the_engine(b, one.verb, x.thing) {
                return Some(("before the engine runs", honest.to_vec()));
            }
        }
    }
    None
}

type Reason = (&'static str, &'static [&'static str]);

fn of_things(b: &Bench<'_>, one: &Step, x: &ThingRef, two: &Step, y: &ThingRef) -> Option<Reason> {
    if x.thing == y.thing {
        return same_thing(b, one, x, two, y);
    }
    let (v, w) = (one.verb, two.verb);
    let (fx, fy) = (b.facts(x.thing), b.facts(y.thing));
    let parts = |v| matches!(v, Verb::Remove | Verb::Disconnect | Verb::MoveAside | Verb::Open);
    let joins = |v| matches!(v, Verb::Refit | Verb::Fit | Verb::Connect | Verb::Return | Verb::Place | Verb::Close);
    if fy.behind.contains(&x.thing) && parts(v) && parts(w) {
        return Some(("it stands in front", &["out-of-reach", "still-held"]));
    }
    if fx.behind.contains(&y.thing) && joins(v) && joins(w) && !matches!(w, Verb::Close) {
        return Some(("it goes back behind it", &["out-of-reach"]));
    }
    for need in &fy.needs {
        if need.act.is_none_or(|a| a == w) && changes(w) && brings(v, x.thing, &need.state) {
            return Some(("it is needed", &["not-ready", "opened-hot", "live-work", "unsupported"]));
        }
    }
    for need in &fx.needs {
        if need.act.is_none_or(|a| a == v) && changes(v) && ends(w, y.thing, &need.state) {
            return Some(("it is needed until then", &["not-ready", "live-work"]));
        }
    }
    if fy.held_by.contains(&x.thing) && matches!(v, Verb::Remove | Verb::Loosen) && parts(w) {
        return Some(("it holds the other", &["already-off"]));
    }
    // A fastener that holds several may be started before the last of them: shims and washers are slid in.
    let alone = b.holds.get(&y.thing).is_some_and(|h| h.len() == 1);
    if fx.held_by.contains(&y.thing)
        && alone
        && v == Verb::Place
        && matches!(w, Verb::Start | Verb::Fit | Verb::Refit | Verb::Tighten)
    {
        return Some((
            "it is held by the other",
            &["torqued-too-early", "not-ready", "out-of-reach", "not-off-yet", "left-off", "left-loose"],
        ));
    }
    let fluid_of = |f: &cotter::procedure::Facts, id: ThingId| f.carries.contains(&id) || f.drain_of == Some(id);
    if v == Verb::Drain && fy.carries.contains(&x.thing) && parts(w) && two.clauses.into.is_none() {
        return Some(("the circuit is emptied first", &["opened-full", "already-off"]));
    }
    if fluid_of(fx, y.thing) && joins(v) && w == Verb::Fill {
        return Some(("the circuit is closed first", &["filled-open"]));
    }
    if fx.filler_of == Some(y.thing) && v == Verb::Open && matches!(w, Verb::Fill | Verb::TopUp) {
        return Some(("the filler is opened first", &["not-ready"]));
    }
    if fy.filler_of == Some(x.thing) && w == Verb::Close && matches!(v, Verb::Fill | Verb::TopUp) {
        return Some(("the filler is shut afterwards", &["not-ready"]));
    }
    for debt in &fx.debts {
        let object = |p: &cotter::procedure::ActPattern, t: ThingId| p.object.as_ref().is_none_or(|o| o.thing == t);
        if debt.then.verb == v && debt.before.verb == w && object(&debt.before, y.thing) {
            return Some(("a debt is paid before", &["debt-unpaid"]));
        }
    }
    if w == Verb::Tighten && !two.clauses.by_hand && touches_final(b, two, y) {
        let waits =
            fy.fastening.as_ref().and_then(|f| f.tighten_at.as_ref().or(f.passes.last().and_then(|p| p.at.as_ref())));
        if waits.is_some_and(|s| brings(v, x.thing, s)) {
            return Some(("the final torque waits for it", &["torqued-too-early"]));
        }
    }
    None
}

/// The act works the last pass.
fn touches_final(b: &Bench<'_>, step: &Step, thing: &ThingRef) -> bool {
    let passes = b.facts(thing.thing).fastening.as_ref().map_or(0, |f| f.passes.len());
    match step.clauses.pass {
        None | Some(cotter::procedure::PassChoice::Last) => true,
        Some(cotter::procedure::PassChoice::Number(n)) => n as usize == passes,
    }
}

fn same_thing(b: &Bench<'_>, one: &Step, x: &ThingRef, two: &Step, y: &ThingRef) -> Option<Reason> {
    use Verb::*;
    let (v, w) = (one.verb, two.verb);
    if !changes(v) || !changes(w) {
        return None;
    }
    if !same(x, y) && (x.portion != Portion::Whole || y.portion != Portion::Whole || x.members != y.members) {
        return None;
    }
    // To be locked, chocked or switched off is a state beside being open or off its place.
    let guard = |v: Verb| match v {
        Lock | Unlock => 1,
        Chock | Unchock => 2,
        SwitchOff | SwitchOn => 3,
        _ => 0,
    };
    if guard(v) != guard(w) {
        return None;
    }
    let facts = b.facts(x.thing);
    let around = "the same thing";
    match (v, w) {
        (Support, _) | (_, Release) if !facts.needs_support => None,
        (Support, Remove | Disconnect | MoveAside) => Some((around, &["unsupported"])),
        (Refit | Fit | Place | Start, Release) => Some((around, &["unsupported", "not-off-yet", "left-supported"])),
        (Support | Release, _) | (_, Support | Release) => None,
        (Drain, Fill) => Some((around, &["volume-mismatch", "not-off-yet", "left-dry", "filled-open"])),
        (Fill, Bleed) => Some((around, &["left-dry", "not-ready", "not-off-yet"])),
        (Fill | Bleed | TopUp, _) | (_, Fill | Bleed | TopUp) => None,
        (Tighten, Tighten) if one.clauses.pass != two.clauses.pass && !one.clauses.by_hand => {
            Some((around, &["torqued-too-early", "torqued-again", "not-ready"]))
        }
        (Tighten, Tighten) if one.clauses.by_hand => Some((around, &["torqued-again", "not-off-yet"])),
        (Loosen, Remove) => Some((around, &["already-off", "left-off"])),
        (Remove, Discard | Store) => Some((around, &["already-off", "not-ready", "still-held", "not-off-yet"])),
        // The shop's own pairs are bound by `needs` alone.
        (Open1(_) | Close1(_), w) if !matches!(w, Open1(_) | Close1(_)) => None,
        (v, Open1(_) | Close1(_)) if !matches!(v, Open1(_) | Close1(_)) => None,
        _ if v == w => None,
        (Try, _) | (_, Try) => Some((around, &["already-off", "not-off-yet"])),
        _ if takes(v) && puts(w) || puts(v) && takes(w) || takes(v) && takes(w) && v != w => Some((
            around,
            &[
                "already-off",
                "not-off-yet",
                "left-off",
                "left-open",
                "left-loose",
                "left-in",
                "torqued-again",
                "torqued-too-early",
                "old-part-refitted",
                "left-disconnected",
                "left-undone",
                "not-ready",
                "never-touched",
                "not-transferred",
                "still-held",
            ],
        )),
        (Place | Start | Fit | Refit, Start | Tighten | Fit | Refit) => {
            Some((around, &["torqued-too-early", "not-off-yet", "torqued-again", "left-loose", "not-ready"]))
        }
        _ => None,
    }
}

/// Left like this, the engine may not run.
fn before_the_engine(b: &Bench<'_>, verb: Verb, thing: ThingId) -> Option<&'static [&'static str]> {
    use cotter::procedure::FluidKind;
    let minded = |f: &ThingId| {
        b.facts(*f)
            .fluid
            .as_ref()
            .and_then(|f| f.kind)
            .is_some_and(|k| !matches!(k, FluidKind::WasherFluid | FluidKind::Grease | FluidKind::CompressedAir))
    };
    let facts = b.facts(thing);
    let joins = matches!(verb, Verb::Refit | Verb::Fit | Verb::Connect | Verb::Close);
    // The filler may stay open between `fill` and `bleed`.
    if joins && facts.carries.iter().chain(&facts.drain_of).any(minded) || verb == Verb::Fill && minded(&thing) {
        return Some(&["run-unready"]);
    }
    match verb {
        Verb::Unlock => Some(&["run-unready"]),
        Verb::TakeOut if facts.temporary.as_ref().is_some_and(|t| !t.stays_while_running) => Some(&["run-unready"]),
        _ => None,
    }
}

/// The act brings this state about.
pub fn brings(verb: Verb, thing: ThingId, state: &StateRef) -> bool {
    let Subject::Thing(subject) = &state.subject else { return false };
    let lowers = verb == Verb::Lower && state.state == State::Lowered;
    if subject.thing != thing && !lowers || state.negated {
        return false;
    }
    match (&state.state, verb) {
        (State::Removed, Verb::Remove)
        | (State::Disconnected, Verb::Disconnect)
        | (State::Aside, Verb::MoveAside)
        | (State::Loose, Verb::Loosen)
        | (State::Open, Verb::Open)
        | (State::Drained, Verb::Drain)
        | (State::Raised, Verb::Raise)
        | (State::Lowered, Verb::Lower)
        | (State::Supported, Verb::Support)
        | (State::Locked, Verb::Lock)
        | (State::Chocked, Verb::Chock)
        | (State::SwitchedOff, Verb::SwitchOff)
        | (State::Cooled, Verb::LetCool)
        | (State::In, Verb::PutIn)
        | (State::Fitted, Verb::Fit | Verb::Refit) => true,
        (State::Away(p), Verb::Open1(q)) | (State::HomeOf(p), Verb::Close1(q)) => *p == q,
        (State::Done(v), w) => *v == w,
        _ => false,
    }
}

/// The act ends this state.
fn ends(verb: Verb, thing: ThingId, state: &StateRef) -> bool {
    let Subject::Thing(subject) = &state.subject else { return false };
    if subject.thing != thing || state.negated {
        return false;
    }
    match (&state.state, verb) {
        (State::Removed, Verb::Refit | Verb::Fit | Verb::Place)
        | (State::Disconnected, Verb::Connect)
        | (State::Aside, Verb::Return)
        | (State::Open, Verb::Close)
        | (State::Raised, Verb::Lower)
        | (State::Supported, Verb::Release)
        | (State::Locked, Verb::Unlock)
        | (State::Chocked, Verb::Unchock)
        | (State::SwitchedOff, Verb::SwitchOn) => true,
        (State::Away(p), Verb::Close1(q)) => *p == q,
        _ => false,
    }
}
