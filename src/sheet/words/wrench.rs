//! Torque wrenches on the sheet: which declared one to take, what to set it to with a crow-foot, what to have ready.

use super::body::Writer;
use super::{both, name, one, sentence};
use crate::procedure::{Adapter, PassAction, Procedure, Step, ThingId, Tool, ToolId, With};
use crate::quantity::{self, Spec, System};
use crate::sheet::catalogue as say;
use crate::sheet::content::{Detail, Tick, Words};
use crate::trade::wrench::{self, Class};

/// What the fasteners of an act are tightened with.
#[derive(Default)]
pub(super) struct Tightening<'p> {
    adapter: Option<&'p Adapter>,
    /// The declared wrenches, where there are several and the author names none: which one to take is worked out.
    wrenches: Vec<(&'p str, &'p Spec)>,
}

impl<'p> Tightening<'p> {
    pub(super) fn of(job: &'p Procedure, step: &'p Step) -> Self {
        let named = |with: &With| matches!(with, With::Tool(id) if scale(&job[*id]).is_some());
        let adapter = step.clauses.adapter.as_ref();
        let chosen = step.clauses.with.iter().any(named) || adapter.is_some_and(|adapter| adapter.wrench.is_some());
        let wrenches: Vec<(&str, &Spec)> = declared(job).map(|(_, tool, scale)| (tool.name.as_str(), scale)).collect();
        Self { adapter, wrenches: if chosen || wrenches.len() < 2 { Vec::new() } else { wrenches } }
    }

    /// What to set on the wrench, where that is not the torque at the bolt.
    pub(super) fn setting(&self, action: &PassAction) -> Option<PassAction> {
        let arm = &self.adapter.filter(|adapter| !adapter.arm.is_square())?.arm;
        match action {
            PassAction::Torque(torque) => arm.setting_of(torque).map(PassAction::Torque),
            PassAction::Check(torque) => arm.setting_of(torque).map(PassAction::Check),
            PassAction::Turn(_) | PassAction::HandTight | PassAction::Slacken => None,
        }
    }

    /// The one wrench for all these stages, with their settings.
    pub(super) fn wrench<'a>(&self, actions: impl Iterator<Item = &'a PassAction>) -> Option<String> {
        let torques: Vec<Spec> = actions.filter_map(|action| set_to(self.adapter, action)).collect();
        let scales: Vec<&Spec> = self.wrenches.iter().map(|(_, scale)| *scale).collect();
        let torques: Vec<&Spec> = torques.iter().collect();
        let chosen = (!torques.is_empty()).then(|| wrench::choose_for_all(&scales, &torques)).flatten()?;
        // It stays on one line, like the other facts.
        self.wrenches.get(chosen).map(|(name, _)| name.replace(' ', "\u{a0}"))
    }
}

/// The torque that the wrench shows in a stage.
pub(super) fn set_to(adapter: Option<&Adapter>, action: &PassAction) -> Option<Spec> {
    let (PassAction::Torque(torque) | PassAction::Check(torque)) = action else { return None };
    match adapter {
        Some(adapter) => adapter.arm.setting_of(torque),
        None => Some(torque.clone()),
    }
}

/// The scale of a torque wrench; of a gauge that reads torques there is none.
pub(super) fn scale(tool: &Tool) -> Option<&Spec> {
    tool.ranges.iter().find(|range| wrench::is_wrench(&tool.name, range))
}

/// The torque wrenches that are declared, with their scales.
pub(super) fn declared(job: &Procedure) -> impl Iterator<Item = (ToolId, &Tool, &Spec)> {
    let tools = job.tools.iter().enumerate().filter(|(_, tool)| tool.declared);
    tools.filter_map(|(index, tool)| Some((ToolId(index as u32), tool, scale(tool)?)))
}

/// `with the crowfoot 40 mm on the torque wrench 40-200, turned back`.
pub(super) fn words(job: &Procedure, adapter: &Adapter, units: System) -> String {
    let arm = &adapter.arm;
    let what = format!("{} {}\u{a0}{}", say::WITH, name::article(&adapter.what), one(&arm.extension, units));
    let on = match adapter.wrench {
        Some(tool) => format!("{} {}", say::ON, name::article(&job[tool].name)),
        None => format!("{} {}\u{a0}{}", say::ON, say::A_TORQUE_WRENCH_OF, one(&arm.length, units)),
    };
    let on = format!("{what} {on}");
    super::join(&[&on, &turned(adapter)], ", ")
}

