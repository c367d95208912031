//! The steps of a reversed stage, written out.

use crate::diagnostic::Diagnostic;
use crate::procedure::{
    Block, Clauses, Condition, Found, Members, Object, Portion, Step, StepId, ThingId, ThingRef, Verb, Version, With,
};
use crate::quantity::Spec;

use super::super::Resolver;
use super::Request;
use super::plan::{Plan, act_of, counterpart};

/// Tools that only take things off (common practice): nothing is refitted with them.
const ONLY_TAKES_OFF: &[&str] = &["puller", "extractor", "remover", "splitter", "strap"];

impl Resolver<'_> {
    pub(super) fn reversed(&mut self, body: &[Block], request: &Request, plan: &Plan) -> Vec<Block> {
        let mut out = Vec::new();
        for block in body.iter().rev() {
            match block {
                Block::Step(step) => self.reversed_step(step, request, plan, &mut out),
                Block::Stage(stage) => out.extend(self.reversed(&stage.body, request, plan)),
                Block::Follow { body, .. } => out.extend(self.reversed(body, request, plan)),
                Block::Reverse(r) => out.extend(self.reversed(&r.body, request, plan)),
                Block::Until { span, .. } => self.tell(
                    Diagnostic::error("bad-syntax", request.head, "a stage that holds an `until` can't be reversed")
                        .related(*span, "this `until`: how often it went round nobody knows")
                        .help("Write the refitting out, or move the `until` to a stage of its own."),
                ),
                Block::If { then, otherwise, .. } => {
                    let then = self.reversed(then, request, plan);
                    let otherwise = self.reversed(otherwise, request, plan);
                    out.extend(around(block, then, otherwise, request));
                }
                Block::With { body, .. } | Block::ForEach { body, .. } => {
                    let body = self.reversed(body, request, plan);
                    out.extend(around(block, body, Vec::new(), request));
                }
            }
        }
        out
    }

    fn reversed_step(&mut self, step: &Step, request: &Request, plan: &Plan, out: &mut Vec<Block>) {
        for thing in step.things() {
            if let Some(verb) = plan.again(step.verb, act_of(step, thing)) {
                out.push(generated(request, verb, thing, self.kept_clauses(&step.clauses)));
            }
        }
        let Some(verb) = counterpart(step.verb) else { return };
        for object in step.objects.iter().rev() {
            let Object::Thing(thing) = object else { continue };
            let Some(off) = plan.off(act_of(step, thing)) else { continue };
            if plan.wholly(&self.p, thing, off) {
                self.undo(step, verb, thing, request, plan, out);
                continue;
            }
            // Some members are back already: the others by name.
            let set = self.p[thing.thing].each;
            for member in off {
                let mut written = Vec::new();
                let one = match thing.members {
                    Members::This => thing.clone(),
                    _ => ThingRef { members: Members::One(*member), ..thing.clone() },
                };
                self.undo(step, verb, &one, request, plan, &mut written);
                match set {
                    Some(set) if thing.members == Members::This => {
                        let of_set = self.p.sets.get(set.index());
                        let named =
                            of_set.and_then(|s| Some(format!("{} {}", s.name, s.members.get(*member as usize)?)));
                        out.push(Block::With {
                            condition: Condition::Member(set, *member),
                            text: named.unwrap_or_default(),
                            body: written,
                            span: request.span,
                        });
                    }
                    _ => out.extend(written),
                }
            }
        }
        if step.verb == Verb::Raise {
            for fastener in &plan.when_lowered {
                out.push(generated(request, Verb::Tighten, fastener, Clauses::default()));
            }
        }
    }

    /// Undoes one act on one thing.
    fn undo(
        &mut self,
        step: &Step,
        verb: Verb,
        thing: &ThingRef,
        request: &Request,
        plan: &Plan,
        out: &mut Vec<Block>,
    ) {
        let act = act_of(step, thing);
        let clauses = self.kept_clauses(&step.clauses);
        match verb {
            Verb::Fill => self.refill(step, thing, request, plan, out),
            Verb::Refit if plan.last_bit(act).is_some() => {
                out.push(generated(request, Verb::Start, thing, clauses));
                if plan.last_bit(act) == Some(true) {
                    let all = ThingRef { portion: Portion::Whole, ..thing.clone() };
                    out.push(generated(request, Verb::Tighten, &all, Clauses::default()));
                }
            }
            Verb::Refit | Verb::Connect | Verb::Return if plan.is_apart(thing.thing) => {
                self.put_back(Verb::Place, thing, &clauses, request, out);
                for holder in plan.due_with(&self.p, act) {
                    let holder = self.with_members_of(thing, holder);
                    self.put_back(Verb::Refit, &holder, &Clauses::default(), request, out);
                }
                if let Some((fastener, portion)) = plan.started_with(act) {
                    let some = ThingRef { portion, ..self.with_members_of(thing, fastener) };
                    out.push(generated(request, Verb::Start, &some, Clauses::default()));
                }
            }
            Verb::Refit if plan.has_own_acts(thing.thing) => {
                let all = ThingRef { portion: Portion::Whole, ..thing.clone() };
                self.put_back(Verb::Refit, &all, &clauses, request, out);
            }
            Verb::Refit => self.put_back(Verb::Refit, thing, &clauses, request, out),
            verb => out.push(generated(request, verb, thing, clauses)),
        }
    }

    /// A fastener of the same member as what it holds.
    fn with_members_of(&self, thing: &ThingRef, fastener: ThingId) -> ThingRef {
        let members = match (self.p[thing.thing].each, self.p[fastener].each) {
            (Some(a), Some(b)) if a == b => thing.members,
            (_, Some(_)) => Members::All,
            (_, None) => Members::Single,
        };
        ThingRef { members, ..ThingRef::whole(fastener, thing.span) }
    }

    /// `refit` or `place`; a new one where the old one may not go back, both ways where an inspection decides.
    fn put_back(&mut self, verb: Verb, thing: &ThingRef, clauses: &Clauses, request: &Request, out: &mut Vec<Block>) {
        let facts = &self.p[thing.thing].facts;
        let (new, if_bad) = (facts.new || facts.single_use || facts.added, facts.new_if_bad);
        let fresh = |verb: Verb| {
            let verb = if verb == Verb::Refit { Verb::Fit } else { verb };
            let version = if verb == Verb::Place { Version::New } else { Version::Unsaid };
            written(request, verb, &ThingRef { version, ..thing.clone() }, clauses.clone())
        };
        if new {
            out.push(fresh(verb));
        } else if if_bad {
            let name = self.p[thing.thing].name.clone();
            let bad = ThingRef { version: Version::Unsaid, portion: Portion::Whole, ..thing.clone() };
            out.push(Block::If {
                condition: Condition::Found(Found::Bad(bad)),
                text: format!("{name} bad"),
                then: vec![fresh(verb)],
                otherwise: vec![generated(request, verb, thing, clauses.clone())],
                span: request.span,
                otherwise_span: Some(request.span),
            });
        } else {
            out.push(generated(request, verb, thing, clauses.clone()));
        }
    }

    /// Plugs shut, what ran out filled in again (as much as the act or each variant drains), and bled where it must be.
    fn refill(&mut self, step: &Step, fluid: &ThingRef, request: &Request, plan: &Plan, out: &mut Vec<Block>) {
        let plugs = plan.plugs.iter().filter(|plug| self.p[**plug].facts.drain_of == Some(fluid.thing));
        for plug in plugs {
            let members = if self.p[*plug].each == self.p[fluid.thing].each { fluid.members } else { Members::All };
            let members = if self.p[*plug].each.is_some() { members } else { Members::Single };
            let plug = ThingRef { members, ..ThingRef::whole(*plug, request.head) };
            out.push(generated(request, Verb::Close, &plug, Clauses::default()));
        }
        // `drain F, 2 L` let out only so much.
        let part = (step.verb == Verb::Drain).then(|| step.clauses.amounts.first().cloned()).flatten();
        let amount = |facts: &crate::procedure::Facts| {
            let runs_out = facts.fluid.as_ref().and_then(|fluid| fluid.runs_out().cloned()).map(Spec::Exactly);
            Clauses { amounts: part.clone().or(runs_out).into_iter().collect(), ..Clauses::default() }
        };
        let thing = &self.p[fluid.thing];
        let mut others = Condition::Always;
        // The last variant whose condition holds counts.
        for (condition, facts) in thing.variants.iter().rev() {
            out.push(Block::With {
                condition: others.clone().and(condition.clone()),
                text: String::new(),
                body: vec![generated(request, Verb::Fill, fluid, amount(facts))],
                span: request.span,
            });
            others = others.and(condition.clone().negated());
        }
        let base = generated(request, Verb::Fill, fluid, amount(&thing.facts));
        out.push(match others {
            Condition::Always => base,
            condition => Block::With { condition, text: String::new(), body: vec![base], span: request.span },
        });
        if thing.facts.fluid.as_ref().is_some_and(|f| f.needs_bleeding) {
            out.push(generated(request, Verb::Bleed, fluid, Clauses::default()));
        }
    }

    /// What holds for the way back too: the helper, exceptions meant, hazards, and tools that don't only take off.
    fn kept_clauses(&self, of: &Clauses) -> Clauses {
        let only_off = |with: &With| match with {
            With::Tool(id) => self.p.tools.get(id.index()).is_some_and(|tool| {
                let name = tool.name.to_lowercase();
                ONLY_TAKES_OFF.iter().any(|word| name.contains(word))
            }),
            _ => false,
        };
        Clauses {
            helper: of.helper,
            adapter: of.adapter.clone(),
            with: of.with.iter().filter(|w| !only_off(w)).cloned().collect(),
            hazards: of.hazards.clone(),
            ..Clauses::default()
        }
    }
}

