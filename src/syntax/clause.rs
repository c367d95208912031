//! Clauses of declarations: `held by pump bolts`, `6 x M8x20`, `torque 10 N·m then 24 N·m`.

use super::expected;
use super::findings::Findings;
use super::grammar::{self, Found, Rule, all_inner, inner, positions};
use super::piece::{Piece, short};
use super::recipe;
use super::share::share_by_volume;
use super::step::clock;
use super::tree::{Clause, ClauseKind as Kind, Drive, InPasses, Layout, Order, PassAction, Section, SlotAlign};
use super::value::{Wanted, number_word, quantity, spec};
use crate::quantity::{Kind as Measures, Spec, parse_spec};

const NEW: Wanted = Wanted::any("new", "new 24 mm");
const SET: Wanted = Wanted::any("set", "set 0.18 mm");
const LIMITS: Wanted = Wanted::any("the limit", "at least 22.4 mm");
const AMOUNT: Wanted = Wanted::any("the amount", "9.4 L");
const FLUID: Wanted = Wanted::of("the amount", &[Measures::Volume, Measures::Mass], "9.4 L");
const WEIGHS: Wanted = Wanted::of("weighs", &[Measures::Mass], "weighs 14 kg");
const HEX: Wanted = Wanted::of("hex", &[Measures::Length], "hex 13 mm");
const KEY: Wanted = Wanted::of("key", &[Measures::Length], "key 5 mm");
const AT_MOST: Wanted = Wanted::of("at most", &[Measures::Torque], "at most 60 N·m");
const MIX: Wanted = Wanted::of("mix", &[Measures::Ratio], "mix 40 % by volume");
const OLD_MIX: Wanted = Wanted::of("old mix", &[Measures::Ratio], "old mix 30 % by volume");
const PROTECTS: Wanted = Wanted::of("protects to", &[Measures::Temperature], "protects to -24 °C");
const DRAINS: Wanted = Wanted::of("drains", &[Measures::Volume, Measures::Mass], "drains 7 L");
const WITHIN: Wanted = Wanted::any("within", "within 5 mm of height before");
const LENGTH: Wanted = Wanted::of("length", &[Measures::Length], "length 400 mm");
const RANGE: Wanted = Wanted::any("range", "range 5 to 25 N·m");

/// Whether all pieces between the commas are clauses of declarations by their words.
pub(super) fn is_clause(piece: Piece<'_>) -> bool {
    piece.split_commas().into_iter().all(|p| grammar::read(Rule::clause, p).is_ok())
}

/// The pieces between the commas. Plain numbers after `order …` or `positions …` belong to it (`order 1, 3, 2`); an
/// empty piece is told, and stays only in front, where the head of a step is.
pub(super) fn split<'t>(piece: Piece<'t>, findings: &mut Findings) -> Vec<Piece<'t>> {
    let pieces = piece.split_commas();
    let count = pieces.len();
    let mut kept: Vec<Piece<'t>> = Vec::with_capacity(count);
    for (i, next) in pieces.into_iter().enumerate() {
        if next.is_empty() && count > 1 {
            let comma = if i == 0 { next.at } else { next.at.saturating_sub(1) };
            let all_but_gap = piece.text.get(..comma.saturating_sub(piece.at)).unwrap_or_default().trim_end();
            let at = if i == 0 { next.at } else { piece.at + all_but_gap.trim_end_matches(',').len() };
            let span = crate::source::Span::new(piece.file, at, at + 1);
            if i + 1 == count {
                let message = "the line ends in a comma, but no deeper line goes on with it";
                findings.bad_fix(span, message, "take the comma away", span, "");
            } else {
                findings.bad(span, "there is nothing between two commas", "take one of the commas away");
            }
            if i == 0 {
                kept.push(next);
            }
            continue;
        }
        let numbers = !next.is_empty() && next.text.bytes().all(|b| b.is_ascii_digit());
        let goes_on =
            starts_with_word(next.text, "then") && kept.last().is_some_and(|l| starts_with_word(l.text, "torque"));
        if let Some(last) = kept.last().filter(|_| goes_on) {
            let comma = last.span().end as usize - piece.at;
            let comma = comma + piece.text.get(comma..).and_then(|rest| rest.find(',')).unwrap_or(0);
            let span = piece.sub(comma, comma + 1).span();
            findings.bad_fix(
                next.span(),
                "`then` goes on with the torque before the comma",
                "take the comma away",
                span,
                "",
            );
        }
        match kept.last_mut().filter(|last| goes_on || numbers && takes_numbers(last.text)) {
            Some(last) => *last = piece.sub(last.at - piece.at, next.at - piece.at + next.text.len()),
            None => kept.push(next),
        }
    }
    kept
}

