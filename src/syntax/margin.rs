//! Lines at the margin, and in blocks at the margin.

use super::expected::nearest;
use super::findings::Findings;
use super::grammar::{self, Rule};
use super::piece::short;
use super::place::{Logical, Place, Walk};
use super::tree::{Block, FileKind, Header, Item, Prose, Section};
use super::{block, detail, header, section, stage, step, under};

/// Words that may begin a line at the margin, for 'did you mean'.
const WORDS: [&str; 31] = [
    "number",
    "revision",
    "machine",
    "uses",
    "takes",
    "people",
    "reason",
    "rule out",
    "level",
    "left is",
    "changed",
    "allow",
    "options",
    "sets",
    "kits",
    "parts",
    "fasteners",
    "fluids",
    "measurements",
    "tools",
    "supplies",
    "acts",
    "given",
    "stage",
    "with",
    "if",
    "otherwise",
    "until",
    "for each",
    "before the next try",
    "job",
];

/// Whether the text after `: ` is prose where a line at the margin begins with this word.
pub(super) fn is_head_of_prose(word: &str) -> bool {
    let is = |w: &str| word.eq_ignore_ascii_case(w);
    ["stage", "with", "if", "otherwise", "until", "for", "before", "job", "routine"].into_iter().any(is)
        || (word != "machine" && !WORDS.iter().any(|w| w.split(' ').next().is_some_and(is)))
}

/// A line at the margin.
pub(super) fn line(walk: &mut Walk<'_>, line: &Logical<'_>) -> (Item, Place) {
    if !walk.begun {
        walk.begun = true;
        if let Some(done) = first(walk, line) {
            return done;
        }
        // told already; the line may still be a header field, a section, a stage
        return known(walk, line).unwrap_or((Item::Unknown, Place::Lost));
    }
    if let Some(kind) = file_kind(line)
        && kind != FileKind::Machine
    {
        if walk.tree.kind == FileKind::Unknown
            && !walk.body
            && let Some(done) = first(walk, line)
        {
            // something stands before the first line, which has been told
            return done;
        }
        let help = "write each job and each routine in a file of its own";
        walk.findings.bad(line.span, "a file holds one job or one routine, and its first line says which", help);
        return (Item::Unknown, Place::Text);
    }
    if let Some(done) = known(walk, line) {
        return done;
    }
    guess(walk, line)
}

/// `job: …`, `routine: …`, `machine: …`. `None`: it is none of them, which has been told; the line may still be another.
fn first(walk: &mut Walk<'_>, line: &Logical<'_>) -> Option<(Item, Place)> {
    let help = "the first line says what the file is: `job: Renew the hydraulic pump`, `routine: Bleed the brakes` or \
                `machine: Osier 20 compact loader`";
    let title: Option<Prose> = line.prose();
    let kind = match file_kind(line) {
        Some(kind) => Some(kind),
        None => {
            let word = line.head.text.split_whitespace().next().unwrap_or_default();
            let near = nearest(&word.to_lowercase(), ["job", "routine", "machine"]);
            match near.filter(|_| line.after.is_some()) {
                Some(near) => {
                    let message = format!("`{}` is no kind of file: did you mean `{near}`?", line.head.text);
                    walk.findings.bad_fix(line.head.span(), message, format!("write `{near}`"), line.head.span(), near);
                    Some(match near {
                        "job" => FileKind::Job,
                        "routine" => FileKind::Routine,
                        _ => FileKind::Machine,
                    })
                }
                None => None,
            }
        }
    };
    let Some(kind) = kind else {
        walk.findings.bad(line.span, "the first line does not say what the file is", help);
        return None;
    };
    walk.tree.kind = kind;
    match title {
        Some(title) => walk.tree.title = title,
        None => {
            walk.tree.title.span = line.span;
            let example = match kind {
                FileKind::Routine => "`routine: Bleed the brakes`",
                FileKind::Machine => "`machine: Osier 20 compact loader`",
                FileKind::Job | FileKind::Unknown => "`job: Renew the hydraulic pump`",
            };
            walk.findings.bad(line.span, "the title is missing", format!("write it after the colon, like {example}"));
        }
    }
    Some((Item::First, Place::Text))
}

fn file_kind(line: &Logical<'_>) -> Option<FileKind> {
    match grammar::read(Rule::first_head, line.head).ok()?.as_rule() {
        Rule::job => Some(FileKind::Job),
        Rule::routine => Some(FileKind::Routine),
        _ => Some(FileKind::Machine),
    }
}

/// Header fields, sections, stages, blocks.
fn known(walk: &mut Walk<'_>, line: &Logical<'_>) -> Option<(Item, Place)> {
    if let Some(field) = header::field(line) {
        if walk.body {
            let help = "move it up, below the first line";
            walk.findings.bad(line.span, "header fields stand before the first section or stage", help);
        }
        return Some((header::read(field, line, walk.findings), Place::Text));
    }
    if let Some(section) = section::head(line, walk.findings) {
        walk.body = true;
        return Some((Item::Section(section), Place::Section(section)));
    }
    if let Some(stage) = stage::read(line, walk.findings) {
        walk.body = true;
        if walk.tree.kind == FileKind::Machine {
            let help = "write the work in a job (`job: …`) or a routine (`routine: …`) that `uses` this file";
            walk.findings.bad(line.span, "a machine file holds no stages", help);
        }
        return Some((Item::Stage(stage), Place::Steps));
    }
    let block = block::read(line, walk)?;
    walk.body = true;
    Some((Item::Block(block), Place::MarginBlock))
}

