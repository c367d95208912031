//! Reads quantities and what a value must be from what people write.

use super::digits::NumberError;
use super::kind::Kind;
use super::number::{Number, Written};
use super::unit::Spelling;
use super::{Known, Quantity, QuantityError, Spec, Unit};

/// Reads one quantity: `25 N·m`, `-37 °C`, `1/6 turn`, `90°`, `3 h 15 min`, `5 clicks`.
pub fn parse_quantity(text: &str) -> Result<Quantity, QuantityError> {
    let text = tidy(text);
    let (number, unit) = number_and_unit(&text)?;
    let quantity = match unit {
        Some(unit) => Quantity { value: number, unit },
        None => {
            return Err(QuantityError::UnitMissing { number: number.to_string() });
        }
    };
    possible(quantity)
}

/// Reads what a value must be: one quantity, `22 to 28 N·m`, `25 N·m ± 2`, `10 N·m + 5 - 3`, `at least 22.4 mm`,
/// `at most 0.05 mm`.
pub fn parse_spec(text: &str) -> Result<Spec, QuantityError> {
    let text = tidy(text);
    if let Some(rest) = after_words(&text, &["at least", "not less than", "no less than", "minimum", "≥", ">="]) {
        return Ok(Spec::AtLeast(parse_quantity(rest)?));
    }
    if let Some(rest) = after_words(&text, &["at most", "not more than", "no more than", "maximum", "≤", "<="]) {
        return Ok(Spec::AtMost(parse_quantity(rest)?));
    }
    if let Some((value, tolerance)) = text.split_once('±') {
        let tolerance = tolerance.trim();
        return with_tolerance(value.trim(), tolerance, tolerance);
    }
    if let Some((low, high)) = split_range(&text) {
        return range(low, high);
    }
    if let Some((value, plus, minus)) = split_tolerance(&text) {
        return with_tolerance(value, plus, minus);
    }
    Ok(Spec::Exactly(parse_quantity(&text)?))
}

/// The parts of a time of one hour or more written in hours and minutes, or of a length in feet and inches;
/// `None` for anything else. Used to print them back the same way.
pub(super) fn in_two_units(quantity: &Quantity) -> Option<Vec<String>> {
    if quantity.value.written() != Written::TwoUnits {
        return None;
    }
    let large = chain_of(quantity.unit.known()?)?;
    let mut rest = quantity.to_si();
    let mut parts = Vec::new();
    for (index, known) in large.iter().enumerate() {
        let unit = Unit::from(*known);
        let exact = rest.checked_div(&unit.factor())?;
        let last = Some(*known) == quantity.unit.known() || index + 1 == large.len();
        let whole = if last { exact } else { exact.rounded(0, super::Rounding::Down) };
        rest = rest.checked_sub(&whole.checked_mul(&unit.factor())?)?;
        if !whole.is_zero() {
            let whole = whole.written_as(Written::Computed);
            parts.push(format!("{whole} {}", unit.symbol_for(&whole)));
        }
        if last {
            break;
        }
    }
    (parts.len() > 1).then_some(parts)
}

/// Units that are written after one another, larger first.
static CHAINS: [&[Known]; 3] = [
    &[Known::Week, Known::Day, Known::Hour, Known::Minute, Known::Second],
    &[Known::Foot, Known::Inch],
    &[Known::Pound, Known::Ounce],
];

fn chain_of(known: Known) -> Option<&'static [Known]> {
    CHAINS.iter().copied().find(|chain| chain.contains(&known))
}

/// One kind of space, one minus, one sign for plus or minus.
fn tidy(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.trim().chars() {
        match c {
            '\u{2212}' => out.push('-'),
            c if c.is_whitespace() => {
                if !out.ends_with(' ') {
                    out.push(' ');
                }
            }
            c => out.push(c),
        }
    }
    out.replace("+/-", "±").replace("+-", "±")
}

/// What follows one of `words` at the start of `text`, in any capitals.
fn after_words<'t>(text: &'t str, words: &[&str]) -> Option<&'t str> {
    words.iter().find_map(|word| {
        let start = text.get(..word.len())?;
        let rest = text.get(word.len()..)?;
        let apart = !word.ends_with(char::is_alphabetic) || rest.starts_with([' ', '.']);
        (start.eq_ignore_ascii_case(word) && apart).then(|| rest.trim_start_matches('.').trim())
    })
}

