use super::*;
use crate::job::sample;

fn mm(value: f64) -> Length {
    Length::from_mm(value)
}

fn scrap(length: f64, width: f64, thickness: f64) -> Scrap {
    Scrap {
        length: mm(length),
        width: mm(width),
        thickness: mm(thickness),
    }
}

fn pocket(job: &Job) -> Pocket {
    job.part(PartName::Lid).unwrap().pocket(2).unwrap().clone()
}

/// By hand, with steps of 44.1 × 10.1 × 4.7 and 27.1 × 10.1 × 12.4: from the deep
/// floor to the leaf's 7.7, from there to the face 4.7.
#[test]
fn a_stepped_pocket_is_filled_from_its_deepest_floor_up() {
    let near = |one: Length, other: f64| assert!((one.as_mm() - other).abs() < 1e-9, "{one:?}");
    let fillings = fillings(&pocket(&sample::job()));
    let [body, leaf] = fillings.as_slice() else {
        panic!("{fillings:?}");
    };
    assert_eq!(
        [body.number, body.step, leaf.number, leaf.step],
        [1, 2, 2, 1]
    );
    near(body.length, 27.15);
    near(body.width, 10.15);
    near(body.corner, 5.075);
    near(body.height, 7.7);
    near(leaf.length, 44.15);
    near(leaf.height, 4.7);
}

#[test]
fn steps_without_a_floor_of_their_own_are_filled_as_one() {
    let mut pocket = pocket(&sample::job());
    pocket.steps[1].length = pocket.steps[0].length;
    let fillings = fillings(&pocket);
    assert_eq!(fillings.len(), 1);
    assert_eq!(fillings[0].step, 2);
    assert!((fillings[0].height.as_mm() - 12.4).abs() < 1e-9);
}

/// By hand, with a bit of 6 mm: 10 at both ends of the longer; 10, 10.15, 16, 10.15 and
/// 10 across; 7.7, 1 and the skin of 0.5 through.
#[test]
fn a_scrap_has_room_for_kerfs_and_walls_or_is_told_how_much_it_needs() {
    let of = sample::job();
    let cut = |size| job(&of, PartName::Lid, &pocket(&of), size);
    let plug = cut(scrap(64.2, 56.35, 9.2)).unwrap();
    assert_eq!(plug.stem, "sample-lid-h2-plug");
    let part = &plug.parts[0];
    assert_eq!(
        (part.name, part.wood.clone()),
        (PartName::Scrap, of.parts[1].wood.clone())
    );
    assert_eq!(part.contours.len(), 2);
    assert!(
        part.contours
            .iter()
            .all(|piece| (piece.depth.as_mm() - 8.7).abs() < 1e-9)
    );
    let extent = |piece: &Contour| {
        let corners = piece.outline.iter().map(|edge| edge.from());
        corners.fold([f64::INFINITY, 0.0], |[low, high], at| {
            [low.min(at.y().as_mm()), high.max(at.y().as_mm())]
        })
    };
    let [first, second] = [0, 1].map(|index| extent(&part.contours[index]));
    assert!((first[0] - 10.0).abs() < 1e-9 && (first[1] - 20.15).abs() < 1e-9);
    assert!((second[0] - 36.15).abs() < 1e-9 && (second[1] - 46.3).abs() < 1e-9);

    let error = cut(scrap(50.0, 56.35, 9.2)).unwrap_err();
    assert_eq!(error[0].code, "scrap-too-small");
    assert!(
        error[0]
            .message
            .ends_with("this plug needs 65 mm long, 57 mm wide, 10 mm thick"),
        "{}",
        error[0].message
    );
}

#[test]
fn the_words_say_size_height_grain_and_what_comes_then() {
    let mut job = sample::job();
    let fillings = fillings(&pocket(&job));
    let again = "stepwell generate box.toml --part lid --hinge 2";
    let words = |job: &Job| words(job, (PartName::Lid, 2), &fillings, again).join("\n");
    let said = words(&job);
    for word in [
        "piece 1 stands on the floor of step 2: 27.15 mm × 10.15 mm, 8.70 mm high",
        "runs along the hinged edge, so lay the scrap with its own along X",
        "pare piece 1 flush",
        "again: stepwell generate box.toml --part lid --hinge 2",
    ] {
        assert!(said.contains(word), "{word}: {said}");
    }
    job.parts[1].wood.grain = crate::shop::wood::Grain::Across;
    assert!(words(&job).contains("across the hinged edge, so lay the scrap with its own along Y"));
}
