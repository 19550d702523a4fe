//! Each kind of mistake with its exact place.

use super::{BITS, MACHINE, OVERLAY, listing, overlay, resolve, resolve_with};
use crate::diagnostic::Diagnostics;
use crate::input::{Overrides, bits, job, machine, sample};
use crate::job::{Along, Selection, StopEnd};

/// Exactly one mistake of `code`, whose marked text is `marked`.
#[track_caller]
fn check(text: &str, errors: Diagnostics, code: &str, marked: &str) {
    assert_eq!(errors.len(), 1, "{}", listing(&errors));
    let error = &errors[0];
    assert_eq!(error.code, code, "{}", listing(&errors));
    let place = error.place.as_ref().unwrap();
    let line = text.lines().nth(place.line as usize - 1).unwrap();
    let found: String = line
        .chars()
        .skip(place.column as usize - 1)
        .take(place.length as usize)
        .collect();
    assert_eq!(found, marked, "{}", listing(&errors));
}

#[track_caller]
fn refuse(old: &str, new: &str, code: &str, marked: &str) {
    let text = overlay(&[(old, new)]);
    let errors = resolve(&text).unwrap_err();
    check(&text, errors, code, marked);
}

#[test]
fn values_out_of_range_are_marked() {
    refuse("wall = 18", "wall = 0", "out-of-range", "0");
    refuse("wall = 18", "wall = -18", "out-of-range", "-18");
    refuse("wall = 18", "wall = nan", "out-of-range", "nan");
    refuse("wall = 18", "wall = inf", "out-of-range", "inf");
    refuse("wall = 18", "wall = 1e300", "out-of-range", "1e300");
    refuse(
        "wall = 18",
        "wall = 99999999999999999999",
        "out-of-range",
        "99999999999999999999",
    );
    refuse("length = 260", "length = 1e9", "out-of-range", "1e9");
    refuse(
        "gap = 0.4\n[fix",
        "clearance = 2.01\n[fix",
        "out-of-range",
        "2.01",
    );
    refuse(
        "gap = 0.4\n[fix",
        "finish = 0.51\n[fix",
        "out-of-range",
        "0.51",
    );
    refuse(
        "gap = 0.4\n[fix",
        "box_share = 1.1\n[fix",
        "out-of-range",
        "1.1",
    );
    refuse("count = 2", "count = 0", "out-of-range", "0");
    refuse(
        "count = 2",
        "count = 1000000000",
        "out-of-range",
        "1000000000",
    );
    refuse("inset = 45", "inset = 130", "out-of-range", "130");
    refuse("setback = 3.5", "setback = -1", "out-of-range", "-1");
    refuse(
        "depth = 12",
        "depth = 12, corner = 5.1",
        "out-of-range",
        "5.1",
    );
    let gravity = "wood = { name = 'oak', gravity = 3 }\n[lid]";
    refuse("wood = 'black walnut'\n[lid]", gravity, "out-of-range", "3");
    let gravity = "wood = { name = 'oak', gravity = 0 }\n[lid]";
    refuse("wood = 'black walnut'\n[lid]", gravity, "out-of-range", "0");
}

#[test]
fn texts_that_are_no_length_are_marked() {
    refuse("wall = 18", "wall = '3/0 in'", "bad-length", "'3/0 in'");
    refuse("wall = 18", "wall = '18'", "bad-length", "'18'");
    refuse("wall = 18", "wall = '18 cm'", "bad-length", "'18 cm'");
    refuse("wall = 18", "wall = '-18 mm'", "out-of-range", "'-18 mm'");
}

#[test]
fn wrong_types_are_marked() {
    refuse("wall = 18", "wall = true", "wrong-type", "true");
    refuse("wall = 18", "wall = [18]", "wrong-type", "[18]");
    refuse("count = 2", "count = 2.5", "wrong-type", "2.5");
    refuse("count = 2", "count = '2'", "wrong-type", "'2'");
    refuse("title = 'Sample'", "title = 3", "wrong-type", "3");
    refuse("title = 'Sample'", "title = ' '", "empty-text", "' '");
    refuse(
        "layout = 'book'",
        "layout = 2026-01-01",
        "wrong-type",
        "2026-01-01",
    );
}

