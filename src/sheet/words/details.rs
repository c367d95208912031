//! What stands under an act: notes, settings, how things go on, plans, figures.

use super::body::Writer;
use super::fastener::Doing;
use super::ledger::Taken;
use super::{condition, name, one, plan, sentence, words_of};
use crate::procedure::{
    self, DetailKind, Facts, Fastening, Object, Order, Orientation, PassChoice, Portion, Step, ThingKind, Verb,
    VerbGroup,
};
use crate::sheet::catalogue as say;
use crate::sheet::content::{Detail, Drawing, Words};
use crate::sheet::draw::dial;
use crate::source::FileId;
use crate::trade::direction::Direction;

impl<'p> Writer<'p> {
    /// The plans of the groups that are worked in an order or by position; in words where they can't be drawn.
    pub(super) fn plans(&self, step: &Step, taken: &[Taken]) -> (Vec<Drawing>, Vec<Detail>) {
        let mut plans = Vec::new();
        let mut orders = Vec::new();
        let several = taken.len() > 1;
        for group in taken.iter().filter(|group| group.doing != Doing::Snug) {
            let thing = &self.job[group.thing];
            let facts = self.known.facts(thing);
            let Some(fastening) = &facts.fastening else { continue };
            let undo = group.doing == Doing::Undo;
            let chosen: &[u32] = match &group.portion {
                Portion::Positions(positions) => positions,
                _ => &[],
            };
            // Which of them `2 of the bolts` are, and so in which order they come, nobody knows.
            let some = matches!(group.portion, Portion::Count(some) if some < count_of(fastening, facts));
            let reversed = undo || step.clauses.reverse_order;
            let order = step.clauses.order.as_ref().or_else(|| own_order(fastening, &group.doing));
            let count = count_of(fastening, facts);
            let worked = plan::Group { fastening, count, chosen, order, reversed };
            if group.doing == Doing::Start {
                let mixed = !fastening.positions_are.is_empty();
                plans.extend(mixed.then(|| plan::of(&worked, thing, true, undo, several)).flatten());
                continue;
            }
            if some {
                continue;
            }
            let asked = !undo || step.clauses.reverse_order || !chosen.is_empty();
            // What holds a joint together evenly is let go evenly, asked or not.
            let by_itself = !asked && group.home && plan::loosened_in_order(&worked);
            if !asked && !by_itself {
                continue;
            }
            let drawn = (asked || plan::is_long(&worked)).then(|| plan::of(&worked, thing, false, undo, several));
            match drawn.flatten() {
                Some(Drawing::Plan { spots, shape, caption, words, ordered }) => {
                    // The sentence speaks of the order only where the act is about these fasteners.
                    let ordered = ordered && (asked || group.named);
                    plans.push(Drawing::Plan { spots, shape, caption, words, ordered });
                }
                drawn => {
                    plans.extend(drawn);
                    let words = plan::in_words(&worked, undo);
                    let whose = if several { format!("{}: ", sentence::capital(&thing.name)) } else { String::new() };
                    let said = |words: String| Words::plain(format!("{whose}{words}"), Some(thing.span));
                    orders.extend(words.map(|words| Detail { label: say::ORDER.to_owned(), words: said(words) }));
                }
            }
        }
        (plans, orders)
    }

    /// What is done instead of a torque, and how the bolts stand.
    pub(super) fn settings(&self, taken: &[Taken]) -> Vec<Detail> {
        let mut details = Vec::new();
        for group in taken.iter().filter(|group| matches!(group.doing, Doing::Tighten(_))) {
            let facts = self.known.facts(&self.job[group.thing]);
            let Some(fastening) = &facts.fastening else { continue };
            let said = |label: &str, words| Detail { label: label.to_owned(), words };
            let settings = fastening.setting.iter();
            details.extend(settings.map(|prose| said(say::SETTING, words_of(self.job, prose, self.units))));
            // A variant that is not decided yet has its own way of setting it.
            for (open, other) in self.known.open_variants(&self.job[group.thing]) {
                let other = other.fastening.iter().flat_map(|other| &other.setting);
                for prose in other.filter(|prose| !fastening.setting.contains(prose)) {
                    let label = format!("{} {}", say::WITH, condition::words(self.job, &open));
                    details.push(said(&label, words_of(self.job, prose, self.units)));
                }
            }
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
    pub(super) fn details_of_things(&mut self, step: &Step, taken: &[Taken]) -> Vec<Detail> {
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
    pub(super) fn own_details(&self, step: &Step, details: &mut Vec<Detail>) -> Vec<Drawing> {
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
    pub(super) fn orientations(&self, step: &Step) -> Vec<Drawing> {
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
}

fn count_of(fastening: &Fastening, facts: &Facts) -> u32 {
    fastening.count.unwrap_or(facts.count)
}

/// The order of the one pass that the act does, where that pass has its own.
fn own_order<'f>(fastening: &'f Fastening, doing: &Doing) -> Option<&'f Order> {
    let Doing::Tighten(Some(choice)) = doing else { return None };
    let pass = match choice {
        PassChoice::Number(number) => fastening.passes.get((*number as usize).checked_sub(1)?)?,
        PassChoice::Last => fastening.passes.last()?,
    };
    pass.order.as_ref()
}

pub(super) fn is_order(drawing: &Drawing) -> bool {
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
