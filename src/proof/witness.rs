//! One mistake, one finding: the faults of all ways put together, each told on one concrete way with the fewest
//! conditions that make it fail.

use super::bdd::{ALWAYS, Cond, NEVER, Var};
use super::choices::{Choice, Variables};
use super::fault::{Counts, Fault, FaultKind, Place, Why};
use super::found::Look;
use super::history::{Happened, Log};
use super::shop::{CountOf, RawFault, Shop, Where};
use super::state::Mark;
use super::world::World;
use crate::procedure::{AskId, Procedure, ProsePart, ThingId, steps_of};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// What makes two faults the same mistake.
pub(super) type Key = (FaultKind, Option<Span>, Option<ThingId>, String);

/// Of a fault on some ways.
pub(super) fn key_of(world: &World<'_>, raw: &RawFault) -> Key {
    let thing = raw.unit.map(|u| world.thing[u]);
    if let Some(same) = &raw.same {
        return (raw.kind, None, None, same.clone());
    }
    let wherever =
        raw.kind <= FaultKind::LeftUndone || matches!(raw.kind, FaultKind::NotTransferred | FaultKind::NeverTouched);
    if wherever {
        return (raw.kind, thing.is_none().then_some(raw.mark.span), thing, String::new());
    }
    if raw.kind == FaultKind::RunUnready {
        return (raw.kind, Some(raw.mark.span), None, String::new());
    }
    // Who stands in the way is the mistake, whatever is reached for first.
    if let (FaultKind::OutOfReach | FaultKind::LiveWork, Why::Thing(blocker)) = (raw.kind, &raw.why) {
        return (raw.kind, None, Some(*blocker), String::new());
    }
    // Where it left home differs from way to way.
    let here = raw.from.is_empty().then_some(raw.mark.span);
    (raw.kind, here, thing, why_key(&raw.why))
}

fn why_key(why: &Why) -> String {
    format!("{why:?}")
}

/// A mistake: the ways on which it shows, and its faults on each.
pub(super) struct Mistake {
    pub cond: Cond,
    pub raws: Vec<usize>,
}

/// All mistakes, by what makes them the same.
pub(super) fn mistakes(shop: &Shop<'_>) -> BTreeMap<Key, Mistake> {
    let mut all: BTreeMap<Key, Mistake> = BTreeMap::new();
    for (index, (cond, raw)) in shop.faults.iter().enumerate() {
        let mistake = all.entry(key_of(&shop.world, raw)).or_insert_with(|| Mistake { cond: NEVER, raws: Vec::new() });
        mistake.cond = shop.run.bdd.or(mistake.cond, *cond);
        mistake.raws.push(index);
    }
    all
}

/// Tells each mistake on the way on which the least is unusual.
pub(super) fn tell(shop: &Shop<'_>) -> Vec<Fault> {
    let mut faults = Vec::new();
    let possible = shop.choices.possible;
    for mistake in mistakes(shop).values() {
        let cond = shop.run.bdd.and(mistake.cond, possible);
        let Some(off) = least_unusual(shop, cond) else { continue };
        let truth = |var: Var| !off.contains(&var);
        let mut fault: Option<Fault> = None;
        for index in &mistake.raws {
            let (cond, raw) = &shop.faults[*index];
            if !shop.run.bdd.holds(*cond, truth) {
                continue;
            }
            let member = raw.unit.filter(|u| shop.world.each(*u).is_some()).map(|u| shop.world.member[u]);
            match &mut fault {
                // Another member on the same way.
                Some(fault) => fault.members.extend(member.filter(|m| !fault.members.contains(m))),
                None => fault = Some(resolved(shop, raw, member, &truth)),
            }
        }
        let Some(mut fault) = fault else { continue };
        let set = fault.thing.and_then(|t| shop.procedure()[t].each);
        if fault.members.len() == set.map_or(0, |s| shop.world.set_size(s) as usize) {
            fault.members.clear();
        }
        (fault.way, _) = what_matters(shop, shop.run.bdd.or(mistake.cond, shop.stopped), &truth);
        faults.push(fault);
    }
    faults.sort_by_key(|f| (f.span.file, f.span.start, f.kind));
    once_each(faults)
}

