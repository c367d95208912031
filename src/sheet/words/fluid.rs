//! Fluids: how much to have ready, what it is mixed of, and what catches what runs out.

use super::body::Writer;
use super::gather::note;
use super::lists::tick;
use super::{both, condition, one, sentence, words_of};
use crate::procedure::{Facts, FluidFacts, FluidKind, Step, ThingId, Verb};
use crate::quantity::{self, Kind, Known, Number, Quantity, Rounding, Spec, System, Written};
use crate::sheet::catalogue as say;
use crate::sheet::content::{Tick, Value, Words};
use crate::trade::coolant::{self, water};

/// The lines of 'Have ready'.
pub(super) fn lines(writer: &Writer<'_>) -> Vec<Tick> {
    let mut lines = Vec::new();
    for (id, amounts) in &writer.gather.filled {
        let thing = &writer.job[*id];
        let Some(fluid) = &writer.known.facts(thing).fluid else { continue };
        let amount = total(amounts);
        lines.push(line(writer, *id, &thing.name, fluid, amount.as_ref()));
        for (rest, facts) in writer.known.open_variants(thing) {
            let Some(other) = facts.fluid.as_ref().filter(|other| differs(fluid, other)) else { continue };
            // What an act states holds for every variant; else each takes what runs out of it.
            let own = amount.as_ref().filter(|amount| fluid.runs_out().is_none_or(|q| !q.same_as(amount)));
            let name = format!("{}, {} {}", thing.name, say::WITH, condition::words(writer.job, &rest));
            lines.push(line(writer, *id, &name, other, own.or(other.runs_out()).filter(|_| amount.is_some())));
        }
    }
    lines
}

fn line(writer: &Writer<'_>, id: ThingId, name: &str, fluid: &FluidFacts, amount: Option<&Quantity>) -> Tick {
    let thing = &writer.job[id];
    let shown = amount.map(|amount| one(amount, writer.units)).unwrap_or_default();
    let mut line = tick(name, Some(thing.span), shown);
    let mut below: Vec<String> = Vec::new();
    for prose in &fluid.spec {
        below.push(sentence::capital(&words_of(writer.job, prose, writer.units).text()));
    }
    if amount.is_none() {
        below.push(say::TO_TOP_UP.to_owned());
    }
    below.extend(described(&writer.let_out(id, fluid, amount), amount, writer.units));
    if below.iter().any(|line| line.contains(say::CONCENTRATE_AND)) && !says_which_water(fluid) {
        below.push(say::THE_WATER.to_owned());
    }
    let text = below.iter().map(|line| line.trim_end_matches('.')).collect::<Vec<_>>().join(". ");
    line.below = (!text.is_empty()).then(|| Words::plain(text, Some(thing.span)));
    line
}

/// Whether a variant takes another amount or another mix.
fn differs(one: &FluidFacts, other: &FluidFacts) -> bool {
    let of = |fluid: &FluidFacts| {
        (
            fluid.capacity.clone(),
            fluid.drains.clone(),
            fluid.mix.clone(),
            fluid.old_mix.clone(),
            fluid.protects_to.clone(),
            fluid.kind,
        )
    };
    of(one) != of(other)
}

/// Sentences without full stops: the amount in the other units, what it is mixed of, what stays in, the whole system.
fn described(fluid: &FluidFacts, amount: Option<&Quantity>, units: System) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(amount) = amount {
        let printed = quantity::print(amount, units);
        said.extend(printed.other.map(|other| format!("{} = {other}", printed.main)));
    }
    let parts = amount.and_then(|amount| mixed(fluid, amount, units)).map(|parts| parts.join(say::CONCENTRATE_AND));
    let strength = strength(fluid, units);
    // What is only topped up was never let out.
    match (fluid.glycol(), fluid.stays().filter(|_| amount.is_some()), &fluid.old_mix) {
        (Some(_), Some(stays), Some(old)) => {
            let stays = format!("{} {old} {}", of(&stays, units), say::STAY_IN, old = one(old, units));
            said.push(match (fluid.refill(), &fluid.mix) {
                (Some(Err(_)), Some(mix)) => format!("{stays}: {} {}", say::NO_WAY, one(mix, units)),
                _ => match parts {
                    Some(parts) => format!("{stays}: {} {parts}", say::POUR),
                    None => stays,
                },
            });
            said.extend(strength.map(|strength| sentence::capital(&format!("{} {strength}", say::WHOLE_BECOMES))));
        }
        (Some(_), Some(stays), None) => {
            said.extend(strength.map(|strength| super::join(&[&strength, parts.as_deref().unwrap_or_default()], ": ")));
            said.push(format!("{} {}", one(&stays, units), say::STAY_IN_AS_THEY_ARE));
            said.extend(amount.and_then(|amount| by_strength(fluid, amount, units)));
        }
        (Some(_), None, _) => {
            said.extend(strength.map(|strength| super::join(&[&strength, parts.as_deref().unwrap_or_default()], ": ")));
        }
        (None, ..) => {}
    }
    if let Some(capacity) = fluid.capacity.as_ref().filter(|whole| amount.is_none_or(|amount| !amount.same_as(whole))) {
        let whole = one(capacity, units);
        // Filled from dry, whatever stays in now.
        let dry = FluidFacts { drains: None, old_mix: None, ..fluid.clone() };
        said.push(match mixed(&dry, capacity, units) {
            Some(parts) => format!("{} {whole}: {}", say::WHOLE_SYSTEM, parts.join(say::CONCENTRATE_AND)),
            None => format!("{} {whole}", say::WHOLE_SYSTEM),
        });
    }
    said
}

