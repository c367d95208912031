//! `left-running`: an engine that is started and never stopped.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "left-running",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "an engine that is started and never stopped",
    why: "Somebody reaches in for the last look, and the fan turns.",
    wrong: "\
job: Warm it up

stage: Warm up
  run engine, 1500 rpm
    warning exhaust gas
    warning rotating parts
",
    right: "\
job: Warm it up

stage: Warm up
  run engine, 1500 rpm
    warning exhaust gas
    warning rotating parts
  stop engine
",
    source: "Common practice.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::LeftRunning, procedure, proof, out, &words);
}

fn words(_: &Told<'_>) -> Words {
    Words::new(
        "the engine is started here and never stopped",
        "runs from here on",
        "Write `stop engine` where it stops, or say how long it runs: `run engine, for 5 min`.",
    )
}
