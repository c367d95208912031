//! The ways through a job that a handful of conditions tell apart, one after the other.
//!
//! Rules of facts need few conditions at a time, so listing is enough here; what the whole job does on every way is
//! the proof's business. Above [`MOST_WAYS`] the caller is told that nothing was listed.

use crate::procedure::{AskId, Condition, Facts, Found, Members, OptionId, Procedure, SetId, Thing, ThingRef};

/// More ways than this are not listed.
const MOST_WAYS: usize = 4096;

/// One way: what each option and each thing found turns out to be.
pub struct Way<'a> {
    procedure: &'a Procedure,
    questions: &'a [Question],
    answers: Vec<usize>,
}

/// What a way must decide.
#[derive(Clone, Debug, PartialEq)]
enum Question {
    Option(OptionId),
    Ask(AskId),
    /// Anything else that is found, for one member of a set where the loop is at one.
    Found(Found, Vec<(SetId, u32)>),
}

/// Visits every way that `conditions` tell apart, each under each choice of members in `members`. `visit` returns
/// false to stop. False: there are too many ways and nothing was visited.
pub fn each_way<'p>(
    procedure: &'p Procedure,
    conditions: &[(&Condition, &[(SetId, u32)])],
    visit: &mut dyn FnMut(&Way<'_>) -> bool,
) -> bool {
    let mut questions: Vec<Question> = Vec::new();
    for (condition, members) in conditions {
        condition.atoms(&mut |atom| collect(procedure, atom, members, &mut questions));
    }
    // What an option depends on must be decided with it.
    let mut at = 0;
    while at < questions.len() {
        if let Question::Option(id) = questions[at]
            && let Some(needed) = &procedure[id].only_with
        {
            needed.atoms(&mut |atom| collect(procedure, atom, &[], &mut questions));
        }
        at += 1;
    }
    let sizes: Vec<usize> = questions.iter().map(|q| answers_to(procedure, q)).collect();
    let total = sizes.iter().try_fold(1_usize, |n, size| n.checked_mul(*size).filter(|n| *n <= MOST_WAYS));
    let Some(total) = total else { return false };
    for number in 0..total {
        let mut rest = number;
        let answers = sizes
            .iter()
            .map(|size| {
                let answer = rest % size;
                rest /= size;
                answer
            })
            .collect();
        let way = Way { procedure, questions: &questions, answers };
        if way.is_possible() && !visit(&way) {
            return true;
        }
    }
    true
}

impl Way<'_> {
    /// Whether a condition holds on this way, with the loops around it at these members.
    #[must_use]
    pub fn holds(&self, condition: &Condition, members: &[(SetId, u32)]) -> bool {
        condition.holds(&mut |atom| self.atom(atom, members))
    }

    /// The way in the author's words: what was decided of those conditions.
    #[must_use]
    pub fn words(&self) -> Vec<(String, String)> {
        self.questions
            .iter()
            .zip(&self.answers)
            .map(|(question, answer)| {
                let yes_no = || if *answer == 0 { "yes" } else { "no" }.to_string();
                match question {
                    Question::Option(id) => {
                        let option = &self.procedure[*id];
                        (option.name.clone(), option.values.get(*answer).cloned().unwrap_or_else(yes_no))
                    }
                    Question::Ask(id) => {
                        let ask = &self.procedure[*id];
                        let name = ask.name.clone().unwrap_or_else(|| "the question".to_string());
                        (name, ask.answers.get(*answer).cloned().unwrap_or_else(yes_no))
                    }
                    Question::Found(found, members) => {
                        let value = match found {
                            Found::Bad(_) => if *answer == 0 { "bad" } else { "good" }.to_string(),
                            Found::Outside(_) => if *answer == 0 { "outside" } else { "within" }.to_string(),
                            _ => yes_no(),
                        };
                        (found_words(self.procedure, found, members), value)
                    }
                }
            })
            .collect()
    }

    fn is_possible(&self) -> bool {
        self.questions.iter().all(|question| match question {
            Question::Option(id) => match &self.procedure[*id].only_with {
                Some(needed) => !self.option_is_on(*id) || self.holds(needed, &[]),
                None => true,
            },
            _ => true,
        })
    }

    /// A one-of option is always one of its values, so what it is only with does not switch it off.
    fn option_is_on(&self, id: OptionId) -> bool {
        self.procedure[id].values.is_empty() && self.answer(&Question::Option(id)) == 0
    }

    fn answer(&self, question: &Question) -> usize {
        self.questions.iter().position(|q| q == question).map_or(0, |i| self.answers[i])
    }

    fn atom(&self, atom: &Condition, members: &[(SetId, u32)]) -> bool {
        match atom {
            Condition::Option(id) => self.answer(&Question::Option(*id)) == 0,
            Condition::OptionIs(id, value) => self.answer(&Question::Option(*id)) == *value as usize,
            Condition::Member(set, member) => members.iter().any(|(s, m)| s == set && m == member),
            Condition::Found(Found::Answer(ask, value)) => self.answer(&Question::Ask(*ask)) == *value as usize,
            Condition::Found(found) => {
                spread(self.procedure, found, members).iter().any(|question| self.answer(question) == 0)
            }
            _ => false,
        }
    }
}

