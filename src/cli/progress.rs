//! What is being worked on, on a terminal and only when it takes long.

use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};

/// Nothing is shown before this.
const PATIENCE: Duration = Duration::from_millis(400);

/// A line at the foot of the terminal that is written over.
#[derive(Debug)]
pub struct Progress {
    what: &'static str,
    total: usize,
    done: usize,
    began: Instant,
    on: bool,
    shown: bool,
}

impl Progress {
    /// For so many files.
    pub fn new(quiet: bool, what: &'static str, total: usize) -> Self {
        let on = !quiet && std::io::stderr().is_terminal();
        Self { what, total, done: 0, began: Instant::now(), on, shown: false }
    }

    /// This one is begun.
    pub fn at(&mut self, name: &str) {
        self.done += 1;
        if self.on && self.began.elapsed() > PATIENCE {
            self.shown = true;
            let _ = write!(std::io::stderr(), "\r\x1b[K{} {} of {}: {name}", self.what, self.done, self.total);
        }
    }

    /// Takes the line away.
    pub fn end(&mut self) {
        if std::mem::take(&mut self.shown) {
            let _ = write!(std::io::stderr(), "\r\x1b[K");
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.end();
    }
}
