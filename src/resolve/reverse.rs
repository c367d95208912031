//! `reverse stage`: the refitting of a stage written out, last off first on (language 7.20).

use crate::diagnostic::Diagnostic;
use crate::procedure::{
    Block, Clauses, Condition, Found, Object, Prose, Reversed, Step, StepId, ThingId, ThingRef, Verb, Version,
};
use crate::quantity::Spec;
use crate::source::Span;
use crate::syntax::fold_name;

use super::Resolver;

/// A `reverse stage` line.
pub(super) struct Request {
    pub span: Span,
    /// Of the line's head.
    pub head: Span,
    pub prose: Option<Prose>,
    pub except: Vec<ThingId>,
}

/// What undoes an act that takes apart.
fn counterpart(verb: Verb) -> Option<Verb> {
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
        Verb::Remove => matches!(later, Verb::Refit | Verb::Fit | Verb::Place),
        Verb::Disconnect => matches!(later, Verb::Connect | Verb::Place | Verb::Refit | Verb::Fit),
        Verb::MoveAside => matches!(later, Verb::Return | Verb::Place | Verb::Refit),
        Verb::Drain => later == Verb::Fill,
        other => counterpart(other) == Some(later),
    }
}

/// A step of the body in order, with the stage and reverse it stands in.
struct Seen<'b> {
    step: &'b Step,
    /// Inside the stage that is reversed.
    inside: bool,
}

/// Steps from the start of the stage up to the reverse line; `None` where the stage does not come before it.
fn steps_between<'b>(
    body: &'b [Block],
    stage: Span,
    until: Span,
    out: &mut Vec<Seen<'b>>,
    state: &mut (bool, bool, bool),
) {
    for block in body {
        if state.2 {
            return;
        }
        match block {
            Block::Stage(s) if s.span == stage && !state.0 => {
                state.0 = true;
                state.1 = true;
                steps_between(&s.body, stage, until, out, state);
                state.1 = false;
            }
            Block::Stage(s) => steps_between(&s.body, stage, until, out, state),
            Block::Step(step) => {
                if state.0 {
                    out.push(Seen { step, inside: state.1 });
                }
            }
            Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => {
                steps_between(body, stage, until, out, state);
            }
            Block::If { then, otherwise, .. } => {
                steps_between(then, stage, until, out, state);
                steps_between(otherwise, stage, until, out, state);
            }
            Block::Until { body, before_next, .. } => {
                steps_between(body, stage, until, out, state);
                steps_between(before_next, stage, until, out, state);
            }
            Block::Reverse(r) => {
                if r.span == until {
                    state.2 = true;
                    return;
                }
                steps_between(&r.body, stage, until, out, state);
            }
        }
    }
}

fn find_stage<'b>(
    body: &'b [Block],
    title: &str,
    before: Span,
    found: &mut Option<&'b crate::procedure::Stage>,
) -> bool {
    for block in body {
        let stop = match block {
            Block::Stage(s) => {
                if found.is_none() && fold_name(&s.title) == title {
                    *found = Some(s);
                }
                find_stage(&s.body, title, before, found)
            }
            Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => {
                find_stage(body, title, before, found)
            }
            Block::If { then, otherwise, .. } => {
                find_stage(then, title, before, found) || find_stage(otherwise, title, before, found)
            }
            Block::Until { body, .. } => find_stage(body, title, before, found),
            Block::Reverse(r) => r.span == before,
            Block::Step(_) => false,
        };
        if stop {
            return true;
        }
    }
    false
}

