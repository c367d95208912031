//! From a fault of the proof to a finding: the place, the second place, the way are the same for all; the words are
//! each rule's own.

use crate::diagnostic::{Diagnostic, Mend};
use crate::procedure::{Members, Procedure, Step, Thing, ThingId, Verb, VerbGroup, steps_of};
use crate::proof::{Fault, FaultKind, Place, Proof};
use crate::rules::Rule;

use crate::rules::repair::Repair;
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

    /// `place X`, or `place new X` where this job says so.
    pub fn placing(&self, name: &str) -> String {
        let new = format!("place new {name}");
        let mut says_new = false;
        steps_of(&self.procedure.body, &mut |step| says_new |= speech::act(self.procedure, step) == new);
        if says_new { new } else { format!("place {name}") }
    }

    /// `goes`, `go`: the form of a verb that the name sounds right with.
    pub fn verb<'v>(&self, one: &'v str, several: &'v str) -> &'v str {
        if self.it_is() == "they are" { several } else { one }
    }

    /// The last step that puts the thing home.
    pub fn last_home(&self) -> Option<&Step> {
        let mut last = None;
        steps_of(&self.procedure.body, &mut |step| {
            let names_it = step.things().any(|t| Some(t.thing) == self.fault.thing);
            if names_it && !step.generated && matches!(step.verb.group(), VerbGroup::PutsBack | VerbGroup::Changes) {
                last = Some(step);
            }
        });
        last
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
    pub fn bring_about(&self, state: &str) -> Repair {
        match speech::bringing_about(self.procedure, state) {
            Some(line) => self.needs_first(&line),
            None => Repair { help: format!("Bring about `{state}` before this line"), place: None, mend: None },
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
