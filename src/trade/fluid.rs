//! The kinds of fluid, and the hazards each brings.

use super::coolant::Glycol;
use super::hazard::Hazard;

/// What kind a fluid is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FluidKind {
    /// Poisonous; mixed with water.
    EthyleneGlycolCoolant,
    /// Less poisonous; mixed with water.
    PropyleneGlycolCoolant,
    /// For engines.
    EngineOil,
    /// For gearboxes and axles.
    GearOil,
    /// For hydraulics and power steering.
    HydraulicOil,
    /// For brakes and clutches.
    BrakeFluid,
    /// Petrol, diesel, gas.
    Fuel,
    /// Of an air conditioner.
    Refrigerant,
    /// Sulphuric acid.
    BatteryAcid,
    /// Of brakes and tools.
    CompressedAir,
    /// For bearings and joints.
    Grease,
    /// For windows.
    WasherFluid,
    /// Anything else.
    Other,
}

impl FluidKind {
    /// All of them.
    pub const ALL: [FluidKind; 13] = [
        FluidKind::EthyleneGlycolCoolant,
        FluidKind::PropyleneGlycolCoolant,
        FluidKind::EngineOil,
        FluidKind::GearOil,
        FluidKind::HydraulicOil,
        FluidKind::BrakeFluid,
        FluidKind::Fuel,
        FluidKind::Refrigerant,
        FluidKind::BatteryAcid,
        FluidKind::CompressedAir,
        FluidKind::Grease,
        FluidKind::WasherFluid,
        FluidKind::Other,
    ];

    /// As an author writes it.
    pub fn name(self) -> &'static str {
        match self {
            FluidKind::EthyleneGlycolCoolant => "ethylene glycol coolant",
            FluidKind::PropyleneGlycolCoolant => "propylene glycol coolant",
            FluidKind::EngineOil => "engine oil",
            FluidKind::GearOil => "gear oil",
            FluidKind::HydraulicOil => "hydraulic oil",
            FluidKind::BrakeFluid => "brake fluid",
            FluidKind::Fuel => "fuel",
            FluidKind::Refrigerant => "refrigerant",
            FluidKind::BatteryAcid => "battery acid",
            FluidKind::CompressedAir => "compressed air",
            FluidKind::Grease => "grease",
            FluidKind::WasherFluid => "washer fluid",
            FluidKind::Other => "other",
        }
    }

    /// Reads a name in any capitals and spacing.
    pub fn parse(text: &str) -> Option<FluidKind> {
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        FluidKind::ALL.into_iter().find(|kind| kind.name().eq_ignore_ascii_case(&words))
    }

    /// What draining it, filling it or opening its circuit brings; worst first. Common practice.
    pub fn hazards(self) -> &'static [Hazard] {
        match self {
            FluidKind::EthyleneGlycolCoolant => &[Hazard::Scald, Hazard::Poison],
            FluidKind::PropyleneGlycolCoolant | FluidKind::EngineOil => &[Hazard::Scald],
            FluidKind::HydraulicOil | FluidKind::CompressedAir => &[Hazard::FluidUnderPressure],
            FluidKind::BrakeFluid => &[Hazard::CorrosiveFluid],
            FluidKind::Fuel => &[Hazard::Fire],
            FluidKind::Refrigerant => &[Hazard::Refrigerant],
            FluidKind::BatteryAcid => &[Hazard::BatteryAcid],
            FluidKind::WasherFluid => &[Hazard::Poison],
            FluidKind::GearOil | FluidKind::Grease | FluidKind::Other => &[],
        }
    }

    /// The glycol of a coolant; `None` for anything that is no coolant.
    pub fn glycol(self) -> Option<Glycol> {
        match self {
            FluidKind::EthyleneGlycolCoolant => Some(Glycol::Ethylene),
            FluidKind::PropyleneGlycolCoolant => Some(Glycol::Propylene),
            _ => None,
        }
    }

    /// Whether many places reserve work on its circuit for licensed people.
    pub fn needs_licence(self) -> bool {
        self.hazards().iter().any(|hazard| hazard.needs_licence())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_read_back() {
        for kind in FluidKind::ALL {
            assert_eq!(FluidKind::parse(&kind.name().to_uppercase()), Some(kind));
        }
        assert_eq!(FluidKind::parse("milk"), None);
    }

    #[test]
    fn hazards_are_worst_first_and_only_refrigerant_needs_a_licence() {
        for kind in FluidKind::ALL {
            assert!(kind.hazards().is_sorted(), "{kind:?}: Hazard is declared worst first");
            assert_eq!(kind.needs_licence(), kind == FluidKind::Refrigerant, "{kind:?}");
        }
    }
}
