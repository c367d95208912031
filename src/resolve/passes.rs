//! Passes of tightening, once all declarations are read: shares become torques, `in 3 passes` is written out.

use super::Resolver;
use crate::diagnostic::Diagnostic;
use crate::procedure::{Fastening, InPasses, Pass, PassAction, ThingId, Verb};
use crate::quantity::{Kind, Number, Quantity, Spec};
use crate::source::Span;
use crate::trade::passes::{MOST_PASSES, part_of};

impl Resolver<'_> {
    /// `in 3 passes` as a clause says it; nothing where so many make no sense, which is told.
    pub(super) fn may_be_passes(&mut self, passes: InPasses, most: u32, span: Span) -> Option<InPasses> {
        if (1..=most).contains(&passes.count) {
            return Some(passes);
        }
        self.tell(
            Diagnostic::error("bad-syntax", span, "nothing is worked in so many passes".to_owned())
                .label("no such number of passes")
                .help(format!(
                    "Write 2 to {most} of them, like `in 3 passes`; others are written one a line at the fastener: `pass: 10 %`."
                )),
        );
        None
    }

    /// Works out the passes of every fastener and of each of its variants.
    pub(super) fn settle_passes(&mut self) {
        for index in 0..self.p.things.len() {
            let id = ThingId(u32::try_from(index).unwrap_or(u32::MAX));
            let at = self.stated.get(&(id, "passes")).map(|(_, span)| *span);
            let thing = &mut self.p.things[index];
            let mut findings = Vec::new();
            let variants = thing.variants.iter_mut().map(|(_, facts)| facts);
            for fastening in std::iter::once(&mut thing.facts).chain(variants).filter_map(|f| f.fastening.as_mut()) {
                settle(fastening, &thing.name, at.unwrap_or(thing.span), &mut findings);
            }
            for finding in findings {
                self.tell(finding);
            }
        }
    }
}

/// `at` is where `in 3 passes` stands.
fn settle(fastening: &mut Fastening, name: &str, at: Span, findings: &mut Vec<Diagnostic>) {
    let torque = std::mem::take(&mut fastening.torque);
    let lines = std::mem::take(&mut fastening.passes);
    let shares = lines.iter().any(|line| share(line).is_some());
    fastening.passes = match (torque.as_slice(), fastening.in_passes) {
        (_, None) if lines.is_empty() => torque,
        (stated, Some(ways)) if lines.is_empty() => match stated {
            [] => torque,
            [only] => match only.worked_in(ways) {
                Some(mut worked) => {
                    wait_for_the_state(&mut worked, fastening, ways);
                    worked
                }
                None => {
                    findings.push(conflict(at, format!("'{name}' has passes but no torque to share out")));
                    torque
                }
            },
            _ => {
                let message = format!("'{name}' is tightened in {} passes, and its stages are stated too", ways.count);
                findings.push(conflict(at, message));
                torque
            }
        },
        (_, Some(_)) => {
            findings.push(conflict(at, format!("'{name}' has `in … passes` and `pass` lines")));
            lines
        }
        ([_, ..], None) if !shares => {
            let first = lines.first().map_or(at, |line| line.span);
            let finding =
                Diagnostic::error("torque-conflict", first, format!("'{name}' has a torque and `pass` lines"));
            findings.push(finding.help(
                "Keep one of them: the passes say it all. Shares of the torque may stand below it: `pass: 30 %`.",
            ));
            torque
        }
        (stated, None) => of_shares(lines, stated, name, findings),
    };
}

fn conflict(at: Span, message: String) -> Diagnostic {
    Diagnostic::error("torque-conflict", at, message).help(
        "Write one torque with the passes beside it, `torque 90 N·m, in 3 passes`, or the passes one a line below the fastener: `pass: 30 %`.",
    )
}

