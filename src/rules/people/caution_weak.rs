//! `caution-weak`: a message that does not say how to avoid the harm, or a signal word too low for its hazard.

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Block, Detail, DetailKind, Procedure, Verb};
use crate::rules::prose::words;
use crate::rules::{Check, Group, Rule};
use crate::trade::signal::SignalWord;

/// The rule and its page.
pub const RULE: Rule = Rule {
    name: "caution-weak",
    group: Group::People,
    severity: Severity::Advice,
    finds: "a message that does not say how to avoid the harm, or a signal word too low for its hazard (the right one is printed)",
    why: "`Caution` is read as a bruise. Where somebody can die the word must say so, or the message is passed over.",
    wrong: "\
job: Look under the truck

parts
  gearbox

stage: Look
  inspect gearbox
    notice crush: Keep your head out of the frame.
",
    right: "\
job: Look under the truck

parts
  gearbox

stage: Look
  inspect gearbox
    warning crush: Keep your head out of the frame.
",
    source: "ISO 3864-2 and ANSI Z535.6: the signal word follows from how bad the harm is and how likely.",
    check: Check::Job(check),
};

fn check(procedure: &Procedure, out: &mut Vec<Diagnostic>) {
    procedure.things.iter().for_each(|t| of_details(&t.details, out));
    procedure.tools.iter().for_each(|t| of_details(&t.details, out));
    procedure.supplies.iter().for_each(|s| of_details(&s.details, out));
    of_blocks(&procedure.body, out);
}

fn of_blocks(blocks: &[Block], out: &mut Vec<Diagnostic>) {
    for block in blocks {
        match block {
            Block::Step(step) => of_details(&step.details, out),
            Block::Stage(stage) => {
                of_details(&stage.details, out);
                of_blocks(&stage.body, out);
            }
            Block::With { body, .. } | Block::ForEach { body, .. } | Block::Follow { body, .. } => of_blocks(body, out),
            Block::If { then, otherwise, .. } => {
                of_blocks(then, out);
                of_blocks(otherwise, out);
            }
            Block::Until { body, before_next, .. } => {
                of_blocks(body, out);
                of_blocks(before_next, out);
            }
            Block::Reverse(_) => {}
        }
    }
}

/// Whether some word in it tells what to do, or what not to do. The words are common practice; an act of the language
/// tells what to do as well.
pub(in crate::rules) fn says_how(text: &str) -> bool {
    let text = text.to_lowercase().replace(['\u{2019}', '\''], "");
    let said: Vec<&str> = text.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
    let verbs = Verb::BUILT_IN.iter().map(|(_, name)| *name).chain(Verb::SYNONYMS.iter().map(|(name, _)| *name));
    said.iter().any(|word| WAYS_OUT.contains(word)) || verbs.into_iter().any(|verb| said.contains(&verb))
}

/// Words that tell how to avoid a harm.
const WAYS_OUT: &[&str] = &[
    "always", "aside", "avoid", "away", "before", "behind", "beside", "bring", "cap", "carry", "catch", "clear",
    "cover", "cool", "dont", "face", "first", "from", "gloves", "goggles", "guide", "hands", "have", "hold", "keep",
    "leave", "let", "lift", "look", "mask", "must", "never", "no", "nobody", "none", "nothing", "not", "off", "on",
    "onto", "only", "out", "prop", "prove", "side", "straight", "up", "square", "pull", "push", "put", "rinse", "rock",
    "slowly", "stand", "stay", "step", "stop", "strap", "take", "tell", "tie", "under", "until", "use", "wait", "wash",
    "watch", "wear", "wet", "with", "without", "work",
];

