use super::screws::{allowable_n, board_ultimate_n, ultimate_n};
use super::*;
use crate::geometry::Point;
use crate::job::{ScrewInWood, sample, screw};
use crate::shop::wood;
use crate::units::Length;

/// Newtons in one pound-force.
const POUND: f64 = 4.448_222;

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found}, want {expected} ± {tolerance}"
    );
}

fn inch(value: f64) -> Length {
    Length::from_inch(value)
}

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

// Handbook rows W01 to W05: worked examples printed in public references.
#[test]
fn allowable_withdrawal_is_that_of_the_printed_examples() {
    let pounds = |gravity, shank, thread| allowable_n(gravity, inch(shank), inch(thread)) / POUND;
    near(pounds(0.45, 0.190, 1.0), 109.0, 1.0);
    near(
        pounds(0.50, screw::major_diameter(10).as_inch(), 1.0),
        135.0,
        0.5,
    );
    near(
        pounds(0.42, screw::major_diameter(10).as_inch(), 1.0),
        95.5,
        0.1,
    );
    near(pounds(0.42, 0.220, 1.5), 166.0, 0.5);
    near(pounds(0.42, 0.220, 1.5) * 1.6, 265.0, 1.0);
}

// Rows W06 (both printings agree within 0.1 %), W07 to W09, and W10.
#[test]
fn ultimate_withdrawal_is_that_of_both_printings() {
    let metric = 108.25 * 0.5_f64.powi(2) * 4.0 * 25.0;
    near(ultimate_n(0.5, mm(4.0), mm(25.0)) / metric, 1.0, 0.001);
    near(ultimate_n(0.55, mm(4.1656), mm(15.875)), 2165.0, 3.0);
    near(
        ultimate_n(0.55, inch(0.164), inch(0.625)) / POUND,
        486.8,
        0.5,
    );
    near(ultimate_n(0.63, mm(3.5052), mm(12.7)), 1913.0, 2.0);
    let (shank, thread) = (mm(4.0), mm(10.0));
    near(
        ultimate_n(0.6, shank, thread) / allowable_n(0.6, shank, thread),
        5.509,
        0.001,
    );
}

// Row W49, from memory.
#[test]
fn particleboard_holds_what_is_remembered_of_the_handbook() {
    near(
        board_ultimate_n(Hold::BoardFace, 0.75, mm(4.1656), mm(15.875)),
        1334.0,
        2.0,
    );
    let edge = board_ultimate_n(Hold::BoardEdge, 0.75, mm(4.1656), mm(15.875));
    near(edge / 1334.0, 31.8 / 41.1, 0.002);
}

// Rows W33 and W34: No. 8 with a root of 0.112 in.
#[test]
fn lead_holes_are_the_handbooks_share_of_the_root() {
    let root = screw::root_diameter(8);
    let hole = |family| lead::diameter(root, family).as_inch();
    near(hole(Family::Softwood), 0.0784, 0.0005);
    near(hole(Family::Hardwood), 0.1008, 0.0005);
}

// By hand: No. 5 is 0.125 in thick under a head of 0.252 in, and tan 41° is
// 0.8693: 0.127 / 2 / 0.8693 = 0.0730 in, 1.86 mm.
#[test]
fn a_countersink_is_as_deep_as_its_head_is_wide() {
    let head = screw::head_diameter(screw::major_diameter(5)).unwrap();
    let depth = countersink::depth(head, screw::major_diameter(5));
    near(depth.as_inch(), 0.0730, 0.0001);
    let advice = about(&with_screws(), Topic::Countersink);
    assert_eq!(advice.len(), 1);
    assert!(
        advice[0]
            .text
            .contains("3.175 mm thick is up to 6.40 mm wide, so its countersink is 1.86 mm deep"),
        "{}",
        advice[0].text
    );
    assert!(about(&sample::job(), Topic::Countersink).is_empty());
}

