//! Which unit the other reader wants, and to how many digits.

use super::number::Number;
use super::table::Usage;
use super::{Kind, Known, Quantity, Spec, Unit};

/// The value of a spec that decides which unit suits it.
pub(super) fn largest(spec: &Spec) -> Option<Quantity> {
    spec.target().cloned().or_else(|| spec.high()).or_else(|| spec.low())
}

/// The unit of the other system that suits this value.
pub(super) fn counterpart(spec: &Spec) -> Option<Unit> {
    match spec.unit().usage() {
        Usage::Everywhere => None,
        Usage::Metric => us_of(&largest(spec)?),
        Usage::Us | Usage::Imperial => metric_of(spec),
    }
}

/// The US customary unit that suits a metric value.
pub(super) fn us_of(quantity: &Quantity) -> Option<Unit> {
    let si = quantity.to_si().to_f64().abs();
    let known = match (quantity.kind(), quantity.unit.known()?) {
        // 15 lbf·ft
        (Kind::Torque, _) if si < 20.337 => Known::PoundForceInch,
        (Kind::Torque, _) => Known::PoundForceFoot,
        // one quart, five gallons
        (Kind::Volume, _) if si < 0.000_946 => Known::UsFluidOunce,
        (Kind::Volume, _) if si < 0.018_927 => Known::UsQuart,
        (Kind::Volume, _) => Known::UsGallon,
        (Kind::Length, Known::Kilometre) => Known::Mile,
        (Kind::Length, Known::Metre) => Known::Foot,
        (Kind::Length, _) => Known::Inch,
        (Kind::Temperature, _) => Known::Fahrenheit,
        (Kind::TemperatureDifference, _) => Known::FahrenheitDifference,
        (Kind::Pressure, Known::MillimetreOfMercury) => Known::InchOfMercury,
        (Kind::Pressure, _) => Known::PoundPerSquareInch,
        (Kind::Force, _) => Known::PoundForce,
        (Kind::Mass, _) if si < 0.4536 => Known::Ounce,
        (Kind::Mass, _) => Known::Pound,
        (Kind::Speed, Known::MetrePerSecond) => Known::FootPerSecond,
        (Kind::Speed, _) => Known::MilePerHour,
        (Kind::Power, _) => Known::Horsepower,
        (Kind::FlowRate, Known::LitrePerHour | Known::CubicMetrePerHour) => Known::UsGallonPerHour,
        (Kind::FlowRate, Known::LitrePerMinute) => Known::UsGallonPerMinute,
        _ => return None,
    };
    Some(Unit::from(known))
}

/// The metric unit that suits a value in another system.
pub(super) fn metric_of(spec: &Spec) -> Option<Unit> {
    let quantity = largest(spec)?;
    let si = quantity.to_si().to_f64().abs();
    let known = match (quantity.kind(), quantity.unit.known()?) {
        (Kind::Torque, _) => Known::NewtonMetre,
        (Kind::Volume, Known::CubicInch) => Known::CubicCentimetre,
        (Kind::Volume, _) if si < 0.000_3 => Known::Millilitre,
        (Kind::Volume, _) => Known::Litre,
        (Kind::Length, Known::Mile) => Known::Kilometre,
        (Kind::Length, Known::Foot | Known::Yard) => Known::Metre,
        (Kind::Length, _) => Known::Millimetre,
        (Kind::Temperature, _) => Known::Celsius,
        (Kind::TemperatureDifference, _) => Known::Kelvin,
        (Kind::Pressure, Known::PoundPerSquareInch) => Known::Bar,
        (Kind::Pressure, _) => Known::Kilopascal,
        (Kind::Force, _) => Known::Newton,
        (Kind::Mass, _) if si < 0.4536 => Known::Gram,
        (Kind::Mass, _) => Known::Kilogram,
        (Kind::Speed, Known::FootPerSecond) => Known::MetrePerSecond,
        (Kind::Speed, _) => Known::KilometrePerHour,
        (Kind::Power, _) => Known::Kilowatt,
        (Kind::FlowRate, Known::UsGallonPerHour) => Known::LitrePerHour,
        (Kind::FlowRate, _) => Known::LitrePerMinute,
        _ => return None,
    };
    Some(Unit::from(known))
}

/// Digits after the point for a range: those of its smaller end, and enough that rounding inwards leaves most of it.
pub(super) fn range_decimals(low: &Number, high: &Number, unit: &Unit) -> u8 {
    let width = high.to_f64() - low.to_f64();
    let mut digits = decimals(low, unit).max(decimals(high, unit));
    while digits < 6 && width > 0.0 && 10_f64.powi(-i32::from(digits)) > width / 5.0 {
        digits += 1;
    }
    digits
}

/// Digits after the point of a converted value.
///
/// Common practice of service literature: three significant digits at most for torque, pressure, force, weight and
/// volume; whole degrees; thousandths of an inch, and ten-thousandths below a millimetre.
pub(super) fn decimals(value: &Number, unit: &Unit) -> u8 {
    if value.is_zero() {
        return 0;
    }
    let size = value.to_f64().abs();
    match unit.known() {
        Some(Known::Fahrenheit | Known::Celsius | Known::FahrenheitDifference) => 0,
        Some(Known::Kelvin) => 1,
        Some(Known::Inch) => by_size(size, &[(0.0004, 5), (0.0393, 4)], 3),
        Some(Known::Millimetre) => by_size(size, &[(1.0, 3), (100.0, 2), (1000.0, 1)], 0),
        Some(Known::Metre | Known::Bar) => by_size(size, &[(0.1, 3), (10.0, 2), (100.0, 1)], 0),
        Some(Known::UsQuart | Known::UsGallon) => by_size(size, &[(1.0, 2), (100.0, 1)], 0),
        Some(Known::Litre | Known::Kilogram | Known::Pound) => by_size(size, &[(10.0, 2), (100.0, 1)], 0),
        Some(Known::PoundForce | Known::Newton) => by_size(size, &[(0.1, 3), (1.0, 2), (100.0, 1)], 0),
        Some(Known::MilePerHour | Known::KilometrePerHour | Known::Mile | Known::Kilometre) => {
            by_size(size, &[(1.0, 2), (10.0, 1)], 0)
        }
        _ => by_size(size, &[(0.1, 3), (1.0, 2), (100.0, 1)], 0),
    }
}

fn by_size(size: f64, steps: &[(f64, u8)], above: u8) -> u8 {
    steps.iter().find(|(limit, _)| size < *limit).map_or(above, |(_, decimals)| *decimals)
}
