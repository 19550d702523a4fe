//! The order of work, to tick off.

use serde::Serialize;

use crate::job::{Job, Layout, Part, PartName, StopEnd, ZeroPoint};
use crate::shop::machine::{SafeZ, SpindleControl, ToolChange};
use crate::units::{Length, Units};

use super::caliper;
use super::frame::{against, viewpoint};
use super::measure::one;

/// One thing to do and tick.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct Task {
    what: String,
    how: String,
    /// What it says stands elsewhere on the page that a person holds.
    elsewhere: bool,
}

/// Everything to do, in order.
pub(super) fn tasks(job: &Job, programs: &[String], units: Units) -> Vec<Task> {
    if job.fixture.layout == Layout::Scrap {
        return match job.part(PartName::Plate) {
            Some(plate) => template(job, plate, programs, units),
            None => of_scrap(job, programs, units),
        };
    }
    if !job.fixture.positions.is_empty() {
        return of_positions(job, programs, units);
    }
    let mut tasks = vec![
        test_piece_first(),
        mark(job),
        bit(job, units),
        touch(job),
        load(job),
        task("Clamp", clamp_words(job)),
        told_elsewhere("Touch off Z", "On the wood itself, as written under Zero."),
        task("Dry run", dry_run(job, units)),
    ];
    tasks.extend(run(job, programs));
    if job.selection.step.is_some_and(|step| step < deepest(job)) {
        return tasks;
    }
    tasks.push(task(
        "Try the hinge before the parts come out",
        "The leaf must go in by hand, without force or play. Nothing moves until it does: the same \
         program can cut again.",
    ));
    tasks.push(screws_last());
    tasks
}

/// The same where the parts lie in one position after another.
fn of_positions(job: &Job, programs: &[String], units: Units) -> Vec<Task> {
    let mut tasks = vec![
        test_piece_first(),
        mark(job),
        bit(job, units),
        told_elsewhere(
            "Touch off X and Y",
            "Before the parts go in, as written under Zero; along the hinged edges anew in every \
             position.",
        ),
    ];
    tasks.push(task("Dry run in every position", dry_run(job, units)));
    for position in job.positions().into_iter().flatten() {
        let number = position.number;
        let suffix = position.suffix();
        let own = programs.iter().filter(|name| {
            let stem = name.strip_suffix(".nc").unwrap_or(name);
            stem.ends_with(&suffix) || stem.contains(&format!("{suffix}-"))
        });
        let own: Vec<&str> = own.map(String::as_str).collect();
        let run = match own.as_slice() {
            [] => "its program".to_owned(),
            own => own.join(", then "),
        };
        tasks.push(task(
            &format!("Position {number}"),
            format!("As its section says; dry run; {run}."),
        ));
    }
    if job.selection.step.is_some_and(|step| step < deepest(job)) {
        return tasks;
    }
    tasks.push(task(
        "Try the hinges before the last position comes out",
        "The leaf must go in by hand, without force or play.",
    ));
    tasks.push(screws_last());
    tasks
}

fn test_piece_first() -> Task {
    task(
        "Test piece first",
        "In an offcut, edge and grain alike: stepwell test-piece. Enter the pocket that fits: \
         stepwell fit.",
    )
}

fn screws_last() -> Task {
    task(
        "Screws last",
        "One in each leaf, close the lid, then the rest. A steel one of the same size cuts the \
         thread for a brass one, with wax. Countersinks are not cut by these programs.",
    )
}

/// How many steps a pocket has.
fn deepest(job: &Job) -> usize {
    let pockets = job.parts.iter().flat_map(|part| &part.pockets);
    pockets.map(|pocket| pocket.steps.len()).max().unwrap_or(0)
}

fn task(what: &str, how: impl Into<String>) -> Task {
    Task {
        what: what.to_owned(),
        how: how.into(),
        elsewhere: false,
    }
}

fn told_elsewhere(what: &str, how: impl Into<String>) -> Task {
    Task {
        elsewhere: true,
        ..task(what, how)
    }
}