// What `explain screws` prints is worked out by the rules that judge a job.
#[test]
fn the_table_of_screws_is_what_the_rules_give() {
    let text = crate::explain::explain("screws").unwrap();
    let show = |length: Length| format!("{:.3} in ({:.2} mm)", length.as_inch(), length.as_mm());
    for gauge in 2..=10 {
        let (shank, root) = (screw::major_diameter(gauge), screw::root_diameter(gauge));
        let mut row = format!(
            "No. {gauge}: shank {}, lead hole {} in softwood, {} in hardwood",
            show(shank),
            show(lead::diameter(root, Family::Softwood)),
            show(lead::diameter(root, Family::Hardwood))
        );
        if let Some(head) = screw::head_diameter(shank) {
            let deep = countersink::depth(head, shank);
            row += &format!(", head {}, countersink {}", show(head), show(deep));
        }
        assert!(text.contains(&format!("{row}.\n")), "{row}");
    }
}

fn with_screws() -> Job {
    let mut job = sample::job();
    for part in &mut job.parts {
        for pocket in &mut part.pockets {
            pocket.screws = [-18.5, 18.5]
                .map(|along| ScrewInWood {
                    center: Point::new(pocket.center.x() + mm(along), pocket.center.y()),
                    diameter: screw::major_diameter(5),
                    root: screw::root_diameter(5),
                    length: mm(12.0),
                    from: mm(4.7),
                    tip: mm(12.2),
                })
                .to_vec();
        }
    }
    job
}

fn about(job: &Job, topic: Topic) -> Vec<Advice> {
    let all = of(job).into_iter();
    all.filter(|advice| advice.topic == topic).collect()
}

// By hand: thread min(8, 7.5) = 7.5 mm, D 3.175 mm, G 0.55: 19.650 × 0.3025 ×
// 3.175 × 7.5 = 141.5 N a screw, 283 N a leaf. Lid 260 × 180 × 18 mm of 616
// kg/m³: 0.519 kg, 5.09 N at 90 mm over a leaf of 10 mm on two hinges: 22.9 N.
#[test]
fn the_lids_weight_is_held_against_the_screws() {
    let advice = about(&with_screws(), Topic::Withdrawal);
    assert_eq!(advice.len(), 1);
    assert!(!advice[0].warns);
    assert_eq!(
        advice[0].text,
        "box and lid: the 2 screws of a leaf may carry 283 N in side grain; a lid of 0.52 kg held level pulls 23 N, 8 %"
    );
}

#[test]
fn end_grain_and_board_edges_warn_without_screws_too() {
    let mut job = sample::job();
    assert!(about(&job, Topic::Withdrawal).is_empty());
    job.parts[0].wood = wood::find("plywood").unwrap();
    let warned = about(&job, Topic::Withdrawal);
    assert!(warned.len() == 1 && warned[0].warns && warned[0].text.contains("between the plies"));
    job.parts[0].wood = wood::find("black walnut").unwrap();
    job.parts[0].wood.grain = Grain::Across;
    assert!(about(&job, Topic::Withdrawal)[0].text.contains("end grain"));
}

#[test]
fn end_grain_and_board_edges_warn() {
    let mut job = with_screws();
    job.parts[0].wood.grain = Grain::Across;
    let warned = about(&job, Topic::Withdrawal);
    assert!(
        warned
            .iter()
            .any(|advice| advice.warns && advice.text.contains("end grain"))
    );
    assert!(
        warned
            .iter()
            .any(|advice| advice.text.contains("212 N in end grain")),
        "{warned:?}"
    );
    for (name, word) in [("plywood", "plies"), ("MDF", "fibreboard")] {
        job.parts[0].wood = wood::find(name).unwrap();
        let warned = about(&job, Topic::Withdrawal);
        assert!(
            warned
                .iter()
                .any(|advice| advice.warns && advice.text.contains(word)),
            "{warned:?}"
        );
    }
    assert_eq!(hold(&job.parts[1], Closing::Overlay), Hold::SideGrain);
    job.parts[1].wood.grain = Grain::Across;
    assert_eq!(hold(&job.parts[1], Closing::Overlay), Hold::SideGrain);
    assert_eq!(hold(&job.parts[1], Closing::Inset), Hold::EndGrain);
}

