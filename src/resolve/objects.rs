//! What an act is done to: names, longest first; `old`, `new`, parts of groups, members of sets.

use crate::diagnostic::Diagnostic;
use crate::procedure::{
    Builtin, MeasurementId, Members, Object, Portion, SetId, SupplyId, ThingId, ThingKind, ThingRef, Tool, ToolId,
    Verb, Version,
};
use crate::source::Span;
use crate::syntax::fold_name;
use crate::syntax::tree::Word;

use super::Resolver;
use super::scope::{Binding, Fact, View, index};

/// Something that a name means.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Piece {
    Thing(ThingRef),
    Measurement(MeasurementId),
    Tool(ToolId),
    Supply(SupplyId),
}

/// What every machine has, as an author names it.
pub const BUILT_IN: &[(&str, Builtin)] = &[
    ("engine", Builtin::Engine),
    ("vehicle", Builtin::Vehicle),
    ("front", Builtin::Front),
    ("rear", Builtin::Rear),
    ("wheels", Builtin::Wheels),
    ("front wheels", Builtin::FrontWheels),
    ("rear wheels", Builtin::RearWheels),
    ("crankshaft", Builtin::Crankshaft),
    ("ignition", Builtin::Ignition),
];

/// The place of `part`, a slice of `word`'s text (or equal to a piece of it); the whole word where it is not found.
pub(super) fn part_span(word: &Word, part: &str) -> Span {
    match word.text.find(part) {
        Some(at) if word.span.range().len() == word.text.len() => word.span.part(at..at + part.len()),
        _ => word.span,
    }
}

/// `1 to 4`, `2 4 6`, `1, 3 and 5` → the numbers, or nothing.
fn numbers(text: &str) -> Option<Vec<u32>> {
    let words: Vec<&str> = text.split([' ', ',']).filter(|w| !w.is_empty() && !w.eq_ignore_ascii_case("and")).collect();
    let mut out: Vec<u32> = Vec::new();
    let mut i = 0;
    while i < words.len() {
        if words[i].eq_ignore_ascii_case("to") {
            let from = *out.last()?;
            let to: u32 = words.get(i + 1)?.parse().ok()?;
            if to < from || to - from > 500 {
                return None;
            }
            out.extend(from + 1..=to);
            i += 2;
        } else {
            out.push(words[i].parse().ok()?);
            i += 1;
        }
    }
    (!out.is_empty()).then_some(out)
}

fn strip_word<'t>(text: &'t str, word: &str) -> Option<&'t str> {
    let head = text.get(..word.len())?;
    let rest = text.get(word.len()..)?;
    (head.eq_ignore_ascii_case(word) && rest.starts_with(char::is_whitespace)).then(|| rest.trim_start())
}

