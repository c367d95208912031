//! From a fault of the proof to a finding: the place, the second place, the way are the same for all; the words are
//! each rule's own.

use crate::diagnostic::{Diagnostic, Mend};
use crate::procedure::{Members, Procedure, Step, Thing, ThingId, Verb, steps_of};
use crate::proof::{Fault, FaultKind, Place, Proof};
use crate::rules::Rule;
use crate::rules::context::steps_in_context;
use crate::rules::place::{Side, Spot, mirrored};
use crate::rules::speech;
use crate::rules::wording::is_are;
use crate::source::Span;

/// What a rule says of one fault.
pub struct Words {
    /// What is wrong here, without a full stop.
    pub message: String,
    /// Short words at the place itself.
    pub label: String,
    /// The line to write, and where.
    pub help: String,
    /// What is at the second place; empty for what such a place usually is.
    pub there: String,
    /// Where the repair goes, and what is there.
    pub place: Option<(Span, String)>,
    /// The repair itself, where it is certain.
    pub mend: Option<Mend>,
}

/// A line that mends a fault, and where it goes.
pub struct Repair {
    /// `Write `refit side guard` before `refit seat plate``, without a full stop.
    pub help: String,
    place: Option<(Span, String)>,
    mend: Option<Mend>,
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

impl Words {
    /// Words with the usual ones at the second place.
    pub fn new(message: impl Into<String>, label: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            label: label.into(),
            help: help.into(),
            there: String::new(),
            place: None,
            mend: None,
        }
    }

    /// Words whose help is a line to write at a place.
    pub fn repaired(message: impl Into<String>, label: impl Into<String>, repair: Repair) -> Self {
        let Repair { help, place, mend } = repair;
        Self { place, mend, ..Self::new(message, label, help) }
    }

    /// With a certain repair.
    pub fn mend(mut self, mend: Option<Mend>) -> Self {
        self.mend = mend;
        self
    }

    /// With its own words at the second place.
    pub fn there(mut self, words: impl Into<String>) -> Self {
        self.there = words.into();
        self
    }
}

/// A fault with the names that its words are made of.
pub struct Told<'a> {
    pub procedure: &'a Procedure,
    pub fault: &'a Fault,
    /// Of the thing, with the members concerned: `left caliper`.
    pub name: String,
}

