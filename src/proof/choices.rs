//! The choices of a job, as variables of its conditions.
//!
//! A choice is an option (known before printing) or an outcome (found at the machine). Options come first, as declared,
//! then outcomes in the order in which the walk meets them: so what hangs together stands near together. The usual value
//! of a choice (an option on, everything found in order) is its first; a choice of n values takes n − 1 variables, of
//! which the first true one says which value it is, so that no combination is left over that means nothing.

use super::bdd::{ALWAYS, Bdd, Cond, NEVER, Var};
use super::found::Look;
use super::lift::Guarded;
use crate::procedure::{AskId, Block, Condition, Found, MeasurementId, OptionId, Procedure, SetId, StepId, ThingId};
use std::collections::{BTreeMap, BTreeSet};

/// One choice.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Choice {
    Option(OptionId),
    /// What a step found. The same step in another turn of a loop, or at another try, finds anew.
    Found {
        step: StepId,
        look: Look,
        member: Option<u32>,
        /// The set of the innermost loop it is done in.
        of: Option<SetId>,
        /// Which turn of each loop and which try of each `until`, outermost first; last, the how-many-eth time.
        turn: Vec<u32>,
    },
}

/// The values of a choice, and the variables that tell them apart.
#[derive(Clone, Debug)]
pub(super) struct Variables {
    pub choice: Choice,
    /// The usual one first.
    pub values: Vec<u32>,
    /// One less than values.
    pub vars: Vec<Var>,
}

/// All choices met so far.
pub(super) struct Choices {
    known: BTreeMap<Choice, usize>,
    pub list: Vec<Variables>,
    consulted: Consulted,
    /// The variables of outcomes begin here.
    pub first_outcome: Var,
    /// Where no option that cannot be is said to be anything but its plainest: off, or its first value.
    pub possible: Cond,
    /// Set, the job is walked on this one way only.
    plain: Option<BTreeMap<Choice, u32>>,
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
    /// For a job; `plain` walks it on that way only, where what it doesn't name is as usual.
    pub fn of(procedure: &Procedure, plain: Option<BTreeMap<Choice, u32>>) -> Self {
        Self {
            known: BTreeMap::new(),
            list: Vec::new(),
            consulted: Consulted::of(procedure),
            first_outcome: 0,
            possible: ALWAYS,
            plain,
        }
    }

    /// The values of a choice with the condition of each, the usual one first.
    fn values(&mut self, bdd: &Bdd, choice: Choice, arity: u32, usual: u32) -> Vec<(Cond, u32)> {
        let usual = usual.min(arity.saturating_sub(1));
        if let Some(plain) = &self.plain {
            return vec![(ALWAYS, plain.get(&choice).copied().unwrap_or(usual))];
        }
        let at = match self.known.get(&choice) {
            Some(at) => *at,
            None => {
                let values: Vec<u32> = std::iter::once(usual).chain((0..arity).filter(|v| *v != usual)).collect();
                let vars = (1..values.len()).map(|_| bdd.variable()).collect();
                self.known.insert(choice.clone(), self.list.len());
                self.list.push(Variables { choice, values, vars });
                self.list.len() - 1
            }
        };
        self.list[at].conditions(bdd)
    }

    /// Each option: yes / no as 1 / 0, a one-of as the index of its value; `None` where it does not exist.
    pub fn options(&mut self, procedure: &Procedure, bdd: &Bdd) -> Vec<Guarded<Option<u32>>> {
        let mut all: Vec<Vec<(Cond, Option<u32>)>> = Vec::new();
        for (index, option) in procedure.options.iter().enumerate() {
            let id = OptionId(u32::try_from(index).unwrap_or(u32::MAX));
            let possible = option.only_with.as_ref().map_or(ALWAYS, |condition| where_it_holds(bdd, condition, &all));
            let plain = option.values.is_empty();
            let arity = if plain { 2 } else { u32::try_from(option.values.len()).unwrap_or(u32::MAX) };
            let values = self.values(bdd, Choice::Option(id), arity, u32::from(plain));
            if possible != ALWAYS {
                let plainest = values.iter().find(|(_, value)| *value == 0).map_or(ALWAYS, |(cond, _)| *cond);
                self.possible = bdd.and(self.possible, bdd.or(possible, plainest));
            }
            let mut parts: Vec<(Cond, Option<u32>)> =
                values.into_iter().map(|(cond, value)| (bdd.and(possible, cond), Some(value))).collect();
            // A yes / no option that cannot be is off; a one-of has no value at all.
            parts.push((bdd.not(possible), plain.then_some(0)));
            parts.retain(|(cond, _)| *cond != NEVER);
            all.push(parts);
        }
        self.first_outcome = self.list.iter().flat_map(|c| &c.vars).max().map_or(0, |v| v + 1);
        all.into_iter().map(|parts| Guarded::of_parts(bdd, parts)).collect()
    }

    /// An outcome at the machine: its values with their conditions.
    pub fn at_machine(
        &mut self,
        bdd: &Bdd,
        found: (StepId, Look, Option<u32>, Option<SetId>, Vec<u32>),
        arity: u32,
        usual: u32,
    ) -> Vec<(Cond, u32)> {
        let (step, look, member, of, turn) = found;
        self.values(bdd, Choice::Found { step, look, member, of, turn }, arity, usual)
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

impl Variables {
    /// The condition of each value, in their order.
    pub fn conditions(&self, bdd: &Bdd) -> Vec<(Cond, u32)> {
        let mut left = ALWAYS;
        let mut parts = Vec::new();
        for (index, value) in self.values.iter().enumerate() {
            let this = self.vars.get(index).map_or(ALWAYS, |var| bdd.is(*var));
            parts.push((bdd.and(left, this), *value));
            left = bdd.without(left, this);
        }
        parts
    }

    /// The value on the way that `truth` tells.
    pub fn value(&self, truth: impl Fn(Var) -> bool) -> u32 {
        let at = self.vars.iter().position(|var| truth(*var)).unwrap_or(self.vars.len());
        self.values.get(at).copied().unwrap_or_default()
    }
}

/// The ways on which a condition over options holds.
fn where_it_holds(bdd: &Bdd, condition: &Condition, options: &[Vec<(Cond, Option<u32>)>]) -> Cond {
    let is = |id: &OptionId, wanted: u32| {
        let parts = options.get(id.index()).map(Vec::as_slice).unwrap_or_default();
        parts.iter().filter(|(_, value)| *value == Some(wanted)).fold(NEVER, |all, (cond, _)| bdd.or(all, *cond))
    };
    match condition {
        Condition::Never => NEVER,
        Condition::Option(id) => is(id, 1),
        Condition::OptionIs(id, value) => is(id, *value),
        Condition::Not(inner) => bdd.not(where_it_holds(bdd, inner, options)),
        Condition::All(all) => all.iter().fold(ALWAYS, |c, one| bdd.and(c, where_it_holds(bdd, one, options))),
        Condition::Any(any) => any.iter().fold(NEVER, |c, one| bdd.or(c, where_it_holds(bdd, one, options))),
        Condition::Always | Condition::Member(..) | Condition::Found(_) => ALWAYS,
    }
}
