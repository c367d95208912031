//! When the thread it is screwed into gives way first.

use std::f64::consts::PI;

use super::super::thread::Thread;

/// What a bolt is screwed into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Material {
    Steel,
    Iron,
    Aluminium,
}

impl Material {
    /// From the words of an author: `aluminium`, `the alloy housing`, `cast iron`; `None` where they name none of them.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.to_lowercase();
        let has = |words: &[&str]| words.iter().any(|word| text.contains(word));
        if has(&["alumin", "alloy", "magnesium"]) {
            Some(Self::Aluminium)
        } else if has(&["iron"]) {
            Some(Self::Iron)
        } else if has(&["steel"]) {
            Some(Self::Steel)
        } else {
            None
        }
    }

    /// As it is printed.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Steel => "steel",
            Self::Iron => "cast iron",
            Self::Aluminium => "aluminium",
        }
    }

    /// Lowest and highest shear strength in megapascals that such parts are made of: die-cast to wrought aluminium, grey iron
    /// 200 to 300, mild to heat-treated steel. From memory (VDI 2230-1 table A9 gives values in these ranges).
    #[must_use]
    pub fn shear_strength(self) -> (f64, f64) {
        match self {
            Self::Steel => (260.0, 540.0),
            Self::Iron => (200.0, 330.0),
            Self::Aluminium => (110.0, 230.0),
        }
    }
}

/// Lowest and highest tension in newtons at which the inner thread strips, over `engaged` millimetres of full thread.
///
/// A = π d · m/P · (P/2 + (d − D2) tan 30°), F = A · τ (VDI 2230-1, 5.5.5; VDI 2230 takes 0.8 P off for the chamfer, and the
/// factors C1 and C3, which lie between 0.9 and 1 here, are in the lower value). D2 = d − 0.649519 P. `None` for pipe
/// threads.
#[must_use]
pub fn stripping_load(thread: &Thread, engaged_mm: f64, into: Material) -> Option<(f64, f64)> {
    let (diameter, pitch) = (thread.diameter_mm()?, thread.pitch_mm()?);
    if !engaged_mm.is_finite() || engaged_mm <= 0.0 {
        return None;
    }
    let per_length = PI * diameter / pitch * (pitch / 2.0 + 0.649_519 * pitch * (PI / 6.0).tan());
    let (low, high) = into.shear_strength();
    let full = (engaged_mm - 0.8 * pitch).max(0.0);
    Some((0.9 * per_length * full * low, per_length * engaged_mm * high))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rule of thumb of the handbooks (common practice): steel bolts hold 1 d deep in steel, about 2 d deep in aluminium.
    #[test]
    fn depth_by_material() {
        let thread = Thread::parse("M10").unwrap();
        // Breaking load of class 8.8, ISO 898-1.
        let bolt = 46_400.0;
        let holds = |into, depth| stripping_load(&thread, depth, into).unwrap();
        assert!(holds(Material::Steel, 10.0).1 > bolt);
        assert!(holds(Material::Aluminium, 20.0).0 > 0.6 * bolt);
        assert!(
            holds(Material::Aluminium, 5.0).1 < bolt,
            "five millimetres of aluminium never hold an 8.8 bolt to its end"
        );
        assert_eq!(stripping_load(&thread, 0.0, Material::Steel), None);
        assert_eq!(stripping_load(&Thread::parse("1/4-18 NPT").unwrap(), 10.0, Material::Steel), None);
    }

    #[test]
    fn materials_by_name() {
        for (text, material) in [
            ("aluminium", Some(Material::Aluminium)),
            ("the alloy head", Some(Material::Aluminium)),
            ("cast iron", Some(Material::Iron)),
            ("steel", Some(Material::Steel)),
            ("oak", None),
        ] {
            assert_eq!(Material::parse(text), material, "{text}");
        }
    }
}
