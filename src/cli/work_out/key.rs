//! `cotter work-out key`: which spanner, key or bit fits the head of a thread.

use clap::{Args, ValueEnum};
use serde_json::json;

use super::joint::read_thread;
use super::{Figure, Worked, WrongUse};
use crate::quantity::Number;
use crate::trade::head::{self, HeadKind, KeySize, Turned};
use crate::trade::thread::Thread;

#[derive(Debug, Args)]
pub struct KeyArgs {
    /// The thread: `M8`, `1/2-13 UNC`
    #[arg(value_name = "THREAD", num_args = 1.., required = true)]
    thread: Vec<String>,
    /// Kind of head [default: all of them]
    #[arg(long)]
    head: Option<HeadArg>,
    /// With a hexalobular (six-lobed) socket
    #[arg(long, visible_alias = "lobes")]
    hexalobular: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum HeadArg {
    /// Outer hexagon: bolt or nut
    #[value(alias = "hex")]
    Hexagon,
    /// Cylindrical head with a socket
    #[value(alias = "socket")]
    Cap,
    /// Low cylindrical head
    LowCap,
    Button,
    #[value(aliases = ["flat", "csk"])]
    Countersunk,
    /// Headless
    #[value(aliases = ["set", "grub"])]
    SetScrew,
    /// Pan head, hexalobular
    Pan,
}

impl From<HeadArg> for HeadKind {
    fn from(head: HeadArg) -> Self {
        match head {
            HeadArg::Hexagon => HeadKind::Hexagon,
            HeadArg::Cap => HeadKind::Cap,
            HeadArg::LowCap => HeadKind::LowCap,
            HeadArg::Button => HeadKind::Button,
            HeadArg::Countersunk => HeadKind::Countersunk,
            HeadArg::SetScrew => HeadKind::SetScrew,
            HeadArg::Pan => HeadKind::Pan,
        }
    }
}

/// Every size that a standard gives.
pub fn run(args: &KeyArgs) -> Result<Worked, WrongUse> {
    let thread = read_thread(&args.thread)?;
    let kind = args.head.map(HeadKind::from);
    let mut inputs = vec![Figure::text("thread", thread.to_string())];
    inputs.extend(kind.map(|kind| Figure::text("head", kind.name())));
    let lobes = args.hexalobular || kind == Some(HeadKind::Pan);
    let ways = match (kind, lobes) {
        (Some(HeadKind::Hexagon), _) => vec![Turned::Hex],
        (_, true) => vec![Turned::Hexalobular],
        (Some(_), false) => vec![Turned::Key],
        (None, false) => vec![Turned::Hex, Turned::Key, Turned::Hexalobular],
    };
    let mut results = Vec::new();
    for turned in ways {
        let found: Vec<KeySize> =
            head::sizes(&thread, turned).into_iter().filter(|size| kind.is_none_or(|kind| size.kind == kind)).collect();
        results.extend(figure(&thread, turned, &found));
    }
    if results.is_empty() {
        let what = kind.map_or_else(|| "head".to_owned(), |kind| format!("{} head", kind.name()));
        return Err(WrongUse(format!("the standards give {thread} no {what}: measure it")));
    }
    Ok(Worked {
        calculation: "key",
        inputs,
        results,
        method: "read from the tables of the standards, the current one first; where standards differ any of them is met with".to_owned(),
        source: "ISO 272, 4014, 4017, 4032; DIN 931, 933 (older); JIS small series; DIN 6921, ISO 4162 (flanges); ISO 4762, DIN 7984, ISO 7380-1, ISO 10642, ISO 4026 to 4029; \
            ISO 10664 with ISO 14579 to 14583; ASME B18.2.1, B18.2.2, B18.3"
            .to_owned(),
        caution: "Flange heads, wheel nuts, plugs and unions have sizes of their own. Try the key before you pull.".to_owned(),
        drawing: None,
    })
}

fn figure(thread: &Thread, turned: Turned, found: &[KeySize]) -> Option<Figure> {
    let first = found.first()?;
    let key = match turned {
        Turned::Hex => "hex",
        Turned::Key => "key",
        Turned::Hexalobular => "hexalobular",
    };
    let lines: Vec<String> = found
        .iter()
        .map(|size| format!("{} ({}, {})", shown(thread, turned, size.size), size.kind.name(), size.standard))
        .collect();
    let all: Vec<_> = found
        .iter()
        .map(|size| {
            let (value, unit) = value(thread, turned, size.size);
            json!({ "head": size.kind.name(), "value": value, "unit": unit, "standard": size.standard, "shown": shown(thread, turned, size.size) })
        })
        .collect();
    let (main, unit) = value(thread, turned, first.size);
    let points = match turned {
        Turned::Hexalobular => head::over_points(first.size as u32),
        _ => None,
    };
    let mut json = json!({ "value": main, "unit": unit, "all": all });
    let mut words = lines.join("; ");
    if let Some(width) = points {
        json["over_points"] = json!({ "value": width, "unit": "mm" });
        words.push_str(&format!("; {width} mm over the points"));
    }
    Some(Figure::both(key, words, json))
}

fn value(thread: &Thread, turned: Turned, size: f64) -> (f64, &'static str) {
    match turned {
        Turned::Hexalobular => (size, ""),
        _ if thread.is_metric() => (size, "mm"),
        _ => (size / 25.4, "in"),
    }
}

fn shown(thread: &Thread, turned: Turned, size: f64) -> String {
    match turned {
        Turned::Hexalobular => format!("{size}"),
        _ if thread.is_metric() => format!("{size} mm"),
        _ => {
            let inches = Number::from_ratio((size / 25.4 * 3200.0).round() as i128, 3200);
            format!("{} in", inches.map(|n| n.to_fraction()).unwrap_or_default())
        }
    }
}
