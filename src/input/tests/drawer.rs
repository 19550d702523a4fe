//! A job that takes its hinge from the drawer.

use super::{BITS, OVERLAY, listing, overlay};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::fit;
use crate::input::{self, Overrides, sample};
use crate::job::Job;

/// The sample job's own hinge as one of a drawer, in inches but for it.
const DRAWER: &str = "units = 'in'
[[hinge]]
name = 'Brass, 44'
width = '10 mm'
setback = '3.5 mm'
closed_gap = '0.8 mm'
steps = [{ length = '44 mm', depth = '4.5 mm' }, { length = '27 mm', depth = '12 mm' }]
screws = [{ along = '18.5 mm', gauge = 5, length = '12 mm' }]
learned = [
  { bit = '6 MM up-spiral ', wood = 'Walnut, black', clearance = 0.006, depth = '0.05 mm' },
  { bit = '6 mm up-spiral', wood = 'black walnut / sugar maple', clearance = '0.2 mm' },
]
[[hinge]]
name = 'steel, 30'
width = 0.3
setback = 0.1
closed_gap = 0.02
steps = [{ length = 1.2, depth = 0.1 }]
";

/// The sample job with what `[hinge]` says.
fn named(hinge: &str) -> String {
    let own = OVERLAY.split_once("[hinge]\n").unwrap().1;
    let own = own.split_once("[placement]").unwrap().0;
    overlay(&[(own, hinge), ("bit =", "hinges = 'hinges.toml'\nbit =")])
}

fn resolve(text: &str, drawer: &str) -> Result<Job, Diagnostics> {
    let drawer = input::hinges("hinges.toml", drawer)?;
    let spec = input::job("job.toml", text)?.with_hinges(drawer);
    let rack = input::bits("bits.toml", BITS)?;
    spec.resolve(sample::machine(), rack, &Overrides::default())
}

#[track_caller]
fn job(hinge: &str) -> Job {
    resolve(&named(hinge), DRAWER).unwrap_or_else(|errors| panic!("{}", listing(&errors)))
}

fn only(errors: Diagnostics) -> Diagnostic {
    assert_eq!(errors.len(), 1, "{}", listing(&errors));
    errors.into_iter().next().unwrap()
}

/// Length, width and depth of each step in mm.
fn steps(job: &Job) -> Vec<[f64; 3]> {
    let of = |step: &crate::job::Step| {
        [step.length, step.width, step.depth].map(|length| (length.as_mm() * 1e6).round() / 1e6)
    };
    job.parts[1].pockets[0].steps.iter().map(of).collect()
}

// By hand: 0.006 in is 0.1524 mm of clearance; recess (0.8 - 0.4) / 2 = 0.2, under 0.2, learned
// 0.05: the leaf 4.75 deep, the body 12.45.
#[test]
fn a_name_is_the_drawers_hinge_with_what_was_learned_for_bit_and_wood() {
    let job = job("name = ' brass, 44'\n");
    assert_eq!(
        steps(&job),
        [[44.1524, 10.1524, 4.75], [27.1524, 10.1524, 12.45]]
    );
    assert_eq!(job.drawn.as_ref().unwrap().name, "Brass, 44");
    assert_eq!(job.parts[0].pockets[0].screws.len(), 1);
    assert_eq!(
        fit::drawn(&job),
        [
            "the hinge is `Brass, 44` of the drawer hinges.toml",
            "a clearance of 0.15 mm and every step 0.05 mm deeper, as hinges.toml has learned of \
             `Brass, 44` with 6 mm up-spiral in black walnut"
        ]
    );
}

#[test]
fn what_was_learned_is_of_one_bit_and_one_pair_of_woods() {
    let text = named("name = 'Brass, 44'\n");
    let of = |lid: &str| {
        let (head, tail) = text.rsplit_once("wood = 'black walnut'").unwrap();
        let job = resolve(&format!("{head}wood = '{lid}'{tail}"), DRAWER).unwrap();
        (job.fit.clearance.as_mm(), job.fit.depth.as_mm())
    };
    assert_eq!(of("hard maple"), (0.2, 0.0));
    assert_eq!(of("black cherry"), (0.1, 0.0));
    let other_bit = DRAWER.replace("6 MM up-spiral", "5 mm up-spiral");
    let job = resolve(&text, &other_bit).unwrap();
    assert_eq!(job.fit.clearance.as_mm(), 0.1);
    assert!(
        !fit::drawn(&job).concat().contains("learned"),
        "{:?}",
        fit::drawn(&job)
    );
}

#[test]
fn what_the_job_states_counts_over_the_drawer() {
    let text = named("name = 'brass, 44'\nwidth = 11\nsetback = 4\n");
    let text = text.replace("gap = 0.4", "gap = 0.4\nclearance = 0.08\ndepth = 0");
    let job = resolve(&text, DRAWER).unwrap();
    // The steps have no width of their own, so they follow the job's.
    assert_eq!(steps(&job)[1], [27.08, 11.08, 12.4]);
    assert_eq!(job.hinge.setback.as_mm(), 4.0);
    assert!(fit::drawn(&job)[0].ends_with("with the job's own `width`, `setback`"));
    assert!(!fit::drawn(&job).concat().contains("learned"));
    let own = "name = 'brass, 44'\nsteps = [{ length = 44, depth = 4.5 }]\n";
    assert_eq!(steps(&self::job(own)).len(), 1);
}

