//! The printed sheet: from a checked procedure to pages of placed items in millimetres.
//!
//! Everything that decides where ink goes lives here; [`crate::pdf`] only writes it down. A page is a
//! list of items measured from its top left corner, each remembering the source text it came from, so
//! that a sheet can be tested as text and drawn by more than one back end.

pub mod draw;
pub mod font;
pub mod fragment;
pub mod page;
pub mod style;
pub mod text;
