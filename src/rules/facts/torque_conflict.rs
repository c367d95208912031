//! `torque-conflict`: two values for one fastener, or stages that do not rise.

use std::cmp::Ordering;

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Fastening, Pass, PassAction, Procedure, Step, Thing, Verb, steps_of};
use crate::quantity::{Kind, Quantity, Spec};
use crate::rules::used::answered_for;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "torque-conflict",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "two torques for one fastener, or stages of a recipe that do not rise",
    why: "A wrench set lower than the stage before clicks at once and turns nothing: the joint is signed for and not tight. Of two values one is wrong, and nobody at the machine can tell which.",
    wrong: "\
job: Reseat the pump cover

parts
  pump cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m then 10 N·m

stage: Off and on
  remove pump cover
  refit pump cover
",
    right: "\
job: Reseat the pump cover

parts
  pump cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 10 N·m then 22 N·m

stage: Off and on
  remove pump cover
  refit pump cover
",
    source: "Common practice: staged tightening rises; a stage that only proves the one before is a `check`, one that lets it fall says `slacken`.",
    check: Check::Declarations(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    for (_, thing) in answered_for(procedure) {
        let mut told = Vec::new();
        for (_, facts) in thing.all_facts() {
            let Some(fastening) = &facts.fastening else { continue };
            for finding in stages_fall(thing, fastening).into_iter().chain(above_ceiling(thing, fastening)) {
                // A variant repeats the stages that it does not change.
                if !told.contains(&finding.span) {
                    told.push(finding.span);
                    out.push(finding);
                }
            }
        }
    }
    stated_in_steps(procedure, out);
}

/// Each stage against the one before it at the same positions.
fn stages_fall(thing: &Thing, fastening: &Fastening) -> Vec<Diagnostic> {
    let mut out = Vec::new();
    for (i, later) in fastening.passes.iter().enumerate() {
        let PassAction::Torque(value) = &later.action else { continue };
        let before = fastening.passes[..i]
            .iter()
            .rev()
            .filter(|p| share_positions(p, later))
            .take_while(|p| !matches!(p.action, PassAction::Slacken | PassAction::Turn(_)))
            .find_map(|p| match &p.action {
                PassAction::Torque(value) => Some((p, value)),
                _ => None,
            });
        let Some((earlier, earlier_value)) = before else { continue };
        let falls = match compare(value, earlier_value) {
            Some(Ordering::Less) => true,
            // The same value again is a stage of its own once the machine stands differently, or in another order (round the
            // circle until none turns).
            Some(Ordering::Equal) => later.at == earlier.at && later.order == earlier.order,
            _ => false,
        };
        if falls {
            out.push(
                RULE.at(later.span, format!("{}: the stage at {value} does not rise above the {earlier_value} before it", thing.name))
                    .label("not more than before")
                    .related(earlier.span, format!("{earlier_value} here"))
                    .help("Put the stages in rising order; write `check` before a value that only proves the stage before, and `pass: slacken` where they are let go in between."),
            );
        }
    }
    out
}

/// The last torque against the most that may be reached when a slot is looked for.
fn above_ceiling(thing: &Thing, fastening: &Fastening) -> Option<Diagnostic> {
    let most = fastening.at_most.as_ref()?;
    let torque = fastening.final_torque()?;
    let above = aim(torque).compare(most) == Some(Ordering::Greater);
    above.then(|| {
        RULE.at(thing.span, format!("{}: the torque of {torque} is already above `at most {most}`", thing.name))
            .label("two values that can't both hold")
            .help(
                "The torque is the least, `at most` the most that may be reached while the slot is brought to its hole.",
            )
    })
}

/// A torque written in a step against the one of the declaration.
fn stated_in_steps(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    steps_of(&procedure.body, &mut |step| {
        if !matches!(step.verb, Verb::Tighten | Verb::Fit | Verb::Refit | Verb::Place | Verb::Renew) {
            return;
        }
        passes_in_step(procedure, step, out);
        let Some(stated) = step.clauses.amounts.iter().find(|a| a.kind() == Kind::Torque) else { return };
        for reference in step.things() {
            let thing = &procedure[reference.thing];
            let declared: Vec<&Spec> = thing
                .all_facts()
                .filter_map(|(_, facts)| facts.fastening.as_ref())
                .flat_map(|f| &f.passes)
                .filter_map(|p| match &p.action {
                    PassAction::Torque(value) | PassAction::Check(value) => Some(value),
                    _ => None,
                })
                .collect();
            let Some(last) = declared.last() else { continue };
            if !declared.iter().any(|value| compare(value, stated) == Some(Ordering::Equal)) {
                out.push(
                    RULE.at(step.span, format!("{stated} here, {last} where {} are declared", thing.name))
                        .label("another torque than declared")
                        .related(thing.span, format!("{last} here"))
                        .help("A torque stands once, with the fastener: leave it out of the step; where a variant needs another, write it under `with …` at the declaration."),
                );
            }
        }
    });
}

/// `tighten F, in 3 passes` against a recipe that has other stages.
fn passes_in_step(procedure: &Procedure, step: &Step, out: &mut Vec<Diagnostic>) {
    let Some(ways) = step.clauses.in_passes else { return };
    let said = ways.count + u32::from(ways.round);
    for reference in step.things() {
        let thing = &procedure[reference.thing];
        let stages = thing.all_facts().filter_map(|(_, facts)| facts.fastening.as_ref()).map(|f| f.passes.len());
        let counts: Vec<usize> = stages.collect();
        let Some(stated) = counts.first().filter(|_| counts.iter().all(|n| *n > 1 && *n != said as usize)) else {
            continue;
        };
        out.push(
            RULE.at(step.span, format!("in {said} passes here, {stated} stages where {} are declared", thing.name))
                .label("another number of passes than declared")
                .related(thing.span, format!("{stated} stages here"))
                .help("The stages stand once, with the fastener: leave `in … passes` out of the step."),
        );
    }
}

fn share_positions(a: &Pass, b: &Pass) -> bool {
    a.positions.is_empty() || b.positions.is_empty() || a.positions.iter().any(|p| b.positions.contains(p))
}

fn compare(a: &Spec, b: &Spec) -> Option<Ordering> {
    aim(a).compare(&aim(b))
}

/// The value aimed at; of a range its upper end.
fn aim(value: &Spec) -> Quantity {
    value.target().cloned().or_else(|| value.high()).or_else(|| value.low()).unwrap_or_else(|| value_of(value))
}

fn value_of(value: &Spec) -> Quantity {
    Quantity { value: crate::quantity::Number::ZERO, unit: value.unit().clone() }
}
