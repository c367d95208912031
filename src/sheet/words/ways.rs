//! What is known before printing: the options chosen, and the member that is being worked on.

use crate::procedure::{Condition, Facts, OptionId, Procedure, SetId, Thing};
use crate::sheet::content::Way;

/// What is known of an option.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Chosen {
    /// The machine has it.
    Yes,
    /// It has it not.
    No,
    /// The value at this index.
    Is(u32),
}

/// Answers conditions as far as they are known.
#[derive(Clone)]
pub(super) struct Known<'p> {
    job: &'p Procedure,
    chosen: Vec<(OptionId, Chosen)>,
    /// Members that a block narrows the work to.
    pub narrowed: Vec<(SetId, u32)>,
    /// What holds inside the blocks that the walk is in.
    pub assumed: Vec<Condition>,
}

impl<'p> Known<'p> {
    pub(super) fn new(job: &'p Procedure, chosen: &[(OptionId, Chosen)]) -> Self {
        Self { job, chosen: chosen.to_vec(), narrowed: Vec::new(), assumed: Vec::new() }
    }

    pub(super) fn job(&self) -> &'p Procedure {
        self.job
    }

    /// Somebody chose a way, so that the sheet is not for all of them.
    pub(super) fn is_chosen(&self) -> bool {
        !self.chosen.is_empty()
    }

    /// `None` where it stays open.
    pub(super) fn holds(&self, condition: &Condition) -> Option<bool> {
        condition.holds_partly(&mut |atom| self.truth(atom))
    }

    fn truth(&self, atom: &Condition) -> Option<bool> {
        if let Some(assumed) = self.assumed.iter().rev().find_map(|block| says(block, atom)) {
            return Some(assumed);
        }
        let chosen = |id: &OptionId| self.chosen.iter().find(|(option, _)| option == id).map(|(_, chosen)| *chosen);
        match atom {
            Condition::Option(id) => chosen(id).map(|chosen| chosen != Chosen::No),
            Condition::OptionIs(id, value) => match chosen(id)? {
                Chosen::Is(index) => Some(index == *value),
                Chosen::No => Some(false),
                Chosen::Yes => None,
            },
            Condition::Member(set, member) => {
                let narrowed = self.narrowed.iter().rev().find(|(narrowed, _)| narrowed == set);
                narrowed.map(|(_, at)| at == member)
            }
            _ => None,
        }
    }

    /// What is left of a condition when the known is taken out.
    pub(super) fn rest(&self, condition: &Condition) -> Condition {
        match self.holds(condition) {
            Some(true) => return Condition::Always,
            Some(false) => return Condition::Never,
            None => {}
        }
        let open = |all: &[Condition], settled: bool| -> Vec<Condition> {
            all.iter().filter(|one| self.holds(one) != Some(settled)).map(|one| self.rest(one)).collect()
        };
        match condition {
            Condition::All(all) => single(open(all, true), Condition::All),
            Condition::Any(any) => single(open(any, false), Condition::Any),
            Condition::Not(inner) => self.rest(inner).negated(),
            other => other.clone(),
        }
    }

    /// The facts that hold: those of the last variant that is known to hold, else the base.
    pub(super) fn facts<'t>(&self, thing: &'t Thing) -> &'t Facts {
        let variant = thing.variants.iter().rev().find(|(condition, _)| self.holds(condition) == Some(true));
        variant.map_or(&thing.facts, |(_, facts)| facts)
    }

    /// Variants that may hold, with what is open of their condition.
    pub(super) fn open_variants<'t>(&self, thing: &'t Thing) -> Vec<(Condition, &'t Facts)> {
        let open = thing.variants.iter().filter(|(condition, _)| self.holds(condition).is_none());
        open.map(|(condition, facts)| (self.rest(condition), facts)).collect()
    }

    /// The options that matter for the sheet, chosen or to be ticked.
    pub(super) fn shown(&self, used: &[OptionId]) -> Vec<Way> {
        let mut ways = Vec::new();
        for id in used {
            let option = &self.job[*id];
            let name = &option.name;
            let chosen = self.chosen.iter().find(|(chosen, _)| chosen == id).map(|(_, chosen)| *chosen);
            let value = |index: u32| option.values.get(index as usize).cloned().unwrap_or_default();
            ways.push(match chosen {
                Some(Chosen::Yes) => Way { words: name.clone(), choices: Vec::new() },
                Some(Chosen::No) => {
                    let words = format!("{} {name}", crate::sheet::catalogue::NO);
                    Way { words, choices: Vec::new() }
                }
                Some(Chosen::Is(index)) => Way { words: format!("{name}: {}", value(index)), choices: Vec::new() },
                None if option.values.is_empty() => Way { words: String::new(), choices: vec![name.clone()] },
                None => Way { words: format!("{name}:"), choices: option.values.clone() },
            });
        }
        ways
    }
}

/// What a condition that holds says of an atom of what is known before printing.
fn says(holding: &Condition, atom: &Condition) -> Option<bool> {
    match (holding, atom) {
        (Condition::All(all), atom) => all.iter().find_map(|one| says(one, atom)),
        (Condition::Not(inner), atom) if **inner == *atom => Some(false),
        (Condition::OptionIs(a, value), Condition::OptionIs(b, other)) if a == b => Some(value == other),
        (Condition::Option(a), Condition::Option(b)) if a == b => Some(true),
        _ => None,
    }
}

fn single(mut all: Vec<Condition>, many: fn(Vec<Condition>) -> Condition) -> Condition {
    match all.len() {
        1 => all.remove(0),
        _ => many(all),
    }
}
