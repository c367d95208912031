//! `several-acts`: an act hidden in prose.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::rules::prose::{Belongs, each_prose, place, words};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "several-acts",
    group: Group::People,
    severity: Severity::Advice,
    finds: "an act that is written in the prose of another step, where it is neither checked nor signed for",
    why: "The checker does not see it: what comes off in a sentence is missing from the last look. And one signature then stands for two acts.",
    wrong: "\
job: Look behind the side cover

parts
  side cover

stage: Look
  inspect side cover: Remove the cap of the sight glass and look inside.
",
    right: "\
job: Look behind the side cover

parts
  side cover
  cap of the sight glass

stage: Look
  remove cap of the sight glass
  inspect side cover: Look inside through the hole.
  refit cap of the sight glass
",
    source: "ASD-STE100: one instruction a sentence (from memory); the language: one act, one line.",
    check: Check::Job(check),
};

/// Verbs that change what is on the machine, as they begin a sentence. Words that as often mean something harmless in
/// prose (`turn`, `hold`, `support`, `set`, `start`) are left out.
const ACTS: [&str; 16] = [
    "remove",
    "refit",
    "reinstall",
    "install",
    "fit",
    "disconnect",
    "reconnect",
    "unplug",
    "loosen",
    "slacken",
    "tighten",
    "torque",
    "drain",
    "refill",
    "take off",
    "put back",
];

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    each_prose(procedure, &mut |belongs, prose| {
        if belongs != Belongs::Act {
            return;
        }
        let text = words(prose);
        for (at, verb) in acts(&text) {
            let finding = RULE
                .at(place(prose, at..at + verb.len()), format!("`{verb} …` in the prose is an act of its own"))
                .label("neither checked nor signed for")
                .help(format!("Write it as a step of its own: `{verb} …` on a line."));
            if !out.contains(&finding) {
                out.push(finding);
            }
        }
    });
}

/// Where an act begins a sentence, or follows `and`, `then` or a semicolon.
fn acts(text: &str) -> Vec<(usize, &'static str)> {
    let lower = text.to_ascii_lowercase();
    let mut out = Vec::new();
    for verb in ACTS {
        for (at, _) in lower.match_indices(verb) {
            let after = lower[at + verb.len()..].chars().next();
            let before = lower[..at].trim_end();
            let begins = before.is_empty()
                || before.ends_with(['.', '!', ';', ':'])
                || (lower[..at].ends_with(' ') && [" and", " then", ", then"].iter().any(|w| before.ends_with(w)));
            if begins && after.is_some_and(|c| c == ' ') {
                out.push((at, verb));
            }
        }
    }
    out.sort_unstable();
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_begins_a_sentence_or_follows_and_is_an_act() {
        assert_eq!(acts("Lift it and remove the pin. Tighten the nut."), [(12, "remove"), (28, "tighten")]);
        assert_eq!(acts("To remove it, pull. The bolts fit loosely; do not tighten."), []);
        assert_eq!(acts("Removes rust"), []);
    }
}
