//! `duplicate-name`: one name for two things.

use crate::diagnostic::Severity;
use crate::rules::{Check, Group, Rule};

/// The rule and its page. It is told while the files are read.
pub const RULE: Rule = Rule {
    name: "duplicate-name",
    group: Group::Names,
    severity: Severity::Error,
    finds: "one name declared for two things",
    why: "A torque is looked up by name: with two of the same name the sheet may print the other one.",
    wrong: "\
job: Clean behind the side cover

parts
  side cover: held by cover bolts
  side cover

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

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
    source: "The language reference; a job may repeat a name of a machine file to add to it.",
    check: Check::Reading,
};
