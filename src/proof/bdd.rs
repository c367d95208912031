//! Binary decision diagrams: conditions over the choices of a job, canonical and shared.
//!
//! Reduced, ordered diagrams in one table (Bryant, "Graph-Based Algorithms for Boolean Function Manipulation", IEEE
//! Transactions on Computers C-35, 1986): two conditions are the same if and only if they are the same node. The table
//! is our own, since a proof needs three things together that the libraries do not give: variables that appear while
//! the job is walked, a bound on its size that ends in a finding, and the cheapest way that satisfies a condition.

use rustc_hash::FxHashMap;
use std::cell::{Cell, RefCell};

/// A condition: a node of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Cond(u32);

/// Holds on no way.
pub(super) const NEVER: Cond = Cond(0);
/// Holds on every way.
pub(super) const ALWAYS: Cond = Cond(1);

/// A variable; smaller ones stand nearer to the root.
pub(super) type Var = u32;

/// Nodes at most: about 60 MB with the tables around them.
const MOST_NODES: usize = 1_000_000;
/// Variables at most: every operation goes as deep.
const MOST_VARIABLES: u32 = 4_000;
/// Level of the two leaves, below every variable.
const LEAF: Var = Var::MAX;

#[derive(Clone, Copy, Debug)]
struct Node {
    var: Var,
    no: Cond,
    yes: Cond,
}

/// The table.
#[derive(Debug)]
pub(super) struct Bdd {
    nodes: RefCell<Vec<Node>>,
    unique: RefCell<FxHashMap<(Var, Cond, Cond), Cond>>,
    known: RefCell<FxHashMap<(Cond, Cond, Cond), Cond>>,
    variables: Cell<u32>,
    full: Cell<bool>,
}

impl Default for Bdd {
    fn default() -> Self {
        let leaf = |at| Node { var: LEAF, no: at, yes: at };
        Self {
            nodes: RefCell::new(vec![leaf(NEVER), leaf(ALWAYS)]),
            unique: RefCell::default(),
            known: RefCell::default(),
            variables: Cell::new(0),
            full: Cell::new(false),
        }
    }
}

impl Bdd {
    /// Whether it ran out of room: what it said since is worthless.
    pub fn is_full(&self) -> bool {
        self.full.get()
    }

    /// How many nodes there are.
    pub fn size(&self) -> usize {
        self.nodes.borrow().len()
    }

    /// A new variable, below all others.
    pub fn variable(&self) -> Var {
        let var = self.variables.get();
        if var >= MOST_VARIABLES {
            self.full.set(true);
            return var.saturating_sub(1);
        }
        self.variables.set(var + 1);
        var
    }

    /// The condition that a variable is true.
    pub fn is(&self, var: Var) -> Cond {
        self.node(var, NEVER, ALWAYS)
    }

    fn node(&self, var: Var, no: Cond, yes: Cond) -> Cond {
        if no == yes {
            return no;
        }
        let mut unique = self.unique.borrow_mut();
        if let Some(known) = unique.get(&(var, no, yes)) {
            return *known;
        }
        let mut nodes = self.nodes.borrow_mut();
        let (Ok(at), true) = (u32::try_from(nodes.len()), nodes.len() < MOST_NODES) else {
            self.full.set(true);
            return NEVER;
        };
        nodes.push(Node { var, no, yes });
        unique.insert((var, no, yes), Cond(at));
        Cond(at)
    }

    fn at(&self, cond: Cond) -> Node {
        self.nodes.borrow()[cond.0 as usize]
    }

