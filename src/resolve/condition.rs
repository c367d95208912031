//! Conditions: `side guard fitted`, `engine B4-24`, `not drive belt bad`, joined by `and` or by `or`.

use crate::diagnostic::Diagnostic;
use crate::procedure::{Condition, Found, State, StateRef, Subject, ThingRef};
use crate::source::Span;
use crate::syntax::fold_name;
use crate::syntax::tree::Word;

use super::objects::{Piece, part_span};
use super::scope::{Fact, View, index};
use super::{Resolver, suggest};

/// Which word joins.
#[derive(Clone, Copy, PartialEq)]
enum Joint {
    And,
    Or,
}

impl Resolver<'_> {
    /// Reads a condition; what means nothing is told and counts as never decided (`Always`).
    pub(super) fn condition(&mut self, view: &View, word: &Word) -> Condition {
        let text = word.text.trim();
        if text.is_empty() {
            return Condition::Always;
        }
        let mut joints = Vec::new();
        if let Some(parts) = self.condition_parts(view, text, word, &mut joints) {
            return self.join(parts, &joints, word);
        }
        // An option whose name holds `and` is missed as a whole.
        let whole: Vec<String> =
            self.fact_names().into_iter().filter(|n| n.contains(" and ")).map(str::to_owned).collect();
        let meant = suggest::did_you_mean(text, whole.iter().map(String::as_str));
        if meant.is_some_and(|meant| suggest::is_certain(text, meant, whole.iter().map(String::as_str))) {
            self.unknown_condition(view, text, part_span(word, text));
            return Condition::Always;
        }
        // Tell what can't be read, piece by piece.
        let mut parts = Vec::new();
        for piece in text.replace(" or ", " and ").split(" and ").map(str::trim).filter(|p| !p.is_empty()) {
            let span = part_span(word, piece);
            match self.atom(view, piece, span) {
                Some(atom) => parts.push(atom),
                None => self.unknown_condition(view, piece, span),
            }
        }
        parts.into_iter().fold(Condition::Always, Condition::and)
    }

    fn join(&mut self, mut parts: Vec<Condition>, joints: &[Joint], word: &Word) -> Condition {
        if joints.contains(&Joint::And) && joints.contains(&Joint::Or) {
            self.tell(
                Diagnostic::error("bad-syntax", word.span, "`and` and `or` stand in one condition: it reads two ways")
                    .label("which goes with which?")
                    .help("Nest two blocks: the outer with one part, the inner with the other."),
            );
        }
        match (parts.len(), joints.first()) {
            (1, _) => parts.remove(0),
            (_, Some(Joint::Or)) => Condition::Any(parts),
            _ => Condition::All(parts),
        }
    }

    fn condition_parts(
        &mut self,
        view: &View,
        text: &str,
        word: &Word,
        joints: &mut Vec<Joint>,
    ) -> Option<Vec<Condition>> {
        if let Some(atom) = self.atom(view, text, part_span(word, text)) {
            return Some(vec![atom]);
        }
        let mut cuts: Vec<(usize, usize, Joint)> =
            text.match_indices(" and ").map(|(i, _)| (i, 5, Joint::And)).collect();
        cuts.extend(text.match_indices(" or ").map(|(i, _)| (i, 4, Joint::Or)));
        cuts.sort_by_key(|(i, ..)| *i);
        if cuts.len() > 40 {
            return None;
        }
        for (at, len, joint) in cuts.into_iter().rev() {
            let left = text[..at].trim();
            if let Some(atom) = self.atom(view, left, part_span(word, left)) {
                let mut more = Vec::new();
                if let Some(mut rest) = self.condition_parts(view, text[at + len..].trim(), word, &mut more) {
                    joints.push(joint);
                    joints.extend(more);
                    rest.insert(0, atom);
                    return Some(rest);
                }
            }
        }
        None
    }

    fn unknown_condition(&mut self, view: &View, text: &str, span: Span) {
        let mut names: Vec<String> = self.fact_names().into_iter().map(str::to_owned).collect();
        for option in &self.p.options {
            names.extend(option.values.iter().map(|v| format!("{} {v}", option.name)));
        }
        for set in &self.p.sets {
            names.extend(set.members.iter().map(|m| format!("{} {m}", set.name)));
        }
        for measurement in &self.p.measurements {
            names.push(format!("{} outside", measurement.name));
            names.push(format!("{} within", measurement.name));
        }
        names.extend(self.thing_names(view).into_iter().map(|n| format!("{n} bad")));
        for thing in &self.p.things {
            let members = thing.each.and_then(|set| self.p.sets.get(set.index())).map(|set| set.members.as_slice());
            names.extend(members.unwrap_or_default().iter().map(|member| format!("{member} {} bad", thing.name)));
        }
        let plain = text.trim_start_matches("not ");
        let meant = suggest::did_you_mean(plain, names.iter().map(String::as_str));
        let finding = Diagnostic::error("unknown-name", span, format!("'{text}' is no condition that this job knows"));
        let finding = match meant {
            Some(meant) => {
                let certain = suggest::is_certain(plain, meant, names.iter().map(String::as_str));
                let finding = finding.label(format!("did you mean '{meant}'?")).help(format!("Write '{meant}'."));
                let at = span.part(text.len() - plain.len()..text.len());
                let exact = certain && self.sources.text(span) == text;
                if exact { finding.fix(format!("write '{meant}'"), at, meant) } else { finding }
            }
            None => finding.label("not declared, not asked, not measured").help(
                "A condition is an option (declare it under `options`), an answer of an earlier `ask`, `X bad` after an `inspect` or `measure` of X, or `MEASUREMENT outside`.",
            ),
        };
        self.tell(finding);
    }

    /// One condition without `and` and `or`.
    fn atom(&mut self, view: &View, text: &str, span: Span) -> Option<Condition> {
        let text = text.trim();
        if text.is_empty() {
            return None;
        }
        if let Some(fact) = self.fact_named(text) {
            match fact {
                Fact::Option(option) if self.p[option].values.is_empty() => return Some(Condition::Option(option)),
                Fact::Ask(ask) => return Some(Condition::Found(Found::Answer(ask, 0))),
                _ => {}
            }
        }
        if let Some(rest) = text.strip_prefix("not ") {
            if let Some(atom) = self.atom(view, rest, span) {
                return Some(atom.negated());
            }
        }
        match fold_name(text).as_str() {
            "yes" => return view.last_ask.map(|a| Condition::Found(Found::Answer(a, 0))),
            "no" => return view.last_ask.map(|a| Condition::Found(Found::Answer(a, 1))),
            _ => {}
        }
        // The answer of an unnamed question stands alone.
        if let Some(ask) = view.last_ask {
            if let Some(i) = self.p[ask].answers.iter().position(|a| fold_name(a) == fold_name(text)) {
                return Some(Condition::Found(Found::Answer(ask, index(i))));
            }
        }
        let cuts: Vec<usize> = text.match_indices(' ').map(|(i, _)| i).collect();
        for cut in cuts.iter().rev() {
            let (name, value) = (text[..*cut].trim(), text[*cut..].trim());
            let name = name.strip_suffix(" is").or_else(|| name.strip_suffix(" are")).unwrap_or(name);
            if let Some(atom) = self.two_part(view, name, value, span) {
                return Some(atom);
            }
        }
        let (subject, state, negated) = self.state_strict(view, text, span, None)?;
        let state = StateRef { subject, state, negated, span, text: text.to_owned() };
        if let (State::Within | State::Outside, Subject::Measurement(id)) = (&state.state, &state.subject) {
            let outside = Condition::Found(Found::Outside(*id));
            return Some(if (state.state == State::Within) == state.negated { outside } else { outside.negated() });
        }
        Some(Condition::Found(Found::Is(state)))
    }

    fn two_part(&mut self, view: &View, name: &str, value: &str, span: Span) -> Option<Condition> {
        let (value, negated) = match value.strip_prefix("not ") {
            Some(rest) => (rest.trim(), true),
            None => (value, false),
        };
        let folded = fold_name(value);
        let finish = |c: Condition| Some(if negated { c.negated() } else { c });
        if let Some(fact) = self.fact_named(name) {
            match fact {
                Fact::Option(option) => {
                    if let Some(i) = self.p[option].values.iter().position(|v| fold_name(v) == folded) {
                        return finish(Condition::OptionIs(option, index(i)));
                    }
                    if self.p[option].values.is_empty() && matches!(folded.as_str(), "yes" | "no") {
                        let yes = Condition::Option(option);
                        return finish(if folded == "yes" { yes } else { yes.negated() });
                    }
                }
                Fact::Ask(ask) => {
                    let whole = if negated { format!("not {folded}") } else { folded.clone() };
                    if let Some(i) = self.p[ask].answers.iter().position(|a| fold_name(a) == whole) {
                        return Some(Condition::Found(Found::Answer(ask, index(i))));
                    }
                    if let Some(i) = self.p[ask].answers.iter().position(|a| fold_name(a) == folded) {
                        return finish(Condition::Found(Found::Answer(ask, index(i))));
                    }
                }
                Fact::Measurement(id) => match folded.as_str() {
                    "outside" | "bad" => return finish(Condition::Found(Found::Outside(id))),
                    "within" | "good" => return finish(Condition::Found(Found::Outside(id)).negated()),
                    _ => {}
                },
            }
        }
        if let Some(set) = self.set_named(name) {
            if let Some(i) = self.p[set].members.iter().position(|m| fold_name(m) == folded) {
                return finish(Condition::Member(set, index(i)));
            }
        }
        if matches!(folded.as_str(), "bad" | "good") {
            let seen = self.scope.seen.get(&fold_name(name)).copied();
            let thing = match self.piece(view, name, span) {
                Some(Piece::Thing(thing)) => Some(thing),
                _ => seen.map(|id| ThingRef { members: self.members(view, id), ..ThingRef::whole(id, span) }),
            };
            if let Some(thing) = thing {
                let bad = Condition::Found(Found::Bad(thing));
                return finish(if folded == "bad" { bad } else { bad.negated() });
            }
        }
        None
    }
}
