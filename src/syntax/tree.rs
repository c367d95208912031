//! The lossless tree of one file: every line is in it, whether it could be read or not.
//!
//! Names stay text here (a [`Word`] with its place); what they mean is the next room's business.

use crate::quantity::{Kind, Quantity, Spec};
use crate::source::{FileId, Span};
pub use crate::trade::fastening::{Drive, InPasses, Layout, Order, SlotAlign};

/// A piece of text with its place. White space at both ends is not part of it.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Word {
    pub text: String,
    pub span: Span,
}

/// Several pieces of prose: the text after `: ` and the `|` lines that go on with it (joined by one space).
/// `span` covers the first to the last of them.
pub type Prose = Word;

/// What the first line says the file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FileKind {
    Job,
    Routine,
    Machine,
    /// The first line is none of the three.
    Unknown,
}

/// One physical line, so that the tree loses nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// The whole line without its line end.
    pub span: Span,
    /// Bytes of white space before the first character.
    pub indent: u32,
    /// From `#` to the end of the line, where there is a comment.
    pub comment: Option<Span>,
    /// Nothing but white space and a comment.
    pub blank: bool,
    /// The node this line belongs to (the first line of a node, or a line that continues it).
    pub node: Option<NodeId>,
}

/// Index into [`Tree::nodes`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeId(pub u32);

/// One logical line (with its continuation lines) and what stands under it.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// From the first character to the last, comment left out, continuation lines included.
    pub span: Span,
    pub item: Item,
    pub children: Vec<NodeId>,
    pub parent: Option<NodeId>,
}

/// A file as it was written.
#[derive(Clone, Debug, PartialEq)]
pub struct Tree {
    pub file: FileId,
    pub kind: FileKind,
    /// The text of the first line after its `: `.
    pub title: Word,
    pub nodes: Vec<Node>,
    /// What stands at the margin, in order.
    pub roots: Vec<NodeId>,
    pub lines: Vec<Line>,
}

/// What a line is.
#[derive(Clone, Debug, PartialEq)]
#[allow(clippy::large_enum_variant, reason = "one a line of a file; a box a detail would save nothing that matters")]
pub enum Item {
    /// `job: Renew the pump`: the first line of the file.
    First,
    /// `number: HY-207` before the first section or stage.
    Header {
        field: Header,
        value: Prose,
    },
    /// `parts`
    Section(Section),
    /// An entry of a section.
    Entry(Entry),
    /// `with heavy joint` under a declaration; its children are [`Item::Entry`] lines without a name, or details.
    Variant {
        condition: Word,
    },
    /// A line of clauses under a [`Item::Variant`]: `torque 81 N·m`.
    Clauses(Vec<Clause>),
    /// A detail under an entry, a stage, a block or a step.
    Detail(Detail),
    Stage(Stage),
    Block(Block),
    Step(Step),
    /// A line that could not be read. It has had its finding already.
    Unknown,
}

/// Header fields.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Header {
    Number,
    Revision,
    Machine,
    Uses,
    Takes,
    People,
    Reason,
    RuleOut,
    Level,
    LeftIs,
    Changed,
    /// `allow RULE: reason`; both are the value, as written: `RULE: reason` (`syntax::split_allow` parts them).
    Allow,
}

/// Sections.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Section {
    Options,
    Sets,
    Kits,
    Parts,
    Fasteners,
    Fluids,
    Measurements,
    Tools,
    Supplies,
    Acts,
    Given,
}

/// `name: clause, clause`, or a bare `name`.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    pub section: Section,
    pub name: Word,
    pub clauses: Vec<Clause>,
}

/// A clause of a declaration, with its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Clause {
    /// The whole clause.
    pub span: Span,
    pub kind: ClauseKind,
}

