//! `unit-mismatch`: a unit of the wrong kind.

use crate::diagnostic::Severity;
use crate::rules::{Check, Group, Rule};

/// The rule and its page. It is told while the files are read.
pub const RULE: Rule = Rule {
    name: "unit-mismatch",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "a unit of the wrong kind: a torque in mm, a gap in N·m",
    why: "The figure belongs to something else: most often two columns of a table were swapped, and both values are wrong.",
    wrong: "\
job: Clean behind the side cover

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 mm

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
    source: "Arithmetic: quantities of different kinds can be neither compared nor converted (NIST SP 811).",
    check: Check::Reading,
};
