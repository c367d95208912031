//! What a reversed stage has to put back, and how: which things are still off, and which of their fasteners came
//! out in an act of their own and so go back in one of their own.

use crate::procedure::{Block, Fastening, Members, Portion, Procedure, State, Step, Subject};
use crate::procedure::{ThingId, ThingKind, ThingRef, Verb};
use crate::source::Span;

/// What undoes an act that takes apart.
pub(super) fn counterpart(verb: Verb) -> Option<Verb> {
    Some(match verb {
        Verb::Remove => Verb::Refit,
        Verb::Disconnect => Verb::Connect,
        Verb::MoveAside => Verb::Return,
        Verb::Loosen => Verb::Tighten,
        Verb::Open => Verb::Close,
        Verb::Drain => Verb::Fill,
        Verb::Raise => Verb::Lower,
        Verb::Support => Verb::Release,
        Verb::Lock => Verb::Unlock,
        Verb::Chock => Verb::Unchock,
        Verb::SwitchOff => Verb::SwitchOn,
        Verb::PutIn => Verb::TakeOut,
        Verb::Open1(pair) => Verb::Close1(pair),
        _ => return None,
    })
}

/// Whether `later` undoes what `earlier` did to the same thing.
fn undoes(earlier: Verb, later: Verb) -> bool {
    match earlier {
        Verb::Remove => matches!(later, Verb::Refit | Verb::Fit | Verb::Place | Verb::Start | Verb::Connect),
        Verb::Disconnect => matches!(later, Verb::Connect | Verb::Place | Verb::Refit | Verb::Fit),
        Verb::MoveAside => matches!(later, Verb::Return | Verb::Place | Verb::Refit),
        Verb::Drain => later == Verb::Fill,
        Verb::Open => matches!(later, Verb::Close | Verb::Refit | Verb::Fit),
        other => counterpart(other) == Some(later),
    }
}

/// Whether the act takes a thing out of its place, and what holds it with it.
fn takes_off(verb: Verb) -> bool {
    matches!(verb, Verb::Remove | Verb::Disconnect | Verb::MoveAside)
}

/// Whether the act puts a thing on together with what holds it.
fn puts_on(verb: Verb) -> bool {
    matches!(verb, Verb::Refit | Verb::Fit | Verb::Connect | Verb::Return)
}

/// A step of the body in order.
pub(super) struct Seen<'b> {
    step: &'b Step,
    /// Inside the stage that is reversed.
    inside: bool,
}

/// Where [`steps_between`] is.
#[derive(Default)]
pub(super) struct Progress {
    begun: bool,
    inside: bool,
    ended: bool,
}

/// Steps from the start of the stage up to the reverse line; none where the stage does not come before it.
pub(super) fn steps_between<'b>(
    body: &'b [Block],
    stage: Span,
    until: Span,
    out: &mut Vec<Seen<'b>>,
    at: &mut Progress,
) {
    for block in body {
        if at.ended {
            return;
        }
        match block {
            Block::Stage(s) if s.span == stage && !at.begun => {
                at.begun = true;
                at.inside = true;
                steps_between(&s.body, stage, until, out, at);
                at.inside = false;
            }
            Block::Stage(s) => steps_between(&s.body, stage, until, out, at),
            Block::Step(step) => {
                if at.begun {
                    out.push(Seen { step, inside: at.inside });
                }
            }
            Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => {
                steps_between(body, stage, until, out, at);
            }
            Block::If { then, otherwise, .. } => {
                steps_between(then, stage, until, out, at);
                steps_between(otherwise, stage, until, out, at);
            }
            Block::Until { body, before_next, .. } => {
                steps_between(body, stage, until, out, at);
                steps_between(before_next, stage, until, out, at);
            }
            Block::Reverse(r) => {
                if r.span == until {
                    at.ended = true;
                    return;
                }
                steps_between(&r.body, stage, until, out, at);
            }
        }
    }
}

/// An act on a thing: the step, the thing, which members.
pub(super) type Act = (Span, ThingId, Members);

