//! Everything the job touched, with counts out and in: for the last look before the sign-off.

use super::bdd::{Bdd, Cond, NEVER};
use super::history::Log;
use super::walk::Walk;
use crate::procedure::{Procedure, ThingId, ThingKind};
use std::collections::BTreeMap;

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
    /// What was done on the ways that came to the end of the job proper.
    pub(super) fn of(walk: &Walk<'_, '_>) -> Self {
        let shop = &walk.shop;
        let (finished, end) = walk.finished;
        let mut ledger = Self::default();
        let mut fasteners: BTreeMap<Cond, Log> = BTreeMap::new();
        for (index, thing) in shop.procedure().things.iter().enumerate() {
            let id = ThingId(u32::try_from(index).unwrap_or(u32::MAX));
            let mut by_cond: BTreeMap<Cond, Log> = BTreeMap::new();
            let mut touched = Touched::nothing(id);
            for unit in shop.world.units_of(id) {
                let mut log = Log::default();
                for entry in shop.logs[unit].iter().filter(|e| e.time <= end && e.log != Log::default()) {
                    let cond = shop.run.bdd.and(entry.cond, finished);
                    if cond != NEVER {
                        log.add(&entry.log);
                        by_cond.entry(cond).or_default().add(&entry.log);
                        if thing.is_fastener() {
                            fasteners.entry(cond).or_default().add(&entry.log);
                        }
                    }
                }
                if log != Log::default() {
                    touched.add_member(thing.each.map(|_| shop.world.member[unit]), &log);
                }
            }
            if by_cond.is_empty() {
                continue;
            }
            let somewhere = by_cond.keys().fold(NEVER, |all, cond| shop.run.bdd.or(all, *cond));
            touched.sometimes = !shop.run.bdd.implies(finished, somewhere);
            (touched.out, touched.back) = most_moved(&shop.run.bdd, finished, &by_cond);
            ledger.touched.push(touched);
        }
        (ledger.fasteners_out, ledger.fasteners_back) = most_moved(&shop.run.bdd, finished, &fasteners);
        ledger
    }

    /// What was touched of one kind.
    pub fn of_kind<'a>(&'a self, procedure: &'a Procedure, kind: ThingKind) -> impl Iterator<Item = &'a Touched> {
        self.touched.iter().filter(move |t| procedure.things.get(t.thing.index()).is_some_and(|t| t.kind == kind))
    }
}

/// Out and in on the way that moves the most: of what can't go together, what moves more is chosen first.
fn most_moved(bdd: &Bdd, finished: Cond, moved: &BTreeMap<Cond, Log>) -> (u32, u32) {
    let mut by_size: Vec<(&Cond, &Log)> = moved.iter().filter(|(_, log)| log.out + log.back > 0).collect();
    by_size.sort_by_key(|(cond, log)| (std::cmp::Reverse(log.out), **cond));
    let mut ways = finished;
    let (mut out, mut back) = (0, 0);
    for (cond, log) in by_size {
        let both = bdd.and(ways, *cond);
        if both != NEVER {
            ways = both;
            out += log.out;
            back += log.back;
        }
    }
    (out, back)
}

impl Touched {
    fn nothing(thing: ThingId) -> Self {
        Self {
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
        }
    }

    fn add_member(&mut self, member: Option<u32>, log: &Log) {
        self.members.extend(member);
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
}
