//! Steps forgotten, doubled, or written with the wrong verb or the wrong thing.

use cotter::procedure::{Builtin, Portion, State, Subject, ThingId, ThingKind, Verb};
use cotter::syntax::tree::NodeId;

use crate::bench::{Bench, Mutant, changes, misspelt, puts, takes};
use crate::clauses::{amounts, clauses, late, other_member};
use crate::ground::Within;

/// Whatever is left undone.
pub const LEFT: &[&str] = &[
    "left-off",
    "left-loose",
    "left-aside",
    "left-disconnected",
    "left-open",
    "left-locked",
    "left-raised",
    "left-chocked",
    "left-supported",
    "left-switched-off",
    "left-in",
    "left-running",
    "left-dry",
    "left-undone",
    "debt-unpaid",
    "count-mismatch",
    "not-transferred",
    "never-touched",
];

/// An act on what is not in the state for it.
pub const STATE: &[&str] = &["already-off", "not-off-yet", "torqued-again", "torqued-too-early"];

pub fn all(b: &Bench<'_>, out: &mut Vec<Mutant>) {
    for (file, node, at) in b.lines.clone() {
        let place = (file, node);
        forgotten(b, place, at, out);
        cooling(b, place, at, out);
        looked_at(b, place, at, out);
        doubled(b, place, at, out);
        exchanged(b, place, at, out);
        another_thing(b, place, at, out);
        clauses(b, place, at, out);
        asked_for(b, place, at, out);
        other_member(b, place, at, out);
        amounts(b, place, at, out);
        late(b, place, at, out);
    }
}

/// The rules under which a forgotten act of this verb is honestly told.
fn honest_for_forgotten(verb: Verb) -> &'static [&'static str] {
    use Verb::*;
    match verb {
        Refit | Fit | Place => &[
            "left-off",
            "never-touched",
            "not-transferred",
            "left-loose",
            "left-aside",
            "left-disconnected",
            "left-open",
            "already-off",
            "torqued-too-early",
            "set-incomplete",
            "not-off-yet",
            "count-mismatch",
        ],
        Connect => &["left-disconnected", "left-off", "already-off", "left-loose"],
        Return => &["left-aside", "left-off", "already-off"],
        Tighten => &["left-loose", "already-off", "torqued-too-early", "not-ready", "torqued-again"],
        Start => &["never-touched", "left-off", "left-loose", "torqued-too-early", "unsupported", "count-mismatch"],
        Close => &["not-ready", "left-open", "left-loose", "already-off", "filled-open", "run-unready"],
        Fill => &["left-dry", "run-unready", "not-ready"],
        Bleed | TopUp => &["left-dry", "volume-mismatch", "debt-unpaid", "run-unready"],
        Lower => &["left-raised", "already-off", "torqued-too-early"],
        Release => &["left-supported", "already-off"],
        Unlock => &["left-locked", "already-off", "run-unready"],
        Unchock => &["left-chocked", "already-off", "run-unready"],
        SwitchOn => &["left-switched-off", "already-off"],
        TakeOut => &["left-in", "count-mismatch", "run-unready", "already-off", "not-off-yet"],
        Close1(_) => &["left-undone", "debt-unpaid", "already-off", "not-ready"],
        Transfer => &["not-transferred"],
        Remove | Disconnect | MoveAside => &[
            "not-off-yet",
            "never-touched",
            "out-of-reach",
            "still-held",
            "not-ready",
            "opened-full",
            "live-work",
            "set-incomplete",
            "torqued-again",
            "forbidden-act",
            "count-mismatch",
            "already-off",
            "unsupported",
            "old-part-refitted",
            "torqued-too-early",
        ],
        Loosen => &["not-off-yet", "torqued-again", "not-ready", "out-of-reach"],
        Open => &["not-off-yet", "not-ready", "out-of-reach"],
        Drain => &["opened-full", "volume-mismatch", "not-off-yet", "still-held"],
        Raise => &["not-off-yet", "not-ready", "unsupported"],
        Support => &["unsupported", "not-off-yet", "not-ready"],
        Lock | Chock | SwitchOff => &["not-off-yet", "not-ready", "live-work"],
        PutIn => &["already-off", "count-mismatch", "not-ready"],
        Open1(_) => &["not-off-yet", "not-ready"],
        Renew => &["never-touched"],
        StopEngine => &["left-running", "not-ready", "run-unready"],
        _ => &[],
    }
}

