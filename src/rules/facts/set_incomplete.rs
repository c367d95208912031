//! `set-incomplete`: one of a set is renewed and its fellows are not.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Condition, Members, Procedure, SetId, ThingId, ThingRef, Verb, Version};
use crate::proof::{Fault, FaultKind, Proof, Why};
use crate::rules::context::{InContext, steps_in_context, stops};
use crate::rules::proved::{Words, tell_where};
use crate::rules::ways::{Way, each_way};
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
  disc: new, each side, as a set

stage: Off and on
  for each side
    remove disc
  fit left disc
",
    right: "\
job: Renew the front discs

sets
  side: left, right

parts
  disc: new, each side, as a set

stage: Off and on
  for each side
    remove disc
    fit disc
",
    source: "Common practice: brake parts are renewed by the axle, bearings with their cups.",
    check: Check::Proof(check),
};

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    // `one after the other`; the rest is seen here.
    let begun_early = |fault: &Fault| matches!(fault.why, Why::Thing(_));
    tell_where(&RULE, FaultKind::SetIncomplete, procedure, proof, out, &begun_early, &|told| {
        Words::new(
            format!("the next one is begun while {} not home", told.is()),
            "not one after the other",
            format!("Bring {} home inside the loop, or take `one after the other` out.", told.name),
        )
    });
    let steps = steps_in_context(procedure);
    for (i, thing) in procedure.things.iter().enumerate() {
        let id = ThingId(u32::try_from(i).unwrap_or(u32::MAX));
        if let Some(set) = thing.each
            && thing.all_facts().any(|(_, f)| f.as_a_set || f.new)
        {
            all_or_none(procedure, &steps, id, set, out);
        }
        let mates: Vec<ThingId> = thing.all_facts().flat_map(|(_, f)| f.always_with.iter().copied()).collect();
        for mate in mates {
            together(procedure, &steps, id, mate, out);
        }
    }
}

/// A place where a new one goes on, for one member of the set it belongs to (`None`: it belongs to none).
struct NewOne<'a> {
    seen: &'a InContext<'a>,
    at: Vec<(SetId, u32)>,
}

