//! Going through the body in the order of the file.

use super::{Block, Step};

/// Calls `visit` for every step below `body`, in order, both sides of branches and every stage included.
pub fn steps_of<'a>(body: &'a [Block], visit: &mut dyn FnMut(&'a Step)) {
    for block in body {
        match block {
            Block::Step(step) => visit(step),
            Block::Stage(stage) => steps_of(&stage.body, visit),
            Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => {
                steps_of(body, visit)
            }
            Block::If { then, otherwise, .. } => {
                steps_of(then, visit);
                steps_of(otherwise, visit);
            }
            Block::Until { body, before_next, .. } => {
                steps_of(body, visit);
                steps_of(before_next, visit);
            }
            Block::Reverse(reversed) => steps_of(&reversed.body, visit),
        }
    }
}
