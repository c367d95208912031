//! Branches, loops, routines: negated, dropped, one step too far left or right.

use cotter::procedure::{Condition, Found, ThingId, Verb};
use cotter::syntax::tree::{Block, Item, NodeId, Step};

use crate::bench::{Bench, Mutant, changes, puts};
use crate::ground::Within;
use crate::steps::LEFT;

/// What a branch on the wrong side leads to: things left, or acted on in the wrong state, or in the wrong order.
fn wrong_side() -> Vec<&'static str> {
    let mut all = LEFT.to_vec();
    all.extend([
        "already-off",
        "not-off-yet",
        "torqued-again",
        "torqued-too-early",
        "still-held",
        "out-of-reach",
        "not-ready",
        "old-part-refitted",
        "opened-full",
        "opened-hot",
        "filled-open",
        "run-unready",
        "live-work",
        "unsupported",
        "set-incomplete",
        "answer-unhandled",
        "volume-mismatch",
    ]);
    all
}

pub fn all(b: &Bench<'_>, out: &mut Vec<Mutant>) {
    for file in 0..b.job.trees.len() {
        for (node, item) in b.nodes(file) {
            match item {
                Item::Block(block) => of_block(b, file, node, block, out),
                Item::Step(step) => called(b, file, node, step, out),
                _ => {}
            }
        }
    }
    for (file, node, at) in b.lines.clone() {
        shifted(b, (file, node), at, out);
    }
}

fn of_block(b: &Bench<'_>, file: usize, node: NodeId, block: &Block, out: &mut Vec<Mutant>) {
    let place = (file, node);
    let extent = b.job.extent(file, node);
    let steps = b.steps_between(file, &extent);
    if steps.is_empty() {
        return;
    }
    let stops = steps.iter().any(|i| b.step(*i).verb == Verb::Stop);
    let unbalanced = b.unbalanced(&steps) && !stops && !mirrored(b, &steps);
    let after = beside(b, file, node);
    let followed = after.is_some_and(|n| matches!(b.job.node(file, n).item, Item::Block(Block::Otherwise)));
    match block {
        Block::With { condition } | Block::If { condition } => {
            if let Some(wrong) = crate::bench::misspelt(&condition.text) {
                let honest = &["unknown-name", "not-ready", "bad-syntax"];
                let span = condition.span;
                out.push(b.spoil("a condition misspelt", place, &wrong.clone(), honest, b.instead(span, wrong)));
            }
            let is_if = matches!(block, Block::If { .. });
            if unbalanced && (!followed || negation_is_wrong(b, &steps)) && negatable(&condition.text) {
                let by = negated(&condition.text);
                let operator = if is_if { "an if turned round" } else { "a with turned round" };
                let span = condition.span;
                out.push(b.spoil(operator, place, &by.clone(), &wrong_side(), b.instead(span, by)));
            }
            if unbalanced && !followed {
                let operator = if is_if { "an if branch dropped" } else { "a with block dropped" };
                out.push(b.spoil(operator, place, "", &wrong_side(), b.without(file, node)));
            }
            if is_if && one_answer_of_many(b, &steps, followed) {
                out.push(b.spoil(
                    "a branch of an ask dropped",
                    place,
                    "",
                    &["answer-unhandled"],
                    b.without(file, node),
                ));
            }
        }
        Block::Otherwise => {
            if unbalanced {
                out.push(b.spoil("an otherwise dropped", place, "", &wrong_side(), vec![(extent, String::new())]));
            }
        }
        Block::ForEach { set, .. } => {
            let members =
                b.job.procedure.sets.iter().find(|s| s.name.eq_ignore_ascii_case(&set.text)).map(|s| &s.members);
            let Some(first) = members.filter(|m| m.len() > 1).map(|m| &m[0]) else { return };
            let as_a_set = steps.iter().any(|i| {
                matches!(b.step(*i).verb, Verb::Fit | Verb::Place | Verb::Renew)
                    && b.step(*i).things().any(|t| b.facts(t.thing).as_a_set && b.facts(t.thing).new)
            });
            // What a `reverse stage` in it puts back is not written.
            let reverses = b.job.texts[file][extent.clone()].contains("reverse stage");
            if b.unbalanced(&steps) && !reverses || as_a_set {
                let span = b.job.node(file, node).span;
                let by = format!("with {} {first}", set.text);
                out.push(b.spoil(
                    "a loop over one member only",
                    place,
                    &by.clone(),
                    &wrong_side(),
                    b.instead(span, by),
                ));
            }
        }
        Block::Until { at_most: Some(n), .. } => {
            let span = b.job.node(file, node).span;
            let text = b.job.text_of(span);
            let words = format!(", at most {n} times");
            if let Some(at) = text.find(&words) {
                let cut = span.part(at..at + words.len());
                out.push(b.spoil("at most dropped", place, "no at most", &["bad-syntax"], b.instead(cut, "")));
            }
        }
        Block::BeforeTheNextTry => {
            // What the next round tightens, puts on or takes off again must first be undone.
            if b.unbalanced(&steps) {
                let honest = &["torqued-again", "not-off-yet", "already-off", "old-part-refitted", "left-loose"];
                out.push(b.spoil("before the next try dropped", place, "", honest, vec![(extent, String::new())]));
            }
        }
        _ => {}
    }
}

