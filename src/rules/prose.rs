//! The prose of a job, and where in the text its words stand.

use crate::procedure::{Block, Detail, DetailKind, Procedure, Prose, ProsePart, Stage, Step, steps_of};
use crate::quantity::Spec;
use crate::source::Span;

/// What a piece of prose belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Belongs {
    /// To an act: what the author writes after its colon.
    Act,
    /// To a detail under an act, a stage or a declaration.
    Detail,
    /// To a declaration that says how something is done (`setting`, `fragile`, `orient`).
    Declaration,
    /// To the head of the job.
    Header,
}

/// Every piece of prose that says what to do or how, in no particular order. What is only quoted (`spec`, `source`,
/// `number`, `changed`) is left out.
pub fn each_prose<'a>(procedure: &'a Procedure, visit: &mut dyn FnMut(Belongs, &'a Prose)) {
    if let Some(reason) = &procedure.header.reason {
        visit(Belongs::Header, reason);
    }
    for thing in &procedure.things {
        for (_, facts) in thing.all_facts() {
            let setting = facts.fastening.iter().flat_map(|f| &f.setting);
            setting.chain(&facts.fragile).for_each(|p| visit(Belongs::Declaration, p));
            facts.orient.iter().for_each(|o| visit(Belongs::Declaration, &o.prose));
        }
        of_details(&thing.details, visit);
    }
    procedure.measurements.iter().for_each(|m| of_details(&m.details, visit));
    of_blocks(&procedure.body, visit);
}

/// Every piece of prose that is only quoted: what a value comes from, what a fluid must meet, what this revision changes.
pub fn each_quoted<'a>(procedure: &'a Procedure, visit: &mut dyn FnMut(&'a Prose)) {
    if let Some(changed) = &procedure.header.changed {
        visit(changed);
    }
    let mut quoted = |details: &'a [Detail]| {
        for detail in details {
            if let DetailKind::Spec(prose) | DetailKind::Source(prose) = &detail.kind {
                visit(prose);
            }
        }
    };
    for thing in &procedure.things {
        quoted(&thing.details);
    }
    procedure.measurements.iter().for_each(|m| quoted(&m.details));
    procedure.tools.iter().for_each(|t| quoted(&t.details));
    procedure.supplies.iter().for_each(|s| quoted(&s.details));
    steps_of(&procedure.body, &mut |step| quoted(&step.details));
    for (_, facts) in procedure.things.iter().flat_map(|thing| thing.all_facts()) {
        facts.fluid.iter().flat_map(|fluid| &fluid.spec).for_each(&mut *visit);
    }
}

fn of_blocks<'a>(blocks: &'a [Block], visit: &mut dyn FnMut(Belongs, &'a Prose)) {
    for block in blocks {
        match block {
            Block::Step(step) => of_step(step, visit),
            Block::Stage(stage) => of_stage(stage, visit),
            Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => {
                of_blocks(body, visit)
            }
            Block::If { then, otherwise, .. } => {
                of_blocks(then, visit);
                of_blocks(otherwise, visit);
            }
            Block::Until { body, before_next, .. } => {
                of_blocks(body, visit);
                of_blocks(before_next, visit);
            }
            // What a stage put back says was said where it was taken off.
            Block::Reverse(_) => {}
        }
    }
}

fn of_stage<'a>(stage: &'a Stage, visit: &mut dyn FnMut(Belongs, &'a Prose)) {
    of_details(&stage.details, visit);
    of_blocks(&stage.body, visit);
}

/// The prose of one step.
pub fn of_step<'a>(step: &'a Step, visit: &mut dyn FnMut(Belongs, &'a Prose)) {
    if step.generated {
        return;
    }
    step.prose.iter().for_each(|p| visit(Belongs::Act, p));
    of_details(&step.details, visit);
}

fn of_details<'a>(details: &'a [Detail], visit: &mut dyn FnMut(Belongs, &'a Prose)) {
    for detail in details {
        match &detail.kind {
            DetailKind::Safety { prose: Some(p), .. }
            | DetailKind::Tip(p)
            | DetailKind::Note(p)
            | DetailKind::Why(p)
            | DetailKind::Expect(p)
            | DetailKind::Use { prose: p, .. }
            | DetailKind::Tool { prose: p, .. }
            | DetailKind::Figure { caption: Some(p), .. }
            | DetailKind::Fragile(p) => visit(Belongs::Detail, p),
            DetailKind::Orient(orientation) => visit(Belongs::Detail, &orientation.prose),
            _ => {}
        }
    }
}

/// The author's own words in it, values left out; one space where a value stands.
#[must_use]
pub fn words(prose: &Prose) -> String {
    prose
        .parts
        .iter()
        .map(|part| match part {
            ProsePart::Text(text) => text.as_str(),
            _ => " … ",
        })
        .collect()
}

/// The same with the values written out, as the author wrote them.
#[must_use]
pub fn words_and_values(prose: &Prose) -> String {
    prose
        .parts
        .iter()
        .map(|part| match part {
            ProsePart::Text(text) => text.clone(),
            ProsePart::Value(Spec::Exactly(quantity)) => quantity.to_string(),
            _ => " … ".to_owned(),
        })
        .collect()
}

/// The place of some bytes of [`words`]: exact where the prose is plain text on one line, else all of it.
#[must_use]
pub fn place(prose: &Prose, range: std::ops::Range<usize>) -> Span {
    match prose.parts.as_slice() {
        [ProsePart::Text(text)] if text.len() == prose.span.range().len() => prose.span.part(range),
        _ => prose.span,
    }
}
