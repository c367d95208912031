//! Runs the rules, applies the author's `allow` lines, and hands out a [`CheckedProcedure`] when nothing is an error.

mod mending;
mod slips;
mod what_follows;

use std::collections::HashSet;

use crate::diagnostic::{Diagnostic, Severity};
use crate::procedure::{Allow, Procedure};
use crate::proof::Proof;
use crate::rules::cautions::{Caution, cautions};
use crate::rules::{Check, RESERVED, RULES, Rule, way_words};
use crate::source::Sources;

/// A job in which nothing is an error: the only thing that is ever printed. [`check`] alone makes it.
#[derive(Clone, Debug)]
pub struct CheckedProcedure {
    procedure: Procedure,
    proof: Proof,
    cautions: Vec<Caution>,
}

impl CheckedProcedure {
    /// The job.
    #[must_use]
    pub fn procedure(&self) -> &Procedure {
        &self.procedure
    }

    /// What the proof says of it.
    #[must_use]
    pub fn proof(&self) -> &Proof {
        &self.proof
    }

    /// The safety messages to put in before steps, in their order: those of declarations and those of acts that are
    /// known to hurt people. What the author has written in a stage is not among them.
    #[must_use]
    pub fn cautions(&self) -> &[Caution] {
        &self.cautions
    }
}

/// Judges a job. `read` is what the reading of its files found; an error among it keeps the job from being printed.
/// `sources` are the texts of its files: repairs are placed in them.
///
/// The findings come sorted by file and place, those of `read` among them; silenced ones are left out and every
/// `allow` is listed.
#[must_use]
pub fn check(
    procedure: Procedure,
    mut proof: Proof,
    read: Vec<Diagnostic>,
    sources: &Sources,
) -> (Vec<Diagnostic>, Option<CheckedProcedure>) {
    let mut findings = what_follows::without_unknown_names(read);
    let slips = slips::find(&procedure, &findings);
    slips.take_out_of(&procedure, &mut proof);
    let mut found = Vec::new();
    for rule in RULES {
        match rule.check {
            Check::Declarations(check) | Check::Job(check) => check(&procedure, &mut found),
            Check::Proof(check) => check(&procedure, &proof, &mut found),
            Check::Reading | Check::Checking => {}
        }
    }
    slips.take_out(&mut found);
    what_follows::tell_the_proof_alone(&mut findings, &mut found);
    findings.extend(slips.findings);
    what_follows::tell_each_word_once(&mut findings, sources);
    what_follows::take_out(&procedure, &findings, &mut found);
    findings.extend(apply_allows(&procedure.allows, found));
    tidy(&mut findings);
    for finding in &mut findings {
        finding.on_which = way_words::sentence(&procedure, &finding.way);
        mending::place(finding, sources);
    }
    let printable = findings.iter().all(|d| d.severity != Severity::Error);
    let checked = printable.then(|| CheckedProcedure { cautions: cautions(&procedure), procedure, proof });
    (findings, checked)
}

/// Judges what a machine or routine file declares, without a job that uses it.
#[must_use]
pub fn check_declarations(procedure: &Procedure, read: Vec<Diagnostic>, sources: &Sources) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for rule in RULES {
        if let Check::Declarations(check) = rule.check {
            check(procedure, &mut found);
        }
    }
    let mut findings = what_follows::without_unknown_names(read);
    what_follows::tell_each_word_once(&mut findings, sources);
    what_follows::take_out(procedure, &findings, &mut found);
    findings.extend(apply_allows(&procedure.allows, found));
    tidy(&mut findings);
    for finding in &mut findings {
        finding.on_which = way_words::sentence(procedure, &finding.way);
        mending::place(finding, sources);
    }
    findings
}

/// Sorted by file and place, each finding once, its help a sentence.
fn tidy(findings: &mut Vec<Diagnostic>) {
    findings.iter_mut().for_each(|d| d.help = sentence(&d.help));
    findings.sort_by(|a, b| {
        (a.span.file, a.span.start, a.span.end, a.severity, a.rule, &a.message).cmp(&(
            b.span.file,
            b.span.start,
            b.span.end,
            b.severity,
            b.rule,
            &b.message,
        ))
    });
    what_follows::tell_each_line_once(findings);
    let mut told = HashSet::new();
    findings.retain(|d| told.insert((d.rule, d.span, d.message.clone())));
}

fn sentence(help: &str) -> String {
    let mut letters = help.trim().chars();
    let Some(first) = letters.next() else { return String::new() };
    let mut out: String = first.to_uppercase().chain(letters).collect();
    if !out.ends_with(['.', '?', '!']) {
        out.push('.');
    }
    out
}

/// Takes out what is silenced, and lists each `allow`.
fn apply_allows(allows: &[Allow], found: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let mut silenced = vec![0_usize; allows.len()];
    let mut findings: Vec<Diagnostic> = found
        .into_iter()
        .filter(|finding| match allows.iter().position(|allow| silences(allow, finding)) {
            Some(i) => {
                silenced[i] += 1;
                false
            }
            None => true,
        })
        .collect();
    findings.extend(allows.iter().zip(silenced).map(|(allow, count)| listed(allow, count)));
    findings
}

fn silences(allow: &Allow, finding: &Diagnostic) -> bool {
    let covers = |place: crate::source::Span| {
        allow.covers.is_none_or(|c| c.file == place.file && c.start <= place.start && place.end <= c.end)
    };
    allow.rule == finding.rule
        && !allow.reason.trim().is_empty()
        && (covers(finding.span) || finding.related.iter().any(|r| covers(r.span)))
}

/// The line that tells of an `allow`: advice where it is in order, an error where it is not.
fn listed(allow: &Allow, count: usize) -> Diagnostic {
    let name = allow.rule.as_str();
    let advice = |message: String| crate::rules::time::allowed::RULE.at(allow.span, message);
    match Rule::named(name) {
        _ if allow.reason.trim().is_empty() => crate::rules::names::bad_syntax::RULE
            .at(allow.span, format!("`allow {name}` gives no reason"))
            .label("why?")
            .help(format!("Write why it may be so here: `allow {name}: the reason`.")),
        Some(rule) if matches!(rule.check, Check::Reading | Check::Checking) => {
            advice(format!("`allow {name}` has no effect: what can't be read can't be printed"))
        }
        Some(_) if count == 0 => {
            advice(format!("{name} is allowed here, and there is nothing to silence: {}", allow.reason))
        }
        Some(_) if count == 1 => advice(format!("{name} is allowed here: {}", allow.reason)),
        Some(_) => advice(format!("{name} is allowed here, {count} times: {}", allow.reason)),
        None if RESERVED.contains(&name) => advice(format!("{name} is allowed here: {}", allow.reason)),
        None => {
            let finding = crate::rules::names::unknown_name::RULE
                .at(allow.span, format!("there is no rule called `{name}`"))
                .label("no such rule");
            match Rule::nearest(name) {
                Some(near) => finding.help(format!("Did you mean `{}`? `cotter explain` lists them all.", near.name)),
                None => finding.help("`cotter explain` lists them all."),
            }
        }
    }
}
