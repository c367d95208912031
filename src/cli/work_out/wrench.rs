//! `cotter work-out wrench`: which torque wrench to take, what to set it to, and how far it may be off.

use clap::Args;
use serde_json::{Value, json};

use super::{Figure, Worked, WrongUse, quantity, right_kind, spec};
use crate::quantity::{Kind, Known, Number, Quantity, Spec, System, parse_spec, print_spec};
use crate::trade::wrench::{self, Arm, Claim, Class, Doubt, Fit};

#[derive(Debug, Args)]
pub struct WrenchArgs {
    /// The torque at the bolt: `90 N·m`, `81 to 88 N·m`
    #[arg(value_name = "TORQUE", num_args = 1.., required = true)]
    torque: Vec<String>,
    /// What is marked on a wrench, once for each wrench at hand: `--range "40 to 200 N·m"`
    #[arg(long, value_name = "RANGE", num_args = 1..)]
    range: Vec<String>,
    /// Crow-foot or in-line extension: from the square to the bolt
    #[arg(long, visible_alias = "extension", value_name = "LENGTH", num_args = 1..=2, requires = "length")]
    crowfoot: Option<Vec<String>>,
    /// The wrench: from the middle of the grip to the square
    #[arg(long, value_name = "LENGTH", num_args = 1..=2, requires = "crowfoot")]
    length: Option<Vec<String>>,
    /// How far the crow-foot points away from straight on: 90° is square to the wrench
    #[arg(long, value_name = "ANGLE", num_args = 1..=2, requires = "crowfoot")]
    angle: Option<Vec<String>>,
    /// The crow-foot is turned back towards the grip
    #[arg(long, requires = "crowfoot")]
    turned_back: bool,
    /// Type and class of ISO 6789-1: `II A` is a setting wrench with a scale, `I B` one with a dial
    #[arg(long, value_name = "TYPE CLASS", num_args = 1..=4, default_value = "II A")]
    class: Vec<String>,
    /// How far it may be off by its own papers, to be compared with the standard: `3 %`
    #[arg(long, value_name = "PERCENT", num_args = 1..=2)]
    deviation: Option<Vec<String>>,
}

/// Setting, wrench to take, share of its scale, verdict by both editions, and band.
pub fn run(args: &WrenchArgs) -> Result<Worked, WrongUse> {
    let torque = spec(&args.torque, Kind::Torque, "the torque")?;
    let ranges = read_ranges(&args.range)?;
    let arm = read_arm(args)?;
    let class_words = args.class.join(" ");
    let class = Class::parse(&class_words).ok_or_else(|| {
        WrongUse(format!("`{class_words}` is no type and class of ISO 6789: write `II A` to `II G` or `I A` to `I E`"))
    })?;
    let setting = match &arm {
        Some(arm) => scaled(&torque, &arm.factor().ok_or_else(no_arm)?).ok_or_else(no_arm)?,
        None => torque.clone(),
    };

    let mut inputs = vec![amount("torque", &torque)];
    inputs.extend(
        (!ranges.is_empty()).then(|| Figure::both("ranges", words_of(&ranges), ranges.iter().map(as_json).collect())),
    );
    if let Some(arm) = &arm {
        inputs.push(Figure::quantity("crowfoot", &arm.extension));
        inputs.push(Figure::quantity("length", &arm.length));
        inputs.push(Figure::number("angle", arm.angle.to_f64(), "°", decimals(&arm.angle)));
    }
    inputs.push(Figure::text("class", format!("{class}: {}", class.meaning())));

    let mut results = vec![amount("setting", &setting)];
    let scales: Vec<&Spec> = ranges.iter().collect();
    let chosen = wrench::choose(&scales, &setting);
    let judged = chosen.or_else(|| wrench::nearest(&scales, &setting)).and_then(|index| ranges.get(index));
    match judged {
        Some(range) => results.extend(of_wrench(range, &setting, chosen.is_some())),
        None => results.extend(to_fetch(&setting)),
    }
    if chosen.is_none() && judged.is_some() {
        results.extend(to_fetch(&setting));
    }
    if ranges.len() > 1 {
        results.push(each(&ranges, &setting, class));
    }
    // Without a wrench the one to fetch tells how far it may be off.
    let fetched =
        wrench::wrenches_for(std::slice::from_ref(&setting)).ready.into_iter().next().map(|ready| ready.range);
    if let Some(largest) = judged.or(fetched.as_ref()).and_then(largest_of) {
        results.extend(deviation(args, &setting, arm.as_ref(), class, &largest)?);
    }

    Ok(Worked {
        calculation: "wrench",
        inputs,
        results,
        method: method(arm.as_ref()),
        source: source(arm.as_ref()),
        caution: caution(arm.as_ref(), judged.and_then(|range| wrench::reach(range, &setting))),
        drawing: None,
    })
}

