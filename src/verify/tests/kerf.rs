//! Pieces that are cut free: a hand-written program, and what may go wrong with it.
//!
//! The end piece of an insert about (30, 30), 11.5 mm deep with a bit of 6 mm: its
//! outer end half round with 12.7 mm, its inner end hollow about (60, 30), its horns
//! cut off at X 30 + 23.159, 2 mm thick.

use super::*;
use crate::job::Tick;

/// X of the horns.
const HORN: f64 = 60.0 - 6.841_052_6;

/// The bit's centre once round the piece, so far out: down to a height on the way
/// from the lower left to the horn, back, and round.
fn lap_at(out: f64, z: f64) -> String {
    let (sin, cos) = (10.7_f64 / 12.7).asin().sin_cos();
    let (low, high, hollow) = (17.3 - out, 42.7 + out, 12.7 - out);
    // Where the arc round a horn's inner corner meets the hollow's.
    let (x, y) = (60.0 - hollow * cos, hollow * sin);
    let mut text = format!("G1 X{HORN:.3} Y{low:.3} Z{z:.3}\nG1 X30. Y{low:.3}\nG1 X{HORN:.3}\n");
    let right = HORN + out;
    let _ = writeln!(text, "G3 X{right:.3} Y17.3 I0. J{out:.3}\nG1 Y19.3");
    let _ = writeln!(text, "G3 X{x:.3} Y{:.3} I-{out:.3} J0.", 30.0 - y);
    let (i, j) = (60.0 - x, y);
    let _ = writeln!(text, "G2 X{x:.3} Y{:.3} I{i:.3} J{j:.3}", 30.0 + y);
    let (i, j) = (HORN - x, 10.7 - y);
    let _ = writeln!(text, "G3 X{right:.3} Y40.7 I{i:.3} J{j:.3}\nG1 Y42.7");
    let _ = writeln!(text, "G3 X{HORN:.3} Y{high:.3} I-{out:.3} J0.\nG1 X30.");
    let _ = writeln!(text, "G3 X30. Y{low:.3} I0. J-{:.3}", 12.7 + out);
    text
}

/// The same along the piece.
fn lap(z: f64) -> String {
    lap_at(3.0, z)
}

const LAPS: u32 = 12;

fn kerf() -> String {
    let mut text = "G0 X30. Y14.3\nG0 Z0.5\nG1 Z0. F1200.\n".to_owned();
    for number in 1..=LAPS {
        text += &lap(-11.5 * f64::from(number) / f64::from(LAPS));
    }
    text + "G0 Z5.\n"
}

fn plug_job() -> Job {
    let mut job = sample::plug_job();
    job.bit.stepdown = Some(mm(3.0));
    job.bit.ramp = Some(Angle::from_degrees(3.0));
    job.bit.chip_min = Some(mm(0.02));
    job.bit.chip_max = Some(mm(0.2));
    job.rack = vec![job.bit.clone()];
    job.machine.spindle.power_w = Some(2000.0);
    job
}

fn whole(body: &str) -> String {
    format!("{HEAD}{body}{TAIL}")
}

fn verdict(report: &Report, id: CheckId) -> Verdict {
    row(report, id).verdict
}

#[track_caller]
fn finds(report: &Report, id: CheckId, words: &str) {
    let check = row(report, id);
    assert_eq!(check.verdict, Verdict::Fail, "{check:?}");
    assert!(check.message.contains(words), "{}", check.message);
}

#[test]
fn a_piece_cut_free_passes_every_check() {
    let report = judged(&plug_job(), &whole(&kerf()));
    passes(&report);
    for (id, words) in [
        (CheckId::PocketComplete, "at most 0.000 mm of wood left"),
        (CheckId::PocketBounds, "at most 0.000 mm cut beyond"),
        (CheckId::Stepdown, "the greatest bite is 0.95"),
    ] {
        let message = &row(&report, id).message;
        assert!(message.contains(words), "{message}");
    }
    // Neither a pocket nor the face of another part.
    assert_eq!(report.pockets.len(), 0);
}

