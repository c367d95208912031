//! Values found at the machine: declared ones, those that steps name, and the questions steps ask.

use crate::diagnostic::Diagnostic;
use crate::procedure::{Ask, AskId, Condition, Limits, MeasurementId, Origin, Verb};
use crate::quantity::Spec;
use crate::syntax::fold_name;
use crate::syntax::tree::{Block, ClauseKind, DetailWord, Entry, Item, NodeId, Step, StepClauseKind, Word};

use super::Resolver;
use super::objects::{Piece, part_span};
use super::scope::{Fact, View, index};

impl Resolver<'_> {
    /// Names that the steps of a file bring: a block's condition may stand before the step that measures.
    pub(super) fn name_facts_of_steps(&mut self, file: usize) {
        let bundle = self.bundle;
        let Some(loaded) = bundle.files.get(file) else { return };
        let mut todo: Vec<(NodeId, Vec<String>)> = loaded.tree.roots.iter().rev().map(|r| (*r, Vec::new())).collect();
        while let Some((id, mut sets)) = todo.pop() {
            let node = loaded.tree.node(id);
            match &node.item {
                Item::Block(Block::ForEach { set, .. }) => sets.push(set.text.clone()),
                Item::Step(step) => self.name_facts_of_step(step, &sets),
                _ => {}
            }
            todo.extend(node.children.iter().rev().map(|c| (*c, sets.clone())));
        }
    }

    fn name_facts_of_step(&mut self, step: &Step, sets: &[String]) {
        let Some((verb, at)) = self.split_verb(&step.head.text) else { return };
        let rest = step.head.text[at..].trim().to_owned();
        let view = View::new();
        match verb {
            Verb::Ask => {
                if rest.is_empty() || self.fact_named(&rest).is_some() {
                    return;
                }
                let answers = answers_of(step);
                let word = Word { text: rest.clone(), span: part_span(&step.head, &rest) };
                let id = self.new_ask(Some(&word), answers, step.head.span);
                self.scope.facts.insert(fold_name(&rest), Fact::Ask(id));
            }
            Verb::WorkOut => {
                let Some((name, _)) = rest.split_once(" = ") else { return };
                let name = name.trim();
                if self.fact_named(name).is_none() {
                    let word = Word { text: name.to_owned(), span: part_span(&step.head, name) };
                    self.new_measurement(&word, Origin::WorkedOut);
                }
            }
            Verb::Measure | Verb::Read => {
                for name in self.measured_names(&view, &rest) {
                    self.name_measurement(&view, &name, step, sets);
                }
            }
            Verb::Inspect => {
                let whole = Word { text: rest.clone(), span: step.head.span };
                if rest.is_empty() || rest.contains('{') || self.pieces(&view, &rest, &whole).is_some() {
                    return;
                }
                let set = sets.last().and_then(|s| self.set_named(s));
                for part in rest.split(" and ").map(str::trim).filter(|p| !p.is_empty()) {
                    self.see(&view, part, part_span(&step.head, part), set);
                }
            }
            Verb::Check | Verb::Test | Verb::Record | Verb::Adjust | Verb::Set => {
                let has_limits = step.clauses.iter().any(|c| {
                    matches!(&c.kind, StepClauseKind::Amount(s) if !matches!(s, Spec::Exactly(_)))
                        || matches!(&c.kind, StepClauseKind::WithinOf { .. })
                });
                let plain = !rest.is_empty() && self.piece(&view, &rest, step.head.span).is_none();
                if has_limits && plain {
                    self.name_measurement(&view, &rest, step, sets);
                }
            }
            _ => {}
        }
        for clause in &step.clauses {
            if let StepClauseKind::CallIt(name) = &clause.kind {
                if self.fact_named(&name.text).is_none() {
                    let id = self.new_measurement(name, Origin::Called);
                    self.p.measurements[id.index()].each = sets.last().and_then(|s| self.set_named(s));
                    self.p.measurements[id.index()].record = true;
                }
            }
        }
    }

    /// `front protrusion and rear protrusion` are two; `thickness of disc and pad` is left whole.
    fn measured_names(&mut self, view: &View, text: &str) -> Vec<String> {
        if text.is_empty() || text.contains('{') {
            return Vec::new();
        }
        if self.fact_named(text).is_some() || !text.contains(" and ") || text.contains(" of ") {
            return vec![text.to_owned()];
        }
        let whole = Word { text: text.to_owned(), span: crate::source::Span::default() };
        match self.pieces(view, text, &whole) {
            Some(pieces) => pieces.into_iter().map(|(t, ..)| t).collect(),
            None => text.split(" and ").map(|t| t.trim().to_owned()).collect(),
        }
    }

    /// The undeclared thing of this name that is looked at; nothing where the name means something else.
    pub(super) fn see(
        &mut self,
        view: &View,
        name: &str,
        span: crate::source::Span,
        set: Option<crate::procedure::SetId>,
    ) -> Option<crate::procedure::ThingId> {
        let name = name.strip_prefix("the ").unwrap_or(name).trim();
        if self.piece(view, name, span).is_some() {
            return None;
        }
        let folded = fold_name(name);
        if let Some(seen) = self.scope.seen.get(&folded) {
            return Some(*seen);
        }
        let word = Word { text: name.to_owned(), span };
        let id = self.add_thing(&word, crate::procedure::ThingKind::Seen, false);
        self.scope.things.remove(&folded);
        self.p.things[id.index()].each = set;
        self.scope.seen.insert(folded, id);
        Some(id)
    }

    fn name_measurement(&mut self, view: &View, name: &str, step: &Step, sets: &[String]) {
        let name = name.strip_prefix("the ").unwrap_or(name);
        if self.fact_named(name).is_some() {
            return;
        }
        if let Some(Piece::Measurement(_)) = self.piece(view, name, step.head.span) {
            return;
        }
        let word = Word { text: name.to_owned(), span: part_span(&step.head, name) };
        let id = self.new_measurement(&word, Origin::Measured);
        self.p.measurements[id.index()].each = sets.last().and_then(|s| self.set_named(s));
        if let Some((what, of)) = name.rsplit_once(" of ") {
            let set = sets.last().and_then(|s| self.set_named(s));
            let thing = match self.piece(view, of, word.span) {
                Some(Piece::Thing(thing)) => Some(thing),
                Some(_) => None,
                None => self.see(view, of, word.span, set).map(|id| crate::procedure::ThingRef {
                    members: self.members(view, id),
                    ..crate::procedure::ThingRef::whole(id, word.span)
                }),
            };
            if let Some(thing) = thing {
                let each = self.p[thing.thing].each;
                let alias = fold_name(&format!("{} {}", self.p[thing.thing].name, what));
                let measurement = &mut self.p.measurements[id.index()];
                measurement.each = measurement.each.or(each);
                measurement.of = Some(thing);
                // `thickness of disc` is also `disc thickness`.
                self.scope.facts.entry(alias).or_insert(Fact::Measurement(id));
            }
        }
    }

    /// A new question.
    pub(super) fn new_ask(&mut self, name: Option<&Word>, answers: Vec<String>, span: crate::source::Span) -> AskId {
        let id = AskId(index(self.p.asks.len()));
        let answers = if answers.len() < 2 { vec!["yes".to_owned(), "no".to_owned()] } else { answers };
        self.p.asks.push(Ask { name: name.map(|n| n.text.clone()), span: name.map_or(span, |n| n.span), answers });
        id
    }

    /// Clauses and details of an entry of `measurements`.
    pub(super) fn measurement_facts(&mut self, view: &View, file: usize, id: NodeId, entry: &Entry) {
        let Some(Fact::Measurement(measurement)) = self.fact_named(&entry.name.text) else { return };
        self.measurement_clauses(view, measurement, &entry.clauses, Condition::Always);
        let details = self.details(view, file, id);
        self.p.measurements[measurement.index()].details.extend(details);
        let bundle = self.bundle;
        for (_, node) in bundle.files[file].tree.children(id) {
            if let Item::Detail(detail) = &node.item {
                if detail.word == DetailWord::Record {
                    self.p.measurements[measurement.index()].record = true;
                }
            }
        }
    }

    /// What a variant says of a measurement.
    pub(super) fn measurement_variant(
        &mut self,
        view: &View,
        file: usize,
        id: NodeId,
        entry: &Entry,
        condition: Condition,
    ) {
        let Some(Fact::Measurement(measurement)) = self.fact_named(&entry.name.text) else { return };
        let bundle = self.bundle;
        for (_, node) in bundle.files[file].tree.children(id) {
            if let Item::Clauses(clauses) = &node.item {
                self.measurement_clauses(view, measurement, clauses, condition.clone());
            }
        }
    }

    fn measurement_clauses(
        &mut self,
        view: &View,
        id: MeasurementId,
        clauses: &[crate::syntax::tree::Clause],
        condition: Condition,
    ) {
        for clause in clauses {
            let limits = match &clause.kind {
                ClauseKind::Of(name) => {
                    if let Some(Piece::Thing(thing)) = self.piece(view, &name.text, name.span) {
                        let each = self.p[thing.thing].each;
                        let measurement = &mut self.p.measurements[id.index()];
                        measurement.each = measurement.each.or(each);
                        measurement.of = Some(thing);
                    } else {
                        self.unknown_thing(view, &name.text, name.span);
                    }
                    continue;
                }
                ClauseKind::Each(name) => {
                    match self.set_named(&name.text) {
                        Some(set) => self.p.measurements[id.index()].each = Some(set),
                        None => self.unknown_set(name),
                    }
                    continue;
                }
                ClauseKind::NewMeasures(spec) => {
                    self.p.measurements[id.index()].new = Some(spec.clone());
                    continue;
                }
                ClauseKind::SetTo(spec) => {
                    self.p.measurements[id.index()].set = Some(spec.clone());
                    continue;
                }
                ClauseKind::Record => {
                    self.p.measurements[id.index()].record = true;
                    continue;
                }
                ClauseKind::Limits(spec) => Limits::Spec(spec.clone()),
                ClauseKind::Amount(q) => Limits::Spec(Spec::Exactly(q.clone())),
                ClauseKind::AtMost(q) => Limits::Spec(Spec::AtMost(q.clone())),
                ClauseKind::WithinOf { amount, of } => match self.fact_named(&of.text) {
                    Some(Fact::Measurement(of)) => Limits::WithinOf { amount: amount.clone(), of },
                    _ => {
                        self.unknown_value(of);
                        continue;
                    }
                },
                // There only in some variants: the steps that measure it carry the condition.
                ClauseKind::OnlyWith(_) | ClauseKind::Unknown => continue,
                _ => {
                    self.misplaced(clause, "a measurement", "`of X`, limits (`at least 22.4 mm`, `0.15 to 0.20 mm`), `new 24 mm`, `set 0.18 mm`, `each SET` or `record`");
                    continue;
                }
            };
            self.p.measurements[id.index()].limits.push((condition.clone(), limits));
        }
    }

    pub(super) fn unknown_value(&mut self, name: &Word) {
        let names: Vec<String> = self.fact_names().into_iter().map(str::to_owned).collect();
        let hint = super::suggest::hint(&name.text, names.iter().map(String::as_str));
        self.tell(
            Diagnostic::error("unknown-name", name.span, format!("no measured value is called '{}'", name.text)).help(
                format!(
                    "{hint} Measure it in an earlier step and give it the name: `measure ride height, call it {}`.",
                    name.text
                )
                .trim()
                .to_owned(),
            ),
        );
    }
}

/// Answers that a question states.
pub(super) fn answers_of(step: &Step) -> Vec<String> {
    step.clauses
        .iter()
        .flat_map(|c| match &c.kind {
            StepClauseKind::Answers(answers) => answers.iter().map(|w| w.text.clone()).collect(),
            StepClauseKind::Other(word) if word.text.contains(" or ") => {
                word.text.split(" or ").map(|a| a.trim().to_owned()).collect()
            }
            _ => Vec::new(),
        })
        .collect()
}
