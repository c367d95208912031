//! `key-mismatch`: a width across flats, key or bit that no standard head of that thread has.

use std::collections::HashSet;

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Drive, Fastening, Procedure, Size, Strength, Thing, ThingKind};
use crate::quantity::Quantity;
use crate::rules::used::answered_for;
use crate::rules::{Check, Group, Rule};
use crate::trade::head::{self, HeadKind, KeySize, Turned};
use crate::trade::joint::{Head, Joint, USE_OF_YIELD};
use crate::trade::thread::{Series, Thread};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "key-mismatch",
    group: Group::Numbers,
    severity: Severity::Warning,
    finds: "a size of spanner, key or bit that no standard head of that thread has",
    why: "The apprentice walks back for another socket, or takes the one on the sheet and rounds the head.",
    wrong: "\
job: Reseat the side cover

parts
  side cover: held by cover bolts

fasteners
  cover bolts: 4 x M8x20, class 8.8, hex 15 mm, torque 22 N·m

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
    source: "Hexagons: ISO 272, 4014, 4017, 4032; the older DIN 931, 933, 934, the JIS small series and \
        flange heads (DIN 6921, ISO 4162 small series) pass too (M10: 16, 17, 14, 15 or 13 mm). Keys: \
        ISO 4762, DIN 7984, ISO 7380-1, ISO 10642, ISO 4026 to 4029. Hexalobular: ISO 10664 with ISO 14579 to 14583. Inch: ASME B18.2.1, \
        B18.2.2, B18.3. Button and countersunk heads carry 80 % of the load only (ISO 7380-1, ISO 10642): under more torque their key does not \
        pass. No hexagon is narrower than 1.2 times its thread (common practice). Silent for large nuts with fine threads, wheel nuts, plugs, unions and sensors, whose heads are no standard's.",
    check: Check::Declarations(check),
};

/// Nothing is nearer than this to the next size of any table, in millimetres: 19 mm passes for 3/4 in.
const NEAR: f64 = 0.15;

/// What a part with a head of its own is called; its head is no standard's (common practice).
const OWN_HEADS: [&str; 18] = [
    "wheel",
    "hub",
    "axle",
    "spindle",
    "shaft",
    "ball joint",
    "track rod",
    "tie rod",
    "pinion",
    "pulley",
    "banjo",
    "union",
    "plug",
    "sensor",
    "switch",
    "injector",
    "nozzle",
    "bleed",
];

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    for (_, thing) in answered_for(procedure) {
        if thing.kind != ThingKind::Fastener {
            continue;
        }
        let mut told = HashSet::new();
        for fastening in thing.all_facts().filter_map(|(_, facts)| facts.fastening.as_ref()) {
            if let Some(finding) = judge(thing, fastening)
                && told.insert(finding.message.clone())
            {
                out.push(finding);
            }
        }
    }
}

fn judge(thing: &Thing, fastening: &Fastening) -> Option<Diagnostic> {
    if let Some(finding) = too_narrow(thing, fastening) {
        return Some(finding);
    }
    let thread = judged(thing, fastening)?;
    let (turned, size, shown) = match fastening.drive.as_ref()? {
        Drive::Hex(size) => (Turned::Hex, millimetres(size), format!("hex {size}")),
        Drive::Key(size) => (Turned::Key, millimetres(size), format!("key {size}")),
        Drive::Hexalobular(number) => (Turned::Hexalobular, f64::from(*number), format!("hexalobular {number}")),
        Drive::Slot | Drive::Cross(_) => return None,
    };
    let known = head::sizes(thread, turned);
    let fits = |entry: &&KeySize| (entry.size - size).abs() <= NEAR;
    let (passes, weak): (Vec<&KeySize>, Vec<&KeySize>) =
        known.iter().filter(fits).partition(|entry| carries(entry.kind, thread, fastening));
    let forming = turned == Turned::Hexalobular && known.iter().any(|entry| forming(entry.size, size, fastening));
    if known.is_empty() || !passes.is_empty() || forming {
        return None;
    }
    let called = named(thread);
    let listed = in_words(&known, turned, thread);
    if let Some(entry) = weak.first() {
        let kind = entry.kind.name();
        let why = match entry.kind {
            HeadKind::SetScrew => "has no property class and no head",
            _ => "carries 80 % of the load of a cap screw, which is less than this torque gives",
        };
        return Some(
            RULE.at(thing.span, format!("{}: {shown} is the size of a {kind} {called}, which {why}", thing.name))
                .label(format!("{called} with this torque has another key"))
                .help(format!("{called} by the standards: {listed}. Look at the head, or at the torque.")),
        );
    }
    let mut help = format!("{called} by the standards: {listed}.");
    if turned == Turned::Hex {
        if let Some(other) = whose(size, thread) {
            help.push_str(&format!(" {} is the head of {other}.", with_unit(size, turned, thread)));
        }
        help.push_str(" Where the head differs on purpose (a special nut), say so: `allow key-mismatch: …`.");
    }
    Some(
        RULE.at(thing.span, format!("{}: no standard {called} has {shown}", thing.name))
            .label("does not fit the head")
            .help(help),
    )
}

/// A hexagon that the thread would not leave a wall, whatever is special about it.
fn too_narrow(thing: &Thing, fastening: &Fastening) -> Option<Diagnostic> {
    let Size::Thread(thread) = fastening.size.as_ref()? else { return None };
    let Drive::Hex(size) = fastening.drive.as_ref()? else { return None };
    // Large nuts are thin rings.
    let diameter = thread.diameter_mm().filter(|diameter| *diameter <= 39.0)?;
    (millimetres(size) < 1.2 * diameter).then(|| {
        RULE.at(thing.span, format!("{}: hex {size} is too narrow for {}", thing.name, named(thread)))
            .label("hardly wider than the thread")
            .help(match head::sizes(thread, Turned::Hex).as_slice() {
                [] => "Look at the head: across flats it is at least about one and a half times its thread.".to_owned(),
                known => format!("{} by the standards: {}.", named(thread), in_words(known, Turned::Hex, thread)),
            })
    })
}

