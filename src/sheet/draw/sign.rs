//! Safety signs in the manner of ISO 7010, drawn by ourselves from geometry: a black-edged triangle
//! for a warning, a disc for what must be done, an octagon for 'stop'.

use super::symbol;
use crate::sheet::fragment::Fragment;
use crate::sheet::page::{Colour, Path, Stroke, Tag};
use crate::sheet::style::{BLACK, SAFETY_BLUE, SAFETY_RED, SAFETY_YELLOW, WHITE};

/// What the sign warns of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Picture {
    /// Something else: the exclamation mark.
    General,
    /// Hot liquid or steam.
    Scald,
    /// A hot surface.
    HotSurface,
    /// Fire.
    Fire,
    /// Being crushed.
    Crush,
    /// A vehicle that can come down.
    UnsupportedVehicle,
    /// A spring under load.
    StoredSpring,
    /// Electricity.
    Electricity,
    /// Acid in a battery.
    BatteryAcid,
    /// Something that goes off.
    Burst,
    /// Cold.
    Cold,
    /// Dust.
    Dust,
    /// Gas.
    Gas,
    /// Rotating parts.
    Rotation,
    /// A jet of fluid.
    Jet,
    /// What eats skin and metal.
    Corrosive,
    /// Poison.
    Poison,
    /// A heavy load.
    HeavyLoad,
    /// Something that flies into the eye.
    Eye,
    /// A sharp edge.
    SharpEdge,
}

/// Every picture.
pub const ALL: [Picture; 20] = [
    Picture::General,
    Picture::Scald,
    Picture::HotSurface,
    Picture::Fire,
    Picture::Crush,
    Picture::UnsupportedVehicle,
    Picture::StoredSpring,
    Picture::Electricity,
    Picture::BatteryAcid,
    Picture::Burst,
    Picture::Cold,
    Picture::Dust,
    Picture::Gas,
    Picture::Rotation,
    Picture::Jet,
    Picture::Corrosive,
    Picture::Poison,
    Picture::HeavyLoad,
    Picture::Eye,
    Picture::SharpEdge,
];

impl Picture {
    /// Whether its sign tells what must be done: a blue disc and no triangle.
    pub fn is_mandatory(self) -> bool {
        self == Picture::Eye
    }
}

/// The sign of a picture, `size` mm high and wide; `words` stand for it when it can't be seen.
pub fn of(picture: Picture, size: f32, words: &str) -> Fragment {
    if !picture.is_mandatory() {
        return warning(picture, size, words);
    }
    let scale = size / UNITS;
    sign(size, words, |to| {
        to.path(Path::circle(50.0, 50.0, 48.0).placed(0.0, 0.0, scale), Some(SAFETY_BLUE), None);
        marks(to, picture, scale, WHITE);
    })
}

/// A warning triangle, `size` mm high and wide; `words` stand for it when it can't be seen.
pub fn warning(picture: Picture, size: f32, words: &str) -> Fragment {
    let scale = size / UNITS;
    sign(size, words, |to| {
        let triangle = Path::polygon(&[(50.0, 9.0), (95.0, 88.0), (5.0, 88.0)]).placed(0.0, 0.0, scale);
        let edge = Stroke::black(8.5 * scale).rounded();
        to.path(triangle, Some(SAFETY_YELLOW), Some(edge));
        marks(to, picture, scale, BLACK);
    })
}

fn marks(to: &mut Fragment, picture: Picture, scale: f32, ink: Colour) {
    for mark in symbol::of(picture) {
        match mark {
            Mark::Fill(path) => to.path(path.placed(0.0, 0.0, scale), Some(ink), None),
            Mark::Pen(path, width) => {
                let stroke = Stroke::of(width * scale, ink).rounded();
                to.path(path.placed(0.0, 0.0, scale), None, Some(stroke));
            }
        }
    }
}

