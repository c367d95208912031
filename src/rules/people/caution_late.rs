//! `caution-late`: a safety message that stands after the act it warns of.
//!
//! The act it warns of is known in two ways. A built-in hazard belongs to the acts that bring it (`rules/cautions.rs`);
//! words that name an act (`before you loosen the cap`) belong to that act. The message is late where such an act
//! comes before it in its stage and on one way with it, and neither its own step nor a later one of the stage is such an act.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Builtin, Condition, Detail, DetailKind, Procedure, ThingKind, Verb, VerbGroup};
use crate::rules::cautions::{Brought, By, brought, spoken_of, surroundings};
use crate::rules::context::{InContext, steps_in_context};
use crate::rules::prose::words;
use crate::rules::speech;
use crate::rules::ways::each_way;
use crate::rules::{Check, Group, Rule};
use crate::trade::hazard::Hazard;

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "caution-late",
    group: Group::People,
    severity: Severity::Warning,
    finds: "a safety message that stands after the act it warns of",
    why: "A sheet is worked line by line. Whoever reads `hot coolant scalds` after the plug is out has it on the arm already.",
    wrong: "\
job: Drain the coolant

parts
  drain screw: screwed M14x1.5, hex 19 mm, torque 25 N·m, drain of coolant
  header tank cap: filler of coolant

fluids
  coolant: 9 L, kind ethylene glycol coolant, mix 50 % by volume
    spec: concentrate to ASTM D3306 in demineralised water

stage: Old out
  let engine cool
  drain coolant, into tray of 12 L
    warning poison
  close drain screw
    warning scald: Hot coolant jumps out. Wait until a hand can stay on the hose.

stage: New in
  open header tank cap
    warning scald
  fill coolant
    warning poison
  close header tank cap
",
    right: "\
job: Drain the coolant

parts
  drain screw: screwed M14x1.5, hex 19 mm, torque 25 N·m, drain of coolant
  header tank cap: filler of coolant

fluids
  coolant: 9 L, kind ethylene glycol coolant, mix 50 % by volume
    spec: concentrate to ASTM D3306 in demineralised water

stage: Old out
  let engine cool
  drain coolant, into tray of 12 L
    warning poison
    warning scald: Hot coolant jumps out. Wait until a hand can stay on the hose.
  close drain screw

stage: New in
  open header tank cap
    warning scald
  fill coolant
    warning poison
  close header tank cap
",
    source: "ANSI Z535.6: a safety message stands before the step it belongs to. Which act brings which hazard is common practice.",
    check: Check::Job(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    let steps = steps_in_context(procedure);
    let brought = brought_by(procedure, &steps);
    for (at, seen) in steps.iter().enumerate().filter(|(_, s)| !s.step.generated) {
        for detail in &seen.step.details {
            let late =
                by_hazard(procedure, &brought, &steps, at, detail).or_else(|| by_words(procedure, &steps, at, detail));
            let Some((act, of)) = late else { continue };
            let line = speech::act(procedure, act.step);
            let finding = RULE
                .at(detail.span, format!("this message {of} stands after `{line}`, the act it warns of"))
                .label("read too late")
                .related(act.step.head_span, "what it warns of is done here")
                .help(format!("Put it under `{line}`: it is printed before that step"));
            // One routine may be followed twice.
            if !out.contains(&finding) {
                out.push(finding);
            }
        }
    }
}

/// The hazards that are warned of too late.
pub fn late_hazards(procedure: &Procedure) -> Vec<Hazard> {
    let steps = steps_in_context(procedure);
    let brought = brought_by(procedure, &steps);
    let mut late = Vec::new();
    for (at, seen) in steps.iter().enumerate().filter(|(_, s)| !s.step.generated) {
        for detail in &seen.step.details {
            if let DetailKind::Safety { hazard: Some(hazard), .. } = detail.kind
                && by_hazard(procedure, &brought, &steps, at, detail).is_some()
            {
                late.push(hazard);
            }
        }
    }
    late
}

/// What each step brings.
fn brought_by(procedure: &Procedure, steps: &[InContext<'_>]) -> Vec<Vec<Brought>> {
    let around = surroundings(procedure);
    steps.iter().map(|seen| brought(procedure, seen.step, &around)).collect()
}

/// The earlier act that brings the built-in hazard of a message.
fn by_hazard<'a>(
    procedure: &Procedure,
    brought: &[Vec<Brought>],
    steps: &'a [InContext<'a>],
    at: usize,
    detail: &Detail,
) -> Option<(&'a InContext<'a>, String)> {
    let DetailKind::Safety { hazard: Some(hazard), .. } = detail.kind else { return None };
    let seen = &steps[at];
    // It lasts as long as the end is up: a message at any act under it comes in time.
    // Exhaust gas comes from nothing but the engine, from its start on.
    if hazard == Hazard::UnsupportedVehicle || (hazard != Hazard::ExhaustGas && meets_by_itself(seen)) {
        return None;
    }
    let brings = |n: usize, counts: &dyn Fn(&Brought) -> bool| {
        brought.get(n).is_some_and(|all| all.iter().any(|b| b.hazard == hazard && counts(b)))
    };
    if of_stage(steps, at).any(|n| n >= at && brings(n, &|_| true)) {
        return None;
    }
    // A name is enough only for what nothing else in a shop brings.
    let by_name = matches!(hazard, Hazard::StoredSpring | Hazard::Airbag | Hazard::HighVoltage | Hazard::Refrigerant);
    let first = of_stage(steps, at)
        .find(|n| *n < at && brings(*n, &|b| b.by != By::Name || by_name) && on_one_way(procedure, &steps[*n], seen))?;
    // The author may have spoken of it in time, and does so again.
    let said = of_stage(steps, at).any(|n| n <= first && spoken_of(procedure, &steps[n]).contains(&hazard));
    let turns = hazard == Hazard::RotatingParts && steps[first].step.verb == Verb::RunEngine;
    let still_runs = turns && !stopped(&steps[first..=at]);
    (!said && !still_runs).then(|| (&steps[first], format!("about {}", hazard.name())))
}

