//! One mistake is one finding: what only follows from a line that could not be read is not told again.

use std::collections::{HashMap, HashSet};

use super::slips::odd_word;

use crate::diagnostic::{Diagnostic, Related, Severity};
use crate::procedure::{Block, Procedure};
use crate::rules::names::{missing_file, unknown_act, unknown_name, unused_name};
use crate::rules::people::caution_late;
use crate::rules::wrong_order::not_ready;
use crate::rules::{Check, Group, Rule};
use crate::source::{Sources, Span};

/// With a file missing, every name that it declares is unknown: the file alone is told.
pub fn without_unknown_names(mut read: Vec<Diagnostic>) -> Vec<Diagnostic> {
    if misses_a_file(&read) {
        read.retain(|d| d.rule != unknown_name::RULE.name && d.rule != unknown_act::RULE.name);
    }
    read
}

/// Two rooms may stumble over the same words: where two findings of one reading rule overlap, the nearer one stays.
/// `findings` are sorted by place.
pub fn tell_each_line_once(findings: &mut Vec<Diagnostic>) {
    let is_reading = |d: &Diagnostic| Rule::named(d.rule).is_some_and(|r| matches!(r.check, Check::Reading));
    let mut kept: Vec<Diagnostic> = Vec::with_capacity(findings.len());
    for finding in findings.drain(..) {
        // They come sorted, so only the last few can overlap.
        let from = kept.len().saturating_sub(NEAR);
        let around = kept[from..].iter().rposition(|d| d.rule == finding.rule && holds(d.span, finding.span));
        match around.filter(|_| is_reading(&finding)) {
            Some(n) if finding.span.range().len() < kept[from + n].span.range().len() => kept[from + n] = finding,
            Some(_) => {}
            None => kept.push(finding),
        }
    }
    *findings = kept;
}

/// A word that nothing knows is told where it stands first; its other places belong to the same finding.
pub fn tell_each_word_once(findings: &mut Vec<Diagnostic>, sources: &Sources) {
    let mut first: HashMap<(String, String), usize> = HashMap::new();
    let mut by_word: HashMap<String, usize> = HashMap::new();
    let mut kept: Vec<Diagnostic> = Vec::with_capacity(findings.len());
    findings.sort_by_key(|d| d.span);
    for finding in findings.drain(..) {
        let written = sources.text(finding.span).trim_matches(['{', '}']);
        let word = crate::syntax::fold_name(written);
        if finding.rule != unknown_name::RULE.name || word.is_empty() {
            kept.push(finding);
            continue;
        }
        // `worn hub left` and `worn hub right` are one slip where the option is spelt `wron hub`.
        let meant = finding.label.strip_prefix("did you mean '").and_then(|rest| rest.strip_suffix("'?"));
        let slip = meant.and_then(|meant| {
            let meant = crate::syntax::fold_name(meant);
            Some((odd_word(&word, &meant)?, odd_word(&meant, &word)?))
        });
        let key = slip.unwrap_or_else(|| (word.clone(), finding.message.clone()));
        let known = by_word.get(&word).or_else(|| first.get(&key)).copied();
        match known {
            Some(known) => {
                let known = &mut kept[known];
                if known.span != finding.span && known.related.len() < MOST_PLACES {
                    known.related.push(Related { span: finding.span, message: "and here".to_owned() });
                    // One place mended leaves the others.
                    known.fix = None;
                }
            }
            None => {
                first.insert(key, kept.len());
                by_word.insert(word, kept.len());
                kept.push(finding);
            }
        }
    }
    *findings = kept;
}

/// How the finding of a state begins that no act leaves.
pub const NO_ACT: &str = "no act of this job leaves '";

/// An act that is missing is told where it is missed; a part that the proof speaks of is not told as never used too.
pub fn tell_the_proof_alone(read: &mut Vec<Diagnostic>, found: &mut Vec<Diagnostic>) {
    let missed = |state: &str| found.iter().any(|d| d.rule == not_ready::RULE.name && d.message.contains(state));
    read.retain(|d| match d.message.strip_prefix(NO_ACT).and_then(|rest| rest.strip_suffix('\'')) {
        Some(state) => !missed(state),
        None => true,
    });
    let spoken_of: HashSet<Span> = found
        .iter()
        .filter(|d| Rule::named(d.rule).is_some_and(|r| matches!(r.check, Check::Proof(_))))
        .flat_map(|d| d.related.iter().map(|r| r.span))
        .collect();
    found.retain(|d| d.rule != unused_name::RULE.name || !spoken_of.contains(&d.span));
}

