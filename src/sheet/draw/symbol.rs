//! The pictures inside the signs, in a square of 100 units whose triangle has its base at 88 and its tip at 9, and whose
//! disc has its middle at 50. All are our own drawings.

use super::sign::{Mark, Picture};
use crate::sheet::page::Path;

/// The marks of a picture.
pub(super) fn of(picture: Picture) -> Vec<Mark> {
    match picture {
        Picture::General => vec![
            Mark::Fill(Path::polygon(&[(44.0, 33.0), (56.0, 33.0), (53.5, 64.0), (46.5, 64.0)])),
            Mark::Fill(Path::circle(50.0, 74.5, 5.5)),
        ],
        Picture::Scald => {
            let mut marks = waves(42.0, 66.0);
            let surface = Path::new()
                .move_to(27.0, 76.0)
                .curve_to((33.0, 70.0), (38.0, 70.0), (42.5, 76.0))
                .curve_to((47.0, 82.0), (53.0, 82.0), (57.5, 76.0))
                .curve_to((62.0, 70.0), (67.0, 70.0), (73.0, 76.0));
            marks.push(Mark::Pen(surface, 4.5));
            marks
        }
        Picture::HotSurface => {
            let mut marks = waves(43.0, 70.0);
            marks.push(Mark::Fill(rect(27.0, 75.0, 46.0, 6.0)));
            marks
        }
        Picture::Fire => vec![Mark::Fill(flame()), Mark::Fill(rect(29.0, 79.0, 42.0, 4.5))],
        Picture::Crush => {
            let mut marks = vec![
                Mark::Fill(rect(34.5, 50.0, 31.0, 6.0)),
                Mark::Fill(rect(30.0, 76.0, 40.0, 7.0)),
                Mark::Pen(Path::polyline(&[(26.0, 66.0), (40.0, 66.0)]), 8.5),
            ];
            let finger = |y| Mark::Pen(Path::polyline(&[(42.0, y), (58.0, y)]), 3.4);
            marks.extend([61.5, 66.0, 70.5].map(finger));
            marks.extend(arrow_down(50.0, 31.0, 48.0));
            marks
        }
        Picture::UnsupportedVehicle => {
            let body = [
                (31.0, 61.0),
                (31.0, 54.0),
                (39.0, 52.0),
                (44.0, 44.0),
                (57.0, 44.0),
                (62.0, 52.0),
                (69.0, 54.0),
                (69.0, 61.0),
            ];
            let mut marks = vec![
                Mark::Fill(Path::polygon(&body)),
                Mark::Fill(Path::circle(39.0, 61.0, 5.0)),
                Mark::Fill(Path::circle(61.0, 61.0, 5.0)),
                Mark::Fill(rect(24.0, 80.0, 52.0, 4.0)),
            ];
            marks.extend(arrow_down(50.0, 62.0, 79.0));
            marks
        }
        Picture::StoredSpring => {
            let coil = [(38.0, 76.0), (62.0, 72.0), (38.0, 67.0), (62.0, 63.0), (38.0, 58.0), (62.0, 54.0)];
            vec![
                Mark::Fill(rect(33.0, 79.0, 34.0, 5.0)),
                Mark::Pen(Path::polyline(&coil), 3.6),
                Mark::Pen(Path::polyline(&[(50.0, 50.0), (50.0, 38.0)]), 4.0),
                Mark::Fill(Path::polygon(&[(50.0, 27.0), (58.0, 39.0), (42.0, 39.0)])),
            ]
        }
        Picture::Electricity => vec![Mark::Fill(Path::polygon(&[
            (55.0, 29.0),
            (39.0, 59.0),
            (49.0, 57.5),
            (44.5, 72.0),
            (39.5, 70.5),
            (46.5, 84.0),
            (55.0, 73.5),
            (50.0, 73.0),
            (61.0, 49.5),
            (50.5, 51.5),
            (57.2, 30.5),
        ]))],
        Picture::BatteryAcid => {
            let plus = [
                (55.0, 67.0),
                (58.0, 67.0),
                (58.0, 64.0),
                (61.0, 64.0),
                (61.0, 67.0),
                (64.0, 67.0),
                (64.0, 70.0),
                (61.0, 70.0),
                (61.0, 73.0),
                (58.0, 73.0),
                (58.0, 70.0),
                (55.0, 70.0),
            ];
            let case = rect(30.0, 58.0, 40.0, 24.0);
            vec![
                Mark::Fill(case.and(rect(36.0, 67.0, 9.0, 3.0)).and(Path::polygon(&plus))),
                Mark::Fill(rect(35.0, 53.0, 8.0, 5.0)),
                Mark::Fill(rect(57.0, 53.0, 8.0, 5.0)),
                drop(50.0, 34.0, 1.0),
            ]
        }
        Picture::Burst => {
            vec![Mark::Fill(star(50.0, 63.0, 20.0, 9.5, 11))]
        }
        Picture::Cold => {
            let mut marks = Vec::new();
            for index in 0..6 {
                let at = |distance: f32, turn: f32| {
                    let angle = (60.0 * index as f32 + turn).to_radians();
                    (50.0 + distance * angle.sin(), 63.0 - distance * angle.cos())
                };
                marks.push(Mark::Pen(Path::polyline(&[at(0.0, 0.0), at(20.0, 0.0)]), 3.4));
                let branch = [at(18.0, 22.0), at(11.5, 0.0), at(18.0, -22.0)];
                marks.push(Mark::Pen(Path::polyline(&branch), 2.8));
            }
            marks
        }
        Picture::Dust => [
            (50.0, 38.0, 3.0),
            (41.0, 48.0, 3.8),
            (56.0, 49.0, 4.6),
            (34.0, 61.0, 4.4),
            (47.0, 60.0, 3.2),
            (63.0, 62.0, 3.4),
            (55.0, 67.0, 2.6),
            (29.0, 75.0, 3.0),
            (41.0, 75.0, 5.2),
            (57.0, 77.0, 4.2),
            (70.0, 76.0, 4.8),
        ]
        .map(disc)
        .into(),
        Picture::Gas => {
            let mut marks = vec![Mark::Fill(rect(22.0, 72.0, 26.0, 9.0)), Mark::Fill(rect(46.0, 69.0, 5.0, 15.0))];
            let puffs = [
                (59.0, 74.0, 5.5),
                (64.0, 66.0, 6.0),
                (54.0, 59.0, 7.5),
                (46.5, 49.0, 6.5),
                (52.5, 40.5, 5.0),
                (48.0, 32.5, 3.0),
            ];
            marks.extend(puffs.map(disc));
            marks
        }
        Picture::Rotation => vec![
            Mark::Fill(gear(50.0, 65.0, 18.0, 9)),
            Mark::Pen(Path::arc(50.0, 65.0, 24.5, -24.0, 12.0), 3.2),
            Mark::Fill(Path::polygon(&[(62.0, 45.0), (54.0, 45.5), (56.5, 37.0)])),
        ],
        Picture::Jet => {
            let skin =
                [(59.0, 54.0), (66.0, 54.0), (73.0, 84.0), (66.0, 84.0), (64.0, 76.5), (66.5, 73.5), (63.0, 71.5)];
            let mut marks = vec![
                Mark::Fill(rect(22.0, 67.0, 16.0, 13.0)),
                Mark::Fill(rect(36.0, 70.0, 7.0, 7.0)),
                Mark::Fill(Path::polygon(&skin)),
            ];
            let stream = |end| Mark::Pen(Path::polyline(&[(45.0, 73.5), (58.5, end)]), 2.6);
            marks.extend([68.0, 73.5, 79.0].map(stream));
            marks
        }
        Picture::Corrosive => {
            let eaten = Path::new()
                .move_to(27.0, 77.0)
                .line_to(47.0, 77.0)
                .curve_to((49.0, 81.0), (53.0, 78.0), (55.0, 82.0))
                .curve_to((59.0, 82.5), (62.0, 81.0), (67.0, 77.0))
                .line_to(74.0, 77.0)
                .line_to(74.0, 85.0)
                .line_to(27.0, 85.0)
                .close();
            vec![
                Mark::Fill(Path::polygon(&[(34.0, 46.0), (38.0, 40.5), (60.0, 50.0), (57.5, 56.0)])),
                drop(62.0, 59.0, 0.72),
                drop(54.0, 64.0, 0.5),
                Mark::Fill(eaten),
            ]
        }
        Picture::Poison => vec![
            Mark::Pen(Path::polyline(&[(31.0, 69.0), (69.0, 83.0)]), 4.4),
            Mark::Pen(Path::polyline(&[(69.0, 69.0), (31.0, 83.0)]), 4.4),
            Mark::Fill(skull().placed(9.0, 10.0, 0.82)),
        ],
        Picture::HeavyLoad => {
            let letter = [
                (44.0, 62.0),
                (47.5, 62.0),
                (47.5, 66.5),
                (52.0, 62.0),
                (56.5, 62.0),
                (50.5, 68.0),
                (57.0, 75.0),
                (52.5, 75.0),
                (47.5, 69.5),
                (47.5, 75.0),
                (44.0, 75.0),
            ];
            let weight = Path::polygon(&[(38.0, 54.0), (62.0, 54.0), (72.0, 81.0), (28.0, 81.0)]);
            vec![Mark::Pen(Path::circle(50.0, 44.0, 8.0), 5.0), Mark::Fill(weight.and(Path::polygon(&letter)))]
        }
        Picture::Eye => vec![Mark::Fill(head_with_goggles()), Mark::Fill(shoulders())],
        Picture::SharpEdge => vec![
            Mark::Fill(Path::polygon(&[(26.0, 79.0), (60.0, 38.0), (67.0, 62.0), (50.0, 79.0)])),
            drop(71.0, 68.0, 0.66),
        ],
    }
}

