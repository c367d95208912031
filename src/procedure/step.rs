//! Stages, blocks, steps and what stands under them.

use super::{
    AskId, Condition, InPasses, MeasurementId, Order, Orientation, Prose, SetId, StateRef, StepId, SupplyId, ThingId,
    ToolId, Verb, WorkOut,
};
use crate::quantity::{Quantity, Spec};
use crate::source::Span;
use crate::trade::hazard::Hazard;
use crate::trade::signal::SignalWord;
use crate::trade::wrench::Arm;

/// A node of the job's body.
#[derive(Clone, Debug)]
pub enum Block {
    /// A stage; inside a [`Block::Follow`] that stands in a stage it is a heading of its steps.
    Stage(Stage),
    Step(Box<Step>),
    /// Known before the sheet is printed, or the member being worked on.
    With {
        condition: Condition,
        text: String,
        body: Vec<Block>,
        span: Span,
    },
    /// Found at the machine.
    If {
        condition: Condition,
        text: String,
        then: Vec<Block>,
        otherwise: Vec<Block>,
        span: Span,
        otherwise_span: Option<Span>,
    },
    /// `until …, at most N times, then …`: done at least once.
    Until {
        condition: Condition,
        text: String,
        at_most: Option<u32>,
        then: UntilThen,
        body: Vec<Block>,
        /// Only when it goes round again.
        before_next: Vec<Block>,
        span: Span,
    },
    ForEach {
        set: SetId,
        one_after_the_other: bool,
        body: Vec<Block>,
        span: Span,
    },
    /// A routine, or one stage of it, written out here.
    Follow {
        title: String,
        arguments: Vec<(String, String)>,
        body: Vec<Block>,
        span: Span,
    },
    /// `reverse stage`, written out here.
    Reverse(Reversed),
}

/// A stage put back, last first.
#[derive(Clone, Debug)]
pub struct Reversed {
    /// Of the stage it reverses.
    pub title: String,
    pub body: Vec<Block>,
    pub span: Span,
}

/// What happens when an `until` never comes true.
#[derive(Clone, Debug, PartialEq)]
pub enum UntilThen {
    /// `then stop: prose`; also where nothing is said.
    Stop(Option<Prose>),
    /// `then hub bad`
    Bad(ThingRef, Option<Prose>),
    /// any other words: printed
    Words(String, Option<Prose>),
}

/// A stage.
#[derive(Clone, Debug)]
pub struct Stage {
    pub title: String,
    pub when: StageWhen,
    pub details: Vec<Detail>,
    pub body: Vec<Block>,
    /// Of the heading.
    pub span: Span,
}

/// When a stage is worked.
#[derive(Clone, Debug, PartialEq)]
pub enum StageWhen {
    Now,
    AtBench,
    After(Quantity),
    Within(Quantity),
    /// `the day before`
    Before(String),
    Other(String),
}

impl StageWhen {
    /// After the sign-off: a follow-up.
    #[must_use]
    pub fn is_follow_up(&self) -> bool {
        matches!(self, Self::After(_) | Self::Within(_))
    }
}

/// One act.
#[derive(Clone, Debug)]
pub struct Step {
    pub id: StepId,
    /// The line as written (in the routine or stage it comes from); `origin` tells where it was called.
    pub span: Span,
    /// Of the verb and its objects.
    pub head_span: Span,
    pub verb: Verb,
    pub objects: Vec<Object>,
    pub clauses: Clauses,
    pub prose: Option<Prose>,
    pub details: Vec<Detail>,
    /// `work out`.
    pub work_out: Option<WorkOut>,
    /// `ask`.
    pub ask: Option<AskId>,
    /// `found X STATE`, and the state a `wait … until X STATE` leaves.
    pub state: Option<StateRef>,
    /// Written by the compiler (`reverse stage`), not by the author.
    pub generated: bool,
}

/// What an act is done to.
#[derive(Clone, Debug, PartialEq)]
pub enum Object {
    Thing(ThingRef),
    Measurement(MeasurementId, Members),
    Tool(ToolId),
    Supply(SupplyId),
    /// Words that name nothing declared.
    Free(String, Span),
}

/// A thing, and which of it.
#[derive(Clone, Debug, PartialEq)]
pub struct ThingRef {
    pub thing: ThingId,
    pub members: Members,
    pub version: Version,
    pub portion: Portion,
    pub span: Span,
}

/// Which members of its set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Members {
    /// It belongs to no set.
    Single,
    /// All of them.
    All,
    /// The one the loop over its set is at.
    This,
    /// This one (index).
    One(u32),
}

/// `old X`, `new X`, or neither said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Version {
    Unsaid,
    Old,
    New,
}

