//! `orientation-conflict`: two stated orientations of one thing contradict each other.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Condition, DetailKind, Members, Orientation, Procedure, SetId, ThingId};
use crate::rules::context::steps_in_context;
use crate::rules::ways::each_way;
use crate::rules::{Check, Group, Rule};
use crate::source::Span;

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "orientation-conflict",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "two stated orientations of one thing that contradict each other",
    why: "One of the two is wrong, and whoever holds the part can't tell which. A seal with its lip outward lets the oil past it on the first run.",
    wrong: "\
job: Renew the hub seal

parts
  hub seal: new, directional
    orient: lip inward

stage: Off and on
  remove hub seal
  fit hub seal
    orient: lip outward
",
    right: "\
job: Renew the hub seal

parts
  hub seal: new, directional
    orient: lip inward

stage: Off and on
  remove hub seal
  fit hub seal
",
    source: "Common practice; directions are told apart as `forward`, `rearward`, `left`, `right`, `up`, `down`, `inward`, `outward`, `clockwise`, `anticlockwise` and hours of the clock.",
    check: Check::Declarations(check),
};

/// One statement about a thing, and when it holds.
struct Statement<'a> {
    orientation: &'a Orientation,
    condition: Condition,
    members: Members,
    span: Span,
}

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    let steps = steps_in_context(procedure);
    for (i, thing) in procedure.things.iter().enumerate() {
        let id = ThingId(u32::try_from(i).unwrap_or(u32::MAX));
        let mut said: Vec<Statement<'_>> = Vec::new();
        for (variant, facts) in thing.all_facts() {
            // The base facts are repeated in the variants that do not change them.
            if variant.is_none() || facts.orient != thing.facts.orient {
                said.extend(facts.orient.iter().map(|orientation| Statement {
                    orientation,
                    condition: variant.cloned().unwrap_or(Condition::Always).and(thing.exists.clone()),
                    members: Members::All,
                    span: orientation.prose.span,
                }));
            }
        }
        for seen in &steps {
            // A line under a step of several things may speak of any of them.
            let [reference] = seen.step.things().filter(|_| seen.step.objects.len() == 1).collect::<Vec<_>>()[..]
            else {
                continue;
            };
            if reference.thing == id && !seen.step.generated {
                said.extend(seen.step.details.iter().filter_map(|d| match &d.kind {
                    DetailKind::Orient(orientation) => Some(Statement {
                        orientation,
                        condition: seen.condition.clone(),
                        members: reference.members,
                        span: d.span,
                    }),
                    _ => None,
                }));
            }
        }
        let clash = said.iter().enumerate().find_map(|(n, second)| {
            said[..n].iter().find(|first| contradict(procedure, thing.each, first, second)).map(|first| (first, second))
        });
        if let Some((first, second)) = clash {
            out.push(
                RULE.at(second.span, format!("{}: this contradicts the orientation stated before", thing.name))
                    .label("one way here")
                    .related(first.span, "the other way here")
                    .help("Keep the one that is right, at the declaration; where a variant differs, write it under `with …`."),
            );
        }
    }
}

fn contradict(procedure: &Procedure, each: Option<SetId>, a: &Statement<'_>, b: &Statement<'_>) -> bool {
    let (Some(one), Some(other)) = (&a.orientation.understood, &b.orientation.understood) else {
        return false;
    };
    one.contradicts(other)
        && !matches!((a.members, b.members), (Members::One(x), Members::One(y)) if x != y)
        && can_meet(procedure, each, &a.condition, &b.condition)
}

/// Whether some way leads past both.
fn can_meet(procedure: &Procedure, each: Option<SetId>, a: &Condition, b: &Condition) -> bool {
    let count = each.map_or(0, |set| procedure[set].members.len());
    let members: Vec<Vec<(SetId, u32)>> = match each {
        Some(set) => (0..u32::try_from(count).unwrap_or(0)).map(|m| vec![(set, m)]).collect(),
        None => vec![Vec::new()],
    };
    members.iter().any(|at| {
        let mut meets = false;
        each_way(procedure, &[(a, at), (b, at)], &mut |way| {
            meets = way.holds(a, at) && way.holds(b, at);
            !meets
        });
        meets
    })
}
