//! Findings as plain data. How they are shown is somebody else's business.

use crate::source::Span;

/// How bad a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The sheet would be wrong or dangerous; nothing is printed.
    Error,
    /// Printed, but it should be mended.
    Warning,
    /// Wording and habits.
    Advice,
}

impl Severity {
    /// The word used in reports and JSON.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
            Self::Advice => "advice",
        }
    }
}

/// A second place that belongs to a finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Related {
    pub span: Span,
    pub message: String,
}

/// A change of the text that certainly mends the finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fix {
    /// What it does, in a few words.
    pub title: String,
    pub span: Span,
    pub replacement: String,
}

/// A change of the text, said by what stands there and not by its bytes: whoever has the text makes a [`Fix`] of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Mend {
    /// A new line, after the line in which `place` begins and all that is indented under it.
    WriteAfter { place: Span, line: String },
    /// A new line, before the line in which `place` begins.
    WriteBefore { place: Span, line: String },
    /// The line in which `place` begins goes, with all that is indented under it.
    TakeOut { place: Span },
    /// Two lines that stand one below the other, each with what is indented under it, change places.
    Exchange { first: Span, second: Span },
    /// `place` begins with one of the words in `was` (the longest counts): `now` stands there instead.
    OtherWord { place: Span, was: Vec<String>, now: String },
}

/// One finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// Kebab-case name of the rule.
    pub rule: &'static str,
    pub severity: Severity,
    /// What is wrong here, one sentence without a full stop at its end.
    pub message: String,
    pub span: Span,
    /// Short words at the place itself; empty for none.
    pub label: String,
    pub related: Vec<Related>,
    /// How to mend it, as a line to write where that is possible; empty for none.
    pub help: String,
    pub fix: Option<Fix>,
    /// A certain repair that is yet to be placed in the text; with the text at hand it becomes the fix.
    pub mend: Option<Mend>,
    /// The way through the job on which it fails: (fact, value) in the author's words, e.g. ("side guard fitted", "yes").
    pub way: Vec<(String, String)>,
    /// The same way as a sentence begins: `on an Osier 20 compact loader with side guard fitted`; empty for every way.
    pub on_which: String,
}

impl Diagnostic {
    /// A finding without help, related places or a way.
    #[must_use]
    pub fn new(severity: Severity, rule: &'static str, span: Span, message: impl Into<String>) -> Self {
        Self {
            rule,
            severity,
            message: message.into(),
            span,
            label: String::new(),
            related: Vec::new(),
            help: String::new(),
            fix: None,
            mend: None,
            way: Vec::new(),
            on_which: String::new(),
        }
    }

    /// A finding that stops printing.
    #[must_use]
    pub fn error(rule: &'static str, span: Span, message: impl Into<String>) -> Self {
        Self::new(Severity::Error, rule, span, message)
    }

    /// A finding that should be mended.
    #[must_use]
    pub fn warning(rule: &'static str, span: Span, message: impl Into<String>) -> Self {
        Self::new(Severity::Warning, rule, span, message)
    }

    /// A finding about wording or habits.
    #[must_use]
    pub fn advice(rule: &'static str, span: Span, message: impl Into<String>) -> Self {
        Self::new(Severity::Advice, rule, span, message)
    }

    /// With words at the place itself.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    /// With a repair in words.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = help.into();
        self
    }

    /// With a second place.
    #[must_use]
    pub fn related(mut self, span: Span, message: impl Into<String>) -> Self {
        self.related.push(Related { span, message: message.into() });
        self
    }

    /// With a certain repair of the text.
    #[must_use]
    pub fn fix(mut self, title: impl Into<String>, span: Span, replacement: impl Into<String>) -> Self {
        self.fix = Some(Fix { title: title.into(), span, replacement: replacement.into() });
        self
    }

    /// With a certain repair that is yet to be placed in the text.
    #[must_use]
    pub fn mend(mut self, mend: Option<Mend>) -> Self {
        self.mend = mend;
        self
    }

    /// With the way on which it fails.
    #[must_use]
    pub fn way(mut self, way: Vec<(String, String)>) -> Self {
        self.way = way;
        self
    }
}
