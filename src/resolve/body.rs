//! Stages and blocks.

use crate::diagnostic::Diagnostic;
use crate::procedure::{Block, Condition, Reversed, Stage, StageWhen, Step, UntilThen};
use crate::source::Span;
use crate::syntax::tree::{self, Item, Node, NodeId, When, Word};

use super::objects::Piece;
use super::scope::{Binding, View};
use super::{MOST_ROUNDS, MOST_STEPS, Resolver};

impl Resolver<'_> {
    /// The body of a job.
    pub(super) fn file_body(&mut self, file: usize) -> Vec<Block> {
        let bundle = self.bundle;
        let Some(loaded) = bundle.files.get(file) else { return Vec::new() };
        let mut view = View::new();
        let body = self.blocks(&mut view, file, &loaded.tree.roots);
        in_order_of_work(body)
    }

    /// Nodes that stand side by side.
    pub(super) fn blocks(&mut self, view: &mut View, file: usize, ids: &[NodeId]) -> Vec<Block> {
        let mut out = Vec::new();
        if view.depth > 64 {
            return out;
        }
        view.depth += 1;
        let outer_ask = view.last_ask;
        let bundle = self.bundle;
        for id in ids {
            let node = bundle.files[file].tree.node(*id);
            match &node.item {
                Item::Stage(stage) => {
                    let body = self.blocks(view, file, &node.children);
                    out.push(Block::Stage(Stage {
                        title: stage.title.text.clone(),
                        when: when(&stage.when),
                        details: self.details(view, file, *id),
                        body,
                        span: node.span,
                    }));
                }
                Item::Step(step) => self.act(view, file, *id, step, &mut out),
                Item::Block(block) => self.block(view, file, *id, node, block, &mut out),
                _ => {}
            }
            if self.too_long(node.span) {
                break;
            }
        }
        view.last_ask = outer_ask;
        view.depth -= 1;
        out
    }

    /// How often a step here is worked: the members of all loops around it.
    pub(super) fn rounds(&self, view: &View) -> u64 {
        view.sets
            .iter()
            .filter(|(_, binding)| *binding == Binding::Loop)
            .fold(1, |n: u64, (set, _)| n.saturating_mul(self.p[*set].members.len().max(1) as u64))
    }

    fn too_long(&mut self, span: Span) -> bool {
        if self.expanded <= u64::from(MOST_STEPS) {
            return false;
        }
        self.tell(
            Diagnostic::error(
                "bad-syntax",
                span,
                format!("with its routines written out and its loops worked this job has more than {MOST_STEPS} acts"),
            )
            .help("Cut it into several jobs, or follow the routine fewer times."),
        );
        true
    }

    fn act(&mut self, view: &mut View, file: usize, id: NodeId, step: &tree::Step, out: &mut Vec<Block>) {
        let lower = crate::syntax::fold_name(&step.head.text);
        if lower == "follow" || lower.starts_with("follow ") {
            self.follow(view, file, id, step, out);
        } else if lower == "reverse" || lower.starts_with("reverse ") {
            self.reverse_request(view, file, id, step, out);
        } else if let Some(step) = self.step(view, file, id, step) {
            out.push(Block::Step(Box::new(step)));
        }
    }

    fn block(
        &mut self,
        view: &mut View,
        file: usize,
        id: NodeId,
        node: &Node,
        block: &tree::Block,
        out: &mut Vec<Block>,
    ) {
        let span = node.span;
        match block {
            tree::Block::With { condition } => {
                let text = condition.text.clone();
                let condition = self.condition(view, condition);
                let body = self.block_body(view, file, id, &node.children);
                out.push(Block::With { condition, text, body, span });
            }
            tree::Block::If { condition } => {
                let text = condition.text.clone();
                let condition = self.condition(view, condition);
                let then = self.block_body(view, file, id, &node.children);
                out.push(Block::If { condition, text, then, otherwise: Vec::new(), span, otherwise_span: None });
            }
            tree::Block::Otherwise => {
                let body = self.block_body(view, file, id, &node.children);
                match out.last_mut() {
                    Some(Block::If { otherwise, otherwise_span: otherwise_span @ None, .. }) => {
                        *otherwise = body;
                        *otherwise_span = Some(span);
                    }
                    Some(Block::With { condition, .. }) => {
                        let condition = condition.clone().negated();
                        out.push(Block::With { condition, text: "otherwise".to_owned(), body, span });
                    }
                    _ => self.tell(
                        Diagnostic::error("bad-syntax", span, "this `otherwise` has no `if` before it")
                            .help("It stands right after the steps of an `if`, as far in as the `if` itself."),
                    ),
                }
            }
            tree::Block::Until { condition, at_most, then, prose } => {
                let text = condition.text.clone();
                let condition = self.condition(view, condition);
                if at_most.is_none() {
                    self.tell(
                        Diagnostic::error("bad-syntax", span, "this `until` does not say how often to try")
                            .help(format!("Write `until {text}, at most 3 times, then stop`.")),
                    );
                }
                let then = self.until_then(view, then.as_ref(), prose.as_ref());
                let mut body = self.block_body(view, file, id, &node.children);
                let mut before_next = Vec::new();
                body.retain_mut(|b| match b {
                    Block::Follow { title, body, .. } if title.is_empty() => {
                        before_next.append(body);
                        false
                    }
                    _ => true,
                });
                out.push(Block::Until { condition, text, at_most: *at_most, then, body, before_next, span });
            }
            tree::Block::BeforeTheNextTry => {
                let under_until = node
                    .parent
                    .is_some_and(|p| matches!(self.tree(file).node(p).item, Item::Block(tree::Block::Until { .. })));
                if !under_until {
                    self.tell(
                        Diagnostic::error("bad-syntax", span, "`before the next try` stands only in an `until`")
                            .help("Put it at the end of the `until` block it belongs to."),
                    );
                }
                // Taken out again by the `until` around it: a follow without a title is the marker.
                let body = self.block_body(view, file, id, &node.children);
                if under_until {
                    out.push(Block::Follow { title: String::new(), arguments: Vec::new(), body, span });
                } else {
                    out.extend(body);
                }
            }
            tree::Block::ForEach { set, one_after_the_other } => {
                let Some(found) = self.set_named(&set.text) else {
                    self.unknown_set(set);
                    let body = self.block_body(view, file, id, &node.children);
                    out.extend(body);
                    return;
                };
                view.sets.push((found, Binding::Loop));
                let rounds = self.rounds(view);
                if rounds > MOST_ROUNDS {
                    self.tell(
                        Diagnostic::error(
                            "too-much-to-prove",
                            span,
                            format!(
                                "with the loops around it this one goes round {rounds} times; {MOST_ROUNDS} is the most"
                            ),
                        )
                        .help("Take a loop out: work one set inside another only where each pair is really worked."),
                    );
                    view.sets.pop();
                    return;
                }
                let body = self.block_body(view, file, id, &node.children);
                view.sets.pop();
                out.push(Block::ForEach { set: found, one_after_the_other: *one_after_the_other, body, span });
            }
        }
    }

    /// What stands in a block; details of the block itself go to its first step.
    fn block_body(&mut self, view: &mut View, file: usize, id: NodeId, children: &[NodeId]) -> Vec<Block> {
        let mut body = self.blocks(view, file, children);
        let details = self.details(view, file, id);
        if !details.is_empty() {
            if let Some(step) = first_step(&mut body) {
                step.details.splice(0..0, details);
            }
        }
        body
    }

    fn until_then(&mut self, view: &mut View, then: Option<&Word>, prose: Option<&Word>) -> UntilThen {
        let prose = prose.map(|p| self.prose(view, p));
        let Some(then) = then else { return UntilThen::Stop(prose) };
        let text = then.text.trim();
        let folded = crate::syntax::fold_name(text);
        if folded == "stop" {
            return UntilThen::Stop(prose);
        }
        if let Some(name) = text.strip_suffix(" bad") {
            if let Some(Piece::Thing(thing)) = self.piece(view, name, then.span) {
                return UntilThen::Bad(thing, prose);
            }
            self.unknown_thing(view, name, then.span);
        }
        UntilThen::Words(text.to_owned(), prose)
    }

    /// `reverse stage X`: written out at the end, when all of the body is known.
    fn reverse_request(&mut self, view: &mut View, file: usize, id: NodeId, step: &tree::Step, out: &mut Vec<Block>) {
        let text = step.head.text.trim();
        let title = super::verbs::after_phrase(text, "reverse stage").map(|at| text[at..].trim().to_owned());
        let Some(title) = title.filter(|t| !t.is_empty()) else {
            self.tell(
                Diagnostic::error("bad-syntax", step.head.span, "`reverse` what?")
                    .help("Write `reverse stage ` and the title of the stage: `reverse stage Drain and get access`."),
            );
            return;
        };
        let bundle = self.bundle;
        let span = bundle.files[file].tree.node(id).span;
        let mut except = Vec::new();
        for (_, node) in bundle.files[file].tree.children(id) {
            if let Item::Detail(detail) = &node.item {
                if detail.word == tree::DetailWord::Except {
                    if let Some(list) = detail.prose.as_ref().or(detail.value.as_ref()) {
                        for part in list.text.split(", ") {
                            let word = Word { text: part.to_owned(), span: super::objects::part_span(list, part) };
                            except.extend(self.thing_refs(view, &word));
                        }
                    }
                }
            }
        }
        let prose = step.prose.as_ref().map(|p| self.prose(view, p));
        self.reverses.push(super::reverse::Request { span, head: step.head.span, prose, except });
        out.push(Block::Reverse(Reversed { title, body: Vec::new(), span }));
    }

    /// A routine by itself: read with its arguments standing for themselves, for its own faults.
    pub(super) fn routine_alone(&mut self, file: usize) -> Vec<Block> {
        let bundle = self.bundle;
        let mut view = View::new();
        let given: Vec<(String, super::scope::Given)> =
            self.given.get(file).map(|g| g.iter().map(|(k, v)| (k.clone(), v.clone())).collect()).unwrap_or_default();
        for (name, given) in given {
            let argument = self.stand_in(&name, &given);
            view.arguments.insert(name, argument);
        }
        let Some(loaded) = bundle.files.get(file) else { return Vec::new() };
        self.blocks(&mut view, file, &loaded.tree.roots)
    }
}

