//! What there is on the machine under one choice of options: every member of every thing, and how they hang together.

use crate::procedure::{Builtin, Condition, Facts, OptionId, Procedure, SetId, ThingId, ThingKind};

/// One member of a thing (or the thing itself where it belongs to no set), as an index into the tables here.
pub(super) type Unit = usize;

/// A group larger than this is cut: nothing real has more, and no input may ask for unbounded memory.
const LARGEST_GROUP: u32 = 512;

/// What each option is: yes / no as 1 / 0, a one-of as the index of its value; `None` where it does not exist.
pub(super) type OptionValues = Vec<Option<u32>>;

/// The tables.
pub(super) struct World<'p> {
    pub procedure: &'p Procedure,
    pub options: OptionValues,
    first: Vec<Unit>,
    pub thing: Vec<ThingId>,
    pub member: Vec<u32>,
    pub exists: Vec<bool>,
    pub facts: Vec<&'p Facts>,
    /// What holds it.
    pub holders: Vec<Vec<Unit>>,
    /// What it holds.
    pub holds: Vec<Vec<Unit>>,
    /// What must be out of the way.
    pub behind: Vec<Vec<Unit>>,
    pub parent: Vec<Option<Unit>>,
    pub children: Vec<Vec<Unit>>,
    /// Of a fluid: what carries it, what it is filled through, what it runs out of.
    pub carriers: Vec<Vec<Unit>>,
    pub fillers: Vec<Vec<Unit>>,
    pub drains: Vec<Vec<Unit>>,
    /// Leads and switches of a battery.
    pub battery_cables: Vec<Unit>,
    seals: Vec<bool>,
    /// Units whose declaration forbids or owes something.
    pub with_duties: Vec<Unit>,
}

impl<'p> World<'p> {
    /// The machine under these options.
    pub fn new(procedure: &'p Procedure, options: OptionValues) -> Self {
        let mut world = Self {
            procedure,
            options,
            first: Vec::new(),
            thing: Vec::new(),
            member: Vec::new(),
            exists: Vec::new(),
            facts: Vec::new(),
            holders: Vec::new(),
            holds: Vec::new(),
            behind: Vec::new(),
            parent: Vec::new(),
            children: Vec::new(),
            carriers: Vec::new(),
            fillers: Vec::new(),
            drains: Vec::new(),
            battery_cables: Vec::new(),
            seals: Vec::new(),
            with_duties: Vec::new(),
        };
        world.list_units();
        world.relate();
        world.seals = (0..world.thing.len()).map(|u| world.has_the_name_of_a_seal(u)).collect();
        world.battery_cables = (0..world.thing.len())
            .filter(|u| {
                let name = &procedure[world.thing[*u]].name;
                world.exists[*u] && world.is_part(*u) && is_battery_cable(&name.to_lowercase())
            })
            .collect();
        world
    }

    fn list_units(&mut self) {
        for (index, thing) in self.procedure.things.iter().enumerate() {
            self.first.push(self.thing.len());
            let id = ThingId(u32::try_from(index).unwrap_or(u32::MAX));
            let members = thing.each.map_or(1, |set| self.set_size(set).max(1));
            for member in 0..members {
                let options = &self.options;
                let mut truth =
                    |atom: &Condition| known_truth(options, thing.each.map(|set| (set, member)), atom).unwrap_or(false);
                self.exists.push(thing.exists.holds(&mut truth));
                self.facts.push(thing.facts_under(&mut truth));
                self.thing.push(id);
                self.member.push(member);
            }
        }
    }

