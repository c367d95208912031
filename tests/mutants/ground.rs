//! The correct jobs, read once: texts, trees, the resolved job, and what each step stands in.

use std::fs;
use std::path::Path;

use cotter::analysis::{LoadError, analyse};
use cotter::check::check;
use cotter::diagnostic::{Diagnostic, Severity};
use cotter::procedure::{Block, Procedure, Step, Thing, ThingId};
use cotter::proof::prove;
use cotter::resolve::{Bundle, Loaded, resolve};
use cotter::source::{FileId, Source, Sources, Span};
use cotter::syntax::parse;
use cotter::syntax::tree::{Header, Item, Node, NodeId, Tree};

/// A correct job with all files that it uses; file 0 is the job itself.
pub struct Job {
    /// Folder, from the root of the project.
    pub root: &'static str,
    pub names: Vec<String>,
    pub texts: Vec<String>,
    pub trees: Vec<Tree>,
    pub procedure: Procedure,
    bundle: Bundle,
}

/// A finding that is an error or a warning.
pub struct Told {
    pub rule: &'static str,
    pub file: usize,
    pub line: usize,
    pub message: String,
    pub way: Vec<(String, String)>,
}

/// What a step stands in, from the outside in.
#[derive(Clone)]
pub enum Within<'a> {
    Stage,
    With,
    If(&'a cotter::procedure::Condition),
    Until,
    BeforeNext,
    ForEach,
    Follow,
    Reverse,
}

/// A step in its place.
pub struct Seen<'a> {
    pub step: &'a Step,
    pub within: Vec<Within<'a>>,
}

impl Job {
    /// The correct jobs of a folder, in the order of their names.
    pub fn all_of(root: &'static str) -> Vec<Self> {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(root);
        let mut names: Vec<String> = fs::read_dir(&folder)
            .expect("a folder of jobs")
            .map(|e| e.expect("an entry").file_name().into_string().expect("a plain name"))
            .filter(|n| n.ends_with(".job"))
            .collect();
        names.sort();
        assert!(names.len() > 10, "the jobs of {root} were not found");
        names.iter().map(|name| Self::read(root, &folder, name)).collect()
    }

    fn read(root: &'static str, folder: &Path, name: &str) -> Self {
        let load = |n: &str| fs::read_to_string(folder.join(n)).map_err(|_| LoadError::Missing);
        let whole = analyse(name, &mut |n| load(n));
        let faults: Vec<_> =
            whole.diagnostics.iter().filter(|d| d.severity != Severity::Advice).map(|d| &d.message).collect();
        assert!(faults.is_empty(), "{root}/{name} is no correct job: {faults:#?}");
        let names: Vec<String> = whole.sources.iter().map(|(_, s)| s.name().to_owned()).collect();
        let texts: Vec<String> = whole.sources.iter().map(|(_, s)| s.text().to_owned()).collect();
        let trees: Vec<Tree> = whole.sources.iter().map(|(id, s)| parse(id, s).0).collect();
        let files = trees.iter().enumerate().map(|(i, tree)| Loaded {
            path: names[i].clone(),
            tree: tree.clone(),
            uses: used(&names[i], tree, &names),
        });
        let bundle = Bundle { files: files.collect() };
        let (procedure, _) = resolve(&bundle, &whole.sources);
        Self { root, names, texts, trees, procedure, bundle }
    }

    /// Errors and warnings of the job with the text of one file changed. The other files are not read again.
    pub fn judged(&self, file: usize, text: &str) -> Vec<Told> {
        let mut sources = Sources::default();
        for (i, name) in self.names.iter().enumerate() {
            sources.add(Source::new(name.as_str(), if i == file { text } else { &self.texts[i] }));
        }
        let id = FileId(u32::try_from(file).expect("few files"));
        let (tree, mut findings) = parse(id, sources.get(id).expect("was just added"));
        let mut bundle = self.bundle.clone();
        bundle.files[file].uses = used(&self.names[file], &tree, &self.names);
        bundle.files[file].tree = tree;
        if bundle.files[file].uses.len() != self.bundle.files[file].uses.len() {
            return self.read_anew(file, text);
        }
        let (procedure, resolved) = resolve(&bundle, &sources);
        findings.extend(resolved);
        let proof = prove(&procedure);
        let (all, _) = check(procedure, proof, findings, &sources);
        all.into_iter().filter(|d| d.severity != Severity::Advice).map(|d| told(&sources, d)).collect()
    }

    /// The same where another set of files is read.
    fn read_anew(&self, file: usize, text: &str) -> Vec<Told> {
        let whole = analyse(&self.names[0], &mut |name| {
            let found = self.names.iter().position(|n| n == name).ok_or(LoadError::Missing)?;
            Ok(if found == file { text.to_owned() } else { self.texts[found].clone() })
        });
        let faults = whole.diagnostics.into_iter().filter(|d| d.severity != Severity::Advice);
        faults.map(|d| told(&whole.sources, d)).collect()
    }