/// What is to be put back.
#[derive(Default)]
pub(super) struct Plan {
    /// What the stage takes off, and what holds that.
    touched: Vec<ThingId>,
    /// Members that are still off, by the act that took them off; an act that is not here has nothing to undo.
    off: Vec<(Act, Vec<u32>)>,
    /// A thing, and a fastener of it that came out (or is to stay out) apart from it.
    apart: Vec<(ThingId, ThingId)>,
    /// Acts on a fastener of which another act puts back all.
    covered: Vec<Act>,
    /// Fasteners that went out bit by bit around a temporary thing, with what was left for the thing to take out.
    bit_by_bit: Vec<BitByBit>,
    /// The act that first took off something a fastener holds.
    first_held: Vec<(ThingId, Act)>,
    /// Fasteners that get their last torque when the vehicle is down again.
    pub(super) when_lowered: Vec<ThingRef>,
    /// Acts of a pair that was opened and closed around what came off (a spring compressed, its collets out, let up):
    /// the same pair is worked around what goes back.
    worked_again: Vec<Act>,
    /// Drain plugs that are closed before their fluid is filled.
    pub(super) plugs: Vec<ThingId>,
}

struct BitByBit {
    fastener: ThingId,
    rest: Option<Portion>,
    /// The act that took out the first of them.
    first: Act,
}

pub(super) fn act_of(step: &Step, thing: &ThingRef) -> Act {
    (step.span, thing.thing, thing.members)
}

fn members_of(p: &Procedure, thing: &ThingRef) -> Vec<u32> {
    let count = p[thing.thing].each.and_then(|s| p.sets.get(s.index())).map_or(1, |s| s.members.len());
    match thing.members {
        Members::One(one) => vec![one],
        Members::Single => vec![0],
        Members::All | Members::This => (0..u32::try_from(count).unwrap_or(u32::MAX)).collect(),
    }
}

/// What holds a thing, in any variant.
pub(super) fn holders(p: &Procedure, thing: ThingId) -> Vec<ThingId> {
    let mut out = Vec::new();
    for (_, facts) in p[thing].all_facts() {
        for holder in &facts.held_by {
            if !out.contains(holder) {
                out.push(*holder);
            }
        }
    }
    out
}

/// Whether its last torque waits until the vehicle stands on its wheels.
fn waits_for_the_ground(fastening: &Fastening) -> bool {
    let of_passes = fastening.passes.iter().filter_map(|pass| pass.at.as_ref());
    of_passes
        .chain(&fastening.tighten_at)
        .any(|state| state.state == State::Lowered && matches!(state.subject, Subject::Thing(_)))
}

