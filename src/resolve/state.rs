//! States named in declarations and clauses: `battery cable disconnected`, `vehicle lowered`, `toe within`.

use crate::diagnostic::Diagnostic;
use crate::procedure::{PairId, State, StateRef, Subject, ThingId, ThingRef, Verb};
use crate::source::Span;
use crate::syntax::fold_name;
use crate::syntax::tree::Word;

use super::Resolver;
use super::objects::Piece;
use super::scope::{Fact, View, index};

/// State words of the language, and what else a technician calls them.
const STATES: &[(&str, State)] = &[
    ("fitted", State::Fitted),
    ("refitted", State::Fitted),
    ("removed", State::Removed),
    ("disconnected", State::Disconnected),
    ("connected", State::Connected),
    ("moved aside", State::Aside),
    ("aside", State::Aside),
    ("returned", State::Returned),
    ("loose", State::Loose),
    ("loosened", State::Loose),
    ("slack", State::Loose),
    ("tight", State::Tight),
    ("tightened", State::Tight),
    ("open", State::Open),
    ("opened", State::Open),
    ("closed", State::Closed),
    ("shut", State::Closed),
    ("drained", State::Drained),
    ("empty", State::Drained),
    ("filled", State::Filled),
    ("full", State::Filled),
    ("bled", State::Bled),
    ("raised", State::Raised),
    ("lowered", State::Lowered),
    ("supported", State::Supported),
    ("released", State::Released),
    ("locked", State::Locked),
    ("unlocked", State::Unlocked),
    ("chocked", State::Chocked),
    ("unchocked", State::Unchocked),
    ("off", State::SwitchedOff),
    ("switched off", State::SwitchedOff),
    ("on", State::SwitchedOn),
    ("switched on", State::SwitchedOn),
    ("placed", State::Placed),
    ("in place", State::Placed),
    ("started", State::Started),
    ("in", State::In),
    ("out", State::Out),
    ("cooled", State::Cooled),
    ("cool", State::Cooled),
    ("cold", State::Cooled),
    ("hot", State::Hot),
    ("warm", State::Hot),
    ("running", State::Running),
    ("stopped", State::Stopped),
    ("bad", State::Bad),
    ("good", State::Good),
    ("within", State::Within),
    ("outside", State::Outside),
    ("marked", State::Done(Verb::Mark)),
    ("cleaned", State::Done(Verb::Clean)),
    ("clean", State::Done(Verb::Clean)),
    ("inspected", State::Done(Verb::Inspect)),
    ("measured", State::Done(Verb::Measure)),
    ("lubricated", State::Done(Verb::Lubricate)),
    ("greased", State::Done(Verb::Lubricate)),
    ("oiled", State::Done(Verb::Lubricate)),
    ("applied", State::Done(Verb::Apply)),
    ("set", State::Done(Verb::Set)),
    ("aligned", State::Done(Verb::Align)),
    ("adjusted", State::Done(Verb::Adjust)),
    ("turned", State::Done(Verb::Turn)),
    ("tested", State::Done(Verb::Test)),
    ("checked", State::Done(Verb::Check)),
    ("read", State::Done(Verb::Read)),
    ("cleared", State::Done(Verb::Clear)),
    ("recorded", State::Done(Verb::Record)),
    ("topped up", State::Done(Verb::TopUp)),
    ("driven", State::Done(Verb::Drive)),
    ("transferred", State::Done(Verb::Transfer)),
    ("stored", State::Done(Verb::Store)),
    ("discarded", State::Done(Verb::Discard)),
    ("renewed", State::Done(Verb::Renew)),
    ("worked out", State::Done(Verb::WorkOut)),
];