fn forgotten(b: &Bench<'_>, place: (usize, NodeId), at: usize, out: &mut Vec<Mutant>) {
    let step = b.step(at);
    let honest = honest_for_forgotten(step.verb);
    if honest.is_empty() || may_be_left_out(b, at) {
        return;
    }
    let operator = match step.verb {
        v if takes(v) => "forgotten: takes away",
        Verb::StopEngine => "forgotten: stop engine",
        Verb::Renew => "forgotten: renew",
        _ => "forgotten: puts back",
    };
    out.push(b.spoil(operator, place, "", honest, b.without(place.0, place.1)));
}

/// Acts whose absence leaves a correct job, by the meaning of the language:
/// - `tighten, by hand` before the final torque; `top up`, unless the fill before it states less than ran out;
///   one of several `bleed`s of one fluid;
/// - what a later act does by itself: taking out a fastener before the thing that it holds, opening the drain before
///   `drain`, loosening before removal;
/// - `start` right before `tighten, by hand`, which puts in what is out;
/// - taking off what nothing puts back and nothing stands behind;
/// - a seal whose part is renewed with it; `renew` of what is not declared `new`;
/// - loosening what is then tightened `by hand`; stopping an engine that is then let cool or driven with;
/// - a `support` of a thing that does not need it and is released without it.
pub fn may_be_left_out(b: &Bench<'_>, at: usize) -> bool {
    let step = b.step(at);
    let things: Vec<ThingId> = step.things().map(|t| t.thing).collect();
    let later_verbs = |thing: ThingId| b.later_on(at, thing).map(|i| b.step(i).verb);
    match step.verb {
        Verb::Tighten if step.clauses.by_hand => true,
        // A pass that a whole tightening after it works anyway.
        Verb::Tighten if step.clauses.pass.is_some() => things.iter().all(|t| {
            b.later_on(at, *t)
                .map(|i| b.step(i))
                .find(|s| s.verb == Verb::Tighten)
                .is_some_and(|s| s.clauses.pass.is_none())
        }),
        Verb::Tighten if step.clauses.again => true,
        Verb::TopUp => !owes_a_top_up(b, at),
        Verb::Bleed => things.iter().any(|t| b.steps_on(*t).filter(|i| b.step(*i).verb == Verb::Bleed).count() > 1),
        Verb::Renew => !things.iter().any(|t| b.facts(*t).new),
        // Out of their holes, `tighten, by hand` puts them in.
        Verb::Start
            if things.iter().all(|t| {
                b.later_on(at, *t)
                    .map(|i| b.step(i))
                    .next()
                    .is_some_and(|s| s.verb == Verb::Tighten && s.clauses.by_hand)
            }) =>
        {
            true
        }
        // What stands again later in another act, before anything asks for it.
        Verb::Start | Verb::Place => things.iter().all(|t| {
            later_verbs(*t)
                .next()
                .is_some_and(|v| matches!(v, Verb::Refit | Verb::Fit | Verb::Connect | Verb::Start | Verb::Place))
        }),
        Verb::Loosen | Verb::Remove | Verb::Disconnect | Verb::MoveAside | Verb::Open => {
            things.iter().all(|t| taken_anyway(b, at, *t) || never_comes_back(b, at, *t))
        }
        Verb::Support => {
            !things.iter().any(|t| later_verbs(*t).any(|v| v == Verb::Release) || b.facts(*t).needs_support)
        }
        // An engine that is let cool stands.
        Verb::StopEngine => (at + 1..b.steps.len())
            .map(|i| b.step(i).verb)
            .find(|v| changes(*v) || matches!(v, Verb::LetCool | Verb::RunEngine | Verb::Drive))
            .is_some_and(|v| matches!(v, Verb::LetCool | Verb::Drive)),
        _ => false,
    }
}

