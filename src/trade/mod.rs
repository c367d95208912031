//! The mechanics of the trade: threads, tightening orders, torque tools, coolant, hazards, directions.
//!
//! Pure functions over quantities, each with its published source. Nothing here knows a procedure.

pub mod coolant;
pub mod fluid;
pub mod hazard;
pub mod layout;
pub mod order;
pub mod signal;
pub mod thread;
