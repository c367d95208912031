//! Walking the body of the job on one way: blocks, loops, tries, stages in their order of time.

use super::band::Bands;
use super::fault::{FaultKind, Why};
use super::shop::{RawFault, Shop};
use super::state::Mark;
use super::world::Unit;
use crate::procedure::{Block, Condition, SetId, Stage, StageWhen, Step, UntilThen, Verb, Version};
use crate::source::Span;
use std::collections::BTreeMap;

/// So many passes through an `until` stand for all: the first, and one after `before the next try`.
const TRIES: u32 = 2;

/// The part of the job that is walked.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Phase {
    /// `the day before`
    Before,
    Main,
    /// The follow-up stage of this number.
    FollowUp(usize),
}

/// Stages by address: their number in the order of the file.
pub(super) type StageNumbers = BTreeMap<*const Stage, usize>;

/// A walk.
pub(super) struct Walk<'w, 'p> {
    pub shop: Shop<'p>,
    pub bands: Bands,
    pub acts: usize,
    pub most_acts: usize,
    /// The walk was cut short.
    pub cut: bool,
    numbers: &'w StageNumbers,
    phase: Phase,
    /// In a stage (nested ones belong to it).
    in_stage: bool,
    /// The stage's steps are of this phase.
    active: bool,
    /// The logs at the end of the job proper, before the follow-ups.
    pub logs: Vec<super::state::Log>,
}

impl<'w, 'p> Walk<'w, 'p> {
    pub fn new(shop: Shop<'p>, numbers: &'w StageNumbers, most_acts: usize) -> Self {
        Self {
            shop,
            bands: Bands::default(),
            acts: 0,
            most_acts,
            cut: false,
            numbers,
            phase: Phase::Main,
            in_stage: false,
            active: true,
            logs: Vec::new(),
        }
    }

    /// The whole job: what is done before, the job, each follow-up from its own home state.
    pub fn run(&mut self) {
        let body = &self.shop.procedure().body;
        self.phase(Phase::Before, body);
        self.phase(Phase::Main, body);
        if self.shop.stopped {
            self.shop.stop();
        } else {
            self.shop.end();
        }
        self.logs = self.shop.machine.units.iter().map(|u| u.log.clone()).collect();
        let mut follow_ups = Vec::new();
        list_follow_ups(body, &mut |stage| follow_ups.extend(self.numbers.get(&std::ptr::from_ref(stage))));
        for number in follow_ups {
            if self.shop.stopped {
                return;
            }
            self.shop.sign_off();
            self.phase(Phase::FollowUp(number), body);
            if self.shop.stopped {
                self.shop.stop();
            } else {
                self.shop.end();
            }
            self.shop.stopped = false;
        }
    }

    fn phase(&mut self, phase: Phase, body: &'p [Block]) {
        self.phase = phase;
        self.in_stage = false;
        self.active = phase == Phase::Main;
        self.blocks(body);
    }

    fn blocks(&mut self, body: &'p [Block]) {
        for block in body {
            if self.shop.stopped {
                return;
            }
            if self.acts >= self.most_acts {
                return self.too_much(self.shop.mark.span);
            }
            match block {
                Block::Step(step) => self.step(step),
                Block::Stage(stage) => self.stage(stage),
                Block::With { condition, body, text, span } => {
                    if self.holds(condition, text, *span) {
                        self.blocks(body);
                    }
                }
                Block::If { condition, text, then, otherwise, span, .. } => {
                    if self.holds(condition, text, *span) {
                        self.blocks(then);
                    } else {
                        self.blocks(otherwise);
                    }
                }
                Block::Until { condition, text, then, body, before_next, span, at_most } => {
                    let once = Until { condition, text, then, body, before_next, span: *span, at_most: *at_most };
                    self.until(&once);
                }
                Block::ForEach { set, one_after_the_other, body, span } => {
                    self.for_each(*set, *one_after_the_other, body, *span);
                }
                Block::Follow { body, .. } => self.blocks(body),
                Block::Reverse(reversed) => self.blocks(&reversed.body),
            }
        }
    }

    fn step(&mut self, step: &'p Step) {
        if !self.active {
            return;
        }
        self.acts += 1;
        self.shop.step = Some(step);
        self.shop.mark = Mark { span: step.head_span, step: step.id, verb: step.verb };
        self.shop.act(step);
        self.shop.step = None;
    }

    fn stage(&mut self, stage: &'p Stage) {
        if self.in_stage {
            return self.blocks(&stage.body);
        }
        let number = self.numbers.get(&std::ptr::from_ref(stage)).copied();
        let active = match self.phase {
            Phase::Before => matches!(stage.when, StageWhen::Before(_)),
            Phase::Main => !stage.when.is_follow_up() && !matches!(stage.when, StageWhen::Before(_)),
            Phase::FollowUp(wanted) => number == Some(wanted),
        };
        if !active {
            return;
        }
        if let Some(number) = number
            && !matches!(self.phase, Phase::FollowUp(_))
        {
            self.bands.note(number, &self.shop);
        }
        (self.in_stage, self.active) = (true, true);
        self.blocks(&stage.body);
        (self.in_stage, self.active) = (false, self.phase == Phase::Main);
    }

    fn holds(&mut self, condition: &Condition, text: &str, span: Span) -> bool {
        match self.shop.condition(condition, 0) {
            Some(truth) => truth,
            None => {
                if self.active {
                    self.unlooked(condition, text, span);
                }
                self.shop.condition(condition, 0).unwrap_or(false)
            }
        }
    }

    /// Tells a condition on what nobody looked at; from here on it counts as looked at and in order.
    fn unlooked(&mut self, condition: &Condition, text: &str, span: Span) {
        let mut fault = self.block_fault(FaultKind::NotReady, Why::NotLookedAt(text.to_owned()), span);
        let facts = self.shop.take_as_looked(condition);
        fault.same = Some(facts);
        self.shop.fault(fault, None, None);
    }

