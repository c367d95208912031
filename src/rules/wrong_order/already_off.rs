//! `already-off`: taking off, opening or loosening what is off, open or loose already.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Procedure, Verb};
use crate::proof::{FaultKind, Proof};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::speech;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "already-off",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "taking off, opening or loosening what is off, open or loose already",
    why: "Either the line stands twice, or the one that puts it back in between is missing: somebody will guess which.",
    wrong: "\
job: Look behind the cover

parts
  cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Look inside
  remove cover
  remove cover
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
    tell(&RULE, FaultKind::AlreadyOff, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    let state = match told.fault.verb {
        Some(Verb::Open) => "open already, or not there to open",
        Some(Verb::Loosen) => "loose already",
        Some(Verb::Drain) => "drained already",
        Some(Verb::Raise) => "raised already",
        Some(Verb::Support) => "supported already",
        Some(Verb::Lock) => "locked already",
        Some(Verb::Chock) => "chocked already",
        Some(Verb::SwitchOff) => "switched off already",
        Some(Verb::TakeOut) => "not in",
        Some(Verb::StopEngine) => "not running",
        Some(Verb::Disconnect) => "disconnected or off already",
        Some(Verb::MoveAside) => "aside or off already",
        _ => "off already",
    };
    Words::new(
        format!("{} {state} at this place", told.is()),
        state,
        match told.fault.verb.and_then(|verb| speech::undoing(told.procedure, verb)) {
            _ if told.fault.verb == Some(Verb::TakeOut) => {
                format!("Write `put in {name}` where {} in, or take this line out.", told.verb("it goes", "they go"))
            }
            _ if told.fault.verb == Some(Verb::StopEngine) => {
                "Write `run engine` where it is started, or take this line out.".to_owned()
            }
            Some(home) => format!("Take this line out, or write `{home} {name}` between the two."),
            None => "Take this line out, or write the line that was forgotten before it.".to_owned(),
        },
    )
    .mend(told.doubled())
}
