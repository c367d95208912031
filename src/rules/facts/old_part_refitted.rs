//! `old-part-refitted`: an old part goes back where a new one must, or a 'new' one comes from nowhere.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Condition, Facts, Found, Procedure, Thing, ThingId, ThingKind, ThingRef, Verb, Version};
use crate::proof::{Fault, FaultKind, Proof, Why};
use crate::rules::context::{InContext, steps_in_context};
use crate::rules::proved::{Told, Words, tell_where};
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
    let kits: Vec<ThingId> = procedure.kits.iter().flat_map(|k| k.things.iter().copied()).collect();
    let steps = steps_in_context(procedure);
    let mut told: Vec<(ThingId, Verb)> = Vec::new();
    for (n, seen) in steps.iter().enumerate() {
        for reference in seen.step.things() {
            let thing = &procedure[reference.thing];
            let finding = if puts_back_old(seen, reference, thing) {
                refitted(procedure, &steps[..n], seen, reference, thing)
            } else if brings_new(seen, reference) && !kits.contains(&reference.thing) {
                from_nowhere(seen, thing)
            } else {
                None
            };
            if let Some(finding) = finding
                && !told.contains(&(reference.thing, seen.step.verb))
            {
                told.push((reference.thing, seen.step.verb));
                out.push(finding);
            }
        }
    }
    // What only the walk through the machine shows: a seal that stayed on, a fastener used up, bad on one way.
    let other = |fault: &Fault| !told.iter().any(|(thing, _)| Some(*thing) == fault.thing);
    tell_where(&RULE, FaultKind::OldPartRefitted, procedure, proof, out, &other, &proved);
}

fn proved(told: &Told<'_>) -> Words {
    let name = &told.name;
    let message = match told.fault.why {
        Why::SingleUse => format!("{} single-use and already undone, and must not go back here", told.is()),
        Why::DeclaredNew => format!("{} replaced by this job, and the old one goes back here", told.is()),
        Why::FoundBad => format!("{} bad on this way and goes back all the same", told.is()),
        Why::Discarded => format!("{} thrown away and goes back here", told.is()),
        _ => format!("a new one goes on, and nothing says that {} new", told.is()),
    };
    let help = match told.fault.why {
        Why::NotDeclaredNew => format!(
            "Write `refit {name}` if the old one goes back; else add `new` (or `new if bad`) to its declaration."
        ),
        _ => {
            format!("Write `remove {name}` and `fit {name}` before this: a new one goes on, and the kit list says so.")
        }
    };
    Words::new(message, "the old one", help)
}

fn puts_back_old(seen: &InContext<'_>, reference: &ThingRef, thing: &Thing) -> bool {
    let says_old = reference.version != Version::New;
    match seen.step.verb {
        Verb::Refit | Verb::Return => says_old,
        Verb::Place => reference.version == Version::Old || (says_old && !thing.facts.new && !thing.facts.single_use),
        _ => false,
    }
}

fn brings_new(seen: &InContext<'_>, reference: &ThingRef) -> bool {
    match seen.step.verb {
        Verb::Fit | Verb::Renew => reference.version != Version::Old,
        Verb::Place => reference.version == Version::New,
        _ => false,
    }
}

/// An old one goes back: it must not be one that is replaced, spent, bad or thrown away.
fn refitted(
    procedure: &Procedure,
    before: &[InContext<'_>],
    seen: &InContext<'_>,
    reference: &ThingRef,
    thing: &Thing,
) -> Option<Diagnostic> {
    let last_new = before.iter().rposition(|s| {
        s.step
            .things()
            .any(|t| t.thing == reference.thing && (brings_new(s, t) || placed_new(s, t, &procedure[t.thing])))
    });
    let name = &thing.name;
    let finding = |message: String| {
        RULE.at(seen.step.head_span, message)
            .label("the old one")
            .help(format!("Write `fit {name}`: a new one goes on, and the kit list says so."))
    };
    // Where a new one went on earlier, it is that one which goes back.
    if last_new.is_none() {
        let all = |is: &dyn Fn(&Facts) -> bool| thing.all_facts().all(|(_, f)| is(f));
        if all(&|f| f.single_use) {
            return Some(
                finding(format!("{name} {} single-use: once undone it never goes back", is_are(name)))
                    .related(thing.span, "declared `single-use` here"),
            );
        }
        if all(&|f| f.new) {
            return Some(
                finding(format!("{name} {} replaced by this job, and the old one goes back here", is_are(name)))
                    .related(thing.span, "declared `new` here"),
            );
        }
    }
    let since = &before[last_new.map_or(0, |n| n + 1)..];
    if let Some(gone) = since.iter().find(|s| {
        s.step.verb == Verb::Discard
            && s.condition == Condition::Always
            && s.step
                .things()
                .any(|t| t.thing == reference.thing && t.members == reference.members && t.version != Version::New)
    }) {
        return Some(
            finding(format!("{name} {} thrown away and goes back here", is_are(name)))
                .related(gone.step.head_span, "thrown away here"),
        );
    }
    if last_new.is_none() && is_known_bad(&seen.condition, reference) {
        return Some(finding(format!("{name} {} bad on this way and goes back all the same", is_are(name))));
    }
    None
}

fn placed_new(seen: &InContext<'_>, reference: &ThingRef, thing: &Thing) -> bool {
    seen.step.verb == Verb::Place
        && reference.version != Version::Old
        && thing.all_facts().any(|(_, f)| f.new || f.single_use || f.added)
}

/// The conditions around the step say that this thing is bad.
fn is_known_bad(condition: &Condition, reference: &ThingRef) -> bool {
    match condition {
        Condition::Found(Found::Bad(bad)) => bad.thing == reference.thing && bad.members == reference.members,
        Condition::All(all) => all.iter().any(|c| is_known_bad(c, reference)),
        _ => false,
    }
}

/// `fit` and `renew` need a part that comes new.
fn from_nowhere(seen: &InContext<'_>, thing: &Thing) -> Option<Diagnostic> {
    let comes_new =
        thing.all_facts().any(|(_, f)| f.new || f.new_if_bad || f.single_use || f.added || f.temporary.is_some());
    if comes_new || thing.kind == ThingKind::Fluid {
        return None;
    }
    let (name, verb) = (&thing.name, seen.step.verb.name());
    Some(
        RULE.at(seen.step.head_span, format!("`{verb}` puts on a new one, and nothing says that {name} {} new", is_are(name)))
            .label("a new one?")
            .related(thing.span, "declared here")
            .help(format!("Write `refit {name}` if the old one goes back; else add `new` (or `new if bad`, `single-use`) to the declaration, so that it is on the kit list.")),
    )
}
