//! What a line is follows from where it stands: the walk over the lines, from the margin inwards.

use std::borrow::Cow;

use super::findings::Findings;
use super::lines::Raw;
use super::outline::{Outline, Stands};
use super::piece::{Piece, colon};
use super::tree::{Block, DetailWord, FileKind, Item, Node, NodeId, Prose, Section, Tree, Word};
use super::{MAX_DEPTH, MAX_LINE_BYTES, detail, margin, step, tidy, under};
use crate::source::Span;

/// What the lines of a depth can be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// At the margin: header fields, sections, stages, blocks.
    File,
    /// In a block at the margin: stages and blocks.
    MarginBlock,
    /// In a section: entries.
    Section(Section),
    /// Under an entry: details and `with`.
    Entry(Section),
    /// Under the `with` of an entry: clauses and details.
    Variant(Section),
    /// In a stage, or in a block of a stage: details, then steps and blocks.
    Steps,
    /// Under a step: details.
    Step,
    /// Under a line that holds nothing but more text.
    Text,
    /// Under a line that could not be read: whatever the line looks like.
    Lost,
}

/// What the lines of one depth stand under, and what came before at this depth.
#[derive(Clone, Copy)]
pub(super) struct Holder {
    pub(super) node: Option<NodeId>,
    pub(super) place: Place,
    /// The latest line at this depth, and what may stand under it.
    pub(super) last: Option<(NodeId, Place)>,
    /// A step or block has been seen at this depth.
    pub(super) stepped: bool,
    /// A line that stands wrong here has been told; the next ones are read in silence.
    pub(super) told: bool,
}

impl Holder {
    pub(super) fn new(node: Option<NodeId>, place: Place) -> Self {
        Self { node, place, last: None, stepped: false, told: false }
    }
}

/// A line with its continuation lines, and where its text after `: ` is prose.
pub(super) struct Logical<'t> {
    /// All of the structured text; where there is prose, up to its colon.
    pub(super) whole: Piece<'t>,
    /// Up to the first `: `.
    pub(super) head: Piece<'t>,
    /// After the first `: `.
    pub(super) after: Option<Piece<'t>>,
    /// The `|` lines, without the bar.
    pub(super) more: Vec<Piece<'t>>,
    pub(super) span: Span,
}

impl Logical<'_> {
    /// The text after `: ` and the `|` lines, joined by one space.
    pub(super) fn prose(&self) -> Option<Prose> {
        join(self.after, &self.more)
    }

    /// The bare line: no text after a colon, no `|` lines.
    pub(super) fn is_bare(&self) -> bool {
        self.after.is_none_or(Piece::is_empty) && self.more.is_empty()
    }
}

/// Pieces of prose joined by one space; `None` where there are none.
pub(super) fn join(first: Option<Piece<'_>>, more: &[Piece<'_>]) -> Option<Prose> {
    let mut pieces = first.into_iter().chain(more.iter().copied()).filter(|p| !p.is_empty());
    let first = pieces.next()?;
    let mut prose = Word { text: first.text.to_owned(), span: first.span() };
    for piece in pieces {
        prose.text.push(' ');
        prose.text.push_str(piece.text);
        prose.span = prose.span.to(piece.span());
    }
    Some(prose)
}

/// The state of the walk.
pub(super) struct Walk<'a> {
    pub(super) tree: &'a mut Tree,
    pub(super) findings: &'a mut Findings,
    pub(super) outline: Outline<Holder>,
    /// The first line has been read, or told to be missing.
    pub(super) begun: bool,
    /// A section, stage or block has been seen at the margin: header fields are over.
    pub(super) body: bool,
    /// The latest stage, for steps that lost their indentation.
    pub(super) stage: Option<NodeId>,
    /// A stage or a `follow` has been seen.
    works: bool,
    /// Depth beyond [`MAX_DEPTH`] has been told.
    too_deep: bool,
    /// The indentation of this line has been told, so where it stands is no further finding.
    quiet: bool,
}

/// Reads all lines into `tree`.
pub(super) fn read(raw: &[Raw], text: &str, tree: &mut Tree, findings: &mut Findings) {
    let margin = raw.iter().find(|l| !l.blank).map_or(0, |l| l.width);
    let mut walk = Walk {
        tree,
        findings,
        outline: Outline::new(margin, Holder::new(None, Place::File)),
        begun: false,
        body: false,
        stage: None,
        works: false,
        too_deep: false,
        quiet: false,
    };
    let mut i = 0;
    while i < raw.len() {
        i = if raw[i].blank { i + 1 } else { walk.line(raw, text, i) };
    }
    walk.end(text);
}

