//! `bad-syntax`: a line that can not be read.

use crate::diagnostic::Severity;
use crate::rules::{Check, Group, Rule};

/// The rule and its page. It is told while the files are read.
pub const RULE: Rule = Rule {
    name: "bad-syntax",
    group: Group::Names,
    severity: Severity::Error,
    finds: "a line that can not be read, or can be read two ways",
    why: "What is not understood can be neither checked nor printed; guessing would put a wrong act on the sheet.",
    wrong: "\
job: Clean behind the side cover

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torq 22 N·m

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
    source: "The language reference, `grammar/README.md`.",
    check: Check::Reading,
};
