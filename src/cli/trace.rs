//! `cotter trace`: the life of a thing through a job.

use super::{Outcome, TraceArgs, WrongUse, files, report};
use crate::analysis::{Traced, trace};
use crate::proof::{Life, Moment, Way};
use crate::resolve::did_you_mean;

/// Widest act that is shown beside its state.
const WIDEST_ACT: usize = 46;

/// Shows the life of one thing, or of all.
pub fn run(args: &TraceArgs) -> Result<Outcome, WrongUse> {
    let entries = files::entries(std::slice::from_ref(&args.file))?;
    let [entry] = entries.as_slice() else {
        return Err(WrongUse("`trace` follows one job: name its file, not a folder".to_owned()));
    };
    let traced = trace(&files::inside(entry), &mut |path| files::load(&entry.root, path)).map_err(WrongUse)?;
    let wanted = args.name.join(" ").trim().to_lowercase();
    let mut out = String::new();
    if wanted.is_empty() {
        for life in &traced.trace.lives {
            out.push_str(&summary(&traced, life));
        }
        if traced.trace.lives.is_empty() {
            out.push_str("Nothing is taken away from home in this job.\n");
        } else {
            out.push_str(&format!("\n`cotter trace {} NAME` shows one of them line by line.\n", entry.shown));
        }
    } else {
        let meant = |life: &&Life| {
            let full = name(&traced, life).to_lowercase();
            full == wanted || traced.procedure[life.thing].name.to_lowercase() == wanted
        };
        let lives: Vec<&Life> = traced.trace.lives.iter().filter(meant).collect();
        if lives.is_empty() {
            return not_traced(&traced, &wanted);
        }
        out = lives.iter().map(|life| page(&traced, life)).collect::<Vec<_>>().join("\n");
    }
    if traced.trace.cut {
        out.push_str("\nThe job is too large to be followed to its end.\n");
    }
    report::say(&out);
    Ok(Outcome::Clean)
}

fn not_traced(traced: &Traced, wanted: &str) -> Result<Outcome, WrongUse> {
    let things = || traced.procedure.things.iter().map(|t| t.name.as_str());
    if let Some(thing) = things().find(|n| n.to_lowercase() == wanted) {
        report::say(&format!("{thing} stays home all through this job.\n"));
        return Ok(Outcome::Clean);
    }
    let hint = match did_you_mean(wanted, things()) {
        Some(near) => format!("; did you mean `{near}`?"),
        None => "; `cotter trace` with the file alone lists all that the job touches".to_owned(),
    };
    Err(WrongUse(format!("nothing in this job is called `{wanted}`{hint}")))
}

/// `left caliper`.
fn name(traced: &Traced, life: &Life) -> String {
    let thing = &traced.procedure[life.thing];
    let members = thing.each.and_then(|set| traced.procedure.sets.get(set.index())).map(|set| &set.members);
    match members.zip(life.member).and_then(|(names, m)| names.get(m as usize)) {
        Some(member) => format!("{member} {}", thing.name),
        None => thing.name.clone(),
    }
}

/// One line for one thing: `pump bolts    12: 4 out → 31: home`.
fn summary(traced: &Traced, life: &Life) -> String {
    let steps: Vec<String> = life
        .moments
        .iter()
        .map(|moment| {
            let states: Vec<&str> = moment.states.iter().map(|(words, _)| words.as_str()).collect();
            format!("{}: {}", line_number(traced, moment), states.join(" or "))
        })
        .collect();
    format!("{:<30} {}\n", name(traced, life), steps.join(" → "))
}

/// The whole life of one thing: line, act, state, ways.
fn page(traced: &Traced, life: &Life) -> String {
    let mut out = format!("{}\n", name(traced, life));
    out.push_str(&format!("{:>6}  {:<WIDEST_ACT$}  home\n", "", "before the job"));
    for moment in &life.moments {
        let mut act = traced.sources.text(moment.span).lines().next().unwrap_or_default().trim().to_owned();
        if act.chars().count() > WIDEST_ACT {
            act = act.chars().take(WIDEST_ACT - 1).chain(['…']).collect();
        }
        let mut head = format!("{:>6}  {act:<WIDEST_ACT$}", line_number(traced, moment));
        for (words, ways) in &moment.states {
            out.push_str(&format!("{head}  {words}{}\n", when(ways)));
            head = format!("{:>6}  {:<WIDEST_ACT$}", "", "");
        }
        if moment.states.is_empty() {
            out.push_str(&format!("{head}  the job ends here\n"));
        }
    }
    out
}

/// `, when pump is bad; or when guard fitted is yes and pump is good`; nothing where it is so on all ways.
fn when(ways: &[Way]) -> String {
    if ways.is_empty() || ways.iter().any(Vec::is_empty) {
        return String::new();
    }
    let one = |way: &Way| -> String {
        let facts: Vec<String> = way
            .iter()
            .map(|(what, how)| if how.is_empty() { what.clone() } else { format!("{what}: {how}") })
            .collect();
        facts.join(" and ")
    };
    format!("   when {}", ways.iter().map(one).collect::<Vec<_>>().join(", or "))
}

/// `12`; with the file where the line is not in the job's own.
fn line_number(traced: &Traced, moment: &Moment) -> String {
    let Some(source) = traced.sources.get(moment.span.file) else { return String::new() };
    let line = source.line_column(moment.span.start).0;
    if moment.span.file == traced.procedure.header.span.file {
        line.to_string()
    } else {
        let file = source.name().rsplit('/').next().unwrap_or_default();
        format!("{file}:{line}")
    }
}
