//! The state of the machine at one point of one way: where things are, how their fasteners stand, what the fluids do.

use super::world::{Unit, World};
use crate::procedure::{Builtin, Facts, PairId, StepId, ThingId, Verb};
use crate::source::Span;
use std::collections::BTreeSet;

/// The one that was on the machine, or the one that takes its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Which {
    Old,
    New,
}

impl Which {
    pub fn index(self) -> usize {
        match self {
            Self::Old => 0,
            Self::New => 1,
        }
    }
}

/// Where an item is. `On` does not yet say that its fasteners are tight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum At {
    On,
    Aside,
    Disconnected,
    Off,
    /// Not used yet.
    Stock,
    /// Put away; it may be fetched again.
    Stored,
    Discarded,
    /// There is no such item.
    Nowhere,
}

/// The old or the new one of a part.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Item {
    pub at: At,
    /// What is `part of` another sits on its old or its new one.
    pub host: Which,
    /// The shop's own pairs that are away from home.
    pub away: BTreeSet<PairId>,
    /// A single-use thing that was locked once: undone, it is used up.
    pub spent: bool,
    /// A seal: what it seals came off, or was opened, with it locked in place before.
    pub undone: bool,
    /// Found bad, and it is still this one.
    pub bad: bool,
}

/// One place of a fastener group.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Grip {
    Out,
    Started,
    Snug,
    /// So many stages of the recipe are done, the last one not.
    Passed(u32),
    Tight,
    Loose,
    /// A temporary thing sits in it.
    Taken,
}

impl Grip {
    /// Whether a fastener is in it.
    pub fn is_in(self) -> bool {
        !matches!(self, Self::Out | Self::Taken)
    }
}

/// Where something was done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Mark {
    pub span: Span,
    pub step: StepId,
    pub verb: Verb,
}

/// A tensioner and the like: loosened and tightened without a value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Slack {
    Tight,
    /// It was off or never said: either act fits.
    Unsaid,
    Loosened(Mark),
}

/// What a fluid does.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Level {
    pub drained: Option<Mark>,
    /// By an act of its own, not by a part that came off; nothing was opened since.
    pub let_out: bool,
    /// Opened without being drained.
    pub opened: Option<Mark>,
    /// Air may be in it.
    pub unbled: Option<Mark>,
    /// Filled or topped up since.
    pub refilled: bool,
    pub topped_up: bool,
    /// It ran out altogether since the last reckoning.
    pub ran_out: bool,
    /// Litres (kilograms of what is weighed) that were let out, where the acts say how much: less than all of it.
    pub part_out: Option<f64>,
    /// What the trays hold that caught it at openings without draining; `None` once something was opened with no word of how
    /// much its tray holds.
    pub caught: Option<f64>,
    /// Litres that were filled since it was drained.
    pub filled: f64,
    /// By how many of them the sum may be off: amounts that were rounded into another unit, or stated as ranges.
    pub filled_about: f64,
    pub filled_exactly: bool,
    pub filled_at: Option<Mark>,
    /// Too many different sums on too many ways: how much was filled is not followed up.
    pub sum_unknown: bool,
}

/// The state of one unit.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct UnitState {
    pub items: [Item; 2],
    /// What `refit` takes: the one that came off last.
    pub last_off: Which,
    pub trial: bool,
    /// It was put on by an act of this job, and is not off again.
    pub placed: bool,
    pub open: bool,
    pub slack: Slack,
    pub grips: Vec<Grip>,
    /// Parts of the group were counted, not named: which places are out is then unknown.
    pub anonymous: bool,
    /// The fasteners in hand are not to be used again.
    pub discarded: bool,
    /// The fasteners in place were tight before, and loosened since.
    pub used_up: bool,
    /// Put in, of a temporary thing.
    pub inside: u32,
    pub raised: Option<Mark>,
    pub supported: Option<Mark>,
    pub locked: Option<Mark>,
    pub chocked: Option<Mark>,
    pub switched_off: Option<Mark>,
    pub cooled: bool,
    pub level: Level,
    /// A fault of it was told already: what follows from it is not told again.
    pub muted: bool,
}

/// An end of the vehicle in the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Raised {
    pub thing: ThingId,
    pub mark: Mark,
    /// On stands, ramps, a lift or a support.
    pub stands: bool,
}

/// What an act that changes nothing was done to, so that it may be asked for later.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum DoneTo {
    Unit(Unit),
    Words(String),
}

/// What is not the state of one thing.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Rig {
    /// Front, rear.
    pub ends: [Option<Raised>; 2],
    pub hot: bool,
    pub running: Option<Mark>,
    /// Kinds of trouble without a thing of their own that were told already.
    pub told_hot: bool,
    pub told_running: bool,
}

impl Rig {
    /// On its wheels, engine stopped and hot.
    pub fn at_start() -> Self {
        Self { hot: true, ..Self::default() }
    }

    /// The ends a built-in thing stands for; none for any other thing.
    pub fn ends_of(builtin: Option<Builtin>) -> &'static [usize] {
        match builtin {
            Some(Builtin::Vehicle | Builtin::Wheels) => &[0, 1],
            Some(Builtin::Front | Builtin::FrontWheels) => &[0],
            Some(Builtin::Rear | Builtin::RearWheels) => &[1],
            _ => &[],
        }
    }
}

/// A `once … then … before …` of one unit.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Debt {
    /// The state that makes it owed held after the last act.
    pub held: bool,
    /// The act that made it owed.
    pub owed: Option<Mark>,
}

/// At home, before the job.
pub(super) fn start_of(world: &World<'_>, unit: Unit, facts: &Facts, exists: bool, parent_added: bool) -> UnitState {
    let absent = facts.added || facts.temporary.is_some();
    let host = if parent_added { Which::New } else { Which::Old };
    let item = |at, spent| Item { at, host, away: BTreeSet::new(), spent, undone: false, bad: false };
    let grip = if facts.added { Grip::Out } else { Grip::Tight };
    let grips = if world.is_fastener(unit, facts) { vec![grip; World::places(facts) as usize] } else { Vec::new() };
    UnitState {
        items: [item(if absent { At::Nowhere } else { At::On }, true), item(At::Stock, false)],
        last_off: Which::Old,
        trial: false,
        placed: false,
        open: facts.normally_open,
        slack: Slack::Tight,
        grips: if exists { grips } else { Vec::new() },
        anonymous: false,
        discarded: false,
        used_up: false,
        inside: 0,
        raised: None,
        supported: None,
        locked: None,
        chocked: None,
        switched_off: None,
        cooled: false,
        level: Level::default(),
        // What a line that could not be read does to it is unknown.
        muted: world.procedure.doubtful.contains(&world.thing[unit]),
    }
}

impl UnitState {
    pub fn item(&self, which: Which) -> &Item {
        &self.items[which.index()]
    }

    pub fn item_mut(&mut self, which: Which) -> &mut Item {
        &mut self.items[which.index()]
    }

    /// Whether every place that a fastener can take holds a tight one.
    pub fn all_tight(&self) -> bool {
        self.grips.iter().all(|g| *g == Grip::Tight)
    }

    pub fn all_out(&self) -> bool {
        self.grips.iter().all(|g| !g.is_in())
    }

    /// How many places stand like this.
    pub fn how_many(&self, test: impl Fn(Grip) -> bool) -> u32 {
        u32::try_from(self.grips.iter().filter(|g| test(**g)).count()).unwrap_or(u32::MAX)
    }
}
