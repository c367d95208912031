//! Which hazard a thing brings by its name alone: `coil spring`, `airbag module`, `brake shoes`.
//!
//! A name is a heuristic, so it is read the way the trade forms its names: the last words say what the thing is and the
//! words before them only which one. `valve spring` is a spring; `valve spring cap` is a cap and `spring clamp` a clamp.
//! The lists ([`table`]) are common practice of the trade, not a published table.

mod table;
mod told;

pub use told::warns_of;

use super::fluid::FluidKind;
use super::hazard::Hazard;

/// How an act meets a thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Meet {
    /// It comes off, loose, open, or out of its rest.
    Undone,
    /// It goes on again, or is tightened.
    PutOn,
    /// It is cleaned.
    Cleaned,
    /// It is carried: off, on, or held.
    Lifted,
    /// It goes up, and the machine with it.
    Raised,
    /// It goes up or down, or is held or locked there.
    Held,
    /// It is opened as a cap is, by hand.
    Opened,
    /// The work is done with it: a tool, a supply.
    Used,
}

/// What else the job speaks of. Some names mean something only beside others: `pads` beside a brake, `belt tensioner`
/// beside a seat.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Surroundings {
    near: Vec<Near>,
    /// Kinds of the fluids that an act of the job drains: what held them is empty then.
    drained: Vec<FluidKind>,
}

/// A trade that the names of a job belong to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Near {
    Brake,
    Restraint,
    HighVoltage,
    Injection,
    Suspension,
    SpringBrake,
    Air,
    Clutch,
}

impl Surroundings {
    /// From every name that a job declares, its title, and the kinds of the fluids that it drains.
    pub fn of<'a>(names: impl IntoIterator<Item = &'a str>, drained: impl IntoIterator<Item = FluidKind>) -> Self {
        let mut near = Vec::new();
        for name in names {
            let words = words_of(name);
            for (trade, signs) in table::NEAR {
                let found = signs.split('|').any(|sign| match sign.strip_prefix('=') {
                    Some(noun) => ends_in(&words, noun) && tells_which(&words, noun),
                    None => holds(&words, sign),
                });
                if found && !near.contains(trade) {
                    near.push(*trade);
                }
            }
        }
        Self { near, drained: drained.into_iter().collect() }
    }
}

/// The hazards that a thing of this name brings when an act meets it so, the worst first. Of a fastener, its kind
/// (`circlip`) is a name as well.
pub fn by_name(name: &str, meet: Meet, around: &Surroundings) -> Vec<Hazard> {
    let words = words_of(name);
    let mut found: Vec<Hazard> = table::ROWS
        .iter()
        .filter(|row| row.meets.contains(&meet) && row.means(&words, around))
        .map(|r| r.hazard)
        .collect();
    found.sort_unstable();
    found.dedup();
    found
}

/// Whether a tool of this name takes the weight: `chain hoist`, `gearbox jack`.
pub fn takes_the_weight(name: &str) -> bool {
    let words = words_of(name);
    table::HOISTS.split('|').any(|noun| ends_in(&words, noun))
}

/// The hazards of what is done in an author's own words (`do: Grind the edge.`), the worst first. A sentence counts
/// where it begins with the act, or the act follows `and` or `then`.
pub fn by_words(prose: &str) -> Vec<Hazard> {
    let text = prose.to_lowercase();
    let mut found = Vec::new();
    for sentence in text.split(['.', '!', '?', ';', ':']) {
        let sentence = sentence.trim();
        for (acts, hazards) in table::ACTS {
            let said = acts.split('|').any(|act| {
                let starts = |part: &str| {
                    part.trim_start().strip_prefix(act).is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
                };
                starts(sentence) || [" and ", " then "].iter().any(|join| sentence.split(join).skip(1).any(starts))
            });
            if said {
                found.extend_from_slice(hazards);
            }
        }
        let denied =
            ["never", "not", "no", "don't", "without"].iter().any(|no| words_of(sentence).iter().any(|w| w == no));
        if !denied && holds(&words_of(sentence), "compressed air") {
            found.push(Hazard::EyeInjury);
        }
    }
    found.sort_unstable();
    found.dedup();
    found
}

