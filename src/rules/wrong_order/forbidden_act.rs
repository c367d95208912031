//! `forbidden-act`: an act inside a declared `while … never …`.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "forbidden-act",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "an act inside a declared `while … never …`",
    why: "Without its belt one turn of the crankshaft bends the valves.",
    wrong: "\
job: Look at the rollers

parts
  timing belt: while removed never turn crankshaft

stage: Look at the rollers
  remove timing belt
  turn crankshaft, 1 turns
  refit timing belt
",
    right: "\
job: Look at the rollers

parts
  timing belt: while removed never turn crankshaft

stage: Look at the rollers
  turn crankshaft, 1 turns
  remove timing belt
  inspect rollers: A rough bearing.
  refit timing belt
",
    source: "The declaration itself says so.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::ForbiddenAct, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let act = match &told.fault.why {
        Why::Forbidden(act) => act.as_str(),
        _ => "this",
    };
    let facts = told.thing().into_iter().flat_map(|t| t.all_facts()).flat_map(|(_, facts)| &facts.forbidden);
    let state = facts.filter(|f| f.act.text == act).map(|f| f.state.text.as_str()).next();
    let state = state.map_or("in this state", |s| s.strip_prefix(told.line_name().as_str()).unwrap_or(s).trim());
    Words::new(
        format!("`{act}` must not be done as long as {} {state}", told.is()),
        "never now",
        format!("Put this line before {} taken away, or after {} home.", told.it_is(), told.it_is()),
    )
    .there("forbidden from here on")
}
