//! `work out NAME = …`: reading the formula and running its examples.

use std::collections::BTreeMap;

use crate::diagnostic::Diagnostic;
use crate::procedure::{Example, Formula, MeasurementId, WorkOut};
use crate::quantity::{Kind, Number, Quantity, Rounding, parse_quantity};
use crate::syntax::fold_name;
use crate::syntax::tree::Word;

use super::objects::part_span;
use super::scope::{Fact, View};
use super::{Resolver, suggest};

/// A piece of a formula.
#[derive(Clone, Debug, PartialEq)]
enum Token {
    Open,
    Close,
    Operator(char),
    Term(String),
}

/// Operators stand between spaces, so that names may hold `-` and `/`.
fn tokens(text: &str) -> Vec<Token> {
    let mut out: Vec<Token> = Vec::new();
    let mut term = String::new();
    let mut depth = 0_u32;
    let flush = |term: &mut String, out: &mut Vec<Token>| {
        let text = term.trim().to_owned();
        if !text.is_empty() {
            out.push(Token::Term(text));
        }
        term.clear();
    };
    let chars: Vec<char> = text.chars().collect();
    for (i, c) in chars.iter().enumerate() {
        let between = (i == 0 || chars[i - 1] == ' ') && chars.get(i + 1).is_none_or(|n| *n == ' ');
        let unmatched = term.matches('(').count() > term.matches(')').count();
        match c {
            '+' | '-' | '/' | 'x' | '×' | '−' | '*'
                if between && !term.trim().is_empty() | matches!(out.last(), Some(Token::Close)) =>
            {
                flush(&mut term, &mut out);
                out.push(Token::Operator(match c {
                    '×' | '*' => 'x',
                    '−' => '-',
                    other => *other,
                }));
            }
            '(' if term.trim().is_empty() => {
                depth += 1;
                term.clear();
                out.push(Token::Open);
            }
            ')' if depth > 0 && !unmatched => {
                depth -= 1;
                flush(&mut term, &mut out);
                out.push(Token::Close);
            }
            other => term.push(*other),
        }
    }
    flush(&mut term, &mut out);
    out
}

struct Reader<'r, 'a, 'v> {
    r: &'r mut Resolver<'a>,
    view: &'v View,
    tokens: Vec<Token>,
    at: usize,
    head: &'v Word,
    depth: usize,
}

impl Reader<'_, '_, '_> {
    fn sum(&mut self) -> Option<Formula> {
        let mut left = self.product()?;
        while let Some(Token::Operator(op @ ('+' | '-'))) = self.tokens.get(self.at).cloned() {
            self.at += 1;
            let right = Box::new(self.product()?);
            left = if op == '+' { Formula::Add(Box::new(left), right) } else { Formula::Sub(Box::new(left), right) };
        }
        Some(left)
    }

    fn product(&mut self) -> Option<Formula> {
        let mut left = self.term()?;
        while let Some(Token::Operator(op @ ('x' | '/'))) = self.tokens.get(self.at).cloned() {
            self.at += 1;
            let right = Box::new(self.term()?);
            left = if op == 'x' { Formula::Mul(Box::new(left), right) } else { Formula::Div(Box::new(left), right) };
        }
        Some(left)
    }

    fn term(&mut self) -> Option<Formula> {
        match self.tokens.get(self.at).cloned() {
            Some(Token::Open) if self.depth < 64 => {
                self.at += 1;
                self.depth += 1;
                let inner = self.sum()?;
                self.depth -= 1;
                if self.tokens.get(self.at) != Some(&Token::Close) {
                    return self.fail("a `(` in this formula is never closed");
                }
                self.at += 1;
                Some(inner)
            }
            Some(Token::Term(text)) => {
                self.at += 1;
                self.r.formula_term(self.view, &text, self.head)
            }
            _ => self.fail("this formula is not complete: a value is missing"),
        }
    }

    fn fail<T>(&mut self, message: &str) -> Option<T> {
        let span = self.head.span;
        self.r.tell(
            Diagnostic::error("bad-syntax", span, message).help(
                "Write `work out shim wanted = shim found + clearance - 0.19 mm`; operators stand between spaces.",
            ),
        );
        None
    }
}

