//! One step: verb, objects, clauses, details.

use crate::diagnostic::Diagnostic;
use crate::procedure::{
    Clauses, IntoTray, LimitUse, Limits, Members, Object, PassChoice, Prose, Stand, Step, StepId, ThingKind, Verb, With,
};
use crate::quantity::{Kind, Spec};
use crate::source::Span;
use crate::syntax::tree::{self, DetailWord, Item, NodeId, StepClause, StepClauseKind, Word};

use super::objects::{Piece, part_span};
use super::scope::{Binding, Fact, View, index};
use super::verbs::after_phrase;
use super::{Resolver, suggest};

impl Resolver<'_> {
    /// Resolves an act; nothing where its verb is unknown (told).
    pub(super) fn step(&mut self, view: &mut View, file: usize, id: NodeId, step: &tree::Step) -> Option<Step> {
        let bundle = self.bundle;
        let node = bundle.files[file].tree.node(id);
        let head = &step.head;
        let Some((verb, at)) = self.split_verb(&head.text) else {
            self.unknown_act(&head.text, head.span);
            return None;
        };
        let rest = head.text[at..].trim().to_owned();
        let mut clauses = Clauses::default();
        let mut state = None;
        let mut work_out = None;
        let mut ask = None;
        let objects = match verb {
            Verb::Measure | Verb::Read | Verb::Record | Verb::Check | Verb::Test | Verb::Set | Verb::Adjust => {
                self.measured_objects(view, verb, &rest, head)
            }
            Verb::LetCool => {
                let object = rest.strip_suffix(" down").unwrap_or(&rest);
                let object = object.strip_suffix(" cool").unwrap_or(object).trim().to_owned();
                if object == rest.trim() {
                    self.tell(
                        Diagnostic::error("unknown-act", head.span, "`let` goes with `cool`")
                            .help("Write `let engine cool`."),
                    );
                }
                self.objects(view, verb, &object, head)
            }
            Verb::Ask => {
                ask = Some(match self.fact_named(&rest) {
                    Some(Fact::Ask(ask)) if !rest.is_empty() => ask,
                    _ => {
                        let ask = self.new_ask(None, super::measure::answers_of(step), head.span);
                        view.last_ask = Some(ask);
                        ask
                    }
                });
                Vec::new()
            }
            Verb::WorkOut => {
                work_out = self.work_out(view, &rest, head);
                Vec::new()
            }
            Verb::Found => {
                let word = Word { text: rest.clone(), span: part_span(head, &rest) };
                state = Some(self.state(view, &word, None));
                Vec::new()
            }
            Verb::Do | Verb::Stop | Verb::RunEngine | Verb::StopEngine | Verb::Drive | Verb::Wait => {
                self.loose_objects(view, verb, &rest, head, &mut clauses)
            }
            _ => self.objects(view, verb, &rest, head),
        };
        if rest.is_empty() && !may_lack_object(verb) {
            let name = self.verb_name(verb);
            self.tell(
                Diagnostic::error("bad-syntax", head.span, format!("`{name}` what? The step names nothing"))
                    .help(format!("Write `{name} ` and the thing it is done to.")),
            );
        }
        for clause in &step.clauses {
            self.clause(view, verb, &objects, clause, &mut clauses);
        }
        if clauses.adapter.is_some() {
            self.turn_adapter(step, &mut clauses);
        }
        if let (Verb::Wait, Some(until), None) = (verb, &clauses.until, &state) {
            let word = Word { text: plain_text(until), span: until.span };
            state = Some(self.state(view, &word, None));
        }
        if let Some(work) = &mut work_out {
            for clause in &step.clauses {
                if let StepClauseKind::RoundTo(q) = &clause.kind {
                    work.round_to = Some(q.clone());
                }
            }
        }
        let mut details = Vec::new();
        for (_, child) in bundle.files[file].tree.children(id) {
            let Item::Detail(detail) = &child.item else { continue };
            match detail.word {
                DetailWord::Record => clauses.record = true,
                DetailWord::Sign => clauses.sign = true,
                DetailWord::Witness => clauses.witness = true,
                DetailWord::Example => {
                    let text = detail.prose.as_ref().or(detail.value.as_ref());
                    match (&mut work_out, text) {
                        (Some(work), Some(text)) => {
                            let snapshot = work.clone();
                            work.examples.extend(self.example(text, &snapshot));
                        }
                        (None, _) if verb != Verb::WorkOut => self.tell(
                            Diagnostic::error("bad-syntax", child.span, "an `example` belongs under `work out`")
                                .help("For other words write `note: …`."),
                        ),
                        _ => {}
                    }
                }
                DetailWord::Pass | DetailWord::Setting => self.tell(
                    Diagnostic::error(
                        "bad-syntax",
                        child.span,
                        "`pass` and `setting` stand under the fastener's declaration",
                    )
                    .help("Move the line under the fastener; the step takes it from there."),
                ),
                DetailWord::Except => {}
                _ => {
                    let covers = Some(super::detail::covered(&bundle.files[file].tree, id));
                    details.extend(self.detail(view, detail, child.span, covers));
                }
            }
        }
        let prose = step.prose.as_ref().map(|p| self.prose(view, p));
        if matches!(verb, Verb::Do | Verb::Ask) && prose.is_none() && rest.is_empty() {
            let name = self.verb_name(verb);
            self.tell(
                Diagnostic::error("bad-syntax", node.span, format!("`{name}` says nothing"))
                    .help(format!("Write `{name}: ` and what to {name}.")),
            );
        }
        self.bind_measured(view, &objects, &clauses);
        self.expanded += self.rounds(view);
        Some(Step {
            id: StepId(0),
            span: node.span,
            head_span: head.span,
            verb,
            objects,
            clauses,
            prose,
            details,
            work_out,
            ask,
            state,
            generated: false,
        })
    }

    /// A value measured inside a loop is one for each member.
    fn bind_measured(&mut self, view: &View, objects: &[Object], clauses: &Clauses) {
        let innermost = view.sets.iter().rev().find(|(_, b)| *b == Binding::Loop).map(|(s, _)| *s);
        let Some(set) = clauses.each.or(innermost) else { return };
        let measured = objects.iter().filter_map(|o| match o {
            Object::Measurement(id, _) => Some(*id),
            _ => None,
        });
        for id in measured.chain(clauses.call_it).collect::<Vec<_>>() {
            let measurement = &mut self.p.measurements[id.index()];
            if measurement.each.is_none() && measurement.origin != crate::procedure::Origin::Declared {
                measurement.each = Some(set);
            }
        }
    }

    /// Facts come first for what is measured: things and facts are two name spaces.
    fn measured_objects(&mut self, view: &View, verb: Verb, text: &str, head: &Word) -> Vec<Object> {
        let bare = text.strip_prefix("the ").unwrap_or(text);
        let bare = bare.strip_prefix('{').and_then(|t| t.strip_suffix('}')).unwrap_or(bare);
        if let Some(Fact::Measurement(id)) = self.fact_named(bare) {
            return vec![Object::Measurement(id, self.measured_members(view, id))];
        }
        // Member of a set: `measure left disc thickness`.
        for i in 0..self.p.sets.len() {
            for m in 0..self.p.sets[i].members.len() {
                let (set, member) = (self.p.sets[i].name.clone(), self.p.sets[i].members[m].clone());
                for lead in [crate::syntax::fold_name(&member), crate::syntax::fold_name(&format!("{set} {member}"))] {
                    if let Some(at) = after_phrase(bare, &lead) {
                        if let Some(Fact::Measurement(id)) = self.fact_named(&bare[at..]) {
                            return vec![Object::Measurement(id, Members::One(index(m)))];
                        }
                    }
                }
            }
        }
        if bare.contains(" and ") && !bare.contains(" of ") {
            let names: Vec<String> = bare.split(" and ").map(|s| s.trim().to_owned()).collect();
            let known: Vec<_> = names
                .iter()
                .map_while(|n| match self.fact_named(n) {
                    Some(Fact::Measurement(id)) => Some(Object::Measurement(id, self.measured_members(view, id))),
                    _ => None,
                })
                .collect();
            if known.len() == names.len() {
                return known;
            }
        }
        self.objects(view, verb, text, head)
    }

    fn measured_members(&self, view: &View, id: crate::procedure::MeasurementId) -> Members {
        match self.p[id].each {
            None => Members::Single,
            Some(set) => match view.binding(set) {
                Some(Binding::Loop) => Members::This,
                Some(Binding::Member(i)) => Members::One(i),
                None => Members::All,
            },
        }
    }

    /// Verbs that need no object; a time said without a comma is read (`wait 10 min`).
    fn loose_objects(
        &mut self,
        view: &View,
        verb: Verb,
        text: &str,
        head: &Word,
        clauses: &mut Clauses,
    ) -> Vec<Object> {
        let text = text.trim();
        if text.is_empty() {
            return Vec::new();
        }
        let time = text.strip_prefix("for ").unwrap_or(text);
        if let Ok(q) = crate::quantity::parse_quantity(time) {
            match q.kind() {
                Kind::Time => {
                    clauses.for_time = Some(q);
                    return Vec::new();
                }
                _ => {
                    clauses.amounts.push(Spec::Exactly(q));
                    return Vec::new();
                }
            }
        }
        if let Some(until) = text.strip_prefix("until ") {
            clauses.until = Some(self.prose(view, &Word { text: until.to_owned(), span: part_span(head, until) }));
            return Vec::new();
        }
        self.objects(view, verb, text, head)
    }

    /// Replaces `{argument}` in a clause by what the caller wrote, and reads the clause again.
    fn with_arguments(&mut self, view: &View, clause: &StepClause) -> Option<StepClause> {
        let text = self.sources.text(clause.span).to_owned();
        if view.arguments.is_empty() || !text.contains('{') {
            return None;
        }
        let mut out = text;
        let mut changed = false;
        for (name, argument) in &view.arguments {
            let mut from = 0;
            while let Some(open) = out[from..].find('{').map(|o| o + from) {
                let Some(close) = out[open..].find('}').map(|c| c + open) else { break };
                if crate::syntax::fold_name(&out[open + 1..close]) == *name {
                    out.replace_range(open..=close, &argument.text);
                    changed = true;
                    from = open + argument.text.len();
                } else {
                    from = close + 1;
                }
            }
        }
        if !changed {
            return None;
        }
        let (kind, findings) = crate::syntax::step_clause(&out, clause.span);
        findings.into_iter().for_each(|f| self.tell(f));
        kind.map(|kind| StepClause { span: clause.span, kind })
    }

    /// What is filled in or runs out is no length, torque, angle or force.
    fn goes_in_or_out(&mut self, verb: Verb, objects: &[Object], spec: &Spec, span: Span) {
        let is_fluid = |o: &Object| matches!(o, Object::Thing(t) if self.p[t.thing].kind == ThingKind::Fluid);
        let moves = matches!(verb, Verb::Fill | Verb::TopUp | Verb::Drain) && objects.iter().any(is_fluid);
        if moves && matches!(spec.kind(), Kind::Length | Kind::Torque | Kind::Angle | Kind::Force) {
            let message = format!("`{}` takes a volume or a mass, but {spec} is a {}", verb.name(), spec.kind().name());
            let help = format!("Write the volume: `{} …, 6.5 L`.", verb.name());
            self.tell(Diagnostic::error("unit-mismatch", span, message).label("wrong kind of unit").help(help));
        }
    }

    fn clause(&mut self, view: &View, verb: Verb, objects: &[Object], clause: &StepClause, out: &mut Clauses) {
        use StepClauseKind as K;
        let replaced = self.with_arguments(view, clause);
        let clause = replaced.as_ref().unwrap_or(clause);
        match &clause.kind {
            K::With(word) => self.with(view, word, out),
            K::WithHelper => out.helper = true,
            K::Adapter(adapter) => self.add_adapter(adapter, clause.span, out),
            K::Amount(spec) => {
                if measures(verb, objects) {
                    self.limit(out, Limits::Spec(spec.clone()), clause.span);
                } else {
                    self.goes_in_or_out(verb, objects, spec, clause.span);
                    out.amounts.push(spec.clone());
                }
            }
            K::Into { what, volume } => {
                out.into = Some(IntoTray { what: what.text.clone(), volume: volume.clone() });
            }
            K::ByHand => out.by_hand = true,
            K::Again => out.again = true,
            K::InReverseOrder => out.reverse_order = true,
            K::InPasses(passes) => {
                out.in_passes = self.may_be_passes(*passes, super::passes::most_in_step(verb), clause.span)
            }
            K::Pass(n) => out.pass = Some(PassChoice::Number(*n)),
            K::LastPass => out.pass = Some(PassChoice::Last),
            K::AtClock(q) => out.at_clock = Some(q.clone()),
            K::From(word) => out.from = Some(word.text.clone()),
            K::OnStands => out.stand = Some(Stand::Stands),
            K::OnRamps => out.stand = Some(Stand::Ramps),
            K::OnALift => out.stand = Some(Stand::Lift),
            K::CallIt(name) => {
                if let Some(Fact::Measurement(id)) = self.fact_named(&name.text) {
                    out.call_it = Some(id);
                }
            }
            K::WithinOf { amount, of } => match self.fact_named(&of.text) {
                Some(Fact::Measurement(of)) => {
                    self.limit(out, Limits::WithinOf { amount: amount.clone(), of }, clause.span);
                }
                _ => self.unknown_value(of),
            },
            K::Within(q) => out.within = Some(q.clone()),
            K::NewMeasures(spec) => {
                if let Some(limits) = &mut out.limits {
                    limits.new = Some(spec.clone());
                } else {
                    self.new_measures(objects, spec);
                }
            }
            K::SetTo(spec) => out.amounts.push(spec.clone()),
            K::For(q) => {
                if q.kind() == Kind::Time {
                    out.for_time = Some(q.clone());
                } else {
                    // `drive, for 10 km`, `turn crankshaft, for 2 turns`: an amount of another kind.
                    out.amounts.push(Spec::Exactly(q.clone()));
                }
            }
            K::Until(word) => out.until = Some(self.prose(view, word)),
            K::Sign => out.sign = true,
            K::Witness => out.witness = true,
            K::Record => out.record = true,
            K::Each(name) => match self.set_named(&name.text) {
                Some(set) => out.each = Some(set),
                None => self.unknown_set(name),
            },
            K::Order(order) => out.order = Some(order.clone()),
            K::At(word) => {
                let state = self.state_strict(view, &word.text, word.span, None);
                match state {
                    Some((subject, state, negated)) => {
                        out.at = Some(crate::procedure::StateRef {
                            subject,
                            state,
                            negated,
                            span: word.span,
                            text: word.text.clone(),
                        });
                    }
                    None => {
                        let text = format!("at {}", word.text);
                        let prose = self.prose(view, &Word { text, span: word.span });
                        out.other.push(prose);
                    }
                }
            }
            K::Hazard(name) => out.hazards.extend(self.hazard_or_tell(name)),
            K::Positions(positions) => {
                let list: Vec<String> = positions.iter().map(u32::to_string).collect();
                out.other.push(Prose::plain(format!("positions {}", list.join(" ")), clause.span));
            }
            K::RoundTo(_) | K::Answers(_) => {}
            K::Value(word) => self.value_clause(view, verb, objects, word, out),
            K::Other(word) => self.other_clause(view, verb, word, out),
        }
    }

    fn limit(&mut self, out: &mut Clauses, limits: Limits, span: Span) {
        let new = out.limits.as_ref().and_then(|l| l.new.clone());
        out.limits = Some(LimitUse { limits, new, span });
    }

    /// `new 24 mm` before any limit, or without one: belongs to the measurement.
    fn new_measures(&mut self, objects: &[Object], spec: &Spec) {
        for object in objects {
            if let Object::Measurement(id, _) = object {
                self.p.measurements[id.index()].new.get_or_insert_with(|| spec.clone());
            }
        }
    }

    fn value_clause(&mut self, view: &View, verb: Verb, objects: &[Object], word: &Word, out: &mut Clauses) {
        let name = word.text.trim_matches(|c| c == '{' || c == '}').trim();
        if let Some(spec) = self.argument(view, name).and_then(|a| a.spec.clone()) {
            if measures(verb, objects) {
                self.limit(out, Limits::Spec(spec), word.span);
            } else {
                out.amounts.push(spec);
            }
            return;
        }
        let text = format!("{{{name}}}");
        let prose = self.prose(view, &Word { text, span: word.span });
        out.other.push(prose);
    }

    fn other_clause(&mut self, view: &View, verb: Verb, word: &Word, out: &mut Clauses) {
        let text = word.text.trim();
        if verb == Verb::Ask {
            return;
        }
        // Limits that name a value: `at least {shim wanted}`, `at most clearance found`.
        for (lead, make) in [
            ("at least ", Limits::AtLeast as fn(crate::procedure::MeasurementId) -> Limits),
            ("at most ", Limits::AtMost),
        ] {
            if let Some(name) = text.strip_prefix(lead) {
                let name = name.trim().trim_matches(|c| c == '{' || c == '}').trim();
                if let Some(Fact::Measurement(id)) = self.fact_named(name) {
                    self.limit(out, make(id), word.span);
                    return;
                }
            }
        }
        // A number that could not be read as a quantity is no prose.
        if text.starts_with(|c: char| c.is_ascii_digit()) {
            if let Err(error) = crate::quantity::parse_spec(text) {
                let rule = suggest::rule_of(&error);
                if rule != "bad-syntax" || !text.contains(' ') {
                    let mut finding = Diagnostic::error(rule, word.span, error.to_string())
                        .help("Write the number with its unit: `9 L`, `90°`, `1200 rpm`, `5 clicks`.");
                    if let Some(fixed) = error.fix() {
                        finding = finding.fix(format!("write '{fixed}'"), word.span, fixed);
                    }
                    self.tell(finding);
                    return;
                }
            }
        }
        let prose = self.prose(view, word);
        out.other.push(prose);
    }

    /// `with …`: a tool, a supply, a thing, or a state that is an exception meant.
    fn with(&mut self, view: &View, word: &Word, out: &mut Clauses) {
        let text = word.text.trim();
        if matches!(crate::syntax::fold_name(text).as_str(), "a helper" | "helper" | "a second person") {
            out.helper = true;
            return;
        }
        if let Some(pieces) = self.pieces(view, text, word) {
            for (name, _, piece) in pieces {
                out.with.push(match piece {
                    Piece::Thing(thing) => With::Thing(thing),
                    Piece::Tool(tool) => With::Tool(tool),
                    Piece::Supply(supply) => With::Supply(supply),
                    Piece::Measurement(_) => With::Tool(self.tool_or_common(&Word { text: name, span: word.span })),
                });
            }
            return;
        }
        if let Some((subject, state, negated)) = self.state_strict(view, text, word.span, None) {
            out.with.push(With::State(crate::procedure::StateRef {
                subject,
                state,
                negated,
                span: word.span,
                text: text.to_owned(),
            }));
            return;
        }
        // Undeclared: a common tool, listed on the sheet. `a` and `the` are no part of its name.
        for part in text.split(" and ") {
            let part = part.trim();
            let name =
                ["a ", "an ", "the ", "one "].iter().find_map(|w| part.strip_prefix(w)).unwrap_or(part).to_owned();
            if let Some(supply) = self.supply_named(&name) {
                out.with.push(With::Supply(supply));
                continue;
            }
            if !name.is_empty() {
                let tool = self.tool_or_common(&Word { text: name, span: part_span(word, part) });
                out.with.push(With::Tool(tool));
            }
        }
    }
}

fn may_lack_object(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::Check
            | Verb::Do
            | Verb::Ask
            | Verb::Wait
            | Verb::RunEngine
            | Verb::StopEngine
            | Verb::Drive
            | Verb::Test
            | Verb::Stop
    )
}

/// Whether a bare amount is a limit here: something is measured or read.
fn measures(verb: Verb, objects: &[Object]) -> bool {
    matches!(verb, Verb::Measure | Verb::Read)
        || (matches!(verb, Verb::Check | Verb::Test | Verb::Record)
            && objects.iter().any(|o| matches!(o, Object::Measurement(..))))
}

/// The words of prose without its values.
fn plain_text(prose: &Prose) -> String {
    prose
        .parts
        .iter()
        .map(|p| match p {
            crate::procedure::ProsePart::Text(t) | crate::procedure::ProsePart::Words(t) => t.as_str(),
            _ => "",
        })
        .collect()
}
