//! Slips of the pen: words of the language misspelt, colons and files forgotten, indentation lost.

use cotter::procedure::VerbGroup;
use cotter::syntax::tree::{Header, Item, NodeId};

use crate::bench::{Bench, Mutant, misspelt};

pub fn all(b: &Bench<'_>, out: &mut Vec<Mutant>) {
    for (file, node, at) in b.lines.clone() {
        verb(b, (file, node), at, out);
    }
    for file in 0..b.job.trees.len() {
        for (node, item) in b.nodes(file) {
            let place = (file, node);
            let span = b.job.node(file, node).span;
            let text = b.job.text_of(span);
            match item {
                Item::Section(_) if text.len() > 5 => {
                    if let Some(wrong) = misspelt(text) {
                        let honest = &["bad-syntax", "unknown-name", "unknown-act"];
                        out.push(b.spoil("a section misspelt", place, &wrong.clone(), honest, b.instead(span, wrong)));
                    }
                }
                Item::Stage(_) => {
                    if let Some(colon) = text.find(':') {
                        let cut = span.part(colon..colon + 1);
                        out.push(b.spoil("a colon forgotten", place, "no colon", &["bad-syntax"], b.instead(cut, "")));
                    }
                }
                Item::Detail(detail) => {
                    let word = b.job.text_of(detail.word_span);
                    if let Some(wrong) = misspelt(word) {
                        let honest = &["bad-syntax", "unknown-name", "unknown-act"];
                        let what = wrong.clone();
                        out.push(b.spoil(
                            "a detail misspelt",
                            place,
                            &what,
                            honest,
                            b.instead(detail.word_span, wrong),
                        ));
                    }
                }
                Item::Header { field: Header::Uses, value } => {
                    let honest = &["missing-file"];
                    let by = value.text.replace(".job", "s.job");
                    out.push(b.spoil("a path misspelt", place, &by.clone(), honest, b.instead(value.span, by)));
                    uses_dropped(b, place, &value.text, out);
                }
                _ => {}
            }
        }
    }
}

/// A verb misspelt. A fault for the verbs that need a declared thing.
fn verb(b: &Bench<'_>, place: (usize, NodeId), at: usize, out: &mut Vec<Mutant>) {
    let step = b.step(at);
    if step.verb.group() == VerbGroup::Work {
        return;
    }
    let Some(span) = b.verb_span(step) else { return };
    let Some(wrong) = misspelt(b.job.text_of(span)) else { return };
    // `unblock` without its third letter is another verb.
    if cotter::procedure::Verb::BUILT_IN.iter().any(|(_, name)| *name == wrong) {
        return;
    }
    out.push(b.spoil("a verb misspelt", place, &wrong.clone(), &["unknown-act", "bad-syntax"], b.instead(span, wrong)));
}

/// A `uses` line forgotten. A fault where no other line brings the file in.
fn uses_dropped(b: &Bench<'_>, place: (usize, NodeId), path: &str, out: &mut Vec<Mutant>) {
    let last = path.rsplit('/').next().unwrap_or(path);
    let others = b.job.texts.iter().enumerate().filter(|(i, _)| *i != place.0);
    // Nothing of it is worked on, and nothing of it is followed.
    let file = b.job.names.iter().position(|n| n.ends_with(last));
    let is_machine = file.is_some_and(|f| b.job.trees[f].kind == cotter::syntax::tree::FileKind::Machine);
    let worked = b.job.procedure.things.iter().enumerate().any(|(i, t)| {
        let id = cotter::procedure::ThingId(u32::try_from(i).expect("few things"));
        t.declared_at.iter().chain([&t.span]).all(|s| Some(s.file.0 as usize) == file)
            && b.steps_on(id).next().is_some()
    });
    if is_machine && !worked {
        return;
    }
    if place.0 == 0
        && !others.into_iter().any(|(_, t)| t.contains(&format!("/{last}")) || t.contains(&format!(": {last}")))
    {
        let whole = vec![(b.job.extent(place.0, place.1), String::new())];
        let honest = &["unknown-name", "missing-file", "unknown-act"];
        out.push(b.spoil("a uses line forgotten", place, "", honest, whole));
    }
}
