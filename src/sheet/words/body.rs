//! The walk through the job: stages, blocks and steps as rows of the sheet.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::gather::Gather;
use super::ledger::{self, Ledger, Shop};
use super::step::{Wanted, shorten};
use super::ways::Known;
use super::{Choice, condition, one, sentence, words_of};
use crate::procedure::{
    Block, Condition, DetailKind, Found, MeasurementId, Procedure, SetId, Stage, StageWhen, Step, StepId, ThingId,
    UntilThen, Verb,
};
use crate::proof::StageState;
use crate::quantity::System;
use crate::sheet::catalogue as say;
use crate::sheet::content::{self, Detail, Fork, Row, RowKind, Slip, Words};
use crate::sheet::figure::Figure;
use crate::source::{FileId, Span};
use crate::trade::hazard::Hazard;

/// Writes the stages; what it has used stands in `gather`.
pub(super) struct Writer<'p> {
    pub job: &'p Procedure,
    pub known: Known<'p>,
    pub units: System,
    pub figures: &'p [(FileId, String, std::sync::Arc<Figure>)],
    /// Standard messages before steps.
    pub cautions: &'p [(StepId, Hazard)],
    /// What is true at the beginning of each stage, on every way.
    states: &'p [StageState],
    /// Number of each stage that stands in no other, as the proof counts them.
    stage_index: HashMap<*const Stage, usize>,
    pub gather: Gather,
    pub ledger: Ledger,
    holds: BTreeMap<ThingId, Vec<ThingId>>,
    /// Things that a condition asks about.
    pub judged: BTreeSet<ThingId>,
    /// Loops that the walk is in, innermost last.
    pub loops: Vec<SetId>,
    /// Open conditions that the walk is under.
    pub under: Vec<Condition>,
    /// Things and measurements whose notes are told.
    pub told: BTreeSet<ThingId>,
    pub told_measures: BTreeSet<MeasurementId>,
    /// Messages told in this stage.
    pub said: Vec<Told>,
    /// Messages of the stage that wait for its first step.
    pub pending: Vec<Wanted>,
    /// How each thing is left that an act brought home.
    pub ends: BTreeMap<ThingId, String>,
    /// The last number given to a step.
    pub number: usize,
    stage_number: usize,
}

/// The stages before the sign-off, and those after it.
#[derive(Default)]
pub(super) struct Stages {
    pub now: Vec<content::Stage>,
    pub later: Vec<Slip>,
}

/// A message told in this stage, and the open conditions under which it is read.
pub(super) struct Told {
    pub hazard: Option<Hazard>,
    pub text: String,
    pub under: Vec<Condition>,
}

/// A block that holds whole stages, as it is told in each of them.
struct Wrap {
    fork: Fork,
}

impl<'p> Writer<'p> {
    pub(super) fn new(
        job: &'p Procedure,
        known: Known<'p>,
        choice: &'p Choice,
        cautions: &'p [(StepId, Hazard)],
        states: &'p [StageState],
    ) -> Self {
        let mut judged = BTreeSet::new();
        judged_in(&job.body, &mut judged);
        let mut stage_index = HashMap::new();
        number_stages(&job.body, &mut stage_index);
        Self {
            job,
            known,
            units: choice.units,
            figures: &choice.figures,
            cautions,
            states,
            stage_index,
            gather: Gather::default(),
            ledger: Ledger::default(),
            holds: ledger::holds(job),
            judged,
            loops: Vec::new(),
            under: Vec::new(),
            told: BTreeSet::new(),
            told_measures: BTreeSet::new(),
            said: Vec::new(),
            pending: Vec::new(),
            ends: BTreeMap::new(),
            number: 0,
            stage_number: 0,
        }
    }

    pub(super) fn shop(&self) -> Shop<'_, 'p> {
        Shop { job: self.job, known: &self.known, holds: &self.holds }
    }

    /// All stages, those of the day before first.
    pub(super) fn stages(&mut self) -> Stages {
        let mut stages = Stages::default();
        let body = &self.job.body;
        let early = |block: &&Block| matches!(block, Block::Stage(Stage { when: StageWhen::Before(_), .. }));
        for block in body.iter().filter(early) {
            self.margin(block, &mut Vec::new(), &mut stages);
        }
        for block in body.iter().filter(|block| !early(block)) {
            self.margin(block, &mut Vec::new(), &mut stages);
        }
        stages
    }

