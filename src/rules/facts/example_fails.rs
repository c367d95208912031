//! `example-fails`: a worked example that gives another result.

use crate::diagnostic::Severity;
use crate::rules::{Check, Group, Rule};

/// The rule and its page. It is told while the files are read.
pub const RULE: Rule = Rule {
    name: "example-fails",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "a worked example beside a `work out` that gives another result",
    why: "Either the formula or the example is wrong. A shim that is worked out wrong is ground, fitted and found out when the engine knocks.",
    wrong: "\
job: Set the inlet clearance

measurements
  shim found: 1 to 4 mm
  clearance: 0 to 1 mm

stage: Work it out
  measure shim found
  measure clearance
  work out shim wanted = shim found + clearance - 0.19 mm
    example: shim found 2.40 mm, clearance 0.11 mm gives 2.42 mm
  do: Pick the shim of {shim wanted}.
",
    right: "\
job: Set the inlet clearance

measurements
  shim found: 1 to 4 mm
  clearance: 0 to 1 mm

stage: Work it out
  measure shim found
  measure clearance
  work out shim wanted = shim found + clearance - 0.19 mm
    example: shim found 2.40 mm, clearance 0.11 mm gives 2.32 mm
  do: Pick the shim of {shim wanted}.
",
    source: "Arithmetic, done with exact fractions.",
    check: Check::Reading,
};
