//! The value column: the value large, its conversion small, a box for each fastener, pass and member,
//! a ruled box for what is measured.

use super::content::Value;
use super::draw::boxes;
use super::fragment::Fragment;
use super::page::{Area, Origin, Tag, at};
use super::style::{BOX, DETAIL, Look, SUBHEADING, VALUE};
use super::text::{self, Align};

/// Lays out the lines of the column in a width in mm.
pub fn column(values: &[Value], width: f32, origin: Origin) -> Fragment {
    let mut all = Fragment::new();
    let mut before: Option<&Value> = None;
    // Boxes to write in stand in one column.
    let field_name = |value: &Value| match value {
        Value::Field { name, .. } if !name.is_empty() => DETAIL.face.width(name, DETAIL.size) + 1.8,
        _ => 0.0,
    };
    let names = values.iter().map(field_name).fold(0.0, f32::max);
    let mut rest = values;
    let mut ticked = false;
    while let [value, after @ ..] = rest {
        rest = after;
        // The boxes that stand beside the value already.
        if ticked && matches!(value, Value::Ticks(_)) {
            ticked = false;
            continue;
        }
        let top = all.height + gap(before, value);
        if let (Value::Large(words), [Value::Ticks(count), ..] | [Value::Small(_), Value::Ticks(count), ..]) =
            (value, after)
            && let Some(left) = room_beside(words, *count, width)
        {
            boxes::ticks(&mut all, *count, (left, top + (VALUE.leading() - BOX) / 2.0, width - left), origin);
            ticked = true;
        }
        if let Value::Named(..) = value {
            let count = values_named(std::slice::from_ref(value)) + values_named(after);
            let row = &values[values.len() - after.len() - 1..][..count];
            all.height = top + named_row(&mut all, row, top, width, origin);
            rest = &after[count - 1..];
        } else {
            all.height = top + line(&mut all, value, names, top, width, origin);
        }
        before = Some(value);
    }
    all
}

/// Where a few boxes may begin beside a value, so that they need no line of their own; `None` where they have no room.
fn room_beside(words: &str, count: usize, width: f32) -> Option<f32> {
    let left = VALUE.face.width(words, VALUE.size) + 2.6;
    (!words.contains('\n') && left + boxes::row_width(count) <= width).then_some(left)
}

/// Cuts a column that is far too tall: what stays in it, and the boxes that go elsewhere, pass by
/// pass.
pub fn too_many(values: &[Value]) -> (Vec<Value>, Vec<Vec<Value>>) {
    let mut narrow = Vec::new();
    let mut wide: Vec<Vec<Value>> = Vec::new();
    for value in values {
        let has_boxes = matches!(value, Value::Counted(_) | Value::Ticks(_) | Value::Named(..) | Value::Field { .. });
        let begins = matches!(value, Value::Pass { .. } | Value::Title(_));
        match wide.last_mut() {
            None if !has_boxes && !begins => narrow.push(value.clone()),
            Some(chunk) if !begins => chunk.push(value.clone()),
            _ => wide.push(vec![value.clone()]),
        }
    }
    (narrow, wide)
}

/// How many words with boxes stand at the beginning.
fn values_named(values: &[Value]) -> usize {
    values.iter().take_while(|value| matches!(value, Value::Named(..))).count()
}

/// Between two words with their boxes, mm.
const BETWEEN: f32 = 2.4;

/// Words with boxes: beside each other where they fit two and two, else below each other.
fn named_row(to: &mut Fragment, values: &[Value], y: f32, width: f32, origin: Origin) -> f32 {
    let all: Vec<(&str, usize)> = values
        .iter()
        .filter_map(|value| match value {
            Value::Named(name, count) => Some((name.as_str(), *count)),
            _ => None,
        })
        .collect();
    let wide = |name: &str| SUBHEADING.face.width(name, SUBHEADING.size) + 1.5;
    let name = all.iter().map(|(name, _)| wide(name)).fold(0.0, f32::max);
    let cell = all.iter().map(|(_, count)| name + boxes::row_width(*count) + BETWEEN).fold(0.0, f32::max);
    let columns = (((width + BETWEEN) / cell) as usize).clamp(1, all.len().max(1));
    if columns == 1 {
        let mut end = y;
        for (index, (words, count)) in all.iter().enumerate() {
            let top = if index == 0 { end } else { end + 1.0 };
            end = top + named(to, words, *count, name, top, width, origin);
        }
        return end - y;
    }
    let high = SUBHEADING.leading();
    let mut end = y;
    for (row, line) in all.chunks(columns).enumerate() {
        let top = y + row as f32 * (high + 1.0);
        for (column, (words, count)) in line.iter().enumerate() {
            let x = column as f32 * cell;
            to.tagged(Tag::Paragraph, |to| to.label(words, SUBHEADING, (x, top, name), Align::Left));
            boxes::ticks(to, *count, (x + name, top + (high - BOX) / 2.0, cell), origin);
        }
        end = top + high;
    }
    end - y
}

