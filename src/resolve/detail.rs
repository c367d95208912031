//! Details under declarations, stages and steps.

use crate::diagnostic::Diagnostic;
use crate::procedure::{Detail, DetailKind, Facts, Orientation, Prose, ThingId};
use crate::syntax::fold_name;
use crate::syntax::tree::{self, DetailWord, Item, NodeId, Word};
use crate::trade::direction;
use crate::trade::hazard::Hazard;
use crate::trade::signal::SignalWord;

use super::Resolver;
use super::scope::View;

fn signal_word(word: DetailWord) -> Option<SignalWord> {
    match word {
        DetailWord::Danger => Some(SignalWord::Danger),
        DetailWord::Warning => Some(SignalWord::Warning),
        DetailWord::Caution => Some(SignalWord::Caution),
        DetailWord::Notice => Some(SignalWord::Notice),
        _ => None,
    }
}

/// What an `allow` under a line covers: the line, and the details under it.
pub(super) fn covered(tree: &tree::Tree, id: NodeId) -> crate::source::Span {
    let mut span = tree.node(id).span;
    for (_, node) in tree.children(id) {
        if matches!(node.item, Item::Detail(_)) && node.span.file == span.file {
            span.end = span.end.max(node.span.end);
        }
    }
    span
}

impl Resolver<'_> {
    /// Details that stand directly under a node.
    pub(super) fn details(&mut self, view: &View, file: usize, id: NodeId) -> Vec<Detail> {
        let bundle = self.bundle;
        let tree = &bundle.files[file].tree;
        let mut out = Vec::new();
        for (_, node) in tree.children(id) {
            if let Item::Detail(detail) = &node.item {
                let covers = Some(covered(tree, id));
                out.extend(self.detail(view, detail, node.span, covers));
            }
        }
        out
    }

    /// One detail; those that are read elsewhere (`pass`, `except`, `example`, `record` …) give nothing.
    pub(super) fn detail(
        &mut self,
        view: &View,
        detail: &tree::Detail,
        span: crate::source::Span,
        covers: Option<crate::source::Span>,
    ) -> Option<Detail> {
        let text = detail.prose.as_ref().or(detail.value.as_ref());
        if let Some(word) = signal_word(detail.word) {
            let hazard = detail.value.as_ref().and_then(|v| Hazard::parse(&fold_name(&v.text)));
            let prose = match (&detail.prose, &detail.value) {
                (Some(prose), None) => {
                    // `warning: fluid under pressure` names the hazard just as well.
                    if let Some(hazard) = Hazard::parse(fold_name(&prose.text).trim_end_matches('.')) {
                        return Some(Detail {
                            kind: DetailKind::Safety { word, hazard: Some(hazard), prose: None },
                            span,
                        });
                    }
                    Some(self.prose(view, prose))
                }
                (Some(prose), Some(_)) => Some(self.prose(view, prose)),
                (None, Some(value)) if hazard.is_none() => {
                    self.hazard_or_tell(value);
                    None
                }
                _ => None,
            };
            if let (Some(_), Some(value), None) = (&detail.prose, &detail.value, hazard) {
                self.hazard_or_tell(value);
            }
            return Some(Detail { kind: DetailKind::Safety { word, hazard, prose }, span });
        }
        let kind = match detail.word {
            DetailWord::Tip => DetailKind::Tip(self.prose(view, text?)),
            DetailWord::Note => DetailKind::Note(self.prose(view, text?)),
            DetailWord::Why => DetailKind::Why(self.prose(view, text?)),
            DetailWord::Orient => DetailKind::Orient(self.orientation(view, text?)),
            DetailWord::Expect => DetailKind::Expect(self.prose(view, text?)),
            DetailWord::Use => {
                let word = joined(detail)?;
                let supply = self.leading_supply(&word);
                DetailKind::Use { supply: Some(supply), prose: self.prose(view, &word) }
            }
            DetailWord::Tool => {
                let word = joined(detail)?;
                let tool = self.tool_or_common(&word);
                DetailKind::Tool { tool: Some(tool), prose: self.prose(view, &word) }
            }
            DetailWord::Figure => {
                let (path, caption) = match (&detail.value, &detail.prose) {
                    (Some(value), prose) => (value.text.clone(), prose.clone()),
                    (None, Some(prose)) => {
                        let end = prose.text.find([',', ' ']).unwrap_or(prose.text.len());
                        let rest = prose.text[end..].trim_start_matches([',', ' ']).to_owned();
                        let caption = (!rest.is_empty()).then_some(Word { text: rest, span: prose.span });
                        (prose.text[..end].to_owned(), caption)
                    }
                    _ => return None,
                };
                let caption = caption.map(|c| self.prose(view, &c));
                DetailKind::Figure { path, caption }
            }
            DetailWord::Number => DetailKind::Number(text?.text.clone()),
            DetailWord::Spec => DetailKind::Spec(self.prose(view, text?)),
            DetailWord::Source => DetailKind::Source(self.prose(view, text?)),
            DetailWord::Fragile => DetailKind::Fragile(self.prose(view, text?)),
            DetailWord::Allow => {
                let rule = detail.value.as_ref().map(|v| v.text.clone()).unwrap_or_default();
                let reason = detail.prose.as_ref().map(|p| p.text.clone()).unwrap_or_default();
                self.allow(&rule, &reason, span, covers);
                return None;
            }
            _ => return None,
        };
        Some(Detail { kind, span })
    }

    /// `thread-locker on the coupling screw`: the supply that the text begins with; an undeclared one joins the list.
    fn leading_supply(&mut self, word: &Word) -> crate::procedure::SupplyId {
        let cuts: Vec<usize> =
            word.text.match_indices(' ').map(|(i, _)| i).chain(std::iter::once(word.text.len())).collect();
        for cut in cuts.iter().rev() {
            if let Some(supply) = self.supply_named(word.text[..*cut].trim_end_matches([',', '.', ':'])) {
                return supply;
            }
        }
        let end = [" on ", " to ", " in ", " into ", " at ", " for ", " under ", " round ", " around ", ", ", ". "]
            .iter()
            .filter_map(|w| word.text.find(w))
            .min()
            .unwrap_or(word.text.len());
        let name = word.text[..end].trim().trim_end_matches('.').to_owned();
        if let Some(supply) = self.supply_named(&name) {
            return supply;
        }
        self.p.supplies.push(crate::procedure::Supply {
            name,
            span: word.span,
            declared: false,
            number: None,
            details: Vec::new(),
        });
        crate::procedure::SupplyId(super::scope::index(self.p.supplies.len() - 1))
    }

    /// An `orient` text.
    pub(super) fn orientation(&mut self, view: &View, word: &Word) -> Orientation {
        let prose = self.prose(view, word);
        Orientation { prose, understood: direction::Orientation::parse(&word.text) }
    }

    /// Details of a declaration: some are facts, the rest are printed with the thing.
    pub(super) fn details_of_thing(&mut self, view: &View, file: usize, id: NodeId, thing: ThingId, facts: &mut Facts) {
        let bundle = self.bundle;
        let tree = &bundle.files[file].tree;
        for (_, node) in tree.children(id) {
            let Item::Detail(detail) = &node.item else { continue };
            match detail.word {
                DetailWord::Pass => {
                    if let Some(pass) = &detail.pass {
                        self.add_pass(view, thing, facts, pass, node.span);
                    }
                    continue;
                }
                DetailWord::Setting => {
                    if let Some(prose) = detail.prose.as_ref().or(detail.value.as_ref()) {
                        let prose = self.prose(view, prose);
                        match &mut facts.fastening {
                            Some(fastening) => fastening.setting.push(prose),
                            None => self.tell(
                                Diagnostic::error("bad-syntax", node.span, "a `setting` belongs to a fastener")
                                    .help("For a part write `note: …`, or tell it in the step that sets it."),
                            ),
                        }
                    }
                    continue;
                }
                _ => {}
            }
            let covers = Some(covered(tree, id));
            let Some(detail) = self.detail(view, detail, node.span, covers) else { continue };
            match detail.kind {
                DetailKind::Orient(orientation) => facts.orient.push(orientation),
                DetailKind::Fragile(prose) => facts.fragile.push(prose),
                DetailKind::Number(number) => self.p.things[thing.index()].number = Some(number),
                DetailKind::Spec(prose) if facts.fluid.is_some() => {
                    if let Some(fluid) = &mut facts.fluid {
                        fluid.spec.push(prose);
                    }
                }
                kind => self.p.things[thing.index()].details.push(Detail { kind, span: detail.span }),
            }
        }
    }

    /// Prose without values, for generated text.
    pub(super) fn plain(&self, text: &str, span: crate::source::Span) -> Prose {
        Prose::plain(text, span)
    }
}

/// `use thread-locker: on the screw` and `use: thread-locker on the screw` say the same.
fn joined(detail: &tree::Detail) -> Option<Word> {
    match (&detail.value, &detail.prose) {
        (Some(value), Some(prose)) => {
            Some(Word { text: format!("{}, {}", value.text, prose.text), span: value.span.to(prose.span) })
        }
        (Some(word), None) | (None, Some(word)) => Some(word.clone()),
        (None, None) => None,
    }
}
