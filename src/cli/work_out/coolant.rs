//! `cotter work-out coolant`: when a mix freezes and boils, by volume and by mass; or how strong a mix must be.

use clap::{Args, ValueEnum};

use super::glycol::{self, behaviour, density_figure, share_caution};
use super::{Figure, Worked, WrongUse};
use crate::quantity::{Kind, parse_quantity};
use crate::trade::coolant::share;

#[derive(Debug, Args)]
#[command(
    after_help = "For example:\n  cotter work-out coolant 40 %\n  cotter work-out coolant 50 % --by mass --cap 15 psi\n  cotter work-out coolant -24 °C --kind propylene glycol coolant"
)]
pub struct CoolantArgs {
    /// A share of concentrate, or the temperature it must protect to: `40 %`, `-24 °C`
    #[arg(value_name = "SHARE", num_args = 1.., required = true)]
    words: Vec<String>,
    /// `ethylene glycol coolant` (where nothing is said) or `propylene glycol coolant`
    #[arg(long, value_name = "KIND", num_args = 1..)]
    kind: Vec<String>,
    /// What the share is of: the jug measures by volume, a scale by mass
    #[arg(long, value_name = "BY", default_value = "volume")]
    by: By,
    /// The pressure of the cap above the air: `103 kPa`, `15 psi`, `1.1 bar`
    #[arg(long, value_name = "PRESSURE", num_args = 1..)]
    cap: Vec<String>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum By {
    Volume,
    Mass,
}

pub fn run(args: &CoolantArgs) -> Result<Worked, WrongUse> {
    let kind = glycol::kind(&args.kind)?;
    let mut inputs = Vec::new();
    let asks_for_share = parse_quantity(&args.words.join(" ")).is_ok_and(|q| q.kind() == Kind::Temperature);
    let by_volume = if asks_for_share {
        let (protect, share) = glycol::share_for(kind, &args.words)?;
        inputs.push(Figure::quantity("protect", &protect));
        share.to_si().to_f64() * 100.0
    } else {
        let given = glycol::share_of(&args.words, "the share of concentrate")?;
        inputs.push(Figure::quantity("share", &given));
        inputs.push(Figure::text("by", if args.by == By::Mass { "mass" } else { "volume" }));
        // A share from 0 to 100 % is always in the tables; rounding may put it a hair outside.
        let percent = (given.to_si().to_f64() * 100.0).clamp(0.0, 100.0);
        match args.by {
            By::Volume => percent,
            By::Mass => share::by_volume(kind, percent).unwrap_or(percent),
        }
    };
    inputs.push(glycol::kind_figure(kind));
    let cap = if args.cap.is_empty() { None } else { Some(glycol::cap(&args.cap)?) };
    inputs.extend(cap.as_ref().map(|(cap, _)| Figure::quantity("cap", cap)));

    let mut results = vec![Figure::number("by_volume", by_volume, "%", 1)];
    results.extend(share::by_mass(kind, by_volume).map(|mass| Figure::number("by_mass", mass, "%", 1)));
    behaviour(kind, by_volume, cap.as_ref().map(|(_, kilopascals)| *kilopascals), &mut results);
    results.extend(density_figure(kind, by_volume));
    let caution = [
        share_caution(by_volume),
        "Data sets of one mix differ by up to 3 K; measure with a refractometer.",
        if cap.is_some() { glycol::RULE_CAUTION } else { "" },
        glycol::HOT_CAUTION,
    ];
    Ok(Worked {
        calculation: "coolant",
        inputs,
        results,
        method: "read from published tables between their rows; freezing is where the first crystals form; boiling in the open at 100.7 kPa, \
                 under a cap at 101.325 kPa more than the cap holds (propylene glycol: raised as water is, an estimate); density at \
                 21.1 °C"
            .to_owned(),
        source: format!(
            "{}; {}; {}; density: ASHRAE Handbook Fundamentals ch. 31",
            glycol::FREEZING_SOURCE,
            glycol::BOILING_SOURCE,
            glycol::SHARE_SOURCE
        ),
        caution: caution.into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" "),
        drawing: None,
    })
}
