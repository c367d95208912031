//! Which built-in safety messages a job needs, and where: those of declarations, those of acts that are known to hurt
//! people, and those that a thing brings by its name. The sheet prints them; `caution-missing` tells the author about the
//! ones nobody asked for.
//!
//! Which act brings which hazard is common practice of the trade, not a published table.

use crate::procedure::{
    Builtin, Condition, Detail, DetailKind, FluidKind, Object, PairId, Procedure, SetId, Size, Step, StepId, Thing,
    ThingId, ThingKind, ToolId, Verb, VerbGroup, With, steps_of,
};
use crate::rules::context::{InContext, steps_in_context};
use crate::rules::people::caution_weak::says_how;
use crate::rules::prose::words;
use crate::rules::ways::each_way;
use crate::source::Span;
use crate::trade::bring::{self, Meet, Surroundings};
use crate::trade::hazard::Hazard;
use crate::trade::lifting::is_too_heavy_for_one;

/// A message that is put in before a step.
#[derive(Clone, Debug, PartialEq)]
pub struct Caution {
    pub step: StepId,
    /// Of the step's verb and objects.
    pub span: Span,
    pub hazard: Hazard,
    /// What brings it, for the author: `draining fuel`.
    pub because: String,
    /// Who says that it is there.
    pub by: By,
    /// Where the name stands that brings it.
    pub named_at: Option<Span>,
}

/// Who says that a hazard is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// A declaration asks for it: `hazard …`, `weighs …`.
    Declaration,
    /// The act itself, or the fluid that it lets out.
    Act,
    /// The name of a part or a tool; the author may know better, and say so with `allow caution-missing`.
    Name,
}

/// A hazard and what brings it.
#[derive(Clone, Debug)]
pub(super) struct Brought {
    pub hazard: Hazard,
    pub because: String,
    pub by: By,
    pub named_at: Option<Span>,
}

/// The messages to put in, in the order of the steps: one hazard once a stage on every way, and none that the author has
/// already said in that stage on that way.
#[must_use]
pub fn cautions(procedure: &Procedure) -> Vec<Caution> {
    let mut wanted = wanted(procedure);
    wanted.retain(|caution| !is_excused(procedure, caution));
    wanted
}

/// The same with those that an `allow caution-missing` takes out again.
pub(super) fn wanted(procedure: &Procedure) -> Vec<Caution> {
    let around = surroundings(procedure);
    let mut out: Vec<Caution> = Vec::new();
    let mut said: Vec<Said> = Vec::new();
    let mut empty: Vec<ThingId> = Vec::new();
    for seen in steps_in_context(procedure) {
        note_level(seen.step, seen.condition == Condition::Always && seen.loops.is_empty(), &mut empty);
        let stage = seen.stage.map(|(n, _)| n);
        let under = |condition: Condition| Said { stage, hazard: Hazard::Fire, condition, sets: seen.loops.clone() };
        for (hazard, condition) in spoken_under(procedure, &seen) {
            said.push(Said { hazard, ..under(condition) });
        }
        for (brought, exists) in brought_under(procedure, seen.step, &around) {
            let here = Said { hazard: brought.hazard, ..under(seen.condition.clone().and(exists)) };
            // What ran out in an earlier stage scalds nobody at the next joint; the drain itself was warned of.
            let ran_out = brought.hazard == Hazard::Scald
                && brought.by == By::Act
                && seen.step.verb != Verb::Drain
                && empty.iter().any(|fluid| procedure[*fluid].name == brought.because);
            if ran_out || is_said(procedure, &said, &here) {
                continue;
            }
            let caution = Caution {
                step: seen.step.id,
                span: seen.step.head_span,
                hazard: brought.hazard,
                because: brought.because,
                by: brought.by,
                named_at: brought.named_at,
            };
            // One that is taken out again leaves the next act with its own.
            if !is_excused(procedure, &caution) {
                said.push(here);
            } else if out.iter().any(|c| c.hazard == caution.hazard && c.because == caution.because) {
                continue;
            }
            out.push(caution);
        }
    }
    out
}

