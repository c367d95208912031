//! What there is on the machine under any choice of options: every member of every thing, and how they hang together.

use crate::procedure::{Builtin, Facts, Procedure, SetId, ThingId, ThingKind, Verb, steps_of};
use std::collections::BTreeSet;

/// One member of a thing (or the thing itself where it belongs to no set), as an index into the tables here.
pub(super) type Unit = usize;

/// A group larger than this is cut: nothing real has more, and no input may ask for unbounded memory.
const LARGEST_GROUP: u32 = 512;

/// How one unit hangs together with others, by one variant of its declaration; whether those exist is not said.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Relations {
    /// What holds it.
    pub holders: Vec<Unit>,
    /// What must be out of the way.
    pub behind: Vec<Unit>,
    /// What it may be part of: the first that exists.
    pub parents: Vec<Unit>,
    /// The fluids that it carries, is the filler of, is the drain of.
    pub carries: Vec<Unit>,
    pub fills: Vec<Unit>,
    pub drains: Vec<Unit>,
}

/// The tables. What hangs on options is listed for every variant; what holds on a way says the shop.
pub(super) struct World<'p> {
    pub procedure: &'p Procedure,
    first: Vec<Unit>,
    pub thing: Vec<ThingId>,
    pub member: Vec<u32>,
    /// By unit and variant: the base facts first, then as declared.
    pub relations: Vec<Vec<Relations>>,
    /// What it holds, is in front of, consists of, in some variant; and of a fluid what it is carried by, filled
    /// through, drained at.
    pub holds: Vec<Vec<Unit>>,
    pub in_front_of: Vec<Vec<Unit>>,
    pub children: Vec<Vec<Unit>>,
    pub carriers: Vec<Vec<Unit>>,
    pub fillers: Vec<Vec<Unit>>,
    pub drains: Vec<Vec<Unit>>,
    /// Leads and switches of a battery.
    pub battery_cables: Vec<Unit>,
    named_as_seal: Vec<bool>,
    /// Units whose declaration forbids or owes something in some variant.
    pub with_duties: Vec<Unit>,
    /// Units that are temporary in some variant.
    pub temporary: Vec<Unit>,
    /// Units that are to be renewed with another in some variant.
    pub goes_with: Vec<bool>,
    /// Fluids that some step of the job drains.
    pub drained_somewhere: BTreeSet<ThingId>,
    /// Units that are for one use in some variant.
    pub single_use: Vec<bool>,
}

impl<'p> World<'p> {
    /// The machine under all options.
    pub fn new(procedure: &'p Procedure) -> Self {
        let mut world = Self {
            procedure,
            first: Vec::new(),
            thing: Vec::new(),
            member: Vec::new(),
            relations: Vec::new(),
            holds: Vec::new(),
            in_front_of: Vec::new(),
            children: Vec::new(),
            carriers: Vec::new(),
            fillers: Vec::new(),
            drains: Vec::new(),
            battery_cables: Vec::new(),
            named_as_seal: Vec::new(),
            with_duties: Vec::new(),
            temporary: Vec::new(),
            goes_with: Vec::new(),
            drained_somewhere: BTreeSet::new(),
            single_use: Vec::new(),
        };
        for (index, thing) in procedure.things.iter().enumerate() {
            world.first.push(world.thing.len());
            let id = ThingId(u32::try_from(index).unwrap_or(u32::MAX));
            for member in 0..thing.each.map_or(1, |set| world.set_size(set).max(1)) {
                world.thing.push(id);
                world.member.push(member);
            }
        }
        world.relate();
        steps_of(&procedure.body, &mut |step| {
            if step.verb == Verb::Drain {
                world.drained_somewhere.extend(step.things().map(|reference| reference.thing));
            }
        });
        world
    }