fn starts_with_word(text: &str, word: &str) -> bool {
    text.split_whitespace().next().is_some_and(|first| first.eq_ignore_ascii_case(word))
}

fn takes_numbers(text: &str) -> bool {
    let word = text.split_whitespace().next().unwrap_or_default();
    ["order", "positions", "position"].iter().any(|w| word.eq_ignore_ascii_case(w))
        && text.ends_with(|c: char| c.is_ascii_digit())
}

/// All clauses of a line.
pub(super) fn read_all(section: Section, piece: Piece<'_>, findings: &mut Findings) -> Vec<Clause> {
    split(piece, findings)
        .into_iter()
        .filter(|p| !p.is_empty())
        .enumerate()
        .map(|(i, p)| Clause { span: p.span(), kind: one(section, i, p, findings) })
        .collect()
}

/// One clause; what can't be read has been told and is [`Kind::Unknown`].
pub(super) fn one(section: Section, index: usize, piece: Piece<'_>, findings: &mut Findings) -> Kind {
    let listed = joined_by_commas(piece);
    let text_of = listed.as_deref().map_or(piece, |text| Piece { text, ..piece });
    match grammar::read(Rule::clause, text_of) {
        Ok(found) => known(section, text_of, &found, findings).unwrap_or(Kind::Unknown),
        Err(error) => fallback(section, index, piece, &error, findings),
    }
}

/// `order 1, 3, 2` as `order 1  3  2`, `torque A, then B` as `torque A  then B`: byte for byte as long, so that places
/// stay true.
fn joined_by_commas(piece: Piece<'_>) -> Option<String> {
    if !piece.text.contains(", ") {
        return None;
    }
    (takes_numbers(piece.text) || starts_with_word(piece.text, "torque")).then(|| piece.text.replace(", ", "  "))
}

