//! One act as a row of the sheet: messages, sentence, details, drawings, values, signatures.

use super::body::{Told, Writer};
use super::details::is_order;
use super::fastener::{self, Doing, chosen};
use super::gather::note;
use super::ledger::Taken;
use super::values::wide_fields;
use super::{condition, hazard, one, sentence, words_of};
use crate::procedure::{
    self, Clauses, Condition, DetailKind, Object, PassChoice, Step, ThingId, ThingKind, Verb, VerbGroup, Version, With,
};
use crate::quantity::{self, Spec};
use crate::rules::cautions::{details_of_helps, needs_a_helper};
use crate::sheet::catalogue as say;
use crate::sheet::content::{self, Detail, Message, RowKind, Words};

impl<'p> Writer<'p> {
    /// The row of a step; `None` where it is about what is not there.
    pub(super) fn row_of(&mut self, step: &'p Step) -> Option<RowKind> {
        let (mut step, open) = self.existing(step)?;
        if needs_a_helper(self.job, &step).is_some() {
            step.to_mut().clauses.helper = true;
        }
        let step = &*step;
        if step.verb == Verb::Stop {
            self.number += 1;
            let words = step.prose.as_ref().map(|prose| words_of(self.job, prose, self.units));
            let open = self.ledger.open(&self.shop());
            return Some(RowKind::Stop { words: words.unwrap_or_default(), open, number: Some(self.number) });
        }
        let messages = self.messages(step, &open);
        let taken = {
            let mut ledger = std::mem::take(&mut self.ledger);
            let taken = ledger.apply(step, &self.shop());
            self.ledger = ledger;
            taken
        };
        self.note(step, &taken);
        self.number += 1;

        let mut details = Vec::new();
        if open != Condition::Always {
            let words = Words::plain(condition::words(self.job, &open), None);
            details.push(Detail { label: say::ONLY_WITH.to_owned(), words });
        }
        let (mut drawings, orders) = self.plans(step, &taken);
        let (act, mut prose) = self.act(step, drawings.iter().any(is_order));
        details.extend(orders);
        details.extend(self.settings(&taken));
        details.extend(self.adapter_detail(step, taken.iter().any(|group| matches!(group.doing, Doing::Tighten(_)))));
        details.extend(self.details_of_things(step, &taken));
        let figures = self.own_details(step, &mut details);
        drawings.splice(0..0, self.orientations(step));
        drawings.extend(figures);
        let mut values = self.values(step, &taken);
        drawings.extend(wide_fields(&mut values));
        if let (Verb::WorkOut, Some(work)) = (step.verb, &step.work_out) {
            let mut words = words_of(self.job, &work.text, self.units);
            for (text, _) in &mut words.pieces {
                *text = text.replace(" - ", " − ");
            }
            if let Some(round) = &work.round_to {
                words = words.and(format!(", {} {}", say::ROUND_TO, one(round, self.units)), false);
            }
            details.insert(0, Detail { label: say::SUM.to_owned(), words });
        }
        if prose.as_ref().is_some_and(Words::is_empty) {
            prose = None;
        }
        let mut signs = vec![String::new()];
        if step.clauses.witness {
            signs.push(say::WITNESS.to_owned());
        }
        Some(RowKind::Step(Box::new(content::Step {
            number: self.number,
            messages,
            act,
            prose,
            details,
            drawings,
            values,
            signs,
            origin: Some(step.span),
        })))
    }

    /// The step without the things that are known not to be there, and under which open condition
    /// the rest is.
    fn existing(&mut self, step: &'p Step) -> Option<(std::borrow::Cow<'p, Step>, Condition)> {
        let mut open = Vec::new();
        let mut kept = Vec::new();
        let mut things = 0;
        for object in &step.objects {
            let Object::Thing(reference) = object else {
                kept.push(object.clone());
                continue;
            };
            things += 1;
            let exists = &self.job[reference.thing].exists;
            self.gather.condition(exists);
            match self.known.holds(exists) {
                Some(false) => {}
                Some(true) => kept.push(object.clone()),
                None => {
                    let rest = self.known.rest(exists);
                    if !self.under.contains(&rest) {
                        note(&mut open, rest);
                    }
                    kept.push(object.clone());
                }
            }
        }
        if things > 0 && kept.is_empty() {
            return None;
        }
        let open = match open.len() {
            // Two conditions of two things can't be told in one word; the things say it themselves.
            1 if things == 1 => open.remove(0),
            _ => Condition::Always,
        };
        if kept.len() == step.objects.len() {
            return Some((std::borrow::Cow::Borrowed(step), open));
        }
        Some((std::borrow::Cow::Owned(Step { objects: kept, ..step.clone() }), open))
    }