/// Leaves out what another way shows of a mistake that is told already: a thing that was never taken off stands in the
/// way on one way and cannot go back on another; one that was never put back is missed at the end on one way, and taken
/// off a second time on another.
fn once_each(faults: Vec<Fault>) -> Vec<Fault> {
    let mut told: Vec<Fault> = Vec::new();
    for fault in &faults {
        let again = |other: &Fault| {
            use FaultKind::{AlreadyOff, LiveWork, NotOffYet, OutOfReach};
            let in_the_way =
                matches!(other.kind, OutOfReach | LiveWork) && other.why == fault.thing.map_or(Why::Plain, Why::Thing);
            let same_thing = other.thing == fault.thing && fault.thing.is_some();
            let same_cause = other.other == fault.other && other.other.is_some();
            match fault.kind {
                NotOffYet => same_cause && (in_the_way || same_thing && other.kind == NotOffYet),
                AlreadyOff => {
                    same_cause && same_thing && other.kind == AlreadyOff
                        || same_thing
                            && other.kind <= FaultKind::LeftUndone
                            && fault.other.is_some_and(|(_, span)| span == other.span)
                }
                _ => false,
            }
        };
        let earlier = told.iter().any(again);
        let at_its_end = fault.kind == FaultKind::AlreadyOff
            && faults.iter().any(|other| other.kind <= FaultKind::LeftUndone && again(other));
        if !earlier && !at_its_end {
            told.push(fault.clone());
        }
    }
    told
}

/// The variables that are false on the way of `cond` on which the least is unusual; `None` where there is no way.
pub(super) fn least_unusual(shop: &Shop<'_>, cond: Cond) -> Option<BTreeSet<Var>> {
    // Every unusual choice weighs the same; which of its unusual values it is weighs nothing.
    let first_vars: BTreeSet<Var> = shop.choices.list.iter().filter_map(|c| c.vars.first().copied()).collect();
    let off = shop.run.bdd.cheapest(cond, |var| u32::from(first_vars.contains(&var)))?;
    Some(off.into_iter().collect())
}

/// A fault as it is on one way.
fn resolved(shop: &Shop<'_>, raw: &RawFault, member: Option<u32>, truth: &impl Fn(Var) -> bool) -> Fault {
    let place = |wanted: &Where| find(shop, raw, *wanted, truth);
    let mark = raw.from.iter().find_map(place).unwrap_or(raw.mark);
    let span = |(kind, wanted): &(Place, Where)| match wanted {
        Where::At(span) => Some((*kind, *span)),
        wanted => find(shop, raw, *wanted, truth).map(|mark| (*kind, mark.span)),
    };
    // A place that is the act itself tells nothing, where there is another.
    let others: Vec<(Place, Span)> = raw.other.iter().filter_map(span).collect();
    let other = others.iter().find(|(_, span)| *span != mark.span).or(others.first()).copied();
    let counts = raw.counts.map(|count| match count {
        CountOf::Said { there, out, back } => Counts { there, out, back },
        CountOf::Moved { there } => {
            let mut sum = Log::default();
            for entry in raw.unit.iter().flat_map(|u| &shop.logs[*u]) {
                if entry.time <= raw.time && shop.run.bdd.holds(entry.cond, truth) {
                    sum.add(&entry.log);
                }
            }
            Counts { there, out: sum.out, back: sum.back }
        }
    });
    Fault {
        kind: raw.kind,
        span: mark.span,
        step: Some(mark.step),
        verb: Some(mark.verb),
        thing: raw.unit.map(|u| shop.world.thing[u]),
        version: raw.version,
        members: member.into_iter().collect(),
        why: raw.why.clone(),
        other,
        counts,
        way: Vec::new(),
    }
}

/// An act before the fault on its way.
fn find(shop: &Shop<'_>, raw: &RawFault, wanted: Where, truth: &impl Fn(Var) -> bool) -> Option<Mark> {
    let (Where::LeftHome(unit) | Where::LastAct(unit) | Where::Before(unit) | Where::PutOn(unit)) = wanted else {
        return None;
    };
    let before = shop.histories[unit].iter().rev();
    let mut events = before.filter(|e| e.time <= raw.time && shop.run.bdd.holds(e.cond, truth));
    match wanted {
        Where::LeftHome(_) => {
            let last = events.find(|e| !matches!(e.happened, Happened::Act | Happened::PutOn))?;
            (last.happened == Happened::LeftHome).then_some(last.mark)
        }
        Where::PutOn(_) => events.find(|e| e.happened == Happened::PutOn).map(|e| e.mark),
        Where::Before(_) => {
            events.find(|e| e.happened == Happened::Act && e.mark.span != raw.mark.span).map(|e| e.mark)
        }
        _ => events.find(|e| e.happened == Happened::Act).map(|e| e.mark),
    }
}

