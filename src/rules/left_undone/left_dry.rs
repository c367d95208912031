//! `left-dry`: a fluid that runs out and is not filled again, or is filled and not bled where it must be.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "left-dry",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "a fluid that runs out and is not filled again, or is filled and not bled where it must be",
    why: "A gearbox without oil lasts a few kilometres. A brake with air in it has a pedal that goes to the floor.",
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
    tell(&RULE, FaultKind::LeftDry, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    if told.fault.why == Why::Unbled {
        return Words::new(
            format!("air may be in the {name} from here on, and it is never bled"),
            "air gets in",
            format!("Write `bleed {name}` after the line that fills it or tops it up, with its circuit shut."),
        );
    }
    Words::new(
        format!("{name} runs out here and is never filled again"),
        "dry from here on",
        match told.thing().and_then(|t| t.facts.fluid.as_ref()).and_then(|f| f.drains.as_ref().or(f.capacity.as_ref()))
        {
            Some(amount) => format!("Write `fill {name}, {amount}` once the drain is shut and the filler is open."),
            None => format!("Write `fill {name}` with its amount, once the drain is shut and the filler is open."),
        },
    )
}
