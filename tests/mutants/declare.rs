//! Declarations spoilt: clauses dropped, numbers and units changed, names misspelt.

use std::ops::Range;

use cotter::procedure::{Condition, ThingId, ThingKind, Verb};
use cotter::syntax::tree::{Clause, ClauseKind as K, DetailWord, Entry, Item, NodeId, Order, Section};

use crate::bench::{Bench, Mutant, misspelt};
use crate::ground::Within;
use crate::steps::{LEFT, STATE};

pub fn all(b: &Bench<'_>, out: &mut Vec<Mutant>) {
    for file in 0..b.job.trees.len() {
        for (node, item) in b.nodes(file) {
            match item {
                Item::Entry(entry) => {
                    named(b, (file, node), entry, out);
                    if !matches!(entry.section, Section::Given) {
                        let extent = b.job.extent(file, node);
                        let copy = b.job.texts[file][extent.clone()].to_owned();
                        let edits = vec![(extent.end..extent.end, copy)];
                        out.push(b.spoil("a declaration doubled", (file, node), "", &["duplicate-name"], edits));
                    }
                    let thing = thing_of(b, entry);
                    for clause in &entry.clauses {
                        if let Some(thing) = thing {
                            of_thing(b, (file, node), thing, clause, out);
                        }
                        anywhere(b, (file, node), entry, clause, out);
                    }
                }
                Item::Detail(_) => detail(b, (file, node), out),
                _ => {}
            }
        }
    }
}

fn thing_of(b: &Bench<'_>, entry: &Entry) -> Option<ThingId> {
    let name = cotter::syntax::fold_name(&entry.name.text);
    let at = b.job.procedure.things.iter().position(|t| cotter::syntax::fold_name(&t.name) == name)?;
    Some(ThingId(u32::try_from(at).ok()?))
}

/// A step of the job is done to it, or to what it holds.
fn worked(b: &Bench<'_>, thing: ThingId) -> bool {
    let held = b.holds.get(&thing).cloned().unwrap_or_default();
    b.steps_on(thing).next().is_some() || held.iter().any(|h| b.steps_on(*h).next().is_some())
}

/// The declared name misspelt. A fault where steps speak of the thing by its name.
fn named(b: &Bench<'_>, place: (usize, NodeId), entry: &Entry, out: &mut Vec<Mutant>) {
    // What takes any words needs no declaration.
    let spoken = match entry.section {
        Section::Parts | Section::Fasteners | Section::Fluids => {
            thing_of(b, entry).is_some_and(|t| b.steps_on(t).any(|i| crate::bench::changes(b.step(i).verb)))
        }
        Section::Options => {
            let says = |seen: &crate::ground::Seen<'_>| seen.within.iter().any(|w| matches!(w, Within::With));
            b.steps.iter().any(says) && b.job.texts[place.0].matches(&format!("with {}", entry.name.text)).count() > 0
        }
        _ => false,
    };
    // Declared in two files, the other declaration still stands.
    let twice = thing_of(b, entry).is_some_and(|t| b.job.thing(t).declared_at.len() > 1);
    let Some(wrong) = misspelt(&entry.name.text).filter(|_| spoken && !twice) else { return };
    let honest = &["unknown-name", "unknown-act", "duplicate-name", "unused-name"];
    out.push(b.spoil("a declared name misspelt", place, &wrong.clone(), honest, b.instead(entry.name.span, wrong)));
}

