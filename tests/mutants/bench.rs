//! What the operators work on and what they make: a job with its steps at hand, and spoilt copies of it.

use std::collections::HashMap;
use std::ops::Range;

use cotter::procedure::{Facts, Portion, Step, ThingId, ThingRef, Verb, VerbGroup};
use cotter::source::Span;
use cotter::syntax::tree::{Item, NodeId};

use crate::ground::{Job, Seen, Within};

/// A line of a correct job spoilt.
pub struct Mutant {
    pub file: usize,
    pub line: usize,
    pub operator: &'static str,
    /// What was done, in a few words with the line.
    pub what: String,
    /// The rules whose names say what is wrong.
    pub honest: Vec<&'static str>,
    /// Replacements in the text of the file, in order.
    pub edits: Vec<(Range<usize>, String)>,
}

impl Mutant {
    /// The text of the spoilt file.
    pub fn text(&self, correct: &str) -> String {
        let mut out = String::new();
        let mut at = 0;
        for (range, by) in &self.edits {
            out += &correct[at..range.start];
            out += by;
            at = range.end;
        }
        out + &correct[at..]
    }
}

/// A job and what the operators ask of it.
pub struct Bench<'a> {
    pub job: &'a Job,
    pub steps: Vec<Seen<'a>>,
    /// The first time a line is worked: its file and node, and its index in `steps`.
    pub lines: Vec<(usize, NodeId, usize)>,
    /// What each thing holds.
    pub holds: HashMap<ThingId, Vec<ThingId>>,
}

/// Acts that take a thing away from home.
pub fn takes(verb: Verb) -> bool {
    verb.group() == VerbGroup::TakesApart || matches!(verb, Verb::PutIn)
}

/// Acts that bring a thing home, or nearer to it.
pub fn puts(verb: Verb) -> bool {
    verb.group() == VerbGroup::PutsBack || matches!(verb, Verb::Place | Verb::Start | Verb::TakeOut)
}

/// Acts that change the state of a thing.
pub fn changes(verb: Verb) -> bool {
    verb.group() != VerbGroup::Work
}

impl<'a> Bench<'a> {
    pub fn new(job: &'a Job) -> Self {
        let steps = job.steps();
        let mut lines: Vec<(usize, NodeId, usize)> = Vec::new();
        for (i, seen) in steps.iter().enumerate() {
            if seen.step.generated {
                continue;
            }
            if let Some((file, node)) = job.node_at(seen.step.span) {
                if !lines.iter().any(|(f, n, _)| *f == file && *n == node) {
                    lines.push((file, node, i));
                }
            }
        }
        let mut holds: HashMap<ThingId, Vec<ThingId>> = HashMap::new();
        for (i, thing) in job.procedure.things.iter().enumerate() {
            let id = ThingId(u32::try_from(i).expect("few things"));
            for (_, facts) in thing.all_facts() {
                for holder in &facts.held_by {
                    let held = holds.entry(*holder).or_default();
                    if !held.contains(&id) {
                        held.push(id);
                    }
                }
            }
        }
        Self { job, steps, lines, holds }
    }