#[test]
fn unknown_words_and_keys_are_marked_with_the_nearest_spelling() {
    refuse(
        "layout = 'book'",
        "layout = 'boook'",
        "unknown-word",
        "'boook'",
    );
    refuse(
        "layout = 'book'",
        "layout = 'Scrap'",
        "unknown-word",
        "'Scrap'",
    );
    refuse("wall = 18", "wall = 18\nwidht = 3", "unknown-key", "widht");
}

#[test]
fn missing_keys_are_marked_at_their_table() {
    refuse("setback = 3.5\n", "", "missing-key", "[hinge]");
    refuse(
        "depth = 12",
        "shift = 0",
        "missing-key",
        "{ length = 27, shift = 0 }",
    );
    refuse("machine = 'machine.toml'\n", "", "missing-key", "t");
    refuse("count = 2\ninset = 45\n", "", "missing-key", "[placement]");
    let errors = resolve("[box]\n").unwrap_err();
    assert_eq!(errors.len(), 10, "{}", listing(&errors));
}

#[test]
fn keys_that_exclude_each_other_are_marked() {
    refuse("inset = 45", "centres = [45]", "key-not-allowed", "2");
    refuse("count = 2", "centres = [45]", "key-not-allowed", "45");
    refuse(
        "[placement]",
        "screws = [{ along = 1, gauge = 5, diameter = 3, length = 9 }]\n[placement]",
        "key-not-allowed",
        "3",
    );
    refuse(
        "closing = 'overlay'",
        "closing = 'overlay'\ndrop = 1",
        "key-not-allowed",
        "1",
    );
    let inset = "closing = 'inset'\nend_inset = 10\nlength = 240\n";
    refuse(
        "closing = 'overlay'",
        &format!("{inset}overhang = 1"),
        "key-not-allowed",
        "1",
    );
    refuse(
        "closing = 'overlay'",
        &format!("{inset}wall = 10"),
        "key-not-allowed",
        "10",
    );
    refuse(
        "closing = 'overlay'",
        "closing = 'inset'\nlength = 240",
        "missing-key",
        "[lid]",
    );
}

#[test]
fn an_inset_lid_past_the_walls_is_marked_unless_the_ends_are_open() {
    let lid = |inset: &str, length: &str, extra: &str| {
        format!("closing = 'inset'\nend_inset = {inset}\nlength = {length}\n{extra}")
    };
    refuse(
        "closing = 'overlay'",
        &lid("0", "240", ""),
        "lid-past-walls",
        "0",
    );
    refuse(
        "closing = 'overlay'",
        &lid("10", "250", ""),
        "lid-past-walls",
        "250",
    );
    let open = lid("0", "260", "open_ends = true");
    assert!(resolve(&overlay(&[("closing = 'overlay'", &open)])).is_ok());
}

#[test]
fn geometry_that_cannot_be_is_marked() {
    let step = "{ length = 27, depth = 12 }";
    refuse(
        step,
        "{ length = 45, depth = 12 }",
        "steps-do-not-nest",
        "{ length = 45, depth = 12 }",
    );
    refuse(
        step,
        "{ length = 27, depth = 4.5 }",
        "steps-do-not-nest",
        "{ length = 27, depth = 4.5 }",
    );
    refuse(
        step,
        "{ length = 27, depth = 12, shift = 9 }",
        "steps-do-not-nest",
        "{ length = 27, depth = 12, shift = 9 }",
    );
    refuse(
        step,
        "{ length = 27, depth = 12, corner = 1 }",
        "corner-too-tight",
        "{ length = 27, depth = 12, corner = 1 }",
    );
    refuse(
        step,
        "{ length = 27, depth = 12, width = 5 }",
        "bit-too-wide",
        "{ length = 27, depth = 12, width = 5 }",
    );
    refuse(
        "count = 2\ninset = 45",
        "centres = [22.0]",
        "hinge-past-end",
        "22.0",
    );
    refuse("inset = 45", "inset = 108", "hinges-overlap", "108");
    refuse("setback = 3.5", "setback = 35", "pocket-beside-part", "35");
    refuse("wall = 18", "wall = 5", "pocket-beside-part", "3.5");
    // Twenty hinges overlap nineteen times, all alike.
    refuse("count = 2", "count = 20", "hinges-overlap", "45");
    refuse(
        "count = 2\ninset = 45",
        "centres = [45, 88, 200]",
        "hinges-overlap",
        "88",
    );
    refuse(
        "count = 2\ninset = 45",
        "centres = [45, 245]",
        "hinge-past-end",
        "245",
    );
    refuse("gap = 0.4", "gap = 0.9", "leaf-proud", "0.9");
    // The first step, 4.5 deep, less half of 10 - 0.8.
    let lining = "gap = 10\nproud = true";
    let leaf = "{ length = 44, depth = 4.5 }";
    refuse("gap = 0.4", lining, "step-too-shallow", leaf);
    let screw = "screws = [{ along = 23, gauge = 5, length = 12 }]\n[placement]";
    refuse(
        "[placement]",
        screw,
        "screw-outside",
        "{ along = 23, gauge = 5, length = 12 }",
    );
    refuse(
        "layout = 'book'",
        "layout = 'book'\nclamps = [{ min = [0, 0], max = [0, 5], height = 3 }]",
        "out-of-range",
        "[0, 5]",
    );
}

