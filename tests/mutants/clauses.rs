//! Clauses of steps: trays, stands, passes, counts, amounts, the member meant, and messages that come too late.

use cotter::procedure::{PassChoice, Portion, ThingId, ThingKind, Verb};
use cotter::syntax::tree::NodeId;

use crate::bench::{Bench, Mutant, changes};
use crate::steps::{LEFT, STATE, may_be_left_out};

/// Clauses of steps: trays, stands, `again`, `pass`, counts.
pub fn clauses(b: &Bench<'_>, place: (usize, NodeId), at: usize, out: &mut Vec<Mutant>) {
    use cotter::syntax::tree::{Item, StepClauseKind as K};
    let step = b.step(at);
    let Item::Step(line) = &b.job.node(place.0, place.1).item else { return };
    for clause in &line.clauses {
        let cut = b.without_clause(place.0, clause.span);
        match &clause.kind {
            // A circuit opened with nothing to catch the fluid, with no drained circuit around it.
            K::Into { .. } if matches!(step.verb, Verb::Remove | Verb::Disconnect | Verb::Open) => {
                let fluids: Vec<ThingId> = step.things().flat_map(|t| b.facts(t.thing).carries.clone()).collect();
                let drained = fluids.iter().all(|f| b.steps_on(*f).any(|i| i < at && b.step(i).verb == Verb::Drain));
                let opened = (0..at).any(|i| {
                    let takes_it = matches!(b.step(i).verb, Verb::Remove | Verb::Disconnect | Verb::Open);
                    takes_it && b.step(i).things().any(|t| b.facts(t.thing).carries.iter().any(|f| fluids.contains(f)))
                });
                if !fluids.is_empty() && !drained && !opened {
                    out.push(b.spoil("a tray dropped", place, "no tray", &["opened-full"], cut));
                }
            }
            K::OnStands | K::OnALift | K::OnRamps if step.verb == Verb::Raise => {
                let after = b.later_on(at, step.things().next().map_or(ThingId(0), |t| t.thing)).next();
                let until = after.unwrap_or(b.steps.len());
                let works = (at + 1..until).any(|i| {
                    changes(b.step(i).verb)
                        && b.step(i).things().any(|t| {
                            matches!(
                                b.job.thing(t.thing).kind,
                                ThingKind::Part | ThingKind::Fastener | ThingKind::Fluid
                            )
                        })
                });
                let supported = (at + 1..until).any(|i| b.step(i).verb == Verb::Support);
                if works && !supported {
                    out.push(b.spoil("stands dropped", place, "no stands", &["unsupported"], cut));
                }
            }
            K::Again if step.verb == Verb::Tighten => {
                out.push(b.spoil("again dropped", place, "no again", &["torqued-again"], cut));
            }
            K::Pass(_) | K::LastPass if step.verb == Verb::Tighten => {
                let honest = &["torqued-again", "torqued-too-early", "left-loose", "not-ready"];
                let first = matches!(step.clauses.pass, Some(PassChoice::Number(1)));
                if first {
                    out.push(b.spoil("a pass dropped from a step", place, "no pass", honest, cut));
                }
            }
            _ => {}
        }
    }
    // `again` on a fastener that is turned by an angle.
    if step.verb == Verb::Tighten && !step.clauses.again && step.clauses.pass.is_none() {
        let angle = step.things().any(|t| b.facts(t.thing).fastening.as_ref().is_some_and(|f| f.has_angle()));
        if angle {
            let end = step.head_span.end as usize;
            out.push(b.spoil("again added", place, "again", &["torqued-again"], vec![(end..end, ", again".into())]));
        }
    }
    // A count, or a run of positions, one less.
    // What is left of them is taken out with the thing they hold, and need not be made snug.
    let counted = !may_be_left_out(b, at)
        && matches!(step.verb, Verb::Start | Verb::Fit | Verb::Refit | Verb::PutIn | Verb::TakeOut)
        || step.verb == Verb::Tighten && !step.clauses.by_hand;
    for t in step.things().filter(|_| counted) {
        let head = b.job.text_of(step.head_span);
        let less = match &t.portion {
            Portion::Count(n) if *n > 1 => (format!("{n} of"), format!("{} of", n - 1)),
            Portion::Positions(p) if p.len() > 2 => {
                let (first, last) = (p[0], p[p.len() - 1]);
                (format!("{first} to {last} of"), format!("{first} to {} of", last - 1))
            }
            _ => continue,
        };
        if let Some(found) = head.find(&less.0) {
            let span = step.head_span.part(found..found + less.0.len());
            let honest = &[
                "count-mismatch",
                "left-off",
                "left-loose",
                "torqued-too-early",
                "still-held",
                "not-off-yet",
                "torqued-again",
                "already-off",
            ];
            out.push(b.spoil("a count changed", place, &less.1.clone(), honest, b.instead(span, less.1)));
        }
    }
}

/// A member of a set that is spoken of by name exchanged for another.
pub fn other_member(b: &Bench<'_>, place: (usize, NodeId), at: usize, out: &mut Vec<Mutant>) {
    use cotter::procedure::Members;
    let step = b.step(at);
    for t in step.things().filter(|_| changes(step.verb) && !step.clauses.again) {
        let (Members::One(n), Some(set)) = (t.members, b.job.thing(t.thing).each) else { continue };
        let members = &b.job.procedure.sets[set.index()].members;
        let (here, there) = (&members[n as usize], &members[(n as usize + 1) % members.len()]);
        let written = b.job.text_of(t.span);
        if here != there && written.contains(here.as_str()) {
            let by = written.replacen(here.as_str(), there, 1);
            let mut honest: Vec<&'static str> = STATE.to_vec();
            honest.extend(LEFT);
            honest.push("out-of-reach");
            out.push(b.spoil("the other side", place, &by.clone(), &honest, b.instead(t.span, by)));
        }
    }
}