/// The count and its boxes on one line if they fit, else below each other.
fn counted(to: &mut Fragment, count: usize, y: f32, width: f32, origin: Origin) -> f32 {
    let words = format!("{count}\u{a0}×");
    let end = y + words_at(to, &words, VALUE, y, width, origin);
    let beside = VALUE.face.width(&words, VALUE.size) + 2.6;
    let fits = boxes::row_width(count) <= width - beside;
    if fits {
        boxes::ticks(to, count, (beside, y + (VALUE.leading() - BOX) / 2.0, width - beside), origin);
        return end - y;
    }
    boxes::ticks(to, count, (0.0, end + 0.6, width), origin) - y
}

/// Number, value and conversion on one line if they fit; the rest below.
fn pass(
    to: &mut Fragment,
    (number, main, beside): (usize, &str, &[String]),
    y: f32,
    width: f32,
    origin: Origin,
) -> f32 {
    let inset = 5.0;
    to.tagged(Tag::Paragraph, |to| {
        let drop = (PASS.leading() - SUBHEADING.leading()) / 2.0;
        to.label(&number.to_string(), SUBHEADING, (0.0, y + drop, inset), Align::Left);
    });
    let main = in_two(main, width - inset);
    let look = shrunk(&main, PASS, width - inset);
    let set = text::set(&[text::piece(main.as_str(), look, origin)], width - inset);
    let mut end = y + set.height();
    to.tagged(Tag::Paragraph, |to| to.paragraph(&set, at(inset, y), width, Align::Left));
    let left = inset + set.width + 2.0;
    let mut rest = beside;
    if let [first, more @ ..] = beside
        && set.lines.len() == 1
        && left + DETAIL.face.width(first, DETAIL.size) <= width
    {
        let drop = (look.leading() - DETAIL.leading()) / 2.0 + 0.3;
        to.tagged(Tag::Paragraph, |to| to.words(first, DETAIL, left, y + drop, width - left));
        rest = more;
    }
    for line in packed(rest, width - inset) {
        end = to.tagged(Tag::Paragraph, |to| to.words(&line, DETAIL, inset, end, width - inset));
    }
    end - y
}

fn gap(before: Option<&Value>, value: &Value) -> f32 {
    match (before, value) {
        (None, _) => 0.0,
        (
            Some(Value::Counted(_) | Value::Ticks(_) | Value::Named(..) | Value::Field { .. }),
            Value::Pass { .. } | Value::Title(_),
        ) => 1.8,
        (Some(Value::Counted(_)), Value::Small(_)) => 0.9,
        (Some(_), Value::Ticks(_) | Value::Field { .. }) => 1.2,
        (Some(Value::Named(..)), Value::Named(..)) => 1.0,
        (Some(Value::Ticks(_) | Value::Field { .. } | Value::Named(..)), _) => 1.4,
        (Some(Value::Small(_)), Value::Title(_)) => 2.0,
        (Some(Value::Small(_)), Value::Pass { .. }) => 1.2,
        (Some(_), Value::Named(..)) => 0.9,
        (Some(Value::Large(_)), Value::Large(_)) => 1.0,
        _ => 0.0,
    }
}

fn line(to: &mut Fragment, value: &Value, names: f32, y: f32, width: f32, origin: Origin) -> f32 {
    match value {
        Value::Large(words) => {
            let words = in_two(words, width);
            let look = shrunk(&words, VALUE, width);
            words_at(to, &words, look, y, width, origin)
        }
        Value::Title(words) => words_at(to, words, SUBHEADING, y, width, origin),
        Value::Pass { number, main, beside } => pass(to, (*number, main, beside), y, width, origin),
        Value::Small(facts) => {
            packed(facts, width).iter().fold(y, |y, line| y + words_at(to, line, DETAIL, y, width, origin)) - y
        }
        Value::Counted(count) => counted(to, *count, y, width, origin),
        Value::Ticks(count) => boxes::ticks(to, *count, (0.0, y, width), origin) - y,
        Value::Named(..) => named_row(to, std::slice::from_ref(value), y, width, origin),
        Value::Field { name, unit } => field(to, name, unit, names, y, width, origin),
    }
}

