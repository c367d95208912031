//! Fasteners: taken out, started, tightened pass by pass, loosened; by the group, by count, by position.

use crate::procedure::{Facts, PassChoice, Portion, StateRef, Verb};
use crate::proof::fault::{FaultKind, Place, Why};
use crate::proof::shop::{CountOf, Shop, Where};
use crate::proof::state::{At, Grip, Slack};
use crate::proof::world::Unit;

impl Shop<'_> {
    /// The places an act means, of those that fit it. Tells a wrong count.
    fn places(&mut self, group: Unit, portion: &Portion, wrong: FaultKind, fits: impl Fn(Grip) -> bool) -> Vec<usize> {
        let state = self.unit(group);
        let fitting: Vec<usize> = state.grips.iter().enumerate().filter(|(_, g)| fits(**g)).map(|(i, _)| i).collect();
        let (there, available) = (state.grips.len(), fitting.len());
        let named = match portion {
            Portion::Whole if fitting.is_empty() => {
                self.wrong_state(wrong, group, Why::Plain);
                return fitting;
            }
            Portion::Whole => return fitting,
            Portion::Count(wanted) => {
                self.unit_mut(group).anonymous = true;
                let wanted = *wanted as usize;
                if wanted > available {
                    self.miscounted(group, wrong, there, wanted, available);
                }
                return fitting.into_iter().take(wanted).collect();
            }
            Portion::Positions(named) => named,
        };
        let mut chosen: Vec<usize> = named.iter().map(|p| (*p as usize).wrapping_sub(1)).collect();
        if self.unit(group).anonymous {
            // Which ones were meant before was never said: any that fit will do.
            chosen = fitting.into_iter().take(named.len()).collect();
            if chosen.len() < named.len() {
                self.miscounted(group, wrong, there, named.len(), available);
            }
            return chosen;
        }
        let (good, bad): (Vec<usize>, Vec<usize>) = chosen.into_iter().partition(|p| fitting.contains(p));
        if bad.iter().any(|p| *p >= there) {
            self.miscounted(group, FaultKind::CountMismatch, there, named.len(), available);
        } else if let Some(place) = bad.first() {
            match self.sits_in(group, *place) {
                Some(temporary) => {
                    let raw = self.raw(wrong, group, Why::InPlace(self.world.thing[temporary]));
                    self.fault(raw, Some(temporary), Some(group));
                }
                None => self.wrong_state(wrong, group, Why::Plain),
            }
        }
        good
    }

    fn miscounted(&mut self, group: Unit, wrong: FaultKind, there: usize, wanted: usize, available: usize) {
        if self.facts(group).count == 0 {
            return; // the count itself is missing, and told elsewhere
        }
        let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let kind = if available == 0 { wrong } else { FaultKind::CountMismatch };
        let mut raw = self.raw(kind, group, Why::Plain);
        raw.counts = Some(CountOf::Said { there: number(there), out: number(wanted), back: number(available) });
        raw.other = vec![(Place::ActBefore, Where::Before(group))];
        self.fault(raw, None, Some(group));
    }

    /// The temporary thing in a place.
    fn sits_in(&self, group: Unit, place: usize) -> Option<Unit> {
        if self.unit(group).grips.get(place) != Some(&Grip::Taken) {
            return None;
        }
        self.world.temporary.iter().copied().find(|u| {
            self.unit(*u).inside > 0
                && self.facts(*u).temporary.as_ref().and_then(|t| t.takes_up.as_ref()).is_some_and(|(positions, of)| {
                    *of == self.world.thing[group] && positions.iter().any(|p| *p as usize == place + 1)
                })
        })
    }

    /// `remove` of fasteners.
    pub fn remove_fasteners(&mut self, group: Unit, portion: &Portion) {
        self.touch_fastener(group, Verb::Remove, None);
        let places = self.places(group, portion, FaultKind::AlreadyOff, Grip::is_in);
        let state = self.unit_mut(group);
        for place in &places {
            state.grips[*place] = Grip::Out;
        }
        self.log(group, |log| log.out += u32::try_from(places.len()).unwrap_or(u32::MAX));
        self.leaves_home(group);
        self.holder_out(group);
    }

    /// `loosen` of fasteners.
    pub fn loosen_fasteners(&mut self, group: Unit, portion: &Portion) {
        self.touch_fastener(group, Verb::Loosen, None);
        let places = self.places(group, portion, FaultKind::AlreadyOff, |g| g.is_in() && g != Grip::Loose);
        let state = self.unit_mut(group);
        for place in places {
            state.used_up |= state.grips[place] == Grip::Tight;
            state.grips[place] = Grip::Loose;
        }
        self.leaves_home(group);
        self.log(group, |log| log.loosened = true);
    }

    /// `loosen` of a part.
    pub fn loosen_part(&mut self, unit: Unit) {
        self.touch(unit, Verb::Loosen);
        if matches!(self.unit(unit).slack, Slack::Loosened(_)) {
            self.wrong_state(FaultKind::AlreadyOff, unit, Why::Plain);
        }
        self.unit_mut(unit).slack = Slack::Loosened(self.mark);
        self.leaves_home(unit);
        self.log(unit, |log| log.loosened = true);
    }

    /// `tighten` of a part.
    pub fn tighten_part(&mut self, unit: Unit) {
        self.touch(unit, Verb::Tighten);
        let again = self.step.is_some_and(|s| s.clauses.again);
        if self.unit(unit).slack == Slack::Tight && !again && self.gripped(unit) {
            self.wrong_state(FaultKind::TorquedAgain, unit, Why::Tight);
        }
        for grip in self.grips(unit) {
            if self.is_fastener(grip) && grip != unit && !self.unit(grip).all_tight() {
                self.tighten_fasteners(grip, &Portion::Whole);
            }
        }
        self.unit_mut(unit).slack = Slack::Tight;
        self.log(unit, |log| log.tightened = true);
    }

    /// Tells fasteners that may not be used again.
    fn may_be_used(&mut self, group: Unit, verb: Verb) {
        if !self.world.is_group(group) || self.in_until > 0 {
            return;
        }
        let facts = self.facts(group);
        let bad = facts.new_if_bad && self.unit(group).items.iter().any(|i| i.bad);
        let discarded = self.unit(group).discarded;
        let in_a_kit = self.procedure().kits.iter().any(|k| k.things.contains(&self.world.thing[group]));
        let why = match verb {
            Verb::Fit | Verb::Renew if !is_renewed(facts) && !in_a_kit => Some(Why::NotDeclaredNew),
            Verb::Refit if facts.single_use => Some(Why::SingleUse),
            Verb::Refit if facts.new => Some(Why::DeclaredNew),
            Verb::Refit if discarded => Some(Why::Discarded),
            Verb::Refit | Verb::Start if bad && !discarded => Some(Why::FoundBad),
            _ => None,
        };
        if let Some(why) = why {
            self.wrong_state(FaultKind::OldPartRefitted, group, why);
        }
    }

    /// From here on the ones in place are those just put in.
    fn are_fresh(&mut self, group: Unit, verb: Verb) {
        let facts = self.facts(group);
        let state = self.unit_mut(group);
        let renewed = verb == Verb::Fit || verb == Verb::Renew || state.discarded || facts.single_use || facts.new;
        if renewed {
            for item in &mut state.items {
                item.bad = false;
            }
        }
        state.used_up = false;
        state.discarded = false;
        if renewed {
            self.log(group, |log| log.renewed = true);
        }
    }

    /// `start`: all by hand. `as_verb`: `fit` for new ones, `refit` for the old, `start` where it isn't said.
    pub fn start(&mut self, group: Unit, portion: &Portion, as_verb: Verb) {
        self.touch_fastener(group, Verb::Start, None);
        self.put_in_fasteners(group, portion, as_verb);
    }

    fn put_in_fasteners(&mut self, group: Unit, portion: &Portion, verb: Verb) {
        let held = self.holds(group);
        if let Some(first) = held.first()
            && held.iter().all(|h| !self.is_placed(*h))
            && self.world.is_group(group)
        {
            let raw = self.raw(FaultKind::NotReady, group, Why::Thing(self.world.thing[*first]));
            self.too_early(raw, *first);
        }
        self.may_be_used(group, verb);
        let places = self.places(group, portion, FaultKind::NotOffYet, |g| g == Grip::Out);
        self.are_fresh(group, verb);
        let state = self.unit_mut(group);
        for place in &places {
            state.grips[*place] = Grip::Started;
        }
        self.log(group, |log| log.back += u32::try_from(places.len()).unwrap_or(u32::MAX));
    }

    /// Whether a thing sits on what it belongs to, there or on the bench.
    pub fn is_placed(&self, unit: Unit) -> bool {
        if self.world.is_group(unit) {
            return self.unit(unit).grips.iter().any(|g| g.is_in());
        }
        if !self.world.is_part(unit) {
            return true;
        }
        let host = self.host_for(unit);
        self.on(unit).is_some()
            || self.unit(unit).items.iter().any(|i| i.at == At::On && (self.parent(unit).is_none() || i.host == host))
    }

    /// `fit` / `refit` of fasteners: put in, started by hand, tightened.
    pub fn fit_fasteners(&mut self, group: Unit, portion: &Portion, verb: Verb) {
        self.touch_fastener(group, verb, None);
        self.put_in_fasteners(group, portion, verb);
        let missing = self.holds(group).iter().copied().find(|h| !self.is_placed(*h));
        if missing.is_none() {
            self.turn_tight(group);
        }
    }

    /// What holds a part that goes back is put back with it, unless something else it holds is not in place yet.
    pub fn drive_home(&mut self, group: Unit, acting_for: Unit) {
        if self.holds(group).iter().any(|h| !self.is_placed(*h)) || self.unit(group).all_tight() {
            return;
        }
        if group != acting_for {
            self.touch_fastener(group, Verb::Refit, Some(acting_for));
        }
        self.reuse_of_loose(group);
        let out = self.unit(group).how_many(|g| g == Grip::Out);
        if out > 0 {
            self.may_be_used(group, Verb::Start);
            self.are_fresh(group, Verb::Start);
        }
        self.log(group, |log| log.back += out);
        self.turn_tight(group);
    }

    /// Tightens all, as far as the states allow that its stages wait for: the rest is owed.
    fn turn_tight(&mut self, group: Unit) {
        let reached = self.reachable_pass(group);
        let state = self.unit_mut(group);
        for grip in state.grips.iter_mut().filter(|g| **g != Grip::Taken) {
            *grip = match (reached, *grip) {
                (None, _) => Grip::Tight,
                (Some(0), Grip::Out | Grip::Started | Grip::Loose) => Grip::Snug,
                (Some(0), other) => other,
                (Some(pass), Grip::Passed(done)) => Grip::Passed(done.max(pass)),
                (Some(_), Grip::Tight) => Grip::Tight,
                (Some(pass), _) => Grip::Passed(pass),
            };
        }
        self.log(group, |log| log.tightened = true);
        self.after_tightening(group);
    }

    fn after_tightening(&mut self, group: Unit) {
        self.settle(group);
        for held in self.holds(group) {
            self.settle(held);
        }
    }

    /// The stage before the first one that waits for a state that does not hold; `None` where all can be done.
    fn reachable_pass(&mut self, group: Unit) -> Option<u32> {
        let fastening = self.facts(group).fastening.as_ref()?;
        let stages = &fastening.passes;
        for (index, stage) in stages.iter().enumerate() {
            if let Some(at) = &stage.at
                && !self.as_member(group, |shop| shop.state_holds(at))
            {
                return u32::try_from(index).ok();
            }
        }
        let at = fastening.tighten_at.as_ref()?;
        let holds = self.as_member(group, |shop| shop.state_holds(at));
        (!holds).then(|| u32::try_from(stages.len().saturating_sub(1)).unwrap_or(0))
    }

    fn reuse_of_loose(&mut self, group: Unit) {
        let loose = self.unit(group).grips.contains(&Grip::Loose);
        if loose && self.unit(group).used_up && self.facts(group).single_use && self.in_until == 0 {
            self.wrong_state(FaultKind::OldPartRefitted, group, Why::SingleUse);
        }
    }

    /// `tighten` of fasteners.
    pub fn tighten_fasteners(&mut self, group: Unit, portion: &Portion) {
        self.touch_fastener(group, Verb::Tighten, None);
        let Some(fastening) = self.facts(group).fastening.as_ref() else { return };
        let clauses = self.step.map(|s| &s.clauses);
        let (by_hand, again) = clauses.map_or((false, false), |c| (c.by_hand, c.again));
        let choice = clauses.and_then(|c| c.pass);
        let targets = self.places_to_tighten(group, portion);
        let tight = targets.iter().filter(|p| self.unit(group).grips[**p] == Grip::Tight).count();
        if again && fastening.has_angle() {
            self.wrong_state(FaultKind::TorquedAgain, group, Why::Angle);
            return;
        }
        if tight == targets.len() {
            if !again && !targets.is_empty() {
                self.wrong_state(FaultKind::TorquedAgain, group, Why::Tight);
            }
            if again {
                let last = fastening.passes.last().and_then(|p| p.at.as_ref());
                for at in last.into_iter().chain(&fastening.tighten_at) {
                    self.waits_for(group, at);
                }
            }
            self.log(group, |log| log.tightened = true);
            return;
        }
        self.reuse_of_loose(group);
        if by_hand {
            self.are_in(group, &targets);
            self.set_grips(group, &targets, |g| if g == Grip::Tight { g } else { Grip::Snug });
            return;
        }
        let stages = u32::try_from(fastening.passes.len()).unwrap_or(u32::MAX).max(1);
        let upto = match choice {
            Some(PassChoice::Number(number)) => number.clamp(1, stages),
            Some(PassChoice::Last) | None => stages,
        };
        self.fits_the_recipe(group, &targets, choice, upto, stages);
        self.set_grips(group, &targets, |g| {
            if g == Grip::Tight || upto == stages { Grip::Tight } else { Grip::Passed(upto) }
        });
        self.log(group, |log| log.tightened = true);
        self.after_tightening(group);
    }

    fn places_to_tighten(&self, group: Unit, portion: &Portion) -> Vec<usize> {
        let grips = &self.unit(group).grips;
        let open = (0..grips.len()).filter(|i| grips[*i] != Grip::Taken);
        match portion {
            Portion::Whole => open.collect(),
            Portion::Count(count) => {
                let (mut loose, tight): (Vec<_>, Vec<_>) = open.partition(|i| grips[*i] != Grip::Tight);
                loose.extend(tight);
                loose.truncate(*count as usize);
                loose
            }
            Portion::Positions(named) => open.filter(|i| named.iter().any(|n| *n as usize == i + 1)).collect(),
        }
    }

    fn set_grips(&mut self, group: Unit, places: &[usize], to: impl Fn(Grip) -> Grip) {
        let state = self.unit_mut(group);
        let mut back = 0;
        for place in places {
            if let Some(grip) = state.grips.get_mut(*place) {
                back += u32::from(*grip == Grip::Out);
                *grip = to(*grip);
            }
        }
        self.log(group, |log| log.back += back);
    }

    /// Tells fasteners that are to be tightened by hand and are still out.
    fn are_in(&mut self, group: Unit, targets: &[usize]) {
        let state = self.unit(group);
        if targets.iter().any(|t| state.grips[*t] == Grip::Out) {
            let there = self.facts(group).count;
            let out = state.how_many(|g| g == Grip::Out);
            let mut raw = self.raw(FaultKind::TorquedTooEarly, group, Why::NotStarted);
            raw.counts = Some(CountOf::Said { there, out, back: there.saturating_sub(out) });
            raw.other = vec![(Place::LeftHome, Where::LeftHome(group))];
            self.fault(raw, None, Some(group));
        }
    }

    /// Tells a stage that comes too early or a second time.
    fn fits_the_recipe(&mut self, group: Unit, targets: &[usize], choice: Option<PassChoice>, upto: u32, stages: u32) {
        let facts = self.facts(group);
        let Some(fastening) = facts.fastening.as_ref() else { return };
        let done = |grip: Grip| match grip {
            Grip::Passed(done) => done,
            Grip::Tight => stages,
            _ => 0,
        };
        let state = self.unit(group);
        let least = targets.iter().map(|t| done(state.grips[*t])).min().unwrap_or(0);
        let most = targets.iter().map(|t| done(state.grips[*t])).filter(|d| *d < stages).max().unwrap_or(0);
        let target_out = targets.iter().any(|t| state.grips[*t] == Grip::Out);
        let any_out = state.grips.contains(&Grip::Out);
        let out = state.how_many(|g| g == Grip::Out);
        if target_out || (any_out && upto == stages) {
            let mut raw = self.raw(FaultKind::TorquedTooEarly, group, Why::NotStarted);
            raw.counts = Some(CountOf::Said { there: facts.count, out, back: facts.count.saturating_sub(out) });
            raw.other = vec![(Place::LeftHome, Where::LeftHome(group))];
            self.fault(raw, None, Some(group));
        }
        if let Some(missing) = self.holds(group).iter().copied().find(|h| !self.is_placed(*h)) {
            let raw = self.raw(FaultKind::TorquedTooEarly, group, Why::Thing(self.world.thing[missing]));
            self.too_early(raw, missing);
        }
        if let Some(PassChoice::Number(_) | PassChoice::Last) = choice {
            if most >= upto {
                self.wrong_state(FaultKind::TorquedAgain, group, Why::Tight);
            } else if least + 1 < upto {
                self.wrong_state(FaultKind::TorquedTooEarly, group, Why::PassMissing(least + 1));
            }
        }
        let waiting = fastening
            .passes
            .iter()
            .skip(least as usize)
            .take(upto.saturating_sub(least) as usize)
            .filter_map(|p| p.at.as_ref())
            .chain(fastening.tighten_at.as_ref().filter(|_| upto == stages));
        for at in waiting {
            self.waits_for(group, at);
        }
    }

    /// Tells a final torque before the state it needs.
    fn waits_for(&mut self, group: Unit, at: &StateRef) {
        if self.as_member(group, |shop| shop.state_holds(at)) {
            return;
        }
        let mut raw = self.raw(FaultKind::TorquedTooEarly, group, Why::State(at.text.clone()));
        raw.other = vec![(Place::Declared, Where::At(at.span))];
        // That the state was not brought about is one mistake, however many fasteners wait for it.
        raw.same = Some(at.text.to_lowercase());
        let subject = self.subject_unit(group, at);
        self.fault(raw, subject, Some(group));
    }
}

fn is_renewed(facts: &Facts) -> bool {
    facts.new
        || facts.new_if_bad
        || facts.single_use
        || facts.added
        || facts.fastening.as_ref().is_some_and(|f| f.nuts_single_use)
}
