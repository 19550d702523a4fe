//! The geometry table by hand-computed cases; lengths in millimetres.

use super::{overlay, resolve, resolve_with};
use crate::input::{Overrides, sample};
use crate::job::{Closing, Job, PartName, Pocket};

#[track_caller]
fn job(changes: &[(&str, &str)]) -> Job {
    resolve(&overlay(changes)).unwrap_or_else(|errors| panic!("{}", super::listing(&errors)))
}

fn pocket(job: &Job, part: PartName, hinge: usize) -> &Pocket {
    &job.part(part).unwrap().pockets[hinge - 1]
}

#[track_caller]
fn check_center(job: &Job, part: PartName, hinge: usize, u: f64, v: f64) {
    let center = pocket(job, part, hinge).center;
    let found = (center.x().as_mm(), center.y().as_mm());
    let near = (found.0 - u).abs() < 1e-9 && (found.1 - v).abs() < 1e-9;
    assert!(near, "{part} {hinge}: found {found:?}, want {:?}", (u, v));
}

#[track_caller]
fn check_step(pocket: &Pocket, step: usize, want: [f64; 5]) {
    let step = &pocket.steps[step - 1];
    let found = [step.length, step.width, step.corner, step.shift, step.depth];
    let found = found.map(|length| length.as_mm());
    for (found_one, want_one) in found.iter().zip(want) {
        assert!(
            (found_one - want_one).abs() < 1e-9,
            "{found:?}, want {want:?}"
        );
    }
}

const INSET: [(&str, &str); 2] = [
    (
        "closing = 'overlay'",
        "closing = 'inset'\ndrop = 2\nlength = 227\nend_inset = 16.5",
    ),
    ("[placement]", "[placement]"),
];

// Overlay: v = setback + W/2 = 3.5 + 10/2 = 8.5 in both parts.
#[test]
fn overlay_centres_lie_setback_and_half_the_width_from_the_outside_face() {
    let job = job(&[]);
    assert_eq!(job.closing, Closing::Overlay);
    for part in [PartName::Box, PartName::Lid] {
        check_center(&job, part, 1, 45.0, 8.5);
        check_center(&job, part, 2, 215.0, 8.5);
    }
    let (body, lid) = (&job.parts[0], &job.parts[1]);
    assert_eq!((body.across.as_mm(), body.below.as_mm()), (18.0, 90.0));
    assert_eq!((lid.across.as_mm(), lid.below.as_mm()), (180.0, 18.0));
    assert_eq!(lid.length.as_mm(), 260.0);
}

// The classic sum: 3/32 in + half of 3/8 in = 9/32 in (common practice, no source).
#[test]
fn three_thirtyseconds_and_half_of_three_eighths_make_nine_thirtyseconds() {
    let job = job(&[("width = 10\n", "width = '3/8 in'\n"), ("3.5", "'3/32 in'")]);
    check_center(&job, PartName::Box, 1, 45.0, 9.0 / 32.0 * 25.4);
}

// Handbook row W51: setback 4.0 mm, leaf 9.5 mm, centreline 8.750 mm; row W52:
// part 19.05 mm thick, inner wall 5.550 mm (without clearance).
#[test]
fn handbook_centreline_and_inner_wall_agree() {
    let job = job(&[
        ("width = 10\n", "width = 9.5\n"),
        ("3.5", "4.0"),
        ("wall = 18", "wall = 19.05"),
        ("gap = 0.4", "clearance = 0"),
    ]);
    check_center(&job, PartName::Box, 1, 45.0, 8.75);
    let body = &job.parts[0];
    let width = pocket(&job, PartName::Box, 1).steps[0].width;
    let inner = body.across - pocket(&job, PartName::Box, 1).center.y() - width / 2.0;
    assert!((inner.as_mm() - 5.55).abs() < 1e-9);
}

// Handbook row W50: closed thickness over both leaf backs 6.4 mm, wanted gap
// 0.2 mm, equal split (6.4 − 0.2)/2 = 3.100 mm. A leaf 3.0 mm deep in each part
// leaves a closed gap of 6.4 − 2 × 3.0 = 0.4 mm.
#[test]
fn handbook_sink_for_an_equal_split_agrees() {
    let job = job(&[
        ("depth = 4.5", "depth = 3"),
        ("closed_gap = 0.8", "closed_gap = 0.4"),
        ("gap = 0.4\n[fix", "gap = 0.2\n[fix"),
    ]);
    for part in [PartName::Box, PartName::Lid] {
        let depth = pocket(&job, part, 1).steps[0].depth;
        assert!((depth.as_mm() - 3.1).abs() < 1e-9);
    }
}

