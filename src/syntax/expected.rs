//! How 'expected …' reads in the shop, and 'did you mean'.

use super::findings::Findings;
use super::grammar::Rule;
use super::piece::{Piece, short};
use super::tree::Section;

/// What a rule of the grammar is called in a finding. The match is exhaustive, so a new rule does not compile until it
/// has words here.
pub(super) fn phrase(rule: Rule) -> &'static str {
    match rule {
        Rule::EOI => "the end of the line",
        Rule::gap => "a space",
        Rule::times => "`x`",
        Rule::text => "more words",
        Rule::digits => "a number",
        Rule::amount => "a number with its unit",
        Rule::position => "a position",
        Rule::positions => "positions, like `1 to 4 7`",
        Rule::braces | Rule::value => "a name in `{ }`",
        Rule::first_head => "`job`, `routine` or `machine`",
        Rule::job => "`job: …`",
        Rule::routine => "`routine: …`",
        Rule::machine_file => "`machine: …`",
        Rule::header_head | Rule::header_word => "a header field",
        Rule::number | Rule::part_number => "`number`",
        Rule::revision => "`revision`",
        Rule::machine => "`machine`",
        Rule::uses => "`uses`",
        Rule::takes => "`takes`",
        Rule::people => "`people`",
        Rule::reason => "`reason`",
        Rule::rule_out => "`rule out`",
        Rule::level => "`level`",
        Rule::left_is => "`left is`",
        Rule::changed => "`changed`",
        Rule::allow_rule => "`allow RULE`",
        Rule::section_head => "a section",
        Rule::options => "`options`",
        Rule::sets => "`sets`",
        Rule::kits => "`kits`",
        Rule::parts => "`parts`",
        Rule::fasteners => "`fasteners`",
        Rule::fluids => "`fluids`",
        Rule::measurements => "`measurements`",
        Rule::tools => "`tools`",
        Rule::supplies => "`supplies`",
        Rule::acts => "`acts`",
        Rule::given => "`given`",
        Rule::stage_head => "`stage: …`",
        Rule::at_bench => "`at bench`",
        Rule::day_before => "`the day before`",
        Rule::stage_after => "`after` and a time or a distance",
        Rule::stage_within => "`within` and a time or a distance",
        Rule::stage_other => "when the stage is worked",
        Rule::block_head => "a block",
        Rule::with_condition => "`with CONDITION`",
        Rule::if_condition => "`if CONDITION`",
        Rule::otherwise => "`otherwise`",
        Rule::until_condition => "`until CONDITION`",
        Rule::before_next_try => "`before the next try`",
        Rule::for_each => "`for each SET`",
        Rule::until_clause => "`at most N times` or `then …`",
        Rule::at_most_times => "`at most N times`",
        Rule::number_word => "a number of times",
        Rule::then_act => "`then …`",
        Rule::loop_clause | Rule::one_after_the_other => "`one after the other`",
        Rule::detail_head | Rule::detail_word => "a detail",
        Rule::danger => "`danger`",
        Rule::warning => "`warning`",
        Rule::caution => "`caution`",
        Rule::notice => "`notice`",
        Rule::tip => "`tip`",
        Rule::note => "`note`",
        Rule::why => "`why`",
        Rule::orient => "`orient`",
        Rule::expect => "`expect`",
        Rule::use_supply => "`use`",
        Rule::tool => "`tool`",
        Rule::figure => "`figure`",
        Rule::spec => "`spec`",
        Rule::source => "`source`",
        Rule::fragile => "`fragile`",
        Rule::pass_line => "`pass`",
        Rule::setting => "`setting`",
        Rule::allow => "`allow`",
        Rule::except => "`except`",
        Rule::example => "`example`",
        Rule::record | Rule::record_only | Rule::step_record => "`record`",
        Rule::sign | Rule::step_sign => "`sign`",
        Rule::witness | Rule::step_witness => "`witness`",
        Rule::clause | Rule::step_clause => "a clause",
        Rule::new_if_bad => "`new if bad`",
        Rule::new_measures => "`new` and what a new one measures",
        Rule::new => "`new`",
        Rule::single_use => "`single-use`",
        Rule::added => "`added`",
        Rule::temporary => "`temporary`",
        Rule::in_positions => "`in positions 11 12 of …`",
        Rule::stays_while_running => "`stays while running`",
        Rule::normally_open => "`normally open`",
        Rule::turns_only => "`turns clockwise only`",
        Rule::clockwise => "`clockwise`",
        Rule::anticlockwise => "`anticlockwise`",
        Rule::by_position => "`by position`",
        Rule::alike => "`alike`",
        Rule::handed => "`handed`",
        Rule::held_by => "`held by …`",
        Rule::behind => "`behind …`",
        Rule::part_of => "`part of …`",
        Rule::always_with => "`always with …`",
        Rule::carries => "`carries …`",
        Rule::filler_of => "`filler of …`",
        Rule::drain_of => "`drain of …`",
        Rule::directional => "`directional`",
        Rule::needs_support => "`needs support`",
        Rule::needs_bleeding => "`needs bleeding`",
        Rule::needs => "`needs X STATE`",
        Rule::while_never => "`while STATE never ACT`",
        Rule::never_state => "a state, then `never` and an act",
        Rule::once_then => "`once STATE then ACT before ACT`",
        Rule::then_state => "a state, then `then` and an act",
        Rule::before_state => "an act, then `before` and another",
        Rule::as_a_set => "`as a set`",
        Rule::screwed => "`screwed M22x1.5`",
        Rule::weighs => "`weighs 14 kg`",
        Rule::each => "`each SET`",
        Rule::only_with => "`only with CONDITION`",
        Rule::hazard => "`hazard NAME`",
        Rule::nuts_single_use => "`nuts single-use`",
        Rule::class => "`class 8.8`",
        Rule::grade => "`grade 5`",
        Rule::hex => "`hex 13 mm`",
        Rule::key => "`key 5 mm`",
        Rule::hexalobular => "`hexalobular 30`",
        Rule::slot_align => "`slot align forward`, `back` or `either`",
        Rule::align_forward => "`forward`",
        Rule::align_back => "`back`",
        Rule::align_either => "`either`",
        Rule::slot => "`slot`",
        Rule::cross => "`cross 2`",
        Rule::torque => "`torque 25 N·m`",
        Rule::hand_tight => "`hand tight`",
        Rule::order => "`order cross`, `spiral`, `row` or positions",
        Rule::order_cross => "`cross`",
        Rule::crosswise => "`crosswise`",
        Rule::order_spiral => "`spiral`",
        Rule::order_row => "`row`",
        Rule::layout => "`layout circle`, `layout rows 2 x 4` or `layout at x y; x y`",
        Rule::circle => "`circle`",
        Rule::rows => "`rows 2 x 4`",
        Rule::layout_at => "`at x y; x y`",
        Rule::oiled => "`oiled`",
        Rule::dry => "`dry`",
        Rule::anti_seize => "`anti-seize`",
        Rule::thread_lock => "`thread-lock medium`",
        Rule::into => "`into …`",
        Rule::left_hand_thread => "`left-hand thread`",
        Rule::tighten_at => "`tighten at X STATE`",
        Rule::at_clock => "`at 4 o'clock`",
        Rule::clock => "an hour, like `4 o'clock`",
        Rule::at_most => "`at most 60 N·m`",
        Rule::counter_hold => "`counter-hold with TOOL`",
        Rule::joint_of => "`joint of …`",
        Rule::positions_are => "`positions 2 4 are 2 x M12x150`",
        Rule::count_size => "`6 x M8x20`",
        Rule::count => "`2 x`",
        Rule::kind => "`kind …`",
        Rule::mix => "`mix 40 % by volume`",
        Rule::old_mix => "`old mix 30 % by volume`",
        Rule::protects_to => "`protects to -24 °C`",
        Rule::drains => "`drains 7 L`",
        Rule::set_to => "`set 0.18 mm`",
        Rule::within_of | Rule::step_within_of => "`within 5 mm of …`",
        Rule::within_amount => "an amount, then `of` and a measurement",
        Rule::range => "`range 5 to 25 N·m`",
        Rule::reads => "`reads force`",
        Rule::tool_length => "`length 400 mm`",
        Rule::of => "`of …`",
        Rule::bare_amount => "an amount",
        Rule::numbers_from_to => "`1 to 4`",
        Rule::default_value => "`default …`",
        Rule::recipe => "a torque, an angle, `hand tight`, `check …` or `slacken`",
        Rule::slacken => "`slacken`",
        Rule::check_torque => "`check 90 N·m`",
        Rule::turn_angle => "`turn 90°`",
        Rule::recipe_value => "a torque, an angle or a share of the torque",
        Rule::pass_clause => "`positions …`, `at X STATE`, `crosswise` or `round the circle`",
        Rule::pass_positions => "`positions 2 4 6`",
        Rule::pass_order => "`crosswise`, `round the circle`, `row` or `order 1 3 2 4`",
        Rule::order_round | Rule::round_once => "`round the circle`",
        Rule::pass_at | Rule::at_state => "`at X STATE`",
        Rule::with_helper => "`with a helper`",
        Rule::step_with => "`with TOOL`",
        Rule::with_adapter => "`with crowfoot 40 mm on wrench 300 mm`",
        Rule::adapter => "`crowfoot` or `in-line extension`",
        Rule::crow_foot => "`crowfoot`",
        Rule::adapter_arm | Rule::arm_first => "how far the bolt lies from the square",
        Rule::into_volume => "`into tray of 10 L`",
        Rule::into_what => "what it runs into",
        Rule::step_by_hand => "`by hand`",
        Rule::again => "`again`",
        Rule::in_reverse_order => "`in reverse order`",
        Rule::in_passes => "`in 3 passes` or `in 3 passes then once round`",
        Rule::step_pass => "`pass 1`",
        Rule::last_pass => "`last pass`",
        Rule::on_stands => "`on stands`",
        Rule::on_ramps => "`on ramps`",
        Rule::on_a_lift => "`on a lift`",
        Rule::call_it => "`call it NAME`",
        Rule::step_for => "`for 5 min`",
        Rule::until_rest => "`until …`",
        Rule::round_to => "`round to 0.05 mm`",
        Rule::step_within => "`within 10 min`",
        Rule::at_amount => "`at` and an amount",
        Rule::from => "`from X`",
    }
}

