//! `left-undone`: one of the shop's own pairs of verbs that is not brought to its end.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "left-undone",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "one of the shop's own pairs of verbs that is not brought to its end",
    why: "A spring left caged, a tab left bent back: the part sits in place and does nothing.",
    wrong: "\
job: Look at the chamber

parts
  brake chamber: hazard stored spring

acts
  cage / uncage: caged

stage: Look
  cage brake chamber
  inspect push rod: Bent or not.
",
    right: "\
job: Look at the chamber

parts
  brake chamber: hazard stored spring

acts
  cage / uncage: caged

stage: Look
  cage brake chamber
  inspect push rod: Bent or not.
  uncage brake chamber
",
    source: "Common practice; the pair is the shop's own.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::LeftUndone, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let pair = match told.fault.why {
        Why::Pair(pair) => told.procedure.pairs.get(pair.index()),
        _ => None,
    };
    let (away, closing) = pair.map_or(("not home", "…"), |p| (p.away.as_str(), p.closing.as_str()));
    let message = match pair.and_then(|p| p.home.as_deref()) {
        Some(home) => format!("{} never {home}", told.is()),
        None => format!("{} {away} from here on, to the end", told.is()),
    };
    let repair = told.bring_home(&format!("{closing} {}", told.line_name()), "where that belongs");
    Words::repaired(message, away, repair)
}
