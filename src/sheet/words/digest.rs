//! The digest of what a sheet says: the same words give the same digest, on whatever day and paper.

use sha2::{Digest as _, Sha256};

use crate::sheet::content::{Content, Detail, Drawing, Message, Row, RowKind, Stage, Step, Tick, Value, Words};

/// Hexadecimal SHA-256 of the words and values of the content, in their order.
pub(super) fn of(content: &Content) -> String {
    let mut hash = Hash(Sha256::new());
    hash.content(content);
    hash.0.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}

struct Hash(Sha256);

impl Hash {
    /// A text with its end, so that two neighbours can't be read as one.
    fn text(&mut self, text: &str) {
        self.0.update(text);
        self.0.update([0]);
    }

    fn words(&mut self, words: &Words) {
        self.text(&words.text());
    }

    fn content(&mut self, content: &Content) {
        let Content { meta, head, before, ready, stages, last_look, later, .. } = content;
        for text in [&meta.title, &meta.number, &meta.revision, &meta.machine] {
            self.text(text);
        }
        for way in &head.ways {
            self.text(&way.words);
            way.choices.iter().for_each(|choice| self.text(choice));
        }
        head.changed.iter().for_each(|words| self.words(words));
        before.reason.iter().chain(&before.rule_out).for_each(|words| self.words(words));
        for (name, words) in &before.facts {
            self.text(name);
            self.text(words);
        }
        before.hazards.iter().for_each(|hazard| self.text(&hazard.name));
        for list in ready {
            self.text(&list.title);
            list.ticks.iter().for_each(|tick| self.tick(tick));
        }
        stages.iter().for_each(|stage| self.stage(stage));
        last_look.iter().for_each(|tick| self.tick(tick));
        for slip in later {
            self.words(&slip.title);
            self.stage(&slip.stage);
        }
    }

    fn tick(&mut self, tick: &Tick) {
        self.words(&tick.words);
        self.text(&tick.amount);
        tick.below.iter().for_each(|words| self.words(words));
    }

    fn stage(&mut self, stage: &Stage) {
        self.words(&stage.title);
        self.text(&stage.state);
        stage.details.iter().for_each(|detail| self.detail(detail));
        stage.rows.iter().for_each(|row| self.row(row));
    }

    fn row(&mut self, row: &Row) {
        self.0.update([u8::try_from(row.depth).unwrap_or(u8::MAX)]);
        match &row.kind {
            RowKind::Step(step) => self.step(step),
            RowKind::Fork(fork) => {
                self.words(&fork.words);
                fork.below.iter().for_each(|words| self.words(words));
            }
            RowKind::Heading { words, details } => {
                self.words(words);
                details.iter().for_each(|detail| self.detail(detail));
            }
            RowKind::Stop { words, open, .. } => {
                self.words(words);
                open.iter().for_each(|text| self.text(text));
            }
        }
    }

    fn step(&mut self, step: &Step) {
        step.messages.iter().for_each(|message| self.message(message));
        self.words(&step.act);
        step.prose.iter().for_each(|words| self.words(words));
        step.details.iter().for_each(|detail| self.detail(detail));
        step.drawings.iter().for_each(|drawing| match drawing {
            Drawing::Direction { words, .. } | Drawing::Figure { caption: words, .. } => self.words(words),
            Drawing::Said { words, .. } => self.words(words),
            Drawing::Fields { names, unit } => {
                names.iter().for_each(|name| self.text(name));
                self.text(unit);
            }
            Drawing::Plan { words, caption, .. } => {
                self.text(words);
                self.text(caption);
            }
        });
        step.values.iter().for_each(|value| self.value(value));
        step.signs.iter().for_each(|sign| self.text(sign));
    }

    fn message(&mut self, message: &Message) {
        self.0.update([message.signal as u8]);
        self.words(&message.says);
        self.words(&message.avoid);
    }

    fn detail(&mut self, detail: &Detail) {
        self.text(&detail.label);
        self.words(&detail.words);
    }

    fn value(&mut self, value: &Value) {
        match value {
            Value::Large(text) | Value::Title(text) => self.text(text),
            Value::Small(facts) => facts.iter().for_each(|fact| self.text(fact)),
            Value::Pass { number, main, beside } => {
                self.text(&number.to_string());
                self.text(main);
                beside.iter().for_each(|fact| self.text(fact));
            }
            Value::Counted(count) | Value::Ticks(count) => self.text(&count.to_string()),
            Value::Named(name, count) => {
                self.text(name);
                self.text(&count.to_string());
            }
            Value::Field { name, unit } => {
                self.text(name);
                self.text(unit);
            }
        }
    }
}
