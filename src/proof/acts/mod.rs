//! What each act asks of the machine and does to it: a file a family of verbs.

mod engine;
mod fasteners;
mod fate;
mod fluids;
mod own_pairs;
mod put_back;
mod take_apart;
mod temporary;
mod vehicle;
mod volumes;

use crate::procedure::{Object, Step, ThingRef, Verb, Version};
use crate::proof::shop::{Flag, Shop};
use crate::proof::state::DoneTo;
use crate::proof::world::Unit;

impl<'p> Shop<'p> {
    /// One step, on every way that comes here: what it is done to, one after the other.
    pub fn act(&mut self, step: &'p Step) {
        self.duties_before(step);
        match step.verb {
            Verb::RunEngine | Verb::Drive => self.run_engine(step.verb),
            Verb::StopEngine => self.each_way(Self::stop_engine),
            Verb::LetCool if step.things().next().is_none() => self.each_way(|shop| shop.let_cool(None)),
            // Done to something undeclared (`pump brake pedal`), it brings home whatever the first verb took away.
            Verb::Close1(pair) if step.things().next().is_none() => {
                self.each_way(|shop| {
                    shop.close_pair_everywhere(pair);
                });
            }
            Verb::Stop => self.each_way(Self::stop),
            Verb::Ask => {
                if let Some(ask) = step.ask {
                    self.each_way(|shop| shop.asked(ask));
                }
            }
            Verb::WorkOut => {
                if let Some(work_out) = &step.work_out {
                    let result = work_out.result;
                    self.each_way(|shop| shop.measured(result, crate::procedure::Members::Single, false));
                }
            }
            _ => {}
        }
        for object in &step.objects {
            match object {
                Object::Thing(reference) => self.act_on_things(step, reference),
                Object::Measurement(id, members) if step.verb == Verb::Measure => {
                    self.each_way(|shop| shop.measured(*id, *members, step.clauses.limits.is_some()));
                }
                // What was read may be looked at as well: `measure oil found, record`, `inspect oil found`.
                Object::Measurement(id, members) if step.verb == Verb::Inspect => {
                    self.each_way(|shop| {
                        if shop.is_outside(*id).is_some() {
                            shop.measured(*id, *members, true);
                        }
                    });
                }
                Object::Free(words, _) => {
                    let words = words.to_lowercase();
                    self.each_way(|shop| {
                        shop.happens(Flag::Words(words.clone()));
                        shop.happens(Flag::Done(DoneTo::Words(words.clone()), step.verb));
                    });
                }
                _ => {}
            }
        }
        if let Some(state) = &step.state {
            self.each_way(|shop| shop.take_over(state));
        }
        self.duties_after(step);
    }

    fn act_on_things(&mut self, step: &Step, reference: &ThingRef) {
        if step.verb == Verb::Inspect {
            self.each_way(|shop| shop.inspected(reference));
        }
        for unit in self.units_meant(reference) {
            self.each_way(|shop| {
                if shop.exists(unit) {
                    shop.act_on(step, reference, unit);
                    shop.happens(Flag::Done(DoneTo::Unit(unit), step.verb));
                }
            });
        }
    }

    fn act_on(&mut self, step: &Step, reference: &ThingRef, unit: Unit) {
        let verb = step.verb;
        let portion = &reference.portion;
        let version = reference.version;
        let group = self.world.is_group(unit);
        if self.is_temporary(unit) {
            match verb {
                Verb::PutIn | Verb::Fit | Verb::Refit | Verb::Place | Verb::Connect => {
                    return self.put_in(unit, portion);
                }
                Verb::TakeOut | Verb::Remove | Verb::Disconnect => return self.take_out(unit, portion),
                _ => {}
            }
        }
        match verb {
            Verb::Remove | Verb::Disconnect | Verb::MoveAside | Verb::TakeOut if group => {
                self.remove_fasteners(unit, portion)
            }
            Verb::Refit | Verb::Fit | Verb::Connect | Verb::Return | Verb::PutIn if group => {
                self.fit_fasteners(unit, portion, said(verb, version));
            }
            Verb::Renew if group => {
                self.remove_fasteners(unit, portion);
                self.fit_fasteners(unit, portion, verb);
            }
            Verb::Place | Verb::Start if group => self.start(unit, portion, said(Verb::Start, version)),
            Verb::Open if group => self.loosen_fasteners(unit, portion),
            Verb::Close if group => self.tighten_fasteners(unit, portion),
            Verb::Loosen if self.is_fastener(unit) => self.loosen_fasteners(unit, portion),
            Verb::Tighten if self.is_fastener(unit) => self.tighten_fasteners(unit, portion),
            Verb::Drain | Verb::Fill | Verb::Bleed | Verb::TopUp | Verb::Renew
                if self.world.is_fluid(unit) || verb != Verb::Renew =>
            {
                for fluid in self.fluids_of_part(unit) {
                    match verb {
                        Verb::Drain => self.drain(fluid),
                        Verb::Fill => self.fill(fluid),
                        Verb::Bleed => self.bleed(fluid),
                        Verb::TopUp => self.top_up(fluid),
                        _ => {
                            self.drain(fluid);
                            self.fill(fluid);
                        }
                    }
                }
            }
            Verb::Raise => self.raise(unit),
            Verb::Lower => self.lower(unit),
            Verb::Support => self.support(unit),
            Verb::Release => self.release(unit),
            Verb::Lock | Verb::Chock | Verb::SwitchOff => self.secure(unit, verb),
            Verb::Unlock | Verb::Unchock | Verb::SwitchOn => self.unsecure(unit, verb),
            Verb::Open1(pair) => self.open_pair(unit, pair, version),
            Verb::Close1(pair) => self.close_pair(unit, pair, version),
            Verb::LetCool => self.let_cool(Some(unit)),
            Verb::Store | Verb::Discard => self.part_with(unit, verb, version),
            _ if self.world.is_part(unit) => self.act_on_part(reference, unit, verb),
            _ => self.note(unit),
        }
    }

    fn act_on_part(&mut self, reference: &ThingRef, unit: Unit, verb: Verb) {
        let version = reference.version;
        match verb {
            Verb::Remove | Verb::Disconnect | Verb::MoveAside | Verb::TakeOut => self.take_off(unit, verb, version),
            Verb::Refit | Verb::Fit | Verb::Connect | Verb::Return | Verb::Place | Verb::Try | Verb::PutIn => {
                self.put_on(unit, verb, version);
            }
            Verb::Renew => self.renew(unit),
            Verb::Transfer => self.transfer(unit),
            Verb::Open => self.open(unit),
            Verb::Close => self.close(unit),
            Verb::Loosen => self.loosen_part(unit),
            Verb::Tighten => self.tighten_part(unit),
            Verb::Start => {
                for grip in self.grips(unit) {
                    if self.is_fastener(grip) && self.unit(grip).grips.contains(&crate::proof::state::Grip::Out) {
                        self.start(grip, &crate::procedure::Portion::Whole, Verb::Start);
                    }
                }
            }
            _ => self.note(unit),
        }
    }
}

/// What an act on fasteners comes to where it says which ones: `start new bolts` takes new ones, `fit old bolts` the old.
fn said(verb: Verb, version: Version) -> Verb {
    match version {
        Version::New => Verb::Fit,
        Version::Old if matches!(verb, Verb::Fit | Verb::Start) => Verb::Refit,
        _ => verb,
    }
}
