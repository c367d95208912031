//! 'Have ready': new parts, fluids with worked-out amounts, supplies, tools that the fasteners need.

use std::collections::BTreeSet;

use super::body::Writer;
use super::{both, condition, one, sentence};
use super::{fastener, fluid};
use crate::procedure::{Condition, Drive, Lubrication, PassAction, Stand, Thing, ThingId, ThingKind};
use crate::quantity::{Quantity, System};
use crate::sheet::catalogue as say;
use crate::sheet::content::{Tick, TickList, Words};

/// All lists that hold something, in the order of MIL-STD-40051-2: what goes in, then what it is done
/// with.
pub(super) fn ready(writer: &Writer<'_>) -> Vec<TickList> {
    let (parts, maybe) = parts(writer);
    let lists = [
        (say::NEW_PARTS, parts),
        (say::MAY_BE_NEEDED, maybe),
        (say::FLUIDS, fluid::lines(writer)),
        (say::SUPPLIES, supplies(writer)),
        (say::TOOLS, tools(writer)),
        (say::TEMPORARY, temporary(writer)),
    ];
    lists
        .into_iter()
        .filter(|(_, ticks)| !ticks.is_empty())
        .map(|(title, ticks)| TickList { title: title.to_owned(), ticks })
        .collect()
}

pub(super) fn tick(name: &str, origin: crate::sheet::page::Origin, amount: String) -> Tick {
    Tick { words: Words::plain(sentence::capital(name), origin), amount, ..Tick::default() }
}

/// How many of a thing over all members.
fn pieces(writer: &Writer<'_>, id: ThingId) -> u32 {
    let thing = &writer.job[id];
    let facts = writer.known.facts(thing);
    let one = match &facts.fastening {
        Some(fastening) if thing.kind == ThingKind::Fastener => fastening.count.unwrap_or(facts.count),
        _ => facts.count,
    };
    let members = thing.each.map_or(1, |set| writer.job[set].members.len() as u32);
    one.max(1) * members
}

fn parts(writer: &Writer<'_>) -> (Vec<Tick>, Vec<Tick>) {
    let (mut sure, mut maybe) = (Vec::new(), Vec::new());
    let touched: BTreeSet<ThingId> = writer.gather.things.iter().chain(&writer.gather.fasteners).copied().collect();
    let mut in_kits: BTreeSet<ThingId> = BTreeSet::new();
    for kit in &writer.job.kits {
        if !kit.things.iter().any(|thing| touched.contains(thing)) {
            continue;
        }
        in_kits.extend(&kit.things);
        let number = kit.number.clone().unwrap_or_default();
        let amount = super::join(&[&number, "1\u{a0}×"], " · ");
        let mut line = tick(&kit.name, Some(kit.span), amount);
        line.below = Some(Words::plain(kit.contents.join(", "), Some(kit.span)));
        sure.push(line);
    }
    for (index, thing) in writer.job.things.iter().enumerate() {
        let id = ThingId(index as u32);
        if !touched.contains(&id) || in_kits.contains(&id) || thing.kind == ThingKind::Fluid {
            continue;
        }
        if writer.known.holds(&thing.exists) == Some(false) {
            continue;
        }
        let facts = writer.known.facts(thing);
        let renewed = writer.gather.renewed.contains(&id);
        let needs_new = facts.new || facts.single_use || facts.added || (renewed && !facts.new_if_bad);
        let nuts = facts.fastening.as_ref().is_some_and(|fastening| fastening.nuts_single_use);
        if facts.temporary.is_some() || !(needs_new || facts.new_if_bad || nuts) {
            continue;
        }
        let line = part(writer, id, thing, nuts && !needs_new);
        if needs_new || nuts { sure.push(line) } else { maybe.push(line) }
    }
    (sure, maybe)
}

