//! The distance to the nearest of many points.

/// Points in the order of a tree: the middle one of a range divides it by X,
/// the middle ones of its halves by Y, and so on.
#[derive(Clone, Debug, Default)]
pub(crate) struct Nearest {
    points: Vec<[f64; 2]>,
}

impl Nearest {
    pub(crate) fn of(mut points: Vec<[f64; 2]>) -> Self {
        divide(&mut points, 0);
        Self { points }
    }

    /// Infinite where there is none.
    pub(crate) fn distance(&self, point: [f64; 2]) -> f64 {
        self.distance_below(point, f64::INFINITY)
    }

    /// `most` where none is nearer: soon known, however many are about as far.
    pub(crate) fn distance_below(&self, point: [f64; 2], most: f64) -> f64 {
        let mut best = most * most;
        search(&self.points, 0, point, &mut best);
        best.sqrt()
    }
}

fn divide(points: &mut [[f64; 2]], axis: usize) {
    if points.len() < 2 {
        return;
    }
    let middle = points.len() / 2;
    points.select_nth_unstable_by(middle, |one, other| one[axis].total_cmp(&other[axis]));
    let (before, after) = points.split_at_mut(middle);
    divide(before, 1 - axis);
    divide(&mut after[1..], 1 - axis);
}

/// `best` is a square.
fn search(points: &[[f64; 2]], axis: usize, point: [f64; 2], best: &mut f64) {
    let middle = points.len() / 2;
    let Some(at) = points.get(middle) else {
        return;
    };
    let away = [point[0] - at[0], point[1] - at[1]];
    *best = best.min(away[0] * away[0] + away[1] * away[1]);
    let beyond = point[axis] - at[axis];
    let (before, after) = (&points[..middle], &points[middle + 1..]);
    let (near, far) = if beyond < 0.0 {
        (before, after)
    } else {
        (after, before)
    };
    search(near, 1 - axis, point, best);
    if beyond * beyond < *best {
        search(far, 1 - axis, point, best);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::norm;

    /// Held against all of them, one by one.
    #[test]
    fn the_nearest_is_the_nearest_of_all() {
        let scatter = |index: u32| {
            let turn = f64::from(index) * 2.399;
            let away = f64::from(index).sqrt();
            [away * turn.cos(), away * turn.sin()]
        };
        let points: Vec<[f64; 2]> = (0..500).map(scatter).collect();
        let nearest = Nearest::of(points.clone());
        for index in 0..60_u32 {
            let [x, y] = scatter(index * 9 + 3);
            let at = [x * 1.1 + 0.3, y * 0.9];
            let each = points
                .iter()
                .map(|point| norm([point[0] - at[0], point[1] - at[1]]));
            let least = each.fold(f64::INFINITY, f64::min);
            assert!((nearest.distance(at) - least).abs() < 1e-12);
            let below = nearest.distance_below(at, least + 0.1);
            assert!((below - least).abs() < 1e-12);
            assert_eq!(nearest.distance_below(at, least / 2.0), least / 2.0);
        }
        assert_eq!(Nearest::default().distance([0.0, 0.0]), f64::INFINITY);
    }
}
