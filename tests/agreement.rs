//! The proof carries all ways through a job at once. Here every way is walked by itself as well, on thousands of small
//! jobs made at random and on every job of the repository that has not too many ways: both must tell the same.

use cotter::proof::disagreements;
use cotter::resolve::{Bundle, Loaded, resolve};
use cotter::source::{Source, Sources};
use cotter::syntax::parse;

/// A small generator of numbers, the same every time (xorshift, Marsaglia 2003).
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % sides as u64) as usize
    }

    fn of<'a>(&mut self, from: &[&'a str]) -> &'a str {
        from[self.roll(from.len())]
    }
}

/// One declared machine for all; what differs is what is done to it.
const MACHINE: &str = "\
job: Anything
options
  guard fitted
  model: long, short, none, only with guard fitted
sets
  side: left, right
parts
  battery cable: held by cable nut
  starter: held by starter bolts, hazard high voltage
  guard: held by guard bolts, only with guard fitted, hazard rotating parts
  plate: held by plate screws, behind guard, 2 x
  plug: screwed M22x1.5, hex 27 mm, torque 55 N·m, drain of oil
  cap: filler of oil
  ring: single-use, part of plug
  pump: new if bad, held by pump bolts, carries oil, behind plate
  seal: single-use, part of pump
  lever: part of pump, held by lever screw
  with guard fitted
    cover: single-use, held by plate screws, only with model long
  caliper: each side, held by caliper bolts, needs support
  pads: each side, new, as a set, behind caliper
  arms: hazard crush, once caged then uncage before drive
  rod: held by rod nut, needs arms locked, while removed never run engine
  blocks: 2 x, temporary
fasteners
  cable nut: 1 x M8, torque 12 N·m
  starter bolts: 2 x M10x40, torque 40 N·m
  guard bolts: 5 x M10x20, torque 42 N·m, only with guard fitted
  plate screws: 4 x M10x25, torque 42 N·m then 90°
  pump bolts: 4 x M12x40, torque 40 N·m then 80 N·m, new if bad
  lever screw: 1 x M6, torque 9 N·m
  caliper bolts: each side, 2 x M10x30, torque 60 N·m, tighten at vehicle lowered
  rod nut: 1 x M10, torque 50 N·m
fluids
  oil: 9 L, spec: HV 46, drains 8 L, needs bleeding
acts
  cage / uncage: caged
measurements
  play: of pump, 0.1 to 0.3 mm
";

const THINGS: [&str; 22] = [
    "battery cable",
    "starter",
    "guard",
    "plate",
    "plug",
    "cap",
    "ring",
    "pump",
    "new pump",
    "old pump",
    "seal",
    "lever",
    "cover",
    "left caliper",
    "each caliper",
    "pads",
    "rod",
    "blocks",
    "pump bolts",
    "2 of plate screws",
    "guard bolts",
    "caliper",
];

const VERBS: [&str; 20] = [
    "remove",
    "remove",
    "refit",
    "refit",
    "fit",
    "disconnect",
    "connect",
    "move aside",
    "return",
    "open",
    "close",
    "loosen",
    "tighten",
    "start",
    "place",
    "discard",
    "transfer",
    "inspect",
    "put in",
    "take out",
];

const WHOLE: [&str; 22] = [
    "drain oil",
    "drain oil, into tray 10 L",
    "fill oil, 8 L",
    "fill oil, 5 L",
    "bleed oil",
    "top up oil",
    "lock arms",
    "unlock arms",
    "cage arms",
    "uncage arms",
    "raise vehicle, on stands",
    "raise front",
    "lower vehicle",
    "support caliper",
    "release caliper",
    "run engine",
    "stop engine",
    "drive, 1 km",
    "let engine cool",
    "measure play",
    "inspect pump",
    "tighten plate screws, pass 1",
];

const CONDITIONS: [&str; 12] = [
    "with guard fitted",
    "without guard fitted",
    "with model long",
    "with model none",
    "with model short",
    "if pump bad",
    "if pump good",
    "if pump bolts bad",
    "if play outside",
    "if trouble yes",
    "if plate removed",
    "if seal bad",
];

