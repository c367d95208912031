//! A tree as text, for tests and for looking at it.

use std::fmt::Write;

use super::tree::{
    Adapter, Block, Clause, ClauseKind, Detail, Drive, Header, InPasses, Item, Layout, NodeId, Order, Pass, PassAction,
    SlotAlign, Stage, StepClause, StepClauseKind, Tree, When, Word,
};

/// One line a node, indented by its depth: what it is, and its values in `[ ]` where they are texts.
#[must_use]
pub fn dump(tree: &Tree) -> String {
    let mut out = format!("{:?} [{}]\n", tree.kind, tree.title.text);
    // the last in the list is the next to be written
    let mut open: Vec<(usize, NodeId)> = tree.roots.iter().rev().map(|id| (0, *id)).collect();
    while let Some((depth, id)) = open.pop() {
        let node = tree.node(id);
        let _ = writeln!(out, "{}{}", "  ".repeat(depth), item(&node.item));
        open.extend(node.children.iter().rev().map(|c| (depth + 1, *c)));
    }
    out
}

fn item(item: &Item) -> String {
    match item {
        Item::First => "first".to_owned(),
        Item::Header { field, value } => format!("header {} [{}]", Header::name(*field), value.text),
        Item::Section(section) => format!("section {}", section.name()),
        Item::Entry(entry) => format!("entry [{}]{}", entry.name.text, clauses(&entry.clauses)),
        Item::Variant { condition } => format!("variant [{}]", condition.text),
        Item::Clauses(list) => format!("clauses{}", clauses(list)),
        Item::Detail(detail) => one_detail(detail),
        Item::Stage(stage) => one_stage(stage),
        Item::Block(block) => one_block(block),
        Item::Step(step) => {
            let prose = step.prose.as_ref().map(|p| format!(" \"{}\"", p.text)).unwrap_or_default();
            format!("step [{}]{}{prose}", step.head.text, step.clauses.iter().map(step_clause).collect::<String>())
        }
        Item::Unknown => "unknown".to_owned(),
    }
}

fn one_detail(detail: &Detail) -> String {
    let value = detail.value.as_ref().map(|v| format!(" [{}]", v.text)).unwrap_or_default();
    let prose = detail.prose.as_ref().map(|p| format!(" \"{}\"", p.text)).unwrap_or_default();
    let pass = detail.pass.as_ref().map(|p| format!(" = {}", one_pass(p))).unwrap_or_default();
    format!("detail {}{value}{prose}{pass}", detail.word.name())
}

fn one_pass(pass: &Pass) -> String {
    let mut text = action(&pass.action);
    if !pass.positions.is_empty() {
        let _ = write!(text, " positions {:?}", pass.positions);
    }
    if let Some(at) = &pass.at {
        let _ = write!(text, " at [{}]", at.text);
    }
    if let Some(way) = &pass.order {
        let _ = write!(text, " order {}", order(way));
    }
    text
}

fn action(action: &PassAction) -> String {
    match action {
        PassAction::Torque(spec) => spec.to_string(),
        PassAction::Check(spec) => format!("check {spec}"),
        PassAction::Turn(angle) => format!("turn {angle}"),
        PassAction::HandTight => "hand tight".to_owned(),
        PassAction::Slacken => "slacken".to_owned(),
    }
}

fn one_stage(stage: &Stage) -> String {
    let when = match &stage.when {
        When::Now => String::new(),
        When::AtBench => " at bench".to_owned(),
        When::After(q) => format!(" after {q}"),
        When::Within(q) => format!(" within {q}"),
        When::Before(w) => format!(" before [{}]", w.text),
        When::Other(w) => format!(" other [{}]", w.text),
    };
    format!("stage{when} [{}]", stage.title.text)
}

fn one_block(block: &Block) -> String {
    match block {
        Block::With { condition } => format!("with [{}]", condition.text),
        Block::If { condition } => format!("if [{}]", condition.text),
        Block::Otherwise => "otherwise".to_owned(),
        Block::Until { condition, at_most, then, prose } => {
            let mut text = format!("until [{}]", condition.text);
            if let Some(times) = at_most {
                let _ = write!(text, " | at most {times}");
            }
            if let Some(then) = then {
                let _ = write!(text, " | then [{}]", then.text);
            }
            if let Some(prose) = prose {
                let _ = write!(text, " \"{}\"", prose.text);
            }
            text
        }
        Block::BeforeTheNextTry => "before the next try".to_owned(),
        Block::ForEach { set, one_after_the_other } => {
            format!("for each [{}]{}", set.text, if *one_after_the_other { " | one after the other" } else { "" })
        }
    }
}

