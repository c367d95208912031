//! `set-incomplete`: one of a set is renewed and its fellows are not.

use std::collections::HashSet;

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::{Fault, FaultKind, Place, Proof, Why};
use crate::rules::wording::is_are;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "set-incomplete",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "parts that are only renewed together (`as a set`, `always with`) and here are not",
    why: "A new disc on one side and a worn one on the other pull the truck across the road; a new bearing in an old cup runs rough within weeks.",
    wrong: "\
job: Renew the front discs

sets
  side: left, right

parts
  disc: new if bad, each side, as a set

stage: Off and on
  for each side
    remove disc
  fit left disc
  refit right disc
",
    right: "\
job: Renew the front discs

sets
  side: left, right

parts
  disc: new if bad, each side, as a set

stage: Off and on
  for each side
    remove disc
    fit disc
",
    source: "Common practice: brake parts are renewed by the axle, bearings with their cups.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    let mut told = HashSet::new();
    for fault in proof.faults.iter().filter(|f| f.kind == FaultKind::SetIncomplete) {
        // That the left one stays old and that the right one does is one mistake.
        if fault.why != Why::SetBroken || told.insert(fault.thing) {
            out.push(worded(procedure, fault));
        }
    }
}

fn worded(procedure: &Procedure, fault: &Fault) -> Diagnostic {
    let name = fault.thing_name(procedure);
    let thing = fault.thing.and_then(|id| procedure.things.get(id.index()));
    let plain = thing.map_or(name.as_str(), |t| t.name.as_str());
    let name_of = |id: &crate::procedure::ThingId| procedure.things.get(id.index()).map_or("", |t| t.name.as_str());
    let finding = match &fault.why {
        Why::AlwaysWith(mate) => {
            let mate = name_of(mate);
            RULE.at(fault.span, format!("{name} stays old and {mate} {} new", is_are(mate)))
                .label("only one of the two is new")
                .help(format!("Fit a new {plain} on the same way: they wear together."))
        }
        Why::SetBroken => RULE
            .at(fault.span, format!("{name} stays old and its fellow {} new", is_are(plain)))
            .label("only one of the set is new")
            .help(format!("Fit all of them: `fit {plain}` inside the `for each`, or outside the loop `if {plain} bad`, which there means any of them.")),
        _ => RULE
            .at(fault.span, format!("the next member is begun before {name} {} home", is_are(plain)))
            .label("one after the other")
            .help(format!("Finish {plain} inside the loop, or leave `one after the other` out where both may be open.")),
    };
    let finding = match thing {
        Some(thing) => finding.related(thing.span, "declared here"),
        None => finding,
    };
    let finding = match fault.other {
        Some((Place::LeftHome, span)) => finding.related(span, "came off here"),
        _ => finding,
    };
    finding.way(fault.way.clone())
}