/// The entry of `options` that was most probably meant: one letter off, more in long words. `word` is in lower
/// case.
pub(super) fn nearest<'o>(word: &str, options: impl IntoIterator<Item = &'o str>) -> Option<&'o str> {
    let length = word.chars().count();
    if !(3..=24).contains(&length) {
        return None;
    }
    let most = match length {
        ..=5 => 1,
        6..=8 => 2,
        _ => 3,
    };
    let near = options
        .into_iter()
        // every letter more or less is one step, so lengths alone rule most of them out
        .filter(|o| o.len().abs_diff(word.len()) <= 2 * most)
        .map(|o| (strsim::osa_distance(word, o), o))
        .filter(|(distance, o)| *distance <= most.min(o.chars().count() / 2))
        .min_by_key(|(distance, _)| *distance);
    near.map(|(_, option)| option)
}

/// The words that begin clauses of declarations, for 'did you mean'.
const KEYWORDS: [&str; 54] = [
    "new if bad",
    "new",
    "single-use",
    "added",
    "temporary",
    "in positions",
    "stays while running",
    "normally open",
    "turns clockwise only",
    "turns anticlockwise only",
    "by position",
    "alike",
    "handed",
    "held by",
    "behind",
    "part of",
    "always with",
    "carries",
    "filler of",
    "drain of",
    "directional",
    "needs support",
    "needs bleeding",
    "needs",
    "as a set",
    "screwed",
    "weighs",
    "each",
    "only with",
    "hazard",
    "nuts single-use",
    "class",
    "grade",
    "hex",
    "key",
    "hexalobular",
    "slot align",
    "slot",
    "cross",
    "torque",
    "hand tight",
    "order",
    "layout",
    "oiled",
    "anti-seize",
    "thread-lock",
    "left-hand thread",
    "tighten at",
    "counter-hold with",
    "joint of",
    "protects to",
    "old mix",
    "drains",
    "length",
];

