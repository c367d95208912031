//! `torque-missing`: a threaded fastener without a value.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Facts, Procedure};
use crate::rules::used::answered_for;
use crate::rules::ways::way_where;
use crate::rules::wording::has_have;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "torque-missing",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "a threaded fastener that does not say how tight it goes",
    why: "The apprentice guesses. Too loose works off on the road; too tight strips the thread or breaks the bolt the next time it is undone.",
    wrong: "\
job: Clean behind the side cover

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm

stage: Off and on
  remove side cover
  refit side cover
",
    right: "\
job: Clean behind the side cover

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Off and on
  remove side cover
  refit side cover
",
    source: "Common practice: every threaded joint has a stated value, `hand tight`, or a setting that says when it is right.",
    check: Check::Declarations(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    for (_, thing) in answered_for(procedure) {
        if let Some(way) = way_where(procedure, thing, &lacks_torque) {
            out.push(
                RULE.at(thing.span, format!("{} {} no torque", thing.name, has_have(&thing.name)))
                    .label("how tight?")
                    .help("Write `torque 22 N·m` with the maker's value after the size, `torque hand tight`, or a line `setting:` under it that says when it is right.")
                    .way(way),
            );
        }
    }
}

/// The size is wanted first: what has none may be a clip.
fn lacks_torque(facts: &Facts) -> bool {
    facts.fastening.as_ref().is_some_and(|f| {
        f.size.as_ref().is_some_and(|size| size.thread().is_some()) && f.passes.is_empty() && f.setting.is_empty()
    })
}
