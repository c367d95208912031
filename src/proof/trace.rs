//! The life of each thing through the job: after which act it is in which state, and on which ways.

use super::bdd::{ALWAYS, Cond, NEVER};
use super::shop::{Flag, Shop};
use super::state::{At, Grip, Slack, Which};
use super::witness::{least_unusual, what_matters};
use super::world::Unit;
use crate::procedure::{StepId, ThingId, Verb};
use crate::source::Span;

/// Kinds of ways that are told apart in one state; beyond, the last ones are left open.
const MOST_KINDS: usize = 4;

/// Facts that tell some ways from the others, in the author's words; empty for all ways.
pub type Way = Vec<(String, String)>;

/// The states of one thing after one act.
#[derive(Clone, Debug, PartialEq)]
pub struct Moment {
    pub step: StepId,
    /// The line of the act.
    pub span: Span,
    pub verb: Verb,
    /// Each state in the words of the language, with the kinds of ways on which it holds. Ways on which the job has been
    /// ended before are in none of them.
    pub states: Vec<(String, Vec<Way>)>,
}

/// One thing, or one member of its set.
#[derive(Clone, Debug, PartialEq)]
pub struct Life {
    pub thing: ThingId,
    pub member: Option<u32>,
    /// In the order of the job; only acts after which its state is another than before.
    pub moments: Vec<Moment>,
}

/// All that the job touches, in the order of declaration.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Trace {
    pub lives: Vec<Life>,
    /// The job was too large to be followed to its end.
    pub cut: bool,
}

/// An act, and the states after it.
type Seen = (StepId, Span, Verb, Vec<(String, Cond)>);

/// Collects the lives while the job is walked.
#[derive(Debug, Default)]
pub(super) struct Recorder {
    last: Vec<Vec<(String, Cond)>>,
    moments: Vec<Vec<Seen>>,
}

impl Recorder {
    /// Looks at everything after a step.
    pub fn look(&mut self, shop: &mut Shop<'_>) {
        let count = shop.world.thing.len();
        self.last.resize_with(count, Vec::new);
        self.moments.resize_with(count, Vec::new);
        let mark = shop.mark;
        for unit in 0..count {
            if !shop.may_be_away(unit) {
                continue;
            }
            let mut now = shop.tell_apart_on(shop.alive, |shop| words(shop, unit));
            now.sort();
            now.retain(|(words, _)| !words.is_empty());
            let bdd = &shop.run.bdd;
            let before = self.last[unit].iter().map(|(words, cond)| (words.clone(), bdd.and(*cond, shop.alive)));
            let before: Vec<_> = before.filter(|(_, cond)| *cond != NEVER).collect();
            if now == before || self.last[unit].is_empty() && now.iter().all(|(words, _)| words == HOME) {
                continue;
            }
            self.last[unit].clone_from(&now);
            self.moments[unit].push((mark.step, mark.span, mark.verb, now));
        }
    }

    /// In the author's words.
    pub fn finish(self, shop: &Shop<'_>) -> Trace {
        let lives = self.moments.into_iter().enumerate().filter(|(_, m)| !m.is_empty()).map(|(unit, moments)| Life {
            thing: shop.world.thing[unit],
            member: shop.world.each(unit).map(|_| shop.world.member[unit]),
            moments: moments
                .into_iter()
                .map(|(step, span, verb, states)| Moment {
                    step,
                    span,
                    verb,
                    states: states.into_iter().map(|(words, cond)| (words, kinds_of(shop, cond))).collect(),
                })
                .collect(),
        });
        Trace { lives: lives.collect(), cut: shop.too_much }
    }
}

/// The kinds of ways that a condition stands for, the least unusual first.
fn kinds_of(shop: &Shop<'_>, cond: Cond) -> Vec<Way> {
    let bdd = &shop.run.bdd;
    let enough = bdd.or(cond, shop.stopped);
    let mut left = bdd.and(cond, shop.choices.possible);
    let mut kinds = Vec::new();
    while left != NEVER && kinds.len() < MOST_KINDS {
        let Some(off) = least_unusual(shop, left) else { break };
        let (way, cube) = what_matters(shop, enough, &|var| !off.contains(&var));
        left = if cube == ALWAYS { NEVER } else { bdd.without(left, cube) };
        kinds.push(way);
    }
    if left != NEVER {
        kinds.push(vec![("and on other ways".to_owned(), String::new())]);
    }
    kinds
}

