//! What a declaration forbids (`while STATE never ACT`) and what it owes (`once STATE then ACT before ACT`).

use super::fault::{FaultKind, Place, Why};
use super::needs::includes;
use super::shop::{Shop, Where};
use super::state::Debt;
use crate::procedure::{ActPattern, Object, Step, Verb};

impl Shop<'_> {
    /// Before an act: is it forbidden now, does it come before something that is owed?
    pub fn duties_before(&mut self, step: &Step) {
        for unit in self.world.with_duties.clone() {
            let mut all = self.procedure()[self.world.thing[unit]].all_facts().flat_map(|(_, f)| &f.forbidden);
            if !all.any(|f| self.is_forbidden_by(&f.act, step)) {
                continue;
            }
            self.each_way(|shop| {
                if !shop.exists(unit) {
                    return;
                }
                for forbidden in &shop.facts(unit).forbidden {
                    if shop.is_forbidden_by(&forbidden.act, step)
                        && shop.as_member(unit, |shop| shop.state_holds(&forbidden.state))
                        && !shop.is_meant(unit)
                    {
                        let why = Why::Forbidden(forbidden.act.text.clone());
                        let mut raw = shop.raw(FaultKind::ForbiddenAct, unit, why);
                        raw.other = vec![(Place::Declared, Where::At(forbidden.span))];
                        shop.too_early(raw, unit);
                    }
                }
            });
        }
        for index in 0..self.debts() {
            if !self.may_concern(index, |debt| self.is_act(&debt.before, step)) {
                continue;
            }
            self.each_way(|shop| {
                let (unit, which, state) = shop.debt(index);
                let Some(debt) = shop.facts(unit).debts.get(which).filter(|_| shop.exists(unit)) else { return };
                if state.owed.is_some() && shop.is_act(&debt.before, step) && !shop.is_act(&debt.then, step) {
                    shop.unpaid(index);
                }
            });
        }
    }

    fn is_forbidden_by(&self, act: &ActPattern, step: &Step) -> bool {
        turns_the_crankshaft(act, step, self) || self.is_act(act, step)
    }

    /// Whether some variant of the declaration that a debt belongs to says so.
    fn may_concern(&self, index: usize, says: impl Fn(&crate::procedure::Debt) -> bool) -> bool {
        let (unit, which) = self.whose_debt(index);
        let mut all = self.procedure()[self.world.thing[unit]].all_facts().filter_map(|(_, f)| f.debts.get(which));
        all.any(says)
    }

    /// After an act: what it pays, and what its new state owes.
    pub fn duties_after(&mut self, step: &Step) {
        for index in 0..self.debts() {
            self.each_way(|shop| {
                let (unit, which, state) = shop.debt(index);
                let Some(debt) = shop.facts(unit).debts.get(which).filter(|_| shop.exists(unit)) else { return };
                let holds = shop.as_member(unit, |shop| shop.state_holds(&debt.state));
                let mut owed = if holds && !state.held { Some(shop.mark) } else { state.owed };
                if owed.is_some() && shop.is_act(&debt.then, step) && enough(debt.amount.as_ref(), step) {
                    owed = None;
                }
                shop.set_debt(index, Debt { held: holds, owed });
            });
        }
    }

    /// Tells a debt, once.
    pub fn unpaid(&mut self, index: usize) {
        let (unit, which, state) = self.debt(index);
        let Some(debt) = self.facts(unit).debts.get(which) else { return };
        let why = Why::Debt { then: debt.then.text.clone(), before: debt.before.text.clone() };
        let mut raw = self.raw(FaultKind::DebtUnpaid, unit, why);
        raw.other = state.owed.iter().map(|m| (Place::LeftHome, Where::At(m.span))).collect();
        let own_pair = matches!(debt.then.verb, Verb::Close1(_));
        if own_pair {
            // If the pair is never closed at all, that is the mistake.
            self.too_early(raw, unit);
        } else {
            self.fault(raw, None, None);
        }
        self.set_debt(index, Debt { held: state.held, owed: None });
    }

    /// Whether a step is the act of a pattern.
    fn is_act(&self, pattern: &ActPattern, step: &Step) -> bool {
        let same = includes(step.verb, pattern.verb) || pattern.verb == Verb::RunEngine && step.verb == Verb::Drive;
        if !same {
            return false;
        }
        let engine = matches!(pattern.verb, Verb::RunEngine | Verb::StopEngine | Verb::Drive);
        match &pattern.object {
            _ if engine => true,
            Some(wanted) => step.objects.iter().any(|o| match o {
                Object::Thing(reference) => reference.thing == wanted.thing,
                _ => false,
            }),
            None => self.names_its_object(pattern, step),
        }
    }

    /// A pattern whose object is no declared thing (`measure earth resistance`) is told by its words.
    fn names_its_object(&self, pattern: &ActPattern, step: &Step) -> bool {
        let text = pattern.text.to_lowercase();
        let verb = match pattern.verb {
            Verb::Open1(pair) => self.procedure()[pair].opening.to_lowercase(),
            Verb::Close1(pair) => self.procedure()[pair].closing.to_lowercase(),
            verb => verb.name().to_owned(),
        };
        let wanted = text.strip_prefix(verb.as_str()).unwrap_or_default().trim();
        let wanted = wanted.strip_prefix("the ").unwrap_or(wanted);
        wanted.is_empty()
            || step.objects.is_empty()
            || step.objects.iter().any(|object| {
                let name = match object {
                    Object::Thing(reference) => self.procedure()[reference.thing].name.to_lowercase(),
                    Object::Measurement(id, _) => self.procedure()[*id].name.to_lowercase(),
                    Object::Tool(id) => self.procedure()[*id].name.to_lowercase(),
                    Object::Supply(id) => self.procedure()[*id].name.to_lowercase(),
                    Object::Free(words, _) => words.to_lowercase(),
                };
                wanted.starts_with(name.as_str()) || name.starts_with(wanted)
            })
    }
}

/// To run the engine is to turn the crankshaft.
fn turns_the_crankshaft(pattern: &ActPattern, step: &Step, shop: &Shop<'_>) -> bool {
    let crankshaft = pattern.object.as_ref().is_some_and(|o| {
        shop.procedure()
            .things
            .get(o.thing.index())
            .is_some_and(|t| t.kind == crate::procedure::ThingKind::Builtin(crate::procedure::Builtin::Crankshaft))
    });
    pattern.verb == Verb::Turn && crankshaft && matches!(step.verb, Verb::RunEngine | Verb::Drive)
}

/// Whether the act does as much as is owed; an act that states no amount is believed.
fn enough(owed: Option<&crate::quantity::Quantity>, step: &Step) -> bool {
    let (Some(owed), Some(done)) = (owed, step.clauses.amounts.first().and_then(|s| s.target())) else { return true };
    done.compare(owed) != Some(std::cmp::Ordering::Less)
}