fn of_thing(b: &Bench<'_>, place: (usize, NodeId), thing: ThingId, clause: &Clause, out: &mut Vec<Mutant>) {
    let file = place.0;
    let facts = b.facts(thing);
    let cut = || b.without_clause(file, clause.span);
    // What `reverse stage` writes turns with the declaration.
    let verbs: Vec<Verb> = b.steps_on(thing).map(|i| b.step(i)).filter(|s| !s.generated).map(|s| s.verb).collect();
    let own = !b.job.thing(thing).shared;
    let in_kit = b.job.procedure.kits.iter().any(|k| k.things.contains(&thing));
    // Other declarations and variants may say it too.
    let once = b.job.thing(thing).declared_at.len() < 2 && b.job.thing(thing).variants.is_empty();
    if !once {
        return;
    }
    match &clause.kind {
        // A new one fitted where the declaration no longer allows for one.
        K::New | K::SingleUse | K::NewIfBad | K::Added
            if !in_kit && (verbs.contains(&Verb::Fit) || verbs.contains(&Verb::Renew)) =>
        {
            let marks = [facts.new, facts.single_use, facts.new_if_bad, facts.added];
            if marks.iter().filter(|m| **m).count() == 1 {
                let mut honest = vec!["old-part-refitted"];
                if matches!(clause.kind, K::Added) {
                    honest.push("not-off-yet");
                }
                out.push(b.spoil("new, single-use, added dropped", place, &said(b, clause), &honest, cut()));
            }
        }
        // `in positions` and `stays while running` say as much.
        K::Temporary
            if verbs.contains(&Verb::PutIn)
                && facts.temporary.as_ref().is_some_and(|t| t.takes_up.is_none() && !t.stays_while_running) =>
        {
            let honest = &["already-off", "not-off-yet", "old-part-refitted", "unknown-act", "left-off", "bad-syntax"];
            out.push(b.spoil("temporary dropped", place, "no temporary", honest, cut()));
        }
        // The fasteners it loses are then used by no one, or worked without ever having come out.
        K::HeldBy(_) => {
            let own_acts = |f: &ThingId| b.steps_on(*f).next().is_some();
            let alone = facts.held_by.iter().filter(|f| b.holds.get(f).is_some_and(|h| h.len() == 1));
            let found = alone.into_iter().any(|f| {
                let verbs: Vec<Verb> = b.steps_on(*f).map(|i| b.step(i).verb).collect();
                let goes_back =
                    verbs.iter().any(|v| matches!(v, Verb::Start | Verb::Tighten | Verb::Fit | Verb::Refit));
                let comes_out = verbs.iter().any(|v| matches!(v, Verb::Remove | Verb::Loosen | Verb::Disconnect));
                own && !b.job.thing(*f).shared && !own_acts(f) || goes_back && !comes_out
            });
            if found {
                let honest = &[
                    "unused-name",
                    "not-off-yet",
                    "torqued-again",
                    "torqued-too-early",
                    "unsupported",
                    "count-mismatch",
                    "never-touched",
                ];
                out.push(b.spoil("held by dropped", place, "no held by", honest, cut()));
            }
        }
        K::Torque(_)
            if facts
                .fastening
                .as_ref()
                .is_some_and(|f| f.size.as_ref().is_some_and(|s| s.thread().is_some()) && f.setting.is_empty()) =>
        {
            if worked(b, thing) {
                out.push(b.spoil("a torque dropped", place, "no torque", &["torque-missing"], cut()));
            }
        }
        K::CountSize { count, size, .. } => counts(b, place, thing, clause, (*count, &size.text), out),
        // `each side` is needed where the loop works on it.
        K::Each(_) if looped(b, thing) => {
            let mut honest: Vec<&'static str> = STATE.to_vec();
            honest.extend(LEFT);
            honest.extend(["unknown-name", "bad-syntax", "old-part-refitted", "out-of-reach"]);
            out.push(b.spoil("each dropped", place, "no each", &honest, cut()));
        }
        K::OnlyWith(_) if seen_in_front(b, thing) => {
            out.push(b.spoil("only with dropped", place, "no only with", &["out-of-reach", "still-held"], cut()));
        }
        // How much may also be said by what runs out, or at the step.
        K::Amount(_)
            if facts.fluid.as_ref().is_some_and(|f| f.drains.is_none())
                && verbs.contains(&Verb::Fill)
                && b.steps_on(thing).all(|i| b.step(i).clauses.amounts.is_empty())
                && is_specified(facts.fluid.as_ref().and_then(|f| f.kind)) =>
        {
            out.push(b.spoil("a fact of a fluid dropped", place, &said(b, clause), &["fluid-missing"], cut()));
        }
        K::Mix(_) if facts.fluid.is_some() && verbs.contains(&Verb::Fill) => {
            out.push(b.spoil("a fact of a fluid dropped", place, &said(b, clause), &["fluid-missing"], cut()));
        }
        K::Needs { state, .. } => {
            let touched = b.steps_on(thing).any(|i| crate::bench::changes(b.step(i).verb));
            if let Some(wrong) = misspelt(&state.text).filter(|_| touched) {
                let honest = &["not-ready", "unknown-name", "bad-syntax"];
                out.push(b.spoil("a need misspelt", place, &wrong.clone(), honest, b.instead(state.span, wrong)));
            }
        }
        K::Hazard(word) => {
            if let Some(wrong) = misspelt(&word.text) {
                out.push(b.spoil(
                    "a hazard misspelt",
                    place,
                    &wrong.clone(),
                    &["bad-syntax", "unknown-name"],
                    b.instead(word.span, wrong),
                ));
            }
        }
        _ => {}
    }
}