/// What a message says can happen to people, and the least word for it by the definitions of ANSI Z535.4.
fn harm_told(text: &str) -> Option<(&'static str, SignalWord)> {
    let text = text.to_lowercase();
    let said: Vec<&str> = text.split_whitespace().collect();
    let mut worst: Option<(&'static str, SignalWord)> = None;
    for (at, word) in said.iter().enumerate() {
        let ends = word.ends_with(['.', '!', ',', ';', ':']);
        let word = word.trim_matches(|c: char| !c.is_alphanumeric());
        let next = said.get(at + 1).map(|w| w.trim_matches(|c: char| !c.is_alphanumeric()));
        let on_people = ends || next.is_none_or(|w| PEOPLE.contains(&w));
        // A dry start kills a pump, and that is a notice.
        let kills = KILLS.iter().find(|w| **w == word).filter(|_| on_people || !word.starts_with("kill"));
        if let Some(harm) = kills {
            return Some((harm, SignalWord::Warning));
        }
        if let Some(harm) = HURTS.iter().find(|w| **w == word) {
            worst = Some((harm, SignalWord::Caution));
        }
    }
    worst
}

/// Death and what does not heal.
const KILLS: &[&str] =
    &["kill", "kills", "killed", "death", "deadly", "fatal", "maim", "maims", "amputate", "amputates", "electrocute"];

/// Harm to people of any kind.
const HURTS: &[&str] = &["injure", "injures", "injury", "injuries", "scald", "scalds", "skin", "bruise", "bruises"];

/// Who is meant.
const PEOPLE: &[&str] = &[
    "you", "people", "whoever", "anybody", "anyone", "somebody", "someone", "and", "or", "in", "at", "within", "even",
    "before",
];

fn of_details(details: &[Detail], out: &mut Vec<Diagnostic>) {
    for detail in details {
        if let DetailKind::Safety { word, prose: Some(prose), .. } = &detail.kind
            && *word > SignalWord::Notice
            && !says_how(&words(prose))
        {
            let finding = RULE
                .at(detail.span, "this message tells what can happen and not how to avoid it")
                .label("and what shall I do?")
                .help("Add what keeps the harm away: `Keep hands clear.`, `Wear goggles.`, `Let it cool first.`");
            if !out.contains(&finding) {
                out.push(finding);
            }
        }
        if let DetailKind::Safety { word, hazard: None, prose: Some(prose) } = &detail.kind
            && let Some((harm, least)) = harm_told(&words(prose))
            && *word < least
        {
            let (said, right) = (word.name(), least.name());
            let what = if least == SignalWord::Warning { "what can kill or maim" } else { "an injury" };
            let finding = RULE
                .at(detail.span, format!("`{said}` is too low a word for {what}: `{harm}`"))
                .label("too low a word")
                .help(format!("Write `{right}: …`; `notice` is for damage alone, `caution` for what heals."));
            if !out.contains(&finding) {
                out.push(finding);
            }
        }
        if let DetailKind::Safety { word, hazard: Some(hazard), .. } = &detail.kind
            && *word < hazard.signal()
        {
            let (said, right, name) = (word.name(), hazard.signal().name(), hazard.name());
            out.push(
                RULE.at(detail.span, format!("`{said}` is too low a word for {name}: `{right}` is printed"))
                    .label("too low a word")
                    .help(format!("Write `{right} {name}`.")),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ANSI Z535.4: death or serious injury is DANGER or WARNING, minor injury CAUTION, NOTICE is for damage alone.
    #[test]
    fn the_words_of_a_message_say_how_low_its_signal_may_be() {
        use SignalWord::{Caution, Warning};
        for (text, least) in [
            ("It kills.", Some(Warning)),
            ("A touch can kill you.", Some(Warning)),
            ("It can cause death or injury.", Some(Warning)),
            ("Hot oil scalds. Wait.", Some(Caution)),
            ("Keep it off the skin.", Some(Caution)),
            ("A dry start kills the pump.", None),
            ("Sand kills a bearing within an hour.", None),
            ("Kill the engine first.", None),
            ("Wrong oil ruins the clutch.", None),
            ("", None),
        ] {
            assert_eq!(harm_told(text).map(|(_, word)| word), least, "{text}");
        }
    }

    #[test]
    fn a_message_tells_what_to_do_or_what_not_to_do() {
        for good in
            ["Let it cool.", "Sand ends the pump. Cover both ends.", "Nobody under it.", "Goggles.", "Don't lean."]
        {
            assert!(says_how(good), "{good}");
        }
        for weak in ["It starts by itself.", "Hot coolant scalds.", "A fan can sever fingers."] {
            assert!(!says_how(weak), "{weak}");
        }
    }
}