// No. 5 in walnut: root 2/3 of 3.175 = 2.117 mm, 90 % is 1.905 mm, 5/64 in is 1.984.
#[test]
fn a_drill_far_from_the_lead_hole_warns() {
    let mut job = with_screws();
    let line = |job: &Job| about(job, Topic::LeadHole).remove(0);
    assert!(
        line(&job).text.contains("1.905 mm, nearest 5/64 in"),
        "{}",
        line(&job).text
    );
    assert_eq!(about(&job, Topic::LeadHole).len(), 1);
    let mut drill = sample::bit(crate::shop::bit::BitKind::Drill, 2.0);
    job.pilot = Some(crate::job::Pilot {
        bit: drill.clone(),
        depth: mm(7.0),
    });
    assert!(!line(&job).warns);
    drill.diameter = mm(3.0);
    job.pilot = Some(crate::job::Pilot {
        bit: drill,
        depth: mm(7.0),
    });
    assert!(line(&job).warns && line(&job).text.contains("the drill is 3.00 mm"));
}

// 2.5 × 3.175 = 7.94 mm: a screw 8.5 mm from the face is far enough, 7 mm is not.
#[test]
fn a_screw_near_the_edge_warns() {
    let mut job = with_screws();
    assert!(about(&job, Topic::EdgeDistance).is_empty());
    let screw = &mut job.parts[0].pockets[0].screws[0];
    screw.center = Point::new(screw.center.x(), mm(7.0));
    let advice = about(&job, Topic::EdgeDistance);
    assert!(advice[0].warns && advice[0].text.contains("7.00 mm from the edge"));
}

#[test]
fn hinges_are_counted_by_the_lids_length() {
    for (length, wanted) in [
        (260.0, 2),
        (600.0, 2),
        (601.0, 3),
        (999.0, 3),
        (1000.0, 4),
        (1400.0, 5),
    ] {
        assert_eq!(hinges::wanted(length, 44.0), wanted, "{length}");
    }
    // Two leaves would leave no room between them to speak of.
    assert_eq!(hinges::wanted(131.0, 44.0), 1);
    assert_eq!(hinges::wanted(132.0, 44.0), 2);
    let mut job = with_screws();
    assert!(!about(&job, Topic::HingeCount)[0].warns);
    job.parts[1].length = mm(900.0);
    let advice = about(&job, Topic::HingeCount).remove(0);
    assert!(
        advice.warns && advice.text.contains("3 are usual"),
        "{}",
        advice.text
    );
}

// By hand, as above: 22.9 N at each of two hinges for a lid 180 wide; four times as wide it weighs
// four times as much on four times the arm, 733 N in all, where a leaf may carry 283 N.
#[test]
fn a_heavy_lid_wants_as_many_hinges_as_hold_it() {
    let mut job = with_screws();
    assert_eq!(hinges_wanted(&job), Some(2));
    job.parts[1].across = mm(720.0);
    assert_eq!(hinges_wanted(&job), Some(3));
    for part in &mut job.parts {
        part.pockets
            .iter_mut()
            .for_each(|pocket| pocket.screws.clear());
    }
    assert_eq!(hinges_wanted(&job), Some(2));
}

// Wood Handbook Table 13-5: black walnut 0.00274 tangential, 0.00190 radial. Across the lid's
// face 10 mm × 0.00274 × 6 = 0.164 mm, through the wall's thickness 10 × 0.00190 × 6 = 0.114 mm.
#[test]
fn movement_across_the_pocket_is_held_against_the_clearance() {
    let mut job = with_screws();
    let advice = about(&job, Topic::Movement);
    let texts: Vec<&str> = advice.iter().map(|advice| advice.text.as_str()).collect();
    assert!(
        texts[0].starts_with("box: ") && texts[0].contains("moves 0.11 mm"),
        "{texts:?}"
    );
    assert!(
        texts[1].starts_with("lid: ") && texts[1].contains("moves 0.16 mm"),
        "{texts:?}"
    );
    // The wood shrinks and the metal does not: dry wood binds, so it is cut dry.
    for advice in &advice {
        assert!(
            advice.warns
                && advice
                    .text
                    .contains("drying wood closes on the leaf: cut it at its driest")
        );
    }
    job.closing = Closing::Inset;
    let turned = about(&job, Topic::Movement);
    assert!(turned[0].text.contains("moves 0.16 mm") && turned[1].text.contains("moves 0.11 mm"));
    job.fit.clearance = mm(0.2);
    assert!(!about(&job, Topic::Movement)[0].warns);
}

