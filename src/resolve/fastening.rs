//! Clauses of fasteners, and of parts that are their own fastener.

use crate::diagnostic::Diagnostic;
use crate::procedure::{Facts, Fastening, Lubrication, Pass, PassAction, Size, Strength, ThingId, ThingKind};
use crate::quantity::{Kind, Quantity, QuantityError, Spec, parse_quantity};
use crate::source::Span;
use crate::syntax::tree::{self, Clause, ClauseKind, Word};
use crate::trade::strength::CLASSES;
use crate::trade::thread::Thread;

use super::Resolver;
use super::passes;
use super::scope::View;

/// Plain kinds that carry a thread of their own: `union M12x1`, `plug M18x1.5`, `lock nut M10`.
fn kind_with_thread(text: &str) -> Option<(String, Thread)> {
    let (at, thread) = text
        .char_indices()
        .filter(|(i, _)| *i > 0 && text.as_bytes().get(i - 1) == Some(&b' '))
        .find_map(|(i, _)| Thread::parse(text[i..].trim()).ok().map(|t| (i, t)))?;
    let kind = text[..at].trim();
    let plain = !kind.is_empty() && !kind.chars().any(|c| c.is_ascii_digit());
    plain.then(|| (kind.to_owned(), thread))
}

/// A size as written: a thread, or a plain kind with or without one.
#[must_use]
pub(super) fn parse_size(text: &str) -> Option<Size> {
    if let Ok(thread) = Thread::parse(text.trim()) {
        return Some(Size::Thread(thread));
    }
    if let Some((kind, thread)) = kind_with_thread(text.trim()) {
        return Some(Size::Kind(kind, Some(thread)));
    }
    let plain = !text.trim().is_empty() && !text.chars().any(|c| c.is_ascii_digit());
    plain.then(|| Size::Kind(text.trim().to_owned(), None))
}

