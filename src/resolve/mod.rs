//! Trees of a job and the files it uses → one [`Procedure`], names and units resolved, routines inlined.
//!
//! Nothing here stops at a fault: each is told once and the rest is resolved as well as it can be.

mod adapter;
mod body;
mod bundle;
mod clauses;
mod condition;
mod declare;
mod detail;
mod fastening;
mod follow;
mod formula;
mod measure;
pub(crate) mod objects;
mod passes;
mod prose;
mod reverse;
mod scope;
mod state;
mod step;
mod suggest;
pub(crate) use suggest::did_you_mean;
mod verbs;

use std::collections::{BTreeMap, HashMap, HashSet};

use crate::diagnostic::Diagnostic;
use crate::procedure::{Block, Procedure, ThingId, Verb};
use crate::source::{Sources, Span};
use crate::syntax::tree::FileKind;

pub use bundle::{Bundle, Loaded};
use scope::{Given, Scope};

/// What resolving needs at hand: the files, the procedure so far, the findings so far.
pub(crate) struct Resolver<'a> {
    bundle: &'a Bundle,
    sources: &'a Sources,
    p: Procedure,
    findings: Vec<Diagnostic>,
    scope: Scope,
    /// Arguments of each file's `given`, by folded name.
    given: Vec<BTreeMap<String, Given>>,
    /// What the verbs of this job are, longest first, folded.
    verbs: Vec<(String, Verb)>,
    /// Where each single-valued fact of a thing was first stated.
    stated: HashMap<(ThingId, &'static str), (String, Span)>,
    /// `reverse stage` lines, to be written out when the body is known.
    reverses: Vec<reverse::Request>,
    /// Steps written out so far.
    expanded: u64,
    /// Faults already told, so that a routine followed twice tells its own only once.
    told: HashSet<(&'static str, Span, String)>,
}

/// How many acts a job may have once routines are written out and loops worked; more is refused with a finding.
pub const MOST_STEPS: u32 = 20_000;

/// How often loops inside loops may go round in all.
pub const MOST_ROUNDS: u64 = 1_000;

/// Resolves the first file of `bundle` (a job; a routine or machine file is resolved for its own faults, and gives
/// a procedure whose body is not to be proved or printed).
#[must_use]
pub fn resolve(bundle: &Bundle, sources: &Sources) -> (Procedure, Vec<Diagnostic>) {
    let mut r = Resolver {
        bundle,
        sources,
        p: Procedure::default(),
        findings: Vec::new(),
        scope: Scope::default(),
        given: vec![BTreeMap::new(); bundle.files.len()],
        verbs: Vec::new(),
        stated: HashMap::new(),
        reverses: Vec::new(),
        expanded: 0,
        told: HashSet::new(),
    };
    r.declare_all();
    r.p.header = r.header(0);
    r.p.body = r.entry_body();
    r.reverse_all();
    r.check_words_states();
    let mut next = 0;
    number(&mut r.p.body, &mut next);
    r.p.step_count = next;
    let Resolver { p, findings, .. } = r;
    (p, findings)
}

impl Resolver<'_> {
    /// Adds a finding, unless the very same one has been told.
    fn tell(&mut self, finding: Diagnostic) {
        if self.told.insert((finding.rule, finding.span, finding.message.clone())) {
            self.findings.push(finding);
        }
    }

    fn entry_body(&mut self) -> Vec<Block> {
        match self.bundle.files.first().map(|f| f.tree.kind) {
            Some(FileKind::Job | FileKind::Unknown) => self.file_body(0),
            Some(FileKind::Routine) => self.routine_alone(0),
            _ => Vec::new(),
        }
    }
}

fn number(body: &mut [Block], next: &mut u32) {
    for block in body {
        match block {
            Block::Step(step) => {
                step.id = crate::procedure::StepId(*next);
                *next += 1;
            }
            Block::Stage(stage) => number(&mut stage.body, next),
            Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => number(body, next),
            Block::If { then, otherwise, .. } => {
                number(then, next);
                number(otherwise, next);
            }
            Block::Until { body, before_next, .. } => {
                number(body, next);
                number(before_next, next);
            }
            Block::Reverse(reversed) => number(&mut reversed.body, next),
        }
    }
}
