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
    use super::says_how;

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
