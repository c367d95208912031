//! `number-in-prose`: a quantity typed into prose.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::quantity::{Kind, find_quantities};
use crate::rules::prose::{each_prose, place, words};
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "number-in-prose",
    group: Group::People,
    severity: Severity::Warning,
    finds: "a torque, volume, pressure, force or length typed into prose, where it can be neither converted nor compared",
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
        let text = words(prose);
        for (range, quantity) in find_quantities(&text) {
            if !matches!(quantity.kind(), Kind::Torque | Kind::Volume | Kind::Pressure | Kind::Force | Kind::Length) {
                continue;
            }
            let span = place(prose, range.clone());
            let written = text.get(range).unwrap_or_default();
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
}
