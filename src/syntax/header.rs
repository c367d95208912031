//! Header fields: `number: HY-207`.

use super::findings::Findings;
use super::grammar::{self, Rule, inner};
use super::piece::Piece;
use super::place::{Logical, join};
use super::tree::{Header, Item, Word};
use super::value::{Wanted, quantity, whole};
use crate::quantity::Kind;

const TAKES: Wanted = Wanted::of("takes", &[Kind::Time], "takes: 3 h 15 min");

/// The field that this line is, if it is one.
pub(super) fn field(line: &Logical<'_>) -> Option<Header> {
    line.after?;
    Some(match grammar::read(Rule::header_head, line.head).ok()?.as_rule() {
        Rule::number => Header::Number,
        Rule::revision => Header::Revision,
        Rule::machine => Header::Machine,
        Rule::uses => Header::Uses,
        Rule::takes => Header::Takes,
        Rule::people => Header::People,
        Rule::reason => Header::Reason,
        Rule::rule_out => Header::RuleOut,
        Rule::level => Header::Level,
        Rule::left_is => Header::LeftIs,
        Rule::changed => Header::Changed,
        _ => Header::Allow,
    })
}

/// Its value, looked at where a form is asked for. A value in a wrong form stays in the tree as it is written.
pub(super) fn read(field: Header, line: &Logical<'_>, findings: &mut Findings) -> Item {
    let empty = Piece { text: "", at: line.span.end as usize, file: line.head.file };
    let value = line.after.unwrap_or(empty);
    let Some(prose) = join(line.after, &line.more) else {
        let message = format!("`{}` has no value", line.head.text);
        findings.bad(line.span, message, format!("write it after the colon, like `{}`", example(field)));
        return Item::Header { field, value: Word { text: String::new(), span: line.span } };
    };
    match field {
        Header::Revision => drop(whole(value, "revision", example(field), findings)),
        Header::People if whole(value, "people", example(field), findings) == Some(0) => {
            findings.bad(value.span(), "somebody must do the job", "write `people: 1` or more");
        }
        Header::Takes => drop(quantity(value, &TAKES, findings)),
        Header::Allow => {
            // the rule is kept in the value, as it is written
            let rule = grammar::read(Rule::header_head, line.head).ok();
            let rule = rule.and_then(|found| inner(line.head, &found, Rule::text)).unwrap_or(line.head);
            let text = format!("{}: {}", rule.text, prose.text);
            return Item::Header { field, value: Word { text, span: rule.span().to(prose.span) } };
        }
        _ => {}
    }
    let text = super::piece::fold_gaps(&prose.text);
    Item::Header { field, value: Word { text, span: prose.span } }
}

fn example(field: Header) -> &'static str {
    match field {
        Header::Number => "number: HY-207",
        Header::Revision => "revision: 3",
        Header::Machine => "machine: Osier 20 compact loader",
        Header::Uses => "uses: machines/osier-20.job",
        Header::Takes => "takes: 3 h 15 min",
        Header::People => "people: 2",
        Header::Reason => "reason: The lift is slow with warm oil.",
        Header::RuleOut => "rule out: Oil below the mark.",
        Header::Level => "level: apprentice, supervised",
        Header::LeftIs => "left is: from the operator's seat",
        Header::Changed => "changed: Second pass of the pump bolts raised.",
        Header::Allow => "allow fluid-missing: The amount is read from the sight glass.",
    }
}