impl Resolver<'_> {
    /// Reads `NAME = EXPR`.
    pub(super) fn work_out(&mut self, view: &View, rest: &str, head: &Word) -> Option<WorkOut> {
        let Some((name, expression)) = rest.split_once(" = ") else {
            self.tell(
                Diagnostic::error("bad-syntax", head.span, "`work out` needs a name, ` = ` and a formula")
                    .help("Write `work out shim wanted = shim found + clearance - 0.19 mm`."),
            );
            return None;
        };
        let Some(Fact::Measurement(result)) = self.fact_named(name) else {
            self.tell(
                Diagnostic::error(
                    "duplicate-name",
                    head.span,
                    format!("'{}' is the name of something else", name.trim()),
                )
                .help("Give the result a name of its own."),
            );
            return None;
        };
        let tokens = tokens(expression);
        let mut reader = Reader { r: self, view, tokens, at: 0, head, depth: 0 };
        let formula = reader.sum()?;
        if reader.at < reader.tokens.len() {
            return reader.fail("this formula does not read to its end");
        }
        let text = self.plain(expression.trim(), part_span(head, expression.trim()));
        Some(WorkOut { result, formula, text, round_to: None, examples: Vec::new() })
    }

    fn formula_term(&mut self, view: &View, text: &str, head: &Word) -> Option<Formula> {
        for (word, make) in [
            ("highest of ", Formula::Highest as fn(Vec<Formula>) -> Formula),
            ("lowest of ", Formula::Lowest),
            ("spread of ", Formula::Spread),
        ] {
            if let Some(rest) = text.strip_prefix(word) {
                let mut values = Vec::new();
                for name in self.value_names(rest) {
                    values.push(self.formula_value(view, &name, head)?);
                }
                return Some(make(values));
            }
        }
        self.formula_value(view, text, head)
    }

    fn value_names(&mut self, text: &str) -> Vec<String> {
        if self.fact_named(text).is_some() {
            return vec![text.to_owned()];
        }
        text.split(" and ").flat_map(|t| t.split(", ")).map(|t| t.trim().to_owned()).filter(|t| !t.is_empty()).collect()
    }

    fn formula_value(&mut self, view: &View, text: &str, head: &Word) -> Option<Formula> {
        let text = text.trim().trim_start_matches('{').trim_end_matches('}').trim();
        if let Some((id, member)) = self.value_named(text) {
            return Some(Formula::Value(id, member));
        }
        if let Some(spec) = self.argument(view, text).and_then(|a| a.spec.clone()) {
            if let crate::quantity::Spec::Exactly(q) = spec {
                return Some(Formula::Quantity(q));
            }
        }
        if let Ok(number) = Number::parse(text) {
            return Some(Formula::Number(number));
        }
        if text.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '−') {
            return match parse_quantity(text) {
                Ok(quantity) => Some(Formula::Quantity(quantity)),
                Err(error) => {
                    self.tell(Diagnostic::error(suggest::rule_of(&error), part_span(head, text), error.to_string()));
                    None
                }
            };
        }
        self.unknown_value(&Word { text: text.to_owned(), span: part_span(head, text) });
        None
    }

    /// `shim found 2.40 mm, clearance 0.11 mm gives 2.30 mm`.
    pub(super) fn example(&mut self, text: &Word, work: &WorkOut) -> Option<Example> {
        let fail = |r: &mut Self, message: String| {
            r.tell(
                Diagnostic::error("bad-syntax", text.span, message)
                    .help("Write `example: shim found 2.40 mm, clearance 0.11 mm gives 2.30 mm`."),
            );
        };
        let Some((given_text, gives)) = text.text.rsplit_once(" gives ") else {
            fail(self, "an example says what it gives".to_owned());
            return None;
        };
        let gives = match parse_value(gives) {
            Ok(q) => q,
            Err(error) => {
                fail(self, error);
                return None;
            }
        };
        let mut given: Vec<Given> = Vec::new();
        for part in given_text.split(", ").flat_map(|p| p.split(" and ")) {
            let part = part.trim();
            let cut = part.match_indices(' ').map(|(i, _)| i).find(|i| {
                part[i + 1..].starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '−')
                    && parse_value(&part[i + 1..]).is_ok()
            });
            let Some(cut) = cut else {
                fail(self, format!("'{part}' is no name with a value"));
                return None;
            };
            let Some((id, member)) = self.value_named(&part[..cut]) else {
                self.unknown_value(&Word { text: part[..cut].to_owned(), span: part_span(text, &part[..cut]) });
                return None;
            };
            if let Ok(q) = parse_value(&part[cut + 1..]) {
                given.push((id, member, q));
            }
        }
        let example = Example { given, gives, span: text.span };
        self.run_example(&example, work);
        Some(example)
    }

    /// A measured value by its name, with the member it is asked of: `clearance`, `left spring length`, `current a full`.
    pub(super) fn value_named(&self, text: &str) -> Option<(MeasurementId, Option<u32>)> {
        if let Some(Fact::Measurement(id)) = self.fact_named(text) {
            return Some((id, None));
        }
        for (i, set) in self.p.sets.iter().enumerate() {
            for (m, member) in set.members.iter().enumerate() {
                let folded = fold_name(text);
                for lead in [fold_name(member), fold_name(&format!("{} {member}", set.name))] {
                    let rest = folded
                        .strip_prefix(&format!("{lead} "))
                        .or_else(|| folded.strip_suffix(&format!(" of {lead}")))
                        .or_else(|| folded.strip_suffix(&format!(" {lead}")));
                    if let Some(Fact::Measurement(id)) = rest.and_then(|r| self.fact_named(r)) {
                        if self.p[id].each.is_none_or(|s| s.index() == i) {
                            return Some((id, Some(super::scope::index(m))));
                        }
                    }
                }
            }
        }
        None
    }

    fn run_example(&mut self, example: &Example, work: &WorkOut) {
        let result = work_formula(&work.formula, &example.given)
            .and_then(|worked| worked.as_quantity(&example.gives))
            .and_then(|q| work.round_to.as_ref().map_or_else(|| Ok(q.clone()), |step| rounded(&q, step)));
        match result {
            Ok(q) if same_value(&q, &example.gives) => {}
            Ok(q) => {
                let q = q.convert(&example.gives.unit).unwrap_or(q);
                let said = &example.gives;
                self.tell(
                    Diagnostic::error(
                        "example-fails",
                        example.span,
                        format!("the formula gives {q}, the example says {said}"),
                    )
                    .help("Work it by hand: either the formula or the example is wrong."),
                );
            }
            Err(message) if message == TWO_KINDS => self.tell(
                Diagnostic::error("unit-mismatch", example.span, message)
                    .help("What is added or taken away must be of one kind (a length and a length): mend the unit in the formula."),
            ),
            Err(message) => self.tell(
                Diagnostic::error("example-fails", example.span, message)
                    .help("Give each value of the formula in the example, with its unit."),
            ),
        }
    }
}

