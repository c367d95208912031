//! `torque-implausible`: a torque that the thread can't bear, or that clamps nothing.

use std::collections::HashSet;

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Fastening, Lubrication, Pass, PassAction, Procedure, Size, Strength, Thing};
use crate::quantity::{Kind, Known, Quantity, Spec, Unit, parse_quantity};
use crate::rules::used::answered_for;
use crate::rules::{Check, Group, Rule};
use crate::trade::fastening::Drive;
use crate::trade::joint::plausible::{self, Band, Engaged};
use crate::trade::joint::strip::Material;
use crate::trade::joint::{Friction, Head};
use crate::trade::thread::Thread;

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "torque-implausible",
    group: Group::Numbers,
    severity: Severity::Warning,
    finds: "a torque above what thread, class and friction bear, or so low that nothing is clamped",
    why: "Too much stretches the bolt until it snaps, today or on the road; too little and it shakes loose.",
    wrong: "\
job: Reseat the side cover

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 220 N·m

stage: Off and on
  remove side cover
  refit side cover
",
    right: "\
job: Reseat the side cover

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 13 mm, torque 22 N·m

stage: Off and on
  remove side cover
  refit side cover
",
    source: "Elastic-limit method of VDI 2230-1 over the strengths of ISO 898-1 and SAE J429; friction by the classes of VDI 2230-1 table A5 \
        (from memory): unsaid 0.08 to 0.24, dry 0.14 to 0.24, oiled 0.08 to 0.16, anti-seize 0.04 to 0.14, thread-lock 0.08 to 0.24. \
        Too high: past the yield point even with the most friction; too low: below a fifth of it even with the least. Spark plugs by a plug \
        maker's chart. Silent where size or class is not stated; for jam and lock nuts, which clamp nothing by themselves; for plugs, unions and \
        bands, whose seal sets the torque; for the snug stage before an angle, and for what is slackened, set or slotted afterwards (only too \
        much is told).",
    check: Check::Declarations(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    for (_, thing) in answered_for(procedure) {
        let mut told = HashSet::new();
        for fastening in thing.all_facts().filter_map(|(_, facts)| facts.fastening.as_ref()) {
            for finding in judge(thing, fastening) {
                if told.insert(finding.message.clone()) {
                    out.push(finding);
                }
            }
        }
    }
}

fn judge(thing: &Thing, fastening: &Fastening) -> Vec<Diagnostic> {
    if let Some(finding) = spark_plug(thing, fastening) {
        return vec![finding];
    }
    let Some(grade) = &fastening.strength else { return Vec::new() };
    let mut out = Vec::new();
    // Positions of another size have that size's band.
    let others = fastening.positions_are.iter().map(|(positions, _, size)| (size, positions.as_slice()));
    let elsewhere: Vec<u32> = fastening.positions_are.iter().flat_map(|(p, _, _)| p).copied().collect();
    for (size, positions) in fastening.size.iter().map(|size| (size, &[][..])).chain(others) {
        let Some(thread) = judged(size) else { continue };
        let Some(limits) = band(thread, grade, fastening) else { continue };
        let here = |pass: &&Pass| match positions {
            [] => pass.positions.is_empty() || !pass.positions.iter().all(|p| elsewhere.contains(p)),
            own => pass.positions.is_empty() || pass.positions.iter().any(|p| own.contains(p)),
        };
        let passes: Vec<&Pass> = fastening.passes.iter().filter(here).collect();
        out.extend(passes.iter().find_map(|pass| too_far(thing, pass)));
        let what = Joined { thing, thread, grade, fastening };
        out.extend(too_much(&what, &passes, &limits).or_else(|| too_little(&what, &passes, &limits)));
    }
    out
}

/// What is judged, for the words.
struct Joined<'a> {
    thing: &'a Thing,
    thread: &'a Thread,
    grade: &'a Strength,
    fastening: &'a Fastening,
}

/// The thread of a size whose torque the strength of the bolt decides.
fn judged(size: &Size) -> Option<&Thread> {
    match size {
        Size::Thread(thread) => Some(thread),
        Size::Kind(kind, thread) => {
            let kind = kind.to_lowercase();
            let clamps = ["bolt", "screw", "stud", "nut"].iter().any(|word| kind.contains(word));
            let other =
                ["jam", "lock", "union", "banjo", "drain", "set screw", "grub"].iter().any(|w| kind.contains(w));
            thread.as_ref().filter(|_| clamps && !other)
        }
    }
}

fn band(thread: &Thread, grade: &Strength, fastening: &Fastening) -> Option<Band> {
    let strength = grade.at(thread)?;
    let head = match fastening.drive {
        Some(Drive::Key(_) | Drive::Hexalobular(_)) => Head::Socket,
        _ => Head::Hexagon,
    };
    let into = fastening.into.as_deref().and_then(Material::parse);
    let engaged = into
        .zip(fastening.engaged.as_ref())
        .map(|(into, length)| Engaged { into, length_mm: length.to_si().to_f64() * 1000.0 });
    plausible::band(thread, &strength, head, friction(fastening).0, engaged)
}

