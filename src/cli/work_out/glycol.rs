//! What the three calculations about coolant share: the kind, shares, temperatures, caps.

use super::{Figure, WrongUse, quantity};
use crate::quantity::{Kind, Known, Number, Quantity, Rounding, System, Written, print};
use crate::trade::coolant::{self, Glycol, boiling, density, freezing, share};

pub const FREEZING_SOURCE: &str =
    "freezing points: ASHRAE Handbook Fundamentals ch. 31, by volume, as CoolProp 8.0.0 gives them (AEG, APG)";
pub const BOILING_SOURCE: &str = "boiling points: ASHRAE Handbook Fundamentals (2009) ch. 31 tables 4 and 5 at 100.7 kPa, under a cap Antoine's equation with the \
     constants of a glycol maker's guide (2008)";
pub const SHARE_SOURCE: &str = "shares: ASHRAE Handbook Fundamentals (2009) ch. 31 tables 4 and 5 (from memory)";
pub const RULE_CAUTION: &str = "The rule of 3 °F for each psi of the cap overstates.";
pub const HOT_CAUTION: &str = "Never open a hot cooling system.";

/// `ethylene glycol coolant`, `propylene glycol`; ethylene where nothing is said.
pub fn kind(words: &[String]) -> Result<Glycol, WrongUse> {
    let text = words.join(" ").to_lowercase();
    let has = |part: &str| text.split([' ', '-']).any(|word| word == part);
    match (has("ethylene") || has("eg") || has("meg"), has("propylene") || has("pg") || has("mpg")) {
        _ if text.is_empty() => Ok(Glycol::Ethylene),
        (true, false) => Ok(Glycol::Ethylene),
        (false, true) => Ok(Glycol::Propylene),
        _ => Err(WrongUse(format!(
            "`{text}` is no kind of coolant that can be worked out: write `ethylene glycol coolant` or `propylene glycol coolant`"
        ))),
    }
}

/// The kind as an input.
pub fn kind_figure(glycol: Glycol) -> Figure {
    Figure::text("kind", format!("{} coolant", glycol.name()))
}

/// A share from 0 to 100 %; `water` is 0 %.
pub fn share_of(words: &[String], what: &str) -> Result<Quantity, WrongUse> {
    match words.join(" ").trim().to_lowercase().as_str() {
        "water" => return Ok(Quantity::new(Number::ZERO, Known::Percent)),
        "concentrate" => return Ok(Quantity::new(Number::whole(100), Known::Percent)),
        _ => {}
    }
    let share = quantity(words, Kind::Ratio, what)?;
    if coolant::fraction(&share).is_none() {
        return Err(WrongUse(format!("{what} is a share from 0 to 100 %, but `{share}` is not")));
    }
    Ok(share)
}

/// A volume that is more than nothing.
pub fn volume(words: &[String], what: &str) -> Result<Quantity, WrongUse> {
    let volume = quantity(words, Kind::Volume, what)?;
    if volume.value.is_negative() || volume.value.is_zero() {
        return Err(WrongUse(format!("{what} is more than nothing, but `{volume}` is not")));
    }
    Ok(volume)
}

/// The share by volume that protects to a temperature.
pub fn share_for(glycol: Glycol, words: &[String]) -> Result<(Quantity, Quantity), WrongUse> {
    let protect = quantity(words, Kind::Temperature, "the temperature to protect to")?;
    let celsius = freezing::in_celsius(&protect).unwrap_or_default();
    if celsius > 0.0 {
        return Err(WrongUse(format!(
            "`{protect}` is above the freezing point of water: write the minus, like `-36 °C`"
        )));
    }
    let lowest = freezing::freezing_point(glycol, freezing::LAST_PERCENT).unwrap_or_default();
    match coolant::percent_for_temperature(glycol, &protect) {
        Some(share) => Ok((protect, share)),
        None => Err(WrongUse(format!(
            "no mix of {} and water protects to {protect}: 60 % by volume reaches about {lowest:.0} °C, and more concentrate \
             protects hardly better",
            glycol.name()
        ))),
    }
}

