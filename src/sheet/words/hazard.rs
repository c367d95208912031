//! Safety messages and the hazards of a job.

use super::gather::Gather;
use crate::procedure::Procedure;
use crate::sheet::catalogue as say;
use crate::sheet::content::{self, Message, Signal, Words};
use crate::sheet::draw::sign::Picture;
use crate::trade::bring::is_gas_system;
use crate::trade::hazard::Hazard;
use crate::trade::signal::SignalWord;

/// The picture of a hazard.
pub(super) fn picture(hazard: Hazard) -> Picture {
    match hazard {
        Hazard::UnsupportedVehicle => Picture::UnsupportedVehicle,
        Hazard::StoredSpring => Picture::StoredSpring,
        Hazard::HighVoltage | Hazard::ElectricShock => Picture::Electricity,
        Hazard::Scald => Picture::Scald,
        Hazard::Fire => Picture::Fire,
        Hazard::Crush => Picture::Crush,
        Hazard::Airbag => Picture::Burst,
        Hazard::Refrigerant => Picture::Cold,
        Hazard::ExhaustGas => Picture::Gas,
        Hazard::RotatingParts => Picture::Rotation,
        Hazard::FluidUnderPressure => Picture::Jet,
        Hazard::BatteryAcid => Picture::BatteryAcid,
        Hazard::CorrosiveFluid => Picture::Corrosive,
        Hazard::HeavyLoad => Picture::HeavyLoad,
        Hazard::BrakeDust => Picture::Dust,
        Hazard::Poison => Picture::Poison,
        Hazard::HotSurface => Picture::HotSurface,
        Hazard::EyeInjury => Picture::Eye,
        Hazard::SharpEdge => Picture::SharpEdge,
    }
}

fn signal(word: SignalWord) -> Signal {
    match word {
        SignalWord::Danger => Signal::Danger,
        SignalWord::Warning => Signal::Warning,
        SignalWord::Caution => Signal::Caution,
        SignalWord::Notice => Signal::Notice,
    }
}

/// A message: the author's word if it is the worse one, the author's prose in place of the standard
/// text.
pub(super) fn message(word: Option<SignalWord>, hazard: Option<Hazard>, prose: Option<Words>) -> Message {
    let standard = hazard.map(|hazard| hazard.message());
    let least = hazard.map(Hazard::signal);
    let word = match (word, least) {
        (Some(word), Some(least)) => word.max(least),
        (Some(word), None) | (None, Some(word)) => word,
        (None, None) => SignalWord::Notice,
    };
    let origin = prose.as_ref().and_then(|prose| prose.origin);
    let mut says = Words { pieces: Vec::new(), origin };
    if let Some(standard) = standard {
        says.pieces.push((format!("{}. ", standard.title), true));
    }
    let mut avoid = Words::default();
    match (prose, standard) {
        (Some(prose), _) => says.pieces.extend(prose.pieces),
        (None, Some(standard)) => {
            says.pieces.push((standard.consequence.to_owned(), false));
            avoid = Words::plain(standard.avoidance, None);
        }
        (None, None) => {}
    }
    Message { signal: signal(word), picture: hazard.map_or(Picture::General, picture), says, avoid }
}

/// The strip at the head of the job, worst first.
pub(super) fn strip(hazards: &[Hazard]) -> Vec<content::Hazard> {
    let mut sorted = hazards.to_vec();
    sorted.sort_by_key(|hazard| std::cmp::Reverse(hazard.signal()));
    let card = |hazard: Hazard| content::Hazard {
        picture: picture(hazard),
        name: hazard.message().title.to_owned(),
        line: hazard.message().consequence.to_owned(),
    };
    sorted.into_iter().map(card).collect()
}

/// The lines that defer to local codes and licensed practice.
pub(super) fn deference(gather: &Gather, job: &Procedure) -> Vec<String> {
    let mut lines = vec![say::DEFERENCE.to_owned()];
    let mut licensed: Vec<&str> =
        gather.hazards.iter().filter(|hazard| hazard.needs_licence()).map(|hazard| hazard.name()).collect();
    if gather.things.iter().any(|thing| is_gas_system(&job[*thing].name)) {
        licensed.push(say::GAS);
    }
    if !licensed.is_empty() {
        lines.push(format!("{} {}.", say::LICENSED, licensed.join(", ")));
    }
    let used: Vec<&str> = gather.drained.iter().map(|fluid| job[*fluid].name.as_str()).collect();
    if !used.is_empty() {
        lines.push(format!("{} {}.", say::WASTE, used.join(", ")));
    }
    lines
}