// A square corner of 1 mm grown by half of 0.1 is 1.05: the largest bit is 2.1 mm.
#[test]
fn a_corner_too_tight_names_the_largest_bit_that_does_it() {
    let text = overlay(&[("depth = 12", "depth = 12, corner = 1")]);
    let errors = resolve(&text).unwrap_err();
    assert_eq!(
        errors[0].help.as_deref(),
        Some(
            "the largest bit that does it is 2.1 mm; \
             or leave `corner` out and square the corners with a chisel"
        )
    );
}

#[test]
fn a_finish_over_a_tenth_of_the_bit_is_marked() {
    let small = BITS.replacen("diameter = 6", "diameter = 3", 1);
    let text = overlay(&[("gap = 0.4\n", "finish = 0.31\n")]);
    let spec = job("job.toml", &text).unwrap();
    let resolve = |rack: &str| {
        let rack = bits("bits.toml", rack).unwrap();
        spec.resolve(sample::machine(), rack, &Overrides::default())
    };
    check(
        &text,
        resolve(&small).unwrap_err(),
        "finish-too-great",
        "0.31",
    );
    assert!(resolve(BITS).is_ok());
}

#[test]
fn bits_are_looked_up_with_the_nearest_names() {
    refuse(
        "'6 mm up-spiral'",
        "'6mm upspiral'",
        "unknown-bit",
        "'6mm upspiral'",
    );
    refuse(
        "'6 mm up-spiral'",
        "'2.5 mm drill'",
        "wrong-bit-kind",
        "'2.5 mm drill'",
    );
    let screws = "screws = [{ along = 17.5, gauge = 5, length = 12 }]\n";
    let pilot = |bit: &str| format!("{screws}[pilot]\nbit = '{bit}'\ndepth = 9\n[placement]");
    refuse(
        "[placement]",
        &pilot("6 mm up-spiral"),
        "wrong-bit-kind",
        "'6 mm up-spiral'",
    );
    refuse(
        "[placement]",
        &pilot("3 mm drill"),
        "unknown-bit",
        "'3 mm drill'",
    );
    let without = pilot("2.5 mm drill").replacen(screws, "", 1);
    refuse("[placement]", &without, "missing-key", "'2.5 mm drill'");
}

#[test]
fn a_wood_that_is_not_known_is_marked_with_the_nearest() {
    refuse(
        "'black walnut'",
        "'blak walnut'",
        "unknown-wood",
        "'blak walnut'",
    );
    refuse(
        "'black walnut'",
        "{ name = 'bog oak' }",
        "unknown-wood",
        "'bog oak'",
    );
    let text = overlay(&[("'black walnut'", "'blak walnut'")]);
    let help = resolve(&text).unwrap_err()[0].help.clone().unwrap();
    assert!(help.contains("`black walnut`"), "{help}");
}