fn part(writer: &Writer<'_>, id: ThingId, thing: &Thing, only_nuts: bool) -> Tick {
    let facts = writer.known.facts(thing);
    let mut name = thing.name.clone();
    if only_nuts {
        name = format!("{name}, {}", say::NEW_NUTS);
    }
    let count = pieces(writer, id);
    let mut number = thing.number.clone().unwrap_or_default();
    let mut below = Vec::new();
    // A long number has a line of its own.
    if number.chars().count() > 12 {
        below.push(std::mem::take(&mut number));
    }
    let mut line = tick(&name, Some(thing.span), super::join(&[&number, &format!("{count}\u{a0}×")], " · "));
    if let Some(fastening) = &facts.fastening
        && let Some(size) = &fastening.size
    {
        below.insert(0, fastener::size(size));
    }
    let rest = writer.known.rest(&thing.exists);
    if rest != Condition::Always {
        below.push(format!("{} {}", say::ONLY_WITH, condition::words(writer.job, &rest)));
    }
    line.below = (!below.is_empty()).then(|| Words::plain(below.join(" · "), Some(thing.span)));
    line
}

fn supplies(writer: &Writer<'_>) -> Vec<Tick> {
    let mut lines = Vec::new();
    for id in &writer.gather.supplies {
        let supply = &writer.job[*id];
        lines.push(tick(&supply.name, Some(supply.span), supply.number.clone().unwrap_or_default()));
    }
    let mut derived: BTreeSet<String> = BTreeSet::new();
    for id in &writer.gather.fasteners {
        let Some(fastening) = &writer.known.facts(&writer.job[*id]).fastening else { continue };
        match &fastening.lubrication {
            Some(Lubrication::ThreadLock(kind)) => {
                derived.insert(format!("{}, {kind}", say::THREAD_LOCKER));
            }
            Some(Lubrication::AntiSeize) => {
                derived.insert(say::ANTI_SEIZE.to_owned());
            }
            Some(Lubrication::Oiled) => {
                derived.insert(say::OIL_FOR_THREADS.to_owned());
            }
            Some(Lubrication::Dry) | None => {}
        }
    }
    let has = |word: &str| writer.gather.supplies.iter().any(|id| writer.job[*id].name.to_lowercase().contains(word));
    derived.retain(|line| !(line.starts_with(say::THREAD_LOCKER) && has(say::THREAD_LOCKER)));
    lines.extend(derived.iter().map(|line| tick(line, None, String::new())));
    lines
}

/// What turns the fasteners, sorted.
#[derive(Default)]
struct Drives {
    hex: Vec<Quantity>,
    key: Vec<Quantity>,
    lobes: BTreeSet<u32>,
    cross: BTreeSet<u32>,
    slot: bool,
    turns: bool,
    counter: BTreeSet<String>,
}

fn drives(writer: &Writer<'_>) -> Drives {
    let mut all = Drives::default();
    for id in &writer.gather.fasteners {
        let thing = &writer.job[*id];
        let possible = writer.known.open_variants(thing);
        let facts = std::iter::once(writer.known.facts(thing)).chain(possible.iter().map(|(_, facts)| *facts));
        for fastening in facts.filter_map(|facts| facts.fastening.as_ref()) {
            match &fastening.drive {
                Some(Drive::Hex(size)) => insert(&mut all.hex, size),
                Some(Drive::Key(size)) => insert(&mut all.key, size),
                Some(Drive::Hexalobular(number)) => {
                    all.lobes.insert(*number);
                }
                Some(Drive::Cross(number)) => {
                    all.cross.insert(*number);
                }
                Some(Drive::Slot) => all.slot = true,
                None => {}
            }
            all.counter.extend(fastening.counter_hold.clone());
            for pass in &fastening.passes {
                match &pass.action {
                    PassAction::Turn(_) => all.turns = true,
                    PassAction::Torque(_) | PassAction::Check(_) | PassAction::HandTight | PassAction::Slacken => {}
                }
            }
        }
    }
    all
}

/// Keeps sizes sorted, each once.
fn insert(sizes: &mut Vec<Quantity>, size: &Quantity) {
    if sizes.iter().any(|other| other.same_as(size)) {
        return;
    }
    let at = sizes.iter().position(|other| other.to_si() > size.to_si()).unwrap_or(sizes.len());
    sizes.insert(at, size.clone());
}

