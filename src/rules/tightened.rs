//! Which torques a job really sets on a wrench, and with what.

use std::collections::HashSet;

use crate::procedure::{
    Adapter, Clauses, Pass, PassAction, PassChoice, Procedure, Step, ThingId, Tool, ToolId, Verb, With, steps_of,
};
use crate::proof::Proof;
use crate::quantity::Spec;
use crate::source::Span;
use crate::trade::wrench;

/// A torque that is set on a wrench.
#[derive(Clone, Debug)]
pub struct Set<'p> {
    pub thing: ThingId,
    /// At the bolt.
    pub torque: &'p Spec,
    /// What the wrench is set to: another value only with a crow-foot.
    pub setting: Spec,
    /// Where the torque is declared.
    pub span: Span,
    /// The step that names a wrench or a crow-foot for it.
    pub step: Option<&'p Step>,
    /// The torque wrenches that it names.
    pub named: Vec<ToolId>,
}

/// The torque wrenches that are declared, with their scales. Gauges that read a torque are none.
pub fn wrenches(procedure: &Procedure) -> Vec<(ToolId, &Tool, &Spec)> {
    let tools = procedure.tools.iter().enumerate().filter(|(_, tool)| tool.declared);
    tools.filter_map(|(index, tool)| Some((ToolId(u32::try_from(index).ok()?), tool, scale(tool)?))).collect()
}

/// The scale of a torque wrench.
pub fn scale(tool: &Tool) -> Option<&Spec> {
    tool.ranges.iter().find(|range| wrench::is_wrench(&tool.name, range))
}

/// Every torque of every fastener that some way through the job tightens, each once.
///
/// Stages by hand, angles and the ceiling of a castle nut are not set; the torque of a stage is.
pub fn settings<'p>(procedure: &'p Procedure, proof: &Proof) -> Vec<Set<'p>> {
    let mut steps: Vec<&'p Step> = Vec::new();
    steps_of(&procedure.body, &mut |step| {
        if tightens(step) {
            steps.push(step);
        }
    });
    // What a follow-up alone tightens stands below the sign-off, where the ledger has ended.
    let mut tightened: HashSet<ThingId> =
        proof.ledger.touched.iter().filter(|touched| touched.tightened).map(|touched| touched.thing).collect();
    tightened.extend(
        steps.iter().filter(|step| step.verb == Verb::Tighten).flat_map(|step| step.things()).map(|thing| thing.thing),
    );
    let mut sets: Vec<Set<'p>> = Vec::new();
    for (index, thing) in procedure.things.iter().enumerate() {
        let id = ThingId(u32::try_from(index).unwrap_or(u32::MAX));
        if !tightened.contains(&id) {
            continue;
        }
        let acts = acts_on(procedure, &steps, id);
        for (_, facts) in thing.all_facts() {
            let Some(fastening) = &facts.fastening else { continue };
            let mut add = |passes: &'p [Pass], step: Option<&'p Step>| {
                let adapter = step.and_then(|step| step.clauses.adapter.as_ref());
                let named = step.map(|step| named(procedure, &step.clauses)).unwrap_or_default();
                for pass in passes {
                    let (PassAction::Torque(torque) | PassAction::Check(torque)) = &pass.action else { continue };
                    let Some(setting) = setting(adapter, torque) else { continue };
                    let known = |set: &Set<'_>| set.thing == id && set.setting == setting && set.named == named;
                    if !sets.iter().any(known) {
                        let step = step.filter(|_| adapter.is_some() || !named.is_empty());
                        sets.push(Set { thing: id, torque, setting, span: pass.span, step, named: named.clone() });
                    }
                }
            };
            if acts.is_empty() {
                add(&fastening.passes, None);
            }
            for step in &acts {
                add(worked(&fastening.passes, step.clauses.pass), Some(*step));
            }
        }
    }
    sets
}

fn setting(adapter: Option<&Adapter>, torque: &Spec) -> Option<Spec> {
    match adapter {
        Some(adapter) if !adapter.arm.is_square() => adapter.arm.setting_of(torque),
        _ => Some(torque.clone()),
    }
}

/// Whether a step brings fasteners to a torque.
fn tightens(step: &Step) -> bool {
    let verbs = matches!(
        step.verb,
        Verb::Tighten | Verb::Refit | Verb::Fit | Verb::Return | Verb::Connect | Verb::Close | Verb::Renew
    );
    verbs && !step.clauses.by_hand
}

/// The steps that tighten a fastener: those that name it, else those that name what it holds.
fn acts_on<'p>(procedure: &Procedure, steps: &[&'p Step], fastener: ThingId) -> Vec<&'p Step> {
    let names = |step: &&&Step, id: ThingId| step.things().any(|thing| thing.thing == id);
    let named: Vec<&Step> = steps.iter().filter(|step| names(step, fastener)).copied().collect();
    if !named.is_empty() {
        return named;
    }
    let mut held: HashSet<ThingId> = HashSet::from([fastener]);
    loop {
        let before = held.len();
        for (index, thing) in procedure.things.iter().enumerate() {
            if thing.all_facts().any(|(_, facts)| facts.held_by.iter().any(|holder| held.contains(holder))) {
                held.insert(ThingId(u32::try_from(index).unwrap_or(u32::MAX)));
            }
        }
        if held.len() == before {
            break;
        }
    }
    steps.iter().filter(|step| step.things().any(|thing| held.contains(&thing.thing))).copied().collect()
}

/// The stages that an act works.
fn worked(passes: &[Pass], choice: Option<PassChoice>) -> &[Pass] {
    let from = match choice {
        None => return passes,
        Some(PassChoice::Number(number)) => (number as usize).saturating_sub(1),
        Some(PassChoice::Last) => passes.len().saturating_sub(1),
    };
    passes.get(from..(from + 1).min(passes.len())).unwrap_or_default()
}

/// The torque wrenches that a step names.
fn named(procedure: &Procedure, clauses: &Clauses) -> Vec<ToolId> {
    let tools = clauses.with.iter().filter_map(|with| match with {
        With::Tool(id) => Some(*id),
        _ => None,
    });
    let adapter = clauses.adapter.iter().filter_map(|adapter| adapter.wrench);
    tools.chain(adapter).filter(|id| scale(&procedure[*id]).is_some()).collect()
}
