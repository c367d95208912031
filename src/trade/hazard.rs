//! The built-in hazards: signal word, what can happen, how to avoid it, and the sign.
//!
//! Signal words follow the definitions of ANSI Z535.4; the messages name hazard, consequence and avoidance in that order, as
//! ANSI Z535.6 asks. What they say is common practice of the trade, in our own words. Sign numbers are those of ISO 7010;
//! W002, W010, W022 and W025 are from memory.

use super::signal::SignalWord;

/// Something that hurts people in a workshop.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Hazard {
    /// A vehicle off the ground and on nothing but a jack.
    UnsupportedVehicle,
    /// A spring held under load.
    StoredSpring,
    /// The driving voltage of an electric or hybrid vehicle.
    HighVoltage,
    /// Hot liquid or steam.
    Scald,
    /// Anything that burns.
    Fire,
    /// Parts that drop or close.
    Crush,
    /// Mains and generator voltage.
    ElectricShock,
    /// An airbag or belt tensioner.
    Airbag,
    /// The working fluid of an air conditioner.
    Refrigerant,
    /// Carbon monoxide.
    ExhaustGas,
    /// Fans, belts, shafts.
    RotatingParts,
    /// A jet of hydraulic oil, fuel or air.
    FluidUnderPressure,
    /// Acid and the gas above it.
    BatteryAcid,
    /// Brake fluid, cleaners.
    CorrosiveFluid,
    /// What one person should not lift.
    HeavyLoad,
    /// Dust of linings.
    BrakeDust,
    /// What must not be swallowed.
    Poison,
    /// Exhausts, discs, housings after a run.
    HotSurface,
    /// Chips, clips, splashes.
    EyeInjury,
    /// Sheet metal, broken parts.
    SharpEdge,
}

/// A sign of ISO 7010.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Sign {
    /// `W017`; W warns, M tells what must be done.
    pub number: &'static str,
    /// What it means: `hot surface`.
    pub meaning: &'static str,
}

/// The standard message of a hazard, in the order in which it is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Message {
    /// What the hazard is, without a full stop.
    pub title: &'static str,
    /// What can happen.
    pub consequence: &'static str,
    /// How to avoid it, as commands.
    pub avoidance: &'static str,
}

impl Hazard {
    /// All, worst first.
    pub const ALL: [Hazard; 20] = [
        Hazard::UnsupportedVehicle,
        Hazard::StoredSpring,
        Hazard::HighVoltage,
        Hazard::Scald,
        Hazard::Fire,
        Hazard::Crush,
        Hazard::ElectricShock,
        Hazard::Airbag,
        Hazard::Refrigerant,
        Hazard::ExhaustGas,
        Hazard::RotatingParts,
        Hazard::FluidUnderPressure,
        Hazard::BatteryAcid,
        Hazard::CorrosiveFluid,
        Hazard::HeavyLoad,
        Hazard::BrakeDust,
        Hazard::Poison,
        Hazard::HotSurface,
        Hazard::EyeInjury,
        Hazard::SharpEdge,
    ];