fn tools(writer: &Writer<'_>) -> Vec<Tick> {
    let drives = drives(writer);
    let mut lines: Vec<Tick> = Vec::new();
    let plain = |name: String| tick(&name, None, String::new());
    let sizes = |title: &str, sizes: &[Quantity]| {
        // `13 · 16 · 18 mm`: the unit once where it is the same.
        let printed: Vec<String> = sizes.iter().map(|size| one(size, System::Both)).collect();
        let (values, units): (Vec<&str>, Vec<&str>) =
            printed.iter().filter_map(|size| size.rsplit_once('\u{a0}')).unzip();
        let alike = units.len() == printed.len() && units.windows(2).all(|pair| pair[0] == pair[1]);
        match units.first() {
            Some(unit) if alike => format!("{title} {}\u{a0}{unit}", values.join(" · ")),
            _ => format!("{title} {}", printed.join(" · ")),
        }
    };
    let numbers = |title: &str, numbers: &BTreeSet<u32>| {
        let numbers: Vec<String> = numbers.iter().map(u32::to_string).collect();
        format!("{title} {}", numbers.join(" · "))
    };
    if !drives.hex.is_empty() {
        lines.push(plain(sizes(say::SOCKETS, &drives.hex)));
    }
    if !drives.key.is_empty() {
        lines.push(plain(sizes(say::KEYS, &drives.key)));
    }
    if !drives.lobes.is_empty() {
        lines.push(plain(numbers(say::HEXALOBULAR_BITS, &drives.lobes)));
    }
    if !drives.cross.is_empty() {
        lines.push(plain(numbers(say::CROSS_DRIVER, &drives.cross)));
    }
    if drives.slot {
        lines.push(plain(say::SLOT_DRIVER.to_owned()));
    }
    lines.extend(writer.wrenches());
    lines.extend(writer.adapters());
    let declared = writer.job.tools.iter().enumerate().filter(|(index, tool)| {
        let used = writer.gather.tools.contains(&crate::procedure::ToolId(*index as u32));
        used && !(tool.declared && super::wrench::scale(tool).is_some()) && !writer.is_an_adapter(&tool.name)
    });
    let mut named: BTreeSet<String> = BTreeSet::new();
    for (_, tool) in declared {
        named.insert(tool.name.to_lowercase());
        let mut line = tick(&tool.name, Some(tool.span), tool.number.clone().unwrap_or_default());
        let ranges: Vec<String> = tool.ranges.iter().map(|range| both(range, writer.units)).collect();
        line.below = (!ranges.is_empty()).then(|| Words::plain(ranges.join(" · "), Some(tool.span)));
        lines.push(line);
    }
    let names_angle = named.iter().any(|name| name.contains(say::ANGLE_GAUGE));
    if drives.turns && !names_angle {
        lines.push(plain(say::ANGLE_GAUGE.to_owned()));
    }
    for tool in &drives.counter {
        if !named.contains(&tool.to_lowercase()) {
            lines.push(plain(tool.clone()));
        }
    }
    for stand in &writer.gather.stands {
        lines.push(plain(
            match stand {
                Stand::Stands => say::AXLE_STANDS,
                Stand::Ramps => say::RAMPS,
                Stand::Lift => say::LIFT,
            }
            .to_owned(),
        ));
    }
    for (what, volume) in &writer.gather.trays {
        let volume = volume.as_ref().map(|volume| both(volume, writer.units));
        lines.push(plain(match volume {
            Some(volume) => format!("{what} {} {volume}", say::OF),
            None => what.clone(),
        }));
    }
    lines
}

fn temporary(writer: &Writer<'_>) -> Vec<Tick> {
    let things = writer.gather.things.iter();
    things
        .filter(|id| writer.known.facts(&writer.job[**id]).temporary.is_some())
        .map(|id| {
            let thing = &writer.job[*id];
            tick(&thing.name, Some(thing.span), format!("{}\u{a0}×", pieces(writer, *id)))
        })
        .collect()
}