/// Keeps the fluids that have run out on every way; once it is filled or the engine runs, that is over.
fn note_level(step: &Step, always: bool, empty: &mut Vec<ThingId>) {
    match step.verb {
        Verb::Drain if always => empty.extend(step.things().map(|thing| thing.thing)),
        Verb::Fill | Verb::TopUp => empty.retain(|fluid| !step.things().any(|thing| thing.thing == *fluid)),
        Verb::RunEngine | Verb::Drive => empty.clear(),
        _ => {}
    }
}

/// A hazard that is spoken of in a stage, and on which ways.
struct Said {
    stage: Option<usize>,
    hazard: Hazard,
    condition: Condition,
    /// The sets of the loops around it.
    sets: Vec<SetId>,
}

/// Whether on every way on which `here` is reached the hazard is spoken of before, in the same stage.
fn is_said(procedure: &Procedure, said: &[Said], here: &Said) -> bool {
    let before: Vec<&Said> = said.iter().filter(|s| s.stage == here.stage && s.hazard == here.hazard).collect();
    if before.iter().any(|s| s.condition == Condition::Always || s.condition == here.condition) {
        return true;
    }
    if before.is_empty() {
        return false;
    }
    // What is said for the left side is not said for the right: every member of the sets that the loops run over.
    let mut sets: Vec<SetId> = here.sets.iter().chain(before.iter().flat_map(|s| &s.sets)).copied().collect();
    sets.sort_unstable();
    sets.dedup();
    let sizes: Vec<usize> = sets.iter().map(|set| procedure[*set].members.len().max(1)).collect();
    let Some(turns) = sizes.iter().try_fold(1_usize, |n, size| n.checked_mul(*size).filter(|n| *n <= MOST_TURNS))
    else {
        return false;
    };
    (0..turns).all(|turn| {
        let mut rest = turn;
        let members: Vec<(SetId, u32)> = sets
            .iter()
            .zip(&sizes)
            .map(|(set, size)| {
                let member = rest % size;
                rest /= size;
                (*set, u32::try_from(member).unwrap_or_default())
            })
            .collect();
        let mut asked: Vec<(&Condition, &[_])> = vec![(&here.condition, &members)];
        asked.extend(before.iter().map(|s| (&s.condition, members.as_slice())));
        let mut silent = false;
        let listed = each_way(procedure, &asked, &mut |way| {
            silent = way.holds(&here.condition, &members) && !before.iter().any(|s| way.holds(&s.condition, &members));
            !silent
        });
        listed && !silent
    })
}

/// More turns of loops than this are not looked at one by one: the message is printed again.
const MOST_TURNS: usize = 64;

/// Whether the author says, at the step or where the thing is declared, that the name means something else.
pub(super) fn is_excused(procedure: &Procedure, caution: &Caution) -> bool {
    caution.by == By::Name
        && procedure.allows.iter().any(|allow| {
            let covers = |place: Span| {
                allow.covers.is_some_and(|c| c.file == place.file && c.start <= place.start && place.end <= c.end)
            };
            allow.rule == "caution-missing"
                && !allow.reason.trim().is_empty()
                && (covers(caution.span) || caution.named_at.is_some_and(covers))
        })
}

/// The hazards that the author speaks of at this step or at the head of its stage.
pub(super) fn spoken_of(procedure: &Procedure, seen: &InContext<'_>) -> Vec<Hazard> {
    spoken_under(procedure, seen).into_iter().map(|(hazard, _)| hazard).collect()
}