/// The fill before it states less than ran out.
fn owes_a_top_up(b: &Bench<'_>, at: usize) -> bool {
    b.step(at).things().any(|t| {
        let Some(drains) = b.facts(t.thing).fluid.as_ref().and_then(|f| f.drains.as_ref()) else { return false };
        let others = b.steps_on(t.thing).filter(|i| *i != at && b.step(*i).verb == Verb::TopUp).count();
        let fills: Vec<_> = b.steps_on(t.thing).filter(|i| *i < at && b.step(*i).verb == Verb::Fill).collect();
        let [fill] = fills[..] else { return false };
        let stated = b.step(fill).clauses.amounts.first().and_then(|s| s.target());
        others == 0 && stated.is_some_and(|s| s.compare(drains) == Some(std::cmp::Ordering::Less))
    })
}

/// A later act, before it goes back, takes it out by itself.
fn taken_anyway(b: &Bench<'_>, at: usize, thing: ThingId) -> bool {
    let verb = b.step(at).verb;
    let facts = b.facts(thing);
    // The drain is opened by `drain`.
    if verb == Verb::Open && facts.drain_of.is_some_and(|f| b.later_on(at, f).any(|i| b.step(i).verb == Verb::Drain)) {
        return true;
    }
    // What it is part of is renewed: the old one leaves with it.
    if facts.part_of.is_some_and(|p| b.facts(p).new && b.steps_on(p).any(|i| b.step(i).verb == Verb::Remove)) {
        return true;
    }
    for i in at + 1..b.steps.len() {
        let step = b.step(i);
        let on_it = step.things().any(|t| t.thing == thing);
        // A nut that is only snug may be made snug again.
        if on_it && verb == Verb::Loosen && step.clauses.by_hand {
            return true;
        }
        if on_it && puts(step.verb) {
            return false;
        }
        if on_it && verb == Verb::Loosen && matches!(step.verb, Verb::Remove | Verb::Loosen) {
            return true;
        }
        let parts = matches!(step.verb, Verb::Remove | Verb::Disconnect | Verb::MoveAside | Verb::Open | Verb::Renew);
        if parts && step.things().any(|t| b.grips(t.thing).contains(&thing)) {
            return true;
        }
    }
    false
}

/// Nothing puts it back, renews it, holds it ready or stands behind it.
fn never_comes_back(b: &Bench<'_>, at: usize, thing: ThingId) -> bool {
    // What `reverse stage` puts back, it leaves alone where it was not taken off.
    let back = b.later_on(at, thing).any(|i| puts(b.step(i).verb) && !b.step(i).generated);
    let in_front = b.job.procedure.things.iter().any(|t| t.facts.behind.contains(&thing));
    !back && !in_front && !b.facts(thing).new
}

fn is_engine(b: &Bench<'_>, thing: ThingId) -> bool {
    b.job.thing(thing).kind == ThingKind::Builtin(Builtin::Engine)
}

/// `let … cool` forgotten. A fault where, before the engine runs again, something is opened that coolant stands in, or
/// is touched that `needs` it cooled, and no other cooling went before with the engine not run since.
fn cooling(b: &Bench<'_>, place: (usize, NodeId), at: usize, out: &mut Vec<Mutant>) {
    if b.step(at).verb != Verb::LetCool {
        return;
    }
    let subjects: Vec<ThingId> = b.step(at).things().map(|t| t.thing).collect();
    let engine = subjects.iter().any(|t| is_engine(b, *t));
    let cooled_before = b.steps[..at]
        .iter()
        .rev()
        .take_while(|s| !matches!(s.step.verb, Verb::RunEngine | Verb::Drive))
        .any(|s| s.step.verb == Verb::LetCool);
    let minds = (at + 1..b.steps.len())
        .take_while(|i| !matches!(b.step(*i).verb, Verb::RunEngine | Verb::Drive | Verb::LetCool))
        .any(|i| b.step(i).things().any(|t| minds_heat(b, b.step(i).verb, t.thing, &subjects, engine)));
    if minds && !cooled_before {
        out.push(b.spoil("forgotten: let cool", place, "", &["opened-hot", "not-ready"], b.without(place.0, place.1)));
    }
}