/// The friction to reckon with, and what it is called.
fn friction(fastening: &Fastening) -> (Friction, &'static str) {
    match fastening.lubrication {
        Some(Lubrication::Dry) => (Friction::DRY, "dry"),
        Some(Lubrication::Oiled) => (Friction::OILED, "oiled"),
        Some(Lubrication::AntiSeize) => (Friction::ANTI_SEIZE, "with anti-seize"),
        Some(Lubrication::ThreadLock(_)) => (Friction::THREAD_LOCK, "with thread-lock"),
        None => (Friction::UNSAID, "whatever is on the thread"),
    }
}

fn newton_metres(torque: &Quantity) -> Option<f64> {
    (torque.kind() == Kind::Torque).then(|| torque.to_si().to_f64())
}

/// Any stage that is past what the joint bears; the worst one is told.
fn too_much(what: &Joined<'_>, passes: &[&Pass], limits: &Band) -> Option<Diagnostic> {
    let values = passes.iter().filter_map(|pass| match &pass.action {
        PassAction::Torque(spec) | PassAction::Check(spec) => {
            let most = spec.target().cloned().or_else(|| spec.high()).or_else(|| spec.low())?;
            Some((*pass, newton_metres(&most)?, most))
        }
        _ => None,
    });
    let (pass, value, shown) = values.max_by(|a, b| a.1.total_cmp(&b.1))?;
    if value <= limits.most || falls_after(passes, pass, &shown) {
        return None;
    }
    let breaks = if limits.strips { "the thread it is screwed into strips" } else { "the bolt yields" };
    let message = format!(
        "{}: {shown} is too much for {}: {breaks} at {} at the latest",
        what.thing.name,
        named(what),
        below(limits.most, &shown)
    );
    let label = format!("{} what it bears", times(value / limits.most));
    Some(finding(what, pass, message, label, limits, &shown))
}

/// Whether the next stage is at less: then `torque-conflict` tells the two of them.
fn falls_after(passes: &[&Pass], pass: &Pass, value: &Quantity) -> bool {
    let after = passes.iter().skip_while(|other| !std::ptr::eq(**other, pass)).skip(1);
    after
        .take_while(|later| !matches!(later.action, PassAction::Slacken))
        .find_map(|later| match &later.action {
            PassAction::Torque(spec) => spec.target().cloned().or_else(|| spec.high()),
            _ => None,
        })
        .is_some_and(|next| next.compare(value) == Some(std::cmp::Ordering::Less))
}

/// A last turn of more than a full one: no bolt is stretched that far (common practice: 30 to 180° a stage).
fn too_far(thing: &Thing, pass: &Pass) -> Option<Diagnostic> {
    let PassAction::Turn(angle) = &pass.action else { return None };
    (angle.kind() == Kind::Angle && angle.to_si().to_f64() > 360.0).then(|| {
        RULE.at(pass.span, format!("{}: {angle} is more than a full turn after the torque", thing.name))
            .label("no bolt is stretched that far")
            .help("A stage by angle is 30 to 180°. Look up the angle once more.")
    })
}

/// The last stage, where it is the one that clamps.
fn too_little(what: &Joined<'_>, passes: &[&Pass], limits: &Band) -> Option<Diagnostic> {
    let fastening = what.fastening;
    let decided_otherwise = fastening.has_angle()
        || fastening.slot_align.is_some()
        || fastening.at_most.is_some()
        || !fastening.setting.is_empty()
        || passes.iter().any(|pass| matches!(pass.action, PassAction::Slacken));
    if decided_otherwise {
        return None;
    }
    let (pass, spec) = passes.iter().rev().find_map(|pass| match &pass.action {
        PassAction::Torque(spec) => Some((*pass, spec)),
        _ => None,
    })?;
    let aimed = match spec {
        Spec::AtMost(_) => return None,
        _ => spec.target().cloned().or_else(|| spec.high()).or_else(|| spec.low())?,
    };
    let value = newton_metres(&aimed)?;
    if value >= limits.least {
        return None;
    }
    let message = format!(
        "{}: {aimed} is too little for {}: below {} nothing is clamped",
        what.thing.name,
        named(what),
        about(limits.least, &aimed.unit)
    );
    let label = format!("{} of what clamps", part(value / limits.least));
    Some(finding(what, pass, message, label, limits, &aimed))
}

fn finding(
    what: &Joined<'_>,
    pass: &Pass,
    message: String,
    label: String,
    limits: &Band,
    value: &Quantity,
) -> Diagnostic {
    let (friction, state) = friction(what.fastening);
    let mut help = format!(
        "{} is fully tight at {} ({state}: friction {:.2} to {:.2}; VDI 2230-1, {}).",
        capital(&named(what)),
        range(limits.full_low, limits.full_high, &value.unit),
        friction.low,
        friction.high,
        match what.grade {
            Strength::Class(class) if class.contains('-') => "ISO 3506-1",
            Strength::Class(_) => "ISO 898-1",
            Strength::Grade(_) => "SAE J429",
        },
    );
    match slip(value, limits) {
        Some(meant) => help.push_str(&format!(" Was {meant} meant?")),
        None => help.push_str(" Look up value, unit, size and class once more."),
    }
    RULE.at(pass.span, message).label(label).help(help)
}

