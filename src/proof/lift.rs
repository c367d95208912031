//! Carrying all ways at once: values under conditions, and doing something on every way that can be told apart.
//!
//! A [`Guarded`] value is a decision diagram with values for leaves: a few different values, each under the condition
//! on which it holds, which together cover every way. What an act does is written as if there were one machine
//! (`acts`). It runs under a condition; where it reads a value that is not the same on all its ways, the condition is
//! narrowed to the ways of one of them, and when it is done it runs again on the ways that are left
//! ([`super::shop::Shop::each_way`]). So an act costs as many runs as there are different situations of the few things
//! that it looks at, however many ways lead there, and afterwards equal values grow together again.

use super::bdd::{ALWAYS, Bdd, Cond, NEVER};
use std::cell::{Cell, RefCell};
use std::rc::Rc;

/// A value on every way.
#[derive(Clone, Debug)]
pub(super) struct Guarded<T> {
    entries: Vec<(Cond, Rc<T>)>,
}

impl<T: PartialEq> Guarded<T> {
    /// The same everywhere.
    pub fn new(value: T) -> Self {
        Self { entries: vec![(ALWAYS, Rc::new(value))] }
    }

    /// From parts that exclude each other and together cover every way.
    pub fn of_parts(bdd: &Bdd, parts: impl IntoIterator<Item = (Cond, T)>) -> Self {
        let mut entries: Vec<(Cond, Rc<T>)> = Vec::new();
        for (cond, value) in parts {
            match entries.iter_mut().find(|(_, known)| **known == value) {
                Some(known) => known.0 = bdd.or(known.0, cond),
                None => entries.push((cond, Rc::new(value))),
            }
        }
        Self { entries }
    }

    pub fn entries(&self) -> &[(Cond, Rc<T>)] {
        &self.entries
    }

    /// Sets it on the ways of `cond`. `alive`: what it is on other ways matters to nobody.
    fn set(&mut self, bdd: &Bdd, cond: Cond, alive: Cond, value: Rc<T>) {
        if bdd.implies(alive, cond) {
            self.entries.clear();
            self.entries.push((ALWAYS, value));
            return;
        }
        let mut holds = cond;
        self.entries.retain_mut(|(c, known)| {
            if Rc::ptr_eq(known, &value) || **known == *value {
                holds = bdd.or(holds, *c);
                return false;
            }
            *c = bdd.without(*c, cond);
            bdd.and(*c, alive) != NEVER
        });
        self.entries.push((holds, value));
        if let [only] = &mut self.entries[..] {
            only.0 = ALWAYS;
        }
    }
}

/// A guarded value with what the run that goes on has read of it or written to it.
#[derive(Debug)]
pub(super) struct Slot<T> {
    pub value: Guarded<T>,
    now: RefCell<Option<Rc<T>>>,
    written: Cell<bool>,
}

impl<T: PartialEq + Clone> Slot<T> {
    pub fn new(value: Guarded<T>) -> Self {
        Self { value, now: RefCell::new(None), written: Cell::new(false) }
    }

    /// Its value on the ways of the run; narrows them where it isn't the same on all. True beside it: it is held, and
    /// has to be let go at the end of the run.
    pub fn read(&self, run: &Run) -> (Rc<T>, bool) {
        if let Some(now) = &*self.now.borrow() {
            return (Rc::clone(now), false);
        }
        if let [(_, only)] = &self.value.entries[..] {
            return (Rc::clone(only), false);
        }
        let value = self.narrow(run);
        *self.now.borrow_mut() = Some(Rc::clone(&value));
        (value, true)
    }

    fn narrow(&self, run: &Run) -> Rc<T> {
        let cond = run.cond.get();
        for (c, value) in &self.value.entries {
            let both = run.bdd.and(cond, *c);
            if both != NEVER {
                run.cond.set(both);
                return Rc::clone(value);
            }
        }
        // No way is left (the table of conditions is full, or the job has ended on all of them): any value will do.
        Rc::clone(&self.value.entries[0].1)
    }

    /// To be changed on the ways of the run.
    pub fn write(&mut self, run: &Run) -> (&mut T, bool) {
        let fresh = self.now.get_mut().is_none();
        let value = match self.now.get_mut().take() {
            Some(now) => now,
            None => match &self.value.entries[..] {
                [(_, only)] => Rc::clone(only),
                _ => self.narrow(run),
            },
        };
        self.written.set(true);
        (Rc::make_mut(self.now.get_mut().insert(value)), fresh)
    }

    /// To be something else on the ways of the run, whatever it was. True: see [`Slot::read`].
    pub fn overwrite(&mut self, value: T) -> bool {
        self.written.set(true);
        self.now.get_mut().replace(Rc::new(value)).is_none()
    }

    /// Ends a run; what was written holds on its ways from here on. Whether anything changed.
    pub fn keep(&mut self, run: &Run, cond: Cond, alive: Cond) -> bool {
        let written = self.written.replace(false);
        let Some(now) = self.now.get_mut().take().filter(|_| written) else { return false };
        let same = matches!(&self.value.entries[..], [(_, only)] if **only == *now);
        if !same {
            self.value.set(&run.bdd, cond, alive, now);
        }
        !same
    }

    /// Ends a look that changed nothing.
    pub fn let_go(&self) {
        *self.now.borrow_mut() = None;
    }
}

/// The table of conditions, and the ways on which something is being done.
#[derive(Debug, Default)]
pub(super) struct Run {
    pub bdd: Bdd,
    pub cond: Cell<Cond>,
}

impl Default for Cond {
    fn default() -> Self {
        ALWAYS
    }
}

impl Run {
    /// Whether a condition holds on the ways of the run; narrows them to where it does if it holds on some.
    pub fn decide(&self, cond: Cond) -> bool {
        if cond == ALWAYS {
            return true;
        }
        if cond == NEVER {
            return false;
        }
        let here = self.cond.get();
        let both = self.bdd.and(here, cond);
        if both == NEVER {
            return false;
        }
        self.cond.set(both);
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_values_grow_together_again() {
        let run = Run::default();
        let (a, b) = (run.bdd.is(run.bdd.variable()), run.bdd.is(run.bdd.variable()));
        let mut value = Guarded::new(0);
        value.set(&run.bdd, a, ALWAYS, Rc::new(1));
        value.set(&run.bdd, run.bdd.and(a, b), ALWAYS, Rc::new(0));
        assert_eq!(value.entries.len(), 2);
        value.set(&run.bdd, a, ALWAYS, Rc::new(0));
        assert_eq!(value.entries().iter().map(|(c, v)| (*c, **v)).collect::<Vec<_>>(), [(ALWAYS, 0)]);
    }

    #[test]
    fn reading_narrows_to_the_ways_of_one_value() {
        let run = Run::default();
        let a = run.bdd.is(run.bdd.variable());
        let mut value = Guarded::new("home");
        value.set(&run.bdd, a, ALWAYS, Rc::new("off"));
        let slot = Slot::new(value);
        let (first, held) = slot.read(&run);
        assert_eq!((*first, held, run.cond.get()), ("home", true, run.bdd.not(a)));
        slot.let_go();
        run.cond.set(run.bdd.without(ALWAYS, run.cond.get()));
        assert_eq!((*slot.read(&run).0, run.cond.get()), ("off", a));
    }
}