// Overhang 2: lid v = 2 + 3.5 + 5 = 10.5; end inset −1: lid u = u + 1.
#[test]
fn overhang_and_end_inset_move_the_lids_pockets_only() {
    let job = job(&[(
        "closing = 'overlay'",
        "closing = 'overlay'\noverhang = 2\nend_inset = -1",
    )]);
    check_center(&job, PartName::Box, 1, 45.0, 8.5);
    check_center(&job, PartName::Lid, 1, 46.0, 10.5);
    assert_eq!(job.hinge.overhang_or_drop.as_mm(), 2.0);
}

#[test]
fn a_lid_with_walls_has_them_across_and_its_thickness_below() {
    let job = job(&[("width = 180", "width = 180\nwall = 16")]);
    let lid = &job.parts[1];
    assert_eq!((lid.across.as_mm(), lid.below.as_mm()), (16.0, 18.0));
    assert_eq!(
        lid.depth_for_drawing.map(|depth| depth.as_mm()),
        Some(180.0)
    );
}

// Inset, drop 2: box v = 2 + 3.5 + 5 = 10.5 from the rim; lid u = 45 − 16.5 = 28.5, v = 8.5.
#[test]
fn inset_box_counts_from_the_rim_and_the_lid_from_its_show_face() {
    let job = job(&INSET);
    check_center(&job, PartName::Box, 1, 45.0, 10.5);
    check_center(&job, PartName::Lid, 1, 28.5, 8.5);
    check_center(&job, PartName::Lid, 2, 198.5, 8.5);
    let (body, lid) = (&job.parts[0], &job.parts[1]);
    assert_eq!((body.across.as_mm(), body.below.as_mm()), (90.0, 18.0));
    assert_eq!((lid.across.as_mm(), lid.below.as_mm()), (18.0, 180.0));
    assert_eq!(job.hinge.overhang_or_drop.as_mm(), 2.0);
}

// Recess 0.8 − 0.4 = 0.4 shared half and half: leaf 4.5 + 0.2 = 4.7; body
// 12 + 0.2 under it + 0.2 = 12.4. Clearance 0.1: 44.1 × 10.1, corner 5.05.
#[test]
fn steps_grow_by_the_clearance_and_sink_by_recess_and_room() {
    let job = job(&[]);
    let pocket = pocket(&job, PartName::Box, 1);
    check_step(pocket, 1, [44.1, 10.1, 5.05, 0.0, 4.7]);
    check_step(pocket, 2, [27.1, 10.1, 5.05, 0.0, 12.4]);
}

// Share 0.25 of the recess 0.4: box 0.1, lid 0.3.
#[test]
fn the_recess_is_shared_as_the_job_says() {
    let job = job(&[(
        "gap = 0.4\n[fix",
        "gap = 0.4\nbox_share = 0.25\nunder = 0.5\n[fix",
    )]);
    check_step(
        pocket(&job, PartName::Box, 1),
        1,
        [44.1, 10.1, 5.05, 0.0, 4.6],
    );
    check_step(
        pocket(&job, PartName::Lid, 1),
        1,
        [44.1, 10.1, 5.05, 0.0, 4.8],
    );
    check_step(
        pocket(&job, PartName::Lid, 1),
        2,
        [27.1, 10.1, 5.05, 0.0, 12.8],
    );
}

#[test]
fn without_a_wanted_gap_nothing_is_recessed() {
    let job = job(&[("gap = 0.4\n[fix", "\n[fix")]);
    check_step(
        pocket(&job, PartName::Box, 1),
        1,
        [44.1, 10.1, 5.05, 0.0, 4.5],
    );
    assert_eq!(job.fit.gap.as_mm(), 0.8);
}

// Own width 9, corner 3.5, shift −4 with clearance 0.1: 9.1, 3.55, −4.
#[test]
fn a_step_may_have_its_own_width_corner_and_shift() {
    let job = job(&[(
        "depth = 12",
        "depth = 12, width = 9, corner = 3.5, shift = -4",
    )]);
    for part in [PartName::Box, PartName::Lid] {
        check_step(pocket(&job, part, 1), 2, [27.1, 9.1, 3.55, -4.0, 12.4]);
    }
}

