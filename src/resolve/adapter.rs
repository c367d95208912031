//! Crow-feet and in-line extensions: which wrench they sit on, how long its arm is; and what a tool reads.

use crate::diagnostic::Diagnostic;
use crate::procedure::{Adapter, Clauses, ToolId};
use crate::quantity::{Kind, Number, Spec};
use crate::source::Span;
use crate::syntax::fold_name;
use crate::syntax::tree::{self, StepClauseKind, Word};
use crate::trade::wrench::Arm;

use super::{Resolver, suggest};

/// How the clause is written.
const LIKE: &str = "`with crowfoot 40 mm on wrench 300 mm`";

impl Resolver<'_> {
    /// Takes the adapter into the step, which has one only.
    pub(super) fn add_adapter(&mut self, adapter: &tree::Adapter, span: Span, out: &mut Clauses) {
        if out.adapter.is_some() {
            self.tell(
                Diagnostic::error("bad-syntax", span, "this step has two crow-feet, and a wrench takes one")
                    .label("the second one")
                    .help("Write a step for each."),
            );
            return;
        }
        out.adapter = self.adapter(adapter, span);
    }

    /// The adapter with the arm of its wrench; nothing where that can't be known (told).
    fn adapter(&mut self, adapter: &tree::Adapter, span: Span) -> Option<Adapter> {
        // A name may end in a length: the longest declared name wins.
        let (wrench, stated) = match self.wrench_named(&adapter.on.text) {
            Some(tool) => (Some(tool), None),
            None => (self.wrench_named(&adapter.wrench.text), adapter.length.as_ref()),
        };
        let plain = without_article(&adapter.wrench.text);
        if wrench.is_none() && !is_any_wrench(&plain) {
            self.unknown_wrench(&adapter.wrench, &plain);
            return None;
        }
        let range = wrench.map(|id| &self.p[id]).and_then(|tool| Some((tool, tool.ranges.first()?)));
        if let Some((tool, range)) = range.filter(|(tool, _)| tool.ranges.iter().all(|r| r.kind() != Kind::Torque)) {
            let message = format!("'{}' is no torque wrench: its range is {range}", tool.name);
            let finding =
                Diagnostic::error("bad-syntax", adapter.on.span, message).label("a torque wrench stands here");
            self.tell(finding.help(format!("Name the wrench that the {} sits on, like {LIKE}.", adapter.what.text)));
            return None;
        }
        let Some(length) = stated.cloned().or_else(|| self.p[wrench?].length.clone()) else {
            let name = &adapter.wrench.text;
            let message = format!(
                "a {} changes the setting by the length of the wrench, and nothing says how long `{name}` is",
                adapter.what.text
            );
            let help = match wrench {
                Some(_) => format!(
                    "Declare it with its length, from the middle of the grip to the square: `{name}: …, length 400 mm`."
                ),
                None => format!("Write the length from the middle of the grip to the square, like {LIKE}."),
            };
            self.tell(Diagnostic::error("bad-syntax", span, message).label("how long is the wrench?").help(help));
            return None;
        };
        let angle = adapter.angle.as_ref().map_or(Number::ZERO, |q| q.to_si());
        // `crowfoot -40 mm` is another way to say that it is turned back.
        let mut extension = adapter.extension.clone();
        let back = adapter.back != extension.value.is_negative();
        if extension.value.is_negative() {
            extension.value = extension.value.negated();
        }
        let angle = if back { turned_back(&angle) } else { angle };
        let arm = Arm { length, extension, angle };
        let what = fold_name(&adapter.what.text).replace("crow-foot", "crowfoot").replace("crow foot", "crowfoot");
        let adapter = Adapter { what, arm, wrench, span };
        self.with_a_setting(adapter)
    }

    /// `at 90°` and `turned back` as clauses of their own belong to the adapter of their step.
    pub(super) fn turn_adapter(&mut self, step: &tree::Step, clauses: &mut Clauses) {
        let Some(mut adapter) = clauses.adapter.take() else { return };
        for clause in &step.clauses {
            let at =
                self.sources.text(clause.span).trim_start().get(..3).is_some_and(|w| w.eq_ignore_ascii_case("at "));
            match &clause.kind {
                StepClauseKind::Amount(Spec::Exactly(angle)) if at && angle.kind() == Kind::Angle => {
                    adapter.arm.angle = angle.to_si();
                    clauses.amounts.retain(|amount| *amount != Spec::Exactly(angle.clone()));
                }
                StepClauseKind::Other(word) if fold_name(&word.text) == "turned back" => {
                    adapter.arm.angle = turned_back(&adapter.arm.angle);
                    clauses.other.retain(|prose| prose.span != word.span);
                }
                _ => {}
            }
        }
        clauses.adapter = self.with_a_setting(adapter);
    }

    /// The adapter if a wrench can be set with it, else a finding.
    fn with_a_setting(&mut self, adapter: Adapter) -> Option<Adapter> {
        if adapter.arm.factor().is_some() {
            return Some(adapter);
        }
        let Arm { length, extension, .. } = &adapter.arm;
        let message = format!(
            "a {} of {extension} on a wrench of {length} leaves no arm: the bolt lies at the grip or behind it",
            adapter.what
        );
        self.tell(
            Diagnostic::error("bad-syntax", adapter.span, message)
                .label("no arm is left")
                .help("Write the length from the square to the bolt after `crowfoot`, and the length from the grip to the square after the wrench."),
        );
        None
    }

    fn wrench_named(&self, name: &str) -> Option<ToolId> {
        self.tool_named(name).or_else(|| self.tool_named(&without_article(name)))
    }

    fn unknown_wrench(&mut self, word: &Word, plain: &str) {
        let ends_in_number = plain.rsplit(' ').next().is_some_and(|last| last.parse::<f64>().is_ok());
        let before = plain.rsplit_once(' ').map_or("", |(before, _)| before);
        if ends_in_number && is_any_wrench(before) {
            let finding =
                Diagnostic::error("unit-missing", word.span, format!("`{}` has a number without its unit", word.text))
                    .label("mm, or in?")
                    .help(format!("Write the length of the wrench with its unit, like {LIKE}."));
            self.tell(finding);
            return;
        }
        let names: Vec<String> = self.p.tools.iter().filter(|t| t.declared).map(|t| t.name.clone()).collect();
        let mut finding =
            Diagnostic::error("unknown-name", word.span, format!("no wrench here is called '{}'", word.text));
        finding = match suggest::did_you_mean(plain, names.iter().map(String::as_str)) {
            Some(meant) => finding.label(format!("did you mean '{meant}'?")).help(format!("Write '{meant}'.")),
            None => finding.label("not declared").help(format!(
                "Declare it under `tools`: `{plain}: range 40 to 200 N·m, length 400 mm`; or write only the length, like {LIKE}."
            )),
        };
        self.tell(finding);
    }

    /// `reads force`, `reads voltage and current`.
    pub(super) fn tool_reads(&mut self, tool: ToolId, kinds: &Word) {
        for name in kinds.text.split(" and ").map(str::trim).filter(|name| !name.is_empty()) {
            match Kind::named(name) {
                Some(kind) => self.p.tools[tool.index()].reads.push(kind),
                None => self.tell(
                    Diagnostic::error(
                        "bad-syntax",
                        kinds.span,
                        format!("'{name}' is no kind of quantity that a tool reads"),
                    )
                    .help("Write a kind: force, torque, length, pressure, temperature, voltage …"),
                ),
            }
        }
    }
}

fn without_article(name: &str) -> String {
    let folded = fold_name(name);
    ["a ", "an ", "the "].iter().find_map(|article| folded.strip_prefix(article)).unwrap_or(&folded).to_owned()
}

/// Words for a wrench that is not one of those declared.
fn is_any_wrench(name: &str) -> bool {
    ["wrench", "torque wrench", "click wrench", "torque wrench of", "wrench of"].contains(&name)
}

/// The angle of an adapter that points back: 180° less what it stood at.
fn turned_back(angle: &Number) -> Number {
    Number::whole(180).checked_sub(angle).unwrap_or(Number::whole(180))
}