    /// A block at the margin: a stage, or a block that holds stages.
    fn margin(&mut self, block: &'p Block, wraps: &mut Vec<Wrap>, stages: &mut Stages) {
        match block {
            Block::Stage(stage) => self.stage(stage, wraps, stages),
            Block::With { condition, body, span, .. } => {
                self.gather.condition(condition);
                match self.known.holds(condition) {
                    Some(true) => self.inside(body, wraps, stages),
                    Some(false) => {}
                    None => {
                        let rest = self.known.rest(condition);
                        self.narrowed(&rest, |writer| {
                            let fork = writer.with_fork(&rest, *span);
                            writer.wrapped(fork, body, wraps, stages);
                        });
                    }
                }
            }
            Block::If { condition, then, otherwise, span, otherwise_span, .. } => {
                self.gather.condition(condition);
                let rest = self.known.rest(condition);
                match self.known.holds(condition) {
                    Some(true) => self.inside(then, wraps, stages),
                    Some(false) => self.inside(otherwise, wraps, stages),
                    None => {
                        let before = self.ledger.clone();
                        let fork = self.if_fork(&rest, *span);
                        self.wrapped(fork, then, wraps, stages);
                        let after = std::mem::replace(&mut self.ledger, before);
                        if !otherwise.is_empty() {
                            let fork = self.if_fork(&rest.negated(), otherwise_span.unwrap_or(*span));
                            self.wrapped(fork, otherwise, wraps, stages);
                        }
                        self.ledger = after;
                    }
                }
            }
            Block::ForEach { set, one_after_the_other, body, span } => {
                self.loops.push(*set);
                let mut fork = self.each_fork(*set, *one_after_the_other, *span);
                if *one_after_the_other && let Some(words) = self.all_stages_first(*set, body) {
                    fork.below = Some(words);
                }
                self.wrapped(fork, body, wraps, stages);
                self.loops.pop();
            }
            Block::Until { .. } | Block::Step(_) => {
                // Steps at the margin belong to no stage; they get one of their own.
                let mut rows = Vec::new();
                self.block(block, 0, &mut rows);
                let number = self.next_stage();
                let title = Words::plain(self.job.header.title.as_str(), None);
                stages.now.push(content::Stage { number, title, rows, ..content::Stage::default() });
            }
            Block::Follow { body, .. } => self.inside(body, wraps, stages),
            Block::Reverse(reversed) => self.inside(&reversed.body, wraps, stages),
        }
    }

    fn inside(&mut self, body: &'p [Block], wraps: &mut Vec<Wrap>, stages: &mut Stages) {
        for block in body {
            self.margin(block, wraps, stages);
        }
    }

    fn wrapped(&mut self, fork: Fork, body: &'p [Block], wraps: &mut Vec<Wrap>, stages: &mut Stages) {
        wraps.push(Wrap { fork });
        self.inside(body, wraps, stages);
        wraps.pop();
    }

    fn next_stage(&mut self) -> Option<usize> {
        self.stage_number += 1;
        Some(self.stage_number)
    }

    fn stage(&mut self, stage: &'p Stage, wraps: &[Wrap], stages: &mut Stages) {
        self.said.clear();
        self.pending.clear();
        let index = self.stage_index.get(&std::ptr::from_ref(stage));
        let states = self.states.iter().find(|states| index == Some(&states.stage));
        let mut state: Vec<String> =
            states.iter().flat_map(|states| &states.states).map(|state| state.words(self.job)).collect();
        shorten(&mut state, MOST_STATES);
        match &stage.when {
            StageWhen::AtBench => state.insert(0, say::AT_THE_BENCH.to_owned()),
            StageWhen::Before(words) | StageWhen::Other(words) => state.insert(0, words.clone()),
            StageWhen::Now | StageWhen::After(_) | StageWhen::Within(_) => {}
        }
        let details = self.stage_details(stage);
        let mut rows = Vec::new();
        for (depth, wrap) in wraps.iter().enumerate() {
            rows.push(Row { depth: depth + 1, kind: RowKind::Fork(wrap.fork.clone()) });
        }
        self.blocks(&stage.body, wraps.len(), &mut rows);
        if !rows.iter().any(|row| matches!(row.kind, RowKind::Step(_) | RowKind::Stop { .. })) {
            return;
        }
        let origin = Some(stage.span);
        let title = Words::plain(sentence::capital(&stage.title), origin);
        let laid = |number, title, state: Vec<String>| content::Stage {
            number,
            title,
            state: state.join(" · "),
            details,
            rows,
        };
        let when = match &stage.when {
            StageWhen::After(time) => Some((say::AFTER, time)),
            StageWhen::Within(time) => Some((say::WITHIN_TITLE, time)),
            _ => None,
        };
        match when {
            Some((word, time)) => {
                let due = format!("{word} {}: ", one(time, self.units));
                let title = Words::plain(format!("{due}{}", sentence::capital(&stage.title)), origin);
                let stage = laid(None, title.clone(), Vec::new());
                stages.later.push(Slip { title, stage, job: self.slip_name() });
            }
            None => {
                let number = self.next_stage();
                stages.now.push(laid(number, title, state));
            }
        }
    }