impl Resolver<'_> {
    fn size_or_tell(&mut self, size: &Word) -> Option<Size> {
        let parsed = parse_size(&size.text);
        if parsed.is_none() {
            self.tell(
                Diagnostic::error("bad-syntax", size.span, format!("'{}' is no size of a fastener", size.text)).help(
                    "Write a thread (`M8x35`, `M10x1.25x95`, `1/2-13 UNC x 2 in`) or a plain kind without digits (`spring clamp`, `circlip`).",
                ),
            );
        }
        parsed
    }

    /// `aluminium 16 mm deep`: the material, and how deep the thread is in it.
    fn depth(&mut self, text: &str, span: Span) -> (String, Option<Quantity>) {
        let Some(rest) = text.strip_suffix(" deep") else { return (text.to_owned(), None) };
        let Some((material, depth)) = rest
            .char_indices()
            .find(|(_, c)| c.is_ascii_digit())
            .map(|(at, _)| (rest[..at].trim().to_owned(), rest[at..].trim()))
        else {
            return (text.to_owned(), None);
        };
        let wrong = match parse_quantity(depth) {
            Ok(depth) if depth.kind() == Kind::Length => return (material, Some(depth)),
            Ok(depth) => Diagnostic::error(
                "unit-mismatch",
                span,
                format!("a depth is a length, but `{depth}` is {}", depth.kind().with_article()),
            ),
            Err(error @ QuantityError::UnitMissing { .. }) => {
                Diagnostic::error("unit-missing", span, error.to_string())
            }
            Err(error) => Diagnostic::error("bad-syntax", span, format!("the depth can not be read: {error}")),
        };
        self.tell(wrong.help("Write the depth of the thread like `into aluminium 16 mm deep`."));
        (material, None)
    }

    /// Tells a property class that looks like one and is none: `8.7`. Others (`A2-70`, `45H`) are taken as they stand.
    fn known_class(&mut self, class: &str, span: Span) {
        let figures = class.split_once('.').is_some_and(|(a, b)| {
            [a, b].iter().all(|part| !part.is_empty() && part.chars().all(|c| c.is_ascii_digit()))
        });
        if figures && !CLASSES.contains(&class) {
            let near = CLASSES.iter().min_by_key(|known| strsim::damerau_levenshtein(known, class)).unwrap_or(&"8.8");
            self.tell(
                Diagnostic::error("bad-syntax", span, format!("there is no property class {class}"))
                    .label(format!("did you mean `class {near}`?"))
                    .help(format!("Write the class that is marked on the head. ISO 898-1 has {}.", CLASSES.join(", "))),
            );
        }
    }

    /// Applies a clause of a fastener; false where it is none, or the thing is no fastener.
    pub(super) fn apply_fastening(
        &mut self,
        view: &View,
        thing: ThingId,
        facts: &mut Facts,
        clause: &Clause,
        over: bool,
    ) -> bool {
        use ClauseKind as K;
        if let K::Screwed(size) = &clause.kind {
            let size = self.size_or_tell(size);
            let count = facts.count.max(1);
            let fastening = facts.fastening.get_or_insert_with(Fastening::default);
            fastening.count = Some(count);
            fastening.size = size;
            return true;
        }
        // A torque may come before `screwed` in a part's clauses.
        let of_fasteners = matches!(clause.kind, K::Torque(_) | K::InPasses(_) | K::Drive(_));
        let own = self.p[thing].kind == ThingKind::Part && of_fasteners;
        if own {
            let count = facts.count.max(1);
            facts.fastening.get_or_insert_with(|| Fastening { count: Some(count), ..Fastening::default() });
        }
        let Some(mut fastening) = facts.fastening.take() else { return false };
        let done = self.fastening_clause(view, thing, facts, &mut fastening, clause, over);
        facts.fastening = Some(fastening);
        done
    }

    fn fastening_clause(
        &mut self,
        view: &View,
        thing: ThingId,
        facts: &mut Facts,
        fastening: &mut Fastening,
        clause: &Clause,
        over: bool,
    ) -> bool {
        use ClauseKind as K;
        let free = |r: &mut Self, key: &'static str| {
            let text = r.sources.text(clause.span).to_owned();
            over || r.once(thing, key, text, clause.span)
        };
        match &clause.kind {
            K::CountSize { count, size, with_nut } => {
                if free(self, "count and size") {
                    fastening.count = Some(*count);
                    facts.count = *count;
                    fastening.size = self.size_or_tell(size);
                    fastening.with_nut |= *with_nut;
                }
            }
            // Without its count, which `count-missing` asks for.
            K::Size(size) => {
                if free(self, "count and size") {
                    fastening.size = self.size_or_tell(size);
                }
            }
            K::NutsSingleUse => fastening.nuts_single_use = true,
            K::Class(word) => {
                if free(self, "property class") {
                    self.known_class(&word.text, clause.span);
                    fastening.strength = Some(Strength::Class(word.text.clone()));
                }
            }
            K::Grade(word) => {
                if free(self, "grade") {
                    fastening.strength = Some(Strength::Grade(word.text.clone()));
                }
            }
            K::Drive(drive) => {
                if free(self, "drive") {
                    fastening.drive = Some(drive.clone());
                }
            }
            K::Torque(recipe) => {
                if free(self, "torque") {
                    let stages = recipe.iter().map(|action| Pass {
                        action: self.pass_action(action, clause.span),
                        positions: Vec::new(),
                        at: None,
                        order: None,
                        share: None,
                        span: clause.span,
                    });
                    fastening.torque = stages.collect();
                }
            }
            K::InPasses(ways) => {
                if free(self, "passes") {
                    fastening.in_passes = self.may_be_passes(*ways, passes::MOST, clause.span);
                }
            }
            K::Order(order) => {
                if free(self, "order") {
                    fastening.order = Some(order.clone());
                }
            }
            K::Layout(layout) => {
                if free(self, "layout") {
                    fastening.layout = Some(layout.clone());
                }
            }
            K::Oiled | K::Dry | K::AntiSeize | K::ThreadLock(_) => {
                if free(self, "thread treatment") {
                    fastening.lubrication = Some(match &clause.kind {
                        K::Oiled => Lubrication::Oiled,
                        K::Dry => Lubrication::Dry,
                        K::AntiSeize => Lubrication::AntiSeize,
                        K::ThreadLock(kind) => Lubrication::ThreadLock(kind.text.clone()),
                        _ => return false,
                    });
                }
            }
            K::Into(material) => {
                let (material, depth) = self.depth(&material.text, clause.span);
                fastening.into = Some(material);
                fastening.engaged = depth;
            }
            K::LeftHandThread => fastening.left_hand = true,
            K::TightenAt(state) => {
                let state = self.state(view, state, None);
                fastening.tighten_at = Some(state);
            }
            K::SlotAlign(align) => {
                if free(self, "slot alignment") {
                    fastening.slot_align = Some(*align);
                }
            }
            K::AtMost(q) => {
                if q.kind() == Kind::Torque {
                    fastening.at_most = Some(q.clone());
                } else {
                    self.wrong_kind(clause, q.kind(), "a torque", "at most 60 N·m");
                }
            }
            K::Limits(Spec::AtMost(q)) if q.kind() == Kind::Torque => fastening.at_most = Some(q.clone()),
            K::CounterHold(tool) => {
                fastening.counter_hold = Some(tool.text.clone());
                self.tool_or_common(tool);
            }
            K::AtClock(q) => fastening.at_clock = Some(q.clone()),
            K::PositionsAre { positions, count, size } => {
                if let Some(size) = self.size_or_tell(size) {
                    fastening.positions_are.push((positions.clone(), *count, size));
                }
            }
            // A housing or a block is rarely declared: what is not stays words.
            K::JointOf(list) => {
                for part in list.text.split(" and ") {
                    if let Some(super::objects::Piece::Thing(joined)) = self.piece(view, part, list.span) {
                        if !matches!(self.p[joined.thing].kind, ThingKind::Builtin(_)) {
                            fastening.joint_of.push(joined.thing);
                        }
                    }
                }
            }
            _ => return false,
        }
        true
    }

    pub(super) fn pass_action(&mut self, action: &tree::PassAction, span: crate::source::Span) -> PassAction {
        let torque = |r: &mut Self, spec: &Spec| {
            if !matches!(spec.kind(), Kind::Torque | Kind::Ratio) {
                r.tell(
                    Diagnostic::error(
                        "unit-mismatch",
                        span,
                        format!("this is a {}; a fastener is tightened to a torque", spec.kind().name()),
                    )
                    .help("Write `torque 24 N·m`, or an angle: `torque 24 N·m then 90°`."),
                );
            }
            spec.clone()
        };
        match action {
            tree::PassAction::Torque(spec) if spec.kind() == Kind::Angle => match spec {
                Spec::Exactly(q) => PassAction::Turn(q.clone()),
                other => PassAction::Torque(other.clone()),
            },
            tree::PassAction::Torque(spec) => PassAction::Torque(torque(self, spec)),
            tree::PassAction::Check(spec) => PassAction::Check(torque(self, spec)),
            tree::PassAction::Turn(q) => {
                if q.kind() != Kind::Angle {
                    self.tell(
                        Diagnostic::error(
                            "unit-mismatch",
                            span,
                            format!("this is a {}; a turn is an angle", q.kind().name()),
                        )
                        .help("Write `pass: turn 90°`."),
                    );
                }
                PassAction::Turn(q.clone())
            }
            tree::PassAction::HandTight => PassAction::HandTight,
            tree::PassAction::Slacken => PassAction::Slacken,
        }
    }

    /// A `pass:` line.
    pub(super) fn add_pass(
        &mut self,
        view: &View,
        thing: ThingId,
        facts: &mut Facts,
        pass: &tree::Pass,
        span: crate::source::Span,
    ) {
        let action = self.pass_action(&pass.action, span);
        let at = pass.at.as_ref().map(|state| self.state(view, state, None));
        let name = self.p[thing].name.clone();
        let Some(fastening) = &mut facts.fastening else {
            self.tell(
                Diagnostic::error("bad-syntax", span, format!("'{name}' is no fastener: it has no passes"))
                    .help("Put the pass under the fastener that is tightened."),
            );
            return;
        };
        // A file that says the same recipe again adds nothing to it.
        let again = fastening.passes.iter().any(|p| p.span.file != span.file);
        if again {
            return;
        }
        let (positions, order) = (pass.positions.clone(), pass.order.clone());
        fastening.passes.push(Pass { action, positions, at, order, share: None, span });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_is_a_thread_or_a_plain_kind() {
        assert!(matches!(parse_size("M8x35"), Some(Size::Thread(_))));
        assert!(matches!(parse_size("spring clamp"), Some(Size::Kind(k, None)) if k == "spring clamp"));
        assert!(matches!(parse_size("union M12x1"), Some(Size::Kind(k, Some(_))) if k == "union"));
        assert!(matches!(parse_size("lock nut M10x1.25"), Some(Size::Kind(k, Some(_))) if k == "lock nut"));
        assert!(parse_size("clamp 12").is_none());
    }
}