/// Every place where a new one of a thing goes on.
fn new_ones<'a>(procedure: &Procedure, steps: &'a [InContext<'a>], id: ThingId) -> Vec<NewOne<'a>> {
    let thing = &procedure[id];
    let mut out = Vec::new();
    for seen in steps {
        for reference in seen.step.things().filter(|t| t.thing == id) {
            let new = match seen.step.verb {
                Verb::Fit | Verb::Renew => reference.version != Version::Old,
                Verb::Place => {
                    reference.version == Version::New
                        || (reference.version == Version::Unsaid && (thing.facts.new || thing.facts.single_use))
                }
                _ => false,
            };
            if new {
                out.extend(members(procedure, reference, thing.each).into_iter().map(|at| NewOne { seen, at }));
            }
        }
    }
    out
}

/// The members that a reference means; in a loop each of them in turn.
fn members(procedure: &Procedure, reference: &ThingRef, set: Option<SetId>) -> Vec<Vec<(SetId, u32)>> {
    match (reference.members, set) {
        (Members::One(member), Some(set)) => vec![vec![(set, member)]],
        (_, Some(set)) => every_member(procedure, set),
        (_, None) => vec![Vec::new()],
    }
}

fn every_member(procedure: &Procedure, set: SetId) -> Vec<Vec<(SetId, u32)>> {
    (0..u32::try_from(procedure[set].members.len()).unwrap_or(0)).map(|m| vec![(set, m)]).collect()
}

/// On each way all members are renewed or none is.
fn all_or_none(procedure: &Procedure, steps: &[InContext<'_>], id: ThingId, set: SetId, out: &mut Vec<Diagnostic>) {
    let new = new_ones(procedure, steps, id);
    let Some(first) = new.first() else { return };
    let thing = &procedure[id];
    let every = every_member(procedure, set);
    let ends = stops(steps);
    let mut conditions = conditions_of(&new, &ends);
    conditions.extend(every.iter().map(|at| (&thing.exists, at.as_slice())));
    let mut found = None;
    each_way(procedure, &conditions, &mut |way| {
        let there: Vec<_> = every.iter().filter(|at| way.holds(&thing.exists, at)).collect();
        let left_out: Vec<_> = there.iter().filter(|at| !renewed(way, &new, at)).collect();
        if ended(way, &ends) || left_out.is_empty() || left_out.len() == there.len() {
            return true;
        }
        let names =
            left_out.iter().flat_map(|at| at.iter()).filter_map(|(s, m)| procedure[*s].members.get(*m as usize));
        found = Some((names.cloned().collect::<Vec<_>>(), way.words()));
        false
    });
    if let Some((names, way)) = found {
        let name = &thing.name;
        let left_out = crate::rules::wording::list(&names);
        let ask_of_all = if first.seen.condition == Condition::Always {
            format!("fit the {left_out} {name} too (`for each {}` does all of them)", procedure[set].name)
        } else {
            format!("ask for all of them at once, outside the loop: `if {name} bad` there means any of them")
        };
        out.push(
            RULE.at(
                first.seen.step.head_span,
                format!("one {name} {} new here and the {left_out} one stays old", is_are(name)),
            )
            .label("only some of the set")
            .related(
                thing.span,
                if thing.facts.as_a_set { "`as a set` here" } else { "declared `new` for each of them here" },
            )
            .help(ask_of_all)
            .way(way),
        );
    }
}

/// On each way both are renewed or neither is.
fn together(procedure: &Procedure, steps: &[InContext<'_>], id: ThingId, mate: ThingId, out: &mut Vec<Diagnostic>) {
    let (these, those) = (new_ones(procedure, steps, id), new_ones(procedure, steps, mate));
    let ends = stops(steps);
    let (thing, other) = (&procedure[id], &procedure[mate]);
    let set = thing.each.or(other.each);
    let every = set.map_or_else(|| vec![Vec::new()], |set| every_member(procedure, set));
    let mut conditions = conditions_of(&these, &ends);
    conditions.extend(conditions_of(&those, &[]));
    for at in &every {
        conditions.push((&thing.exists, at));
        conditions.push((&other.exists, at));
    }
    let mut found = None;
    each_way(procedure, &conditions, &mut |way| {
        for at in every.iter().filter(|at| way.holds(&thing.exists, at) && way.holds(&other.exists, at)) {
            let (this, that) = (renewed(way, &these, at), renewed(way, &those, at));
            if this != that && !ended(way, &ends) {
                found = Some((this, way.words()));
                return false;
            }
        }
        true
    });
    let Some((this_is_new, way)) = found else { return };
    let (new, old, place) = if this_is_new { (thing, other, these.first()) } else { (other, thing, those.first()) };
    let Some(place) = place else { return };
    out.push(
        RULE.at(
            place.seen.step.head_span,
            format!("{} {} new here and {} stays old", new.name, is_are(&new.name), old.name),
        )
        .label("its mate stays old")
        .related(thing.span, format!("`always with {}` here", other.name))
        .help(format!("Fit a new {} on the same way.", old.name))
        .way(way),
    );
}

fn conditions_of<'a>(new: &'a [NewOne<'a>], ends: &[&'a InContext<'a>]) -> Vec<(&'a Condition, &'a [(SetId, u32)])> {
    let of_new = new.iter().map(|n| (&n.seen.condition, n.at.as_slice()));
    of_new.chain(ends.iter().map(|e| (&e.condition, [].as_slice()))).collect()
}

/// A part that belongs to no set is renewed for each member of its mate's.
fn renewed(way: &Way<'_>, new: &[NewOne<'_>], at: &[(SetId, u32)]) -> bool {
    new.iter().any(|n| (n.at.is_empty() || at.is_empty() || n.at == at) && way.holds(&n.seen.condition, &n.at))
}

/// Nothing is owed on a way that a `stop` ends.
fn ended(way: &Way<'_>, ends: &[&InContext<'_>]) -> bool {
    ends.iter().any(|e| way.holds(&e.condition, &[]))
}