fn said(b: &Bench<'_>, clause: &Clause) -> String {
    format!("no '{}'", b.job.text_of(clause.span))
}

/// A loop over a set takes it off, or puts it on, and not both: one for all members, it would be off already at the second.
/// What holds something comes out and goes in with that.
fn looped(b: &Bench<'_>, thing: ThingId) -> bool {
    let in_loop: Vec<usize> = b
        .steps_on(thing)
        .filter(|i| b.inside(*i, |w| matches!(w, Within::ForEach)) && !b.inside(*i, |w| matches!(w, Within::Until)))
        .collect();
    let takes = in_loop.iter().any(|i| matches!(b.step(*i).verb, Verb::Remove | Verb::Disconnect));
    let puts = in_loop.iter().any(|i| matches!(b.step(*i).verb, Verb::Refit | Verb::Fit | Verb::Connect | Verb::Place));
    takes != puts && !b.holds.contains_key(&thing)
}

/// There in some variants only, taken off in a `with` only, and in front of something that is touched elsewhere.
fn seen_in_front(b: &Bench<'_>, thing: ThingId) -> bool {
    let takes: Vec<usize> = b
        .steps_on(thing)
        .filter(|i| matches!(b.step(*i).verb, Verb::Remove | Verb::MoveAside | Verb::Disconnect))
        .collect();
    let in_with = !takes.is_empty() && takes.iter().all(|i| b.inside(*i, |w| matches!(w, Within::With)));
    let behind =
        (0..b.job.procedure.things.len()).map(|i| ThingId(i as u32)).filter(|t| b.facts(*t).behind.contains(&thing));
    let elsewhere = |t: ThingId| {
        matches!(b.job.thing(t).exists, Condition::Always)
            && b.steps_on(t).any(|i| {
                matches!(b.step(i).verb, Verb::Remove | Verb::Disconnect | Verb::Fit | Verb::Refit)
                    && !b.inside(i, |w| matches!(w, Within::With | Within::If(_)))
            })
    };
    in_with && behind.into_iter().any(elsewhere)
}

/// A declared count one more. A fault where an order, a layout, positions or counts in steps say how many there are.
fn counts(
    b: &Bench<'_>,
    place: (usize, NodeId),
    thing: ThingId,
    clause: &Clause,
    (count, size): (u32, &str),
    out: &mut Vec<Mutant>,
) {
    use cotter::procedure::Portion;
    let facts = b.facts(thing);
    let Some(fastening) = &facts.fastening else { return };
    let rows = matches!(fastening.layout, Some(cotter::procedure::Layout::Rows { .. }));
    let listed = matches!(fastening.order, Some(Order::Positions(_)));
    let parts = b.steps_on(thing).any(|i| {
        b.step(i).things().any(|t| t.thing == thing && !matches!(t.portion, Portion::Whole))
            && matches!(b.step(i).verb, Verb::Start | Verb::Tighten | Verb::Fit | Verb::Refit)
    });
    let text = b.job.text_of(clause.span);
    let by = text.replacen(&count.to_string(), &(count + 1).to_string(), 1);
    let what = format!("{} x {size}", count + 1);
    if (rows || listed) && worked(b, thing) {
        out.push(b.spoil(
            "a count changed",
            place,
            &what,
            &["order-incomplete", "count-mismatch"],
            b.instead(clause.span, by),
        ));
    } else if parts {
        let honest = &["count-mismatch", "left-off", "left-loose", "torqued-too-early", "still-held", "not-off-yet"];
        out.push(b.spoil("a count changed", place, &what, honest, b.instead(clause.span, by)));
    }
    if worked(b, thing) && size.starts_with('M') {
        let by = size.to_owned();
        out.push(b.spoil("a count dropped", place, &by.clone(), &["count-missing"], b.instead(clause.span, by)));
    }
}

