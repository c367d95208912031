//! `answer-unhandled`: a question with an answer that nothing takes up.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Ask, AskId, Block, Condition, Found, Procedure, steps_of};
use crate::rules::wording::list;
use crate::rules::{Check, Group, Rule};

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "answer-unhandled",
    group: Group::Facts,
    severity: Severity::Error,
    finds: "an answer to a question that no branch takes up",
    why: "Whoever finds that answer stands at the machine with a sheet that has nothing more to say.",
    wrong: "\
job: Set the axle nut

stage: Look
  ask pin hole, free or half or covered: How much of the pin hole shows?
  if pin hole free
    do: Push the pin through.
  if pin hole half
    stop: The nut needs the thinner washer.
",
    right: "\
job: Set the axle nut

stage: Look
  ask pin hole, free or half or covered: How much of the pin hole shows?
  if pin hole free
    do: Push the pin through.
  otherwise
    stop: The nut needs the thinner washer.
",
    source: "Common practice: a sheet says what to do for everything that may be found.",
    check: Check::Job(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    let recorded = recorded(procedure);
    let mut asked: Vec<AskId> = Vec::new();
    steps_of(&procedure.body, &mut |step| asked.extend(step.ask));
    for (i, ask) in procedure.asks.iter().enumerate() {
        let id = AskId(u32::try_from(i).unwrap_or(u32::MAX));
        // A routine followed twice asks twice; it is one line that the author wrote.
        let same: Vec<AskId> =
            (0_u32..).zip(&procedure.asks).filter(|(_, a)| a.span == ask.span).map(|(n, _)| AskId(n)).collect();
        // A stage of a routine that this job does not follow asks nothing here.
        let asked = same.iter().any(|id| asked.contains(id));
        if recorded.contains(&id) || same.first() != Some(&id) || !asked {
            continue;
        }
        let mut taken = vec![false; ask.answers.len()];
        let mut mentioned = false;
        same.iter().for_each(|id| branches(&procedure.body, *id, &mut taken, &mut mentioned));
        // Yes or no: one branch is enough, the other answer means 'go on'.
        if is_yes_no(ask) && mentioned {
            continue;
        }
        let open: Vec<String> =
            ask.answers.iter().zip(&taken).filter(|(_, taken)| !**taken).map(|(a, _)| format!("`{a}`")).collect();
        if open.is_empty() {
            continue;
        }
        let name = ask.name.as_deref().unwrap_or("the question");
        let message = if mentioned {
            format!("{name}: no branch takes up the answer {}", list(&open))
        } else {
            format!("{name}: no branch takes up its answer")
        };
        out.push(RULE.at(ask.span, message).label("and then?").help(match (&ask.name, is_yes_no(ask)) {
            (Some(name), true) => format!(
                "write `if {name}` or `if not {name}` after it, or `record` where the answer is only written down"
            ),
            (None, true) => {
                "write `if yes` or `if no` after it, or `record` where the answer is only written down".to_string()
            }
            (_, false) => "add an `if` for it, or an `otherwise` to the last `if`".to_string(),
        }));
    }
}

fn is_yes_no(ask: &Ask) -> bool {
    ask.answers.len() == 2 && ask.answers[0].eq_ignore_ascii_case("yes") && ask.answers[1].eq_ignore_ascii_case("no")
}

/// Questions whose answer is written down.
fn recorded(procedure: &Procedure) -> Vec<AskId> {
    let mut found = Vec::new();
    steps_of(&procedure.body, &mut |step| {
        if step.clauses.record {
            found.extend(step.ask);
        }
    });
    found
}

/// Marks the answers that some branch is worked for.
fn branches(blocks: &[Block], ask: AskId, taken: &mut [bool], mentioned: &mut bool) {
    for block in blocks {
        match block {
            Block::Step(_) => {}
            Block::Stage(stage) => branches(&stage.body, ask, taken, mentioned),
            Block::With { condition, body, .. } => {
                take(condition, ask, taken, mentioned, true, false);
                branches(body, ask, taken, mentioned);
            }
            Block::If { condition, then, otherwise, otherwise_span, .. } => {
                take(condition, ask, taken, mentioned, true, otherwise_span.is_some() || !otherwise.is_empty());
                branches(then, ask, taken, mentioned);
                branches(otherwise, ask, taken, mentioned);
            }
            Block::Until { condition, body, before_next, .. } => {
                take(condition, ask, taken, mentioned, true, true);
                branches(body, ask, taken, mentioned);
                branches(before_next, ask, taken, mentioned);
            }
            Block::ForEach { body, .. } | Block::Follow { body, .. } => branches(body, ask, taken, mentioned),
            Block::Reverse(reversed) => branches(&reversed.body, ask, taken, mentioned),
        }
    }
}

fn take(condition: &Condition, ask: AskId, taken: &mut [bool], mentioned: &mut bool, then: bool, otherwise: bool) {
    let mut names_it = false;
    condition.atoms(&mut |atom| {
        names_it |= matches!(atom, Condition::Found(Found::Answer(id, _)) if *id == ask);
    });
    if !names_it {
        return;
    }
    *mentioned = true;
    for (answer, taken) in taken.iter_mut().enumerate() {
        let outcome = condition.holds_partly(&mut |atom| match atom {
            Condition::Found(Found::Answer(id, value)) if *id == ask => Some(*value as usize == answer),
            _ => None,
        });
        *taken |= match outcome {
            Some(true) => then,
            Some(false) => otherwise,
            None => then || otherwise,
        };
    }
}
