//! Seeded faults: every correct job (`procedures/`, `tests/jobs/`, with their machine files and routines), one line or two
//! neighbours spoilt at a time, as an author would spoil them, and each spoilt copy judged in process.
//!
//! A mutant counts as found when an error or a warning is told under a name that says what is wrong: each operator has
//! its own list of such names. What leaves a correct job is never made: the rule stands at its operator in `tests/mutants/`.
//! Survivors that are correct jobs after all, for a reason no rule here can see, stand in `survivors.txt` with the reason.
//!
//! There are some 8,000 mutants. By default a fixed sample of each operator is tried; `MUTANTS=all`, or a number for
//! each operator, tries more and prints what it finds without comparing it with the snapshot:
//!
//!     MUTANTS=all cargo test --release --test mutants -- --nocapture
//!
//! When jobs, rules or the proof have changed for the better, `INSTA_UPDATE=always cargo test --test mutants` takes the new
//! figures over: read the difference first. The sample is drawn by a hash of what is done, so that other lines of a job may change without changing it.

// The jobs are read from the disk, the size of the sample from the environment; the ban is for the core.
#![allow(clippy::disallowed_methods, clippy::disallowed_types, clippy::disallowed_macros)]

#[path = "mutants/bench.rs"]
mod bench;
#[path = "mutants/blocks.rs"]
mod blocks;
#[path = "mutants/clauses.rs"]
mod clauses;
#[path = "mutants/declare.rs"]
mod declare;
#[path = "mutants/ground.rs"]
mod ground;
#[path = "mutants/order.rs"]
mod order;
#[path = "mutants/steps.rs"]
mod steps;
#[path = "mutants/words.rs"]
mod words;

use std::collections::{BTreeMap, HashMap, HashSet};
use std::fmt::Write as _;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use bench::{Bench, Mutant};
use ground::{Job, Told};

/// How many of each operator are tried by default.
const SAMPLE: usize = 12;

/// Survivors that are correct jobs: `file: operator: what`, then the reason, indented.
const EXPLAINED: &str = include_str!("mutants/survivors.txt");

/// A mutant, the job it is made of, and what is told of it.
struct Tried {
    job: usize,
    mutant: Mutant,
    told: Vec<Told>,
}

#[derive(Default)]
struct Row {
    tried: usize,
    found: usize,
    more_than_one: usize,
}

fn jobs() -> Vec<Job> {
    Job::all_of("procedures").into_iter().chain(Job::all_of("tests/jobs")).collect()
}

/// Every mutant of every job; a line of a shared file once, for the first job in which it is a fault.
fn all_mutants(jobs: &[Job]) -> Vec<(usize, Mutant)> {
    let mut known = HashSet::new();
    let mut out = Vec::new();
    for (n, job) in jobs.iter().enumerate() {
        let b = Bench::new(job);
        let mut mutants = Vec::new();
        steps::all(&b, &mut mutants);
        order::all(&b, &mut mutants);
        blocks::all(&b, &mut mutants);
        declare::all(&b, &mut mutants);
        words::all(&b, &mut mutants);
        mutants.retain(|m| known.insert((job.root, job.names[m.file].clone(), m.line, m.operator, m.what.clone())));
        out.extend(mutants.into_iter().map(|m| (n, m)));
    }
    out
}

fn place(jobs: &[Job], job: usize, m: &Mutant) -> String {
    format!("{}/{}", jobs[job].root, jobs[job].names[m.file])
}

/// FNV-1a: the sample must be the same everywhere.
fn hash(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3))
}

fn sampled(jobs: &[Job], all: Vec<(usize, Mutant)>, of_each: usize) -> Vec<(usize, Mutant)> {
    let mut keyed: Vec<(u64, usize, (usize, Mutant))> = all
        .into_iter()
        .enumerate()
        .map(|(i, (n, m))| (hash(&format!("{} {} {}", place(jobs, n, &m), m.operator, m.what)), i, (n, m)))
        .collect();
    keyed.sort_by_key(|(h, i, _)| (*h, *i));
    let mut taken: HashMap<&'static str, usize> = HashMap::new();
    keyed.retain(|(_, _, (_, m))| {
        let n = taken.entry(m.operator).or_default();
        *n += 1;
        *n <= of_each
    });
    keyed.sort_by_key(|(_, i, _)| *i);
    keyed.into_iter().map(|(_, _, m)| m).collect()
}

