//! `left-aside`: a part that is moved aside and never returned.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "left-aside",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "a part that is moved aside and never returned",
    why: "It hangs on a wire or a hose while the machine works, and chafes through.",
    wrong: "\
job: Reach the gears

parts
  cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Look inside
  move aside cover
  inspect gears: Chipped teeth.
",
    right: "\
job: Reach the gears

parts
  cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Look inside
  move aside cover
  inspect gears: Chipped teeth.
  return cover
",
    source: "Common practice: what comes off goes back before the machine is handed over.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::LeftAside, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let repair = told.bring_home(&told.puts_back("return"), "before the job ends");
    Words::repaired(format!("{} moved aside here and never returned", told.is()), "aside from here on", repair)
}
