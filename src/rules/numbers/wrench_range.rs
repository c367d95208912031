//! `wrench-range`: a torque that no declared torque wrench can be set to, or not the one that the step names.

use std::collections::HashSet;

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Procedure, Step, Tool, ToolId, steps_of};
use crate::proof::Proof;
use crate::quantity::Spec;
use crate::rules::facts::torque_conflict;
use crate::rules::numbers::torque_implausible;
use crate::rules::tightened::{Set, settings, wrenches};
use crate::rules::wording::list;
use crate::rules::{Check, Group, Rule};
use crate::source::Span;
use crate::trade::wrench::{self, Doubt, Fit};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "wrench-range",
    group: Group::Numbers,
    severity: Severity::Warning,
    finds: "where torque wrenches are declared: a torque that none of them covers within 20 to 100 % of its scale, or that the wrench named beside it can't be set to",
    why: "The wrench that is at hand does not go up to the value, or clicks far below it without anybody noticing: the bolt is pulled by feel.",
    wrong: "\
job: Reseat the pump cover

parts
  pump cover: held by cover bolts

fasteners
  cover bolts: 4 x M12x40, class 8.8, hex 19 mm, torque 80 N·m

tools
  torque wrench 5-25: range 5 to 25 N·m

stage: Off and on
  remove pump cover
  refit pump cover
",
    right: "\
job: Reseat the pump cover

parts
  pump cover: held by cover bolts

fasteners
  cover bolts: 4 x M12x40, class 8.8, hex 19 mm, torque 80 N·m

tools
  torque wrench 5-25: range 5 to 25 N·m
  torque wrench 20-100: range 20 to 100 N·m

stage: Off and on
  remove pump cover
  refit pump cover
",
    source: "ISO 6789:2003 for the use from 20 to 100 % of the largest value; by ISO 6789-1:2017 the range starts at the lowest value marked, so what lies between that and 20 % is advice. With a crow-foot the setting counts, FAA AC 43.13-1B par. 7-40.",
    check: Check::Proof(check),
};

/// A declared wrench with its scale.
type Wrench<'p> = (ToolId, &'p Tool, &'p Spec);

fn check(procedure: &Procedure, proof: &Proof, out: &mut Vec<Diagnostic>) {
    doubtful_arms(procedure, out);
    let owned = wrenches(procedure);
    if owned.is_empty() {
        return;
    }
    let multiplier = procedure.tools.iter().any(|tool| tool.name.to_lowercase().contains("multiplier"));
    let reach = |wrench: &Wrench<'_>, setting: &Spec| match wrench::reach(wrench.2, setting) {
        // What stands in between turns a small torque at the wrench into a large one at the bolt.
        Some(Fit::TooHigh) if multiplier => Some(Fit::Good),
        other => other,
    };
    let elsewhere = told_elsewhere(procedure);
    let mut missed: Vec<Set<'_>> = Vec::new();
    let mut low: Vec<(Wrench<'_>, Set<'_>)> = Vec::new();
    let mut told: HashSet<(Span, ToolId)> = HashSet::new();
    for set in settings(procedure, proof) {
        // Of an arm that can't be meant the figures are told, not what follows from them.
        let adapter = set.step.and_then(|step| step.clauses.adapter.as_ref());
        let doubted = adapter.is_some_and(|adapter| adapter.arm.doubt().is_some());
        if doubted || elsewhere.contains(&set.span) || elsewhere.contains(&procedure[set.thing].span) {
            continue;
        }
        let best = |wrenches: &mut dyn Iterator<Item = &Wrench<'_>>| {
            let fits: Vec<Fit> = wrenches.filter_map(|wrench| reach(wrench, &set.setting)).collect();
            let any = |fit: Fit| fits.contains(&fit).then_some(fit);
            any(Fit::Good).or(any(Fit::Low))
        };
        let named = |wrench: &&Wrench<'_>| set.named.is_empty() || set.named.contains(&wrench.0);
        let by_named = best(&mut owned.iter().filter(named));
        let by_any = best(&mut owned.iter());
        let scales: Vec<&Spec> = owned.iter().map(|(_, _, scale)| *scale).collect();
        let choice = wrench::choose(&scales, &set.setting).and_then(|index| owned.get(index));
        match (by_named, by_any, set.step) {
            (Some(Fit::Good), ..) => {}
            (Some(_), ..) => {
                let low_on = owned.iter().filter(named).find(|wrench| reach(wrench, &set.setting) == Some(Fit::Low));
                low.extend(low_on.map(|wrench| (*wrench, set)));
            }
            (None, Some(_), Some(step)) => {
                let wrong = owned.iter().find(|wrench| set.named.contains(&wrench.0));
                if let Some(wrong) = wrong.filter(|wrong| told.insert((step.span, wrong.0))) {
                    out.push(wrong_one(procedure, &set, step, wrong, choice));
                }
            }
            _ => missed.push(set),
        }
    }
    tell_missed(procedure, &owned, &missed, out);
    tell_low(procedure, &low, out);
}