/// What a block does is undone by a `reverse stage` alone, which follows it whichever way it is turned.
fn mirrored(b: &Bench<'_>, steps: &[usize]) -> bool {
    let mut things = steps.iter().flat_map(|i| b.step(*i).things()).map(|t| t.thing);
    things.all(|t| b.steps_on(t).all(|i| steps.contains(&i) || b.step(i).generated || !changes(b.step(i).verb)))
}

/// The node right after one, in its block or at the margin.
fn beside(b: &Bench<'_>, file: usize, node: NodeId) -> Option<NodeId> {
    let siblings = b.job.siblings(file, node);
    let at = siblings.iter().position(|n| *n == node);
    let roots = &b.job.trees[file].roots;
    match at {
        Some(at) => siblings.get(at + 1).copied(),
        None => roots.get(roots.iter().position(|n| *n == node)? + 1).copied(),
    }
}

/// With an `otherwise`, turning round is wrong for certain only where a thing `new if bad` then goes the wrong way.
fn negation_is_wrong(b: &Bench<'_>, steps: &[usize]) -> bool {
    steps.iter().any(|i| {
        let bad = |t: ThingId| {
            b.steps[*i].within.iter().any(|w| matches!(w, Within::If(Condition::Found(Found::Bad(r))) if r.thing == t))
        };
        b.step(*i).verb == Verb::Fit && b.step(*i).things().any(|t| b.facts(t.thing).new_if_bad && bad(t.thing))
    })
}

fn negatable(condition: &str) -> bool {
    !condition.contains(" and ") && !condition.contains(" or ")
}

fn negated(condition: &str) -> String {
    condition.strip_prefix("not ").map_or_else(|| format!("not {condition}"), str::to_owned)
}

/// An `if` on one answer of a question that names its answers, with no `otherwise`.
fn one_answer_of_many(b: &Bench<'_>, steps: &[usize], followed: bool) -> bool {
    let Some(first) = steps.first() else { return false };
    let innermost = b.steps[*first].within.iter().rev().find_map(|w| match w {
        Within::If(c) => Some(*c),
        _ => None,
    });
    let Some(Condition::Found(Found::Answer(ask, _))) = innermost else { return false };
    let answers = &b.job.procedure.asks[ask.index()].answers;
    !followed && answers.len() > 1 && !answers.iter().any(|a| a == "yes" || a.starts_with("not "))
}

/// `follow` and `reverse stage` dropped, and their clauses.
fn called(b: &Bench<'_>, file: usize, node: NodeId, step: &Step, out: &mut Vec<Mutant>) {
    let head = step.head.text.to_lowercase();
    let reverse = head.starts_with("reverse stage");
    if !reverse && !head.starts_with("follow ") {
        return;
    }
    let place = (file, node);
    let Some(steps) = written_out(b, step.head.span) else { return };
    if b.unbalanced(&steps) {
        let operator = if reverse { "reverse stage dropped" } else { "a follow dropped" };
        let edits = if b.job.node(file, node).parent.is_some() {
            b.without(file, node)
        } else {
            vec![(b.job.extent(file, node), String::new())]
        };
        out.push(b.spoil(operator, place, "", &wrong_side(), edits));
    }
    let title = step.head.span;
    if let Some(wrong) = crate::bench::misspelt(&step.head.text) {
        out.push(b.spoil(
            "a routine misspelt",
            place,
            &wrong.clone(),
            &["unknown-name", "unknown-act", "bad-syntax"],
            b.instead(title, wrong),
        ));
    }
    if !reverse {
        for clause in &step.clauses {
            if let cotter::syntax::tree::StepClauseKind::With(words) = &clause.kind {
                let member = b.job.procedure.sets.iter().any(|s| words.text.starts_with(&s.name));
                // Half a routine asks for what that half speaks of.
                let name = words.text.split(' ').next().unwrap_or_default();
                let spoken = steps.iter().any(|i| b.job.text_of(b.step(*i).span).contains(name));
                if !member && spoken {
                    let cut = b.without_clause(file, clause.span);
                    out.push(b.spoil("an argument dropped", place, "no argument", &["argument-missing"], cut));
                }
            }
        }
    }
}

