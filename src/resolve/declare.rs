//! Declarations: names of all files first, then what is said of them.

use crate::diagnostic::Diagnostic;
use crate::procedure::{
    Allow, Condition, Facts, Header, Kit, Measurement, MeasurementId, OptionDecl, OptionId, Origin, OwnPair, SetDecl,
    SetId, Supply, Thing, ThingId, ThingKind, Tool,
};
use crate::source::Span;
use crate::syntax::fold_name;
use crate::syntax::tree::{
    Clause, ClauseKind, Detail, DetailWord, Entry, Header as Field, Item, Node, NodeId, Section, Tree, Word,
};

use super::Resolver;
use super::scope::{Fact, Given, View, index, section_name};

impl Resolver<'_> {
    /// Used files before the files that use them, so that a job adds to what its machine file says.
    fn files_in_order(&self) -> Vec<usize> {
        let mut order = self.bundle.reach(0);
        order.reverse();
        order
    }

    /// Everything that is declared anywhere in the bundle.
    pub(super) fn declare_all(&mut self) {
        let order = self.files_in_order();
        for file in &order {
            self.each_entry(*file, &mut |r, file, id, entry| r.declare_name(file, id, entry));
        }
        self.collect_verbs();
        // Members first: `held by left caliper bolts` may stand before the bolts say `each side`.
        for file in &order {
            self.each_entry(*file, &mut |r, _, _, entry| r.declare_set(entry));
        }
        for file in &order {
            self.name_facts_of_steps(*file);
        }
        for file in &order {
            self.each_entry(*file, &mut |r, file, id, entry| r.declare_facts(file, id, entry));
        }
        for file in &order {
            self.each_entry(*file, &mut |r, file, id, entry| r.declare_variants(file, id, entry));
        }
        self.settle_passes();
        self.hold_joints();
        self.inherit_existence();
    }

    fn each_entry(&mut self, file: usize, visit: &mut dyn FnMut(&mut Self, usize, NodeId, &Entry)) {
        let bundle = self.bundle;
        let Some(loaded) = bundle.files.get(file) else { return };
        for root in &loaded.tree.roots {
            if !matches!(loaded.tree.node(*root).item, Item::Section(_)) {
                continue;
            }
            for (id, node) in loaded.tree.children(*root) {
                if let Item::Entry(entry) = &node.item {
                    visit(self, file, id, entry);
                }
            }
        }
    }

    pub(super) fn tree(&self, file: usize) -> &'_ Tree {
        &self.bundle.files[file].tree
    }

    fn duplicate(&mut self, name: &Word, first: Span, what: &str) {
        if first == name.span {
            return;
        }
        self.tell(
            Diagnostic::error("duplicate-name", name.span, format!("'{}' is declared twice{what}", name.text))
                .label("again here")
                .related(first, "first declared here")
                .help("Put all clauses into one entry, or give the second thing a name of its own."),
        );
    }

    fn declare_name(&mut self, file: usize, id: NodeId, entry: &Entry) {
        let folded = fold_name(&entry.name.text);
        if folded.is_empty() {
            return;
        }
        match entry.section {
            Section::Options => {
                if let Some(Fact::Option(old)) = self.scope.facts.get(&folded).copied() {
                    let first = self.p[old].span;
                    if first.file == entry.name.span.file {
                        self.duplicate(&entry.name, first, "");
                    }
                    return;
                }
                let values = entry.clauses.iter().flat_map(|c| match &c.kind {
                    ClauseKind::Values(v) => v.iter().map(|w| w.text.clone()).collect(),
                    _ => Vec::new(),
                });
                self.p.options.push(OptionDecl {
                    name: entry.name.text.clone(),
                    span: entry.name.span,
                    values: values.collect(),
                    only_with: None,
                });
                self.scope.facts.insert(folded, Fact::Option(OptionId(index(self.p.options.len() - 1))));
            }
            Section::Sets => {
                if let Some(old) = self.scope.sets.get(&folded).copied() {
                    let first = self.p[old].span;
                    if first.file == entry.name.span.file {
                        self.duplicate(&entry.name, first, "");
                    }
                    return;
                }
                let members: Vec<String> = entry
                    .clauses
                    .iter()
                    .flat_map(|c| match &c.kind {
                        ClauseKind::Values(v) => v.iter().map(|w| w.text.clone()).collect(),
                        ClauseKind::Numbers { from, to } => {
                            (*from..=*to.min(&from.saturating_add(255))).map(|n| n.to_string()).collect()
                        }
                        _ => Vec::new(),
                    })
                    .collect();
                self.p.sets.push(SetDecl { name: entry.name.text.clone(), span: entry.name.span, members });
                self.scope.sets.insert(folded, SetId(index(self.p.sets.len() - 1)));
            }
            Section::Kits => {
                if self.scope.kits.contains_key(&folded) {
                    return;
                }
                self.p.kits.push(Kit {
                    name: entry.name.text.clone(),
                    span: entry.name.span,
                    contents: Vec::new(),
                    things: Vec::new(),
                    number: self.number_detail(file, id),
                });
                self.scope.kits.insert(folded, self.p.kits.len() - 1);
            }
            Section::Parts => self.declare_thing(file, entry, ThingKind::Part),
            Section::Fasteners => self.declare_thing(file, entry, ThingKind::Fastener),
            Section::Fluids => self.declare_thing(file, entry, ThingKind::Fluid),
            Section::Measurements => {
                if let Some(Fact::Measurement(old)) = self.scope.facts.get(&folded).copied() {
                    let first = self.p[old].span;
                    if first.file == entry.name.span.file {
                        self.duplicate(&entry.name, first, "");
                    }
                    return;
                }
                let id = self.new_measurement(&entry.name, Origin::Declared);
                self.p.measurements[id.index()].shared = file != 0;
            }
            Section::Tools => {
                if let Some(old) = self.tool_named(&entry.name.text) {
                    let first = self.p[old].span;
                    if first.file == entry.name.span.file {
                        self.duplicate(&entry.name, first, "");
                    }
                    return;
                }
                self.p.tools.push(Tool {
                    name: entry.name.text.clone(),
                    span: entry.name.span,
                    declared: true,
                    ranges: Vec::new(),
                    reads: Vec::new(),
                    length: None,
                    number: self.number_detail(file, id),
                    details: Vec::new(),
                });
            }
            Section::Supplies => {
                if let Some(old) = self.supply_named(&entry.name.text) {
                    let first = self.p[old].span;
                    if first.file == entry.name.span.file {
                        self.duplicate(&entry.name, first, "");
                    }
                    return;
                }
                self.p.supplies.push(Supply {
                    name: entry.name.text.clone(),
                    span: entry.name.span,
                    declared: true,
                    number: self.number_detail(file, id),
                    details: Vec::new(),
                });
            }
            Section::Acts => {
                for clause in &entry.clauses {
                    if let ClauseKind::Acts { opening, closing, away, home } = &clause.kind {
                        let known = self.p.pairs.iter().any(|p| {
                            fold_name(&p.opening) == fold_name(&opening.text)
                                && fold_name(&p.closing) == fold_name(&closing.text)
                        });
                        if !known {
                            self.p.pairs.push(OwnPair {
                                opening: fold_name(&opening.text),
                                closing: fold_name(&closing.text),
                                away: fold_name(&away.text),
                                home: home.as_ref().map(|h| fold_name(&h.text)),
                                span: entry.name.span,
                            });
                        }
                    }
                }
            }
            Section::Given => {
                for clause in &entry.clauses {
                    if let ClauseKind::Argument { kind, default } = &clause.kind {
                        let given = Given { kind: kind.clone(), default: default.clone() };
                        if let Some(of_file) = self.given.get_mut(file) {
                            of_file.insert(folded.clone(), given);
                        }
                    }
                }
            }
        }
    }

    /// Notes which set an entry has a member for; a set that nobody declared is told with the other clauses.
    fn declare_set(&mut self, entry: &Entry) {
        let set = entry.clauses.iter().find_map(|c| match &c.kind {
            ClauseKind::Each(name) => self.set_named(&name.text),
            _ => None,
        });
        let Some(set) = set else { return };
        match entry.section {
            Section::Parts | Section::Fasteners | Section::Fluids => {
                if let Some(thing) = self.thing_named(&entry.name.text) {
                    self.p.things[thing.index()].each = Some(set);
                }
            }
            Section::Measurements => {
                if let Some(Fact::Measurement(id)) = self.fact_named(&entry.name.text) {
                    self.p.measurements[id.index()].each = Some(set);
                }
            }
            _ => {}
        }
    }

    /// A new measurement, known by its name from now on.
    pub(super) fn new_measurement(&mut self, name: &Word, origin: Origin) -> MeasurementId {
        let id = MeasurementId(index(self.p.measurements.len()));
        self.p.measurements.push(Measurement {
            name: name.text.clone(),
            span: name.span,
            origin,
            of: None,
            each: None,
            limits: Vec::new(),
            new: None,
            set: None,
            record: false,
            details: Vec::new(),
            shared: false,
        });
        self.scope.facts.insert(fold_name(&name.text), Fact::Measurement(id));
        id
    }

    fn declare_thing(&mut self, file: usize, entry: &Entry, kind: ThingKind) {
        let folded = fold_name(&entry.name.text);
        if let Some(old) = self.scope.things.get(&folded).copied() {
            let (first, old_kind) = (self.p[old].declared_at.clone(), self.p[old].kind);
            if let Some(same_file) = first.iter().find(|s| s.file == entry.name.span.file) {
                self.duplicate(&entry.name, *same_file, "");
            }
            // `top hose clamp: new if bad` under `parts` adds to a fastener: the clauses of parts are a fastener's too.
            if old_kind != kind && !(old_kind == ThingKind::Fastener && kind == ThingKind::Part) {
                let first = first.first().copied().unwrap_or(entry.name.span);
                self.duplicate(
                    &entry.name,
                    first,
                    &format!(", the second time under `{}`", section_name(entry.section)),
                );
            }
            self.p.things[old.index()].declared_at.push(entry.name.span);
            return;
        }
        self.add_thing(&entry.name, kind, file != 0);
    }

    pub(super) fn add_thing(&mut self, name: &Word, kind: ThingKind, shared: bool) -> ThingId {
        let id = ThingId(index(self.p.things.len()));
        let mut facts = Facts { count: 1, ..Facts::default() };
        match kind {
            ThingKind::Fastener => {
                facts.fastening = Some(crate::procedure::Fastening::default());
                facts.count = 0;
            }
            ThingKind::Fluid => facts.fluid = Some(crate::procedure::FluidFacts::default()),
            _ => {}
        }
        self.p.things.push(Thing {
            name: name.text.clone(),
            span: name.span,
            declared_at: vec![name.span],
            kind,
            each: None,
            exists: Condition::Always,
            facts,
            variants: Vec::new(),
            details: Vec::new(),
            number: None,
            shared,
        });
        self.scope.things.insert(fold_name(&name.text), id);
        id
    }

    fn number_detail(&self, file: usize, id: NodeId) -> Option<String> {
        self.tree(file).children(id).find_map(|(_, n)| match &n.item {
            Item::Detail(Detail { word: DetailWord::Number, value, prose, .. }) => {
                prose.as_ref().or(value.as_ref()).map(|w| w.text.clone())
            }
            _ => None,
        })
    }

    /// Clauses and details of an entry, variants left for later.
    fn declare_facts(&mut self, file: usize, id: NodeId, entry: &Entry) {
        let view = View::new();
        let folded = fold_name(&entry.name.text);
        match entry.section {
            Section::Options => {
                let Some(Fact::Option(option)) = self.scope.facts.get(&folded).copied() else { return };
                for clause in &entry.clauses {
                    if let ClauseKind::OnlyWith(condition) = &clause.kind {
                        let condition = self.condition(&view, condition);
                        self.p.options[option.index()].only_with = Some(condition);
                    }
                }
            }
            Section::Kits => {
                let Some(kit) = self.scope.kits.get(&folded).copied() else { return };
                for clause in &entry.clauses {
                    if let ClauseKind::Values(values) = &clause.kind {
                        for value in values {
                            for piece in self.split_list(&view, &value.text) {
                                if let Some(thing) = self.thing_named(&piece) {
                                    self.p.kits[kit].things.push(thing);
                                }
                                self.p.kits[kit].contents.push(piece);
                            }
                        }
                    }
                }
            }
            Section::Parts | Section::Fasteners | Section::Fluids => {
                let Some(thing) = self.scope.things.get(&folded).copied() else { return };
                let mut facts = std::mem::take(&mut self.p.things[thing.index()].facts);
                for clause in &entry.clauses {
                    self.apply(&view, thing, &mut facts, clause, false);
                }
                self.details_of_thing(&view, file, id, thing, &mut facts);
                self.p.things[thing.index()].facts = facts;
            }
            Section::Measurements => self.measurement_facts(&view, file, id, entry),
            Section::Tools => {
                let Some(tool) = self.tool_named(&entry.name.text) else { return };
                for clause in &entry.clauses {
                    match &clause.kind {
                        ClauseKind::Range(spec) | ClauseKind::Limits(spec) => {
                            // Declared alike in the machine file and in a routine, it is one range.
                            let ranges = &mut self.p.tools[tool.index()].ranges;
                            if !ranges.contains(spec) {
                                ranges.push(spec.clone());
                            }
                        }
                        ClauseKind::Reads(kinds) => self.tool_reads(tool, kinds),
                        ClauseKind::Length(length) => self.p.tools[tool.index()].length = Some(length.clone()),
                        ClauseKind::Unknown => {}
                        _ => self.misplaced(clause, "a tool", "`range 5 to 25 N·m`, `reads force` or `length 400 mm`"),
                    }
                }
                let details = self.details(&view, file, id);
                self.p.tools[tool.index()].details.extend(details);
            }
            Section::Supplies => {
                let Some(supply) = self.supply_named(&entry.name.text) else { return };
                let mut details = self.details(&view, file, id);
                for clause in &entry.clauses {
                    if let ClauseKind::Hazard(name) = &clause.kind
                        && let Some(hazard) = self.hazard_or_tell(name)
                    {
                        // As if its message stood below it.
                        let kind = crate::procedure::DetailKind::Safety {
                            word: hazard.signal(),
                            hazard: Some(hazard),
                            prose: None,
                        };
                        details.push(crate::procedure::Detail { kind, span: clause.span });
                    }
                }
                self.p.supplies[supply.index()].details.extend(details);
            }
            Section::Sets | Section::Acts | Section::Given => {}
        }
    }

    /// A clause that means nothing for what it stands with.
    pub(super) fn misplaced(&mut self, clause: &Clause, what: &str, could: &str) {
        let text = self.sources.text(clause.span).to_owned();
        self.tell(
            Diagnostic::error("bad-syntax", clause.span, format!("'{text}' means nothing for {what}"))
                .label("not here")
                .help(format!("Here could stand {could}.")),
        );
    }

    fn declare_variants(&mut self, file: usize, id: NodeId, entry: &Entry) {
        let view = View::new();
        let bundle = self.bundle;
        let tree = &bundle.files[file].tree;
        for (variant_id, node) in tree.children(id) {
            let Item::Variant { condition } = &node.item else { continue };
            let condition = self.condition(&view, condition);
            match entry.section {
                Section::Parts | Section::Fasteners | Section::Fluids => {
                    let Some(thing) = self.thing_named(&entry.name.text) else { continue };
                    let mut facts = self.p[thing].facts.clone();
                    self.variant_facts(&view, file, variant_id, thing, &mut facts);
                    self.p.things[thing.index()].variants.push((condition, facts));
                }
                Section::Measurements => self.measurement_variant(&view, file, variant_id, entry, condition),
                other => {
                    let span = node.span;
                    self.tell(
                        Diagnostic::error(
                            "bad-syntax",
                            span,
                            format!("an entry of `{}` can't differ by variant", section_name(other)),
                        )
                        .help("Give it a clause `only with …`, or make two entries."),
                    );
                }
            }
        }
    }

    fn variant_facts(&mut self, view: &View, file: usize, id: NodeId, thing: ThingId, facts: &mut Facts) {
        let bundle = self.bundle;
        let tree = &bundle.files[file].tree;
        self.passes_differ(file, id, facts);
        let says =
            |word: DetailWord| tree.children(id).any(|(_, n)| matches!(&n.item, Item::Detail(d) if d.word == word));
        // What a variant says of its own takes the place of what holds elsewhere.
        if says(DetailWord::Orient) {
            facts.orient.clear();
        }
        if let (true, Some(fastening)) = (says(DetailWord::Setting), &mut facts.fastening) {
            fastening.setting.clear();
        }
        if let (true, Some(fluid)) = (says(DetailWord::Spec), &mut facts.fluid) {
            fluid.spec.clear();
        }
        if says(DetailWord::Fragile) {
            facts.fragile.clear();
        }
        for (_, node) in tree.children(id) {
            if let Item::Clauses(clauses) = &node.item {
                for clause in clauses {
                    self.apply(view, thing, facts, clause, true);
                }
            }
        }
        self.details_of_thing(view, file, id, thing, facts);
    }

    /// What a variant says of its torque or its passes takes the place of what holds elsewhere. Shares go on with another
    /// torque, and a torque with other shares.
    fn passes_differ(&self, file: usize, id: NodeId, facts: &mut Facts) {
        let Some(fastening) = &mut facts.fastening else { return };
        let tree = &self.bundle.files[file].tree;
        let lines: Vec<_> = tree
            .children(id)
            .filter_map(|(_, n)| match &n.item {
                Item::Detail(d) if d.word == DetailWord::Pass => Some(d.pass.as_ref()),
                _ => None,
            })
            .collect();
        let mut clauses = tree.children(id).filter_map(|(_, n)| match &n.item {
            Item::Clauses(clauses) => Some(clauses),
            _ => None,
        });
        let clauses: Vec<&ClauseKind> = clauses.by_ref().flatten().map(|c| &c.kind).collect();
        let torque = clauses.iter().find_map(|kind| match kind {
            ClauseKind::Torque(recipe) => Some(recipe.len()),
            _ => None,
        });
        let in_passes = clauses.iter().any(|kind| matches!(kind, ClauseKind::InPasses(_)));
        let shares = lines.iter().flatten().any(|pass| pass.is_share());
        if !lines.is_empty() {
            fastening.passes.clear();
            fastening.in_passes = None;
            if !shares && torque.is_none() {
                fastening.torque.clear();
            }
        } else if in_passes || (torque.is_some() && !super::passes::speaks_of_shares(fastening)) {
            fastening.passes.clear();
        }
        if torque.is_some_and(|stages| stages > 1) && !in_passes {
            fastening.in_passes = None;
            fastening.passes.clear();
        }
    }

    /// `joint of A and B`: the fastener holds both.
    fn hold_joints(&mut self) {
        for i in 0..self.p.things.len() {
            let fastener = ThingId(index(i));
            let joined: Vec<ThingId> =
                self.p.things[i].facts.fastening.as_ref().map(|f| f.joint_of.clone()).unwrap_or_default();
            for thing in joined {
                let held_by = &mut self.p.things[thing.index()].facts.held_by;
                if !held_by.contains(&fastener) {
                    held_by.push(fastener);
                }
            }
        }
    }

    /// What holds only P, or is `part of` P, is there only where P is (language 7.13).
    fn inherit_existence(&mut self) {
        // The depth of nesting bounds how far a condition travels; a circle of `part of` ends with it.
        for _ in 0..8 {
            let mut changed = false;
            for i in 0..self.p.things.len() {
                if self.p.things[i].exists != Condition::Always {
                    continue;
                }
                let id = ThingId(index(i));
                let mut inherited = self.p.things[i].facts.part_of.map(|p| self.p[p].exists.clone());
                if inherited.is_none() && self.p.things[i].facts.fastening.is_some() {
                    let held: Vec<&Thing> = self.p.things.iter().filter(|t| t.facts.held_by.contains(&id)).collect();
                    if let [only] = held[..] {
                        inherited = Some(only.exists.clone());
                    }
                }
                if let Some(condition) = inherited {
                    if condition != Condition::Always {
                        self.p.things[i].exists = condition;
                        changed = true;
                    }
                }
            }
            if !changed {
                return;
            }
        }
    }

    /// Header fields of a file.
    pub(super) fn header(&mut self, file: usize) -> Header {
        let bundle = self.bundle;
        let Some(loaded) = bundle.files.get(file) else { return Header::default() };
        let tree = &loaded.tree;
        let view = View::new();
        let mut header =
            Header { people: 1, title: tree.title.text.clone(), span: tree.title.span, ..Header::default() };
        let mut seen: Vec<(Field, Span)> = Vec::new();
        for root in &tree.roots {
            let Node { item: Item::Header { field, value }, span, .. } = tree.node(*root) else { continue };
            let many = matches!(field, Field::Uses | Field::RuleOut | Field::Allow);
            if let Some((_, first)) = seen.iter().find(|(f, _)| f == field && !many) {
                self.tell(
                    Diagnostic::error("duplicate-name", *span, "this header field stands here twice")
                        .related(*first, "first here")
                        .help("Keep one of the two lines."),
                );
                continue;
            }
            seen.push((*field, *span));
            match field {
                Field::Number => header.number = Some(value.text.clone()),
                // Values that can't be read were told when the line was.
                Field::Revision => header.revision = value.text.trim().parse().ok(),
                Field::Machine => header.machine = Some(value.text.clone()),
                Field::Uses => {}
                Field::Takes => {
                    header.takes = crate::quantity::parse_quantity(&value.text)
                        .ok()
                        .filter(|q| q.kind() == crate::quantity::Kind::Time);
                }
                Field::People => header.people = value.text.trim().parse().ok().filter(|n| *n > 0).unwrap_or(1),
                Field::Reason => header.reason = Some(self.prose(&view, value)),
                Field::RuleOut => {
                    header.rule_out.extend(value.text.split(';').map(|s| s.trim().to_owned()).filter(|s| !s.is_empty()))
                }
                Field::Level => header.level = Some(value.text.clone()),
                Field::LeftIs => header.left_is = Some(value.text.clone()),
                Field::Changed => header.changed = Some(self.prose(&view, value)),
                Field::Allow => {
                    let line = value.text.clone();
                    let (rule, reason) = line.split_once(':').unwrap_or((line.as_str(), ""));
                    self.allow(rule.trim(), reason.trim(), *span, None);
                }
            }
        }
        header
    }

    /// Notes an `allow`; its reason is required.
    pub(super) fn allow(&mut self, rule: &str, reason: &str, span: Span, covers: Option<Span>) {
        if reason.is_empty() {
            self.tell(
                Diagnostic::error("bad-syntax", span, format!("`allow {rule}` needs a reason"))
                    .help(format!("Write why it is right here: `allow {rule}: the maker says so on the plate`.")),
            );
        }
        self.p.allows.push(Allow { rule: rule.to_owned(), reason: reason.to_owned(), span, covers });
    }
}