/// The thread of a bolt, screw or nut that a standard gives its head.
fn judged<'a>(thing: &Thing, fastening: &'a Fastening) -> Option<&'a Thread> {
    let thread = match fastening.size.as_ref()? {
        Size::Thread(thread) => thread,
        Size::Kind(kind, thread) => {
            let kind = kind.to_lowercase();
            let plain = ["bolt", "screw", "stud", "nut"].iter().any(|word| kind.contains(word));
            let own = OWN_HEADS.iter().any(|word| kind.contains(word));
            thread.as_ref().filter(|_| plain && !own)?
        }
    };
    let name = thing.name.to_lowercase();
    let own = OWN_HEADS.iter().any(|word| name.contains(word));
    // Fine threads are those of shafts, hubs and joints: from M18 on their nuts are made for the place, not for a standard.
    let fine = thread.series == Series::MetricFine && (own || thread.diameter_mm()? >= 18.0);
    let made_for_the_place = fine || (own && special(thread));
    (!made_for_the_place).then_some(thread)
}

/// Wheel bolts and the like have heads of their own from here on, coarse thread or not.
fn special(thread: &Thread) -> bool {
    thread.diameter_mm().is_some_and(|diameter| diameter >= 12.0)
}

fn millimetres(size: &Quantity) -> f64 {
    size.to_si().to_f64() * 1000.0
}

/// Thread-forming screws into plastic and sheet, up to 30, have the next smaller bit (common practice); they have no class.
fn forming(standard: f64, size: f64, fastening: &Fastening) -> bool {
    const BITS: [f64; 7] = [6.0, 8.0, 10.0, 15.0, 20.0, 25.0, 30.0];
    fastening.strength.is_none() && BITS.windows(2).any(|pair| pair[1] == standard && pair[0] == size)
}

/// Whether a head of this kind can be meant, by what it has to carry.
fn carries(kind: HeadKind, thread: &Thread, fastening: &Fastening) -> bool {
    let steel = matches!(&fastening.strength, Some(Strength::Class(class)) if class.contains('.'));
    match kind {
        HeadKind::SetScrew => !steel && !matches!(fastening.strength, Some(Strength::Grade(_))),
        // Small screws are seldom tightened to what the head bears.
        HeadKind::Button | HeadKind::Countersunk | HeadKind::LowCap
            if thread.diameter_mm().is_none_or(|diameter| diameter < 8.0) =>
        {
            true
        }
        HeadKind::Button | HeadKind::Countersunk | HeadKind::LowCap => {
            let reduced = || -> Option<f64> {
                let strength = fastening.strength.as_ref()?.at(thread)?;
                let joint = Joint::new(thread, Head::Socket)?;
                // At a middling friction: the head gives way by the load, which hangs on the friction as the torque does. Five
                // per cent are left, so that a torque set to just those 80 % is not told.
                Some(0.85 * joint.assembly(&strength, USE_OF_YIELD, 0.12, 0.12).torque)
            };
            let wanted = fastening.final_torque().and_then(|spec| spec.target().cloned().or_else(|| spec.high()));
            match wanted.zip(reduced()) {
                Some((torque, most)) => torque.to_si().to_f64() <= most,
                None => true,
            }
        }
        HeadKind::Hexagon | HeadKind::Cap | HeadKind::Pan => true,
    }
}

/// `M8`, `1/2-13 UNC`
fn named(thread: &Thread) -> String {
    thread.without_length().to_string()
}

/// `hex 16 mm (ISO 272 …), 17 mm (DIN …)`, each size once.
fn in_words(known: &[KeySize], turned: Turned, thread: &Thread) -> String {
    let mut sizes: Vec<(f64, Vec<String>)> = Vec::new();
    for entry in known {
        let source = match turned {
            Turned::Hex => entry.standard.to_owned(),
            _ => format!("{}, {}", entry.kind.name(), entry.standard),
        };
        match sizes.iter_mut().find(|(size, _)| (*size - entry.size).abs() < 1e-9) {
            Some((_, sources)) => sources.push(source),
            None => sizes.push((entry.size, vec![source])),
        }
    }
    let one =
        |(size, sources): &(f64, Vec<String>)| format!("{} ({})", with_unit(*size, turned, thread), sources.join("; "));
    sizes.iter().map(one).collect::<Vec<_>>().join(", ")
}

fn with_unit(size: f64, turned: Turned, thread: &Thread) -> String {
    match turned {
        Turned::Hexalobular => format!("{size}"),
        _ if thread.is_metric() => format!("{size} mm"),
        _ => {
            let sixtyfourths = (size / 25.4 * 64.0).round() as i128;
            let inches = crate::quantity::Number::from_ratio(sixtyfourths, 64);
            format!("{} in", inches.map(|n| n.to_fraction()).unwrap_or_default())
        }
    }
}

/// The coarse thread whose ISO head has this width.
fn whose(size: f64, thread: &Thread) -> Option<String> {
    if !thread.is_metric() {
        return None;
    }
    let of = |name: &str| Thread::parse(name).ok();
    ["M4", "M5", "M6", "M8", "M10", "M12", "M14", "M16", "M18", "M20", "M22", "M24"].into_iter().find_map(|name| {
        let first = *head::sizes(&of(name)?, Turned::Hex).first()?;
        ((first.size - size).abs() < 1e-9).then(|| name.to_owned())
    })
}
