//! Orientation drawn: a clock dial, an arrow.

use crate::sheet::fragment::Fragment;
use crate::sheet::page::{Area, Path, Stroke, Tag};
use crate::sheet::style::{BLACK, HAIR, WHITE};

/// A direction that can be drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// To the front of the vehicle.
    Forward,
    /// To its rear.
    Rearward,
    /// To its left.
    Left,
    /// To its right.
    Right,
    /// Up.
    Up,
    /// Down.
    Down,
    /// To the middle of what it sits in.
    Inward,
    /// Away from the middle.
    Outward,
    /// With the clock.
    Clockwise,
    /// Against the clock.
    Anticlockwise,
    /// A place on the face of a clock, degrees clockwise from twelve.
    Clock(u16),
}

/// Side of a drawing of orientation, mm.
pub const SIZE: f32 = 13.0;

/// Draws a direction in a square of [`SIZE`]; `words` stand for it when it can't be seen.
pub fn direction(direction: Direction, words: &str) -> Fragment {
    let mut drawing = Fragment::of_height(SIZE);
    drawing.tagged(Tag::Figure(words.to_owned()), |to| match direction {
        Direction::Clock(degrees) => clock(to, degrees),
        Direction::Clockwise => turn(to, 1.0),
        Direction::Anticlockwise => turn(to, -1.0),
        Direction::Forward => arrow(to, 0.0, Frame::Vehicle),
        Direction::Rearward => arrow(to, 180.0, Frame::Vehicle),
        Direction::Left => arrow(to, 270.0, Frame::Vehicle),
        Direction::Right => arrow(to, 90.0, Frame::Vehicle),
        Direction::Up => arrow(to, 0.0, Frame::Ground),
        Direction::Down => arrow(to, 180.0, Frame::Ground),
        Direction::Inward => arrow(to, 90.0, Frame::Wall { ahead: true }),
        Direction::Outward => arrow(to, 270.0, Frame::Wall { ahead: false }),
    });
    drawing
}

const MIDDLE: f32 = SIZE / 2.0;
const RADIUS: f32 = MIDDLE - 0.3;

fn clock(to: &mut Fragment, degrees: u16) {
    to.path(Path::circle(MIDDLE, MIDDLE, RADIUS), None, Some(Stroke::black(0.45)));
    for tick in 0..12 {
        let (inner, width) = if tick % 3 == 0 { (RADIUS - 1.7, 0.45) } else { (RADIUS - 0.9, 0.25) };
        let angle = tick as f32 * 30.0;
        to.line(polar(angle, inner), polar(angle, RADIUS), Stroke::black(width));
    }
    let angle = f32::from(degrees % 360);
    to.line((MIDDLE, MIDDLE), polar(angle, RADIUS - 3.0), Stroke::black(1.1).rounded());
    let tip = polar(angle, RADIUS - 2.6);
    to.path(Path::circle(tip.0, tip.1, 1.25), Some(BLACK), None);
}

fn turn(to: &mut Fragment, sense: f32) {
    let radius = RADIUS - 1.6;
    let end = 130.0 * sense;
    to.path(Path::arc(MIDDLE, MIDDLE, radius, -end, end), None, Some(Stroke::black(0.9)));
    // The head lies on the tangent at the end of the arc.
    let base = polar(end, radius);
    let tangent = (end + 90.0 * sense).to_radians();
    let tip = (base.0 + 2.6 * tangent.sin(), base.1 - 2.6 * tangent.cos());
    let head = [tip, polar(end, radius - 1.6), polar(end, radius + 1.6)];
    to.path(Path::polygon(&head), Some(BLACK), None);
    to.path(Path::circle(MIDDLE, MIDDLE, 0.6), Some(BLACK), None);
}

enum Frame {
    /// The vehicle seen from above, its front at the top.
    Vehicle,
    /// The ground below.
    Ground,
    /// A wall that the arrow points at, or comes from.
    Wall { ahead: bool },
}