/// Places of one word that are shown.
const MOST_PLACES: usize = 12;

/// How many findings back an overlap is looked for.
const NEAR: usize = 8;

fn holds(outer: Span, inner: Span) -> bool {
    outer.file == inner.file && outer.start <= inner.start && inner.end <= outer.end
}

fn misses_a_file(read: &[Diagnostic]) -> bool {
    read.iter().any(|d| d.rule == missing_file::RULE.name || d.rule == crate::rules::names::file_cycle::RULE.name)
}

/// A routine that is not found, or is followed without an argument, leaves acts out that nobody knows.
fn misses_a_routine(read: &[Diagnostic]) -> bool {
    read.iter().any(|d| {
        d.rule == crate::rules::facts::argument_missing::RULE.name
            || (d.rule == unknown_name::RULE.name && d.message.starts_with("no routine is called"))
    })
}

/// Takes out of `found` what only follows from `read`.
pub fn take_out(procedure: &Procedure, read: &[Diagnostic], found: &mut Vec<Diagnostic>) {
    let errors: Vec<&Diagnostic> = read.iter().filter(|d| d.severity == Severity::Error).collect();
    if errors.is_empty() {
        return;
    }
    // The line that could not be read may be the one that uses a name, or the act that a message warns of.
    found.retain(|d| d.rule != unused_name::RULE.name && d.rule != caution_late::RULE.name);
    if misses_a_file(read) || misses_a_routine(read) {
        // Nothing is known of what the missing file declares, so nothing can be proved.
        found.retain(|d| !Rule::named(d.rule).is_some_and(|r| matches!(r.check, Check::Proof(_))));
    }
    let unread: Vec<Span> = unread_declarations(procedure, &errors);
    found.retain(|d| {
        let is_fact = Rule::named(d.rule).is_some_and(|r| matches!(r.group, Group::Facts | Group::Numbers));
        !(is_fact && unread.contains(&d.span))
    });
}

/// The names of declarations in which something could not be read.
pub fn unread_declarations(procedure: &Procedure, errors: &[&Diagnostic]) -> Vec<Span> {
    let mut starts: Vec<(Span, Option<Span>)> = Vec::new();
    for thing in &procedure.things {
        starts.extend(thing.declared_at.iter().chain([&thing.span]).map(|at| (*at, Some(thing.span))));
    }
    starts.extend(procedure.measurements.iter().map(|m| (m.span, Some(m.span))));
    // What stands elsewhere belongs to no declaration before it.
    starts.extend(procedure.tools.iter().map(|t| (t.span, None)));
    starts.extend(procedure.supplies.iter().map(|s| (s.span, None)));
    starts.extend(procedure.options.iter().map(|o| (o.span, None)));
    starts.extend(procedure.sets.iter().map(|s| (s.span, None)));
    starts.extend(procedure.pairs.iter().map(|p| (p.span, None)));
    stages(&procedure.body, &mut starts);
    let mut out = Vec::new();
    for error in errors {
        let place = error.span;
        let before = starts.iter().filter(|(at, _)| at.file == place.file && at.start <= place.start);
        if let Some((_, Some(name))) = before.max_by_key(|(at, owner)| (at.start, owner.is_some())) {
            out.push(*name);
        }
        // An argument that was not given is asked for once.
        out.extend(
            procedure.things.iter().filter(|t| error.message.contains(&format!("'{}'", t.name))).map(|t| t.span),
        );
    }
    out
}

fn stages(blocks: &[Block], starts: &mut Vec<(Span, Option<Span>)>) {
    for block in blocks {
        match block {
            Block::Step(_) => {}
            Block::Stage(stage) => {
                starts.push((stage.span, None));
                stages(&stage.body, starts);
            }
            Block::With { body, span, .. }
            | Block::ForEach { body, span, .. }
            | Block::Follow { body, span, .. }
            | Block::Until { body, span, .. } => {
                starts.push((*span, None));
                stages(body, starts);
            }
            Block::If { then, otherwise, span, .. } => {
                starts.push((*span, None));
                stages(then, starts);
                stages(otherwise, starts);
            }
            Block::Reverse(reversed) => starts.push((reversed.span, None)),
        }
    }
}
