//! `allowed`: every silenced rule, with its reason.

use crate::diagnostic::Severity;
use crate::rules::{Check, Group, Rule};

/// The rule and its page. It is told where the rules are run.
pub const RULE: Rule = Rule {
    name: "allowed",
    group: Group::Time,
    severity: Severity::Advice,
    finds: "every `allow`, with its reason",
    why: "A rule that was silenced once for a good reason stays silent when the reason is gone. Listed at the end of every check, it is looked at again.",
    wrong: "\
job: Look at the side cover

parts
  side cover

stage: Look
  clean side cover: Use solvent as necessary.
    allow vague-word: Agreed with the shop, which has only one solvent.
",
    right: "\
job: Look at the side cover

parts
  side cover

stage: Look
  clean side cover: Use solvent until the rag stays white.
",
    source: "The language: the reason of an `allow` is required.",
    check: Check::Checking,
};
