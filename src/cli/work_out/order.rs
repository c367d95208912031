//! `cotter work-out order circle 8`: in which order a group is tightened, and in which passes.

use clap::Args;
use serde_json::json;

use super::output::{Figure, Worked};
use super::{WrongUse, spec};
use crate::quantity::{Kind, Spec, System, print_spec};
use crate::trade::layout::Layout;
use crate::trade::order::Order;
use crate::trade::passes::{self, MOST_PASSES};

#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    cotter work-out order circle 8 --torque 90 N·m --passes 3\n  \
    cotter work-out order rows 2x7 --spiral\n  \
    cotter work-out order at \"0 0; 40 0; 40 60; 0 60\" --loosen")]
pub struct OrderArgs {
    /// Where the fasteners sit: `circle 8`, `rows 2 x 7`, or `at "x y; x y; …"` with x to the right and y down
    #[arg(required = true, num_args = 1.., value_name = "LAYOUT")]
    layout: Vec<String>,
    /// Opposite ones one after the other; on rows from the middle outwards (what is done where nothing is said)
    #[arg(long, group = "way")]
    cross: bool,
    /// From the middle outwards, round and round; on a circle round it
    #[arg(long, group = "way")]
    spiral: bool,
    /// One after the other, as numbered
    #[arg(long, group = "way")]
    row: bool,
    /// Your own order, to be checked: "1 3 2 4"
    #[arg(long, group = "way", value_name = "POSITIONS")]
    order: Option<String>,
    /// The other way round, for loosening
    #[arg(long, conflicts_with = "torque")]
    loosen: bool,
    /// The final torque, to be reached in passes
    #[arg(long, num_args = 1.., value_name = "TORQUE")]
    torque: Vec<String>,
    /// In how many passes
    #[arg(long, value_name = "COUNT", requires = "torque")]
    passes: Option<u32>,
}

/// In how many passes a torque is reached where nothing is said.
const PASSES: u32 = 3;

pub fn run(args: &OrderArgs) -> Result<Worked, WrongUse> {
    let (layout, count, words) = layout(&args.layout)?;
    let order = match &args.order {
        Some(own) => {
            Order::parse(own).ok_or_else(|| WrongUse(format!("`{own}` is no order: write it like `1 3 2 4`")))?
        }
        None if args.spiral => Order::Spiral,
        None if args.row => Order::Row,
        None => Order::Cross,
    };
    let mut positions = order.positions(&layout, count).map_err(|fault| {
        WrongUse(format!("{} {fault}", if args.order.is_some() { "the order" } else { "the layout" }))
    })?;
    let mut groups = order.written(&layout, &positions);
    if args.loosen {
        positions.reverse();
        groups = reversed(&groups);
    }
    let name = match &order {
        Order::Cross => "cross",
        Order::Spiral => "spiral",
        Order::Row => "row",
        Order::Positions(_) => "own",
    };
    let act = if args.loosen { "loosening" } else { "tightening" };
    let mut inputs = vec![
        Figure::text("layout", words),
        Figure::both("count", count.to_string(), json!(count)),
        Figure::text("way", name),
        Figure::text("act", act),
    ];
    let list: Vec<String> = positions.iter().map(u32::to_string).collect();
    let mut results = vec![Figure::both("order", list.join(", "), json!(positions)), Figure::text("written", groups)];
    let mut method = method(&order, &layout, count);
    let mut source = source(&order, &layout, count).to_owned();
    let torque = if args.torque.is_empty() { None } else { Some(spec(&args.torque, Kind::Torque, "the torque")?) };
    if let Some(torque) = &torque {
        let wanted = args.passes.unwrap_or(PASSES);
        inputs.push(Figure::text("torque", plain(&print_spec(torque, System::Both).main)));
        inputs.push(Figure::both("in_passes", wanted.to_string(), json!(wanted)));
        results.push(passes(torque, wanted, name)?);
        if matches!(layout, Layout::Circle) {
            let full = plain(&print_spec(torque, System::Both).main);
            results.push(Figure::text("then", format!("{full} once round the circle, until no nut turns")));
        }
        method.push_str(" Shares of the torque are rounded down to what a wrench shows.");
        source.push_str(match wanted {
            3 => " Passes: ASME PCC-1 table 2 (20 to 30, 50 to 70, 100 %, then 100 % round the circle), from memory.",
            _ => " Passes in even steps: common practice.",
        });
    }
    if args.loosen {
        method.push_str(" Loosening goes the other way round, a little at a time.");
    }
    let caution = if args.loosen {
        "The order in the maker's data comes first. Let all of them go by a part of a turn before any of them comes out."
    } else {
        "The order and the stages in the maker's data come first. All by hand, then snug (no more than 20 % of the \
                   torque), before the first pass."
    };
    let drawing = layout.places(count).and_then(|places| drawn(&places, &positions));
    let drawing = drawing
        .map(|drawn| format!("{drawn}\nThe numbers are the order of {act}; position 1 is {}.\n", first(&layout)));
    let worked = Worked { calculation: "order", inputs, results, method, source, caution: caution.to_owned(), drawing };
    Ok(worked)
}