impl Walk<'_> {
    /// Reads the line `i` and those that go on with it; the index of the next line.
    fn line(&mut self, raw: &[Raw], text: &str, i: usize) -> usize {
        let line = &raw[i];
        let file = self.tree.file;
        let place = self.find_place(line);
        let body = &text[line.body..line.body_end];
        if body.len() > MAX_LINE_BYTES {
            let span = Span::new(file, line.body, line.body + 40);
            let help = format!("a line may hold up to {MAX_LINE_BYTES} bytes; is this a job file?");
            self.findings.bad(span, format!("the line is too long: {} bytes", body.len()), help);
            self.push(raw, i..i + 1, Item::Unknown, Place::Lost);
            return i + 1;
        }
        let mark = tidy::list_mark(body, line.body, self.findings);
        let is_prose = after_colon_is_prose(place, &body[mark..]);
        let (next, joined, pipes) = gather(raw, text, i, is_prose);
        let structured = if is_prose { colon(&joined).unwrap_or(joined.len()) } else { joined.len() };
        let joined = tidy::decimal_commas(joined, structured, line.body, self.findings);
        let all = Piece { text: &joined, at: line.body, file };
        let all = all.from(mark);
        let structured = structured.saturating_sub(mark);
        let (head, after) = all.split_colon();
        let more: Vec<Piece<'_>> = pipes
            .iter()
            .map(|p| {
                let from = raw[*p].body + 1;
                Piece { text: &text[from..raw[*p].body_end.max(from)], at: from, file }.trim()
            })
            .collect();
        let end = raw[next - 1].body_end.max(line.body_end);
        let whole = if is_prose { all.sub(0, structured) } else { all };
        let logical = Logical { whole, head, after, more, span: Span::new(file, line.body, end) };
        tidy::braces(&logical, self.findings);
        let (item, under) = self.item(place, &logical);
        self.push(raw, i..next, item, under);
        next
    }

    /// Opens and closes depths for this line; what it may be.
    fn find_place(&mut self, line: &Raw) -> Place {
        self.quiet = line.tabbed;
        match self.outline.step_to(line.width) {
            Stands::Beside => {}
            Stands::Deeper => {
                let top = &self.outline.top().holder;
                let holder = match top.last {
                    Some((node, under)) => Holder::new(Some(node), under),
                    None => *top,
                };
                if self.outline.depth() < MAX_DEPTH {
                    self.outline.open(line.width, holder);
                } else if !std::mem::replace(&mut self.too_deep, true) {
                    let span = Span::new(self.tree.file, line.body, line.body_end);
                    let message = format!("the line stands more than {MAX_DEPTH} levels deep");
                    self.findings.bad(span, message, "put inner blocks into a routine of their own and `follow` it");
                }
            }
            Stands::Between(outer, inner) => {
                let span = Span::new(self.tree.file, line.start, line.body_end.max(line.body));
                let message = format!("the indentation of {} fits no line above it", columns(line.width));
                let help = if outer == inner {
                    format!("indent it by {}", columns(outer))
                } else {
                    format!("indent it by {} or by {}", columns(outer), columns(inner))
                };
                self.misplaced(span, message, help);
                self.quiet = true;
            }
        }
        self.outline.top().holder.place
    }

    /// Tells that a line stands where it can't, unless its indentation has been told already.
    pub(super) fn misplaced(&mut self, span: Span, message: impl Into<String>, help: impl Into<String>) {
        if !self.quiet {
            self.findings.bad(span, message, help);
        }
    }

    fn item(&mut self, place: Place, line: &Logical<'_>) -> (Item, Place) {
        match place {
            Place::File => margin::line(self, line),
            Place::MarginBlock => margin::in_block(self, line),
            Place::Section(section) => under::section(self, section, line),
            Place::Entry(section) => under::entry(self, section, line),
            Place::Variant(section) => under::variant(self, section, line),
            Place::Steps => under::stage(self, line),
            Place::Step => under::step(self, line),
            Place::Text => under::text(self, line),
            Place::Lost => under::lost(self, line),
        }
    }

    /// Puts a node into the tree, under what the innermost open depth stands under.
    fn push(&mut self, raw: &[Raw], lines: std::ops::Range<usize>, item: Item, under: Place) {
        let id = NodeId(u32::try_from(self.tree.nodes.len()).unwrap_or(u32::MAX));
        let last = &raw[lines.end - 1];
        let span = Span::new(self.tree.file, raw[lines.start].body, last.body_end);
        let holder = &mut self.outline.top().holder;
        // `follow` and `reverse stage` at the margin stand for stages; any other step there lost its indentation
        let loose_step =
            matches!(&item, Item::Step(s) if !step::stands_for_stages(&s.head.text)) && holder.place == Place::File;
        let parent = if loose_step { self.stage } else { holder.node };
        holder.last = Some((id, under));
        holder.stepped |= matches!(item, Item::Step(_) | Item::Block(_));
        if matches!(item, Item::Stage(_)) {
            self.stage = Some(id);
        }
        self.works |= matches!(item, Item::Stage(_) | Item::Step(_));
        for line in &mut self.tree.lines[lines] {
            line.node = (!line.blank).then_some(id);
        }
        self.tree.nodes.push(Node { span, item, children: Vec::new(), parent });
        match parent.and_then(|p| self.tree.nodes.get_mut(p.0 as usize)) {
            Some(parent) => parent.children.push(id),
            None => self.tree.roots.push(id),
        }
    }

    /// From here on the innermost depth is read as if it stood where its holder stands: a step under a step becomes
    /// the next step. `wanted` says which of the outer depths will do; the margin always does.
    pub(super) fn hoist(&mut self, wanted: impl Fn(Place) -> bool) {
        let mut up = 1;
        while let Some(level) = self.outline.above(up) {
            if wanted(level.holder.place) {
                let outer = level.holder;
                let top = &mut self.outline.top().holder;
                *top = Holder { last: None, told: top.told, ..outer };
                return;
            }
            up += 1;
        }
        self.outline.top().holder = Holder::new(None, Place::File);
    }

    /// The node that the current line would stand under.
    pub(super) fn holder_item(&mut self) -> Option<&Item> {
        let node = self.outline.top().holder.node?;
        self.tree.nodes.get(node.0 as usize).map(|n| &n.item)
    }

    /// The line before, at the same depth.
    pub(super) fn line_before(&mut self) -> Option<&Node> {
        let (node, _) = self.outline.top().holder.last?;
        self.tree.nodes.get(node.0 as usize)
    }

    /// What can only be told when the file has ended.
    fn end(&mut self, text: &str) {
        // lines beyond the deepest level stand beside their block instead of in it
        for node in self.tree.nodes.iter().filter(|_| !self.too_deep) {
            let what = match &node.item {
                Item::Stage(_) => "the stage has no steps",
                Item::Block(Block::Otherwise) => "nothing stands in this `otherwise`",
                Item::Block(_) => "nothing stands in this block",
                _ => continue,
            };
            let mut children = node.children.iter().filter_map(|c| self.tree.nodes.get(c.0 as usize));
            if children.all(|child| matches!(child.item, Item::Detail(_))) {
                self.findings.bad(node.span, what, "write its steps in the lines below it, indented");
            }
        }
        let machine = self.tree.kind == FileKind::Machine || self.tree.kind == FileKind::Unknown;
        if !machine && !self.works {
            let what = if self.tree.kind == FileKind::Job { "job" } else { "routine" };
            let span = self.tree.nodes.first().map_or(Span::new(self.tree.file, 0, text.len().min(1)), |n| n.span);
            let message = format!("the {what} has no stage, so there is nothing to do in it");
            self.findings.bad(span, message, "write the work in stages, like `stage: Make safe`, with its steps below");
        }
    }
}

