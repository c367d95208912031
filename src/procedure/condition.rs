//! Conditions: what is known before printing, and what is found at the machine.

use super::{AskId, MeasurementId, OptionId, SetId, StateRef, ThingRef};

/// A condition as the author wrote it, names resolved.
#[derive(Clone, Debug, PartialEq)]
pub enum Condition {
    Always,
    Never,
    /// A yes / no option.
    Option(OptionId),
    /// A one-of option has this value (index into its values).
    OptionIs(OptionId, u32),
    /// Inside a loop over the set: this member is being worked on (index into its members).
    Member(SetId, u32),
    Found(Found),
    Not(Box<Condition>),
    All(Vec<Condition>),
    Any(Vec<Condition>),
}

/// What is found at the machine.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// An `inspect` or a measurement `of` it says it is bad.
    Bad(ThingRef),
    /// A question has this answer (index into its answers; a yes / no question has `yes`, `no`).
    Answer(AskId, u32),
    /// A measurement lies outside its limits.
    Outside(MeasurementId),
    /// A thing is in a state (`if caliper removed`).
    Is(StateRef),
}

impl Condition {
    /// `self` and `other`.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::Always, c) | (c, Self::Always) => c,
            (Self::Never, _) | (_, Self::Never) => Self::Never,
            (Self::All(mut a), Self::All(b)) => {
                a.extend(b);
                Self::All(a)
            }
            (Self::All(mut a), c) | (c, Self::All(mut a)) => {
                a.push(c);
                Self::All(a)
            }
            (a, b) => Self::All(vec![a, b]),
        }
    }

    /// Not `self`.
    #[must_use]
    pub fn negated(self) -> Self {
        match self {
            Self::Always => Self::Never,
            Self::Never => Self::Always,
            Self::Not(c) => *c,
            c => Self::Not(Box::new(c)),
        }
    }

    /// Evaluates it with `truth` telling each atom (never called with `Not`, `All`, `Any`, `Always`, `Never`).
    pub fn holds(&self, truth: &mut dyn FnMut(&Condition) -> bool) -> bool {
        match self {
            Self::Always => true,
            Self::Never => false,
            Self::Not(c) => !c.holds(truth),
            Self::All(cs) => cs.iter().all(|c| c.holds(truth)),
            Self::Any(cs) => cs.iter().any(|c| c.holds(truth)),
            atom => truth(atom),
        }
    }

    /// Evaluates it where `truth` may not know an atom: `None` where the outcome stays open.
    pub fn holds_partly(&self, truth: &mut dyn FnMut(&Condition) -> Option<bool>) -> Option<bool> {
        match self {
            Self::Always => Some(true),
            Self::Never => Some(false),
            Self::Not(c) => c.holds_partly(truth).map(|b| !b),
            Self::All(cs) => {
                let all: Vec<_> = cs.iter().map(|c| c.holds_partly(truth)).collect();
                if all.contains(&Some(false)) {
                    Some(false)
                } else if all.contains(&None) {
                    None
                } else {
                    Some(true)
                }
            }
            Self::Any(cs) => {
                let all: Vec<_> = cs.iter().map(|c| c.holds_partly(truth)).collect();
                if all.contains(&Some(true)) {
                    Some(true)
                } else if all.contains(&None) {
                    None
                } else {
                    Some(false)
                }
            }
            atom => truth(atom),
        }
    }

    /// Every atom in it, in order.
    pub fn atoms<'a>(&'a self, visit: &mut dyn FnMut(&'a Condition)) {
        match self {
            Self::Always | Self::Never => {}
            Self::Not(c) => c.atoms(visit),
            Self::All(cs) | Self::Any(cs) => cs.iter().for_each(|c| c.atoms(visit)),
            atom => visit(atom),
        }
    }

    /// Whether it is known before the sheet is printed (no finding at the machine in it).
    #[must_use]
    pub fn known_before(&self) -> bool {
        let mut known = true;
        self.atoms(&mut |atom| known &= !matches!(atom, Self::Found(_)));
        known
    }
}
