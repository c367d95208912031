//! Which act a line names: the longest verb first, the shop's own among them.

use crate::diagnostic::Diagnostic;
use crate::procedure::{ActPattern, PairId, Verb};
use crate::quantity::Quantity;
use crate::syntax::fold_name;
use crate::syntax::tree::Word;

use super::Resolver;
use super::scope::{View, index};

/// Built-in states whose pair of verbs a shop's own pair may stand for (language 7.19).
const BUILT_IN_PAIRS: &[(&str, Verb, Verb)] = &[
    ("removed", Verb::Remove, Verb::Refit),
    ("disconnected", Verb::Disconnect, Verb::Connect),
    ("moved aside", Verb::MoveAside, Verb::Return),
    ("loose", Verb::Loosen, Verb::Tighten),
    ("open", Verb::Open, Verb::Close),
    ("drained", Verb::Drain, Verb::Fill),
    ("raised", Verb::Raise, Verb::Lower),
    ("supported", Verb::Support, Verb::Release),
    ("locked", Verb::Lock, Verb::Unlock),
    ("chocked", Verb::Chock, Verb::Unchock),
    ("off", Verb::SwitchOff, Verb::SwitchOn),
    ("switched off", Verb::SwitchOff, Verb::SwitchOn),
];

/// Matches the words of `phrase` (folded) at the start of `text`; the byte after them, where they end at a word's end.
pub(super) fn after_phrase(text: &str, phrase: &str) -> Option<usize> {
    let mut at = 0;
    for word in phrase.split(' ') {
        let rest = &text[at..];
        at += rest.len() - rest.trim_start().len();
        let rest = &text[at..];
        let end = rest.find(char::is_whitespace).unwrap_or(rest.len());
        if fold_name(&rest[..end]) != word {
            return None;
        }
        at += end;
    }
    Some(at)
}

