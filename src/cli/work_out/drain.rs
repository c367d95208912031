//! `cotter work-out drain`: how much to drain and replace, and what is left of the old after several changes.

use clap::Args;

use super::{Figure, Worked, WrongUse, glycol};
use crate::quantity::{Known, Number, Quantity};
use crate::trade::coolant::{self, NoWay, dilution, freezing};

#[derive(Debug, Args)]
#[command(
    after_help = "For example:\n  cotter work-out drain 7.5 L --from 35 % --to 50 %\n  cotter work-out drain 8 L --changes 3 --drain 4 L"
)]
pub struct DrainArgs {
    /// What the system holds: `7.5 L`
    #[arg(value_name = "WHOLE", num_args = 1.., required = true)]
    whole: Vec<String>,
    /// The share of concentrate that is in it: `35 %`, `water`
    #[arg(long, value_name = "SHARE", num_args = 1.., required_unless_present = "changes")]
    from: Vec<String>,
    /// The share that is wanted: `50 %`
    #[arg(long, value_name = "SHARE", num_args = 1.., required_unless_present = "changes", conflicts_with = "changes")]
    to: Vec<String>,
    /// What is filled in instead: `100 %` (concentrate, where nothing is said), `50 %`, `water`
    #[arg(long = "with", value_name = "SHARE", num_args = 1..)]
    with: Vec<String>,
    /// How often it is drained and filled up again
    #[arg(long, value_name = "TIMES", requires = "drain")]
    changes: Option<u32>,
    /// How much is drained at each change: `4 L`
    #[arg(long, value_name = "AMOUNT", num_args = 1.., requires = "changes")]
    drain: Vec<String>,
    /// For the freezing point: `ethylene glycol coolant` or `propylene glycol coolant`
    #[arg(long, value_name = "KIND", num_args = 1..)]
    kind: Vec<String>,
}

const SOURCE: &str = "the mixture rule of any textbook of algebra";
const CAUTION: &str = "Let it run warm and mix before draining again; never open a hot cooling system; label what was drained. Glycol poisons \
                       children and animals.";

pub fn run(args: &DrainArgs) -> Result<Worked, WrongUse> {
    let whole = glycol::volume(&args.whole, "what the system holds")?;
    let mut inputs = vec![Figure::quantity("whole", &whole)];
    let from = if args.from.is_empty() { None } else { Some(glycol::share_of(&args.from, "the share that is in it")?) };
    inputs.extend(from.as_ref().map(|from| Figure::quantity("from", from)));
    let with = if args.with.is_empty() {
        Quantity::new(Number::whole(100), Known::Percent)
    } else {
        glycol::share_of(&args.with, "what is filled in")?
    };
    let mut results = Vec::new();
    let (reached, method) = match args.changes {
        Some(changes) => {
            let drain = glycol::volume(&args.drain, "what is drained")?;
            inputs.push(Figure::number("changes", changes.into(), "", 0));
            inputs.push(Figure::quantity("drain", &drain));
            (
                several(&whole, &drain, changes, from.as_ref(), &with, &mut results)?,
                "left of the old: (1 - drained/whole)^changes",
            )
        }
        None => {
            let to = glycol::share_of(&args.to, "the share that is wanted")?;
            inputs.push(Figure::quantity("to", &to));
            let from = from.ok_or_else(|| WrongUse("say what is in it: `--from 35 %`".to_owned()))?;
            (once(&whole, &from, &to, &with, &mut results)?, "drain = whole x (to - from) / (with - from)")
        }
    };
    inputs.push(Figure::quantity("with", &with));
    if !args.kind.is_empty() {
        let kind = glycol::kind(&args.kind)?;
        inputs.push(glycol::kind_figure(kind));
        let percent = reached.as_ref().map(|share| share.to_si().to_f64() * 100.0);
        let freezes = percent.and_then(|percent| freezing::freezing_point(kind, percent));
        results.extend(freezes.map(|freezes| glycol::celsius("freezes_at", freezes)));
    }
    Ok(Worked {
        calculation: "drain",
        inputs,
        results,
        method: format!("{method}; shares by volume, exact"),
        source: if args.kind.is_empty() { SOURCE.to_owned() } else { format!("{SOURCE}; {}", glycol::FREEZING_SOURCE) },
        caution: CAUTION.to_owned(),
        drawing: None,
    })
}

/// One change; the share that it leads to.
fn once(
    whole: &Quantity,
    from: &Quantity,
    to: &Quantity,
    with: &Quantity,
    results: &mut Vec<Figure>,
) -> Result<Option<Quantity>, WrongUse> {
    match dilution::drain_and_replace(whole, from, to, with) {
        Ok(drain) => {
            results.push(Figure::quantity("drain", &drain));
            let stays = whole.minus(&drain);
            results.extend(stays.as_ref().map(|stays| Figure::quantity("stays", stays)));
            if drain.same_as(whole) && !to.same_as(from) {
                results.push(Figure::text(
                    "impossible",
                    "unless all is drained: what is filled in is no stronger than what is wanted",
                ));
            }
            results.push(Figure::quantity("whole_mix", to));
            Ok(Some(to.clone()))
        }
        Err(NoWay::Never { reaches }) => {
            results.push(Figure::text(
                "impossible",
                format!("no amount does it: {to} does not lie between the {from} in the system and the {with} that are filled in"),
            ));
            results.extend(reaches.as_ref().map(|reaches| Figure::quantity("reaches_at_most", reaches)));
            Ok(None)
        }
        Err(_) => Err(WrongUse("these amounts can not be worked out".to_owned())),
    }
}

/// Several changes; the share that they lead to, where it is known what was in.
fn several(
    whole: &Quantity,
    drain: &Quantity,
    changes: u32,
    from: Option<&Quantity>,
    with: &Quantity,
    results: &mut Vec<Figure>,
) -> Result<Option<Quantity>, WrongUse> {
    let part = drain.over(whole).filter(|part| *part <= Number::ONE);
    let Some(part) = part else {
        return Err(WrongUse(format!("more is drained than there is: `{drain}` of `{whole}`")));
    };
    let Some(left) = dilution::residue(whole, drain, changes) else {
        // Too long for exact numbers.
        let left = (1.0 - part.to_f64()).powf(f64::from(changes));
        results.push(Figure::number("left_of_old", left * 100.0, "%", 4));
        return Ok(None);
    };
    results.extend(coolant::percentage(&left).as_ref().map(|share| Figure::quantity("left_of_old", share)));
    let reached = from.and_then(|from| dilution::share_after(from, with, &left));
    results.extend(reached.as_ref().map(|share| Figure::quantity("whole_mix", share)));
    Ok(reached)
}
