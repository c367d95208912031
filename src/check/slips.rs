//! Slips of the pen: a name written one letter wrong is told once, and what only follows from it is not told at all.
//!
//! Reading the files tells names that must be declared. Acts that take any object (`inspect`, `clean`, `measure`), tools,
//! and declarations that add to a machine file read a misspelt name as a new one: those are looked for here.

mod names;

use std::collections::{HashMap, HashSet};

use super::what_follows;
pub(super) use names::odd_word;
use names::{Declared, Kinds, Names, Of};

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Block, MeasurementId, Object, Origin, Procedure, ThingId, ThingKind, Verb, steps_of};
use crate::proof::{Fault, FaultKind, Proof, Why};
use crate::rules::facts::limit_missing;
use crate::rules::names::{bad_syntax, unknown_name, unused_name};
use crate::rules::used;
use crate::source::Span;

/// The slips of a job, and what is not told because of them.
#[derive(Debug, Default)]
pub struct Slips {
    /// Those that the reading did not tell.
    pub findings: Vec<Diagnostic>,
    /// What is done to these is not known.
    things: HashSet<ThingId>,
    measurements: HashSet<MeasurementId>,
    /// Places at which nothing else is told.
    places: Vec<Span>,
}

/// Finds the slips; `read` is what the reading found.
#[must_use]
pub fn find(procedure: &Procedure, read: &[Diagnostic]) -> Slips {
    let mut slips = Slips::default();
    let names = Names::of(procedure);
    let used = unused_name::Used::of(procedure);
    let mut misnamed: HashMap<String, Vec<(Span, Declared)>> = HashMap::new();
    let told_already = |word: &str| read.iter().any(|d| d.message == format!("nothing here is called '{word}'"));
    for (word, span, kinds) in free_words(procedure).into_iter().filter(|(word, ..)| !told_already(word)) {
        if let Some(meant) = names.meant(&word, kinds, &used) {
            misnamed.entry(word).or_default().push((span, meant));
        }
    }
    let mut misnamed: Vec<_> = misnamed.into_iter().collect();
    misnamed.sort_by_key(|(_, places)| places.first().map(|(span, _)| *span));
    for (word, places) in misnamed {
        let Some((first, meant)) = places.first().cloned() else { continue };
        let spans: Vec<Span> = places.iter().map(|(span, _)| *span).collect();
        let nowhere = meant.is_named_nowhere(&used);
        slips.findings.push(told(&word, &meant.name, first, &spans, nowhere.then_some(meant.span)));
        slips.doubt(&meant.of);
        slips.places.extend(spans);
        slips.places.push(meant.span);
    }
    misdeclared(procedure, &names, &used, &told_already, &mut slips);
    let errors: Vec<&Diagnostic> = read.iter().filter(|d| d.severity == Severity::Error).collect();
    errors.iter().for_each(|finding| slips.follow(procedure, finding));
    // What a declaration asks for in words that can't be read is not known.
    let misread = |d: &&&Diagnostic| [unknown_name::RULE.name, bad_syntax::RULE.name].contains(&d.rule);
    // A state that no act leaves is read all right: an act is missing.
    let misread = errors.iter().filter(misread).filter(|d| !d.message.starts_with(what_follows::NO_ACT));
    let misread: Vec<&Diagnostic> = misread.copied().collect();
    let declarations = what_follows::unread_declarations(procedure, &misread);
    for (i, _) in procedure.things.iter().enumerate().filter(|(_, t)| declarations.contains(&t.span)) {
        slips.things.insert(ThingId(u32::try_from(i).unwrap_or(u32::MAX)));
    }
    slips.things.extend(&procedure.doubtful);
    slips.spread(procedure);
    slips
}

/// The finding of a word that is near a declared name. `declared`: where that is, and nothing names it.
fn told(word: &str, meant: &str, first: Span, all: &[Span], declared: Option<Span>) -> Diagnostic {
    let mut finding = match declared {
        // Several lines against one: the one is wrong.
        Some(at) if all.len() > 1 => unknown_name::RULE
            .at(at, format!("'{meant}' is declared here and nothing names it: the steps speak of '{word}'"))
            .label(format!("did you mean '{word}'?"))
            .help(format!("Write '{word}'"))
            .fix(format!("write '{word}'"), at, word),
        _ => unknown_name::RULE
            .at(first, format!("'{word}' is declared nowhere, and '{meant}' is"))
            .label(format!("did you mean '{meant}'?"))
            .help(format!("Write '{meant}'; if it is another thing, declare '{word}' too")),
    };
    if all.len() == 1 {
        finding = finding.fix(format!("write '{meant}'"), first, meant);
    }
    let told_at = finding.span;
    for span in all.iter().filter(|span| **span != told_at) {
        finding = finding.related(*span, format!("'{word}' here"));
    }
    finding
}

