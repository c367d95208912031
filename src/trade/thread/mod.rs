//! Thread designations as people write them: `M8x35`, `M10x1.25x95`, `M30x1.5`, `1/2-13 UNC x 2 in`, `1/4-18 NPT`.

mod read;
mod table;

use std::fmt;

use crate::quantity::{Known, Number, Quantity, QuantityError};

/// What kind of thread it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Series {
    /// ISO metric, with the coarse pitch of its diameter.
    MetricCoarse,
    /// ISO metric, with any other pitch.
    MetricFine,
    /// Unified coarse.
    Unc,
    /// Unified fine.
    Unf,
    /// Unified, with a pitch of neither series.
    Un,
    /// American taper pipe thread.
    Npt,
    /// Parallel pipe thread to ISO 228.
    PipeParallel,
    /// Taper pipe thread to ISO 7.
    PipeTaper,
}

/// A thread and, for a screw, its length.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Thread {
    /// What kind of thread it is.
    pub series: Series,
    /// The size as it is called: `M8`, `1/2`, `#10`.
    pub size: String,
    /// Nominal diameter; `None` for a pipe thread, which is called by another measure.
    pub diameter: Option<Quantity>,
    /// From one thread to the next, in millimetres, or as a fraction of an inch; `None` where none is stated.
    pub pitch: Option<Quantity>,
    /// Nominal length, where it is stated.
    pub length: Option<Quantity>,
}

/// Why a text is no thread.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ThreadError {
    /// It has not the look of a thread at all: it may be a `spring clamp`.
    NotAThread,
    /// The pitch is coarser than the coarse pitch.
    PitchTooCoarse {
        /// `M10`
        size: String,
        /// The pitch written.
        pitch: String,
        /// The coarse pitch.
        coarse: String,
    },
    /// Length before pitch.
    WrongWayRound {
        /// The right way round.
        fixed: String,
    },
    /// A diameter that ISO 261 gives no coarse pitch.
    NoCoarsePitch {
        /// `M95`
        size: String,
    },
    /// `UNC` with the number of threads of another series.
    WrongSeries {
        /// What was written.
        written: String,
        /// The series that has this number, or none.
        right: Option<&'static str>,
    },
    /// The length can not be read.
    Length(QuantityError),
}

impl Thread {
    /// Reads a designation. Capitals, spaces and the sign for 'by' (`x`, `×`, `*`) do not matter.
    ///
    /// Of `M8x35` the second number is a pitch where it can be one (not above the coarse pitch), else the length.
    pub fn parse(text: &str) -> Result<Thread, ThreadError> {
        read::read(text)
    }

    /// Whether sizes are in millimetres.
    pub fn is_metric(&self) -> bool {
        matches!(self.series, Series::MetricCoarse | Series::MetricFine)
    }

    /// Nominal diameter in millimetres, for formulas.
    pub fn diameter_mm(&self) -> Option<f64> {
        self.diameter.as_ref().map(|d| d.to_si().to_f64() * 1000.0)
    }

    /// Pitch in millimetres, for formulas.
    pub fn pitch_mm(&self) -> Option<f64> {
        self.pitch.as_ref().map(|p| p.to_si().to_f64() * 1000.0)
    }

    /// Pitch diameter d2 in millimetres of a metric thread: d − 0.649519 P (ISO 724).
    pub fn pitch_diameter_mm(&self) -> Option<f64> {
        self.metric_less(0.649_519)
    }

    /// Root diameter d3 in millimetres of a metric thread: d − 1.226869 P (ISO 898-1).
    pub fn root_diameter_mm(&self) -> Option<f64> {
        self.metric_less(1.226_869)
    }

    /// Stress area in square millimetres.
    ///
    /// Metric: π/4 ((d2 + d3)/2)² (ISO 898-1); unified: 0.7854 (D − 0.9743/n)² in inches (ASME B1.1). `None` for pipe
    /// threads.
    pub fn stress_area_mm2(&self) -> Option<f64> {
        let diameter = match self.series {
            Series::MetricCoarse | Series::MetricFine => (self.pitch_diameter_mm()? + self.root_diameter_mm()?) / 2.0,
            Series::Unc | Series::Unf | Series::Un => self.diameter_mm()? - 0.9743 * self.pitch_mm()?,
            Series::Npt | Series::PipeParallel | Series::PipeTaper => return None,
        };
        Some(std::f64::consts::FRAC_PI_4 * diameter * diameter)
    }