/// A line at the margin that is nothing that stands there: the nearest word, or a step that lost its indentation.
fn guess(walk: &mut Walk<'_>, line: &Logical<'_>) -> (Item, Place) {
    if let Some(word) = near_word(line) {
        let span = line.head.sub(0, word.0).span();
        let message =
            format!("`{}` stands nowhere at the margin: did you mean `{}`?", line.head.sub(0, word.0).text, word.1);
        walk.findings.bad_fix(span, message, format!("write `{}`", word.1), span, word.1);
        if let Some(field) = Header::NAMED.iter().find(|(name, _)| *name == word.1) {
            return (header::read(field.1, line, walk.findings), Place::Text);
        }
        if let Some(section) = Section::NAMED.iter().find(|(name, _)| *name == word.1) {
            walk.body = true;
            return (Item::Section(section.1), Place::Section(section.1));
        }
        walk.body = true;
        return (Item::Unknown, Place::Lost);
    }
    if step::stands_for_stages(line.head.text) && walk.tree.kind != FileKind::Machine {
        walk.body = true;
        return (step::item(line, walk.findings), Place::Step);
    }
    if walk.stage.is_some() || (walk.body && walk.tree.kind != FileKind::Machine) {
        if !std::mem::replace(&mut walk.outline.top().holder.told, true) {
            let help = "indent it by two spaces below its `stage: …` line";
            walk.misplaced(line.span, "a step stands in a stage, not at the margin", help);
        }
        return (step::item(line, walk.findings), Place::Step);
    }
    if let Some(word) = detail::word(line.head.text.split_whitespace().next().unwrap_or_default()) {
        let message = format!("`{}` begins a detail, which does not stand at the margin", word.name());
        walk.findings.bad(line.span, message, "write it under its stage or step, indented");
        return (Item::Unknown, Place::Text);
    }
    if line.after.is_some() && !walk.body {
        let message = format!("`{}` is no header field", short(line.head.text));
        walk.findings.bad(line.head.span(), message, HEADER_HELP);
        return (Item::Unknown, Place::Text);
    }
    let help = "at the margin stand header fields (`number: HY-207`), sections (`parts`), stages (`stage: Make safe`) and blocks";
    walk.findings.bad(line.span, format!("`{}` stands nowhere at the margin", short(line.head.text)), help);
    (Item::Unknown, Place::Lost)
}

const HEADER_HELP: &str = "header fields are `number`, `revision`, `machine`, `uses`, `takes`, `people`, `reason`, `rule out`, \
                           `level`, `left is`, `changed` and `allow RULE`";

/// How many bytes of the head are a near miss of a word of the margin, and that word.
fn near_word(line: &Logical<'_>) -> Option<(usize, &'static str)> {
    let head = line.head.text;
    if let Some(near) = nearest(&head.to_lowercase(), WORDS) {
        return Some((head.len(), near));
    }
    let word = head.split_whitespace().next()?;
    let is_stage = line.after.is_some() && nearest(&word.to_lowercase(), ["stage"]).is_some();
    is_stage.then_some((word.len(), "stage"))
}

/// A line in a block at the margin.
pub(super) fn in_block(walk: &mut Walk<'_>, line: &Logical<'_>) -> (Item, Place) {
    if let Some(stage) = stage::read(line, walk.findings) {
        return (Item::Stage(stage), Place::Steps);
    }
    if let Some(block) = block::read(line, walk) {
        return (Item::Block(block), Place::MarginBlock);
    }
    if let Some(detail) = detail::read(line, walk.findings) {
        return (Item::Detail(detail), Place::Text);
    }
    if let Some(section) = section::head(line, walk.findings) {
        under::at_margin(walk, line, "a section stands at the margin");
        return (Item::Section(section), Place::Section(section));
    }
    if !step::stands_for_stages(line.head.text) && !std::mem::replace(&mut walk.outline.top().holder.told, true) {
        let help = "write a `stage: …` line above it, and indent the step below that";
        walk.findings.bad(line.span, "a block at the margin holds stages, and steps stand in a stage", help);
    }
    (step::item(line, walk.findings), Place::Step)
}

/// Used by blocks: whether `otherwise` may stand after this line.
pub(super) fn opens_otherwise(item: &Item) -> bool {
    matches!(item, Item::Block(Block::If { .. } | Block::With { .. }))
}

/// A finding for the text after a colon where there can be none.
pub(super) fn no_text(line: &Logical<'_>, what: &str, help: &str, findings: &mut Findings) {
    if let Some(text) = line.prose() {
        findings.bad(text.span, format!("{what} takes no text after it"), help);
    }
}
