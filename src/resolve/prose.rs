//! Prose: `{pump bolts}` prints a name, `{pump bolts.torque}` a value, `{6.5 mm}` a checked quantity.

use crate::diagnostic::Diagnostic;
use crate::procedure::{Facts, Limits, MeasurementId, Prose, ProsePart, Size, ThingId};
use crate::quantity::{Spec, parse_spec};
use crate::source::Span;
use crate::syntax::fold_name;
use crate::syntax::tree::Word;

use super::objects::Piece;
use super::scope::{Fact, View};
use super::{Resolver, suggest};

impl Resolver<'_> {
    /// Resolves the `{…}` of prose. What means nothing is told and printed as it stands.
    pub(super) fn prose(&mut self, view: &View, word: &Word) -> Prose {
        let mut parts = Vec::new();
        let mut rest = word.text.as_str();
        while let Some(open) = rest.find('{') {
            let Some(close) = rest[open..].find('}').map(|c| open + c) else {
                self.tell(
                    Diagnostic::error("bad-syntax", word.span, "a `{` in this prose is never closed")
                        .help("Write `{6.5 mm}` or `{pump bolts.torque}`; a brace is for values only."),
                );
                break;
            };
            if open > 0 {
                parts.push(ProsePart::Text(rest[..open].to_owned()));
            }
            let inner = rest[open + 1..close].trim();
            let span = super::objects::part_span(word, &rest[open..=close]);
            parts.extend(self.value_in_prose(view, inner, span));
            rest = &rest[close + 1..];
        }
        if !rest.is_empty() {
            parts.push(ProsePart::Text(rest.to_owned()));
        }
        Prose { parts, span: word.span }
    }

    fn value_in_prose(&mut self, view: &View, inner: &str, span: Span) -> Vec<ProsePart> {
        if let Some(argument) = self.argument(view, inner).cloned() {
            if let Some(spec) = argument.spec {
                return vec![ProsePart::Value(spec)];
            }
            if let Some(Piece::Thing(thing)) = argument.piece {
                return vec![ProsePart::Name(thing.thing)];
            }
            if let Some(Piece::Measurement(id)) = argument.piece {
                return vec![ProsePart::Found(id)];
            }
            return vec![ProsePart::Words(argument.text)];
        }
        if let Some(Fact::Measurement(id)) = self.fact_named(inner) {
            return vec![ProsePart::Found(id)];
        }
        if let Some(piece) = self.piece(view, inner, span) {
            return match piece {
                Piece::Thing(thing) => vec![ProsePart::Name(thing.thing)],
                Piece::Measurement(id) => vec![ProsePart::Found(id)],
                Piece::Tool(tool) => vec![ProsePart::Words(self.p[tool].name.clone())],
                Piece::Supply(supply) => vec![ProsePart::Words(self.p[supply].name.clone())],
            };
        }
        if inner.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '−' | '+'))
            || inner.starts_with("at least ")
            || inner.starts_with("at most ")
        {
            return match parse_spec(inner) {
                Ok(spec) => vec![ProsePart::Value(spec)],
                Err(error) => {
                    self.tell(
                        Diagnostic::error(suggest::rule_of(&error), span, error.to_string())
                            .help("Write a number with its unit in the braces: `{6.5 mm}`."),
                    );
                    vec![ProsePart::Text(inner.to_owned())]
                }
            };
        }
        for (dot, _) in inner.match_indices('.').collect::<Vec<_>>().into_iter().rev() {
            let (name, value) = (inner[..dot].trim(), inner[dot + 1..].trim());
            if let Some(Fact::Measurement(id)) = self.fact_named(name) {
                return self.measured_value(id, value, span);
            }
            if let Some(Piece::Thing(thing)) = self.piece(view, name, span) {
                return self.thing_value(thing.thing, value, span);
            }
        }
        let name = inner.split('.').next().unwrap_or(inner).trim().to_owned();
        let mut names: Vec<String> = self.thing_names(view).into_iter().map(str::to_owned).collect();
        names.extend(self.fact_names().into_iter().map(str::to_owned));
        let hint = suggest::hint(&name, names.iter().map(String::as_str));
        self.tell(
            Diagnostic::error("unknown-name", span, format!("nothing here is called '{name}'"))
                .help(format!("{hint} In braces stands a declared name, a value of it (`{{pump bolts.torque}}`) or a quantity (`{{6.5 mm}}`).").trim().to_owned()),
        );
        vec![ProsePart::Text(inner.to_owned())]
    }

    fn measured_value(&mut self, id: MeasurementId, value: &str, span: Span) -> Vec<ProsePart> {
        let measurement = &self.p[id];
        let found = match fold_name(value).as_str() {
            "limits" | "limit" | "range" => measurement.limits.iter().find_map(|(_, l)| match l {
                Limits::Spec(spec) => Some(spec.clone()),
                _ => None,
            }),
            "new" => measurement.new.clone(),
            "set" => measurement.set.clone(),
            _ => None,
        };
        match found {
            Some(spec) => vec![ProsePart::Value(spec)],
            None => self.no_value(&measurement.name.clone(), value, span, "limits, new, set"),
        }
    }

    fn no_value(&mut self, name: &str, value: &str, span: Span, could: &str) -> Vec<ProsePart> {
        self.tell(
            Diagnostic::error("unknown-name", span, format!("'{name}' states no '{value}'"))
                .help(format!("Values are: {could}. State it in the declaration, or write the figure: `{{6.5 mm}}`.")),
        );
        vec![ProsePart::Text(format!("{name} {value}"))]
    }

    fn thing_value(&mut self, thing: ThingId, value: &str, span: Span) -> Vec<ProsePart> {
        let facts = self.p[thing].facts.clone();
        let number = self.p[thing].number.clone();
        let name = self.p[thing].name.clone();
        let spec = |q: &Option<crate::quantity::Quantity>| q.clone().map(|q| vec![ProsePart::Value(Spec::Exactly(q))]);
        let words = |w: Option<String>| w.map(|w| vec![ProsePart::Words(w)]);
        let found = match fold_name(value).as_str() {
            "name" => Some(vec![ProsePart::Name(thing)]),
            "torque" => torque_parts(&facts),
            "count" => words(Some(facts.count.to_string())),
            "size" => words(facts.fastening.as_ref().and_then(|f| f.size.as_ref()).map(|s| match s {
                Size::Thread(t) | Size::Kind(_, Some(t)) => t.to_string(),
                Size::Kind(k, None) => k.clone(),
            })),
            "at most" => facts.fastening.as_ref().and_then(|f| spec(&f.at_most)),
            "drains" => facts.fluid.as_ref().and_then(|f| spec(&f.drains)),
            "capacity" | "amount" | "volume" => facts.fluid.as_ref().and_then(|f| spec(&f.capacity)),
            "mix" => facts.fluid.as_ref().and_then(|f| spec(&f.mix)),
            "old mix" => facts.fluid.as_ref().and_then(|f| spec(&f.old_mix)),
            "protects to" | "protection" => facts.fluid.as_ref().and_then(|f| spec(&f.protects_to)),
            "spec" => facts.fluid.as_ref().and_then(|f| f.spec.first()).map(|p| p.parts.clone()),
            "weight" | "weighs" | "mass" => spec(&facts.weighs),
            "number" => words(number),
            "orient" => facts.orient.first().map(|o| o.prose.parts.clone()),
            _ => None,
        };
        found.unwrap_or_else(|| {
            self.no_value(
                &name,
                value,
                span,
                "torque, count, size, at most, drains, capacity, mix, old mix, protects to, spec, weighs, number",
            )
        })
    }
}

/// The final value of a recipe, with its angle.
fn torque_parts(facts: &Facts) -> Option<Vec<ProsePart>> {
    use crate::procedure::PassAction;
    let fastening = facts.fastening.as_ref()?;
    let mut parts = Vec::new();
    if let Some(torque) = fastening.final_torque() {
        parts.push(ProsePart::Value(torque.clone()));
    }
    for pass in &fastening.passes {
        if let PassAction::Turn(angle) = &pass.action {
            if !parts.is_empty() {
                parts.push(ProsePart::Text(" + ".to_owned()));
            }
            parts.push(ProsePart::Value(Spec::Exactly(angle.clone())));
        }
    }
    if parts.is_empty() && fastening.passes.iter().any(|p| p.action == PassAction::HandTight) {
        parts.push(ProsePart::Words("hand tight".to_owned()));
    }
    (!parts.is_empty()).then_some(parts)
}