/// Whether a name belongs to a system that burns gas, which many places reserve for registered people.
pub fn is_gas_system(name: &str) -> bool {
    let words = words_of(name);
    table::GAS.split('|').any(|noun| holds(&words, noun))
}

/// The kind of a fluid that only its name tells: `diesel`, `hydraulic oil`.
pub fn fluid_kind(name: &str) -> Option<FluidKind> {
    let words = words_of(name);
    table::FLUIDS.iter().find(|(nouns, _)| nouns.split('|').any(|noun| ends_in(&words, noun))).map(|(_, kind)| *kind)
}

/// What letting a fluid in brings: less than letting it out, for it comes cold from a can. Common practice.
pub fn poured(kind: FluidKind) -> &'static [Hazard] {
    match kind {
        FluidKind::EthyleneGlycolCoolant | FluidKind::WasherFluid => &[Hazard::Poison],
        FluidKind::BrakeFluid => &[Hazard::CorrosiveFluid],
        FluidKind::Fuel => &[Hazard::Fire],
        FluidKind::Refrigerant => &[Hazard::Refrigerant],
        FluidKind::BatteryAcid => &[Hazard::BatteryAcid],
        FluidKind::CompressedAir => &[Hazard::FluidUnderPressure],
        FluidKind::PropyleneGlycolCoolant
        | FluidKind::EngineOil
        | FluidKind::GearOil
        | FluidKind::HydraulicOil
        | FluidKind::Grease
        | FluidKind::Other => &[],
    }
}

/// What opening the filler of a fluid brings: what waits behind the cap.
pub fn behind_the_cap(kind: FluidKind) -> &'static [Hazard] {
    match kind {
        FluidKind::EthyleneGlycolCoolant | FluidKind::PropyleneGlycolCoolant => &[Hazard::Scald],
        FluidKind::Fuel => &[Hazard::Fire],
        FluidKind::CompressedAir => &[Hazard::FluidUnderPressure],
        FluidKind::Refrigerant => &[Hazard::Refrigerant],
        FluidKind::BatteryAcid => &[Hazard::BatteryAcid],
        _ => &[],
    }
}

/// One line of the table.
pub(super) struct Row {
    /// Trade nouns, parted by `|`; a name means it that ends in one.
    nouns: &'static str,
    hazard: Hazard,
    meets: &'static [Meet],
    /// Words anywhere in the name that make it something else.
    unless: &'static str,
    /// The name counts only where the job speaks of this too.
    near: Option<Near>,
    /// Only words that tell which one may stand before the noun (`rear pads`, not `rubber pads`).
    bare: bool,
    /// The job must not speak of this: `brake hose` beside an air tank holds no brake fluid.
    not_near: Option<Near>,
    /// It stands in for a fluid that its declaration does not tell of; not where one of these kinds is drained.
    stands_for: &'static [FluidKind],
    /// The noun may stand anywhere in the name.
    anywhere: bool,
}

impl Row {
    fn means(&self, words: &[String], around: &Surroundings) -> bool {
        let excluded = !self.unless.is_empty() && self.unless.split('|').any(|word| holds(words, word));
        if excluded
            || self.near.is_some_and(|near| !around.near.contains(&near))
            || self.not_near.is_some_and(|near| around.near.contains(&near))
            || self.stands_for.iter().any(|kind| around.drained.contains(kind))
        {
            return false;
        }
        self.nouns.split('|').any(|noun| {
            if self.anywhere {
                return holds(words, noun);
            }
            ends_in(words, noun) && (!self.bare || tells_which(words, noun))
        })
    }
}

/// The words of a name that say what it is, in small letters: `Coil-spring 2 of the seat` is `coil spring`.
fn words_of(name: &str) -> Vec<String> {
    let lower = name.to_lowercase().replace('\u{2019}', "'");
    let mut words = Vec::new();
    for word in lower.split(|c: char| c.is_whitespace() || "-/()+&,\"".contains(c)).filter(|w| !w.is_empty()) {
        if !words.is_empty() && ["of", "for", "in", "on", "at", "with", "under", "behind"].contains(&word) {
            break;
        }
        words.push(word.trim_matches(['.', '\'']).to_owned());
    }
    while words.len() > 1
        && words.last().is_some_and(|w| w.chars().any(|c| c.is_ascii_digit()) || w.chars().count() < 2)
    {
        words.pop();
    }
    words
}