/// Every range, whether quoted or typed as words: a range ends where it can be read and no `to` goes on with it.
fn read_ranges(words: &[String]) -> Result<Vec<Spec>, WrongUse> {
    let words: Vec<&str> = words.iter().flat_map(|word| word.split_whitespace()).collect();
    let mut ranges = Vec::new();
    let mut rest = words.as_slice();
    while !rest.is_empty() {
        let ends = |at: &usize| !matches!(rest.get(*at), Some(&("to" | "-" | "–")));
        let read = (1..=rest.len()).filter(ends).find_map(|at| Some((at, parse_spec(&rest[..at].join(" ")).ok()?)));
        let Some((at, range)) = read else {
            return Err(WrongUse(format!(
                "the range can not be read from `{}`: write it like `40 to 200 N·m`",
                rest.join(" ")
            )));
        };
        right_kind(range.kind(), Kind::Torque, &range.to_string(), "the range")?;
        // `200 N·m` alone is the end of the scale, which starts at a fifth of it.
        let range = match range {
            Spec::Exactly(end) | Spec::AtMost(end) => {
                let fifth = Number::from_ratio(1, 5).and_then(|fifth| end.times(&fifth));
                fifth.map(|low| Spec::Between(low, end))
            }
            Spec::Between(..) | Spec::Tolerance { .. } => Some(range),
            Spec::AtLeast(_) => None,
        };
        ranges.push(
            range.ok_or_else(|| {
                WrongUse("the range of a wrench has an end: write it like `40 to 200 N·m`".to_owned())
            })?,
        );
        rest = &rest[at..];
    }
    Ok(ranges)
}

fn read_arm(args: &WrenchArgs) -> Result<Option<Arm>, WrongUse> {
    let (Some(crowfoot), Some(length)) = (&args.crowfoot, &args.length) else { return Ok(None) };
    let extension = quantity(crowfoot, Kind::Length, "the crow-foot")?;
    let length = quantity(length, Kind::Length, "the wrench")?;
    let angle = match &args.angle {
        Some(words) => quantity(words, Kind::Angle, "the angle")?.to_si(),
        None => Number::ZERO,
    };
    let angle = match args.turned_back {
        true => Number::whole(180).checked_sub(&angle).unwrap_or(angle),
        false => angle,
    };
    Ok(Some(Arm { length, extension, angle }))
}

fn no_arm() -> WrongUse {
    WrongUse("the bolt lies at the grip or behind it: with this crow-foot nothing can be set".to_owned())
}

/// The torque times a factor, exactly.
fn scaled(torque: &Spec, factor: &Number) -> Option<Spec> {
    let side = |number: &Number| number.checked_mul(factor);
    Some(match torque {
        Spec::Exactly(value) => Spec::Exactly(value.times(factor)?),
        Spec::Between(low, high) => Spec::Between(low.times(factor)?, high.times(factor)?),
        Spec::Tolerance { value, plus, minus } => {
            Spec::Tolerance { value: value.times(factor)?, plus: side(plus)?, minus: side(minus)? }
        }
        Spec::AtLeast(value) => Spec::AtLeast(value.times(factor)?),
        Spec::AtMost(value) => Spec::AtMost(value.times(factor)?),
    })
}

