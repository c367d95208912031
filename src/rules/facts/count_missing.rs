//! `count-missing`: a fastener that does not say how many.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Facts, Procedure, ThingKind};
use crate::rules::used::answered_for;
use crate::rules::ways::way_where;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "count-missing",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "a fastener that does not say how many there are",
    why: "The sheet has one box to tick for each. Where nobody counts, the bolt that rolled under the bench is not missed.",
    wrong: "\
job: Clean behind the side cover

parts
  side cover: held by cover bolts

fasteners
  cover bolts: M8x20, hex 13 mm, torque 22 N·m

stage: Off and on
  remove side cover
  refit side cover
",
    right: "\
job: Clean behind the side cover

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, hex 13 mm, torque 22 N·m

stage: Off and on
  remove side cover
  refit side cover
",
    source: "Common practice: fasteners are counted out and counted in.",
    check: Check::Declarations(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    for (_, thing) in answered_for(procedure).filter(|(_, t)| t.kind == ThingKind::Fastener) {
        if let Some(way) = way_where(procedure, thing, &lacks_count) {
            out.push(
                RULE.at(thing.span, format!("nothing says how many there are of {}", thing.name))
                    .label("how many?")
                    .help("Write the count before the size: `4 x M8x20`.")
                    .way(way),
            );
        }
    }
}

/// Where the size is missing too, `size-missing` asks for both.
fn lacks_count(facts: &Facts) -> bool {
    facts.fastening.as_ref().is_some_and(|f| f.size.is_some() && f.count.is_none())
}