fn mark(job: &Job) -> Task {
    let [boxed, lid] = [PartName::Box, PartName::Lid].map(|part| job.closing.faces(part));
    let how = format!(
        "With the lid on the box as it closes: the stop end, the same end of both; against the fence \
         and up: box {} and {}, lid {} and {}.",
        boxed.fence, boxed.up, lid.fence, lid.up
    );
    task("Mark the parts", how)
}

fn touch(job: &Job) -> Task {
    let mut how = "Before the parts go in, as written under Zero.".to_owned();
    let between = job.fixture.doubled_axis();
    if job.fixture.divider == Length::ZERO && job.fixture.zero == ZeroPoint::Shared {
        how += &format!(" The parts butt: {between} with the box in and the lid still out.");
    }
    told_elsewhere("Touch off X and Y", how)
}

fn load(job: &Job) -> Task {
    task("Lay the parts in", way_round(job))
}

/// Which way round the parts lie, in words.
pub(super) fn way_round(job: &Job) -> String {
    let lies = |part, fence: &str| {
        let faces = job.closing.faces(part);
        format!(
            "the {}, {} up, {} against the {fence}",
            faces.piece, faces.up, faces.fence
        )
    };
    let stop_end = job.fixture.stop_end;
    let [on_the_left, on_the_right] = match stop_end {
        StopEnd::Left => [PartName::Box, PartName::Lid],
        StopEnd::Right => [PartName::Lid, PartName::Box],
    };
    let lie = match job.fixture.layout {
        Layout::Book => format!(
            "Like a book laid open about the divider, a fence. In front: {}. \
             Behind: {}. {}.",
            lies(PartName::Box, "divider"),
            lies(PartName::Lid, "divider"),
            sentence(&against(&job.fixture))
        ),
        Layout::EndToEnd => format!(
            "Along one fence in front. On the left: {}. On the right: {}. Both stop ends against \
             the centre stop between them.",
            lies(on_the_left, "fence"),
            lies(on_the_right, "fence")
        ),
        Layout::Scrap => {
            "The scrap flat on the bed, its left end and near edge free to touch.".to_owned()
        }
    };
    match viewpoint(&job.fixture) {
        Some(from) => format!("{from} {lie}"),
        None => lie,
    }
}

/// With a capital letter.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_ascii_uppercase());
    first.into_iter().chain(letters).collect()
}

fn clamp_words(job: &Job) -> String {
    let mut words = "So that no part can lift or creep; pull at each by hand.".to_owned();
    if !job.fixture.clamps.is_empty() {
        words += " Clamps as drawn, no taller.";
    }
    words
}

fn bit(job: &Job, units: Units) -> Task {
    let out = one(job.bit.stickout, units);
    let mut how = format!(
        "{}, {out} from nut to tip, nut tight on plain shank, not bottomed.",
        job.bit.name
    );
    if job.bit.wear > 0.0 {
        let percent = (job.bit.wear * 100.0).round();
        how += &format!(" Speeds are for an edge {percent} % worn.");
    }
    told_elsewhere("Fit the bit", how)
}

/// One program after another, the first stopped for the calipers.
/// Above the wood where the tip can rise so far, else without the bit.
fn dry_run(job: &Job, units: Units) -> String {
    let lift = Length::from_mm((deepest_cut(job).as_mm() + OVER_THE_WOOD).ceil());
    match job.fixture.headroom {
        // The program itself rises to just under the headroom.
        Some(_) => "Take the bit out, the spindle off, and run the whole program, a hand at the \
                    stop: lifted it would run out of headroom. Then bit back, Z anew."
            .to_owned(),
        None => format!(
            "See whether Z can rise {} above the program's safe height. If so, lift the Z zero by \
             that and run the whole program above the wood, a hand at the stop button; then set Z0 \
             back. If not, run it with the bit taken out.",
            one(lift, units)
        ),
    }
}

/// The dry run stays so far above the wood, in millimetres.
const OVER_THE_WOOD: f64 = 2.0;

/// The deepest tip below a mating face.
fn deepest_cut(job: &Job) -> Length {
    let pockets = job.parts.iter().flat_map(|part| &part.pockets);
    let depths = pockets.flat_map(|pocket| {
        let steps = pocket.steps.iter().map(|step| step.depth);
        steps.chain(pocket.holes.iter().map(|hole| hole.tip))
    });
    depths.fold(Length::ZERO, Length::max)
}

