//! `unused-name`: something the job declares and never speaks of again.

use std::collections::HashSet;

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{
    Block, Condition, Formula, Found, Limits, MeasurementId, Object, Origin, PairId, Procedure, Prose, ProsePart,
    SetId, State, StateRef, Step, Subject, ThingId, ThingKind, ThingRef, UntilThen, Verb, With,
};
use crate::rules::prose::{each_prose, words};
use crate::rules::{Check, Group, Rule};
use crate::source::Span;

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "unused-name",
    group: Group::Names,
    severity: Severity::Warning,
    finds: "a part, fastener, fluid or value that the job itself declares and never uses",
    why: "Either a step was forgotten, or the name is a leftover that makes the next reader look for it.",
    wrong: "\
job: Look at the side cover

parts
  side cover
  rear cover

stage: Look
  inspect side cover: No cracks.
",
    right: "\
job: Look at the side cover

parts
  side cover
  rear cover

stage: Look
  inspect side cover and rear cover: No cracks.
",
    source: "The language: unused names of a shared machine file are no finding.",
    check: Check::Job(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    let used = Used::of(procedure);
    let mut tell = |what: &str, name: &str, span: Span| {
        // A name that stands in somebody's words is spoken of.
        if !used.words.contains(&name.to_lowercase()) {
            out.push(
                RULE.at(span, format!("the {what} {name} is declared and never used"))
                    .label("never used")
                    .help("Take the line out, or write the step that was forgotten."),
            );
        }
    };
    for (i, thing) in procedure.things.iter().enumerate() {
        let id = ThingId(u32::try_from(i).unwrap_or(u32::MAX));
        let what = match thing.kind {
            ThingKind::Part => "part",
            ThingKind::Fastener => "fastener",
            ThingKind::Fluid => "fluid",
            ThingKind::Builtin(_) | ThingKind::Seen => continue,
        };
        // A new part that is never fitted is told by the proof; what a drained fluid runs out of is opened unnamed.
        let facts = &thing.facts;
        let serves = facts.filler_of.iter().chain(&facts.drain_of).any(|fluid| used.things.contains(fluid));
        if !thing.shared && !used.things.contains(&id) && !serves && !facts.new && !facts.added {
            tell(what, &thing.name, thing.span);
        }
    }
    for (i, measurement) in procedure.measurements.iter().enumerate() {
        let id = MeasurementId(u32::try_from(i).unwrap_or(u32::MAX));
        if measurement.origin == Origin::Declared && !measurement.shared && !used.measurements.contains(&id) {
            tell("measurement", &measurement.name, measurement.span);
        }
    }
    let own = |span: Span| span.file == procedure.header.span.file;
    // Tools and supplies stand on the list of what to have ready: a rag needs no step of its own.
    for (i, option) in procedure.options.iter().enumerate() {
        if own(option.span) && !used.options.contains(&i) {
            tell("option", &option.name, option.span);
        }
    }
    for (i, set) in procedure.sets.iter().enumerate() {
        if own(set.span) && !used.sets.contains(&SetId(u32::try_from(i).unwrap_or(u32::MAX))) {
            tell("set", &set.name, set.span);
        }
    }
    for (i, pair) in procedure.pairs.iter().enumerate() {
        if own(pair.span) && !used.pairs.contains(&PairId(u32::try_from(i).unwrap_or(u32::MAX))) {
            tell("act", &format!("{} / {}", pair.opening, pair.closing), pair.span);
        }
    }
}

/// All that a job speaks of.
#[derive(Default)]
pub(crate) struct Used {
    pub things: HashSet<ThingId>,
    pub measurements: HashSet<MeasurementId>,
    options: HashSet<usize>,
    sets: HashSet<SetId>,
    pairs: HashSet<PairId>,
    /// The author's words, in lower case.
    words: String,
}

impl Used {
    /// What the steps and the declarations speak of.
    pub fn of(procedure: &Procedure) -> Self {
        let mut used = Self::default();
        procedure.options.iter().flat_map(|o| &o.only_with).for_each(|c| used.condition(c));
        for kit in &procedure.kits {
            used.things.extend(&kit.things);
        }
        for thing in &procedure.things {
            used.sets.extend(thing.each);
            used.condition(&thing.exists);
            for (condition, facts) in thing.all_facts() {
                condition.into_iter().for_each(|c| used.condition(c));
                for ids in [&facts.held_by, &facts.behind, &facts.always_with, &facts.carries] {
                    used.things.extend(ids);
                }
                used.things.extend(facts.part_of);
                used.things.extend(facts.temporary.iter().flat_map(|t| &t.takes_up).map(|(_, id)| *id));
                facts.needs.iter().for_each(|n| used.state(&n.state));
                for forbidden in &facts.forbidden {
                    used.state(&forbidden.state);
                    used.act(forbidden.act.verb, forbidden.act.object.as_ref());
                }
                for debt in &facts.debts {
                    used.state(&debt.state);
                    used.act(debt.then.verb, debt.then.object.as_ref());
                    used.act(debt.before.verb, debt.before.object.as_ref());
                }
                if let Some(fastening) = &facts.fastening {
                    fastening
                        .tighten_at
                        .iter()
                        .chain(fastening.passes.iter().flat_map(|p| &p.at))
                        .for_each(|s| used.state(s));
                    used.things.extend(&fastening.joint_of);
                    used.words.extend(fastening.counter_hold.iter().map(|w| format!(" {w} ").to_lowercase()));
                }
            }
        }
        for measurement in &procedure.measurements {
            used.sets.extend(measurement.each);
            used.things.extend(measurement.of.iter().map(|t| t.thing));
            for (condition, limits) in &measurement.limits {
                used.condition(condition);
                used.limits(limits);
            }
        }
        used.blocks(&procedure.body);
        each_prose(procedure, &mut |_, prose| used.prose(prose));
        used
    }

