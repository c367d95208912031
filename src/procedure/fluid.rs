//! What a declaration says of a fluid, and what follows from it alone.

use super::{Procedure, Prose, ProsePart, Step, ThingId, Verb, steps_of};
use crate::quantity::{Kind, Number, Quantity};
use crate::trade::coolant::{self, Glycol, NoWay, PartlyFull, partly_full::Pour, water};
pub use crate::trade::fluid::FluidKind;

/// A fluid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FluidFacts {
    pub capacity: Option<Quantity>,
    pub kind: Option<FluidKind>,
    /// Share of concentrate by volume.
    pub mix: Option<Quantity>,
    /// Share of concentrate by volume of what was in before, and of what stays in when it is drained.
    pub old_mix: Option<Quantity>,
    pub protects_to: Option<Quantity>,
    pub drains: Option<Quantity>,
    pub needs_bleeding: bool,
    pub spec: Vec<Prose>,
}

impl FluidFacts {
    /// What it is made of; `None` for what is no coolant.
    #[must_use]
    pub fn glycol(&self) -> Option<Glycol> {
        self.kind?.glycol()
    }

    /// How much runs out when it is drained: `drains`, else the capacity.
    #[must_use]
    pub fn runs_out(&self) -> Option<&Quantity> {
        self.drains.as_ref().or(self.capacity.as_ref())
    }

    /// What stays in when it is drained, where that is anything: capacity less `drains`.
    #[must_use]
    pub fn stays(&self) -> Option<Quantity> {
        let stays = self.capacity.as_ref()?.minus(self.drains.as_ref()?)?;
        (stays.kind() == Kind::Volume && !stays.value.is_negative() && !stays.value.is_zero()).then_some(stays)
    }

    /// The same fluid where only so much is let out: `drain coolant, 2 L`.
    #[must_use]
    pub fn where_only(&self, room: &Quantity) -> Self {
        Self { drains: Some(room.clone()), ..self.clone() }
    }

    /// Whether its specification says that it is bought ready mixed.
    #[must_use]
    pub fn comes_mixed(&self) -> bool {
        self.spec.iter().flat_map(|prose| &prose.parts).any(|part| match part {
            ProsePart::Text(text) | ProsePart::Words(text) => water::is_ready_mixed(text),
            _ => false,
        })
    }

    /// What to pour into the drained system, where something stays in at a stated `old mix` and the whole is to be the `mix`: concentrate
    /// and water, or why there is no way. `None` where nothing stays, a figure is missing, or it is bought ready mixed.
    #[must_use]
    pub fn refill(&self) -> Option<Result<Pour, NoWay>> {
        self.glycol()?;
        let (capacity, old, mix) = (self.capacity.as_ref()?, self.old_mix.as_ref()?, self.mix.as_ref()?);
        let stays = self.stays()?;
        if self.comes_mixed() {
            return None;
        }
        let undiluted = coolant::percentage(&Number::ONE)?;
        Some(PartlyFull { capacity, left: &stays, left_share: old }.pour(mix, &undiluted))
    }

    /// The share of concentrate of what is poured into the drained system: the `mix`, or what brings the whole to it. `None` where there is no
    /// way.
    #[must_use]
    pub fn poured_share(&self) -> Option<Quantity> {
        match self.refill() {
            Some(Ok(pour)) => pour.share,
            Some(Err(_)) => None,
            None => self.mix.clone(),
        }
    }

    /// The share of the whole once the drained system is full again: the `mix`, but where a ready mix is poured on what stays in at
    /// its `old mix`, or where there is no way to the `mix`, what comes of it.
    #[must_use]
    pub fn whole_share(&self) -> Option<Quantity> {
        match (self.refill(), &self.old_mix, self.stays()) {
            (Some(Err(NoWay::TooWeak(best) | NoWay::TooStrong(best))), ..) => Some(best.reaches),
            (None, Some(old), Some(stays)) if self.glycol().is_some() => {
                let drains = self.drains.as_ref()?;
                coolant::dilution::blend(&[(drains, self.mix.as_ref()?), (&stays, old)]).map(|(_, share)| share)
            }
            _ => self.mix.clone(),
        }
    }
}

impl Procedure {
    /// Every act that drains a fluid.
    #[must_use]
    pub fn drained_by(&self, fluid: ThingId) -> Vec<&Step> {
        let mut steps = Vec::new();
        steps_of(&self.body, &mut |step| {
            if step.verb == Verb::Drain && step.things().any(|reference| reference.thing == fluid) {
                steps.push(step);
            }
        });
        steps
    }

    /// How much the job's one act of draining lets out, where it says so: `drain coolant, 2 L`.
    #[must_use]
    pub fn part_let_out(&self, fluid: ThingId) -> Option<&Quantity> {
        match self.drained_by(fluid).as_slice() {
            [step] => step.clauses.amounts.iter().find_map(|spec| spec.target()),
            _ => None,
        }
    }
}