#[test]
fn the_digest_follows_the_hinge_that_is_taken_and_no_other() {
    let text = named("name = 'brass, 44'\n");
    let digest = |drawer: &str| resolve(&text, drawer).unwrap().digest;
    let own = digest(DRAWER);
    assert_eq!(digest(&DRAWER.replace("width = 0.3", "width = 0.31")), own);
    assert_eq!(digest(&format!("# mine\n{DRAWER}")), own);
    assert_ne!(digest(&DRAWER.replace("'10 mm'", "'10.1 mm'")), own);
    assert_ne!(digest(&DRAWER.replace("0.006", "0.007")), own);
}

#[test]
fn names_that_lead_nowhere_are_marked_with_the_near_ones() {
    let error = only(resolve(&named("name = 'bras, 44'\n"), DRAWER).unwrap_err());
    assert_eq!(error.message, "the drawer has no hinge `bras, 44`");
    assert_eq!(error.help.as_deref(), Some("did you mean `Brass, 44`?"));
    let place = error.place.unwrap();
    assert_eq!((place.file.as_str(), place.column), ("job.toml", 8));
    let far = only(resolve(&named("name = 'xyz'\n"), DRAWER).unwrap_err());
    assert_eq!(far.help.as_deref(), Some("it has `Brass, 44`, `steel, 30`"));
    let text = named("name = 'brass, 44'\n").replace("hinges = 'hinges.toml'\n", "");
    let error = only(input::job("job.toml", &text).unwrap_err());
    assert_eq!(error.code, "no-drawer");
    assert!(error.help.unwrap().starts_with("add `hinges = "));
    // Without a name the hinge is the job's own and has to be whole.
    let errors = input::job("job.toml", &named("width = 10\n")).unwrap_err();
    let missing = errors.iter().filter(|error| error.code == "missing-key");
    assert_eq!(missing.count(), 3, "{}", listing(&errors));
}

#[test]
fn mistakes_of_the_drawer_are_marked_there() {
    let refuse = |old: &str, new: &str, code: &str, marked: &str| {
        assert!(DRAWER.contains(old), "{old}");
        let text = DRAWER.replacen(old, new, 1);
        let error = only(input::hinges("hinges.toml", &text).unwrap_err());
        assert_eq!(error.code, code, "{error}");
        let place = error.place.unwrap();
        assert_eq!(place.file, "hinges.toml");
        let line = text.lines().nth(place.line as usize - 1).unwrap();
        let found: String = line.chars().skip(place.column as usize - 1).collect();
        assert!(found.starts_with(marked), "{found}");
    };
    refuse("'10 mm'", "0", "out-of-range", "0");
    refuse("width = 0.3\n", "", "missing-key", "[[hinge]]");
    refuse(
        "'steel, 30'",
        "'BRASS, 44'",
        "duplicate-name",
        "'BRASS, 44'",
    );
    refuse("0.006", "1", "out-of-range", "1");
    refuse(
        "setback = 0.1",
        "set_back = 0.1\nsetback = 0.1",
        "unknown-key",
        "set_back",
    );
    refuse(
        "depth = '12 mm'",
        "depth = '4 mm'",
        "steps-do-not-nest",
        "{ length = '27 mm'",
    );
    refuse(
        "along = '18.5 mm'",
        "along = '23 mm'",
        "screw-outside",
        "{ along",
    );
    refuse(
        "black walnut / sugar",
        "black walnut / black walnut' } , { bit = '6 mm up-spiral', wood = 'sugar",
        "duplicate-name",
        "{ bit",
    );
    let empty = only(input::hinges("hinges.toml", "hinge = []").unwrap_err());
    assert_eq!(empty.code, "wrong-count");
    let rack = only(input::hinges("hinges.toml", BITS).unwrap_err());
    assert_eq!(rack.code, "wrong-file");
    assert!(rack.message.ends_with("wanted is a hinge drawer"), "{rack}");
    assert_eq!(
        only(input::job("job.toml", DRAWER).unwrap_err()).message,
        "the file is a hinge drawer, wanted is a job file"
    );
}

// What is right in the drawer and wrong in this job has its place in the job.
#[test]
fn a_hinge_that_does_not_suit_the_job_is_marked_at_its_name() {
    let (name, thin) = ("name = 'steel, 30'\n", "width = 0.2");
    let drawer = DRAWER.replace("width = 0.3", thin);
    let error = only(resolve(&named(name), &drawer).unwrap_err());
    let place = error.place.unwrap();
    assert_eq!(
        (error.code, place.file.as_str(), place.column),
        ("bit-too-wide", "job.toml", 8)
    );
    let round = DRAWER.replace("depth = '12 mm'", "depth = '12 mm', corner = '4 mm'");
    let narrow = "name = 'brass, 44'\nwidth = 7\n";
    let error = only(resolve(&named(narrow), &round).unwrap_err());
    assert_eq!(error.code, "corner-too-round");
    assert!(error.message.contains("step 2") && error.message.contains("at most 3.5 mm"));
}
