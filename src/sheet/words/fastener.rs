//! What the value column says of a group of fasteners.

use super::due::Due;
use super::wrench::{Tightening, at_the_bolt};
use super::{condition, one, plan};
use crate::procedure::{
    Drive, Facts, Fastening, InPasses, Lubrication, Order, Pass, PassAction, PassChoice, Size, SlotAlign, Thing,
};
use crate::quantity::{self, Number, Quantity, Spec, System};
use crate::sheet::catalogue as say;
use crate::sheet::content::Value;
use crate::sheet::words::ways::Known;

/// What the act does with the group.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Doing {
    /// Takes it out, loosens it.
    Undo,
    /// Puts it in by hand.
    Start,
    /// Puts it in and tightens it to its value, or one stage of it.
    Tighten(Option<PassChoice>),
    /// Tightens it by hand only.
    Snug,
}

/// The boxes of an act: for each member by its name, or just so many.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Boxes {
    /// No set.
    Plain,
    /// One row a member.
    Members(Vec<String>),
}

impl Boxes {
    /// So many boxes, for each member.
    pub(super) fn of(&self, count: usize) -> Vec<Value> {
        match self {
            _ if count == 0 => Vec::new(),
            Self::Plain => vec![Value::Ticks(count)],
            Self::Members(names) => names.iter().map(|name| Value::Named(name.clone(), count)).collect(),
        }
    }
}

impl Boxes {
    /// How many there are, with their boxes.
    pub(super) fn counted(&self, count: usize) -> Vec<Value> {
        match self {
            Self::Plain => vec![Value::Counted(count)],
            Self::Members(_) => {
                let large = (count > 1).then(|| Value::Large(format!("{count}\u{a0}×")));
                large.into_iter().chain(self.of(count)).collect()
            }
        }
    }
}

/// The group as an act needs it.
pub(super) struct Group<'a> {
    pub thing: &'a Thing,
    pub facts: &'a Facts,
    pub fastening: &'a Fastening,
    /// How many of it, for one member.
    pub count: u32,
    /// The positions meant; empty: all.
    pub positions: &'a [u32],
    pub boxes: &'a Boxes,
    /// In how many passes the act is done.
    pub in_passes: Option<InPasses>,
    /// The act's own order.
    pub order: Option<&'a Order>,
    /// What of the recipe is due.
    pub due: Due,
    /// Its name stands above, since there are several.
    pub named: bool,
    /// The wrenches and the crow-foot it is tightened with.
    pub with: &'a Tightening<'a>,
}

/// More passes than this get no boxes of their own.
const MOST_PASSES: u32 = 6;

/// The lines of the value column.
pub(super) fn values(group: &Group<'_>, doing: &Doing, known: &Known<'_>, units: System) -> Vec<Value> {
    let mut values = Vec::new();
    if group.named {
        values.push(Value::Title(group.thing.name.clone()));
    }
    let count = group.count as usize;
    match doing {
        Doing::Undo | Doing::Start => {
            match group.in_passes {
                Some(InPasses { count: passes, .. }) if passes > 1 && *doing == Doing::Undo => {
                    values.push(Value::Large(format!("{count}\u{a0}×")));
                    for number in 1..=passes.min(MOST_PASSES) {
                        let pass = format!("{}\u{a0}{number}", say::PASS);
                        match group.boxes {
                            Boxes::Plain => values.push(Value::Named(pass, count)),
                            members => {
                                values.push(Value::Title(pass));
                                values.extend(members.of(count));
                            }
                        }
                    }
                }
                _ => values.extend(group.boxes.counted(count)),
            }
            let mut facts = group.sizes(false);
            facts.extend(group.fastening.drive.as_ref().map(self::drive));
            facts.retain(|fact| !fact.is_empty());
            if *doing == Doing::Start && (group.facts.single_use || group.facts.new) {
                facts.push(say::NEW_ONES.to_owned());
            }
            facts.extend(group.fastening.left_hand.then(|| say::LEFT_HAND.to_owned()));
            values.push(Value::Small(facts));
        }
        Doing::Snug => {
            values.push(Value::Large(say::BY_HAND.to_owned()));
            let mut facts = group.sizes(true);
            facts.extend(group.fastening.drive.as_ref().map(self::drive));
            values.push(Value::Small(facts));
            values.extend(group.boxes.of(count));
        }
        Doing::Tighten(choice) => {
            tightened(&mut values, group, group.fastening, *choice, units);
            for (rest, facts) in known.open_variants(group.thing) {
                let Some(other) = &facts.fastening else { continue };
                if other.passes != group.fastening.passes {
                    let name = condition::words(known.job(), &rest);
                    values.push(Value::Title(format!("{} {name}", say::WITH)));
                    tightened(&mut values, group, other, *choice, units);
                }
            }
        }
    }
    values
}

