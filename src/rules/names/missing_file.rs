//! `missing-file`: a file that is not there.

use crate::diagnostic::Severity;
use crate::rules::{Check, Group, Rule};

/// The rule and its page. It is told while the files are read.
pub const RULE: Rule = Rule {
    name: "missing-file",
    group: Group::Names,
    severity: Severity::Error,
    finds: "a `uses` or `figure` that names a file which is not there, can not be read, or lies outside the checked folder",
    why: "Without the machine file the parts have no fasteners and no values.",
    wrong: "\
job: Clean behind the side cover
uses: machines/nowhere.job

parts
  side cover: held by cover bolts

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
    source: "The language reference; a path counts from the folder of the file it stands in.",
    check: Check::Reading,
};
