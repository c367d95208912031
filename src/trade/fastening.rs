//! Words of fastening that the language and the model share: what turns it, in which order, laid out how.

use crate::quantity::Quantity;

/// What turns the fastener.
#[derive(Clone, Debug, PartialEq)]
pub enum Drive {
    /// Hexagon head or nut, across flats.
    Hex(Quantity),
    /// Hexagon socket, key size.
    Key(Quantity),
    /// Hexalobular socket (ISO 10664), its number.
    Hexalobular(u32),
    Slot,
    /// Cross recess, its number.
    Cross(u32),
}

/// The order in which the positions are worked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Order {
    Cross,
    Spiral,
    Row,
    /// The author's own: positions, from 1, in the order of tightening.
    Positions(Vec<u32>),
}

/// How the positions lie.
#[derive(Clone, Debug, PartialEq)]
pub enum Layout {
    /// Numbered clockwise from the top.
    Circle,
    /// Numbered along the first row, then the second.
    Rows { rows: u32, columns: u32 },
    /// Position after position, x to the right and y down, any unit of length.
    Free(Vec<(f64, f64)>),
}

/// Which way a castle nut may be turned to meet the hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SlotAlign {
    /// On, never back.
    Forward,
    /// Back, never on.
    Back,
    Either,
}
