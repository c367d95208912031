//! What the sheet draws itself, from geometry: boxes, signs, dials, plans, codes.

pub mod boxes;
pub mod dial;
pub mod plan;
pub mod qr;
pub mod sign;
mod symbol;