/// The keyword that the begin of a clause is a near miss of, and how many bytes of the clause it stands for.
pub(super) fn near_clause(text: &str) -> Option<(usize, &'static str)> {
    let lower = text.to_lowercase();
    if lower.len() != text.len() {
        return None;
    }
    let ends = text.char_indices().filter(|(_, c)| c.is_whitespace()).map(|(i, _)| i).chain([text.len()]).take(4);
    let mut best: Option<(usize, usize, &'static str)> = None;
    for (words, end) in ends.enumerate() {
        let begin = lower.get(..end).unwrap_or_default();
        let options = KEYWORDS.iter().copied().filter(|k| k.split(' ').count() == words + 1);
        if let Some(near) = nearest(begin, options) {
            let distance = strsim::osa_distance(begin, near);
            // a keyword that is there as it should be is not the fault; what follows it is
            if distance > 0 && best.is_none_or(|(d, _, k)| distance < d || (distance == d && near.len() > k.len())) {
                best = Some((distance, end, near));
            }
        }
    }
    best.map(|(_, end, near)| (end, near))
}

/// The pieces of the grammar that were expected where reading stopped, in shop words: at most five, else none.
fn expected_there(error: &pest::error::Error<Rule>) -> Option<String> {
    let pest::error::ErrorVariant::ParsingError { positives, .. } = &error.variant else { return None };
    let mut phrases: Vec<&str> = positives.iter().map(|rule| phrase(*rule)).collect();
    phrases.sort_unstable();
    phrases.dedup();
    (1..=5).contains(&phrases.len()).then(|| or_list(&phrases))
}

fn or_list(phrases: &[&str]) -> String {
    match phrases {
        [one] => (*one).to_owned(),
        [rest @ .., last] => format!("{} or {last}", rest.join(", ")),
        [] => String::new(),
    }
}

/// Tells a clause whose begin was read and whose rest was not; whether it was such a one.
pub(super) fn half_read(piece: Piece<'_>, error: &pest::error::Error<Rule>, findings: &mut Findings) -> bool {
    let pest::error::InputLocation::Pos(at) = error.location else { return false };
    let Some(expected) = expected_there(error).filter(|_| at > 0) else { return false };
    let read = short(piece.text.get(..at).unwrap_or_default().trim_end());
    let rest = piece.from(at).trim();
    let place = if rest.is_empty() { piece.span() } else { rest.span() };
    findings.bad(place, format!("after `{read}` was expected {expected}"), format!("in `{}`", short(piece.text)));
    true
}

/// Tells a clause that no form of `rule` reads. `of` is what it stands in: `a `pass``.
pub(super) fn unread(
    piece: Piece<'_>,
    of: &str,
    error: &pest::error::Error<Rule>,
    rule: Rule,
    findings: &mut Findings,
) {
    let message = if piece.is_empty() {
        format!("{of} lacks something")
    } else {
        format!("`{}` is no clause of {of}", short(piece.text))
    };
    let help = expected_there(error).unwrap_or_else(|| phrase(rule).to_owned());
    findings.bad(piece.span(), message, format!("expected {help}"));
}

/// `a part`, `a fastener`: whose clause it is.
pub(super) fn one_of(section: Section) -> &'static str {
    match section {
        Section::Options => "an option",
        Section::Sets => "a set",
        Section::Kits => "a kit",
        Section::Parts => "a part",
        Section::Fasteners => "a fastener",
        Section::Fluids => "a fluid",
        Section::Measurements => "a measurement",
        Section::Tools => "a tool",
        Section::Supplies => "a supply",
        Section::Acts => "an act",
        Section::Given => "an argument",
    }
}