#[test]
fn the_lids_half_may_differ() {
    let job = job(&[(
        "[placement]",
        "lid_steps = [{ length = 40, depth = 3 }]\n[placement]",
    )]);
    assert_eq!(pocket(&job, PartName::Box, 1).steps.len(), 2);
    let lid = pocket(&job, PartName::Lid, 1);
    assert_eq!(lid.steps.len(), 1);
    check_step(lid, 1, [40.1, 10.1, 5.05, 0.0, 3.2]);
}

#[test]
fn corrections_move_a_parts_pockets_and_are_kept() {
    let job = job(&[(
        "gap = 0.4\n[fix",
        "gap = 0.4\nbox_u = 0.3\nlid_v = -0.25\n[fix",
    )]);
    check_center(&job, PartName::Box, 1, 45.3, 8.5);
    check_center(&job, PartName::Lid, 1, 45.0, 8.25);
    assert_eq!(job.parts[0].correction_u.as_mm(), 0.3);
    assert_eq!(job.parts[1].correction_v.as_mm(), -0.25);
    assert_eq!(job.hinge.centers[0].as_mm(), 45.0);
}

// One hinge: the middle, 130. Three with inset 45: 45, 130, 215. Default inset
// 260/5 = 52: 52 and 208. A list is taken as it stands.
#[test]
fn centres_come_by_count_or_by_list() {
    let centers = |text: &str| {
        let job = job(&[("count = 2\ninset = 45", text)]);
        job.hinge
            .centers
            .iter()
            .map(|center| center.as_mm())
            .collect::<Vec<_>>()
    };
    assert_eq!(centers("count = 1\ninset = 45"), [130.0]);
    assert_eq!(centers("count = 3\ninset = 45"), [45.0, 130.0, 215.0]);
    assert_eq!(centers("count = 2"), [52.0, 208.0]);
    assert_eq!(
        centers("centres = [50, '100 mm', 200]"),
        [50.0, 100.0, 200.0]
    );
}

// Gauge 5: 0.060 + 0.065 = 0.125 in = 3.175 mm. The screw at 17.5 is past the
// body (13.55), so the leaf's floor at 4.7 holds it; the one at 10 sits in the
// body's floor at 12.4. Tips: recess 0.2 + length 12.
#[test]
fn screws_sit_in_the_deepest_step_that_holds_them() {
    let job = job(&[(
        "[placement]",
        "screws = [{ along = 17.5, gauge = 5, length = 12 }, { along = -10, across = 1, diameter = 3, length = 15 }]\n[placement]",
    )]);
    let screws = &pocket(&job, PartName::Box, 1).screws;
    assert!((screws[0].diameter.as_mm() - 3.175).abs() < 1e-9);
    assert!((screws[0].from.as_mm() - 4.7).abs() < 1e-9);
    assert!((screws[0].tip.as_mm() - 12.2).abs() < 1e-9);
    assert!((screws[0].center.x().as_mm() - 62.5).abs() < 1e-9);
    assert!((screws[1].from.as_mm() - 12.4).abs() < 1e-9);
    assert!((screws[1].center.y().as_mm() - 9.5).abs() < 1e-9);
    assert!((screws[1].root.as_mm() - 2.0).abs() < 1e-9);
    assert!(pocket(&job, PartName::Box, 1).holes.is_empty());
}

// A 118° point 2.5 mm across is 1.25 / tan 59° = 0.751 mm high.
#[test]
fn pilot_holes_start_at_the_floor_that_holds_the_screw() {
    let job = job(&[(
        "[placement]",
        "screws = [{ along = 17.5, gauge = 5, length = 12 }]\n[pilot]\nbit = '2.5 mm drill'\ndepth = 9\n[placement]",
    )]);
    for part in [PartName::Box, PartName::Lid] {
        let hole = pocket(&job, part, 2).holes[0];
        assert!((hole.center.x().as_mm() - 232.5).abs() < 1e-9);
        assert!((hole.from.as_mm() - 4.7).abs() < 1e-9);
        assert!((hole.tip.as_mm() - 13.7).abs() < 1e-9);
        assert_eq!(hole.diameter.as_mm(), 2.5);
        assert!((hole.point_height.as_mm() - 0.751).abs() < 0.001);
    }
}