/// A number and, if one follows, its unit; `text` is tidy.
fn number_and_unit(text: &str) -> Result<(Number, Option<Unit>), QuantityError> {
    if text.is_empty() {
        return Err(QuantityError::Empty);
    }
    let (number, rest) = Number::read(text).map_err(|error| number_error(error, text))?;
    let rest = rest.trim();
    if rest.is_empty() {
        return Ok((number, None));
    }
    match Unit::read(rest) {
        Spelling::Unit(unit) => Ok((number, Some(unit))),
        Spelling::Ambiguous(choices) => Err(QuantityError::AmbiguousUnit { unit: short(rest), choices }),
        Spelling::Unknown(did_you_mean) => match in_several_units(text) {
            Some(result) => result.map(|quantity| (quantity.value, Some(quantity.unit))),
            None => Err(QuantityError::UnknownUnit { unit: short(rest), did_you_mean }),
        },
    }
}

/// Long enough to be recognised in a message.
fn short(text: &str) -> String {
    const LONGEST: usize = 40;
    match text.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", text.get(..end).unwrap_or("")),
        None => text.to_string(),
    }
}

fn number_error(error: NumberError, text: &str) -> QuantityError {
    match error {
        NumberError::NotANumber => QuantityError::NotANumber { text: short(text) },
        NumberError::TooManyDigits => QuantityError::TooManyDigits,
        NumberError::DividedByZero => QuantityError::DividedByZero,
        NumberError::Comma => comma_error(text),
    }
}

/// A comma before just three digits may part thousands; any other is a decimal comma.
fn comma_error(text: &str) -> QuantityError {
    let Some((before, after)) = text.split_once(',') else {
        return QuantityError::NotANumber { text: short(text) };
    };
    let digits = after.chars().take_while(char::is_ascii_digit).count();
    let leading = before.trim_start_matches(['-', '+']);
    let decimals = format!("{before}.{after}");
    if digits == 3
        && !leading.is_empty()
        && leading.len() <= 3
        && leading != "0"
        && leading.chars().all(|c| c.is_ascii_digit())
    {
        return QuantityError::ThousandsComma { thousands: format!("{before}{after}"), decimals };
    }
    // A second comma stays an error of its own once the first is mended.
    QuantityError::DecimalComma { fixed: decimals }
}

/// `3 h 15 min`, `5 ft 6 in`: each unit smaller than the one before. `None` where it is nothing of the kind.
fn in_several_units(text: &str) -> Option<Result<Quantity, QuantityError>> {
    let mut rest = text;
    let mut sum: Option<Quantity> = None;
    let mut negative = false;
    while !rest.is_empty() {
        let (number, after) = Number::read(rest).ok()?;
        let after = after.trim_start();
        let end = after.find(|c: char| c.is_ascii_digit() || c == '-' || c == '+').unwrap_or(after.len());
        let (word, next) = after.split_at(end);
        let word = word.trim();
        let known = match word {
            "" if next.is_empty() && sum.is_some() => {
                return Some(Err(QuantityError::UnitMissing { number: number.to_string() }));
            }
            _ => Unit::exact(word.trim_end_matches(',').trim_end_matches(" and"))?.known()?,
        };
        rest = next;
        sum = Some(match sum {
            None => {
                chain_of(known)?;
                negative = number.is_negative();
                Quantity::new(number, known)
            }
            Some(so_far) => {
                let chain = chain_of(so_far.unit.known()?)?;
                let place = |k: Known| chain.iter().position(|c| *c == k);
                if place(known)? <= place(so_far.unit.known()?)? || number.is_negative() {
                    return None;
                }
                let smaller = so_far.convert(&Unit::from(known))?;
                let value =
                    if negative { smaller.value.checked_sub(&number) } else { smaller.value.checked_add(&number) };
                Quantity::new(value?.written_as(Written::TwoUnits), known)
            }
        });
    }
    sum.map(Ok)
}

/// Refuses what can not be: a negative torque, a temperature below absolute zero.
fn possible(quantity: Quantity) -> Result<Quantity, QuantityError> {
    let kind = quantity.kind();
    if quantity.value.is_negative() && !kind.can_be_negative() {
        return Err(QuantityError::Negative { kind });
    }
    if kind == Kind::Temperature && quantity.to_si().is_negative() {
        return Err(QuantityError::BelowAbsoluteZero);
    }
    Ok(quantity)
}

/// The two ends of `22 to 28 N·m`, `22–28 N·m`, `22-28 N·m`.
fn split_range(text: &str) -> Option<(&str, &str)> {
    if let Some((low, high)) = text.split_once(" to ") {
        let low = after_words(low, &["from"]).unwrap_or(low);
        return Some((low.trim(), high.trim()));
    }
    if let Some(rest) = after_words(text, &["between"]) {
        return rest.split_once(" and ").map(|(low, high)| (low.trim(), high.trim()));
    }
    if let Some((low, high)) = text.split_once(['–', '—']) {
        return Some((low.trim(), high.trim()));
    }
    // A hyphen between two numbers: the first has no unit, so it can not be a tolerance.
    let (_, rest) = Number::read(text).ok()?;
    let high = rest.trim_start().strip_prefix('-')?.trim_start();
    let low = text.strip_suffix(rest)?;
    high.starts_with(|c: char| c.is_ascii_digit() || c == '.').then(|| (low.trim(), high))
}

