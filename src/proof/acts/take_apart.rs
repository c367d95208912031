//! Taking apart: remove, disconnect, move aside, open.

use crate::procedure::{Verb, Version};
use crate::proof::fault::{FaultKind, Why};
use crate::proof::shop::Shop;
use crate::proof::state::{At, Grip};
use crate::proof::world::Unit;

/// How deep a holder may be held by holders; a declared circle ends here.
const DEEPEST: u32 = 8;

impl Shop<'_> {
    /// `remove`, `disconnect`, `move aside` of a part: what still holds it comes out too.
    pub fn take_off(&mut self, unit: Unit, verb: Verb, version: Version) {
        self.take_off_to_depth(unit, verb, version, DEEPEST);
    }

    fn take_off_to_depth(&mut self, unit: Unit, verb: Verb, version: Version, depth: u32) {
        let which = self.meant(unit, version);
        let at = self.unit(unit).item(which).at;
        let to = match verb {
            Verb::Disconnect => At::Disconnected,
            Verb::MoveAside => At::Aside,
            _ => At::Off,
        };
        let was_on = matches!(at, At::On);
        let fits = match at {
            At::On => true,
            At::Aside => to != At::Aside,
            At::Disconnected => to != At::Disconnected,
            _ => false,
        };
        if !fits {
            self.wrong_state(FaultKind::AlreadyOff, unit, Why::Plain);
        }
        self.touch(unit, verb);
        let trial = self.unit(unit).trial;
        if was_on && !trial {
            self.seal_is_free(unit);
            self.last_fastener_out(unit);
            self.seals_come_undone(unit, which);
            // Off before its holders come out: holders in a circle end here.
            self.unit_mut(unit).item_mut(which).at = to;
            self.let_go(unit, depth);
            if to != At::Aside {
                self.open_circuit(unit);
            }
        }
        let state = self.unit_mut(unit);
        state.item_mut(which).at = to;
        state.last_off = which;
        state.trial = false;
        state.placed = false;
        self.leaves_home(unit);
        self.holder_out(unit);
        self.log(unit, |log| match to {
            At::Disconnected => log.disconnected = true,
            At::Aside => log.moved_aside = true,
            _ => log.taken_off = true,
        });
    }

    /// Takes out what still grips a part.
    fn let_go(&mut self, unit: Unit, depth: u32) {
        for grip in self.grips(unit) {
            if self.is_fastener(grip) {
                if self.unit(grip).grips.iter().any(|g| g.is_in()) {
                    if grip != unit {
                        self.touch_fastener(grip, Verb::Remove, Some(unit));
                    }
                    self.pull_out(grip);
                }
            } else if depth > 0 && self.on(grip).is_some() {
                self.take_off_to_depth(grip, Verb::Remove, Version::Unsaid, depth - 1);
            }
        }
    }

    /// Takes out all that is in.
    pub fn pull_out(&mut self, group: Unit) {
        let state = self.unit_mut(group);
        let mut out = 0;
        for grip in state.grips.iter_mut().filter(|g| g.is_in()) {
            *grip = Grip::Out;
            out += 1;
        }
        self.log(group, |log| log.out += out);
        self.leaves_home(group);
    }

    /// A gasket or washer is clamped as long as what it is part of is tight.
    fn seal_is_free(&mut self, unit: Unit) {
        let name = self.procedure()[self.world.thing[unit]].name.to_lowercase();
        // A lip seal may be pulled with its housing in place; a flat one can't.
        let flat = ["gasket", "gaskets", "washer", "washers", "o-ring", "o-rings"].iter().any(|n| name.ends_with(n));
        let Some(parent) = self.parent(unit).filter(|_| flat && self.is_seal(unit)) else { return };
        if self.on(unit).is_some()
            && !self.grips(parent).is_empty()
            && self.gripped(parent)
            && !self.is_open(parent)
            && !self.is_meant(parent)
        {
            let why = Why::Thing(self.world.thing[parent]);
            self.because_of(FaultKind::StillHeld, unit, parent, why);
        }
    }

    /// What needs support has it before its last fastener comes out.
    fn last_fastener_out(&mut self, unit: Unit) {
        let grips = self.grips(unit);
        if grips.is_empty() || grips.iter().any(|g| self.still_grips(*g)) {
            self.is_supported(unit);
        }
    }

    /// Whether a holder still holds anything.
    fn still_grips(&self, grip: Unit) -> bool {
        if self.is_fastener(grip) {
            return self.unit(grip).grips.iter().any(|g| g.is_in());
        }
        self.on(grip).is_some()
    }

    /// A holder has come out: what now hangs on nothing is told, if it needs support.
    pub fn holder_out(&mut self, holder: Unit) {
        for held in self.holds(holder) {
            if self.on(held).is_some() && !self.grips(held).iter().any(|g| self.still_grips(*g)) {
                self.is_supported(held);
            }
        }
    }

    /// Tells a thing that is about to hang on nothing.
    pub fn is_supported(&mut self, unit: Unit) {
        if self.facts(unit).needs_support && self.unit(unit).supported.is_none() && !self.is_meant(unit) {
            self.wrong_state(FaultKind::Unsupported, unit, Why::Plain);
        }
    }

    /// `open`.
    pub fn open(&mut self, unit: Unit) {
        self.touch(unit, Verb::Open);
        if self.unit(unit).open || self.on(unit).is_none() && !self.is_part_of_a_loose_thing(unit) {
            self.wrong_state(FaultKind::AlreadyOff, unit, Why::Plain);
        }
        self.set_open(unit);
    }

    fn is_part_of_a_loose_thing(&self, unit: Unit) -> bool {
        self.parent(unit).is_some() && self.unit(unit).items.iter().any(|i| i.at == At::On)
    }

    /// Opens it and whatever fluid it shuts in; also for the drain that `drain` opens.
    pub fn set_open(&mut self, unit: Unit) {
        let homeward = self.facts(unit).normally_open;
        if !homeward {
            let which = self.meant(unit, Version::Unsaid);
            self.seals_come_undone(unit, which);
            self.let_go(unit, DEEPEST);
            self.open_circuit(unit);
        }
        self.unit_mut(unit).open = true;
        self.log(unit, |log| log.opened = true);
        if !homeward {
            self.leaves_home(unit);
        }
    }
}