const HOME: &str = "home";

/// The state of one unit in the words of the language; empty where it isn't there.
fn words(shop: &Shop<'_>, unit: Unit) -> String {
    if !shop.exists(unit) {
        return String::new();
    }
    let state = shop.unit(unit);
    let mut words: Vec<String> = Vec::new();
    if shop.world.is_group(unit) {
        words.push(grips(&state.grips));
    } else if shop.is_temporary(unit) {
        words.push(if state.inside > 0 { format!("{} in", state.inside) } else { "out".to_owned() });
    } else if shop.world.is_part(unit) {
        words.push(place(shop, unit));
    }
    if shop.world.is_fluid(unit) {
        let level = state.level;
        words.push(match (level.drained, level.opened, level.unbled) {
            (Some(_), ..) => "drained".to_owned(),
            (None, Some(_), _) => "some lost".to_owned(),
            (None, None, Some(_)) => "filled, not bled".to_owned(),
            _ => HOME.to_owned(),
        });
    }
    for (mark, word) in [
        (state.locked, "locked"),
        (state.chocked, "chocked"),
        (state.supported, "supported"),
        (state.switched_off, "switched off"),
        (state.raised, "raised"),
    ] {
        if mark.is_some() {
            words.push(word.to_owned());
        }
    }
    let which = shop.meant(unit, crate::procedure::Version::Unsaid);
    for pair in &state.item(which).away {
        words.push(shop.procedure()[*pair].away.clone());
    }
    if words.len() > 1 {
        words.retain(|w| w != HOME);
    }
    if words.is_empty() {
        words.push(HOME.to_owned());
    }
    words.join(", ")
}

fn place(shop: &Shop<'_>, unit: Unit) -> String {
    let state = shop.unit(unit);
    let renewed = shop.has(&Flag::Renewed(unit));
    let Some(on) = shop.on(unit) else {
        let at = |wanted: At| state.items.iter().any(|i| i.at == wanted);
        let word = if at(At::Disconnected) {
            "disconnected"
        } else if at(At::Aside) {
            "aside"
        } else if at(At::On) {
            "with what it is part of"
        } else if at(At::Off) {
            "off"
        } else if at(At::Discarded) {
            "old one discarded"
        } else if at(At::Stored) {
            "stored"
        } else {
            "not fitted yet"
        };
        return word.to_owned();
    };
    let new = if on == Which::New && renewed { "new one " } else { "" };
    if state.trial {
        return format!("{new}on trial");
    }
    if shop.is_open(unit) {
        return "open".to_owned();
    }
    if matches!(state.slack, Slack::Loosened(_)) {
        return format!("{new}loose");
    }
    if !shop.gripped(unit) {
        return format!("{new}placed, not tight");
    }
    if new.is_empty() { HOME.to_owned() } else { "new one home".to_owned() }
}

/// `2 out, 3 tight`.
fn grips(grips: &[Grip]) -> String {
    if grips.iter().all(|g| *g == Grip::Tight) {
        return HOME.to_owned();
    }
    let word = |grip: Grip| match grip {
        Grip::Out => "out",
        Grip::Taken => "taken up",
        Grip::Started => "started",
        Grip::Loose => "loose",
        Grip::Snug => "by hand",
        Grip::Passed(_) => "in a first pass",
        Grip::Tight => "tight",
    };
    let words = ["out", "taken up", "started", "loose", "by hand", "in a first pass", "tight"];
    let counted = words.map(|w| (grips.iter().filter(|g| word(**g) == w).count(), w)).into_iter();
    counted.filter(|(n, _)| *n > 0).map(|(n, word)| format!("{n} {word}")).collect::<Vec<_>>().join(", ")
}