    fn block_fault(&self, kind: FaultKind, why: Why, span: Span) -> RawFault {
        RawFault {
            kind,
            mark: Mark { span, step: self.shop.mark.step, verb: Verb::Do },
            unit: None,
            version: Version::Unsaid,
            why,
            other: None,
            counts: None,
            same: None,
        }
    }

    fn until(&mut self, until: &Until<'p>) {
        self.shop.in_until += 1;
        let tries = until.at_most.unwrap_or(TRIES).clamp(1, TRIES);
        let mut came_true = false;
        let mut looked = false;
        for nth in 0..tries {
            if nth > 0 {
                self.blocks(until.before_next);
            }
            let since = self.shop.looks.now();
            self.blocks(until.body);
            if self.shop.stopped {
                break;
            }
            let truth = self.shop.condition(until.condition, since);
            looked |= truth.is_some();
            if truth == Some(true) {
                came_true = true;
                break;
            }
        }
        self.shop.in_until -= 1;
        if self.shop.stopped || !self.active {
            return;
        }
        if !looked {
            self.unlooked(until.condition, until.text, until.span);
        } else if came_true {
            // It was looked at, and it is in order.
            if let UntilThen::Bad(reference, _) = until.then {
                self.shop.verdict(reference, false);
            }
        } else {
            match until.then {
                UntilThen::Stop(_) => self.shop.stopped = true,
                UntilThen::Bad(reference, _) => self.shop.verdict(reference, true),
                UntilThen::Words(..) => {}
            }
        }
    }

    fn for_each(&mut self, set: SetId, one_after_the_other: bool, body: &'p [Block], span: Span) {
        let members = self.shop.world.set_size(set);
        for member in 0..members {
            self.acts += 1;
            if self.acts >= self.most_acts {
                return self.too_much(span);
            }
            let before: Vec<Unit> = std::mem::take(&mut self.shop.acted_on);
            let home: Vec<bool> = if one_after_the_other {
                let shop = &self.shop;
                let mine = |u: Unit| shop.world.each(u) == Some(set) && shop.world.member[u] == member;
                (0..shop.world.thing.len()).map(|u| mine(u) && shop.is_home(u)).collect()
            } else {
                Vec::new()
            };
            self.shop.loops.push((set, member));
            self.blocks(body);
            self.shop.loops.pop();
            if self.shop.stopped {
                return;
            }
            if one_after_the_other && self.active_loop() && member + 1 < members {
                self.first_is_home(set, member, &home, span);
            }
            let acted: Vec<Unit> = std::mem::replace(&mut self.shop.acted_on, before);
            for unit in acted {
                if !self.shop.acted_on.contains(&unit) {
                    self.shop.acted_on.push(unit);
                }
            }
        }
    }

    /// Tells once that the walk ends here.
    fn too_much(&mut self, span: Span) {
        if !self.cut {
            self.cut = true;
            let fault = self.block_fault(FaultKind::TooMuchToProve, Why::Plain, span);
            self.shop.faults.push(fault);
        }
        // What the rest would have brought home is not asked for.
        self.shop.stopped = true;
    }

    /// A loop that holds stages is walked in every phase; only in its own does it count.
    fn active_loop(&self) -> bool {
        self.phase == Phase::Main
    }

    /// What this member's turn took away must be home before the next one's begins; what only waits for a later
    /// state (`tighten at vehicle lowered`) is as good as home.
    fn first_is_home(&mut self, set: SetId, member: u32, home: &[bool], span: Span) {
        for unit in self.shop.acted_on.clone() {
            let world = &self.shop.world;
            let mine = world.each(unit) == Some(set) && world.member[unit] == member;
            if !mine || !home[unit] || self.shop.is_home(unit) || self.shop.only_waits(unit) {
                continue;
            }
            let mut early = self.block_fault(FaultKind::SetIncomplete, Why::Thing(world.thing[unit]), span);
            early.unit = Some(unit);
            early.other = self.shop.unit(unit).left_home.map(|m| (super::fault::Place::LeftHome, m.span));
            self.shop.begun_early.push(early);
        }
    }
}

/// The parts of an `until` block.
struct Until<'p> {
    condition: &'p Condition,
    text: &'p str,
    then: &'p UntilThen,
    body: &'p [Block],
    before_next: &'p [Block],
    span: Span,
    at_most: Option<u32>,
}

/// Numbers the outermost stages in the order of the file.
pub(super) fn number_stages(body: &[Block]) -> StageNumbers {
    let mut numbers = StageNumbers::new();
    outer_stages(body, &mut |stage| {
        let number = numbers.len();
        numbers.insert(std::ptr::from_ref(stage), number);
    });
    numbers
}

fn list_follow_ups<'a>(body: &'a [Block], visit: &mut dyn FnMut(&'a Stage)) {
    outer_stages(body, &mut |stage| {
        if stage.when.is_follow_up() {
            visit(stage);
        }
    });
}

/// Every stage that stands in no other, in order.
pub(super) fn outer_stages<'a>(body: &'a [Block], visit: &mut dyn FnMut(&'a Stage)) {
    for block in body {
        match block {
            Block::Stage(stage) => visit(stage),
            Block::Step(_) => {}
            Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => {
                outer_stages(body, visit);
            }
            Block::If { then, otherwise, .. } => {
                outer_stages(then, visit);
                outer_stages(otherwise, visit);
            }
            Block::Until { body, before_next, .. } => {
                outer_stages(body, visit);
                outer_stages(before_next, visit);
            }
            Block::Reverse(reversed) => outer_stages(&reversed.body, visit),
        }
    }
}
