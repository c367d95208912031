//! What is on a sheet, in words and numbers, before anything is placed: made from a checked procedure
//! and laid out by the files beside this one.

use super::draw::dial::Direction;
use super::draw::plan::{Shape, Spot};
use super::draw::sign::Picture;
use super::field::Field;
use super::figure::Figure;
use super::page::{Meta, Origin};

/// Words of one origin, some of them in bold.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Words {
    /// The pieces: text, and whether it is in bold.
    pub pieces: Vec<(String, bool)>,
    /// Where they were written.
    pub origin: Origin,
}

impl Words {
    /// Plain words.
    pub fn plain(text: impl Into<String>, origin: Origin) -> Self {
        Self { pieces: vec![(text.into(), false)], origin }
    }

    /// The same with more words after them.
    pub fn and(mut self, text: impl Into<String>, bold: bool) -> Self {
        self.pieces.push((text.into(), bold));
        self
    }

    /// Whether there is nothing to print.
    pub fn is_empty(&self) -> bool {
        self.pieces.iter().all(|(text, _)| text.trim().is_empty())
    }

    /// The text alone.
    pub fn text(&self) -> String {
        self.pieces.iter().map(|(text, _)| text.as_str()).collect()
    }
}

/// Everything on the sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Content {
    /// Facts for the file.
    pub meta: Meta,
    /// Title, machine, ways chosen.
    pub head: Head,
    /// Before you start.
    pub before: Before,
    /// Have ready: the left lists, then the right ones.
    pub ready: Vec<TickList>,
    /// The stages up to the sign-off.
    pub stages: Vec<Stage>,
    /// What the job touched, to be looked at once more.
    pub last_look: Vec<Tick>,
    /// One line that adds it up: `17 fasteners out, 17 in`.
    pub last_look_sum: String,
    /// Stages after the sign-off.
    pub later: Vec<Slip>,
    /// What is said at the foot about the day of printing.
    pub printed: String,
}

/// The head of the first page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Head {
    /// The job.
    pub title: Words,
    /// The machine.
    pub machine: String,
    /// The ways of the job, chosen or to be ticked.
    pub ways: Vec<Way>,
    /// What this revision changes.
    pub changed: Option<Words>,
    /// What is filled in already.
    pub fields: Vec<(Field, String)>,
    /// Number and revision for the code's caption.
    pub number: String,
    /// First digits of the digest.
    pub digest: String,
    /// What the code holds.
    pub code: String,
}

/// An option in the head: chosen, or with boxes to tick.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Way {
    /// The option, and its value if it is chosen.
    pub words: String,
    /// What to tick; empty where it is chosen.
    pub choices: Vec<String>,
}

/// The part before the lists.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Before {
    /// Why the job is done.
    pub reason: Option<Words>,
    /// What to rule out first.
    pub rule_out: Vec<Words>,
    /// Short facts: caption and words.
    pub facts: Vec<(String, String)>,
    /// The hazards of the job.
    pub hazards: Vec<Hazard>,
    /// The line that defers to local codes and licensed practice.
    pub deference: Vec<String>,
}

/// A hazard in the strip.
#[derive(Clone, Debug, PartialEq)]
pub struct Hazard {
    /// Its picture.
    pub picture: Picture,
    /// Its name.
    pub name: String,
    /// What to remember, in a few words.
    pub line: String,
}

/// A list with a box to tick at each line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TickList {
    /// What is listed.
    pub title: String,
    /// Its lines.
    pub ticks: Vec<Tick>,
}

/// A line of a list.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tick {
    /// What it is.
    pub words: Words,
    /// How much, how many, how tight.
    pub amount: String,
    /// Whether the amount is in bold.
    pub strong: bool,
    /// Smaller text below.
    pub below: Option<Words>,
}

/// A stage of the job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stage {
    /// Its number; none for a stage of another day.
    pub number: Option<usize>,
    /// Its title.
    pub title: Words,
    /// The state of the machine at its beginning, or where it is worked.
    pub state: String,
    /// Messages and details that hold for the whole stage.
    pub details: Vec<Detail>,
    /// What is in it.
    pub rows: Vec<Row>,
}

/// A row of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// How many bars of enclosing blocks stand to its left.
    pub depth: usize,
    /// What it says.
    pub kind: RowKind,
}

