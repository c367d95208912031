//! One type scale and one grid for the whole sheet.
//!
//! The sizes follow from reading at arm's length in bad light: what must be read at once (act, value,
//! step number) has an x-height of at least 2.5 mm (NASA CR-177605, 1992; figure from memory), body
//! text is 10 pt or more, the line gap is 25 to 33 % of the type size.

use super::font::{Face, MM_PER_POINT};
use super::page::{Area, Colour, Paper};

/// Ink.
pub const BLACK: Colour = Colour(0, 0, 0);
/// Paper.
pub const WHITE: Colour = Colour(255, 255, 255);
/// Ground of the value column: light enough to vanish on a bad photocopy.
pub const GROUND: Colour = Colour(240, 240, 240);
/// Hairlines between rows.
pub const HAIR: Colour = Colour(120, 120, 120);
/// Hairlines between ticks.
pub const FAINT: Colour = Colour(170, 170, 170);
/// Small print that must still copy.
pub const GREY: Colour = Colour(70, 70, 70);

/// Safety colours of ISO 3864-4, in their usual screen values (from memory; colour only adds here).
pub const SAFETY_RED: Colour = Colour(155, 36, 35);
/// Warning: orange of ANSI Z535.1.
pub const SAFETY_ORANGE: Colour = Colour(255, 130, 0);
/// Caution and warning signs: yellow.
pub const SAFETY_YELLOW: Colour = Colour(249, 168, 0);
/// Notice and mandatory signs: blue.
pub const SAFETY_BLUE: Colour = Colour(0, 83, 135);

/// A type style: face, size and colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Which face.
    pub face: Face,
    /// Size in points.
    pub size: f32,
    /// Colour.
    pub colour: Colour,
}

impl Look {
    const fn regular(size: f32) -> Self {
        Self { face: Face::Regular, size, colour: BLACK }
    }

    const fn bold(size: f32) -> Self {
        Self { face: Face::Bold, size, colour: BLACK }
    }

    /// The same in another colour.
    pub const fn in_colour(self, colour: Colour) -> Self {
        Self { colour, ..self }
    }

    /// The same in bold.
    pub const fn emphasised(self) -> Self {
        Self { face: Face::Bold, ..self }
    }

    /// Distance of two baselines in mm.
    pub fn leading(self) -> f32 {
        self.size * LEADING * MM_PER_POINT
    }
}

/// Distance of two baselines as a multiple of the type size.
pub const LEADING: f32 = 1.28;

/// Title of the job.
pub const TITLE: Look = Look::bold(24.0);
/// The machine, under the title.
pub const SUBTITLE: Look = Look::regular(13.0);
/// Heading of a part of the sheet.
pub const HEADING: Look = Look::bold(15.0);
/// Heading of a list.
pub const SUBHEADING: Look = Look::bold(11.0);
/// Title of a stage on its black band.
pub const BAND: Look = Look::bold(14.0);
/// Number of a step.
pub const STEP_NUMBER: Look = Look::bold(16.0);
/// What to do.
pub const ACT: Look = Look::bold(14.0);
/// The largest thing in the value column.
pub const VALUE: Look = Look::bold(16.0);
/// What the author says about an act.
pub const PROSE: Look = Look::regular(11.0);
/// Details under a step, ticks, conversions.
pub const DETAIL: Look = Look::regular(10.0);
/// The word in a detail's label and in a small head.
pub const LABEL: Look = Look::bold(8.5);
/// Captions of blank fields, foot of the page.
pub const SMALL: Look = Look::regular(8.5);
/// What is filled in a field of the head before it is printed.
pub const FILLED: Look = Look::regular(12.0);
/// Signal word of a safety message.
pub const SIGNAL: Look = Look::bold(14.0);

/// Side of a tick box, mm: a blunt pencil in a glove must find it.
pub const BOX: f32 = 3.6;

/// The part of the page that is printed on: 10 mm clear on all sides, 20 mm on the left for the binding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    /// Size of the paper in mm.
    pub paper: (f32, f32),
    /// Where content may stand, foot excluded.
    pub body: Area,
    /// Where the foot stands.
    pub foot: Area,
    /// Left edge of the act within the body.
    pub act: f32,
    /// Left edge of the value column within the body.
    pub value: f32,
    /// Left edge of the sign column within the body.
    pub sign: f32,
}

/// Binding margin on the left, mm.
pub const BINDING: f32 = 20.0;
/// Clear on all other sides, mm.
pub const CLEAR: f32 = 10.0;
/// Height of the foot, mm.
const FOOT: f32 = 6.0;

impl Grid {
    /// The grid of a paper.
    pub fn of(paper: Paper) -> Self {
        let (width, height) = paper.size();
        let inner = width - BINDING - CLEAR;
        let top = CLEAR + 1.0;
        let foot = Area::new(BINDING, height - CLEAR - FOOT, inner, FOOT);
        Self {
            paper: (width, height),
            body: Area::new(BINDING, top, inner, foot.y - 3.0 - top),
            foot,
            act: 12.0,
            value: inner - 63.0,
            sign: inner - 20.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_must_be_read_at_once_has_an_x_height_of_two_and_a_half_millimetres() {
        for look in [ACT, VALUE, STEP_NUMBER] {
            let x_height = look.face.metrics().x_height / 1000.0 * look.size * MM_PER_POINT;
            assert!(x_height >= 2.5, "{look:?}: {x_height} mm");
        }
    }

    #[test]
    fn body_text_is_ten_points_or_more() {
        assert!([PROSE, DETAIL, ACT].iter().all(|look| look.size >= 10.0));
        assert!((1.25..=1.33).contains(&LEADING));
    }

    #[test]
    fn ten_millimetres_are_clear_and_the_left_has_room_to_bind() {
        for paper in [Paper::A4, Paper::Letter] {
            let grid = Grid::of(paper);
            for area in [grid.body, grid.foot] {
                assert!(area.x >= 20.0 && area.y >= 10.0);
                assert!(area.right() <= grid.paper.0 - 10.0 + 1e-3);
                assert!(area.bottom() <= grid.paper.1 - 10.0 + 1e-3);
            }
        }
    }
}
