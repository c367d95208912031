//! The last look: everything that the job touched and how it must be left.

use std::collections::{BTreeMap, BTreeSet};

use super::body::Writer;
use super::{fastener, one, sentence};
use crate::procedure::{Facts, Pass, PassAction, ThingId, ThingKind};
use crate::proof::{Ledger, Touched};
use crate::quantity::Spec;
use crate::sheet::catalogue as say;
use crate::sheet::content::{Tick, Words};

/// What the proof found touched, as far as the printed choice has it, in the order of declaration:
/// one line for each thing, with the fasteners that hold it; a fastener of its own where it holds
/// nothing that is listed.
pub(super) fn look(writer: &Writer<'_>, ledger: &Ledger) -> Vec<Tick> {
    let found: BTreeMap<ThingId, &Touched> = ledger.touched.iter().map(|touched| (touched.thing, touched)).collect();
    let printed = |id: &ThingId| writer.gather.things.contains(id) || writer.gather.fasteners.contains(id);
    // What only changes its state (locked, raised, switched off) counts nothing and is known by its end.
    let listed: Vec<ThingId> = (0..writer.job.things.len())
        .map(|index| ThingId(index as u32))
        .filter(|id| match found.contains_key(id) {
            true => printed(id) || !writer.known.is_chosen(),
            false => printed(id) && writer.ends.contains_key(id),
        })
        .collect();
    let mut told: BTreeSet<ThingId> = BTreeSet::new();
    let mut held: BTreeMap<ThingId, Vec<ThingId>> = BTreeMap::new();
    for id in listed.iter().filter(|id| writer.job[**id].kind != ThingKind::Fastener) {
        let facts = writer.known.facts(&writer.job[*id]);
        for holder in facts.held_by.iter().chain(writer.job[*id].is_fastener().then_some(id)) {
            // A fastener that holds several things is counted once, with the first of them.
            let tight = found.get(holder).is_some_and(|touched| touched.tightened) && listed.contains(holder);
            if tight && facts.temporary.is_none() && (holder == id || told.insert(*holder)) {
                held.entry(*id).or_default().push(*holder);
            }
        }
    }
    let mut lines = Vec::new();
    for id in &listed {
        let thing = &writer.job[*id];
        if thing.kind == ThingKind::Fastener && told.contains(id) {
            continue;
        }
        let touched = found.get(id).copied();
        let facts = writer.known.facts(thing);
        let mut ends: Vec<String> = Vec::new();
        if thing.kind == ThingKind::Fluid {
            ends.extend(fluid(writer, *id, touched));
        } else if facts.temporary.is_some() {
            ends.push(match touched {
                Some(touched) if touched.back > 1 => {
                    format!("{} {}, {} {}", touched.back, say::IN, touched.out, say::OUT_AGAIN)
                }
                _ => say::OUT_AGAIN.to_owned(),
            });
        } else if thing.kind == ThingKind::Fastener {
            ends.extend(touched.filter(|touched| touched.tightened).map(|touched| tightness(writer, touched)));
        } else {
            let holders = held.get(id).into_iter().flatten();
            ends.extend(holders.filter_map(|holder| found.get(holder)).map(|touched| tightness(writer, touched)));
        }
        if ends.is_empty() {
            let Some(end) = writer.ends.get(id) else { continue };
            ends.push(end.clone());
        }
        let mut name = sentence::capital(&thing.name);
        let renewed = touched.is_some_and(|touched| touched.renewed) && !writer.known.is_chosen();
        if renewed || writer.gather.renewed.contains(id) {
            name.push_str(", ");
            name.push_str(if facts.new_if_bad { say::NEW_IF_BAD } else { say::NEW });
        }
        let sure = writer.known.is_chosen() && writer.gather.surely.contains(id);
        if touched.is_some_and(|touched| touched.sometimes) && !sure {
            let open = writer.known.holds(&thing.exists).is_none();
            name.push_str(", ");
            name.push_str(if open { say::IF_FITTED } else { say::IF_WORKED_ON });
        }
        lines.push(line(name, Some(thing.span), ends.join("; ")));
    }
    lines.extend(writer.wound_back());
    lines
}

