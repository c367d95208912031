//! `caution-missing`: an act that is known to hurt people, and no message.

use std::collections::HashSet;

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Procedure, steps_of};
use crate::rules::cautions::{By, is_excused, needs_a_helper, wanted};
use crate::rules::people::caution_late::late_hazards;
use crate::rules::{Check, Group, Rule};
use crate::trade::hazard::Hazard;
use crate::trade::lifting::MOST_FOR_ONE_KG;

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
    for caution in wanted(procedure).into_iter().filter(|c| c.by != By::Declaration) {
        // One that is taken out is told for its own sake, so that its `allow` is seen to do something.
        if !is_excused(procedure, &caution) && !told.insert(caution.hazard) {
            continue;
        }
        let (name, word) = (caution.hazard.name(), caution.hazard.signal().name());
        let mut help =
            format!("Nothing need be done; to say it in your own words write `{word} {name}: …` under this step.");
        let mut finding = RULE
            .at(
                caution.span,
                format!("{} brings the hazard `{name}`: its standard message is put in here", caution.because),
            )
            .label(name);
        if let Some(named_at) = caution.named_at {
            help.push_str(" If the name means something harmless here, `allow caution-missing: why` at its declaration takes the message out.");
            finding = finding.related(named_at, "known by its name");
        }
        out.push(finding.help(help));
    }
    too_heavy(procedure, out);
}

/// Where `with a helper` is put in.
fn too_heavy(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    let mut told: HashSet<&str> = HashSet::new();
    steps_of(&procedure.body, &mut |step| {
        if let Some(thing) = needs_a_helper(procedure, step)
            && let Some(weight) = &thing.facts.weighs
            && told.insert(&thing.name)
        {
            let most = MOST_FOR_ONE_KG;
            out.push(
                RULE.at(step.head_span, format!("{} weighs {weight}: `with a helper` is put in here", thing.name))
                    .label("too heavy for one")
                    .help(format!(
                        "Nothing need be done; name what takes the weight, like `with hoist`, where there is one. \
                         Above {most} kg nobody lifts alone (ISO 11228-1, from memory)."
                    )),
            );
        }
    });
}