/// Reads `circle 8`, `rows 2 x 7`, `at …`, or a mere count, which is a circle; with its count and in words.
fn layout(typed: &[String]) -> Result<(Layout, u32, String), WrongUse> {
    let text = typed.join(" ").trim().to_lowercase();
    let wrong = || {
        WrongUse(format!(
            "`{text}` is no layout: write `circle 8`, `rows 2 x 7` or `at \"0 0; 40 0; 40 60\"` (x to the right, y down)"
        ))
    };
    let circle = text.strip_prefix("circle").map_or(text.as_str(), |rest| rest.trim().trim_start_matches("of ")).trim();
    if let Ok(count) = circle.parse::<u32>() {
        return Ok((Layout::Circle, count, format!("circle of {count}")));
    }
    let text = text.replace('\u{2212}', "-");
    // `rows 2 7` is `rows 2 x 7`.
    let layout = Layout::parse(&text).or_else(|| {
        let (rows, columns) = text.strip_prefix("rows ")?.trim().split_once(' ')?;
        Layout::parse(&format!("rows {rows} x {columns}"))
    });
    let layout = layout.filter(|layout| *layout != Layout::Circle).ok_or_else(wrong)?;
    let count = layout.own_count().ok_or_else(wrong)?;
    let words = match &layout {
        Layout::Rows { rows, columns } => format!("rows {rows} x {columns}"),
        _ => format!("{count} places of their own"),
    };
    Ok((layout, count, words))
}

/// The passes: their share and torque.
fn passes(torque: &Spec, wanted: u32, way: &str) -> Result<Figure, WrongUse> {
    let worked = passes::worked(torque, wanted)
        .ok_or_else(|| WrongUse(format!("a torque is reached in 1 to {MOST_PASSES} passes, not in {wanted}")))?;
    let mut shown = Vec::new();
    let mut values = Vec::new();
    for ((percent, value), number) in worked.iter().zip(1..) {
        let printed = print_spec(value, System::Both);
        let other = printed.other.map(|other| format!(" ({other})")).unwrap_or_default();
        shown.push(plain(&format!("{number}. {}{other}, {percent} %", printed.main)));
        let aim = passes::aim(value);
        values.push(json!({
            "pass": number,
            "percent": percent,
            "torque": aim.map(|aim| json!({ "value": aim.value.to_f64(), "unit": aim.unit.symbol() })),
            "way": way,
        }));
    }
    Ok(Figure::both("passes", shown.join("; "), json!(values)))
}

/// What keeps a line of a sheet together is of no use on a terminal.
fn plain(text: &str) -> String {
    text.replace(['\u{a0}', '\u{202f}'], " ")
}

/// The same groups from the last to the first.
fn reversed(groups: &str) -> String {
    let group = |group: &str| group.trim().rsplit('-').collect::<Vec<_>>().join("-");
    groups.rsplit('/').map(group).collect::<Vec<_>>().join(" / ")
}

fn method(order: &Order, layout: &Layout, count: u32) -> String {
    match (order, layout) {
        (Order::Positions(_), _) => "Your own order, checked: each position stands in it once.",
        (Order::Row, _) => "One after the other, as numbered.",
        (Order::Spiral, Layout::Circle) => "Round the circle, as numbered.",
        (Order::Cross, Layout::Circle) if count.is_multiple_of(4) => {
            "Cross pattern in quads k, k + n/2, k + n/4, k + 3n/4, each quad as far as can be from those before."
        }
        (Order::Cross, Layout::Circle) if count.is_multiple_of(2) => {
            "Opposite pairs k, k + n/2, each pair as far as can be from those before."
        }
        (Order::Cross, Layout::Circle) => "Star: each nearly opposite the one before.",
        (Order::Cross, _) => {
            "Crosswise from the middle outwards: each followed by the one opposite, those nearest the middle first."
        }
        (Order::Spiral, _) => "From the middle outwards, ring after ring, clockwise.",
    }
    .to_owned()
}

