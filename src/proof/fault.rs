//! What the proof finds wrong. Facts only: the wording belongs to the rules.

use crate::procedure::{PairId, Procedure, StepId, ThingId, Verb, Version};
use crate::source::Span;

macro_rules! kinds {
    ($($(#[$doc:meta])* $name:ident = $rule:literal),* $(,)?) => {
        /// The kinds of fault; each bears the name of the rule that tells it.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum FaultKind {
            $($(#[$doc])* $name,)*
        }

        impl FaultKind {
            /// All kinds.
            pub const ALL: &'static [FaultKind] = &[$(FaultKind::$name,)*];

            /// The name of its rule.
            #[must_use]
            pub fn rule_name(self) -> &'static str {
                match self {
                    $(Self::$name => $rule,)*
                }
            }
        }
    };
}

kinds! {
    LeftOff = "left-off",
    LeftLoose = "left-loose",
    LeftAside = "left-aside",
    LeftDisconnected = "left-disconnected",
    LeftOpen = "left-open",
    LeftLocked = "left-locked",
    LeftRaised = "left-raised",
    LeftChocked = "left-chocked",
    LeftSupported = "left-supported",
    LeftSwitchedOff = "left-switched-off",
    LeftIn = "left-in",
    LeftRunning = "left-running",
    LeftDry = "left-dry",
    LeftUndone = "left-undone",
    DebtUnpaid = "debt-unpaid",
    CountMismatch = "count-mismatch",
    NotTransferred = "not-transferred",
    NeverTouched = "never-touched",
    AlreadyOff = "already-off",
    NotOffYet = "not-off-yet",
    StillHeld = "still-held",
    OutOfReach = "out-of-reach",
    NotReady = "not-ready",
    ForbiddenAct = "forbidden-act",
    OpenedHot = "opened-hot",
    OpenedFull = "opened-full",
    FilledOpen = "filled-open",
    RunUnready = "run-unready",
    LiveWork = "live-work",
    Unsupported = "unsupported",
    TorquedAgain = "torqued-again",
    PositionUnkept = "position-unkept",
    TorquedTooEarly = "torqued-too-early",
    SetIncomplete = "set-incomplete",
    OldPartRefitted = "old-part-refitted",
    VolumeMismatch = "volume-mismatch",
    /// One way has more acts than are walked: what comes after is not proved.
    TooMuchToProve = "too-much-to-prove",
}

/// One mistake, on the way with the fewest conditions on which it shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    pub kind: FaultKind,
    /// The act that is wrong; for what is left undone, the act that left home.
    pub span: Span,
    pub step: Option<StepId>,
    /// What is done there.
    pub verb: Option<Verb>,
    /// What it is about.
    pub thing: Option<ThingId>,
    pub version: Version,
    /// Indices of the members of its set that are concerned; empty where it belongs to no set, or all are.
    pub members: Vec<u32>,
    pub why: Why,
    /// Another place that belongs to it, and what is there.
    pub other: Option<(Place, Span)>,
    pub counts: Option<Counts>,
    /// The facts that make it fail, in the author's words: ("side guard fitted", "yes"), ("drive belt", "bad").
    pub way: Vec<(String, String)>,
}

/// What is at the second place of a fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Place {
    /// The act that took it off, opened it, drained it, ran the engine …
    LeftHome,
    /// The declaration, or the clause in it, that makes the demand.
    Declared,
    /// The end of the stage in which it should have gone home.
    EndsHere,
    /// The act before this one on the same thing.
    ActBefore,
}

/// How many of a group.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Counts {
    /// There are so many.
    pub there: u32,
    /// Out (or wanted by the act).
    pub out: u32,
    /// Back (or available to the act).
    pub back: u32,
}

/// Why it is wrong, where the kind alone does not tell.
#[derive(Clone, Debug, PartialEq)]
pub enum Why {
    Plain,
    /// This thing is in front, holds it, carries the fluid, is still raised, was second too early …
    Thing(ThingId),
    /// The named state does not hold, as written (`lift arms locked`).
    State(String),
    /// A condition, as written, on what nobody looked at.
    NotLookedAt(String),
    /// All fillers of the fluid are shut; one of them.
    FillerShut(ThingId),
    /// `single-use`, already used.
    SingleUse,
    /// `new` is declared: the old one does not go back.
    DeclaredNew,
    /// Found bad.
    FoundBad,
    Discarded,
    /// `fit` of what is neither `new`, `new if bad`, `single-use` nor `added`.
    NotDeclaredNew,
    /// `added`, and it was never on: there is no old one.
    NeverOn,
    /// Put on for a trial only.
    Trial,
    /// Has an angle stage.
    Angle,
    /// Was tight and not loosened.
    Tight,
    /// Some of the group are in and some are still out, at the end.
    StillOut,
    /// Away from home by this pair of the shop's own verbs.
    Pair(PairId),
    /// Some of the group are out.
    NotStarted,
    /// A stage of the recipe before this one is missing (its number, from 1).
    PassMissing(u32),
    /// Only started by hand.
    OnlyStarted,
    /// Only snug, or so many stages of the recipe done.
    OnlyPasses {
        done: u32,
        of: u32,
    },
    /// Loosened and not tightened.
    Loosened,
    Dry,
    Unbled,
    Locked(ThingId),
    InPlace(ThingId),
    Off(ThingId),
    OpenCircuit(ThingId),
    /// The engine runs meanwhile.
    Running,
    Raised,
    Chocked,
    /// The act that had to come first, as written, and the one that came.
    Debt {
        then: String,
        before: String,
    },
    /// The act, as written, that must not be done now.
    Forbidden(String),
    /// `as a set`: these are old.
    SetBroken,
    /// `always with` this one, which is old.
    AlwaysWith(ThingId),
    /// The tray holds less than runs out.
    TraySmall,
    /// So many choices hang together that the diagram of them has no room left.
    TooManyChoices,
    /// Filled more than ran out (`true`), or less and never topped up (`false`).
    Volume {
        more: bool,
    },
}

impl Fault {
    /// The name of the thing with the members concerned: `pump bolts`, `left caliper`, `caliper` for all of them.
    #[must_use]
    pub fn thing_name(&self, procedure: &Procedure) -> String {
        let Some(thing) = self.thing.and_then(|t| procedure.things.get(t.index())) else { return String::new() };
        let version = match self.version {
            Version::Old => "old ",
            Version::New => "new ",
            Version::Unsaid => "",
        };
        let members = self.member_names(procedure);
        match members.as_slice() {
            [] => format!("{version}{}", thing.name),
            names => format!("{version}{} {}", names.join(" and "), thing.name),
        }
    }

    /// The names of the members concerned.
    #[must_use]
    pub fn member_names<'p>(&self, procedure: &'p Procedure) -> Vec<&'p str> {
        let Some(set) = self.thing.and_then(|t| procedure.things.get(t.index())).and_then(|t| t.each) else {
            return Vec::new();
        };
        let names = procedure.sets.get(set.index()).map(|s| s.members.as_slice()).unwrap_or_default();
        self.members.iter().filter_map(|m| names.get(*m as usize)).map(String::as_str).collect()
    }
}