impl Resolver<'_> {
    /// Writes out every `reverse stage` of the body, first to last.
    pub(super) fn reverse_all(&mut self) {
        let requests = std::mem::take(&mut self.reverses);
        for request in requests {
            let body = std::mem::take(&mut self.p.body);
            let written = self.write_out(&body, &request);
            self.p.body = body;
            put(&mut self.p.body, request.span, &written);
        }
    }

    fn write_out(&mut self, body: &[Block], request: &Request) -> Vec<Block> {
        let Some(title) = title_of(body, request.span) else { return Vec::new() };
        let mut stage = None;
        find_stage(body, &fold_name(&title), request.span, &mut stage);
        let Some(stage) = stage else {
            let mut titles = Vec::new();
            stage_titles(body, &mut titles);
            let hint = super::suggest::hint(&title, titles.iter().map(String::as_str));
            self.tell(
                Diagnostic::error(
                    "unknown-name",
                    request.head,
                    format!("no stage before this line is called '{title}'"),
                )
                .help(format!("{hint} Write the title of the stage as it stands after `stage: `.").trim().to_owned()),
            );
            return Vec::new();
        };
        let mut seen = Vec::new();
        steps_between(body, stage.span, request.span, &mut seen, &mut (false, false, false));
        // Still off: taken apart in the stage, and nothing later undoes it.
        let mut back: Vec<(Span, ThingId)> = Vec::new();
        for (i, this) in seen.iter().enumerate() {
            if !this.inside || counterpart(this.step.verb).is_none() {
                continue;
            }
            for thing in this.step.things() {
                let undone = seen[i + 1..].iter().any(|later| {
                    undoes(this.step.verb, later.step.verb)
                        && later.step.things().any(|t| t.thing == thing.thing && t.members == thing.members)
                });
                if undone || request.except.contains(&thing.thing) {
                    back.push((this.step.span, thing.thing));
                }
            }
        }
        let mut out = self.reversed(&stage.body, request, &back);
        if let (Some(prose), Some(first)) = (&request.prose, super::body::first_step(&mut out)) {
            first.prose.get_or_insert_with(|| prose.clone());
        }
        if out.is_empty() {
            self.tell(
                Diagnostic::warning(
                    "never-touched",
                    request.head,
                    format!("stage '{title}' took nothing off that is still off here"),
                )
                .help("Take the line out, or reverse the stage that takes things off."),
            );
        }
        out
    }

    fn reversed(&mut self, body: &[Block], request: &Request, back: &[(Span, ThingId)]) -> Vec<Block> {
        let mut out = Vec::new();
        for block in body.iter().rev() {
            match block {
                Block::Step(step) => self.reversed_step(step, request, back, &mut out),
                Block::Stage(stage) => out.extend(self.reversed(&stage.body, request, back)),
                Block::Follow { body, .. } => out.extend(self.reversed(body, request, back)),
                Block::Reverse(r) => out.extend(self.reversed(&r.body, request, back)),
                Block::With { condition, text, body, .. } => {
                    let body = self.reversed(body, request, back);
                    if !body.is_empty() {
                        out.push(Block::With {
                            condition: condition.clone(),
                            text: text.clone(),
                            body,
                            span: request.span,
                        });
                    }
                }
                Block::ForEach { set, one_after_the_other, body, .. } => {
                    let body = self.reversed(body, request, back);
                    if !body.is_empty() {
                        let one_after_the_other = *one_after_the_other;
                        out.push(Block::ForEach { set: *set, one_after_the_other, body, span: request.span });
                    }
                }
                Block::If { condition, text, then, otherwise, .. } => {
                    let then = self.reversed(then, request, back);
                    let otherwise = self.reversed(otherwise, request, back);
                    if !then.is_empty() || !otherwise.is_empty() {
                        out.push(Block::If {
                            condition: condition.clone(),
                            text: text.clone(),
                            then,
                            otherwise_span: (!otherwise.is_empty()).then_some(request.span),
                            otherwise,
                            span: request.span,
                        });
                    }
                }
                Block::Until { span, .. } => self.tell(
                    Diagnostic::error("bad-syntax", request.head, "a stage that holds an `until` can't be reversed")
                        .related(*span, "this `until`: how often it went round nobody knows")
                        .help("Write the refitting out, or move the `until` to a stage of its own."),
                ),
            }
        }
        out
    }

    fn reversed_step(&mut self, step: &Step, request: &Request, back: &[(Span, ThingId)], out: &mut Vec<Block>) {
        let Some(verb) = counterpart(step.verb) else { return };
        let objects: Vec<&Object> = step.objects.iter().rev().collect();
        for object in objects {
            let Object::Thing(thing) = object else { continue };
            if back.contains(&(step.span, thing.thing)) {
                continue;
            }
            let facts = self.p[thing.thing].facts.clone();
            let make = |verb: Verb, thing: &ThingRef| {
                let mut clauses = Clauses { helper: step.clauses.helper, ..Clauses::default() };
                clauses.with.clone_from(&step.clauses.with);
                clauses.hazards.clone_from(&step.clauses.hazards);
                if verb == Verb::Fill {
                    let fluid = facts.fluid.as_ref();
                    let amount = fluid.and_then(|f| f.drains.clone().or_else(|| f.capacity.clone()));
                    clauses.amounts.extend(amount.map(Spec::Exactly));
                    clauses.with.clear();
                }
                let thing = ThingRef { version: Version::Unsaid, span: request.head, ..thing.clone() };
                Block::Step(Box::new(Step {
                    id: StepId(0),
                    span: request.span,
                    head_span: request.head,
                    verb,
                    objects: vec![Object::Thing(thing)],
                    clauses,
                    prose: None,
                    details: Vec::new(),
                    work_out: None,
                    ask: None,
                    state: None,
                    generated: true,
                }))
            };
            match verb {
                Verb::Refit if facts.new || facts.single_use || facts.added => out.push(make(Verb::Fit, thing)),
                Verb::Refit if facts.new_if_bad => {
                    let name = self.p[thing.thing].name.clone();
                    let bad = ThingRef { version: Version::Unsaid, ..thing.clone() };
                    out.push(Block::If {
                        condition: Condition::Found(Found::Bad(bad)),
                        text: format!("{name} bad"),
                        then: vec![make(Verb::Fit, thing)],
                        otherwise: vec![make(Verb::Refit, thing)],
                        span: request.span,
                        otherwise_span: Some(request.span),
                    });
                }
                Verb::Fill => {
                    // What drained it was opened by the act itself.
                    let plugs: Vec<ThingId> = (0..self.p.things.len())
                        .map(|i| ThingId(super::scope::index(i)))
                        .filter(|id| self.p[*id].facts.drain_of == Some(thing.thing))
                        .collect();
                    for plug in plugs {
                        out.push(make(Verb::Close, &ThingRef::whole(plug, request.head)));
                    }
                    out.push(make(Verb::Fill, thing));
                    if facts.fluid.as_ref().is_some_and(|f| f.needs_bleeding) {
                        out.push(make(Verb::Bleed, thing));
                    }
                }
                verb => out.push(make(verb, thing)),
            }
        }
    }
}