    /// As it is printed: `M8 × 35`, `M10 × 1.25 × 95`, `1/2-13 UNC × 2 in`; no line breaks in it.
    pub fn printed(&self) -> String {
        self.joined("\u{a0}×\u{a0}", "\u{a0}")
    }

    /// The same without its length: what a nut and a screw have in common.
    pub fn without_length(&self) -> Thread {
        Thread { length: None, ..self.clone() }
    }

    fn metric_less(&self, pitches: f64) -> Option<f64> {
        if self.is_metric() { Some(self.diameter_mm()? - pitches * self.pitch_mm()?) } else { None }
    }

    fn joined(&self, by: &str, space: &str) -> String {
        let mut out = match (self.series, &self.pitch) {
            (Series::PipeParallel | Series::PipeTaper, _) | (Series::MetricCoarse, _) | (_, None) => self.size.clone(),
            (Series::MetricFine, Some(pitch)) => format!("{}{by}{}", self.size, pitch.value),
            (_, Some(pitch)) => format!("{}-{}", self.size, per_inch(pitch)),
        };
        match self.series {
            Series::MetricCoarse | Series::MetricFine | Series::PipeParallel | Series::PipeTaper => {}
            Series::Unc => out.push_str(&format!("{space}UNC")),
            Series::Unf => out.push_str(&format!("{space}UNF")),
            Series::Un => out.push_str(&format!("{space}UN")),
            Series::Npt => out.push_str(&format!("{space}NPT")),
        }
        if let Some(length) = &self.length {
            let length =
                if self.is_metric() { length.value.to_string() } else { length.to_string().replace(' ', space) };
            out.push_str(&format!("{by}{length}"));
        }
        out
    }
}

/// As the language writes it: `M8x35`, `1/2-13 UNC x 2 in`.
impl fmt::Display for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.joined(if self.is_metric() { "x" } else { " x " }, " "))
    }
}

impl fmt::Display for ThreadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ThreadError::NotAThread => write!(f, "this is no thread: write one like `M8x35` or `1/2-13 UNC x 2 in`"),
            ThreadError::PitchTooCoarse { size, pitch, coarse } => {
                write!(f, "`{pitch}` can be neither pitch nor length of {size}, whose coarse pitch is {coarse}")
            }
            ThreadError::WrongWayRound { fixed } => write!(f, "the pitch stands before the length: write `{fixed}`"),
            ThreadError::NoCoarsePitch { size } => {
                write!(f, "{size} has no coarse pitch: write its pitch, like `{size}x2`")
            }
            ThreadError::WrongSeries { written, right: Some(right) } => {
                write!(f, "`{written}` is no thread of that series: with this number of threads it is {right}")
            }
            ThreadError::WrongSeries { written, right: None } => {
                write!(f, "`{written}` is no thread of that series: look at the number of threads an inch")
            }
            ThreadError::Length(error) => write!(f, "the length can not be read: {error}"),
        }
    }
}

impl std::error::Error for ThreadError {}