fn known(section: Section, piece: Piece<'_>, found: &Found<'_>, findings: &mut Findings) -> Option<Kind> {
    let text = inner(piece, found, Rule::text).unwrap_or(piece);
    let word = || text.word();
    let number = || inner(piece, found, Rule::digits).and_then(|d| d.text.parse::<u32>().ok());
    Some(match found.as_rule() {
        Rule::new => Kind::New,
        Rule::new_if_bad => Kind::NewIfBad,
        Rule::new_measures => {
            let amount = inner(piece, found, Rule::amount).unwrap_or(piece);
            Kind::NewMeasures(spec(amount, &NEW, findings)?)
        }
        Rule::single_use => Kind::SingleUse,
        Rule::added => Kind::Added,
        Rule::temporary => Kind::Temporary,
        Rule::in_positions => Kind::InPositions { positions: positions(found), of: word() },
        Rule::stays_while_running => Kind::StaysWhileRunning,
        Rule::normally_open => Kind::NormallyOpen,
        Rule::turns_only => Kind::TurnsOnly { clockwise: inner(piece, found, Rule::clockwise).is_some() },
        Rule::by_position => Kind::ByPosition,
        Rule::alike => Kind::Alike,
        Rule::handed => Kind::Handed,
        Rule::held_by => Kind::HeldBy(word()),
        Rule::behind => Kind::Behind(word()),
        Rule::part_of => Kind::PartOf(word()),
        Rule::always_with => Kind::AlwaysWith(word()),
        Rule::carries => Kind::Carries(word()),
        Rule::filler_of => Kind::FillerOf(word()),
        Rule::drain_of => Kind::DrainOf(word()),
        Rule::directional => Kind::Directional,
        Rule::needs_support => Kind::NeedsSupport,
        Rule::needs_bleeding => Kind::NeedsBleeding,
        Rule::needs => needs(text),
        Rule::while_never => Kind::WhileNever { state: inner(piece, found, Rule::never_state)?.word(), act: word() },
        Rule::once_then => Kind::OnceThenBefore {
            state: inner(piece, found, Rule::then_state)?.word(),
            then: inner(piece, found, Rule::before_state)?.word(),
            before: word(),
        },
        Rule::as_a_set => Kind::AsASet,
        Rule::screwed => Kind::Screwed(word()),
        Rule::weighs => Kind::Weighs(quantity(text, &WEIGHS, findings)?),
        Rule::each => Kind::Each(word()),
        Rule::only_with => Kind::OnlyWith(word()),
        Rule::hazard => Kind::Hazard(word()),
        Rule::count => Kind::Count(number()?),
        Rule::count_size => count_size(text, number()?),
        Rule::nuts_single_use => Kind::NutsSingleUse,
        Rule::class => Kind::Class(word()),
        Rule::grade => Kind::Grade(word()),
        Rule::hex => Kind::Drive(Drive::Hex(quantity(text, &HEX, findings)?)),
        Rule::key => Kind::Drive(Drive::Key(quantity(text, &KEY, findings)?)),
        Rule::hexalobular => Kind::Drive(Drive::Hexalobular(number()?)),
        Rule::slot => Kind::Drive(Drive::Slot),
        Rule::cross => Kind::Drive(Drive::Cross(number()?)),
        Rule::torque => Kind::Torque(recipe::torque(before_passes(text, findings), findings)?),
        Rule::hand_tight => Kind::Torque(vec![PassAction::HandTight]),
        Rule::in_passes => Kind::InPasses(in_passes(piece, found)?),
        Rule::order => Kind::Order(layout_order(found)),
        Rule::crosswise => Kind::Order(Order::Cross),
        Rule::layout => layout(piece, found, findings)?,
        Rule::oiled => Kind::Oiled,
        Rule::dry => Kind::Dry,
        Rule::anti_seize => Kind::AntiSeize,
        Rule::thread_lock => Kind::ThreadLock(word()),
        Rule::into => Kind::Into(word()),
        Rule::left_hand_thread => Kind::LeftHandThread,
        Rule::tighten_at => Kind::TightenAt(word()),
        Rule::slot_align => Kind::SlotAlign(match found.clone().into_inner().next()?.as_rule() {
            Rule::align_forward => SlotAlign::Forward,
            Rule::align_back => SlotAlign::Back,
            _ => SlotAlign::Either,
        }),
        Rule::at_most if section == Section::Fasteners => Kind::AtMost(quantity(text, &AT_MOST, findings)?),
        Rule::at_most => Kind::Limits(spec(piece, &LIMITS, findings)?),
        Rule::counter_hold => Kind::CounterHold(word()),
        Rule::at_clock => match clock(piece, found) {
            Some(hour) => Kind::AtClock(hour),
            None => {
                findings.bad(piece.span(), "the dial has the hours 1 to 12", "write it like `at 4 o'clock`");
                return None;
            }
        },
        Rule::joint_of => Kind::JointOf(word()),
        Rule::positions_are => Kind::PositionsAre { positions: positions(found), count: number()?, size: word() },
        Rule::kind => Kind::Kind(word()),
        Rule::mix => Kind::Mix(share_by_volume(text, &MIX, findings)?),
        Rule::old_mix => Kind::OldMix(share_by_volume(text, &OLD_MIX, findings)?),
        Rule::protects_to => Kind::ProtectsTo(quantity(text, &PROTECTS, findings)?),
        Rule::drains => Kind::Drains(quantity(text, &DRAINS, findings)?),
        Rule::of => Kind::Of(word()),
        Rule::set_to => Kind::SetTo(spec(text, &SET, findings)?),
        Rule::within_of => Kind::WithinOf {
            amount: quantity(inner(piece, found, Rule::within_amount)?, &WITHIN, findings)?,
            of: word(),
        },
        Rule::record_only => Kind::Record,
        Rule::range => Kind::Range(spec(text, &RANGE, findings)?),
        Rule::reads => Kind::Reads(word()),
        Rule::tool_length => Kind::Length(quantity(text, &LENGTH, findings)?),
        _ => return bare(section, piece, findings),
    })
}

