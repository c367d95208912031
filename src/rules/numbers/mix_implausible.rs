//! `mix-implausible`: a coolant mix that does not do what is said of it, that no cooling system stands, or that is made with the wrong
//! water.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Facts, FluidFacts, Procedure, Thing, ThingId};
use crate::quantity::{Known, Quantity, Rounding, Unit, Written};
use crate::rules::ways::way_where;
use crate::rules::{Check, Group, Rule};
use crate::trade::coolant::freezing::{self, in_celsius};
use crate::trade::coolant::{Glycol, NoWay, limits};

mod water;

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "mix-implausible",
    group: Group::Numbers,
    severity: Severity::Warning,
    finds: "a coolant mix that does not protect to the temperature that is stated, more than 60 % or less than 33 % of concentrate, a mix that what is poured can't bring about, or water that is neither distilled nor deionised",
    why: "A mix that is too weak freezes and splits the block; one that is too strong carries too little heat and boils; tap water leaves lime in the radiator and eats the pump.",
    wrong: "\
job: Fill the cooling system

parts
  header tank cap: filler of coolant
  radiator tap: drain of coolant

fluids
  coolant: 9 L, kind ethylene glycol coolant, mix 33 % by volume, protects to -37 °C
    spec: concentrate to ASTM D3306 in demineralised water

stage: Change the coolant
  let engine cool
  open header tank cap
    warning scald
  drain coolant, into tray of 12 L
    warning poison
  close radiator tap
  fill coolant, 9 L
  close header tank cap
",
    right: "\
job: Fill the cooling system

parts
  header tank cap: filler of coolant
  radiator tap: drain of coolant

fluids
  coolant: 9 L, kind ethylene glycol coolant, mix 50 % by volume, protects to -37 °C
    spec: concentrate to ASTM D3306 in demineralised water

stage: Change the coolant
  let engine cool
  open header tank cap
    warning scald
  drain coolant, into tray of 12 L
    warning poison
  close radiator tap
  fill coolant, 9 L
  close header tank cap
",
    source: "Freezing points by volume: ASHRAE Handbook Fundamentals ch. 31 as CoolProp gives them (AEG, APG). Published data of one mix differ by up to 3 K, and figures are printed in whole degrees: a mix of ethylene glycol that freezes more than 3.5 K too soon is told; of propylene glycol 2.5 K, because its other data lie higher. Shares: ASTM D3306 (40 to 60 %; from memory), and common practice for the least of 33 %. Water: ASTM D3306, appendix.",
    check: Check::Declarations(check),
};

/// The label of a mix that what is poured can't bring about.
const OUT_OF_REACH: &str = "can't be reached";

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    for (i, thing) in procedure.things.iter().enumerate() {
        let mut told: Vec<String> = Vec::new();
        let part = procedure.part_let_out(ThingId(u32::try_from(i).unwrap_or(u32::MAX)));
        let judge = |thing: &Thing, fluid: &FluidFacts| match part {
            Some(part) => judge(thing, &fluid.where_only(part)),
            None => judge(thing, fluid),
        };
        for (_, facts) in thing.all_facts() {
            let Some(fluid) = &facts.fluid else { continue };
            for finding in judge(thing, fluid).into_iter().flatten() {
                // What holds in every variant is one mistake, and so is what can't be reached in any of them.
                if told.contains(&finding.message) || told.contains(&finding.label) {
                    continue;
                }
                let same = |other: &Facts| {
                    let found = other.fluid.as_ref().map(|other| judge(thing, other));
                    found.is_some_and(|all| all.iter().flatten().any(|other| other.message == finding.message))
                };
                if let Some(way) = way_where(procedure, thing, &same) {
                    told.push(finding.message.clone());
                    told.extend((finding.label == OUT_OF_REACH).then(|| finding.label.clone()));
                    out.push(finding.way(way));
                }
            }
        }
    }
    water::check(procedure, out);
}