/// The steps that a call is written out to, the first time it is worked.
fn written_out(b: &Bench<'_>, head: cotter::source::Span) -> Option<Vec<usize>> {
    use cotter::procedure::Block as B;
    fn find(body: &[B], at: cotter::source::Span) -> Option<&[B]> {
        body.iter().find_map(|block| match block {
            B::Follow { span, body, .. } if span.file == at.file && span.start == at.start => Some(&body[..]),
            B::Reverse(r) if r.span.file == at.file && r.span.start == at.start => Some(&r.body[..]),
            B::Follow { body, .. } | B::With { body, .. } | B::ForEach { body, .. } => find(body, at),
            B::Stage(s) => find(&s.body, at),
            B::Reverse(r) => find(&r.body, at),
            B::If { then, otherwise, .. } => find(then, at).or_else(|| find(otherwise, at)),
            B::Until { body, before_next, .. } => find(body, at).or_else(|| find(before_next, at)),
            B::Step(_) => None,
        })
    }
    let body = find(&b.job.procedure.body, head)?;
    let mut ids = Vec::new();
    cotter::procedure::steps_of(body, &mut |s| ids.push(s.id));
    Some((0..b.steps.len()).filter(|i| ids.contains(&b.step(*i).id)).collect())
}

/// The last step of a `with` or `if` written one level too far left: a fault where it changes the state of a thing that is there
/// without the condition too, and that is not away without it. And a put-back after a block written into it.
fn shifted(b: &Bench<'_>, place: (usize, NodeId), at: usize, out: &mut Vec<Mutant>) {
    let (file, node) = place;
    let step = b.step(at);
    if !changes(step.verb) {
        return;
    }
    let siblings = b.job.siblings(file, node);
    let Some(i) = siblings.iter().position(|n| *n == node) else { return };
    let extent = b.job.extent(file, node);
    let text = &b.job.texts[file][extent.clone()];
    let parent = b.job.node(file, node).parent;
    let parent_item = parent.map(|p| &b.job.node(file, p).item);
    let last = i + 1 == siblings.len() && siblings.len() > 1;
    if let (Some(Item::Block(Block::With { .. } | Block::If { .. })), Some(parent), true) = (parent_item, parent, last)
    {
        let after = beside(b, file, parent);
        let followed = after.is_some_and(|n| matches!(b.job.node(file, n).item, Item::Block(Block::Otherwise)));
        let nested = b.job.node(file, parent).parent.is_some();
        // Its thing went away in this very block, and is there in every variant.
        let block = b.steps_between(file, &b.job.extent(file, parent));
        let went_here = step.things().all(|t| {
            let always = matches!(b.job.thing(t.thing).exists, Condition::Always);
            let acts: Vec<usize> = b.steps_on(t.thing).filter(|i| *i < at && changes(b.step(*i).verb)).collect();
            always && !acts.is_empty() && acts.iter().all(|i| block.contains(i))
        });
        let some = step.things().next().is_some();
        let repeatable = matches!(step.verb, Verb::Bleed | Verb::TopUp);
        if !followed && nested && went_here && some && !repeatable {
            let by: String = text.split_inclusive('\n').map(|l| l.strip_prefix("  ").unwrap_or(l)).collect();
            let honest = wrong_side();
            out.push(b.spoil("a step left of its block", place, "one level left", &honest, vec![(extent.clone(), by)]));
        }
    }
    if i > 0 && puts(step.verb) && !matches!(step.verb, Verb::Bleed) {
        let above = siblings[i - 1];
        let Item::Block(Block::With { .. } | Block::If { .. }) = b.job.node(file, above).item else { return };
        let block = b.steps_between(file, &b.job.extent(file, above));
        // It is away on the ways around the block too.
        let away_outside = step.things().any(|t| {
            b.steps_on(t.thing).any(|i| {
                i < at
                    && changes(b.step(i).verb)
                    && !block.contains(&i)
                    && b.steps[i].within.len() <= b.steps[at].within.len()
            })
        });
        let soft = step.clauses.by_hand || matches!(step.verb, Verb::Start | Verb::Place | Verb::TakeOut);
        if away_outside && !soft {
            let by: String = text.split_inclusive('\n').map(|l| format!("  {l}")).collect();
            out.push(b.spoil(
                "a step right into the block above",
                place,
                "one level right",
                &wrong_side(),
                vec![(extent, by)],
            ));
        }
    }
}
