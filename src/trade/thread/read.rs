//! Reads thread designations.

use super::table::{coarse_pitch, unified_series};
use super::{Series, Thread, ThreadError};
use crate::quantity::{Known, Number, Quantity, parse_quantity};

/// See [`Thread::parse`].
pub(super) fn read(text: &str) -> Result<Thread, ThreadError> {
    let text = text.trim().replace(['×', 'X', '*', '\u{a0}'], " x ").replace('–', "-");
    if let Some(rest) = text.strip_prefix(['M', 'm']).map(str::trim_start)
        && rest.starts_with(|c: char| c.is_ascii_digit())
    {
        return metric(rest);
    }
    if let Some(pipe) = pipe(&text) {
        return Ok(pipe);
    }
    unified(&text)
}

fn millimetres(value: Number) -> Quantity {
    Quantity::new(value, Known::Millimetre)
}

/// What follows the `M`.
fn metric(rest: &str) -> Result<Thread, ThreadError> {
    let mut numbers = Vec::new();
    // `M8-1.25` is an older way of writing the pitch.
    let rest = rest.to_lowercase().replace('-', "x");
    let rest = rest.trim().strip_suffix("mm").unwrap_or(&rest);
    for part in rest.split('x') {
        let number = Number::parse(part).map_err(|_| ThreadError::NotAThread)?;
        if number.is_zero() || number.is_negative() {
            return Err(ThreadError::NotAThread);
        }
        numbers.push(number);
    }
    let (diameter, second, third) = match numbers.as_slice() {
        [d] => (*d, None, None),
        [d, a] => (*d, Some(*a), None),
        [d, a, b] => (*d, Some(*a), Some(*b)),
        _ => return Err(ThreadError::NotAThread),
    };
    let size = format!("M{diameter}");
    let coarse = coarse_pitch(&diameter);
    // Above M68 ISO 261 has fine pitches only, none above 8 mm.
    let coarsest = coarse.unwrap_or(Number::whole(8));
    let (pitch, length) = match (second, third) {
        (None, _) => (None, None),
        (Some(a), None) if a <= coarsest => (Some(a), None),
        (Some(a), None) => (None, Some(a)),
        (Some(a), Some(b)) if a > coarsest && b <= coarsest => {
            return Err(ThreadError::WrongWayRound { fixed: format!("{size}x{b}x{a}") });
        }
        (Some(a), Some(b)) => (Some(a), Some(b)),
    };
    let shortest = diameter.checked_div(&Number::whole(3)).unwrap_or(Number::ZERO);
    let impossible = match (pitch, length) {
        (Some(pitch), _) if pitch > coarsest || pitch >= diameter => Some(pitch),
        // No screw is shorter than a third of its diameter: it was meant for a pitch.
        (None, Some(length)) if length < shortest => Some(length),
        _ => None,
    };
    if let Some(wrong) = impossible {
        let (pitch, coarse) = (wrong.to_string(), coarsest.to_string());
        return Err(ThreadError::PitchTooCoarse { size, pitch, coarse });
    }
    let pitch = match pitch.or(coarse) {
        Some(pitch) => pitch,
        None => return Err(ThreadError::NoCoarsePitch { size }),
    };
    Ok(Thread {
        series: if Some(pitch) == coarse { Series::MetricCoarse } else { Series::MetricFine },
        size,
        diameter: Some(millimetres(diameter)),
        pitch: Some(millimetres(pitch)),
        length: length.map(millimetres),
    })
}

/// Size, and what follows the sign for 'by'.
fn length_after(text: &str) -> Result<(&str, Option<Quantity>), ThreadError> {
    match text.split_once(" x ") {
        None => Ok((text.trim(), None)),
        Some((before, after)) => {
            let length = parse_quantity(after).map_err(ThreadError::Length)?;
            Ok((before.trim(), Some(length)))
        }
    }
}