    /// As an author writes it.
    pub fn name(self) -> &'static str {
        match self {
            Hazard::UnsupportedVehicle => "unsupported vehicle",
            Hazard::StoredSpring => "stored spring",
            Hazard::HighVoltage => "high voltage",
            Hazard::Scald => "scald",
            Hazard::Fire => "fire",
            Hazard::Crush => "crush",
            Hazard::ElectricShock => "electric shock",
            Hazard::Airbag => "airbag",
            Hazard::Refrigerant => "refrigerant",
            Hazard::ExhaustGas => "exhaust gas",
            Hazard::RotatingParts => "rotating parts",
            Hazard::FluidUnderPressure => "fluid under pressure",
            Hazard::BatteryAcid => "battery acid",
            Hazard::CorrosiveFluid => "corrosive fluid",
            Hazard::HeavyLoad => "heavy load",
            Hazard::BrakeDust => "brake dust",
            Hazard::Poison => "poison",
            Hazard::HotSurface => "hot surface",
            Hazard::EyeInjury => "eye injury",
            Hazard::SharpEdge => "sharp edge",
        }
    }

    /// Reads a name in any capitals and spacing.
    pub fn parse(text: &str) -> Option<Hazard> {
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        Hazard::ALL.into_iter().find(|hazard| hazard.name().eq_ignore_ascii_case(&words))
    }

    /// The name at the start of `text` and what follows it: `scald The cap is hot.`; the longest name wins.
    pub fn read(text: &str) -> Option<(Hazard, &str)> {
        let text = text.trim_start();
        let starts = |hazard: &Hazard| {
            let name = hazard.name();
            let start = text.get(..name.len())?;
            let rest = text.get(name.len()..)?;
            let apart = !rest.starts_with(|c: char| c.is_alphanumeric() || c == '-');
            (start.eq_ignore_ascii_case(name) && apart).then_some((*hazard, rest))
        };
        Hazard::ALL.iter().filter_map(starts).max_by_key(|(hazard, _)| hazard.name().len())
    }

    /// The signal word for its severity; an author may raise it, never lower it.
    pub fn signal(self) -> SignalWord {
        match self {
            Hazard::UnsupportedVehicle | Hazard::StoredSpring | Hazard::HighVoltage => SignalWord::Danger,
            Hazard::Scald
            | Hazard::Fire
            | Hazard::Crush
            | Hazard::ElectricShock
            | Hazard::Airbag
            | Hazard::Refrigerant
            | Hazard::ExhaustGas
            | Hazard::RotatingParts
            | Hazard::FluidUnderPressure
            | Hazard::BatteryAcid
            | Hazard::CorrosiveFluid
            | Hazard::HeavyLoad
            | Hazard::BrakeDust
            | Hazard::Poison => SignalWord::Warning,
            Hazard::HotSurface | Hazard::EyeInjury | Hazard::SharpEdge => SignalWord::Caution,
        }
    }

    /// The sign of ISO 7010 that comes nearest.
    pub fn sign(self) -> Sign {
        let (number, meaning) = match self {
            Hazard::UnsupportedVehicle | Hazard::Crush | Hazard::HeavyLoad => ("W019", "crushing"),
            Hazard::HighVoltage | Hazard::ElectricShock => ("W012", "electricity"),
            Hazard::Scald | Hazard::HotSurface => ("W017", "hot surface"),
            Hazard::Fire => ("W021", "flammable material"),
            Hazard::Airbag => ("W002", "explosive material"),
            Hazard::Refrigerant => ("W010", "low temperature"),
            Hazard::ExhaustGas | Hazard::BrakeDust | Hazard::Poison => ("W016", "toxic material"),
            Hazard::RotatingParts => ("W025", "counter-rotating rollers"),
            Hazard::BatteryAcid | Hazard::CorrosiveFluid => ("W023", "corrosive substance"),
            Hazard::SharpEdge => ("W022", "sharp element"),
            Hazard::EyeInjury => ("M004", "eye protection"),
            // No sign of the standard says it better than the general one.
            Hazard::StoredSpring | Hazard::FluidUnderPressure => ("W001", "general warning"),
        };
        Sign { number, meaning }
    }

    /// The standard message.
    pub fn message(self) -> Message {
        let (title, consequence, avoidance) = match self {
            Hazard::UnsupportedVehicle => (
                "Raised vehicle",
                "It slips or sinks, and kills whoever is under it.",
                "Set it on stands on firm, level ground, or lock the lift. Rock it before you go under it.",
            ),
            Hazard::StoredSpring => (
                "Loaded spring",
                "When it lets go it kills or maims.",
                "Cage it with a tool rated for it before you loosen anything. Keep out of its line.",
            ),
            Hazard::HighVoltage => (
                "High voltage",
                "A touch kills, even some time after it is switched off.",
                "Leave it to trained people. Isolate, lock off, wait the stated time, prove it dead.",
            ),
            Hazard::Scald => (
                "Hot liquid",
                "It spurts out and scalds skin and eyes.",
                "Let it cool until a hand can stay on it. Open it slowly, under a thick cloth.",
            ),
            Hazard::Fire => (
                "Fire",
                "A spark or a hot part sets fire to liquid and vapour.",
                "Keep flames, sparks and hot lamps away. Catch what runs out. Have an extinguisher at hand.",
            ),
            Hazard::Crush => (
                "Crushing",
                "A part that drops or closes can crush a hand or a body.",
                "Lock or prop it first. Keep hands and body out from under it.",
            ),
            Hazard::ElectricShock => (
                "Electric shock",
                "The voltage can stop a heart.",
                "Switch off, lock off and prove it dead before you touch it.",
            ),
            Hazard::Airbag => (
                "Airbag or belt tensioner",
                "It can fire and injure whoever is near.",
                "Disconnect the battery and wait the stated time. Carry it facing away from you.",
            ),
            Hazard::Refrigerant => (
                "Refrigerant",
                "It freezes skin and eyes, and takes the air from a closed room.",
                "Recover it by machine, never let it off. Wear goggles and gloves. Air the room.",
            ),
            Hazard::ExhaustGas => (
                "Exhaust gas",
                "It has no smell and kills in a closed room.",
                "Lead it outside, or open the doors wide, before the engine runs.",
            ),
            Hazard::RotatingParts => (
                "Rotating parts",
                "They catch hands, hair and sleeves, and can tear off a limb.",
                "Keep clear while they turn. Stop the engine before you reach in.",
            ),
            Hazard::FluidUnderPressure => (
                "Fluid under pressure",
                "A jet goes through skin; the wound looks small and is not.",
                "Let the pressure off first. Look for leaks with a card. If it pierces skin, go to a hospital at once.",
            ),
            Hazard::BatteryAcid => (
                "Battery acid and gas",
                "The acid burns skin and eyes, and the gas explodes from a spark.",
                "Wear goggles and gloves. Keep sparks and flames away. Rinse splashes with much water at once.",
            ),
            Hazard::CorrosiveFluid => (
                "Corrosive fluid",
                "It burns skin and eyes.",
                "Wear goggles and gloves. Rinse splashes with much water at once.",
            ),
            Hazard::HeavyLoad => (
                "Heavy load",
                "It can fall and crush a foot, or hurt a back for life.",
                "Lift it with a helper, or with a hoist rated for it. Keep out from under it.",
            ),
            Hazard::BrakeDust => (
                "Dust of linings",
                "Breathed in, it can make lungs ill for life.",
                "Never blow it off. Wet it, or use a vacuum cleaner made for it. Wear a dust mask.",
            ),
            Hazard::Poison => (
                "Poison",
                "Swallowed, it can kill people and animals.",
                "Catch it in a marked container that closes. Wipe up every drop. Wash your hands.",
            ),
            Hazard::HotSurface => ("Hot surface", "It burns skin.", "Let it cool, or wear gloves against heat."),
            Hazard::EyeInjury => {
                ("Flying chips or splashes", "They can injure an eye.", "Wear goggles until the work is done.")
            }
            Hazard::SharpEdge => ("Sharp edge", "It cuts fingers.", "Wear gloves that withstand a cut."),
        };
        Message { title, consequence, avoidance }
    }

    /// Whether many places reserve work with it for licensed or specially trained people.
    pub fn needs_licence(self) -> bool {
        matches!(self, Hazard::HighVoltage | Hazard::Airbag | Hazard::Refrigerant)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    /// Classification cases under the definitions of ANSI Z535.4, and the language's own list.
    #[test]
    fn signal_words() {
        assert_eq!(Hazard::ExhaustGas.signal(), SignalWord::Warning);
        assert_eq!(Hazard::Airbag.signal(), SignalWord::Warning);
        assert_eq!(Hazard::SharpEdge.signal(), SignalWord::Caution);
        assert_eq!(Hazard::UnsupportedVehicle.signal(), SignalWord::Danger);
        let mut ranked = Hazard::ALL;
        ranked.sort_by_key(|hazard| std::cmp::Reverse(hazard.signal()));
        assert_eq!(ranked, Hazard::ALL, "ALL is worst first");
    }

    /// ISO 7010 numbers and meanings, compared with a published list; those named in the module's comment from memory.
    #[test]
    fn signs_have_the_meaning_of_iso_7010() {
        let known = [
            ("W001", "general warning"),
            ("W012", "electricity"),
            ("W016", "toxic material"),
            ("W017", "hot surface"),
            ("W019", "crushing"),
            ("W021", "flammable material"),
            ("W023", "corrosive substance"),
            ("M004", "eye protection"),
            ("W002", "explosive material"),
            ("W010", "low temperature"),
            ("W022", "sharp element"),
            ("W025", "counter-rotating rollers"),
        ];
        for hazard in Hazard::ALL {
            let sign = hazard.sign();
            assert!(known.contains(&(sign.number, sign.meaning)), "{hazard:?}: {sign:?}");
        }
    }

    /// ASD-STE100: at most 20 words in a procedural sentence, 25 in a descriptive one.
    #[test]
    fn messages_are_short_whole_and_unlike() {
        let mut seen = HashSet::new();
        for hazard in Hazard::ALL {
            let message = hazard.message();
            assert!(seen.insert(message), "{hazard:?} has the message of another");
            assert!(!message.title.is_empty() && !message.title.ends_with('.'), "{hazard:?}");
            for (text, limit) in [(message.consequence, 25), (message.avoidance, 20)] {
                assert!(text.ends_with('.'), "{hazard:?}: {text}");
                for sentence in text.split_terminator(". ") {
                    let words = sentence.split_whitespace().count();
                    assert!((2..=limit).contains(&words), "{hazard:?}: {sentence}");
                    assert!(sentence.starts_with(char::is_uppercase), "{hazard:?}: {sentence}");
                }
            }
        }
    }

    #[test]
    fn names_read_back() {
        for hazard in Hazard::ALL {
            assert_eq!(Hazard::parse(&hazard.name().to_uppercase()), Some(hazard));
        }
        assert_eq!(Hazard::parse("  fluid  under pressure "), Some(Hazard::FluidUnderPressure));
        assert_eq!(Hazard::parse("fluid"), None);
        assert_eq!(Hazard::read("scald: The cap"), Some((Hazard::Scald, ": The cap")));
        assert_eq!(Hazard::read("Fire extinguisher"), Some((Hazard::Fire, " extinguisher")));
        assert_eq!(Hazard::read("fired clay"), None);
        assert_eq!(Hazard::read("é"), None);
    }
}
