//! Entries of sections: `hydraulic pump: new, held by pump bolts`.

use super::clause;
use super::expected::nearest;
use super::findings::Findings;
use super::grammar::{self, Rule};
use super::name::split_word;
use super::piece::Piece;
use super::place::Logical;
use super::step::split_or;
use super::tree::{Clause, ClauseKind as Kind, Entry, Section, Word};

/// The entry that this line is. Nothing where it has no name, which has been told.
pub(super) fn read(section: Section, line: &Logical<'_>, findings: &mut Findings) -> Option<Entry> {
    let (name, values) = name_and_values(line, findings);
    if name.is_empty() {
        findings.bad(line.span, "the entry has no name", "write it like `pump bolts: 7 x M8x35`");
        return None;
    }
    if let Some(first) = line.more.first() {
        let message = "a declaration does not go on with `|`";
        findings.bad(first.span(), message, "end the line above in a comma, and write the next clauses here");
    }
    check_name(section, name, findings);
    let values = values.filter(|v| !v.is_empty());
    let clauses = match (section, values) {
        (Section::Acts, values) => acts(name, values, findings),
        (_, None) => Vec::new(),
        (Section::Options | Section::Kits, Some(values)) => listed(section, values, findings),
        (Section::Sets, Some(values)) => set(values, findings),
        (Section::Given, Some(values)) => argument(values, findings),
        (_, Some(values)) => clause::read_all(section, values, findings),
    };
    Some(Entry { section, name: name.word(), clauses })
}

/// `name: values`; where the colon is missing before clauses, a comma stands in for it and is told.
fn name_and_values<'t>(line: &Logical<'t>, findings: &mut Findings) -> (Piece<'t>, Option<Piece<'t>>) {
    if line.after.is_some() {
        return (line.head, line.after);
    }
    let pieces = line.whole.split_commas();
    match (pieces.first(), pieces.get(1)) {
        (Some(name), Some(rest)) => {
            let gap = line.whole.sub(name.at + name.text.len() - line.whole.at, rest.at - line.whole.at);
            findings.bad_fix(
                gap.span(),
                "a colon stands between a name and its clauses",
                "write `: `",
                gap.span(),
                ": ",
            );
            (*name, Some(line.whole.from(rest.at - line.whole.at)))
        }
        _ => (line.whole, None),
    }
}

/// The characters that a name may hold, and the signs between spaces that it may not.
fn check_name(section: Section, name: Piece<'_>, findings: &mut Findings) {
    let allowed =
        |c: char| c.is_alphanumeric() || c.is_whitespace() || "-/.'()&+\"’‘“”‐‑–″ʼ".contains(c) || is_combining(c);
    if let Some((i, c)) = name.text.char_indices().find(|(_, c)| !allowed(*c)) {
        let place = name.sub(i, i + c.len_utf8()).span();
        let help = "a name holds letters, digits, spaces and - / . ' ( ) & + \"";
        findings.bad(place, format!("a name holds no `{c}`"), help);
        return;
    }
    for sign in [" - ", " + ", " / ", " x "] {
        if section == Section::Acts && sign == " / " {
            continue;
        }
        if let Some(i) = name.text.find(sign) {
            let place = name.sub(i, i + sign.len()).span();
            let message = format!("a name holds no `{}` between spaces: it reads as a calculation", sign.trim());
            findings.bad(place, message, "write it without the spaces, or with a word");
            return;
        }
    }
}

/// Marks that go with the letter before them.
fn is_combining(c: char) -> bool {
    matches!(c, '\u{300}'..='\u{36F}' | '\u{200C}' | '\u{200D}') || ('\u{900}'..='\u{DFF}').contains(&c)
}

/// Values of an option or contents of a kit, and `only with …`.
fn listed(section: Section, values: Piece<'_>, findings: &mut Findings) -> Vec<Clause> {
    let mut clauses: Vec<Clause> = Vec::new();
    let mut words: Vec<Word> = Vec::new();
    for piece in clause::split(values, findings) {
        let is = |rule| matches!(grammar::read(Rule::clause, piece), Ok(found) if found.as_rule() == rule);
        if is(Rule::only_with) || is(Rule::each) {
            clauses.push(Clause { span: piece.span(), kind: clause::one(section, 1, piece, findings) });
        } else if section == Section::Options {
            words.extend(split_or(piece));
        } else {
            words.push(piece.word());
        }
    }
    if let (Some(first), Some(last)) = (words.first(), words.last()) {
        clauses.insert(0, Clause { span: first.span.to(last.span), kind: Kind::Values(words) });
    }
    clauses
}