impl Resolver<'_> {
    pub(super) fn collect_verbs(&mut self) {
        let mut verbs: Vec<(String, Verb)> = Vec::new();
        for (i, pair) in self.p.pairs.iter().enumerate() {
            let id = PairId(index(i));
            let built_in = BUILT_IN_PAIRS.iter().find(|(s, ..)| *s == pair.away);
            let (opening, closing) =
                built_in.map_or((Verb::Open1(id), Verb::Close1(id)), |(_, opening, closing)| (*opening, *closing));
            verbs.push((pair.opening.clone(), opening));
            verbs.push((pair.closing.clone(), closing));
        }
        verbs.extend(Verb::SYNONYMS.iter().map(|(n, v)| ((*n).to_owned(), *v)));
        verbs.extend(Verb::BUILT_IN.iter().map(|(v, n)| ((*n).to_owned(), *v)));
        // Stable: of two of one length the shop's own stands first.
        verbs.sort_by_key(|(n, _)| std::cmp::Reverse(n.len()));
        self.verbs = verbs;
    }

    /// The verb at the start of `text` and the byte after it.
    pub(super) fn split_verb(&self, text: &str) -> Option<(Verb, usize)> {
        self.verbs.iter().find_map(|(name, verb)| after_phrase(text, name).map(|at| (*verb, at)))
    }

    /// The verb's name as this job writes it.
    pub(super) fn verb_name(&self, verb: Verb) -> String {
        match verb {
            Verb::Open1(pair) => self.p[pair].opening.clone(),
            Verb::Close1(pair) => self.p[pair].closing.clone(),
            verb => verb.name().to_owned(),
        }
    }

    pub(super) fn unknown_act(&mut self, text: &str, span: crate::source::Span) {
        let folded = text.to_lowercase();
        let named = self.scope.things.iter().filter(|(name, _)| folded.contains(name.as_str())).map(|(_, id)| *id);
        self.p.doubtful.extend(named);
        let first: String = text.split_whitespace().next().unwrap_or_default().to_owned();
        let names: Vec<String> = self.verbs.iter().map(|(n, _)| n.clone()).collect();
        let two: String = text.split_whitespace().take(2).collect::<Vec<_>>().join(" ");
        let meant = super::suggest::did_you_mean(&first, names.iter().map(String::as_str))
            .or_else(|| super::suggest::did_you_mean(&two, names.iter().map(String::as_str)));
        let mut finding = Diagnostic::error("unknown-act", span, format!("'{first}' is no act that this job knows"));
        finding = match meant {
            Some(meant) => {
                let certain = super::suggest::is_certain(&first, meant, names.iter().map(String::as_str));
                let finding = finding
                    .label(format!("did you mean '{meant}'?"))
                    .help(format!("Begin the step with a verb: `{meant} …`. For what no verb covers write `do: …`."));
                let exact = certain && self.sources.text(span).starts_with(&first);
                if exact { finding.fix(format!("write `{meant}`"), span.part(0..first.len()), meant) } else { finding }
            }
            None => finding.help(
                "Begin the step with a verb (remove, refit, tighten, check, …). A pair of the shop's own is declared under `acts`; for what no verb covers write `do: …`.",
            ),
        };
        self.tell(finding);
    }

    /// A verb named in a declaration, alone or with an object that is ignored here.
    pub(super) fn verb_or_tell(&mut self, act: &Word) -> Option<Verb> {
        let found = self.split_verb(&act.text).map(|(v, _)| v);
        if found.is_none() {
            self.unknown_act(&act.text, act.span);
        }
        found
    }

    /// `turn crankshaft 2 turns`: verb, object, amount.
    pub(super) fn act_pattern(&mut self, view: &View, act: &Word) -> (Option<ActPattern>, Option<Quantity>) {
        let Some((verb, at)) = self.split_verb(&act.text) else {
            self.unknown_act(&act.text, act.span);
            return (None, None);
        };
        let rest = act.text[at..].trim();
        let mut amount = None;
        let mut object_text = rest;
        // The amount is the shortest tail that begins with a digit and reads as a quantity.
        for (i, _) in rest.match_indices(|c: char| c.is_ascii_digit()) {
            let starts_word = i == 0 || rest.as_bytes().get(i - 1) == Some(&b' ');
            if starts_word {
                if let Ok(quantity) = crate::quantity::parse_quantity(&rest[i..]) {
                    amount = Some(quantity);
                    object_text = rest[..i].trim();
                    break;
                }
            }
        }
        let object = if object_text.is_empty() {
            None
        } else {
            let span = super::objects::part_span(act, object_text);
            match self.piece(view, object_text, span) {
                Some(super::objects::Piece::Thing(thing)) => Some(thing),
                Some(_) => None,
                None => {
                    // Other verbs take any object; a slip would forbid what nobody does.
                    let names = self.thing_names(view).into_iter().map(str::to_owned);
                    let built_in = super::objects::BUILT_IN.iter().map(|(name, _)| (*name).to_owned());
                    let names: Vec<String> = names.chain(built_in).collect();
                    let known = || names.iter().map(String::as_str);
                    let meant = super::suggest::did_you_mean(object_text, known());
                    match meant.filter(|meant| super::suggest::is_certain(object_text, meant, known())) {
                        Some(_) if verb.needs_a_thing() => self.unknown_thing(view, object_text, span),
                        Some(meant) if super::suggest::is_plural(object_text, meant) => {}
                        Some(meant) => {
                            let finding = Diagnostic::error(
                                "unknown-name",
                                span,
                                format!("nothing here is called '{object_text}'"),
                            )
                            .label(format!("did you mean '{meant}'?"))
                            .help(format!("Write '{meant}'."));
                            let exact = self.sources.text(span) == object_text;
                            let finding =
                                if exact { finding.fix(format!("write '{meant}'"), span, meant) } else { finding };
                            self.tell(finding);
                        }
                        None if verb.needs_a_thing() => self.unknown_thing(view, object_text, span),
                        None => {}
                    }
                    None
                }
            }
        };
        (Some(ActPattern { verb, object, text: act.text.clone(), span: act.span }), amount)
    }
}

#[cfg(test)]
mod tests {
    use super::after_phrase;

    #[test]
    fn phrases_match_whole_words() {
        assert_eq!(after_phrase("move  aside caliper", "move aside"), Some(11));
        assert_eq!(after_phrase("Remove caliper", "remove"), Some(6));
        assert_eq!(after_phrase("removes caliper", "remove"), None);
        assert_eq!(after_phrase("move", "move aside"), None);
    }
}
