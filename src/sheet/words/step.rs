//! One act as a row of the sheet: messages, sentence, details, drawings, values, signatures.

use super::body::Writer;
use super::fastener::{self, Boxes, Doing, Group};
use super::gather::note;
use super::ledger::Taken;
use super::{both, condition, hazard, name, one, plan, sentence, words_of};
use crate::procedure::{
    self, Clauses, Condition, DetailKind, LimitUse, Limits, MeasurementId, Members, Object, Orientation, Portion,
    SetId, Step, ThingId, ThingKind, ThingRef, Verb, VerbGroup, Version, With,
};
use crate::quantity::{self, Kind, Spec};
use crate::sheet::catalogue as say;
use crate::sheet::content::{self, Detail, Drawing, Message, RowKind, Value, Words};
use crate::sheet::draw::dial;
use crate::source::FileId;
use crate::trade::direction::Direction;

impl<'p> Writer<'p> {
    /// The row of a step; `None` where it is about what is not there.
    pub(super) fn row_of(&mut self, step: &'p Step) -> Option<RowKind> {
        let (step, open) = self.existing(step)?;
        let step = &*step;
        if step.verb == Verb::Stop {
            self.number += 1;
            let words = step.prose.as_ref().map(|prose| words_of(self.job, prose, self.units));
            let open = self.ledger.open(&self.shop());
            return Some(RowKind::Stop { words: words.unwrap_or_default(), open, number: Some(self.number) });
        }
        let messages = self.messages(step);
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
        let mut drawings = self.plans(step, &taken);
        let (act, mut prose) = self.act(step, drawings.iter().any(is_order));
        details.extend(self.settings(&taken));
        details.extend(self.details_of_things(step, &taken));
        let figures = self.own_details(step, &mut details);
        drawings.splice(0..0, self.orientations(step));
        drawings.extend(figures);
        let mut values = self.values(step, &taken);
        drawings.extend(wide_fields(&mut values));
        if let (Verb::WorkOut, Some(work)) = (step.verb, &step.work_out) {
            let mut words = words_of(self.job, &work.text, self.units);
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

    /// Messages of the stage, of the act, of the things, and the standard ones; one hazard once a stage.
    fn messages(&mut self, step: &Step) -> Vec<Message> {
        let mut wanted = std::mem::take(&mut self.pending);
        for detail in &step.details {
            if let DetailKind::Safety { word, hazard, prose } = &detail.kind {
                wanted.push((Some(*word), *hazard, prose.clone()));
            }
        }
        wanted.extend(step.clauses.hazards.iter().map(|hazard| (None, Some(*hazard), None)));
        for reference in step.things() {
            if self.told.contains(&reference.thing) {
                continue;
            }
            for detail in &self.job[reference.thing].details {
                if let DetailKind::Safety { word, hazard, prose } = &detail.kind {
                    wanted.push((Some(*word), *hazard, prose.clone()));
                }
            }
        }
        let standard = self.cautions.iter().filter(|(id, _)| *id == step.id);
        wanted.extend(standard.map(|(_, hazard)| (None, Some(*hazard), None)));
        let mut messages = Vec::new();
        for (word, hazard, prose) in wanted {
            let prose = prose.map(|prose| words_of(self.job, &prose, self.units));
            let text = prose.as_ref().map(Words::text).unwrap_or_default();
            // The author's own words on a hazard are told even where the standard ones were.
            if !self.said.insert((hazard, text.clone()))
                || (text.is_empty() && hazard.is_some_and(|hazard| self.spoken.contains(&hazard)))
            {
                continue;
            }
            if let Some(hazard) = hazard {
                note(&mut self.spoken, hazard);
                note(&mut self.gather.hazards, hazard);
            }
            messages.push(hazard::message(word, hazard, prose));
        }
        messages.sort_by_key(|message| message.signal);
        messages
    }

    fn note(&mut self, step: &Step, taken: &[Taken]) {
        for reference in step.things() {
            let thing = &self.job[reference.thing];
            let touches = step.verb.group() != VerbGroup::Work;
            if touches {
                note(&mut self.gather.things, reference.thing);
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
            let facts = self.known.facts(&self.job[group.thing]);
            let keys = group.members.iter().map(|member| (group.thing, *member));
            match &group.doing {
                Doing::Undo => self.gather.out.extend(keys),
                Doing::Tighten(_) => {
                    self.gather.tight.extend(keys);
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
                return Some(pair.home.clone().unwrap_or_else(|| format!("{} {}", say::NOT, pair.away)));
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
        if let Some(tray) = &clauses.into {
            note(&mut self.gather.trays, (tray.what.clone(), tray.volume.clone()));
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

    /// The plans of the groups that are tightened in an order or by position.
    fn plans(&self, step: &Step, taken: &[Taken]) -> Vec<Drawing> {
        let mut plans = Vec::new();
        for group in taken {
            let undo = group.doing == Doing::Undo;
            let chosen: &[u32] = match &group.portion {
                Portion::Positions(positions) => positions,
                _ => &[],
            };
            if group.doing == Doing::Snug || (undo && !step.clauses.reverse_order && chosen.is_empty()) {
                continue;
            }
            let thing = &self.job[group.thing];
            let by_hand = group.doing == Doing::Start;
            let facts = self.known.facts(thing);
            let mixed = facts.fastening.as_ref().is_some_and(|fast| !fast.positions_are.is_empty());
            if by_hand && !mixed {
                continue;
            }
            plans.extend(plan::of(&self.known, thing, chosen, undo || step.clauses.reverse_order, by_hand));
        }
        plans
    }

    /// What is done instead of a torque, and how the bolts stand.
    fn settings(&self, taken: &[Taken]) -> Vec<Detail> {
        let mut details = Vec::new();
        for group in taken.iter().filter(|group| matches!(group.doing, Doing::Tighten(_))) {
            let facts = self.known.facts(&self.job[group.thing]);
            let Some(fastening) = &facts.fastening else { continue };
            let said = |label: &str, words| Detail { label: label.to_owned(), words };
            let settings = fastening.setting.iter();
            details.extend(settings.map(|prose| said(say::SETTING, words_of(self.job, prose, self.units))));
            if let Some(tool) = &fastening.counter_hold {
                details.push(said(say::COUNTER_HOLD, Words::plain(sentence::capital(tool), None)));
            }
            if let Some(state) = &fastening.tighten_at {
                let words = format!("{} {}", sentence::capital(say::WITH), name::article(&state.text));
                details.push(said(say::TIGHTEN, Words::plain(words, Some(state.span))));
            }
        }
        details
    }

    /// Notes of the declarations, at the first touch.
    fn details_of_things(&mut self, step: &Step, taken: &[Taken]) -> Vec<Detail> {
        let mut details = Vec::new();
        let named = step.things().map(|reference| reference.thing);
        for id in named.chain(taken.iter().map(|group| group.thing)) {
            if step.verb.group() == VerbGroup::Work && self.job[id].kind != ThingKind::Fluid {
                continue;
            }
            if !self.told.insert(id) {
                continue;
            }
            let thing = &self.job[id];
            let facts = self.known.facts(thing);
            for prose in &facts.fragile {
                let words = words_of(self.job, prose, self.units);
                details.push(Detail { label: say::FRAGILE.to_owned(), words });
            }
            if facts.by_position && facts.count > 1 {
                let words = Words::plain(say::RACK_BY_PLACE, Some(thing.span));
                details.push(Detail { label: say::PLACE.to_owned(), words });
            }
            if facts.handed {
                let words = Words::plain(say::HANDED, Some(thing.span));
                details.push(Detail { label: say::HANDED_LABEL.to_owned(), words });
            }
            for detail in &thing.details {
                self.plain_detail(&detail.kind, &mut details);
            }
        }
        if matches!(step.verb, Verb::Measure | Verb::Record) {
            for object in &step.objects {
                if let Object::Measurement(id, _) = object
                    && self.told_measures.insert(*id)
                {
                    for detail in &self.job[*id].details {
                        self.plain_detail(&detail.kind, &mut details);
                    }
                }
            }
        }
        details
    }

    /// The step's own details; figures are handed back as drawings.
    fn own_details(&self, step: &Step, details: &mut Vec<Detail>) -> Vec<Drawing> {
        let mut figures = Vec::new();
        for detail in &step.details {
            match &detail.kind {
                DetailKind::Figure { path, caption } => {
                    figures.push(self.figure(detail.span.file, path, caption.as_ref()));
                }
                kind => self.plain_detail(kind, details),
            }
        }
        figures
    }

    fn figure(&self, file: FileId, path: &str, caption: Option<&procedure::Prose>) -> Drawing {
        let had = self.figures.iter().find(|(from, known, _)| *from == file && known == path);
        Drawing::Figure {
            caption: caption.map(|prose| words_of(self.job, prose, self.units)).unwrap_or_default(),
            path: path.to_owned(),
            figure: had.map(|(_, _, figure)| figure.clone()),
        }
    }

    pub(super) fn plain_detail(&self, kind: &DetailKind, details: &mut Vec<Detail>) {
        let (label, words) = match kind {
            DetailKind::Tip(prose) => (say::TIP, words_of(self.job, prose, self.units)),
            DetailKind::Note(prose) => (say::NOTE, words_of(self.job, prose, self.units)),
            DetailKind::Why(prose) => (say::WHY, words_of(self.job, prose, self.units)),
            DetailKind::Expect(prose) => (say::EXPECT, words_of(self.job, prose, self.units)),
            DetailKind::Use { prose, .. } => (say::USE, words_of(self.job, prose, self.units)),
            DetailKind::Tool { prose, .. } => (say::TOOL, words_of(self.job, prose, self.units)),
            DetailKind::Spec(prose) => (say::SPEC, words_of(self.job, prose, self.units)),
            DetailKind::Fragile(prose) => (say::FRAGILE, words_of(self.job, prose, self.units)),
            DetailKind::Number(number) => (say::NUMBER, Words::plain(number.as_str(), None)),
            DetailKind::Orient(_) | DetailKind::Safety { .. } | DetailKind::Figure { .. } | DetailKind::Source(_) => {
                return;
            }
        };
        let words = Words {
            pieces: words.pieces.into_iter().map(|(text, bold)| (sentence::capital(&text), bold)).collect(),
            origin: words.origin,
        };
        details.push(Detail { label: label.to_owned(), words });
    }

    /// How things go on: drawn where it is understood.
    fn orientations(&self, step: &Step) -> Vec<Drawing> {
        let mut found: Vec<&Orientation> = Vec::new();
        for detail in &step.details {
            if let DetailKind::Orient(orientation) = &detail.kind {
                found.push(orientation);
            }
        }
        let goes_on = matches!(
            step.verb,
            Verb::Refit
                | Verb::Fit
                | Verb::Place
                | Verb::Connect
                | Verb::Return
                | Verb::Renew
                | Verb::Try
                | Verb::Start
        );
        if goes_on {
            for reference in step.things() {
                found.extend(&self.known.facts(&self.job[reference.thing]).orient);
            }
        }
        let mut drawings: Vec<Drawing> = found.into_iter().map(|orientation| self.orientation(orientation)).collect();
        if goes_on {
            for reference in step.things() {
                drawings.extend(self.other_orientations(&self.job[reference.thing]));
            }
        }
        if let Some(clock) = &step.clauses.at_clock {
            let words = Words::plain(sentence::capital(&format!("{} {}", say::AT, one(clock, self.units))), None);
            let hours = clock.value.to_f64();
            let degrees = (hours * 30.0).rem_euclid(360.0).round() as u16;
            let direction = dial::Direction::Clock(degrees);
            drawings.push(Drawing::Direction { direction, words, label: say::ORIENT.to_owned() });
        }
        drawings
    }

    fn orientation(&self, orientation: &Orientation) -> Drawing {
        let mut words = words_of(self.job, &orientation.prose, self.units);
        for (text, _) in &mut words.pieces {
            *text = sentence::capital(text);
        }
        let label = say::ORIENT.to_owned();
        match &orientation.understood {
            Some(understood) if is_plain(understood, &orientation.prose) => {
                let direction = drawn(understood.direction);
                if understood.mirrored {
                    words = words.and(format!(" ({})", say::MIRRORED), false);
                }
                Drawing::Direction { direction, words, label }
            }
            _ => Drawing::Said { words, label },
        }
    }

    /// How a thing goes on in variants that are still open.
    fn other_orientations(&self, thing: &procedure::Thing) -> Vec<Drawing> {
        let base = &self.known.facts(thing).orient;
        let mut drawings = Vec::new();
        for (open, facts) in self.known.open_variants(thing) {
            if facts.orient == *base {
                continue;
            }
            for orientation in &facts.orient {
                let when = format!("{} {}: ", say::WITH, condition::words(self.job, &open));
                let said = words_of(self.job, &orientation.prose, self.units).text();
                let words = Words::plain(sentence::capital(&when), Some(orientation.prose.span)).and(said, false);
                drawings.push(Drawing::Said { words, label: say::ORIENT.to_owned() });
            }
        }
        drawings
    }

    fn values(&self, step: &Step, taken: &[Taken]) -> Vec<Value> {
        let mut values = Vec::new();
        let undrawn: Vec<&Taken> = taken.iter().collect();
        let several = undrawn.len() > 1 || step.verb == Verb::Drain;
        for group in undrawn {
            let thing = &self.job[group.thing];
            let facts = self.known.facts(thing);
            let Some(fastening) = &facts.fastening else { continue };
            let whole = fastening.count.unwrap_or(facts.count).max(1);
            let (count, positions): (u32, &[u32]) = match &group.portion {
                Portion::Whole => (whole, &[]),
                Portion::Count(count) => (*count, &[]),
                Portion::Positions(positions) => (positions.len() as u32, positions),
            };
            let members: Vec<u32> = group.members.iter().copied().collect();
            let boxes = self.boxes(thing.each, &members);
            let in_passes = step.clauses.in_passes;
            let group_of =
                Group { thing, facts, fastening, count, positions, boxes: &boxes, in_passes, named: several };
            values.extend(fastener::values(&group_of, &group.doing, &self.known, self.units));
        }
        for object in &step.objects {
            if let Object::Measurement(id, members) = object {
                self.measured(step, *id, *members, &mut values);
            }
        }
        if let Some(work) = &step.work_out {
            self.field(work.result, &[], &mut values);
        }
        let told = matches!(step.verb, Verb::Turn | Verb::Loosen | Verb::Drive);
        if !told {
            for amount in &step.clauses.amounts {
                self.large(amount, &mut values);
            }
        }
        self.fluids(step, &mut values);
        self.times(step, &mut values);
        self.looks(step, &mut values);
        let boxed = values.iter().any(has_box);
        if (step.clauses.record || step.verb == Verb::Record) && !boxed {
            values.push(Value::Field { name: String::new(), unit: String::new() });
        }
        if taken.is_empty() && !values.iter().any(has_box) {
            self.pieces(step, &mut values);
        }
        values
    }

    /// Boxes for the members that are worked on: named only where there are several.
    pub(super) fn boxes(&self, set: Option<SetId>, members: &[u32]) -> Boxes {
        match set {
            Some(set) if members.len() > 1 => {
                let names = members.iter().filter_map(|member| self.job[set].members.get(*member as usize).cloned());
                Boxes::Members(names.collect())
            }
            _ => match self.loops.last() {
                // What belongs to no set is still done once for each member of the loop.
                Some(set) if set_is_open(self, *set) => Boxes::Members(self.job[*set].members.clone()),
                _ => Boxes::Plain,
            },
        }
    }

    fn large(&self, spec: &Spec, values: &mut Vec<Value>) {
        let printed = quantity::print_spec(spec, self.units);
        let mut words = printed.main.as_str();
        for limit in [say::AT_LEAST_WORDS, say::AT_MOST_WORDS] {
            if let Some(rest) = words.strip_prefix(limit) {
                values.push(Value::Small(vec![limit.trim().to_owned()]));
                words = rest.trim_start_matches(['\u{a0}', ' ']);
            }
        }
        values.push(Value::Large(words.to_owned()));
        values.extend(printed.other.map(|other| Value::Small(vec![other])));
    }

    /// Limits and boxes of a measurement.
    fn measured(&self, step: &Step, id: MeasurementId, members: Members, values: &mut Vec<Value>) {
        let measurement = &self.job[id];
        let declared = measurement
            .limits
            .iter()
            .rev()
            .find(|(condition, _)| self.known.holds(condition) == Some(true))
            .map(|(_, limits)| limits);
        let own = step.clauses.limits.as_ref();
        if let Some(limits) = own.map(|LimitUse { limits, .. }| limits).or(declared) {
            self.limits(limits, values);
        }
        for (condition, limits) in &measurement.limits {
            if own.is_none() && self.known.holds(condition).is_none() {
                let rest = condition::words(self.job, &self.known.rest(condition));
                values.push(Value::Title(format!("{} {rest}", say::WITH)));
                self.limits(limits, values);
            }
        }
        let mut facts = Vec::new();
        let new = own.and_then(|limits| limits.new.as_ref()).or(measurement.new.as_ref());
        facts.extend(new.map(|new| format!("{} {}", say::NEW, both(new, self.units))));
        facts.extend(measurement.set.as_ref().map(|set| format!("{} {}", say::SET_TO, both(set, self.units))));
        if !facts.is_empty() {
            values.push(Value::Small(facts));
        }
        let members = match (measurement.each, members) {
            (None, _) => Vec::new(),
            (Some(_), Members::One(member)) => vec![member],
            (Some(set), _) => self.open_members(set),
        };
        self.field(id, &members, values);
    }

    fn field(&self, id: MeasurementId, members: &[u32], values: &mut Vec<Value>) {
        let measurement = &self.job[id];
        let unit = self.unit_of(id);
        let set = measurement.each;
        let boxes = self.boxes(set, members);
        let fields: Vec<String> = match boxes {
            Boxes::Plain => vec![String::new()],
            Boxes::Members(names) => names,
        };
        values.extend(fields.into_iter().map(|name| Value::Field { name, unit: unit.clone() }));
    }

    /// The unit that the value is written in: that of its limits.
    fn unit_of(&self, id: MeasurementId) -> String {
        let measurement = &self.job[id];
        let limits = measurement.limits.iter().map(|(_, limits)| limits);
        let spec = limits
            .filter_map(|limits| match limits {
                Limits::Spec(spec) => Some(spec.clone()),
                Limits::WithinOf { amount, .. } => Some(Spec::Exactly(amount.clone())),
                Limits::AtLeast(_) | Limits::AtMost(_) => None,
            })
            .chain(measurement.new.clone())
            .chain(measurement.set.clone())
            .next();
        spec.map(|spec| unit_of_spec(&spec, self.units)).unwrap_or_default()
    }

    fn limits(&self, limits: &Limits, values: &mut Vec<Value>) {
        match limits {
            Limits::Spec(spec) => self.large(spec, values),
            Limits::WithinOf { amount, of } if amount.value.is_zero() => {
                values.push(Value::Large(say::THE_SAME.to_owned()));
                values.push(Value::Small(vec![format!("{} {}", say::AS, self.job[*of].name)]));
            }
            Limits::WithinOf { amount, of } => {
                let printed = quantity::print(amount, self.units);
                values.push(Value::Large(format!("±\u{a0}{}", printed.main)));
                let other = printed.other.map(|other| format!("±\u{a0}{other}"));
                values.push(Value::Small(
                    other.into_iter().chain([format!("{} {}", say::OF, self.job[*of].name)]).collect(),
                ));
            }
            Limits::AtLeast(of) => {
                values.push(Value::Title(format!(
                    "{} {}",
                    say::AT_LEAST_WORDS.replace('\u{a0}', " ").trim(),
                    self.job[*of].name
                )));
            }
            Limits::AtMost(of) => {
                values.push(Value::Title(format!("{} {}", say::AT_MOST, self.job[*of].name)));
            }
        }
    }

    /// What runs out, what goes in, what it is mixed of.
    fn fluids(&self, step: &Step, values: &mut Vec<Value>) {
        for reference in step.things() {
            let thing = &self.job[reference.thing];
            let Some(fluid) = &self.known.facts(thing).fluid else { continue };
            match step.verb {
                Verb::Drain => {
                    if let Some(drains) = &fluid.drains {
                        let words = format!("{} {}", say::ABOUT, both(&Spec::Exactly(drains.clone()), self.units));
                        values.push(Value::Small(vec![words]));
                    }
                }
                Verb::Fill => {
                    let amount = step.clauses.amounts.first().and_then(Spec::target).cloned();
                    if amount.is_none()
                        && let Some(drains) = &fluid.drains
                    {
                        self.large(&Spec::Exactly(drains.clone()), values);
                    }
                    if let Some(amount) = amount.or_else(|| fluid.drains.clone()) {
                        values.extend(
                            super::lists::mixed(fluid, &amount, self.units).map(|parts| Value::Small(parts.into())),
                        );
                    }
                }
                _ => {}
            }
        }
    }

    fn times(&self, step: &Step, values: &mut Vec<Value>) {
        if let Some(time) = &step.clauses.for_time {
            values.push(Value::Large(one(time, self.units)));
        }
        let timed = step.clauses.for_time.is_some() && step.verb != Verb::Drive;
        if step.verb == Verb::Wait || timed || step.clauses.within.is_some() {
            match self.boxes(None, &[]) {
                Boxes::Plain => values.push(Value::Field { name: say::BEGAN_AT.to_owned(), unit: String::new() }),
                Boxes::Members(names) => {
                    values.push(Value::Small(vec![say::BEGAN_AT.to_owned()]));
                    values.extend(names.into_iter().map(|name| Value::Field { name, unit: String::new() }));
                }
            }
        }
    }

    /// Boxes for what is found: answers, good and bad.
    fn looks(&self, step: &Step, values: &mut Vec<Value>) {
        if let Some(ask) = step.ask {
            let answers = &self.job[ask].answers;
            match self.boxes(None, &[]) {
                Boxes::Plain => values.extend(answers.iter().map(|answer| Value::Named(answer.clone(), 1))),
                Boxes::Members(names) => {
                    for name in names {
                        values.push(Value::Title(name));
                        values.extend(answers.iter().map(|answer| Value::Named(answer.clone(), 1)));
                    }
                }
            }
        }
        if step.verb != Verb::Inspect {
            return;
        }
        let judged: Vec<&ThingRef> = step.things().filter(|reference| self.judged.contains(&reference.thing)).collect();
        let several = judged.len() > 1;
        for reference in judged {
            let thing = &self.job[reference.thing];
            let members = self.shop().members(reference);
            let heads = match self.boxes(thing.each, &members) {
                Boxes::Members(names) => names,
                Boxes::Plain if several => vec![thing.name.clone()],
                Boxes::Plain => vec![String::new()],
            };
            for head in heads {
                if !head.is_empty() {
                    values.push(Value::Title(head));
                }
                values.push(Value::Named(say::GOOD.to_owned(), 1));
                values.push(Value::Named(say::BAD.to_owned(), 1));
            }
        }
    }

    /// A box for each piece and each member, where no fastener has brought them.
    fn pieces(&self, step: &Step, values: &mut Vec<Value>) {
        let mut any = false;
        let handles = step.verb.group() != VerbGroup::Work;
        let several = handles && step.things().count() > 1;
        // Looking, cleaning and the like is one act for all that is named.
        for reference in step.things().take(if handles { usize::MAX } else { 1 }) {
            let thing = &self.job[reference.thing];
            if thing.kind == ThingKind::Fluid {
                continue;
            }
            let facts = self.known.facts(thing);
            let count = match reference.portion {
                Portion::Count(count) => count,
                _ if handles => facts.count.max(1),
                _ => 1,
            };
            let boxes = self.boxes(thing.each, &self.shop().members(reference));
            if count > 1 || matches!(boxes, Boxes::Members(_)) {
                if several {
                    values.push(Value::Title(thing.name.clone()));
                }
                values.extend(boxes.counted(count as usize));
                any = true;
            }
        }
        if let (false, Boxes::Members(names)) = (any, self.boxes(None, &[])) {
            values.extend(names.into_iter().map(|name| Value::Named(name, 1)));
        }
    }
}

/// Takes a row of many fields out of the narrow column: they stand side by side below the act.
fn wide_fields(values: &mut Vec<Value>) -> Option<Drawing> {
    let named = |value: &Value| matches!(value, Value::Field { name, .. } if !name.is_empty());
    let start = values.iter().position(named)?;
    let count = values[start..].iter().take_while(|value| named(value)).count();
    if count < MANY_FIELDS {
        return None;
    }
    let mut names = Vec::new();
    let mut unit = String::new();
    for value in values.drain(start..start + count) {
        if let Value::Field { name, unit: of } = value {
            names.push(name);
            unit = of;
        }
    }
    Some(Drawing::Fields { names, unit })
}

/// From so many fields on they stand below the act.
const MANY_FIELDS: usize = 3;

/// Whether the loop is about all members here, not narrowed to one.
fn set_is_open(writer: &Writer<'_>, set: SetId) -> bool {
    writer.known.narrowed.iter().all(|(narrowed, _)| *narrowed != set)
}

fn has_box(value: &Value) -> bool {
    matches!(value, Value::Counted(_) | Value::Ticks(_) | Value::Named(..) | Value::Field { .. })
}

fn is_order(drawing: &Drawing) -> bool {
    matches!(drawing, Drawing::Plan { ordered: true, .. })
}

/// Whether one arrow says it all: one feature, one way, no second phrase that says another.
fn is_plain(understood: &crate::trade::direction::Orientation, prose: &procedure::Prose) -> bool {
    let joined = understood.feature.split_whitespace().any(|word| word == say::AND || word == say::OR);
    let text: String = prose
        .parts
        .iter()
        .map(|part| match part {
            procedure::ProsePart::Text(text) => text.as_str(),
            _ => "",
        })
        .collect();
    let phrases = text.split([',', ';']).filter_map(crate::trade::direction::Orientation::parse);
    !joined && phrases.into_iter().all(|phrase| phrase.direction == understood.direction)
}

fn drawn(direction: Direction) -> dial::Direction {
    match direction {
        Direction::Forward => dial::Direction::Forward,
        Direction::Rearward => dial::Direction::Rearward,
        Direction::Left => dial::Direction::Left,
        Direction::Right => dial::Direction::Right,
        Direction::Up => dial::Direction::Up,
        Direction::Down => dial::Direction::Down,
        Direction::Inward => dial::Direction::Inward,
        Direction::Outward => dial::Direction::Outward,
        Direction::Clockwise => dial::Direction::Clockwise,
        Direction::Anticlockwise => dial::Direction::Anticlockwise,
        Direction::Clock(clock) => dial::Direction::Clock(clock.degrees().round() as u16),
    }
}

/// The unit beside a box: that of the value in the reader's system.
fn unit_of_spec(spec: &Spec, units: quantity::System) -> String {
    if spec.kind() == Kind::Count && spec.unit().known().is_none() {
        return spec.unit().symbol().to_owned();
    }
    let main = quantity::print_spec(spec, units).main;
    let unit = main.rsplit(['\u{a0}', '\u{202f}', ' ']).next().unwrap_or_default();
    unit.trim_start_matches(|c: char| c.is_ascii_digit() || ".,−-/".contains(c)).to_owned()
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
