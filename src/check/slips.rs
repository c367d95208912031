//! Slips of the pen: a name written one letter wrong is told once, and what only follows from it is not told at all.
//!
//! Reading the files tells names that must be declared. Acts that take any object (`inspect`, `clean`, `measure`), tools,
//! and declarations that add to a machine file read a misspelt name as a new one: those are looked for here.

use std::collections::{HashMap, HashSet};

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
    for (word, span, kinds) in free_words(procedure) {
        if let Some(meant) = names.meant(&word, kinds) {
            misnamed.entry(word).or_default().push((span, meant));
        }
    }
    let mut misnamed: Vec<_> = misnamed.into_iter().collect();
    misnamed.sort_by_key(|(_, places)| places.first().map(|(span, _)| *span));
    for (word, places) in misnamed {
        let Some((first, meant)) = places.first().cloned() else { continue };
        let spans: Vec<Span> = places.iter().map(|(span, _)| *span).collect();
        let nowhere = match meant.of {
            Of::Thing(id) => !used.things.contains(&id),
            Of::Measurement(id) => !used.measurements.contains(&id),
            Of::Tool => false,
        };
        slips.findings.push(told(&word, &meant.name, first, &spans, nowhere.then_some(meant.span)));
        slips.doubt(&meant.of);
        slips.places.extend(spans);
        slips.places.push(meant.span);
    }
    misdeclared(procedure, &names, &used, &mut slips);
    for finding in read.iter().filter(|d| d.severity == Severity::Error) {
        slips.follow(procedure, finding);
    }
    slips.things.extend(&procedure.doubtful);
    slips.spread(procedure);
    slips
}

