//! The bolted joint: how much preload a torque gives, and which torque a bolt withstands.
//!
//! The elastic-limit method of VDI 2230-1: a bolt is tightened until tension and torsion together load it to a part (usually
//! 90 %) of its yield point. Friction is never known well: every result is a band over the friction that the thread's
//! condition allows.

pub mod bearing;
pub mod friction;
pub mod plausible;
pub mod strip;

use std::f64::consts::PI;

use super::strength::Strength;
use super::thread::Thread;
pub use bearing::Head;
pub use friction::Friction;

/// Part of the yield point that tension and torsion together may reach when it is tightened (VDI 2230-1).
pub const USE_OF_YIELD: f64 = 0.9;

/// What tightening to a part of the yield point gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Assembly {
    /// Tension in the bolt, in newtons.
    pub preload: f64,
    /// At the wrench, in newton metres.
    pub torque: f64,
}

/// A thread under a head or nut, with the lengths that the formulas need, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joint {
    pitch: f64,
    /// Pitch diameter d2.
    d2: f64,
    /// Diameter of the stress area, (d2 + d3) / 2.
    ds: f64,
    /// Mean diameter of the friction under head or nut, D_Km.
    under_head: f64,
    /// Nominal diameter.
    diameter: f64,
}

impl Joint {
    /// `None` for pipe threads and threads without a pitch.
    #[must_use]
    pub fn new(thread: &Thread, head: Head) -> Option<Self> {
        let (diameter, pitch) = (thread.diameter_mm()?, thread.pitch_mm()?);
        let area = thread.stress_area_mm2()?;
        let under_head = bearing::mean_friction_diameter(thread, head)?;
        // Unified threads have the same profile: 60°, d2 = D − 0.649519 P (ASME B1.1).
        Some(Self { pitch, d2: diameter - 0.649_519 * pitch, ds: (4.0 * area / PI).sqrt(), under_head, diameter })
    }

    /// Preload and torque that load the bolt to `part` (0 to 1) of its yield point at these frictions.
    ///
    /// F = A_S · part · R_p0.2 / √(1 + 3 (3/2 · d2/d_S · tan(φ + ρ′))²), tan φ = P / (π d2), tan ρ′ = 1.155 µ_G;
    /// the torque as in [`Joint::torque`]. VDI 2230-1 (2003), formula R8.
    #[must_use]
    pub fn assembly(&self, strength: &Strength, part: f64, thread_friction: f64, head_friction: f64) -> Assembly {
        let area = PI / 4.0 * self.ds * self.ds;
        let torsion = 1.5 * self.d2 / self.ds * self.turn(thread_friction);
        let preload = area * part * strength.yield_point / (1.0 + 3.0 * torsion * torsion).sqrt();
        Assembly { preload, torque: self.torque(preload, thread_friction, head_friction) }
    }

    /// The torque in newton metres that gives a preload in newtons: F (d2/2 · tan(φ + ρ′) + µ_K · D_Km/2).
    #[must_use]
    pub fn torque(&self, preload: f64, thread_friction: f64, head_friction: f64) -> f64 {
        preload * self.lever(thread_friction, head_friction) / 1000.0
    }

    /// The preload in newtons that a torque in newton metres gives.
    #[must_use]
    pub fn preload(&self, torque: f64, thread_friction: f64, head_friction: f64) -> f64 {
        torque * 1000.0 / self.lever(thread_friction, head_friction)
    }

    /// The torque by the form with tan(φ + ρ′) taken apart: F (0.159 P + 0.577 d2 µ_G + D_Km/2 · µ_K), as tables print it.
    #[must_use]
    pub fn torque_linear(&self, preload: f64, thread_friction: f64, head_friction: f64) -> f64 {
        preload * (0.159 * self.pitch + 0.577 * self.d2 * thread_friction + self.under_head / 2.0 * head_friction)
            / 1000.0
    }

    /// K of the short form T = K · d · F.
    #[must_use]
    pub fn torque_coefficient(&self, thread_friction: f64, head_friction: f64) -> f64 {
        self.lever(thread_friction, head_friction) / self.diameter
    }

    /// tan(φ + ρ′)
    fn turn(&self, thread_friction: f64) -> f64 {
        let rise = (self.pitch / (PI * self.d2)).atan();
        (rise + (1.155 * thread_friction).atan()).tan()
    }

    /// Torque over preload, in millimetres.
    fn lever(&self, thread_friction: f64, head_friction: f64) -> f64 {
        self.d2 / 2.0 * self.turn(thread_friction) + self.under_head / 2.0 * head_friction
    }
}

/// Torque in newton metres by the short form T = K · d · F, of a diameter in millimetres and a preload in newtons.
///
/// Textbooks of machine elements; K about 0.30 for black, 0.20 for zinc-plated, 0.16 for cadmium-plated, 0.12 (from memory)
/// for threads with anti-seize. A single K hides the spread of friction, pitch and head.
#[must_use]
pub fn short_form(coefficient: f64, diameter_mm: f64, preload: f64) -> f64 {
    coefficient * diameter_mm * preload / 1000.0
}

#[cfg(test)]
mod tests;