/// The same, each with the condition under which it is read.
fn spoken_under(procedure: &Procedure, seen: &InContext<'_>) -> Vec<(Hazard, Condition)> {
    let mut found: Vec<(Hazard, Condition)> = Vec::new();
    let mut say = |hazards: Vec<Hazard>, condition: &Condition| {
        found.extend(hazards.into_iter().map(|hazard| (hazard, condition.clone())));
    };
    say(seen.step.clauses.hazards.clone(), &seen.condition);
    say(hazards_of(&seen.step.details), &seen.condition);
    say(hazards_of(details_of_helps(procedure, seen.step)), &seen.condition);
    if let Some((_, stage)) = seen.stage {
        say(hazards_of(&stage.details), &Condition::Always);
    }
    // What a thing says is read where an act changes something on it.
    for thing in seen.step.things().filter(|_| seen.step.verb.group() != VerbGroup::Work) {
        let thing = &procedure[thing.thing];
        say(hazards_of(&thing.details), &seen.condition.clone().and(thing.exists.clone()));
    }
    found
}

/// What the declarations of the tools and supplies say that a step takes.
pub fn details_of_helps<'a>(procedure: &'a Procedure, step: &'a Step) -> impl Iterator<Item = &'a Detail> {
    let with = step.clauses.with.iter().filter_map(|with| match with {
        With::Tool(id) => Some(&procedure[*id].details),
        With::Supply(id) => Some(&procedure[*id].details),
        With::Thing(_) | With::State(_) => None,
    });
    let objects = step.objects.iter().filter_map(|object| match object {
        Object::Tool(id) => Some(&procedure[*id].details),
        Object::Supply(id) => Some(&procedure[*id].details),
        _ => None,
    });
    let below = step.details.iter().filter_map(|detail| match detail.kind {
        DetailKind::Use { supply: Some(id), .. } => Some(&procedure[id].details),
        DetailKind::Tool { tool: Some(id), .. } => Some(&procedure[id].details),
        _ => None,
    });
    with.chain(objects).chain(below).flatten()
}

/// What some details warn of: the hazards they name, and in the author's own words those that a message speaks of which
/// says how to avoid the harm and whose signal word is high enough.
fn hazards_of<'a>(details: impl IntoIterator<Item = &'a Detail>) -> Vec<Hazard> {
    let mut found = Vec::new();
    for detail in details {
        let DetailKind::Safety { word, hazard, prose } = &detail.kind else { continue };
        found.extend(*hazard);
        if let Some(prose) = prose {
            let text = words(prose);
            if says_how(&text) {
                found.extend(bring::warns_of(&text).into_iter().filter(|h| *word >= h.signal()));
            }
        }
    }
    found
}

/// What the job speaks of, for names that mean something only beside others.
pub(super) fn surroundings(procedure: &Procedure) -> Surroundings {
    let names = procedure.things.iter().filter(|t| !matches!(t.kind, ThingKind::Builtin(_))).map(|t| t.name.as_str());
    let header = &procedure.header;
    let heads = [Some(&header.title), header.machine.as_ref(), header.level.as_ref()];
    let names = names.chain(heads.into_iter().flatten().map(String::as_str));
    let names = names.chain(procedure.measurements.iter().map(|m| m.name.as_str()));
    let names = names.chain(procedure.tools.iter().map(|t| t.name.as_str()));
    let mut drained = Vec::new();
    steps_of(&procedure.body, &mut |step| {
        if step.verb == Verb::Drain {
            drained.extend(step.things().filter_map(|t| kind_of(&procedure[t.thing])));
        }
    });
    Surroundings::of(names, drained)
}

/// The kind of a fluid: as written, else as its name tells.
pub(super) fn kind_of(thing: &Thing) -> Option<FluidKind> {
    if thing.kind != ThingKind::Fluid {
        return None;
    }
    thing.facts.fluid.as_ref().and_then(|f| f.kind).or_else(|| bring::fluid_kind(&thing.name))
}

/// What a step brings.
pub(super) fn brought(procedure: &Procedure, step: &Step, around: &Surroundings) -> Vec<Brought> {
    brought_under(procedure, step, around).into_iter().map(|(brought, _)| brought).collect()
}

