//! `not-transferred`: a new assembly that goes on without a part that the old one carried.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::place::{Side, Spot};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "not-transferred",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "a new assembly that goes on without a part that the old one carried",
    why: "The lever goes to the scrap with the old pump, and the truck stands until another one comes.",
    wrong: "\
job: Change the pump

parts
  pump: new, held by pump bolts
  lever: part of pump, held by lever screw

fasteners
  pump bolts: 4 x M8x30, class 8.8, hex 13 mm, torque 22 N·m
  lever screw: 1 x M6x16, class 8.8, hex 10 mm, torque 9 N·m

stage: Change the pump
  remove pump
  inspect lever: Worn.
  fit pump
",
    right: "\
job: Change the pump

parts
  pump: new, held by pump bolts
  lever: part of pump, held by lever screw

fasteners
  pump bolts: 4 x M8x30, class 8.8, hex 13 mm, torque 22 N·m
  lever screw: 1 x M6x16, class 8.8, hex 10 mm, torque 9 N·m

stage: Change the pump
  remove pump
  transfer lever
  fit pump
",
    source: "Common practice.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::NotTransferred, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    let parent = match told.fault.why {
        Why::Thing(thing) => told.named(thing),
        _ => "it",
    };
    let thing = told.fault.thing.and_then(|t| told.procedure.things.get(t.index()));
    let line = if thing.is_some_and(|t| t.facts.new || t.facts.single_use) { "fit" } else { "transfer" };
    let message = format!("the new {parent} goes on without its {name}: the old one still sits on the old {parent}");
    let line = format!("{line} {}", told.line_name());
    match told.step().filter(|s| !s.generated && s.things().any(|t| told.fault.why == Why::Thing(t.thing))) {
        // The new one still lies on the bench right before it goes on.
        Some(step) => {
            let spot = Spot { side: Side::Before, step, certain: line.starts_with("transfer") };
            Words::repaired(message, format!("without {name}"), told.at(&line, &spot))
        }
        None => {
            let help = format!("Write `{line}` while the new {parent} lies on the bench.");
            Words::new(message, format!("without {name}"), help)
        }
    }
}