/// The first step anywhere below.
pub(super) fn first_step(body: &mut [Block]) -> Option<&mut Step> {
    for block in body {
        let found = match block {
            Block::Step(step) => Some(&mut **step),
            Block::Stage(stage) => first_step(&mut stage.body),
            Block::With { body, .. }
            | Block::ForEach { body, .. }
            | Block::Follow { body, .. }
            | Block::Until { body, .. } => first_step(body),
            Block::If { then, .. } => first_step(then),
            Block::Reverse(_) => None,
        };
        if found.is_some() {
            return found;
        }
    }
    None
}

fn when(when: &When) -> StageWhen {
    match when {
        When::Now => StageWhen::Now,
        When::AtBench => StageWhen::AtBench,
        When::After(q) => StageWhen::After(q.clone()),
        When::Within(q) => StageWhen::Within(q.clone()),
        When::Before(word) => StageWhen::Before(word.text.clone()),
        When::Other(word) => StageWhen::Other(word.text.clone()),
    }
}

/// Puts stages `the day before` first and follow-ups last, those of routines followed inside a stage included,
/// each under the conditions and loops it stood in.
fn in_order_of_work(body: Vec<Block>) -> Vec<Block> {
    let (mut before, mut now, mut after) = (Vec::new(), Vec::new(), Vec::new());
    for block in body {
        let mut lifted = Vec::new();
        let block = lift(block, &mut lifted);
        for (early, stage) in lifted {
            if early { before.push(stage) } else { after.push(stage) }
        }
        if let Some(block) = block {
            now.push(block);
        }
    }
    before.extend(now);
    before.extend(after);
    before
}