/// The percentage that a pass states.
fn share(pass: &Pass) -> Option<&Quantity> {
    match &pass.action {
        PassAction::Torque(Spec::Exactly(share)) | PassAction::Check(Spec::Exactly(share)) => {
            Some(share).filter(|share| share.kind() == Kind::Ratio)
        }
        _ => None,
    }
}

/// `tighten at vehicle lowered` binds every pass at full torque.
fn wait_for_the_state(worked: &mut [Pass], fastening: &Fastening, ways: InPasses) {
    let full = if ways.round { 2 } else { 1 };
    let from = worked.len().saturating_sub(full);
    for pass in &mut worked[from..] {
        pass.at = pass.at.take().or_else(|| fastening.tighten_at.clone());
    }
}

/// Pass lines with shares of the torque that the clause states, or else the last line that states one.
fn of_shares(lines: Vec<Pass>, stated: &[Pass], name: &str, findings: &mut Vec<Diagnostic>) -> Vec<Pass> {
    let torque_of = |pass: &Pass| match &pass.action {
        PassAction::Torque(spec) if spec.kind() == Kind::Torque => Some(spec.clone()),
        _ => None,
    };
    let full = match stated {
        // What only some positions take is not the torque of the others.
        [] => {
            let mut of_all = lines.iter().rev().filter(|line| line.positions.is_empty());
            of_all.find_map(torque_of).or_else(|| lines.iter().rev().find_map(torque_of))
        }
        [only] => torque_of(only),
        _ => None,
    };
    let hundred = Number::whole(100);
    let whole = |pass: &Pass| match share(pass) {
        Some(share) => share.value >= hundred,
        None => torque_of(pass).is_some_and(|torque| Some(&torque) == full.as_ref()),
    };
    let unreached = lines.iter().rfind(|line| share(line).is_some()).filter(|_| !lines.iter().any(whole));
    if let (Some(last), Some(full)) = (unreached, &full) {
        findings.push(
            Diagnostic::error("torque-conflict", last.span, format!("'{name}': no pass reaches the torque of {full}"))
                .label("the last share")
                .help("End with the whole of it: `pass: 100 %`."),
        );
    }
    let mut told = false;
    let mut out = Vec::new();
    for line in lines {
        let Some(percent) = share(&line).cloned() else {
            out.push(line);
            continue;
        };
        if percent.value > hundred || percent.value.is_negative() || percent.value.is_zero() {
            findings.push(
                Diagnostic::error("torque-conflict", line.span, format!("'{name}': a pass at {percent} of the torque"))
                    .label("not between nought and the whole")
                    .help("A share runs up to `100 %`, the final torque. If more is meant, the final torque is wrong."),
            );
            continue;
        }
        let Some(value) = full.as_ref().and_then(|full| part_of(full, &percent.value)) else {
            if !told {
                findings.push(
                    Diagnostic::error("torque-missing", line.span, format!("'{name}': {percent} of which torque?"))
                        .label("a share of nothing")
                        .help("State the final torque at the fastener, `torque 90 N·m`, or in its last pass: `pass: 90 N·m`."),
                );
            }
            told = true;
            // It stands for the stage, so that the missing torque is told once.
            out.push(Pass { action: PassAction::HandTight, ..line });
            continue;
        };
        let action = match line.action {
            PassAction::Check(_) => PassAction::Check(value),
            _ => PassAction::Torque(value),
        };
        out.push(Pass { action, share: Some(percent), ..line });
    }
    out
}

/// Whether a fastener's pass lines speak of shares.
pub(super) fn speaks_of_shares(fastening: &Fastening) -> bool {
    fastening.passes.iter().any(|pass| share(pass).is_some())
}

/// Most passes of a fastener.
pub(super) const MOST: u32 = MOST_PASSES;

/// Most passes of a step: those of tightening are worked out, a slow loosening may take many more.
pub(super) fn most_in_step(verb: Verb) -> u32 {
    match verb {
        Verb::Tighten | Verb::Fit | Verb::Refit | Verb::Renew | Verb::Connect | Verb::Return | Verb::Close => MOST,
        _ => 99,
    }
}
