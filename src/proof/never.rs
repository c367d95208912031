//! What is declared `new` or `added` and fitted on no way that some choice of options leaves open.

use super::bdd::{Cond, NEVER};
use super::fault::{Fault, FaultKind, Why};
use super::walk::Walk;
use super::witness::{least_unusual, what_matters};
use crate::procedure::{Procedure, ThingId, Version};

/// The faults, for what the job itself declares and no other fault is told of.
pub(super) fn faults(walk: &Walk<'_, '_>, told: &[Fault]) -> Vec<Fault> {
    let shop = &walk.shop;
    let procedure = shop.procedure();
    let file = procedure.header.span.file;
    let mut faults: Vec<Fault> = Vec::new();
    if shop.too_much {
        return faults;
    }
    for (index, thing) in procedure.things.iter().enumerate() {
        let id = ThingId(u32::try_from(index).unwrap_or(u32::MAX));
        let mine = !thing.shared || thing.declared_at.iter().any(|s| s.file == file);
        if !mine || procedure.doubtful.contains(&id) || about(procedure, told.iter().chain(&faults), id) {
            continue;
        }
        let never = never_fitted(walk, id);
        let Some(off) = least_unusual(shop, shop.run.bdd.and(never, shop.choices.possible)) else { continue };
        faults.push(Fault {
            kind: FaultKind::NeverTouched,
            span: thing.declared_at.iter().rev().find(|s| s.file == file).copied().unwrap_or(thing.span),
            step: None,
            verb: None,
            thing: Some(id),
            version: Version::Unsaid,
            members: Vec::new(),
            why: Why::Plain,
            other: None,
            counts: None,
            way: what_matters(shop, never, &|var| !off.contains(&var)).0,
        });
    }
    faults
}

/// Whether a fault is told of it already, or of what it holds.
fn about<'f>(procedure: &Procedure, mut told: impl Iterator<Item = &'f Fault>, id: ThingId) -> bool {
    told.any(|f| f.thing.is_some_and(|t| t == id || procedure[t].facts.held_by.contains(&id)))
}

/// The choices of options that let the job come to its end, want a new one, and fit it on no way.
fn never_fitted(walk: &Walk<'_, '_>, id: ThingId) -> Cond {
    let shop = &walk.shop;
    let bdd = &shop.run.bdd;
    let (finished, end) = walk.finished;
    let (mut wanted, mut renewed) = (NEVER, NEVER);
    for unit in shop.world.units_of(id) {
        for (cond, nature) in shop.natures_of(unit) {
            let facts = shop.world.variant(unit, nature.variant);
            if nature.exists && (facts.new || facts.added) && facts.temporary.is_none() {
                wanted = bdd.or(wanted, cond);
            }
        }
        for entry in shop.logs[unit].iter().filter(|e| e.log.renewed && e.time <= end) {
            renewed = bdd.or(renewed, entry.cond);
        }
    }
    if wanted == NEVER {
        return NEVER;
    }
    let first = shop.choices.first_outcome;
    let open = bdd.and(wanted, bdd.possibly(finished, first));
    bdd.without(open, bdd.possibly(renewed, first))
}