/// The same, each with the condition under which the thing that brings it is there.
fn brought_under(procedure: &Procedure, step: &Step, around: &Surroundings) -> Vec<(Brought, Condition)> {
    let mut all = Collected { out: Vec::new(), exists: Condition::Always };
    if step.verb == Verb::RunEngine {
        all.act(Hazard::ExhaustGas, "running the engine");
        all.act(Hazard::RotatingParts, "running the engine");
    }
    for reference in step.things() {
        let thing = &procedure[reference.thing];
        all.exists = thing.exists.clone();
        of_declaration(step, thing, &mut all);
        let on_stands = step.clauses.stand.is_some() && matches!(step.verb, Verb::Raise | Verb::Support);
        if on_stands || (step.verb == Verb::Raise && lifts_the_machine(thing)) {
            all.act(Hazard::UnsupportedVehicle, &format!("raising the {}", thing.name));
        }
        of_fluids(procedure, step.verb, thing, &mut all);
        of_names(procedure, step, thing, around, &mut all);
        // Whoever undoes what alone holds a thing undoes the thing.
        for held in held_alone_by(procedure, reference.thing, step.verb) {
            all.exists = thing.exists.clone().and(held.exists.clone());
            for hazard in held.facts.hazards.iter().filter(|h| comes_with_the_holder(**h)) {
                all.push(*hazard, &held.name, By::Declaration, None);
            }
            for hazard in
                bring::by_name(&held.name, Meet::Undone, around).into_iter().filter(|h| comes_with_the_holder(*h))
            {
                all.push(hazard, &held.name, By::Name, Some(held.span));
            }
        }
    }
    all.exists = Condition::Always;
    of_tools(procedure, step, around, &mut all);
    all.out
}

struct Collected {
    out: Vec<(Brought, Condition)>,
    /// Under which what is looked at is there.
    exists: Condition,
}

impl Collected {
    fn push(&mut self, hazard: Hazard, because: &str, by: By, named_at: Option<Span>) {
        let because = because.to_owned();
        self.out.push((Brought { hazard, because, by, named_at }, self.exists.clone()));
    }

    fn act(&mut self, hazard: Hazard, because: &str) {
        self.push(hazard, because, By::Act, None);
    }
}

fn of_declaration(step: &Step, thing: &Thing, all: &mut Collected) {
    if !has_hands_on(step.verb) {
        return;
    }
    for hazard in &thing.facts.hazards {
        all.push(*hazard, &thing.name, By::Declaration, None);
    }
    if let Some(weight) = thing.facts.weighs.as_ref().filter(|_| is_lifted(step.verb)) {
        all.push(Hazard::HeavyLoad, &format!("{} ({weight})", thing.name), By::Declaration, None);
    }
}

/// Whether an act has the hands on a thing: it changes it, or works on it where it sits. Looking and measuring do not.
fn has_hands_on(verb: Verb) -> bool {
    verb.group() != VerbGroup::Work
        || matches!(
            verb,
            Verb::Clean
                | Verb::Lubricate
                | Verb::Apply
                | Verb::Set
                | Verb::Align
                | Verb::Adjust
                | Verb::Turn
                | Verb::Test
                | Verb::TopUp
        )
}

/// What is let out, or poured in.
fn of_fluids(procedure: &Procedure, verb: Verb, thing: &Thing, all: &mut Collected) {
    let mut say = |fluid: &Thing, hazards: &dyn Fn(FluidKind) -> &'static [Hazard]| {
        for hazard in kind_of(fluid).into_iter().flat_map(hazards) {
            all.act(*hazard, &fluid.name);
        }
    };
    match verb {
        // `recover refrigerant`, `relieve fuel`: the shop's own words for letting it out and in.
        Verb::Drain | Verb::Bleed | Verb::Open1(_) if thing.kind == ThingKind::Fluid => say(thing, &FluidKind::hazards),
        Verb::Fill | Verb::TopUp | Verb::Close1(_) if thing.kind == ThingKind::Fluid => say(thing, &bring::poured),
        Verb::Remove | Verb::Disconnect | Verb::Open | Verb::Renew | Verb::MoveAside | Verb::Loosen => {
            // What is moved aside whole stays shut.
            if verb != Verb::MoveAside && verb != Verb::Loosen {
                for id in &thing.facts.carries {
                    say(&procedure[*id], &FluidKind::hazards);
                }
            }
            if let Some(id) = thing.facts.drain_of.filter(|_| verb != Verb::MoveAside) {
                say(&procedure[id], &FluidKind::hazards);
            }
            if let Some(id) = thing.facts.filler_of.filter(|_| verb != Verb::MoveAside) {
                say(&procedure[id], &bring::behind_the_cap);
            }
        }
        _ => {}
    }
}

