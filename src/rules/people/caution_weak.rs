//! `caution-weak`: a signal word too low for its hazard.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Block, Detail, DetailKind, Procedure};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "caution-weak",
    group: Group::People,
    severity: Severity::Advice,
    finds: "a signal word too low for the hazard it stands before: the right one is printed",
    why: "`Caution` is read as a bruise. Where somebody can die the word must say so, or the message is passed over.",
    wrong: "\
job: Look under the truck

parts
  gearbox

stage: Look
  inspect gearbox
    notice crush: Keep your head out of the frame.
",
    right: "\
job: Look under the truck

parts
  gearbox

stage: Look
  inspect gearbox
    warning crush: Keep your head out of the frame.
",
    source: "ISO 3864-2 and ANSI Z535.6: the signal word follows from how bad the harm is and how likely.",
    check: Check::Job(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    procedure.things.iter().for_each(|t| of_details(&t.details, out));
    of_blocks(&procedure.body, out);
}

fn of_blocks(blocks: &[Block], out: &mut Vec<Diagnostic>) {
    for block in blocks {
        match block {
            Block::Step(step) => of_details(&step.details, out),
            Block::Stage(stage) => {
                of_details(&stage.details, out);
                of_blocks(&stage.body, out);
            }
            Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => of_blocks(body, out),
            Block::If { then, otherwise, .. } => {
                of_blocks(then, out);
                of_blocks(otherwise, out);
            }
            Block::Until { body, before_next, .. } => {
                of_blocks(body, out);
                of_blocks(before_next, out);
            }
            Block::Reverse(_) => {}
        }
    }
}

fn of_details(details: &[Detail], out: &mut Vec<Diagnostic>) {
    for detail in details {
        if let DetailKind::Safety { word, hazard: Some(hazard), .. } = &detail.kind
            && *word < hazard.signal()
        {
            let (said, right, name) = (word.name(), hazard.signal().name(), hazard.name());
            out.push(
                RULE.at(detail.span, format!("`{said}` is too low a word for {name}: `{right}` is printed"))
                    .label("too low a word")
                    .help(format!("Write `{right} {name}`.")),
            );
        }
    }
}
