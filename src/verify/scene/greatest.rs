//! Where along a path something is greatest, by branch and bound.

use crate::replay::segment::Segment;

/// Largest error of what is found, in millimetres.
pub(crate) const ERROR: f64 = 5e-4;

/// The greatest of a figure along a path, and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Greatest {
    pub(crate) figure: f64,
    pub(crate) at: [f64; 3],
}

/// The greatest of `figure` along the path where it is more than `known`, to
/// [`ERROR`]; any that is more than `enough` will do. The figure must change by
/// no more than the point moves; `most` is never less than it on a stretch.
pub(crate) fn greatest(
    path: &Segment,
    (known, enough): (f64, f64),
    figure: &dyn Fn([f64; 3]) -> f64,
    most: &dyn Fn(&Segment) -> f64,
) -> Option<Greatest> {
    let mut best = None;
    let mut least = known;
    // Ends first: what is greatest there is found without a search.
    for at in [path.from, path.to] {
        let found = figure(at);
        if found > least {
            least = found;
            best = Some(Greatest { figure: found, at });
        }
    }
    let mut stretches = vec![(0.0, 1.0)];
    while let Some((first, last)) = stretches.pop() {
        if least > enough {
            break;
        }
        let stretch = path.part(first, last);
        let reach = stretch.length() / 2.0;
        let middle = f64::midpoint(first, last);
        let at = path.at(middle);
        let found = figure(at);
        if found > least {
            least = found;
            best = Some(Greatest { figure: found, at });
        }
        if found + reach <= least + ERROR || most(&stretch) <= least + ERROR {
            continue;
        }
        stretches.push((middle, last));
        stretches.push((first, middle));
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A ridge at X 7.3 that is 2 high, known to be no higher than its foot is near.
    #[test]
    fn the_greatest_is_found_with_its_place() {
        let path = Segment::line([0.0, 0.0, 0.0], [20.0, 0.0, 0.0]);
        let ridge = |[x, _, _]: [f64; 3]| 2.0 - (x - 7.3).abs();
        let find = |known, enough| greatest(&path, (known, enough), &ridge, &|_| f64::INFINITY);
        let found = find(0.0, f64::INFINITY).unwrap();
        assert!((found.figure - 2.0).abs() <= ERROR && (found.at[0] - 7.3).abs() <= ERROR);
        assert_eq!(find(2.0, f64::INFINITY), None);
        assert!(find(0.0, 0.5).unwrap().figure > 0.5);
        // What is bounded is not looked at.
        assert_eq!(
            greatest(&path, (0.0, 1.0), &ridge, &|_| 0.0).map(|_| ()),
            None
        );
    }
}
