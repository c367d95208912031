//! The plain way to prove a job: every way by itself, one after the other. Far too slow to be of use, and so simple that
//! it shows whether carrying all ways at once finds the same.

use super::choices::{Choice, Choices};
use super::shop::Shop;
use super::walk::{Walk, number_stages};
use super::witness::{Key, key_of, mistakes, words_of};
use super::world::Unit;
use crate::procedure::Procedure;
use std::collections::{BTreeMap, BTreeSet};

/// Walks every way of a job by itself and says on which ways the faults are others than the proof tells. `None` where
/// it has more than `most_ways`, or is too much to prove.
#[must_use]
pub fn disagreements(procedure: &Procedure, most_ways: usize) -> Option<Vec<String>> {
    let numbers = number_stages(&procedure.body);
    let mut all = Walk::new(Shop::new(procedure, Choices::of(procedure, None)), &numbers);
    all.run();
    let shop = &all.shop;
    let ways = shop.choices.list.iter().try_fold(1_usize, |n, c| n.checked_mul(c.values.len()))?;
    if ways > most_ways || shop.too_much {
        return None;
    }
    let mistakes = mistakes(shop);
    let mut differences = Vec::new();
    for number in 0..ways {
        let (way, truth) = way_of(shop, number);
        let holds = |cond| shop.run.bdd.holds(cond, |var| truth.get(&var).copied().unwrap_or(true));
        let mut told: BTreeSet<(Key, Option<Unit>)> = BTreeSet::new();
        for (key, mistake) in &mistakes {
            for (cond, raw) in mistake.raws.iter().map(|i| &shop.faults[*i]) {
                if holds(*cond) {
                    told.insert((key.clone(), raw.unit));
                }
            }
        }
        let mut plain = Walk::new(Shop::new(procedure, Choices::of(procedure, Some(way.clone()))), &numbers);
        plain.run();
        let met: BTreeSet<(Key, Option<Unit>)> =
            plain.shop.faults.iter().map(|(_, raw)| (key_of(&plain.shop.world, raw), raw.unit)).collect();
        if told != met {
            let words: Vec<String> = way
                .iter()
                .map(|(choice, value)| words_of(procedure, choice, *value))
                .map(|(what, how)| format!("{what}: {how}"))
                .collect();
            let only_told: Vec<_> = told.difference(&met).collect();
            let only_met: Vec<_> = met.difference(&told).collect();
            differences.push(format!("on {words:?}\n  told, not met: {only_told:?}\n  met, not told: {only_met:?}"));
        }
    }
    Some(differences)
}

/// The value of each choice, and the truth of each variable, on one of the ways.
fn way_of(shop: &Shop<'_>, number: usize) -> (BTreeMap<Choice, u32>, BTreeMap<u32, bool>) {
    let (mut way, mut truth) = (BTreeMap::new(), BTreeMap::new());
    let mut left = number;
    for choice in &shop.choices.list {
        let at = left % choice.values.len();
        left /= choice.values.len();
        way.insert(choice.choice.clone(), choice.values[at]);
        truth.extend(choice.vars.iter().enumerate().map(|(index, var)| (*var, index == at)));
    }
    (way, truth)
}