/// The same figures with another unit, or the point elsewhere, where that lies within the band and only that.
fn slip(value: &Quantity, limits: &Band) -> Option<String> {
    let fits = |quantity: &Quantity| {
        newton_metres(quantity).is_some_and(|nm| nm >= limits.full_low * 0.5 && nm <= limits.full_high * 1.05)
    };
    let shifted = |factor: &str| {
        let factor = parse_quantity(&format!("{factor} mm")).ok()?.value;
        value.times(&factor)
    };
    let other_unit = [Known::NewtonMetre, Known::PoundForceFoot, Known::PoundForceInch]
        .into_iter()
        .filter(|unit| value.unit.known() != Some(*unit))
        .map(|unit| Quantity::new(value.value, Unit::from(unit)));
    let tries = ["0.1", "10"].into_iter().filter_map(shifted).chain(other_unit);
    let found: Vec<String> = tries.filter(|q| fits(q)).map(|q| q.to_string()).collect();
    match found.as_slice() {
        [] => None,
        several => Some(several.join(" or ")),
    }
}

/// `M8 of class 8.8`
fn named(what: &Joined<'_>) -> String {
    let thread = what.thread.without_length();
    let grade = match what.grade {
        Strength::Class(class) => format!("class {class}"),
        Strength::Grade(grade) => format!("grade {grade}"),
    };
    format!("{thread} of {grade}")
}

/// A limit in the author's unit, to two figures.
fn about(newton_metres: f64, unit: &Unit) -> String {
    let value = newton_metres / unit.factor().to_f64();
    let digits = if value >= 10.0 { 0 } else { 1 };
    format!("{value:.digits$} {}", unit.symbol())
}

/// The same, to as many figures as show that it is below the value.
fn below(newton_metres: f64, value: &Quantity) -> String {
    let (limit, shown) = (newton_metres / value.unit.factor().to_f64(), value.value.to_f64());
    let least = if limit >= 10.0 { 0 } else { 1 };
    let reads_below = |digits: usize| format!("{limit:.digits$}").parse::<f64>().is_ok_and(|read| read < shown);
    let digits = (least..4).find(|digits| reads_below(*digits)).unwrap_or(4);
    format!("{limit:.digits$} {}", value.unit.symbol())
}

/// `18 to 38 N·m`
fn range(low: f64, high: f64, unit: &Unit) -> String {
    let low = about(low, unit);
    let number = low.strip_suffix(unit.symbol()).unwrap_or(&low).trim_end();
    format!("{number} to {}", about(high, unit))
}

fn times(factor: f64) -> String {
    if factor < 1.95 { format!("{:.0} % more than", (factor - 1.0) * 100.0) } else { format!("{factor:.1} times") }
}

fn part(factor: f64) -> String {
    format!("only {:.0} %", factor * 100.0)
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// A spark plug seals by its seat: a chart says how tight, whatever its class.
fn spark_plug(thing: &Thing, fastening: &Fastening) -> Option<Diagnostic> {
    let kind = match &fastening.size {
        Some(Size::Kind(kind, _)) => kind.as_str(),
        _ => "",
    };
    if !(is_spark_plug(&thing.name) || is_spark_plug(kind)) || fastening.has_angle() {
        return None;
    }
    let thread = fastening.size.as_ref()?.thread()?;
    let (low, high) = plausible::spark_plug(thread)?;
    let pass = fastening.passes.iter().rev().find(|pass| matches!(pass.action, PassAction::Torque(_)))?;
    let PassAction::Torque(spec) = &pass.action else { return None };
    let aimed = spec.target().cloned().or_else(|| spec.high()).or_else(|| spec.low())?;
    let value = newton_metres(&aimed)?;
    // The chart is for clean dry threads; makers go a quarter beyond it either way (common practice).
    let (much, little) = (value > high * 1.25, value < low * 0.75);
    if !much && !little {
        return None;
    }
    let way = if much { "too much" } else { "too little" };
    Some(
        RULE.at(pass.span, format!("{}: {aimed} is {way} for a spark plug with this thread", thing.name))
            .label(format!("{} is usual", range(low, high, &aimed.unit)))
            .help(
                "Too loose it overheats and blows out, too tight its thread or the head's tears. A plug maker's chart gives the range for \
                 flat and conical seats in iron and aluminium. Look up value and unit once more.",
            ),
    )
}

fn is_spark_plug(name: &str) -> bool {
    let name = name.to_lowercase();
    name.ends_with("spark plug") || name.ends_with("spark plugs")
}