    /// The facts of a variant: 0 is the base.
    pub fn variant(&self, unit: Unit, variant: usize) -> &'p Facts {
        let thing = &self.procedure[self.thing[unit]];
        match variant.checked_sub(1).and_then(|v| thing.variants.get(v)) {
            Some((_, facts)) => facts,
            None => &thing.facts,
        }
    }

    fn relate(&mut self) {
        let count = self.thing.len();
        let empty = vec![Vec::new(); count];
        self.holds = empty.clone();
        self.in_front_of = empty.clone();
        self.children = empty.clone();
        self.carriers = empty.clone();
        self.fillers = empty.clone();
        self.drains = empty;
        for unit in 0..count {
            let thing = &self.procedure[self.thing[unit]];
            let name = thing.name.to_lowercase();
            self.named_as_seal.push(self.is_part(unit) && SEALS.iter().any(|s| name.ends_with(s)));
            if self.is_part(unit) && is_battery_cable(&name) {
                self.battery_cables.push(unit);
            }
            let all: Vec<&Facts> = thing.all_facts().map(|(_, f)| f).collect();
            if all.iter().any(|f| !f.debts.is_empty() || !f.forbidden.is_empty()) {
                self.with_duties.push(unit);
            }
            if all.iter().any(|f| f.temporary.is_some()) {
                self.temporary.push(unit);
            }
            self.goes_with.push(all.iter().any(|f| !f.always_with.is_empty()));
            self.single_use.push(all.iter().any(|f| f.single_use));
            let variants: Vec<Relations> = all.iter().map(|facts| self.relations_by(unit, facts)).collect();
            for variant in &variants {
                let pairs = [
                    (&variant.holders, &mut self.holds),
                    (&variant.behind, &mut self.in_front_of),
                    (&variant.parents, &mut self.children),
                    (&variant.carries, &mut self.carriers),
                    (&variant.fills, &mut self.fillers),
                    (&variant.drains, &mut self.drains),
                ];
                for (others, table) in pairs {
                    for other in others {
                        if table[*other].last() != Some(&unit) {
                            table[*other].push(unit);
                        }
                    }
                }
            }
            self.relations.push(variants);
        }
    }

    fn relations_by(&self, unit: Unit, facts: &Facts) -> Relations {
        let meant = |u: &Unit| {
            // `held by right caliper bolts`: of that thing only the members that are named.
            let mut named = facts.only_member.iter().filter(|(id, _)| *id == self.thing[*u]).peekable();
            named.peek().is_none() || named.any(|(_, member)| *member == self.member[*u])
        };
        let all = |ids: &[ThingId]| -> Vec<Unit> {
            let beside = ids.iter().flat_map(|id| self.beside(unit, *id));
            beside.filter(|u| *u != unit && meant(u)).collect()
        };
        let one = |id: Option<ThingId>| id.map_or_else(Vec::new, |id| all(&[id]));
        Relations {
            holders: all(&facts.held_by),
            behind: all(&facts.behind),
            parents: one(facts.part_of),
            carries: all(&facts.carries),
            fills: one(facts.filler_of),
            drains: one(facts.drain_of),
        }
    }

    /// How many members a set has.
    pub fn set_size(&self, set: SetId) -> u32 {
        self.procedure
            .sets
            .get(set.index())
            .map_or(0, |s| u32::try_from(s.members.len()).unwrap_or(u32::MAX).min(LARGEST_GROUP))
    }

    /// All units of a thing; also those that do not exist on a way.
    pub fn units_of(&self, thing: ThingId) -> std::ops::Range<Unit> {
        let start = self.first.get(thing.index()).copied().unwrap_or(self.thing.len());
        let end = self.first.get(thing.index() + 1).copied().unwrap_or(self.thing.len());
        start..end
    }

    /// The units of `other` that belong to `unit`: its own member where both are of one set, else all.
    pub fn beside(&self, unit: Unit, other: ThingId) -> Vec<Unit> {
        let units = self.units_of(other);
        let set = self.procedure.things.get(other.index()).and_then(|t| t.each);
        if set.is_some() && set == self.each(unit) {
            return units.skip(self.member[unit] as usize).take(1).collect();
        }
        units.collect()
    }

    /// The set it belongs to.
    pub fn each(&self, unit: Unit) -> Option<SetId> {
        self.procedure[self.thing[unit]].each
    }

    pub fn kind(&self, unit: Unit) -> ThingKind {
        self.procedure[self.thing[unit]].kind
    }

    pub fn builtin(&self, unit: Unit) -> Option<Builtin> {
        match self.kind(unit) {
            ThingKind::Builtin(b) => Some(b),
            _ => None,
        }
    }

    /// A group of fasteners (not a part that is its own fastener).
    pub fn is_group(&self, unit: Unit) -> bool {
        self.kind(unit) == ThingKind::Fastener
    }

    /// A part that is its own fastener.
    pub fn screws_itself(&self, unit: Unit, facts: &Facts) -> bool {
        self.kind(unit) == ThingKind::Part && facts.fastening.is_some()
    }

    pub fn is_fastener(&self, unit: Unit, facts: &Facts) -> bool {
        self.is_group(unit) || self.screws_itself(unit, facts)
    }

    pub fn is_part(&self, unit: Unit) -> bool {
        self.kind(unit) == ThingKind::Part
    }

    pub fn is_fluid(&self, unit: Unit) -> bool {
        self.kind(unit) == ThingKind::Fluid
    }

    /// How many places a group has.
    pub fn places(facts: &Facts) -> u32 {
        facts.count.clamp(1, LARGEST_GROUP)
    }

    /// Whether its name says that it is a seal.
    pub fn is_named_as_seal(&self, unit: Unit) -> bool {
        self.named_as_seal[unit]
    }
}

const SEALS: [&str; 12] = [
    "seal",
    "seals",
    "gasket",
    "gaskets",
    "washer",
    "washers",
    "o-ring",
    "o-rings",
    "packing",
    "sealing ring",
    "sealing rings",
    "crush ring",
];

/// The lead, strap or master switch of a battery.
fn is_battery_cable(name: &str) -> bool {
    const CABLES: [&str; 9] =
        ["cable", "cables", "lead", "leads", "strap", "terminal", "switch", "isolator", "service plug"];
    name.contains("battery") && CABLES.iter().any(|c| name.ends_with(c))
}