fn tightened(
    values: &mut Vec<Value>,
    group: &Group<'_>,
    fastening: &Fastening,
    choice: Option<PassChoice>,
    units: System,
) {
    let count = group.count as usize;
    let all = &*fastening.stages(group.in_passes.filter(|_| choice.is_none()));
    let from = match choice {
        None => 0,
        Some(PassChoice::Number(number)) => (number as usize).saturating_sub(1),
        Some(PassChoice::Last) => all.len().saturating_sub(1),
    };
    let worked = chosen(all, choice).iter().enumerate().map(|(index, pass)| (from + index, pass));
    let (passes, waiting): (Vec<(usize, &Pass)>, Vec<_>) = worked.partition(|(_, pass)| group.due.holds(pass));
    // With a crow-foot the largest thing is what the wrench is set to.
    let set: Vec<Pass> = passes
        .iter()
        .map(|(_, pass)| Pass {
            action: group.with.setting(&pass.action).unwrap_or(pass.action.clone()),
            ..(*pass).clone()
        })
        .collect();
    let is_set = passes.iter().zip(&set).any(|((_, pass), set)| pass.action != set.action);
    let shown: Vec<(usize, &Pass)> = passes.iter().map(|(index, _)| *index).zip(&set).collect();
    if is_set {
        values.push(Value::Title(say::SET_THE_WRENCH_TO.to_owned()));
    }
    let mut facts = Vec::new();
    let counted = passes.is_empty() && waiting.is_empty() && fastening.setting.is_empty();
    match shown.as_slice() {
        [] if counted => values.extend(group.boxes.counted(count)),
        [] => values.push(Value::Large(say::AS_SAID.to_owned())),
        [(_, only)] => {
            let (main, other) = action(&only.action, units);
            values.push(Value::Large(main));
            facts.extend(other);
            facts.extend(only.at.as_ref().map(|at| format!("{} {}", say::WITH, at.text)));
        }
        _ => {
            let (main, other) = summary(&shown, units);
            values.push(Value::Large(main));
            facts.extend(other);
        }
    }
    if is_set {
        let last = passes.iter().rev().find(|(_, pass)| matches!(pass.action, PassAction::Torque(_)));
        let bolt = last.or(passes.last()).map(|(_, pass)| at_the_bolt(&pass.action, units)).unwrap_or_default();
        values.push(Value::Small(std::mem::take(&mut facts)));
        values.push(Value::Small(bolt));
    }
    let wrench = group.with.wrench(passes.iter().map(|(_, pass)| &pass.action));
    let each_its_own = wrench.is_none();
    facts.extend(wrench);
    facts.extend(fastening.drive.as_ref().map(self::drive));
    // The count is told large where there is no value.
    facts.extend(group.sizes(!counted));
    facts.retain(|fact| !fact.is_empty());
    facts.extend(manner(group.facts, fastening, units));
    if group.due == Due::Early {
        let later = waiting.iter().find_map(|(_, pass)| pass.at.as_ref());
        facts.extend(later.map(|at| format!("{} {}", say::THE_REST_WITH, at.text)));
    }
    values.push(Value::Small(facts));
    if counted {
        return;
    }
    if passes.len() <= 1 {
        let meant = passes.first().map_or(count, |(_, pass)| boxes_of(pass, group));
        values.extend(group.boxes.of(meant));
        return;
    }
    let plan = plan::Group {
        fastening,
        count: fastening.count.unwrap_or(group.facts.count),
        chosen: group.positions,
        order: group.order,
        reversed: false,
    };
    for (at, (index, pass)) in shown.iter().enumerate() {
        let (main, other) = action(&pass.action, units);
        let mut beside: Vec<String> = other.into_iter().collect();
        let at_bolt = all.get(*index).filter(|at_bolt| is_set && at_bolt.action != pass.action);
        beside.extend(at_bolt.and_then(|at_bolt| at_the_bolt(&at_bolt.action, units).into_iter().next()));
        let own = all.get(*index).filter(|_| each_its_own).map(|at_bolt| &at_bolt.action);
        beside.extend(group.with.wrench(own.into_iter()));
        let part = |share: &&Quantity| share.value < Number::whole(100);
        beside.extend(pass.share.as_ref().filter(part).map(|share| share.to_string().replace(' ', "\u{a0}")));
        if !pass.positions.is_empty() {
            beside.push(plan.meant(&pass.positions));
        }
        let before: Vec<&Pass> = shown[..at].iter().map(|(_, pass)| *pass).collect();
        beside.extend(plan::of_pass(pass, &before, all, fastening));
        beside.extend(pass.at.as_ref().map(|at| format!("{} {}", say::WITH, at.text)));
        values.push(Value::Pass { number: *index + 1, main, beside });
        values.extend(group.boxes.of(boxes_of(pass, group)));
    }
}

