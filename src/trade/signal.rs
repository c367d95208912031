//! The four signal words of safety messages, as ANSI Z535.4 and Z535.6 tell them apart.
//!
//! ISO 3864-2 has the three words for injury only.

/// How bad it can get. A later one is worse.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SignalWord {
    /// Nobody is hurt: something is damaged or has to be done again.
    Notice,
    /// A minor or moderate injury can follow.
    Caution,
    /// Death or a serious injury can follow.
    Warning,
    /// Death or a serious injury follows; kept for the extreme cases.
    Danger,
}

impl SignalWord {
    /// All, mildest first.
    pub const ALL: [SignalWord; 4] = [SignalWord::Notice, SignalWord::Caution, SignalWord::Warning, SignalWord::Danger];

    /// As an author writes it: `warning`.
    pub fn name(self) -> &'static str {
        match self {
            SignalWord::Notice => "notice",
            SignalWord::Caution => "caution",
            SignalWord::Warning => "warning",
            SignalWord::Danger => "danger",
        }
    }

    /// As the standard prints it: `WARNING`.
    pub fn printed(self) -> &'static str {
        match self {
            SignalWord::Notice => "NOTICE",
            SignalWord::Caution => "CAUTION",
            SignalWord::Warning => "WARNING",
            SignalWord::Danger => "DANGER",
        }
    }

    /// Reads the word in any capitals.
    pub fn parse(text: &str) -> Option<SignalWord> {
        SignalWord::ALL.into_iter().find(|word| word.name().eq_ignore_ascii_case(text.trim()))
    }

    /// Whether the safety alert triangle stands beside it: for injury, never for damage.
    pub fn has_triangle(self) -> bool {
        self != SignalWord::Notice
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ANSI Z535.4: the order of severity, and no triangle beside NOTICE.
    #[test]
    fn words_rank_by_severity() {
        assert!(SignalWord::Danger > SignalWord::Warning);
        assert!(SignalWord::Warning > SignalWord::Caution);
        assert!(SignalWord::Caution > SignalWord::Notice);
        assert_eq!(SignalWord::ALL.map(SignalWord::has_triangle), [false, true, true, true]);
        for word in SignalWord::ALL {
            assert_eq!(SignalWord::parse(word.printed()), Some(word));
        }
        assert_eq!(SignalWord::parse("beware"), None);
    }
}
