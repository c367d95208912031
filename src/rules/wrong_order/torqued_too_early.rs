//! `torqued-too-early`: a final torque before the whole group is started, or before the state the fastener needs.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{FaultKind, Proof, Why};
use crate::rules::proved::{Told, Words, tell};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "torqued-too-early",
    group: Group::WrongOrder,
    severity: Severity::Error,
    finds: "a final torque before the whole group is started, or before the state the fastener needs",
    why: "The part is drawn in crooked, or a rubber bush is clamped twisted and tears.",
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
  start 2 of cover bolts
  tighten 2 of cover bolts
  start 2 of cover bolts
  tighten 2 of cover bolts
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
  start cover bolts
  tighten cover bolts
",
    source: "Common practice: start all by hand, then tighten in order.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    tell(&RULE, FaultKind::TorquedTooEarly, procedure, proof, out, &words);
}

fn words(told: &Told<'_>) -> Words {
    let name = &told.name;
    match &told.fault.why {
        Why::State(state) => Words::repaired(
            format!("{name} {} final torque here, and that needs {state}", told.verb("gets its", "get their")),
            format!("needs {state}"),
            told.bring_about(state),
        )
        .there("this need"),
        Why::Thing(thing) => {
            let thing = told.named(*thing);
            Words::repaired(
                format!("{} tightened here, and {thing} is not in place yet", told.is()),
                format!("{thing} is missing"),
                told.needs_first(&told.placing(thing)),
            )
        }
        Why::PassMissing(stage) => Words::new(
            format!("stage {stage} of {name} has not been done before this one"),
            "a stage is missing",
            format!("Write `tighten {name}, pass {stage}` before this line."),
        ),
        _ => {
            let out = told.fault.counts.map_or(0, |c| c.out);
            Words::repaired(
                format!("{} tightened here while {out} of them are still out", told.is()),
                "not all started",
                told.needs_first(&format!("start {}", told.line_name())).and(", or add `, by hand` to this one"),
            )
        }
    }
}
