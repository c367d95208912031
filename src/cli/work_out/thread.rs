//! `cotter work-out thread`: the measures of a thread, and what it carries.

use clap::Args;

use super::joint::{Grade, read_thread};
use super::{Figure, Worked, WrongUse};
use crate::trade::strength;

#[derive(Debug, Args)]
pub struct ThreadArgs {
    /// The thread: `M10x1.25`, `1/2-13 UNC`
    #[arg(value_name = "THREAD", num_args = 1.., required = true)]
    thread: Vec<String>,
    #[command(flatten)]
    grade: Grade,
    /// Property class of the nut to ISO 898-2: 8, 10
    #[arg(long, value_name = "CLASS")]
    nut: Option<String>,
}

/// Diameters, stress area and, with a class or grade, the loads.
pub fn run(args: &ThreadArgs) -> Result<Worked, WrongUse> {
    let thread = read_thread(&args.thread)?;
    let mut inputs = vec![Figure::text("thread", thread.to_string())];
    let mut results = Vec::new();
    let millimetres = [
        ("diameter", thread.diameter_mm(), 3),
        ("pitch", thread.pitch_mm(), 4),
        ("pitch_diameter", thread.pitch_diameter_mm(), 3),
        ("root_diameter", thread.root_diameter_mm(), 3),
    ];
    let Some(area) = thread.stress_area_mm2() else {
        return Err(WrongUse(format!("{thread} is a pipe thread: it seals, and has no stress area to work with")));
    };
    results.push(Figure::number("stress_area", area, "mm²", 2));
    if !thread.is_metric() {
        results.push(Figure::number("stress_area_inch", area / 645.16, "in²", 4));
    }
    for (key, value, decimals) in millimetres {
        results.extend(value.map(|value| Figure::number(key, value, "mm", decimals)));
    }
    if let Some((strength, shown)) = args.grade.strength(&thread)? {
        inputs.push(shown);
        let stresses = [
            ("proof_stress", strength.proof),
            ("yield_point", Some(strength.yield_point)),
            ("tensile_strength", Some(strength.tensile)),
        ];
        if let Some(loads) = strength.loads(&thread) {
            let loads = [
                ("proof_load", loads.proof),
                ("yield_load", Some(loads.yield_load)),
                ("breaking_load", Some(loads.ultimate)),
            ];
            results.extend(loads.into_iter().filter_map(|(key, v)| Some(Figure::number(key, v?, "N", 0))));
        }
        results.extend(stresses.into_iter().filter_map(|(key, v)| Some(Figure::number(key, v?, "MPa", 0))));
    }
    if let Some(nut) = &args.nut {
        let stress = thread.diameter_mm().and_then(|d| strength::nut_proof_stress(nut, d)).ok_or_else(|| {
            WrongUse(format!("ISO 898-2 has no nut of class {nut} for {thread}: classes are 04, 05, 5, 6, 8, 9, 10, 12, sizes M3 to M39"))
        })?;
        inputs.push(Figure::text("nut", nut.clone()));
        results.push(Figure::number("nut_proof_load", stress * area, "N", 0));
    }
    Ok(Worked {
        calculation: "thread",
        inputs,
        results,
        method: if thread.is_metric() {
            "d2 = d − 0.649519 P; d3 = d − 1.226869 P; stress area = π/4 ((d2 + d3)/2)²; load = stress area × stress"
        } else {
            "stress area = 0.7854 (D − 0.9743/n)² in square inches; load = stress area × stress"
        }
        .to_owned(),
        source: "ISO 261, ISO 724 and ISO 898-1 (nuts ISO 898-2) for metric threads; ASME B1.1 and SAE J429 for unified ones".to_owned(),
        caution: "Least values of new parts. A bolt that was stretched, rusted or ground carries less.".to_owned(),
        drawing: None,
    })
}