fn minds_heat(b: &Bench<'_>, verb: Verb, thing: ThingId, subjects: &[ThingId], engine: bool) -> bool {
    let facts = b.facts(thing);
    let needs = facts.needs.iter().any(|n| {
        n.state.state == State::Cooled
            && n.act.is_none_or(|a| a == verb)
            && matches!(&n.state.subject, Subject::Thing(t) if subjects.contains(&t.thing))
    });
    let coolant = |f: &ThingId| {
        b.facts(*f).fluid.as_ref().and_then(|f| f.kind).is_some_and(|k| format!("{k:?}").contains("GlycolCoolant"))
    };
    let opens = matches!(verb, Verb::Open | Verb::Remove | Verb::Disconnect | Verb::Drain);
    let circuit = facts.carries.iter().chain(&facts.drain_of).chain(&facts.filler_of).any(coolant) || coolant(&thing);
    changes(verb) && needs || engine && opens && circuit
}

/// A look forgotten whose outcome a condition after it asks for. A fault where no other act looks.
fn looked_at(b: &Bench<'_>, place: (usize, NodeId), at: usize, out: &mut Vec<Mutant>) {
    use cotter::procedure::{Condition, Found, Object};
    let step = b.step(at);
    if !matches!(step.verb, Verb::Inspect | Verb::Measure | Verb::Ask) {
        return;
    }
    let looks_too = |i: &usize| {
        *i != at
            && match step.verb {
                Verb::Ask => b.step(*i).ask == step.ask,
                verb => {
                    b.step(*i).verb == verb
                        && b.step(*i).objects.iter().any(|o| step.objects.iter().any(|p| alike(o, p)))
                }
            }
    };
    fn alike(a: &Object, b: &Object) -> bool {
        match (a, b) {
            (Object::Thing(a), Object::Thing(b)) => a.thing == b.thing,
            (Object::Measurement(a, _), Object::Measurement(b, _)) => a == b,
            _ => false,
        }
    }
    let mut asked = false;
    let mut conditions: Vec<&Condition> = Vec::new();
    for seen in &b.steps[at + 1..] {
        conditions.extend(seen.within.iter().filter_map(|w| match w {
            Within::If(c) => Some(*c),
            _ => None,
        }));
    }
    for condition in conditions {
        condition.atoms(&mut |atom| {
            if let Condition::Found(found) = atom {
                asked |= match found {
                    // A measurement of the thing may look at it as well.
                    Found::Bad(t) => {
                        let measured = b.steps.iter().flat_map(|s| &s.step.objects).any(|o| {
                            matches!(o, Object::Measurement(m, _) if b.job.procedure[*m].of.as_ref().is_some_and(|of| of.thing == t.thing))
                        });
                        step.verb == Verb::Inspect && !measured && step.things().any(|s| s.thing == t.thing)
                    }
                    Found::Answer(a, _) => step.ask == Some(*a),
                    Found::Outside(m) => step.verb == Verb::Measure && step.objects.iter().any(|o| matches!(o, Object::Measurement(n, _) if n == m)),
                    Found::Is(_) => false,
                };
            }
        });
    }
    if asked && !(0..b.steps.len()).any(|i| looks_too(&i)) {
        let honest = &["not-ready", "unknown-name", "bad-syntax"];
        out.push(b.spoil("forgotten: inspect, measure, ask", place, "", honest, b.without(place.0, place.1)));
    }
}

