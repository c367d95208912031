//! Words of fastening that the language and the model share: what turns it, in which order, laid out how.

use crate::quantity::Quantity;

pub use super::layout::Layout;
pub use super::order::Order;
pub use super::passes::InPasses;

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

/// Which way a castle nut may be turned to meet the hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SlotAlign {
    /// On, never back.
    Forward,
    /// Back, never on.
    Back,
    Either,
}