#[test]
fn a_kerf_that_is_damaged_is_refused() {
    let job = plug_job();
    let (good, last) = (kerf(), lap(-11.5));
    let damaged = |from: &str, to: &str| {
        let text = good.replace(from, to);
        assert_ne!(text, good);
        judged(&job, &whole(&text))
    };
    let report = damaged(&last, &lap(-11.55));
    let below = "cuts 0.050 mm into the scrap below the kerf round piece 1";
    finds(&report, CheckId::PocketBounds, below);
    let report = damaged(&last, "");
    let left = "0.958 mm of wood left in the kerf round scrap piece 1";
    finds(&report, CheckId::PocketComplete, left);
    // One side of the last lap left out; the arc after it no longer closes.
    let last_side = last.replace("G1 X30.\n", "");
    let report = damaged(&last, &last_side);
    finds(&report, CheckId::PocketComplete, "wood left in the kerf");
    // The hollow's arc the other way round, away from the piece.
    let wrong_way = last.replace("G2 ", "G3 ");
    let waste = "into the scrap beyond the kerf round piece 1";
    finds(&damaged(&last, &wrong_way), CheckId::PocketBounds, waste);
    let report = damaged("Y19.3\n", "Y19.3\nG1 X50.\nG1 X56.159\n");
    finds(&report, CheckId::PocketBounds, "piece 1 is to stay whole");
    // Half a tenth further out than roughing keeps off, and nothing along the piece.
    let aside = format!("{HEAD}{good}{TAIL}").replace("Y14.300", "Y14.050");
    let report = judged(&job, &aside);
    finds(
        &report,
        CheckId::PocketBounds,
        "beyond the kerf round piece 1",
    );
    finds(&report, CheckId::PocketComplete, "wood left in the kerf");
}

/// 0.05 mm too far out all along the straight side leaves the piece that much too large.
#[test]
fn a_shifted_kerf_leaves_the_piece_too_large_on_one_side() {
    let mut job = plug_job();
    let shift = |job: &mut Job, by: f64| {
        let contour = &mut job.parts[0].contours[0];
        contour.outline = sample::end_piece(30.0, 30.0 + by);
    };
    for (by, verdict_wanted) in [(0.015, Verdict::Pass), (0.025, Verdict::Fail)] {
        shift(&mut job, by);
        let report = judged(&job, &whole(&kerf()));
        for id in [CheckId::PocketBounds, CheckId::PocketComplete] {
            assert_eq!(verdict(&report, id), verdict_wanted, "{by} {id}");
        }
    }
}

#[test]
fn what_every_cut_is_asked_is_asked_of_a_kerf() {
    let job = plug_job();
    let good = kerf();
    let judge = |text: &str| judged(&job, text);
    let off = whole(&good).replace("S12000 M3\n", "");
    finds(&judge(&off), CheckId::SpindleOn, "with the spindle off");
    let first = lap(-11.5 / 12.0);
    let rapid = whole(&good.replace(&first, &first.replacen("G1 ", "G0 ", 1)));
    finds(&judge(&rapid), CheckId::RapidInWood, "a rapid meets wood");
    // From the first lap to the fifth at once.
    let laps: String = (2..5)
        .map(|number| lap(-11.5 * f64::from(number) / 12.0))
        .collect();
    let leap = judge(&whole(&good.replace(&laps, "")));
    finds(&leap, CheckId::Stepdown, "a bite of 3.8");
    finds(&leap, CheckId::RampAngle, "degrees, at most 3.00");
    let plunge = whole(&good.replace("G1 Z0. F1200.\n", "G1 Z-1. F1200.\n"));
    finds(
        &judge(&plunge),
        CheckId::Plunge,
        "straight down into 1.000 mm",
    );
    let slow = whole(&good).replace("F1200.", "F240.");
    finds(&judge(&slow), CheckId::ChipLoad, "the edge rubs and burns");
    let low = whole(&good.replace("G0 Z5.\n", "G0 X80.\nG0 Z5.\n"));
    finds(&judge(&low), CheckId::TravelHeight, "beside the pockets");
    let mut short = plug_job();
    short.bit.cutting_length = mm(10.0);
    let report = judged(&short, &whole(&good));
    finds(
        &report,
        CheckId::FluteReach,
        "the kerf round scrap piece 1 is cut 10.54 mm deep",
    );
}

