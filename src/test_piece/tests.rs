use super::*;
use crate::geometry::{Point, RoundedRectangle};
use crate::job::{Layout, Tick, sample};

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

fn test_piece_of(of: &Job, scrap: Scrap, series: Series) -> Result<Job, Diagnostics> {
    job(of, scrap, series)
}

fn scrap() -> Scrap {
    Scrap {
        length: mm(150.0),
        width: mm(100.0),
        thickness: mm(20.0),
    }
}

fn all(job: &Job, series: Series) -> Vec<f64> {
    let all = clearances(job, series).unwrap();
    all.iter()
        .map(|length| (length.as_mm() * 1e6).round() / 1e6)
        .collect()
}

// The sample's clearance is 0.1: 0.0, 0.05, 0.1, 0.15, 0.2.
#[test]
fn clearances_step_around_the_jobs_own() {
    let job = sample::job();
    assert_eq!(all(&job, Series::default()), [0.0, 0.05, 0.1, 0.15, 0.2]);
    let wide = Series {
        pockets: 7,
        step: mm(0.1),
        depth_step: None,
    };
    assert_eq!(all(&job, wide), [0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6]);
}

#[test]
fn a_pocket_as_wide_as_the_bit_steps_upward_only() {
    let mut job = sample::job();
    job.bit.diameter = mm(10.1);
    assert_eq!(all(&job, Series::default()), [0.1, 0.15, 0.2, 0.25, 0.3]);
    job.bit.diameter = mm(10.05);
    assert_eq!(all(&job, Series::default()), [0.05, 0.1, 0.15, 0.2, 0.25]);
}

#[test]
fn series_out_of_range_are_refused() {
    let job = sample::job();
    let refuse = |pockets, step, depth| {
        let series = Series {
            pockets,
            step: mm(step),
            depth_step: depth,
        };
        assert_eq!(clearances(&job, series).unwrap_err().code, "out-of-range");
    };
    refuse(4, 0.05, None);
    refuse(10, 0.05, None);
    refuse(5, 0.0, None);
    refuse(5, f64::NAN, None);
    refuse(9, 0.5, None);
    refuse(5, 0.05, Some(mm(-0.1)));
}

#[test]
fn each_pocket_is_the_jobs_own_with_another_clearance() {
    let test_piece = test_piece_of(&sample::job(), scrap(), Series::default()).unwrap();
    let part = &test_piece.parts[0];
    assert_eq!((part.name, part.pockets.len()), (PartName::Scrap, 5));
    let [first, .., last] = part.pockets.as_slice() else {
        panic!()
    };
    // 44.1 × 10.1 with clearance 0.1 is 44.0 × 10.0 without and 44.2 × 10.2 with 0.2.
    let near = |length: Length, want: f64| assert!((length.as_mm() - want).abs() < 1e-9);
    near(first.steps[0].length, 44.0);
    near(first.steps[0].width, 10.0);
    near(first.steps[0].corner, 5.0);
    near(last.steps[1].length, 27.2);
    near(last.steps[1].corner, 5.1);
    near(last.steps[1].depth, 12.4);
    assert_eq!(test_piece.fixture.layout, Layout::Scrap);
    assert_eq!(test_piece.bit, sample::job().bit);
}

#[test]
fn pocket_n_has_n_ticks_beside_it() {
    let test_piece = test_piece_of(&sample::job(), scrap(), Series::default()).unwrap();
    let part = &test_piece.parts[0];
    for pocket in &part.pockets {
        let beside = |tick: &&Tick| {
            let middle = (tick.from.y() + tick.to.y()) / 2.0;
            (middle - pocket.center.y()).abs().as_mm() < 1.0
        };
        assert_eq!(part.ticks.iter().filter(beside).count(), pocket.hinge);
    }
}

// Every pocket and tick keeps 4 mm of wood to the edges, and the pockets and
// ticks keep it among each other (ticks of one pocket 2 mm).
#[test]
fn walls_hold_in_the_smallest_scrap_that_is_allowed() {
    let series = Series {
        depth_step: Some(mm(0.1)),
        ..Series::default()
    };
    let job = sample::job();
    let tiny = Scrap {
        length: mm(1.0),
        width: mm(1.0),
        thickness: mm(1.0),
    };
    let errors = test_piece_of(&job, tiny, series).unwrap_err();
    assert_eq!(errors[0].code, "scrap-too-small");
    let numbers: Vec<f64> = errors[0]
        .message
        .split_whitespace()
        .filter_map(|word| word.parse().ok())
        .collect();
    let [.., length, width, thickness] = numbers.as_slice() else {
        panic!()
    };
    let scrap = Scrap {
        length: mm(*length),
        width: mm(*width),
        thickness: mm(*thickness),
    };
    let test_piece = test_piece_of(&job, scrap, series).unwrap();
    let part = &test_piece.parts[0];
    assert_eq!(part.pockets.len(), 10);
    let outlines: Vec<RoundedRectangle> = part
        .pockets
        .iter()
        .map(|pocket| {
            let step = pocket.steps[0];
            RoundedRectangle::new(pocket.center, step.length, step.width, step.corner)
        })
        .chain(part.ticks.iter().map(|tick| {
            let center = Point::new(tick.from.x(), (tick.from.y() + tick.to.y()) / 2.0);
            let run = (tick.to.y() - tick.from.y()).as_mm();
            RoundedRectangle::new(center, mm(6.0), mm(run + 6.0), mm(3.0))
        }))
        .collect();
    for (index, one) in outlines.iter().enumerate() {
        assert!(one.center.x - one.half_x >= 4.0 - 1e-9);
        assert!(one.center.y - one.half_y >= 4.0 - 1e-9);
        assert!(one.center.x + one.half_x <= length - 4.0 + 1e-9);
        assert!(one.center.y + one.half_y <= width - 4.0 + 1e-9);
        for (other_index, other) in outlines.iter().enumerate().skip(index + 1) {
            let apart_x = (one.center.x - other.center.x).abs() - one.half_x - other.half_x;
            let apart_y = (one.center.y - other.center.y).abs() - one.half_y - other.half_y;
            let ticks = index >= 10 && other_index >= 10;
            let least = if ticks { 2.0 } else { 4.0 };
            assert!(
                apart_x.max(apart_y) >= least - 1e-9,
                "{index} {other_index}"
            );
        }
    }
}

#[test]
fn a_test_piece_past_the_travel_is_refused() {
    let mut job = sample::job();
    job.machine.travel[1] = mm(60.0);
    let errors = test_piece_of(&job, scrap(), Series::default()).unwrap_err();
    assert_eq!(errors[0].code, "test-piece-past-travel");
}

// Leaf depths of the second row: 4.7 − 0.2 … 4.7 + 0.2, the body always 7.7 deeper.
#[test]
fn the_depth_row_sinks_all_steps_together() {
    let series = Series {
        depth_step: Some(mm(0.1)),
        ..Series::default()
    };
    let large = Scrap {
        length: mm(300.0),
        ..scrap()
    };
    let test_piece = test_piece_of(&sample::job(), large, series).unwrap();
    let row = &test_piece.parts[0].pockets[5..];
    for (index, pocket) in row.iter().enumerate() {
        let leaf = pocket.steps[0].depth.as_mm();
        assert!((leaf - (4.5 + 0.1 * index as f64)).abs() < 1e-9);
        assert!((pocket.steps[1].depth.as_mm() - leaf - 7.7).abs() < 1e-9);
        assert!((pocket.steps[0].width.as_mm() - 10.1).abs() < 1e-9);
    }
}