/// `1/2-13 UNC`, `#10-32`, `10-32 UNF`, `1 1/4-7`
fn unified(text: &str) -> Result<Thread, ThreadError> {
    let Some((size, rest)) = text.split_once('-') else { return Err(ThreadError::NotAThread) };
    let (size, rest) = (size.trim(), rest.trim());
    let (per_inch, rest) = Number::read(rest).map_err(|_| ThreadError::NotAThread)?;
    let numbered = size.strip_prefix('#');
    let value = Number::parse(numbered.unwrap_or(size).trim()).map_err(|_| ThreadError::NotAThread)?;
    let right_size = !value.is_negative()
        && value <= Number::whole(20)
        && size.chars().all(|c| c.is_ascii_digit() || "#/. ".contains(c));
    if !right_size || per_inch.is_negative() || per_inch < Number::ONE || per_inch > Number::whole(120) {
        return Err(ThreadError::NotAThread);
    }
    let (word, length) = length_after(rest)?;
    // A whole number may be a numbered size: `10-32`; `1-8` is one inch, since #1 has 64 or 72 threads.
    let as_number = format!("#{value}");
    let number_size = value.is_whole()
        && (numbered.is_some() || unified_series(&as_number, &per_inch).is_some() || value > Number::whole(4));
    let size = if number_size { as_number } else { value.to_string() };
    let found = unified_series(&size, &per_inch);
    let series = match (word.to_uppercase().as_str(), found) {
        ("", Some(series))
        | ("UNC" | "NC", Some(series @ Series::Unc))
        | ("UNF" | "NF", Some(series @ Series::Unf)) => series,
        ("UNC" | "NC" | "UNF" | "NF", other) => {
            let right = other.map(|series| if series == Series::Unc { "UNC" } else { "UNF" });
            return Err(ThreadError::WrongSeries { written: format!("{size}-{per_inch} {word}"), right });
        }
        ("" | "UN" | "UNEF" | "UNS" | "NEF", _) => Series::Un,
        _ => return Err(ThreadError::NotAThread),
    };
    let inches = if number_size {
        // #n is 0.060 in + n × 0.013 in (ASME B1.1)
        Number::from_ratio(13, 1000)
            .and_then(|step| step.checked_mul(&value))
            .and_then(|n| n.checked_add(&Number::from_ratio(60, 1000)?))
    } else {
        Some(value)
    };
    Ok(Thread {
        series,
        size,
        diameter: inches.map(|n| Quantity::new(n, Known::Inch)),
        pitch: Number::ONE.checked_div(&per_inch).map(|p| Quantity::new(p, Known::Inch)),
        length,
    })
}

/// `1/4-18 NPT`, `1/4 NPT`, `G 1/4`, `R 1/2`
fn pipe(text: &str) -> Option<Thread> {
    let upper = text.to_uppercase();
    let thread = |series, size: &str, per_inch: Option<Number>| {
        let value = Number::parse(size).ok().filter(|n| !n.is_zero() && !n.is_negative())?;
        let prefix = match series {
            Series::PipeParallel => "G ",
            Series::PipeTaper => "R ",
            _ => "",
        };
        let pitch = per_inch.and_then(|n| Number::ONE.checked_div(&n)).map(|p| Quantity::new(p, Known::Inch));
        Some(Thread { series, size: format!("{prefix}{value}"), diameter: None, pitch, length: None })
    };
    if let Some(size) = upper.strip_suffix("NPTF").or_else(|| upper.strip_suffix("NPT")) {
        let (size, per_inch) = match size.split_once('-') {
            Some((size, n)) => (size, Some(Number::parse(n).ok()?)),
            None => (size, None),
        };
        return thread(Series::Npt, size, per_inch);
    }
    if let Some(size) = upper.strip_prefix('G') {
        return thread(Series::PipeParallel, size, None);
    }
    thread(Series::PipeTaper, upper.strip_prefix('R')?, None)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn thread(text: &str) -> Thread {
        Thread::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"))
    }

    #[test]
    fn tells_pitch_from_length() {
        assert_eq!(thread("M8x35").length, Some(millimetres(Number::whole(35))));
        assert_eq!(thread("M8x1").length, None);
        assert_eq!(thread("M8x1").series, Series::MetricFine);
        assert_eq!(thread("M20x2.5").series, Series::MetricCoarse);
        assert_eq!(thread("M6x6").length, Some(millimetres(Number::whole(6))));
    }

    #[test]
    fn refuses_what_is_no_thread() {
        for text in [
            "",
            "M",
            "Mx8",
            "spring clamp",
            "M8xx",
            "M0",
            "band clamp 5-3x",
            "x",
            "8.8",
            "M8x35x1x2",
            "é",
            "M8x1/0",
            "HY-207",
            "20-3318",
        ] {
            assert_eq!(Thread::parse(text), Err(ThreadError::NotAThread), "{text}");
        }
        for (text, words) in [
            ("M8x35x1.25", "`M8x1.25x35`"),
            ("M20x3", "neither pitch nor length of M20"),
            ("M10x2x40", "coarse pitch is 1.5"),
            ("M95", "`M95x2`"),
            ("1/2-20 UNC", "it is UNF"),
            ("1/2-15 UNC", "number of threads"),
            ("1/2-13 UNC x 2", "`2` has no unit"),
        ] {
            let error = Thread::parse(text).expect_err(text).to_string();
            assert!(error.contains(words), "{text}: {error}");
        }
    }
}