#[test]
fn mistakes_of_the_command_line_have_no_place() {
    let refuse = |overrides: Overrides, message: &str| {
        let errors = resolve_with(OVERLAY, &overrides).unwrap_err();
        assert_eq!(errors.len(), 1, "{}", listing(&errors));
        assert_eq!(
            (errors[0].place.as_ref(), errors[0].message.as_str()),
            (None, message)
        );
    };
    let wear = |wear| Overrides {
        wear: Some(wear),
        ..Overrides::default()
    };
    refuse(
        wear(1.5),
        "--wear is 1.5, allowed is from 0, fresh, to 1, worn out",
    );
    refuse(
        wear(f64::NAN),
        "--wear is NaN, allowed is from 0, fresh, to 1, worn out",
    );
    let bit = Overrides {
        bit: Some("7 mm".to_owned()),
        ..Overrides::default()
    };
    refuse(bit, "the rack has no bit `7 mm`");
    let select = |hinge, step| Overrides {
        selection: Selection {
            part: None,
            hinge,
            step,
        },
        ..Overrides::default()
    };
    refuse(
        select(Some(3), None),
        "--hinge is 3, allowed is from 1 to 2",
    );
    refuse(select(None, Some(0)), "--step is 0, allowed is from 1 to 2");
}

#[test]
fn machine_mistakes_are_marked() {
    let refuse = |old: &str, new: &str, code: &str, marked: &str| {
        assert!(MACHINE.contains(old));
        let text = MACHINE.replacen(old, new, 1);
        check(
            &text,
            machine("machine.toml", &text).unwrap_err(),
            code,
            marked,
        );
    };
    refuse(
        "[8000, 24000]",
        "[24000, 8000]",
        "reversed-range",
        "[24000, 8000]",
    );
    refuse("[8000, 24000]", "[8000]", "wrong-count", "[8000]");
    refuse("[spindle]", "[spindle]\npower_w = 0", "out-of-range", "0");
    refuse("travel = [400", "travel = [-400", "out-of-range", "-400");
    refuse(
        "[spindle]",
        "[dialect]\ndecimals = 2\n[spindle]",
        "out-of-range",
        "2",
    );
    refuse(
        "[spindle]",
        "[dialect]\nunits = 'in'\ndecimals = 3\n[spindle]",
        "out-of-range",
        "3",
    );
    refuse(
        "[spindle]",
        "[dialect]\narcs = 'some'\n[spindle]",
        "unknown-word",
        "'some'",
    );
    refuse(
        "[spindle]",
        "nut = { diameter = 20 }\n[spindle]",
        "missing-key",
        "{ diameter = 20 }",
    );
    refuse("name = 'Test router'\n", "", "missing-key", "");
}

#[test]
fn rack_mistakes_are_marked() {
    let refuse = |old: &str, new: &str, code: &str, marked: &str| {
        assert!(BITS.contains(old));
        let text = BITS.replacen(old, new, 1);
        check(&text, bits("bits.toml", &text).unwrap_err(), code, marked);
    };
    refuse(
        "diameter = 6",
        "diameter = 6\nflutes = 0",
        "out-of-range",
        "0",
    );
    refuse(
        "diameter = 6",
        "diameter = 6\nwear = 1.01",
        "out-of-range",
        "1.01",
    );
    refuse(
        "diameter = 6",
        "diameter = 6\nmeasured = 7",
        "out-of-range",
        "7",
    );
    refuse(
        "diameter = 6",
        "diameter = 6\nchip_min = 0.1\nchip_max = 0.05",
        "reversed-range",
        "0.05",
    );
    refuse(
        "kind = 'up-spiral'",
        "kind = 'upspiral'",
        "unknown-word",
        "'upspiral'",
    );
    refuse(
        "name = '2.5 mm drill'",
        "name = '6 mm up-spiral'",
        "duplicate-name",
        "'6 mm up-spiral'",
    );
    refuse(
        "kind = 'drill'",
        "kind = 'drill'\ntool = 1",
        "duplicate-tool",
        "1",
    );
    refuse("cutting_length = 22\n", "", "missing-key", "[[bit]]");
}