/// `left, right`, `left and right`, `1 to 4`.
fn set(values: Piece<'_>, findings: &mut Findings) -> Vec<Clause> {
    let kind = match grammar::read(Rule::numbers_from_to, values) {
        Ok(found) => {
            // the rule is a plain row of numbers, so the first is `found` and the last ends the text
            let from = found.as_str().parse::<u32>();
            let to = values.text.rsplit(|c: char| !c.is_ascii_digit()).next().unwrap_or_default().parse::<u32>();
            match (from, to) {
                (Ok(from), Ok(to)) if from < to && to - from < 1000 => Kind::Numbers { from, to },
                _ => {
                    let message = "a numbered set runs upwards, over at most 1000 members";
                    findings.bad(values.span(), message, "write it like `cylinder: 1 to 4`");
                    Kind::Unknown
                }
            }
        }
        Err(_) => {
            if let Some((from, to)) = from_dash_to(values.text) {
                let replacement = format!("{from} to {to}");
                let title = format!("write `{replacement}`");
                let message = format!("a numbered set is written `{replacement}`");
                findings.bad_fix(values.span(), message, title, values.span(), replacement);
                return vec![Clause { span: values.span(), kind: Kind::Numbers { from, to } }];
            }
            let pieces = clause::split(values, findings);
            let words = pieces.iter().filter(|p| !p.is_empty()).flat_map(|p| {
                let rest = match p.text.get(..4) {
                    Some(and) if and.eq_ignore_ascii_case("and ") => p.from(4).trim(),
                    _ => *p,
                };
                split_word(rest.text, "and").into_iter().map(move |(range, _)| rest.sub(range.start, range.end).word())
            });
            Kind::Values(words.collect())
        }
    };
    vec![Clause { span: values.span(), kind }]
}

/// `1-4`, `1 – 4`, `1..4`: what was meant by a numbered set.
fn from_dash_to(text: &str) -> Option<(u32, u32)> {
    let (from, to) = text.split_once("..").or_else(|| text.split_once(['-', '–']))?;
    let (from, to) = (from.trim().parse().ok()?, to.trim().parse().ok()?);
    (from < to && to - from < 1000).then_some((from, to))
}

/// `oil: fluid`, `wait: time, default 10 min`.
fn argument(values: Piece<'_>, findings: &mut Findings) -> Vec<Clause> {
    let mut pieces = clause::split(values, findings).into_iter();
    let Some(kind) = pieces.next() else { return Vec::new() };
    let mut default = None;
    for piece in pieces {
        match grammar::read(Rule::default_value, piece) {
            Ok(found) => default = Some(grammar::part(piece, &found).word()),
            Err(_) => {
                let near = piece.text.split_whitespace().next().and_then(|w| nearest(&w.to_lowercase(), ["default"]));
                let help = match near {
                    Some(_) => "did you mean `default`?",
                    None => "beside its kind an argument has only a default, like `wait: time, default 10 min`",
                };
                findings.bad(piece.span(), format!("`{}` is no clause of an argument", piece.text), help);
            }
        }
    }
    vec![Clause { span: values.span(), kind: Kind::Argument { kind: kind.word(), default } }]
}

/// `cage / uncage: caged`, `pack / purge: packed / purged`.
fn acts(name: Piece<'_>, values: Option<Piece<'_>>, findings: &mut Findings) -> Vec<Clause> {
    let help = "write both verbs and the state in between, like `cage / uncage: caged`";
    let Some((opening, closing)) = pair(name) else {
        findings.bad(name.span(), "an act of the shop's own is a pair of verbs", help);
        return Vec::new();
    };
    let Some(values) = values else {
        findings.bad(name.span(), "the state in between is missing", help);
        return Vec::new();
    };
    let (away, home) = match pair(values) {
        Some((away, home)) => (away, Some(home.word())),
        None => (values, None),
    };
    let kind = Kind::Acts { opening: opening.word(), closing: closing.word(), away: away.word(), home };
    vec![Clause { span: values.span(), kind }]
}

/// Two texts around ` / `, or around the only `/`.
fn pair(piece: Piece<'_>) -> Option<(Piece<'_>, Piece<'_>)> {
    let at = piece.text.find(" / ").map(|i| i + 1).or_else(|| {
        let only = piece.text.find('/')?;
        (piece.text.rfind('/') == Some(only)).then_some(only)
    })?;
    let (first, second) = (piece.sub(0, at).trim(), piece.from(at + 1).trim());
    (!first.is_empty() && !second.is_empty()).then_some((first, second))
}