/// What a row says.
#[derive(Clone, Debug, PartialEq)]
pub enum RowKind {
    /// An act.
    Step(Box<Step>),
    /// The head of a block: a question with a box, or a condition.
    Fork(Fork),
    /// A heading of steps that come from elsewhere.
    Heading {
        /// What they do.
        words: Words,
        /// What holds for all of them.
        details: Vec<Detail>,
    },
    /// Go no further.
    Stop {
        /// What to do instead.
        words: Words,
        /// What stands open and must be made safe.
        open: Vec<String>,
        /// Its number in the job.
        number: Option<usize>,
    },
}

/// The head of a block.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fork {
    /// The condition, in words.
    pub words: Words,
    /// Whether it has a box to tick.
    pub ticked: bool,
    /// A box for each try, with the number of each.
    pub tries: usize,
    /// Smaller text below.
    pub below: Option<Words>,
}

/// An act.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Step {
    /// Number in the job.
    pub number: usize,
    /// Safety messages before it.
    pub messages: Vec<Message>,
    /// The act.
    pub act: Words,
    /// What the author says about it.
    pub prose: Option<Words>,
    /// What stands under it.
    pub details: Vec<Detail>,
    /// Drawings.
    pub drawings: Vec<Drawing>,
    /// The value column.
    pub values: Vec<Value>,
    /// Captions of the lines to sign on: the first is without words.
    pub signs: Vec<String>,
    /// The line as a whole.
    pub origin: Origin,
}

/// A safety message.
#[derive(Clone, Debug, PartialEq)]
pub struct Message {
    /// How bad.
    pub signal: Signal,
    /// Its picture.
    pub picture: Picture,
    /// Hazard, consequence.
    pub says: Words,
    /// Avoidance.
    pub avoid: Words,
}

/// Signal words of ANSI Z535.6 and ISO 3864-2, worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Signal {
    /// Death or serious injury if not avoided.
    Danger,
    /// Death or serious injury possible.
    Warning,
    /// Minor injury, or damage.
    Caution,
    /// No injury.
    Notice,
}

/// A detail with its boxed word.
#[derive(Clone, Debug, PartialEq)]
pub struct Detail {
    /// The word.
    pub label: String,
    /// What it says.
    pub words: Words,
}

/// A drawing under an act.
#[derive(Clone, Debug, PartialEq)]
pub enum Drawing {
    /// Which way something points.
    Direction {
        /// The way.
        direction: Direction,
        /// In words.
        words: Words,
        /// The detail's word.
        label: String,
    },
    /// Where the fasteners are and in which order they are tightened.
    Plan {
        /// The positions.
        spots: Vec<Spot>,
        /// What joins them.
        shape: Shape,
        /// What to know to read it.
        caption: String,
        /// The plan in words.
        words: String,
        /// The numbers are an order, not only places.
        ordered: bool,
    },
    /// A row of boxes to write values in, one a member.
    Fields {
        /// The members.
        names: Vec<String>,
        /// The unit of all of them.
        unit: String,
    },
    /// How something goes on, in words only.
    Said {
        /// The words.
        words: Words,
        /// The detail's word.
        label: String,
    },
    /// A figure of the author's; where it can't be had its caption stands alone, with its path.
    Figure {
        /// What it shows.
        caption: Words,
        /// Path of the picture.
        path: String,
        /// The picture.
        figure: Option<std::sync::Arc<Figure>>,
    },
}

/// A line of the value column.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// The largest thing.
    Large(String),
    /// A word above what follows.
    Title(String),
    /// A pass.
    Pass {
        /// Its number.
        number: usize,
        /// What it says.
        main: String,
        /// Conversion, positions, conditions.
        beside: Vec<String>,
    },
    /// Conversions, sizes, drives: none is broken in itself.
    Small(Vec<String>),
    /// How many, large, with as many boxes to tick.
    Counted(usize),
    /// Boxes to tick.
    Ticks(usize),
    /// Boxes to tick with a word before them.
    Named(String, usize),
    /// A box to write a value in: a word before it, the unit after it.
    Field {
        /// What is written.
        name: String,
        /// Its unit.
        unit: String,
    },
}

/// A slip to cut off.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Slip {
    /// When and what.
    pub title: Words,
    /// The stage's rows, in short.
    pub stage: Stage,
    /// What names the job on it.
    pub job: String,
}
