//! The tightening plan: the positions of a group of fasteners as they are laid out, numbered in the
//! order of tightening.

use crate::sheet::fragment::Fragment;
use crate::sheet::page::{Area, Path, Stroke, Tag, at};
use crate::sheet::style::{self, BLACK, FAINT, SUBHEADING, WHITE};
use crate::sheet::text::{self, Align};

/// One place of the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Across, in any unit that all spots share.
    pub x: f32,
    /// Down, in the same unit.
    pub y: f32,
    /// What stands in it: the number in the order of tightening.
    pub mark: String,
    /// What tells it from the others.
    pub look: Look,
}

/// How a place is drawn, so that bolts of another size are told apart on any copy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Look {
    /// A circle.
    Plain,
    /// A black disc with a white number.
    Black,
    /// Two circles, one in the other.
    Ringed,
}

/// What joins the spots behind the numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// A circle through them; its spots stand on the unit circle, the first at the top.
    Circle,
    /// A frame around rows of them.
    Rows,
    /// Nothing.
    Free,
}

/// Radius of a numbered spot, mm, where there is room for it.
const RADIUS: f32 = 3.3;
/// The smallest radius in which two digits are still read at arm's length.
const SMALLEST_RADIUS: f32 = 2.2;
/// Between two spots, as a share of their radius.
const GAP: f32 = 0.48;
/// A plan is at least this long on its longer side, mm, middle to middle.
const SMALLEST: f32 = 20.0;
/// A plan is at most this wide and high, mm: no more than half a page.
const WIDEST: f32 = 105.0;
const HIGHEST: f32 = 110.0;

/// Whether the spots can be drawn so that their numbers are read: none on one another, none too small.
pub fn is_readable(spots: &[Spot]) -> bool {
    !spots.is_empty() && Measure::of(spots, WIDEST).radius >= SMALLEST_RADIUS
}

/// Draws the plan, at most `width` mm wide; returns it with its width.
/// `words` stand for it when it can't be seen.
pub fn plan(spots: &[Spot], shape: Shape, width: f32, words: &str) -> (Fragment, f32) {
    let Measure { left, top, wide, high, scale, radius } = Measure::of(spots, width);
    let edge = radius + EDGE;
    let place = |x: f32, y: f32| (edge + (x - left) * scale, edge + (y - top) * scale);
    let mut drawing = Fragment::of_height(high * scale + 2.0 * edge);
    drawing.tagged(Tag::Figure(words.to_owned()), |to| {
        let faint = Stroke::of(0.35, FAINT);
        match shape {
            Shape::Circle if spots.len() > 1 => {
                let (x, y) = place(0.0, 0.0);
                to.path(Path::circle(x, y, scale), None, Some(faint));
                if scale > 2.2 * radius {
                    to.path(Path::circle(x, y, scale * 0.3), None, Some(faint));
                }
            }
            Shape::Rows if wide > 0.0 && high > 0.0 => {
                let area = Area::new(edge, edge, wide * scale, high * scale);
                to.rect(area, 0.0, None, Some(faint));
            }
            Shape::Rows if wide > 0.0 || high > 0.0 => {
                to.line((edge, edge), (edge + wide * scale, edge + high * scale), faint);
            }
            Shape::Circle | Shape::Rows | Shape::Free => {}
        }
        for spot in spots {
            let (x, y) = place(spot.x, spot.y);
            let (fill, ink) = if spot.look == Look::Black { (BLACK, WHITE) } else { (WHITE, BLACK) };
            to.path(Path::circle(x, y, radius), Some(fill), Some(Stroke::black(0.5)));
            if spot.look == Look::Ringed {
                to.path(Path::circle(x, y, radius - RING), None, Some(Stroke::black(0.25)));
            }
            let room = 2.0 * radius - if spot.look == Look::Ringed { 2.0 * RING + 0.8 } else { 1.2 };
            number(to, &spot.mark, (x, y), room, SUBHEADING.in_colour(ink));
        }
    });
    (drawing, wide * scale + 2.0 * edge)
}

/// From the edge of the outermost spot to that of the drawing, mm.
const EDGE: f32 = 0.4;
/// From the edge of a ringed spot to its inner circle, mm.
const RING: f32 = 0.7;

/// How large a plan is drawn: the extent of its spots in their own unit, millimetres for one of it, the radius of a spot.
struct Measure {
    left: f32,
    top: f32,
    wide: f32,
    high: f32,
    scale: f32,
    radius: f32,
}