fn rect(x: f32, y: f32, width: f32, height: f32) -> Path {
    Path::polygon(&[(x, y), (x + width, y), (x + width, y + height), (x, y + height)])
}

fn disc((x, y, radius): (f32, f32, f32)) -> Mark {
    Mark::Fill(Path::circle(x, y, radius))
}

fn flame() -> Path {
    let outer = Path::new()
        .move_to(50.0, 75.0)
        .curve_to((37.0, 75.0), (31.0, 65.0), (37.0, 55.0))
        .curve_to((41.0, 48.0), (47.0, 44.0), (46.0, 31.0))
        .curve_to((55.0, 37.0), (57.0, 45.0), (56.0, 52.0))
        .curve_to((58.5, 50.5), (59.5, 48.0), (59.5, 45.0))
        .curve_to((66.0, 53.0), (68.0, 61.0), (64.0, 68.0))
        .curve_to((61.0, 73.0), (56.0, 75.0), (50.0, 75.0))
        .close();
    let inner = Path::new()
        .move_to(50.5, 71.0)
        .curve_to((45.0, 71.0), (43.0, 66.0), (46.0, 61.5))
        .curve_to((48.0, 58.5), (50.0, 57.0), (50.0, 52.0))
        .curve_to((56.0, 57.0), (58.0, 62.0), (56.5, 66.5))
        .curve_to((55.5, 69.5), (53.5, 71.0), (50.5, 71.0))
        .close();
    outer.and(inner)
}