/// The choices of a way that matter: with these, whatever the others are, it is one of the ways of `enough` (those that
/// fail, and those on which the job ends before). None of them can be left out.
///
/// In the author's words, and as a condition.
pub(super) fn what_matters(
    shop: &Shop<'_>,
    enough: Cond,
    truth: &impl Fn(Var) -> bool,
) -> (Vec<(String, String)>, Cond) {
    let bdd = &shop.run.bdd;
    let support: BTreeSet<Var> = bdd.support(enough).into_iter().collect();
    let concerned = |c: &&Variables| c.vars.iter().any(|v| support.contains(v));
    let mut kept: Vec<(&Variables, u32, Cond)> = Vec::new();
    for choice in shop.choices.list.iter().filter(concerned) {
        let value = choice.value(truth);
        let cond = choice.conditions(bdd).into_iter().find(|(_, v)| *v == value).map_or(ALWAYS, |(c, _)| c);
        kept.push((choice, value, cond));
    }
    // What is as usual goes first, and of that what comes late: it tells the least.
    let mut order: Vec<usize> = (0..kept.len()).rev().collect();
    order.sort_by_key(|i| kept[*i].0.values.first() != Some(&kept[*i].1));
    let mut out = BTreeSet::new();
    for index in order {
        let rest = kept.iter().enumerate().filter(|(i, _)| *i != index && !out.contains(i));
        let cube = rest.fold(ALWAYS, |all, (_, (_, _, cond))| bdd.and(all, *cond));
        if bdd.implies(bdd.and(cube, shop.choices.possible), enough) {
            out.insert(index);
        }
    }
    let mut way = Vec::new();
    let mut all = ALWAYS;
    for (_, (choice, value, cond)) in kept.iter().enumerate().filter(|(i, _)| !out.contains(i)) {
        all = bdd.and(all, *cond);
        let words = words_of(shop.procedure(), &choice.choice, *value);
        if !way.contains(&words) {
            way.push(words);
        }
    }
    (way, all)
}

/// A choice in the author's words.
pub(super) fn words_of(procedure: &Procedure, choice: &Choice, value: u32) -> (String, String) {
    let yes_no = |yes: bool| if yes { "yes" } else { "no" }.to_owned();
    match choice {
        Choice::Option(id) => {
            let option = &procedure[*id];
            let value = option.values.get(value as usize).cloned().unwrap_or_else(|| yes_no(value == 1));
            (option.name.clone(), value)
        }
        Choice::Found { look, member, of, .. } => match *look {
            Look::Inspect(thing) | Look::Verdict(thing) => {
                (with_member(procedure, thing, *member), if value == 1 { "bad" } else { "good" }.to_owned())
            }
            Look::Measure(id) => {
                let measurement = &procedure[id];
                let set = measurement.each.and_then(|s| procedure.sets.get(s.index()));
                let member = set.zip(*member).and_then(|(s, m)| s.members.get(m as usize));
                let name = member.map_or_else(|| measurement.name.clone(), |m| format!("{m} {}", measurement.name));
                (name, if value == 1 { "outside" } else { "within" }.to_owned())
            }
            Look::Ask(id) => {
                let ask = &procedure[id];
                let name = ask.name.clone().unwrap_or_else(|| question(procedure, id));
                // Asked in a loop: of which member.
                let member =
                    of.zip(*member).and_then(|(set, m)| procedure.sets.get(set.index())?.members.get(m as usize));
                let name = member.map_or(name.clone(), |member| format!("{name} ({member})"));
                (name, ask.answers.get(value as usize).cloned().unwrap_or_default())
            }
        },
    }
}

/// What an unnamed question asks.
fn question(procedure: &Procedure, id: AskId) -> String {
    let mut words = String::new();
    steps_of(&procedure.body, &mut |step| {
        if step.ask == Some(id)
            && words.is_empty()
            && let Some(prose) = &step.prose
        {
            for part in &prose.parts {
                if let ProsePart::Text(text) = part {
                    words.push_str(text);
                }
            }
        }
    });
    if words.is_empty() { "the answer".to_owned() } else { words.trim().to_owned() }
}

fn with_member(procedure: &Procedure, thing: ThingId, member: Option<u32>) -> String {
    let thing = &procedure[thing];
    let names = thing.each.and_then(|s| procedure.sets.get(s.index())).map(|s| &s.members);
    match names.zip(member).and_then(|(n, m)| n.get(m as usize)) {
        Some(member) => format!("{member} {}", thing.name),
        None => thing.name.clone(),
    }
}
