//! Lines that stand under something: in sections, under entries, in stages, under steps.

use super::expected::nearest;
use super::piece::short;
use super::place::{Logical, Place, Walk};
use super::tree::{Detail, DetailWord, Item, Section};
use super::{block, clause, detail, entry, section, stage, step};

/// A line in a section: an entry.
pub(super) fn section(walk: &mut Walk<'_>, of: Section, line: &Logical<'_>) -> (Item, Place) {
    if let Some(done) = stage_or_section(walk, line) {
        return done;
    }
    let exact = detail::word(line.head.text).filter(|_| line.after.is_some());
    if let Some(word) = exact
        && of != Section::Tools
        && let Some(read) = detail::read_as(word, line, walk.findings)
    {
        let message = format!("`{}` begins a detail, which stands under its entry", line.head.text);
        walk.misplaced(line.head.span(), message, "indent it by two more spaces");
        return (Item::Detail(read), Place::Text);
    }
    if line.after.is_none() && is_with(line) {
        let help = "indent it below the entry that differs, and its clauses below it";
        walk.misplaced(line.span, "`with …` stands under an entry", help);
        return (Item::Unknown, Place::Variant(of));
    }
    match entry::read(of, line, walk.findings) {
        Some(entry) => (Item::Entry(entry), Place::Entry(of)),
        None => (Item::Unknown, Place::Lost),
    }
}

/// A line under an entry: a detail, or `with CONDITION`.
pub(super) fn entry(walk: &mut Walk<'_>, of: Section, line: &Logical<'_>) -> (Item, Place) {
    if is_with(line) {
        return (variant_head(walk, line), Place::Variant(of));
    }
    if let Some(read) = detail::read(line, walk.findings) {
        return (Item::Detail(read), Place::Text);
    }
    if let Some(done) = stage_or_section(walk, line) {
        return done;
    }
    if clause::is_clause(line.whole) {
        let after = walk.outline.top().holder.node.and_then(|n| walk.tree.nodes.get(n.0 as usize)).map(|n| n.span);
        let bare = matches!(walk.holder_item(), Some(Item::Entry(e)) if e.clauses.is_empty());
        let first = walk.outline.top().holder.last.is_none();
        let message = "clauses stand in the line of their entry, after a comma";
        match after.filter(|_| first && !bare) {
            Some(above) => {
                let place = crate::source::Span { start: above.end, ..above };
                walk.findings.bad_fix(line.span, message, "end the line above in a comma", place, ",");
            }
            None => walk.findings.bad(line.span, message, "write it in the entry's line: `name: clause, clause`"),
        }
        return (Item::Clauses(clause::read_all(of, line.whole, walk.findings)), Place::Text);
    }
    if let Some(read) = near_detail(walk, line) {
        return (Item::Detail(read), Place::Text);
    }
    if line.after.is_some() {
        let help =
            "write it at the depth of the entry above it; under an entry stand details, like `note: …`, and `with …`";
        walk.misplaced(line.head.span(), format!("`{}` is no detail", short(line.head.text)), help);
        walk.hoist(|p| matches!(p, Place::Section(_)));
        return section(walk, of, line);
    }
    let help = "under an entry stand details, like `note: …` or `number: …`, and `with CONDITION`";
    walk.findings.bad(line.span, format!("`{}` is no detail", short(line.head.text)), help);
    (Item::Unknown, Place::Lost)
}

/// `with CONDITION`
fn is_with(line: &Logical<'_>) -> bool {
    line.head.text.get(..5).is_some_and(|w| w.eq_ignore_ascii_case("with ") || w.eq_ignore_ascii_case("with\t"))
}

fn variant_head(walk: &mut Walk<'_>, line: &Logical<'_>) -> Item {
    super::margin::no_text(line, "`with …`", "write what differs in the lines below it", walk.findings);
    let condition = line.head.text.get(4..).map_or(0, |rest| 4 + (rest.len() - rest.trim_start().len()));
    Item::Variant { condition: line.head.from(condition).word() }
}

/// A line under the `with` of an entry: clauses or a detail.
pub(super) fn variant(walk: &mut Walk<'_>, of: Section, line: &Logical<'_>) -> (Item, Place) {
    if is_with(line) {
        return (variant_head(walk, line), Place::Variant(of));
    }
    // `record` and `pass` are details; a clause that begins like a detail (`spec`, `number`) does not exist
    if let Some(read) = detail::read(line, walk.findings) {
        return (Item::Detail(read), Place::Text);
    }
    (Item::Clauses(clause::read_all(of, line.whole, walk.findings)), Place::Text)
}

/// A line in a stage or in a block of a stage.
pub(super) fn stage(walk: &mut Walk<'_>, line: &Logical<'_>) -> (Item, Place) {
    if let Some(done) = stage_or_section(walk, line) {
        return done;
    }
    if let Some(block) = block::read(line, walk) {
        return (Item::Block(block), Place::Steps);
    }
    if !is_act(line)
        && let Some(read) = detail::read(line, walk.findings)
    {
        let holder = &mut walk.outline.top().holder;
        if holder.stepped && !std::mem::replace(&mut holder.told, true) {
            let help = "indent it below the step it belongs to, or move it up, below the `stage` line";
            walk.misplaced(line.head.span(), "a detail stands under its step, or at the top of its stage", help);
        }
        return (Item::Detail(read), Place::Text);
    }
    // short words are left alone: the shop's own verbs are not known here
    if line.after.is_some()
        && line.head.text.len() >= 5
        && !line.head.text.contains(' ')
        && let Some(read) = near_detail(walk, line)
    {
        return (Item::Detail(read), Place::Text);
    }
    (step::item(line, walk.findings), Place::Step)
}

