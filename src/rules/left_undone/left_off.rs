//! `left-off`: a part or fastener that comes off and never goes back.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "left-off",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "a part or fastener that comes off and never goes back",
    why: "It lies on the bench when the machine drives out. Where it was, something now rattles, leaks or comes loose.",
    wrong: "\
job: Look behind the cover

parts
  cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Look inside
  remove cover
  inspect gears: Chipped teeth.
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
    source: "Common practice: what comes off goes back before the machine is handed over.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::LeftOff, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    if told.fault.why == Why::Trial {
        let message = format!("{name} went on for a trial only, and the real fitting never comes");
        return Words::new(
            message,
            "only tried",
            format!("Take it off again and write `fit {name}` or `refit {name}`."),
        );
    }
    let (line, name) = (told.puts_back("refit"), told.line_name());
    let it = if told.it_is() == "they are" { "they stay" } else { "it stays" };
    let mut repair = told
        .bring_home(&line, &format!("where {} put back", told.it_is()))
        .and(format!("; if {it} off for good, write `discard {name}`"));
    // A fastener goes back with what it holds, a part that may be bad in two ways.
    let alone = told.step().is_some_and(|s| s.things().any(|t| Some(t.thing) == told.fault.thing));
    if !alone || told.thing().is_some_and(|t| t.facts.new_if_bad || t.facts.added) {
        repair = repair.uncertain();
    }
    Words::repaired(format!("{} taken off here and never put back", told.is()), "comes off", repair)
}