#[test]
fn wear_is_what_was_stated_and_what_was_cut_since() {
    let wear = |extra: &str| {
        let text = BITS.replacen("diameter = 6", &format!("diameter = 6\n{extra}"), 1);
        bits("bits.toml", &text).unwrap()[0].wear
    };
    assert_eq!(wear(""), 0.0);
    assert!(wear("cut_m = 300") > 0.0);
    assert!(wear("cut_m = 600") > wear("cut_m = 300"));
    // What was stated, and a tenth of the 3000 m of a carbide edge since.
    assert!((wear("cut_m = 300\nwear = 0.7") - 0.8).abs() < 1e-12);
    assert_eq!(wear("cut_m = 300\nwear = 0.7\nwear_at_m = 300"), 0.7);
    assert_eq!(wear("wear = 0.7"), 0.7);
}

#[test]
fn a_headroom_that_disagrees_with_the_machine_is_refused() {
    let with = |lines: &str| {
        let text = overlay(&[("[fixture]", &format!("[fixture]\n{lines}"))]);
        resolve(&text)
    };
    // The top of Z is machine 0, and Z0 lies 40 below it.
    let zero = "machine_zero = [60, 150, -40]\n";
    assert_eq!(with(zero).unwrap().fixture.headroom.unwrap().as_mm(), 40.0);
    assert!(with(&format!("{zero}headroom = 40.5")).is_ok());
    let errors = with(&format!("{zero}headroom = 41")).unwrap_err();
    assert_eq!(errors[0].code, "headroom-disagrees");
    assert!(
        errors[0].message.contains("`machine_zero` gives 40 mm"),
        "{}",
        errors[0].message
    );
    assert_eq!(
        with("park = [0, 180]\nheadroom = 30")
            .unwrap()
            .fixture
            .park
            .unwrap()
            .y,
        180.0
    );
    for (written, end) in [
        ("", StopEnd::Left),
        ("stop_end = 'left'", StopEnd::Left),
        ("stop_end = 'right'", StopEnd::Right),
    ] {
        assert_eq!(with(written).unwrap().fixture.stop_end, end, "{written}");
    }
    assert!(with("stop_end = 'far'").is_err());
    for (written, along) in [
        ("", Along::X),
        ("along = 'x'", Along::X),
        ("along = 'y'", Along::Y),
    ] {
        assert_eq!(with(written).unwrap().fixture.along, along, "{written}");
    }
    assert!(with("along = 'z'").is_err());
}

#[test]
fn limits_of_a_machine_run_from_least_to_greatest() {
    let read = |limits: &str| {
        let text = MACHINE.replacen("[spindle]", &format!("{limits}\n[spindle]"), 1);
        machine("machine.toml", &text)
    };
    let found = read("limits = { min = [-400, -300, -90], max = [0, 0, 0] }").unwrap();
    assert_eq!(found.limits[0].0.as_mm(), -400.0);
    let errors = read("limits = { min = [0, 0, 0], max = [400, 300, -90] }").unwrap_err();
    assert_eq!(errors[0].code, "reversed-range");
    assert_eq!(read("").unwrap().limits[2].1.as_mm(), 0.0);
}

#[test]
fn what_is_taken_in_silence_is_told() {
    let taken = |replacements: &[(&str, &str)]| resolve(&overlay(replacements)).unwrap().taken;
    let told = |replacements: &[(&str, &str)], words: &str| {
        let found = taken(replacements);
        assert!(
            found.iter().any(|line| line.contains(words)),
            "{words}: {found:?}"
        );
    };
    told(
        &[],
        "lengths are millimetres, since the file names no `units`",
    );
    assert!(taken(&[("title", "units = 'mm'\ntitle")]).is_empty());
    told(
        &[("[fit]", "[fit]\nclearance = 0.4")],
        "a clearance of 0.4 mm is loose",
    );
    told(
        &[("depth = 4.5", "depth = 0.8")],
        "as deep as the closed gap",
    );
    told(
        &[("[lid]", "[lid]\nlength = 256")],
        "the lid is 4 mm shorter than the box",
    );
    let inset = [
        ("'overlay'", "'inset'"),
        ("width = 180", "width = 180\nlength = 220\nend_inset = 20"),
    ];
    told(&inset, "level with the rim, since `lid.drop` is left out");
}