fn collect(procedure: &Procedure, atom: &Condition, members: &[(SetId, u32)], questions: &mut Vec<Question>) {
    let mut add = |question: Question| {
        if !questions.contains(&question) {
            questions.push(question);
        }
    };
    match atom {
        Condition::Option(id) | Condition::OptionIs(id, _) => add(Question::Option(*id)),
        Condition::Found(Found::Answer(ask, _)) => add(Question::Ask(*ask)),
        Condition::Found(found) => spread(procedure, found, members).into_iter().for_each(add),
        _ => {}
    }
}

/// What is found of all members is found of any one of them; in a loop it is found of the member the loop is at.
fn spread(procedure: &Procedure, found: &Found, members: &[(SetId, u32)]) -> Vec<Question> {
    if let Found::Bad(thing) = found {
        let set = procedure[thing.thing].each;
        let of = |member: u32, set: SetId| {
            let one = ThingRef { members: Members::One(member), span: crate::source::Span::default(), ..thing.clone() };
            Question::Found(Found::Bad(one), vec![(set, member)])
        };
        return match (thing.members, set) {
            (Members::One(member), Some(set)) => vec![of(member, set)],
            (Members::This, Some(set)) => match members.iter().find(|(s, _)| *s == set) {
                Some((_, member)) => vec![of(*member, set)],
                None => Vec::new(),
            },
            (Members::All, Some(set)) => (0..count(procedure, set)).map(|member| of(member, set)).collect(),
            _ => {
                let plain = ThingRef { span: crate::source::Span::default(), ..thing.clone() };
                vec![Question::Found(Found::Bad(plain), Vec::new())]
            }
        };
    }
    let sets = match found {
        Found::Outside(id) => procedure[*id].each.map(|set| vec![set]).unwrap_or_default(),
        _ => Vec::new(),
    };
    let at: Vec<_> = members.iter().filter(|(s, _)| sets.contains(s)).copied().collect();
    vec![Question::Found(found.clone(), at)]
}

fn count(procedure: &Procedure, set: SetId) -> u32 {
    u32::try_from(procedure[set].members.len()).unwrap_or(u32::MAX)
}

fn answers_to(procedure: &Procedure, question: &Question) -> usize {
    match question {
        Question::Option(id) => procedure[*id].values.len().max(2),
        Question::Ask(id) => procedure[*id].answers.len().max(2),
        Question::Found(..) => 2,
    }
}

fn found_words(procedure: &Procedure, found: &Found, members: &[(SetId, u32)]) -> String {
    let member = members
        .first()
        .and_then(|(set, m)| procedure[*set].members.get(*m as usize))
        .map(|name| format!("{name} "))
        .unwrap_or_default();
    match found {
        Found::Bad(thing) => format!("{member}{}", procedure[thing.thing].name),
        Found::Outside(id) => format!("{member}{}", procedure[*id].name),
        Found::Is(state) => state.text.clone(),
        Found::Answer(id, _) => procedure[*id].name.clone().unwrap_or_default(),
    }
}

/// The first way on which a thing is there and what its declaration says of it on that way fails `good`.
///
/// `Some` with no words in it where it fails on every way. Where there are too many ways, only the facts that hold
/// without a variant are looked at.
pub fn way_where(procedure: &Procedure, thing: &Thing, bad: &dyn Fn(&Facts) -> bool) -> Option<Vec<(String, String)>> {
    if thing.variants.is_empty() {
        return bad(&thing.facts).then(Vec::new);
    }
    let each = thing.each.map_or(0, |set| count(procedure, set));
    let members: Vec<Vec<(SetId, u32)>> = match thing.each {
        Some(set) => (0..each).map(|m| vec![(set, m)]).collect(),
        None => vec![Vec::new()],
    };
    let mut conditions: Vec<(&Condition, &[(SetId, u32)])> = Vec::new();
    for at in &members {
        conditions.push((&thing.exists, at));
        conditions.extend(thing.variants.iter().map(|(c, _)| (c, at.as_slice())));
    }
    let mut found = None;
    let mut good = false;
    let listed = each_way(procedure, &conditions, &mut |way| {
        for at in members.iter().filter(|at| way.holds(&thing.exists, at)) {
            if bad(thing.facts_under(&mut |atom| way.holds(atom, at))) {
                found.get_or_insert_with(|| way.words());
            } else {
                good = true;
            }
        }
        true
    });
    if !listed {
        return bad(&thing.facts).then(Vec::new);
    }
    if good { found } else { found.map(|_| Vec::new()) }
}