/// How a fluid is left: its amount or level, and without air where it was bled.
fn fluid(writer: &Writer<'_>, id: ThingId, touched: Option<&Touched>) -> Vec<String> {
    let amounts = writer.gather.filled.get(&id);
    let drained = touched.is_some_and(|touched| touched.drained) || writer.gather.drained.contains(&id);
    let filled = touched.is_some_and(|touched| touched.filled) || amounts.is_some();
    if !drained && !filled {
        return Vec::new();
    }
    // By variant it is another amount, and the step says which.
    let thing = &writer.job[id];
    let of = |facts: &Facts| facts.fluid.as_ref().and_then(|fluid| fluid.runs_out().cloned());
    let open = writer.known.open_variants(thing);
    let one_amount = open.iter().all(|(_, facts)| of(facts) == of(writer.known.facts(thing)));
    let amount = amounts.and_then(|amounts| amounts.first()).and_then(Spec::target).filter(|_| one_amount);
    let mut ends = vec![match amount {
        Some(amount) => one(amount, writer.units),
        None if filled => say::LEVEL_RIGHT.to_owned(),
        None => say::DRAINED.to_owned(),
    }];
    if touched.is_some_and(|touched| touched.bled) {
        ends.push(say::BLED.to_owned());
    }
    ends
}

fn line(name: String, origin: crate::sheet::page::Origin, amount: String) -> Tick {
    Tick { words: Words::plain(name, origin), amount, strong: true, below: None }
}

/// `5 × 42 N·m`; with `10 out, 10 in` where they were not all out just once.
fn tightness(writer: &Writer<'_>, touched: &Touched) -> String {
    let facts = writer.known.facts(&writer.job[touched.thing]);
    let Some(fastening) = &facts.fastening else { return say::TIGHT.to_owned() };
    let count = fastening.count.unwrap_or(facts.count).max(1) * (touched.members.len() as u32).max(1);
    let of = |pass: &Pass| match &pass.action {
        PassAction::Check(value) => fastener::action(&PassAction::Torque(value.clone()), writer.units).0,
        action => fastener::action(action, writer.units).0,
    };
    let ends = fastener::ends_at(fastening.passes.iter());
    let values: Vec<String> = ends.iter().map(|pass| of(pass)).collect();
    let value = if values.is_empty() { say::TIGHT.to_owned() } else { values.join(" + ") };
    let mut all = if count > 1 { format!("{count}\u{a0}×\u{a0}{value}") } else { value };
    // Some of them are taken further.
    let further = |pass: &&Pass| !pass.positions.is_empty() && matches!(pass.action, PassAction::Torque(_));
    for pass in fastening.passes.iter().filter(further).filter(|pass| !ends.contains(pass)) {
        all.push_str(&format!(", {}\u{a0}{} {}", pass.positions.len(), say::OF_THEM, of(pass)));
    }
    match (touched.out, touched.back) {
        (0, 0) => all,
        (out, back) if (out, back) == (count, count) => all,
        (out, back) => format!("{all}, {out}\u{a0}{}, {back}\u{a0}{}", say::OUT, say::IN),
    }
}

/// `17 fasteners out, 17 in`, on the way that moves the most.
pub(super) fn sum(ledger: &Ledger) -> String {
    match (ledger.fasteners_out, ledger.fasteners_back) {
        (0, 0) => String::new(),
        (out, back) => {
            let words = if out == 1 { say::ONE_FASTENER_OUT_AND_IN } else { say::FASTENERS_OUT_AND_IN };
            format!("{out} {}", words.replace('#', &back.to_string()))
        }
    }
}