#[test]
fn files_that_are_no_spec_at_all_are_refused() {
    let code = |text: &str| job("job.toml", text).unwrap_err()[0].code;
    assert_eq!(code(""), "empty-file");
    assert_eq!(code(" \n\t\n"), "empty-file");
    assert_eq!(code("# only a comment\n"), "missing-key");
    assert_eq!(code(&"#\n".repeat(600_000)), "file-too-large");
    assert_eq!(code("[box\n"), "toml-syntax");
    assert_eq!(code(&format!("a = {}", "[".repeat(5000))), "toml-syntax");
    assert_eq!(code("\u{0}"), "toml-syntax");
    assert_eq!(code("<!DOCTYPE html>\n<html>"), "wrong-file");
    assert_eq!(code("{ \"title\": 3 }"), "wrong-file");
    assert_eq!(code("(stepwell)\nG21\n"), "wrong-file");
    assert_eq!(code("G21 G90\n"), "wrong-file");
    assert_eq!(code("a = 1\rb = 2\r"), "toml-syntax");
}

#[test]
fn a_file_of_another_kind_is_one_mistake() {
    let one = |errors: Diagnostics, message: &str| {
        assert_eq!(errors.len(), 1, "{}", listing(&errors));
        assert_eq!(
            (errors[0].code, errors[0].message.as_str()),
            ("wrong-file", message)
        );
    };
    let bits_as = "the file is a bits file, wanted is a";
    one(job("j", BITS).unwrap_err(), &format!("{bits_as} job file"));
    one(
        machine("m", BITS).unwrap_err(),
        &format!("{bits_as} machine file"),
    );
    one(
        bits("b", MACHINE).unwrap_err(),
        "the file is a machine file, wanted is a bits file",
    );
    one(
        bits("b", OVERLAY).unwrap_err(),
        "the file is a job file, wanted is a bits file",
    );
}

#[test]
fn all_mistakes_of_a_file_come_together_in_its_order() {
    let text = overlay(&[
        ("title = 'Sample'", "title = 4"),
        ("length = 260", "lenght = 260"),
        ("wall = 18", "wall = '18 mn'"),
        ("'black walnut'", "'wallnut'"),
        ("closing = 'overlay'", "closing = 'overlap'"),
        ("depth = 12", "depth = -12, shape = 'round'"),
        ("inset = 45", "inset = '1 3/0 in'"),
        ("gap = 0.4", "gap = 0.4\ngap = 0.5\nclearance = 3"),
    ]);
    let errors = job("job.toml", &text).unwrap_err();
    assert_eq!(errors.len(), 11);
    insta::assert_snapshot!(listing(&errors));
}

#[test]
fn mistakes_between_the_files_come_together_too() {
    let text = overlay(&[
        ("bit = '6 mm up-spiral'", "bit = '6 mm upspiral'"),
        ("depth = 12", "depth = 3"),
        ("inset = 45", "inset = 10"),
        ("gap = 0.4", "gap = 1"),
    ]);
    let errors = resolve(&text).unwrap_err();
    insta::assert_snapshot!(listing(&errors));
    assert!(errors.len() >= 5);
}

#[test]
fn messages_of_an_inch_file_are_in_inches() {
    let text = "units = 'in'\n".to_owned()
        + &overlay(&[
            ("length = 260", "length = '260 mm'"),
            ("depth = 12", "depth = 0"),
        ]);
    let errors = job("job.toml", &text).unwrap_err();
    let found = listing(&errors);
    assert!(
        found.contains("`hinge.steps[2].depth` is 0, allowed is from 0.0039 to 3.937 in"),
        "{found}"
    );
}

#[test]
fn a_megabyte_of_mistakes_on_one_line_takes_no_time() {
    let text = format!(
        "a = [{}]\n{}",
        "9,".repeat(200_000),
        "b.c.d = 1, ".repeat(20_000)
    );
    let errors = job("job.toml", &text).unwrap_err();
    assert!(errors.len() <= 101);
    let keys: String = (0..60_000).map(|key| format!("key{key} = 1\n")).collect();
    assert_eq!(job("job.toml", &keys).unwrap_err().len(), 101);
}
