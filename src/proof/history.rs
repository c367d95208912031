//! What happened to each unit, in order, each event with the ways on which it did.

use super::bdd::Cond;
use super::state::Mark;

/// What happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Happened {
    /// Something was done to it.
    Act,
    /// It was put on what it belongs to.
    PutOn,
    /// It was taken away from home.
    LeftHome,
    /// It is home, whatever was done to it: after the sign-off.
    CameHome,
}

/// One event.
#[derive(Clone, Copy, Debug)]
pub(super) struct Event {
    pub cond: Cond,
    pub time: u32,
    pub mark: Mark,
    pub happened: Happened,
}

/// What one act did to a unit, for the ledger.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Log {
    pub out: u32,
    pub back: u32,
    pub renewed: bool,
    pub taken_off: bool,
    pub put_back: bool,
    pub disconnected: bool,
    pub moved_aside: bool,
    pub opened: bool,
    pub drained: bool,
    pub filled: bool,
    pub bled: bool,
    pub loosened: bool,
    pub tightened: bool,
    pub used: bool,
}

/// The same with its ways.
#[derive(Clone, Copy, Debug)]
pub(super) struct LogEntry {
    pub cond: Cond,
    pub time: u32,
    pub log: Log,
}

impl Log {
    /// Adds what another act did.
    pub fn add(&mut self, other: &Self) {
        self.out += other.out;
        self.back += other.back;
        self.renewed |= other.renewed;
        self.taken_off |= other.taken_off;
        self.put_back |= other.put_back;
        self.disconnected |= other.disconnected;
        self.moved_aside |= other.moved_aside;
        self.opened |= other.opened;
        self.drained |= other.drained;
        self.filled |= other.filled;
        self.bled |= other.bled;
        self.loosened |= other.loosened;
        self.tightened |= other.tightened;
        self.used |= other.used;
    }
}