fn skull() -> Path {
    Path::new()
        .move_to(50.0, 31.0)
        .curve_to((62.0, 31.0), (67.0, 40.0), (59.0, 54.0))
        .curve_to((64.0, 55.0), (60.0, 55.0), (59.0, 58.0))
        .line_to(59.0, 65.0)
        .line_to(41.0, 65.0)
        .line_to(41.0, 58.0)
        .curve_to((40.0, 55.0), (36.0, 55.0), (35.0, 50.0))
        .curve_to((33.0, 40.0), (38.0, 31.0), (50.0, 31.0))
        .close()
        .and(Path::circle(43.0, 47.0, 4.4))
        .and(Path::circle(57.0, 47.0, 4.4))
        .and(Path::polygon(&[(50.0, 51.0), (52.8, 56.5), (47.2, 56.5)]))
}

/// A head seen from the front, the goggles left open in it.
fn head_with_goggles() -> Path {
    let head = Path::new()
        .move_to(50.0, 11.0)
        .curve_to((67.0, 11.0), (76.0, 23.0), (75.0, 41.0))
        .curve_to((74.0, 58.0), (64.0, 74.0), (50.0, 74.0))
        .curve_to((36.0, 74.0), (26.0, 58.0), (25.0, 41.0))
        .curve_to((24.0, 23.0), (33.0, 11.0), (50.0, 11.0))
        .close();
    head.and(Path::circle(37.5, 42.0, 10.0))
        .and(Path::circle(62.5, 42.0, 10.0))
        .and(rect(47.6, 39.5, 4.8, 4.0))
        .and(rect(24.9, 39.5, 2.6, 4.0))
        .and(rect(72.5, 39.5, 2.6, 4.0))
}

