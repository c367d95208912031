//! What is declared `new` or `added` and fitted on no way that some choice of options leaves open.

use super::fault::{Fault, FaultKind, Why};
use super::walk::Walk;
use super::world::OptionValues;
use crate::procedure::{OptionId, Procedure, ThingId, Version};
use std::collections::BTreeSet;

/// What is renewed under each choice of options, whatever is found, in the order the choices were met.
#[derive(Debug, Default)]
pub(super) struct Renewals {
    choices: Vec<(OptionValues, Choice)>,
}

#[derive(Debug, Default)]
struct Choice {
    /// Some way came to the end of the job.
    finished: bool,
    renewed: BTreeSet<ThingId>,
    /// New ones that are there at all.
    wanted: BTreeSet<ThingId>,
}

impl Renewals {
    /// Adds what one walk did.
    pub fn add(&mut self, walk: &Walk<'_, '_>) {
        let world = &walk.shop.world;
        let at = match self.choices.iter().position(|(options, _)| *options == world.options) {
            Some(at) => at,
            None => {
                self.choices.push((world.options.clone(), Choice::default()));
                self.choices.len() - 1
            }
        };
        let choice = &mut self.choices[at].1;
        choice.finished |= !walk.shop.stopped;
        for (unit, log) in walk.logs.iter().enumerate() {
            let facts = world.facts[unit];
            if log.renewed {
                choice.renewed.insert(world.thing[unit]);
            }
            if world.exists[unit] && (facts.new || facts.added) && facts.temporary.is_none() {
                choice.wanted.insert(world.thing[unit]);
            }
        }
    }

    /// The faults, for what the job itself declares and no other fault is told of.
    pub fn faults(&self, procedure: &Procedure, told: &[Fault]) -> Vec<Fault> {
        let file = procedure.header.span.file;
        let mut faults: Vec<Fault> = Vec::new();
        for (options, choice) in self.choices.iter().filter(|(_, c)| c.finished) {
            for id in choice.wanted.difference(&choice.renewed) {
                let thing = &procedure[*id];
                let mine = !thing.shared || thing.declared_at.iter().any(|s| s.file == file);
                let known = |f: &Fault| f.thing.is_some_and(|t| t == *id || procedure[t].facts.held_by.contains(id));
                if !mine || procedure.doubtful.contains(id) || told.iter().chain(&faults).any(known) {
                    continue;
                }
                faults.push(Fault {
                    kind: FaultKind::NeverTouched,
                    span: thing.declared_at.iter().rev().find(|s| s.file == file).copied().unwrap_or(thing.span),
                    step: None,
                    verb: None,
                    thing: Some(*id),
                    version: Version::Unsaid,
                    members: Vec::new(),
                    why: Why::Plain,
                    other: None,
                    counts: None,
                    way: self.way(procedure, options, *id),
                });
            }
        }
        faults
    }

    /// The options that matter: those in which the nearest choice that renews it differs.
    fn way(&self, procedure: &Procedure, options: &OptionValues, id: ThingId) -> Vec<(String, String)> {
        let differs = |other: &OptionValues| -> Vec<usize> {
            (0..options.len()).filter(|i| options.get(*i) != other.get(*i)).collect()
        };
        let renewing = self.choices.iter().filter(|(_, c)| c.renewed.contains(&id)).map(|(o, _)| differs(o));
        let nearest = renewing.min_by_key(Vec::len).unwrap_or_default();
        let words = |index: usize| -> Option<(String, String)> {
            let option = procedure.options.get(index)?;
            let id = OptionId(u32::try_from(index).ok()?);
            let value = options.get(id.index()).copied().flatten();
            let plain = if value == Some(1) { "yes" } else { "no" };
            let named = value.and_then(|v| option.values.get(v as usize)).cloned();
            Some((option.name.clone(), named.unwrap_or_else(|| plain.to_owned())))
        };
        nearest.into_iter().filter_map(words).collect()
    }
}
