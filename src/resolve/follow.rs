//! Routines: found by their title, given their arguments, written out where they are called.

use std::collections::BTreeMap;

use crate::diagnostic::Diagnostic;
use crate::procedure::{Block, ThingKind};
use crate::quantity::{Kind, parse_spec};
use crate::syntax::fold_name;
use crate::syntax::tree::{self, FileKind, Item, NodeId, Word};

use super::objects::{Piece, part_span};
use super::scope::{Argument, Binding, Given, View};
use super::{Resolver, suggest};

/// A routine, or one of its stages.
struct Target {
    file: usize,
    /// `None`: all of it.
    stage: Option<NodeId>,
    title: String,
}

impl Resolver<'_> {
    pub(super) fn follow(&mut self, view: &mut View, file: usize, id: NodeId, step: &tree::Step, out: &mut Vec<Block>) {
        let bundle = self.bundle;
        let span = bundle.files[file].tree.node(id).span;
        let text = step.head.text.trim();
        let name = super::verbs::after_phrase(text, "follow").map_or("", |at| text[at..].trim());
        if name.is_empty() {
            self.tell(Diagnostic::error("bad-syntax", step.head.span, "`follow` what?").help(
                "Write `follow ` and the title of a routine: `follow bleed the brakes, with fluid brake fluid`.",
            ));
            return;
        }
        let Some(target) = self.target(file, name) else {
            self.unknown_routine(name, step);
            return;
        };
        let call = (target.file, target.stage.map_or(u32::MAX, |s| s.0));
        if view.calls.contains(&call) {
            self.tell(
                Diagnostic::error("file-cycle", step.head.span, format!("'{}' follows itself", target.title))
                    .help("A routine can't be a step of its own. Take this line out, or move the shared steps to a third routine."),
            );
            return;
        }
        let (arguments, sets, shown) = self.arguments(view, &target, step);
        let mut inner = View::new();
        inner.arguments = arguments;
        inner.sets = sets;
        inner.calls.clone_from(&view.calls);
        inner.calls.push(call);
        inner.depth = view.depth;
        // The job's own stage sees what the job sees.
        if target.file == file {
            for (name, argument) in &view.arguments {
                inner.arguments.entry(name.clone()).or_insert_with(|| argument.clone());
            }
        }
        let nodes: Vec<NodeId> = match target.stage {
            Some(stage) => vec![stage],
            None => bundle.files[target.file].tree.roots.clone(),
        };
        let body = self.blocks(&mut inner, target.file, &nodes);
        out.push(Block::Follow { title: target.title, arguments: shown, body, span });
        if let Some(prose) = &step.prose {
            let prose = self.prose(view, prose);
            if let Some(Block::Follow { body, .. }) = out.last_mut() {
                if let Some(step) = super::body::first_step(body) {
                    let at = prose.span;
                    step.details.insert(
                        0,
                        crate::procedure::Detail { kind: crate::procedure::DetailKind::Note(prose), span: at },
                    );
                }
            }
        }
    }

    /// Finds `R`, `stage T of R`, or `stage T` of this file.
    fn target(&self, file: usize, name: &str) -> Option<Target> {
        let routine = |title: &str| {
            let folded = fold_name(title);
            self.bundle
                .files
                .iter()
                .position(|f| f.tree.kind == FileKind::Routine && fold_name(&f.tree.title.text) == folded)
        };
        if let Some(found) = routine(name) {
            return Some(Target { file: found, stage: None, title: self.tree(found).title.text.clone() });
        }
        let at = super::verbs::after_phrase(name, "stage")?;
        let rest = name[at..].trim();
        for (of, _) in rest.match_indices(" of ").collect::<Vec<_>>().into_iter().rev() {
            if let Some(found) = routine(&rest[of + 4..]) {
                if let Some((stage, title)) = self.stage_titled(found, &rest[..of]) {
                    return Some(Target { file: found, stage: Some(stage), title });
                }
            }
        }
        let (stage, title) = self.stage_titled(file, rest)?;
        Some(Target { file, stage: Some(stage), title })
    }

    /// A stage of a file by its title, at the margin or in a block there.
    fn stage_titled(&self, file: usize, title: &str) -> Option<(NodeId, String)> {
        let folded = fold_name(title);
        let tree = self.tree(file);
        let mut todo: Vec<NodeId> = tree.roots.iter().rev().copied().collect();
        while let Some(id) = todo.pop() {
            let node = tree.node(id);
            match &node.item {
                Item::Stage(stage) if fold_name(&stage.title.text) == folded => {
                    return Some((id, stage.title.text.clone()));
                }
                Item::Block(_) => todo.extend(node.children.iter().rev()),
                _ => {}
            }
        }
        None
    }

    fn unknown_routine(&mut self, name: &str, step: &tree::Step) {
        let mut titles: Vec<String> = Vec::new();
        for loaded in &self.bundle.files {
            let routine = loaded.tree.kind == FileKind::Routine;
            if routine {
                titles.push(loaded.tree.title.text.clone());
            }
            for node in &loaded.tree.nodes {
                if let Item::Stage(stage) = &node.item {
                    titles.push(if routine {
                        format!("stage {} of {}", stage.title.text, loaded.tree.title.text)
                    } else {
                        format!("stage {}", stage.title.text)
                    });
                }
            }
        }
        let meant = suggest::did_you_mean(name, titles.iter().map(String::as_str)).map(str::to_owned);
        let finding = Diagnostic::error("unknown-name", step.head.span, format!("no routine is called '{name}'"));
        self.tell(match meant {
            Some(meant) => finding.label(format!("did you mean '{meant}'?")).help(format!("Write `follow {meant}`.")),
            None => finding.help("Name the file of the routine in the header: `uses: routines/….job`. The title is what stands after `routine: `."),
        });
    }

    #[allow(clippy::type_complexity)]
    fn arguments(
        &mut self,
        view: &View,
        target: &Target,
        step: &tree::Step,
    ) -> (BTreeMap<String, Argument>, Vec<(crate::procedure::SetId, Binding)>, Vec<(String, String)>) {
        let given = self.given.get(target.file).cloned().unwrap_or_default();
        let mut arguments = BTreeMap::new();
        let mut sets = view.sets.clone();
        let mut shown = Vec::new();
        for clause in &step.clauses {
            let whole = Word { text: self.sources.text(clause.span).trim().to_owned(), span: clause.span };
            let text = whole.text.strip_prefix("with ").unwrap_or(&whole.text).trim().to_owned();
            for part in self.argument_parts(&given, &text) {
                // Longest argument name first.
                let name =
                    given.keys().filter(|n| super::verbs::after_phrase(&part, n).is_some()).max_by_key(|n| n.len());
                if let Some(name) = name.cloned() {
                    let at = super::verbs::after_phrase(&part, &name).unwrap_or(0);
                    let value = part[at..].trim().to_owned();
                    let value = Word { span: part_span(&whole, &value), text: value };
                    let argument = self.argument_value(view, &name, &given[&name], &value);
                    shown.push((name.clone(), argument.text.clone()));
                    arguments.insert(name, argument);
                    continue;
                }
                if let Some((set, member)) = self.member_named(&part) {
                    shown.push((self.p[set].name.clone(), self.p[set].members[member as usize].clone()));
                    sets.push((set, Binding::Member(member)));
                    continue;
                }
                let names: Vec<String> = given.keys().cloned().collect();
                let meant = meant_argument(&part, &names, &arguments);
                let hint = meant.as_ref().map(|(name, _)| format!("Did you mean '{name}'?")).unwrap_or_default();
                let takes = if names.is_empty() {
                    "It takes none.".to_owned()
                } else {
                    format!("It takes: {}.", names.join(", "))
                };
                self.tell(
                    Diagnostic::error(
                        "unknown-name",
                        clause.span,
                        format!("'{}' takes no argument '{part}'", target.title),
                    )
                    .help(format!("{hint} {takes}").trim().to_owned()),
                );
                // A slip of the pen is read as what was meant, so that nothing is asked for again.
                if let Some((name, value)) = meant {
                    let value = Word { span: part_span(&whole, &value), text: value };
                    let argument = self.argument_value(view, &name, &given[&name], &value);
                    arguments.insert(name, argument);
                }
            }
        }
        for (name, wanted) in &given {
            if arguments.contains_key(name) {
                continue;
            }
            if let Some(default) = &wanted.default {
                let routine = View::new();
                let argument = self.argument_value(&routine, name, wanted, default);
                arguments.insert(name.clone(), argument);
                continue;
            }
            if self.uses_argument(target, name) {
                self.tell(
                    Diagnostic::error(
                        "argument-missing",
                        step.head.span,
                        format!("'{}' needs its argument '{name}'", target.title),
                    )
                    .label(format!("without '{name}'"))
                    .related(wanted.kind.span, "wanted here")
                    .help(format!("Add it: `, {name} …` ({}).", wanted.kind.text)),
                );
            }
            let stand_in = self.stand_in(name, wanted);
            arguments.insert(name.clone(), stand_in);
        }
        (arguments, sets, shown)
    }

    /// Whether the routine, or the stage of it that is followed, speaks of the argument at all.
    fn uses_argument(&self, target: &Target, name: &str) -> bool {
        let Some(stage) = target.stage else { return true };
        let tree = self.tree(target.file);
        let mut todo = vec![stage];
        while let Some(id) = todo.pop() {
            let node = tree.node(id);
            let text = fold_name(self.sources.text(node.span));
            let words = |c: char| !c.is_alphanumeric();
            let named = text.match_indices(name).any(|(at, _)| {
                text[..at].chars().next_back().is_none_or(words)
                    && text[at + name.len()..].chars().next().is_none_or(words)
            });
            if named {
                return true;
            }
            todo.extend(&node.children);
        }
        false
    }

    /// `oil hydraulic oil and amount 31 L` is two, where the second piece begins with an argument's name.
    fn argument_parts(&self, given: &BTreeMap<String, Given>, text: &str) -> Vec<String> {
        let mut parts: Vec<String> = Vec::new();
        for piece in text.split(" and ") {
            let begins = given.keys().any(|n| super::verbs::after_phrase(piece, n).is_some());
            match parts.last_mut() {
                Some(last) if !begins => {
                    last.push_str(" and ");
                    last.push_str(piece);
                }
                _ => parts.push(piece.to_owned()),
            }
        }
        parts
    }

    /// `side left`, or `left` alone.
    fn member_named(&self, text: &str) -> Option<(crate::procedure::SetId, u32)> {
        for (i, set) in self.p.sets.iter().enumerate() {
            let rest = super::verbs::after_phrase(text, &fold_name(&set.name)).map_or(text, |at| &text[at..]);
            if let Some(m) = set.members.iter().position(|m| fold_name(m) == fold_name(rest)) {
                return Some((crate::procedure::SetId(super::scope::index(i)), super::scope::index(m)));
            }
        }
        None
    }

    fn argument_value(&mut self, view: &View, name: &str, given: &Given, value: &Word) -> Argument {
        let text = value.text.trim().to_owned();
        // The caller's own argument goes through.
        let bare = text.trim_start_matches('{').trim_end_matches('}');
        if let Some(outer) = self.argument(view, bare) {
            return outer.clone();
        }
        let kind = fold_name(&given.kind.text);
        let quantity_kind = Kind::named(&kind);
        if let Some(wanted) = quantity_kind {
            let spec = match parse_spec(&text) {
                Ok(spec) if spec.kind() == wanted => Some(spec),
                // `20 turns` is a count as well as an angle.
                Ok(spec) if wanted == Kind::Count && spec.kind() == Kind::Angle => Some(spec),
                Ok(spec) => {
                    self.tell(
                        Diagnostic::error(
                            "unit-mismatch",
                            value.span,
                            format!(
                                "'{text}' is {}; argument '{name}' is {}",
                                spec.kind().with_article(),
                                wanted.with_article()
                            ),
                        )
                        .related(given.kind.span, "wanted here")
                        .help(format!(
                            "Write a {}: `{name} {}`.",
                            wanted.name(),
                            wanted.example()
                        )),
                    );
                    Some(spec)
                }
                Err(error) => {
                    if self.fact_named(&text).is_none() {
                        self.tell(
                            Diagnostic::error(suggest::rule_of(&error), value.span, error.to_string())
                                .related(given.kind.span, "wanted here")
                                .help(format!("Write `{name} {}`.", wanted.example())),
                        );
                    }
                    None
                }
            };
            return Argument { text, piece: None, spec };
        }
        let piece = self.piece(view, &text, value.span);
        if piece.is_none() && matches!(kind.as_str(), "part" | "fluid" | "fastener" | "thing") {
            self.unknown_thing(view, &text, value.span);
        }
        if let Some(Piece::Thing(thing)) = &piece {
            let is = self.p[thing.thing].kind;
            let wrong = match kind.as_str() {
                "fluid" => is != ThingKind::Fluid,
                "fastener" => is != ThingKind::Fastener && !self.p[thing.thing].is_fastener(),
                "part" => matches!(is, ThingKind::Fluid),
                _ => false,
            };
            if wrong {
                self.tell(
                    Diagnostic::error(
                        "unknown-name",
                        value.span,
                        format!("'{text}' is no {kind}; argument '{name}' wants one"),
                    )
                    .related(given.kind.span, "wanted here")
                    .help(format!("Name a {kind} that is declared.")),
                );
            }
        }
        let spec = if piece.is_none() { parse_spec(&text).ok() } else { None };
        Argument { text, piece, spec }
    }

    /// What an argument is when nobody gives it: a thing of its own name, or an example of its kind.
    pub(super) fn stand_in(&mut self, name: &str, given: &Given) -> Argument {
        if let Some(default) = &given.default {
            let view = View::new();
            return self.argument_value(&view, name, given, &default.clone());
        }
        let kind = fold_name(&given.kind.text);
        if let Some(kind) = Kind::named(&kind) {
            let spec = parse_spec(kind.example()).ok();
            return Argument { text: kind.example().to_owned(), piece: None, spec };
        }
        let thing_kind = match kind.as_str() {
            "fluid" => Some(ThingKind::Fluid),
            "fastener" | "fasteners" => Some(ThingKind::Fastener),
            "part" | "thing" | "end" => Some(ThingKind::Part),
            _ => None,
        };
        let piece = thing_kind.map(|kind| {
            let word = Word { text: name.to_owned(), span: given.kind.span };
            // It stands for itself in this routine only: no name that others could mean.
            let folded = fold_name(name);
            let before = self.scope.things.get(&folded).copied();
            let id = self.add_thing(&word, kind, true);
            match before {
                Some(before) => self.scope.things.insert(folded, before),
                None => self.scope.things.remove(&folded),
            };
            Piece::Thing(crate::procedure::ThingRef::whole(id, given.kind.span))
        });
        Argument { text: name.to_owned(), piece, spec: None }
    }
}

/// The argument that is still to be given whose name `part` begins with but for a slip, and the value behind it.
fn meant_argument(part: &str, names: &[String], known: &BTreeMap<String, Argument>) -> Option<(String, String)> {
    let open = || names.iter().filter(|n| !known.contains_key(*n)).map(String::as_str);
    let ends = part.match_indices(' ').map(|(at, _)| at);
    ends.into_iter().find_map(|at| {
        let meant = suggest::did_you_mean(&part[..at], open())?;
        Some((meant.to_owned(), part[at..].trim().to_owned()))
    })
}
