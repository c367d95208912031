//! The proof: walks the job on every way worth walking, and tells what is left undone or done in the wrong order.
//!
//! The machine is a set of things with states (`state`), every act asks something of it and changes it (`acts`), and
//! at the end everything is home (`ending`). Which ways are walked (`ways`, `walk`) is kept apart from what an act
//! means, so that the walking may be replaced by something that carries all ways at once. The proof knows no wording:
//! a [`Fault`] says what is wrong, and the rule of its kind says it to a technician.

mod acts;
mod band;
mod duties;
mod ending;
mod fault;
mod found;
mod ledger;
mod merge;
mod needs;
mod never;
mod query;
mod shop;
mod state;
mod walk;
mod ways;
mod world;

pub use band::{Notable, StageState};
pub use fault::{Counts, Fault, FaultKind, Place, Why};
pub use ledger::{Ledger, Touched};

use crate::procedure::Procedure;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// Tables kept at most.
const MOST_WORLDS: usize = 64;

/// What the proof found out about a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Proof {
    /// In the order of the file.
    pub faults: Vec<Fault>,
    /// The state of the machine at the start of each stage that stands in no other, as far as it is the same on all ways.
    pub stage_states: Vec<StageState>,
    pub ledger: Ledger,
    /// How many ways were walked.
    pub ways: usize,
    /// Whether each option and each outcome was turned over at least once.
    pub complete: bool,
}

/// What one walk came to.
struct Outcome {
    keys: BTreeSet<merge::Key>,
    stopped: bool,
}

/// Proves a job.
#[must_use]
pub fn prove(procedure: &Procedure) -> Proof {
    let consulted = Rc::new(ways::Consulted::of(procedure));
    let numbers = walk::number_stages(&procedure.body);
    // Ways that differ only in what is found share their tables.
    let worlds: RefCell<BTreeMap<world::OptionValues, Rc<world::World<'_>>>> = RefCell::default();
    let take = |unusual: &ways::Unusual, most_acts: usize| {
        let mut choices = ways::Choices::new(unusual.clone(), Rc::clone(&consulted));
        let options = choices.options(procedure);
        let mut worlds = worlds.borrow_mut();
        if worlds.len() >= MOST_WORLDS {
            worlds.clear();
        }
        let world = worlds.entry(options.clone()).or_insert_with(|| Rc::new(world::World::new(procedure, options)));
        let world = Rc::clone(world);
        let mut walk = walk::Walk::new(shop::Shop::new(world, choices), &numbers, most_acts);
        walk.run();
        walk
    };

    let mut queue = ways::Queue::new();
    let mut mistakes = merge::Mistakes::default();
    let mut outcomes: BTreeMap<ways::Unusual, Outcome> = BTreeMap::new();
    let mut bands = band::Bands::default();
    let mut ledger = Ledger::default();
    let mut renewals = never::Renewals::default();
    let (mut acts, mut walked, mut finished) = (0, 0, 0);
    let mut complete = true;
    while let Some(unusual) = queue.next() {
        if walked >= ways::MOST_WAYS || acts >= ways::MOST_ACTS {
            complete = unusual.len() > 1;
            break;
        }
        let walk = take(&unusual, ways::MOST_ACTS_OF_A_WAY);
        acts += walk.acts.max(1);
        if walk.cut {
            // Every other way would be cut at the same place.
            queue = ways::Queue::default();
            complete = false;
        }
        let shop = &walk.shop;
        mistakes.add(&shop.world, &shop.faults, &unusual, &shop.choices.made);
        if !walk.cut {
            queue.add_from(&unusual, &shop.choices.made);
        }
        renewals.add(&walk);
        if !shop.stopped {
            ledger.add(&shop.world, &walk.logs, finished == 0);
            finished += 1;
        }
        let keys = shop.faults.iter().map(|raw| merge::key_of(&shop.world, raw)).collect();
        let stopped = shop.stopped;
        bands.merge(walk.bands);
        outcomes.insert(unusual, Outcome { keys, stopped });
        walked += 1;
    }

    let mut checks = 0;
    let keys = mistakes.keys();
    let mut faults = Vec::new();
    for (index, mistake) in mistakes.list.iter().enumerate() {
        let mut shows = |other: &ways::Unusual| -> Option<bool> {
            let key = keys.get(&index)?;
            if !outcomes.contains_key(other) {
                if checks >= merge::MOST_CHECKS {
                    return None;
                }
                checks += 1;
                let walk = take(other, ways::MOST_ACTS_OF_A_WAY);
                let shop = &walk.shop;
                let keys = shop.faults.iter().map(|raw| merge::key_of(&shop.world, raw)).collect();
                outcomes.insert(other.clone(), Outcome { keys, stopped: shop.stopped });
            }
            let outcome = outcomes.get(other)?;
            let shown = outcome.keys.contains(key);
            (shown || !outcome.stopped).then_some(shown)
        };
        let mut fault = mistake.fault.clone();
        fault.way = merge::what_matters(procedure, mistake, &mut shows);
        faults.push(fault);
    }
    let never = renewals.faults(procedure, &faults);
    faults.extend(never);
    faults.sort_by_key(|f| (f.span.file, f.span.start, f.kind));
    Proof { faults, stage_states: bands.finish(procedure), ledger: ledger.finish(), ways: walked, complete }
}