/// Declarations of the job that nothing names, one letter beside the name of a machine file that is named.
fn misdeclared(
    procedure: &Procedure,
    names: &Names,
    used: &unused_name::Used,
    told_already: &dyn Fn(&str) -> bool,
    slips: &mut Slips,
) {
    let worked_on = used::worked_on(procedure);
    for (i, thing) in procedure.things.iter().enumerate() {
        let id = ThingId(u32::try_from(i).unwrap_or(u32::MAX));
        let declared = matches!(thing.kind, ThingKind::Part | ThingKind::Fastener | ThingKind::Fluid);
        if !declared || thing.shared || used.things.contains(&id) || slips.places.contains(&thing.span) {
            continue;
        }
        let near = procedure.things.iter().enumerate().find(|(j, other)| {
            let other_id = ThingId(u32::try_from(*j).unwrap_or(u32::MAX));
            other_id != id
                && worked_on.contains(&other_id)
                && !told_already(&other.name)
                && names.is_slip(&thing.name, &other.name)
        });
        let Some((j, other)) = near else { continue };
        let (word, meant) = (&thing.name, &other.name);
        slips.findings.push(
            unknown_name::RULE
                .at(thing.span, format!("'{word}' is declared here and nothing names it: the steps speak of '{meant}'"))
                .label(format!("did you mean '{meant}'?"))
                .related(other.span, format!("'{meant}' is declared here"))
                .help(format!("Write '{meant}'; if it is another part, write the step that it was declared for"))
                .fix(format!("write '{meant}'"), thing.span, meant.clone()),
        );
        slips.places.push(thing.span);
        slips.things.extend([id, ThingId(u32::try_from(j).unwrap_or(u32::MAX))]);
    }
}

/// Words that name nothing declared, and where.
fn free_words(procedure: &Procedure) -> Vec<(String, Span, Kinds)> {
    let mut out = Vec::new();
    steps_of(&procedure.body, &mut |step| {
        if step.generated || step.verb == Verb::Do {
            return;
        }
        for object in &step.objects {
            match object {
                Object::Free(text, span) => out.push((text.clone(), *span, Kinds::All)),
                Object::Thing(thing) if procedure[thing.thing].kind == ThingKind::Seen => {
                    out.push((procedure[thing.thing].name.clone(), thing.span, Kinds::All));
                }
                _ => {}
            }
        }
    });
    for measurement in procedure.measurements.iter().filter(|m| m.origin == Origin::Measured) {
        out.push((measurement.name.clone(), measurement.span, Kinds::Measurements));
    }
    let tools = procedure.tools.iter().filter(|t| !t.declared).map(|t| (&t.name, t.span));
    let supplies = procedure.supplies.iter().filter(|s| !s.declared).map(|s| (&s.name, s.span));
    out.extend(tools.chain(supplies).map(|(name, span)| (name.clone(), span, Kinds::Tools)));
    out.retain(|(word, span, _)| span.range().len() == word.len());
    out.sort_by_key(|(_, span, _)| *span);
    out.dedup_by_key(|(_, span, _)| *span);
    out
}

impl Slips {
    fn doubt(&mut self, of: &Of) {
        match of {
            Of::Thing(id) => {
                self.things.insert(*id);
            }
            Of::Measurement(id) => {
                self.measurements.insert(*id);
            }
            Of::Tool => {}
        }
    }

    /// What a line that could not be read leaves open.
    fn follow(&mut self, procedure: &Procedure, finding: &Diagnostic) {
        if finding.rule == bad_syntax::RULE.name {
            // Under a head that can't be read nobody knows what is done; where only a step was forgotten, its loss is told.
            if !finding.message.starts_with("nothing stands in") {
                self.blocks(&procedure.body, finding.span);
            }
            return;
        }
        if finding.rule != unknown_name::RULE.name {
            return;
        }
        let meant = finding.label.strip_prefix("did you mean '").and_then(|rest| rest.strip_suffix("'?"));
        if let Some(meant) = meant {
            let plain = ["new ", "old "].iter().find_map(|w| meant.strip_prefix(w)).unwrap_or(meant);
            let plain = [" bad", " outside", " within"].iter().find_map(|w| plain.strip_suffix(w)).unwrap_or(plain);
            let thing =
                procedure.things.iter().position(|t| t.name == plain || plain.ends_with(&format!(" {}", t.name)));
            self.things.extend(thing.map(|i| ThingId(u32::try_from(i).unwrap_or(u32::MAX))));
            let measurement = procedure.measurements.iter().position(|m| m.name == plain);
            self.measurements.extend(measurement.map(|i| MeasurementId(u32::try_from(i).unwrap_or(u32::MAX))));
        }
        self.blocks(&procedure.body, finding.span);
    }

