//! The ways through a job: which choices a walk meets, and which walks are worth taking.
//!
//! A choice is an option (known before printing) or an outcome (found at the machine). The usual way has every option
//! on and finds everything in order. From each walk the choices that it met are turned over one by one, so that walks
//! come in the order of how much is unusual about them; after [`MOST_WAYS`] walks or [`MOST_ACTS`] acts it ends.

use super::found::Look;
use super::world::OptionValues;
use crate::procedure::{AskId, Block, Condition, Found, MeasurementId, OptionId, Procedure, StepId, ThingId};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// Walks that are taken at most.
pub(super) const MOST_WAYS: usize = 600;
/// Acts that are walked at most, over all walks.
pub(super) const MOST_ACTS: usize = 400_000;
/// Acts that are walked at most on one way; each turn of a loop counts as one too.
pub(super) const MOST_ACTS_OF_A_WAY: usize = 20_000;
/// So many unusual choices are combined at most.
pub(super) const MOST_UNUSUAL: usize = 3;

/// One choice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Choice {
    Option(OptionId),
    /// The n-th time that this step looks at this.
    Found {
        step: StepId,
        look: Look,
        member: Option<u32>,
        nth: u32,
    },
}

/// A choice as it was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Made {
    pub choice: Choice,
    pub value: u32,
    pub arity: u32,
}

/// What is turned over, against the usual.
pub(super) type Unusual = BTreeMap<Choice, u32>;

/// The choices of one walk.
#[derive(Clone, Debug)]
pub(super) struct Choices {
    unusual: Unusual,
    pub made: Vec<Made>,
    times: BTreeMap<(StepId, Look, Option<u32>), u32>,
    consulted: std::rc::Rc<Consulted>,
}

/// What conditions of the job ask for, and the answers that let it go on.
#[derive(Debug, Default)]
pub(super) struct Consulted {
    things: BTreeSet<ThingId>,
    measurements: BTreeSet<MeasurementId>,
    asks: BTreeSet<AskId>,
    usual: BTreeMap<AskId, u32>,
}

impl Choices {
    pub fn new(unusual: Unusual, consulted: std::rc::Rc<Consulted>) -> Self {
        Self { unusual, made: Vec::new(), times: BTreeMap::new(), consulted }
    }

    fn make(&mut self, choice: Choice, arity: u32, usual: u32) -> u32 {
        let value = self.unusual.get(&choice).copied().unwrap_or(usual);
        self.made.push(Made { choice, value, arity });
        value
    }

    /// The options of this walk.
    pub fn options(&mut self, procedure: &Procedure) -> OptionValues {
        let mut values: OptionValues = vec![None; procedure.options.len()];
        for (index, option) in procedure.options.iter().enumerate() {
            let id = OptionId(u32::try_from(index).unwrap_or(u32::MAX));
            let possible = option.only_with.as_ref().is_none_or(|condition| {
                condition.holds(&mut |atom| match atom {
                    Condition::Option(o) => values.get(o.index()).copied().flatten() == Some(1),
                    Condition::OptionIs(o, v) => values.get(o.index()).copied().flatten() == Some(*v),
                    _ => true,
                })
            });
            if !possible {
                // A yes / no option that cannot be is off; a one-of has no value at all.
                values[index] = option.values.is_empty().then_some(0);
                continue;
            }
            let arity =
                if option.values.is_empty() { 2 } else { u32::try_from(option.values.len()).unwrap_or(u32::MAX) };
            let usual = u32::from(option.values.is_empty());
            values[index] = Some(self.make(Choice::Option(id), arity, usual));
        }
        values
    }

    /// An outcome at the machine.
    pub fn at_machine(&mut self, step: StepId, look: Look, member: Option<u32>, arity: u32, usual: u32) -> u32 {
        let nth = self.times.entry((step, look, member)).or_insert(0);
        let choice = Choice::Found { step, look, member, nth: *nth };
        *nth += 1;
        self.make(choice, arity, usual)
    }

    pub fn consults_thing(&self, thing: ThingId) -> bool {
        self.consulted.things.contains(&thing)
    }

    pub fn consults_measurement(&self, id: MeasurementId) -> bool {
        self.consulted.measurements.contains(&id)
    }

    pub fn consults_ask(&self, id: AskId) -> bool {
        self.consulted.asks.contains(&id)
    }

    pub fn usual_answer(&self, id: AskId) -> u32 {
        self.consulted.usual.get(&id).copied().unwrap_or(0)
    }
}

impl Consulted {
    /// Reads every condition of the job.
    pub fn of(procedure: &Procedure) -> Self {
        let mut consulted = Self::default();
        for (index, thing) in procedure.things.iter().enumerate() {
            // Whether it may go back hangs on what was found of it, with or without an `if`.
            if thing.all_facts().any(|(_, f)| f.new_if_bad) {
                consulted.things.insert(ThingId(u32::try_from(index).unwrap_or(u32::MAX)));
            }
        }
        let mut weight: BTreeMap<AskId, Vec<i32>> = BTreeMap::new();
        consulted.blocks(procedure, &procedure.body, &mut weight);
        for (ask, weights) in weight {
            let most = weights.iter().copied().max().unwrap_or(0);
            let usual = weights.iter().position(|w| *w == most).unwrap_or(0);
            consulted.usual.insert(ask, u32::try_from(usual).unwrap_or(0));
        }
        consulted
    }