/// What could stand in a declaration of this section.
pub(super) fn list_of(section: Section) -> &'static str {
    match section {
        Section::Options => "an option takes its values and `only with …`, like `engine: B4-20, B4-24`",
        Section::Sets => "a set takes its members, like `side: left, right` or `cylinder: 1 to 4`",
        Section::Kits => "a kit takes its contents, like `brake kit: shoes and return springs`",
        Section::Parts => {
            "a part takes `new`, `new if bad`, `single-use`, `added`, `temporary`, `normally open`, `turns clockwise only`, \
             `by position`, `alike`, `handed`, `2 x`, `held by …`, `behind …`, `part of …`, `always with …`, `carries …`, \
             `filler of …`, `drain of …`, `directional`, `needs …`, `needs support`, `while … never …`, \
             `once … then … before …`, `as a set`, `screwed …`, `weighs …`, `each …`, `only with …`, `hazard …`"
        }
        Section::Fasteners => {
            "a fastener takes its count and size first (`6 x M8x20`), then `class …`, `grade …`, `hex …`, `key …`, \
             `hexalobular …`, `slot`, `cross …`, `torque …`, `in 3 passes`, `hand tight`, `order …`, `layout …`, `positions … are …`, `oiled`, `dry`, \
             `thread-lock …`, `anti-seize`, `into …`, `left-hand thread`, `tighten at …`, `slot align …`, `at most …`, \
             `counter-hold with …`, `at N o'clock`, `joint of …`, `nuts single-use`, and the clauses of parts"
        }
        Section::Fluids => {
            "a fluid takes its amount (`9.4 L`), `kind …`, `mix … by volume`, `protects to …`, `drains …`, `old mix … by volume`, \
             `needs bleeding`"
        }
        Section::Measurements => {
            "a measurement takes `of …`, its limits (`at least 22.4 mm`, `0.15 to 0.20 mm`), `new …`, `set …`, `each …`, \
             `within … of …`, `record`"
        }
        Section::Tools => {
            "a tool takes `range …`, `reads …` and `length …`, like `torque wrench 5-25: range 5 to 25 N·m`"
        }
        Section::Supplies => "a supply takes its amount and `hazard …`; what it is for stands below it: `note: …`",
        Section::Acts => "a pair of verbs takes the state in between, like `cage / uncage: caged`",
        Section::Given => "an argument takes its kind and a default, like `wait: time, default 10 min`",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_near_miss_is_named_and_a_far_one_is_not() {
        assert_eq!(near_clause("hled by guard bolts"), Some((7, "held by")));
        assert_eq!(near_clause("singel-use"), Some((10, "single-use")));
        assert_eq!(near_clause("torqe 10 N·m"), Some((5, "torque")));
        assert_eq!(near_clause("held by"), None);
        assert_eq!(near_clause("spring clamp"), None);
        assert_eq!(near_clause("blue"), None);
        assert_eq!(nearest("cuation", ["caution", "warning"]), Some("caution"));
        assert_eq!(nearest("xy", ["x"]), None);
    }
}