/// A step written twice. A fault for every act that changes a state, but for those that may be done twice: `bleed`,
/// `top up`, `tighten, by hand`, `again`, `put in` and `take out` of several.
fn doubled(b: &Bench<'_>, place: (usize, NodeId), at: usize, out: &mut Vec<Mutant>) {
    let step = b.step(at);
    let harmless = matches!(
        step.verb,
        Verb::Bleed | Verb::TopUp | Verb::Store | Verb::Discard | Verb::Transfer | Verb::Renew | Verb::Try
    ) || step.clauses.by_hand
        || step.clauses.again
        || step.things().next().is_none();
    if !changes(step.verb) || harmless {
        return;
    }
    let extent = b.job.extent(place.0, place.1);
    let copy = b.job.texts[place.0][extent.clone()].to_owned();
    let honest: &[&str] = match step.verb {
        Verb::Fill => &["volume-mismatch", "not-off-yet"],
        Verb::Drain => &["already-off"],
        Verb::PutIn => &["not-off-yet", "count-mismatch"],
        v if takes(v) => &["already-off", "count-mismatch"],
        Verb::Tighten => &["torqued-again", "not-off-yet"],
        Verb::TakeOut => &["not-off-yet", "already-off", "count-mismatch"],
        _ => &["not-off-yet", "count-mismatch", "torqued-again", "already-off"],
    };
    out.push(b.spoil("a step doubled", place, "", honest, vec![(extent.end..extent.end, copy)]));
}

/// Verbs exchanged: `refit` for `fit`, and each for its opposite.
fn exchanged(b: &Bench<'_>, place: (usize, NodeId), at: usize, out: &mut Vec<Mutant>) {
    let step = b.step(at);
    let Some(span) = b.verb_span(step) else { return };
    let things: Vec<ThingId> = step.things().map(|t| t.thing).collect();
    let in_kit = |t: &ThingId| b.job.procedure.kits.iter().any(|k| k.things.contains(t));
    let plain = |t: &ThingId| {
        let all = b.job.thing(*t).all_facts().map(|(_, f)| f);
        let mut none = true;
        all.for_each(|f| none &= !(f.new || f.new_if_bad || f.single_use || f.added || f.temporary.is_some()));
        none && !in_kit(t)
    };
    // `fit` asks for a part that may be new; `refit` for one that went off and may go back.
    if step.verb == Verb::Refit && things.iter().any(plain) {
        out.push(b.spoil("refit and fit exchanged", place, "fit", &["old-part-refitted"], b.instead(span, "fit")));
    }
    let never_back = |t: &ThingId| {
        let f = b.facts(*t);
        let gone = b.steps_on(*t).any(|i| i < at && b.step(i).verb == Verb::Remove);
        f.added || gone && (f.new || f.single_use)
    };
    if step.verb == Verb::Fit && things.iter().any(never_back) && !b.inside(at, |w| matches!(w, Within::Until)) {
        let honest = &["old-part-refitted", "never-touched"];
        out.push(b.spoil("refit and fit exchanged", place, "refit", honest, b.instead(span, "refit")));
    }
    let opposite = match step.verb {
        Verb::Refit | Verb::Fit => "remove",
        Verb::Remove => "refit",
        Verb::Connect => "disconnect",
        Verb::Disconnect => "connect",
        Verb::Open => "close",
        Verb::Close => "open",
        Verb::Lower => "raise",
        Verb::Loosen => "tighten",
        Verb::Lock => "unlock",
        Verb::Unlock => "lock",
        Verb::Chock => "unchock",
        Verb::Unchock => "chock",
        Verb::PutIn => "take out",
        Verb::TakeOut => "put in",
        Verb::Support => "release",
        Verb::Release => "support",
        Verb::SwitchOff => "switch on",
        Verb::SwitchOn => "switch off",
        Verb::MoveAside => "return",
        Verb::Return => "move aside",
        _ => return,
    };
    let mut honest: Vec<&'static str> = STATE.to_vec();
    honest.extend(LEFT);
    honest.push("old-part-refitted");
    out.push(b.spoil("the opposite verb", place, opposite, &honest, b.instead(span, opposite)));
}