impl Resolver<'_> {
    /// The state that `word` names, the shop's own first.
    fn state_word(&self, word: &str) -> Option<State> {
        let folded = fold_name(word);
        for (i, pair) in self.p.pairs.iter().enumerate() {
            let id = PairId(index(i));
            let built_in = STATES.iter().find(|(w, _)| *w == pair.away);
            if pair.away == folded {
                return Some(built_in.map_or(State::Away(id), |(_, s)| s.clone()));
            }
            if pair.home.as_deref() == Some(folded.as_str()) {
                return Some(State::HomeOf(id));
            }
        }
        STATES.iter().find(|(w, _)| *w == folded).map(|(_, s)| s.clone())
    }

    /// Splits `text` into subject and state; nothing where either means nothing.
    pub(super) fn state_strict(
        &mut self,
        view: &View,
        text: &str,
        span: Span,
        own: Option<ThingId>,
    ) -> Option<(Subject, State, bool)> {
        let text = text.trim();
        if let (Some(own), Some((state, negated))) = (own, self.bare_state(text)) {
            return Some((Subject::Thing(self.own_ref(view, own, span)), state, negated));
        }
        let cuts: Vec<usize> = text.match_indices(' ').map(|(i, _)| i).collect();
        for cut in cuts {
            let (subject, word) = (text[..cut].trim(), text[cut..].trim());
            let Some((state, negated)) = self.bare_state(word) else { continue };
            // `rod pin is removed` reads like `rod pin removed`.
            let subject = subject.strip_suffix(" is").or_else(|| subject.strip_suffix(" are")).unwrap_or(subject);
            if matches!(state, State::Within | State::Outside) {
                if let Some(Fact::Measurement(id)) = self.fact_named(subject) {
                    return Some((Subject::Measurement(id), state, negated));
                }
            }
            match self.piece(view, subject, span) {
                Some(Piece::Thing(thing)) => return Some((Subject::Thing(thing), state, negated)),
                Some(Piece::Measurement(id)) => return Some((Subject::Measurement(id), state, negated)),
                _ => {}
            }
        }
        None
    }

    fn own_ref(&self, view: &View, own: ThingId, span: Span) -> ThingRef {
        let mut own_ref = ThingRef::whole(own, span);
        own_ref.members = self.members(view, own);
        own_ref
    }

    fn bare_state(&self, word: &str) -> Option<(State, bool)> {
        if let Some(state) = self.state_word(word) {
            return Some((state, false));
        }
        let rest = word.strip_prefix("not ")?;
        self.state_word(rest.trim()).map(|s| (s, true))
    }

    /// Several states joined by `and`; one word a state.
    pub(super) fn split_states(&mut self, view: &View, states: &Word) -> Vec<Word> {
        let mut out = Vec::new();
        let mut rest = states.text.as_str();
        'next: while !rest.is_empty() {
            let mut ends: Vec<usize> = rest.match_indices(" and ").map(|(i, _)| i).collect();
            ends.push(rest.len());
            for end in ends.into_iter().take(40).rev() {
                let piece = rest[..end].trim();
                let span = super::objects::part_span(states, piece);
                if self.state_strict(view, piece, span, None).is_some() {
                    out.push(Word { text: piece.to_owned(), span });
                    rest = rest.get(end + 5..).unwrap_or("");
                    continue 'next;
                }
            }
            out.push(Word { text: rest.trim().to_owned(), span: super::objects::part_span(states, rest.trim()) });
            break;
        }
        out
    }

    /// A state, as well as it can be read: what no word of the language names must be left by an act (checked at the end).
    pub(super) fn state(&mut self, view: &View, state: &Word, own: Option<ThingId>) -> StateRef {
        let text = state.text.trim().to_owned();
        let make = |subject, state_of, negated| StateRef {
            subject,
            state: state_of,
            negated,
            span: state.span,
            text: text.clone(),
        };
        if let Some((subject, found, negated)) = self.state_strict(view, &text, state.span, own) {
            return make(subject, found, negated);
        }
        // The longest declared name, then words.
        let cuts: Vec<usize> = text.match_indices(' ').map(|(i, _)| i).collect();
        for cut in cuts.into_iter().rev() {
            if let Some(Piece::Thing(thing)) = self.piece(view, &text[..cut], state.span) {
                let words = fold_name(&text[cut..]);
                return make(Subject::Thing(thing), State::Words(words), false);
            }
        }
        if let Some(own) = own {
            return make(Subject::Thing(self.own_ref(view, own, state.span)), State::Words(fold_name(&text)), false);
        }
        make(Subject::Words(text.clone()), State::Words(fold_name(&text)), false)
    }

    /// States that no act of the job leaves can never be met: told once everything is read.
    pub(super) fn check_words_states(&mut self) {
        let mut left: Vec<String> = Vec::new();
        crate::procedure::steps_of(&self.p.body, &mut |step| {
            if let Some(state) = &step.state {
                left.push(fold_name(&state.text));
            }
            for object in &step.objects {
                if let crate::procedure::Object::Free(text, _) = object {
                    left.push(fold_name(text));
                }
            }
        });
        // A need or a setting that waits for a state that nothing brings about is told by the proof, where it is waited
        // for; that a ban or a debt never comes to bind is seen here only.
        let mut asked: Vec<(StateRef, bool)> = Vec::new();
        for thing in &self.p.things {
            // A shared machine file may speak of what this job never does.
            if thing.shared {
                continue;
            }
            for (_, facts) in thing.all_facts() {
                asked.extend(facts.needs.iter().map(|n| (n.state.clone(), true)));
                asked.extend(facts.forbidden.iter().map(|n| (n.state.clone(), false)));
                asked.extend(facts.debts.iter().map(|n| (n.state.clone(), false)));
                if let Some(fastening) = &facts.fastening {
                    asked.extend(fastening.tighten_at.iter().map(|s| (s.clone(), true)));
                    asked.extend(fastening.passes.iter().filter_map(|p| Some((p.at.clone()?, true))));
                }
            }
        }
        for (state, proof_tells) in asked {
            if !matches!(state.state, State::Words(_)) || left.contains(&fold_name(&state.text)) {
                continue;
            }
            let last = state.text.rsplit(' ').next().unwrap_or_default().to_owned();
            let own: Vec<String> = self.p.pairs.iter().map(|p| p.away.clone()).collect();
            if let Some(finding) = self.slip_in_state(&state, &own) {
                self.tell(finding);
                continue;
            }
            let words = STATES.iter().map(|(w, _)| *w).chain(own.iter().map(String::as_str));
            let slip = super::suggest::did_you_mean(&last, words.clone())
                .is_some_and(|meant| super::suggest::is_certain(&last, meant, words.clone()));
            if proof_tells && !slip {
                continue;
            }
            let hint = super::suggest::hint(&last, words);
            self.tell(
                Diagnostic::error("unknown-name", state.span, format!("no act of this job leaves '{}'", state.text))
                    .help(
                        format!(
                            "{hint} Write a thing and its state (`battery cable disconnected`), a state of your own pair under `acts`, or what a `wait …, until …` leaves."
                        )
                        .trim()
                        .to_owned(),
                    ),
            );
        }
    }

    /// A state that can be read, of a thing whose name has a slip in it.
    fn slip_in_state(&self, state: &StateRef, own: &[String]) -> Option<Diagnostic> {
        let words = STATES.iter().map(|(w, _)| *w).chain(own.iter().map(String::as_str));
        let names: Vec<&str> = self.p.things.iter().map(|t| t.name.as_str()).collect();
        words.filter_map(|word| Some((state.text.strip_suffix(word)?.strip_suffix(' ')?, word))).find_map(
            |(name, word)| {
                let meant = super::suggest::did_you_mean(name, names.iter().copied())?;
                if !super::suggest::is_certain(name, meant, names.iter().copied()) {
                    return None;
                }
                let finding = Diagnostic::error("unknown-name", state.span, format!("nothing here is called '{name}'"))
                    .label(format!("did you mean '{meant} {word}'?"))
                    .help(format!("Write '{meant} {word}'."));
                let exact = self.sources.text(state.span).starts_with(name);
                Some(if exact {
                    finding.fix(format!("write '{meant}'"), state.span.part(0..name.len()), meant)
                } else {
                    finding
                })
            },
        )
    }
}