/// What is told of `3 L + 2 mm`.
const TWO_KINDS: &str = "the formula joins two kinds of quantity";

fn parse_value(text: &str) -> Result<Quantity, String> {
    parse_quantity(text.trim().trim_end_matches('.')).map_err(|e| e.to_string())
}

/// The same to the last digit that the example writes.
fn same_value(result: &Quantity, said: &Quantity) -> bool {
    let Some(result) = result.convert(&said.unit) else { return false };
    let decimals = said.value.decimals_needed().unwrap_or(6);
    result.value.rounded(decimals, Rounding::Nearest).parts() == said.value.rounded(decimals, Rounding::Nearest).parts()
}

fn rounded(q: &Quantity, step: &Quantity) -> Result<Quantity, String> {
    let q = q
        .convert(&step.unit)
        .ok_or_else(|| "the result and the step it is rounded to are of different kinds".to_owned())?;
    let value = q.value.rounded_to_step(&step.value, Rounding::Nearest).ok_or("the step to round to is zero")?;
    Ok(Quantity::new(value, step.unit.clone()))
}

/// A value of an example: what, of which member, how much.
type Given = (MeasurementId, Option<u32>, Quantity);

/// A value while a formula is worked: a number in base units, and the kinds it is made of with their powers
/// (bar x mm / bar is a length again).
#[derive(Clone, Debug, PartialEq)]
struct Worked {
    number: Number,
    kinds: BTreeMap<Kind, i8>,
}

impl Worked {
    fn of(q: &Quantity) -> Self {
        Self { number: q.to_si(), kinds: BTreeMap::from([(q.kind(), 1)]) }
    }