/// `record …` and `note …` are acts where a step can stand and they have an object.
fn is_act(line: &Logical<'_>) -> bool {
    let word = line.head.text.split_whitespace().next().unwrap_or_default();
    matches!(detail::word(word), Some(DetailWord::Record)) && line.head.text.len() > word.len()
}

/// A line under a step: a detail.
pub(super) fn step(walk: &mut Walk<'_>, line: &Logical<'_>) -> (Item, Place) {
    if let Some(read) = detail::read(line, walk.findings) {
        return (Item::Detail(read), Place::Text);
    }
    if let Some(done) = stage_or_section(walk, line) {
        return done;
    }
    if line.after.is_some()
        && let Some(read) = near_detail(walk, line)
    {
        return (Item::Detail(read), Place::Text);
    }
    let has_prose = matches!(walk.holder_item(), Some(Item::Step(s)) if s.prose.is_some());
    let message = "under a step stand only its details, like `caution: …`";
    let help = if has_prose {
        "write it at the depth of the step above it; more text of the step above begins with `| `"
    } else {
        "write it at the depth of the step above it"
    };
    walk.misplaced(line.span, message, help);
    walk.hoist(|p| matches!(p, Place::Steps | Place::MarginBlock));
    if walk.outline.top().holder.place == Place::Steps {
        stage(walk, line)
    } else {
        (step::item(line, walk.findings), Place::Step)
    }
}

/// A line under one that holds only more text.
pub(super) fn text(walk: &mut Walk<'_>, line: &Logical<'_>) -> (Item, Place) {
    if let Some(done) = stage_or_section(walk, line) {
        return done;
    }
    let under = match walk.holder_item() {
        Some(Item::First | Item::Header { .. }) => Some("a header field"),
        Some(Item::Detail(_)) => Some("a detail"),
        Some(Item::Clauses(_)) => Some("a line of clauses"),
        _ => None,
    };
    let Some(under) = under else { return lost(walk, line) };
    if under == "a header field" && super::header::field(line).is_some() {
        let message = "header fields stand at the margin";
        let indent = crate::source::Span { start: line.span.start, end: line.span.start, ..line.span };
        walk.misplaced(indent.to(line.head.span()), message, "take the spaces in front of it away");
        walk.hoist(|p| p == Place::File);
        return super::margin::line(walk, line);
    }
    if detail::is_detail(line) && under == "a detail" {
        let message = "a detail does not stand under a detail";
        walk.misplaced(line.span, message, "write it at the depth of the detail above it");
        walk.hoist(|p| p != Place::Text);
        let place = walk.outline.top().holder.place;
        return match detail::read(line, walk.findings) {
            Some(read) if place != Place::File => (Item::Detail(read), Place::Text),
            _ => (Item::Unknown, Place::Lost),
        };
    }
    if !std::mem::replace(&mut walk.outline.top().holder.told, true) {
        let message = format!("nothing stands under {under} but more of its text");
        let place = crate::source::Span { end: line.span.start, ..line.span };
        let title = "begin it with `| ` if it goes on with the text above";
        walk.findings.bad_fix(line.span, message, title, place, "| ");
    }
    (Item::Unknown, Place::Lost)
}

/// A line under one that could not be read: what it looks like, in silence as far as its place goes.
pub(super) fn lost(walk: &mut Walk<'_>, line: &Logical<'_>) -> (Item, Place) {
    if let Some(done) = stage_or_section(walk, line) {
        return done;
    }
    if let Some(block) = block::read(line, walk) {
        return (Item::Block(block), Place::Steps);
    }
    if let Some(read) = detail::read(line, walk.findings) {
        return (Item::Detail(read), Place::Text);
    }
    (Item::Unknown, Place::Lost)
}

/// Stages and sections stand at the margin; where one is indented it is told and read as if it stood there.
fn stage_or_section(walk: &mut Walk<'_>, line: &Logical<'_>) -> Option<(Item, Place)> {
    if let Some(stage) = stage::read(line, walk.findings) {
        walk.body = true;
        at_margin(walk, line, "a stage stands at the margin, or in a block that does");
        return Some((Item::Stage(stage), Place::Steps));
    }
    if let Some(section) = section::head(line, walk.findings).filter(|_| line.is_bare()) {
        walk.body = true;
        at_margin(walk, line, "a section stands at the margin");
        return Some((Item::Section(section), Place::Section(section)));
    }
    None
}

/// Tells that a line belongs to the margin, and reads this depth so from here on.
pub(super) fn at_margin(walk: &mut Walk<'_>, line: &Logical<'_>, message: &str) {
    walk.misplaced(line.span, message, "take the spaces in front of it away");
    walk.hoist(|p| p == Place::File);
}

/// A detail whose word is a near miss.
fn near_detail(walk: &mut Walk<'_>, line: &Logical<'_>) -> Option<Detail> {
    let written = line.head.text.split_whitespace().next()?;
    let near = nearest(&written.to_lowercase(), DetailWord::NAMED.iter().map(|(name, _)| *name))?;
    let (_, word) = DetailWord::NAMED.iter().find(|(name, _)| *name == near)?;
    let span = line.head.sub(0, written.len()).span();
    let message = format!("`{written}` begins no detail: did you mean `{near}`?");
    walk.findings.bad_fix(span, message, format!("write `{near}`"), span, near);
    detail::read_as(*word, line, walk.findings)
}