fn columns(width: usize) -> String {
    match width {
        0 => "no space".to_owned(),
        1 => "1 space".to_owned(),
        n => format!("{n} spaces"),
    }
}

/// Whether the text after `: ` is prose for people; else it is values.
fn after_colon_is_prose(place: Place, body: &str) -> bool {
    let word = body.split(|c: char| c.is_whitespace() || c == ':').next().unwrap_or_default();
    match place {
        Place::File => margin::is_head_of_prose(word),
        Place::Section(_) => word.eq_ignore_ascii_case("stage"),
        _ => !detail::word(word).is_some_and(|w| {
            use DetailWord::{Example, Except, Figure, Number, Pass, Use};
            matches!(w, Pass | Except | Example | Use | Number | Figure)
        }),
    }
}

/// The lines that go on with line `i`: the index past them, the structured text on one line (line ends and comments
/// blanked byte for byte), and the indices of the `|` lines.
fn gather<'t>(raw: &[Raw], text: &'t str, i: usize, is_prose: bool) -> (usize, Cow<'t, str>, Vec<usize>) {
    let first = &raw[i];
    let mut joined = Cow::Borrowed(&text[first.body..first.body_end]);
    let mut next = i + 1;
    let following = |from: usize| raw[from..].iter().position(|l| !l.blank).map(|n| from + n);
    let mut last = i;
    while joined.trim_end().ends_with(',') && !(is_prose && colon(&joined).is_some()) {
        let Some(n) = following(next).filter(|n| raw[*n].width > first.width) else { break };
        if joined.len() + (raw[n].end - raw[last].body_end) > MAX_LINE_BYTES {
            break;
        }
        let whole = joined.to_mut();
        whole.extend(std::iter::repeat_n(' ', raw[n].body - raw[last].body_end));
        whole.push_str(&text[raw[n].body..raw[n].body_end]);
        last = n;
        next = n + 1;
    }
    let mut pipes = Vec::new();
    while let Some(n) = following(next).filter(|n| text[raw[*n].body..].starts_with('|')) {
        pipes.push(n);
        next = n + 1;
    }
    (next, joined, pipes)
}

/// Whether a block is one that holds steps or stages: `before the next try` stands only in an `until`.
pub(super) fn is_until(item: Option<&Item>) -> bool {
    matches!(item, Some(Item::Block(Block::Until { .. })))
}