    fn joined(&self, other: &Self, number: Number, sign: i8) -> Self {
        let mut kinds = self.kinds.clone();
        for (kind, power) in &other.kinds {
            let entry = kinds.entry(*kind).or_insert(0);
            *entry = entry.saturating_add(power.saturating_mul(sign));
            if *entry == 0 {
                kinds.remove(kind);
            }
        }
        // Force by lever is a torque.
        if kinds.get(&Kind::Force) == Some(&1) && kinds.get(&Kind::Length) == Some(&1) && kinds.len() == 2 {
            kinds = BTreeMap::from([(Kind::Torque, 1)]);
        }
        Self { number, kinds }
    }

    /// In the unit of `like`; a plain number takes any unit that counts (`3`, `2 turns`, `5 %`).
    fn as_quantity(&self, like: &Quantity) -> Result<Quantity, String> {
        let wanted = BTreeMap::from([(like.kind(), 1)]);
        let plain = self.kinds.is_empty() && matches!(like.kind(), Kind::Count | Kind::Ratio | Kind::Angle);
        if self.kinds != wanted && !plain {
            let is: Vec<_> = self.kinds.keys().map(|k| k.name()).collect();
            let is = if is.is_empty() { "plain number".to_owned() } else { is.join(" with ") };
            return Err(format!("the formula gives a {is}, the example says {}", like.kind().with_article()));
        }
        let large = || "a number in this example is too large".to_owned();
        let number = self.number.checked_div(&like.unit.factor()).ok_or_else(large)?;
        let number = number.checked_sub(&like.unit.offset()).unwrap_or(number);
        Ok(Quantity::new(number, like.unit.clone()))
    }
}

fn work_formula(formula: &Formula, given: &[Given]) -> Result<Worked, String> {
    let work = |f: &Formula| work_formula(f, given);
    let kinds = || TWO_KINDS.to_owned();
    let large = || "a number in this example is too large".to_owned();
    let left_out = || "the example leaves out a value of the formula".to_owned();
    Ok(match formula {
        Formula::Quantity(q) => Worked::of(q),
        Formula::Number(n) => Worked { number: *n, kinds: BTreeMap::new() },
        Formula::Value(id, member) => {
            let of = |g: &&Given| g.0 == *id && (member.is_none() || g.1 == *member);
            Worked::of(&given.iter().find(of).ok_or_else(left_out)?.2)
        }
        Formula::Add(a, b) | Formula::Sub(a, b) => {
            let (a, b) = (work(a)?, work(b)?);
            if a.kinds != b.kinds {
                return Err(kinds());
            }
            let number = match formula {
                Formula::Sub(..) => a.number.checked_sub(&b.number),
                _ => a.number.checked_add(&b.number),
            };
            Worked { number: number.ok_or_else(large)?, kinds: a.kinds }
        }
        Formula::Mul(a, b) => {
            let (a, b) = (work(a)?, work(b)?);
            a.joined(&b, a.number.checked_mul(&b.number).ok_or_else(large)?, 1)
        }
        Formula::Div(a, b) => {
            let (a, b) = (work(a)?, work(b)?);
            a.joined(&b, a.number.checked_div(&b.number).ok_or("the formula divides by zero")?, -1)
        }
        Formula::Highest(list) | Formula::Lowest(list) | Formula::Spread(list) => {
            let mut all: Vec<Worked> = Vec::new();
            for f in list {
                match f {
                    // A value measured on each member of a set stands several times in the example.
                    Formula::Value(id, None) => {
                        all.extend(given.iter().filter(|g| g.0 == *id).map(|g| Worked::of(&g.2)));
                    }
                    f => all.push(work(f)?),
                }
            }
            let first = all.first().cloned().ok_or_else(left_out)?;
            if all.iter().any(|w| w.kinds != first.kinds) {
                return Err(kinds());
            }
            let (mut low, mut high) = (first.number, first.number);
            for worked in &all {
                low = low.min(worked.number);
                high = high.max(worked.number);
            }
            let number = match formula {
                Formula::Highest(_) => high,
                Formula::Lowest(_) => low,
                _ => high.checked_sub(&low).ok_or_else(large)?,
            };
            Worked { number, kinds: first.kinds }
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn operators_stand_between_spaces() {
        assert_eq!(
            tokens("shim found + (re-check - 0.19 mm) / 2"),
            vec![
                Token::Term("shim found".into()),
                Token::Operator('+'),
                Token::Open,
                Token::Term("re-check".into()),
                Token::Operator('-'),
                Token::Term("0.19 mm".into()),
                Token::Close,
                Token::Operator('/'),
                Token::Term("2".into()),
            ]
        );
    }
}
