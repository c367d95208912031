//! The line that mends a fault, where it goes, and whether that is certain.

use crate::diagnostic::Mend;
use crate::procedure::{Condition, ThingId, Verb, VerbGroup, steps_of};
use crate::proof::Place;
use crate::rules::context::{InContext, steps_in_context};
use crate::rules::place::{Side, Spot, mirrored};
use crate::rules::proved::Told;
use crate::rules::speech;
use crate::source::Span;

/// A line that mends a fault, and where it goes.
pub struct Repair {
    /// `Write `refit side guard` before `refit seat plate``, without a full stop.
    pub help: String,
    pub place: Option<(Span, String)>,
    pub mend: Option<Mend>,
}

impl Repair {
    /// With more to read after it.
    pub fn and(mut self, words: impl AsRef<str>) -> Self {
        self.help.push_str(words.as_ref());
        self
    }

    /// Only told: somebody has to look first.
    pub fn uncertain(mut self) -> Self {
        self.mend = None;
        self
    }
}

impl Told<'_> {
    /// The line that puts it back: `fit` for a new one, `refit` for the old, or `verb`; `place` where this job starts or
    /// tightens its fasteners in acts of their own.
    pub fn puts_back(&self, verb: &str) -> String {
        let name = self.line_name();
        let thing = self.thing();
        let new = thing.is_some_and(|t| t.facts.new);
        let renewed = new || thing.is_some_and(|t| t.facts.single_use) || self.found_bad();
        let holders: Vec<ThingId> =
            thing.iter().flat_map(|t| t.all_facts()).flat_map(|(_, f)| f.held_by.iter().copied()).collect();
        let mut apart = false;
        steps_of(&self.procedure.body, &mut |step| {
            let holder = step.things().any(|t| holders.contains(&t.thing));
            apart |= holder && matches!(step.verb, Verb::Start | Verb::Tighten) && Some(step.id) > self.fault.step;
        });
        match (apart, renewed) {
            (true, true) if !new => format!("place new {name}"),
            (true, _) => format!("place {name}"),
            (false, true) => format!("fit {name}"),
            (false, false) => format!("{verb} {name}"),
        }
    }

    /// Whether a line beside the one at fault is worked on the ways on which it is told and on no other: where some
    /// choice makes the fault, the other choices have their line already.
    fn is_on_every_way(&self) -> bool {
        let steps = steps_in_context(self.procedure);
        let within = steps.iter().find(|s| Some(s.step.id) == self.fault.step).map(|s| &s.condition);
        self.fault.way.is_empty()
            || within.is_some_and(|c| *c != Condition::Always)
            || self.thing().is_some_and(|t| t.exists != Condition::Always)
    }

    /// The place before the first step that starts what holds it.
    fn before_its_fasteners(&self) -> Option<Spot<'_>> {
        let steps = steps_in_context(self.procedure);
        let off = steps.iter().find(|s| Some(s.step.id) == self.fault.step)?;
        let holders: Vec<ThingId> =
            self.thing().iter().flat_map(|t| t.all_facts()).flat_map(|(_, f)| f.held_by.iter().copied()).collect();
        let starts: Vec<_> = steps
            .iter()
            .filter(|s| s.step.id > off.step.id && s.step.verb == Verb::Start && !s.step.generated)
            .filter(|s| s.step.things().any(|t| holders.contains(&t.thing)))
            .collect();
        let first = starts.first()?;
        let same = first.condition == off.condition && first.loops == off.loops && first.round == off.round;
        let certain = starts.len() == 1 && same && first.step.span.file == off.step.span.file;
        Some(Spot { side: Side::Before, step: first.step, certain })
    }

    /// Whether the way on which it is told is one on which the thing is bad: seen, or measured outside its limits.
    fn found_bad(&self) -> bool {
        let measured = |fact: &str| {
            let of = |m: &&crate::procedure::Measurement| fact == m.name || fact.ends_with(&format!(" {}", m.name));
            let found = self.procedure.measurements.iter().filter(of);
            found.filter_map(|m| m.of.as_ref()).any(|t| Some(t.thing) == self.fault.thing)
        };
        self.fault.way.iter().any(|(fact, value)| match value.as_str() {
            "bad" => *fact == self.name,
            "outside" => measured(fact),
            _ => false,
        })
    }

    /// The line that brings it home, last off first on; `else_where` says where it goes where the order does not tell.
    pub fn bring_home(&self, line: &str, else_where: &str) -> Repair {
        if let Some(spot) = self.before_its_fasteners().filter(|_| line.starts_with("place ")) {
            return self.at(line, &spot);
        }
        match self.step().and_then(|step| mirrored(self.procedure, step.id)) {
            Some(spot) => self.at(line, &spot),
            None => match (self.fault.other, self.there()) {
                (Some((Place::EndsHere, _)), Some(step)) => {
                    self.at(line, &Spot { side: Side::Before, step, certain: false })
                }
                _ => Repair { help: format!("Write `{line}` {else_where}"), place: None, mend: None },
            },
        }
    }

    /// A line at a place.
    pub fn at(&self, line: &str, spot: &Spot<'_>) -> Repair {
        let side = if spot.side == Side::Before { "before" } else { "after" };
        let act = speech::act(self.procedure, spot.step);
        let place = spot.step.span;
        let mend = match spot.side {
            Side::Before => Mend::WriteBefore { place, line: line.to_owned() },
            Side::After => Mend::WriteAfter { place, line: line.to_owned() },
        };
        // Of one member alone nobody knows why: the loop does it for all.
        let certain = spot.certain && self.fault.members.is_empty() && self.is_on_every_way();
        Repair {
            help: format!("Write `{line}` {side} `{act}`"),
            place: Some((spot.step.head_span, format!("it goes back {side} this"))),
            mend: certain.then_some(mend),
        }
    }

    /// The line that must come before the one at fault: written there, or put there where it stands below.
    pub fn needs_first(&self, line: &str) -> Repair {
        let steps = steps_in_context(self.procedure);
        let written = || Repair { help: format!("Write `{line}` before this line"), place: None, mend: None };
        let Some(at) = steps.iter().position(|s| Some(s.step.id) == self.fault.step) else { return written() };
        let here = &steps[at];
        let below = steps[at + 1..].iter().find(|s| {
            s.step.span.file == here.step.span.file && !s.step.generated && speech::act(self.procedure, s.step) == line
        });
        let Some(below) = below.filter(|_| !here.step.generated) else { return written() };
        let next = steps[at + 1..].iter().find(|s| s.block == here.block);
        let is_next = next.is_some_and(|s| s.step.id == below.step.id);
        let exchange = Mend::Exchange { first: here.step.span, second: below.step.span };
        Repair {
            help: format!("Put this line after `{line}`"),
            place: Some((below.step.head_span, "this comes first".to_owned())),
            mend: is_next.then_some(exchange),
        }
    }

    /// The line at fault goes before the one that puts `front` back.
    pub fn goes_before(&self, front: ThingId) -> Repair {
        let name = self.named(front);
        let steps = steps_in_context(self.procedure);
        let at = steps.iter().position(|s| Some(s.step.id) == self.fault.step);
        let puts_back = |s: &&InContext<'_>| {
            matches!(s.step.verb.group(), VerbGroup::PutsBack | VerbGroup::Changes)
                && s.step.things().any(|t| t.thing == front)
                && !s.step.generated
        };
        let above = at.and_then(|at| steps[..at].iter().rev().find(puts_back).map(|above| (&steps[at], above)));
        let Some((here, above)) = above else {
            let help = format!("Put this line before the one that puts {name} back");
            return Repair { help, place: None, mend: None };
        };
        let one_block = here.block == above.block && here.step.span.file == above.step.span.file;
        let exchange = Mend::Exchange { first: above.step.span, second: here.step.span };
        Repair {
            help: format!("Put this line before `{}`", speech::act(self.procedure, above.step)),
            place: Some((above.step.head_span, "it comes before this".to_owned())),
            mend: (one_block && !here.step.generated).then_some(exchange),
        }
    }

    /// The line at fault goes where it only says again what the line above it has said.
    pub fn doubled(&self) -> Option<Mend> {
        let steps = steps_in_context(self.procedure);
        let at = steps.iter().position(|s| Some(s.step.id) == self.fault.step)?;
        let (here, above) = (&steps[at], &steps[at.checked_sub(1)?]);
        let same = here.block == above.block
            && here.step.span != above.step.span
            && here.step.span.file == above.step.span.file
            && here.step.verb == above.step.verb
            && speech::act(self.procedure, here.step) == speech::act(self.procedure, above.step);
        let bare = here.step.details.is_empty() && here.step.prose.is_none() && !here.step.generated;
        (same && bare).then_some(Mend::TakeOut { place: here.step.span })
    }

    /// The line at fault with another verb, where it names nothing else.
    pub fn with_verb(&self, verb: &str) -> Option<Mend> {
        let step = self.step().filter(|s| !s.generated && s.objects.len() == 1)?;
        let said = Verb::SYNONYMS.iter().filter(|(_, v)| *v == step.verb).map(|(word, _)| (*word).to_owned());
        let was = said.chain([step.verb.name().to_owned()]).collect();
        Some(Mend::OtherWord { place: step.head_span, was, now: verb.to_owned() })
    }
}