impl Plan {
    pub(super) fn new(p: &Procedure, seen: &[Seen<'_>], except: &[ThingRef]) -> Self {
        let mut plan = Self::default();
        plan.find_apart(p, seen, except);
        for this in seen.iter().filter(|s| s.inside && counterpart(s.step.verb).is_some()) {
            for thing in this.step.things() {
                plan.touched.push(thing.thing);
                plan.touched.extend(holders(p, thing.thing));
            }
        }
        let excepted =
            |thing: ThingId, member: u32| except.iter().any(|e| e.thing == thing && members_of(p, e).contains(&member));
        let raised = seen.iter().position(|s| s.inside && s.step.verb == Verb::Raise);
        for (i, this) in seen.iter().enumerate().filter(|(_, s)| s.inside) {
            if counterpart(this.step.verb).is_none() {
                continue;
            }
            for thing in this.step.things() {
                let mut off = members_of(p, thing);
                off.retain(|m| !excepted(thing.thing, *m));
                // A fastener whose things all stay off stays out with them.
                let held: Vec<ThingId> =
                    plan.apart.iter().filter(|(_, f)| *f == thing.thing).map(|(t, _)| *t).collect();
                off.retain(|m| held.is_empty() || held.iter().any(|t| !excepted(*t, *m)));
                for later in &seen[i + 1..] {
                    for other in later.step.things() {
                        if plan.ends(p, this.step.verb, thing.thing, later.step.verb, other.thing) {
                            let back = members_of(p, other);
                            off.retain(|m| !back.contains(m));
                        }
                    }
                }
                if this.step.verb == Verb::Loosen && p[thing.thing].is_fastener() {
                    let gone = seen.iter().any(|s| {
                        s.inside
                            && takes_off(s.step.verb)
                            && s.step
                                .things()
                                .any(|t| t.thing == thing.thing || holders(p, t.thing).contains(&thing.thing))
                    });
                    let waits = p[thing.thing].facts.fastening.as_ref().is_some_and(waits_for_the_ground);
                    if gone && !waits {
                        continue;
                    }
                    if gone && raised.is_some_and(|r| r < i) {
                        let all = Members::All;
                        let members = if thing.members == Members::This { all } else { thing.members };
                        plan.when_lowered.push(ThingRef { members, ..thing.clone() });
                        continue;
                    }
                }
                if !off.is_empty() {
                    plan.off.push((act_of(this.step, thing), off));
                }
            }
        }
        plan.group_fasteners(p, seen);
        plan.find_plugs(p, seen);
        plan.find_worked_again(p, seen);
        plan
    }

    /// Whether the later act brings home what the earlier one took away, or says that it never comes home.
    fn ends(&self, p: &Procedure, verb: Verb, thing: ThingId, later: Verb, other: ThingId) -> bool {
        let facts = &p[thing].facts;
        let replaced = facts.new || facts.new_if_bad || facts.single_use || facts.added;
        if thing == other {
            return undoes(verb, later) || (matches!(later, Verb::Discard | Verb::Store) && !replaced);
        }
        verb == Verb::Remove && puts_on(later) && self.apart.contains(&(other, thing))
    }

    fn find_apart(&mut self, p: &Procedure, seen: &[Seen<'_>], except: &[ThingRef]) {
        let mut out: Vec<ThingId> = except.iter().map(|e| e.thing).collect();
        for this in seen.iter().filter(|s| s.inside && takes_off(s.step.verb)) {
            for thing in this.step.things() {
                for holder in holders(p, thing.thing) {
                    if out.contains(&holder) && !self.apart.contains(&(thing.thing, holder)) {
                        self.apart.push((thing.thing, holder));
                    }
                    if !self.first_held.iter().any(|(f, _)| *f == holder) {
                        self.first_held.push((holder, act_of(this.step, thing)));
                    }
                }
                if this.step.verb == Verb::Remove && p[thing.thing].kind == ThingKind::Fastener {
                    out.push(thing.thing);
                }
            }
        }
    }

    /// Fasteners taken out in several acts: one act puts all of them back, unless a temporary thing took their places.
    fn group_fasteners(&mut self, p: &Procedure, seen: &[Seen<'_>]) {
        let mut fasteners: Vec<ThingId> = self.apart.iter().map(|(_, f)| *f).collect();
        fasteners.dedup();
        for fastener in fasteners {
            let mut acts: Vec<(Act, &Portion)> = Vec::new();
            for this in seen.iter().filter(|s| s.inside && s.step.verb == Verb::Remove) {
                let of_it = this.step.things().filter(|t| t.thing == fastener);
                acts.extend(of_it.map(|t| (act_of(this.step, t), &t.portion)));
            }
            let facts = &p[fastener].facts;
            let whole = acts.iter().any(|(_, portion)| **portion == Portion::Whole);
            let taken_up = seen.iter().filter(|s| s.inside && s.step.verb == Verb::PutIn).any(|s| {
                s.step.things().any(|t| {
                    let takes = p[t.thing].facts.temporary.as_ref().and_then(|t| t.takes_up.as_ref());
                    takes.is_some_and(|(_, group)| *group == fastener)
                })
            });
            let Some((first, _)) = acts.first() else { continue };
            if !whole && taken_up && !facts.new_if_bad {
                let rest = rest_of(facts.count, &acts);
                self.bit_by_bit.push(BitByBit { fastener, rest, first: *first });
            } else {
                let same_members = |act: &Act| act.2 == first.2;
                self.covered.extend(acts.iter().skip(1).map(|(act, _)| *act).filter(same_members));
            }
        }
    }

    fn find_worked_again(&mut self, p: &Procedure, seen: &[Seen<'_>]) {
        for (i, opening) in seen.iter().enumerate().filter(|(_, s)| s.inside) {
            let Verb::Open1(pair) = opening.step.verb else { continue };
            for thing in opening.step.things() {
                let closing = seen[i + 1..]
                    .iter()
                    .position(|s| s.step.verb == Verb::Close1(pair) && s.step.things().any(|t| t.thing == thing.thing));
                let Some(closing) = closing.map(|at| i + 1 + at).filter(|at| seen[*at].inside) else { continue };
                let wants = |id: ThingId| {
                    let of = |need: &crate::procedure::Need| matches!(&need.state.subject, Subject::Thing(t) if t.thing == thing.thing);
                    p[id].facts.needs.iter().any(of)
                };
                let wanted = seen[i + 1..closing].iter().any(|between| {
                    between.step.things().any(|t| {
                        self.off(act_of(between.step, t)).is_some()
                            && (wants(t.thing) || holders(p, t.thing).into_iter().any(wants))
                    })
                });
                if wanted {
                    self.worked_again.push(act_of(opening.step, thing));
                    let closed = seen[closing].step.things().filter(|t| t.thing == thing.thing);
                    self.worked_again.extend(closed.map(|t| act_of(seen[closing].step, t)));
                }
            }
        }
    }

    /// The act on the way back for one of a pair that is worked again.
    pub(super) fn again(&self, verb: Verb, act: Act) -> Option<Verb> {
        let verb = match verb {
            Verb::Open1(pair) => Verb::Close1(pair),
            Verb::Close1(pair) => Verb::Open1(pair),
            _ => return None,
        };
        self.worked_again.contains(&act).then_some(verb)
    }

    /// Drain plugs that are still open: those of `drain`, which opens them, are closed before the filling.
    fn find_plugs(&mut self, p: &Procedure, seen: &[Seen<'_>]) {
        for (i, this) in seen.iter().enumerate().filter(|(_, s)| s.inside && s.step.verb == Verb::Drain) {
            for fluid in this.step.things() {
                for index in 0..p.things.len() {
                    let plug = ThingId(super::super::scope::index(index));
                    if p[plug].facts.drain_of != Some(fluid.thing) {
                        continue;
                    }
                    let shut = seen[i + 1..].iter().any(|later| {
                        undoes(Verb::Open, later.step.verb) && later.step.things().any(|t| t.thing == plug)
                    });
                    if !shut {
                        self.plugs.push(plug);
                        self.off.retain(|((_, thing, _), _)| *thing != plug);
                    }
                }
            }
        }
    }

    /// Whether the stage takes the thing off, by name or with what it holds.
    pub(super) fn takes_off(&self, p: &Procedure, thing: ThingId) -> bool {
        let parent = p[thing].facts.part_of;
        self.touched.contains(&thing) || parent.is_some_and(|parent| self.touched.contains(&parent))
    }

    /// The members an act has to put back; `None` where there are none.
    pub(super) fn off(&self, act: Act) -> Option<&[u32]> {
        if self.covered.contains(&act) {
            return None;
        }
        self.off.iter().find(|(a, _)| *a == act).map(|(_, members)| members.as_slice())
    }

    /// Whether the act took off all that it names, and all of it is still off.
    pub(super) fn wholly(&self, p: &Procedure, thing: &ThingRef, off: &[u32]) -> bool {
        off.len() == members_of(p, thing).len()
    }

    pub(super) fn is_apart(&self, thing: ThingId) -> bool {
        self.apart.iter().any(|(t, _)| *t == thing)
    }

    /// Whether the fastener goes back in acts of its own.
    pub(super) fn has_own_acts(&self, fastener: ThingId) -> bool {
        self.apart.iter().any(|(_, f)| *f == fastener)
    }

    /// Holders of a placed thing that have no act of their own and are due now: their last thing is on.
    pub(super) fn due_with(&self, p: &Procedure, act: Act) -> Vec<ThingId> {
        let due = |f: &ThingId| {
            !self.apart.contains(&(act.1, *f)) && self.first_held.iter().any(|(h, first)| h == f && *first == act)
        };
        holders(p, act.1).into_iter().filter(due).collect()
    }

    /// What is started when a thing is placed whose fasteners came out bit by bit.
    pub(super) fn started_with(&self, act: Act) -> Option<(ThingId, Portion)> {
        let of_it = |b: &&BitByBit| {
            self.apart.contains(&(act.1, b.fastener))
                && self.first_held.iter().any(|(h, first)| *h == b.fastener && *first == act)
        };
        let found = self.bit_by_bit.iter().find(of_it)?;
        Some((found.fastener, found.rest.clone()?))
    }

    /// For an act of a fastener that came out bit by bit: whether it is the last to go back.
    pub(super) fn last_bit(&self, act: Act) -> Option<bool> {
        self.bit_by_bit.iter().find(|b| b.fastener == act.1).map(|b| b.first == act)
    }
}

/// What the acts left in: the other positions where they name positions, else a number.
fn rest_of(count: u32, acts: &[(Act, &Portion)]) -> Option<Portion> {
    let mut positions = Vec::new();
    let mut number = 0;
    for (_, portion) in acts {
        match portion {
            Portion::Positions(some) => positions.extend(some.iter().copied()),
            Portion::Count(some) => number += some,
            Portion::Whole => return None,
        }
    }
    if number == 0 {
        let rest: Vec<u32> = (1..=count).filter(|n| !positions.contains(n)).collect();
        return (!rest.is_empty()).then_some(Portion::Positions(rest));
    }
    let rest = count.saturating_sub(number + u32::try_from(positions.len()).unwrap_or(u32::MAX));
    (rest > 0).then_some(Portion::Count(rest))
}