/// Numbers and units, in whatever declaration.
fn anywhere(b: &Bench<'_>, place: (usize, NodeId), entry: &Entry, clause: &Clause, out: &mut Vec<Mutant>) {
    let text = b.job.text_of(clause.span);
    let range = clause.span.range();
    let at = |from: usize, to: usize| range.start + from..range.start + to;
    // What can't be read is told wherever it stands; orders, layouts and rising stages of what the job works on.
    match &clause.kind {
        K::Torque(_) => {
            if let Some(found) = text.rfind(" N·m") {
                let unit = at(found, found + " N·m".len());
                out.push(edit(b, "a unit dropped", place, "no unit", &["unit-missing"], unit.clone(), ""));
                out.push(edit(b, "a unit of the wrong kind", place, "mm", &["unit-mismatch"], unit, " mm"));
            }
            // A staged torque falls.
            let stages: Vec<&str> = text.trim_start_matches("torque ").split(" then ").collect();
            if let [first, second, ..] = stages[..] {
                if first.contains("N·m") && second.contains("N·m") && !first.contains("to") && !second.contains("to")
                {
                    let by = text.replacen(first, "\u{1}", 1).replacen(second, first, 1).replacen('\u{1}', second, 1);
                    out.push(edit(
                        b,
                        "stages of a torque exchanged",
                        place,
                        &by.clone(),
                        &["torque-conflict"],
                        at(0, text.len()),
                        &by,
                    ));
                }
            }
        }
        K::Limits(_) if entry.section == Section::Measurements => {
            if let Some(found) =
                text.rfind(' ').filter(|f| text[f + 1..].chars().next().is_some_and(|c| !c.is_numeric()))
            {
                out.push(edit(b, "a unit dropped", place, "no unit", &["unit-missing"], at(found, text.len()), ""));
            }
            // Lower and upper limit exchanged.
            let numbers: Vec<&str> = text.split(" to ").collect();
            if let [low, high] = numbers[..] {
                let high_number = high.split(' ').next().unwrap_or(high);
                let low_number = low.split(' ').next().unwrap_or(low);
                let differ =
                    matches!((low_number.parse::<f64>(), high_number.parse::<f64>()), (Ok(a), Ok(z)) if a != z);
                if differ {
                    let by = text.replacen(low_number, "\u{1}", 1).replacen(high_number, low_number, 1).replacen(
                        '\u{1}',
                        high_number,
                        1,
                    );
                    out.push(edit(
                        b,
                        "limits exchanged",
                        place,
                        &by.clone(),
                        &["limit-reversed"],
                        at(0, text.len()),
                        &by,
                    ));
                }
            }
            let states_new = entry.clauses.iter().any(|c| matches!(c.kind, K::NewMeasures(_)));
            for (a, z) in [("at least", "at most"), ("at most", "at least")] {
                if states_new && text.starts_with(a) {
                    out.push(edit(b, "limits exchanged", place, z, &["limit-reversed"], at(0, a.len()), z));
                }
            }
        }
        K::Order(Order::Positions(list)) if thing_of(b, entry).is_some_and(|t| worked(b, t)) => {
            if let Some(found) = text.rfind(' ') {
                out.push(edit(
                    b,
                    "an order broken",
                    place,
                    "last one dropped",
                    &["order-incomplete"],
                    at(found, text.len()),
                    "",
                ));
                let first = list.first().map(u32::to_string).unwrap_or_default();
                let by = format!(" {first}");
                out.push(edit(
                    b,
                    "an order broken",
                    place,
                    "first one twice",
                    &["order-incomplete"],
                    at(found, text.len()),
                    &by,
                ));
            }
        }
        K::Layout(cotter::trade::fastening::Layout::Rows { .. })
            if thing_of(b, entry).is_some_and(|t| worked(b, t)) =>
        {
            if let Some(found) = text.rfind(' ') {
                let n: u32 = text[found + 1..].trim().parse().unwrap_or(0);
                if n > 1 {
                    let by = format!(" {}", n - 1);
                    out.push(edit(
                        b,
                        "a layout changed",
                        place,
                        &by.clone(),
                        &["order-incomplete"],
                        at(found, text.len()),
                        &by,
                    ));
                }
            }
        }
        K::HeldBy(words) | K::Behind(words) | K::PartOf(words) | K::Carries(words) => {
            if let Some(wrong) = misspelt(&words.text) {
                out.push(edit(
                    b,
                    "a name misspelt in a declaration",
                    place,
                    &wrong.clone(),
                    &["unknown-name"],
                    words.span.range(),
                    &wrong,
                ));
            }
        }
        _ => {}
    }
    if let K::NewMeasures(_) = clause.kind {
        // What a new one measures, put far off; `at least` fails below, `at most` above.
        let low = entry
            .clauses
            .iter()
            .any(|c| matches!(c.kind, K::Limits(_)) && b.job.text_of(c.span).starts_with("at least"));
        let digits = |c: char| c.is_ascii_digit() || c == '.';
        if let Some(start) = text.find(|c: char| c.is_ascii_digit()) {
            let end = start + text[start..].find(|c| !digits(c)).unwrap_or(text.len() - start);
            let by = if low { "0.001" } else { "9999" };
            out.push(edit(b, "a new value outside", place, by, &["limit-reversed"], at(start, end), by));
        }
    }
    // A decimal comma.
    if let Some(found) = text.match_indices('.').map(|(i, _)| i).find(|i| {
        let bytes = text.as_bytes();
        *i > 0 && bytes[i - 1].is_ascii_digit() && bytes.get(i + 1).is_some_and(u8::is_ascii_digit)
    }) {
        if matches!(clause.kind, K::Torque(_) | K::Limits(_) | K::Amount(_)) {
            out.push(edit(b, "a decimal comma", place, ",", &["bad-syntax"], at(found, found + 1), ","));
        }
    }
}