    fn slip_name(&self) -> String {
        let header = &self.job.header;
        let revision = header.revision.map(|revision| format!("{} {revision}", say::REVISION));
        let parts = [header.number.clone(), revision, Some(header.title.clone()), header.machine.clone()];
        let parts: Vec<String> = parts.into_iter().flatten().filter(|part| !part.is_empty()).collect();
        parts.join(" · ")
    }

    fn stage_details(&mut self, stage: &'p Stage) -> Vec<Detail> {
        let mut details = Vec::new();
        for detail in &stage.details {
            match &detail.kind {
                DetailKind::Safety { word, hazard, prose } => {
                    self.pending.push((Some(*word), *hazard, prose.clone()));
                }
                kind => self.plain_detail(kind, &mut details),
            }
        }
        details
    }

    fn blocks(&mut self, blocks: &'p [Block], depth: usize, rows: &mut Vec<Row>) {
        for block in blocks {
            self.block(block, depth, rows);
        }
    }

    fn block(&mut self, block: &'p Block, depth: usize, rows: &mut Vec<Row>) {
        match block {
            Block::Step(step) => self.step(step, depth, rows),
            Block::Stage(stage) => {
                // Its messages belong to the stage that calls it.
                let details = self.stage_details(stage);
                let words = Words::plain(sentence::capital(&stage.title), Some(stage.span));
                let at = rows.len();
                rows.push(Row { depth, kind: RowKind::Heading { words, details } });
                self.blocks(&stage.body, depth, rows);
                if rows.len() == at + 1 {
                    rows.pop();
                }
            }
            Block::With { condition, body, span, .. } => {
                self.gather.condition(condition);
                match self.known.holds(condition) {
                    Some(true) => self.blocks(body, depth, rows),
                    Some(false) => {}
                    None => {
                        let rest = self.known.rest(condition);
                        let fork = self.with_fork(&rest, *span);
                        let before = self.ledger.clone();
                        self.narrowed(&rest, |writer| writer.forked(fork, body, depth, rows));
                        self.keep_if_stopped(body, before);
                    }
                }
            }
            Block::If { condition, then, otherwise, span, otherwise_span, .. } => {
                self.gather.condition(condition);
                let rest = self.known.rest(condition);
                match self.known.holds(condition) {
                    Some(true) => self.blocks(then, depth, rows),
                    Some(false) => self.blocks(otherwise, depth, rows),
                    None => {
                        let before = self.ledger.clone();
                        let fork = self.if_fork(&rest, *span);
                        self.under.push(rest.clone());
                        self.known.assumed.push(rest.clone());
                        self.forked(fork, then, depth, rows);
                        self.under.pop();
                        self.known.assumed.pop();
                        if otherwise.is_empty() {
                            self.keep_if_stopped(then, before);
                        } else {
                            let after = std::mem::replace(&mut self.ledger, before);
                            let words = Words::plain(say::OTHERWISE, *otherwise_span);
                            let fork = Fork { words, ticked: true, ..Fork::default() };
                            self.under.push(rest.clone().negated());
                            self.known.assumed.push(rest.negated());
                            self.forked(fork, otherwise, depth, rows);
                            self.under.pop();
                            self.known.assumed.pop();
                            if !ends(then) {
                                self.ledger = after;
                            }
                        }
                    }
                }
            }
            Block::Until { condition, at_most, then, body, before_next, span, .. } => {
                self.gather.condition(condition);
                let fork = self.until_fork(condition, *at_most, then, *span);
                rows.push(Row { depth: depth + 1, kind: RowKind::Fork(fork) });
                self.blocks(body, depth + 1, rows);
                if !before_next.is_empty() {
                    let before = self.ledger.clone();
                    let words = Words::plain(say::BEFORE_NEXT_TRY, None);
                    self.forked(Fork { words, ..Fork::default() }, before_next, depth + 1, rows);
                    self.ledger = before;
                }
            }
            Block::ForEach { set, one_after_the_other, body, span } => {
                let fork = self.each_fork(*set, *one_after_the_other, *span);
                self.loops.push(*set);
                self.forked(fork, body, depth, rows);
                self.loops.pop();
            }
            Block::Follow { title, body, span, .. } => {
                let has_stages = body.iter().any(|block| matches!(block, Block::Stage(_)));
                if has_stages {
                    self.blocks(body, depth, rows);
                    return;
                }
                let words = Words::plain(sentence::capital(title), Some(*span));
                let at = rows.len();
                rows.push(Row { depth, kind: RowKind::Heading { words, details: Vec::new() } });
                self.blocks(body, depth, rows);
                if rows.len() == at + 1 {
                    rows.pop();
                }
            }
            Block::Reverse(reversed) => self.blocks(&reversed.body, depth, rows),
        }
    }

