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

pub use words::{Choice, Chosen};

/// Lays out the sheet of a job. `cautions` are the standard safety messages that stand before steps.
pub fn lay_out_procedure(
    job: &crate::procedure::Procedure,
    cautions: &[(crate::procedure::StepId, crate::trade::hazard::Hazard)],
    choice: &Choice,
) -> page::Sheet {
    layout::pages(&words::content(job, cautions, choice), choice.paper)
}

#[cfg(test)]
mod tests;