/// Fuel, air, washer fluid and grease need no specification.
fn is_specified(kind: Option<cotter::procedure::FluidKind>) -> bool {
    use cotter::procedure::FluidKind as F;
    !matches!(kind, Some(F::Fuel | F::CompressedAir | F::WasherFluid | F::Grease))
}

fn edit(
    b: &Bench<'_>,
    operator: &'static str,
    place: (usize, NodeId),
    what: &str,
    honest: &[&'static str],
    range: Range<usize>,
    by: &str,
) -> Mutant {
    b.spoil(operator, place, what, honest, vec![(range, by.to_owned())])
}

/// `orient` of a directional part, `spec` of a fluid, `pass` lines, worked examples.
fn detail(b: &Bench<'_>, place: (usize, NodeId), out: &mut Vec<Mutant>) {
    let (file, node) = place;
    let Item::Detail(detail) = &b.job.node(file, node).item else { return };
    let whole = vec![(b.job.extent(file, node), String::new())];
    let parent = b.job.node(file, node).parent.map(|p| &b.job.node(file, p).item);
    match (detail.word, parent) {
        (DetailWord::Orient, Some(Item::Entry(entry))) => {
            let Some(thing) = thing_of(b, entry) else { return };
            let facts = b.facts(thing);
            let on = |i: usize| matches!(b.step(i).verb, Verb::Fit | Verb::Place | Verb::Refit);
            let orients = |i: usize| !b.step(i).details.is_empty();
            let goes_on: Vec<usize> = b.steps_on(thing).filter(|i| on(*i)).collect();
            let marked = b.steps_on(thing).any(|i| b.step(i).verb == Verb::Mark);
            if facts.directional && !goes_on.is_empty() && !goes_on.iter().any(|i| orients(*i)) && !marked {
                out.push(b.spoil("orient dropped", place, "", &["orientation-missing"], whole));
            }
        }
        (DetailWord::Spec, Some(Item::Entry(entry))) if entry.section == Section::Fluids => {
            let Some(thing) = thing_of(b, entry) else { return };
            let told = is_specified(b.facts(thing).fluid.as_ref().and_then(|f| f.kind));
            let filled = b.steps_on(thing).any(|i| b.step(i).verb == Verb::Fill);
            if told && filled && b.job.thing(thing).kind == ThingKind::Fluid {
                out.push(b.spoil("a fact of a fluid dropped", place, "", &["fluid-missing"], whole));
            }
        }
        (DetailWord::Pass, Some(Item::Entry(entry))) => {
            let Some(thing) = thing_of(b, entry) else { return };
            let Some(fastening) = &b.facts(thing).fastening else { return };
            let text = b.job.text_of(b.job.node(file, node).span);
            let torques = fastening
                .passes
                .iter()
                .filter(|p| matches!(p.action, cotter::procedure::PassAction::Torque(_)))
                .count();
            if let Some(found) = text.find(" N·m") {
                let start = b.job.node(file, node).span.start as usize + found;
                let unit = start..start + " N·m".len();
                out.push(edit(b, "a unit dropped", place, "no unit", &["unit-missing"], unit, ""));
                // A first pass above the last one.
                let number = text["pass: ".len()..found].trim();
                let first = fastening.passes.first().is_some_and(|p| p.span.start == b.job.node(file, node).span.start)
                    && matches!(
                        fastening.passes.get(1).map(|p| &p.action),
                        Some(cotter::procedure::PassAction::Torque(_))
                    );
                if first && worked(b, thing) && torques > 1 && number.parse::<f64>().is_ok() {
                    let start = b.job.node(file, node).span.start as usize + "pass: ".len();
                    let by = format!("9{number}");
                    out.push(edit(
                        b,
                        "a pass raised above the next",
                        place,
                        &by.clone(),
                        &["torque-conflict"],
                        start..start + number.len(),
                        &by,
                    ));
                }
            }
        }
        (DetailWord::Danger | DetailWord::Warning | DetailWord::Caution | DetailWord::Notice, _) => {
            let Some(hazard) = &detail.value else { return };
            if let Some(wrong) = misspelt(&hazard.text) {
                let honest = &["bad-syntax", "unknown-name"];
                out.push(b.spoil("a hazard misspelt", place, &wrong.clone(), honest, b.instead(hazard.span, wrong)));
            }
        }
        (DetailWord::Example, _) => {
            let span = b.job.node(file, node).span;
            let text = b.job.text_of(span);
            if let Some(found) = text.find(" gives ") {
                let start = span.start as usize + found + " gives ".len();
                out.push(edit(b, "an example changed", place, "9…", &["example-fails"], start..start, "9"));
            }
            // The formula above it with a sign turned round.
            if let (Some(Item::Step(step)), Some(parent)) = (parent, b.job.node(file, node).parent) {
                let head = step.head.span;
                let formula = b.job.text_of(head);
                for (sign, other) in [(" + ", " - "), (" - ", " + "), (" x ", " / ")] {
                    if let Some(found) = formula.find(sign) {
                        let start = head.start as usize + found;
                        let by = formula.replacen(sign, other, 1);
                        out.push(edit(
                            b,
                            "a formula changed",
                            (file, parent),
                            &by,
                            &["example-fails", "unit-mismatch"],
                            start..start + 3,
                            other,
                        ));
                    }
                }
            }
        }
        _ => {}
    }
}