/// Ticks on the piece are places of their own.
#[test]
fn a_tick_on_the_piece_is_no_cut_into_it() {
    let mut job = plug_job();
    job.parts[0].ticks = vec![Tick {
        from: Point::from_mm(30.0, 30.0),
        to: Point::from_mm(38.0, 30.0),
        depth: mm(0.5),
    }];
    let tick = |z: &str| {
        format!(
            "G0 X30. Y30.\nG0 Z0.5\nG1 Z0. F1200.\nG1 X38. Z-0.4\nG1 X30.\nG1 X38. {z}\nG1 X30.\nG0 Z5.\n"
        )
    };
    passes(&judged(&job, &whole(&(kerf() + &tick("Z-0.5")))));
    let deep = judged(&job, &whole(&(kerf() + &tick("Z-0.55"))));
    finds(&deep, CheckId::PocketBounds, "cuts 0.050 mm into the scrap");
    let missing = judged(&job, &whole(&kerf()));
    finds(&missing, CheckId::PocketComplete, "0.500 mm of wood left");
}

/// The way of the centre, 2 × 23.159 + 4 mm and arcs of 15.7 and 9.7 and four corners,
/// is taken 11.5 / 3 times, and once more for the outline.
#[test]
fn the_bound_of_a_kerf_is_its_volume_and_one_way_round() {
    let job = plug_job();
    let mut chosen = settings::for_job(&job);
    chosen.feed = Feed::from_mm_per_minute(1000.0);
    chosen.limits.stepdown = mm(3.0);
    chosen.limits.ramp = Angle::from_degrees(45.0);
    let mut judge = Judge::new(&job, &chosen);
    judge.begin("a.nc", None);
    judge.push(whole(&kerf()).as_bytes());
    judge.end();
    let half_hollow = (10.7_f64 / 12.7).asin();
    let rounds = std::f64::consts::PI * (15.7 + 3.0) + 2.0 * half_hollow * (9.7 + 3.0);
    let way = 2.0 * (HORN - 30.0) + 4.0 + rounds;
    let seconds = judge.finish().report.programs[0].bound_seconds.as_seconds();
    let expected = way * (11.5 / 3.0 + 1.0) / 1000.0 * 60.0;
    assert!((seconds - expected).abs() < 0.001, "{seconds} {expected}");
}

/// Roughed 0.2 mm off the piece down to the floor, and finished in one lap, which
/// takes 11.5 mm of the piece's wall and no core.
#[test]
fn a_finishing_lap_takes_what_roughing_left_along_the_piece() {
    let job = plug_job();
    let mut text = "G0 X30. Y14.1\nG0 Z0.5\nG1 Z0. F1200.\n".to_owned();
    for number in 1..=LAPS {
        text += &lap_at(3.2, -11.5 * f64::from(number) / f64::from(LAPS));
    }
    let left = judged(&job, &whole(&(text.clone() + "G0 Z5.\n")));
    finds(
        &left,
        CheckId::PocketComplete,
        "11.500 mm of wood left in the kerf",
    );
    assert_eq!(verdict(&left, CheckId::PocketBounds), Verdict::Pass);
    let finished = judged(&job, &whole(&(text + &lap(-11.5) + "G0 Z5.\n")));
    for id in [
        CheckId::PocketBounds,
        CheckId::PocketComplete,
        CheckId::Stepdown,
    ] {
        assert_eq!(verdict(&finished, id), Verdict::Pass);
    }
    let greatest = &row(&finished, CheckId::Stepdown).message;
    assert!(greatest.contains("0.95"), "{greatest}");
}

/// Two pieces one kerf apart share it: each is whole, and each is free.
#[test]
fn a_neighbours_kerf_spares_the_piece() {
    let mut job = plug_job();
    let mut beside = job.parts[0].contours[0].clone();
    beside.number = 2;
    beside.depth = mm(1.0);
    let with = |job: &Job, gap: f64| {
        let mut job = job.clone();
        let mut beside = beside.clone();
        beside.outline = crate::job::contour::of_rectangle(&crate::geometry::RoundedRectangle {
            center: Point::from_mm(42.0, 17.3 - gap - 4.0),
            half_x: 10.0,
            half_y: 4.0,
            corner: 0.0,
        });
        job.parts[0].contours.push(beside);
        judged(&job, &whole(&kerf()))
    };
    let apart = with(&job, 6.0);
    assert_eq!(verdict(&apart, CheckId::PocketBounds), Verdict::Pass);
    let near = with(&job, 5.5);
    let into = "cuts 0.500 mm into the scrap where piece 2 is to stay whole";
    assert!(
        row(&near, CheckId::PocketBounds).message.contains(into),
        "{}",
        row(&near, CheckId::PocketBounds).message
    );
    job.parts[0].contours.clear();
    // No kerf is asked for at all.
    let none = judged(&job, &whole(&kerf()));
    finds(&none, CheckId::PocketBounds, "away from every pocket");
}
