//! `reverse stage`: the refitting of a stage written out, last off first on (language 7.20).

mod plan;
mod write;

use crate::diagnostic::Diagnostic;
use crate::procedure::{Block, Prose, Reversed, Stage, ThingId, ThingRef};
use crate::source::Span;
use crate::syntax::fold_name;

use self::plan::{Plan, Progress, steps_between};
use super::Resolver;

/// A `reverse stage` line.
pub(super) struct Request {
    pub span: Span,
    /// Of the line's head.
    pub head: Span,
    pub prose: Option<Prose>,
    pub except: Vec<ThingRef>,
}

fn find_stage<'b>(body: &'b [Block], title: &str, before: Span, found: &mut Option<&'b Stage>) -> bool {
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
        if stage.is_none() {
            let mut titles = Vec::new();
            stage_titles(body, &mut titles);
            let meant = super::suggest::did_you_mean(&title, titles.iter().map(String::as_str));
            let hint = super::suggest::hint(&title, titles.iter().map(String::as_str));
            self.tell(
                Diagnostic::error(
                    "unknown-name",
                    request.head,
                    format!("no stage before this line is called '{title}'"),
                )
                .help(format!("{hint} Write the title of the stage as it stands after `stage: `.").trim().to_owned()),
            );
            // A slip of the pen is read as what was meant; else nobody knows what goes back here.
            match meant {
                Some(meant) => _ = find_stage(body, &fold_name(meant), request.span, &mut stage),
                None => self.p.doubtful.extend((0..self.p.things.len()).map(|i| ThingId(super::scope::index(i)))),
            }
        }
        let Some(stage) = stage else { return Vec::new() };
        let mut seen = Vec::new();
        steps_between(body, stage.span, request.span, &mut seen, &mut Progress::default());
        let plan = Plan::new(&self.p, &seen, &request.except);
        self.tell_stale_exceptions(&plan, &title, request);
        let mut out = self.reversed(&stage.body, request, &plan);
        // Loops and conditions that the stage stands in, and this line does not.
        let mut outside = Vec::new();
        enclosing(body, stage.span, request.span, &mut outside);
        for (block, first_branch) in outside.into_iter().rev() {
            let (then, otherwise) = if first_branch { (out, Vec::new()) } else { (Vec::new(), out) };
            out = write::around(block, then, otherwise, request).into_iter().collect();
        }
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

    /// An exception that the stage never took off says nothing: most often a name of another stage.
    fn tell_stale_exceptions(&mut self, plan: &Plan, title: &str, request: &Request) {
        for except in &request.except {
            if plan.takes_off(&self.p, except.thing) {
                continue;
            }
            let name = self.p[except.thing].name.clone();
            self.tell(
                Diagnostic::warning(
                    "never-touched",
                    except.span,
                    format!("{name} is excepted, but stage '{title}' does not take it off"),
                )
                .help(format!("Take {name} out of the exceptions, or name the thing that is meant.")),
            );
        }
    }
}

/// The blocks around the stage that are not around the reverse line, outermost first; of an `if`, whether it is the
/// first branch.
fn enclosing<'b>(body: &'b [Block], stage: Span, request: Span, path: &mut Vec<(&'b Block, bool)>) -> bool {
    for block in body {
        let inner: [(&[Block], bool); 2] = match block {
            Block::Stage(s) if s.span == stage => return true,
            Block::Stage(s) => [(&s.body, true), (&[], false)],
            Block::With { body, .. }
            | Block::ForEach { body, .. }
            | Block::Follow { body, .. }
            | Block::Until { body, .. } => [(body, true), (&[], false)],
            Block::If { then, otherwise, .. } => [(then, true), (otherwise, false)],
            Block::Step(_) | Block::Reverse(_) => continue,
        };
        for (body, first_branch) in inner {
            let at = path.len();
            if enclosing(body, stage, request, path) {
                let both = title_of(body, request).is_some();
                if !both && matches!(block, Block::With { .. } | Block::ForEach { .. } | Block::If { .. }) {
                    path.insert(at, (block, first_branch));
                }
                return true;
            }
        }
    }
    false
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