/// The thing of the line above written again (copied and not changed), and names misspelt. The first is a fault where
/// both lines bring home, or both take away, a whole thing each.
fn another_thing(b: &Bench<'_>, place: (usize, NodeId), at: usize, out: &mut Vec<Mutant>) {
    let step = b.step(at);
    let all: Vec<_> = step.things().collect();
    if changes(step.verb) {
        for t in &all {
            let written = b.job.text_of(t.span);
            let Some(wrong) = misspelt(written) else { continue };
            let known = |w: &str| b.job.procedure.things.iter().any(|t| t.name.eq_ignore_ascii_case(w));
            if t.span.file.0 as usize == place.0 && !known(&wrong) && t.span.start >= step.head_span.start {
                let what = wrong.clone();
                out.push(b.spoil("a name misspelt", place, &what, &["unknown-name"], b.instead(t.span, wrong)));
            }
        }
    }
    let [mine] = all[..] else { return };
    if at == 0 || mine.portion != Portion::Whole {
        return;
    }
    let above = b.step(at - 1);
    let theirs: Vec<_> = above.things().collect();
    let [theirs] = theirs[..] else { return };
    let paired = above.verb == step.verb
        && matches!(
            step.verb,
            Verb::Remove
                | Verb::Refit
                | Verb::Fit
                | Verb::Connect
                | Verb::Disconnect
                | Verb::TakeOut
                | Verb::Close
                | Verb::Open
        );
    let near = b.job.node_at(above.span).is_some_and(|(f, n)| f == place.0 && b.job.siblings(f, n).contains(&place.1));
    if paired && near && theirs.portion == Portion::Whole && theirs.thing != mine.thing && !above.generated {
        let by = b.job.text_of(theirs.span).to_owned();
        let honest = if takes(step.verb) {
            &["already-off"][..]
        } else {
            &["not-off-yet", "left-off", "never-touched", "left-open", "left-in", "left-disconnected"][..]
        };
        if mine.span.file == theirs.span.file {
            out.push(b.spoil("the thing of the line above", place, &by.clone(), honest, b.instead(mine.span, by)));
        }
    }
}

/// Work that something acted on later asks for: `needs splines lubricated`, a debt, a wait until something has rested.
/// A fault where no other step does it.
fn asked_for(b: &Bench<'_>, place: (usize, NodeId), at: usize, out: &mut Vec<Mutant>) {
    let step = b.step(at);
    if changes(step.verb) || step.verb == Verb::LetCool {
        return;
    }
    let left_words = step.state.as_ref().map(|s| s.text.to_lowercase());
    let mut needed = false;
    let mut owed = false;
    for i in at + 1..b.steps.len() {
        let later = b.step(i);
        for t in later.things().filter(|_| changes(later.verb)) {
            for need in b.facts(t.thing).needs.iter().filter(|n| n.act.is_none_or(|a| a == later.verb)) {
                let brought = step.things().any(|s| crate::order::brings(step.verb, s.thing, &need.state));
                needed |= brought || left_words.as_ref() == Some(&need.state.text.to_lowercase());
            }
        }
    }
    let pays = |verb: Verb, debt: &cotter::procedure::Debt| {
        let object = debt.then.object.as_ref().is_none_or(|o| step.things().any(|t| t.thing == o.thing));
        verb == debt.then.verb && object && debt.then.verb == step.verb
    };
    for thing in &b.job.procedure.things {
        for debt in &thing.facts.debts {
            let worked = (0..at).any(|i| b.step(i).things().any(|t| b.name(t.thing) == thing.name));
            let payers = b.steps.iter().filter(|s| pays(s.step.verb, debt)).count();
            let called = b.steps[at..].iter().any(|s| s.step.verb == debt.before.verb);
            owed |= pays(step.verb, debt) && payers == 1 && worked && called;
        }
    }
    let again = (0..b.steps.len()).any(|i| i != at && b.step(i).verb == step.verb && b.step(i).objects == step.objects);
    if (needed && !again) || owed {
        out.push(b.spoil(
            "forgotten: what is needed",
            place,
            "",
            &["not-ready", "debt-unpaid"],
            b.without(place.0, place.1),
        ));
    }
}