fn tried(jobs: &[Job], todo: Vec<(usize, Mutant)>) -> Vec<Tried> {
    let next = AtomicUsize::new(0);
    let results = Mutex::new(BTreeMap::new());
    let workers = std::thread::available_parallelism().map_or(2, std::num::NonZero::get);
    std::thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                loop {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    let Some((job, m)) = todo.get(at) else { break };
                    let told = jobs[*job].judged(m.file, &m.text(&jobs[*job].texts[m.file]));
                    results.lock().expect("no worker has died").insert(at, told);
                }
            });
        }
    });
    let told = results.into_inner().expect("no worker has died").into_values();
    todo.into_iter().zip(told).map(|((job, mutant), told)| Tried { job, mutant, told }).collect()
}

/// Reasons by `file: operator: what`.
fn explained() -> HashMap<String, String> {
    let mut out: HashMap<String, String> = HashMap::new();
    let mut key = String::new();
    for line in EXPLAINED.lines().filter(|l| !l.starts_with('#') && !l.trim().is_empty()) {
        if line.starts_with(' ') {
            let reason = out.entry(key.clone()).or_default();
            if !reason.is_empty() {
                reason.push(' ');
            }
            reason.push_str(line.trim());
        } else {
            key = line.trim().to_owned();
        }
    }
    out
}

#[test]
fn seeded_faults_are_found_under_an_honest_name() {
    let size = std::env::var("MUTANTS").ok();
    let of_each = size.as_deref().map_or(SAMPLE, |s| s.parse().unwrap_or(usize::MAX));
    let jobs = jobs();
    let all = all_mutants(&jobs);
    let mut table: BTreeMap<&'static str, Row> = BTreeMap::new();
    let made = all.len();
    let tried = tried(&jobs, sampled(&jobs, all, of_each));
    let reasons = explained();
    let mut survivors = String::new();
    let mut crowds = String::new();
    for t in &tried {
        let m = &t.mutant;
        let row = table.entry(m.operator).or_default();
        row.tried += 1;
        row.more_than_one += usize::from(t.told.len() > 1);
        let file = place(&jobs, t.job, m);
        let told: Vec<String> = t
            .told
            .iter()
            .map(|f| format!("    {} {}:{} {} {:?}", f.rule, jobs[t.job].names[f.file], f.line, f.message, f.way))
            .collect();
        if t.told.iter().any(|f| m.honest.contains(&f.rule)) {
            row.found += 1;
        } else {
            let reason = reasons.get(&format!("{file}: {}: {}", m.operator, m.what));
            let open = if told.is_empty() { "open: nothing is told" } else { "open: told otherwise" };
            let what = reason.map_or(open, String::as_str);
            let _ = writeln!(survivors, "{file}:{} {}: {}\n    {what}", m.line, m.operator, m.what);
            told.iter().for_each(|l| survivors.push_str(&format!("{l}\n")));
        }
        if size.is_some() && told.len() > 1 {
            let _ = writeln!(crowds, "{file}:{} {}: {}\n{}", m.line, m.operator, m.what, told.join("\n"));
        }
    }
    let total: usize = table.values().map(|r| r.tried).sum();
    let found: usize = table.values().map(|r| r.found).sum();
    let crowded: usize = table.values().map(|r| r.more_than_one).sum();
    let report = report(&table, &survivors, (found, total, crowded));
    if size.is_some() {
        println!("{crowds}\n{made} mutants\n{report}");
    } else {
        insta::assert_snapshot!("seeded_faults", report);
    }
    assert!(total > 300, "only {total} mutants were made");
    assert!(found * 100 >= total * 95, "{found} of {total} mutants are found under an honest name\n{report}");
}

fn report(
    table: &BTreeMap<&'static str, Row>,
    survivors: &str,
    (found, total, crowded): (usize, usize, usize),
) -> String {
    let mut out = format!("found {found} of {total}; more than one finding: {crowded}\n\n");
    let _ = writeln!(out, "{:<38}{:>8}{:>8}{:>15}", "operator", "found", "tried", "several told");
    for (operator, row) in table {
        let _ = writeln!(out, "{operator:<38}{:>8}{:>8}{:>15}", row.found, row.tried, row.more_than_one);
    }
    out + "\nsurvivors\n" + survivors
}
