//! Every step with the conditions it stands under.

use crate::procedure::{Block, Condition, Procedure, SetId, Stage, Step};

/// A step and what stands around it.
#[derive(Clone, Debug)]
pub struct InContext<'a> {
    pub step: &'a Step,
    /// All conditions of the blocks around it, joined.
    pub condition: Condition,
    /// Running number of the stage it stands in, and the stage itself; steps of a routine belong to the stage that calls it.
    pub stage: Option<(usize, &'a Stage)>,
    /// Running number of the list of lines it stands in: steps with the same number stand beside each other.
    pub block: usize,
    /// The sets of the loops around it, the outermost first.
    pub loops: Vec<SetId>,
    /// Running number of the innermost `until` around it; 0 for none. What stands there may be worked more than once.
    pub round: usize,
}

/// Every step of the job in the order of the sheet, with its context.
#[must_use]
pub fn steps_in_context(procedure: &Procedure) -> Vec<InContext<'_>> {
    let mut walk = Walk { out: Vec::new(), stages: 0, lists: 0 };
    let top = Place { condition: Condition::Always, stage: None, loops: Vec::new(), round: 0 };
    walk.blocks(&procedure.body, &top);
    walk.out
}

#[derive(Clone)]
struct Place<'a> {
    condition: Condition,
    stage: Option<(usize, &'a Stage)>,
    loops: Vec<SetId>,
    round: usize,
}

impl Place<'_> {
    fn under(&self, condition: Condition) -> Self {
        Self { condition: self.condition.clone().and(condition), ..self.clone() }
    }
}

struct Walk<'a> {
    out: Vec<InContext<'a>>,
    stages: usize,
    lists: usize,
}

impl<'a> Walk<'a> {
    fn blocks(&mut self, blocks: &'a [Block], place: &Place<'a>) {
        let block_number = self.lists;
        self.lists += 1;
        for block in blocks {
            match block {
                Block::Step(step) => self.out.push(InContext {
                    step,
                    condition: place.condition.clone(),
                    stage: place.stage,
                    block: block_number,
                    loops: place.loops.clone(),
                    round: place.round,
                }),
                Block::Stage(stage) => {
                    let mut inner = place.clone();
                    if place.stage.is_none() {
                        inner.stage = Some((self.stages, stage));
                        self.stages += 1;
                    }
                    self.blocks(&stage.body, &inner);
                }
                Block::With { condition, body, .. } => self.blocks(body, &place.under(condition.clone())),
                Block::If { condition, then, otherwise, .. } => {
                    self.blocks(then, &place.under(condition.clone()));
                    self.blocks(otherwise, &place.under(condition.clone().negated()));
                }
                Block::Until { condition, body, before_next, .. } => {
                    let inner = Place { round: self.lists, ..place.clone() };
                    self.blocks(body, &inner);
                    self.blocks(before_next, &inner.under(condition.clone().negated()));
                }
                Block::ForEach { set, body, .. } => {
                    let mut inner = place.clone();
                    inner.loops.push(*set);
                    self.blocks(body, &inner);
                }
                Block::Follow { body, .. } => self.blocks(body, place),
                Block::Reverse(reversed) => self.blocks(&reversed.body, place),
            }
        }
    }
}