fn title_of(body: &[Block], span: Span) -> Option<String> {
    body.iter().find_map(|block| match block {
        Block::Reverse(r) if r.span == span => Some(r.title.clone()),
        Block::Reverse(r) => title_of(&r.body, span),
        Block::Stage(s) => title_of(&s.body, span),
        Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => title_of(body, span),
        Block::If { then, otherwise, .. } => title_of(then, span).or_else(|| title_of(otherwise, span)),
        Block::Until { body, before_next, .. } => title_of(body, span).or_else(|| title_of(before_next, span)),
        Block::Step(_) => None,
    })
}

fn stage_titles(body: &[Block], out: &mut Vec<String>) {
    for block in body {
        match block {
            Block::Stage(s) => {
                out.push(s.title.clone());
                stage_titles(&s.body, out);
            }
            Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => {
                stage_titles(body, out)
            }
            _ => {}
        }
    }
}

/// Puts what was written out where the line stands (a routine followed twice has it twice).
fn put(body: &mut [Block], span: Span, written: &[Block]) {
    for block in body {
        match block {
            Block::Reverse(Reversed { body, span: own, .. }) if *own == span => body.clone_from(&written.to_vec()),
            Block::Reverse(r) => put(&mut r.body, span, written),
            Block::Stage(s) => put(&mut s.body, span, written),
            Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => {
                put(body, span, written)
            }
            Block::If { then, otherwise, .. } => {
                put(then, span, written);
                put(otherwise, span, written);
            }
            Block::Until { body, before_next, .. } => {
                put(body, span, written);
                put(before_next, span, written);
            }
            Block::Step(_) => {}
        }
    }
}
