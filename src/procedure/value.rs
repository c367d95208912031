//! Measured, called and worked-out values.

use super::{Condition, Detail, Prose, SetId, ThingRef};
use crate::procedure::MeasurementId;
use crate::quantity::{Number, Quantity, Spec};
use crate::source::Span;

/// A value that is found at the machine.
#[derive(Clone, Debug)]
pub struct Measurement {
    pub name: String,
    pub span: Span,
    pub origin: Origin,
    /// Outside its limits makes this thing bad.
    pub of: Option<ThingRef>,
    pub each: Option<SetId>,
    /// Limits by variant; the last whose condition holds counts (`Always` is the base). Empty: none.
    pub limits: Vec<(Condition, Limits)>,
    /// What a new one measures.
    pub new: Option<Spec>,
    /// What to set it to.
    pub set: Option<Spec>,
    /// A box without limits is meant.
    pub record: bool,
    pub details: Vec<Detail>,
    pub shared: bool,
}

/// Where a value comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Origin {
    /// In `measurements`.
    Declared,
    /// Only in a step.
    Measured,
    /// `call it NAME`.
    Called,
    /// `work out NAME = …`.
    WorkedOut,
}

/// What a measured value is compared with.
#[derive(Clone, Debug, PartialEq)]
pub enum Limits {
    Spec(Spec),
    /// `within 5 mm of height before`
    WithinOf {
        amount: Quantity,
        of: MeasurementId,
    },
    /// At least / at most another value (`at least {shim wanted}`).
    AtLeast(MeasurementId),
    AtMost(MeasurementId),
}

/// A formula of `work out`.
#[derive(Clone, Debug, PartialEq)]
pub enum Formula {
    Quantity(Quantity),
    Number(Number),
    /// A value found at the machine; of one member of its set where that is said.
    Value(MeasurementId, Option<u32>),
    Add(Box<Formula>, Box<Formula>),
    Sub(Box<Formula>, Box<Formula>),
    Mul(Box<Formula>, Box<Formula>),
    Div(Box<Formula>, Box<Formula>),
    Highest(Vec<Formula>),
    Lowest(Vec<Formula>),
    Spread(Vec<Formula>),
}

/// `work out shim wanted = …, round to 0.05 mm`.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkOut {
    pub result: MeasurementId,
    pub formula: Formula,
    /// As written, for the sheet.
    pub text: Prose,
    pub round_to: Option<Quantity>,
    pub examples: Vec<Example>,
}

/// `example: shim found 2.40 mm, clearance 0.11 mm gives 2.30 mm`.
#[derive(Clone, Debug, PartialEq)]
pub struct Example {
    /// Value, member of its set where that is said, and what it measures.
    pub given: Vec<(MeasurementId, Option<u32>, Quantity)>,
    pub gives: Quantity,
    pub span: Span,
}
