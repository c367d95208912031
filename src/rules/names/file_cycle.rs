//! `file-cycle`: files that use each other in a ring.

use crate::diagnostic::Severity;
use crate::rules::{Check, Group, Rule};

/// The rule and its page. It is told while the files are read.
pub const RULE: Rule = Rule {
    name: "file-cycle",
    group: Group::Names,
    severity: Severity::Error,
    finds: "files that use each other in a ring",
    why: "Neither can be read before the other.",
    wrong: "\
job: Clean behind the side cover
uses: first.job

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Off and on
  remove side cover
  refit side cover
=== first.job
routine: Wash the cover
uses: second.job

stage: Wash the cover
  clean side of the cover
=== second.job
routine: Rinse the cover
uses: first.job

stage: Rinse the cover
  clean back of the cover
",
    right: "\
job: Clean behind the side cover
uses: first.job

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Off and on
  remove side cover
  refit side cover
=== first.job
routine: Wash the cover
uses: second.job

stage: Wash the cover
  clean side of the cover
=== second.job
routine: Rinse the cover

stage: Rinse the cover
  clean back of the cover
",
    source: "The language reference.",
    check: Check::Reading,
};