/// A blue disc: something must be done.
pub fn mandatory(size: f32, words: &str) -> Fragment {
    let scale = size / UNITS;
    sign(size, words, |to| {
        to.path(Path::circle(50.0, 50.0, 48.0).placed(0.0, 0.0, scale), Some(SAFETY_BLUE), None);
        let bar = Path::polygon(&[(43.0, 20.0), (57.0, 20.0), (54.0, 60.0), (46.0, 60.0)]);
        let mark = bar.and(Path::circle(50.0, 74.0, 7.0)).placed(0.0, 0.0, scale);
        to.path(mark, Some(WHITE), None);
    })
}

/// An octagon with a bar: go no further.
pub fn stop(size: f32, words: &str) -> Fragment {
    let scale = size / UNITS;
    sign(size, words, |to| {
        let corner = |index| {
            let angle = (22.5 + 45.0 * index as f32).to_radians();
            (50.0 + 49.0 * angle.sin(), 50.0 - 49.0 * angle.cos())
        };
        let corners: Vec<_> = (0..8).map(corner).collect();
        to.path(Path::polygon(&corners).placed(0.0, 0.0, scale), Some(SAFETY_RED), None);
        let bar = Path::polygon(&[(20.0, 42.0), (80.0, 42.0), (80.0, 58.0), (20.0, 58.0)]);
        to.path(bar.placed(0.0, 0.0, scale), Some(WHITE), None);
    })
}

fn sign(size: f32, words: &str, inside: impl FnOnce(&mut Fragment)) -> Fragment {
    let mut drawing = Fragment::of_height(size);
    drawing.tagged(Tag::Figure(words.to_owned()), inside);
    drawing
}

/// Signs are drawn in a square of this many units.
const UNITS: f32 = 100.0;

/// One mark of a symbol, in units of the sign's square.
pub(super) enum Mark {
    /// Filled, even-odd.
    Fill(Path),
    /// Drawn with a round pen of this width.
    Pen(Path, f32),
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sign_stays_in_its_square_and_differs_from_all_others() {
        let drawn: Vec<_> = ALL.iter().map(|&picture| of(picture, 10.0, "")).collect();
        for (index, sign) in drawn.iter().enumerate() {
            for area in sign.items.iter().filter_map(|item| item.area()) {
                assert!(area.x >= -0.01 && area.right() <= 10.01, "{:?}", ALL[index]);
                assert!(area.y >= -0.01 && area.bottom() <= 10.01, "{:?}", ALL[index]);
            }
            assert!(drawn[index + 1..].iter().all(|other| other != sign), "{:?}", ALL[index]);
        }
    }

    #[test]
    fn every_symbol_stays_inside_the_triangle_or_the_disc() {
        for picture in ALL {
            for mark in symbol::of(picture) {
                let (Mark::Fill(path) | Mark::Pen(path, _)) = mark;
                for (x, y) in path.rings.iter().flat_map(sampled) {
                    if picture.is_mandatory() {
                        assert!((x - 50.0).hypot(y - 50.0) <= 48.0, "{picture:?} {x} {y}");
                        continue;
                    }
                    // Half the clear width of the triangle at this height.
                    let half = (y - 9.0) * 45.0 / 79.0 - 4.9;
                    assert!((x - 50.0).abs() <= half, "{picture:?} {x} {y}");
                    assert!(y <= 85.5, "{picture:?} {x} {y}");
                }
            }
        }
    }

    /// Points on a ring, its curves at quarters.
    fn sampled(ring: &crate::sheet::page::Ring) -> Vec<(f32, f32)> {
        use crate::sheet::page::Segment;
        let mut points = vec![(ring.start.x, ring.start.y)];
        for segment in &ring.segments {
            let start = *points.last().expect("a start");
            match *segment {
                Segment::Line(end) => points.push((end.x, end.y)),
                Segment::Curve(a, b, end) => points.extend([0.25f32, 0.5, 0.75, 1.0].map(|t| {
                    let u = 1.0 - t;
                    let mix = |p: f32, q: f32, r: f32, s: f32| {
                        u * u * u * p + 3.0 * u * u * t * q + 3.0 * u * t * t * r + t * t * t * s
                    };
                    (mix(start.0, a.x, b.x, end.x), mix(start.1, a.y, b.y, end.y))
                })),
            }
        }
        points
    }
}
