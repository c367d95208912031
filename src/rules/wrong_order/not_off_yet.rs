//! `not-off-yet`: putting back, closing or lowering what never left its place.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Procedure, Verb};
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "not-off-yet",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "putting back, closing or lowering what never left its place",
    why: "The step cannot be done as it stands. Most often the line that takes it off is missing, and with it its tools and cautions.",
    wrong: "\
job: Look behind the cover

parts
  cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Look inside
  inspect gears: Chipped teeth.
  refit cover
",
    right: "\
job: Look behind the cover

parts
  cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Look inside
  remove cover
  inspect gears: Chipped teeth.
  refit cover
",
    source: "Common practice.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::NotOffYet, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    let (state, line) = match told.fault.verb {
        Some(Verb::Close) => ("not open", "open"),
        Some(Verb::Connect) => ("not disconnected", "disconnect"),
        Some(Verb::Return) => ("not aside", "move aside"),
        Some(Verb::Lower) => ("not raised", "raise"),
        Some(Verb::Release) => ("not supported", "support"),
        Some(Verb::Unlock) => ("not locked", "lock"),
        Some(Verb::Unchock) => ("not chocked", "chock"),
        Some(Verb::SwitchOn) => ("not switched off", "switch off"),
        Some(Verb::PutIn) => ("in already", "take out"),
        Some(Verb::Start) => ("in already, none is out", "remove"),
        Some(Verb::Transfer) => ("on the new one already, or not there to transfer", "remove"),
        Some(Verb::Close1(pair)) => {
            let pair = &told.procedure[pair];
            return Words::new(
                format!("{} not {} at this place", told.is(), pair.away),
                format!("not {}", pair.away),
                format!("Write `{} {name}` before this, or take this line out.", pair.opening),
            )
            .mend(told.doubled());
        }
        _ => ("still in place", "remove"),
    };
    if told.fault.why == Why::Trial {
        let message = format!("{} still on from the trial", told.is());
        return Words::new(message, "tried, not off yet", format!("Write `remove {name}` after the trial."));
    }
    let message = format!("{} {state} at this place", told.is());
    let repair = told.needs_first(&format!("{line} {}", told.line_name())).and(", or take this line out");
    match told.doubled() {
        Some(mend) => Words::repaired(message, state, repair.uncertain()).mend(Some(mend)),
        None => Words::repaired(message, state, repair),
    }
}