/// The earlier act that the words of a message name: its verb, and the thing it is done to.
fn by_words<'a>(
    procedure: &Procedure,
    steps: &'a [InContext<'a>],
    at: usize,
    detail: &Detail,
) -> Option<(&'a InContext<'a>, String)> {
    let DetailKind::Safety { prose: Some(prose), .. } = &detail.kind else { return None };
    let text = format!(" {} ", spoken(&words(prose)));
    let named = |s: &InContext<'_>| {
        s.step.verb.group() != VerbGroup::Work
            && text.split(['.', ';', '!', '?']).any(|sentence| {
                let sentence = format!(" {} ", sentence.trim());
                says_verb(&sentence, speech::verb(procedure, s.step.verb))
                    && s.step.things().any(|t| {
                        let thing = &procedure[t.thing];
                        !matches!(thing.kind, ThingKind::Builtin(Builtin::Engine | Builtin::Vehicle))
                            && sentence.contains(&format!(" {} ", thing.name.to_lowercase()))
                    })
            })
    };
    let about: Vec<_> = steps[at].step.things().map(|t| t.thing).collect();
    let touches =
        |n: usize, things: &[crate::procedure::ThingId]| steps[n].step.things().any(|t| things.contains(&t.thing));
    let first =
        of_stage(steps, at).find(|n| *n < at && named(&steps[*n]) && on_one_way(procedure, &steps[*n], &steps[at]))?;
    let things: Vec<_> = steps[first].step.things().map(|t| t.thing).collect();
    // A later act on the same thing may be the one that is meant.
    let later = of_stage(steps, at).any(|n| n >= at && touches(n, &things)) || about.iter().any(|t| things.contains(t));
    (!later).then(|| (&steps[first], "in its own words".to_owned()))
}

/// The steps of the stage that step `at` stands in, written in the same file.
fn of_stage<'a>(steps: &'a [InContext<'a>], at: usize) -> impl Iterator<Item = usize> + 'a {
    let stage = steps[at].stage.map(|(n, _)| n);
    let file = steps[at].step.span.file;
    (0..steps.len()).filter(move |n| {
        steps[*n].stage.map(|(n, _)| n) == stage && steps[*n].step.span.file == file && !steps[*n].step.generated
    })
}

/// Looking, feeling, cleaning and what no verb covers may meet a hazard that no declaration tells of.
fn meets_by_itself(seen: &InContext<'_>) -> bool {
    let harmless = matches!(
        seen.step.verb,
        Verb::LetCool | Verb::Wait | Verb::Record | Verb::Mark | Verb::Read | Verb::StopEngine | Verb::WorkOut
    );
    seen.step.verb.group() == VerbGroup::Work && !harmless
}

/// Whether the engine has stopped by the last of these steps.
fn stopped(steps: &[InContext<'_>]) -> bool {
    let [run, rest @ ..] = steps else { return false };
    let clauses = &run.step.clauses;
    clauses.for_time.is_some() || clauses.until.is_some() || rest.iter().any(|s| s.step.verb == Verb::StopEngine)
}

/// Whether some way leads through both.
fn on_one_way(procedure: &Procedure, a: &InContext<'_>, b: &InContext<'_>) -> bool {
    let both: Condition = a.condition.clone().and(b.condition.clone());
    let mut met = false;
    // A member of a set stands for itself: what is done for one and warned of for another is told apart by the loop.
    let members: Vec<_> = a.loops.iter().map(|set| (*set, 0)).collect();
    let listed = each_way(procedure, &[(&both, &members)], &mut |way| {
        met |= way.holds(&both, &members);
        !met
    });
    met || !listed
}

/// In lower case, marks inside a sentence as spaces.
fn spoken(text: &str) -> String {
    text.to_lowercase().replace(['\u{2019}', '\''], "").replace([',', ':', '(', ')', '"'], " ")
}

/// `loosen`, `loosens`, `loosening`; `removing`.
fn says_verb(sentence: &str, verb: &str) -> bool {
    let verb = verb.to_lowercase();
    let stem = verb.strip_suffix('e').unwrap_or(&verb);
    !verb.is_empty()
        && [format!(" {verb} "), format!(" {verb}s "), format!(" {stem}ing "), format!(" {verb}es ")]
            .iter()
            .any(|form| sentence.contains(form.as_str()))
}

#[cfg(test)]
mod tests {
    use super::says_verb;

    #[test]
    fn a_verb_is_heard_in_its_common_forms() {
        for text in [" before you remove it ", " removing it ", " nobody removes it "] {
            assert!(says_verb(text, "remove"), "{text}");
        }
        assert!(!says_verb(" the removal ", "remove"));
        assert!(!says_verb(" anything ", ""));
    }
}
