//! `unknown-name`: a name that nothing declares.

use crate::diagnostic::Severity;
use crate::rules::{Check, Group, Rule};

/// The rule and its page. It is told while the files are read; slips that read as names of their own (`inspect dsic`)
/// are told where the rules are run (`check/slips.rs`).
pub const RULE: Rule = Rule {
    name: "unknown-name",
    group: Group::Names,
    severity: Severity::Error,
    finds: "a name that is declared nowhere, or stands one letter beside a declared one",
    why: "Most often a slip of the pen. Left alone, the part would have no fasteners, no torque and no place on the last look.",
    wrong: "\
job: Clean behind the side cover

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Off and on
  remove side covr
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
    source: "The language reference.",
    check: Check::Reading,
};
