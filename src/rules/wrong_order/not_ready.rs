//! `not-ready`: a stated need that is not met, a question nobody has looked into, or filling through a shut filler.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "not-ready",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "a stated need that is not met, a question nobody has looked into, or filling through a shut filler",
    why: "A need is written down because somebody was hurt or something broke without it.",
    wrong: "\
job: Look at the hose

parts
  lift arms: hazard crush
  lift hose: needs lift arms locked

stage: Change the seal
  disconnect lift hose
  clean hose end
  connect lift hose
",
    right: "\
job: Look at the hose

parts
  lift arms: hazard crush
  lift hose: needs lift arms locked

stage: Change the seal
  lock lift arms
  disconnect lift hose
  clean hose end
  connect lift hose
  unlock lift arms
",
    source: "The declaration says what it needs.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::NotReady, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    match &told.fault.why {
        Why::State(state) => Words::repaired(
            format!("{name} may only be touched with {state}, and that is not so here"),
            format!("needs {state}"),
            told.bring_about(state).and("; if the exception is meant, add `, with …` and the state it is in"),
        )
        .there("this need"),
        Why::NotLookedAt(condition) => Words::new(
            format!("`{condition}` is asked here, and on this way nobody has looked"),
            "nobody looked",
            "Write the `inspect`, `measure` or `ask` before this line, on every way that comes here.",
        ),
        Why::FillerShut(filler) => {
            let filler = told.named(*filler);
            Words::new(
                format!("{} filled through {filler}, and that is shut", told.is()),
                "the filler is shut",
                format!("Write `open {filler}` before this line, and `close {filler}` after the filling."),
            )
        }
        Why::Dry => Words::new(
            format!("{} drained here: there is nothing to bleed", told.is()),
            "drained",
            format!("Write `fill {name}` before this line."),
        ),
        Why::InPlace(other) | Why::Thing(other) => {
            let other = told.named(*other);
            let in_the_way = matches!(told.fault.why, Why::InPlace(_));
            let state = if in_the_way { "still in" } else { "not in place yet" };
            let line = if in_the_way { format!("remove {other}") } else { told.placing(other) };
            Words::repaired(
                format!("{name} cannot go in: {other} {} {state}", crate::rules::wording::is_are(other)),
                state,
                told.needs_first(&line),
            )
        }
        _ => Words::new(format!("{} not ready for this", told.is()), "not ready", "Bring it about before this line."),
    }
}