    /// Every step that is worked, with what it stands in. A routine followed twice is seen twice.
    pub fn steps(&self) -> Vec<Seen<'_>> {
        let mut out = Vec::new();
        let mut walk = Walk { within: Vec::new(), out: &mut out };
        walk.all(&self.procedure.body);
        out
    }

    pub fn thing(&self, id: ThingId) -> &Thing {
        &self.procedure[id]
    }

    /// The node of a line, by where it begins.
    pub fn node_at(&self, span: Span) -> Option<(usize, NodeId)> {
        let file = span.file.0 as usize;
        let at = self.trees[file].nodes.iter().position(|n| {
            n.span.start == span.start && matches!(n.item, Item::Step(_) | Item::Block(_) | Item::Entry(_))
        })?;
        Some((file, NodeId(u32::try_from(at).ok()?)))
    }

    pub fn node(&self, file: usize, id: NodeId) -> &Node {
        &self.trees[file].nodes[id.0 as usize]
    }

    pub fn line(&self, file: usize, byte: u32) -> usize {
        self.texts[file][..byte as usize].matches('\n').count() + 1
    }

    /// The whole lines of a node and of all that stands under it.
    pub fn extent(&self, file: usize, id: NodeId) -> std::ops::Range<usize> {
        let text = &self.texts[file];
        let start = text[..self.node(file, id).span.start as usize].rfind('\n').map_or(0, |n| n + 1);
        let mut last = self.node(file, id).span.end;
        let mut todo = self.node(file, id).children.clone();
        while let Some(child) = todo.pop() {
            let node = self.node(file, child);
            last = last.max(node.span.end);
            todo.extend(&node.children);
        }
        let end = text[last as usize..].find('\n').map_or(text.len(), |n| last as usize + n + 1);
        start..end
    }

    /// Steps and blocks beside a node, itself included, in order; nothing at the margin.
    pub fn siblings(&self, file: usize, id: NodeId) -> Vec<NodeId> {
        let Some(parent) = self.node(file, id).parent else { return Vec::new() };
        let is_work = |c: &&NodeId| matches!(self.node(file, **c).item, Item::Step(_) | Item::Block(_));
        self.node(file, parent).children.iter().filter(is_work).copied().collect()
    }

    pub fn text_of(&self, span: Span) -> &str {
        &self.texts[span.file.0 as usize][span.range()]
    }
}

fn told(sources: &Sources, d: Diagnostic) -> Told {
    let line = sources.get(d.span.file).map_or(0, |s| s.line_column(d.span.start).0);
    Told { rule: d.rule, file: d.span.file.0 as usize, line, message: d.message, way: d.way }
}

/// `uses` of a file, as the reader of files makes them.
fn used(from: &str, tree: &Tree, names: &[String]) -> Vec<(Span, usize)> {
    let folder = from.rsplit_once('/').map_or("", |(f, _)| f);
    let fields = tree.roots.iter().filter_map(|root| match &tree.nodes[root.0 as usize].item {
        Item::Header { field: Header::Uses, value } => Some(value),
        _ => None,
    });
    fields
        .filter_map(|value| {
            let mut parts: Vec<&str> = folder.split('/').filter(|p| !p.is_empty()).collect();
            for part in value.text.split('/') {
                if part == ".." {
                    parts.pop();
                } else {
                    parts.push(part);
                }
            }
            let name = parts.join("/");
            names.iter().position(|n| *n == name).map(|i| (value.span, i))
        })
        .collect()
}

struct Walk<'a, 'b> {
    within: Vec<Within<'a>>,
    out: &'b mut Vec<Seen<'a>>,
}

impl<'a> Walk<'a, '_> {
    fn inside(&mut self, what: Within<'a>, body: &'a [Block]) {
        self.within.push(what);
        self.all(body);
        self.within.pop();
    }

    fn all(&mut self, body: &'a [Block]) {
        for block in body {
            match block {
                Block::Step(step) => self.out.push(Seen { step, within: self.within.clone() }),
                Block::Stage(stage) => {
                    self.inside(Within::Stage, &stage.body);
                }
                Block::With { body, .. } => self.inside(Within::With, body),
                Block::If { condition, then, otherwise, .. } => {
                    self.inside(Within::If(condition), then);
                    self.inside(Within::If(condition), otherwise);
                }
                Block::Until { body, before_next, .. } => {
                    self.inside(Within::Until, body);
                    self.inside(Within::BeforeNext, before_next);
                }
                Block::ForEach { body, .. } => self.inside(Within::ForEach, body),
                Block::Follow { body, .. } => self.inside(Within::Follow, body),
                Block::Reverse(r) => self.inside(Within::Reverse, &r.body),
            }
        }
    }
}
