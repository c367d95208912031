//! How units hang together on the ways of the run, and which of them a reference means.

use super::shop::Shop;
use super::world::{Unit, World};
use crate::procedure::{Members, SetId, StateRef, Subject, ThingRef, With};

impl Shop<'_> {
    /// What holds it.
    pub fn holders(&self, unit: Unit) -> Vec<Unit> {
        self.relations(unit).holders.iter().copied().filter(|h| self.exists(*h)).collect()
    }

    /// Everything that grips it: its holders, and itself where it screws itself in.
    pub fn grips(&self, unit: Unit) -> Vec<Unit> {
        let mut grips = self.holders(unit);
        if self.world.screws_itself(unit, self.facts(unit)) {
            grips.push(unit);
        }
        grips
    }

    /// What it holds.
    pub fn holds(&self, unit: Unit) -> Vec<Unit> {
        let held = self.world.holds[unit].iter().copied();
        held.filter(|h| self.exists(*h) && self.relations(*h).holders.contains(&unit)).collect()
    }

    /// What may be in front of it, existing or not.
    pub fn behind(&self, unit: Unit) -> Vec<Unit> {
        self.relations(unit).behind.clone()
    }

    pub fn is_behind(&self, unit: Unit, other: Unit) -> bool {
        self.relations(unit).behind.contains(&other)
    }

    pub fn parent(&self, unit: Unit) -> Option<Unit> {
        self.relations(unit).parents.iter().copied().find(|p| self.exists(*p))
    }

    /// What is part of it.
    pub fn children(&self, unit: Unit) -> Vec<Unit> {
        let children = self.world.children[unit].iter().copied();
        children.filter(|c| self.exists(*c) && self.parent(*c) == Some(unit)).collect()
    }

    /// What may carry a fluid; `carries` tells whether it does.
    pub fn carriers(&self, fluid: Unit) -> Vec<Unit> {
        self.world.carriers[fluid].clone()
    }

    pub fn carries(&self, unit: Unit, fluid: Unit) -> bool {
        self.exists(unit) && self.relations(unit).carries.contains(&fluid)
    }

    pub fn fillers(&self, fluid: Unit) -> Vec<Unit> {
        let fillers = self.world.fillers[fluid].iter().copied();
        fillers.filter(|f| self.exists(*f) && self.relations(*f).fills.contains(&fluid)).collect()
    }

    pub fn drains(&self, fluid: Unit) -> Vec<Unit> {
        let drains = self.world.drains[fluid].iter().copied();
        drains.filter(|f| self.exists(*f) && self.relations(*f).drains.contains(&fluid)).collect()
    }

    pub fn is_fastener(&self, unit: Unit) -> bool {
        self.world.is_group(unit) || self.screws_itself(unit)
    }

    pub fn screws_itself(&self, unit: Unit) -> bool {
        self.world.is_part(unit) && self.facts(unit).fastening.is_some()
    }

    pub fn is_temporary(&self, unit: Unit) -> bool {
        self.facts(unit).temporary.is_some()
    }

    /// How many places a group has.
    pub fn places_of(&self, unit: Unit) -> u32 {
        World::places(self.facts(unit))
    }

    /// A seal: it has no fastener of its own and lies between its parent and what that sits on.
    pub fn is_seal(&self, unit: Unit) -> bool {
        self.world.is_named_as_seal(unit) && self.parent(unit).is_some() && self.grips(unit).is_empty()
    }

    /// The member that the loop over `set` is at.
    pub fn member_of(&self, set: SetId) -> Option<u32> {
        self.loops.iter().rev().find(|(s, _)| *s == set).map(|(_, m)| *m)
    }

    /// The units a reference means here, existing or not.
    pub fn units_meant(&self, reference: &ThingRef) -> Vec<Unit> {
        let all = self.world.units_of(reference.thing);
        let set = self.procedure().things.get(reference.thing.index()).and_then(|t| t.each);
        let one = match reference.members {
            Members::One(member) => Some(member),
            Members::This | Members::Single => set.and_then(|s| self.member_of(s)),
            Members::All if self.as_declared => set.and_then(|s| self.member_of(s)),
            Members::All => None,
        };
        match one {
            Some(member) if set.is_some() => all.skip(member as usize).take(1).collect(),
            _ => all.collect(),
        }
    }

    /// The existing units a reference means here.
    pub fn units(&self, reference: &ThingRef) -> Vec<Unit> {
        let mut units = self.units_meant(reference);
        units.retain(|u| self.exists(*u));
        units
    }

    /// Whether a `with X STATE` of the act says that this unit's state is meant.
    pub fn is_meant(&self, unit: Unit) -> bool {
        self.step.is_some_and(|step| {
            step.clauses.with.iter().any(|with| match with {
                With::State(StateRef { subject: Subject::Thing(reference), .. }) => {
                    self.units_meant(reference).contains(&unit) && self.exists(unit)
                }
                _ => false,
            })
        })
    }
}
