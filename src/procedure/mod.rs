//! The resolved model of one job: things, acts and blocks by typed index. No names to look up, no syntax.
//!
//! `resolve` makes it; `proof`, `rules` and `sheet` read it. Routines are already inlined ([`Block::Follow`]) and
//! `reverse stage` is already written out ([`Block::Reverse`]). Sets are *not* multiplied out: a thing declared
//! `each side` is one [`Thing`], and a [`ThingRef`] says which members are meant.

mod condition;
mod fluid;
mod header;
mod passes;
mod prose;
mod state;
mod step;
mod thing;
mod value;
mod verb;
mod walk;

pub use condition::{Condition, Found};
pub use fluid::{FluidFacts, FluidKind};
pub use header::{Allow, Header, Kit, OptionDecl, OwnPair, SetDecl, Supply, Tool};
pub use prose::{Prose, ProsePart};
pub use state::{ActPattern, Need, State, StateRef, Subject};
pub use step::{
    Adapter, Ask, Block, Clauses, Detail, DetailKind, IntoTray, LimitUse, Members, Object, PassChoice, Portion,
    Reversed, Stage, StageWhen, Stand, Step, ThingRef, UntilThen, Version, With,
};
pub use thing::{
    Builtin, Debt, Facts, Fastening, Forbidden, Lubrication, Orientation, Pass, PassAction, Size, Strength, Temporary,
    Thing, ThingKind,
};
pub use value::{Example, Formula, Limits, Measurement, Origin, WorkOut};
pub use verb::{Verb, VerbGroup};
pub use walk::steps_of;

pub use crate::trade::fastening::{Drive, InPasses, Layout, Order, SlotAlign};

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => {
        $(
            $(#[$doc])*
            #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
            pub struct $name(pub u32);

            impl $name {
                /// As an index into the table it belongs to.
                #[must_use]
                pub fn index(self) -> usize {
                    self.0 as usize
                }
            }
        )*
    };
}

ids! {
    /// Index into [`Procedure::options`].
    OptionId,
    /// Index into [`Procedure::sets`].
    SetId,
    /// Index into [`Procedure::things`].
    ThingId,
    /// Index into [`Procedure::measurements`].
    MeasurementId,
    /// Index into [`Procedure::asks`].
    AskId,
    /// Index into [`Procedure::tools`].
    ToolId,
    /// Index into [`Procedure::supplies`].
    SupplyId,
    /// Index into [`Procedure::pairs`].
    PairId,
    /// Running number of a step in the order of the sheet, from 0; every step of the job, inlined ones included, has its own.
    StepId,
}

/// One job, resolved.
#[derive(Clone, Debug, Default)]
pub struct Procedure {
    pub header: Header,
    pub options: Vec<OptionDecl>,
    pub sets: Vec<SetDecl>,
    pub kits: Vec<Kit>,
    /// Parts, fasteners, fluids and the built-in things that the job names.
    pub things: Vec<Thing>,
    /// Declared and used measurements, values called by a name, and results of `work out`.
    pub measurements: Vec<Measurement>,
    /// Questions, in the order they are asked.
    pub asks: Vec<Ask>,
    pub tools: Vec<Tool>,
    pub supplies: Vec<Supply>,
    /// The shop's own pairs of verbs.
    pub pairs: Vec<OwnPair>,
    /// Stages and the blocks that hold them, in the order of the file (a stage `the day before` is not moved).
    pub body: Vec<Block>,
    /// How many steps there are.
    pub step_count: u32,
    pub allows: Vec<Allow>,
    /// Things that stand in lines which could not be read: what such a line does to them is unknown, so nothing that
    /// would follow from it is told.
    pub doubtful: Vec<ThingId>,
}

macro_rules! index {
    ($($id:ty => $field:ident: $item:ty),* $(,)?) => {
        $(
            impl std::ops::Index<$id> for Procedure {
                type Output = $item;
                fn index(&self, id: $id) -> &$item {
                    &self.$field[id.index()]
                }
            }
        )*
    };
}

index! {
    OptionId => options: OptionDecl,
    SetId => sets: SetDecl,
    ThingId => things: Thing,
    MeasurementId => measurements: Measurement,
    AskId => asks: Ask,
    ToolId => tools: Tool,
    SupplyId => supplies: Supply,
    PairId => pairs: OwnPair,
}
