//! From a fault of the proof to a finding: the place, the second place, the way are the same for all; the words are
//! each rule's own.

use crate::diagnostic::Diagnostic;
use crate::procedure::{Procedure, ThingId};
use crate::proof::{Fault, FaultKind, Place, Proof};
use crate::rules::Rule;
use crate::rules::wording::is_are;

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
}

impl Words {
    /// Words with the usual ones at the second place.
    pub fn new(message: impl Into<String>, label: impl Into<String>, help: impl Into<String>) -> Self {
        Self { message: message.into(), label: label.into(), help: help.into(), there: String::new() }
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
        out.push(finding);
    }
}
