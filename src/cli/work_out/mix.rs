//! `cotter work-out mix`: concentrate and water for a cooling system, empty or partly full.

use clap::Args;

use super::glycol::{self, behaviour, share_caution};
use super::{Figure, Worked, WrongUse};
use crate::quantity::{Known, Number, Quantity};
use crate::trade::coolant::{NoWay, PartlyFull, partly_full::Pour};

#[derive(Debug, Args)]
#[command(after_help = "For example:\n  cotter work-out mix 7.2 L --protect -36 °C --left 1.6 L --left-mix 30 %")]
pub struct MixArgs {
    /// What the whole system holds when it is full, what stays in included: `7.2 L`
    #[arg(value_name = "WHOLE", num_args = 1.., required = true)]
    whole: Vec<String>,
    /// `ethylene glycol coolant` (where nothing is said) or `propylene glycol coolant`
    #[arg(long, value_name = "KIND", num_args = 1..)]
    kind: Vec<String>,
    /// Down to which temperature the whole must protect: `-36 °C`
    #[arg(long, value_name = "TEMPERATURE", num_args = 1.., required_unless_present = "mix", conflicts_with = "mix")]
    protect: Vec<String>,
    /// The share of concentrate that the whole must have, by volume: `50 %`
    #[arg(long, value_name = "SHARE", num_args = 1..)]
    mix: Vec<String>,
    /// What stays in the system: `1.6 L`
    #[arg(long, value_name = "AMOUNT", num_args = 1.., requires = "left_mix")]
    left: Vec<String>,
    /// The share of concentrate of what stays in: `30 %`, `water`
    #[arg(long, value_name = "SHARE", num_args = 1.., requires = "left")]
    left_mix: Vec<String>,
    /// What is poured, where it is no concentrate: a ready mix of `50 %`
    #[arg(long, value_name = "SHARE", num_args = 1..)]
    with_mix: Vec<String>,
    /// The pressure of the cap above the air, for the boiling point: `103 kPa`, `15 psi`
    #[arg(long, value_name = "PRESSURE", num_args = 1..)]
    cap: Vec<String>,
}

pub fn run(args: &MixArgs) -> Result<Worked, WrongUse> {
    let kind = glycol::kind(&args.kind)?;
    let whole = glycol::volume(&args.whole, "what the whole system holds")?;
    let mut inputs = vec![Figure::quantity("whole", &whole), glycol::kind_figure(kind)];
    let target = if args.mix.is_empty() {
        let (protect, share) = glycol::share_for(kind, &args.protect)?;
        inputs.push(Figure::quantity("protect", &protect));
        share
    } else {
        let share = glycol::share_of(&args.mix, "the mix")?;
        inputs.push(Figure::quantity("mix", &share));
        share
    };
    let percent = |n| Quantity::new(Number::whole(n), Known::Percent);
    let mut left = Quantity { value: Number::ZERO, unit: whole.unit.clone() };
    let mut left_share = percent(0);
    if !args.left.is_empty() {
        left = super::quantity(&args.left, crate::quantity::Kind::Volume, "what stays in")?;
        left_share = glycol::share_of(&args.left_mix, "the share of what stays in")?;
        if left.value.is_negative() || whole.minus(&left).is_none_or(|room| room.value.is_negative()) {
            return Err(WrongUse(format!("what stays in is part of the whole: `{left}` of `{whole}` can not be")));
        }
        inputs.push(Figure::quantity("left", &left));
        inputs.push(Figure::quantity("left_mix", &left_share));
    }
    let with =
        if args.with_mix.is_empty() { percent(100) } else { glycol::share_of(&args.with_mix, "what is poured")? };
    inputs.push(Figure::quantity("with_mix", &with));
    let cap = if args.cap.is_empty() { None } else { Some(glycol::cap(&args.cap)?) };
    inputs.extend(cap.as_ref().map(|(cap, _)| Figure::quantity("cap", cap)));

    let concentrate = with.same_as(&percent(100));
    let system = PartlyFull { capacity: &whole, left: &left, left_share: &left_share };
    let mut results = Vec::new();
    let reached = match system.pour(&target, &with) {
        Ok(pour) => {
            poured(&pour, concentrate, &mut results);
            results.push(Figure::quantity("whole_mix", &target));
            Some(target.clone())
        }
        Err(no_way) => told(&no_way, &left, &target, concentrate, &mut results)?,
    };
    if let Some(reached) = &reached {
        let by_volume = (reached.to_si().to_f64() * 100.0).clamp(0.0, 100.0);
        behaviour(kind, by_volume, cap.as_ref().map(|(_, kilopascals)| *kilopascals), &mut results);
    }
    if !left.value.is_zero() {
        on_top(&whole, &left, &left_share, &target, &with, &mut results);
    }
    let by_volume = target.to_si().to_f64() * 100.0;
    let cautions = [
        share_caution(by_volume),
        "The water is distilled or deionised.",
        "Never mix two kinds of coolant.",
        "Measure with a refractometer when it has been mixed by running.",
        if cap.is_some() { glycol::RULE_CAUTION } else { "" },
        glycol::HOT_CAUTION,
    ];
    let boiling = if cap.is_some() { format!("; {}", glycol::BOILING_SOURCE) } else { String::new() };
    Ok(Worked {
        calculation: "mix",
        inputs,
        results,
        method: format!(
            "{} is what the whole system holds; balance of the concentrate: poured = (whole x mix - left x its share) / share of what is \
             poured, and the rest is water; exact, volumes taken as they add up (they shrink by less than 1 %)",
            whole
        ),
        source: format!("the mixture rule of any textbook of algebra; {}{boiling}", glycol::FREEZING_SOURCE),
        caution: cautions.into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" "),
        drawing: None,
    })
}

