//! `--field` and `--orders`: what is filled in before the sheet is printed, for one order or for many.

use std::fs;
use std::path::Path;

use super::WrongUse;
use super::choices::Choices;
use crate::resolve::did_you_mean;
use crate::sheet::field::Field;

/// Longest text of a field, in characters: more has no room in its box.
const LONGEST: usize = 60;
/// Most orders of one list.
const MOST: usize = 10_000;

/// One sheet's worth.
#[derive(Clone, Debug, Default)]
pub struct Order {
    pub fields: Vec<(Field, String)>,
    pub choices: Choices,
    /// The job that it is for, as its file is called; `None`: every job that is printed.
    job: Option<String>,
    /// What stands after the sheet's name, to tell it from the others.
    pub suffix: String,
}

impl Order {
    /// Whether it is for the job of this path.
    pub fn is_for(&self, path: &Path) -> bool {
        let Some(job) = &self.job else { return true };
        let wanted = Path::new(job);
        let stem = path.file_stem().is_some_and(|stem| stem == wanted.as_os_str());
        stem || path.ends_with(wanted)
    }

    /// What its job is called, where none of those that are printed is it.
    pub fn job(&self) -> Option<&str> {
        self.job.as_deref()
    }
}

/// The orders: those of the list, or one with what was typed. `--field` and `--with` count for all of them.
pub fn read(
    fields: &[String],
    with: &[String],
    without: &[String],
    list: Option<&Path>,
) -> Result<Vec<Order>, WrongUse> {
    let typed = fields.iter().map(|text| typed(text)).collect::<Result<Vec<_>, _>>()?;
    let Some(path) = list else {
        return Ok(vec![Order { fields: typed, choices: Choices::read(with, without)?, ..Order::default() }]);
    };
    let shown = path.display().to_string();
    let text = fs::read_to_string(path).map_err(|error| WrongUse(format!("`{shown}` can't be read: {error}")))?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let toml = path.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("toml"));
    let rows = if toml { of_toml(text, &shown)? } else { of_csv(text, &shown)? };
    if rows.is_empty() {
        return Err(WrongUse(format!("`{shown}` holds no order")));
    }
    if rows.len() > MOST {
        return Err(WrongUse(format!("`{shown}` holds {} orders; print at most {MOST} at a time", rows.len())));
    }
    let mut orders: Vec<Order> = Vec::new();
    for (number, (place, row)) in rows.into_iter().enumerate() {
        let mut order = one(row, &place, with, without)?;
        for (field, value) in &typed {
            if !order.fields.iter().any(|(known, _)| known == field) {
                order.fields.push((*field, value.clone()));
            }
        }
        let own = order.fields.iter().find(|(field, _)| *field == Field::OrderNo).map(|(_, value)| plain(value));
        let mut suffix =
            format!("-{}", own.filter(|name| !name.is_empty()).unwrap_or_else(|| (number + 1).to_string()));
        if orders.iter().any(|other| other.suffix.eq_ignore_ascii_case(&suffix)) {
            suffix = format!("{suffix}-{}", number + 1);
        }
        order.suffix = suffix;
        orders.push(order);
    }
    Ok(orders)
}

/// Where a row stands, and its columns.
type Row = (String, Vec<(String, String)>);

fn typed(text: &str) -> Result<(Field, String), WrongUse> {
    let (name, value) = text
        .split_once('=')
        .ok_or_else(|| WrongUse(format!("`--field {text}` has no value: write `--field {}=4711`", text.trim())))?;
    let field = Field::parse(name)
        .ok_or_else(|| WrongUse(format!("there is no field `{}`{}", name.trim(), fields_are(name))))?;
    Ok((field, value_of(value, &format!("the field `{}`", name.trim()))?))
}

fn value_of(value: &str, what: &str) -> Result<String, WrongUse> {
    let value = value.split_whitespace().collect::<Vec<_>>().join(" ");
    if value.chars().count() > LONGEST {
        return Err(WrongUse(format!("{what} is longer than the {LONGEST} characters it has room for")));
    }
    Ok(value)
}

fn fields_are(name: &str) -> String {
    let all: Vec<&str> = Field::ALL.into_iter().map(|field| field.names()[0]).collect();
    match did_you_mean(&name.trim().to_lowercase(), all.iter().copied()) {
        Some(near) => format!("; did you mean `{near}`?"),
        None => format!("; the fields are {}", all.join(", ")),
    }
}

/// An order from its columns.
fn one(row: Vec<(String, String)>, place: &str, with: &[String], without: &[String]) -> Result<Order, WrongUse> {
    let mut order = Order::default();
    let (mut on, mut off) = (with.to_vec(), without.to_vec());
    for (name, value) in row {
        let list = || value.split(';').map(str::trim).filter(|part| !part.is_empty()).map(str::to_owned);
        match name.trim().to_lowercase().as_str() {
            "with" => on.extend(list()),
            "without" => off.extend(list()),
            "job" => order.job = Some(value.trim().to_owned()).filter(|job| !job.is_empty()),
            _ => {
                let field = Field::parse(&name).ok_or_else(|| {
                    WrongUse(format!(
                        "{place}: there is no field `{name}`{}; `job`, `with`, `without` may stand there too",
                        fields_are(&name)
                    ))
                })?;
                let value = value_of(&value, &format!("{place}: `{name}`"))?;
                if !value.is_empty() {
                    order.fields.push((field, value));
                }
            }
        }
    }
    order.choices = Choices::read(&on, &off).map_err(|WrongUse(why)| WrongUse(format!("{place}: {why}")))?;
    Ok(order)
}

