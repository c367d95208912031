//! Clauses of parts, fasteners and fluids → facts.

use crate::diagnostic::Diagnostic;
use crate::procedure::{Debt, Facts, FluidKind, Forbidden, Need, Temporary, ThingId, ThingKind};
use crate::syntax::tree::{Clause, ClauseKind, Word};
use crate::trade::hazard::Hazard;

use super::Resolver;
use super::scope::View;

impl Resolver<'_> {
    /// Applies one clause; `over` lets a variant replace what the base says.
    pub(super) fn apply(&mut self, view: &View, thing: ThingId, facts: &mut Facts, clause: &Clause, over: bool) {
        use ClauseKind as K;
        match &clause.kind {
            K::New => facts.new = true,
            K::NewIfBad => facts.new_if_bad = true,
            K::SingleUse => facts.single_use = true,
            K::Added => facts.added = true,
            K::Temporary => {
                facts.temporary.get_or_insert_default();
            }
            K::StaysWhileRunning => facts.temporary.get_or_insert_default().stays_while_running = true,
            K::InPositions { positions, of } => {
                let group = self.thing_or_tell(view, of, "a fastener group");
                let temporary = facts.temporary.get_or_insert_with(Temporary::default);
                temporary.takes_up = group.map(|g| (positions.clone(), g));
            }
            K::NormallyOpen => facts.normally_open = true,
            K::TurnsOnly { clockwise } => facts.turns_clockwise = Some(*clockwise),
            K::ByPosition => facts.by_position = true,
            K::Alike => facts.alike = true,
            K::Handed => facts.handed = true,
            K::Count(n) => {
                if over || self.once(thing, "count", n.to_string(), clause.span) {
                    facts.count = *n;
                    if let Some(fastening) = &mut facts.fastening {
                        fastening.count = Some(*n);
                    }
                }
            }
            K::HeldBy(list) => {
                let list = self.thing_refs(view, list);
                note_members(&mut facts.only_member, &list);
                add(&mut facts.held_by, list.into_iter().map(|r| r.thing).collect(), over);
            }
            K::Behind(list) => {
                let list = self.thing_refs(view, list);
                note_members(&mut facts.only_member, &list);
                add(&mut facts.behind, list.into_iter().map(|r| r.thing).collect(), over);
            }
            K::PartOf(name) => {
                if let Some(parent) = self.thing_or_tell(view, name, "a part") {
                    if over || self.once(thing, "part of", self.p[parent].name.clone(), clause.span) {
                        if parent == thing {
                            self.circle(name);
                        } else {
                            facts.part_of = Some(parent);
                        }
                    }
                }
            }
            K::AlwaysWith(list) => {
                let list = self.thing_list(view, list);
                add(&mut facts.always_with, list, over);
            }
            K::Carries(list) => {
                let list = self.thing_list(view, list);
                add(&mut facts.carries, list, over);
            }
            K::FillerOf(name) => facts.filler_of = self.thing_or_tell(view, name, "a fluid"),
            K::DrainOf(name) => facts.drain_of = self.thing_or_tell(view, name, "a fluid"),
            K::Directional => facts.directional = true,
            K::Needs { state, act } => {
                let act_verb = act.as_ref().and_then(|a| self.verb_or_tell(a));
                for piece in self.split_states(view, state) {
                    let state = self.state(view, &piece, None);
                    facts.needs.push(Need { state, act: act_verb, span: clause.span });
                }
            }
            K::NeedsSupport => facts.needs_support = true,
            K::NeedsBleeding => {
                if let Some(fluid) = &mut facts.fluid {
                    fluid.needs_bleeding = true;
                } else {
                    self.misplaced(clause, "what is no fluid", "`needs X STATE` or `needs support`");
                }
            }
            K::WhileNever { state, act } => {
                let state = self.state(view, state, Some(thing));
                let (act, _) = self.act_pattern(view, act);
                if let Some(act) = act {
                    facts.forbidden.push(Forbidden { state, act, span: clause.span });
                }
            }
            K::OnceThenBefore { state, then, before } => {
                let state = self.state(view, state, Some(thing));
                let (then, amount) = self.act_pattern(view, then);
                let (before, _) = self.act_pattern(view, before);
                if let (Some(then), Some(before)) = (then, before) {
                    facts.debts.push(Debt { state, then, amount, before, span: clause.span });
                }
            }
            K::AsASet => facts.as_a_set = true,
            K::Weighs(q) => {
                if q.kind() == crate::quantity::Kind::Mass {
                    facts.weighs = Some(q.clone());
                } else {
                    self.wrong_kind(clause, q.kind(), "a mass", "weighs 45 kg");
                }
            }
            K::Each(name) => {
                let set = self.set_named(&name.text);
                match set {
                    // Names were bound to the first set when everything was declared.
                    Some(set) if self.p[thing].each.is_some_and(|first| first != set) => self.second_set(thing, name),
                    Some(set) => self.p.things[thing.index()].each = Some(set),
                    None => self.unknown_set(name),
                }
            }
            K::OnlyWith(condition) => {
                let condition = self.condition(view, condition);
                let old = self.p.things[thing.index()].exists.clone();
                self.p.things[thing.index()].exists = if old == condition { old } else { old.and(condition) };
            }
            K::Hazard(name) => {
                if let Some(hazard) = self.hazard_or_tell(name) {
                    if !facts.hazards.contains(&hazard) {
                        facts.hazards.push(hazard);
                    }
                }
            }
            K::Amount(q) | K::Drains(q) | K::Mix(q) | K::OldMix(q) | K::ProtectsTo(q) if facts.fluid.is_some() => {
                self.fluid_amount(thing, facts, clause, q, over);
            }
            K::Kind(name) if facts.fluid.is_some() => match FluidKind::parse(&crate::syntax::fold_name(&name.text)) {
                Some(kind) => {
                    if over || self.once(thing, "kind", kind.name().to_owned(), clause.span) {
                        if let Some(fluid) = &mut facts.fluid {
                            fluid.kind = Some(kind);
                        }
                    }
                }
                None => {
                    let hint = super::suggest::hint(&name.text, FluidKind::ALL.iter().map(|k| k.name()));
                    let all: Vec<_> = FluidKind::ALL.iter().map(|k| k.name()).collect();
                    self.tell(
                        Diagnostic::error(
                            "unknown-name",
                            name.span,
                            format!("no kind of fluid is called '{}'", name.text),
                        )
                        .help(format!("{hint} The kinds are: {}.", all.join(", ")).trim().to_owned()),
                    );
                }
            },
            K::Unknown => {}
            _ => {
                if !self.apply_fastening(view, thing, facts, clause, over) {
                    let what = match self.p[thing].kind {
                        ThingKind::Fluid => "a fluid",
                        ThingKind::Fastener => "a fastener",
                        _ => "a part",
                    };
                    self.misplaced(clause, what, "a clause of its table in the language reference");
                }
            }
        }
    }

    fn fluid_amount(
        &mut self,
        thing: ThingId,
        facts: &mut Facts,
        clause: &Clause,
        q: &crate::quantity::Quantity,
        over: bool,
    ) {
        use crate::quantity::Kind;
        let (key, wanted, example): (&'static str, &[Kind], &str) = match &clause.kind {
            ClauseKind::Amount(_) => ("capacity", &[Kind::Volume, Kind::Mass], "9.4 L"),
            ClauseKind::Drains(_) => ("drains", &[Kind::Volume, Kind::Mass], "drains 7 L"),
            ClauseKind::Mix(_) => ("mix", &[Kind::Ratio], "mix 40 % by volume"),
            ClauseKind::OldMix(_) => ("old mix", &[Kind::Ratio], "old mix 30 % by volume"),
            _ => ("protection", &[Kind::Temperature], "protects to -24 °C"),
        };
        if !wanted.contains(&q.kind()) {
            self.wrong_kind(clause, q.kind(), &format!("a {}", wanted[0].name()), example);
            return;
        }
        let text = crate::quantity::print(q, crate::quantity::System::Both).main;
        if !over && !self.once(thing, key, text, clause.span) {
            return;
        }
        let Some(fluid) = &mut facts.fluid else { return };
        let value = Some(q.clone());
        match &clause.kind {
            ClauseKind::Amount(_) => fluid.capacity = value,
            ClauseKind::Drains(_) => fluid.drains = value,
            ClauseKind::Mix(_) => fluid.mix = value,
            ClauseKind::OldMix(_) => fluid.old_mix = value,
            _ => fluid.protects_to = value,
        }
    }

    /// Whether a single-valued fact may be set: the first time, or the same value again. A contradiction is told.
    pub(super) fn once(&mut self, thing: ThingId, key: &'static str, value: String, span: crate::source::Span) -> bool {
        match self.stated.get(&(thing, key)).cloned() {
            None => {
                self.stated.insert((thing, key), (value, span));
                true
            }
            Some((old, _)) if old == value => false,
            Some((old, first)) => {
                let name = self.p[thing].name.clone();
                let rule = if key == "torque" { "torque-conflict" } else { "duplicate-name" };
                self.tell(
                    Diagnostic::error(rule, span, format!("'{name}' has two values for its {key}: {old} and {value}"))
                        .label(format!("{value} here"))
                        .related(first, format!("{old} here"))
                        .help("Ask which is right and keep that one; for a variant write `with VARIANT` under the declaration."),
                );
                false
            }
        }
    }

    fn circle(&mut self, name: &Word) {
        self.tell(
            Diagnostic::error("duplicate-name", name.span, format!("'{}' can't be part of itself", name.text))
                .help("Name the assembly that it sits on."),
        );
    }

    pub(super) fn wrong_kind(&mut self, clause: &Clause, is: crate::quantity::Kind, wanted: &str, example: &str) {
        let text = self.sources.text(clause.span).to_owned();
        self.tell(
            Diagnostic::error(
                "unit-mismatch",
                clause.span,
                format!("'{text}' holds a {}; here {wanted} is wanted", is.name()),
            )
            .help(format!("Write `{example}`.")),
        );
    }

    pub(super) fn unknown_set(&mut self, name: &Word) {
        let hint = super::suggest::hint(&name.text, self.p.sets.iter().map(|s| s.name.as_str()));
        self.tell(
            Diagnostic::error("unknown-name", name.span, format!("no set is called '{}'", name.text))
                .help(format!("{hint} Sets are declared under `sets`: `side: left, right`.").trim().to_owned()),
        );
    }

    /// A thing has one set; places of two kinds are one set of all the places.
    fn second_set(&mut self, thing: ThingId, name: &Word) {
        let first = self.p[thing].each.and_then(|set| self.p.sets.get(set.index()));
        let Some(first) = first else { return };
        let second = self.set_named(&name.text).and_then(|set| self.p.sets.get(set.index()));
        let places: Vec<String> = second
            .map(|s| s.members.iter().flat_map(|b| first.members.iter().map(move |a| format!("{a} {b}"))).collect())
            .unwrap_or_default();
        let message =
            format!("`each {}` is said of {} already: a thing belongs to one set", first.name, self.p[thing].name);
        let help =
            format!("Declare one set of all the places: `place: {}`, and write `each place`.", places.join(", "));
        self.tell(Diagnostic::error("bad-syntax", name.span, message).help(help));
        self.p.doubtful.push(thing);
    }

    /// The built-in hazard of this name.
    pub(super) fn hazard_or_tell(&mut self, name: &Word) -> Option<Hazard> {
        let found = Hazard::parse(&crate::syntax::fold_name(&name.text));
        if found.is_none() {
            let hint = super::suggest::hint(&name.text, Hazard::ALL.iter().map(|h| h.name()));
            let all: Vec<_> = Hazard::ALL.iter().map(|h| h.name()).collect();
            self.tell(
                Diagnostic::error("unknown-name", name.span, format!("no hazard is called '{}'", name.text))
                    .help(format!("{hint} The built-in hazards are: {}.", all.join(", ")).trim().to_owned()),
            );
        }
        found
    }
}

fn note_members(only: &mut Vec<(ThingId, u32)>, list: &[crate::procedure::ThingRef]) {
    for r in list {
        if let crate::procedure::Members::One(member) = r.members {
            if !only.contains(&(r.thing, member)) {
                only.push((r.thing, member));
            }
        }
    }
}

fn add(list: &mut Vec<ThingId>, more: Vec<ThingId>, over: bool) {
    if over {
        list.clear();
    }
    for id in more {
        if !list.contains(&id) {
            list.push(id);
        }
    }
}