/// `needs X STATE`, `needs X STATE to ACT`: the last ` to ` that no number follows begins the act.
fn needs(text: Piece<'_>) -> Kind {
    let lower = text.text.to_ascii_lowercase();
    let split = lower.match_indices(" to ").map(|(i, _)| i).filter(|i| {
        lower.get(i + 4..).is_some_and(|rest| !rest.trim_start().starts_with(|c: char| c.is_ascii_digit() || c == '-'))
    });
    match split.last() {
        Some(i) => Kind::Needs { state: text.sub(0, i).word(), act: Some(text.from(i + 4).word()) },
        None => Kind::Needs { state: text.word(), act: None },
    }
}

/// The size after `6 x`; `with nut` behind it is taken off.
fn count_size(size: Piece<'_>, count: u32) -> Kind {
    let lower = size.text.to_ascii_lowercase();
    let nut = [" with nuts", " with nut", " with a nut"].into_iter().find(|nut| lower.ends_with(nut));
    let end = size.text.len() - nut.map_or(0, str::len);
    Kind::CountSize { count, size: size.sub(0, end).word(), with_nut: nut.is_some() }
}

/// `cross`, `spiral`, `row` or the positions after `order`.
pub(super) fn layout_order(found: &Found<'_>) -> Order {
    match found.clone().into_inner().next().map(|p| p.as_rule()) {
        Some(Rule::order_cross) => Order::Cross,
        Some(Rule::order_spiral) => Order::Spiral,
        Some(Rule::order_row | Rule::order_round) => Order::Row,
        _ => Order::Positions(positions(found)),
    }
}

/// A torque with `in 3 passes` behind it, without a comma: told, and read up to there.
fn before_passes<'t>(text: Piece<'t>, findings: &mut Findings) -> Piece<'t> {
    let lower = text.text.to_ascii_lowercase();
    let Some(at) = lower.find(" in ").filter(|_| lower.contains(" passes") || lower.contains(" stages")) else {
        return text;
    };
    let place = text.sub(at, at + 1).span();
    let passes = text.from(at + 1);
    findings.bad_fix(
        passes.span(),
        format!("`{}` is a clause of its own", short(passes.text)),
        "write a comma before it",
        place,
        ", ",
    );
    text.sub(0, at).trim()
}

/// `in 3 passes`, with or without `then once round`.
pub(super) fn in_passes(piece: Piece<'_>, found: &Found<'_>) -> Option<InPasses> {
    let count = match inner(piece, found, Rule::digits) {
        // More than can be counted is too many, whatever it is.
        Some(digits) => digits.text.parse().unwrap_or(u32::MAX),
        None => number_word(inner(piece, found, Rule::number_word)?.text)?,
    };
    Some(InPasses { count, round: inner(piece, found, Rule::order_round).is_some() })
}

fn layout(piece: Piece<'_>, found: &Found<'_>, findings: &mut Findings) -> Option<Kind> {
    let form = found.clone().into_inner().next()?;
    match form.as_rule() {
        Rule::circle => Some(Kind::Layout(Layout::Circle)),
        Rule::rows => {
            let side = |digits: Piece<'_>| digits.text.parse().unwrap_or(u32::MAX);
            let mut sides = all_inner(piece, &form, Rule::digits).into_iter().map(side);
            let (rows, columns) = (sides.next()?, sides.next()?);
            Some(Kind::Layout(Layout::Rows { rows, columns }))
        }
        _ => {
            let text = inner(piece, &form, Rule::text)?;
            let layout = Layout::at(text.text);
            if layout.is_none() {
                let message = "a free layout is a row of points, each two numbers";
                findings.bad(text.span(), message, "write it like `layout at 0 0; 40 0; 40 60`");
            }
            Some(Kind::Layout(layout?))
        }
    }
}