/// The finding of a word that is near a declared name. Where that is named nowhere, the declaration may be the slip.
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
fn misdeclared(procedure: &Procedure, names: &Names, used: &unused_name::Used, slips: &mut Slips) {
    let worked_on = used::worked_on(procedure);
    for (i, thing) in procedure.things.iter().enumerate() {
        let id = ThingId(u32::try_from(i).unwrap_or(u32::MAX));
        let declared = matches!(thing.kind, ThingKind::Part | ThingKind::Fastener | ThingKind::Fluid);
        if !declared || thing.shared || used.things.contains(&id) || slips.places.contains(&thing.span) {
            continue;
        }
        let near = procedure.things.iter().enumerate().find(|(j, other)| {
            let other_id = ThingId(u32::try_from(*j).unwrap_or(u32::MAX));
            other_id != id && worked_on.contains(&other_id) && names.is_slip(&thing.name, &other.name)
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

/// What a name can be of.
#[derive(Clone, Debug)]
enum Of {
    Thing(ThingId),
    Measurement(MeasurementId),
    Tool,
}

/// A declared name.
#[derive(Clone, Debug)]
struct Declared {
    name: String,
    span: Span,
    of: Of,
}

/// Which names a word may be a slip for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kinds {
    ThingsAndMeasurements,
    Measurements,
    Tools,
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
                Object::Free(text, span) => out.push((text.clone(), *span, Kinds::ThingsAndMeasurements)),
                Object::Thing(thing) if procedure[thing.thing].kind == ThingKind::Seen => {
                    out.push((procedure[thing.thing].name.clone(), thing.span, Kinds::ThingsAndMeasurements));
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

/// All declared names, and how often each word stands in them.
struct Names {
    declared: Vec<Declared>,
    words: HashMap<String, usize>,
}

impl Names {
    fn of(procedure: &Procedure) -> Self {
        let mut declared = Vec::new();
        for (i, thing) in procedure.things.iter().enumerate() {
            if !matches!(thing.kind, ThingKind::Seen | ThingKind::Builtin(_)) {
                let of = Of::Thing(ThingId(u32::try_from(i).unwrap_or(u32::MAX)));
                declared.push(Declared { name: thing.name.clone(), span: thing.span, of });
            }
        }
        for (i, measurement) in procedure.measurements.iter().enumerate() {
            if measurement.origin == Origin::Declared {
                let of = Of::Measurement(MeasurementId(u32::try_from(i).unwrap_or(u32::MAX)));
                declared.push(Declared { name: measurement.name.clone(), span: measurement.span, of });
            }
        }
        let tools = procedure.tools.iter().filter(|t| t.declared).map(|t| (&t.name, t.span));
        let supplies = procedure.supplies.iter().filter(|s| s.declared).map(|s| (&s.name, s.span));
        declared.extend(tools.chain(supplies).map(|(name, span)| Declared { name: name.clone(), span, of: Of::Tool }));
        let mut words: HashMap<String, usize> = HashMap::new();
        for name in &declared {
            for word in name.name.to_lowercase().split(' ') {
                *words.entry(word.to_owned()).or_default() += 1;
            }
        }
        Self { declared, words }
    }

    /// The one declared name that `word` is a slip for.
    fn meant(&self, word: &str, kinds: Kinds) -> Option<Declared> {
        let fits = |of: &Of| match kinds {
            Kinds::ThingsAndMeasurements => !matches!(of, Of::Tool),
            Kinds::Measurements => matches!(of, Of::Measurement(_)),
            Kinds::Tools => matches!(of, Of::Tool),
        };
        let mut near = self.declared.iter().filter(|d| fits(&d.of) && is_slip(word, &d.name));
        let first = near.next()?;
        // A word that other names are made of is meant as it stands.
        let real = odd_word(word, &first.name).is_some_and(|odd| self.words.contains_key(&odd));
        (near.next().is_none() && !real).then(|| first.clone())
    }

    /// Of two declared names: the odd word of the first stands in no other name.
    fn is_slip(&self, word: &str, name: &str) -> bool {
        is_slip(word, name) && odd_word(word, name).is_some_and(|odd| self.words.get(&odd).is_none_or(|n| *n <= 1))
    }
}

/// The one word in which two names differ.
fn odd_word(word: &str, name: &str) -> Option<String> {
    let (word, name) = (word.to_lowercase(), name.to_lowercase());
    let (a, b): (Vec<&str>, Vec<&str>) = (word.split(' ').collect(), name.split(' ').collect());
    if a.len() != b.len() {
        return None;
    }
    let mut odd = a.iter().zip(&b).filter(|(a, b)| a != b);
    let (first, _) = odd.next()?;
    odd.next().is_none().then(|| (*first).to_owned())
}

/// One word of the name with one letter wrong, missing, too many, or changed with its neighbour. A plural is no slip,
/// and neither is a number: sizes and sides differ in one letter and are two things.
fn is_slip(word: &str, name: &str) -> bool {
    let (Some(odd), Some(right)) = (odd_word(word, name), odd_word(name, word)) else { return false };
    let letters = |w: &str| w.chars().all(|c| c.is_alphabetic() || c == '-');
    let plural =
        |a: &str, b: &str| !a.ends_with("ss") && (a.strip_suffix('s') == Some(b) || a.strip_suffix("es") == Some(b));
    if !letters(&odd) || !letters(&right) || plural(&odd, &right) || plural(&right, &odd) {
        return false;
    }
    let swapped = odd.len() == right.len() && {
        let (mut a, mut b): (Vec<char>, Vec<char>) = (odd.chars().collect(), right.chars().collect());
        a.sort_unstable();
        b.sort_unstable();
        a == b
    };
    let long = right.chars().count() >= if swapped { 3 } else { 5 };
    long && strsim::damerau_levenshtein(&odd, &right) == 1
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
            // A block with nothing in it says nothing of what its other half does.
            return self.blocks(&procedure.body, finding.span);
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
            let here = span.is_some_and(|s| s.file == place.file && s.start <= place.start && place.end <= s.end);
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
                if thing.facts.part_of == Some(id) || (thing.facts.behind.contains(&id) && !thing.shared) {
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

#[cfg(test)]
mod tests {
    use super::is_slip;

    #[test]
    fn a_slip_is_one_letter_of_one_word() {
        for (word, name) in [
            ("barke pads", "brake pads"),
            ("dsic", "disc"),
            ("disc thicknes", "disc thickness"),
            ("micrommeter", "micrometer"),
            ("clamp mater", "clamp meter"),
        ] {
            assert!(is_slip(word, name), "{word} / {name}");
        }
        for (word, name) in [
            ("brake pad", "brake pads"),
            ("torque wrench 2-25", "torque wrench 5-25"),
            ("inner bearing", "outer bearing"),
            ("side cover", "cover"),
            ("hose A", "hose B"),
            ("belt", "bolt"),
        ] {
            assert!(!is_slip(word, name), "{word} / {name}");
        }
    }
}
