//! One torque worked in passes.

use std::borrow::Cow;

use super::{Fastening, InPasses, Order, Pass, PassAction};
use crate::quantity::{Known, Number, Quantity};
use crate::trade::passes;

impl Pass {
    /// The passes in which the torque of this one is reached; `None` where it is none, or so many are not worked out.
    /// The last one is this one, or the round after it.
    #[must_use]
    pub fn worked_in(&self, ways: InPasses) -> Option<Vec<Pass>> {
        let PassAction::Torque(torque) = &self.action else { return None };
        let mut out = Vec::new();
        for (percent, value) in passes::worked(torque, ways.count)? {
            let share = Some(Quantity::new(Number::whole(percent.into()), Known::Percent));
            let at = self.at.clone().filter(|_| percent == 100);
            out.push(Pass { action: PassAction::Torque(value), at, share, ..self.clone() });
        }
        if ways.round {
            out.push(Pass { order: Some(Order::Row), share: None, ..self.clone() });
        }
        Some(out)
    }
}

impl Fastening {
    /// The stages that an act works: one torque in the act's passes, where it says some; else those of the declaration.
    #[must_use]
    pub fn stages(&self, in_passes: Option<InPasses>) -> Cow<'_, [Pass]> {
        let worked = match (self.passes.as_slice(), in_passes) {
            ([only], Some(ways)) if ways.count > 1 || ways.round => only.worked_in(ways),
            _ => None,
        };
        worked.map_or(Cow::Borrowed(self.passes.as_slice()), Cow::Owned)
    }
}
