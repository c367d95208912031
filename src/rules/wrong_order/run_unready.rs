//! `run-unready`: the engine run, or the vehicle driven, before everything is ready for it.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Procedure, Verb};
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::speech;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "run-unready",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "the engine run, or the vehicle driven, before everything is ready for it",
    why: "A dry bearing, an open pipe, a rag in the intake, a pin in the flywheel: the first turn does the damage.",
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
  run engine, for 1 min
    warning exhaust gas
    warning rotating parts
  open oil filler cap
  fill gear oil, 2 L
  close oil filler cap
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
  run engine, for 1 min
    warning exhaust gas
    warning rotating parts
",
    source: "Common practice.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::RunUnready, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    let state = match told.fault.why {
        Why::Dry => format!("{} drained", told.is()),
        Why::Unbled => format!("air may be in the {name}"),
        Why::Locked(_) => format!("{} locked", told.is()),
        Why::InPlace(_) => format!("{} still in", told.is()),
        Why::Off(_) => format!("{} off", told.is()),
        Why::OpenCircuit(_) => format!("{} off, open or loose", told.is()),
        Why::Raised => format!("{} raised", told.is()),
        Why::Chocked => format!("{} chocked", told.is()),
        _ => format!("{} not ready", told.is()),
    };
    if told.fault.why == Why::Running {
        return Words::new(
            format!("{} parted or drained while the engine runs", told.is()),
            "the engine runs",
            "Write `stop engine` before this line.",
        )
        .there("it runs from here on");
    }
    let undone = told.there().and_then(|step| speech::undoing(told.procedure, step.verb));
    let line = match told.fault.why {
        Why::Dry => Some("fill"),
        Why::Unbled => Some("bleed"),
        Why::Locked(_) => Some("unlock"),
        Why::InPlace(_) => Some("take out"),
        Why::Raised => Some("lower"),
        Why::Chocked => Some("unchock"),
        _ => undone,
    };
    let home = line.map_or_else(|| "Bring that home".to_owned(), |verb| format!("Write `{verb} {name}`"));
    let act = if told.fault.verb == Some(Verb::Drive) { "driven" } else { "run" };
    Words::new(
        format!("it is {act} here while {state}"),
        state.clone(),
        format!("{home} before this line; if the exception is meant, add `, with …` and the state it is in."),
    )
}
