//! The proof: carries all ways through the job at once, and tells what is left undone or done in the wrong order.
//!
//! The machine is a set of things with states (`state`), every act asks something of it and changes it (`acts`), and
//! at the end everything is home (`ending`). What an act means is written for one machine; each state is kept for all
//! ways together, with the condition under which it holds (`bdd`, `lift`, `shop`). The proof knows no wording: a
//! [`Fault`] says what is wrong, and the rule of its kind says it to a technician.

mod acts;
mod band;
mod bdd;
mod bonds;
mod choices;
mod duties;
mod ending;
mod fault;
mod found;
mod history;
mod ledger;
mod lift;
mod needs;
mod never;
mod plain;
mod query;
mod shop;
mod state;
mod tell;
mod trace;
mod walk;
mod witness;
mod world;

pub use band::{Notable, StageState};
pub use fault::{Counts, Fault, FaultKind, Place, Why};
pub use ledger::{Ledger, Touched};
pub use plain::disagreements;
pub use trace::{Life, Moment, Trace, Way};

use crate::procedure::Procedure;

/// What the proof found out about a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Proof {
    /// In the order of the file.
    pub faults: Vec<Fault>,
    /// The state of the machine at the start of each stage that stands in no other, as far as it is the same on all ways.
    pub stage_states: Vec<StageState>,
    pub ledger: Ledger,
    /// How much it took.
    pub cost: Cost,
}

/// How much a proof took.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cost {
    /// Acts that were walked, turns of loops included.
    pub acts: usize,
    /// Choices that the ways through the job hang on: options and outcomes that something asks for.
    pub choices: usize,
    /// How often an act was run: once for each situation that it could tell apart.
    pub runs: usize,
    /// Nodes of the diagram.
    pub nodes: usize,
}

/// The life of each thing through a job.
#[must_use]
pub fn trace(procedure: &Procedure) -> Trace {
    let numbers = walk::number_stages(&procedure.body);
    let shop = shop::Shop::new(procedure, choices::Choices::of(procedure, None));
    let mut walk = walk::Walk::new(shop, &numbers);
    walk.recorder = Some(trace::Recorder::default());
    walk.run();
    let recorder = walk.recorder.take().unwrap_or_default();
    recorder.finish(&walk.shop)
}

/// Proves a job.
#[must_use]
pub fn prove(procedure: &Procedure) -> Proof {
    let numbers = walk::number_stages(&procedure.body);
    let shop = shop::Shop::new(procedure, choices::Choices::of(procedure, None));
    let mut walk = walk::Walk::new(shop, &numbers);
    walk.run();
    let mut faults = witness::tell(&walk.shop);
    let never = never::faults(&walk, &faults);
    faults.extend(never);
    faults.sort_by_key(|f| (f.span.file, f.span.start, f.kind));
    let ledger = ledger::Ledger::of(&walk);
    let cost = Cost {
        acts: walk.acts,
        choices: walk.shop.choices.list.len(),
        runs: walk.shop.runs,
        nodes: walk.shop.run.bdd.size(),
    };
    Proof { faults, stage_states: walk.bands.finish(procedure), ledger, cost }
}
