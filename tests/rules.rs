//! Every rule's page is true: its wrong example is found by that rule and by no other, its right example by none.

use cotter::analysis::{Analysis, analyse_texts, place};
use cotter::rules::{RULES, example_files};

fn look_at(example: &str) -> Analysis {
    let files = example_files(example);
    let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    analyse_texts(&files)
}

fn told(analysis: &Analysis) -> Vec<String> {
    analysis
        .diagnostics
        .iter()
        .map(|d| format!("{} {} {}: {}", place(&analysis.sources, d.span), d.severity.name(), d.rule, d.message))
        .collect()
}

#[test]
fn every_wrong_example_is_found_by_its_rule_alone() {
    let mut faults = Vec::new();
    for rule in RULES {
        let analysis = look_at(rule.wrong);
        if analysis.diagnostics.is_empty() || analysis.diagnostics.iter().any(|d| d.rule != rule.name) {
            faults.push(format!("{}:\n  {}", rule.name, told(&analysis).join("\n  ")));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_right_example_is_found_by_none() {
    let mut faults = Vec::new();
    for rule in RULES {
        let analysis = look_at(rule.right);
        if !analysis.diagnostics.is_empty() || analysis.job.is_none() {
            faults.push(format!("{}:\n  {}", rule.name, told(&analysis).join("\n  ")));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_finding_has_the_severity_of_its_page() {
    for rule in RULES {
        for d in look_at(rule.wrong).diagnostics.iter().filter(|d| d.rule == rule.name) {
            assert_eq!(d.severity, rule.severity, "{}: {}", rule.name, d.message);
        }
    }
}

#[test]
fn a_stage_of_a_routine_that_is_not_followed_asks_nobody() {
    let routine = "routine: Look\n\nstage: At the belt\n  ask cracked: Is it cracked?\n  if cracked\n    \
                   do: Write it down.\n\nstage: At the hose\n  check hose: Dry.\n";
    let answers = |stage: &str| {
        let job =
            format!("job: J\nnumber: 1\nrevision: 1\nuses: look.job\n\nstage: S\n  follow stage {stage} of look\n");
        let analysis = analyse_texts(&[("j.job", &job), ("look.job", routine)]);
        analysis.diagnostics.iter().filter(|d| d.rule == "answer-unhandled").count()
    };
    assert_eq!(answers("At the hose"), 0);
    assert_eq!(answers("At the belt"), 0);
    let silent = routine.replace("  if cracked\n    do: Write it down.\n", "");
    let job = "job: J\nnumber: 1\nrevision: 1\nuses: look.job\n\nstage: S\n  follow look\n";
    let analysis = analyse_texts(&[("j.job", job), ("look.job", &silent)]);
    assert_eq!(analysis.diagnostics.iter().filter(|d| d.rule == "answer-unhandled").count(), 1);
}