fn poured(pour: &Pour, concentrate: bool, results: &mut Vec<Figure>) {
    // People read what a jug can measure, and together it is still the whole; scripts get all digits.
    let (coolant, water) = glycol::measurable(&pour.coolant, &pour.both);
    results.push(glycol::shown_as(if concentrate { "concentrate" } else { "ready_mix" }, &pour.coolant, &coolant));
    results.push(glycol::shown_as("water", &pour.water, &water));
    results.push(Figure::quantity("poured", &pour.both));
    results.extend(pour.share.as_ref().map(|share| glycol::share_figure("poured_mix", share)));
}

/// Why it can't be done; the share that it comes to at best.
fn told(
    no_way: &NoWay,
    left: &Quantity,
    target: &Quantity,
    concentrate: bool,
    results: &mut Vec<Figure>,
) -> Result<Option<Quantity>, WrongUse> {
    let what = if concentrate { "pure concentrate" } else { "the ready mix undiluted" };
    let (words, best) = match no_way {
        NoWay::Arguments => return Err(WrongUse("these amounts can not be worked out".to_owned())),
        NoWay::Never { reaches } => {
            results.push(Figure::text(
                "impossible",
                format!("{what} never makes {target}, however much is drained: what is poured or what stays in is not right for it"),
            ));
            results.extend(reaches.as_ref().map(|reaches| Figure::quantity("reaches_at_most", reaches)));
            return Ok(None);
        }
        NoWay::TooWeak(best) => (format!("even {what} does not make the whole {target}"), best),
        NoWay::TooStrong(best) => (format!("even pure water does not bring the whole down to {target}"), best),
    };
    results.push(Figure::text("impossible", format!("{words}: drain more first")));
    results.push(glycol::share_figure("reaches", &best.reaches));
    results.push(Figure::quantity("may_stay", &best.may_stay));
    results.extend(left.minus(&best.may_stay).map(|more| Figure::quantity("drain_more", &more)));
    Ok(Some(best.reaches.clone()))
}

/// The other reading of the amount: that it is poured on top of what stays in.
fn on_top(
    amount: &Quantity,
    left: &Quantity,
    left_share: &Quantity,
    target: &Quantity,
    with: &Quantity,
    results: &mut Vec<Figure>,
) {
    let Some(whole) = amount.plus(left) else { return };
    let system = PartlyFull { capacity: &whole, left, left_share };
    let words = |pour: &Pour| {
        let (coolant, water) = glycol::measurable(&pour.coolant, &pour.both);
        format!("{coolant} of coolant + {water} of water, {whole} in all")
    };
    if let Ok(pour) = system.pour(target, with) {
        let object = serde_json::json!({
            "coolant": pour.coolant.value.to_f64(),
            "water": pour.water.value.to_f64(),
            "whole": whole.value.to_f64(),
            "unit": whole.unit.symbol(),
        });
        results.push(Figure::both("if_poured_on_top", words(&pour), object));
    }
}