fn shoulders() -> Path {
    Path::new()
        .move_to(24.0, 87.0)
        .curve_to((26.0, 79.5), (33.0, 78.0), (40.0, 76.5))
        .curve_to((46.0, 79.5), (54.0, 79.5), (60.0, 76.5))
        .curve_to((67.0, 78.0), (74.0, 79.5), (76.0, 87.0))
        .curve_to((60.0, 96.0), (40.0, 96.0), (24.0, 87.0))
        .close()
}

/// Three rising waves of heat between two heights.
fn waves(top: f32, bottom: f32) -> Vec<Mark> {
    let high = bottom - top;
    let wave = |x: f32| {
        let middle = top + high / 2.0;
        let path = Path::new()
            .move_to(x, bottom)
            .curve_to((x - 4.5, bottom - high * 0.2), (x - 4.5, middle + high * 0.1), (x, middle))
            .curve_to((x + 4.5, middle - high * 0.1), (x + 4.5, top + high * 0.2), (x, top));
        Mark::Pen(path, 4.2)
    };
    vec![wave(41.5), wave(50.0), wave(58.5)]
}

fn arrow_down(x: f32, top: f32, bottom: f32) -> [Mark; 2] {
    let head = [(x - 7.0, bottom - 10.0), (x + 7.0, bottom - 10.0), (x, bottom)];
    [Mark::Pen(Path::polyline(&[(x, top), (x, bottom - 8.0)]), 4.0), Mark::Fill(Path::polygon(&head))]
}

/// A drop whose tip is at a place; about 17 high at size 1.
fn drop(x: f32, y: f32, size: f32) -> Mark {
    let path = Path::new()
        .move_to(0.0, 0.0)
        .curve_to((2.0, 5.0), (6.0, 8.0), (6.0, 11.5))
        .curve_to((6.0, 15.0), (3.3, 17.5), (0.0, 17.5))
        .curve_to((-3.3, 17.5), (-6.0, 15.0), (-6.0, 11.5))
        .curve_to((-6.0, 8.0), (-2.0, 5.0), (0.0, 0.0))
        .close();
    Mark::Fill(path.placed(x, y, size))
}

fn star(x: f32, y: f32, outer: f32, inner: f32, points: usize) -> Path {
    let corner = |index: usize| {
        let radius = if index.is_multiple_of(2) { outer } else { inner };
        let angle = index as f32 / points as f32 * std::f32::consts::PI;
        (x + radius * angle.sin(), y - radius * angle.cos())
    };
    Path::polygon(&(0..2 * points).map(corner).collect::<Vec<_>>())
}

fn gear(x: f32, y: f32, radius: f32, teeth: usize) -> Path {
    let step = std::f32::consts::TAU / teeth as f32;
    let mut corners = Vec::with_capacity(4 * teeth);
    for index in 0..teeth {
        for (turn, reach) in [(-0.28, 0.78), (-0.18, 1.0), (0.18, 1.0), (0.28, 0.78)] {
            let angle = (index as f32 + turn) * step;
            corners.push((x + radius * reach * angle.sin(), y - radius * reach * angle.cos()));
        }
    }
    Path::polygon(&corners).and(Path::circle(x, y, radius * 0.34))
}
