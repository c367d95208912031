//! `caution-missing`: an act that is known to hurt people, and no message.

use std::collections::HashSet;

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::rules::cautions::cautions;
use crate::rules::people::caution_late::late_hazards;
use crate::rules::{Check, Group, Rule};
use crate::trade::hazard::Hazard;

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "caution-missing",
    group: Group::People,
    severity: Severity::Advice,
    finds: "an act with a known hazard and no message: the standard message is put in",
    why: "Whoever has done it twenty times no longer thinks of it; whoever does it for the first time does not know. The sheet prints the standard message before the act, and this says which.",
    wrong: "\
job: Move the truck to the next bay

stage: Start it
  run engine, for 2 min
",
    right: "\
job: Move the truck to the next bay

stage: Start it
  run engine, for 2 min
    warning exhaust gas: Open the gate first.
    warning rotating parts
",
    source: "Common practice; signal words and messages as in ISO 3864-2 and ANSI Z535.6, signs as in ISO 7010.",
    check: Check::Job(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    let late = late_hazards(procedure);
    // What is said too late need not be said to be missing.
    let mut told: HashSet<Hazard> = late.into_iter().collect();
    for caution in cautions(procedure).into_iter().filter(|c| !c.declared) {
        if told.insert(caution.hazard) {
            let (name, word) = (caution.hazard.name(), caution.hazard.signal().name());
            out.push(
                RULE.at(
                    caution.span,
                    format!("{} brings the hazard `{name}`: its standard message is put in here", caution.because),
                )
                .label(name)
                .help(format!(
                    "Nothing need be done; to say it in your own words write `{word} {name}: …` under this step."
                )),
            );
        }
    }
}
