//! What stands beside an act: values with their boxes, limits, amounts, times, what is found.

use super::body::Writer;
use super::due::{self, Due};
use super::fastener::{self, Boxes, Doing, Group};
use super::ledger::Taken;
use super::wrench::Tightening;
use super::{both, condition, one};
use crate::procedure::{
    LimitUse, Limits, MeasurementId, Members, Object, Portion, SetId, Step, ThingKind, ThingRef, Verb, VerbGroup,
};
use crate::quantity::{self, Kind, Spec};
use crate::sheet::catalogue as say;
use crate::sheet::content::{Drawing, Value};

impl Writer<'_> {
    pub(super) fn values(&self, step: &Step, taken: &[Taken]) -> Vec<Value> {
        let mut values = Vec::new();
        let undrawn: Vec<&Taken> = taken.iter().collect();
        let with = Tightening::of(self.job, step);
        let several = undrawn.len() > 1 || step.verb == Verb::Drain;
        for group in undrawn {
            let thing = &self.job[group.thing];
            let facts = self.known.facts(thing);
            let Some(fastening) = &facts.fastening else { continue };
            let whole = fastening.count.unwrap_or(facts.count).max(1);
            let (count, positions): (u32, &[u32]) = match &group.portion {
                Portion::Whole => (whole, &[]),
                Portion::Count(count) => (*count, &[]),
                Portion::Positions(positions) => (positions.len() as u32, positions),
            };
            let members: Vec<u32> = group.members.iter().copied().collect();
            let boxes = self.boxes(thing.each, &members);
            let (in_passes, order) = (step.clauses.in_passes, step.clauses.order.as_ref());
            let due = due::at(self.job, step, group.thing);
            // What waits for its torque as a whole is started by hand.
            let waits = due == Due::Early && fastening.tighten_at.is_some();
            let doing = if waits { Doing::Snug } else { group.doing.clone() };
            let group_of = Group {
                thing,
                facts,
                fastening,
                count,
                positions,
                boxes: &boxes,
                in_passes,
                order,
                due,
                named: several,
                with: &with,
            };
            values.extend(fastener::values(&group_of, &doing, &self.known, self.units));
        }
        for object in &step.objects {
            if let Object::Measurement(id, members) = object {
                self.measured(step, *id, *members, &mut values);
            }
        }
        if let Some(work) = &step.work_out {
            self.field(work.result, &self.unit_of(work.result), &[], &mut values);
        }
        let told = matches!(step.verb, Verb::Turn | Verb::Loosen | Verb::Drive);
        if !told {
            for amount in &step.clauses.amounts {
                self.large(amount, &mut values);
            }
        }
        self.fluid_values(step, &mut values);
        self.times(step, &mut values);
        self.looks(step, &mut values);
        let boxed = values.iter().any(has_box);
        if (step.clauses.record || step.verb == Verb::Record) && !boxed {
            values.push(Value::Field { name: String::new(), unit: String::new() });
        }
        if taken.is_empty() && !values.iter().any(has_box) {
            self.pieces(step, &mut values);
        }
        values
    }

    /// Boxes for the members that are worked on: named only where there are several.
    pub(super) fn boxes(&self, set: Option<SetId>, members: &[u32]) -> Boxes {
        match set {
            Some(set) if members.len() > 1 => {
                let names = members.iter().filter_map(|member| self.job[set].members.get(*member as usize).cloned());
                Boxes::Members(names.collect())
            }
            _ => match self.loops.last() {
                // What belongs to no set is still done once for each member of the loop.
                Some(set) if set_is_open(self, *set) => Boxes::Members(self.job[*set].members.clone()),
                _ => Boxes::Plain,
            },
        }
    }

    pub(super) fn large(&self, spec: &Spec, values: &mut Vec<Value>) {
        let printed = quantity::print_spec(spec, self.units);
        let mut words = printed.main.as_str();
        for limit in [say::AT_LEAST_WORDS, say::AT_MOST_WORDS] {
            if let Some(rest) = words.strip_prefix(limit) {
                values.push(Value::Small(vec![limit.trim().to_owned()]));
                words = rest.trim_start_matches(['\u{a0}', ' ']);
            }
        }
        values.push(Value::Large(words.to_owned()));
        values.extend(printed.other.map(|other| Value::Small(vec![other])));
    }

    /// Limits and boxes of a measurement.
    fn measured(&self, step: &Step, id: MeasurementId, members: Members, values: &mut Vec<Value>) {
        let measurement = &self.job[id];
        let declared = measurement
            .limits
            .iter()
            .rev()
            .find(|(condition, _)| self.known.holds(condition) == Some(true))
            .map(|(_, limits)| limits);
        let own = step.clauses.limits.as_ref();
        if let Some(limits) = own.map(|LimitUse { limits, .. }| limits).or(declared) {
            self.limits(limits, values);
        }
        for (condition, limits) in &measurement.limits {
            if own.is_none() && self.known.holds(condition).is_none() {
                let rest = condition::words(self.job, &self.known.rest(condition));
                values.push(Value::Title(format!("{} {rest}", say::WITH)));
                self.limits(limits, values);
            }
        }
        let mut facts = Vec::new();
        let new = own.and_then(|limits| limits.new.as_ref()).or(measurement.new.as_ref());
        facts.extend(new.map(|new| format!("{} {}", say::NEW, both(new, self.units))));
        facts.extend(measurement.set.as_ref().map(|set| format!("{} {}", say::SET_TO, both(set, self.units))));
        if !facts.is_empty() {
            values.push(Value::Small(facts));
        }
        let members = match (measurement.each, members) {
            (None, _) => Vec::new(),
            (Some(_), Members::One(member)) => vec![member],
            (Some(set), _) => self.open_members(set),
        };
        let unit = match (self.unit_of(id), own.map(|own| &own.limits)) {
            (unit, Some(limits)) if unit.is_empty() => self.unit_of_limits(limits),
            (unit, _) => unit,
        };
        self.field(id, &unit, &members, values);
    }

    fn unit_of_limits(&self, limits: &Limits) -> String {
        match limits {
            Limits::Spec(spec) => unit_of_spec(spec, self.units),
            Limits::WithinOf { amount, .. } => unit_of_spec(&Spec::Exactly(amount.clone()), self.units),
            Limits::AtLeast(of) | Limits::AtMost(of) => self.unit_of(*of),
        }
    }

    fn field(&self, id: MeasurementId, unit: &str, members: &[u32], values: &mut Vec<Value>) {
        let set = self.job[id].each;
        let boxes = self.boxes(set, members);
        let fields: Vec<String> = match boxes {
            Boxes::Plain => vec![String::new()],
            Boxes::Members(names) => names,
        };
        values.extend(fields.into_iter().map(|name| Value::Field { name, unit: unit.to_owned() }));
    }

    /// The unit that the value is written in: that of its limits.
    fn unit_of(&self, id: MeasurementId) -> String {
        let measurement = &self.job[id];
        let limits = measurement.limits.iter().map(|(_, limits)| limits);
        let spec = limits
            .filter_map(|limits| match limits {
                Limits::Spec(spec) => Some(spec.clone()),
                Limits::WithinOf { amount, .. } => Some(Spec::Exactly(amount.clone())),
                Limits::AtLeast(_) | Limits::AtMost(_) => None,
            })
            .chain(measurement.new.clone())
            .chain(measurement.set.clone())
            .next();
        spec.map(|spec| unit_of_spec(&spec, self.units)).unwrap_or_default()
    }

    fn limits(&self, limits: &Limits, values: &mut Vec<Value>) {
        match limits {
            Limits::Spec(spec) => self.large(spec, values),
            Limits::WithinOf { amount, of } if amount.value.is_zero() => {
                values.push(Value::Large(say::THE_SAME.to_owned()));
                values.push(Value::Small(vec![format!("{} {}", say::AS, self.job[*of].name)]));
            }
            Limits::WithinOf { amount, of } => {
                let printed = quantity::print(amount, self.units);
                values.push(Value::Large(format!("±\u{a0}{}", printed.main)));
                let other = printed.other.map(|other| format!("±\u{a0}{other}"));
                values.push(Value::Small(
                    other.into_iter().chain([format!("{} {}", say::OF, self.job[*of].name)]).collect(),
                ));
            }
            Limits::AtLeast(of) => {
                values.push(Value::Title(format!(
                    "{} {}",
                    say::AT_LEAST_WORDS.replace('\u{a0}', " ").trim(),
                    self.job[*of].name
                )));
            }
            Limits::AtMost(of) => {
                values.push(Value::Title(format!("{} {}", say::AT_MOST, self.job[*of].name)));
            }
        }
    }

    fn times(&self, step: &Step, values: &mut Vec<Value>) {
        if let Some(time) = &step.clauses.for_time {
            values.push(Value::Large(one(time, self.units)));
        }
        let timed = step.clauses.for_time.is_some() && step.verb != Verb::Drive;
        if step.verb == Verb::Wait || timed || step.clauses.within.is_some() {
            match self.boxes(None, &[]) {
                Boxes::Plain => values.push(Value::Field { name: say::BEGAN_AT.to_owned(), unit: String::new() }),
                Boxes::Members(names) => {
                    values.push(Value::Small(vec![say::BEGAN_AT.to_owned()]));
                    values.extend(names.into_iter().map(|name| Value::Field { name, unit: String::new() }));
                }
            }
        }
    }

    /// Boxes for what is found: answers, good and bad.
    fn looks(&self, step: &Step, values: &mut Vec<Value>) {
        if let Some(ask) = step.ask {
            let answers = &self.job[ask].answers;
            match self.boxes(None, &[]) {
                Boxes::Plain => values.extend(answers.iter().map(|answer| Value::Named(answer.clone(), 1))),
                Boxes::Members(names) => {
                    for name in names {
                        values.push(Value::Title(name));
                        values.extend(answers.iter().map(|answer| Value::Named(answer.clone(), 1)));
                    }
                }
            }
        }
        if step.verb != Verb::Inspect {
            return;
        }
        let judged: Vec<&ThingRef> = step.things().filter(|reference| self.judged.contains(&reference.thing)).collect();
        let several = judged.len() > 1;
        for reference in judged {
            let thing = &self.job[reference.thing];
            let members = self.shop().members(reference);
            let heads = match self.boxes(thing.each, &members) {
                Boxes::Members(names) => names,
                Boxes::Plain if several => vec![thing.name.clone()],
                Boxes::Plain => vec![String::new()],
            };
            for head in heads {
                if !head.is_empty() {
                    values.push(Value::Title(head));
                }
                values.push(Value::Named(say::GOOD.to_owned(), 1));
                values.push(Value::Named(say::BAD.to_owned(), 1));
            }
        }
    }

    /// A box for each piece and each member, where no fastener has brought them.
    fn pieces(&self, step: &Step, values: &mut Vec<Value>) {
        let mut any = false;
        let handles = step.verb.group() != VerbGroup::Work;
        let several = handles && step.things().count() > 1;
        // Looking, cleaning and the like is one act for all that is named.
        for reference in step.things().take(if handles { usize::MAX } else { 1 }) {
            let thing = &self.job[reference.thing];
            if thing.kind == ThingKind::Fluid {
                continue;
            }
            let facts = self.known.facts(thing);
            let count = match reference.portion {
                Portion::Count(count) => count,
                _ if handles => facts.count.max(1),
                _ => 1,
            };
            let boxes = self.boxes(thing.each, &self.shop().members(reference));
            if count > 1 || matches!(boxes, Boxes::Members(_)) {
                if several {
                    values.push(Value::Title(thing.name.clone()));
                }
                values.extend(boxes.counted(count as usize));
                any = true;
            }
        }
        if let (false, Boxes::Members(names)) = (any, self.boxes(None, &[])) {
            values.extend(names.into_iter().map(|name| Value::Named(name, 1)));
        }
    }
}