    /// Under a condition that nobody knows, nobody knows what is done.
    fn blocks(&mut self, blocks: &[Block], place: Span) {
        for block in blocks {
            let (span, bodies): (Option<Span>, Vec<&[Block]>) = match block {
                Block::Step(_) => continue,
                Block::Stage(stage) => (None, vec![&stage.body]),
                Block::With { body, span, .. } => (Some(*span), vec![body]),
                Block::If { then, otherwise, span, .. } => (Some(*span), vec![then, otherwise]),
                Block::Until { body, before_next, span, .. } => (Some(*span), vec![body, before_next]),
                Block::ForEach { body, .. } | Block::Follow { body, .. } => (None, vec![body]),
                Block::Reverse(reversed) => (None, vec![&reversed.body]),
            };
            let otherwise = match block {
                Block::If { otherwise_span, .. } => *otherwise_span,
                _ => None,
            };
            let here = [span, otherwise]
                .into_iter()
                .flatten()
                .any(|s| s.file == place.file && s.start <= place.start && place.end <= s.end);
            for body in bodies {
                if here {
                    steps_of(body, &mut |step| self.things.extend(step.things().map(|t| t.thing)));
                }
                self.blocks(body, place);
            }
        }
    }

    /// What holds a doubtful thing, sits on it or runs through it is as doubtful.
    fn spread(&mut self, procedure: &Procedure) {
        for id in &self.measurements {
            self.things.extend(procedure[*id].of.iter().map(|t| t.thing));
        }
        let mut open: Vec<ThingId> = self.things.iter().copied().collect();
        while let Some(id) = open.pop() {
            let mut near: Vec<ThingId> = Vec::new();
            for (_, facts) in procedure[id].all_facts() {
                near.extend(facts.held_by.iter().chain(&facts.carries));
                near.extend(facts.temporary.iter().flat_map(|t| &t.takes_up).map(|(_, group)| *group));
            }
            for (i, thing) in procedure.things.iter().enumerate() {
                let of_fluid = thing.facts.drain_of == Some(id) || thing.facts.filler_of == Some(id);
                if of_fluid || thing.facts.part_of == Some(id) || (thing.facts.behind.contains(&id) && !thing.shared) {
                    near.push(ThingId(u32::try_from(i).unwrap_or(u32::MAX)));
                }
            }
            open.extend(near.into_iter().filter(|id| self.things.insert(*id)));
        }
    }

    /// Faults that follow from a slip.
    pub fn take_out_of(&self, procedure: &Procedure, proof: &mut Proof) {
        if self.things.is_empty() && self.measurements.is_empty() {
            return;
        }
        proof.faults.retain(|fault| !self.explains(procedure, fault));
    }

    fn explains(&self, procedure: &Procedure, fault: &Fault) -> bool {
        let doubtful = |id: &ThingId| self.things.contains(id);
        let named = |text: &str| {
            let things = self.things.iter().filter_map(|id| procedure.things.get(id.index())).map(|t| &t.name);
            let measured = self.measurements.iter().map(|id| &procedure[*id].name);
            things.chain(measured).any(|name| text.contains(name.as_str()))
        };
        let why = match &fault.why {
            Why::Thing(id)
            | Why::FillerShut(id)
            | Why::Locked(id)
            | Why::InPlace(id)
            | Why::Off(id)
            | Why::OpenCircuit(id)
            | Why::AlwaysWith(id) => doubtful(id),
            Why::NotLookedAt(text) | Why::State(text) => named(text),
            _ => false,
        };
        // What a doubtful fastener holds may hang on it.
        let holders = fault.thing.and_then(|id| procedure.things.get(id.index())).into_iter();
        let held = holders.flat_map(|t| t.all_facts()).flat_map(|(_, f)| &f.held_by).any(doubtful);
        let why = why || (held && fault.kind == FaultKind::Unsupported);
        fault.kind != FaultKind::TooMuchToProve && (why || fault.thing.as_ref().is_some_and(doubtful))
    }

    /// Findings that follow from a slip.
    pub fn take_out(&self, found: &mut Vec<Diagnostic>) {
        if self.findings.is_empty() {
            return;
        }
        let overlaps = |a: Span, b: Span| a.file == b.file && a.start < b.end.max(b.start + 1) && b.start < a.end;
        found.retain(|d| {
            let follows = d.rule == unused_name::RULE.name || d.rule == limit_missing::RULE.name;
            !(follows && self.places.iter().any(|place| overlaps(d.span, *place)))
        });
    }
}