/// How it stands on the wrench, where it is not straight on.
fn turned(adapter: &Adapter) -> String {
    match adapter.arm.angle.to_f64() {
        0.0 => String::new(),
        180.0 => say::TURNED_BACK.to_owned(),
        90.0 => say::SQUARE_TO_WRENCH.to_owned(),
        angle => format!("{} {angle}° {}", say::AT, say::TO_THE_WRENCH),
    }
}

impl Writer<'_> {
    /// How the crow-foot and the hand must stand for the setting to be right.
    pub(super) fn adapter_detail(&self, step: &Step, tightens: bool) -> Option<Detail> {
        let adapter = step.clauses.adapter.as_ref().filter(|_| tightens)?;
        let text = match (adapter.arm.is_square(), turned(adapter)) {
            (true, _) => say::KEEP_SQUARE.to_owned(),
            (false, turned) if turned.is_empty() => format!("{}{}", say::STRAIGHT_ON, say::HAND_ON_GRIP),
            (false, turned) => format!("{}{}", sentence::capital(&turned), say::HAND_ON_GRIP),
        };
        Some(Detail { label: say::TOOL.to_owned(), words: Words::plain(text, Some(adapter.span)) })
    }

    /// The crow-feet to have ready, with what turns the fasteners they are for.
    pub(super) fn adapters(&self) -> Vec<Tick> {
        let ticks = self.gather.adapters.iter().map(|(what, extension, drives)| {
            let size = one(extension, self.units);
            let words = super::join(&[&sentence::capital(what), &drives.join(" · ")], ", ");
            let below = Some(Words::plain(format!("{size} {}", say::FROM_SQUARE_TO_BOLT), None));
            Tick { words: Words::plain(words, None), below, ..Tick::default() }
        });
        ticks.collect()
    }

    /// Whether a tool is one of the crow-feet under another name: `crowfoot 17 mm` turns hexagons of 17 mm.
    pub(super) fn is_an_adapter(&self, tool: &str) -> bool {
        let plain = |text: &str| text.to_lowercase().replace(['-', ' ', '\u{a0}'], "");
        let size = |drive: &str| plain(drive).trim_start_matches(&plain(say::HEX)).to_owned();
        let adapters = self.gather.adapters.iter();
        adapters
            .flat_map(|(what, _, drives)| drives.iter().map(move |drive| (what, drive)))
            .any(|(what, drive)| plain(tool) == format!("{}{}", plain(what), size(drive)))
    }

    /// The torque wrenches to have ready: the declared ones, else those that the fasteners need. What each is for stands there
    /// where there are several, and how far it may be off.
    pub(super) fn wrenches(&self) -> Vec<Tick> {
        let torques: Vec<(ThingId, Spec)> = self.torques().collect();
        let owned: Vec<(ToolId, &Tool, &Spec)> = declared(self.job).collect();
        let mut ticks = Vec::new();
        if owned.is_empty() {
            let specs: Vec<Spec> = torques.iter().map(|(_, torque)| torque.clone()).collect();
            let found = wrench::wrenches_for(&specs);
            let several = found.ready.len() + found.uncovered.len() > 1;
            for ready in found.ready {
                let printed = quantity::print_spec(&ready.range, self.units);
                let title = format!("{} {}", sentence::capital(say::TORQUE_WRENCH), printed.main);
                let things = ready.covers.iter().filter_map(|index| torques.get(*index)).map(|(thing, _)| *thing);
                let names = if several { self.names(things) } else { String::new() };
                ticks.push(tick(title, None, &printed.other.unwrap_or_default(), &ready.range, &names));
            }
            for (_, torque) in found.uncovered.into_iter().filter_map(|index| torques.get(index)) {
                let title = format!("{} {}", sentence::capital(say::TORQUE_WRENCH_FOR), both(torque, self.units));
                ticks.push(Tick { words: Words::plain(title, None), ..Tick::default() });
            }
            return ticks;
        }
        let scales: Vec<&Spec> = owned.iter().map(|(_, _, scale)| *scale).collect();
        for (index, (_, tool, scale)) in owned.iter().enumerate() {
            let names = if owned.len() > 1 { self.names(self.taken_for(&scales, index)) } else { String::new() };
            let mut line =
                tick(sentence::capital(&tool.name), Some(tool.span), &both(scale, self.units), scale, &names);
            line.amount = tool.number.clone().unwrap_or_default();
            ticks.push(line);
        }
        ticks
    }

    /// Every torque that is set, with its fastener.
    fn torques(&self) -> impl Iterator<Item = (ThingId, Spec)> + '_ {
        let recipes = self.gather.torques.iter();
        recipes.flat_map(|(thing, stages)| stages.iter().map(|torque| (*thing, torque.clone())))
    }

    /// The fasteners for which this one of the wrenches is taken: one for a whole recipe where one will do.
    fn taken_for<'a>(&'a self, scales: &'a [&Spec], index: usize) -> impl Iterator<Item = ThingId> + 'a {
        let takes = move |stages: &[Spec]| {
            let all: Vec<&Spec> = stages.iter().collect();
            match wrench::choose_for_all(scales, &all) {
                Some(chosen) => chosen == index,
                None => stages.iter().any(|torque| wrench::choose(scales, torque) == Some(index)),
            }
        };
        self.gather.torques.iter().filter(move |(_, stages)| takes(stages)).map(|(thing, _)| *thing)
    }

    fn names(&self, things: impl Iterator<Item = ThingId>) -> String {
        let mut names: Vec<String> = Vec::new();
        for thing in things {
            super::gather::note(&mut names, self.job[thing].name.clone());
        }
        super::step::shorten(&mut names, MOST_NAMES);
        names.join(", ")
    }

    /// Declared click wrenches that the work needs are wound back at the end (ISO 6789: kept at the lowest value of the scale).
    pub(super) fn wound_back(&self) -> Vec<Tick> {
        let owned: Vec<(ToolId, &Tool, &Spec)> = declared(self.job).collect();
        let scales: Vec<&Spec> = owned.iter().map(|(_, _, scale)| *scale).collect();
        let needed = |index: usize, id: ToolId| {
            self.gather.tools.contains(&id) || self.taken_for(&scales, index).next().is_some()
        };
        let mut ticks = Vec::new();
        for (index, (id, tool, scale)) in owned.iter().enumerate() {
            let wound_back = Class::of_tool(&tool.name).is_wound_back() && needed(index, *id);
            let Some(lowest) = wrench::lowest_mark(scale).filter(|_| wound_back) else {
                continue;
            };
            let words =
                Words::plain(format!("{}, {}", sentence::capital(&tool.name), say::WOUND_BACK), Some(tool.span));
            let amount = one(&lowest, self.units);
            ticks.push(Tick { words, amount, strong: true, below: None });
        }
        ticks
    }
}

