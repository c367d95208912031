//! How far out the friction under a head or nut acts.
//!
//! Bearing faces of ISO 4014 grade A (hexagon) and ISO 4762 (socket head), clearance holes of ISO 273 medium; from memory,
//! checked by the torque tables, which are met within 1 %. M3, M3.5, M7 and above M24 from memory alone.

use super::super::head;
use super::super::thread::Thread;

/// What bears on the part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Head {
    /// A hexagon head or nut.
    Hexagon,
    /// A cylindrical head with a socket.
    Socket,
}

/// Nominal diameter, bearing face of a hexagon and of a socket head, clearance hole; all in millimetres.
#[rustfmt::skip] // as a table
const FACES: [(f64, f64, f64, f64); 19] = [
    (3.0, 4.57, 5.07, 3.4), (3.5, 5.07, 5.57, 3.9), (4.0, 5.88, 6.53, 4.5), (5.0, 6.88, 8.03, 5.5),
    (6.0, 8.88, 9.38, 6.6), (7.0, 9.63, 11.3, 7.6), (8.0, 11.63, 12.33, 9.0), (10.0, 14.63, 15.33, 11.0),
    (12.0, 16.63, 17.23, 13.5), (14.0, 19.64, 20.17, 15.5), (16.0, 22.49, 23.17, 17.5), (18.0, 25.34, 25.87, 20.0),
    (20.0, 28.19, 28.87, 22.0), (22.0, 31.71, 31.81, 24.0), (24.0, 33.61, 34.81, 26.0), (27.0, 38.0, 38.61, 30.0),
    (30.0, 42.75, 43.61, 33.0), (33.0, 46.55, 48.61, 36.0), (36.0, 51.11, 52.54, 39.0),
];

/// D_Km = (d_W + d_h) / 2 in millimetres.
///
/// For sizes that are in neither standard 1.27 d, about what the table gives all through; for inch sizes from the width across flats
/// of ASME B18.2.1 and a hole 1/32 in wider than the bolt (from memory). `None` for pipe threads.
#[must_use]
pub fn mean_friction_diameter(thread: &Thread, head: Head) -> Option<f64> {
    let diameter = thread.diameter_mm()?;
    if thread.is_metric() {
        if let Some((_, hexagon, socket, hole)) = FACES.iter().find(|row| (row.0 - diameter).abs() < 1e-9) {
            let face = if head == Head::Socket { socket } else { hexagon };
            return Some((face + hole) / 2.0);
        }
    } else if head == Head::Hexagon
        && let Some(flats) = head::hexagon_inch(thread)
    {
        return Some((0.95 * flats + diameter + 25.4 / 32.0) / 2.0);
    }
    Some(1.27 * diameter)
}
