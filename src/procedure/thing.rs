//! Things: parts, fasteners, fluids, and what every machine has.

use super::{
    ActPattern, Condition, Detail, Drive, FluidFacts, InPasses, Layout, Need, Order, Prose, SetId, SlotAlign, StateRef,
    ThingId,
};
use crate::quantity::{Quantity, Spec};
use crate::source::Span;
use crate::trade::direction;
use crate::trade::hazard::Hazard;
use crate::trade::strength;
use crate::trade::thread::Thread;

/// A part, fastener, fluid or built-in thing.
#[derive(Clone, Debug)]
pub struct Thing {
    /// As declared.
    pub name: String,
    /// Of the declared name.
    pub span: Span,
    /// Every place that declares it (a job may add to a machine's part).
    pub declared_at: Vec<Span>,
    pub kind: ThingKind,
    /// One for each member of the set.
    pub each: Option<SetId>,
    /// When it is there at all, `only with` of what it belongs to included.
    pub exists: Condition,
    /// What holds where no variant does.
    pub facts: Facts,
    /// Complete facts for a variant; the last one whose condition holds counts.
    pub variants: Vec<(Condition, Facts)>,
    /// `tip`, `note`, `caution`, `figure`, … of the declaration.
    pub details: Vec<Detail>,
    pub number: Option<String>,
    /// Comes from a machine or routine file, not from the job itself.
    pub shared: bool,
}

impl Thing {
    /// The facts that hold under `truth` (see [`Condition::holds`]).
    pub fn facts_under(&self, truth: &mut dyn FnMut(&Condition) -> bool) -> &Facts {
        self.variants.iter().rev().find(|(c, _)| c.holds(truth)).map_or(&self.facts, |(_, f)| f)
    }

    /// Base facts first, then those of each variant.
    pub fn all_facts(&self) -> impl Iterator<Item = (Option<&Condition>, &Facts)> {
        std::iter::once((None, &self.facts)).chain(self.variants.iter().map(|(c, f)| (Some(c), f)))
    }

    /// Whether it is a fastener, or a part that is its own fastener.
    #[must_use]
    pub fn is_fastener(&self) -> bool {
        self.facts.fastening.is_some()
    }
}

/// What sort of thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ThingKind {
    Part,
    Fastener,
    Fluid,
    Builtin(Builtin),
    /// Not declared: named by an `inspect` or as what a measurement is `of`, so that it can be found bad.
    Seen,
}

/// What every machine has, without a declaration.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Builtin {
    Engine,
    Vehicle,
    Front,
    Rear,
    Wheels,
    FrontWheels,
    RearWheels,
    Crankshaft,
    Ignition,
}

/// What a declaration says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Facts {
    pub new: bool,
    pub new_if_bad: bool,
    pub single_use: bool,
    pub added: bool,
    pub temporary: Option<Temporary>,
    pub normally_open: bool,
    /// Some(true): turns clockwise only.
    pub turns_clockwise: Option<bool>,
    pub by_position: bool,
    pub alike: bool,
    pub handed: bool,
    /// How many; 1 where it is not stated. Of a fastener: the count of the group (0 where it is missing).
    pub count: u32,
    pub held_by: Vec<ThingId>,
    pub behind: Vec<ThingId>,
    /// Names in `held by` and `behind` that mean one member of their set only (`held by right caliper bolts`).
    pub only_member: Vec<(ThingId, u32)>,
    pub part_of: Option<ThingId>,
    pub always_with: Vec<ThingId>,
    /// Fluids.
    pub carries: Vec<ThingId>,
    pub filler_of: Option<ThingId>,
    pub drain_of: Option<ThingId>,
    pub directional: bool,
    pub needs: Vec<Need>,
    pub needs_support: bool,
    pub forbidden: Vec<Forbidden>,
    pub debts: Vec<Debt>,
    pub as_a_set: bool,
    pub weighs: Option<Quantity>,
    pub hazards: Vec<Hazard>,
    pub orient: Vec<Orientation>,
    pub fragile: Vec<Prose>,
    /// A fastener, or a part that is its own (`screwed M95x2`).
    pub fastening: Option<Fastening>,
    pub fluid: Option<FluidFacts>,
}

/// `temporary, in positions 11 12 of bell bolts`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Temporary {
    /// Positions of a fastener group that it takes up.
    pub takes_up: Option<(Vec<u32>, ThingId)>,
    pub stays_while_running: bool,
}

/// `while removed never turn crankshaft`.
#[derive(Clone, Debug, PartialEq)]
pub struct Forbidden {
    pub state: StateRef,
    pub act: ActPattern,
    pub span: Span,
}