/// The clauses of declarations (sections of `language` 4). Names, conditions and states stay [`Word`]s.
#[derive(Clone, Debug, PartialEq)]
pub enum ClauseKind {
    New,
    NewIfBad,
    SingleUse,
    Added,
    Temporary,
    /// `in positions 11 12 of bell bolts`
    InPositions {
        positions: Vec<u32>,
        of: Word,
    },
    StaysWhileRunning,
    NormallyOpen,
    /// `turns clockwise only` (true) / `turns anticlockwise only` (false)
    TurnsOnly {
        clockwise: bool,
    },
    ByPosition,
    Alike,
    Handed,
    /// `2 x` of a part
    Count(u32),
    /// `held by A and B`: the whole list, unsplit
    HeldBy(Word),
    Behind(Word),
    PartOf(Word),
    AlwaysWith(Word),
    Carries(Word),
    FillerOf(Word),
    DrainOf(Word),
    Directional,
    /// `needs X STATE`; `to ACT` is in `act`
    Needs {
        state: Word,
        act: Option<Word>,
    },
    NeedsSupport,
    NeedsBleeding,
    /// `while STATE never ACT` (ACT may have an object: `turn crankshaft`)
    WhileNever {
        state: Word,
        act: Word,
    },
    /// `once STATE then ACT before ACT`
    OnceThenBefore {
        state: Word,
        then: Word,
        before: Word,
    },
    AsASet,
    /// `screwed M95x2`
    Screwed(Word),
    Weighs(Quantity),
    /// `each SET`
    Each(Word),
    OnlyWith(Word),
    /// `hazard NAME`
    Hazard(Word),
    /// `6 x M8x20`, `4 x spring clamp`, `2 x M18x1.5x140 with nut`
    CountSize {
        count: u32,
        size: Word,
        with_nut: bool,
    },
    /// A size or a plain kind whose count is missing: `M8x20`, `circlip`
    Size(Word),
    /// `nuts single-use`
    NutsSingleUse,
    /// `class 8.8`
    Class(Word),
    /// `grade 5`
    Grade(Word),
    Drive(Drive),
    /// `torque A then B then 90°`
    Torque(Vec<PassAction>),
    /// `in 3 passes then once round`
    InPasses(InPasses),
    Order(Order),
    Layout(Layout),
    Oiled,
    Dry,
    AntiSeize,
    /// `thread-lock medium`
    ThreadLock(Word),
    /// `into aluminium`
    Into(Word),
    LeftHandThread,
    /// `tighten at X STATE`
    TightenAt(Word),
    SlotAlign(SlotAlign),
    /// `at most 60 N·m`
    AtMost(Quantity),
    /// `counter-hold with TOOL`
    CounterHold(Word),
    /// `at 4 o'clock`
    AtClock(Quantity),
    /// `joint of A and B`
    JointOf(Word),
    /// `positions 2 4 6 are 6 x M12x150`
    PositionsAre {
        positions: Vec<u32>,
        count: u32,
        size: Word,
    },
    /// a bare amount: `9.4 L` of a fluid
    Amount(Quantity),
    /// `kind ethylene glycol coolant`
    Kind(Word),
    /// `mix 40 % by volume`
    Mix(Quantity),
    /// `old mix 30 % by volume`
    OldMix(Quantity),
    ProtectsTo(Quantity),
    Drains(Quantity),
    /// `of disc`
    Of(Word),
    /// limits of a measurement
    Limits(Spec),
    /// `new 24 mm`
    NewMeasures(Spec),
    /// `set 0.18 mm`
    SetTo(Spec),
    /// `within 5 mm of height before`
    WithinOf {
        amount: Quantity,
        of: Word,
    },
    /// `record` without limits
    Record,
    /// `range 5 to 25 N·m` of a tool
    Range(Spec),
    /// `reads force`
    Reads(Word),
    /// `length 400 mm` of a torque wrench
    Length(Quantity),
    /// A plain list of values: members of a set or a one-of option, contents of a kit.
    Values(Vec<Word>),
    /// `1 to 4` of a set
    Numbers {
        from: u32,
        to: u32,
    },
    /// `cage / uncage: caged` or `pack / purge: packed / purged`: the entry's name is `cage / uncage`, split here.
    Acts {
        opening: Word,
        closing: Word,
        away: Word,
        home: Option<Word>,
    },
    /// `oil: fluid` in `given`, with its default where one is written (`wait: time, default 10 min`)
    Argument {
        kind: Word,
        default: Option<Word>,
    },
    /// Could not be read; has had its finding already.
    Unknown,
}

/// One stage of a recipe.
#[derive(Clone, Debug, PartialEq)]
pub enum PassAction {
    /// A torque, or in a `pass` line a percentage of the final one.
    Torque(Spec),
    /// `check 90 N·m`, `check 100 %`
    Check(Spec),
    /// `90°`, `turn 90°`
    Turn(Quantity),
    /// `hand tight`, `by hand`
    HandTight,
    Slacken,
}

