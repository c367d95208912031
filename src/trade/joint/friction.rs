//! Friction in the thread and under the head, by what is on them.

/// Lowest and highest coefficient of friction that must be reckoned with.
///
/// The classes of VDI 2230-1 table A5 (from memory): A 0.04 to 0.10, B 0.08 to 0.16, C 0.14 to 0.24.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Friction {
    pub low: f64,
    pub high: f64,
}

impl Friction {
    /// Nothing is said: oiled as delivered, or dry (classes B and C).
    pub const UNSAID: Self = Self { low: 0.08, high: 0.24 };
    /// Clean and dry (class C).
    pub const DRY: Self = Self { low: 0.14, high: 0.24 };
    /// Oiled (class B).
    pub const OILED: Self = Self { low: 0.08, high: 0.16 };
    /// Pastes and lacquers with solid lubricant (class A), and up to what worn or thin paste gives (common practice).
    pub const ANTI_SEIZE: Self = Self { low: 0.04, high: 0.14 };
    /// Anaerobic locker, wet: it oils some threads and binds others, so both classes B and C (common practice).
    pub const THREAD_LOCK: Self = Self { low: 0.08, high: 0.24 };

    /// One known value.
    #[must_use]
    pub fn exactly(value: f64) -> Self {
        Self { low: value, high: value }
    }
}
