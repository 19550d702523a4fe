//! A few samples or rows looked at together: steps over so many compile to
//! vector instructions.

use std::array::from_fn;
use std::ops::Range;

/// How many.
pub(crate) const FEW: usize = 16;

/// A figure for each.
pub(crate) type Few = [f32; FEW];

/// Their numbers.
#[rustfmt::skip]
const PLACES: Few =
    [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 13.0, 14.0, 15.0];

/// Whole numbers from `first` on.
pub(crate) fn counted_from(first: f32) -> Few {
    PLACES.map(|place| first + place)
}

/// Joins a few numbers by halves.
pub(crate) fn joined(mut few: Few, join: impl Fn(f32, f32) -> f32) -> f32 {
    let mut half = FEW / 2;
    while half > 0 {
        for place in 0..half {
            few[place] = join(few[place], few[place + half]);
        }
        half /= 2;
    }
    few[0]
}

/// `inside` at the places in `range`, `outside` at the others; place 0 has
/// the number `start`.
pub(crate) fn chosen(start: usize, range: &Range<usize>, inside: &Few, outside: &Few) -> Few {
    let before = |end: usize| to_f32(number(end.saturating_sub(start))) - 0.5;
    let (first, last) = (before(range.start), before(range.end));
    // By a sign and by bits: a choice would compile to a step for each place.
    from_fn(|place| {
        let product = (PLACES[place] - first) * (PLACES[place] - last);
        let mask = (product.to_bits() >> 31).wrapping_neg();
        f32::from_bits(inside[place].to_bits() & mask | outside[place].to_bits() & !mask)
    })
}

/// A stretch of each of a few rows, from and to; none where the first is the
/// greater.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spans {
    pub(crate) low: Few,
    pub(crate) high: Few,
}

impl Spans {
    pub(crate) const NONE: Self = Self {
        low: [f32::INFINITY; FEW],
        high: [f32::NEG_INFINITY; FEW],
    };

    /// From the first of both to the last.
    pub(crate) fn with(&self, other: &Self) -> Self {
        Self {
            low: from_fn(|place| lesser(self.low[place], other.low[place])),
            high: from_fn(|place| greater(self.high[place], other.high[place])),
        }
    }

    /// What both have.
    pub(crate) fn common(&self, other: &Self) -> Self {
        Self {
            low: from_fn(|place| greater(self.low[place], other.low[place])),
            high: from_fn(|place| lesser(self.high[place], other.high[place])),
        }
    }

    /// What lies within `half` of `middle`, in the rows where `is_there`.
    pub(crate) fn about(middle: &Few, half: &Few, is_there: impl Fn(usize) -> bool) -> Self {
        let chosen = |place: usize, value: f32, other: f32| {
            if is_there(place) { value } else { other }
        };
        Self {
            low: from_fn(|place| chosen(place, middle[place] - half[place], f32::INFINITY)),
            high: from_fn(|place| chosen(place, middle[place] + half[place], f32::NEG_INFINITY)),
        }
    }
}

/// Columns and rows are a few thousand at most.
#[allow(clippy::cast_precision_loss)]
pub(crate) fn number(index: usize) -> f64 {
    index as f64
}

#[allow(clippy::cast_possible_truncation)]
pub(crate) fn to_f32(value: f64) -> f32 {
    value as f32
}

/// `f64::min` and `f64::max` also mind what is not a number, and are slower.
pub(crate) fn lesser<T: PartialOrd>(a: T, b: T) -> T {
    if b < a { b } else { a }
}

pub(crate) fn greater<T: PartialOrd>(a: T, b: T) -> T {
    if b > a { b } else { a }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_few_are_joined_into_one() {
        let few = counted_from(3.0);
        assert_eq!((few[0], few[FEW - 1]), (3.0, 18.0));
        assert_eq!(joined(few, greater), 18.0);
        assert_eq!(joined(few, lesser), 3.0);
        // 3 + 4 + … + 18.
        assert_eq!(joined(few, |a, b| a + b), 168.0);
    }

    #[test]
    fn places_are_chosen_by_their_numbers() {
        let (inside, outside) = (counted_from(100.0), counted_from(-100.0));
        for (range, first, end) in [
            (40..50, 0, 10),
            (43..50, 3, 10),
            (43..44, 3, 4),
            (43..43, 3, 3),
            (30..45, 0, 5),
            (47..99, 7, FEW),
            (20..30, 0, 0),
            (90..99, FEW, FEW),
        ] {
            let found = chosen(40, &range, &inside, &outside);
            for place in 0..FEW {
                let from = if (first..end).contains(&place) {
                    inside
                } else {
                    outside
                };
                assert_eq!(found[place], from[place], "{range:?} {place}");
            }
        }
    }

    #[test]
    fn stretches_are_joined_and_what_they_share_is_found() {
        let there = |place: usize| place != 2;
        let one = Spans::about(&[10.0; FEW], &[2.0; FEW], there);
        let other = Spans::about(&counted_from(11.0), &[1.0; FEW], |_| true);
        let span = |spans: &Spans, place: usize| (spans.low[place], spans.high[place]);
        assert_eq!(span(&one.with(&other), 0), (8.0, 12.0));
        assert_eq!(span(&one.with(&other), 5), (8.0, 17.0));
        assert_eq!(span(&one.common(&other), 0), (10.0, 12.0));
        let apart = span(&one.common(&other), 5);
        assert!(apart.0 > apart.1);
        assert_eq!(span(&one, 2), span(&Spans::NONE, 2));
        assert_eq!(span(&one.with(&other), 2), (12.0, 14.0));
        let nothing = span(&one.common(&other), 2);
        assert!(nothing.0 > nothing.1);
    }
}
