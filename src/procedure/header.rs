//! What the job says of itself, and the small declarations.

use super::{Condition, Prose};
use crate::quantity::{Kind, Quantity, Spec};
use crate::source::Span;

/// The header fields of a job.
#[derive(Clone, Debug, Default)]
pub struct Header {
    pub title: String,
    /// The first line.
    pub span: Span,
    pub number: Option<String>,
    pub revision: Option<u32>,
    pub machine: Option<String>,
    /// How long it takes.
    pub takes: Option<Quantity>,
    /// How many people; 1 where it is not stated.
    pub people: u32,
    pub reason: Option<Prose>,
    /// What to rule out before the job is begun, one entry a cause.
    pub rule_out: Vec<String>,
    pub level: Option<String>,
    pub left_is: Option<String>,
    pub changed: Option<Prose>,
}

/// `side guard fitted` or `engine: B4-20, B4-24`.
#[derive(Clone, Debug)]
pub struct OptionDecl {
    pub name: String,
    pub span: Span,
    /// Empty for yes / no; else the values of a one-of.
    pub values: Vec<String>,
    pub only_with: Option<Condition>,
}

/// `side: left, right`.
#[derive(Clone, Debug)]
pub struct SetDecl {
    pub name: String,
    pub span: Span,
    pub members: Vec<String>,
}

/// A kit and what is in it, as written.
#[derive(Clone, Debug)]
pub struct Kit {
    pub name: String,
    pub span: Span,
    pub contents: Vec<String>,
    /// The parts of the kit that are declared.
    pub things: Vec<super::ThingId>,
    pub number: Option<String>,
}

/// A declared tool, or a common one that a step takes.
#[derive(Clone, Debug)]
pub struct Tool {
    pub name: String,
    pub span: Span,
    /// False for a common tool that only a `with` names.
    pub declared: bool,
    /// What it is marked with; several where it has several scales.
    pub ranges: Vec<Spec>,
    /// What kinds of quantity it reads, where that is said.
    pub reads: Vec<Kind>,
    /// Of a torque wrench: from the middle of the grip to the square.
    pub length: Option<Quantity>,
    pub number: Option<String>,
    pub details: Vec<super::Detail>,
}

/// A supply.
#[derive(Clone, Debug)]
pub struct Supply {
    pub name: String,
    pub span: Span,
    pub declared: bool,
    pub number: Option<String>,
    pub details: Vec<super::Detail>,
}

/// `cage / uncage: caged` and `pack / purge: packed / purged`.
#[derive(Clone, Debug)]
pub struct OwnPair {
    /// The verb that leaves home.
    pub opening: String,
    /// The verb that comes home.
    pub closing: String,
    /// The state in between.
    pub away: String,
    /// The state at home, where it has a name of its own.
    pub home: Option<String>,
    pub span: Span,
}

/// `allow RULE: reason`.
#[derive(Clone, Debug)]
pub struct Allow {
    pub rule: String,
    pub reason: String,
    /// Of the `allow` line.
    pub span: Span,
    /// What it covers; `None`: the whole job.
    pub covers: Option<Span>,
}