/// A `pass:` detail.
#[derive(Clone, Debug, PartialEq)]
pub struct Pass {
    pub action: PassAction,
    /// only these positions; empty: all
    pub positions: Vec<u32>,
    /// `at vehicle lowered`
    pub at: Option<Word>,
    /// `round the circle`, `crosswise`: another order than the fastener's.
    pub order: Option<Order>,
}

impl Pass {
    /// Whether it states a percentage of the final torque.
    pub fn is_share(&self) -> bool {
        matches!(&self.action, PassAction::Torque(value) | PassAction::Check(value) if value.kind() == Kind::Ratio)
    }
}

/// A detail line.
#[derive(Clone, Debug, PartialEq)]
pub struct Detail {
    pub word: DetailWord,
    /// Place of the word itself.
    pub word_span: Span,
    /// Between the word and the `: ` (a hazard name after `warning`, the rule after `allow`, `word value` forms).
    pub value: Option<Word>,
    /// After the `: `.
    pub prose: Option<Prose>,
    /// Read values of `pass`, `setting` stays prose.
    pub pass: Option<Pass>,
}

/// Words that begin a detail.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum DetailWord {
    Danger,
    Warning,
    Caution,
    Notice,
    Tip,
    Note,
    Why,
    Orient,
    Expect,
    Use,
    Tool,
    Figure,
    Number,
    Spec,
    Source,
    Fragile,
    Pass,
    Setting,
    Allow,
    /// of `reverse stage`
    Except,
    /// of `work out`
    Example,
    /// `record`, `sign`, `witness` written as a line of their own under a step
    Record,
    Sign,
    Witness,
}

/// When a stage is worked.
#[derive(Clone, Debug, PartialEq)]
pub enum When {
    Now,
    AtBench,
    /// `after 50 km`, `within 50 km`
    After(Quantity),
    Within(Quantity),
    /// `the day before`: worked, and printed, first
    Before(Word),
    /// `when cold` and the like: words that are not a quantity
    Other(Word),
}

/// `stage at bench: Make the new pump ready`
#[derive(Clone, Debug, PartialEq)]
pub struct Stage {
    pub when: When,
    pub title: Word,
}

/// Heads of blocks.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    With {
        condition: Word,
    },
    If {
        condition: Word,
    },
    Otherwise,
    /// `until COND, at most N times, then ACT`; `then` is the text after the word `then`, with its prose
    Until {
        condition: Word,
        at_most: Option<u32>,
        then: Option<Word>,
        prose: Option<Prose>,
    },
    BeforeTheNextTry,
    /// `for each side, one after the other`
    ForEach {
        set: Word,
        one_after_the_other: bool,
    },
}

/// `verb object[ and object], clause, …[: prose]`. Verb and object are split with the names at hand, in the next room.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Up to the first clause: `disconnect suction hose`. For `ask delivery, caged or not caged` the head is `ask delivery`.
    pub head: Word,
    pub clauses: Vec<StepClause>,
    pub prose: Option<Prose>,
}

/// A clause of a step, with its place.
#[derive(Clone, Debug, PartialEq)]
pub struct StepClause {
    pub span: Span,
    pub kind: StepClauseKind,
}

/// What moves the bolt away from the square of a torque wrench: `crowfoot 40 mm at 90° on torque wrench 40-200`.
#[derive(Clone, Debug, PartialEq)]
pub struct Adapter {
    /// `crowfoot`, `in-line extension`
    pub what: Word,
    /// From the square to the bolt
    pub extension: Quantity,
    /// `at 90°`: away from straight on
    pub angle: Option<Quantity>,
    /// `turned back` towards the grip
    pub back: bool,
    /// All of what it sits on
    pub on: Word,
    /// The same without the length at its end, where there is one
    pub wrench: Word,
    /// From the middle of the grip to the square
    pub length: Option<Quantity>,
}

