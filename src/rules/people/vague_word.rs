//! `vague-word`: words that leave the measure to the reader.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::rules::prose::{Belongs, each_prose, place, words};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "vague-word",
    group: Group::People,
    severity: Severity::Advice,
    finds: "words that leave the measure to the reader: `tight enough`, `as required`",
    why: "A master knows what is tight enough; the apprentice who needs the sheet is the one who does not.",
    wrong: "\
job: Look at the side cover

parts
  side cover

stage: Look
  clean side cover: Use solvent as necessary.
",
    right: "\
job: Look at the side cover

parts
  side cover

stage: Look
  clean side cover: Use solvent until the rag stays white.
",
    source: "Common practice in technical writing: say when it is right, how much, or how to see it.",
    check: Check::Job(check),
};

/// Each with what is missing.
const VAGUE: [(&str, &str); 22] = [
    ("tight enough", "say how tight: a torque, an angle, or when it is right"),
    ("good and tight", "say how tight: a torque, an angle, or when it is right"),
    ("not too tight", "say how tight: a torque, an angle, or when it is right"),
    ("sufficiently", "say how much, or how to see that it is enough"),
    ("enough force", "say how much"),
    ("as necessary", "say when it is necessary, or how much"),
    ("as required", "say when it is required, or how much"),
    ("if necessary", "say how to see that it is necessary"),
    ("if required", "say how to see that it is required"),
    ("where appropriate", "say where"),
    ("as appropriate", "say which"),
    ("properly", "say what is right"),
    ("correctly", "say what is right"),
    ("adequate", "say how much"),
    ("a suitable", "say which"),
    ("a little bit", "say how much"),
    ("for a while", "say how long"),
    ("reasonably", "say how much, or how to see that it is right"),
    ("about right", "say when it is right"),
    ("not too hot", "say how hot, or how it feels: a hand can stay on it"),
    ("not too much", "say how much"),
    ("in the usual way", "say how: the reader may do it for the first time"),
];

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    each_prose(procedure, &mut |belongs, prose| {
        if belongs == Belongs::Header {
            return;
        }
        let text = words(prose).to_ascii_lowercase();
        for (vague, instead) in VAGUE {
            for (at, _) in text.match_indices(vague) {
                let inside_a_word = text[..at].ends_with(char::is_alphanumeric)
                    || text[at + vague.len()..].starts_with(char::is_alphanumeric);
                if inside_a_word {
                    continue;
                }
                let finding = RULE
                    .at(place(prose, at..at + vague.len()), format!("`{vague}` leaves the measure to the reader"))
                    .label("how much? when?")
                    .help(instead);
                if !out.contains(&finding) {
                    out.push(finding);
                }
            }
        }
    });
}