fn clauses(clauses: &[Clause]) -> String {
    clauses.iter().map(|c| format!(" | {}", clause(&c.kind))).collect()
}

fn words(words: &[Word]) -> String {
    words.iter().map(|w| format!("[{}]", w.text)).collect::<Vec<_>>().join(" ")
}

fn in_passes(passes: InPasses) -> String {
    format!("in {} passes{}", passes.count, if passes.round { " then once round" } else { "" })
}

fn order(order: &Order) -> String {
    match order {
        Order::Cross => "cross".to_owned(),
        Order::Spiral => "spiral".to_owned(),
        Order::Row => "row".to_owned(),
        Order::Positions(list) => format!("{list:?}"),
    }
}

fn clause(kind: &ClauseKind) -> String {
    use ClauseKind as K;
    let text = |word: &str, w: &Word| format!("{word} [{}]", w.text);
    match kind {
        K::New => "new".to_owned(),
        K::NewIfBad => "new if bad".to_owned(),
        K::SingleUse => "single-use".to_owned(),
        K::Added => "added".to_owned(),
        K::Temporary => "temporary".to_owned(),
        K::InPositions { positions, of } => format!("in positions {positions:?} of [{}]", of.text),
        K::StaysWhileRunning => "stays while running".to_owned(),
        K::NormallyOpen => "normally open".to_owned(),
        K::TurnsOnly { clockwise } => format!("turns {} only", if *clockwise { "clockwise" } else { "anticlockwise" }),
        K::ByPosition => "by position".to_owned(),
        K::Alike => "alike".to_owned(),
        K::Handed => "handed".to_owned(),
        K::Count(n) => format!("{n} x"),
        K::HeldBy(w) => text("held by", w),
        K::Behind(w) => text("behind", w),
        K::PartOf(w) => text("part of", w),
        K::AlwaysWith(w) => text("always with", w),
        K::Carries(w) => text("carries", w),
        K::FillerOf(w) => text("filler of", w),
        K::DrainOf(w) => text("drain of", w),
        K::Directional => "directional".to_owned(),
        K::Needs { state, act: None } => text("needs", state),
        K::Needs { state, act: Some(act) } => format!("needs [{}] to [{}]", state.text, act.text),
        K::NeedsSupport => "needs support".to_owned(),
        K::NeedsBleeding => "needs bleeding".to_owned(),
        K::WhileNever { state, act } => format!("while [{}] never [{}]", state.text, act.text),
        K::OnceThenBefore { state, then, before } => {
            format!("once [{}] then [{}] before [{}]", state.text, then.text, before.text)
        }
        K::AsASet => "as a set".to_owned(),
        K::Screwed(w) => text("screwed", w),
        K::Weighs(q) => format!("weighs {q}"),
        K::Each(w) => text("each", w),
        K::OnlyWith(w) => text("only with", w),
        K::Hazard(w) => text("hazard", w),
        K::CountSize { count, size, with_nut } => {
            format!("{count} x [{}]{}", size.text, if *with_nut { " with nut" } else { "" })
        }
        K::Size(w) => text("size", w),
        K::NutsSingleUse => "nuts single-use".to_owned(),
        K::Class(w) => text("class", w),
        K::Grade(w) => text("grade", w),
        K::Drive(Drive::Hex(q)) => format!("hex {q}"),
        K::Drive(Drive::Key(q)) => format!("key {q}"),
        K::Drive(Drive::Hexalobular(n)) => format!("hexalobular {n}"),
        K::Drive(Drive::Slot) => "slot".to_owned(),
        K::Drive(Drive::Cross(n)) => format!("cross {n}"),
        K::Torque(actions) => format!("torque {}", actions.iter().map(action).collect::<Vec<_>>().join(" then ")),
        K::InPasses(passes) => in_passes(*passes),
        K::Order(o) => format!("order {}", order(o)),
        K::Layout(Layout::Circle) => "layout circle".to_owned(),
        K::Layout(Layout::Rows { rows, columns }) => format!("layout {rows} x {columns}"),
        K::Layout(Layout::Free(points)) => format!("layout {points:?}"),
        K::Oiled => "oiled".to_owned(),
        K::Dry => "dry".to_owned(),
        K::AntiSeize => "anti-seize".to_owned(),
        K::ThreadLock(w) => text("thread-lock", w),
        K::Into(w) => text("into", w),
        K::LeftHandThread => "left-hand thread".to_owned(),
        K::TightenAt(w) => text("tighten at", w),
        K::SlotAlign(SlotAlign::Forward) => "slot align forward".to_owned(),
        K::SlotAlign(SlotAlign::Back) => "slot align back".to_owned(),
        K::SlotAlign(SlotAlign::Either) => "slot align either".to_owned(),
        K::AtMost(q) => format!("at most {q}"),
        K::CounterHold(w) => text("counter-hold", w),
        K::AtClock(q) => format!("at {q}"),
        K::JointOf(w) => text("joint of", w),
        K::PositionsAre { positions, count, size } => format!("positions {positions:?} are {count} x [{}]", size.text),
        K::Amount(q) => format!("amount {q}"),
        K::Kind(w) => text("kind", w),
        K::Mix(q) => format!("mix {q}"),
        K::OldMix(q) => format!("old mix {q}"),
        K::ProtectsTo(q) => format!("protects to {q}"),
        K::Drains(q) => format!("drains {q}"),
        K::Of(w) => text("of", w),
        K::Limits(s) => format!("limits {s}"),
        K::NewMeasures(s) => format!("new measures {s}"),
        K::SetTo(s) => format!("set to {s}"),
        K::WithinOf { amount, of } => format!("within {amount} of [{}]", of.text),
        K::Record => "record".to_owned(),
        K::Range(s) => format!("range {s}"),
        K::Reads(w) => text("reads", w),
        K::Length(q) => format!("length {q}"),
        K::Values(list) => format!("values {}", words(list)),
        K::Numbers { from, to } => format!("numbers {from} to {to}"),
        K::Acts { opening, closing, away, home } => {
            let home = home.as_ref().map(|h| format!(" / [{}]", h.text)).unwrap_or_default();
            format!("acts [{}] / [{}]: [{}]{home}", opening.text, closing.text, away.text)
        }
        K::Argument { kind, default } => {
            let default = default.as_ref().map(|d| format!(" default [{}]", d.text)).unwrap_or_default();
            format!("argument [{}]{default}", kind.text)
        }
        K::Unknown => "?".to_owned(),
    }
}

