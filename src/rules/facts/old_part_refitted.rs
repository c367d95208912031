//! `old-part-refitted`: an old part goes back where a new one must, or a 'new' one comes from nowhere.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Procedure, Verb, steps_of};
use crate::proof::{Fault, FaultKind, Place, Proof, Why};
use crate::rules::proved::Told;
use crate::rules::wording::is_are;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "old-part-refitted",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "a part that must be new goes back old, or a new one is fitted that the job does not bring",
    why: "A used gasket leaks, a used lock nut shakes loose, a part that was found bad is back in the machine. And what is not on the kit list is missing when the machine stands open.",
    wrong: "\
job: Clean the strainer

parts
  strainer cover: held by cover bolts
  cover gasket: single-use, part of strainer cover

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Off and on
  remove strainer cover
  remove cover gasket
  refit cover gasket
  refit strainer cover
",
    right: "\
job: Clean the strainer

parts
  strainer cover: held by cover bolts
  cover gasket: single-use, part of strainer cover

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Off and on
  remove strainer cover
  remove cover gasket
  fit cover gasket
  refit strainer cover
",
    source: "Common practice: single-use parts, parts found bad and parts thrown away never go back.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    // What lies in a kit comes new.
    let in_kit = |f: &Fault| f.thing.is_some_and(|id| procedure.kits.iter().any(|kit| kit.things.contains(&id)));
    let faults = proof.faults.iter().filter(|f| f.kind == FaultKind::OldPartRefitted);
    out.extend(faults.filter(|f| f.why != Why::NotDeclaredNew || !in_kit(f)).map(|f| worded(procedure, f)));
}

fn worded(procedure: &Procedure, fault: &Fault) -> Diagnostic {
    let name = fault.thing_name(procedure);
    let plain = fault.thing.and_then(|id| procedure.things.get(id.index())).map_or(name.clone(), |t| t.name.clone());
    let is = is_are(&plain);
    let (message, label) = match &fault.why {
        Why::NotDeclaredNew => {
            let verb = fault.verb.map_or("fit", Verb::name);
            (format!("`{verb}` puts on a new one, and nothing says that {name} {is} new"), "a new one?")
        }
        Why::DeclaredNew => {
            (format!("{name} {is} replaced by this job, and the old one goes back here"), "the old one")
        }
        Why::FoundBad => (format!("{name} {is} bad and goes back all the same"), "found bad"),
        Why::NeverOn => (format!("{name} {is} added by this job: there is no old one to refit"), "no old one"),
        Why::Discarded => (format!("{name} {is} thrown away and goes back here"), "thrown away"),
        _ => (format!("{name} {is} single-use: once undone it never goes back"), "the old one"),
    };
    let help = match &fault.why {
        Why::NotDeclaredNew => format!(
            "Write `refit {plain}` if the old one goes back; else add `new` (or `new if bad`, `single-use`) to its declaration, so that it is on the kit list."
        ),
        _ => format!("Write `fit {plain}`: a new one goes on, and the kit list says so."),
    };
    let told = Told { procedure, fault, name };
    let mend = match (&fault.why, fault.verb) {
        (Why::DeclaredNew | Why::SingleUse, Some(Verb::Refit)) => told.with_verb("fit"),
        // What came off under its name goes back under its name.
        (Why::NotDeclaredNew, Some(Verb::Fit)) if came_off_by_name(procedure, fault) => told.with_verb("refit"),
        _ => None,
    };
    let finding = RULE.at(fault.span, message).label(label).help(help).way(fault.way.clone());
    let mut finding = finding.mend(mend);
    if let Some(thing) = fault.thing.and_then(|id| procedure.things.get(id.index())) {
        finding = finding.related(thing.span, "declared here");
    }
    match fault.other {
        Some((Place::LeftHome, span)) => finding.related(span, "came off here"),
        Some((Place::ActBefore, span)) => finding.related(span, "the act before"),
        _ => finding,
    }
}

/// An earlier step removes it, whole, and none throws it away.
fn came_off_by_name(procedure: &Procedure, fault: &Fault) -> bool {
    let (mut came_off, mut thrown_away) = (false, false);
    steps_of(&procedure.body, &mut |step| {
        let names_it = step.things().any(|t| Some(t.thing) == fault.thing);
        came_off |= names_it && step.verb == Verb::Remove && Some(step.id) < fault.step;
        thrown_away |= names_it && matches!(step.verb, Verb::Discard | Verb::Renew);
    });
    came_off && !thrown_away
}