/// The stages that an act works.
pub(super) fn chosen(all: &[Pass], choice: Option<PassChoice>) -> &[Pass] {
    let from = match choice {
        None => return all,
        Some(PassChoice::Number(number)) => (number as usize).saturating_sub(1),
        Some(PassChoice::Last) => all.len().saturating_sub(1),
    };
    all.get(from..(from + 1).min(all.len())).unwrap_or_default()
}

fn boxes_of(pass: &Pass, group: &Group<'_>) -> usize {
    if pass.positions.is_empty() {
        return group.count as usize;
    }
    let meant = |position: &&u32| group.positions.is_empty() || group.positions.contains(position);
    pass.positions.iter().filter(meant).count()
}

/// What the recipe comes to: the last torque and the turns after it.
fn summary(passes: &[(usize, &Pass)], units: System) -> (String, Option<String>) {
    let mut parts = Vec::new();
    let mut other = None;
    for pass in ends_at(passes.iter().map(|(_, pass)| *pass)) {
        let (main, converted) = match &pass.action {
            // In the sum a check is the value it checks.
            PassAction::Check(spec) => action(&PassAction::Torque(spec.clone()), units),
            other => action(other, units),
        };
        if parts.is_empty() {
            other = converted;
        }
        parts.push(main);
    }
    (parts.join(" + "), other)
}

/// The stages that add up to how the whole group is left: its last torque, and what comes after it. A stage of some
/// positions only counts where none is about all of them.
pub(super) fn ends_at<'p>(passes: impl Iterator<Item = &'p Pass> + Clone) -> Vec<&'p Pass> {
    let of_all = |pass: &&Pass| pass.positions.is_empty();
    let whole: Vec<&Pass> = match passes.clone().any(|pass| of_all(&pass)) {
        true => passes.filter(of_all).collect(),
        false => passes.collect(),
    };
    let is_value = |pass: &Pass| matches!(pass.action, PassAction::Torque(_) | PassAction::Check(_));
    let from = whole.iter().rposition(|pass| is_value(pass)).unwrap_or(0);
    whole.into_iter().skip(from).collect()
}

/// One stage: what it says, and its conversion.
pub(super) fn action(action: &PassAction, units: System) -> (String, Option<String>) {
    let value = |spec: &Spec| {
        let printed = quantity::print_spec(spec, units);
        (printed.main, printed.other)
    };
    match action {
        PassAction::Torque(spec) => value(spec),
        PassAction::Check(spec) => {
            let (main, other) = value(spec);
            (format!("{} {main}", say::CHECK), other)
        }
        PassAction::Turn(angle) => (one(angle, units), None),
        PassAction::HandTight => (say::HAND_TIGHT.to_owned(), None),
        PassAction::Slacken => (say::SLACKEN.to_owned(), None),
    }
}

