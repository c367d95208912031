//! What a calculation hands back, as text for people and as one JSON object for scripts.

use serde::{Serialize, Serializer};
use serde_json::{Value, json};

use crate::quantity::{Quantity, System, print};

/// Of the shape of the object; raised when a field changes its meaning or goes.
const VERSION: u32 = 1;
/// Widest line of the text.
const WIDTH: usize = 90;

/// A calculation that was done.
pub struct Worked {
    /// As it is called on the command line: `torque`.
    pub calculation: &'static str,
    /// What was asked for, defaults included.
    pub inputs: Vec<Figure>,
    /// What came out, the main result first.
    pub results: Vec<Figure>,
    /// How it was worked out, the formula included.
    pub method: String,
    /// The published source of formula and figures.
    pub source: String,
    /// What the result must not be taken for.
    pub caution: String,
    /// A drawing in characters, for people only.
    pub drawing: Option<String>,
}

/// One input or result: its key in JSON, which with spaces for underscores is its name for people, and its value.
pub struct Figure {
    key: &'static str,
    shown: String,
    value: Value,
}

impl Figure {
    /// A quantity; JSON: `{"value": 66.38, "unit": "lbf·ft"}`. People see it as it is written, and the other system's unit.
    pub fn quantity(key: &'static str, quantity: &Quantity) -> Self {
        let printed = print(quantity, System::Both);
        let shown = match printed.other {
            Some(other) => format!("{} ({other})", printed.main),
            None => printed.main,
        };
        // What keeps a line of a sheet together is of no use on a terminal.
        let shown = shown.replace(['\u{a0}', '\u{202f}'], " ");
        Self { key, shown, value: measured(quantity.value.to_f64(), quantity.unit.symbol()) }
    }

    /// A value of a formula in a unit; JSON holds all its digits, people see so many decimals.
    pub fn number(key: &'static str, value: f64, unit: &str, decimals: usize) -> Self {
        Self { key, shown: with_unit(&format!("{value:.decimals$}"), unit), value: measured(value, unit) }
    }

    /// A range of values; JSON: `{"low": 55.1, "high": 91.9, "unit": "N·m"}`.
    pub fn range(key: &'static str, low: f64, high: f64, unit: &str, decimals: usize) -> Self {
        let shown = with_unit(&format!("{low:.decimals$} to {high:.decimals$}"), unit);
        Self { key, shown, value: json!({ "low": finite(low), "high": finite(high), "unit": unit }) }
    }

    /// Words.
    pub fn text(key: &'static str, words: impl Into<String>) -> Self {
        let shown = words.into();
        Self { key, value: Value::String(shown.clone()), shown }
    }

    /// Anything: what people see, and what scripts read.
    pub fn both(key: &'static str, shown: impl Into<String>, value: Value) -> Self {
        Self { key, shown: shown.into(), value }
    }
}

impl Worked {
    /// For people.
    pub fn text(&self) -> String {
        let mut out = String::new();
        let widest = self.inputs.iter().chain(&self.results).map(|f| name(f.key).chars().count()).max().unwrap_or(0);
        for (title, figures) in [("Given", &self.inputs), ("Result", &self.results)] {
            if figures.is_empty() {
                continue;
            }
            out.push_str(title);
            out.push('\n');
            for figure in figures {
                let head = format!("  {:widest$}  ", name(figure.key));
                let indent = head.chars().count();
                out.push_str(&wrapped(&head, indent, &figure.shown));
            }
        }
        if let Some(drawing) = &self.drawing {
            out.push('\n');
            out.push_str(drawing.trim_end_matches('\n'));
            out.push('\n');
        }
        out.push('\n');
        for (head, text) in [("Method:  ", &self.method), ("Source:  ", &self.source), ("Caution: ", &self.caution)] {
            if !text.is_empty() {
                out.push_str(&wrapped(head, head.len(), text));
            }
        }
        out
    }