// 170 mm from hinge to hinge: 170 × 0.00274 × 6 = 2.79 mm where one grain runs across.
#[test]
fn movement_from_hinge_to_hinge_warns_where_the_grains_differ() {
    let mut job = with_screws();
    job.parts[1].wood.grain = Grain::Across;
    let advice = about(&job, Topic::Movement);
    let between = advice
        .iter()
        .find(|advice| advice.text.contains("hinge to hinge"))
        .unwrap();
    assert!(
        between.warns && between.text.contains("2.79 mm"),
        "{}",
        between.text
    );
    job.parts[0].wood.grain = Grain::Across;
    let advice = about(&job, Topic::Movement);
    assert!(advice.iter().all(|advice| !advice.warns), "{advice:?}");
}

// Jarrah: 0.00396 tangential as a second text quotes it, radial in none:
// 10 × 0.00396 × 6 = 0.238 mm.
#[test]
fn movement_that_no_source_tells_is_said_to_be_unknown() {
    let mut job = with_screws();
    for part in &mut job.parts {
        part.wood = wood::find("jarrah").unwrap();
    }
    let advice = about(&job, Topic::Movement);
    let [body, lid] = advice.as_slice() else {
        panic!("{advice:?}");
    };
    assert_eq!(
        body.text,
        "box: how much jarrah moves across the pocket over a year is not known: cut it at its driest"
    );
    assert!(body.warns && body.basis.contains("no coefficient"));
    assert!(lid.text.contains("jarrah moves 0.24 mm"), "{}", lid.text);
    assert!(lid.warns && lid.basis.contains("a second text quotes"));
    job.parts[0].wood = wood::find("European oak").unwrap();
    job.parts[0].wood.grain = Grain::Across;
    let advice = about(&job, Topic::Movement);
    let between = advice
        .iter()
        .find(|advice| advice.parts.is_empty())
        .unwrap();
    assert!(between.warns && between.text.ends_with("not known of European oak"));
    // Both of one wood and one grain move alike, whatever it is.
    job.parts[1].wood = job.parts[0].wood.clone();
    assert!(about(&job, Topic::Movement).is_empty());
    for part in &mut job.parts {
        part.wood = wood::find("birch plywood").unwrap();
    }
    assert!(about(&job, Topic::Movement).is_empty());
    for part in &mut job.parts {
        part.wood = wood::find("sapele").unwrap();
    }
    let derived = about(&job, Topic::Movement);
    assert!(
        derived[0].basis.contains("from the shrinkage"),
        "{derived:?}"
    );
}

// The lid of maple moves more than the box of walnut: each is told alone, and
// only what is cut.
#[test]
fn only_the_parts_that_are_cut_are_spoken_of() {
    let mut job = with_screws();
    job.parts[1].wood = wood::find("hard maple").unwrap();
    let texts = |job: &Job| -> Vec<String> {
        about(job, Topic::Movement)
            .into_iter()
            .map(|advice| advice.text)
            .collect()
    };
    let both = texts(&job);
    assert!(
        both[0].starts_with("box: ") && both[1].starts_with("lid: "),
        "{both:?}"
    );
    job.selection.part = Some(PartName::Lid);
    assert_eq!(texts(&job), both[1..]);
    assert!(of(&job).iter().all(|advice| !advice.text.contains("box")));
    job.selection.part = Some(PartName::Box);
    assert_eq!(texts(&job), both[..1]);
}

#[test]
fn every_piece_of_advice_names_its_source() {
    for advice in of(&with_screws()) {
        assert!(advice.basis.len() > 20, "{advice}");
    }
    let mut scrap = with_screws();
    scrap.parts.truncate(1);
    scrap.parts[0].name = PartName::Scrap;
    assert!(of(&scrap).is_empty());
}