    fn blocks(&mut self, procedure: &Procedure, body: &[Block], weight: &mut BTreeMap<AskId, Vec<i32>>) {
        for block in body {
            match block {
                Block::Step(_) => {}
                Block::Stage(stage) => self.blocks(procedure, &stage.body, weight),
                Block::With { condition, body, .. } => {
                    self.condition(condition);
                    self.blocks(procedure, body, weight);
                }
                Block::If { condition, then, otherwise, .. } => {
                    self.condition(condition);
                    weigh(procedure, condition, -stops(then), -stops(otherwise), weight);
                    self.blocks(procedure, then, weight);
                    self.blocks(procedure, otherwise, weight);
                }
                Block::Until { condition, body, before_next, .. } => {
                    self.condition(condition);
                    weigh(procedure, condition, 1, 0, weight);
                    self.blocks(procedure, body, weight);
                    self.blocks(procedure, before_next, weight);
                }
                Block::ForEach { body, .. } | Block::Follow { body, .. } => self.blocks(procedure, body, weight),
                Block::Reverse(reversed) => self.blocks(procedure, &reversed.body, weight),
            }
        }
    }

    fn condition(&mut self, condition: &Condition) {
        condition.atoms(&mut |atom| match atom {
            Condition::Found(Found::Bad(reference)) => {
                self.things.insert(reference.thing);
            }
            Condition::Found(Found::Outside(id)) => {
                self.measurements.insert(*id);
            }
            Condition::Found(Found::Answer(id, _)) => {
                self.asks.insert(*id);
            }
            _ => {}
        });
    }
}

/// Whether a body ends the job at once.
fn stops(body: &[Block]) -> i32 {
    i32::from(body.iter().any(|b| matches!(b, Block::Step(s) if s.verb == crate::procedure::Verb::Stop)))
}

/// Weighs the answers of each question in a condition: `yes` where it makes it true, `no` where false.
fn weigh(procedure: &Procedure, condition: &Condition, yes: i32, no: i32, weight: &mut BTreeMap<AskId, Vec<i32>>) {
    let mut asks = BTreeSet::new();
    condition.atoms(&mut |atom| {
        if let Condition::Found(Found::Answer(id, _)) = atom {
            asks.insert(*id);
        }
    });
    for ask in asks {
        let answers = procedure.asks.get(ask.index()).map_or(0, |a| a.answers.len());
        let weights = weight.entry(ask).or_insert_with(|| vec![0; answers]);
        for (answer, weight) in weights.iter_mut().enumerate() {
            let truth = condition.holds_partly(&mut |atom| match atom {
                Condition::Found(Found::Answer(id, a)) if *id == ask => Some(*a as usize == answer),
                _ => None,
            });
            *weight += match truth {
                Some(true) => yes,
                Some(false) => no,
                None => 0,
            };
        }
    }
}

/// The walks still to be taken.
#[derive(Debug, Default)]
pub(super) struct Queue {
    levels: Vec<VecDeque<Unusual>>,
}

impl Queue {
    /// Begins with the usual way.
    pub fn new() -> Self {
        Self { levels: vec![VecDeque::from([Unusual::new()])] }
    }

    /// The next walk, the least unusual first.
    pub fn next(&mut self) -> Option<Unusual> {
        self.levels.iter_mut().find_map(VecDeque::pop_front)
    }

    /// Adds what can be turned over after the last unusual choice of a finished walk.
    pub fn add_from(&mut self, unusual: &Unusual, made: &[Made]) {
        let start = made.iter().rposition(|m| unusual.contains_key(&m.choice)).map_or(0, |i| i + 1);
        for made in &made[start..] {
            for value in (0..made.arity).filter(|v| *v != made.value) {
                let mut next = unusual.clone();
                next.insert(made.choice, value);
                let level = weight_of(&next);
                if level > MOST_UNUSUAL {
                    continue;
                }
                if self.levels.len() <= level {
                    self.levels.resize_with(level + 1, VecDeque::new);
                }
                if let Some(queue) = self.levels.get_mut(level)
                    && queue.len() < MOST_WAYS
                {
                    queue.push_back(next);
                }
            }
        }
    }
}

/// How much is unusual: the same step coming out the same way at the next try of an `until` adds nothing.
fn weight_of(unusual: &Unusual) -> usize {
    let distinct: BTreeSet<_> = unusual
        .keys()
        .map(|c| match c {
            Choice::Option(id) => (Some(*id), None),
            Choice::Found { step, look, member, .. } => (None, Some((*step, *look, *member))),
        })
        .collect();
    distinct.len()
}