/// The block again, around its reversed body; nothing where nothing is left in it.
pub(super) fn around(block: &Block, body: Vec<Block>, otherwise: Vec<Block>, request: &Request) -> Option<Block> {
    if body.is_empty() && otherwise.is_empty() {
        return None;
    }
    let span = request.span;
    Some(match block {
        Block::With { condition, text, .. } => {
            Block::With { condition: condition.clone(), text: text.clone(), body, span }
        }
        Block::ForEach { set, one_after_the_other, .. } => {
            Block::ForEach { set: *set, one_after_the_other: *one_after_the_other, body, span }
        }
        Block::If { condition, text, .. } => Block::If {
            condition: condition.clone(),
            text: text.clone(),
            then: body,
            otherwise_span: (!otherwise.is_empty()).then_some(span),
            otherwise,
            span,
        },
        _ => return None,
    })
}

/// A step that the compiler writes; old or new is left to the verb.
fn generated(request: &Request, verb: Verb, thing: &ThingRef, clauses: Clauses) -> Block {
    written(request, verb, &ThingRef { version: Version::Unsaid, ..thing.clone() }, clauses)
}

fn written(request: &Request, verb: Verb, thing: &ThingRef, clauses: Clauses) -> Block {
    Block::Step(Box::new(Step {
        id: StepId(0),
        span: request.span,
        head_span: request.head,
        verb,
        objects: vec![Object::Thing(ThingRef { span: request.head, ..thing.clone() })],
        clauses,
        prose: None,
        details: Vec::new(),
        work_out: None,
        ask: None,
        state: None,
        generated: true,
    }))
}