/// What a thing brings by its name, and of a fastener by its kind.
fn of_names(procedure: &Procedure, step: &Step, thing: &Thing, around: &Surroundings, all: &mut Collected) {
    if matches!(thing.kind, ThingKind::Fluid | ThingKind::Seen) {
        return;
    }
    let kind = thing.facts.fastening.as_ref().and_then(|f| match &f.size {
        Some(Size::Kind(kind, _)) => Some(kind.as_str()),
        _ => None,
    });
    // What it carries is told by the fluid.
    let facts = &thing.facts;
    let tells = !facts.carries.is_empty() || facts.drain_of.is_some() || facts.filler_of.is_some();
    let of_a_fluid =
        |hazard: Hazard| matches!(hazard, Hazard::Scald | Hazard::Fire | Hazard::CorrosiveFluid | Hazard::Refrigerant);
    for meet in meets(step.verb) {
        for name in std::iter::once(thing.name.as_str()).chain(kind) {
            for hazard in bring::by_name(name, *meet, around) {
                if !(tells && of_a_fluid(hazard)) {
                    all.push(hazard, &thing.name, By::Name, Some(thing.span));
                }
            }
        }
    }
    // `cage`, `compress`: the shop's own words for a spring.
    if let Verb::Open1(pair) | Verb::Close1(pair) = step.verb
        && is_of_springs(procedure, pair)
    {
        all.push(Hazard::StoredSpring, &thing.name, By::Name, Some(thing.span));
    }
}

fn is_of_springs(procedure: &Procedure, pair: PairId) -> bool {
    procedure.pairs.get(pair.index()).is_some_and(|pair| {
        let first = pair.opening.split_whitespace().next().unwrap_or_default();
        ["cage", "compress", "tension"].iter().any(|verb| first.eq_ignore_ascii_case(verb))
    })
}

/// What the tools and supplies bring that a step names, and what its own words tell to do.
fn of_tools(procedure: &Procedure, step: &Step, around: &Surroundings, all: &mut Collected) {
    let tool = |id: ToolId| (procedure[id].name.as_str(), procedure[id].span);
    let mut named: Vec<(&str, Span)> = Vec::new();
    for with in &step.clauses.with {
        match with {
            With::Tool(id) => named.push(tool(*id)),
            With::Supply(id) => named.push((&procedure[*id].name, procedure[*id].span)),
            With::Thing(_) | With::State(_) => {}
        }
    }
    named.extend(step.objects.iter().filter_map(|object| match object {
        Object::Tool(id) => Some(tool(*id)),
        _ => None,
    }));
    named.extend(step.details.iter().filter_map(|detail| match detail.kind {
        DetailKind::Tool { tool: Some(id), .. } => Some(tool(id)),
        _ => None,
    }));
    for (name, span) in named {
        for hazard in bring::by_name(name, Meet::Used, around) {
            all.push(hazard, &format!("work with {name}"), By::Name, Some(span));
        }
    }
    // What is looked for, asked, found or put off is not done here.
    let does = !matches!(
        step.verb,
        Verb::Stop
            | Verb::Ask
            | Verb::Found
            | Verb::Record
            | Verb::Read
            | Verb::WorkOut
            | Verb::Inspect
            | Verb::Measure
    );
    if let Some(prose) = step.prose.as_ref().filter(|_| does) {
        for hazard in bring::by_words(&words(prose)) {
            all.push(hazard, "what the words tell to do", By::Name, None);
        }
    }
}