/// `spring` and `springs`, `brush` and `brushes`.
fn same(word: &str, noun: &str) -> bool {
    match word.strip_prefix(noun) {
        Some(rest) => matches!(rest, "" | "s" | "es"),
        None => (word == "batteries" && noun == "battery") || (word == "knives" && noun == "knife"),
    }
}

fn ends_in(words: &[String], noun: &str) -> bool {
    let mut words = words.iter().rev();
    noun.rsplit(' ').all(|part| words.next().is_some_and(|word| same(word, part)))
}

/// Whether the words before the noun only tell which one it is.
fn tells_which(words: &[String], noun: &str) -> bool {
    let before = words.len().saturating_sub(noun.split(' ').count());
    words.iter().take(before).all(|w| table::WHICH_ONE.contains(&w.as_str()) || w.ends_with("'s"))
}

fn holds(words: &[String], noun: &str) -> bool {
    (0..words.len()).any(|start| {
        let mut words = words.iter().skip(start);
        noun.split(' ').all(|part| words.next().is_some_and(|word| same(word, part)))
    })
}

#[cfg(test)]
mod tests {
    use super::Hazard::*;
    use super::*;

    fn brings(name: &str, meet: Meet, others: &[&str]) -> Vec<Hazard> {
        by_name(name, meet, &Surroundings::of(others.iter().copied().chain([name]), []))
    }