fn run(job: &Job, programs: &[String]) -> Vec<Task> {
    let dialect = &job.machine.dialect;
    let split = dialect.effective_tool_change() == ToolChange::Split;
    let mut tasks = Vec::new();
    for (index, name) in programs.iter().enumerate() {
        let mut how = String::new();
        if index > 0 && split {
            how += "Fit its own bit and touch off Z again, X and Y stay. ";
        }
        if dialect.safe_z == SafeZ::Work {
            how += "Start with the bit above the safe height. ";
        }
        if job.machine.spindle.control == SpindleControl::Manual {
            how += "At the first pause set the dial and let the spindle come up to speed. ";
        }
        if index == 0 {
            how += &first_pass(job);
        }
        tasks.push(task(&format!("Run {name}"), how.trim_end()));
    }
    tasks
}

/// How the first program is stopped for the calipers.
fn first_pass(job: &Job) -> String {
    let hinge = job.selection.hinge;
    match (caliper::command(job), job.selection.step) {
        (Some(_), _) => {
            "First step 1 alone, as written under First pass. Then generate and run the whole: it \
             cuts step 1 again at its corrected place, and wider by what it moved beyond the \
             clearance. "
                .to_owned()
        }
        (None, Some(1)) => {
            let rest = hinge.map_or_else(String::new, |hinge| format!(" for hinge {hinge}"));
            format!(
                "It cuts the first step alone{rest}. Then measure (see First pass), enter with \
                 stepwell fit, and generate the whole without --step. "
            )
        }
        (None, Some(step)) => format!("It cuts step {step} alone, into the steps above it. "),
        (None, None) => String::new(),
    }
}

/// The machine's part of a template; the rest stands on leaves of its own.
fn template(job: &Job, plate: &Part, programs: &[String], units: Units) -> Vec<Task> {
    let size = format!(
        "{} × {} × {}",
        one(plate.length, units),
        one(plate.across, units),
        one(plate.below, units)
    );
    let into = plate.board_below.unwrap_or_default();
    let mut tasks = vec![
        task(
            "Saw the plate with its strip",
            format!(
                "{size}, edges straight and square: near and left edge are measured from. Measure its thickness at several places."
            ),
        ),
        task(
            "Lay it on a board",
            format!(
                "Underside up, flat, on a board that may be cut {} deep, with double-sided tape under the whole of it: \
                 the plate springs where it is cut through. No clamp where a line runs over an edge: in the middle of each.",
                one(into, units)
            ),
        ),
        bit(job, units),
        task("Touch off", "Set zero as written under Zero."),
    ];
    tasks.extend(programs.iter().map(|name| {
        task(
            &format!("Run {name}"),
            "Stay with it. Openings are cleared to chips; insert pieces hang on a skin until you break them out.",
        )
    }));
    tasks.push(task(
        "At the bench",
        "Saw, press in the batten, try in a scrap, then rout: the leaves after this one.",
    ));
    tasks
}

/// What is cut out of a scrap or into it.
fn of_scrap(job: &Job, programs: &[String], units: Units) -> Vec<Task> {
    let scrap = job.part(PartName::Scrap);
    let size = scrap.map_or_else(String::new, |part| {
        format!(
            "{} × {} × {}",
            one(part.length, units),
            one(part.across, units),
            one(part.below, units)
        )
    });
    let is_plug = is_plug(job);
    let (take, cuts) = if is_plug {
        (
            format!(
                "{size}, as thick as that: the skin that holds the plug depends on it. The grain as \
                 written in the notes."
            ),
            "It leaves a skin under every piece, so that none comes loose.",
        )
    } else {
        (
            format!(
                "{size} or larger; cut it in the same edge or face, the grain the same way, as in the real part."
            ),
            "The cuts, the direction and the feeds are those of the real job.",
        )
    };
    let mut tasks = vec![
        task("Take a scrap of the same board", take),
        task(
            "Clamp",
            "Flat on the bed, its left end and near edge free to touch.",
        ),
        bit(job, units),
        task("Touch off", "Set zero as written under Zero."),
    ];
    let runs = programs.iter();
    tasks.extend(runs.map(|name| task(&format!("Run {name}"), cuts)));
    tasks.extend(if is_plug { plug() } else { test_piece() });
    tasks
}

