//! `filled-open`: a fluid that is filled or bled while a part of its circuit is off or open.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::speech;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "filled-open",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "a fluid that is filled or bled while a part of its circuit is off or open",
    why: "What goes in at the top runs out below.",
    wrong: "\
job: Change the gear oil

parts
  oil filler cap: filler of gear oil
  drain screw: drain of gear oil

fluids
  gear oil: 2 L, kind gear oil
    spec: SAE 80W-90

stage: Change the oil
  drain gear oil, into tray of 5 L
  open oil filler cap
  fill gear oil, 2 L
  close oil filler cap
  close drain screw
",
    right: "\
job: Change the gear oil

parts
  oil filler cap: filler of gear oil
  drain screw: drain of gear oil

fluids
  gear oil: 2 L, kind gear oil
    spec: SAE 80W-90

stage: Change the oil
  drain gear oil, into tray of 5 L
  close drain screw
  open oil filler cap
  fill gear oil, 2 L
  close oil filler cap
",
    source: "Common practice.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::FilledOpen, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let part = match told.fault.why {
        Why::OpenCircuit(thing) => told.named(thing),
        _ => "a part of its circuit",
    };
    Words::new(
        format!("{} filled here, and {part} is still off or open", told.is()),
        "runs out again",
        match told.there().and_then(|step| speech::undoing(told.procedure, step.verb)) {
            Some(home) => format!("Write `{home} {part}` before this line."),
            None => format!("Put {part} back before this line."),
        },
    )
    .there("off or open from here on")
}