impl Group<'_> {
    /// `5 × M10 × 20`, each size with its count; without the count where all are of one size and it is told large.
    fn sizes(&self, counted: bool) -> Vec<String> {
        let so_many = |count: usize, size: &str| format!("{count}\u{a0}×\u{a0}{size}");
        let fastening = self.fastening;
        let whole = fastening.count.unwrap_or(self.facts.count);
        // Of `2 of head bolts` nobody knows which.
        let known = !self.positions.is_empty() || self.count == whole;
        let meant = |position: &&u32| self.positions.is_empty() || self.positions.contains(position);
        let others: Vec<(usize, String)> = fastening
            .positions_are
            .iter()
            .map(|(positions, _, other)| (positions.iter().filter(meant).count(), size(other)))
            .filter(|(count, _)| known && *count > 0)
            .collect();
        let rest = (self.count as usize).saturating_sub(others.iter().map(|(count, _)| count).sum());
        if others.is_empty() {
            let size = size_of(fastening);
            return vec![if counted { so_many(rest, &size) } else { size }];
        }
        let first = (rest > 0).then(|| so_many(rest, &size_of(fastening)));
        first.into_iter().chain(others.iter().map(|(count, size)| so_many(*count, size))).collect()
    }
}

fn size_of(fastening: &Fastening) -> String {
    fastening.size.as_ref().map(size).unwrap_or_default()
}

/// A size in words: no line breaks in it.
pub(super) fn size(size: &Size) -> String {
    match size {
        Size::Thread(thread) => thread.printed(),
        Size::Kind(kind, Some(thread)) => format!("{kind}\u{a0}{}", thread.printed()),
        Size::Kind(kind, None) => kind.clone(),
    }
}

/// What turns it. The size of a spanner is its name: it is never converted.
pub(super) fn drive(drive: &Drive) -> String {
    match drive {
        Drive::Hex(size) => format!("{}\u{a0}{}", say::HEX, one(size, System::Both)),
        Drive::Key(size) => format!("{}\u{a0}{}", say::KEY, one(size, System::Both)),
        Drive::Hexalobular(number) => format!("{}\u{a0}{number}", say::HEXALOBULAR),
        Drive::Slot => say::SLOT.to_owned(),
        Drive::Cross(number) => format!("{}\u{a0}{number}", say::CROSS),
    }
}

/// What else to mind when it is tightened.
fn manner(facts: &Facts, fastening: &Fastening, units: System) -> Vec<String> {
    let mut all = Vec::new();
    if facts.single_use || facts.new {
        all.push(say::NEW_ONES.to_owned());
    } else if fastening.nuts_single_use {
        all.push(say::NEW_NUTS.to_owned());
    }
    all.extend(fastening.lubrication.as_ref().map(|how| match how {
        Lubrication::Oiled => say::OILED.to_owned(),
        Lubrication::Dry => say::DRY.to_owned(),
        Lubrication::AntiSeize => say::ANTI_SEIZE.to_owned(),
        Lubrication::ThreadLock(kind) => format!("{}, {kind}", say::THREAD_LOCKER),
    }));
    all.extend(fastening.left_hand.then(|| say::LEFT_HAND.to_owned()));
    all.extend(fastening.into.as_ref().map(|into| match &fastening.engaged {
        Some(depth) => format!("{} {into}, {} {}", say::INTO, one(depth, units), say::DEEP),
        None => format!("{} {into}", say::INTO),
    }));
    all.extend(fastening.at_most.as_ref().map(|most| format!("{} {}", say::AT_MOST, one(most, units))));
    all.extend(fastening.slot_align.map(|align| {
        match align {
            SlotAlign::Forward => say::SLOT_FORWARD,
            SlotAlign::Back => say::SLOT_BACK,
            SlotAlign::Either => say::SLOT_EITHER,
        }
        .to_owned()
    }));
    all
}
