//! What was found at the machine: inspections, measurements, answers. Each look keeps its own latest outcome.

use super::lift::{Guarded, Slot};
use super::shop::Shop;
use super::world::Unit;
use crate::procedure::{AskId, Condition, Found, MeasurementId, Members, SetId, ThingId, ThingRef};

/// What was looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Look {
    Inspect(ThingId),
    Measure(MeasurementId),
    Ask(AskId),
    /// `then hub bad` of an `until` that never came true.
    Verdict(ThingId),
}

/// What a look found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Outcome {
    /// Bad, outside: 1; good, within: 0; an answer: its index.
    value: u32,
    /// When, in looks.
    time: u32,
    /// It can say that something is bad: a reading without limits cannot.
    judges: bool,
    /// The part was renewed since: the box is still ticked, and the next look drops it.
    stale: bool,
}

impl Shop<'_> {
    fn record(&mut self, look: Look, member: Option<u32>, value: u32) {
        self.record_as(look, member, value, true);
    }

    fn record_as(&mut self, look: Look, member: Option<u32>, value: u32, judges: bool) {
        let next = self.looks.len();
        let at = *self.look_at.entry((look, member)).or_insert(next);
        if at == next {
            self.looks.push(Slot::new(Guarded::new(None)));
        }
        self.set_look(at, Some(Outcome { value, time: self.looks_taken, judges, stale: false }));
    }

    /// The looks of a kind, with what each found on the ways of the run.
    fn seen(&self, wanted: impl Fn(Look, Option<u32>) -> bool) -> impl Iterator<Item = Outcome> {
        let slots = self.look_at.iter().filter(move |((look, member), _)| wanted(*look, *member));
        slots.filter_map(|(_, at)| self.look(*at))
    }

    /// Whether any of them is bad or outside; `None`: nobody looked. `since`: only looks later than that count.
    fn any_bad(&self, since: u32, wanted: impl Fn(Look, Option<u32>) -> bool) -> Option<bool> {
        let mut looked = false;
        for outcome in self.seen(wanted).filter(|o| o.time > since && o.judges) {
            if outcome.value == 1 {
                return Some(true);
            }
            looked = true;
        }
        looked.then_some(false)
    }

    /// Whether a measurement lies outside (any member); `None`: nobody measured.
    pub fn is_outside(&self, id: MeasurementId) -> Option<bool> {
        let mut seen = self.seen(|look, _| look == Look::Measure(id)).peekable();
        seen.peek()?;
        Some(seen.any(|o| o.value == 1))
    }

    fn says_of(&self, look: Look, thing: ThingId) -> bool {
        match look {
            Look::Inspect(t) | Look::Verdict(t) => t == thing,
            Look::Measure(id) => self.procedure()[id].of.as_ref().is_some_and(|of| of.thing == thing),
            Look::Ask(_) => false,
        }
    }

    /// Whether a thing was found bad: this member, or any.
    pub fn is_bad(&self, thing: ThingId, member: Option<u32>) -> Option<bool> {
        self.bad_since(thing, member, 0)
    }

    fn bad_since(&self, thing: ThingId, member: Option<u32>, since: u32) -> Option<bool> {
        self.any_bad(since, |look, m| self.says_of(look, thing) && is_of(m, member))
    }

    /// A new one is in: the old outcomes say nothing of it.
    pub fn renewed(&mut self, thing: ThingId, member: Option<u32>) {
        for at in self.looks_of(thing, member) {
            if let Some(outcome) = self.look(at).filter(|o| !o.stale) {
                self.set_look(at, Some(Outcome { stale: true, ..outcome }));
            }
        }
    }

    fn looks_of(&self, thing: ThingId, member: Option<u32>) -> Vec<usize> {
        let of = self.look_at.iter().filter(|((look, m), _)| self.says_of(*look, thing) && is_of(*m, member));
        of.map(|(_, at)| *at).collect()
    }

    fn drop_stale(&mut self, thing: ThingId, member: Option<u32>) {
        for at in self.looks_of(thing, member) {
            if self.look(at).is_some_and(|o| o.stale) {
                self.set_look(at, None);
            }
        }
    }

    /// The truth of a finding; `None` where nobody looked. `since`: only looks later than that count.
    fn truth(&self, found: &Found, member: Option<u32>, since: u32) -> Option<bool> {
        match found {
            Found::Bad(reference) => self.bad_since(reference.thing, member, since),
            Found::Outside(id) => self.any_bad(since, |look, m| look == Look::Measure(*id) && is_of(m, member)),
            Found::Answer(id, answer) => {
                let is_here = |look: Look, m: Option<u32>| look == Look::Ask(*id) && m == member;
                if let Some(outcome) = self.seen(is_here).find(|o| o.time > since) {
                    return Some(outcome.value == *answer);
                }
                let mut looked = false;
                for outcome in self.seen(|look, _| look == Look::Ask(*id)).filter(|o| o.time > since) {
                    if outcome.value == *answer {
                        return Some(true);
                    }
                    looked = true;
                }
                looked.then_some(false)
            }
            Found::Is(_) => None,
        }
    }
}

fn is_of(of: Option<u32>, member: Option<u32>) -> bool {
    of.is_none() || member.is_none() || of == member
}