/// What is wrong with the mix, and with how it is brought about.
fn judge(thing: &Thing, fluid: &FluidFacts) -> [Option<Diagnostic>; 2] {
    let (Some(glycol), Some(mix)) = (fluid.glycol(), &fluid.mix) else { return [None, None] };
    let judged = Judged { thing, fluid, glycol, mix, percent: mix.to_si().to_f64() * 100.0 };
    let wrong = judged.sign_is_lost().or_else(|| judged.protects_too_little()).or_else(|| judged.is_outside());
    match wrong.or_else(|| judged.is_stronger_than_needed()) {
        // A mix that is wrong itself need not be brought about.
        Some(wrong) => [Some(wrong), None],
        None => [None, judged.is_out_of_reach()],
    }
}

struct Judged<'a> {
    thing: &'a Thing,
    fluid: &'a FluidFacts,
    glycol: Glycol,
    mix: &'a Quantity,
    /// By volume.
    percent: f64,
}

impl Judged<'_> {
    fn told(&self, message: String, label: &str, help: String) -> Option<Diagnostic> {
        Some(RULE.at(self.thing.span, format!("{}: {message}", self.thing.name)).label(label).help(help))
    }

    /// Freezing point as an author of this fluid would write it: in the unit of `protects to`, in whole degrees.
    fn freezes(&self, percent: f64) -> Option<String> {
        let celsius = freezing::freezing_point(self.glycol, percent)?;
        let fahrenheit = self.fluid.protects_to.as_ref().is_some_and(|t| t.unit.known() == Some(Known::Fahrenheit));
        let (degrees, unit) =
            if fahrenheit { (celsius * 1.8 + 32.0, Known::Fahrenheit) } else { (celsius, Known::Celsius) };
        Some(format!("{:.0} {}", degrees.round() + 0.0, Unit::from(unit).symbol()))
    }

    /// What is written instead, for a temperature.
    fn would_do(&self, protects: &Quantity) -> String {
        let name = self.glycol.name();
        match in_celsius(protects).and_then(|t| freezing::percent_for(self.glycol, t)) {
            Some(needed) => {
                let percent = (needed - 0.05).ceil().max(limits::LEAST);
                format!("{protects} takes about {percent} % of {name} by volume: write `mix {percent} % by volume`")
            }
            None => match self.freezes(freezing::LAST_PERCENT) {
                Some(lowest) => {
                    format!(
                        "no mix of {name} and water protects to {protects}: 60 % reaches about {lowest}. Ask for less"
                    )
                }
                None => String::new(),
            },
        }
    }

    fn sign_is_lost(&self) -> Option<Diagnostic> {
        let protects = self.fluid.protects_to.as_ref()?;
        if in_celsius(protects)? <= 0.0 {
            return None;
        }
        self.told(
            format!("`protects to {protects}` is above the freezing point of water"),
            "no frost at all",
            format!("write the minus sign: `protects to -{}`", protects.to_string().trim_start_matches('+')),
        )
    }

    fn protects_too_little(&self) -> Option<Diagnostic> {
        let protects = self.fluid.protects_to.as_ref()?;
        let freezes = freezing::freezing_point(self.glycol, self.percent)?;
        if freezes <= in_celsius(protects)? + limits::data_differ(self.glycol) {
            return None;
        }
        let shown = self.freezes(self.percent)?;
        self.told(
            format!("a mix of {} freezes at about {shown} and does not protect to {protects}", self.mix),
            "freezes too soon",
            format!(
                "{}, or correct `protects to`. Freezing points are those of ASHRAE, and {} K are allowed for: so much published \
                 tables differ",
                self.would_do(protects),
                limits::data_differ(self.glycol)
            ),
        )
    }

    fn is_outside(&self) -> Option<Diagnostic> {
        let (limit, label, why) = if self.percent > limits::MOST {
            (
                "more than 60 %",
                "too strong",
                "Beyond 60 % a mix carries less heat and protects hardly better, and pure concentrate freezes far sooner",
            )
        } else if self.percent < limits::LEAST {
            (
                "less than 33 %",
                "too weak",
                "Below a third there is too little inhibitor against corrosion, whatever the frost",
            )
        } else {
            return None;
        };
        let instead = match &self.fluid.protects_to {
            Some(protects) => format!("{}.", self.would_do(protects)),
            None => "write a share from 40 to 60 %, as ASTM D3306 concentrates are mixed.".to_owned(),
        };
        let mut letters = instead.chars();
        let instead: String = letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect();
        self.told(format!("a mix of {} by volume is {limit}", self.mix), label, format!("{why}. {instead}"))
    }

    fn is_stronger_than_needed(&self) -> Option<Diagnostic> {
        let protects = self.fluid.protects_to.as_ref()?;
        let needed = freezing::percent_for(self.glycol, in_celsius(protects)?)?.max(limits::LEAST_OF_STANDARD);
        if self.percent <= needed + limits::MARGIN {
            return None;
        }
        let shown = self.freezes(self.percent)?;
        self.told(
            format!("a mix of {} protects to about {shown}, far below the {protects} that are stated", self.mix),
            "one of the two is wrong",
            format!("{}, or correct `protects to`. A stronger mix carries less heat", self.would_do(protects)),
        )
    }

    /// What stays in is too weak or too strong for what is poured to mend it.
    fn is_out_of_reach(&self) -> Option<Diagnostic> {
        let (stays, old) = (self.fluid.stays()?, self.fluid.old_mix.as_ref()?);
        match self.fluid.refill() {
            Some(Err(NoWay::TooWeak(best))) => self.told(
                format!(
                    "{stays} of {old} stay in, and even pure concentrate on top makes only {} of it, not {}",
                    round(&best.reaches),
                    self.mix
                ),
                OUT_OF_REACH,
                format!(
                    "At most {} may stay in: drain more (`drains …`), at the engine block too, or correct `old mix`",
                    shown(&best.may_stay)
                ),
            ),
            Some(Err(NoWay::TooStrong(best))) => self.told(
                format!(
                    "{stays} of {old} stay in, and even pure water on top leaves {} of it, not {}",
                    round(&best.reaches),
                    self.mix
                ),
                OUT_OF_REACH,
                format!("At most {} may stay in: drain more (`drains …`), or correct `old mix`", shown(&best.may_stay)),
            ),
            Some(Err(NoWay::Arguments)) => self.told(
                format!("`old mix {old}` is no share of concentrate"),
                "from 0 to 100 %",
                "Write how strong the old coolant is: `old mix 30 % by volume`".to_owned(),
            ),
            Some(Ok(_) | Err(NoWay::Never { .. })) => None,
            None => self.ready_mix_gets_too_weak(&stays, old),
        }
    }

    /// A ready mix can't be poured stronger than it is.
    fn ready_mix_gets_too_weak(&self, stays: &Quantity, old: &Quantity) -> Option<Diagnostic> {
        let whole = self.fluid.whole_share()?;
        let protects = self.fluid.protects_to.as_ref()?;
        let percent = whole.to_si().to_f64() * 100.0;
        if freezing::freezing_point(self.glycol, percent)? <= in_celsius(protects)? + limits::data_differ(self.glycol) {
            return None;
        }
        self.told(
            format!(
                "{stays} of {old} stay in: with the ready mix of {} on top the whole is {}, freezes at about {} and does not protect to {protects}",
                self.mix,
                round(&whole),
                self.freezes(percent)?
            ),
            "freezes too soon",
            "Pour concentrate for a part of it, flush the system first, or drain more (`drains …`)".to_owned(),
        )
    }
}

/// A share in whole per cent, nearest.
fn round(share: &Quantity) -> String {
    format!("{:.0} %", share.to_si().to_f64() * 100.0)
}

/// A worked-out amount to two digits after the point, rounded down: it is the most that may be.
fn shown(amount: &Quantity) -> String {
    let value = amount.value.rounded(2, Rounding::Down).written_as(Written::Computed);
    Quantity { value, unit: amount.unit.clone() }.to_string()
}
