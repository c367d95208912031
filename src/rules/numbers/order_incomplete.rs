//! `order-incomplete`: a tightening order or a layout that does not fit the count.

use std::collections::HashSet;

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Fastening, Layout, Order, Portion, Procedure, Thing, steps_of};
use crate::rules::used::answered_for;
use crate::rules::wording::list;
use crate::rules::{Check, Group, Rule};
use crate::source::Span;
use crate::trade::order::{self, each_of, each_once};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "order-incomplete",
    group: Group::Numbers,
    severity: Severity::Error,
    finds: "an order that leaves a position out or has it twice, a layout with another count than the fastener, a position that is not there or named twice",
    why: "The bolt whose number is missing is never pulled, and the plan on the sheet shows holes that are not there.",
    wrong: "\
job: Reseat the pump cover

parts
  pump cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m, order 1 3 2 3, layout rows 2 x 2

stage: Off and on
  remove pump cover
  refit pump cover
",
    right: "\
job: Reseat the pump cover

parts
  pump cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m, order 1 4 2 3, layout rows 2 x 2

stage: Off and on
  remove pump cover
  refit pump cover
",
    source: "Arithmetic: an order names each position once.",
    check: Check::Declarations(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    for (_, thing) in answered_for(procedure) {
        let mut told: HashSet<String> = HashSet::new();
        for fastening in thing.all_facts().filter_map(|(_, f)| f.fastening.as_ref()) {
            for (span, message, help) in faults(thing, fastening) {
                if told.insert(message.clone()) {
                    out.push(RULE.at(span, message).label("does not fit the count").help(help));
                }
            }
        }
        if let Some(temporary) = thing.facts.temporary.as_ref().and_then(|t| t.takes_up.as_ref()) {
            let (positions, group) = temporary;
            let group = &procedure[*group];
            let count = counts(group).max().unwrap_or(0);
            let beyond = beyond(positions, count);
            if count > 0 && !beyond.is_empty() {
                out.push(
                    RULE.at(
                        thing.span,
                        format!(
                            "{} takes up position {}, but there are only {count} {}",
                            thing.name,
                            list(&beyond),
                            group.name
                        ),
                    )
                    .label("no such position")
                    .related(group.span, format!("{count} here"))
                    .help(format!("Positions run from 1 to {count}.")),
                );
            }
        }
    }
    in_steps(procedure, out);
}

/// Place, message and help of each fault.
fn faults(thing: &Thing, fastening: &Fastening) -> Vec<(Span, String, String)> {
    let mut out = Vec::new();
    let Some(count) = fastening.count else { return out };
    let name = &thing.name;
    if let Some(Order::Positions(order)) = &fastening.order
        && let Err(what) = each_once(order, count)
    {
        out.push((
            thing.span,
            format!("{name}: the order {what}"),
            format!("name each position from 1 to {count} once, in the order of tightening"),
        ));
    }
    let laid_out = fastening.layout.as_ref().and_then(|layout| {
        let words = match layout {
            Layout::Rows { rows, columns } => format!("rows {rows} x {columns}"),
            Layout::Circle | Layout::Free(_) => "the layout".to_string(),
        };
        layout.own_count().map(|places| (places, words))
    });
    if let Some((places, words)) = laid_out
        && places != count
    {
        out.push((
            thing.span,
            format!("{name}: {words} has {places} places for {count} fasteners"),
            format!("give the layout {count} places, or correct the count"),
        ));
    } else if let Some(Layout::Free(points)) = &fastening.layout
        && let Some((a, b)) = on_one_spot(points)
    {
        out.push((
            thing.span,
            format!("{name}: two positions lie on one spot, {a} and {b}"),
            "give each fastener its own point in the layout".to_string(),
        ));
    }
    for pass in &fastening.passes {
        let beyond = beyond(&pass.positions, count);
        if !beyond.is_empty() {
            out.push((
                pass.span,
                format!("{name}: this stage names position {}, but there are only {count}", list(&beyond)),
                format!("positions run from 1 to {count}"),
            ));
        } else if let Some(Order::Positions(order)) = &pass.order
            && !each_of(order, &pass.positions)
            && let Err(what) = each_once(order, count)
        {
            out.push((
                pass.span,
                format!("{name}: the order of this stage {what}"),
                "name each position of the stage once, in the order of tightening".to_string(),
            ));
        }
    }
    for (index, (positions, number, _)) in fastening.positions_are.iter().enumerate() {
        let before = fastening.positions_are[..index].iter().flat_map(|(before, _, _)| before);
        let beyond = beyond(positions, count);
        if !beyond.is_empty() {
            out.push((
                thing.span,
                format!("{name}: position {} is named, but there are only {count}", list(&beyond)),
                format!("positions run from 1 to {count}"),
            ));
        } else if let Some(twice) = (1..).zip(positions).find(|(i, p)| positions[*i..].contains(p)).map(|(_, p)| p) {
            out.push((
                thing.span,
                format!("{name}: position {twice} is named more than once"),
                "name each position of the other size once".to_string(),
            ));
        } else if let Some(both) = before.copied().find(|position| positions.contains(position)) {
            out.push((
                thing.span,
                format!("{name}: position {both} is named for two sizes"),
                "name each position for one size only".to_string(),
            ));
        } else if positions.len() != *number as usize {
            out.push((
                thing.span,
                format!("{name}: {} positions are named for {number} of another size", positions.len()),
                "name as many positions as there are of the other size".to_string(),
            ));
        }
    }
    out
}

