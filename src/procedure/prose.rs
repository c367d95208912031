//! Prose for people, with the values that stand in it.

use super::{MeasurementId, ThingId};
use crate::quantity::Spec;
use crate::source::Span;

/// Prose with its `{…}` resolved.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Prose {
    pub parts: Vec<ProsePart>,
    pub span: Span,
}

/// A piece of prose.
#[derive(Clone, Debug, PartialEq)]
pub enum ProsePart {
    Text(String),
    /// `{pump bolts}`: the name, as declared.
    Name(ThingId),
    /// `{6.5 mm}`, `{hydraulic oil.drains}`: printed in the reader's units.
    Value(Spec),
    /// `{shim wanted}`: a value found at the machine; printed as its name and a box.
    Found(MeasurementId),
    /// What a value without a number says: `hand tight`.
    Words(String),
}

impl Prose {
    /// Prose without values.
    #[must_use]
    pub fn plain(text: impl Into<String>, span: Span) -> Self {
        Self { parts: vec![ProsePart::Text(text.into())], span }
    }

    /// Whether there is nothing in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.parts.iter().all(|p| matches!(p, ProsePart::Text(t) if t.trim().is_empty()))
    }
}
