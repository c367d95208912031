//! Between which torques a joint can be meant to be tightened at all.

use super::super::strength::Strength;
use super::super::thread::Thread;
use super::strip::{Material, stripping_load};
use super::{Friction, Head, Joint, USE_OF_YIELD};

/// Below this part of its yield point a bolt clamps nothing: a fifth, where handbooks aim at 70 to 90 % and covers with soft
/// gaskets go down to a third (common practice).
const LEAST_PART: f64 = 0.2;

/// Torques in newton metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Below it the joint is not clamped, even with the least friction.
    pub least: f64,
    /// From here on, with the least friction, it is tightened to 90 % of its yield point.
    pub full_low: f64,
    /// The same with the most friction.
    pub full_high: f64,
    /// Above it the bolt yields (or its thread strips) even with the most friction.
    pub most: f64,
    /// The inner thread gives way before the bolt does.
    pub strips: bool,
}

/// What the bolt is screwed into, and over how many millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Engaged {
    pub into: Material,
    pub length_mm: f64,
}

/// The band of a thread of this strength. `None` for pipe threads.
#[must_use]
pub fn band(
    thread: &Thread,
    strength: &Strength,
    head: Head,
    friction: Friction,
    engaged: Option<Engaged>,
) -> Option<Band> {
    let joint = Joint::new(thread, head)?;
    let at = |part, friction| joint.assembly(strength, part, friction, friction).torque;
    let mut band = Band {
        least: at(LEAST_PART, friction.low),
        full_low: at(USE_OF_YIELD, friction.low),
        full_high: at(USE_OF_YIELD, friction.high),
        most: at(1.0, friction.high),
        strips: false,
    };
    let stripping = engaged.and_then(|engaged| stripping_load(thread, engaged.length_mm, engaged.into));
    if let Some((_, load)) = stripping {
        let torque = joint.torque(load, friction.high, friction.high);
        if torque < band.most {
            band.most = torque;
            band.strips = true;
            band.least = band.least.min(torque / 2.0);
            band.full_low = band.full_low.min(torque);
            band.full_high = band.full_high.min(torque);
        }
    }
    Some(band)
}

/// Least and most torque in newton metres of a spark plug by its thread in millimetres, over seats (flat, conical) and
/// heads (iron, aluminium).
///
/// A plug maker's published chart; the rows of 8 mm and of the flat seat of 14 mm from memory. `None` for another thread.
#[must_use]
pub fn spark_plug(thread: &Thread) -> Option<(f64, f64)> {
    let diameter = thread.diameter_mm().filter(|_| thread.is_metric())?;
    // lbf·ft, as the chart has them
    let (low, high) = match diameter.round() as i64 {
        8 => (5.8, 7.2),
        10 => (7.2, 10.8),
        12 => (10.8, 18.0),
        14 => (7.2, 25.3),
        18 => (14.5, 32.5),
        _ => return None,
    };
    Some((low * 1.355_817_948_331_4, high * 1.355_817_948_331_4))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(size: &str, class: &str, friction: Friction, engaged: Option<Engaged>) -> Band {
        let thread = Thread::parse(size).unwrap();
        let strength = Strength::of_class(class, thread.diameter_mm().unwrap()).unwrap();
        band(&thread, &strength, Head::Hexagon, friction, engaged).unwrap()
    }

    /// The torques of VDI 2230-1 at 0.08 (M8 10.9: 27.2 N·m) and 0.16 (43.8 N·m), within 1 %.
    #[test]
    fn the_band_lies_around_the_table() {
        let oiled = of("M8", "10.9", Friction::OILED, None);
        assert!((oiled.full_low / 27.2 - 1.0).abs() < 0.01 && (oiled.full_high / 43.8 - 1.0).abs() < 0.01, "{oiled:?}");
        assert!(oiled.least < oiled.full_low && oiled.full_low < oiled.full_high && oiled.full_high < oiled.most);
        let unsaid = of("M8", "10.9", Friction::UNSAID, None);
        assert!(unsaid.most > oiled.most, "what is not known may be dry");
    }

    #[test]
    fn short_threads_in_soft_metal_take_less() {
        let aluminium = |length_mm| Some(Engaged { into: Material::Aluminium, length_mm });
        let short = of("M8", "10.9", Friction::OILED, aluminium(5.0));
        let long = of("M8", "10.9", Friction::OILED, aluminium(24.0));
        assert!(short.strips && !long.strips && short.most < long.most);
        assert!(short.least < short.most && short.full_high <= short.most);
    }

    /// A published chart gives 15 to 25 N·m for flat seats of 12 mm, 10 to 15 N·m for those of 10 mm.
    #[test]
    fn spark_plugs() {
        for (size, low, high) in [("M12x1.25", 15.0, 25.0), ("M10x1", 10.0, 15.0)] {
            let (least, most) = spark_plug(&Thread::parse(size).unwrap()).unwrap();
            assert!((least - low).abs() < 0.6 && (most - high).abs() < 0.6, "{size}: {least} to {most}");
        }
        assert_eq!(spark_plug(&Thread::parse("M9x1").unwrap()), None);
    }
}
