//! `size-missing`: a fastener without thread or kind.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Facts, Procedure, ThingKind};
use crate::rules::used::answered_for;
use crate::rules::ways::way_where;
use crate::rules::wording::has_have;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "size-missing",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "a fastener that does not say which thread, or which kind of clip or clamp, it is",
    why: "A bolt that is too long bottoms in its hole: the wrench clicks at the right value and the part stays loose. One that is too short strips.",
    wrong: "\
job: Clean behind the side cover

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x, hex 13 mm, torque 22 N·m

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
    source: "Common practice; threads are written as in ISO 261 (`M8x20`) or ASME B1.1 (`1/2-13 UNC x 2 in`).",
    check: Check::Declarations(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    for (_, thing) in answered_for(procedure).filter(|(_, t)| t.kind == ThingKind::Fastener) {
        if let Some(way) = way_where(procedure, thing, &lacks_size) {
            let nothing = thing.facts.fastening.as_ref().is_none_or(|f| f.count.is_none());
            let what = if nothing { "neither count nor size" } else { "no size" };
            out.push(
                RULE.at(thing.span, format!("{} {} {what}", thing.name, has_have(&thing.name)))
                    .label(if nothing { "how many, and of which size?" } else { "which size?" })
                    .help("Write count and size first: `4 x M8x20`, or `4 x spring clamp` for a fastener without a thread.")
                    .way(way),
            );
        }
    }
}

fn lacks_size(facts: &Facts) -> bool {
    facts.fastening.as_ref().is_none_or(|f| f.size.is_none())
}
