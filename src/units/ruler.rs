//! Figures in messages, in the unit that people read.

use crate::units::{Length, Units, text};

/// Writes lengths, heights and feeds. Where people read inches the first
/// figure of a message stands in both units, for the limits are millimetres.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ruler {
    units: Units,
}

impl Ruler {
    pub(crate) fn new(units: Units) -> Self {
        Self { units }
    }

    /// `0.40 mm`, or `0.0157 in (0.40 mm)`, to so many decimals of a millimetre.
    pub(crate) fn both(self, millimetres: f64, decimals: usize) -> String {
        let metric = self::millimetres(millimetres, decimals);
        match self.units {
            Units::Millimetre => metric,
            Units::Inch => format!("{} ({metric})", self.one(millimetres, decimals)),
        }
    }

    /// `0.40 mm` or `0.0157 in`.
    pub(crate) fn one(self, millimetres: f64, decimals: usize) -> String {
        match self.units {
            Units::Millimetre => self::millimetres(millimetres, decimals),
            Units::Inch => text::decimal_with_unit(Length::from_mm(millimetres), Units::Inch),
        }
    }

    /// `+0.030 mm` or `+0.0012 in`.
    pub(crate) fn signed(self, millimetres: f64, decimals: usize) -> String {
        let sign = if millimetres < 0.0 { "" } else { "+" };
        format!("{sign}{}", self.one(millimetres, decimals))
    }

    /// `-4.50 to 16.00 mm` or `-0.1772 to 0.6299 in`.
    pub(crate) fn span(self, from: f64, to: f64) -> String {
        match self.units {
            Units::Millimetre => format!("{from:.2} to {to:.2} mm"),
            Units::Inch => {
                let [from, to] = [from, to].map(|end| Length::from_mm(end).as_inch());
                format!("{from:.4} to {to:.4} in")
            }
        }
    }

    /// A limit as stated, `0.02 mm` or `0.0008 in`.
    pub(crate) fn limit(self, millimetres: f64) -> String {
        match self.units {
            Units::Millimetre => text::short(Length::from_mm(millimetres), Units::Millimetre),
            Units::Inch => self.one(millimetres, 2),
        }
    }

    /// A height, `Z-4.500` or `Z-0.1772 in`.
    pub(crate) fn z(self, millimetres: f64) -> String {
        match self.units {
            Units::Millimetre => format!("Z{millimetres:.3}"),
            Units::Inch => format!("Z{:.4} in", Length::from_mm(millimetres).as_inch()),
        }
    }

    /// `1200 mm/min` or `47.2 in/min`.
    pub(crate) fn feed(self, millimetres_per_minute: f64) -> String {
        let each_minute = Length::from_mm(millimetres_per_minute);
        match self.units {
            Units::Millimetre => format!("{millimetres_per_minute:.0} mm/min"),
            Units::Inch => format!("{:.1} in/min", each_minute.as_inch()),
        }
    }

    /// A chip, in both units always: charts have the one or the other.
    pub(crate) fn chip(self, millimetres: f64) -> String {
        text::chip(Length::from_mm(millimetres), self.units)
    }
}

fn millimetres(value: f64, decimals: usize) -> String {
    format!("{value:.decimals$} mm")
}

#[cfg(test)]
mod tests {
    use super::*;

    // 0.4 mm are 0.015748 in.
    #[test]
    fn inches_come_first_where_people_read_them() {
        let (metric, inch) = (Ruler::new(Units::Millimetre), Ruler::new(Units::Inch));
        assert_eq!(metric.both(0.4, 2), "0.40 mm");
        assert_eq!(inch.both(0.4, 2), "0.0157 in (0.40 mm)");
        assert_eq!(metric.span(-4.5, 16.0), "-4.50 to 16.00 mm");
        assert_eq!(inch.span(-4.5, 16.0), "-0.1772 to 0.6299 in");
        assert_eq!(
            (metric.limit(0.02), inch.limit(0.02)),
            ("0.02 mm".to_owned(), "0.0008 in".to_owned())
        );
        assert_eq!(
            (metric.z(-4.5), inch.z(-4.5)),
            ("Z-4.500".to_owned(), "Z-0.1772 in".to_owned())
        );
        assert_eq!(
            (metric.feed(1200.0), inch.feed(1270.0)),
            ("1200 mm/min".to_owned(), "50.0 in/min".to_owned())
        );
    }
}
