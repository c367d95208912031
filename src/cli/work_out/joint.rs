//! What `thread` and `torque` read alike: the thread, and how strong it is.

use clap::Args;

use super::{Figure, WrongUse};
use crate::trade::strength::{CLASSES, Strength};
use crate::trade::thread::Thread;

/// Class or grade.
#[derive(Debug, Args)]
pub struct Grade {
    /// Property class marked on the head: 8.8, 10.9; for stainless steel A2-70
    #[arg(long, value_name = "CLASS", conflicts_with = "grade")]
    class: Option<String>,
    /// Grade of an inch bolt to SAE J429: 2, 5, 8
    #[arg(long, value_name = "GRADE")]
    grade: Option<String>,
}

impl Grade {
    /// The strength at the thread's diameter, and what was asked for; `None` where neither was given.
    pub fn strength(&self, thread: &Thread) -> Result<Option<(Strength, Figure)>, WrongUse> {
        let Some(diameter) = thread.diameter_mm() else {
            return Err(WrongUse(format!("{thread} is a pipe thread: it seals, and has no stress area to work with")));
        };
        if let Some(class) = &self.class {
            let strength = Strength::of_class(class, diameter).ok_or_else(|| {
                WrongUse(format!(
                    "there is no property class `{class}`: ISO 898-1 has {}; stainless A2-70, A4-80",
                    CLASSES.join(", ")
                ))
            })?;
            return Ok(Some((strength, Figure::text("class", class.clone()))));
        }
        if let Some(grade) = &self.grade {
            let strength = Strength::of_grade(grade, diameter / 25.4).ok_or_else(|| {
                WrongUse(format!("SAE J429 has no grade `{grade}` for {thread}: 1, 2, 4, 5, 5.2, 7, 8, up to 1 1/2 in"))
            })?;
            return Ok(Some((strength, Figure::text("grade", grade.clone()))));
        }
        Ok(None)
    }
}

/// A thread, typed in one word or several.
pub fn read_thread(words: &[String]) -> Result<Thread, WrongUse> {
    let text = words.join(" ");
    Thread::parse(&text).map_err(|error| WrongUse(format!("`{text}`: {error}")))
}