    /// For scripts: one object with `inputs`, `result`, `method`, `source` and `caution`, each in the order in which people
    /// read it.
    pub fn json(&self) -> String {
        let whole = Object {
            version: VERSION,
            calculation: self.calculation,
            inputs: Figures(&self.inputs),
            result: Figures(&self.results),
            method: &self.method,
            source: &self.source,
            caution: &self.caution,
        };
        // Nothing in it can fail: its keys are strings and its numbers are finite or null.
        let mut text = serde_json::to_string_pretty(&whole).unwrap_or_default();
        text.push('\n');
        text
    }
}

#[derive(Serialize)]
struct Object<'a> {
    version: u32,
    calculation: &'a str,
    inputs: Figures<'a>,
    result: Figures<'a>,
    method: &'a str,
    source: &'a str,
    caution: &'a str,
}

/// As an object, in their order.
struct Figures<'a>(&'a [Figure]);

impl Serialize for Figures<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(self.0.iter().map(|figure| (figure.key, &figure.value)))
    }
}

fn name(key: &str) -> String {
    key.replace('_', " ")
}

fn measured(value: f64, unit: &str) -> Value {
    json!({ "value": finite(value), "unit": unit })
}

/// JSON has no infinity.
fn finite(value: f64) -> Value {
    serde_json::Number::from_f64(value).map_or(Value::Null, Value::Number)
}

fn with_unit(number: &str, unit: &str) -> String {
    match unit {
        "" => number.to_owned(),
        "°" => format!("{number}°"),
        _ => format!("{number} {unit}"),
    }
}

/// `head` and `text`, broken between words; further lines stand under the text.
fn wrapped(head: &str, indent: usize, text: &str) -> String {
    let mut out = head.to_owned();
    let mut used = head.chars().count();
    let mut first = true;
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let wide = word.chars().count();
        if !first && used + 1 + wide > WIDTH {
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            used = indent;
        } else if !first {
            out.push(' ');
            used += 1;
        }
        out.push_str(word);
        used += wide;
        first = false;
    }
    out.push('\n');
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::parse_quantity;

    fn worked() -> Worked {
        Worked {
            calculation: "torque",
            inputs: vec![Figure::text("thread", "M8")],
            results: vec![
                Figure::range("torque", 22.8, 41.04, "N·m", 0),
                Figure::quantity("wrench_setting", &parse_quantity("90 N·m").unwrap()),
                Figure::number("stress_area", f64::INFINITY, "mm²", 1),
            ],
            method: "M = K · d · F".to_owned(),
            source: "A handbook".to_owned(),
            caution: String::new(),
            drawing: Some("1 2\n".to_owned()),
        }
    }

    #[test]
    fn people_see_names_and_both_units() {
        let expected = "\
Given
  thread          M8
Result
  torque          23 to 41 N·m
  wrench setting  90 N·m (66.4 lbf·ft)
  stress area     inf mm²

1 2

Method:  M = K · d · F
Source:  A handbook
";
        assert_eq!(worked().text(), expected);
    }

    #[test]
    fn scripts_see_values_with_units_and_no_infinity() {
        let object: Value = serde_json::from_str(&worked().json()).unwrap();
        assert_eq!(object["calculation"], "torque");
        assert_eq!(object["result"]["torque"], json!({ "low": 22.8, "high": 41.04, "unit": "N·m" }));
        assert_eq!(object["result"]["wrench_setting"], json!({ "value": 90.0, "unit": "N·m" }));
        assert_eq!(object["result"]["stress_area"]["value"], Value::Null);
    }

    #[test]
    fn long_text_is_wrapped_under_itself() {
        let text = wrapped("Method:  ", 9, &"word ".repeat(40));
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH && !line.ends_with(' ')), "{text}");
        assert!(text.lines().skip(1).all(|line| line.starts_with("         word")), "{text}");
    }
}