    fn step(&mut self, step: &'p Step, depth: usize, rows: &mut Vec<Row>) {
        if let Some(kind) = self.row_of(step) {
            rows.push(Row { depth, kind });
        }
    }

    /// A block under its head; nothing if nothing is in it.
    fn forked(&mut self, fork: Fork, body: &'p [Block], depth: usize, rows: &mut Vec<Row>) {
        let at = rows.len();
        rows.push(Row { depth: depth + 1, kind: RowKind::Fork(fork) });
        self.blocks(body, depth + 1, rows);
        if rows.len() == at + 1 {
            rows.pop();
        }
    }

    /// What a way did that ends here does not hold for those that go on.
    fn keep_if_stopped(&mut self, body: &[Block], before: Ledger) {
        if ends(body) {
            self.ledger = before;
        }
    }

    /// Does something with the member known that a condition asks for.
    fn narrowed(&mut self, rest: &Condition, inside: impl FnOnce(&mut Self)) {
        let mut members = Vec::new();
        let all = match rest {
            Condition::All(all) => all.as_slice(),
            other => std::slice::from_ref(other),
        };
        for one in all {
            if let Condition::Member(set, member) = one {
                members.push((*set, *member));
            }
        }
        let count = members.len();
        self.known.narrowed.extend(members);
        self.under.push(rest.clone());
        self.known.assumed.push(rest.clone());
        inside(self);
        self.under.pop();
        self.known.assumed.pop();
        let left = self.known.narrowed.len() - count;
        self.known.narrowed.truncate(left);
    }

    fn with_fork(&self, rest: &Condition, span: Span) -> Fork {
        let text = match rest {
            Condition::Member(..) => format!("{} {}", say::ONLY, condition::words(self.job, rest)),
            Condition::Not(inner) if matches!(**inner, Condition::Option(_)) => {
                format!("{} {}", say::ONLY_WITHOUT, condition::words(self.job, inner))
            }
            _ => format!("{} {}", say::ONLY_WITH_TITLE, condition::words(self.job, rest)),
        };
        let words = Words::plain(text, Some(span));
        Fork { words, ticked: !matches!(rest, Condition::Member(..)), ..Fork::default() }
    }

    fn if_fork(&self, rest: &Condition, span: Span) -> Fork {
        let words = Words::plain(format!("{} {}", say::IF, condition::words(self.job, rest)), Some(span));
        Fork { words, ticked: true, ..Fork::default() }
    }

    fn each_fork(&self, set: SetId, one_after_the_other: bool, span: Span) -> Fork {
        let set = &self.job[set];
        let text = format!("{} {}: {}", say::FOR_EACH, set.name, set.members.join(", "));
        let below = one_after_the_other.then(|| Words::plain(say::ONE_AFTER_THE_OTHER, None));
        Fork { words: Words::plain(text, Some(span)), below, ..Fork::default() }
    }