/// The clauses of steps.
#[derive(Clone, Debug, PartialEq)]
pub enum StepClauseKind {
    /// `with …`: a tool, a supply, a state (`with rod pin removed`), an argument of `follow`, a condition: decided later
    With(Word),
    WithHelper,
    /// `with crowfoot 40 mm on wrench 300 mm`
    Adapter(Box<Adapter>),
    /// A bare amount: `9 L`, `90°`, `1200 rpm`, and ranges or limits of a measurement
    Amount(Spec),
    /// `into tray of 10 L`; the volume where it is stated
    Into {
        what: Word,
        volume: Option<Quantity>,
    },
    ByHand,
    Again,
    InReverseOrder,
    InPasses(InPasses),
    /// `pass 2` (from 1)
    Pass(u32),
    LastPass,
    AtClock(Quantity),
    /// `from X`
    From(Word),
    OnStands,
    OnRamps,
    OnALift,
    /// `call it NAME`
    CallIt(Word),
    /// `within 5 mm of height before`
    WithinOf {
        amount: Quantity,
        of: Word,
    },
    /// `within 10 min`
    Within(Quantity),
    /// `new 6 mm`
    NewMeasures(Spec),
    /// `set 0.18 mm`
    SetTo(Spec),
    /// `for 5 min`
    For(Quantity),
    /// `until …`: takes the rest of the head
    Until(Word),
    Sign,
    Witness,
    Record,
    /// `each cylinder`
    Each(Word),
    /// `round to 0.05 mm`
    RoundTo(Quantity),
    /// `caged or not caged` after `ask delivery`
    Answers(Vec<Word>),
    /// `positions 1 to 4`
    Positions(Vec<u32>),
    /// `order 1 3 2 4` or `order cross`
    Order(Order),
    /// `at X STATE`
    At(Word),
    /// `only with CONDITION`, `hazard NAME` and other clauses of declarations that stand in a step
    Hazard(Word),
    /// `{amount}`: the value of an argument, a measurement or a result
    Value(Word),
    /// Anything else: told by the next room if it means nothing there
    Other(Word),
}

impl Header {
    /// Every field with its word.
    pub const NAMED: &[(&'static str, Self)] = &[
        ("number", Self::Number),
        ("revision", Self::Revision),
        ("machine", Self::Machine),
        ("uses", Self::Uses),
        ("takes", Self::Takes),
        ("people", Self::People),
        ("reason", Self::Reason),
        ("rule out", Self::RuleOut),
        ("level", Self::Level),
        ("left is", Self::LeftIs),
        ("changed", Self::Changed),
        ("allow", Self::Allow),
    ];

    /// The word that begins it.
    #[must_use]
    pub fn name(self) -> &'static str {
        Self::NAMED.iter().find(|(_, field)| *field == self).map_or("", |(name, _)| name)
    }
}

impl Section {
    /// Every section with its word.
    pub const NAMED: &[(&'static str, Self)] = &[
        ("options", Self::Options),
        ("sets", Self::Sets),
        ("kits", Self::Kits),
        ("parts", Self::Parts),
        ("fasteners", Self::Fasteners),
        ("fluids", Self::Fluids),
        ("measurements", Self::Measurements),
        ("tools", Self::Tools),
        ("supplies", Self::Supplies),
        ("acts", Self::Acts),
        ("given", Self::Given),
    ];

    /// The word that begins it.
    #[must_use]
    pub fn name(self) -> &'static str {
        Self::NAMED.iter().find(|(_, section)| *section == self).map_or("", |(name, _)| name)
    }
}

impl DetailWord {
    /// Every word that begins a detail.
    pub const NAMED: &[(&'static str, Self)] = &[
        ("danger", Self::Danger),
        ("warning", Self::Warning),
        ("caution", Self::Caution),
        ("notice", Self::Notice),
        ("tip", Self::Tip),
        ("note", Self::Note),
        ("why", Self::Why),
        ("orient", Self::Orient),
        ("expect", Self::Expect),
        ("use", Self::Use),
        ("tool", Self::Tool),
        ("figure", Self::Figure),
        ("number", Self::Number),
        ("spec", Self::Spec),
        ("source", Self::Source),
        ("fragile", Self::Fragile),
        ("pass", Self::Pass),
        ("setting", Self::Setting),
        ("allow", Self::Allow),
        ("except", Self::Except),
        ("example", Self::Example),
        ("record", Self::Record),
        ("sign", Self::Sign),
        ("witness", Self::Witness),
    ];

    /// The word itself.
    #[must_use]
    pub fn name(self) -> &'static str {
        Self::NAMED.iter().find(|(_, word)| *word == self).map_or("", |(name, _)| name)
    }
}

impl Tree {
    /// The node of this id.
    ///
    /// # Panics
    /// Never for ids that came from this tree.
    #[must_use]
    pub fn node(&self, id: NodeId) -> &Node {
        &self.nodes[id.0 as usize]
    }

    /// The children of a node, in order.
    pub fn children(&self, id: NodeId) -> impl Iterator<Item = (NodeId, &Node)> {
        self.node(id).children.iter().map(|c| (*c, self.node(*c)))
    }
}