fn range(low: &str, high: &str) -> Result<Spec, QuantityError> {
    let high = parse_quantity(high)?;
    let low = match number_and_unit(low)? {
        (value, Some(unit)) => Quantity { value, unit },
        (value, None) => Quantity { value, unit: high.unit.clone() },
    };
    let low = possible(low)?;
    match low.compare(&high) {
        None => Err(QuantityError::DifferentKinds { first: low.kind(), second: high.kind() }),
        Some(order) if order.is_gt() => {
            Err(QuantityError::ReversedRange { fixed: Spec::Between(high, low).to_string() })
        }
        Some(_) => Ok(Spec::Between(low, high)),
    }
}

/// Value, upper and lower tolerance of `10 N·m + 5 - 3`, `10 N·m - 3 + 5`, `10 N·m +5/-3`, `10 N·m + 5`.
fn split_tolerance(text: &str) -> Option<(&str, &str, &str)> {
    let (number, _) = Number::read(text).map(|(_, rest)| (text.len() - rest.len(), rest)).ok()?;
    // A minus inside a unit (`lb-ft`) stands between letters; one of a tolerance stands after a space.
    let sign = |from: usize| {
        text.get(from..)?.char_indices().map(|(i, c)| (from + i, c)).find(|(i, c)| {
            let before = text.get(..*i).and_then(|t| t.chars().next_back());
            *c == '+' || (*c == '-' && matches!(before, Some(' ' | '/')))
        })
    };
    let (first, first_sign) = sign(number)?;
    let value = text.get(..first)?.trim();
    let part = |from: usize, to: usize| text.get(from + 1..to).map(|t| t.trim().trim_end_matches('/').trim());
    match sign(first + 1) {
        None => {
            let only = part(first, text.len())?;
            Some(if first_sign == '+' { (value, only, "0") } else { (value, "0", only) })
        }
        Some((second, second_sign)) if second_sign != first_sign => {
            let (a, b) = (part(first, second)?, part(second, text.len())?);
            Some(if first_sign == '+' { (value, a, b) } else { (value, b, a) })
        }
        Some(_) => None,
    }
}

fn with_tolerance(value: &str, plus: &str, minus: &str) -> Result<Spec, QuantityError> {
    let (value, plus, minus) = match number_and_unit(value)? {
        (number, Some(unit)) => {
            let value = possible(Quantity { value: number, unit })?;
            let (plus, minus) = (tolerance(plus, &value)?, tolerance(minus, &value)?);
            (value, plus, minus)
        }
        // `25 ± 2 N·m`: the unit stands once, at the end.
        (number, None) => match number_and_unit(minus)? {
            (_, Some(unit)) => {
                let value = possible(Quantity { value: number, unit })?;
                let plus = tolerance(plus, &value)?;
                let minus = tolerance(minus, &value)?;
                (value, plus, minus)
            }
            (_, None) => {
                return Err(QuantityError::UnitMissing { number: number.to_string() });
            }
        },
    };
    let spec = Spec::Tolerance { value, plus, minus };
    if let Some(low) = spec.low() {
        possible(low)?;
    }
    Ok(spec)
}

/// A tolerance in the unit of its value: without a unit, with one of the same kind, or a percentage of it.
fn tolerance(text: &str, value: &Quantity) -> Result<Number, QuantityError> {
    let (number, unit) = number_and_unit(text)?;
    if number.is_negative() {
        return Err(QuantityError::Negative { kind: value.kind() });
    }
    let Some(unit) = unit else { return Ok(number) };
    if unit == value.unit {
        return Ok(number);
    }
    let tolerance = Quantity { value: number, unit };
    let different = QuantityError::DifferentKinds { first: value.kind(), second: tolerance.kind() };
    let in_unit = match (value.kind(), tolerance.kind()) {
        (Kind::Ratio, Kind::Ratio) => tolerance.convert(&value.unit).map(|same| same.value),
        (_, Kind::Ratio) => {
            value.value.checked_mul(&tolerance.to_si()).map(|n| if n.is_negative() { n.negated() } else { n })
        }
        (Kind::Temperature, Kind::TemperatureDifference) => tolerance.to_si().checked_div(&value.unit.factor()),
        (Kind::Temperature, Kind::Temperature) => {
            tolerance.value.checked_mul(&tolerance.unit.factor()).and_then(|k| k.checked_div(&value.unit.factor()))
        }
        _ => tolerance.convert(&value.unit).map(|same| same.value),
    };
    in_unit.ok_or(different)
}