impl Shop<'_> {
    /// The innermost loop's member, for what is asked there.
    fn here(&self) -> Option<u32> {
        self.loops.last().map(|(_, m)| *m)
    }

    fn member_meant(&self, set: Option<SetId>, members: Members) -> Option<u32> {
        match members {
            Members::One(m) => Some(m),
            Members::All => None,
            Members::This | Members::Single => set.and_then(|s| self.member_of(s)),
        }
    }

    /// The member a reference means, `None` for all or for none.
    pub fn member_of_ref(&self, reference: &ThingRef) -> Option<u32> {
        let set = self.procedure().things.get(reference.thing.index()).and_then(|t| t.each);
        self.member_meant(set, reference.members)
    }

    /// The truth of a condition here; `None` where it hangs on what nobody looked at.
    pub fn condition(&self, condition: &Condition, since: u32) -> Option<bool> {
        condition.holds_partly(&mut |atom| match atom {
            Condition::Member(set, value) => Some(self.member_of(*set) == Some(*value)),
            Condition::Found(Found::Is(state)) => Some(self.state_holds(state)),
            Condition::Found(found) => {
                let member = match found {
                    Found::Bad(reference) => self.member_of_ref(reference),
                    Found::Outside(id) => self.measurement_set(*id).and_then(|s| self.member_of(s)),
                    _ => self.here(),
                };
                self.truth(found, member, since)
            }
            known => self.known(None, known),
        })
    }

    fn measurement_set(&self, id: MeasurementId) -> Option<SetId> {
        let measurement = self.procedure().measurements.get(id.index())?;
        measurement.each.or_else(|| {
            let of = measurement.of.as_ref()?;
            self.procedure().things.get(of.thing.index())?.each
        })
    }

    /// `inspect THING`.
    pub fn inspected(&mut self, reference: &ThingRef) {
        let member = self.member_of_ref(reference);
        self.drop_stale(reference.thing, member);
        let consulted = self.choices.consults_thing(reference.thing);
        let value = if consulted { self.choose(Look::Inspect(reference.thing), member, 2, 0) } else { 0 };
        self.record(Look::Inspect(reference.thing), member, value);
        for unit in self.units(reference) {
            self.judge(unit, reference.version);
        }
    }

    /// `measure …`: within or outside.
    pub fn measured(&mut self, id: MeasurementId, members: Members, limited: bool) {
        let Some(measurement) = self.procedure().measurements.get(id.index()) else { return };
        let set = self.measurement_set(id);
        let member = self.member_meant(set, members);
        let of = measurement.of.clone();
        if let Some(of) = &of {
            self.drop_stale(of.thing, member);
        }
        let limited = limited || !measurement.limits.is_empty();
        // Only written down, it judges nothing.
        let judges = limited || !self.step.is_some_and(|s| s.clauses.record);
        let consulted = self.choices.consults_measurement(id)
            || limited && of.as_ref().is_some_and(|of| self.choices.consults_thing(of.thing));
        let value = if consulted { self.choose(Look::Measure(id), member, 2, 0) } else { 0 };
        self.record_as(Look::Measure(id), member, value, judges);
        if let Some(of) = of {
            let units = match member {
                Some(m) => self.world.units_of(of.thing).skip(m as usize).take(1).collect::<Vec<_>>(),
                None => self.units(&of),
            };
            for unit in units {
                self.judge(unit, of.version);
            }
        }
    }

    /// `ask …`.
    pub fn asked(&mut self, id: AskId) {
        let Some(ask) = self.procedure().asks.get(id.index()) else { return };
        let answers = u32::try_from(ask.answers.len()).unwrap_or(u32::MAX).max(1);
        let usual = self.choices.usual_answer(id);
        let member = self.here();
        let value =
            if self.choices.consults_ask(id) { self.choose(Look::Ask(id), member, answers, usual) } else { usual };
        self.record(Look::Ask(id), member, value);
    }

    /// `then hub bad`, or not.
    pub fn verdict(&mut self, reference: &ThingRef, bad: bool) {
        let member = self.member_of_ref(reference);
        self.record(Look::Verdict(reference.thing), member, u32::from(bad));
        for unit in self.units(reference) {
            self.judge(unit, reference.version);
        }
    }

    /// Lays the outcome on the item that was looked at.
    fn judge(&mut self, unit: Unit, version: crate::procedure::Version) {
        let bad = self.is_bad(self.world.thing[unit], Some(self.world.member[unit])) == Some(true);
        let which = self.meant(unit, version);
        if self.unit(unit).item(which).bad != bad {
            self.unit_mut(unit).item_mut(which).bad = bad;
        }
    }

    /// Takes the unlooked facts of a condition as looked at, in order; tells which they are.
    pub fn take_as_looked(&mut self, condition: &Condition) -> String {
        let mut unlooked = Vec::new();
        condition.atoms(&mut |atom| {
            if let Condition::Found(found) = atom
                && self.condition(atom, 0).is_none()
            {
                unlooked.push(found.clone());
            }
        });
        let mut names = Vec::new();
        for found in unlooked {
            let look = match found {
                Found::Bad(reference) => Look::Inspect(reference.thing),
                Found::Outside(id) => Look::Measure(id),
                Found::Answer(id, _) => Look::Ask(id),
                Found::Is(_) => continue,
            };
            names.push(format!("{look:?}"));
            self.record(look, None, 0);
        }
        names.dedup();
        names.join(" ")
    }

    fn choose(&mut self, look: Look, member: Option<u32>, arity: u32, usual: u32) -> u32 {
        let of = self.loops.last().map(|(set, _)| *set);
        let found = (self.mark.step, look, member, of, self.turn.clone());
        let values = self.choices.at_machine(&self.run.bdd, found, arity, usual);
        let open = values.iter().find(|(cond, _)| self.run.decide(*cond));
        open.or(values.last()).map_or(usual, |(_, value)| *value)
    }
}
