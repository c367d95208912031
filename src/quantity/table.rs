//! The table of units: kind, system, canonical spelling, exact factor, spellings read.
//!
//! Every factor follows exactly from 1 lb = 0.45359237 kg, 1 in = 25.4 mm, standard gravity 9.80665 m/s²,
//! 1 US gal = 231 in³, 1 imp gal = 4.54609 L and conventional mercury of 13 595.1 kg/m³
//! (NIST SP 811 (2008) App. B.8; BIPM SI Brochure, 9th edition).

use super::kind::Kind;

/// Which reader a unit belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Usage {
    /// Read where metric units are.
    Metric,
    /// US customary.
    Us,
    /// British imperial: converted for everybody.
    Imperial,
    /// The same everywhere: volts, minutes, degrees of angle.
    Everywhere,
}

/// What is known of a unit.
#[derive(Clone, Copy, Debug)]
pub struct Definition {
    /// What it measures.
    pub kind: Kind,
    /// Who reads it.
    pub usage: Usage,
    /// The one canonical spelling.
    pub symbol: &'static str,
    /// Top and bottom of the factor to the unit named at [`Kind`].
    pub factor: (i128, i128),
    /// Hundredths to add before the factor is applied; only thermometer scales have it.
    pub offset_hundredths: i128,
    /// Other spellings that are read, with `·` for any joint between words.
    pub spellings: &'static [&'static str],
}

// One row a unit keeps the variant, its factor and its spellings side by side; a plain enum and a match would
// repeat every name three times.
macro_rules! units {
    ($( $name:ident $kind:ident $usage:ident $symbol:literal ($top:expr, $bottom:expr) $(+ $offset:literal)? [$($spelling:literal),*] )*) => {
        /// The units with a factor.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[allow(missing_docs)]
        pub enum Known { $($name),* }

        impl Known {
            /// Every unit of the table.
            pub const ALL: &'static [Known] = &[$(Known::$name),*];

            /// The row of this unit.
            pub fn definition(self) -> Definition {
                match self {
                    $(Known::$name => Definition {
                        kind: Kind::$kind,
                        usage: Usage::$usage,
                        symbol: $symbol,
                        factor: ($top, $bottom),
                        offset_hundredths: 0 $(+ $offset)?,
                        spellings: &[$($spelling),*],
                    }),*
                }
            }
        }
    };
}

const E2: i128 = 100;
const E3: i128 = 1_000;
const E5: i128 = 100_000;
const E6: i128 = 1_000_000;
const E7: i128 = 10_000_000;
const E8: i128 = 100_000_000;
const E9: i128 = 1_000_000_000;
const E10: i128 = 10_000_000_000;
const E11: i128 = 100_000_000_000;
const E12: i128 = 1_000_000_000_000;
const E13: i128 = 10_000_000_000_000;
const E14: i128 = 100_000_000_000_000;
const E16: i128 = 10_000_000_000_000_000;
const E17: i128 = 100_000_000_000_000_000;

