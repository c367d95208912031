//! What a job is judged by. One file a rule: a plain [`Rule`] with its page and its check; [`RULES`] lists them.
//!
//! A rule knows the procedure and what the proof found, never paper or disks. Some rules are told by the room that
//! notices them first (a line that can't be read, a name nobody declared): their files hold the page all the same.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::Procedure;
use crate::proof::Proof;
use crate::source::Span;

pub mod cautions;
mod context;
mod place;
mod prose;
mod proved;
mod readings;
mod repair;
mod speech;
mod tightened;
pub(crate) mod used;
pub mod way_words;
mod ways;
mod wording;

/// What is left undone.
pub mod left_undone {
    pub mod count_mismatch;
    pub mod debt_unpaid;
    pub mod left_aside;
    pub mod left_chocked;
    pub mod left_disconnected;
    pub mod left_dry;
    pub mod left_in;
    pub mod left_locked;
    pub mod left_loose;
    pub mod left_off;
    pub mod left_open;
    pub mod left_raised;
    pub mod left_running;
    pub mod left_supported;
    pub mod left_switched_off;
    // A rule may bear the name of its group.
    #[allow(clippy::module_inception)]
    pub mod left_undone;
    pub mod never_touched;
    pub mod not_transferred;
}

/// What is done in the wrong order.
pub mod wrong_order {
    pub mod already_off;
    pub mod filled_open;
    pub mod forbidden_act;
    pub mod live_work;
    pub mod not_off_yet;
    pub mod not_ready;
    pub mod opened_full;
    pub mod opened_hot;
    pub mod out_of_reach;
    pub mod position_unkept;
    pub mod run_unready;
    pub mod still_held;
    pub mod too_much_to_prove;
    pub mod torqued_again;
    pub mod torqued_too_early;
    pub mod unsupported;
}

/// Names, files and lines.
pub mod names {
    pub mod bad_syntax;
    pub mod duplicate_name;
    pub mod file_cycle;
    pub mod missing_file;
    pub mod unknown_act;
    pub mod unknown_name;
    pub mod unused_name;
}

/// Missing or contradictory facts.
pub mod facts {
    pub mod answer_unhandled;
    pub mod argument_missing;
    pub mod count_missing;
    pub mod example_fails;
    pub mod fluid_missing;
    pub mod limit_missing;
    pub mod limit_reversed;
    pub mod old_part_refitted;
    pub mod orientation_conflict;
    pub mod orientation_missing;
    pub mod set_incomplete;
    pub mod size_missing;
    pub mod torque_conflict;
    pub mod torque_missing;
    pub mod unit_mismatch;
    pub mod unit_missing;
}

/// Numbers that can't be right.
pub mod numbers {
    pub mod key_mismatch;
    pub mod mix_implausible;
    pub mod order_incomplete;
    pub mod tool_range;
    pub mod torque_implausible;
    pub mod volume_mismatch;
    pub mod wrench_range;
}

/// Cautions, licences and plain language.
pub mod people {
    pub mod caution_late;
    pub mod caution_missing;
    pub mod caution_weak;
    pub mod licence_needed;
    pub mod long_sentence;
    pub mod number_in_prose;
    pub mod several_acts;
    pub mod vague_word;
}

/// What was silenced, and when.
pub mod time {
    pub mod allowed;
}

/// Every rule, in the order of the reference.
pub static RULES: &[Rule] = &[
    left_undone::left_off::RULE,
    left_undone::left_loose::RULE,
    left_undone::left_aside::RULE,
    left_undone::left_disconnected::RULE,
    left_undone::left_open::RULE,
    left_undone::left_locked::RULE,
    left_undone::left_raised::RULE,
    left_undone::left_chocked::RULE,
    left_undone::left_supported::RULE,
    left_undone::left_switched_off::RULE,
    left_undone::left_in::RULE,
    left_undone::left_running::RULE,
    left_undone::left_dry::RULE,
    left_undone::left_undone::RULE,
    left_undone::debt_unpaid::RULE,
    left_undone::count_mismatch::RULE,
    left_undone::not_transferred::RULE,
    left_undone::never_touched::RULE,
    wrong_order::already_off::RULE,
    wrong_order::not_off_yet::RULE,
    wrong_order::still_held::RULE,
    wrong_order::out_of_reach::RULE,
    wrong_order::not_ready::RULE,
    wrong_order::forbidden_act::RULE,
    wrong_order::opened_hot::RULE,
    wrong_order::opened_full::RULE,
    wrong_order::filled_open::RULE,
    wrong_order::run_unready::RULE,
    wrong_order::live_work::RULE,
    wrong_order::unsupported::RULE,
    wrong_order::torqued_again::RULE,
    wrong_order::position_unkept::RULE,
    wrong_order::torqued_too_early::RULE,
    wrong_order::too_much_to_prove::RULE,
    facts::torque_missing::RULE,
    facts::size_missing::RULE,
    facts::count_missing::RULE,
    facts::unit_missing::RULE,
    facts::unit_mismatch::RULE,
    facts::torque_conflict::RULE,
    facts::orientation_missing::RULE,
    facts::orientation_conflict::RULE,
    facts::fluid_missing::RULE,
    facts::limit_missing::RULE,
    facts::limit_reversed::RULE,
    facts::answer_unhandled::RULE,
    facts::argument_missing::RULE,
    facts::example_fails::RULE,
    facts::set_incomplete::RULE,
    facts::old_part_refitted::RULE,
    names::bad_syntax::RULE,
    names::unknown_act::RULE,
    names::unknown_name::RULE,
    names::duplicate_name::RULE,
    names::unused_name::RULE,
    names::missing_file::RULE,
    names::file_cycle::RULE,
    numbers::torque_implausible::RULE,
    numbers::key_mismatch::RULE,
    numbers::order_incomplete::RULE,
    numbers::mix_implausible::RULE,
    numbers::tool_range::RULE,
    numbers::volume_mismatch::RULE,
    numbers::wrench_range::RULE,
    people::caution_missing::RULE,
    people::caution_late::RULE,
    people::caution_weak::RULE,
    people::licence_needed::RULE,
    people::number_in_prose::RULE,
    people::several_acts::RULE,
    people::long_sentence::RULE,
    people::vague_word::RULE,
    time::allowed::RULE,
];

