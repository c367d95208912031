//! The tightening plan: the positions of a group of fasteners as they are laid out, numbered in the
//! order of tightening.

use crate::sheet::fragment::Fragment;
use crate::sheet::page::{Area, Path, Stroke, Tag, at};
use crate::sheet::style::{BLACK, FAINT, Look, SUBHEADING, WHITE};
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
    /// Drawn black: the long ones, or those a pass is about.
    pub dark: bool,
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

/// Spots on the unit circle, clockwise from the top.
pub fn on_circle(count: usize) -> Vec<(f32, f32)> {
    (0..count)
        .map(|index| {
            let angle = index as f32 / count.max(1) as f32 * std::f32::consts::TAU;
            (angle.sin(), -angle.cos())
        })
        .collect()
}

/// Spots in rows, along the first row, then the second, and so on; one apart.
pub fn in_rows(rows: usize, columns: usize) -> Vec<(f32, f32)> {
    (0..rows).flat_map(|row| (0..columns).map(move |column| (column as f32, row as f32))).collect()
}

/// Radius of a numbered spot, mm.
const RADIUS: f32 = 3.3;
/// Least distance of two middles, mm.
const APART: f32 = 2.0 * RADIUS + 1.6;
/// From the edge of the drawing to the middle of the outermost spot, mm.
const EDGE: f32 = RADIUS + 0.4;

/// Draws the plan, at most `width` mm wide; returns it with its width.
/// `words` stand for it when it can't be seen.
pub fn plan(spots: &[Spot], shape: Shape, width: f32, words: &str) -> (Fragment, f32) {
    let span = |of: fn(&Spot) -> f32| {
        let low = spots.iter().map(of).fold(f32::INFINITY, f32::min);
        let high = spots.iter().map(of).fold(f32::NEG_INFINITY, f32::max);
        if low <= high { (low, high - low) } else { (0.0, 0.0) }
    };
    let (left, wide) = span(|spot| spot.x);
    let (top, high) = span(|spot| spot.y);
    let mut scale = wanted_scale(spots, wide.max(high));
    if wide > 0.0 {
        scale = scale.min((width - 2.0 * EDGE).max(APART) / wide);
    }
    let place = |x: f32, y: f32| (EDGE + (x - left) * scale, EDGE + (y - top) * scale);
    let mut drawing = Fragment::of_height(high * scale + 2.0 * EDGE);
    drawing.tagged(Tag::Figure(words.to_owned()), |to| {
        let faint = Stroke::of(0.35, FAINT);
        match shape {
            Shape::Circle if spots.len() > 1 => {
                let (x, y) = place(0.0, 0.0);
                to.path(Path::circle(x, y, scale), None, Some(faint));
                if scale > 2.2 * RADIUS {
                    to.path(Path::circle(x, y, scale * 0.3), None, Some(faint));
                }
            }
            Shape::Rows if wide > 0.0 && high > 0.0 => {
                let area = Area::new(EDGE, EDGE, wide * scale, high * scale);
                to.rect(area, 0.0, None, Some(faint));
            }
            Shape::Rows if wide > 0.0 || high > 0.0 => {
                to.line((EDGE, EDGE), (EDGE + wide * scale, EDGE + high * scale), faint);
            }
            Shape::Circle | Shape::Rows | Shape::Free => {}
        }
        for spot in spots {
            let (x, y) = place(spot.x, spot.y);
            let (fill, ink) = if spot.dark { (BLACK, WHITE) } else { (WHITE, BLACK) };
            to.path(Path::circle(x, y, RADIUS), Some(fill), Some(Stroke::black(0.5)));
            number(to, &spot.mark, (x, y), SUBHEADING.in_colour(ink));
        }
    });
    (drawing, wide * scale + 2.0 * EDGE)
}

/// The scale at which the closest two spots are just far enough apart, and the plan neither tiny
/// nor larger than it must be.
fn wanted_scale(spots: &[Spot], extent: f32) -> f32 {
    let mut nearest = f32::INFINITY;
    for (index, a) in spots.iter().enumerate() {
        for b in &spots[index + 1..] {
            let distance = (a.x - b.x).hypot(a.y - b.y);
            if distance > 1e-6 {
                nearest = nearest.min(distance);
            }
        }
    }
    if !nearest.is_finite() || extent <= 0.0 {
        return 1.0;
    }
    (APART / nearest).max(SMALLEST / extent)
}

/// A plan is at least this long on its longer side, mm, middle to middle.
const SMALLEST: f32 = 20.0;

fn number(to: &mut Fragment, mark: &str, middle: (f32, f32), look: Look) {
    let room = 2.0 * RADIUS - 1.2;
    let width = look.face.width(mark, look.size);
    let look = if width > room { Look { size: look.size * room / width, ..look } } else { look };
    let set = text::line(mark, look);
    let corner = at(middle.0 - RADIUS, middle.1 - set.height() / 2.0);
    to.paragraph(&set, corner, 2.0 * RADIUS, Align::Centre);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::page::Kind;

    fn spots(places: &[(f32, f32)]) -> Vec<Spot> {
        let spot =
            |(index, &(x, y)): (usize, &(f32, f32))| Spot { x, y, mark: (index + 1).to_string(), dark: index % 2 == 0 };
        places.iter().enumerate().map(spot).collect()
    }

    #[test]
    fn numbered_spots_never_touch() {
        for places in [on_circle(4), on_circle(10), in_rows(2, 2), in_rows(2, 7), in_rows(3, 4)] {
            let spots = spots(&places);
            let (drawing, width) = plan(&spots, Shape::Free, 105.0, "");
            let areas: Vec<_> = drawing
                .items
                .iter()
                .filter(|item| matches!(item.kind, Kind::Path { .. }))
                .filter_map(|item| item.area())
                .collect();
            assert_eq!(areas.len(), places.len());
            assert!(areas.iter().all(|area| area.right() <= width + 0.01));
            for (index, a) in areas.iter().enumerate() {
                for b in &areas[index + 1..] {
                    let (dx, dy) = (a.x - b.x, a.y - b.y);
                    assert!(dx.hypot(dy) > 2.0 * RADIUS, "{places:?}");
                }
            }
        }
    }

    #[test]
    fn a_circle_is_numbered_clockwise_from_the_top() {
        let places = on_circle(4);
        assert!(places[0].1 < -0.99 && places[1].0 > 0.99 && places[2].1 > 0.99);
    }

    #[test]
    fn nothing_to_draw_is_no_trouble() {
        let (drawing, _) = plan(&[], Shape::Rows, 100.0, "");
        assert!(drawing.height.is_finite());
    }
}
