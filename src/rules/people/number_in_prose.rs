//! `number-in-prose`: a quantity typed into prose.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Procedure, Prose};
use crate::quantity::{Disagreement, Kind, disagreements, find_quantities};
use crate::rules::prose::{each_prose, each_quoted, place, words, words_and_values};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "number-in-prose",
    group: Group::People,
    severity: Severity::Warning,
    finds: "a torque, volume, pressure, force or length typed into prose, where it can be neither converted nor compared; one value in two units that disagree",
    why: "Somebody corrects the declaration and the sentence keeps the old value; somebody reads inches and the sheet says millimetres.",
    wrong: "\
job: Look at the side cover

parts
  side cover

stage: Look
  inspect side cover: No crack longer than 6 mm.
",
    right: "\
job: Look at the side cover

parts
  side cover

stage: Look
  inspect side cover: No crack longer than {6 mm}.
",
    source: "The language reference: `{6 mm}` in prose is a checked, converted quantity.",
    check: Check::Job(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    each_prose(procedure, &mut |_, prose| {
        let told = disagreeing(prose, out);
        let text = words(prose);
        for (range, quantity) in find_quantities(&text) {
            if !matches!(quantity.kind(), Kind::Torque | Kind::Volume | Kind::Pressure | Kind::Force | Kind::Length) {
                continue;
            }
            let written = text.get(range.clone()).unwrap_or_default();
            let span = place(prose, range);
            // Figures that disagree are told as such.
            if told.iter().any(|t| t.contains(written)) {
                continue;
            }
            let mut finding = RULE
                .at(span, format!("{written} stands in the prose, where it can be neither converted nor compared"))
                .label("only words here")
                .help(format!("Put it in braces: `{{{quantity}}}`; a torque or a limit belongs to the declaration."));
            if span != prose.span {
                finding = finding.fix("put it in braces", span, format!("{{{quantity}}}"));
            }
            // One routine may be followed twice.
            if !out.contains(&finding) {
                out.push(finding);
            }
        }
    });
    each_quoted(procedure, &mut |prose| {
        disagreeing(prose, out);
    });
}

/// With the bracket that the second figure stands in.
fn closed(written: &str) -> String {
    if written.contains('(') && !written.contains(')') { format!("{written})") } else { written.to_owned() }
}

/// Tells of one value in two units whose figures disagree; gives the texts back.
fn disagreeing(prose: &Prose, out: &mut Vec<Diagnostic>) -> Vec<String> {
    let text = words_and_values(prose);
    let mut told = Vec::new();
    for found in disagreements(&text) {
        let written = text.get(found.range.clone()).unwrap_or_default().to_owned();
        let span = if text == words(prose) { place(prose, found.range.clone()) } else { prose.span };
        let Disagreement { first, truth, .. } = &found;
        let finding = RULE
            .at(span, format!("{}: the two figures disagree, {first} is {truth}", closed(&written)))
            .label("which of the two?")
            .help(format!(
                "Look up which is right and write that one alone, in braces: `{{{first}}}` prints the other unit by itself \
                 (exact factors of NIST SP 811)."
            ));
        if !out.contains(&finding) {
            out.push(finding);
        }
        told.push(written);
    }
    told
}