/// The first two positions that lie on one spot.
fn on_one_spot(points: &[(f64, f64)]) -> Option<(usize, usize)> {
    let same = |a: usize| (a + 1..points.len()).find(|b| points[a] == points[*b]).map(|b| (a + 1, b + 1));
    (0..points.len().min(order::MOST_POSITIONS as usize)).find_map(same)
}

/// How many there are, in each variant.
fn counts(thing: &Thing) -> impl Iterator<Item = u32> {
    thing.all_facts().filter_map(|(_, facts)| facts.fastening.as_ref().and_then(|f| f.count))
}

/// The numbers among `positions` that are no position of `count` fasteners, as words.
fn beyond(positions: &[u32], count: u32) -> Vec<String> {
    order::beyond(positions, count).iter().map(u32::to_string).collect()
}

/// Positions and orders written in a step.
fn in_steps(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    steps_of(&procedure.body, &mut |step| {
        for reference in step.things() {
            let thing = &procedure[reference.thing];
            // Which variant the step is about is not asked: it must fit one of them.
            let Some(count) = counts(thing).max() else { continue };
            if let Portion::Positions(positions) = &reference.portion {
                let beyond = beyond(positions, count);
                if !beyond.is_empty() {
                    out.push(
                        RULE.at(
                            step.head_span,
                            format!("position {} of {}, but there are only {count}", list(&beyond), thing.name),
                        )
                        .label("no such position")
                        .related(thing.span, format!("{count} here"))
                        .help(format!("Positions run from 1 to {count}.")),
                    );
                } else if let Some(Order::Positions(order)) = &step.clauses.order
                    && !each_of(order, positions)
                    && each_once(order, count).is_err()
                {
                    out.push(
                        RULE.at(
                            step.span,
                            format!("{}: the order is not one of the positions of this step", thing.name),
                        )
                        .label("does not fit the positions")
                        .help(format!(
                            "Name each of the positions {} once.",
                            list(&positions.iter().map(u32::to_string).collect::<Vec<_>>())
                        )),
                    );
                }
            } else if let (Some(Order::Positions(order)), Portion::Whole) = (&step.clauses.order, &reference.portion)
                && counts(thing).all(|count| each_once(order, count).is_err())
                && let Err(what) = each_once(order, count)
            {
                out.push(
                    RULE.at(step.span, format!("{}: the order {what}", thing.name))
                        .label("does not fit the count")
                        .help(format!("Name each position from 1 to {count} once.")),
                );
            }
        }
    });
}