fn source(order: &Order, layout: &Layout, count: u32) -> &'static str {
    match (order, layout) {
        (Order::Cross, Layout::Circle) if count.is_multiple_of(4) && count <= 32 => {
            "ASME PCC-1, legacy cross-pattern table; any rotation or mirror image is equally good."
        }
        (Order::Cross, Layout::Circle) if count.is_multiple_of(4) => {
            "The rule of the legacy cross-pattern table of ASME PCC-1, carried on beyond 32."
        }
        (Order::Cross, Layout::Circle) => "Common practice; ASME PCC-1 has no row for this count.",
        (Order::Positions(_), _) => "Arithmetic.",
        _ => "Common practice; no standard gives it.",
    }
}

fn first(layout: &Layout) -> &'static str {
    match layout {
        Layout::Circle => "at the top, the others follow clockwise",
        Layout::Rows { .. } => "at the upper left, numbered row by row",
        Layout::Free(_) => "the first that was given",
    }
}

/// Largest drawing, in characters.
const WIDE: f64 = 76.0;
const HIGH: f64 = 40.0;

/// The places in characters, each with its number in the order; `None` where they don't fit.
fn drawn(places: &[(f64, f64)], positions: &[u32]) -> Option<String> {
    let bound = |of: fn(&(f64, f64)) -> f64| {
        let values = places.iter().map(of);
        (values.clone().fold(f64::INFINITY, f64::min), values.fold(f64::NEG_INFINITY, f64::max))
    };
    let ((left, right), (top, bottom)) = (bound(|p| p.0), bound(|p| p.1));
    let (wide, high) = (right - left, bottom - top);
    let label = |index: usize| {
        let turn = positions.iter().position(|at| *at as usize == index + 1)? + 1;
        Some(format!("{turn:>2}"))
    };
    // A character is about twice as high as it is wide.
    let most = (WIDE / (2.0 * wide)).min(HIGH / high);
    if !most.is_finite() {
        return None; // one place, or all on one spot
    }
    // The smallest scale at which no number touches another.
    let try_at = |scale: f64| -> Option<Vec<(usize, usize, String)>> {
        let mut cells: Vec<(usize, usize, String)> = Vec::new();
        for (index, (x, y)) in places.iter().enumerate() {
            let cell = |v: f64| v.round().max(0.0) as usize;
            cells.push((cell((y - top) * scale), cell((x - left) * scale * 2.0), label(index)?));
        }
        cells.sort();
        let apart = cells.windows(2).all(|two| two[0].0 != two[1].0 || two[1].1 > two[0].1 + two[0].2.len());
        apart.then_some(cells)
    };
    let cells = (4..=80).find_map(|part| try_at(most * f64::from(part) / 80.0))?;
    let mut out = String::new();
    let (mut row, mut column) = (0, 0);
    for (at, from, label) in cells {
        while row < at {
            out.push('\n');
            (row, column) = (row + 1, 0);
        }
        out.push_str(&" ".repeat(from + 2 - column));
        out.push_str(&label);
        column = from + 2 + label.len();
    }
    out.push('\n');
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn layout_of(text: &str) -> (Layout, u32) {
        let (layout, count, _) = layout(&text.split(' ').map(str::to_owned).collect::<Vec<_>>()).unwrap();
        (layout, count)
    }

    #[test]
    fn layouts_as_they_are_typed() {
        let rows = (Layout::Rows { rows: 2, columns: 7 }, 14);
        for text in ["rows 2x7", "rows 2 x 7", "rows 2 7", "ROWS 2X7"] {
            assert_eq!(layout_of(text), rows, "{text}");
        }
        for text in ["circle 8", "circle of 8", "8"] {
            assert_eq!(layout_of(text), (Layout::Circle, 8), "{text}");
        }
        assert_eq!(layout_of("at \u{2212}5 0; 10 0; 5 8.5").1, 3);
        for text in ["ring 8", "circle", "rows", "at", "circle -1", "rows 2", "at 1"] {
            assert!(layout(&[text.to_owned()]).is_err(), "{text}");
        }
    }

    #[test]
    fn a_drawing_shows_every_number_once() {
        for (text, count) in [("circle 8", 8), ("circle 32", 32), ("rows 2x7", 14), ("rows 4x8", 32), ("rows 1x6", 6)] {
            let (layout, _) = layout_of(text);
            let positions = Order::Cross.positions(&layout, count).unwrap();
            let drawn = drawn(&layout.places(count).unwrap(), &positions).unwrap();
            let mut numbers: Vec<u32> = drawn.split_whitespace().map(|word| word.parse().unwrap()).collect();
            numbers.sort_unstable();
            assert_eq!(numbers, (1..=count).collect::<Vec<_>>(), "{text}\n{drawn}");
            assert!(drawn.lines().all(|line| line.len() < 84) && drawn.lines().count() <= 42, "{drawn}");
        }
        assert_eq!(drawn(&[(1.0, 1.0)], &[1]), None);
        assert_eq!(drawn(&[(1.0, 1.0), (1.0, 1.0)], &[1, 2]), None);
    }

    fn worked(layout: &str) -> OrderArgs {
        let layout = layout.split(' ').map(str::to_owned).collect();
        OrderArgs {
            layout,
            cross: false,
            spiral: false,
            row: false,
            order: None,
            loosen: false,
            torque: Vec::new(),
            passes: None,
        }
    }

    fn result(args: &OrderArgs) -> serde_json::Value {
        let Ok(worked) = run(args) else { panic!("{args:?} is worked out") };
        let object: serde_json::Value = serde_json::from_str(&worked.json()).unwrap();
        object["result"].clone()
    }

    /// The table of ASME PCC-1 as a script gets it, exact; see `trade/order/circle.rs` for its source.
    #[test]
    fn scripts_get_the_order_and_the_passes() {
        let args = OrderArgs { torque: vec!["90".to_owned(), "N·m".to_owned()], ..worked("circle 8") };
        let result = result(&args);
        assert_eq!(result["order"], json!([1, 5, 3, 7, 2, 6, 4, 8]));
        assert_eq!(result["written"], "1-5-3-7 / 2-6-4-8");
        let torques = [27.0, 63.0, 90.0].map(|value| json!({ "value": value, "unit": "N·m" }));
        for (index, (percent, torque)) in [30, 70, 100].into_iter().zip(torques).enumerate() {
            let pass = json!({ "pass": index + 1, "percent": percent, "torque": torque, "way": "cross" });
            assert_eq!(result["passes"][index], pass);
        }
        assert_eq!(result["then"], "90 N·m once round the circle, until no nut turns");
    }

    #[test]
    fn loosening_is_the_reverse() {
        let tight = result(&OrderArgs { spiral: true, ..worked("rows 2x5") });
        let loose = result(&OrderArgs { spiral: true, loosen: true, ..worked("rows 2x5") });
        let list = |value: &serde_json::Value| value["order"].as_array().cloned().unwrap();
        let mut back = list(&loose);
        back.reverse();
        assert_eq!((list(&tight).len(), back), (10, list(&tight)));
    }

    #[test]
    fn what_can_not_be_worked_out_is_told() {
        let own = |order: &str| OrderArgs { order: Some(order.to_owned()), ..worked("circle 4") };
        let torque = |words: &[&str], passes| OrderArgs {
            torque: words.iter().map(|word| (*word).to_owned()).collect(),
            passes: Some(passes),
            ..worked("circle 4")
        };
        for (args, words) in [
            (own("1 2 2 4"), "leaves out 3"),
            (own("first"), "is no order"),
            (worked("circle 0"), "has no positions"),
            (worked("circle 4000"), "too many"),
            (worked("rows 0 x 4"), "has no positions"),
            (worked("ring 4"), "is no layout"),
            (torque(&["90", "mm"], 3), "is written like `25 N·m`, but"),
            (torque(&["90", "N·m"], 40), "1 to 6 passes"),
        ] {
            let Err(WrongUse(message)) = run(&args) else { panic!("{args:?}") };
            assert!(message.contains(words), "{message}");
        }
    }

    #[test]
    fn groups_are_turned_round_for_loosening() {
        assert_eq!(reversed("1-5-3-7 / 2-6-4-8"), "8-4-6-2 / 7-3-5-1");
        assert_eq!(reversed("4-11-10"), "10-11-4");
    }
}