units! {
    // torque, in N·m
    NewtonMetre Torque Metric "N·m" (1, 1) ["Nm", "newton·metre", "newton·metres", "newton·meter", "newton·meters"]
    NewtonCentimetre Torque Metric "N·cm" (1, E2) ["Ncm"]
    KilogramForceMetre Torque Metric "kgf·m" (980_665, E5) ["kgfm", "kgm", "kg·m", "kp·m", "kpm", "m·kgf", "m·kg", "mkg"]
    KilogramForceCentimetre Torque Metric "kgf·cm" (980_665, E7) ["kgfcm", "kg·cm", "kgcm", "kp·cm"]
    PoundForceFoot Torque Us "lbf·ft" (13_558_179_483_314_004, E16) [
        "lbfft", "lb·ft", "lbft", "lbs·ft", "ft·lb", "ftlb", "ft·lbs", "ftlbs", "ft·lbf", "ftlbf", "pound·feet", "pound·foot",
        "pounds·feet", "foot·pound", "foot·pounds", "lb/ft", "ft/lb", "ft/lbs"]
    PoundForceInch Torque Us "lbf·in" (1_129_848_290_276_167, E16) [
        "lbfin", "lb·in", "lbin", "lbs·in", "in·lb", "inlb", "in·lbs", "inlbs", "in·lbf", "inlbf", "inch·pound", "inch·pounds",
        "pound·inch", "pound·inches", "in/lb", "in/lbs"]
    OunceForceInch Torque Us "ozf·in" (1_129_848_290_276_167, 16 * E16) ["oz·in", "ozin", "in·oz", "inoz", "in·ozf", "inch·ounce", "inch·ounces"]

    // volume, in m³
    Litre Volume Metric "L" (1, E3) ["l", "ltr", "litre", "litres", "liter", "liters"]
    Decilitre Volume Metric "dL" (1, 10 * E3) ["dl"]
    Centilitre Volume Metric "cL" (1, E5) ["cl"]
    Millilitre Volume Metric "mL" (1, E6) ["ml", "millilitre", "millilitres", "milliliter", "milliliters"]
    CubicCentimetre Volume Metric "cm³" (1, E6) ["cm3", "cc", "ccm", "cu·cm"]
    CubicMillimetre Volume Metric "mm³" (1, E9) ["mm3"]
    CubicMetre Volume Metric "m³" (1, 1) ["m3"]
    UsGallon Volume Us "US gal" (3_785_411_784, E12) ["US·gallon", "US·gallons", "gal·US", "gal·(US)", "U.S.·gal", "U.S.·gallon", "U.S.·gallons"]
    UsQuart Volume Us "US qt" (946_352_946, E12) ["US·quart", "US·quarts", "qt·US", "qt·(US)", "U.S.·qt", "U.S.·quart", "U.S.·quarts"]
    UsPint Volume Us "US pt" (473_176_473, E12) ["US·pint", "US·pints", "pt·US", "pt·(US)", "U.S.·pt", "U.S.·pint", "U.S.·pints"]
    UsFluidOunce Volume Us "US fl oz" (295_735_295_625, E16) [
        "fl·oz", "floz", "US·fl·ounce", "US·fl·ounces", "fluid·ounce", "fluid·ounces", "US·fluid·ounce", "US·fluid·ounces", "U.S.·fl·oz"]
    CubicInch Volume Us "in³" (16_387_064, E12) ["in3", "cu·in", "cubic·inch", "cubic·inches"]
    ImperialGallon Volume Imperial "imp gal" (454_609, E8) ["imperial·gallon", "imperial·gallons", "imp·gallon", "imp·gallons", "UK·gal", "UK·gallon", "UK·gallons"]
    ImperialQuart Volume Imperial "imp qt" (11_365_225, E10) ["imperial·quart", "imperial·quarts", "imp·quart", "imp·quarts", "UK·qt"]
    ImperialPint Volume Imperial "imp pt" (56_826_125, E11) ["imperial·pint", "imperial·pints", "imp·pint", "imp·pints", "UK·pt", "UK·pint", "UK·pints"]
    ImperialFluidOunce Volume Imperial "imp fl oz" (284_130_625, E13) ["imperial·fl·oz", "UK·fl·oz"]

    // length, in m
    Millimetre Length Metric "mm" (1, E3) ["millimetre", "millimetres", "millimeter", "millimeters"]
    Centimetre Length Metric "cm" (1, E2) ["centimetre", "centimetres", "centimeter", "centimeters"]
    Metre Length Metric "m" (1, 1) ["metre", "metres", "meter", "meters"]
    Kilometre Length Metric "km" (E3, 1) ["kilometre", "kilometres", "kilometer", "kilometers", "kms"]
    Micrometre Length Metric "µm" (1, E6) ["um", "micron", "microns", "micrometre", "micrometres", "micrometer", "micrometers"]
    Inch Length Us "in" (254, 10 * E3) ["inch", "inches", "\"", "″"]
    Thou Length Us "thou" (254, 10 * E6) ["mil", "mils"]
    Foot Length Us "ft" (3048, 10 * E3) ["foot", "feet", "′"]
    Yard Length Us "yd" (9144, 10 * E3) ["yard", "yards"]
    Mile Length Us "miles" (1_609_344, E3) ["mile", "mi"]

    // angle, in degrees
    Degree Angle Everywhere "°" (1, 1) ["deg", "degs", "degree", "degrees", "º"]
    ArcMinute Angle Everywhere "arcmin" (1, 60) ["arc·min", "arc·minute", "arc·minutes"]
    Turn Angle Everywhere "turn" (360, 1) ["turns", "rev", "revs", "revolution", "revolutions"]

    // temperature, in K
    Celsius Temperature Metric "°C" (1, 1) + 27_315 ["C", "ºC", "degC", "deg·C", "°·C", "℃", "Celsius", "degrees·C", "degree·C", "degrees·Celsius", "degree·Celsius"]
    Fahrenheit Temperature Us "°F" (5, 9) + 45_967 ["F", "ºF", "degF", "deg·F", "°·F", "℉", "Fahrenheit", "degrees·F", "degree·F", "degrees·Fahrenheit", "degree·Fahrenheit"]
    Kelvin TemperatureDifference Metric "K" (1, 1) ["kelvin", "kelvins", "°C·difference"]
    FahrenheitDifference TemperatureDifference Us "°F difference" (5, 9) []

    // time, in s
    Second Time Everywhere "s" (1, 1) ["sec", "secs", "second", "seconds"]
    Minute Time Everywhere "min" (60, 1) ["mins", "minute", "minutes"]
    Hour Time Everywhere "h" (3600, 1) ["hr", "hrs", "hour", "hours"]
    Day Time Everywhere "day" (86_400, 1) ["days"]
    Week Time Everywhere "week" (604_800, 1) ["weeks", "wk", "wks"]
    // A twelfth of the Julian year of 365.25 days; only used to compare, printed as months.
    Month Time Everywhere "month" (2_629_800, 1) ["months"]
    Year Time Everywhere "year" (31_557_600, 1) ["years", "yr", "yrs"]

    Percent Ratio Everywhere "%" (1, E2) ["percent", "per·cent", "pct"]

    // pressure, in Pa
    Bar Pressure Metric "bar" (E5, 1) ["bars"]
    Millibar Pressure Metric "mbar" (E2, 1) ["millibar", "millibars"]
    Pascal Pressure Metric "Pa" (1, 1) ["pascal", "pascals"]
    Hectopascal Pressure Metric "hPa" (E2, 1) []
    Kilopascal Pressure Metric "kPa" (E3, 1) ["kilopascal", "kilopascals"]
    Megapascal Pressure Metric "MPa" (E6, 1) ["megapascal", "megapascals", "N/mm²", "N/mm2"]
    KilogramForcePerSquareCentimetre Pressure Metric "kgf/cm²" (980_665, 10) ["kgf/cm2", "kg/cm²", "kg/cm2"]
    PoundPerSquareInch Pressure Us "psi" (44_482_216_152_605, 6_451_600_000) ["psig", "lb/in²", "lb/in2", "lbf/in²", "lbf/in2", "lbs/in²"]
    // The conventional inch and millimetre of mercury and inch of water, not those at 32 °F or 60 °F.
    InchOfMercury Pressure Us "inHg" (3_386_388_640_341, E9) ["in·Hg", "\"Hg", "inches·Hg", "inch·Hg", "inches·of·mercury"]
    MillimetreOfMercury Pressure Metric "mmHg" (133_322_387_415, E9) ["mm·Hg"]
    InchOfWater Pressure Us "inH2O" (24_908_891, E5) ["in·H2O", "inH₂O", "in·H₂O", "\"H2O", "inches·H2O", "inches·of·water"]

    // force, in N
    Newton Force Metric "N" (1, 1) ["newton", "newtons"]
    Kilonewton Force Metric "kN" (E3, 1) ["kilonewton", "kilonewtons"]
    KilogramForce Force Metric "kgf" (980_665, E5) ["kp"]
    PoundForce Force Us "lbf" (44_482_216_152_605, E13) ["pound·force", "pounds·force"]
    OunceForce Force Us "ozf" (27_801_385_095_378_125, E17) []

    // mass, in kg
    Kilogram Mass Metric "kg" (1, 1) ["kgs", "kilogram", "kilograms", "kilo", "kilos"]
    Gram Mass Metric "g" (1, E3) ["gram", "grams", "grm"]
    Milligram Mass Metric "mg" (1, E6) []
    Tonne Mass Metric "t" (E3, 1) ["tonne", "tonnes"]
    Pound Mass Us "lb" (45_359_237, E8) ["lbs", "pound", "pounds"]
    Ounce Mass Us "oz" (28_349_523_125, E12) ["ounce", "ounces"]

    // rotation, in turns a second
    TurnPerMinute RotationSpeed Everywhere "rpm" (1, 60) ["r/min", "rev/min", "revs/min", "1/min", "min⁻¹"]

    Hertz Frequency Everywhere "Hz" (1, 1) ["hertz"]
    Kilohertz Frequency Everywhere "kHz" (E3, 1) ["kilohertz"]

    // speed, in m/s
    KilometrePerHour Speed Metric "km/h" (5, 18) ["kmh", "kph", "km/hr"]
    MetrePerSecond Speed Metric "m/s" (1, 1) []
    MilePerHour Speed Us "mph" (44_704, E5) ["mi/h", "miles/h", "miles/hour", "miles·per·hour"]
    FootPerSecond Speed Us "ft/s" (3048, 10 * E3) []

    // electric
    Volt Voltage Everywhere "V" (1, 1) ["volt", "volts", "v"]
    Millivolt Voltage Everywhere "mV" (1, E3) ["millivolt", "millivolts"]
    Kilovolt Voltage Everywhere "kV" (E3, 1) ["kilovolt", "kilovolts"]
    Ampere Current Everywhere "A" (1, 1) ["amp", "amps", "ampere", "amperes"]
    Milliampere Current Everywhere "mA" (1, E3) ["milliamp", "milliamps"]
    Microampere Current Everywhere "µA" (1, E6) ["uA", "microamp", "microamps"]
    Ohm Resistance Everywhere "Ω" (1, 1) ["ohm", "ohms", "Ohm", "Ohms"]
    Milliohm Resistance Everywhere "mΩ" (1, E3) ["mohm", "milliohm", "milliohms"]
    Kiloohm Resistance Everywhere "kΩ" (E3, 1) ["kohm", "kohms", "kilohm", "kilohms"]
    Megaohm Resistance Everywhere "MΩ" (E6, 1) ["Mohm", "Mohms", "megohm", "megohms"]

    // power, in W
    Watt Power Everywhere "W" (1, 1) ["watt", "watts"]
    Kilowatt Power Metric "kW" (E3, 1) ["kilowatt", "kilowatts"]
    // 550 ft·lbf/s
    Horsepower Power Us "hp" (74_569_987_158_227_022, E14) ["HP", "horsepower", "bhp"]
    MetricHorsepower Power Metric "PS" (73_549_875, E5) ["metric·hp"]

    // energy, in J
    Joule Energy Everywhere "J" (1, 1) ["joule", "joules"]
    Millijoule Energy Everywhere "mJ" (1, E3) []
    Kilojoule Energy Everywhere "kJ" (E3, 1) []
    Megajoule Energy Everywhere "MJ" (E6, 1) []
    WattHour Energy Everywhere "W·h" (3600, 1) ["Wh"]
    KilowattHour Energy Everywhere "kW·h" (3_600_000, 1) ["kWh"]

    // flow, in m³/s
    LitrePerMinute FlowRate Metric "L/min" (1, 60 * E3) ["l/min", "lpm", "L·per·minute", "litres·per·minute", "liters·per·minute", "litres/min", "liters/min"]
    LitrePerHour FlowRate Metric "L/h" (1, 3600 * E3) ["l/h", "L/hr", "l/hr", "litres/h"]
    MillilitrePerMinute FlowRate Metric "mL/min" (1, 60 * E6) ["ml/min", "cm³/min", "cc/min"]
    CubicMetrePerHour FlowRate Metric "m³/h" (1, 3600) ["m3/h"]
    UsGallonPerMinute FlowRate Us "US gal/min" (3_785_411_784, 60 * E12) ["US·gpm", "U.S.·gal/min", "gpm·US"]
    UsGallonPerHour FlowRate Us "US gal/h" (3_785_411_784, 3600 * E12) ["US·gph"]
    ImperialGallonPerMinute FlowRate Imperial "imp gal/min" (454_609, 60 * E8) ["imp·gpm"]
    CubicFootPerMinute FlowRate Us "ft³/min" (28_316_846_592, 60 * E12) ["ft3/min", "cfm"]

    AmpereHour Charge Everywhere "A·h" (3600, 1) ["Ah", "amp·hour", "amp·hours", "ampere·hour", "ampere·hours"]
    MilliampereHour Charge Everywhere "mA·h" (36, 10) ["mAh"]

    // density, in kg/m³
    KilogramPerLitre Density Everywhere "kg/L" (E3, 1) ["kg/l", "g/cm³", "g/cm3", "g/ml", "g/mL"]
    GramPerLitre Density Everywhere "g/L" (1, 1) ["g/l", "kg/m³", "kg/m3"]
    MilligramPerLitre Density Everywhere "mg/L" (1, E3) ["mg/l"]
}