    pub fn facts(&self, thing: ThingId) -> &'a Facts {
        &self.job.thing(thing).facts
    }

    pub fn name(&self, thing: ThingId) -> &'a str {
        &self.job.thing(thing).name
    }

    /// Indices of the steps on a thing by its name.
    pub fn steps_on(&self, thing: ThingId) -> impl Iterator<Item = usize> + '_ {
        (0..self.steps.len()).filter(move |i| self.steps[*i].step.things().any(|t| t.thing == thing))
    }

    /// The steps on a thing after this one, in the same run of the job (follow-up stages are runs of their own).
    pub fn later_on(&self, at: usize, thing: ThingId) -> impl Iterator<Item = usize> + '_ {
        self.steps_on(thing).filter(move |i| *i > at)
    }

    pub fn step(&self, at: usize) -> &'a Step {
        self.steps[at].step
    }

    pub fn inside(&self, at: usize, is: fn(&Within<'_>) -> bool) -> bool {
        self.steps[at].within.iter().any(is)
    }

    /// The line as written, without its details.
    pub fn written(&self, file: usize, node: NodeId) -> String {
        let span = self.job.node(file, node).span;
        self.job.texts[file][span.range()].lines().map(str::trim).collect::<Vec<_>>().join(" ")
    }

    /// A mutant of one node's lines.
    pub fn spoil(
        &self,
        operator: &'static str,
        (file, node): (usize, NodeId),
        what: &str,
        honest: &[&'static str],
        edits: Vec<(Range<usize>, String)>,
    ) -> Mutant {
        let span = self.job.node(file, node).span;
        let mut written = self.written(file, node);
        if let Some((at, _)) = written.char_indices().nth(60) {
            written.truncate(at);
            written.push('…');
        }
        let what = if what.is_empty() { written } else { format!("{written} ⇒ {what}") };
        Mutant { file, line: self.job.line(file, span.start), operator, what, honest: honest.to_vec(), edits }
    }

    /// The lines of a node taken out; where nothing else stands in its block, a line that does nothing stands in.
    pub fn without(&self, file: usize, node: NodeId) -> Vec<(Range<usize>, String)> {
        let extent = self.job.extent(file, node);
        let alone = self.job.siblings(file, node).len() == 1;
        let span = self.job.node(file, node).span;
        let indent = &self.job.texts[file][extent.start..span.start as usize];
        let by = if alone { format!("{indent}do: Look at it.\n") } else { String::new() };
        vec![(extent, by)]
    }

    /// A clause taken out, with the comma that parts it from its neighbour.
    pub fn without_clause(&self, file: usize, span: Span) -> Vec<(Range<usize>, String)> {
        let text = &self.job.texts[file];
        let (mut start, mut end) = (span.start as usize, span.end as usize);
        let before = text[..start].trim_end();
        if before.ends_with(',') {
            start = before.len() - 1;
        } else if before.ends_with(':') {
            let after = text[end..].trim_start();
            if after.starts_with(',') {
                end = text.len() - after.len() + 1;
                end += text[end..].len() - text[end..].trim_start().len();
            } else {
                start = before.len() - 1;
            }
        }
        vec![(start..end, String::new())]
    }

    /// A span written otherwise.
    pub fn instead(&self, span: Span, by: impl Into<String>) -> Vec<(Range<usize>, String)> {
        vec![(span.range(), by.into())]
    }

    /// The verb as written at the head of a step: its span and the rest of the head.
    pub fn verb_span(&self, step: &Step) -> Option<Span> {
        let head = self.job.text_of(step.head_span);
        let object = step.objects.first().and_then(|o| match o {
            cotter::procedure::Object::Thing(t) => Some(t.span.start),
            _ => None,
        })?;
        let len = (object.checked_sub(step.head_span.start)?) as usize;
        let verb = head.get(..len)?.trim_end();
        let verb = verb.strip_suffix(" the").unwrap_or(verb);
        // `2 of bolts`, `positions 1 to 4 of bolts`, `each side`, `new X`: only a bare verb is exchanged.
        verb.chars().all(|c| c.is_alphabetic() || c == ' ').then(|| step.head_span.part(0..verb.len()))
    }

    /// Whether a body leaves something otherwise than it found it: at home what was away, or away what was at home.
    ///
    /// Not counted: `again`, which changes nothing; what a later act does anyway; fasteners of what the body itself takes off.
    pub fn unbalanced(&self, steps: &[usize]) -> bool {
        let mut ends: HashMap<ThingId, (Verb, Verb)> = HashMap::new();
        let counts = |i: &usize| {
            let step = self.step(*i);
            (takes(step.verb) || puts(step.verb))
                && !step.clauses.again
                && !(matches!(step.verb, Verb::Loosen | Verb::Tighten | Verb::Remove)
                    && crate::steps::may_be_left_out(self, *i))
        };
        for i in steps.iter().copied().filter(counts) {
            let verb = self.step(i).verb;
            for t in self.step(i).things().filter(|t| t.portion == Portion::Whole) {
                ends.entry(t.thing).or_insert((verb, verb)).1 = verb;
            }
        }
        let taken_with = |f: &ThingId| {
            let held = self.holds.get(f).map(Vec::as_slice).unwrap_or_default();
            held.iter().any(|h| ends.get(h).is_some_and(|(first, _)| takes(*first)))
        };
        ends.iter().any(|(thing, (first, last))| {
            let was_away = puts(*first);
            let is_away = takes(*last);
            was_away != is_away && !taken_with(thing)
        })
    }

    /// Indices of the steps written between these bytes of a file, the first time each is worked.
    pub fn steps_between(&self, file: usize, range: &Range<usize>) -> Vec<usize> {
        let here = |s: &Seen<'_>| {
            s.step.span.file.0 as usize == file && range.contains(&(s.step.span.start as usize)) && !s.step.generated
        };
        (0..self.steps.len()).filter(|i| here(&self.steps[*i])).collect()
    }

    /// All that a thing's holders hold it by, holders of holders included.
    pub fn grips(&self, thing: ThingId) -> Vec<ThingId> {
        let mut out: Vec<ThingId> = Vec::new();
        let mut todo = vec![thing];
        while let Some(t) = todo.pop() {
            for (_, facts) in self.job.thing(t).all_facts() {
                for h in &facts.held_by {
                    if !out.contains(h) {
                        out.push(*h);
                        todo.push(*h);
                    }
                }
            }
        }
        out
    }

    /// The nodes of a file of one sort, with their items.
    pub fn nodes(&self, file: usize) -> impl Iterator<Item = (NodeId, &'a Item)> {
        let nodes = &self.job.trees[file].nodes;
        nodes.iter().enumerate().map(|(i, n)| (NodeId(u32::try_from(i).expect("few lines")), &n.item))
    }
}

/// Same thing, same members, all of it.
pub fn same(a: &ThingRef, b: &ThingRef) -> bool {
    a.thing == b.thing && a.portion == b.portion && (a.members == b.members) && a.version == b.version
}

/// A word with its third letter left out, as fingers do; nothing where it is too short to be a slip.
pub fn misspelt(words: &str) -> Option<String> {
    let word = words.split(' ').rfind(|w| w.chars().count() >= 5 && w.chars().all(char::is_alphabetic))?;
    let at = words.rfind(word)?;
    let (cut, letter) = word.char_indices().nth(2)?;
    let mut out = words.to_owned();
    out.replace_range(at + cut..at + cut + letter.len_utf8(), "");
    Some(out)
}