    /// `if test then yes else no`.
    pub fn choose(&self, test: Cond, yes: Cond, no: Cond) -> Cond {
        if test == ALWAYS || yes == no {
            return yes;
        }
        if test == NEVER {
            return no;
        }
        if yes == ALWAYS && no == NEVER {
            return test;
        }
        if self.is_full() {
            return NEVER;
        }
        if let Some(known) = self.known.borrow().get(&(test, yes, no)) {
            return *known;
        }
        let (a, b, c) = (self.at(test), self.at(yes), self.at(no));
        let var = a.var.min(b.var).min(c.var);
        let below = |cond: Cond, node: Node, side: bool| match (node.var == var, side) {
            (true, true) => node.yes,
            (true, false) => node.no,
            (false, _) => cond,
        };
        let when_no = self.choose(below(test, a, false), below(yes, b, false), below(no, c, false));
        let when_yes = self.choose(below(test, a, true), below(yes, b, true), below(no, c, true));
        let made = self.node(var, when_no, when_yes);
        self.known.borrow_mut().insert((test, yes, no), made);
        made
    }

    pub fn and(&self, a: Cond, b: Cond) -> Cond {
        // One order for both, so that either finds what the other has worked out.
        let (a, b) = if a <= b { (a, b) } else { (b, a) };
        self.choose(a, b, NEVER)
    }

    pub fn or(&self, a: Cond, b: Cond) -> Cond {
        let (a, b) = if a <= b { (a, b) } else { (b, a) };
        self.choose(a, ALWAYS, b)
    }

    pub fn not(&self, a: Cond) -> Cond {
        self.choose(a, NEVER, ALWAYS)
    }

    /// `a` without `b`.
    pub fn without(&self, a: Cond, b: Cond) -> Cond {
        self.choose(b, NEVER, a)
    }

    /// Whether `a` holds only where `b` does.
    pub fn implies(&self, a: Cond, b: Cond) -> bool {
        self.without(a, b) == NEVER
    }

    /// Where some choice of the variables from `first` on makes it hold.
    pub fn possibly(&self, cond: Cond, first: Var) -> Cond {
        let node = self.at(cond);
        if node.var >= first {
            return if cond == NEVER { NEVER } else { ALWAYS };
        }
        let (no, yes) = (self.possibly(node.no, first), self.possibly(node.yes, first));
        self.choose(self.is(node.var), yes, no)
    }

    /// The variables it hangs on, in order.
    pub fn support(&self, cond: Cond) -> Vec<Var> {
        let mut seen = rustc_hash::FxHashSet::default();
        let mut vars = std::collections::BTreeSet::new();
        let mut open = vec![cond];
        while let Some(cond) = open.pop() {
            let node = self.at(cond);
            if node.var != LEAF && seen.insert(cond) {
                vars.insert(node.var);
                open.extend([node.no, node.yes]);
            }
        }
        vars.into_iter().collect()
    }

    /// Whether it holds on the way that `truth` tells.
    pub fn holds(&self, cond: Cond, truth: impl Fn(Var) -> bool) -> bool {
        let mut cond = cond;
        loop {
            let node = self.at(cond);
            if node.var == LEAF {
                return cond == ALWAYS;
            }
            cond = if truth(node.var) { node.yes } else { node.no };
        }
    }

    /// The variables that are false on the cheapest way on which it holds, where `price` is what a false one costs
    /// (a true one costs nothing); `None` where there is no way.
    pub fn cheapest(&self, cond: Cond, price: impl Fn(Var) -> u32) -> Option<Vec<Var>> {
        let mut costs: FxHashMap<Cond, u32> = FxHashMap::default();
        self.cost(cond, &price, &mut costs);
        let mut off = Vec::new();
        let mut at = cond;
        if at == NEVER {
            return None;
        }
        while self.at(at).var != LEAF {
            let node = self.at(at);
            let cost = |c: Cond| costs.get(&c).copied().unwrap_or(u32::MAX);
            // Of equal ones the way that leaves the usual first: it is the one that comes to mind.
            if node.no == NEVER || cost(node.yes) < cost(node.no).saturating_add(price(node.var)) {
                at = node.yes;
            } else {
                off.push(node.var);
                at = node.no;
            }
        }
        Some(off)
    }

