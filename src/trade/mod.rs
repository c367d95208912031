//! The mechanics of the trade: threads, tightening orders, torque tools, coolant, hazards, directions.
//!
//! Pure functions over quantities, each with its published source. Nothing here knows a procedure.

pub mod bring;
pub mod coolant;
pub mod direction;
pub mod fastening;
pub mod fluid;
pub mod hazard;
pub mod head;
pub mod joint;
pub mod layout;
pub mod lifting;
pub mod order;
pub mod passes;
pub mod signal;
pub mod strength;
pub mod thread;
pub mod wrench;

#[cfg(test)]
mod tests {
    use super::*;

    /// Pieces that matter here put together by a fixed linear congruential generator (multiplier and increment of Knuth's
    /// MMIX): none may make a reader panic, and what is read must read back.
    #[test]
    fn no_text_makes_a_reader_panic() {
        const PIECES: [&str; 40] = [
            "M",
            "M8",
            "x",
            " x ",
            "×",
            "35",
            "1.25",
            "0",
            "1/0",
            "1/2",
            "-13",
            " UNC",
            "UNF",
            " in",
            "mm",
            "#10",
            "-32",
            "NPT",
            "G",
            "R",
            "rows ",
            "circle",
            "at ",
            "; ",
            ";",
            "cross",
            "spiral",
            " ",
            "lip ",
            "inward",
            "o'clock",
            "12 ",
            ":30",
            ", mirrored",
            "scald",
            ":",
            "99999999999999999999",
            "é",
            "\u{2212}",
            "",
        ];
        let mut state: u64 = 7;
        let mut threads = 0;
        for round in 0..10_000 {
            // Every other one begins like a thread and goes on with what threads are made of.
            let (mut text, pieces) = match round % 2 {
                0 => (String::new(), &PIECES[..]),
                _ => (["M8", "1/2-13"][round / 2 % 2].to_string(), &PIECES[2..16]),
            };
            for _ in 0..1 + round / 4 % 4 {
                state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                text.push_str(pieces[(state >> 33) as usize % pieces.len()]);
            }
            match thread::Thread::parse(&text) {
                Ok(thread) => {
                    threads += 1;
                    let written = thread.to_string();
                    assert_eq!(thread::Thread::parse(&written).as_ref(), Ok(&thread), "{text:?} -> {written}");
                    let _ = (thread.printed(), thread.stress_area_mm2());
                }
                Err(error) => assert!(!error.to_string().is_empty()),
            }
            if let Some(layout) = layout::Layout::parse(&text) {
                let count = layout.own_count().unwrap_or(12);
                if let Ok(order) = order::Order::Spiral.positions(&layout, count) {
                    assert_eq!(order::each_once(&order, count), Ok(()), "{text:?}");
                }
            }
            let _ = order::Order::parse(&text);
            let _ = direction::Orientation::parse(&text).map(|o| o.to_owned().on_other_side());
            let _ = (direction::Clock::parse(&text), hazard::Hazard::read(&text), fluid::FluidKind::parse(&text));
            let around = bring::Surroundings::of([text.as_str()], []);
            let _ =
                (bring::by_name(&text, bring::Meet::Undone, &around), bring::by_words(&text), bring::warns_of(&text));
            let _ = (bring::takes_the_weight(&text), bring::is_gas_system(&text), bring::fluid_kind(&text));
            let _ = crate::quantity::disagreements(&text);
        }
        assert!(threads > 300, "only {threads} threads were read, so the generator tests nothing");
    }
}