/// Places of torques that can't be right: they are told as that, and no wrench is asked for.
fn told_elsewhere(procedure: &Procedure) -> HashSet<Span> {
    let mut found = Vec::new();
    for rule in [torque_implausible::RULE, torque_conflict::RULE] {
        if let Check::Declarations(check) = rule.check {
            check(procedure, &mut found);
        }
    }
    found.into_iter().map(|finding| finding.span).collect()
}

/// `79.4 N·m, which the crowfoot makes of 90 N·m`.
fn value(set: &Set<'_>) -> String {
    let adapter = set.step.and_then(|step| step.clauses.adapter.as_ref());
    match adapter.filter(|_| set.setting != *set.torque) {
        Some(adapter) => format!("{} (the {} makes that of {})", set.setting, adapter.what, set.torque),
        None => set.setting.to_string(),
    }
}

/// The step names a wrench, and another one would do.
fn wrong_one(
    procedure: &Procedure,
    set: &Set<'_>,
    step: &Step,
    (_, tool, scale): &Wrench<'_>,
    choice: Option<&Wrench<'_>>,
) -> Diagnostic {
    let name = &procedure[set.thing].name;
    let label = match wrench::reach(scale, &set.setting) {
        Some(Fit::TooHigh) => "too small",
        _ => "too large",
    };
    let finding = RULE
        .at(step.span, format!("the {} can't be set to the {} of the {name}", tool.name, value(set)))
        .label(label)
        .related(tool.span, format!("{scale} here"))
        .related(set.span, format!("{} here", set.torque));
    match choice {
        Some((_, better, _)) => {
            finding.help(format!("Write `with {}`, or leave the wrench out: the sheet names it.", better.name))
        }
        None => finding.help("Name a wrench that goes up to it."),
    }
}

/// What no wrench has is one finding: a wrench was forgotten, or the range of one is wrong.
fn tell_missed(procedure: &Procedure, owned: &[Wrench<'_>], missed: &[Set<'_>], out: &mut Vec<Diagnostic>) {
    let settings: Vec<Spec> = missed.iter().map(|set| set.setting.clone()).collect();
    let wanted = wrench::wrenches_for(&settings);
    let name = |range: &Spec| match range.low().zip(range.high()) {
        Some((low, high)) => format!("`torque wrench {}-{}: range {range}`", low.value, high.value),
        None => format!("`torque wrench: range {range}`"),
    };
    let mut names: Vec<String> = wanted.ready.iter().map(|ready| name(&ready.range)).collect();
    if !wanted.uncovered.is_empty() {
        names.push("the one for what is smaller or larger than that".to_owned());
    }
    let are = if names.len() > 1 { "wrenches that are" } else { "wrench that is" };
    let help = match wanted.ready.is_empty() {
        true => "Declare the wrench that is used, under `tools`, with its `range …`.".to_owned(),
        false => format!("Declare the {are} used, under `tools`, for example {}.", list(&names)),
    };
    out.extend(missing(procedure, owned, missed, help));
}