    /// The sentence, and the prose that follows it.
    fn act(&self, step: &Step, plan: bool) -> (Words, Option<Words>) {
        let prose = step.prose.as_ref().map(|prose| words_of(self.job, prose, self.units));
        let speaks = match step.verb {
            Verb::Do | Verb::Ask => true,
            Verb::Check => step.objects.is_empty(),
            _ => false,
        };
        if speaks && let Some(prose) = &prose {
            let text = prose.text();
            let (first, rest) = sentence::first_sentence(&text);
            let act = Words::plain(sentence::capital(first), prose.origin);
            let rest = (!rest.is_empty()).then(|| Words::plain(rest, prose.origin));
            return (act, rest);
        }
        let facts = |thing: ThingId| self.known.facts(&self.job[thing]);
        let about = sentence::About { job: self.job, units: self.units, facts: &facts, plan };
        (Words::plain(sentence::of(step, &about), Some(step.head_span)), prose)
    }

    /// Messages of the stage, of the act, of the things, and the standard ones; one hazard once a stage on every way.
    /// `open` is the condition of the things that it is about.
    fn messages(&mut self, step: &Step, open: &Condition) -> Vec<Message> {
        let mut here = self.under.clone();
        if *open != Condition::Always {
            here.push(open.clone());
        }
        // What the head of a stage says is read by who goes another way too.
        let mut wanted = self.pending.clone();
        if here.is_empty() {
            self.pending.clear();
        }
        for detail in &step.details {
            if let DetailKind::Safety { word, hazard, prose } = &detail.kind {
                wanted.push((Some(*word), *hazard, prose.clone()));
            }
        }
        wanted.extend(step.clauses.hazards.iter().map(|hazard| (None, Some(*hazard), None)));
        for reference in step.things() {
            // What only looks at a thing repeats nothing.
            if step.verb.group() == VerbGroup::Work && self.told.contains(&reference.thing) {
                continue;
            }
            for detail in &self.job[reference.thing].details {
                if let DetailKind::Safety { word, hazard, prose } = &detail.kind {
                    wanted.push((Some(*word), *hazard, prose.clone()));
                }
            }
        }
        for detail in details_of_helps(self.job, step) {
            if let DetailKind::Safety { word, hazard, prose } = &detail.kind {
                wanted.push((Some(*word), *hazard, prose.clone()));
            }
        }
        let standard = self.cautions.iter().filter(|(id, _)| *id == step.id);
        wanted.extend(standard.map(|(_, hazard)| (None, Some(*hazard), None)));
        let mut messages = Vec::new();
        for (word, hazard, prose) in wanted {
            let prose = prose.map(|prose| words_of(self.job, &prose, self.units));
            let text = prose.as_ref().map(Words::text).unwrap_or_default();
            // The author's own words on a hazard are told even where the standard ones were.
            let is_told = self.said.iter().any(|said| {
                let covers = said.under.iter().all(|condition| here.contains(condition));
                covers && said.hazard == hazard && (said.text == text || (text.is_empty() && hazard.is_some()))
            });
            if is_told {
                continue;
            }
            self.said.push(Told { hazard, text, under: here.clone() });
            if let Some(hazard) = hazard {
                note(&mut self.gather.hazards, hazard);
            }
            messages.push(hazard::message(word, hazard, prose));
        }
        messages.sort_by_key(|message| message.signal);
        messages
    }

    fn note_surely(&mut self, thing: ThingId) {
        if self.under.is_empty() && self.known.holds(&self.job[thing].exists) == Some(true) {
            self.gather.surely.insert(thing);
        }
    }

    fn note(&mut self, step: &Step, taken: &[Taken]) {
        for object in &step.objects {
            if let Object::Measurement(id, _) = object {
                for (open, _) in &self.job[*id].limits {
                    self.gather.condition(open);
                }
            }
        }
        for reference in step.things() {
            let thing = &self.job[reference.thing];
            let touches = step.verb.group() != VerbGroup::Work;
            if touches {
                note(&mut self.gather.things, reference.thing);
                self.note_surely(reference.thing);
            }
            if let Some(end) = self.end_of(step.verb) {
                self.ends.insert(reference.thing, end);
            }
            let facts = self.known.facts(thing);
            for (open, _) in &thing.variants {
                self.gather.condition(open);
            }
            let new = match step.verb {
                Verb::Fit | Verb::Renew => true,
                Verb::Place => facts.new || reference.version == Version::New,
                Verb::Start => facts.single_use || facts.new,
                _ => false,
            };
            if new {
                self.gather.renewed.insert(reference.thing);
            }
            if thing.kind == ThingKind::Fluid {
                note(&mut self.gather.things, reference.thing);
                match step.verb {
                    Verb::Fill => {
                        let amount = step.clauses.amounts.first().cloned();
                        let amount = amount.or_else(|| self.drains(reference.thing).map(Spec::Exactly));
                        self.gather.filled.entry(reference.thing).or_default().extend(amount);
                    }
                    Verb::TopUp | Verb::Bleed => {
                        self.gather.filled.entry(reference.thing).or_default();
                    }
                    Verb::Drain => {
                        self.gather.drained.insert(reference.thing);
                    }
                    _ => {}
                }
            }
        }
        for group in taken {
            note(&mut self.gather.fasteners, group.thing);
            self.note_surely(group.thing);
            let facts = self.known.facts(&self.job[group.thing]);
            let keys = group.members.iter().map(|member| (group.thing, *member));
            match &group.doing {
                Doing::Undo => self.gather.out.extend(keys),
                Doing::Tighten(choice) => {
                    self.gather.tight.extend(keys);
                    self.note_torques(step, group.thing, *choice);
                    if facts.single_use || facts.new {
                        self.gather.renewed.insert(group.thing);
                    }
                }
                Doing::Start | Doing::Snug => {}
            }
            for (condition, _) in &self.job[group.thing].variants {
                self.gather.condition(condition);
            }
        }
        self.note_clauses(&step.clauses);
        if let Some(adapter) = &step.clauses.adapter {
            let drives = taken.iter().filter_map(|group| self.known.facts(&self.job[group.thing]).fastening.as_ref());
            let drives: Vec<String> = drives.filter_map(|fast| fast.drive.as_ref()).map(fastener::drive).collect();
            let known = self
                .gather
                .adapters
                .iter_mut()
                .find(|(what, extension, _)| *what == adapter.what && extension.same_as(&adapter.arm.extension));
            match known {
                Some((_, _, all)) => drives.into_iter().for_each(|drive| note(all, drive)),
                None => {
                    let mut all = Vec::new();
                    drives.into_iter().for_each(|drive| note(&mut all, drive));
                    self.gather.adapters.push((adapter.what.clone(), adapter.arm.extension.clone(), all));
                }
            }
        }
        self.note_tray(step);
        for object in &step.objects {
            match object {
                Object::Tool(id) => note(&mut self.gather.tools, *id),
                Object::Supply(id) => note(&mut self.gather.supplies, *id),
                _ => {}
            }
        }
        for detail in &step.details {
            match &detail.kind {
                DetailKind::Use { supply: Some(id), .. } => note(&mut self.gather.supplies, *id),
                DetailKind::Tool { tool: Some(id), .. } => note(&mut self.gather.tools, *id),
                _ => {}
            }
        }
    }