/// The pressure of a cap above the atmosphere, in kPa, and as it was typed.
pub fn cap(words: &[String]) -> Result<(Quantity, f64), WrongUse> {
    let cap = quantity(words, Kind::Pressure, "the pressure of the cap")?;
    let kilopascals = cap.to_si().to_f64() / 1000.0;
    if !(0.0..=boiling::HIGHEST_CAP).contains(&kilopascals) {
        return Err(WrongUse(format!("a cap holds from 0 to {} kPa above the air, not {cap}", boiling::HIGHEST_CAP)));
    }
    Ok((cap, kilopascals))
}

/// What a jug can measure of `part`, and the rest of `both`: hundredths of a litre or quart, whole millilitres.
pub fn measurable(part: &Quantity, both: &Quantity) -> (Quantity, Quantity) {
    let decimals = if part.unit.known() == Some(Known::Millilitre) { 0 } else { 2 };
    let value = part.value.rounded(decimals, Rounding::Nearest).written_as(Written::Computed);
    let part = Quantity { value, unit: part.unit.clone() };
    let rest = both.minus(&part).map(|rest| Quantity { value: rest.value.written_as(Written::Computed), ..rest });
    let rest = rest.unwrap_or_else(|| both.clone());
    (part, rest)
}

/// One value for scripts, and what people see of it.
pub fn shown_as(key: &'static str, exact: &Quantity, shown: &Quantity) -> Figure {
    let printed = print(shown, System::Both);
    let text = match printed.other {
        Some(other) => format!("{} ({other})", printed.main),
        None => printed.main,
    };
    let object = serde_json::json!({ "value": exact.value.to_f64(), "unit": exact.unit.symbol() });
    Figure::both(key, text.replace(['\u{a0}', '\u{202f}'], " "), object)
}

/// A share; people see a tenth of a per cent.
pub fn share_figure(key: &'static str, share: &Quantity) -> Figure {
    Figure::number(key, share.to_si().to_f64() * 100.0, "%", 1)
}

/// °C to a tenth.
pub fn celsius(key: &'static str, degrees: f64) -> Figure {
    let tenths = Number::from_ratio((degrees * 10.0).round() as i128, 10).unwrap_or(Number::ZERO);
    Figure::quantity(key, &Quantity::new(tenths, Known::Celsius))
}

/// What is known of a share by volume in %: when it freezes and boils.
pub fn behaviour(glycol: Glycol, by_volume: f64, cap: Option<f64>, results: &mut Vec<Figure>) {
    match freezing::freezing_point(glycol, by_volume) {
        Some(freezes) => results.push(celsius("freezes_at", freezes)),
        None => results.push(Figure::text(
            "freezes",
            "not told: beyond 60 % by volume more concentrate protects hardly better, and pure glycol freezes far sooner",
        )),
    }
    let Some(mass) = share::by_mass(glycol, by_volume) else { return };
    let open = boiling::boiling_point(glycol, mass);
    results.extend(open.map(|boils| celsius("boils_at", boils)));
    if let Some(cap) = cap {
        match boiling::boiling_under(glycol, mass, cap) {
            Some(boils) => results.push(celsius("boils_under_cap", boils)),
            None => results.push(Figure::text("boils_under_cap", "not told beyond 70 % by mass")),
        }
        results.extend(open.map(|open| celsius("rule_of_thumb", boiling::by_rule_of_thumb(open, cap))));
    }
}

/// kg/m³ at 21.1 °C; people see lb/ft³ too, as the handbook prints it.
pub fn density_figure(glycol: Glycol, by_volume: f64) -> Option<Figure> {
    // 1 lb = 0.45359237 kg, 1 ft = 0.3048 m.
    const POUND_A_CUBIC_FOOT: f64 = 0.453_592_37 / (0.3048 * 0.3048 * 0.3048);
    density::density(glycol, by_volume).map(|density| {
        let shown = format!("{density:.1} kg/m³ ({:.2} lb/ft³)", density / POUND_A_CUBIC_FOOT);
        Figure::both("density", shown, serde_json::json!({ "value": density, "unit": "kg/m³" }))
    })
}

/// What to mind about a share by volume in %; empty for nothing.
pub fn share_caution(by_volume: f64) -> &'static str {
    if by_volume > coolant::limits::MOST {
        "More than 60 % carries less heat and protects hardly better (ASTM D3306 covers 40 to 60 %)."
    } else if by_volume < coolant::limits::LEAST {
        "Less than a third holds too little inhibitor against corrosion, whatever the frost."
    } else {
        ""
    }
}