    /// A loop over several stages, one member after the other: the stages are printed once, so it must be said that
    /// one member goes through all of them before the next is begun.
    fn all_stages_first(&self, set: SetId, body: &[Block]) -> Option<Words> {
        let titles: Vec<&str> = body
            .iter()
            .filter_map(|block| match block {
                Block::Stage(stage) => Some(stage.title.as_str()),
                _ => None,
            })
            .collect();
        let (first, last) = (titles.first()?, titles.last()?);
        if titles.len() < 2 {
            return None;
        }
        let members = &self.job[set].members;
        let (one, others) = members.split_first()?;
        let text = format!(
            "{} {one} {} \u{201c}{first}\u{201d} {} \u{201c}{last}\u{201d}, {} {}.",
            say::FIRST,
            say::THROUGH_ALL_STAGES_FROM,
            say::TO,
            say::THEN_THE_SAME_FOR,
            others.join(&format!(", {} ", say::THEN)),
        );
        Some(Words::plain(text, None))
    }

    fn until_fork(&self, condition: &Condition, at_most: Option<u32>, then: &UntilThen, span: Span) -> Fork {
        let mut text = format!("{} {}", say::UNTIL_TITLE, condition::words(self.job, &self.known.rest(condition)));
        if let Some(most) = at_most {
            let times = if most == 1 { say::TIME_WORD } else { say::TIMES };
            text.push_str(&format!(", {} {most} {times}", say::AT_MOST));
        }
        let prose = |prose: &Option<crate::procedure::Prose>| {
            prose.as_ref().map(|prose| words_of(self.job, prose, self.units).text())
        };
        let (word, prose) = match then {
            UntilThen::Stop(words) => (say::STOP_LOWER.to_owned(), prose(words)),
            UntilThen::Bad(thing, words) => {
                (format!("{} {}", super::name::the(self.job, thing), say::IS_BAD), prose(words))
            }
            UntilThen::Words(words, more) => (words.clone(), prose(more)),
        };
        let mut below = format!("{} {word}.", say::IF_IT_NEVER_IS);
        if let Some(prose) = prose.filter(|prose| !prose.is_empty()) {
            below.push(' ');
            below.push_str(&prose);
        }
        Fork {
            words: Words::plain(text, Some(span)),
            tries: at_most.unwrap_or(0) as usize,
            below: Some(Words::plain(below, Some(span))),
            ..Fork::default()
        }
    }

    /// The members of a set that are worked on here.
    pub(super) fn open_members(&self, set: SetId) -> Vec<u32> {
        match self.known.narrowed.iter().rev().find(|(narrowed, _)| *narrowed == set) {
            Some((_, member)) => vec![*member],
            None => (0..self.job[set].members.len() as u32).collect(),
        }
    }
}

/// States told in a band.
const MOST_STATES: usize = 6;

/// Whether a way ends in a stop.
fn ends(body: &[Block]) -> bool {
    matches!(body.last(), Some(Block::Step(step)) if step.verb == Verb::Stop)
}

/// Numbers the stages that stand in no other, in the order of the file.
fn number_stages(blocks: &[Block], numbers: &mut HashMap<*const Stage, usize>) {
    for block in blocks {
        match block {
            Block::Step(_) => {}
            Block::Stage(stage) => {
                let next = numbers.len();
                numbers.insert(std::ptr::from_ref(stage), next);
            }
            Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => {
                number_stages(body, numbers);
            }
            Block::If { then, otherwise, .. } => {
                number_stages(then, numbers);
                number_stages(otherwise, numbers);
            }
            Block::Until { body, before_next, .. } => {
                number_stages(body, numbers);
                number_stages(before_next, numbers);
            }
            Block::Reverse(reversed) => number_stages(&reversed.body, numbers),
        }
    }
}

/// Every thing that a condition calls bad.
fn judged_in(blocks: &[Block], judged: &mut BTreeSet<ThingId>) {
    let mut note = |condition: &Condition| {
        condition.atoms(&mut |atom| {
            if let Condition::Found(Found::Bad(reference)) = atom {
                judged.insert(reference.thing);
            }
        });
    };
    for block in blocks {
        match block {
            Block::With { condition, .. } | Block::If { condition, .. } | Block::Until { condition, .. } => {
                note(condition);
            }
            _ => {}
        }
    }
    for block in blocks {
        match block {
            Block::Step(_) => {}
            Block::Stage(stage) => judged_in(&stage.body, judged),
            Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => {
                judged_in(body, judged);
            }
            Block::If { then, otherwise, .. } => {
                judged_in(then, judged);
                judged_in(otherwise, judged);
            }
            Block::Until { body, before_next, .. } => {
                judged_in(body, judged);
                judged_in(before_next, judged);
            }
            Block::Reverse(reversed) => judged_in(&reversed.body, judged),
        }
    }
}