/// A first row of names, then a row for each order. Commas or semicolons, as spreadsheets write them.
fn of_csv(text: &str, shown: &str) -> Result<Vec<Row>, WrongUse> {
    let first = text.lines().next().unwrap_or_default();
    let delimiter = if first.matches(';').count() > first.matches(',').count() { b';' } else { b',' };
    let mut reader = csv::ReaderBuilder::new().delimiter(delimiter).trim(csv::Trim::All).from_reader(text.as_bytes());
    let fault = |error: csv::Error| WrongUse(format!("`{shown}` is no table: {error}"));
    let names: Vec<String> = reader.headers().map_err(fault)?.iter().map(str::to_owned).collect();
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(fault)?;
        let line = record.position().map_or(0, csv::Position::line);
        let row = names.iter().cloned().zip(record.iter().map(str::to_owned)).collect();
        rows.push((format!("{shown}:{line}"), row));
    }
    Ok(rows)
}

/// `[[order]]` tables.
fn of_toml(text: &str, shown: &str) -> Result<Vec<Row>, WrongUse> {
    let whole: toml::Table = text
        .parse()
        .map_err(|error: toml::de::Error| WrongUse(format!("`{shown}` is no TOML: {}", error.message())))?;
    let wanted = || WrongUse(format!("`{shown}`: write each order under a line `[[order]]`"));
    let orders = whole.get("order").and_then(toml::Value::as_array).ok_or_else(wanted)?;
    let mut rows = Vec::new();
    for (number, order) in orders.iter().enumerate() {
        let place = format!("{shown}, order {}", number + 1);
        let mut row = Vec::new();
        for (name, value) in order.as_table().ok_or_else(wanted)? {
            row.push((name.clone(), words(value, &place, name)?));
        }
        rows.push((place, row));
    }
    Ok(rows)
}

/// A value as text; a list of texts by semicolons.
fn words(value: &toml::Value, place: &str, name: &str) -> Result<String, WrongUse> {
    match value {
        toml::Value::String(text) => Ok(text.clone()),
        toml::Value::Integer(number) => Ok(number.to_string()),
        toml::Value::Float(number) => Ok(number.to_string()),
        toml::Value::Datetime(date) => Ok(date.to_string()),
        toml::Value::Array(all) => {
            all.iter().map(|one| words(one, place, name)).collect::<Result<Vec<_>, _>>().map(|all| all.join("; "))
        }
        _ => Err(WrongUse(format!("{place}: `{name}` must be a text or a number"))),
    }
}

/// What may stand in the name of a file everywhere.
fn plain(text: &str) -> String {
    let kept: String = text.chars().map(|c| if c.is_alphanumeric() || c == '_' { c } else { '-' }).collect();
    kept.split('-').filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn csv(text: &str) -> Vec<Order> {
        of_csv(text, "o.csv").unwrap().into_iter().map(|(place, row)| one(row, &place, &[], &[]).unwrap()).collect()
    }

    #[test]
    fn both_kinds_of_table_are_read() {
        for text in ["order,serial,job\n4711,\"BR 40, 118\",pump\n", "order;serial;job\r\n4711;BR 40, 118;pump\r\n"] {
            let orders = csv(text);
            assert_eq!(orders.len(), 1);
            let expected = vec![(Field::OrderNo, "4711".to_owned()), (Field::SerialNo, "BR 40, 118".to_owned())];
            assert_eq!(orders[0].fields, expected, "{text}");
            assert!(orders[0].is_for(Path::new("jobs/pump.job")) && !orders[0].is_for(Path::new("jobs/belt.job")));
        }
        let rows =
            of_toml("[[order]]\norder = 4711\nwith = [\"side guard fitted\", \"pump=tandem\"]\n", "o.toml").unwrap();
        let with = rows[0].1.iter().find(|(name, _)| name == "with").unwrap();
        assert_eq!(with.1, "side guard fitted; pump=tandem");
    }

    #[test]
    fn faults_name_the_row() {
        let error = |text: &str| {
            let rows = of_csv(text, "o.csv").unwrap();
            rows.into_iter().find_map(|(place, row)| one(row, &place, &[], &[]).err()).map(|WrongUse(why)| why)
        };
        assert!(error("order\n1\n").is_none());
        assert!(error("order,colour\n1,red\n").unwrap().starts_with("o.csv:2: there is no field `colour`"));
        assert!(error("ordr\n1\n").unwrap().contains("did you mean `order`?"));
        assert!(error(&format!("order\n{}\n", "9".repeat(61))).unwrap().contains("60 characters"));
        assert!(of_csv("a,b\n1\n", "o.csv").is_err());
        assert!(of_toml("order = 3", "o.toml").is_err() && of_toml("[[", "o.toml").is_err());
    }

    #[test]
    fn names_of_files_stay_plain() {
        assert_eq!(plain("../47 11/a"), "47-11-a");
        assert_eq!(plain("…"), "");
    }
}
