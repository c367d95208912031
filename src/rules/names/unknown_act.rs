//! `unknown-act`: a line under a stage that begins with no verb.

use crate::diagnostic::Severity;
use crate::rules::{Check, Group, Rule};

/// The rule and its page. It is told while the files are read.
pub const RULE: Rule = Rule {
    name: "unknown-act",
    group: Group::Names,
    severity: Severity::Error,
    finds: "a step that begins with no verb the language or the shop knows",
    why: "The checker can not know what the act does to the machine: whether it takes something off that must go back.",
    wrong: "\
job: Clean behind the side cover

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Off and on
  remvoe side cover
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
    source: "The language reference; what no verb covers is written `do: …`.",
    check: Check::Reading,
};
