//! Walking the body of the job, on all ways at once: blocks, loops, tries, stages in their order of time.

use super::band::Bands;
use super::bdd::{ALWAYS, Cond, NEVER};
use super::fault::{FaultKind, Why};
use super::shop::{RawFault, Shop};
use super::state::Mark;
use super::world::Unit;
use crate::procedure::{Block, Condition, SetId, Stage, StageWhen, Step, UntilThen, Verb};
use crate::source::Span;
use std::collections::BTreeMap;

/// So many passes through an `until` stand for all: the first, and one after `before the next try`.
const TRIES: u32 = 2;
/// Acts that are walked at most; each turn of a loop counts as one too.
const MOST_ACTS: usize = 20_000;

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
    numbers: &'w StageNumbers,
    phase: Phase,
    /// In a stage (nested ones belong to it).
    in_stage: bool,
    /// The stage's steps are of this phase.
    active: bool,
    /// The ways that came to the end of the job proper, and when that was.
    pub finished: (Cond, u32),
    /// Looks at everything after each step, where the lives of things are wanted.
    pub recorder: Option<super::trace::Recorder>,
}

impl<'w, 'p> Walk<'w, 'p> {
    pub fn new(shop: Shop<'p>, numbers: &'w StageNumbers) -> Self {
        Self {
            shop,
            bands: Bands::default(),
            acts: 0,
            numbers,
            phase: Phase::Main,
            in_stage: false,
            active: true,
            finished: (ALWAYS, u32::MAX),
            recorder: None,
        }
    }

    /// The whole job: what is done before, the job, each follow-up from its own home state.
    pub fn run(&mut self) {
        let body = &self.shop.procedure().body;
        self.phase(Phase::Before, body);
        self.phase(Phase::Main, body);
        if self.shop.too_much {
            return self.too_much();
        }
        self.shop.end();
        self.finished = (self.shop.alive, self.shop.now());
        let mut follow_ups = Vec::new();
        list_follow_ups(body, &mut |stage| follow_ups.extend(self.numbers.get(&std::ptr::from_ref(stage))));
        // A follow-up that ends early ends alone.
        self.shop.forget_ended = false;
        let alive = self.shop.alive;
        for number in follow_ups {
            self.shop.sign_off();
            self.phase(Phase::FollowUp(number), body);
            self.shop.end();
            self.shop.alive = alive;
        }
        if self.shop.too_much {
            self.too_much();
        }
    }

    fn phase(&mut self, phase: Phase, body: &'p [Block]) {
        self.phase = phase;
        self.in_stage = false;
        self.active = phase == Phase::Main;
        self.blocks(body);
    }

    /// Walks something on those of the ways on which it is done.
    fn on(&mut self, ways: Cond, walk: impl FnOnce(&mut Self)) {
        let here = std::mem::replace(&mut self.shop.here, ways);
        walk(self);
        self.shop.here = here;
    }

    fn nobody_comes_here(&self) -> bool {
        self.shop.too_much || self.shop.run.bdd.and(self.shop.here, self.shop.alive) == NEVER
    }