fn step_clause(clause: &StepClause) -> String {
    use StepClauseKind as K;
    let text = |word: &str, w: &Word| format!(" | {word} [{}]", w.text);
    match &clause.kind {
        K::With(w) => text("with", w),
        K::WithHelper => " | with a helper".to_owned(),
        K::Adapter(adapter) => {
            let Adapter { what, extension, angle, back, wrench, length, .. } = &**adapter;
            let angle = angle.as_ref().map(|q| format!(" at {q}")).unwrap_or_default();
            let back = if *back { " turned back" } else { "" };
            let length = length.as_ref().map(|q| format!(" {q}")).unwrap_or_default();
            format!(" | with [{}] {extension}{angle}{back} on [{}]{length}", what.text, wrench.text)
        }
        K::Amount(s) => format!(" | amount {s}"),
        K::Into { what, volume } => {
            format!(" | into [{}]{}", what.text, volume.as_ref().map(|v| format!(" of {v}")).unwrap_or_default())
        }
        K::ByHand => " | by hand".to_owned(),
        K::Again => " | again".to_owned(),
        K::InReverseOrder => " | in reverse order".to_owned(),
        K::InPasses(passes) => format!(" | {}", in_passes(*passes)),
        K::Pass(n) => format!(" | pass {n}"),
        K::LastPass => " | last pass".to_owned(),
        K::AtClock(q) => format!(" | at {q}"),
        K::From(w) => text("from", w),
        K::OnStands => " | on stands".to_owned(),
        K::OnRamps => " | on ramps".to_owned(),
        K::OnALift => " | on a lift".to_owned(),
        K::CallIt(w) => text("call it", w),
        K::WithinOf { amount, of } => format!(" | within {amount} of [{}]", of.text),
        K::Within(q) => format!(" | within {q}"),
        K::NewMeasures(s) => format!(" | new measures {s}"),
        K::SetTo(s) => format!(" | set to {s}"),
        K::For(q) => format!(" | for {q}"),
        K::Until(w) => text("until", w),
        K::Sign => " | sign".to_owned(),
        K::Witness => " | witness".to_owned(),
        K::Record => " | record".to_owned(),
        K::Each(w) => text("each", w),
        K::RoundTo(q) => format!(" | round to {q}"),
        K::Answers(list) => format!(" | answers {}", words(list)),
        K::Positions(list) => format!(" | positions {list:?}"),
        K::Order(o) => format!(" | order {}", order(o)),
        K::At(w) => text("at", w),
        K::Hazard(w) => text("hazard", w),
        K::Value(w) => text("value", w),
        K::Other(w) => text("other", w),
    }
}
