//! What an author's own warning is about, where it names no hazard of the language: `Hot coolant scalds.`

use super::Hazard;
use super::{holds, words_of};

/// Each hazard with the words that speak of it. In one group all words must stand, parted by `+`; groups are parted by
/// `|`. Common practice: the words that a message about it can hardly do without.
const WORDS: &[(Hazard, &str)] = &[
    (
        Hazard::UnsupportedVehicle,
        "axle stand|under+vehicle|under+truck|under+trailer|under+van|under+car|under+jack|under+machine",
    ),
    (
        Hazard::StoredSpring,
        "spring+load|spring+loaded|spring+compressed|spring+energy|spring+cage|spring+caged|spring+fly|\
        spring+flies|spring+tension|spring+line|spring+kill|spring+force",
    ),
    (Hazard::HighVoltage, "high voltage"),
    (Hazard::Scald, "scald|scalding|hot+coolant|hot+water|hot+oil|hot+liquid|hot+fluid|hot+steam"),
    (Hazard::Fire, "fire|flame|naked light|ignite|flammable|smoke|spark"),
    (Hazard::Crush, "crush|crushes|crushed|crushing"),
    (Hazard::ElectricShock, "electric shock|electrocution|mains|230 v"),
    (Hazard::Airbag, "airbag|air bag|module+fire"),
    (Hazard::Refrigerant, "refrigerant|frostbite"),
    (Hazard::ExhaustGas, "exhaust gas|exhaust fume|carbon monoxide|fume"),
    (
        Hazard::RotatingParts,
        "rotating|fan+turning|fan+turn|fan+clear|belt+clear|fan+sleeve|belt+sleeve|belt+finger|fan+finger",
    ),
    (Hazard::FluidUnderPressure, "pressure|jet"),
    (Hazard::BatteryAcid, "acid"),
    (Hazard::CorrosiveFluid, "corrosive|brake fluid+skin|brake fluid+eye|fluid+burn"),
    (Hazard::HeavyLoad, "heavy|weigh|two people|two person|helper|hoist"),
    (Hazard::BrakeDust, "dust"),
    (Hazard::Poison, "poison|poisonous|toxic|swallow|swallowed"),
    (
        Hazard::HotSurface,
        "hot+surface|hot+manifold|hot+exhaust|hot+pipe|hot+housing|hot+drum|hot+disc|hot+silencer|hot+engine",
    ),
    (Hazard::EyeInjury, "goggle|eye|safety glass|face shield"),
    (Hazard::SharpEdge, "sharp|cut+finger|cut+hand|glass"),
];

/// The hazards that a message speaks of, the worst first.
pub fn warns_of(prose: &str) -> Vec<Hazard> {
    let mut found = Vec::new();
    for sentence in prose.split(['.', '!', ';']) {
        // A name ends where `of` begins; a sentence goes on.
        let words: Vec<String> = sentence.split_whitespace().flat_map(words_of).collect();
        for (hazard, groups) in WORDS {
            let group_stands = |group: &str| group.split('+').all(|part| holds(&words, part.trim()));
            if groups.split('|').any(group_stands) {
                found.push(*hazard);
            }
        }
    }
    found.sort_unstable();
    found.dedup();
    found
}

#[cfg(test)]
mod tests {
    use super::Hazard::*;
    use super::*;

    #[test]
    fn a_message_in_the_authors_words_is_about_what_it_names() {
        let cases: &[(&str, &[Hazard])] = &[
            ("Hot coolant scalds. Open the cap slowly.", &[Scald]),
            ("The spring is loaded. Stay out of its line.", &[StoredSpring]),
            ("Diesel burns: no flames near the bench.", &[Fire]),
            ("Nobody goes under the truck before it stands on stands.", &[UnsupportedVehicle]),
            ("The airbag can fire. Carry it facing away.", &[Fire, Airbag]),
            ("Dust of linings makes lungs ill. Wet it.", &[BrakeDust]),
            ("Wear goggles.", &[EyeInjury]),
            ("Keep fingers clear of the turning fan.", &[RotatingParts]),
            ("It weighs more than it looks. Lift it with a helper.", &[HeavyLoad]),
            ("One grain of sand ends the new pump. Cover both ends.", &[]),
            ("Spring the clip open.", &[]),
            ("", &[]),
        ];
        for (text, hazards) in cases {
            assert_eq!(warns_of(text), *hazards, "{text}");
        }
    }
}
