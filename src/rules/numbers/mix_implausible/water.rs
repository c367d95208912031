//! Water for a coolant that is neither distilled nor deionised.

use std::ops::Range;

use super::RULE;
use crate::diagnostic::Diagnostic;
use crate::procedure::{DetailKind, Procedure, Prose, Step, Thing, ThingKind, Verb, With, steps_of};
use crate::rules::prose::{place, words};
use crate::source::Span;
use crate::trade::coolant::water;

/// In the specification of each coolant, and in what is said and taken where it goes in.
pub(super) fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    let mut told: Vec<Span> = Vec::new();
    let mut tell = |thing: &Thing, span: Span, text: &str| {
        if !told.contains(&span) {
            told.push(span);
            out.push(finding(thing, span, text));
        }
    };
    for thing in procedure.things.iter().filter(|thing| is_coolant(thing)) {
        for (_, facts) in thing.all_facts() {
            for prose in facts.fluid.iter().flat_map(|fluid| &fluid.spec) {
                if let Some((span, text)) = unfit(prose, water::unfit) {
                    tell(thing, span, &text);
                }
            }
        }
    }
    steps_of(&procedure.body, &mut |step: &Step| {
        if step.generated || !matches!(step.verb, Verb::Fill | Verb::TopUp) {
            return;
        }
        let mut things = step.things().filter_map(|reference| procedure.things.get(reference.thing.index()));
        let Some(thing) = things.find(|thing| is_coolant(thing)) else { return };
        let specs = step.details.iter().filter_map(|detail| match &detail.kind {
            DetailKind::Spec(prose) => Some(prose),
            _ => None,
        });
        let said = step.details.iter().filter_map(|detail| match &detail.kind {
            DetailKind::Note(prose) | DetailKind::Tip(prose) | DetailKind::Use { prose, .. } => Some(prose),
            _ => None,
        });
        let found = specs.filter_map(|prose| unfit(prose, water::unfit));
        let found = found.chain(said.chain(&step.prose).filter_map(|prose| unfit(prose, water::unfit_in_prose)));
        found.for_each(|(span, text)| tell(thing, span, &text));
        for with in &step.clauses.with {
            let name = match with {
                With::Supply(id) => procedure.supplies.get(id.index()).map(|supply| &supply.name),
                With::Tool(id) => procedure.tools.get(id.index()).map(|tool| &tool.name),
                With::State(_) | With::Thing(_) => None,
            };
            if let Some(name) = name
                && let Some(range) = water::unfit(name)
            {
                tell(thing, step.span, name.get(range).unwrap_or(name));
            }
        }
    });
}

fn is_coolant(thing: &Thing) -> bool {
    let coolant = |fluid: &crate::procedure::FluidFacts| fluid.glycol().is_some();
    thing.kind == ThingKind::Fluid && thing.all_facts().any(|(_, facts)| facts.fluid.as_ref().is_some_and(coolant))
}

fn unfit(prose: &Prose, find: fn(&str) -> Option<Range<usize>>) -> Option<(Span, String)> {
    let text = words(prose);
    let range = find(&text)?;
    let said = text.get(range.clone())?.to_owned();
    Some((place(prose, range), said))
}

fn finding(thing: &Thing, span: Span, text: &str) -> Diagnostic {
    let text = text.to_lowercase();
    RULE.at(span, format!("{text} for the {}: it is neither distilled nor deionised", thing.name))
        .label("the wrong water")
        .help("Write `demineralised water` (distilled and deionised are as good): lime and chloride of other water foul and eat the system (ASTM D3306, appendix)")
}
