//! `count-mismatch`: more or fewer taken out than there are, or put back than came out.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "count-mismatch",
    group: Group::LeftUndone,
    severity: Severity::Error,
    finds: "more or fewer taken out than there are, or put back than came out",
    why: "One bolt too many on the bench is one hole empty in the machine.",
    wrong: "\
job: Look behind the cover

parts
  cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Look inside
  remove cover
  inspect gears: Chipped teeth.
  place cover
  start 3 of cover bolts
  tighten 3 of cover bolts, by hand
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
  place cover
  start 3 of cover bolts
  start 1 of cover bolts
  tighten cover bolts
",
    source: "Common practice: count out, count in.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::CountMismatch, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    let Some(counts) = told.fault.counts else {
        return Words::new(format!("the count of {name} does not add up"), "count again", "Make the counts add up.");
    };
    if told.fault.why == Why::StillOut {
        return Words::new(
            format!("{} of {} {name} are still out at the end", counts.out, counts.there),
            format!("{} in, {} out", counts.back, counts.out),
            format!("Write `start {} of {name}` and `tighten {name}`.", counts.out),
        );
    }
    let message = if counts.back == counts.there || counts.out > counts.there {
        format!("this takes {} of {name}, and there are {}", counts.out, counts.there)
    } else {
        format!("this takes {} of {name}, and {} are left for it", counts.out, counts.back)
    };
    Words::new(
        message,
        format!("{} at most", counts.back),
        if counts.back == 0 {
            "Take this line out, or write before it the line that takes them out.".to_owned()
        } else {
            format!("Write {} here, or correct the count in the declaration.", counts.back)
        },
    )
}
