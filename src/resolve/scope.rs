//! Names. All files of a job share them: a thing that two files name alike is one thing; a routine adds its arguments.

use std::collections::BTreeMap;

use crate::procedure::{AskId, MeasurementId, OptionId, SetId, SupplyId, ThingId, ToolId};
use crate::quantity::Spec;
use crate::syntax::fold_name;
use crate::syntax::tree::Section;

use super::objects::Piece;

/// What a name in the space of facts means.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Fact {
    Option(OptionId),
    Measurement(MeasurementId),
    Ask(AskId),
}

/// The value of a routine's argument.
#[derive(Clone, Debug)]
pub(crate) struct Argument {
    /// As written by the caller.
    pub text: String,
    /// What it names, if anything.
    pub piece: Option<Piece>,
    pub spec: Option<Spec>,
}

/// Names by their folded spelling.
#[derive(Clone, Debug, Default)]
pub(crate) struct Scope {
    pub things: BTreeMap<String, ThingId>,
    /// What is only looked at ([`crate::procedure::ThingKind::Seen`]): known to `inspect` and to conditions.
    pub seen: BTreeMap<String, ThingId>,
    pub facts: BTreeMap<String, Fact>,
    pub sets: BTreeMap<String, SetId>,
    /// Index into the procedure's kits.
    pub kits: BTreeMap<String, usize>,
}

/// An entry of `given`.
#[derive(Clone, Debug)]
pub(crate) struct Given {
    pub kind: crate::syntax::tree::Word,
    pub default: Option<crate::syntax::tree::Word>,
}

/// Which loop or call binds a set, and to what.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Binding {
    /// A loop goes through its members.
    Loop,
    /// This member only.
    Member(u32),
}

/// How names are looked up at one place: the arguments of the routine, the sets bound, the calls around it.
#[derive(Clone, Debug)]
pub(crate) struct View {
    pub arguments: BTreeMap<String, Argument>,
    pub sets: Vec<(SetId, Binding)>,
    /// Routines (file, stage) being followed, for cycles.
    pub calls: Vec<(usize, u32)>,
    pub last_ask: Option<AskId>,
    pub depth: usize,
}

impl View {
    pub fn new() -> Self {
        Self { arguments: BTreeMap::new(), sets: Vec::new(), calls: Vec::new(), last_ask: None, depth: 0 }
    }

    /// How a set is bound here.
    pub fn binding(&self, set: SetId) -> Option<Binding> {
        self.sets.iter().rev().find(|(s, _)| *s == set).map(|(_, b)| *b)
    }
}

impl super::Resolver<'_> {
    pub(crate) fn thing_named(&self, name: &str) -> Option<ThingId> {
        let folded = fold_name(name);
        self.scope.things.get(&folded).copied()
    }

    pub(crate) fn fact_named(&self, name: &str) -> Option<Fact> {
        let folded = fold_name(name);
        self.scope.facts.get(&folded).copied()
    }

    pub(crate) fn set_named(&self, name: &str) -> Option<SetId> {
        let folded = fold_name(name);
        self.scope.sets.get(&folded).copied()
    }

    pub(crate) fn argument<'v>(&self, view: &'v View, name: &str) -> Option<&'v Argument> {
        view.arguments.get(&fold_name(name))
    }

    /// Tools and supplies are common to all files of a job.
    pub(crate) fn tool_named(&self, name: &str) -> Option<ToolId> {
        let folded = fold_name(name);
        self.p.tools.iter().position(|t| fold_name(&t.name) == folded).map(|i| ToolId(index(i)))
    }

    pub(crate) fn supply_named(&self, name: &str) -> Option<SupplyId> {
        let folded = fold_name(name);
        self.p.supplies.iter().position(|t| fold_name(&t.name) == folded).map(|i| SupplyId(index(i)))
    }

    /// Names of things, for 'did you mean'.
    pub(crate) fn thing_names<'s>(&'s self, view: &'s View) -> Vec<&'s str> {
        let mut names: Vec<&str> = self
            .scope
            .things
            .values()
            .filter_map(|id| self.p.things.get(id.index()))
            .map(|t| t.name.as_str())
            .collect();
        names.extend(view.arguments.keys().map(String::as_str));
        names
    }

    /// Names of facts, for 'did you mean'.
    pub(crate) fn fact_names(&self) -> Vec<&str> {
        self.scope.facts.keys().map(String::as_str).collect()
    }
}

/// A table index as the number that ids hold.
pub(crate) fn index(i: usize) -> u32 {
    u32::try_from(i).unwrap_or(u32::MAX)
}

/// How a section is called in a finding.
pub(crate) fn section_name(section: Section) -> &'static str {
    match section {
        Section::Options => "options",
        Section::Sets => "sets",
        Section::Kits => "kits",
        Section::Parts => "parts",
        Section::Fasteners => "fasteners",
        Section::Fluids => "fluids",
        Section::Measurements => "measurements",
        Section::Tools => "tools",
        Section::Supplies => "supplies",
        Section::Acts => "acts",
        Section::Given => "given",
    }
}