    fn relate(&mut self) {
        let count = self.thing.len();
        for table in [
            &mut self.holders,
            &mut self.holds,
            &mut self.behind,
            &mut self.children,
            &mut self.carriers,
            &mut self.fillers,
            &mut self.drains,
        ] {
            table.resize(count, Vec::new());
        }
        self.parent.resize(count, None);
        for unit in (0..count).filter(|u| self.exists[*u]) {
            let facts = self.facts[unit];
            let all = |world: &Self, ids: &[ThingId]| -> Vec<Unit> {
                let meant = |u: &Unit| {
                    // `held by right caliper bolts`: of that thing only the members that are named.
                    let mut named = facts.only_member.iter().filter(|(id, _)| *id == world.thing[*u]).peekable();
                    named.peek().is_none() || named.any(|(_, member)| *member == world.member[*u])
                };
                let beside = ids.iter().flat_map(|id| world.beside(unit, *id));
                beside.filter(|u| *u != unit && world.exists[*u] && meant(u)).collect()
            };
            let holders = all(self, &facts.held_by);
            for holder in &holders {
                self.holds[*holder].push(unit);
            }
            self.holders[unit] = holders;
            self.behind[unit] = all(self, &facts.behind);
            if let Some(parent) = facts.part_of
                && let [parent, ..] = all(self, &[parent])[..]
            {
                self.parent[unit] = Some(parent);
                self.children[parent].push(unit);
            }
            for fluid in all(self, &facts.carries) {
                self.carriers[fluid].push(unit);
            }
            if let Some(fluid) = facts.filler_of {
                for fluid in all(self, &[fluid]) {
                    self.fillers[fluid].push(unit);
                }
            }
            if let Some(fluid) = facts.drain_of {
                for fluid in all(self, &[fluid]) {
                    self.drains[fluid].push(unit);
                }
            }
            if !facts.debts.is_empty() || !facts.forbidden.is_empty() {
                self.with_duties.push(unit);
            }
        }
    }

    /// How many members a set has.
    pub fn set_size(&self, set: SetId) -> u32 {
        self.procedure
            .sets
            .get(set.index())
            .map_or(0, |s| u32::try_from(s.members.len()).unwrap_or(u32::MAX).min(LARGEST_GROUP))
    }

    /// All units of a thing; also those that do not exist under these options.
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
    pub fn screws_itself(&self, unit: Unit) -> bool {
        self.kind(unit) == ThingKind::Part && self.facts[unit].fastening.is_some()
    }

    pub fn is_fastener(&self, unit: Unit) -> bool {
        self.is_group(unit) || self.screws_itself(unit)
    }

    pub fn is_part(&self, unit: Unit) -> bool {
        self.kind(unit) == ThingKind::Part
    }

    pub fn is_fluid(&self, unit: Unit) -> bool {
        self.kind(unit) == ThingKind::Fluid
    }

    pub fn is_temporary(&self, unit: Unit) -> bool {
        self.facts[unit].temporary.is_some()
    }

    /// How many places a group has.
    pub fn places(&self, unit: Unit) -> u32 {
        self.facts[unit].count.clamp(1, LARGEST_GROUP)
    }

    /// Everything that grips it: its holders, and itself where it screws itself in.
    pub fn grips(&self, unit: Unit) -> Vec<Unit> {
        let mut grips = self.holders[unit].clone();
        if self.screws_itself(unit) {
            grips.push(unit);
        }
        grips
    }

    /// A seal: it has no fastener of its own and lies between its parent and what that sits on.
    pub fn is_seal(&self, unit: Unit) -> bool {
        self.seals[unit]
    }

    fn has_the_name_of_a_seal(&self, unit: Unit) -> bool {
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
        let name = self.procedure[self.thing[unit]].name.to_lowercase();
        self.is_part(unit)
            && self.parent[unit].is_some()
            && self.grips(unit).is_empty()
            && SEALS.iter().any(|s| name.ends_with(s))
    }

    /// The truth of what is known before printing; `None` for what is found.
    pub fn known(&self, member: Option<(SetId, u32)>, atom: &Condition) -> Option<bool> {
        known_truth(&self.options, member, atom)
    }
}

fn known_truth(options: &OptionValues, member: Option<(SetId, u32)>, atom: &Condition) -> Option<bool> {
    let value = |id: &OptionId| options.get(id.index()).copied().flatten();
    match atom {
        Condition::Option(id) => Some(value(id) == Some(1)),
        Condition::OptionIs(id, v) => Some(value(id) == Some(*v)),
        Condition::Member(set, v) => Some(member == Some((*set, *v))),
        _ => None,
    }
}

/// The lead, strap or master switch of a battery.
fn is_battery_cable(name: &str) -> bool {
    const CABLES: [&str; 9] =
        ["cable", "cables", "lead", "leads", "strap", "terminal", "switch", "isolator", "service plug"];
    name.contains("battery") && CABLES.iter().any(|c| name.ends_with(c))
}
