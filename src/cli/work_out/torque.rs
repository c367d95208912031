//! `cotter work-out torque`: how tight a bolt may be, and what it then clamps.

use clap::{ArgGroup, Args, ValueEnum};
use serde_json::json;

use super::joint::{Grade, read_thread};
use super::{Figure, Worked, WrongUse, quantity};
use crate::quantity::{Kind, System, parse_quantity, print};
use crate::trade::joint::plausible::{self, Engaged};
use crate::trade::joint::strip::{self, stripping_load};
use crate::trade::joint::{Friction, Head, Joint, USE_OF_YIELD, short_form};

#[derive(Debug, Args)]
#[command(group(ArgGroup::new("surface").args(["oiled", "dry", "anti_seize", "thread_lock", "friction", "k"])))]
pub struct TorqueArgs {
    /// The thread: `M10x1.25`, `1/2-13 UNC`
    #[arg(value_name = "THREAD", num_args = 1.., required = true)]
    thread: Vec<String>,
    #[command(flatten)]
    grade: Grade,
    /// Threads and head oiled: friction 0.08 to 0.16
    #[arg(long)]
    oiled: bool,
    /// Clean and dry: friction 0.14 to 0.24
    #[arg(long)]
    dry: bool,
    /// With anti-seize: friction 0.04 to 0.14
    #[arg(long)]
    anti_seize: bool,
    /// With thread-lock: friction 0.08 to 0.24
    #[arg(long)]
    thread_lock: bool,
    /// A known coefficient of friction, of thread and head alike
    #[arg(long, value_name = "µ", value_parser = coefficient)]
    friction: Option<f64>,
    /// Another one under the head
    #[arg(long, value_name = "µ", value_parser = coefficient, requires = "friction")]
    head_friction: Option<f64>,
    /// The short form T = K · d · F instead, with this K
    #[arg(long, value_name = "K", value_parser = coefficient)]
    k: Option<f64>,
    /// What turns it: a hexagon, or a socket in a cylindrical head
    #[arg(long, default_value = "hexagon")]
    head: HeadArg,
    /// Part of the yield point to reach [default: 90 %]
    #[arg(long, value_name = "PERCENT", num_args = 1..=2)]
    of_yield: Option<Vec<String>>,
    /// Part of the proof load to clamp with instead (75 % is common for what is taken apart again)
    #[arg(long, value_name = "PERCENT", num_args = 1..=2, conflicts_with_all = ["of_yield", "preload"])]
    of_proof: Option<Vec<String>>,
    /// The preload wanted instead: `12 kN`, `1275 lbf`
    #[arg(long, value_name = "FORCE", num_args = 1..=2, conflicts_with = "of_yield")]
    preload: Option<Vec<String>>,
    /// What it is screwed into
    #[arg(long, requires = "engaged")]
    into: Option<IntoArg>,
    /// How deep the thread is in it
    #[arg(long, value_name = "LENGTH", num_args = 1..=2, requires = "into")]
    engaged: Option<Vec<String>>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum HeadArg {
    #[value(alias = "hex")]
    Hexagon,
    #[value(aliases = ["cap", "hexalobular"])]
    Socket,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum IntoArg {
    Steel,
    Iron,
    Aluminium,
}

/// A coefficient above nought and at most one.
fn coefficient(text: &str) -> Result<f64, String> {
    match text.replace(',', ".").parse::<f64>() {
        Ok(value) if value > 0.0 && value <= 1.0 => Ok(value),
        _ => Err("a coefficient lies between 0 and 1, like 0.12".to_owned()),
    }
}

fn percent(words: Option<&Vec<String>>, what: &str) -> Result<Option<f64>, WrongUse> {
    let Some(words) = words else { return Ok(None) };
    let text = words.join(" ");
    // A bare figure can only be meant in per cent.
    let text = if text.ends_with(|c: char| c.is_ascii_digit()) { format!("{text} %") } else { text };
    let part = quantity(&[text], Kind::Ratio, what)?.to_si().to_f64();
    if !(part > 0.0 && part <= 1.0) {
        return Err(WrongUse(format!("{what} lies between 0 and 100 %")));
    }
    Ok(Some(part))
}

/// Torque and preload.
pub fn run(args: &TorqueArgs) -> Result<Worked, WrongUse> {
    let thread = read_thread(&args.thread)?;
    let mut inputs = vec![Figure::text("thread", thread.to_string())];
    let strength = args.grade.strength(&thread)?;
    let strength = strength.map(|(strength, shown)| {
        inputs.push(shown);
        strength
    });
    let head = if args.head == HeadArg::Socket { Head::Socket } else { Head::Hexagon };
    let joint = Joint::new(&thread, head)
        .ok_or_else(|| WrongUse(format!("{thread} is a pipe thread: it seals, and no formula gives its torque")))?;
    let class_wanted =
        || WrongUse("say how strong the bolt is: `--class 8.8` or `--grade 5`; or the `--preload` wanted".to_owned());
    let preload = match (&args.preload, percent(args.of_proof.as_ref(), "the part of the proof load")?) {
        (Some(words), _) => Some(quantity(words, Kind::Force, "the preload")?.to_si().to_f64()),
        (None, Some(part)) => {
            let strength = strength.as_ref().ok_or_else(class_wanted)?;
            let proof = strength.loads(&thread).and_then(|loads| loads.proof);
            let proof = proof.ok_or_else(|| WrongUse("the standard states no proof load for this class".to_owned()))?;
            inputs.push(Figure::number("part_of_proof_load", part * 100.0, "%", 0));
            Some(part * proof)
        }
        (None, None) => None,
    };
    if let Some(k) = args.k {
        return by_short_form(k, &thread, preload, strength.as_ref(), inputs).ok_or_else(class_wanted)?;
    }
    let part = percent(args.of_yield.as_ref(), "the part of the yield point")?.unwrap_or(USE_OF_YIELD);
    let (friction, surface) = friction(args);
    let low = (friction.low, args.head_friction.unwrap_or(friction.low));
    let high = (friction.high, args.head_friction.unwrap_or(friction.high));
    inputs.push(Figure::text("surface", surface));
    inputs.push(if friction.low == friction.high {
        Figure::number("friction", friction.low, "", 3)
    } else {
        Figure::range("friction", friction.low, friction.high, "", 2)
    });
    inputs.extend(args.head_friction.map(|under| Figure::number("head_friction", under, "", 3)));
    inputs.push(Figure::text("head", if head == Head::Socket { "socket" } else { "hexagon" }));
    let (at_low, at_high) = match (preload, &strength) {
        (Some(force), _) => ((force, joint.torque(force, low.0, low.1)), (force, joint.torque(force, high.0, high.1))),
        (None, Some(strength)) => {
            inputs.push(Figure::number("part_of_yield_point", part * 100.0, "%", 0));
            let at = |(thread, head)| joint.assembly(strength, part, thread, head);
            let (low, high) = (at(low), at(high));
            ((low.preload, low.torque), (high.preload, high.torque))
        }
        (None, None) => return Err(class_wanted()),
    };
    let mut results = vec![torque("torque", at_low.1, at_high.1)];
    // The more friction, the less is left of the torque for the preload.
    results.push(force("preload", at_high.0.min(at_low.0), at_high.0.max(at_low.0)));
    results.push(between(
        "torque_coefficient",
        joint.torque_coefficient(low.0, low.1),
        joint.torque_coefficient(high.0, high.1),
        "",
        3,
    ));
    let linear = (joint.torque_linear(at_low.0, low.0, low.1), joint.torque_linear(at_high.0, high.0, high.1));
    results.push(between("torque_linear_form", linear.0, linear.1, "N·m", 1));
    let engaged = match (args.into, &args.engaged) {
        (Some(into), Some(words)) => {
            let length = quantity(words, Kind::Length, "the depth of the thread")?;
            let into = match into {
                IntoArg::Steel => strip::Material::Steel,
                IntoArg::Iron => strip::Material::Iron,
                IntoArg::Aluminium => strip::Material::Aluminium,
            };
            inputs.push(Figure::text("into", into.name()));
            inputs.push(Figure::quantity("engaged", &length));
            Some(Engaged { into, length_mm: length.to_si().to_f64() * 1000.0 })
        }
        _ => None,
    };
    if let Some(engaged) = engaged
        && let Some((low, high)) = stripping_load(&thread, engaged.length_mm, engaged.into)
    {
        results.push(force("thread_strips_at", low, high));
    }
    if let Some(band) = strength.and_then(|strength| plausible::band(&thread, &strength, head, friction, engaged)) {
        results.push(torque("plausible", band.least, band.most));
        if band.strips {
            results.push(Figure::text("gives_way_first", "the thread it is screwed into"));
        }
    }
    Ok(Worked {
        calculation: "torque",
        inputs,
        results,
        method: "F = A_S · part · R_p0.2 / √(1 + 3 (3/2 · d2/d_S · tan(φ + ρ′))²), M = F (d2/2 · tan(φ + ρ′) + µ · D_Km/2), tan φ = P/(π d2), \
            tan ρ′ = 1.155 µ; linear form M = F (0.159 P + 0.577 d2 µ + D_Km/2 · µ). Low torque goes with low friction and high preload."
            .to_owned(),
        source: "VDI 2230-1 over ISO 898-1 or SAE J429; bearing faces ISO 4014 and ISO 4762, holes ISO 273 medium; friction classes of VDI 2230-1 \
            table A5 (from memory)"
            .to_owned(),
        caution: "A plausible band for a plain bolted joint, never a specification: the maker's figure counts. Gaskets, soft metal, used \
            threads and washers take less."
            .to_owned(),
        drawing: None,
    })
}

/// T = K · d · F.
fn by_short_form(
    k: f64,
    thread: &crate::trade::thread::Thread,
    preload: Option<f64>,
    strength: Option<&crate::trade::strength::Strength>,
    mut inputs: Vec<Figure>,
) -> Option<Result<Worked, WrongUse>> {
    let diameter = thread.diameter_mm()?;
    let preload = match preload {
        Some(preload) => preload,
        // Three quarters of the proof load, as handbooks take for what is taken apart again.
        None => {
            inputs.push(Figure::number("part_of_proof_load", 75.0, "%", 0));
            0.75 * strength?.loads(thread)?.proof?
        }
    };
    inputs.push(Figure::number("k", k, "", 3));
    let value = short_form(k, diameter, preload);
    Some(Ok(Worked {
        calculation: "torque",
        inputs,
        results: vec![torque("torque", value, value), force("preload", preload, preload)],
        method: "T = K · d · F".to_owned(),
        source: "textbooks of machine elements; K about 0.30 black, 0.20 zinc-plated, 0.16 cadmium-plated, 0.12 (from memory) with anti-seize".to_owned(),
        caution: "One K hides friction, pitch and head: expect the preload a quarter off either way. The maker's figure counts.".to_owned(),
        drawing: None,
    }))
}

/// The friction to reckon with, and its name.
fn friction(args: &TorqueArgs) -> (Friction, &'static str) {
    match args.friction {
        Some(value) => (Friction::exactly(value), "as given"),
        None if args.oiled => (Friction::OILED, "oiled"),
        None if args.dry => (Friction::DRY, "dry"),
        None if args.anti_seize => (Friction::ANTI_SEIZE, "anti-seize"),
        None if args.thread_lock => (Friction::THREAD_LOCK, "thread-lock"),
        None => (Friction::UNSAID, "not stated"),
    }
}

/// A value, or a range where its ends differ.
fn between(key: &'static str, low: f64, high: f64, unit: &str, decimals: usize) -> Figure {
    if low == high { Figure::number(key, low, unit, decimals) } else { Figure::range(key, low, high, unit, decimals) }
}

/// In N·m, and for people in lbf·ft as well.
fn torque(key: &'static str, low: f64, high: f64) -> Figure {
    let decimals = if high >= 100.0 { 0 } else { 1 };
    let text = if low == high {
        format!("{low:.decimals$} N·m")
    } else {
        format!("{low:.decimals$} to {high:.decimals$} N·m")
    };
    let other = |value: f64| {
        let us =
            parse_quantity(&format!("{value:.decimals$} N·m")).ok().and_then(|q| print(&q, System::Us).main.into());
        us.map_or_else(String::new, |text: String| text.replace('\u{a0}', " "))
    };
    let shown = if low == high {
        format!("{text} ({})", other(low))
    } else {
        format!("{text} ({} to {})", other(low), other(high))
    };
    let json = if low == high {
        json!({ "value": low, "unit": "N·m" })
    } else {
        json!({ "low": low, "high": high, "unit": "N·m" })
    };
    Figure::both(key, shown, json)
}

/// In kN; JSON in N as well would be the same thing twice.
fn force(key: &'static str, low: f64, high: f64) -> Figure {
    let decimals = if high >= 100_000.0 { 0 } else { 1 };
    between(key, low / 1000.0, high / 1000.0, "kN", decimals)
}