/// `2.4 L of`
fn of(amount: &Quantity, units: System) -> String {
    format!("{} {}", one(amount, units), say::OF)
}

/// `40 % by volume, protects to −24 °C`: as the author says, else as the tables have it.
fn strength(fluid: &FluidFacts, units: System) -> Option<String> {
    let glycol = fluid.glycol()?;
    let whole = fluid.whole_share()?;
    let shown =
        Quantity { value: whole.value.rounded(1, Rounding::Nearest).written_as(Written::Computed), ..whole.clone() };
    let as_meant = fluid.mix.as_ref().is_some_and(|mix| mix.same_as(&whole));
    let protects = match &fluid.protects_to {
        Some(stated) if as_meant => {
            Some(format!("{} {}", say::PROTECTS_TO, both(&Spec::Exactly(stated.clone()), units)))
        }
        _ => coolant::freezing_temperature(glycol, &whole)
            .map(|freezes| format!("{} {}", say::FREEZES_AT, both(&Spec::Exactly(freezes), units))),
    };
    let ready = if fluid.comes_mixed() { say::READY_MIXED } else { "" };
    let share = format!("{} {}", one(&shown, units), say::BY_VOLUME);
    Some(super::join(&[&share, protects.as_deref().unwrap_or_default(), ready], ", "))
}

/// Whether the specification says which water.
fn says_which_water(fluid: &FluidFacts) -> bool {
    fluid.spec.iter().flat_map(|prose| &prose.parts).any(|part| match part {
        crate::procedure::ProsePart::Text(text) => water::names_right(text),
        _ => false,
    })
}

fn total(amounts: &[Spec]) -> Option<Quantity> {
    let mut amounts = amounts.iter().filter_map(Spec::target);
    let first = amounts.next()?.clone();
    amounts.try_fold(first, |sum, next| sum.plus(next))
}

/// Concentrate and water for an amount that is poured; nothing for a fluid that is bought ready mixed.
///
/// Rounded to what a jug can measure; the water is the rest, so that together they are the amount.
fn mixed(fluid: &FluidFacts, amount: &Quantity, units: System) -> Option<[String; 2]> {
    fluid.glycol()?;
    if fluid.comes_mixed() {
        return None;
    }
    let mix = coolant::mix(amount, &fluid.poured_share()?)?;
    let (concentrate, water) = measurable(&mix.concentrate, amount)?;
    Some([
        format!("{}\u{a0}{}", one(&concentrate, units), say::CONCENTRATE),
        format!("{}\u{a0}{}", one(&water, units), say::WATER),
    ])
}

/// What a jug can measure of `part`, and the rest of the amount.
fn measurable(part: &Quantity, amount: &Quantity) -> Option<(Quantity, Quantity)> {
    let decimals = if amount.unit.known() == Some(Known::Millilitre) { 0 } else { 2 };
    let value = part.value.rounded(decimals, Rounding::Nearest).written_as(Written::Computed);
    let part = Quantity { value, unit: amount.unit.clone() };
    let rest = amount.minus(&part)?;
    let rest = Quantity { value: rest.value.written_as(Written::Computed), ..rest };
    Some((part, rest))
}

/// What stays in may have any strength: concentrate and water for those that a refractometer is likely to show, so that nobody works it out on
/// the back of the sheet.
fn by_strength(fluid: &FluidFacts, amount: &Quantity, units: System) -> Option<String> {
    let mix = fluid.mix.as_ref()?;
    let mut pours = Vec::new();
    for old in [20, 30, 40, 50] {
        let old = Quantity::new(Number::whole(old), Known::Percent);
        if old.same_as(mix) || old.compare(mix) == Some(std::cmp::Ordering::Greater) {
            continue;
        }
        let at = FluidFacts { old_mix: Some(old.clone()), ..fluid.clone() };
        let pour = match at.refill()? {
            Ok(_) => {
                let mixed = coolant::mix(amount, &at.poured_share()?)?;
                let (concentrate, water) = measurable(&mixed.concentrate, amount)?;
                format!("{}{}{}", one(&concentrate, units), say::CONCENTRATE_AND, one(&water, units))
            }
            Err(_) => say::DRAIN_MORE.to_owned(),
        };
        pours.push(format!("{}: {pour}", one(&old, units)));
    }
    (!pours.is_empty()).then(|| format!("{} {}", say::CONCENTRATE_AND_WATER, pours.join("; ")))
}