/// Amounts of fluid and trays: the unit dropped, ten times as much, a tray too small.
pub fn amounts(b: &Bench<'_>, place: (usize, NodeId), at: usize, out: &mut Vec<Mutant>) {
    use cotter::syntax::tree::{Item, StepClauseKind as K};
    let step = b.step(at);
    let Item::Step(line) = &b.job.node(place.0, place.1).item else { return };
    for clause in &line.clauses {
        let text = b.job.text_of(clause.span);
        let number = text.find(|c: char| c.is_ascii_digit());
        let range = |from: usize, to: usize| clause.span.start as usize + from..clause.span.start as usize + to;
        match (&clause.kind, number) {
            (K::Amount(_), Some(digits)) if step.verb == Verb::Fill => {
                if let Some(space) = text.rfind(' ') {
                    out.push(b.spoil(
                        "a unit dropped",
                        place,
                        "no unit",
                        &["unit-missing"],
                        vec![(range(space, text.len()), String::new())],
                    ));
                    out.push(b.spoil(
                        "a unit of the wrong kind",
                        place,
                        "mm",
                        &["unit-mismatch"],
                        vec![(range(space, text.len()), " mm".into())],
                    ));
                }
                let stated =
                    step.things().any(|t| b.facts(t.thing).fluid.as_ref().is_some_and(|f| f.capacity.is_some()));
                if stated {
                    out.push(b.spoil(
                        "ten times too much",
                        place,
                        "9…",
                        &["volume-mismatch"],
                        vec![(range(digits, digits), "9".into())],
                    ));
                }
            }
            (K::Into { volume: Some(_), .. }, Some(digits)) => {
                let drains = step.verb == Verb::Drain
                    && step.things().any(|t| {
                        b.facts(t.thing).fluid.as_ref().is_some_and(|f| f.drains.is_some() || f.capacity.is_some())
                    });
                if drains {
                    let number = text[digits..].find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(0);
                    out.push(b.spoil(
                        "a tray too small",
                        place,
                        "0.1",
                        &["volume-mismatch"],
                        vec![(range(digits, digits + number), "0.1".into())],
                    ));
                }
            }
            _ => {}
        }
    }
}

/// A message of a built-in hazard written one step later. A fault where its own step is known to bring that hazard, and:
/// - no later step of the block brings it (it would be in time for that one), nor may the next meet it (work that no table
///   knows: looking, cleaning, measuring);
/// - the engine has stopped by then; an end that is up stays up, so that a message about it is never late.
pub fn late(b: &Bench<'_>, place: (usize, NodeId), at: usize, out: &mut Vec<Mutant>) {
    use cotter::procedure::DetailKind;
    let step = b.step(at);
    let (file, node) = place;
    let siblings = b.job.siblings(file, node);
    let next = siblings.iter().position(|n| *n == node).and_then(|i| siblings.get(i + 1));
    let Some(next) = next.filter(|n| matches!(b.job.node(file, **n).item, cotter::syntax::tree::Item::Step(_))) else {
        return;
    };
    for detail in &step.details {
        let DetailKind::Safety { hazard: Some(hazard), .. } = detail.kind else { continue };
        let Some(line) = b.job.trees[file].nodes.iter().position(|n| n.span == detail.span) else { continue };
        let line = b.job.extent(file, NodeId(u32::try_from(line).expect("few lines")));
        let after = b.lines.iter().find(|(f, n, _)| *f == file && n == next).map_or(at, |l| l.2);
        let later = b
            .lines
            .iter()
            .any(|(f, n, i)| *f == file && *n != node && siblings.contains(n) && *i > at && brings(b, *i, hazard));
        let runs_on = step.verb == Verb::RunEngine && step.clauses.for_time.is_none() && step.clauses.until.is_none();
        let may_meet = !changes(b.step(after).verb)
            && !matches!(
                b.step(after).verb,
                Verb::LetCool | Verb::Wait | Verb::Record | Verb::Mark | Verb::Read | Verb::StopEngine | Verb::WorkOut
            );
        let lasts = hazard == cotter::trade::hazard::Hazard::UnsupportedVehicle;
        if !brings(b, at, hazard) || later || runs_on || may_meet || lasts {
            continue;
        }
        let text = b.job.texts[file][line.clone()].to_owned();
        let end = b.job.extent(file, *next).end;
        let edits = vec![(line, String::new()), (end..end, text)];
        out.push(b.spoil("a caution moved after its act", place, hazard.name(), &["caution-late"], edits));
    }
}

/// Running the engine brings exhaust gas and rotating parts, raising the machine a fall, opening a circuit what its fluid does.
fn brings(b: &Bench<'_>, at: usize, hazard: cotter::trade::hazard::Hazard) -> bool {
    use cotter::trade::hazard::Hazard;
    let step = b.step(at);
    match step.verb {
        Verb::RunEngine => matches!(hazard, Hazard::ExhaustGas | Hazard::RotatingParts),
        Verb::Raise => hazard == Hazard::UnsupportedVehicle,
        verb => step.things().any(|t| {
            let facts = b.facts(t.thing);
            changes(verb) && facts.hazards.contains(&hazard)
        }),
    }
}
