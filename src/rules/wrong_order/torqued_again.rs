//! `torqued-again`: a torque-and-angle fastener tightened again, or a tight one tightened without `again`.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "torqued-again",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "a torque-and-angle fastener tightened again, or a tight one tightened without `again`",
    why: "A bolt that was turned by an angle is at its yield point: turned again it breaks, now or on the road.",
    wrong: "\
job: Look behind the cover

parts
  cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Look inside
  remove cover
  refit cover
  tighten cover bolts
",
    right: "\
job: Look behind the cover

parts
  cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Look inside
  remove cover
  refit cover
  tighten cover bolts, again
",
    source: "Common practice for bolts tightened by torque and angle; see also VDI 2230 on tightening into yield.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::TorquedAgain, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    if told.fault.why == Why::Angle {
        let them = if told.it_is() == "they are" { "them" } else { "it" };
        return Words::new(
            format!("{} tightened by an angle and must not be tightened again", told.is()),
            "never again",
            format!("Take this line out; to slacken {them} first, write `loosen {name}` before it."),
        )
        .mend(told.doubled());
    }
    Words::new(
        format!("{} tight already at this place", told.is()),
        "tight already",
        format!("Take this line out; if a second check is meant, write `tighten {}, again`.", told.line_name()),
    )
    .mend(told.doubled())
}