    /// Common practice of the trade: what each of these is known for.
    #[test]
    fn trade_names_bring_their_hazard() {
        let cases: &[(&str, Meet, &[&str], Hazard)] = &[
            ("coil spring", Meet::Undone, &[], StoredSpring),
            ("front coil springs", Meet::PutOn, &[], StoredSpring),
            ("Coil-spring 2", Meet::Undone, &[], StoredSpring),
            ("spring chamber", Meet::Undone, &[], StoredSpring),
            ("spring brake actuator", Meet::Undone, &[], StoredSpring),
            ("inlet valve springs", Meet::Undone, &[], StoredSpring),
            ("torsion bar", Meet::Undone, &[], StoredSpring),
            ("recoil spring", Meet::Undone, &[], StoredSpring),
            ("spring compressor", Meet::Used, &[], StoredSpring),
            ("valve spring compressor", Meet::Used, &[], StoredSpring),
            ("brake chamber", Meet::Undone, &["caging bolt"], StoredSpring),
            ("rear springs", Meet::Undone, &["shock absorber"], StoredSpring),
            ("rear axle", Meet::Raised, &[], UnsupportedVehicle),
            ("hydraulic hose", Meet::Undone, &[], FluidUnderPressure),
            ("brake hose", Meet::Undone, &["air tank"], FluidUnderPressure),
            ("clutch cover", Meet::Undone, &["release bearing"], BrakeDust),
            ("strut rod nut", Meet::Undone, &["strut"], StoredSpring),
            ("gas strut", Meet::Undone, &[], Crush),
            ("tipping body", Meet::Held, &[], Crush),
            ("airbag", Meet::Undone, &[], Airbag),
            ("driver's airbag module", Meet::Undone, &[], Airbag),
            ("airbag plug", Meet::PutOn, &[], Airbag),
            ("airbag screws", Meet::Undone, &[], Airbag),
            ("belt tensioner", Meet::Undone, &["seat", "buckle"], Airbag),
            ("seat belt pretensioner", Meet::Undone, &[], Airbag),
            ("steering wheel module", Meet::Undone, &[], Airbag),
            ("traction battery", Meet::Undone, &[], HighVoltage),
            ("orange cable", Meet::Undone, &[], HighVoltage),
            ("inverter", Meet::Undone, &["traction battery"], HighVoltage),
            ("main breaker", Meet::Undone, &[], ElectricShock),
            ("terminal box cover", Meet::Undone, &[], ElectricShock),
            ("generator leads", Meet::Undone, &[], ElectricShock),
            ("battery", Meet::Undone, &[], BatteryAcid),
            ("auxiliary batteries", Meet::PutOn, &[], BatteryAcid),
            ("brake pads", Meet::Undone, &[], BrakeDust),
            ("rear pads", Meet::Undone, &["caliper"], BrakeDust),
            ("linings", Meet::Undone, &["brake drum"], BrakeDust),
            ("brake shoes", Meet::Cleaned, &[], BrakeDust),
            ("drum", Meet::Undone, &["brake shoes"], BrakeDust),
            ("clutch disc", Meet::Undone, &[], BrakeDust),
            ("accumulator", Meet::Undone, &[], FluidUnderPressure),
            ("air tank", Meet::Undone, &[], FluidUnderPressure),
            ("track adjuster valve", Meet::Undone, &[], FluidUnderPressure),
            ("injector pipes", Meet::Undone, &[], FluidUnderPressure),
            ("fuel rail", Meet::Undone, &[], FluidUnderPressure),
            ("fuel rail", Meet::Undone, &[], Fire),
            ("fuel filter", Meet::Undone, &[], Fire),
            ("radiator cap", Meet::Opened, &[], Scald),
            ("top hose", Meet::Undone, &["radiator"], Scald),
            ("brake pipe", Meet::Undone, &[], CorrosiveFluid),
            ("condenser", Meet::Undone, &[], Refrigerant),
            ("exhaust manifold", Meet::Undone, &[], HotSurface),
            ("bearing heater", Meet::Used, &[], HotSurface),
            ("blowlamp", Meet::Used, &[], Fire),
            ("gearbox", Meet::Lifted, &[], HeavyLoad),
            ("chain hoist", Meet::Used, &[], HeavyLoad),
            ("return springs", Meet::Undone, &[], EyeInjury),
            ("circlip", Meet::Undone, &[], EyeInjury),
            ("hammer", Meet::Used, &[], EyeInjury),
            ("cold chisel", Meet::Used, &[], EyeInjury),
            ("compressed air", Meet::Used, &[], EyeInjury),
            ("angle grinder", Meet::Used, &[], EyeInjury),
            ("windscreen", Meet::Undone, &[], SharpEdge),
            ("mower blades", Meet::Undone, &[], SharpEdge),
        ];
        for (name, meet, others, hazard) in cases {
            assert!(brings(name, *meet, others).contains(hazard), "{name} {meet:?}: {:?}", brings(name, *meet, others));
        }
    }

    /// Names that hold the same words and are something else, or that nobody is hurt by.
    #[test]
    fn names_that_only_sound_like_it_bring_nothing() {
        let every = [
            Meet::Undone,
            Meet::PutOn,
            Meet::Cleaned,
            Meet::Lifted,
            Meet::Raised,
            Meet::Held,
            Meet::Opened,
            Meet::Used,
        ];
        let cases: &[(&str, &[&str])] = &[
            ("spring clamp", &["strut"]),
            ("spring clamps", &[]),
            ("spring washer", &["strut"]),
            ("spring pin", &[]),
            ("spring clip", &[]),
            ("spring balance", &[]),
            ("valve spring cap", &[]),
            ("coil spring seat", &[]),
            ("coil plug", &[]),
            ("gas spring clip", &[]),
            ("gas strut pin", &[]),
            ("wiper blade", &[]),
            ("fan blade", &[]),
            ("rubber pads", &["brake drum"]),
            ("track shoes", &["brake drum"]),
            ("pads", &["gearbox oil"]),
            ("drum", &["cable winch"]),
            ("disc", &["harrow"]),
            ("brake pad pins", &["brake pads"]),
            ("brake drum screws", &["brake drum"]),
            ("belt tensioner", &["timing belt", "crankshaft"]),
            ("airbag lamp", &["seat"]),
            ("suspension airbag", &[]),
            ("inverter", &["alternator"]),
            ("battery tray", &[]),
            ("battery earth cable", &[]),
            ("remote key battery", &[]),
            ("gearbox oil", &[]),
            ("gearbox bolts", &[]),
            ("engine cover", &[]),
            ("stub axle", &[]),
            ("exhaust gasket", &[]),
            ("exhaust valve", &[]),
            ("fuel pump fuse", &[]),
            ("fuel gauge", &[]),
            ("radiator mounts", &[]),
            ("soft hammer", &[]),
            ("rubber hammer", &[]),
            ("brass drift", &[]),
            ("torque wrench 5-25", &[]),
            ("hydraulic tank", &[]),
            ("hydraulic pump bolts", &[]),
            ("relay", &["air tank"]),
            ("air filter", &["air tank"]),
            ("brake chamber bracket", &["spring brake"]),
            ("circlip pliers", &[]),
            ("rod nut", &["hydraulic cylinder"]),
            ("", &[]),
            ("é", &[]),
        ];
        for (name, others) in cases {
            for meet in every {
                assert_eq!(brings(name, meet, others), [], "{name} {meet:?}");
            }
        }
    }

