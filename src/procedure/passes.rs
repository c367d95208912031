//! One torque worked in passes.

use std::borrow::Cow;

use super::{Fastening, InPasses, Order, Pass, PassAction};
use crate::quantity::{Known, Number, Quantity, Spec};
use crate::trade::passes;

impl Pass {
    /// The passes in which the torque of this one is reached; `None` where it is none, or so many are not worked out.
    /// The last one is this one, or the round after it. Of a range or a limit the lower end is shared out.
    #[must_use]
    pub fn worked_in(&self, ways: InPasses) -> Option<Vec<Pass>> {
        let PassAction::Torque(torque) = &self.action else { return None };
        let aim = aim(torque)?;
        let mut out = Vec::new();
        for percent in passes::shares(ways.count)? {
            let value = Number::whole(percent.into());
            let share = passes::share_of(&aim, &value)?;
            let share_said = Some(Quantity::new(value, Known::Percent));
            out.push(if percent == 100 {
                Pass { share: share_said, ..self.clone() }
            } else {
                let action = PassAction::Torque(Spec::Exactly(share));
                Pass { action, at: None, share: share_said, ..self.clone() }
            });
        }
        if ways.round {
            out.push(Pass { order: Some(Order::Row), share: None, ..self.clone() });
        }
        Some(out)
    }

    /// The share of a final torque that this pass states, as an action in numbers; `None` where that is impossible.
    #[must_use]
    pub fn share_of(share: &Quantity, of: &Spec) -> Option<Spec> {
        let percent = share.value;
        if percent == Number::whole(100) {
            return Some(of.clone());
        }
        passes::share_of(&aim(of)?, &percent).map(Spec::Exactly)
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

/// What a share is taken of: the value aimed at, of a range or limit its lower end.
fn aim(torque: &Spec) -> Option<Quantity> {
    torque.target().cloned().or_else(|| torque.low()).or_else(|| torque.high())
}
