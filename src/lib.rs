//! `cotter`: a repair job written once in plain text, proved, and printed as a job sheet.
//!
//! Text goes in at the top, paper comes out at the bottom; each module hands one well-named thing to the next
//! (see `DEVELOPERS.md` for the map and what each room must never know).
#![forbid(unsafe_code)]

pub mod analysis;
pub mod check;
pub mod cli;
pub mod diagnostic;
pub mod pdf;
pub mod png;
pub mod procedure;
pub mod proof;
pub mod quantity;
pub mod resolve;
pub mod rules;
pub mod sheet;
pub mod source;
pub mod svg;
pub mod syntax;
pub mod trade;