    #[test]
    fn what_was_drained_scalds_nobody() {
        let around = Surroundings::of(["top hose"], [FluidKind::EthyleneGlycolCoolant]);
        assert_eq!(by_name("top hose", Meet::Undone, &around), []);
        assert!(!brings("brake hose", Meet::Undone, &["air tank"]).contains(&CorrosiveFluid));
    }

    #[test]
    fn an_act_in_words_counts_where_it_is_told_to_be_done() {
        assert_eq!(by_words("Grind the edge square."), [EyeInjury]);
        assert_eq!(by_words("Mark the rivets, then drill them out."), [EyeInjury]);
        assert_eq!(by_words("Blow the bores dry with compressed air."), [EyeInjury]);
        assert_eq!(by_words("Start the engine and let it idle."), [ExhaustGas, RotatingParts]);
        assert_eq!(by_words("Heat the ring."), [HotSurface]);
        assert_eq!(by_words("Jack up the truck until the wheel is free."), [UnsupportedVehicle]);
        for harmless in [
            "Never start the engine with the belt off.",
            "Never use compressed air.",
            "The drill stays in its case.",
            "Before you grind it, ask.",
            "Heated grips",
            "Blue spots, heat cracks, pits.",
            "Jack the arm up slowly.",
            "A weld seam is no crack.",
            "",
        ] {
            assert_eq!(by_words(harmless), [], "{harmless}");
        }
    }

    #[test]
    fn a_fluid_without_a_kind_is_known_by_its_name() {
        for (name, kind) in [
            ("diesel", Some(FluidKind::Fuel)),
            ("hydraulic oil", Some(FluidKind::HydraulicOil)),
            ("brake fluid", Some(FluidKind::BrakeFluid)),
            ("cooling gas", None),
            ("rust remover", None),
        ] {
            assert_eq!(fluid_kind(name), kind, "{name}");
        }
        for kind in FluidKind::ALL {
            assert!(poured(kind).iter().all(|h| kind.hazards().contains(h)), "{kind:?}");
            assert!(behind_the_cap(kind).iter().all(|h| kind.hazards().contains(h)), "{kind:?}");
        }
    }

    #[test]
    fn what_takes_the_weight_is_no_hand() {
        for tool in
            ["hoist", "chain hoist", "gearbox jack", "workshop crane", "fork-lift truck", "floor jack with cradle"]
        {
            assert!(takes_the_weight(tool), "{tool}");
        }
        for tool in ["jack handle", "hoist hook", "spirit level", ""] {
            assert!(!takes_the_weight(tool), "{tool}");
        }
    }

    #[test]
    fn gas_is_told_from_gas_struts() {
        for name in ["LPG tank", "propane bottle", "natural gas regulator", "gas regulator"] {
            assert!(is_gas_system(name), "{name}");
        }
        for name in ["gas strut", "exhaust gas sensor", "cooling gas", "gas spring", "gasket"] {
            assert!(!is_gas_system(name), "{name}");
        }
    }
}