impl Told<'_> {
    /// `pump bolts are`, `gland is`.
    pub fn is(&self) -> String {
        format!("{} {}", self.name, is_are(&self.name))
    }

    /// The name of another thing.
    pub fn named(&self, thing: ThingId) -> &str {
        self.procedure.things.get(thing.index()).map_or("", |t| t.name.as_str())
    }

    /// The thing.
    pub fn thing(&self) -> Option<&Thing> {
        self.fault.thing.and_then(|t| self.procedure.things.get(t.index()))
    }

    /// The step at which it is told.
    pub fn step(&self) -> Option<&Step> {
        let wanted = self.fault.step?;
        let mut found = None;
        steps_of(&self.procedure.body, &mut |step| {
            if step.id == wanted {
                found = Some(step);
            }
        });
        found
    }

    /// The thing as a line beside the one at fault would name it: inside a loop over its set without the member.
    pub fn line_name(&self) -> String {
        let plain = self.thing().map_or_else(|| self.name.clone(), |t| t.name.clone());
        let reference = self.step().and_then(|s| s.things().find(|r| Some(r.thing) == self.fault.thing).cloned());
        match reference.map(|r| r.members) {
            Some(Members::This | Members::All | Members::Single) => plain,
            // A holder goes with what it holds, so it goes by the loop around that.
            None if self.fault.members.is_empty() => plain,
            _ => self.name.strip_prefix("old ").or_else(|| self.name.strip_prefix("new ")).unwrap_or(&self.name).into(),
        }
    }

    /// The verb that puts it on: `fit` for a new one, `refit` for the old.
    pub fn puts_on(&self) -> &'static str {
        let renewed = self.thing().is_some_and(|t| t.facts.new || t.facts.single_use);
        let found_bad = self.fault.way.iter().any(|(fact, value)| value == "bad" && *fact == self.name);
        if renewed || found_bad { "fit" } else { "refit" }
    }

    /// The line that brings it home, last off first on; `else_where` says where it goes where the order does not tell.
    pub fn bring_home(&self, line: &str, else_where: &str) -> Repair {
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
        let certain = spot.certain && self.fault.members.is_empty();
        Repair {
            help: format!("Write `{line}` {side} `{act}`"),
            place: Some((spot.step.head_span, format!("it goes back {side} this"))),
            mend: certain.then_some(mend),
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

    /// The act at the second place.
    pub fn there(&self) -> Option<&Step> {
        let (_, place) = self.fault.other?;
        let mut found = None;
        steps_of(&self.procedure.body, &mut |step| {
            if found.is_none() && (step.span == place || step.head_span == place) {
                found = Some(step);
            }
        });
        found
    }

    /// `Bring about …`: the line that brings a stated need about.
    pub fn bring_about(&self, state: &str) -> String {
        match speech::bringing_about(self.procedure, state) {
            Some(line) => format!("Write `{line}` before this line"),
            None => format!("Bring about `{state}` before this line"),
        }
    }

    /// The line that takes another thing out of the way, with the verb that this job's putting back asks for.
    pub fn takes_away(&self, thing: ThingId) -> String {
        let mut verb = "remove";
        steps_of(&self.procedure.body, &mut |step| {
            if step.things().any(|t| t.thing == thing) {
                verb = match step.verb {
                    Verb::Connect | Verb::Disconnect => "disconnect",
                    Verb::Return | Verb::MoveAside => "move aside",
                    Verb::Open | Verb::Close => "open",
                    _ => verb,
                };
            }
        });
        format!("{verb} {}", self.named(thing))
    }

    /// The line at fault with another verb, where it names nothing else.
    pub fn with_verb(&self, verb: &str) -> Option<Mend> {
        let step = self.step().filter(|s| !s.generated && s.objects.len() == 1)?;
        let said = Verb::SYNONYMS.iter().filter(|(_, v)| *v == step.verb).map(|(word, _)| (*word).to_owned());
        let was = said.chain([step.verb.name().to_owned()]).collect();
        Some(Mend::OtherWord { place: step.head_span, was, now: verb.to_owned() })
    }

    /// `it is`, `they are`.
    pub fn it_is(&self) -> &'static str {
        if is_are(&self.name) == "are" { "they are" } else { "it is" }
    }
}

/// Tells every fault of one kind.
pub fn tell(
    rule: &Rule,
    kind: FaultKind,
    procedure: &Procedure,
    proof: &Proof,
    out: &mut Vec<Diagnostic>,
    words: &dyn Fn(&Told<'_>) -> Words,
) {
    tell_where(rule, kind, procedure, proof, out, &|_| true, words);
}

/// Tells the faults of one kind that `wanted` picks.
pub fn tell_where(
    rule: &Rule,
    kind: FaultKind,
    procedure: &Procedure,
    proof: &Proof,
    out: &mut Vec<Diagnostic>,
    wanted: &dyn Fn(&Fault) -> bool,
    words: &dyn Fn(&Told<'_>) -> Words,
) {
    for fault in proof.faults.iter().filter(|f| f.kind == kind && wanted(f)) {
        let told = Told { procedure, fault, name: fault.thing_name(procedure) };
        let words = words(&told);
        let mut finding = rule.at(fault.span, words.message).label(words.label).help(words.help).way(fault.way.clone());
        if let Some((place, span)) = fault.other {
            let there = match place {
                _ if !words.there.is_empty() => words.there.as_str(),
                Place::LeftHome => "it left home here",
                Place::Declared => "declared here",
                Place::EndsHere => "it is due back before this",
                Place::ActBefore => "the act before, on the same thing",
            };
            finding = finding.related(span, there);
        }
        if let Some((span, there)) = words.place.filter(|(span, _)| *span != fault.span) {
            finding = finding.related(span, there);
        }
        out.push(finding.mend(words.mend));
    }
}