/// Threads per inch of a pitch.
fn per_inch(pitch: &Quantity) -> Number {
    let inch = Quantity::new(Number::ONE, Known::Inch);
    inch.over(pitch).unwrap_or(Number::ZERO)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn thread(text: &str) -> Thread {
        Thread::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"))
    }

    #[test]
    fn reads_and_prints_designations() {
        for (text, canonical, printed) in [
            ("M8x35", "M8x35", "M8 × 35"),
            ("m8 x 35 mm", "M8x35", "M8 × 35"),
            ("M8×1.25×35", "M8x35", "M8 × 35"),
            ("M10x1.25x95", "M10x1.25x95", "M10 × 1.25 × 95"),
            ("M18x1.5x140", "M18x1.5x140", "M18 × 1.5 × 140"),
            ("M30x1.5", "M30x1.5", "M30 × 1.5"),
            ("M12", "M12", "M12"),
            ("M95x2", "M95x2", "M95 × 2"),
            ("M3x3", "M3x3", "M3 × 3"),
            ("M6X1", "M6", "M6"),
            ("M8-1.25x20", "M8x20", "M8 × 20"),
            ("1/2-13 UNC x 2 in", "1/2-13 UNC x 2 in", "1/2-13 UNC × 2 in"),
            ("1/2-13", "1/2-13 UNC", "1/2-13 UNC"),
            ("3/8-24 unf × 1 1/4 in", "3/8-24 UNF x 1 1/4 in", "3/8-24 UNF × 1 1/4 in"),
            ("10-32 x 3/4 in", "#10-32 UNF x 3/4 in", "#10-32 UNF × 3/4 in"),
            ("1-8", "1-8 UNC", "1-8 UNC"),
            ("1 1/4-7 UNC", "1 1/4-7 UNC", "1 1/4-7 UNC"),
            ("1-14 UNS", "1-14 UN", "1-14 UN"),
            ("1/4-18 NPT", "1/4-18 NPT", "1/4-18 NPT"),
            ("G 1/4", "G 1/4", "G 1/4"),
        ] {
            assert_eq!(thread(text).to_string(), canonical, "{text}");
            assert_eq!(thread(text).printed().replace('\u{a0}', " "), printed, "{text}");
            assert_eq!(thread(&thread(text).to_string()), thread(text), "{text}");
        }
    }

    /// Pitch and root diameters by ISO 724 and ISO 898-1, ±0.001 mm; nominal stress areas of the tables of ISO 898-1,
    /// within 0.4 %.
    #[test]
    #[allow(clippy::approx_constant)] // the root diameter of M4 only looks like pi
    fn metric_geometry() {
        for (text, d2, d3, area) in [
            ("M3", 2.675, 2.387, 5.03),
            ("M4", 3.545, 3.141, 8.78),
            ("M5", 4.480, 4.019, 14.2),
            ("M7", 6.350, 5.773, 28.9),
            ("M8", 7.188, 6.466, 36.6),
            ("M12", 10.863, 9.853, 84.3),
            ("M14", 12.701, 11.546, 115.0),
            ("M18", 16.376, 14.933, 192.0),
            ("M20", 18.376, 16.933, 245.0),
            ("M24", 22.051, 20.319, 353.0),
            ("M8x1", 7.350, 6.773, 39.2),
            ("M10x1.25", 9.188, 8.466, 61.2),
            ("M12x1.25", 11.188, 10.466, 92.1),
            ("M14x1.5", 13.026, 12.160, 125.0),
            ("M16x1.5", 15.026, 14.160, 167.0),
            ("M20x1.5", 19.026, 18.160, 272.0),
            ("M22x1.5", 21.026, 20.160, 333.0),
        ] {
            let thread = thread(text);
            assert!((thread.pitch_diameter_mm().unwrap() - d2).abs() <= 0.001, "{text}");
            assert!((thread.root_diameter_mm().unwrap() - d3).abs() <= 0.001, "{text}");
            assert!((thread.stress_area_mm2().unwrap() / area - 1.0).abs() < 0.004, "{text}");
        }
    }

    /// Stress areas of ASME B1.1 in square inches. The formula is met within 0.2 %; small areas are printed to so few
    /// digits that half of the last one is allowed as well.
    #[test]
    fn unified_stress_areas() {
        for (text, area, half) in [
            ("8-32", 0.014, 0.0005),
            ("1/4-20", 0.0318, 0.000_05),
            ("5/16-18", 0.0524, 0.000_05),
            ("7/16-14", 0.1063, 0.000_05),
            ("1/2-13", 0.1419, 0.000_05),
            ("5/8-11", 0.226, 0.0005),
            ("3/4-10", 0.334, 0.0005),
            ("1-8", 0.606, 0.0005),
            ("10-32", 0.02, 0.0005),
            ("5/16-24", 0.058, 0.0005),
            ("3/8-24", 0.0878, 0.000_05),
            ("1/2-20", 0.1599, 0.000_05),
            ("9/16-18", 0.203, 0.0005),
            ("3/4-16", 0.373, 0.0005),
            ("7/8-14", 0.509, 0.0005),
        ] {
            let got = thread(text).stress_area_mm2().unwrap() / 645.16;
            assert!((got - area).abs() <= half + 0.002 * area, "{text}: {got}");
        }
    }
}