/// Takes the early and late stages out of `block`; gives what is left.
fn lift(block: Block, lifted: &mut Vec<(bool, Block)>) -> Option<Block> {
    let inside = |body: Vec<Block>, lifted: &mut Vec<(bool, Block)>| -> Vec<Block> {
        body.into_iter().filter_map(|b| lift(b, lifted)).collect()
    };
    match block {
        Block::Stage(stage) if matches!(stage.when, StageWhen::Before(_)) => {
            lifted.push((true, Block::Stage(stage)));
            None
        }
        Block::Stage(stage) if stage.when.is_follow_up() => {
            lifted.push((false, Block::Stage(stage)));
            None
        }
        Block::Stage(mut stage) => {
            stage.body = inside(stage.body, lifted);
            Some(Block::Stage(stage))
        }
        Block::With { condition, text, body, span } => {
            let mut own = Vec::new();
            let was_empty = body.is_empty();
            let body = inside(body, &mut own);
            lifted.extend(own.into_iter().map(|(early, stage)| {
                let body = vec![stage];
                (early, Block::With { condition: condition.clone(), text: text.clone(), body, span })
            }));
            (was_empty || !body.is_empty()).then_some(Block::With { condition, text, body, span })
        }
        Block::If { condition, text, then, otherwise, span, otherwise_span } => {
            let (mut own, mut other) = (Vec::new(), Vec::new());
            let then = inside(then, &mut own);
            let otherwise = inside(otherwise, &mut other);
            let wrap = |condition: Condition, text: String, stage: Block| Block::If {
                condition,
                text,
                then: vec![stage],
                otherwise: Vec::new(),
                span,
                otherwise_span: None,
            };
            lifted.extend(own.into_iter().map(|(e, s)| (e, wrap(condition.clone(), text.clone(), s))));
            lifted.extend(
                other.into_iter().map(|(e, s)| (e, wrap(condition.clone().negated(), format!("not {text}"), s))),
            );
            Some(Block::If { condition, text, then, otherwise, span, otherwise_span })
        }
        Block::ForEach { set, one_after_the_other, body, span } => {
            let mut own = Vec::new();
            let was_empty = body.is_empty();
            let body = inside(body, &mut own);
            lifted.extend(own.into_iter().map(|(early, stage)| {
                (early, Block::ForEach { set, one_after_the_other: false, body: vec![stage], span })
            }));
            (was_empty || !body.is_empty()).then_some(Block::ForEach { set, one_after_the_other, body, span })
        }
        Block::Follow { title, arguments, body, span } => {
            let body = inside(body, lifted);
            Some(Block::Follow { title, arguments, body, span })
        }
        Block::Until { condition, text, at_most, then, body, before_next, span } => {
            let body = inside(body, lifted);
            Some(Block::Until { condition, text, at_most, then, body, before_next, span })
        }
        other @ (Block::Step(_) | Block::Reverse(_)) => Some(other),
    }
}