/// What is marked, the share of the scale, and the verdict by both editions.
fn of_wrench(range: &Spec, setting: &Spec, fits: bool) -> Vec<Figure> {
    let Some(fit) = wrench::reach(range, setting) else { return Vec::new() };
    let share = share(range, setting);
    let words = match fit {
        Fit::Good => "ok: on the scale, within 20 to 100 % of its largest value",
        Fit::Low => "low: marked, but below 20 % of the largest value",
        Fit::TooLow => "too low: below the lowest value marked",
        Fit::TooHigh => "too high: above the largest value",
    };
    let yes = |yes: bool, words: &str| format!("{}: {words}", if yes { "may be used" } else { "not to be used" });
    vec![
        Figure::both(if fits { "take" } else { "nearest" }, print(range), as_json(range)),
        Figure::number("part_of_scale", share, "%", if share.fract() == 0.0 { 0 } else { 1 }),
        Figure::both("verdict", words, json!(fit.key())),
        Figure::both(
            "by_edition_2003",
            yes(fit.by_2003(), "from 20 to 100 % of the largest value"),
            json!(fit.by_2003()),
        ),
        Figure::both(
            "by_edition_2017",
            yes(fit.by_2017(), "from the lowest value marked, which must be tested"),
            json!(fit.by_2017()),
        ),
    ]
}

/// The value that stands for a torque: the one aimed at, else the end that counts.
fn main_value(setting: &Spec) -> Option<Quantity> {
    setting.target().cloned().or_else(|| setting.low()).or_else(|| setting.high())
}

fn share(range: &Spec, setting: &Spec) -> f64 {
    main_value(setting)
        .and_then(|value| wrench::percent_of_scale(range, &value))
        .map_or(f64::NAN, |share| share.to_f64())
}

/// The range to have where none at hand will do.
fn to_fetch(setting: &Spec) -> Option<Figure> {
    let range = wrench::wrenches_for(std::slice::from_ref(setting)).ready.into_iter().next()?.range;
    Some(Figure::both("fetch", format!("a wrench of {}", print(&range)), as_json(&range)))
}

fn each(ranges: &[Spec], setting: &Spec, class: Class) -> Figure {
    let mut words = Vec::new();
    let mut all = Vec::new();
    for range in ranges {
        let Some(fit) = wrench::reach(range, setting) else { continue };
        let share = share(range, setting);
        words.push(format!("{range}: {} ({share:.0} %)", fit.key().replace('-', " ")));
        let percent = largest_of(range).and_then(|largest| class.permissible_percent(&largest));
        all.push(json!({ "range": as_json(range), "part_of_scale": share, "verdict": fit.key(), "permissible_deviation": percent }));
    }
    Figure::both("each", words.join("; "), Value::Array(all))
}

/// How far it may be off by the standard, what that comes to, and what its own papers say beside it.
fn deviation(
    args: &WrenchArgs,
    setting: &Spec,
    arm: Option<&Arm>,
    class: Class,
    largest: &Quantity,
) -> Result<Vec<Figure>, WrongUse> {
    let Some(permissible) = class.permissible_percent(largest) else { return Ok(Vec::new()) };
    let mut figures = vec![Figure::both(
        "permissible_deviation",
        format!("±{permissible} % ({class}, to {largest})"),
        json!({ "value": permissible, "unit": "%" }),
    )];
    let mut percent = Number::whole(permissible.into());
    if let Some(words) = &args.deviation {
        let text = words.join(" ");
        let stated = quantity(&[text.trim_start_matches(['±', '+']).trim().to_owned()], Kind::Ratio, "the deviation")?;
        percent = stated.convert(&Known::Percent.into()).map_or(percent, |stated| stated.value);
        let (key, words) = match wrench::judge(&percent, permissible) {
            Claim::Closer => ("closer", "closer than the standard asks: a maker's promise, not the standard"),
            Claim::Standard => ("standard", "what the standard gives"),
            Claim::Wider => {
                ("wider", "wider than the standard allows: it does not pass, or the figure is of something else")
            }
        };
        figures.push(Figure::both("stated_deviation", format!("±{percent} % is {words}"), json!(key)));
    }
    let Some(value) = main_value(setting) else { return Ok(figures) };
    if let Some((low, high)) = wrench::band(&value, &percent) {
        let unit = value.unit.symbol().to_owned();
        let places = decimals(&low.value).max(decimals(&high.value));
        figures.push(Figure::range("band", low.value.to_f64(), high.value.to_f64(), &unit, places));
        if let Some(factor) = arm.and_then(Arm::factor).filter(|factor| *factor != Number::ONE) {
            let back = |value: &Quantity| value.value.checked_div(&factor).map_or(f64::NAN, |value| value.to_f64());
            figures.push(Figure::range("band_at_the_bolt", back(&low), back(&high), &unit, places));
        }
    }
    Ok(figures)
}