    /// What the wrench is set to, in all variants that may be.
    fn note_torques(&mut self, step: &Step, thing: ThingId, choice: Option<PassChoice>) {
        let possible = self.known.open_variants(&self.job[thing]);
        let facts = std::iter::once(self.known.facts(&self.job[thing])).chain(possible.iter().map(|(_, facts)| *facts));
        let adapter = step.clauses.adapter.as_ref();
        for fastening in facts.filter_map(|facts| facts.fastening.as_ref()) {
            let stages = fastening.stages(step.clauses.in_passes.filter(|_| choice.is_none()));
            let stages = chosen(&stages, choice).iter();
            let torques: Vec<Spec> = stages.filter_map(|pass| super::wrench::set_to(adapter, &pass.action)).collect();
            if !torques.is_empty() {
                note(&mut self.gather.torques, (thing, torques));
            }
        }
    }

    /// How an act leaves a thing that it brings home.
    fn end_of(&self, verb: Verb) -> Option<String> {
        let word = match verb {
            Verb::Refit | Verb::Fit | Verb::Renew => say::FITTED,
            Verb::Connect => say::CONNECTED,
            Verb::Return => say::RETURNED,
            Verb::Close => say::CLOSED,
            Verb::Lower => say::LOWERED,
            Verb::Release => say::RELEASED,
            Verb::Unlock => say::UNLOCKED,
            Verb::Unchock => say::UNCHOCKED,
            Verb::SwitchOn => say::SWITCHED_ON,
            Verb::Tighten => say::TIGHT,
            Verb::Place => say::FITTED,
            Verb::Close1(pair) => {
                let pair = &self.job[pair];
                return Some(pair.home.clone().unwrap_or_else(|| format!("{} {}", pair.closing, say::IS_DONE)));
            }
            _ => return None,
        };
        Some(word.to_owned())
    }

    fn note_clauses(&mut self, clauses: &Clauses) {
        for with in &clauses.with {
            match with {
                With::Tool(id) => note(&mut self.gather.tools, *id),
                With::Supply(id) => note(&mut self.gather.supplies, *id),
                With::State(_) | With::Thing(_) => {}
            }
        }
        if let Some(tool) = clauses.adapter.as_ref().and_then(|adapter| adapter.wrench) {
            note(&mut self.gather.tools, tool);
        }
        if let Some(stand) = clauses.stand {
            note(&mut self.gather.stands, stand);
        }
        self.gather.helper |= clauses.helper;
    }

    pub(super) fn drains(&self, fluid: ThingId) -> Option<quantity::Quantity> {
        let facts = self.known.facts(&self.job[fluid]).fluid.as_ref()?;
        facts.drains.clone().or_else(|| facts.capacity.clone())
    }
}

/// Longer lists end in how many more there are.
pub(super) fn shorten(list: &mut Vec<String>, most: usize) {
    if list.len() > most {
        let more = list.len() + 1 - most;
        list.truncate(most - 1);
        list.push(format!("{more} {}", say::AND_MORE));
    }
}

/// A safety message that is still to be told: word, hazard, prose.
pub(super) type Wanted =
    (Option<crate::trade::signal::SignalWord>, Option<crate::trade::hazard::Hazard>, Option<procedure::Prose>);
