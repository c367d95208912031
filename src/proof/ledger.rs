//! Everything the job touched, with counts out and in: for the last look before the sign-off.

use super::state::Log;
use super::world::World;
use crate::procedure::{Procedure, ThingId, ThingKind};

/// One thing that was touched.
#[derive(Clone, Debug, PartialEq)]
pub struct Touched {
    pub thing: ThingId,
    /// Members of its set that were touched; empty where it belongs to none.
    pub members: Vec<u32>,
    /// Fasteners (or temporary things) out and in, over all members, on the way that moved the most.
    pub out: u32,
    pub back: u32,
    /// A new one was fitted, on some way.
    pub renewed: bool,
    /// The same one went back, on some way.
    pub refitted: bool,
    pub disconnected: bool,
    pub moved_aside: bool,
    pub opened: bool,
    pub drained: bool,
    pub filled: bool,
    pub bled: bool,
    pub loosened: bool,
    pub tightened: bool,
    /// Only on some of the ways.
    pub sometimes: bool,
}

/// The ledger of the whole job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ledger {
    /// In the order of declaration.
    pub touched: Vec<Touched>,
    /// Fasteners out and in altogether, on the way that moves the most.
    pub fasteners_out: u32,
    pub fasteners_back: u32,
}

impl Ledger {
    /// Adds what one finished walk did.
    pub(super) fn add(&mut self, world: &World<'_>, logs: &[Log], first: bool) {
        let mut walk: Vec<Touched> = Vec::new();
        let (mut out, mut back) = (0, 0);
        for (unit, log) in logs.iter().enumerate() {
            if log.first.is_none() && !log.used && log.out == 0 {
                continue;
            }
            if !is_state_changing(log) {
                continue;
            }
            let thing = world.thing[unit];
            if world.is_fastener(unit) {
                out += log.out;
                back += log.back;
            }
            let member = world.each(unit).map(|_| world.member[unit]);
            match walk.iter_mut().find(|t| t.thing == thing) {
                Some(touched) => touched.add_member(member, log),
                None => walk.push(Touched::new(thing, member, log)),
            }
        }
        for touched in &mut self.touched {
            touched.sometimes |= !walk.iter().any(|w| w.thing == touched.thing);
        }
        for mut touched in walk {
            match self.touched.iter_mut().find(|t| t.thing == touched.thing) {
                Some(known) => known.join(&touched),
                None => {
                    touched.sometimes = !first;
                    self.touched.push(touched);
                }
            }
        }
        if out > self.fasteners_out {
            (self.fasteners_out, self.fasteners_back) = (out, back);
        }
    }

    pub(super) fn finish(mut self) -> Self {
        self.touched.sort_by_key(|t| t.thing);
        self
    }

    /// What was touched of one kind.
    pub fn of_kind<'a>(&'a self, procedure: &'a Procedure, kind: ThingKind) -> impl Iterator<Item = &'a Touched> {
        self.touched.iter().filter(move |t| procedure.things.get(t.thing.index()).is_some_and(|t| t.kind == kind))
    }
}

fn is_state_changing(log: &Log) -> bool {
    log.out > 0
        || log.back > 0
        || log.renewed
        || log.taken_off
        || log.put_back
        || log.disconnected
        || log.moved_aside
        || log.opened
        || log.drained
        || log.filled
        || log.bled
        || log.loosened
        || log.tightened
        || log.used
}

impl Touched {
    fn new(thing: ThingId, member: Option<u32>, log: &Log) -> Self {
        let mut touched = Self {
            thing,
            members: Vec::new(),
            out: 0,
            back: 0,
            renewed: false,
            refitted: false,
            disconnected: false,
            moved_aside: false,
            opened: false,
            drained: false,
            filled: false,
            bled: false,
            loosened: false,
            tightened: false,
            sometimes: false,
        };
        touched.add_member(member, log);
        touched
    }

    fn add_member(&mut self, member: Option<u32>, log: &Log) {
        self.members.extend(member);
        self.out += log.out;
        self.back += log.back;
        self.renewed |= log.renewed;
        self.refitted |= log.put_back && !log.renewed;
        self.disconnected |= log.disconnected;
        self.moved_aside |= log.moved_aside;
        self.opened |= log.opened;
        self.drained |= log.drained;
        self.filled |= log.filled;
        self.bled |= log.bled;
        self.loosened |= log.loosened;
        self.tightened |= log.tightened;
    }

    fn join(&mut self, other: &Self) {
        for member in &other.members {
            if !self.members.contains(member) {
                self.members.push(*member);
            }
        }
        self.members.sort_unstable();
        if other.out > self.out {
            (self.out, self.back) = (other.out, other.back);
        }
        self.renewed |= other.renewed;
        self.refitted |= other.refitted;
        self.disconnected |= other.disconnected;
        self.moved_aside |= other.moved_aside;
        self.opened |= other.opened;
        self.drained |= other.drained;
        self.filled |= other.filled;
        self.bled |= other.bled;
        self.loosened |= other.loosened;
        self.tightened |= other.tightened;
        self.sometimes |= other.sometimes;
    }
}
