//! What one person may lift.

use crate::quantity::{Kind, Quantity};

/// The most that one person lifts by hand, kg.
///
/// ISO 11228-1 takes 25 kg as the reference mass for men between 18 and 45 in good conditions (close to the body, now and
/// then), 20 kg for women and older men (from memory). Common practice of workshops takes the 25 kg.
pub const MOST_FOR_ONE_KG: f64 = 25.0;

/// Whether a thing of this mass needs a second person or a hoist.
pub fn is_too_heavy_for_one(mass: &Quantity) -> bool {
    mass.kind() == Kind::Mass && mass.to_si().to_f64() > MOST_FOR_ONE_KG
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 11228-1 (from memory): 25 kg itself is still one person's.
    #[test]
    fn more_than_25_kg_is_not_for_one() {
        for (mass, heavy) in
            [("9 kg", false), ("25 kg", false), ("25.1 kg", true), ("55 lb", false), ("56 lb", true), ("90 mm", false)]
        {
            assert_eq!(is_too_heavy_for_one(&crate::quantity::parse_quantity(mass).unwrap()), heavy, "{mass}");
        }
    }
}
