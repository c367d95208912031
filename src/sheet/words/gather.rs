//! What the sheet has used so far: for the lists to have ready and for the last look.

use std::collections::{BTreeMap, BTreeSet};

use super::ledger::Key;
use crate::procedure::{Condition, OptionId, Stand, SupplyId, ThingId, ToolId};
use crate::quantity::{Quantity, Spec};
use crate::trade::hazard::Hazard;

/// What was used, in the order of use.
#[derive(Clone, Debug, Default)]
pub(super) struct Gather {
    /// Things that an act touched.
    pub things: Vec<ThingId>,
    /// Things and fasteners that an act touched under no open condition.
    pub surely: BTreeSet<ThingId>,
    /// Things of which a new one went in.
    pub renewed: BTreeSet<ThingId>,
    pub fasteners: Vec<ThingId>,
    /// What the wrench is set to in the stages of each fastener, act by act.
    pub torques: Vec<(ThingId, Vec<Spec>)>,
    /// Crow-feet: what they are called, how long they are, what turns the fasteners.
    pub adapters: Vec<(String, Quantity, Vec<String>)>,
    pub out: BTreeSet<Key>,
    pub tight: BTreeSet<Key>,
    pub tools: Vec<ToolId>,
    pub supplies: Vec<SupplyId>,
    /// Trays and the like, with what they hold or must hold at least.
    pub trays: Vec<(String, Option<Spec>)>,
    pub stands: Vec<Stand>,
    /// How much of each fluid goes in.
    pub filled: BTreeMap<ThingId, Vec<Spec>>,
    pub drained: BTreeSet<ThingId>,
    pub hazards: Vec<Hazard>,
    pub options: Vec<OptionId>,
    /// Somebody helps.
    pub helper: bool,
}

impl Gather {
    /// Notes the options that a condition asks for.
    pub(super) fn condition(&mut self, condition: &Condition) {
        condition.atoms(&mut |atom| {
            if let Condition::Option(id) | Condition::OptionIs(id, _) = atom {
                note(&mut self.options, *id);
            }
        });
    }
}

/// Adds what is not there yet.
pub(super) fn note<T: PartialEq>(to: &mut Vec<T>, one: T) {
    if !to.contains(&one) {
        to.push(one);
    }
}