    fn cost(&self, cond: Cond, price: &impl Fn(Var) -> u32, costs: &mut FxHashMap<Cond, u32>) -> u32 {
        if let Some(known) = costs.get(&cond) {
            return *known;
        }
        let node = self.at(cond);
        let cost = match cond {
            NEVER => u32::MAX,
            ALWAYS => 0,
            _ => {
                let no = self.cost(node.no, price, costs).saturating_add(price(node.var));
                self.cost(node.yes, price, costs).min(no)
            }
        };
        costs.insert(cond, cost);
        cost
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A condition with its truth on each of the 64 ways over six variables.
    fn random(bdd: &Bdd, vars: &[Var], seed: &mut u64, depth: u32) -> (Cond, u64) {
        let mut next = || {
            *seed ^= *seed << 13;
            *seed ^= *seed >> 7;
            *seed ^= *seed << 17;
            *seed
        };
        if depth == 0 {
            let at = (next() % 6) as usize;
            let table = (0..64u64).filter(|way| way >> at & 1 == 1).fold(0, |t, way| t | 1 << way);
            return (bdd.is(vars[at]), table);
        }
        let what = next() % 5;
        let (a, ta) = random(bdd, vars, seed, depth - 1);
        let (b, tb) = random(bdd, vars, seed, depth - 1);
        match what {
            0 => (bdd.and(a, b), ta & tb),
            1 => (bdd.or(a, b), ta | tb),
            2 => (bdd.not(a), !ta),
            3 => (bdd.without(a, b), ta & !tb),
            _ => {
                let (c, tc) = random(bdd, vars, seed, depth - 1);
                (bdd.choose(a, b, c), ta & tb | !ta & tc)
            }
        }
    }

    /// Against the truth table, which is the definition.
    #[test]
    fn operations_agree_with_truth_tables() {
        let bdd = Bdd::default();
        let vars: Vec<Var> = (0..6).map(|_| bdd.variable()).collect();
        let mut seed = 0x9e37_79b9_7f4a_7c15;
        let mut of_table = std::collections::BTreeMap::new();
        for _ in 0..2_000 {
            let (cond, table) = random(&bdd, &vars, &mut seed, 4);
            for way in 0..64u64 {
                assert_eq!(bdd.holds(cond, |v| way >> v & 1 == 1), table >> way & 1 == 1);
            }
            assert_eq!(*of_table.entry(table).or_insert(cond), cond, "one table, one node");
            let price = |v: Var| u32::from(v.is_multiple_of(2));
            let cheapest = (0..64u64)
                .filter(|way| table >> way & 1 == 1)
                .map(|way| (0..6).filter(|v| way >> v & 1 == 0).map(price).sum::<u32>());
            let found = bdd.cheapest(cond, price);
            assert_eq!(found.as_ref().map(|off| off.iter().copied().map(price).sum()), cheapest.min());
            if let Some(off) = found {
                assert!(bdd.holds(cond, |v| !off.contains(&v)));
            }
            let possible = bdd.possibly(cond, 3);
            for way in 0..8u64 {
                let some = (0..8u64).any(|low| table >> (way | low << 3) & 1 == 1);
                assert_eq!(bdd.holds(possible, |v| way >> v & 1 == 1), some);
            }
        }
    }

    /// Equality of two rows of variables, one row below the other, takes 2ⁿ nodes (Bryant 1986, section 2.4 on
    /// ordering): it must end at the bound, not in memory.
    #[test]
    fn a_diagram_that_blows_up_ends_at_its_bound() {
        let bdd = Bdd::default();
        let n = 22;
        let vars: Vec<Var> = (0..2 * n).map(|_| bdd.variable()).collect();
        let mut all = ALWAYS;
        for i in 0..n {
            let pair = bdd.choose(bdd.is(vars[i]), bdd.is(vars[i + n]), bdd.not(bdd.is(vars[i + n])));
            all = bdd.and(all, pair);
        }
        assert!(bdd.is_full());
        assert!(bdd.size() <= MOST_NODES);
    }
}
