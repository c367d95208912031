//! `unit-missing`: a number without its unit.

use crate::diagnostic::Severity;
use crate::rules::{Check, Group, Rule};

/// The rule and its page. It is told while the files are read.
pub const RULE: Rule = Rule {
    name: "unit-missing",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "a number without its unit",
    why: "22 may be N·m or lbf·ft, and the one is a third more than the other. A unit is never guessed.",
    wrong: "\
job: Clean behind the side cover

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22

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
    source: "Common practice: a value is a number and a unit (NIST SP 811).",
    check: Check::Reading,
};