/// `once pushed back then pump before drive`.
#[derive(Clone, Debug, PartialEq)]
pub struct Debt {
    pub state: StateRef,
    pub then: ActPattern,
    /// Amount of the first act where it is stated (`turn crankshaft 2 turns`).
    pub amount: Option<Quantity>,
    pub before: ActPattern,
    pub span: Span,
}

/// An `orient` text, understood where it begins `FEATURE DIRECTION`.
#[derive(Clone, Debug, PartialEq)]
pub struct Orientation {
    pub prose: Prose,
    /// What points (`lip`, `arrow`) and where to, where the text begins so.
    pub understood: Option<direction::Orientation>,
}

/// How a thing is fastened.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fastening {
    /// `None` where it is missing.
    pub count: Option<u32>,
    pub size: Option<Size>,
    pub with_nut: bool,
    pub nuts_single_use: bool,
    pub strength: Option<Strength>,
    pub drive: Option<Drive>,
    /// The recipe, in order, from `torque …` or the `pass` lines. Empty: no value is stated.
    pub passes: Vec<Pass>,
    /// What a clause `torque …` says, while declarations are read; then it is part of `passes`.
    pub torque: Vec<Pass>,
    /// `in 3 passes`: how `passes` were worked out of one torque.
    pub in_passes: Option<InPasses>,
    /// What is done instead of or beside a torque.
    pub setting: Vec<Prose>,
    pub order: Option<Order>,
    pub layout: Option<Layout>,
    pub lubrication: Option<Lubrication>,
    /// The material it goes into.
    pub into: Option<String>,
    /// How deep its thread is in that material.
    pub engaged: Option<Quantity>,
    pub left_hand: bool,
    /// The state its final torque needs.
    pub tighten_at: Option<StateRef>,
    pub slot_align: Option<SlotAlign>,
    /// Not to be exceeded when a slot is looked for.
    pub at_most: Option<Quantity>,
    pub counter_hold: Option<String>,
    pub at_clock: Option<Quantity>,
    /// Positions that hold another size.
    pub positions_are: Vec<(Vec<u32>, u32, Size)>,
    pub joint_of: Vec<ThingId>,
}

impl Fastening {
    /// The value of the last stage that states a torque: for all positions, if any stage does.
    #[must_use]
    pub fn final_torque(&self) -> Option<&Spec> {
        let torque = |p: &'_ Pass| matches!(p.action, PassAction::Torque(_));
        let last = self.passes.iter().rev().find(|p| torque(p) && p.positions.is_empty());
        match &last.or_else(|| self.passes.iter().rev().find(|p| torque(p)))?.action {
            PassAction::Torque(spec) => Some(spec),
            _ => None,
        }
    }

    /// Whether a stage turns by an angle: never tightened `again`.
    #[must_use]
    pub fn has_angle(&self) -> bool {
        self.passes.iter().any(|p| matches!(p.action, PassAction::Turn(_)))
    }
}

/// A size: a thread, or a plain kind.
#[derive(Clone, Debug, PartialEq)]
pub enum Size {
    Thread(Thread),
    /// `spring clamp`, `circlip`; a `union M12x1`, `plug M18x1.5` or `lock nut` keeps its thread beside it.
    Kind(String, Option<Thread>),
}

impl Size {
    /// The thread, if it has one.
    #[must_use]
    pub fn thread(&self) -> Option<&Thread> {
        match self {
            Self::Thread(t) | Self::Kind(_, Some(t)) => Some(t),
            Self::Kind(_, None) => None,
        }
    }
}

/// Property class or grade.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Strength {
    Class(String),
    Grade(String),
}

impl Strength {
    /// What a bolt of this class or grade bears at the diameter of its thread; `None` for no class and for pipe threads.
    #[must_use]
    pub fn at(&self, thread: &Thread) -> Option<strength::Strength> {
        let diameter = thread.diameter_mm()?;
        match self {
            Self::Class(class) => strength::Strength::of_class(class, diameter),
            Self::Grade(grade) => strength::Strength::of_grade(grade, diameter / 25.4),
        }
    }
}

/// What is on the thread.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Lubrication {
    Oiled,
    Dry,
    AntiSeize,
    /// `medium` and the like
    ThreadLock(String),
}

/// One stage of a recipe.
#[derive(Clone, Debug, PartialEq)]
pub struct Pass {
    pub action: PassAction,
    /// Empty: all positions.
    pub positions: Vec<u32>,
    pub at: Option<StateRef>,
    /// In another order than the fastener's own.
    pub order: Option<Order>,
    /// Which percentage of the final torque its value was worked out from.
    pub share: Option<Quantity>,
    pub span: Span,
}

/// What a stage does.
#[derive(Clone, Debug, PartialEq)]
pub enum PassAction {
    Torque(Spec),
    Check(Spec),
    Turn(Quantity),
    HandTight,
    Slacken,
}
