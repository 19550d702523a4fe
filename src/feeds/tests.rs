use super::*;
use crate::feeds::sample::job;
use crate::units::Feed;

fn bit<'a>(table: &'a FeedTable, name: &str) -> &'a BitFeeds {
    table.bits.iter().find(|bit| bit.bit == name).unwrap()
}

#[test]
fn every_bit_of_the_rack_has_its_place() {
    let table = table(&job(), None);
    let names: Vec<&str> = table.bits.iter().map(|bit| bit.bit.as_str()).collect();
    assert_eq!(
        names,
        [
            "6 mm up-spiral",
            "6 mm down-spiral",
            "8 mm double-flute",
            "12.7 mm double-flute",
            "short",
            "2.5 mm drill"
        ]
    );
    let worn = bit(&table, "6 mm down-spiral");
    let wears: Vec<f64> = worn.states.iter().map(|row| row.wear).collect();
    assert_eq!(wears, [0.0, 0.4, 1.0]);
    assert!(bit(&table, "6 mm up-spiral").of_the_job);
}

#[test]
fn a_bit_that_cannot_do_the_job_says_why() {
    let table = table(&job(), None);
    let wide = &bit(&table, "12.7 mm double-flute").problems;
    assert_eq!(
        wide[0],
        "it cuts 12.70 mm wide, the narrowest step is 10.10 mm"
    );
    assert!(wide[1].ends_with("the largest bit that does is 10.10 mm"));
    let short = &bit(&table, "short").problems;
    assert!(
        short[0].starts_with("its cutting edge of 8.0 mm is shorter than the pocket's 12.4 mm")
    );
    assert!(bit(&table, "2.5 mm drill").problems[0].contains("drill"));
    assert!(bit(&table, "2.5 mm drill").states.is_empty());
}

// 12.7 mm are 0.5 in and 10.1 mm 0.3976 in.
#[test]
fn reasons_are_in_the_unit_that_people_read() {
    let mut job = job();
    job.units = Units::Inch;
    let table = table(&job, None);
    let wide = &bit(&table, "12.7 mm double-flute").problems;
    assert_eq!(
        wide[0],
        "it cuts 0.50 in wide, the narrowest step is 0.3976 in"
    );
    for said in table.bits.iter().flat_map(|bit| &bit.problems) {
        assert!(!said.contains(" mm"), "{said}");
    }
    let why = table.verdict.why.split('`').step_by(2).collect::<String>();
    assert!(
        why.contains(" in roughing") && !why.contains(" mm"),
        "{why}"
    );
}

#[test]
fn the_cleanest_rim_wins_and_the_quickest_is_named() {
    let table = table(&job(), None);
    assert_eq!(table.verdict.best.as_deref(), Some("6 mm down-spiral"));
    assert!(table.verdict.why.starts_with("clean rim"));
    assert!(table.verdict.fastest.is_some());
    let name = table.verdict.fastest.as_deref().unwrap();
    assert!(table.verdict.why.contains(name), "{}", table.verdict.why);
}

#[test]
fn a_given_wear_holds_for_every_bit() {
    let table = table(&job(), Some(0.7));
    for bit in table.bits.iter().filter(|bit| bit.problems.is_empty()) {
        assert_eq!(bit.states[1].wear, 0.7, "{}", bit.bit);
        assert!(bit.states[1].rpm <= bit.states[0].rpm);
        assert!(bit.states[2].rpm <= bit.states[1].rpm);
        assert!(bit.states[1].stepdown <= bit.states[0].stepdown);
        assert!(bit.states[2].stepdown <= bit.states[1].stepdown);
    }
}

#[test]
fn a_machine_too_slow_for_its_spindle_leaves_no_best_bit() {
    let mut job = job();
    job.machine.feed_max = [300.0, 300.0, 100.0].map(Feed::from_mm_per_minute);
    job.machine.spindle.slowest = crate::units::SpindleSpeed::from_rpm(20_000.0);
    let table = table(&job, None);
    assert_eq!(table.verdict.best, None);
    assert_eq!(
        table.verdict.why,
        "no bit serves on this machine, even fresh"
    );
}

#[test]
fn the_rows_of_the_table_agree_with_each_other() {
    for bit in table(&job(), None).bits {
        for row in bit.states {
            // Feed / (rpm x 2 flutes); width x stepdown x feed; force x speed.
            let chip = row.feed.as_mm_per_minute() / (row.rpm * 2.0);
            assert!((row.chip_load.as_mm() - chip).abs() < 1e-9);
            let rate = bit.diameter.as_mm() * row.stepdown.as_mm() * row.feed.as_mm_per_minute();
            assert!((row.removal_rate - rate).abs() < 1e-6);
            assert!((row.power_w - row.force_n * row.surface_speed).abs() < 1e-6);
            assert!((row.power_share.unwrap() - row.power_w / 500.0).abs() < 1e-12);
        }
    }
}

#[test]
fn figures_without_a_source_are_labelled() {
    let mut job = job();
    job.rack[0].stepdown = Some(Length::from_mm(3.0));
    job.rack.truncate(1);
    let table = table(&job, None);
    assert_eq!(table.bits[0].sources.stepdown, None);
    assert_eq!(table.bits[0].sources.chip_max, Some(Confidence::Practice));
    assert_eq!(table.bits[0].sources.force, Confidence::Memory);
    assert!(table.unsourced.iter().all(|each| each.seen.is_soft()));
}

#[test]
fn a_lifting_spiral_that_forgoes_scoring_is_not_said_to_score() {
    let mut job = job();
    job.rack[0].wall_care.score = Some(false);
    let table = table(&job, None);
    assert_eq!(bit(&table, "6 mm up-spiral").rim, Rim::Frayed);
}