impl Resolver<'_> {
    pub(super) fn members(&self, view: &View, thing: ThingId) -> Members {
        match self.p[thing].each {
            None => Members::Single,
            Some(set) => match view.binding(set) {
                Some(Binding::Loop) => Members::This,
                Some(Binding::Member(i)) => Members::One(i),
                None => Members::All,
            },
        }
    }

    fn thing_ref(&self, view: &View, thing: ThingId, span: Span) -> ThingRef {
        ThingRef { members: self.members(view, thing), ..ThingRef::whole(thing, span) }
    }

    /// The built-in thing of this name, made when first named.
    fn built_in(&mut self, name: &str, span: Span) -> Option<ThingId> {
        let folded = fold_name(name);
        let (_, builtin) = BUILT_IN.iter().find(|(n, _)| *n == folded)?;
        if let Some(i) = self.p.things.iter().position(|t| t.kind == ThingKind::Builtin(*builtin)) {
            return Some(ThingId(index(i)));
        }
        Some(self.add_thing(&Word { text: folded, span }, ThingKind::Builtin(*builtin), true))
    }

    /// Member of a set named at the start of `text`: `left caliper`, `cylinder 3 injector`, `side left caliper`.
    fn leading_member<'t>(&self, text: &'t str) -> Option<(SetId, u32, &'t str)> {
        for (i, set) in self.p.sets.iter().enumerate() {
            let body =
                super::verbs::after_phrase(text, &fold_name(&set.name)).map_or(text, |at| text[at..].trim_start());
            for (m, member) in set.members.iter().enumerate() {
                // A bare number is no member: `2 injectors` counts.
                if body.len() == text.len() && member.chars().all(|c| c.is_ascii_digit()) {
                    continue;
                }
                if let Some(at) = super::verbs::after_phrase(body, &fold_name(member)) {
                    let rest = body[at..].trim_start();
                    if !rest.is_empty() {
                        return Some((SetId(index(i)), index(m), rest));
                    }
                }
            }
        }
        None
    }

    /// Member named at the end: `injector 3`, `caliper left`, `injector of cylinder 3`.
    fn trailing_member<'t>(&self, text: &'t str) -> Option<(SetId, u32, &'t str)> {
        let (head, last) = text.rsplit_once(' ')?;
        for (i, set) in self.p.sets.iter().enumerate() {
            let Some(m) = set.members.iter().position(|m| fold_name(m) == fold_name(last)) else { continue };
            let mut head = head.trim_end();
            for tail in [format!(" of {}", set.name), format!(" {}", set.name)] {
                if head.len() > tail.len()
                    && head.get(head.len() - tail.len()..).is_some_and(|t| t.eq_ignore_ascii_case(&tail))
                {
                    head = head[..head.len() - tail.len()].trim_end();
                    break;
                }
            }
            if self.thing_named(head).is_some_and(|t| self.p[t].each == Some(SetId(index(i)))) {
                return Some((SetId(index(i)), index(m), head));
            }
        }
        None
    }

    /// What one name means, if anything.
    pub(super) fn piece(&mut self, view: &View, text: &str, span: Span) -> Option<Piece> {
        let text = text.trim();
        let text = text.strip_prefix('{').and_then(|t| t.strip_suffix('}')).unwrap_or(text).trim();
        if text.is_empty() {
            return None;
        }
        if let Some(argument) = self.argument(view, text) {
            return match &argument.piece {
                Some(Piece::Thing(thing)) => Some(Piece::Thing(ThingRef { span, ..thing.clone() })),
                other => other.clone(),
            };
        }
        if let Some(thing) = self.thing_named(text) {
            return Some(Piece::Thing(self.thing_ref(view, thing, span)));
        }
        if let Some(Fact::Measurement(id)) = self.fact_named(text) {
            return Some(Piece::Measurement(id));
        }
        if let Some(tool) = self.tool_named(text) {
            return Some(Piece::Tool(tool));
        }
        if let Some(supply) = self.supply_named(text) {
            return Some(Piece::Supply(supply));
        }
        if let Some(thing) = self.built_in(text, span) {
            return Some(Piece::Thing(ThingRef::whole(thing, span)));
        }
        let inner = |r: &mut Self, rest: &str| match r.piece(view, rest, span) {
            Some(Piece::Thing(thing)) => Some(thing),
            _ => None,
        };
        if let Some(rest) = strip_word(text, "the") {
            return self.piece(view, rest, span);
        }
        for (word, version) in [("old", Version::Old), ("new", Version::New)] {
            if let Some(rest) = strip_word(text, word) {
                if let Some(thing) = inner(self, rest) {
                    return Some(Piece::Thing(ThingRef { version, ..thing }));
                }
            }
        }
        for word in ["all of", "all", "both", "each"] {
            if let Some(rest) = strip_word(text, word) {
                if let Some(thing) = inner(self, rest) {
                    return Some(Piece::Thing(thing));
                }
            }
        }
        for word in ["positions", "position"] {
            if let Some(rest) = strip_word(text, word) {
                if let Some((list, of)) = rest.split_once(" of ") {
                    if let (Some(positions), Some(thing)) = (numbers(list), inner(self, of)) {
                        return Some(Piece::Thing(ThingRef { portion: Portion::Positions(positions), ..thing }));
                    }
                }
            }
        }
        if let Some((count, of)) = text.split_once(" of ") {
            let count = count.trim().trim_start_matches("the ").trim_start_matches("other ").trim();
            if let Ok(count) = count.parse::<u32>() {
                if let Some(thing) = inner(self, of) {
                    return Some(Piece::Thing(ThingRef { portion: Portion::Count(count), ..thing }));
                }
            }
        }
        if let Some((set, member, rest)) = self.leading_member(text) {
            if let Some(thing) = inner(self, rest) {
                if self.p[thing.thing].each == Some(set) {
                    return Some(Piece::Thing(ThingRef { members: Members::One(member), ..thing }));
                }
            }
        }
        if let Some((_, member, head)) = self.trailing_member(text) {
            if let Some(thing) = inner(self, head) {
                return Some(Piece::Thing(ThingRef { members: Members::One(member), ..thing }));
            }
        }
        None
    }

    /// Splits at ` and ` so that every piece means something; a name that holds `and` wins. Nothing where it can't be.
    pub(super) fn pieces(&mut self, view: &View, text: &str, whole: &Word) -> Option<Vec<(String, Span, Piece)>> {
        let span = part_span(whole, text);
        if let Some(piece) = self.piece(view, text, span) {
            return Some(vec![(text.trim().to_owned(), span, piece)]);
        }
        let cuts: Vec<usize> = text.match_indices(" and ").map(|(i, _)| i).collect();
        if cuts.len() > 40 {
            return None;
        }
        // Longest first piece first, so that a name with `and` in it wins over the split.
        for cut in cuts.into_iter().rev() {
            let (left, right) = (text[..cut].trim(), text[cut + 5..].trim());
            let left_span = part_span(whole, left);
            if let Some(piece) = self.piece(view, left, left_span) {
                if let Some(mut rest) = self.pieces(view, right, whole) {
                    rest.insert(0, (left.to_owned(), left_span, piece));
                    return Some(rest);
                }
            }
        }
        None
    }

    /// Plain split at ` and ` for lists that may hold undeclared words; declared names that hold `and` stay whole.
    pub(super) fn split_list(&mut self, view: &View, text: &str) -> Vec<String> {
        let word = Word { text: text.to_owned(), span: Span::default() };
        match self.pieces(view, text, &word) {
            Some(pieces) => pieces.into_iter().map(|(t, ..)| t).collect(),
            None => text.split(" and ").map(|s| s.trim().to_owned()).filter(|s| !s.is_empty()).collect(),
        }
    }

    /// A finding for a name that nothing has.
    pub(super) fn unknown_thing(&mut self, view: &View, name: &str, span: Span) {
        let names = self.thing_names(view).into_iter().map(str::to_owned).collect::<Vec<_>>();
        // `new`, `left` and the like stand before a name and are no part of it.
        let members = self.p.sets.iter().flat_map(|s| &s.members).map(|m| format!("{m} "));
        let before: Vec<String> = ["new ", "old "].map(str::to_owned).into_iter().chain(members).collect();
        let mut plain = name;
        while let Some(rest) = before.iter().find_map(|word| plain.strip_prefix(word.as_str())) {
            plain = rest;
        }
        // So do `2 of` and `positions 1 to 4 of`.
        let counted = plain.starts_with("positions ") || plain.starts_with(|c: char| c.is_ascii_digit());
        if let Some((_, rest)) = plain.split_once(" of ").filter(|_| counted) {
            plain = rest.trim_start();
        }
        let first = &name[..name.len() - plain.len()];
        let known = || names.iter().map(String::as_str);
        let meant = super::suggest::did_you_mean(plain, known());
        let certain = meant.is_some_and(|meant| super::suggest::is_certain(plain, meant, known()));
        self.p.doubtful.extend(meant.and_then(|meant| self.thing_named(meant)));
        let meant = meant.map(|meant| format!("{first}{meant}"));
        let mut finding = Diagnostic::error("unknown-name", span, format!("nothing here is called '{name}'"));
        finding = match meant {
            Some(meant) => {
                let exact = certain && self.sources.text(span) == name;
                let finding = finding
                    .label(format!("did you mean '{meant}'?"))
                    .help(format!("Write '{meant}', or declare '{plain}' under `parts`, `fasteners` or `fluids`."));
                if exact { finding.fix(format!("write '{meant}'"), span, meant) } else { finding }
            }
            None => finding.label("not declared").help(format!(
                "Declare it: under `parts` write `{plain}: held by …`, or name the machine file in `uses`."
            )),
        };
        self.tell(finding);
    }

    /// A thing by its name, or a finding.
    pub(super) fn thing_or_tell(&mut self, view: &View, name: &Word, what: &str) -> Option<ThingId> {
        match self.piece(view, &name.text, name.span) {
            Some(Piece::Thing(thing)) => Some(thing.thing),
            Some(_) => {
                self.tell(
                    Diagnostic::error("unknown-name", name.span, format!("'{}' is not {what}", name.text))
                        .help(format!("Name {what} that is declared.")),
                );
                None
            }
            None => {
                self.unknown_thing(view, &name.text, name.span);
                None
            }
        }
    }

    /// `A and B` in a declaration.
    pub(super) fn thing_list(&mut self, view: &View, list: &Word) -> Vec<ThingId> {
        self.thing_refs(view, list).into_iter().map(|r| r.thing).collect()
    }

    /// The same, with the member of its set that each name means.
    pub(super) fn thing_refs(&mut self, view: &View, list: &Word) -> Vec<ThingRef> {
        let pieces = match self.pieces(view, &list.text, list) {
            Some(pieces) => pieces.into_iter().map(|(t, s, p)| (t, s, Some(p))).collect(),
            None => {
                let mut out: Vec<(String, Span, Option<Piece>)> = Vec::new();
                for part in list.text.split(" and ").map(str::trim).filter(|p| !p.is_empty()) {
                    let span = part_span(list, part);
                    let piece = self.piece(view, part, span);
                    out.push((part.to_owned(), span, piece));
                }
                out
            }
        };
        let mut ids = Vec::new();
        for (text, span, piece) in pieces {
            match piece {
                Some(Piece::Thing(thing)) => ids.push(thing),
                Some(_) => self.tell(
                    Diagnostic::error("unknown-name", span, format!("'{text}' is no part, fastener or fluid"))
                        .help("Name a thing declared under `parts`, `fasteners` or `fluids`."),
                ),
                None => self.unknown_thing(view, &text, span),
            }
        }
        ids
    }

    /// Objects of a step.
    pub(super) fn objects(&mut self, view: &View, verb: Verb, text: &str, head: &Word) -> Vec<Object> {
        let text = text.trim();
        if text.is_empty() {
            return Vec::new();
        }
        if let Some(pieces) = self.pieces(view, text, head) {
            return pieces.into_iter().map(|(t, span, piece)| self.object(verb, &t, span, piece)).collect();
        }
        if verb == Verb::Inspect {
            let mut seen = Vec::new();
            for part in text.split(" and ").map(str::trim).filter(|p| !p.is_empty()) {
                let span = part_span(head, part);
                let known = self.scope.seen.get(&fold_name(part)).copied();
                match (self.piece(view, part, span), known) {
                    (Some(piece), _) => seen.push(self.object(verb, part, span, piece)),
                    (None, Some(id)) => seen.push(Object::Thing(self.thing_ref(view, id, span))),
                    (None, None) => return vec![Object::Free(text.to_owned(), part_span(head, text))],
                }
            }
            return seen;
        }
        if !verb.needs_a_thing() {
            return vec![Object::Free(text.to_owned(), part_span(head, text))];
        }
        // Tell each piece that means nothing; keep the others.
        let mut out = Vec::new();
        for part in text.split(" and ").map(str::trim).filter(|p| !p.is_empty()) {
            let span = part_span(head, part);
            match self.piece(view, part, span) {
                Some(piece) => out.push(self.object(verb, part, span, piece)),
                None => self.unknown_thing(view, part, span),
            }
        }
        out
    }

    fn object(&mut self, verb: Verb, text: &str, span: Span, piece: Piece) -> Object {
        match piece {
            Piece::Thing(thing) => Object::Thing(thing),
            Piece::Measurement(id) => Object::Measurement(id, Members::Single),
            Piece::Tool(tool) if !verb.needs_a_thing() => Object::Tool(tool),
            Piece::Supply(supply) if !verb.needs_a_thing() => Object::Supply(supply),
            Piece::Tool(_) | Piece::Supply(_) => {
                self.tell(
                    Diagnostic::error(
                        "unknown-name",
                        span,
                        format!("'{text}' is declared as a tool or supply, not as a part"),
                    )
                    .help(format!(
                        "What goes in and comes out again is a part: under `parts` write `{text}: temporary`."
                    )),
                );
                Object::Free(text.to_owned(), span)
            }
        }
    }

    /// The tool of this name; one that is not declared is a common tool and joins the list.
    pub(super) fn tool_or_common(&mut self, name: &Word) -> ToolId {
        if let Some(tool) = self.tool_named(&name.text) {
            return tool;
        }
        self.p.tools.push(Tool {
            name: name.text.clone(),
            span: name.span,
            declared: false,
            ranges: Vec::new(),
            reads: Vec::new(),
            length: None,
            number: None,
            details: Vec::new(),
        });
        ToolId(index(self.p.tools.len() - 1))
    }
}

#[cfg(test)]
mod tests {
    use super::numbers;

    #[test]
    fn lists_of_positions_are_read() {
        assert_eq!(numbers("1 to 4"), Some(vec![1, 2, 3, 4]));
        assert_eq!(numbers("2 4 6"), Some(vec![2, 4, 6]));
        assert_eq!(numbers("1, 3 and 5"), Some(vec![1, 3, 5]));
        assert_eq!(numbers("4 to 1"), None);
        assert_eq!(numbers("two"), None);
    }
}