/// How much of a group.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Portion {
    Whole,
    /// `2 of housing bolts`
    Count(u32),
    /// `positions 1 to 4 of head bolts`
    Positions(Vec<u32>),
}

/// The clauses of a step.
#[derive(Clone, Debug, Default)]
pub struct Clauses {
    pub with: Vec<With>,
    /// What moves the bolt away from the square of the torque wrench.
    pub adapter: Option<Adapter>,
    pub helper: bool,
    /// A bare amount: `9 L`, `90°`, `1200 rpm`.
    pub amounts: Vec<Spec>,
    /// Limits of a measurement stated in the step.
    pub limits: Option<LimitUse>,
    pub into: Option<IntoTray>,
    pub by_hand: bool,
    pub again: bool,
    pub reverse_order: bool,
    pub in_passes: Option<InPasses>,
    pub pass: Option<PassChoice>,
    pub order: Option<Order>,
    pub at_clock: Option<Quantity>,
    pub from: Option<String>,
    pub stand: Option<Stand>,
    /// The name a measured value gets.
    pub call_it: Option<MeasurementId>,
    /// `within 10 min`: a window of time.
    pub within: Option<Quantity>,
    pub for_time: Option<Quantity>,
    /// `until …`, as written and, where it names one, the measurement or state.
    pub until: Option<Prose>,
    /// `at vehicle lowered`
    pub at: Option<StateRef>,
    pub sign: bool,
    pub witness: bool,
    pub record: bool,
    pub each: Option<SetId>,
    pub hazards: Vec<Hazard>,
    /// Clauses that are only printed.
    pub other: Vec<Prose>,
}

/// Limits said in a step.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitUse {
    pub limits: super::Limits,
    pub new: Option<Spec>,
    pub span: Span,
}

/// `with …`.
#[derive(Clone, Debug, PartialEq)]
pub enum With {
    Tool(ToolId),
    Supply(SupplyId),
    /// An exception meant, or a state that goes with the act.
    State(StateRef),
    Thing(ThingRef),
}

/// `crowfoot 40 mm at 90° on torque wrench 40-200`.
#[derive(Clone, Debug, PartialEq)]
pub struct Adapter {
    /// As the author calls it: `crowfoot`, `in-line extension`.
    pub what: String,
    /// Its lengths and its angle: something can be set with them.
    pub arm: Arm,
    /// The wrench, where one is named.
    pub wrench: Option<ToolId>,
    pub span: Span,
}

/// `into tray of 10 L`.
#[derive(Clone, Debug, PartialEq)]
pub struct IntoTray {
    pub what: String,
    pub volume: Option<Quantity>,
}

/// `pass 2` or `last pass`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PassChoice {
    /// From 1.
    Number(u32),
    Last,
}

/// What it stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Stand {
    Stands,
    Ramps,
    Lift,
}

/// A question put at the machine.
#[derive(Clone, Debug)]
pub struct Ask {
    /// `None` for an `ask: …` without a name.
    pub name: Option<String>,
    pub span: Span,
    /// At least two; `yes`, `no` where none are stated. A named question of two states (`caged or not caged`) keeps them.
    pub answers: Vec<String>,
}

/// A detail under a step, a stage or a declaration.
#[derive(Clone, Debug, PartialEq)]
pub struct Detail {
    pub kind: DetailKind,
    pub span: Span,
}

/// What a detail says.
#[derive(Clone, Debug, PartialEq)]
pub enum DetailKind {
    /// `danger` `warning` `caution` `notice`: with a built-in hazard, prose, or both.
    Safety {
        word: SignalWord,
        hazard: Option<Hazard>,
        prose: Option<Prose>,
    },
    Tip(Prose),
    Note(Prose),
    Why(Prose),
    Orient(Orientation),
    Expect(Prose),
    /// A supply and where it goes.
    Use {
        supply: Option<SupplyId>,
        prose: Prose,
    },
    Tool {
        tool: Option<ToolId>,
        prose: Prose,
    },
    Figure {
        path: String,
        caption: Option<Prose>,
    },
    Number(String),
    Spec(Prose),
    Source(Prose),
    Fragile(Prose),
}

impl ThingRef {
    /// The whole of a thing, in no set.
    #[must_use]
    pub fn whole(thing: ThingId, span: Span) -> Self {
        Self { thing, members: Members::Single, version: Version::Unsaid, portion: Portion::Whole, span }
    }
}

impl Step {
    /// The things it is done to.
    pub fn things(&self) -> impl Iterator<Item = &ThingRef> {
        self.objects.iter().filter_map(|o| match o {
            Object::Thing(t) => Some(t),
            _ => None,
        })
    }
}