/// An amount without a word in front: the capacity of a fluid, the limits of a measurement. A fastener's lacks `torque`.
fn bare(section: Section, piece: Piece<'_>, findings: &mut Findings) -> Option<Kind> {
    match section {
        Section::Fluids => Some(Kind::Amount(quantity(piece, &FLUID, findings)?)),
        Section::Measurements => Some(Kind::Limits(spec(piece, &LIMITS, findings)?)),
        Section::Tools => match spec(piece, &RANGE, findings)? {
            Spec::Exactly(amount) => Some(Kind::Amount(amount)),
            range => Some(Kind::Range(range)),
        },
        Section::Supplies | Section::Kits => Some(Kind::Amount(quantity(piece, &AMOUNT, findings)?)),
        _ => {
            let torque = parse_spec(piece.text).ok().filter(|s| s.kind() == Measures::Torque);
            let start = crate::source::Span { end: piece.span().start, ..piece.span() };
            match torque {
                Some(torque) => {
                    let message = format!("`{}` stands without a word that says what it is", short(piece.text));
                    findings.bad_fix(piece.span(), message, "write `torque` before it", start, "torque ");
                    Some(Kind::Torque(vec![PassAction::Torque(torque)]))
                }
                None => {
                    let message = format!("`{}` stands without a word that says what it is", short(piece.text));
                    findings.bad(piece.span(), message, expected::list_of(section));
                    None
                }
            }
        }
    }
}

/// What no clause reads: a fastener's kind without its count, a pass after a comma, or a finding.
fn fallback(
    section: Section,
    index: usize,
    piece: Piece<'_>,
    error: &pest::error::Error<Rule>,
    findings: &mut Findings,
) -> Kind {
    let near = if findings.is_full() { None } else { expected::near_clause(piece.text) };
    if section == Section::Fasteners && index == 0 && near.is_none() && is_size(piece.text) {
        return Kind::Size(piece.word());
    }
    if piece.text.get(..5).is_some_and(|t| t.eq_ignore_ascii_case("then ")) && index > 0 {
        let help = "write the passes in one clause, without a comma: `torque 10 N·m then 24 N·m`";
        findings.bad(piece.span(), "`then` goes on with the clause before the comma", help);
        return Kind::Unknown;
    }
    match near {
        Some((len, keyword)) => {
            let place = piece.sub(0, len).span();
            let of = expected::one_of(section);
            let message = format!("`{}` is no clause of {of}: did you mean `{keyword}`?", short(piece.text));
            findings.bad_fix(place.to(piece.span()), message, format!("write `{keyword}`"), place, keyword);
            return as_meant(section, piece, len, keyword, findings);
        }
        None => {
            if !expected::half_read(piece, error, findings) {
                let message = format!("`{}` is no clause of {}", short(piece.text), expected::one_of(section));
                findings.bad(piece.span(), message, expected::list_of(section));
            }
        }
    }
    Kind::Unknown
}

/// The clause with its keyword put right, so that one slip is told once; places behind the keyword stay true.
fn as_meant(section: Section, piece: Piece<'_>, len: usize, keyword: &str, findings: &mut Findings) -> Kind {
    let meant = format!("{keyword}{}", piece.from(len).text);
    let piece = Piece { text: &meant, at: (piece.at + len).saturating_sub(keyword.len()), file: piece.file };
    match grammar::read(Rule::clause, piece) {
        Ok(found) => known(section, piece, &found, findings).unwrap_or(Kind::Unknown),
        Err(_) => Kind::Unknown,
    }
}

/// A thread without its count, or a plain trade noun.
fn is_size(text: &str) -> bool {
    let thread = text.starts_with(['M', 'm']) && text.get(1..2).is_some_and(|d| d.bytes().all(|b| b.is_ascii_digit()));
    let inch = text.to_ascii_uppercase().contains("UNC") || text.to_ascii_uppercase().contains("UNF");
    let noun = text.chars().all(|c| c.is_alphabetic() || matches!(c, ' ' | '-')) && text.split(' ').count() <= 3;
    let kind = ["union", "plug"].iter().any(|k| text.get(..k.len()).is_some_and(|t| t.eq_ignore_ascii_case(k)));
    thread || inch || noun || kind
}
