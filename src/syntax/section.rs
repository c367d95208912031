//! The bare words that begin a section.

use super::findings::Findings;
use super::grammar::{self, Rule};
use super::place::Logical;
use super::tree::Section;

/// The section that this line begins, if it begins one. A colon after the word is read and not told.
pub(super) fn head(line: &Logical<'_>, findings: &mut Findings) -> Option<Section> {
    // the longest is `measurements`; longer heads need no reading by the grammar
    if line.head.text.len() > 12 || line.head.text.contains(' ') {
        return None;
    }
    let found = grammar::read(Rule::section_head, line.head).ok()?;
    let section = match found.as_rule() {
        Rule::options => Section::Options,
        Rule::sets => Section::Sets,
        Rule::kits => Section::Kits,
        Rule::parts => Section::Parts,
        Rule::fasteners => Section::Fasteners,
        Rule::fluids => Section::Fluids,
        Rule::measurements => Section::Measurements,
        Rule::tools => Section::Tools,
        Rule::supplies => Section::Supplies,
        Rule::acts => Section::Acts,
        _ => Section::Given,
    };
    if let Some(text) = line.prose() {
        let message = format!("`{}` begins a section and stands alone in its line", section.name());
        findings.bad(text.span, message, "write each entry in a line of its own below it, indented");
    }
    Some(section)
}
