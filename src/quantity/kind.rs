//! What a quantity measures.

/// What a quantity measures. Quantities of different kinds are never compared or converted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// Tightening and turning moments, in newton metres.
    Torque,
    /// Fluids, in cubic metres.
    Volume,
    /// Lengths and distances, in metres.
    Length,
    /// Angles and turns, in degrees (radians would not be exact).
    Angle,
    /// Temperatures on a scale, in kelvins.
    Temperature,
    /// How much warmer one thing is than another, in kelvins.
    TemperatureDifference,
    /// Durations, in seconds.
    Time,
    /// Percentages; 1 is the whole.
    Ratio,
    /// Pressures, in pascals.
    Pressure,
    /// Forces, in newtons.
    Force,
    /// Masses, which the shop calls weights, in kilograms.
    Mass,
    /// Speeds of rotation, in turns a second.
    RotationSpeed,
    /// Oscillations, such as a belt's note, in hertz.
    Frequency,
    /// Road and linear speeds, in metres a second.
    Speed,
    /// In volts.
    Voltage,
    /// In amperes.
    Current,
    /// In ohms.
    Resistance,
    /// In watts.
    Power,
    /// In joules.
    Energy,
    /// Volume in a time, in cubic metres a second.
    FlowRate,
    /// Battery capacity, in coulombs.
    Charge,
    /// Mass in a volume, in kilograms a cubic metre.
    Density,
    /// Things that are counted: clicks, teeth, strokes.
    Count,
}

impl Kind {
    /// Every kind, for tests and lists.
    pub const ALL: [Kind; 23] = [
        Kind::Torque,
        Kind::Volume,
        Kind::Length,
        Kind::Angle,
        Kind::Temperature,
        Kind::TemperatureDifference,
        Kind::Time,
        Kind::Ratio,
        Kind::Pressure,
        Kind::Force,
        Kind::Mass,
        Kind::RotationSpeed,
        Kind::Frequency,
        Kind::Speed,
        Kind::Voltage,
        Kind::Current,
        Kind::Resistance,
        Kind::Power,
        Kind::Energy,
        Kind::FlowRate,
        Kind::Charge,
        Kind::Density,
        Kind::Count,
    ];

    /// The word for it in the shop.
    pub fn name(self) -> &'static str {
        match self {
            Kind::Torque => "torque",
            Kind::Volume => "volume",
            Kind::Length => "length",
            Kind::Angle => "angle",
            Kind::Temperature => "temperature",
            Kind::TemperatureDifference => "temperature difference",
            Kind::Time => "time",
            Kind::Ratio => "percentage",
            Kind::Pressure => "pressure",
            Kind::Force => "force",
            Kind::Mass => "weight",
            Kind::RotationSpeed => "speed of rotation",
            Kind::Frequency => "frequency",
            Kind::Speed => "speed",
            Kind::Voltage => "voltage",
            Kind::Current => "current",
            Kind::Resistance => "resistance",
            Kind::Power => "power",
            Kind::Energy => "energy",
            Kind::FlowRate => "flow rate",
            Kind::Charge => "battery capacity",
            Kind::Density => "density",
            Kind::Count => "count",
        }
    }

    /// The kind of this name, as `given` and `reads` write it; a few words that mean the same are read too.
    pub fn named(name: &str) -> Option<Kind> {
        let name = name.trim().to_lowercase();
        if let Some(kind) = Kind::ALL.iter().find(|kind| kind.name() == name) {
            return Some(*kind);
        }
        Some(match name.as_str() {
            "mass" => Kind::Mass,
            "percent" | "ratio" | "share" => Kind::Ratio,
            "rotation speed" | "rpm" => Kind::RotationSpeed,
            "distance" | "travel" | "depth" | "gap" | "thickness" | "diameter" | "height" | "play" | "run-out" => {
                Kind::Length
            }
            "load" | "pull" => Kind::Force,
            "vacuum" => Kind::Pressure,
            "number" => Kind::Count,
            "duration" => Kind::Time,
            _ => return None,
        })
    }

    /// The name with its article, for sentences: `a torque`, `an angle`.
    pub fn with_article(self) -> String {
        let name = self.name();
        let article = if name.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
        format!("{article} {name}")
    }

    /// One that reads well in a message.
    pub fn example(self) -> &'static str {
        match self {
            Kind::Torque => "25 N·m",
            Kind::Volume => "6.8 L",
            Kind::Length => "0.25 mm",
            Kind::Angle => "90°",
            Kind::Temperature => "80 °C",
            Kind::TemperatureDifference => "15 K",
            Kind::Time => "10 min",
            Kind::Ratio => "50 %",
            Kind::Pressure => "1.1 bar",
            Kind::Force => "22 N",
            Kind::Mass => "14 kg",
            Kind::RotationSpeed => "1200 rpm",
            Kind::Frequency => "70 Hz",
            Kind::Speed => "50 km/h",
            Kind::Voltage => "12.6 V",
            Kind::Current => "5 A",
            Kind::Resistance => "0.4 Ω",
            Kind::Power => "30 kW",
            Kind::Energy => "80 mJ",
            Kind::FlowRate => "12 L/min",
            Kind::Charge => "70 A·h",
            Kind::Density => "1.28 kg/L",
            Kind::Count => "5 clicks",
        }
    }

    /// Whether a value below nought can be meant at all.
    ///
    /// A protrusion, a camber angle, a vacuum or a voltage can be negative; a torque or a volume can not.
    pub fn can_be_negative(self) -> bool {
        matches!(
            self,
            Kind::Length
                | Kind::Angle
                | Kind::Temperature
                | Kind::TemperatureDifference
                | Kind::Ratio
                | Kind::Pressure
                | Kind::Speed
                | Kind::Voltage
                | Kind::Current
                | Kind::Power
                | Kind::Energy
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::parse_quantity;

    #[test]
    fn every_example_is_of_its_kind_and_spelled_canonically() {
        for kind in Kind::ALL {
            let quantity = parse_quantity(kind.example()).unwrap();
            assert_eq!(quantity.kind(), kind);
            assert_eq!(quantity.to_string(), kind.example());
        }
    }
}