impl Measure {
    /// The closest two spots are just far enough apart, and the plan is neither tiny nor larger than it must be. Where that
    /// does not fit, the spots are smaller.
    fn of(spots: &[Spot], width: f32) -> Measure {
        let span = |of: fn(&Spot) -> f32| {
            let low = spots.iter().map(of).fold(f32::INFINITY, f32::min);
            let high = spots.iter().map(of).fold(f32::NEG_INFINITY, f32::max);
            if low <= high { (low, high - low) } else { (0.0, 0.0) }
        };
        let (left, wide) = span(|spot| spot.x);
        let (top, high) = span(|spot| spot.y);
        let mut nearest = f32::INFINITY;
        for (index, a) in spots.iter().enumerate() {
            for b in &spots[index + 1..] {
                nearest = nearest.min((a.x - b.x).hypot(a.y - b.y));
            }
        }
        let extent = wide.max(high);
        if !nearest.is_finite() || extent <= 0.0 {
            // One alone, or all on one spot.
            let radius = if spots.len() > 1 { 0.0 } else { RADIUS };
            return Measure { left, top, wide: 0.0, high: 0.0, scale: 1.0, radius };
        }
        let wanted = ((2.0 + GAP) * RADIUS / nearest).max(SMALLEST / extent);
        let side = |room: f32, extent: f32| {
            if extent > 0.0 { (room - 2.0 * (RADIUS + EDGE)).max(RADIUS) / extent } else { f32::INFINITY }
        };
        let scale = wanted.min(side(width.min(WIDEST), wide)).min(side(HIGHEST, high));
        let radius = RADIUS.min(scale * nearest / (2.0 + GAP));
        Measure { left, top, wide, high, scale, radius }
    }
}

fn number(to: &mut Fragment, mark: &str, middle: (f32, f32), room: f32, look: style::Look) {
    let width = look.face.width(mark, look.size);
    let look = if width > room { style::Look { size: look.size * room / width, ..look } } else { look };
    let set = text::line(mark, look);
    let corner = at(middle.0 - RADIUS, middle.1 - set.height() / 2.0);
    to.paragraph(&set, corner, 2.0 * RADIUS, Align::Centre);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::page::Kind;
    use crate::trade::layout::Layout;

    fn spots(layout: &Layout, count: u32) -> Vec<Spot> {
        let spot = |(number, (x, y)): (u32, (f64, f64))| Spot {
            x: x as f32,
            y: y as f32,
            mark: number.to_string(),
            look: [Look::Plain, Look::Black, Look::Ringed][number as usize % 3],
        };
        (1..).zip(layout.places(count).unwrap()).map(spot).collect()
    }

    fn rows(rows: u32, columns: u32) -> Vec<Spot> {
        spots(&Layout::Rows { rows, columns }, rows * columns)
    }

    /// What is drawn of each spot: its outer circle.
    fn circles(drawing: &Fragment) -> Vec<Area> {
        let paths = drawing.items.iter().filter(|item| matches!(item.kind, Kind::Path { fill: Some(_), .. }));
        paths.filter_map(|item| item.area()).collect()
    }

    #[test]
    fn numbered_spots_never_touch() {
        for (spots, shape) in [
            (spots(&Layout::Circle, 4), Shape::Circle),
            (spots(&Layout::Circle, 10), Shape::Circle),
            (spots(&Layout::Circle, 32), Shape::Circle),
            (rows(2, 2), Shape::Rows),
            (rows(2, 7), Shape::Rows),
            (rows(3, 4), Shape::Rows),
            (rows(4, 8), Shape::Rows),
            (rows(1, 12), Shape::Rows),
            (rows(14, 1), Shape::Rows),
        ] {
            assert!(is_readable(&spots), "{spots:?}");
            let (drawing, width) = plan(&spots, shape, 105.0, "");
            let areas = circles(&drawing);
            assert_eq!(areas.len(), spots.len());
            assert!(areas.iter().all(|area| area.right() <= width + 0.01 && area.bottom() <= drawing.height + 0.01));
            assert!(width <= 105.0 && drawing.height <= HIGHEST, "{width} x {}", drawing.height);
            for (index, a) in areas.iter().enumerate() {
                for b in &areas[index + 1..] {
                    let (dx, dy) = (a.x - b.x, a.y - b.y);
                    assert!(dx.hypot(dy) > a.width, "{spots:?}");
                }
            }
        }
    }

    #[test]
    fn what_can_not_be_read_is_told() {
        assert!(!is_readable(&spots(&Layout::Circle, 120)));
        assert!(!is_readable(&rows(60, 1)));
        let free = |text: &str| Layout::at(text).map(|layout| spots(&layout, 3)).unwrap();
        assert!(!is_readable(&free("5 5; 5 5; 5 5")));
        assert!(!is_readable(&free("0 0; 0 0; 40 0")));
        assert!(!is_readable(&free("0 0; 1 0; 400 0")));
        assert!(is_readable(&free("0 0; 40 0; 400 0")));
        for unread in [spots(&Layout::Circle, 120), rows(60, 1), free("5 5; 5 5; 5 5")] {
            let (drawing, width) = plan(&unread, Shape::Free, 100.0, "");
            assert!(drawing.height <= HIGHEST && width <= 100.0);
        }
    }

    #[test]
    fn nothing_to_draw_is_no_trouble() {
        let (drawing, _) = plan(&[], Shape::Rows, 100.0, "");
        assert!(drawing.height.is_finite());
    }
}