fn largest_of(range: &Spec) -> Option<Quantity> {
    range.high()
}

/// At most two digits after the point.
fn decimals(number: &Number) -> usize {
    number.decimals_needed().map_or(2, |needed| usize::from(needed).min(2))
}

/// A torque: people see it as a scale shows it, scripts get all its digits.
fn amount(key: &'static str, torque: &Spec) -> Figure {
    let rounded = |value: &Quantity| {
        // What was typed stays as it is.
        if value.value.decimals_needed().is_some_and(|needed| needed <= 2) {
            return value.clone();
        }
        wrench::on_scale(value, crate::quantity::Rounding::Nearest)
    };
    match torque {
        Spec::Exactly(value) => Figure::both(key, print(&Spec::Exactly(rounded(value))), as_json(torque)),
        Spec::Between(low, high) => {
            Figure::both(key, print(&Spec::Between(rounded(low), rounded(high))), as_json(torque))
        }
        other => Figure::both(key, print(other), as_json(other)),
    }
}

fn print(spec: &Spec) -> String {
    let printed = print_spec(spec, System::Both);
    let shown = match printed.other {
        Some(other) => format!("{} ({other})", printed.main),
        None => printed.main,
    };
    shown.replace(['\u{a0}', '\u{202f}'], " ")
}

fn words_of(ranges: &[Spec]) -> String {
    ranges.iter().map(Spec::to_string).collect::<Vec<_>>().join("; ")
}

fn as_json(spec: &Spec) -> Value {
    let number = |value: &Quantity| json!(value.value.to_f64());
    let unit = spec.unit().symbol();
    match spec {
        Spec::Exactly(value) => json!({ "value": number(value), "unit": unit }),
        Spec::Tolerance { value, plus, minus } => {
            json!({ "value": number(value), "plus": plus.to_f64(), "minus": minus.to_f64(), "unit": unit })
        }
        Spec::Between(..) | Spec::AtLeast(_) | Spec::AtMost(_) => {
            json!({ "low": spec.low().map(|q| number(&q)), "high": spec.high().map(|q| number(&q)), "unit": unit })
        }
    }
}

fn method(arm: Option<&Arm>) -> String {
    let setting = match arm {
        Some(arm) if arm.is_square() => "square to the wrench the crow-foot does not change the setting; ",
        Some(_) => {
            "setting = T · L / (L + E cos α), with L from the grip to the square, E from the square to the bolt, α away from straight on; "
        }
        None => "",
    };
    format!(
        "{setting}the smallest wrench is taken that has the setting within 20 to 100 % of its largest value, else one that has it marked; band = setting ± permissible deviation"
    )
}

fn source(arm: Option<&Arm>) -> String {
    let adapter = if arm.is_some() { "; FAA AC 43.13-1B par. 7-40" } else { "" };
    format!(
        "ISO 6789:2003 (range of use 20 to 100 %), ISO 6789-1:2017 (range from the lowest mark; deviations alike in both, those of classes other than II A from memory){adapter}"
    )
}

fn caution(arm: Option<&Arm>, fit: Option<Fit>) -> String {
    let mut parts = vec!["The torque itself must come from the maker of the machine.".to_owned()];
    if let Some(arm) = arm {
        parts.push("The crow-foot must stand as it is given here, and the hand at the middle of the grip.".to_owned());
        match arm.doubt() {
            Some(Doubt::LongerThanTheWrench) => {
                parts.push("The crow-foot is not shorter than the wrench: are the two exchanged?".to_owned())
            }
            Some(Doubt::NoSuchWrench) => {
                parts.push("A torque wrench of this length is hardly meant: is the unit right?".to_owned())
            }
            None => {}
        }
    }
    if fit == Some(Fit::Low) {
        parts.push("See on its certificate that the wrench was tested down to here.".to_owned());
    }
    parts.push("Pull slowly (from 80 % to the click in 0.5 to 4 s) and wind a setting wrench back to its lowest mark afterwards.".to_owned());
    parts.join(" ")
}

#[cfg(test)]
mod tests;
