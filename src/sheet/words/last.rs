//! The last look: everything that the job touched and how it must be left.

use std::collections::BTreeSet;

use super::body::Writer;
use super::{fastener, one, sentence};
use crate::procedure::{PassAction, ThingId, ThingKind};
use crate::quantity::Spec;
use crate::sheet::catalogue as say;
use crate::sheet::content::{Tick, Words};

/// One line for each thing, with the fasteners that hold it; then the fasteners that hold nothing
/// that was named.
pub(super) fn look(writer: &Writer<'_>) -> Vec<Tick> {
    let mut lines = Vec::new();
    let mut told: BTreeSet<ThingId> = BTreeSet::new();
    for id in &writer.gather.things {
        let thing = &writer.job[*id];
        if told.contains(id) || thing.kind == ThingKind::Fastener {
            continue;
        }
        told.insert(*id);
        let facts = writer.known.facts(thing);
        let mut ends: Vec<String> = Vec::new();
        if thing.kind == ThingKind::Fluid {
            let amounts = writer.gather.filled.get(id);
            if amounts.is_none() && !writer.gather.drained.contains(id) {
                continue;
            }
            let amount = amounts.and_then(|amounts| amounts.first()).and_then(Spec::target);
            ends.push(match amount {
                Some(amount) => one(amount, writer.units),
                None => say::LEVEL_RIGHT.to_owned(),
            });
            if facts.fluid.as_ref().is_some_and(|fluid| fluid.needs_bleeding) {
                ends.push(say::BLED.to_owned());
            }
        } else if facts.temporary.is_some() {
            ends.push(say::OUT_AGAIN.to_owned());
        } else {
            for holder in facts.held_by.iter().chain(thing.is_fastener().then_some(id)) {
                // A fastener that holds several things is counted once, with the first of them.
                if writer.gather.tight.iter().any(|(tight, _)| tight == holder)
                    && (holder == id || told.insert(*holder))
                {
                    ends.push(tightness(writer, *holder));
                }
            }
        }
        if ends.is_empty() {
            let Some(end) = writer.ends.get(id) else { continue };
            ends.push(end.clone());
        }
        let mut name = sentence::capital(&thing.name);
        if writer.gather.renewed.contains(id) {
            name.push_str(", ");
            name.push_str(if facts.new_if_bad { say::NEW_IF_BAD } else { say::NEW });
        }
        lines.push(line(name, Some(thing.span), ends.join("; ")));
    }
    for id in &writer.gather.fasteners {
        let tight = writer.gather.tight.iter().any(|(tight, _)| tight == id);
        if tight && told.insert(*id) {
            let thing = &writer.job[*id];
            lines.push(line(sentence::capital(&thing.name), Some(thing.span), tightness(writer, *id)));
        }
    }
    lines
}

fn line(name: String, origin: crate::sheet::page::Origin, amount: String) -> Tick {
    Tick { words: Words::plain(name, origin), amount, strong: true, below: None }
}

/// `5 × 42 N·m`.
fn tightness(writer: &Writer<'_>, id: ThingId) -> String {
    let thing = &writer.job[id];
    let facts = writer.known.facts(thing);
    let Some(fastening) = &facts.fastening else { return say::TIGHT.to_owned() };
    let count = count(writer, id);
    let from = fastening.passes.iter().rposition(|pass| matches!(pass.action, PassAction::Torque(_)));
    let values: Vec<String> = fastening
        .passes
        .iter()
        .skip(from.unwrap_or(0))
        .map(|pass| fastener::action(&pass.action, writer.units).0)
        .collect();
    let value = if values.is_empty() { say::TIGHT.to_owned() } else { values.join(" + ") };
    if count > 1 { format!("{count}\u{a0}×\u{a0}{value}") } else { value }
}

/// How many over the members that were touched.
fn count(writer: &Writer<'_>, id: ThingId) -> u32 {
    let facts = writer.known.facts(&writer.job[id]);
    let one = facts.fastening.as_ref().and_then(|fastening| fastening.count).unwrap_or(facts.count).max(1);
    let touched = writer.gather.tight.iter().filter(|(tight, _)| *tight == id).count();
    one * touched.max(1) as u32
}

/// `17 fasteners out, 17 in`, on the way that moves the most.
pub(super) fn sum(ledger: &crate::proof::Ledger) -> String {
    match (ledger.fasteners_out, ledger.fasteners_back) {
        (0, 0) => String::new(),
        (out, back) => {
            let words = if out == 1 { say::ONE_FASTENER_OUT_AND_IN } else { say::FASTENERS_OUT_AND_IN };
            format!("{out} {}", words.replace('#', &back.to_string()))
        }
    }
}
