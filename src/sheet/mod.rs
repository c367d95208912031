//! The printed sheet: from a checked procedure to pages of placed items in millimetres.
//!
//! Everything that decides where ink goes lives here; [`crate::pdf`] only writes it down. A page is a
//! list of items measured from its top left corner, each remembering the source text it came from, so
//! that a sheet can be tested as text and drawn by more than one back end.

mod before;
mod branch;
pub mod breaking;
pub mod catalogue;
pub mod content;
pub mod draw;
pub mod field;
pub mod figure;
pub mod font;
pub mod fragment;
mod head;
mod last_look;
mod later;
pub mod layout;
mod message;
pub mod page;
mod ready;
mod steps;
pub mod style;
pub mod text;
mod value;
pub mod words;

pub use words::{Choice, Chosen, wanted_figures};

use crate::check::CheckedProcedure;

/// Lays out the sheet of a job in which nothing is an error.
///
/// A caller that prints looks at [`page::Sheet::missing`]: signs that the faces lack are written out
/// as code points, which a reader must be told of.
pub fn lay_out(job: &CheckedProcedure, choice: &Choice) -> page::Sheet {
    let cautions: Vec<_> = job.cautions().iter().map(|caution| (caution.step, caution.hazard)).collect();
    layout::pages(&words::content(job.procedure(), job.proof(), &cautions, choice), choice.paper)
}

#[cfg(test)]
mod tests;