fn missing(procedure: &Procedure, owned: &[Wrench<'_>], sets: &[Set<'_>], help: String) -> Option<Diagnostic> {
    let [first, others @ ..] = sets else { return None };
    let name = &procedure[first.thing].name;
    let more = match others.len() {
        0 => String::new(),
        1 => ", nor for one other torque".to_owned(),
        more => format!(", nor for {more} others"),
    };
    let place = first.step.map_or(first.span, |step| step.span);
    let mut finding = RULE
        .at(place, format!("no torque wrench declared here can be set to {} for the {name}{more}", value(first)))
        .label(first.torque.to_string())
        .help(help);
    let scales: Vec<&Spec> = owned.iter().map(|(_, _, scale)| *scale).collect();
    if let Some((_, tool, scale)) = wrench::nearest(&scales, &first.setting).and_then(|index| owned.get(index)) {
        finding = finding.related(tool.span, format!("the nearest: {scale}"));
    }
    for set in others.iter().take(MOST_PLACES) {
        finding = finding.related(set.span, format!("{} here", set.torque));
    }
    Some(finding)
}

/// Other places that one finding shows.
const MOST_PLACES: usize = 6;

/// One advice for each wrench that is used in the lowest fifth of its scale.
fn tell_low(procedure: &Procedure, low: &[(Wrench<'_>, Set<'_>)], out: &mut Vec<Diagnostic>) {
    let mut told: Vec<ToolId> = Vec::new();
    for ((id, tool, scale), set) in low {
        if told.contains(id) {
            continue;
        }
        told.push(*id);
        let others: Vec<&Set<'_>> =
            low.iter().filter(|(wrench, _)| wrench.0 == *id).map(|(_, set)| set).skip(1).collect();
        let name = &procedure[set.thing].name;
        let message = format!("{} for the {name} is in the lowest fifth of the {}", value(set), tool.name);
        let from = scale.low().map(|low| low.to_string()).unwrap_or_default();
        let mut finding = Diagnostic { severity: Severity::Advice, ..RULE.at(set.span, message) }
            .label(format!("less than 20 % of {}", scale.high().map(|high| high.to_string()).unwrap_or_default()))
            .related(tool.span, format!("{scale} here"))
            .help(format!(
                "Take a smaller wrench, or see on its certificate that it was tested from {from} on: ISO 6789-1:2017 lets the range start there, the edition of 2003 at 20 %."
            ));
        for set in others.iter().take(MOST_PLACES) {
            finding = finding.related(set.span, format!("{} here", set.torque));
        }
        out.push(finding);
    }
}

/// Crow-feet and wrenches of lengths that can't be meant.
fn doubtful_arms(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    let mut told: HashSet<Span> = HashSet::new();
    steps_of(&procedure.body, &mut |step| {
        let Some(adapter) = &step.clauses.adapter else { return };
        let (what, arm) = (&adapter.what, &adapter.arm);
        let Some(doubt) = arm.doubt().filter(|_| told.insert(adapter.span)) else { return };
        let (length, extension) = (&arm.length, &arm.extension);
        let (message, label) = match doubt {
            Doubt::LongerThanTheWrench => {
                (format!("the {what} of {extension} is not shorter than its wrench of {length}"), "exchanged?")
            }
            Doubt::NoSuchWrench => {
                (format!("a torque wrench of {length} from grip to square is hardly meant"), "what unit?")
            }
        };
        out.push(RULE.at(adapter.span, message).label(label).help(
            "First stands how far the bolt lies from the square, then the length from the middle of the grip to the square: `with crowfoot 40 mm on wrench 300 mm`.",
        ));
    });
}