// Box underside on the bed, 90 high; lid 18 thick on a 71.5 mm support: 89.5.
#[test]
fn the_lids_rise_follows_from_both_bases() {
    let with = |extra: &str| overlay(&[("layout = 'book'", &format!("layout = 'book'\n{extra}"))]);
    let job = resolve(&with("box_base = 0\nlid_base = 71.5")).unwrap();
    assert!((job.fixture.lid_rise.as_mm() + 0.5).abs() < 1e-9);
    let job = resolve(&with("box_base = 0\nlid_base = 71.5\nlid_rise = -0.45")).unwrap();
    assert!((job.fixture.lid_rise.as_mm() + 0.5).abs() < 1e-9);
    let errors = resolve(&with("box_base = 0\nlid_base = 71.5\nlid_rise = -0.4")).unwrap_err();
    assert_eq!(errors[0].code, "lid-rise-disagrees");
    let job = resolve(&with("lid_rise = -0.4")).unwrap();
    assert_eq!(job.fixture.lid_rise.as_mm(), -0.4);
}

#[test]
fn woods_go_by_either_name_or_by_a_table_of_their_own() {
    let wood = |text: &str| {
        let job = job(&[("wood = 'black walnut'", &format!("wood = {text}"))]);
        job.parts[0].wood.clone()
    };
    assert_eq!(wood("'Maple, sugar'"), wood("'hard-maple'"));
    let own = wood("{ name = 'bog oak', gravity = 0.7, moisture = 9, grain = 'across' }");
    assert_eq!((own.gravity, own.moisture), (0.7, 9.0));
    assert_eq!(own.grain, crate::shop::wood::Grain::Across);
    assert_eq!(wood("{ name = 'black walnut' }").gravity, 0.55);
}

#[test]
fn the_command_line_overrides_bit_and_wear() {
    let overrides = Overrides {
        bit: Some("6 mm up-spiral".to_owned()),
        wear: Some(0.5),
        ..Overrides::default()
    };
    let text = overlay(&[("bit = '6 mm up-spiral'\n", "")]);
    assert_eq!(resolve(&text).unwrap_err()[0].code, "missing-key");
    let job = resolve_with(&text, &overrides).unwrap();
    assert_eq!(job.bit.wear, 0.5);
    assert_eq!(job.rack[0].wear, 0.0);
}

#[test]
fn the_digest_follows_the_inputs_and_not_the_wear() {
    let first = job(&[]).digest;
    assert_eq!(first.len(), 64);
    assert_eq!(first, job(&[]).digest);
    assert_ne!(first, job(&[("gap = 0.4", "gap = 0.3")]).digest);
    let spec = crate::input::job("job.toml", &overlay(&[])).unwrap();
    let rack = |change: &str| {
        let text = super::BITS.replacen("stickout = 30", change, 1);
        crate::input::bits("bits.toml", &text).unwrap()
    };
    let digest = |change| {
        let job = spec.resolve(sample::machine(), rack(change), &Overrides::default());
        job.unwrap().digest
    };
    assert_eq!(first, digest("stickout = 30\nwear = 0.4"));
    assert_ne!(first, digest("stickout = 31"));
}

#[test]
fn the_title_is_the_files_stem_where_none_is_given() {
    let text = overlay(&[("title = 'Sample'\n", "")]);
    let spec = crate::input::job("some/tea box.toml", &text).unwrap();
    let job = spec.resolve(sample::machine(), sample::rack(), &Overrides::default());
    assert_eq!(job.unwrap().title, "tea box");
}

// What the judge's checks cover passes here: no wood left outside, a body
// deeper than the lid is thick, flutes shorter than the pocket.
#[test]
fn what_a_check_covers_is_not_refused_here() {
    job(&[("setback = 3.5", "setback = 0")]);
    job(&[("depth = 12", "depth = 40")]);
    job(&[("wall = 18", "wall = 9")]);
    job(&[("length = 260", "length = 100000")]);
    job(&[("inset = 45", "inset = 22.05")]);
}

// Width 5.88 + 0.1 = 5.98 is within 0.02 of the 6 mm bit; 5.87 + 0.1 is not.
#[test]
fn a_pocket_two_hundredths_under_the_bit_counts_as_wide_as_it() {
    job(&[("width = 10\n", "width = 5.88\n")]);
    let errors = resolve(&overlay(&[("width = 10\n", "width = 5.87\n")])).unwrap_err();
    assert_eq!(errors[0].code, "bit-too-wide");
}
