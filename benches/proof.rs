//! How long the proof takes, and how it grows: `cargo bench --bench proof`.
//!
//! Jobs of real shape are made in three sizes of each kind: more acts with the same options, more options with the same
//! acts, and one that is built to blow up. Each is read, resolved and proved several times; the best of each is shown,
//! and beside it the ratio to reading and resolving the same text, which is what a slow or busy machine leaves alone.

// A benchmark reads the clock and prints its table; the ban on both is for the core.
#![allow(clippy::disallowed_methods, clippy::disallowed_types, clippy::disallowed_macros)]

use cotter::proof::{Proof, prove};
use cotter::resolve::{Bundle, Loaded, resolve};
use cotter::source::{Source, Sources};
use cotter::syntax::parse;
use std::fmt::Write;
use std::time::{Duration, Instant};

const TIMES: usize = 7;

/// A job with optional guards in front of parts that are found good or bad, sets worked on member by member, fluids and
/// a battery, of about so many acts.
fn job(options: usize, sets: usize, acts: usize) -> String {
    let mut text = String::from("job: Large\noptions\n");
    for i in 0..options {
        writeln!(text, "  guard {i} fitted").unwrap();
    }
    text.push_str("sets\n");
    for s in 0..sets {
        writeln!(text, "  place {s}: front {s}, rear {s}, left {s}, right {s}").unwrap();
    }
    let (mut parts, mut fasteners, mut work) = (String::new(), String::new(), String::new());
    let mut done = 0;
    let mut number = 0;
    while done < acts {
        let option = number % options.max(1);
        if sets > 0 && number % 8 == 7 {
            let set = number / 8 % sets;
            writeln!(parts, "  caliper {number}: each place {set}, held by caliper {number} bolts, new if bad")
                .unwrap();
            writeln!(fasteners, "  caliper {number} bolts: each place {set}, 2 x M10x30, class 8.8, torque 45 N·m")
                .unwrap();
            writeln!(
                work,
                "  for each place {set}\n    inspect caliper {number}\n    remove caliper {number}\n    if caliper {number} bad\n      discard caliper {number}\n      \
                 fit caliper {number}\n    otherwise\n      refit caliper {number}"
            )
            .unwrap();
            done += 24;
        } else {
            writeln!(
                parts,
                "  guard {number}: held by guard {number} bolts, only with guard {option} fitted\n  \
                 pump {number}: held by pump {number} bolts, behind guard {number}, new if bad, carries oil\n  \
                 seal {number}: single-use, part of pump {number}"
            )
            .unwrap();
            writeln!(
                fasteners,
                "  guard {number} bolts: 5 x M8x20, class 8.8, torque 22 N·m, only with guard {option} fitted\n  \
                 pump {number} bolts: 4 x M10x40, class 8.8, torque 20 N·m then 45 N·m"
            )
            .unwrap();
            writeln!(
                work,
                "  with guard {option} fitted\n    remove guard {number}\n  inspect pump {number}\n  remove pump {number}\n  remove seal {number}\n  \
                 if pump {number} bad\n    discard pump {number}\n    fit seal {number}\n    fit pump {number}\n  otherwise\n    fit seal {number}\n    refit pump {number}\n  \
                 with guard {option} fitted\n    refit guard {number}"
            )
            .unwrap();
            done += 10;
        }
        number += 1;
    }
    writeln!(
        text,
        "parts\n  tank cap: filler of oil\n  drain plug: screwed M22x1.5, hex 27 mm, torque 55 N·m, drain of oil\n{parts}fasteners\n{fasteners}fluids\n  \
         oil: 9 L, spec: HV 46\nstage: Work\n  drain oil, into tray of 12 L\n{work}  close drain plug\n  open tank cap\n  fill oil, 9 L\n  close tank cap\n  \
         run engine, for 2 min"
    )
    .unwrap();
    text
}

/// What was found hangs on pairs that stand as far apart as they can: the diagram doubles with each of them.
fn blow_up(pairs: usize) -> String {
    let mut text = String::from(
        "job: Built to blow up\nparts\n  plate: held by bolts\nfasteners\n  bolts: 4 x M8x20, class 8.8, torque 22 N·m\nstage: Work\n",
    );
    for side in ["a", "b"] {
        for i in 0..pairs {
            writeln!(text, "  ask {side}{i}: Is it so?").unwrap();
        }
    }
    for i in 0..pairs {
        for (one, other) in [(format!("a{i}"), format!("not b{i}")), (format!("not a{i}"), format!("b{i}"))] {
            writeln!(text, "  if {one}\n    if {other}\n      found plate removed").unwrap();
        }
    }
    text
}

struct Measured {
    before: Duration,
    proving: Duration,
    proof: Proof,
    errors: usize,
}

fn measure(text: &str) -> Measured {
    let mut best: Option<Measured> = None;
    for _ in 0..TIMES {
        let start = Instant::now();
        let mut sources = Sources::default();
        let file = sources.add(Source::new("bench.job", text));
        let (tree, _) = parse(file, sources.get(file).expect("was just added"));
        let bundle = Bundle { files: vec![Loaded { path: "bench.job".into(), tree, uses: Vec::new() }] };
        let (procedure, findings) = resolve(&bundle, &sources);
        let before = start.elapsed();
        let start = Instant::now();
        let proof = prove(&procedure);
        let proving = start.elapsed();
        let errors = findings.iter().filter(|f| f.severity == cotter::diagnostic::Severity::Error).count();
        if best.as_ref().is_none_or(|b| proving < b.proving) {
            best = Some(Measured { before, proving, proof, errors });
        }
    }
    best.expect("measured at least once")
}

fn main() {
    println!(
        "{:<34}{:>7}{:>9}{:>9}{:>8}{:>11}{:>11}{:>7}",
        "job", "acts", "choices", "runs", "nodes", "read ms", "prove ms", "ratio"
    );
    let show = |name: String, text: &str| {
        let m = measure(text);
        let cost = m.proof.cost;
        let ms = |d: Duration| d.as_secs_f64() * 1000.0;
        println!(
            "{:<34}{:>7}{:>9}{:>9}{:>8}{:>11.2}{:>11.2}{:>7.2}   {} faults, {} errors",
            name,
            cost.acts,
            cost.choices,
            cost.runs,
            cost.nodes,
            ms(m.before),
            ms(m.proving),
            ms(m.proving) / ms(m.before),
            m.proof.faults.len(),
            m.errors,
        );
    };
    for acts in [250, 500, 1_000, 2_000, 4_000] {
        show(format!("40 options, 6 sets, {acts} acts"), &job(40, 6, acts));
    }
    for options in [1, 10, 20, 40, 80] {
        show(format!("{options} options, 6 sets, 2000 acts"), &job(options, 6, 2_000));
    }
    for pairs in [4, 8, 12, 16, 20] {
        show(format!("blow-up of {pairs} pairs"), &blow_up(pairs));
    }
}