/// More names than this end in how many more there are.
const MOST_NAMES: usize = 4;

/// A wrench with its range, how far it may be off, and what it is for.
fn tick(title: String, origin: crate::sheet::page::Origin, range: &str, scale: &Spec, names: &str) -> Tick {
    let percent = scale.high().and_then(|largest| Class::of_tool(&title).permissible_percent(&largest));
    let deviation = percent.map(|percent| format!("±{percent}\u{a0}% {}", say::BY_ISO_6789)).unwrap_or_default();
    let purpose = if names.is_empty() { String::new() } else { format!("{} {names}", say::FOR) };
    let below = super::join(&[range, &deviation, &purpose], " · ");
    Tick { words: Words::plain(title, origin), below: Some(Words::plain(below, origin)), ..Tick::default() }
}

/// A stage's value beside the setting: `90 N·m at the bolt`.
pub(super) fn at_the_bolt(action: &PassAction, units: System) -> Vec<String> {
    let (PassAction::Torque(torque) | PassAction::Check(torque)) = action else { return Vec::new() };
    let printed = quantity::print_spec(torque, units);
    // A long value may stand on a line of its own.
    let first = format!("{} {}", printed.main, say::AT_THE_BOLT.replace(' ', "\u{a0}"));
    std::iter::once(first).chain(printed.other.map(|other| format!("({other})"))).collect()
}