/// Joins facts by middle dots into as few lines as they need; no line begins or ends with a dot.
fn packed(facts: &[String], width: f32) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for fact in facts {
        if let Some(line) = lines.last_mut() {
            let longer = format!("{line} · {fact}");
            if DETAIL.face.width(&longer, DETAIL.size) <= width {
                *line = longer;
                continue;
            }
        }
        lines.push(fact.clone());
    }
    lines
}

/// A pass of a recipe: it must be read at once, like the value.
const PASS: Look = Look { size: 13.8, ..VALUE };

/// Cuts a value that is too wide for the column even when it is set small: before its tolerance or
/// after the dash of its range, so that the unit stands with a number.
fn in_two(words: &str, width: f32) -> String {
    let fits = |words: &str| VALUE.face.width(words, PASS.size) <= width;
    if fits(words) {
        return words.to_owned();
    }
    let cuts = words.char_indices().filter(|(_, c)| c.is_whitespace());
    let mut cut = cuts.filter_map(|(at, space)| {
        let (before, after) = (&words[..at], &words[at + space.len_utf8()..]);
        let good =
            after.starts_with(['+', '±', '<', '>']) || before.ends_with(['–', '+', ',']) || before.ends_with("to");
        (good && fits(before) && fits(after)).then(|| format!("{before}\n{after}"))
    });
    cut.next_back().unwrap_or_else(|| words.to_owned())
}

/// The largest size at which the words stand on one line, down to the size of a pass: better two
/// lines than small.
fn shrunk(words: &str, look: Look, width: f32) -> Look {
    let wide = words.lines().map(|line| look.face.width(line, look.size)).fold(0.0, f32::max);
    if wide <= width {
        return look;
    }
    let size = (look.size * width / wide * 20.0).floor() / 20.0;
    if size >= SMALLEST { Look { size, ..look } } else { Look { size: PASS.size, ..look } }
}

/// The least size of a value in points: torque is 13 pt or larger.
const SMALLEST: f32 = 13.0;

fn words_at(to: &mut Fragment, words: &str, look: Look, y: f32, width: f32, origin: Origin) -> f32 {
    let pieces = [text::piece(words, look, origin)];
    to.tagged(Tag::Paragraph, |to| to.text(&pieces, 0.0, y, width)) - y
}

/// A word and its boxes on one line if they fit, else below each other.
fn named(to: &mut Fragment, name: &str, count: usize, beside: f32, y: f32, width: f32, origin: Origin) -> f32 {
    let look = SUBHEADING;
    let boxes_wide = boxes::row_width(count);
    let high = look.leading();
    if beside + boxes_wide <= width {
        to.tagged(Tag::Paragraph, |to| to.label(name, look, (0.0, y, width), Align::Left));
        boxes::ticks(to, count, (beside, y + (high - BOX) / 2.0, width - beside), origin);
        return high;
    }
    let end = to.tagged(Tag::Paragraph, |to| to.words(name, look, 0.0, y, width));
    boxes::ticks(to, count, (0.0, end + 0.4, width), origin) - y
}

/// Height of a box to write in, mm.
const FIELD: f32 = 7.6;
/// Its least width, mm: four figures in a plain hand.
const FIELD_WIDTH: f32 = 19.0;

fn field(to: &mut Fragment, name: &str, unit: &str, names: f32, y: f32, width: f32, origin: Origin) -> f32 {
    let look = SUBHEADING;
    let unit_set = text::line(unit, look);
    let name_wide = if name.is_empty() { 0.0 } else { names };
    let unit_wide = if unit.is_empty() { 0.0 } else { unit_set.width + 1.6 };
    let (x, mut top) = if name_wide + FIELD_WIDTH + unit_wide <= width {
        if !name.is_empty() {
            let drop = (FIELD - DETAIL.leading()) / 2.0;
            to.tagged(Tag::Paragraph, |to| to.words(name, DETAIL, 0.0, y + drop, name_wide));
        }
        (name_wide, y)
    } else {
        let end = to.tagged(Tag::Paragraph, |to| to.words(name, DETAIL, 0.0, y, width));
        (0.0, end + 0.3)
    };
    let wide = (width - x - unit_wide).clamp(12.0, 26.0);
    boxes::field(to, Area::new(x, top, wide, FIELD), origin);
    if !unit.is_empty() {
        let corner = at(x + wide + 1.6, top + (FIELD - unit_set.height()) / 2.0);
        to.tagged(Tag::Paragraph, |to| to.paragraph(&unit_set, corner, width, Align::Left));
    }
    top += FIELD;
    top - y
}