/// What a tray must hold for a fluid that is drained; gases and what is weighed go elsewhere.
fn needs_tray(facts: &Facts) -> Option<&Quantity> {
    let fluid = facts.fluid.as_ref()?;
    let caught = !matches!(
        fluid.kind,
        Some(FluidKind::CompressedAir | FluidKind::Refrigerant | FluidKind::Grease | FluidKind::BatteryAcid)
    );
    fluid.runs_out().filter(|amount| caught && amount.kind() == Kind::Volume)
}

impl Writer<'_> {
    /// The fluid as it is let out in this job: altogether, the part that `drain coolant, 2 L` states, or, where it is never drained, what goes in
    /// again.
    fn let_out(&self, id: ThingId, fluid: &FluidFacts, amount: Option<&Quantity>) -> FluidFacts {
        if let Some(part) = self.job.part_let_out(id) {
            return fluid.where_only(part);
        }
        let less = |amount: &&Quantity| {
            fluid.runs_out().and_then(|whole| amount.compare(whole)) == Some(std::cmp::Ordering::Less)
        };
        match amount.filter(less) {
            Some(amount) if self.job.drained_by(id).is_empty() => fluid.where_only(amount),
            _ => fluid.clone(),
        }
    }

    /// What an act of draining lets out: as it states, else as declared (of variants that are open the most).
    fn lets_out(&self, step: &Step) -> Option<Quantity> {
        if step.verb != Verb::Drain {
            return None;
        }
        let reference = step.things().next()?;
        let thing = &self.job[reference.thing];
        let open = self.known.open_variants(thing);
        let all = open.iter().map(|(_, facts)| *facts).chain([self.known.facts(thing)]);
        let most = all.filter_map(needs_tray).max_by(|a, b| a.to_si().cmp(&b.to_si()))?;
        let stated = step.clauses.amounts.iter().find_map(Spec::target).filter(|q| q.kind() == Kind::Volume);
        Some(stated.unwrap_or(most).clone())
    }

    /// Trays that are used, and those that nobody gave a size: they hold at least what runs out.
    pub(super) fn note_tray(&mut self, step: &Step) {
        let least = self.lets_out(step).map(Spec::AtLeast);
        match &step.clauses.into {
            Some(tray) => {
                let holds = tray.volume.clone().map(Spec::Exactly).or(least);
                note(&mut self.gather.trays, (tray.what.clone(), holds));
            }
            None => {
                if least.is_some() {
                    note(&mut self.gather.trays, (say::DRAIN_TRAY.to_owned(), least));
                }
            }
        }
    }

    /// What runs out and what must catch it, what goes in, what it is mixed of.
    pub(super) fn fluid_values(&self, step: &Step, values: &mut Vec<Value>) {
        for reference in step.things() {
            let thing = &self.job[reference.thing];
            let Some(fluid) = &self.known.facts(thing).fluid else { continue };
            let open = self.known.open_variants(thing);
            let others = || open.iter().filter_map(|(rest, facts)| Some((rest, facts.fluid.as_ref()?)));
            let title = |rest| Value::Title(format!("{} {}", say::WITH, condition::words(self.job, rest)));
            let stated = step.clauses.amounts.first().and_then(Spec::target);
            match step.verb {
                Verb::Drain => {
                    let about = |fluid: &FluidFacts| {
                        let drains = fluid.drains.clone().filter(|_| stated.is_none())?;
                        Some(Value::Small(vec![format!("{} {}", say::ABOUT, both(&Spec::Exactly(drains), self.units))]))
                    };
                    values.extend(about(fluid));
                    for (rest, other) in others().filter(|(_, other)| other.drains != fluid.drains) {
                        if let Some(about) = about(other) {
                            values.extend([title(rest), about]);
                        }
                    }
                    let unsized_tray = step.clauses.into.as_ref().is_none_or(|tray| tray.volume.is_none());
                    if let Some(least) = self.lets_out(step).filter(|_| unsized_tray) {
                        let what = step.clauses.into.as_ref().map_or(say::DRAIN_TRAY, |tray| tray.what.as_str());
                        let words = format!("{what} {} {}", say::OF, both(&Spec::AtLeast(least), self.units));
                        values.push(Value::Small(vec![words]));
                    }
                }
                Verb::Fill => {
                    self.goes_in(reference.thing, fluid, stated, values);
                    for (rest, other) in others().filter(|(_, other)| differs(fluid, other)) {
                        let mut own = Vec::new();
                        self.goes_in(reference.thing, other, stated, &mut own);
                        if !own.is_empty() {
                            values.push(title(rest));
                            values.extend(own);
                        }
                    }
                }
                _ => {}
            }
        }
    }

    fn goes_in(&self, id: ThingId, fluid: &FluidFacts, stated: Option<&Quantity>, values: &mut Vec<Value>) {
        // What the act states is printed with the act's amounts.
        if let (None, Some(runs_out)) = (stated, fluid.runs_out()) {
            self.large(&Spec::Exactly(runs_out.clone()), values);
        }
        if let Some(amount) = stated.or(fluid.runs_out()) {
            let now = self.let_out(id, fluid, Some(amount));
            values.extend(mixed(&now, amount, self.units).map(|parts| Value::Small(parts.into())));
        }
    }
}