fn block(dice: &mut Dice, job: &mut String, depth: usize, lines: &mut usize) {
    let pad = "  ".repeat(depth + 1);
    for _ in 0..=dice.roll(4) {
        if *lines == 0 {
            return;
        }
        *lines -= 1;
        match dice.roll(if depth < 3 { 12 } else { 7 }) {
            0..=4 => job.push_str(&format!("{pad}{} {}\n", dice.of(&VERBS), dice.of(&THINGS))),
            5 | 6 => job.push_str(&format!("{pad}{}\n", dice.of(&WHOLE))),
            7 | 8 => {
                job.push_str(&format!("{pad}{}\n", dice.of(&CONDITIONS)));
                block(dice, job, depth + 1, lines);
                if dice.roll(3) == 0 && job.lines().last().is_some_and(|l| !l.trim_start().starts_with("with")) {
                    job.push_str(&format!("{pad}  inspect pump\n"));
                }
            }
            9 => {
                job.push_str(&format!("{pad}ask trouble: Any trouble?\n{pad}if trouble no\n"));
                block(dice, job, depth + 1, lines);
                job.push_str(&format!("{pad}otherwise\n"));
                block(dice, job, depth + 1, lines);
                if dice.roll(3) == 0 {
                    job.push_str(&format!("{pad}  stop: Call the foreman.\n"));
                }
            }
            10 => {
                let how = dice.of(&["", ", one after the other"]);
                job.push_str(&format!("{pad}for each side{how}\n"));
                block(dice, job, depth + 1, lines);
            }
            _ => {
                let then = dice.of(&["stop: Call.", "pump bad"]);
                job.push_str(&format!("{pad}until play within, at most 3 times, then {then}\n"));
                block(dice, job, depth + 1, lines);
                job.push_str(&format!("{pad}  measure play\n{pad}  before the next try\n"));
                block(dice, job, depth + 2, lines);
            }
        }
    }
}

fn differences(text: &str, most_ways: usize) -> (bool, Option<Vec<String>>) {
    let mut sources = Sources::default();
    let file = sources.add(Source::new("random.job", text));
    let (tree, _) = parse(file, sources.get(file).expect("was just added"));
    let bundle = Bundle { files: vec![Loaded { path: "random.job".into(), tree, uses: Vec::new() }] };
    let (procedure, findings) = resolve(&bundle, &sources);
    (findings.iter().all(|f| f.severity != cotter::diagnostic::Severity::Error), disagreements(&procedure, most_ways))
}

/// How many jobs are made.
const JOBS: usize = 2_000;

/// Jobs of up to 18 lines. What is done makes no sense, so most of them are full of faults: all the more
/// is there to agree on.
#[test]
fn random_jobs_are_told_the_same_way_by_way() {
    let mut dice = Dice(0x00c0_77e2_1126_2511);
    let (mut compared, mut readable, mut ways_too_many) = (0, 0, 0);
    for number in 0..JOBS {
        let mut job = String::from(MACHINE);
        let mut lines = 18;
        job.push_str("stage: First\n");
        block(&mut dice, &mut job, 0, &mut lines);
        job.push_str("stage: Second\n");
        block(&mut dice, &mut job, 0, &mut lines);
        if number % 5 == 0 {
            job.push_str("stage after 50 km: Later\n");
            block(&mut dice, &mut job, 0, &mut lines);
        }
        let (clean, told) = differences(&job, 128);
        readable += usize::from(clean);
        match told {
            None => ways_too_many += 1,
            Some(told) => {
                compared += 1;
                assert!(told.is_empty(), "job {number}:\n{job}\n{}", told.join("\n"));
            }
        }
    }
    assert!(
        compared >= JOBS * 3 / 5 && readable >= JOBS / 10,
        "{compared} compared, {readable} of all without an unknown name, {ways_too_many} with too many ways"
    );
}