/// Whether pieces are cut out of a scrap, and nothing into it.
pub(super) fn is_plug(job: &Job) -> bool {
    job.part(PartName::Scrap)
        .is_some_and(|scrap| scrap.pockets.is_empty() && !scrap.contours.is_empty())
}

fn test_piece() -> [Task; 2] {
    [
        task(
            "Try the hinge in every pocket",
            "The right one lets the leaf in by hand, without force and without play.",
        ),
        task(
            "Book it",
            "Count the ticks beside the pocket that fits and type the command under Which pocket fits \
             with that number. The next program is cut with that clearance.",
        ),
    ]
}

fn plug() -> [Task; 2] {
    [
        told_elsewhere(
            "Glue it in",
            "Piece by piece, as the notes say, the grain with the part's.",
        ),
        told_elsewhere(
            "Cut the pocket again",
            "When the glue is hard and the plug is flush: by the command in the notes.",
        ),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Closing;
    use crate::job::sample;

    fn all_words(job: &Job) -> String {
        tasks(job, &["sample.nc".to_owned()], Units::Millimetre)
            .into_iter()
            .map(|task| format!("{}: {}\n", task.what, task.how))
            .collect()
    }

    #[test]
    fn the_test_piece_comes_before_the_parts() {
        let words = all_words(&sample::job());
        let (test_piece, run) = (words.find("Test piece first"), words.find("Run sample.nc"));
        assert!(test_piece.is_some() && test_piece < run);
    }

    /// 12.4 deep and 2 over it, to the next whole millimetre.
    #[test]
    fn a_dry_run_is_lifted_by_a_figure_or_made_without_the_bit() {
        let mut job = sample::job();
        assert!(
            all_words(&job).contains("whether Z can rise 15.00 mm above the program's safe height")
        );
        job.fixture.headroom = Some(Length::from_mm(40.0));
        let words = all_words(&job);
        assert!(
            words.contains("Dry run: Take the bit out") && !words.contains("Lift"),
            "{words}"
        );
    }

    #[test]
    fn an_inset_box_is_cut_as_a_loose_board() {
        let mut job = sample::job();
        assert!(!all_words(&job).contains("loose board"));
        job.closing = Closing::Inset;
        assert!(all_words(&job).contains("hinged wall as a loose board"));
    }

    #[test]
    fn a_second_program_wants_z_touched_off_again() {
        let programs = ["a.nc".to_owned(), "a-pilot.nc".to_owned()];
        let tasks = tasks(&sample::job(), &programs, Units::Millimetre);
        let pilot = tasks.iter().find(|task| task.what == "Run a-pilot.nc");
        assert!(pilot.is_some_and(|task| task.how.contains("touch off Z again")));
    }

    #[test]
    fn faces_are_touched_before_the_wood_is_in_and_its_top_after() {
        let words = all_words(&sample::job());
        let at = |what: &str| words.find(what).unwrap();
        assert!(at("Touch off X and Y") < at("Lay the parts in"));
        assert!(at("Clamp") < at("Touch off Z"));
        assert!(!words.contains("parts butt"));
        let mut job = sample::job();
        job.fixture.divider = Length::ZERO;
        assert!(all_words(&job).contains("Y with the box in and the lid still out"));
    }

    #[test]
    fn a_program_of_the_first_step_is_not_told_to_be_made_again() {
        let mut job = sample::job();
        assert!(all_words(&job).contains("as written under First pass"));
        job.selection.hinge = Some(2);
        job.selection.step = Some(1);
        let words = all_words(&job);
        assert!(!words.contains("under First pass"), "{words}");
        assert!(words.contains("first step alone for hinge 2. Then measure"));
        assert!(
            !words.contains("Try the hinge"),
            "half a pocket takes no hinge"
        );
        job.selection.step = Some(2);
        assert!(all_words(&job).contains("Try the hinge"));
    }
}
