//! The blank fields of the head, which a caller may fill in.

use super::catalogue as say;

/// A field of the head.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Field {
    OrderNo,
    /// Registration or serial number.
    SerialNo,
    /// Kilometres or hours.
    Odometer,
    Technician,
    Date,
}

impl Field {
    /// In the order of the sheet.
    pub const ALL: [Field; 5] = [Field::OrderNo, Field::SerialNo, Field::Odometer, Field::Technician, Field::Date];

    /// As it is called on the command line and in a list of orders; the first name is the usual one.
    pub fn names(self) -> &'static [&'static str] {
        match self {
            Field::OrderNo => &["order", "order no", "order number"],
            Field::SerialNo => &["serial", "serial no", "serial number", "registration"],
            Field::Odometer => &["odometer", "km", "hours", "mileage"],
            Field::Technician => &["technician", "mechanic"],
            Field::Date => &["date"],
        }
    }

    /// Reads a name in any capitals, with spaces, hyphens or underscores.
    pub fn parse(name: &str) -> Option<Field> {
        let name = name.trim().to_lowercase().replace(['-', '_', '.'], " ");
        let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
        Field::ALL.into_iter().find(|field| field.names().contains(&name.as_str()))
    }

    /// Its caption on the sheet.
    pub fn caption(self) -> &'static str {
        match self {
            Field::OrderNo => say::ORDER_NO,
            Field::SerialNo => say::SERIAL_NO,
            Field::Odometer => say::ODOMETER,
            Field::Technician => say::TECHNICIAN,
            Field::Date => say::DATE,
        }
    }

    /// The part of the width that it takes.
    pub fn share(self) -> f32 {
        match self {
            Field::OrderNo => 0.19,
            Field::SerialNo => 0.26,
            Field::Odometer => 0.17,
            Field::Technician => 0.22,
            Field::Date => 0.16,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_as_people_write_them_and_shares_fill_the_width() {
        assert_eq!(Field::parse("Order_No."), Some(Field::OrderNo));
        assert_eq!(Field::parse(" serial-number "), Some(Field::SerialNo));
        assert_eq!(Field::parse("colour"), None);
        for field in Field::ALL {
            assert_eq!(Field::parse(field.names()[0]), Some(field));
        }
        let whole: f32 = Field::ALL.into_iter().map(Field::share).sum();
        assert!((whole - 1.0).abs() < 1e-6);
    }
}