fn arrow(to: &mut Fragment, angle: f32, frame: Frame) {
    let reach = match frame {
        Frame::Vehicle => {
            vehicle(to);
            RADIUS - 0.2
        }
        Frame::Ground => {
            let y = SIZE - 0.6;
            to.line((1.0, y), (SIZE - 1.0, y), Stroke::black(0.5));
            for hatch in 0..5 {
                let x = 2.2 + hatch as f32 * 2.2;
                to.line((x, y), (x - 0.9, y + 0.5), Stroke::black(0.25));
            }
            RADIUS - 0.9
        }
        Frame::Wall { ahead } => {
            let wall = if ahead { angle } else { angle + 180.0 };
            let side = (wall + 90.0).to_radians();
            let foot = polar(wall, RADIUS - 0.6);
            let (dx, dy) = (5.0 * side.sin(), -5.0 * side.cos());
            to.line((foot.0 - dx, foot.1 - dy), (foot.0 + dx, foot.1 + dy), Stroke::black(1.2));
            RADIUS - 2.0
        }
    };
    let tip = polar(angle, reach);
    let neck = polar(angle, reach - 3.4);
    let side = (angle + 90.0).to_radians();
    let wing = |s: f32| (neck.0 + s * 1.9 * side.sin(), neck.1 - s * 1.9 * side.cos());
    to.line(polar(angle + 180.0, reach - 0.4), neck, Stroke::black(1.1));
    to.path(Path::polygon(&[tip, wing(1.0), wing(-1.0)]), Some(BLACK), None);
}

/// A vehicle from above: body, windscreen, wheels.
fn vehicle(to: &mut Fragment) {
    let grey = Stroke::of(0.35, HAIR);
    let (half, top, bottom) = (3.0, 0.6, SIZE - 0.6);
    for (x, y) in [(-1.0, 2.6), (1.0, 2.6), (-1.0, 9.0), (1.0, 9.0)] {
        let left = MIDDLE + x * (half + 0.25) - 0.45;
        to.rect(Area::new(left, y, 0.9, 2.2), 0.2, Some(HAIR), None);
    }
    to.rect(Area::new(MIDDLE - half, top, 2.0 * half, bottom - top), 1.6, Some(WHITE), Some(grey));
    to.line((MIDDLE - half + 0.5, 3.6), (MIDDLE + half - 0.5, 3.6), grey);
}

/// A point at an angle clockwise from twelve and a distance from the middle.
fn polar(degrees: f32, distance: f32) -> (f32, f32) {
    let angle = degrees.to_radians();
    (MIDDLE + distance * angle.sin(), MIDDLE - distance * angle.cos())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hand_points_where_the_hour_stands() {
        let tip = |hour: u16| {
            let drawing = direction(Direction::Clock(hour * 30), "");
            let area = drawing.items[drawing.items.len() - 2].area().expect("the knob");
            (area.x + area.width / 2.0 - MIDDLE, area.y + area.height / 2.0 - MIDDLE)
        };
        let (x, y) = tip(9);
        assert!(x < -3.0 && y.abs() < 0.01);
        let (x, y) = tip(12);
        assert!(x.abs() < 0.01 && y < -3.0);
        let (x, y) = tip(4);
        assert!(x > 2.0 && y > 1.0);
    }

    #[test]
    fn every_drawing_stays_in_its_square() {
        use Direction::*;
        let all = [Forward, Rearward, Left, Right, Up, Down, Inward, Outward, Clockwise, Anticlockwise, Clock(150)];
        for one in all {
            for area in direction(one, "").items.iter().filter_map(|item| item.area()) {
                assert!(area.x >= -0.05 && area.right() <= SIZE + 0.05, "{one:?} {area:?}");
                assert!(area.y >= -0.05 && area.bottom() <= SIZE + 0.05, "{one:?} {area:?}");
            }
        }
    }
}