    fn blocks(&mut self, body: &'p [Block]) {
        for block in body {
            if self.nobody_comes_here() {
                return;
            }
            match block {
                Block::Step(step) => self.step(step),
                Block::Stage(stage) => self.stage(stage),
                Block::With { condition, body, text, span } => {
                    let (yes, _) = self.holds(condition, text, *span);
                    self.on(yes, |walk| walk.blocks(body));
                }
                Block::If { condition, text, then, otherwise, span, .. } => {
                    let (yes, no) = self.holds(condition, text, *span);
                    self.on(yes, |walk| walk.blocks(then));
                    self.on(no, |walk| walk.blocks(otherwise));
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
        if self.acts > MOST_ACTS {
            self.shop.too_much = true;
        }
        self.shop.looks_taken += 1;
        self.shop.step = Some(step);
        self.shop.mark = Mark { span: step.head_span, step: step.id, verb: step.verb };
        self.shop.act(step);
        self.shop.step = None;
        if let Some(recorder) = &mut self.recorder {
            recorder.look(&mut self.shop);
        }
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
            self.bands.note(number, &mut self.shop);
        }
        (self.in_stage, self.active) = (true, true);
        self.blocks(&stage.body);
        (self.in_stage, self.active) = (false, self.phase == Phase::Main);
    }

    /// The ways that come here and on which a condition holds, and those on which it doesn't.
    fn holds(&mut self, condition: &Condition, text: &str, span: Span) -> (Cond, Cond) {
        let (mut yes, mut no, unlooked) = self.truth(condition, 0);
        if unlooked != NEVER {
            if self.active {
                self.unlooked(unlooked, condition, text, span);
            }
            // Told or not: what nobody looked at counts as in order.
            let parts = self.shop.tell_apart_on(unlooked, |shop| shop.condition(condition, 0).unwrap_or(false));
            for (truth, cond) in parts {
                let side = if truth { &mut yes } else { &mut no };
                *side = self.shop.run.bdd.or(*side, cond);
            }
        }
        (yes, no)
    }

    /// The ways that come here on which a condition holds, doesn't, and hangs on what nobody looked at.
    fn truth(&mut self, condition: &Condition, since: u32) -> (Cond, Cond, Cond) {
        let (mut yes, mut no, mut unlooked) = (NEVER, NEVER, NEVER);
        for (truth, cond) in self.shop.tell_apart_here(|shop| shop.condition(condition, since)) {
            match truth {
                Some(true) => yes = cond,
                Some(false) => no = cond,
                None => unlooked = cond,
            }
        }
        (yes, no, unlooked)
    }

    /// Tells a condition on what nobody looked at; from here on it counts as looked at and in order.
    fn unlooked(&mut self, ways: Cond, condition: &Condition, text: &str, span: Span) {
        let raw = self.block_fault(FaultKind::NotReady, Why::NotLookedAt(text.to_owned()), span);
        self.shop.looks_taken += 1;
        self.shop.each_way_of(ways, &mut |shop| {
            let mut fault = raw.clone();
            fault.same = Some(shop.take_as_looked(condition));
            shop.fault(fault, None, None);
        });
    }

    fn block_fault(&self, kind: FaultKind, why: Why, span: Span) -> RawFault {
        let mark = Mark { span, step: self.shop.mark.step, verb: Verb::Do };
        RawFault::new(kind, mark, why)
    }

    /// The first try, and one after `before the next try`, which stands for all others.
    fn until(&mut self, until: &Until<'p>) {
        self.shop.in_until += 1;
        let entry = self.shop.here;
        let tries = until.at_most.unwrap_or(TRIES).clamp(1, TRIES);
        let (mut came_true, mut looked) = (NEVER, NEVER);
        let mut going_on = entry;
        for nth in 0..tries {
            self.shop.turn.push(nth);
            self.on(going_on, |walk| {
                if nth > 0 {
                    walk.blocks(until.before_next);
                }
                let since = walk.shop.looks_taken;
                walk.blocks(until.body);
                let (yes, no, unlooked) = walk.truth(until.condition, since);
                let bdd = &walk.shop.run.bdd;
                came_true = bdd.or(came_true, yes);
                looked = bdd.or(looked, bdd.or(yes, no));
                going_on = bdd.or(no, unlooked);
            });
            self.shop.turn.pop();
        }
        self.shop.in_until -= 1;
        if !self.active || self.shop.too_much {
            return;
        }
        let bdd = &self.shop.run.bdd;
        let alive = self.shop.alive;
        let unlooked = bdd.and(bdd.without(entry, looked), alive);
        let in_vain = bdd.and(bdd.without(bdd.and(entry, looked), came_true), alive);
        let came_true = bdd.and(came_true, alive);
        if unlooked != NEVER {
            self.unlooked(unlooked, until.condition, until.text, until.span);
        }
        self.shop.looks_taken += 1;
        match until.then {
            // It was looked at, and it is in order; or not.
            UntilThen::Bad(reference, _) => {
                self.shop.each_way_of(came_true, &mut |shop| shop.verdict(reference, false));
                self.shop.each_way_of(in_vain, &mut |shop| shop.verdict(reference, true));
            }
            UntilThen::Stop(_) => self.shop.each_way_of(in_vain, &mut Shop::stop),
            UntilThen::Words(..) => {}
        }
    }

    fn for_each(&mut self, set: SetId, one_after_the_other: bool, body: &'p [Block], span: Span) {
        let members = self.shop.world.set_size(set);
        for member in 0..members {
            self.acts += 1;
            if self.acts > MOST_ACTS {
                self.shop.too_much = true;
            }
            if self.nobody_comes_here() {
                return;
            }
            let before = std::mem::take(&mut self.shop.acted_on);
            let home: BTreeMap<Unit, Cond> = if one_after_the_other {
                let mine: Vec<Unit> = (0..self.shop.world.thing.len())
                    .filter(|u| self.shop.world.each(*u) == Some(set) && self.shop.world.member[*u] == member)
                    .collect();
                mine.into_iter().map(|u| (u, self.where_home(u))).collect()
            } else {
                BTreeMap::new()
            };
            self.shop.loops.push((set, member));
            self.shop.turn.push(member);
            self.blocks(body);
            self.shop.turn.pop();
            self.shop.loops.pop();
            if one_after_the_other && self.active_loop() && member + 1 < members {
                self.first_is_home(&home, span);
            }
            self.shop.acted_on.extend(before);
        }
    }

    fn where_home(&mut self, unit: Unit) -> Cond {
        let parts = self.shop.tell_apart_here(|shop| shop.is_home(unit));
        parts.into_iter().find(|(home, _)| *home).map_or(NEVER, |(_, cond)| cond)
    }

    /// Tells once that the proof ends here.
    fn too_much(&mut self) {
        let span = self.shop.mark.span;
        let why = if self.acts > MOST_ACTS { Why::Plain } else { Why::TooManyChoices };
        let fault = self.block_fault(FaultKind::TooMuchToProve, why, span);
        self.shop.faults.push((ALWAYS, fault));
    }

    /// A loop that holds stages is walked in every phase; only in its own does it count.
    fn active_loop(&self) -> bool {
        self.phase == Phase::Main
    }

    /// What this member's turn took away must be home before the next one's begins; what only waits for a later
    /// state (`tighten at vehicle lowered`) is as good as home.
    fn first_is_home(&mut self, home: &BTreeMap<Unit, Cond>, span: Span) {
        for unit in self.shop.acted_on.clone() {
            let Some(was_home) = home.get(&unit) else { continue };
            let ways = self.shop.run.bdd.and(*was_home, self.shop.here);
            let mut early = self.block_fault(FaultKind::SetIncomplete, Why::Thing(self.shop.world.thing[unit]), span);
            early.unit = Some(unit);
            early.other = vec![(super::fault::Place::LeftHome, super::shop::Where::LeftHome(unit))];
            self.on(ways, |walk| {
                let parts = walk.shop.tell_apart_here(|shop| {
                    // A fastener of what is away itself is no mistake of its own.
                    let of_another =
                        shop.world.is_group(unit) && shop.holds(unit).iter().any(|h| shop.on(*h).is_none());
                    !of_another && !shop.is_home(unit) && !shop.only_waits(unit)
                });
                if let Some((_, cond)) = parts.into_iter().find(|(not_yet, _)| *not_yet) {
                    early.time = walk.shop.now();
                    walk.shop.begun_early.push((cond, early));
                }
            });
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
