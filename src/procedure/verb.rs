//! Verbs: the built-in ones, and the shop's own pairs.

use super::PairId;

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verb {
    Remove,
    Refit,
    Fit,
    Disconnect,
    Connect,
    MoveAside,
    Return,
    Loosen,
    Tighten,
    Open,
    Close,
    Drain,
    Fill,
    Bleed,
    Raise,
    Lower,
    Support,
    Release,
    Lock,
    Unlock,
    Chock,
    Unchock,
    SwitchOff,
    SwitchOn,
    Place,
    Start,
    Renew,
    Try,
    PutIn,
    TakeOut,
    Transfer,
    Store,
    Discard,
    Mark,
    Clean,
    Inspect,
    Measure,
    Lubricate,
    Apply,
    Set,
    Align,
    Adjust,
    Turn,
    /// `let … cool`
    LetCool,
    Wait,
    RunEngine,
    StopEngine,
    /// `drive`, `test drive`
    Drive,
    Test,
    Check,
    Read,
    Clear,
    Record,
    TopUp,
    WorkOut,
    Do,
    Ask,
    Found,
    Stop,
    /// The first of one of the shop's own pairs.
    Open1(PairId),
    /// The second.
    Close1(PairId),
}

/// Which of the language's tables a verb stands in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum VerbGroup {
    TakesApart,
    PutsBack,
    /// Between the two: `place`, `start`, `renew`, `try`, `put in`, `take out`, `transfer`, `store`, `discard`.
    Changes,
    /// Changes less or nothing; takes any object.
    Work,
}

impl Verb {
    /// The built-in verbs with their canonical spelling, in the order of the language reference.
    pub const BUILT_IN: &'static [(Verb, &'static str)] = &[
        (Verb::Remove, "remove"),
        (Verb::Refit, "refit"),
        (Verb::Fit, "fit"),
        (Verb::Disconnect, "disconnect"),
        (Verb::Connect, "connect"),
        (Verb::MoveAside, "move aside"),
        (Verb::Return, "return"),
        (Verb::Loosen, "loosen"),
        (Verb::Tighten, "tighten"),
        (Verb::Open, "open"),
        (Verb::Close, "close"),
        (Verb::Drain, "drain"),
        (Verb::Fill, "fill"),
        (Verb::Bleed, "bleed"),
        (Verb::Raise, "raise"),
        (Verb::Lower, "lower"),
        (Verb::Support, "support"),
        (Verb::Release, "release"),
        (Verb::Lock, "lock"),
        (Verb::Unlock, "unlock"),
        (Verb::Chock, "chock"),
        (Verb::Unchock, "unchock"),
        (Verb::SwitchOff, "switch off"),
        (Verb::SwitchOn, "switch on"),
        (Verb::Place, "place"),
        (Verb::Start, "start"),
        (Verb::Renew, "renew"),
        (Verb::Try, "try"),
        (Verb::PutIn, "put in"),
        (Verb::TakeOut, "take out"),
        (Verb::Transfer, "transfer"),
        (Verb::Store, "store"),
        (Verb::Discard, "discard"),
        (Verb::Mark, "mark"),
        (Verb::Clean, "clean"),
        (Verb::Inspect, "inspect"),
        (Verb::Measure, "measure"),
        (Verb::Lubricate, "lubricate"),
        (Verb::Apply, "apply"),
        (Verb::Set, "set"),
        (Verb::Align, "align"),
        (Verb::Adjust, "adjust"),
        (Verb::Turn, "turn"),
        (Verb::LetCool, "let"),
        (Verb::Wait, "wait"),
        (Verb::RunEngine, "run engine"),
        (Verb::StopEngine, "stop engine"),
        (Verb::Drive, "drive"),
        (Verb::Test, "test"),
        (Verb::Check, "check"),
        (Verb::Read, "read"),
        (Verb::Clear, "clear"),
        (Verb::Record, "record"),
        (Verb::TopUp, "top up"),
        (Verb::WorkOut, "work out"),
        (Verb::Do, "do"),
        (Verb::Ask, "ask"),
        (Verb::Found, "found"),
        (Verb::Stop, "stop"),
    ];

    /// Common synonyms.
    pub const SYNONYMS: &'static [(&'static str, Verb)] = &[
        ("install", Verb::Fit),
        ("reinstall", Verb::Refit),
        ("take off", Verb::Remove),
        ("unplug", Verb::Disconnect),
        ("plug in", Verb::Connect),
        ("detach", Verb::Disconnect),
        ("reconnect", Verb::Connect),
        ("undo", Verb::Loosen),
        ("slacken", Verb::Loosen),
        ("put back", Verb::Refit),
        ("refill", Verb::Fill),
        ("replace", Verb::Renew),
        ("scrap", Verb::Discard),
        ("grease", Verb::Lubricate),
        ("oil", Verb::Lubricate),
        ("wipe", Verb::Clean),
        ("examine", Verb::Inspect),
        ("rotate", Verb::Turn),
        ("test drive", Verb::Drive),
        ("let down", Verb::Lower),
        ("shut", Verb::Close),
        ("write down", Verb::Record),
        ("run the engine", Verb::RunEngine),
        ("stop the engine", Verb::StopEngine),
        ("start engine", Verb::RunEngine),
        ("start the engine", Verb::RunEngine),
        ("turn off", Verb::SwitchOff),
        ("turn on", Verb::SwitchOn),
    ];

    /// Canonical spelling; for one of the shop's own pairs the names stand in the procedure.
    #[must_use]
    pub fn name(self) -> &'static str {
        Self::BUILT_IN.iter().find(|(v, _)| *v == self).map_or("", |(_, n)| n)
    }

    /// Which table it stands in.
    #[must_use]
    pub fn group(self) -> VerbGroup {
        use Verb::*;
        match self {
            Remove | Disconnect | MoveAside | Loosen | Open | Drain | Raise | Support | Lock | Chock | SwitchOff
            | Open1(_) => VerbGroup::TakesApart,
            Refit | Fit | Connect | Return | Tighten | Close | Fill | Bleed | Lower | Release | Unlock | Unchock
            | SwitchOn | Close1(_) => VerbGroup::PutsBack,
            Place | Start | Renew | Try | PutIn | TakeOut | Transfer | Store | Discard => VerbGroup::Changes,
            _ => VerbGroup::Work,
        }
    }

    /// Whether it needs a declared or built-in thing as its object.
    #[must_use]
    pub fn needs_a_thing(self) -> bool {
        self.group() != VerbGroup::Work
    }
}
