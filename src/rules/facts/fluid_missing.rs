//! `fluid-missing`: a fluid goes in and the sheet can't say which, how much, or how it is mixed.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{DetailKind, FluidFacts, FluidKind, Procedure, Step, Thing, ThingId, Verb, steps_of};
use crate::quantity::Kind;
use crate::rules::ways::way_where;
use crate::rules::wording::list;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "fluid-missing",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "a fluid that goes in without its specification, its quantity or its mix",
    why: "The wrong oil or a wrong brake fluid swells the seals; too little runs dry, too much foams; coolant without a mix freezes or boils. What is left open is taken from the nearest shelf.",
    wrong: "\
job: Renew the gear oil

parts
  drain screw: screwed M18x1.5, key 10 mm, torque 45 N·m, drain of gear oil
  level screw: screwed M18x1.5, key 10 mm, torque 45 N·m, filler of gear oil

fluids
  gear oil: 2.1 L, kind gear oil

stage: Old out, new in
  open level screw
  drain gear oil, into tray of 5 L
  close drain screw
  fill gear oil
  close level screw
",
    right: "\
job: Renew the gear oil

parts
  drain screw: screwed M18x1.5, key 10 mm, torque 45 N·m, drain of gear oil
  level screw: screwed M18x1.5, key 10 mm, torque 45 N·m, filler of gear oil

fluids
  gear oil: 2.1 L, kind gear oil
    spec: API GL-5, SAE 80W-90

stage: Old out, new in
  open level screw
  drain gear oil, into tray of 5 L
  close drain screw
  fill gear oil
  close level screw
",
    source: "Common practice: a fluid is named by its standard (API, SAE, DOT, ASTM, ISO VG), its quantity and, for coolant, its mix.",
    check: Check::Job(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    let mut steps: Vec<&Step> = Vec::new();
    steps_of(&procedure.body, &mut |step| steps.push(step));
    for (i, thing) in procedure.things.iter().enumerate() {
        let id = ThingId(u32::try_from(i).unwrap_or(u32::MAX));
        if thing.facts.fluid.is_none() {
            continue;
        }
        let goes_in = |step: &&Step| {
            matches!(step.verb, Verb::Fill | Verb::TopUp | Verb::Bleed) && step.things().any(|t| t.thing == id)
        };
        let Some(first) = steps.iter().find(|s| goes_in(s)) else { continue };
        let filled_without_amount = steps.iter().any(|s| s.verb == Verb::Fill && goes_in(s) && !states_volume(s));
        let specified = steps.iter().filter(|s| goes_in(s)).all(|s| specifies(s)) || names_a_standard(&thing.name);
        let missing = missing(procedure, thing, filled_without_amount, specified);
        if !missing.is_empty() {
            let (words, lines): (Vec<_>, Vec<_>) = missing.into_iter().unzip();
            out.push(
                RULE.at(thing.span, format!("{}: {} not stated", thing.name, are(&words)))
                    .label("what goes in here?")
                    .related(first.head_span, "goes in here")
                    .help(format!("Write {}", list(&lines))),
            );
        }
    }
}

fn are(words: &[&str]) -> String {
    format!("{} {}", list(words), if words.len() == 1 { "is" } else { "are" })
}

/// What is missing, and what to write, on any variant.
fn missing(
    procedure: &Procedure,
    thing: &Thing,
    filled_without_amount: bool,
    specified: bool,
) -> Vec<(&'static str, &'static str)> {
    // A declaration may say it by variant, and every variant then says it.
    let lacks = |bad: &dyn Fn(&FluidFacts) -> bool| {
        way_where(procedure, thing, &|facts| facts.fluid.as_ref().is_some_and(bad)).is_some()
    };
    let mut out = Vec::new();
    if !specified && thing.number.is_none() && lacks(&|f| f.spec.is_empty() && !goes_by_its_name(f.kind)) {
        out.push(("the specification", "a line `spec: …` under it (the standard on the can)"));
    }
    if filled_without_amount && lacks(&|f| f.capacity.is_none() && f.drains.is_none() && is_filled_by_volume(f.kind)) {
        out.push(("the quantity", "how much it holds (`9.4 L`)"));
    }
    if lacks(&|f| is_mixed(f.kind) && f.mix.is_none() && !f.comes_mixed()) {
        out.push(("the mix", "the share of concentrate (`mix 50 % by volume`)"));
    }
    out
}

/// Kinds that are bought by their name alone.
fn goes_by_its_name(kind: Option<FluidKind>) -> bool {
    matches!(kind, Some(FluidKind::CompressedAir | FluidKind::Fuel | FluidKind::WasherFluid | FluidKind::Grease))
}

fn is_filled_by_volume(kind: Option<FluidKind>) -> bool {
    !matches!(kind, Some(FluidKind::CompressedAir | FluidKind::Grease | FluidKind::WasherFluid | FluidKind::Fuel))
}

fn is_mixed(kind: Option<FluidKind>) -> bool {
    matches!(kind, Some(FluidKind::EthyleneGlycolCoolant | FluidKind::PropyleneGlycolCoolant))
}

/// `fill gear oil, until it runs out of the level hole` says how much as well as a figure does.
fn states_volume(step: &Step) -> bool {
    step.clauses.until.is_some() || step.clauses.amounts.iter().any(|a| matches!(a.kind(), Kind::Volume | Kind::Mass))
}

/// `spec: …` under the step that puts it in.
fn specifies(step: &Step) -> bool {
    step.details.iter().any(|d| matches!(d.kind, DetailKind::Spec(_) | DetailKind::Number(_)))
}

/// `DOT 4 brake fluid`, `SAE 80W-90`: the name is the specification.
fn names_a_standard(name: &str) -> bool {
    let mut words = name.split_whitespace().map(str::to_uppercase).peekable();
    while let Some(word) = words.next() {
        let bodies = ["DOT", "SAE", "API", "ACEA", "ASTM", "ISO", "DIN", "NLGI", "VG", "HLP", "HV", "ATF"];
        let followed = words.peek().is_some_and(|next| next.chars().any(|c| c.is_ascii_alphanumeric()));
        let grade = word.starts_with(|c: char| c.is_ascii_digit()) && word.contains('W');
        if grade || (bodies.contains(&word.as_str()) && followed) {
            return true;
        }
    }
    false
}
