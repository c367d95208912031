//! `cotter explain`

use super::{ExplainArgs, Outcome, WrongUse, report};
use crate::rules::{Check, Group, RESERVED, RULES, Rule};

/// Widest line of a page.
const WIDTH: usize = 90;

/// The page of a rule, or the list of all.
pub fn run(args: &ExplainArgs) -> Result<Outcome, WrongUse> {
    match &args.rule {
        None => report::say(&list()),
        Some(name) => match Rule::named(name.trim()) {
            Some(rule) => report::say(&page(rule)),
            None => return Err(WrongUse(no_such(name))),
        },
    }
    Ok(Outcome::Clean)
}

fn no_such(name: &str) -> String {
    if RESERVED.contains(&name) {
        return format!("the name `{name}` is kept for a rule that this version does not check yet");
    }
    match Rule::nearest(name) {
        Some(near) => format!("there is no rule called `{name}`; did you mean `{}`?", near.name),
        None => format!("there is no rule called `{name}`; `cotter explain` lists them all"),
    }
}

fn list() -> String {
    let widest = RULES.iter().map(|r| r.name.len()).max().unwrap_or(0);
    let mut out = String::new();
    for group in Group::ALL {
        let rules: Vec<&Rule> = RULES.iter().filter(|r| r.group == group).collect();
        if rules.is_empty() {
            continue;
        }
        out.push_str(&format!("{}\n", group.title()));
        for rule in rules {
            let head = format!("  {:widest$}  {:7}  ", rule.name, rule.severity.name());
            out.push_str(&wrapped(&head, head.chars().count(), rule.finds));
        }
        out.push('\n');
    }
    out.push_str("`cotter explain RULE` tells why it matters, with a wrong and a right example.\n");
    out
}

fn page(rule: &Rule) -> String {
    let mut out = format!("{} ({})\n\n", rule.name, rule.severity.name());
    out.push_str(&wrapped("Finds: ", 0, &format!("{}.", rule.finds)));
    out.push('\n');
    out.push_str(&wrapped("Why it matters: ", 0, rule.why));
    for (title, example) in [("Wrong", rule.wrong), ("Right", rule.right)] {
        out.push_str(&format!("\n{title}:\n\n"));
        for line in example.lines() {
            out.push_str(if line.is_empty() { "" } else { "    " });
            out.push_str(line);
            out.push('\n');
        }
    }
    out.push('\n');
    out.push_str(&wrapped("Source: ", 0, rule.source));
    if !matches!(rule.check, Check::Reading | Check::Checking) {
        out.push('\n');
        let how = format!(
            "where it is meant: a line `allow {}: the reason` under the step or the declaration, or at the head of the job. `check` lists it.",
            rule.name
        );
        out.push_str(&wrapped("To allow it ", 0, &how));
    }
    out
}

/// `head` and `text`, broken between words; further lines are indented.
fn wrapped(head: &str, indent: usize, text: &str) -> String {
    let mut out = String::new();
    let mut line = head.to_string();
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            out.push_str(line.trim_end());
            out.push('\n');
            line = " ".repeat(indent);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    out.push_str(line.trim_end());
    out.push('\n');
    out
}
