//! States that a thing can be in, as the author names them.

use super::{MeasurementId, PairId, ThingRef, Verb};
use crate::source::Span;

/// `battery cable disconnected`, `vehicle lowered`, `toe within`.
#[derive(Clone, Debug, PartialEq)]
pub struct StateRef {
    pub subject: Subject,
    pub state: State,
    /// `not caged`
    pub negated: bool,
    pub span: Span,
    /// As written, for messages.
    pub text: String,
}

/// Whose state.
#[derive(Clone, Debug, PartialEq)]
pub enum Subject {
    /// A part, fastener, fluid or built-in thing (engine, vehicle, front, …).
    Thing(ThingRef),
    Measurement(MeasurementId),
    /// Words that name nothing declared (`needs bench clean`): only an act that leaves the same words meets it.
    Words(String),
}

/// The state.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum State {
    Fitted,
    Removed,
    Disconnected,
    Connected,
    Aside,
    Returned,
    Loose,
    Tight,
    Open,
    Closed,
    Drained,
    Filled,
    Bled,
    Raised,
    Lowered,
    Supported,
    Released,
    Locked,
    Unlocked,
    Chocked,
    Unchocked,
    SwitchedOff,
    SwitchedOn,
    /// in position, nothing tightened
    Placed,
    /// fasteners started by hand
    Started,
    /// a temporary thing
    In,
    Out,
    Cooled,
    Hot,
    Running,
    Stopped,
    Bad,
    Good,
    /// a measurement
    Within,
    Outside,
    /// the state in between of one of the shop's own pairs
    Away(PairId),
    /// the state at home of one of the shop's own pairs
    HomeOf(PairId),
    /// what any other act leaves: `marked`, `cleaned`, `tested`; the verb that leaves it
    Done(Verb),
    /// words that only a `wait … until X STATE` or a `do` can leave: `rested`
    Words(String),
}

/// `needs X STATE [to ACT]`.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    pub state: StateRef,
    /// For this act only.
    pub act: Option<Verb>,
    pub span: Span,
}

/// An act named in a declaration: `turn crankshaft`, `run engine`, `pump`.
#[derive(Clone, Debug, PartialEq)]
pub struct ActPattern {
    pub verb: Verb,
    /// `None`: whatever the act is done to; for `while removed never turn crankshaft` the crankshaft.
    pub object: Option<ThingRef>,
    /// As written.
    pub text: String,
    pub span: Span,
}