/// How a verb meets the things it is done to.
fn meets(verb: Verb) -> &'static [Meet] {
    use Meet::{Cleaned, Held, Lifted, Opened, PutOn, Raised, Undone};
    match verb {
        Verb::Remove | Verb::Renew => &[Undone, Lifted, Opened],
        Verb::MoveAside => &[Undone, Lifted],
        Verb::Open => &[Undone, Opened],
        Verb::Disconnect | Verb::Loosen | Verb::Drain | Verb::Open1(_) => &[Undone],
        Verb::Refit | Verb::Fit | Verb::Place | Verb::Return | Verb::Try => &[PutOn, Lifted],
        Verb::Connect | Verb::Tighten | Verb::Close | Verb::Start | Verb::Transfer | Verb::Close1(_) => &[PutOn],
        Verb::Support => &[Held],
        Verb::Raise => &[Raised, Held],
        Verb::Lower | Verb::Release | Verb::Lock | Verb::Unlock => &[Held],
        Verb::Clean => &[Cleaned],
        _ => &[],
    }
}

/// The things that a fastener holds and nothing else does, where the act undoes it.
fn held_alone_by(procedure: &Procedure, fastener: ThingId, verb: Verb) -> Vec<&Thing> {
    if !matches!(verb, Verb::Remove | Verb::Loosen) || !procedure[fastener].is_fastener() {
        return Vec::new();
    }
    procedure.things.iter().filter(|thing| thing.facts.held_by == [fastener]).collect()
}

/// What gets loose with the last fastener, not with the hands on the part.
fn comes_with_the_holder(hazard: Hazard) -> bool {
    matches!(
        hazard,
        Hazard::StoredSpring
            | Hazard::HighVoltage
            | Hazard::Airbag
            | Hazard::ElectricShock
            | Hazard::FluidUnderPressure
            | Hazard::Refrigerant
    )
}

/// Whether an act takes the weight of a thing.
pub fn is_lifted(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::Remove
            | Verb::Refit
            | Verb::Fit
            | Verb::Place
            | Verb::Renew
            | Verb::Support
            | Verb::MoveAside
            | Verb::Return
            | Verb::Try
    )
}

/// The thing that a step lifts by hand and that one person must not: the sheet puts `with a helper` in. Where the step
/// names a hoist, or the thing is supported by one somewhere in the job, the weight is not in the hands.
#[must_use]
pub fn needs_a_helper<'a>(procedure: &'a Procedure, step: &Step) -> Option<&'a Thing> {
    if !is_lifted(step.verb) || step.verb == Verb::Support || step.clauses.helper || has_a_hoist(procedure, step) {
        return None;
    }
    let heavy = step.things().find(|reference| {
        if !procedure[reference.thing].facts.weighs.as_ref().is_some_and(is_too_heavy_for_one) {
            return false;
        }
        let mut supported = false;
        steps_of(&procedure.body, &mut |other| {
            supported |= other.verb == Verb::Support && other.things().any(|t| t.thing == reference.thing);
        });
        !supported
    })?;
    Some(&procedure[heavy.thing])
}

fn has_a_hoist(procedure: &Procedure, step: &Step) -> bool {
    let named = step.clauses.with.iter().any(|with| match with {
        With::Tool(id) => bring::takes_the_weight(&procedure[*id].name),
        With::Supply(id) => bring::takes_the_weight(&procedure[*id].name),
        With::Thing(thing) => bring::takes_the_weight(&procedure[thing.thing].name),
        With::State(_) => false,
    });
    let in_details = step.details.iter().any(|detail| match detail.kind {
        DetailKind::Tool { tool: Some(id), .. } => bring::takes_the_weight(&procedure[id].name),
        _ => false,
    });
    named || in_details || step.prose.as_ref().is_some_and(|p| words(p).to_lowercase().contains("hoist"))
}

fn lifts_the_machine(thing: &Thing) -> bool {
    use Builtin::{Front, FrontWheels, Rear, RearWheels, Vehicle, Wheels};
    matches!(thing.kind, ThingKind::Builtin(Vehicle | Front | Rear | Wheels | FrontWheels | RearWheels))
}