/// Takes a row of many fields out of the narrow column: they stand side by side below the act.
pub(super) fn wide_fields(values: &mut Vec<Value>) -> Option<Drawing> {
    let named = |value: &Value| matches!(value, Value::Field { name, .. } if !name.is_empty());
    let start = values.iter().position(named)?;
    let count = values[start..].iter().take_while(|value| named(value)).count();
    if count < MANY_FIELDS {
        return None;
    }
    let mut names = Vec::new();
    let mut unit = String::new();
    for value in values.drain(start..start + count) {
        if let Value::Field { name, unit: of } = value {
            names.push(name);
            unit = of;
        }
    }
    Some(Drawing::Fields { names, unit })
}

/// From so many fields on they stand below the act.
const MANY_FIELDS: usize = 3;

/// Whether the loop is about all members here, not narrowed to one.
fn set_is_open(writer: &Writer<'_>, set: SetId) -> bool {
    writer.known.narrowed.iter().all(|(narrowed, _)| *narrowed != set)
}

fn has_box(value: &Value) -> bool {
    matches!(value, Value::Counted(_) | Value::Ticks(_) | Value::Named(..) | Value::Field { .. })
}

/// The unit beside a box: that of the value in the reader's system.
fn unit_of_spec(spec: &Spec, units: quantity::System) -> String {
    if spec.kind() == Kind::Count && spec.unit().known().is_none() {
        return spec.unit().symbol().to_owned();
    }
    let main = quantity::print_spec(spec, units).main;
    let unit = main.rsplit(['\u{a0}', '\u{202f}', ' ']).next().unwrap_or_default();
    unit.trim_start_matches(|c: char| c.is_ascii_digit() || ".,−-/".contains(c)).to_owned()
}