    fn blocks(&mut self, blocks: &[Block]) {
        for block in blocks {
            match block {
                Block::Step(step) => self.step(step),
                Block::Stage(stage) => {
                    self.blocks(&stage.body);
                }
                Block::With { condition, body, .. } => {
                    self.condition(condition);
                    self.blocks(body);
                }
                Block::If { condition, then, otherwise, .. } => {
                    self.condition(condition);
                    self.blocks(then);
                    self.blocks(otherwise);
                }
                Block::Until { condition, then, body, before_next, .. } => {
                    self.condition(condition);
                    if let UntilThen::Bad(thing, _) = then {
                        self.thing(thing);
                    }
                    self.blocks(body);
                    self.blocks(before_next);
                }
                Block::ForEach { set, body, .. } => {
                    self.sets.insert(*set);
                    self.blocks(body);
                }
                Block::Follow { body, .. } => self.blocks(body),
                Block::Reverse(reversed) => self.blocks(&reversed.body),
            }
        }
    }

    fn step(&mut self, step: &Step) {
        self.act(step.verb, None);
        for object in &step.objects {
            match object {
                Object::Thing(thing) => self.thing(thing),
                Object::Measurement(id, _) => {
                    self.measurements.insert(*id);
                }
                Object::Tool(_) | Object::Supply(_) => {}
                Object::Free(text, _) => self.words.push_str(&format!(" {text} ").to_lowercase()),
            }
        }
        let clauses = &step.clauses;
        for with in &clauses.with {
            match with {
                With::Tool(_) | With::Supply(_) => {}
                With::State(state) => self.state(state),
                With::Thing(thing) => self.thing(thing),
            }
        }
        clauses.at.iter().chain(&step.state).for_each(|s| self.state(s));
        clauses.limits.iter().for_each(|l| self.limits(&l.limits));
        clauses.until.iter().chain(&clauses.other).for_each(|p| self.prose(p));
        self.sets.extend(clauses.each);
        for words in clauses.from.iter().chain(clauses.into.as_ref().map(|i| &i.what)) {
            self.words.push_str(&format!(" {words} ").to_lowercase());
        }
        if let Some(work_out) = &step.work_out {
            self.formula(&work_out.formula);
        }
    }

    fn thing(&mut self, thing: &ThingRef) {
        self.things.insert(thing.thing);
    }

    fn act(&mut self, verb: Verb, object: Option<&ThingRef>) {
        if let Verb::Open1(id) | Verb::Close1(id) = verb {
            self.pairs.insert(id);
        }
        object.into_iter().for_each(|t| self.thing(t));
    }

    fn state(&mut self, state: &StateRef) {
        match &state.subject {
            Subject::Thing(thing) => self.thing(thing),
            Subject::Measurement(id) => {
                self.measurements.insert(*id);
            }
            Subject::Words(_) => {}
        }
        if let State::Away(id) | State::HomeOf(id) = state.state {
            self.pairs.insert(id);
        }
    }

    fn condition(&mut self, condition: &Condition) {
        condition.atoms(&mut |atom| match atom {
            Condition::Option(id) | Condition::OptionIs(id, _) => {
                self.options.insert(id.index());
            }
            Condition::Member(set, _) => {
                self.sets.insert(*set);
            }
            Condition::Found(Found::Bad(thing)) => self.thing(thing),
            Condition::Found(Found::Outside(id)) => {
                self.measurements.insert(*id);
            }
            Condition::Found(Found::Is(state)) => self.state(state),
            _ => {}
        });
    }

    fn limits(&mut self, limits: &Limits) {
        if let Limits::WithinOf { of, .. } | Limits::AtLeast(of) | Limits::AtMost(of) = limits {
            self.measurements.insert(*of);
        }
    }

    fn formula(&mut self, formula: &Formula) {
        match formula {
            Formula::Value(id, _) => {
                self.measurements.insert(*id);
            }
            Formula::Quantity(_) | Formula::Number(_) => {}
            Formula::Add(a, b) | Formula::Sub(a, b) | Formula::Mul(a, b) | Formula::Div(a, b) => {
                self.formula(a);
                self.formula(b);
            }
            Formula::Highest(all) | Formula::Lowest(all) | Formula::Spread(all) => {
                all.iter().for_each(|f| self.formula(f))
            }
        }
    }

    fn prose(&mut self, prose: &Prose) {
        for part in &prose.parts {
            match part {
                ProsePart::Name(id) => {
                    self.things.insert(*id);
                }
                ProsePart::Found(id) => {
                    self.measurements.insert(*id);
                }
                _ => {}
            }
        }
        self.words.push_str(&format!(" {} ", words(prose)).to_lowercase());
    }
}