/// Names that the language reference keeps for rules which this version does not check yet. An `allow` of one is no
/// mistake, so that a job need not change when the rule comes.
pub const RESERVED: &[&str] = &["revision-not-raised"];

/// A rule and its page.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// In plain words, kebab-case: what is wrong with the job. Reads well after `allow`.
    pub name: &'static str,
    pub group: Group,
    pub severity: Severity,
    /// What it finds, in one line.
    pub finds: &'static str,
    /// What happens in the shop when nobody notices.
    pub why: &'static str,
    /// A small job that it finds a fault in. Further files follow a line `=== name.job`.
    pub wrong: &'static str,
    /// The same job, mended.
    pub right: &'static str,
    /// Where the figures or the practice come from.
    pub source: &'static str,
    pub check: Check,
}

/// How a rule is checked.
#[derive(Clone, Copy, Debug)]
pub enum Check {
    /// Told by the rooms that read the files; nothing is left to do here.
    Reading,
    /// Looks at declarations alone, so that a machine or routine file can be checked by itself.
    Declarations(fn(&Procedure, &mut Vec<Diagnostic>)),
    /// Looks at a whole job.
    Job(fn(&Procedure, &mut Vec<Diagnostic>)),
    /// Words what the proof has found.
    Proof(fn(&Procedure, &Proof, &mut Vec<Diagnostic>)),
    /// Told where the rules are run.
    Checking,
}

/// Which part of the reference a rule stands in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    LeftUndone,
    WrongOrder,
    Facts,
    Names,
    Numbers,
    People,
    Time,
}

impl Group {
    /// In the order of the reference.
    pub const ALL: [Self; 7] =
        [Self::LeftUndone, Self::WrongOrder, Self::Facts, Self::Names, Self::Numbers, Self::People, Self::Time];

    /// Its heading.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::LeftUndone => "Left undone",
            Self::WrongOrder => "Wrong order",
            Self::Facts => "Missing or contradictory facts",
            Self::Names => "Names, lines and files",
            Self::Numbers => "Numbers that can't be right",
            Self::People => "People",
            Self::Time => "Through time",
        }
    }
}

impl Rule {
    /// The rule of this name.
    #[must_use]
    pub fn named(name: &str) -> Option<&'static Self> {
        RULES.iter().find(|r| r.name == name)
    }

    /// The rules whose names are nearest to a mistyped one, the nearest first.
    #[must_use]
    pub fn nearest(name: &str) -> Option<&'static Self> {
        let name = name.trim().to_lowercase().replace([' ', '_'], "-");
        RULES
            .iter()
            .map(|rule| (strsim::damerau_levenshtein(&name, rule.name), rule))
            .min_by_key(|(distance, _)| *distance)
            .filter(|(distance, rule)| *distance <= 2 + rule.name.len() / 4)
            .map(|(_, rule)| rule)
    }

    /// A finding of this rule.
    #[must_use]
    pub fn at(&self, span: Span, message: impl Into<String>) -> Diagnostic {
        Diagnostic::new(self.severity, self.name, span, message)
    }
}

/// The files of an example: `example.job`, then one for each line `=== name.job`.
#[must_use]
pub fn example_files(example: &str) -> Vec<(String, String)> {
    let mut files = vec![("example.job".to_string(), String::new())];
    for line in example.lines() {
        if let Some(name) = line.strip_prefix("=== ") {
            files.push((name.trim().to_string(), String::new()));
        } else if let Some((_, text)) = files.last_mut() {
            text.push_str(line);
            text.push('\n');
        }
    }
    files
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_plain_unique_and_sorted_by_group() {
        for (i, rule) in RULES.iter().enumerate() {
            assert!(rule.name.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{}", rule.name);
            assert!(!RULES[..i].iter().any(|r| r.name == rule.name), "{} stands twice", rule.name);
            assert!(!RESERVED.contains(&rule.name), "{} is no longer reserved", rule.name);
        }
        assert!(RULES.is_sorted_by_key(|r| r.group));
    }

    #[test]
    fn every_page_is_written() {
        for rule in RULES {
            for (part, text) in [
                ("finds", rule.finds),
                ("why", rule.why),
                ("wrong", rule.wrong),
                ("right", rule.right),
                ("source", rule.source),
            ] {
                assert!(!text.trim().is_empty(), "{}: `{part}` is empty", rule.name);
            }
            assert!(!rule.finds.ends_with('.'), "{}: `finds` is a phrase", rule.name);
            assert!(rule.why.ends_with('.'), "{}: `why` is a sentence", rule.name);
            assert_ne!(rule.wrong, rule.right, "{}", rule.name);
        }
    }

    #[test]
    fn a_mistyped_name_finds_its_rule() {
        assert_eq!(Rule::nearest("torque_mising").map(|r| r.name), Some("torque-missing"));
        assert_eq!(Rule::nearest("Unused name").map(|r| r.name), Some("unused-name"));
        assert!(Rule::nearest("xylophone").is_none());
    }
}
