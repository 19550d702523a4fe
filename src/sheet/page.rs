//! Everything the page says, as plain values for the template.

use serde::Serialize;

use crate::advice;
use crate::geometry::Point;
use crate::job::position::Located;
use crate::job::{Job, Layout, Part, PartName, Pocket, Step, Tick, ZeroPoint};
use crate::report::{Check, Finding, PocketReport, Verdict};
use crate::rs274::event::Path;
use crate::shop::bit::Bit;
use crate::shop::bit::care::{self, Origin};
use crate::shop::machine::SpindleControl;
use crate::units::{Feed, Length, Units, text};
use crate::verify::DepthMap;

use super::frame::{self, at_hinge, place};
use super::measure::{Both, both, duration, fixed, one};
use super::order::Task;
use super::path::file_name;
use super::pocket::around;
use super::touch_off::TouchOff;
use super::trace::Trace;
use super::{
    Input, boxes, caliper, depth, fixture, hinge, measure, order, pocket, position_picture,
    positions, side_view, template, touch_off,
};

/// Kinds of pocket of one part that get a drawing, and pockets of a kind that
/// share it; the rest get a row of figures.
const DRAWN: usize = 6;
/// Rows of figures at most; a page longer than that helps nobody.
const ROWS: usize = 400;
/// A fixture's picture no wider than this leaves room beside it on paper.
const TALL: f64 = 600.0;

/// The page.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Page {
    title: String,
    kind: &'static str,
    layout: &'static str,
    way_round: String,
    key: &'static str,
    zero_words: String,
    /// Each part has a zero of its own.
    zeros_apart: bool,
    verdict: Banner,
    failed: Vec<CheckRow>,
    facts: Vec<Fact>,
    fixture: String,
    /// The fixture from the side.
    side: Option<String>,
    /// Width of the fixture's picture, in its own units.
    plan_width: u32,
    /// Whether the fixture's picture wants a column of its own on paper.
    tall: bool,
    touch_off: TouchOff,
    bits: Vec<BitCard>,
    passes: Vec<String>,
    programs: Vec<ProgramRow>,
    tasks: Vec<Task>,
    calipers: Vec<caliper::Reading>,
    caliper_command: String,
    caliper_introduction: String,
    caliper_words: String,
    cards: Vec<Card>,
    rows: Vec<Row>,
    unlisted: usize,
    measure: String,
    readings: Vec<hinge::Reading>,
    clearances: Vec<Clearance>,
    fit_commands: Vec<String>,
    checks: Vec<CheckRow>,
    /// Heads of the columns of figures.
    columns: [&'static str; 3],
    notes: Vec<String>,
    clamps: Vec<String>,
    too_long: bool,
    positions: Vec<positions::Card>,
    /// A page replays one position, and this one has several.
    replays_apart: bool,
    advice: Vec<Hint>,
    boxes: Option<boxes::Boxes>,
    /// Of a template: the plate and the hand-held router's work.
    template: Option<template::Leaf>,
}

#[derive(Clone, Debug, Serialize)]
struct Banner {
    class: &'static str,
    word: String,
    line: String,
}

#[derive(Clone, Debug, Serialize)]
struct Fact {
    label: &'static str,
    value: String,
    more: String,
    /// On the screen alone: on paper the hands do without.
    look_up: bool,
}

#[derive(Clone, Debug, Serialize)]
struct BitCard {
    name: String,
    kind: String,
    lines: Vec<Fact>,
    wall_care: Vec<Care>,
}

/// What is in force for rim and wall.
#[derive(Clone, Debug, Serialize)]
struct Care {
    key: &'static str,
    value: &'static str,
    origin: String,
    effect: &'static str,
    otherwise: &'static str,
}

#[derive(Clone, Debug, Serialize)]
struct ProgramRow {
    name: String,
    bit: String,
    time: String,
    lines: u64,
    sha256: String,
}

/// Pockets that one drawing does for.
#[derive(Clone, Debug, Serialize)]
struct Card {
    name: String,
    /// Whether it also goes on paper.
    print: bool,
    drawing: String,
    depth: String,
    figures: Vec<Figure>,
    truth: String,
}

#[derive(Clone, Debug, Serialize)]
struct Figure {
    what: String,
    /// The reader's unit, the other one, and the nearest 64th of an inch.
    value: [String; 3],
    class: &'static str,
}

/// One pocket in figures only.
#[derive(Clone, Debug, Serialize)]
struct Row {
    name: String,
    x: String,
    y: String,
    outside: String,
    inside: String,
    below: String,
}

/// Advice on strength and movement.
#[derive(Clone, Debug, Serialize)]
struct Hint {
    warns: bool,
    text: String,
    basis: &'static str,
}

#[derive(Clone, Debug, Serialize)]
struct Clearance {
    row: usize,
    ticks: usize,
    clearance: Both,
    depth: Both,
}

#[derive(Clone, Debug, Serialize)]
struct CheckRow {
    id: &'static str,
    class: &'static str,
    word: &'static str,
    message: String,
    findings: Vec<String>,
    more: u64,
}

/// What the page says of the pockets.
struct Pockets {
    /// With drawings.
    cards: Vec<Card>,
    /// In figures only.
    rows: Vec<Row>,
    /// How many are left out.
    unlisted: usize,
}

/// Gathers it.
pub(super) fn page(input: &Input<'_>, trace: &Trace) -> Page {
    let Input {
        job,
        outcome,
        programs,
        units,
        ..
    } = *input;
    let report = &outcome.report;
    let checks: Vec<_> = report.checks.iter().map(check_row).collect();
    let names: Vec<_> = programs
        .iter()
        .map(|(name, _)| file_name(name).to_owned())
        .collect();
    let Pockets {
        cards,
        rows,
        unlisted,
    } = pockets(input);
    // Where the parts lie in several positions the page begins with the first.
    let first = &*frame::first(job);
    let fixture = match first.fixture.positions.as_slice() {
        [position] => position_picture::draw(first, position, units),
        _ => fixture::draw(first, units),
    };
    let positions = positions::cards(job, units);
    Page {
        title: job.title.clone(),
        kind: match (&job.plate, job.fixture.layout) {
            (Some(_), _) => "Template",
            (None, Layout::Scrap) if order::is_plug(job) => "Plug",
            (None, Layout::Scrap) => "Test piece",
            (None, _) => "Job sheet",
        },
        layout: match job.plate {
            Some(_) => "one plate with its strip, underside up, its corner at zero",
            None => fixture::layout_words(&job.fixture),
        },
        way_round: order::way_round(first),
        key: fixture::key(&job.fixture),
        zero_words: zero_words(first),
        zeros_apart: job.fixture.zero == ZeroPoint::Each,
        verdict: banner(&report.checks),
        failed: checks
            .iter()
            .filter(|row| row.class == "fail")
            .cloned()
            .collect(),
        facts: facts(input),
        fixture: fixture.inline(),
        side: side_view::draw(first, units, fixture.width()).map(|side| side.inline()),
        plan_width: fixture.width().ceil() as u32,
        tall: fixture.width() < TALL,
        touch_off: touch_off::steps(first, units),
        bits: bits(input, trace),
        passes: passes(input),
        programs: program_rows(input),
        tasks: order::tasks(job, &names, units),
        calipers: caliper::readings(job, units),
        caliper_command: caliper::fit_command(job),
        caliper_introduction: caliper::introduction(job),
        caliper_words: caliper::words(&job.fixture),
        cards,
        rows,
        unlisted,
        measure: hinge::draw().inline(),
        readings: hinge::readings(job, units),
        clearances: clearances(job, units),
        fit_commands: fit_commands(job),
        checks,
        columns: [units.symbol(), units.other().symbol(), "nearest 1/64"],
        notes: of_both_parts(notes(input)),
        clamps: clamps(first, units),
        replays_apart: positions.len() > 1,
        positions,
        too_long: trace.is_cut_short,
        advice: hints(job, units),
        boxes: boxes::of(job, report, units),
        template: template::leaf(job, report, units),
    }
}

/// The report's notes; the source of advice stands beside it under Strength.
fn notes(input: &Input<'_>) -> Vec<String> {
    let advice = advice::of(input.job);
    let short = |note: &String| {
        let whole = advice.iter().find(|advice| advice.to_string() == *note);
        whole.map_or_else(|| note.clone(), |advice| advice.text.clone())
    };
    input.outcome.report.notes.iter().map(short).collect()
}

/// What is said of the box and then again of the lid, once.
fn of_both_parts(notes: Vec<String>) -> Vec<String> {
    let mut kept: Vec<String> = Vec::new();
    for note in notes {
        let twin = note.strip_prefix("lid: ").and_then(|words| {
            let twin = format!("box: {words}");
            kept.iter_mut().find(|kept| **kept == twin)
        });
        match twin {
            Some(twin) => twin.replace_range(.."box".len(), "box and lid"),
            None => kept.push(note),
        }
    }
    kept
}

fn hints(job: &Job, units: Units) -> Vec<Hint> {
    let job = &Job {
        units,
        ..job.clone()
    };
    advice::of(job)
        .into_iter()
        .map(|advice| Hint {
            warns: advice.warns,
            text: advice.text,
            basis: advice.basis,
        })
        .collect()
}

fn zero_words(job: &Job) -> String {
    let [along, across] = job.fixture.letters();
    let stop = match frame::located(&job.fixture) {
        Located::Stop => "at the stop",
        Located::Mark(_) => "at the stop bar",
        Located::FarStop(_) => "from the far stop",
    };
    match (job.fixture.layout, job.fixture.zero) {
        (Layout::Scrap, _) if job.plate.is_some() => {
            "The plate's left near corner, on its underside, which lies up".to_owned()
        }
        (Layout::Scrap, _) => "The scrap's left near corner, on its top".to_owned(),
        (_, ZeroPoint::Each) => {
            "One for each part: G54 at the box, G55 at the lid, each at stop end, divider or fence, and mating face".to_owned()
        }
        (Layout::Book, ZeroPoint::Shared) => format!(
            "{along} {stop}, {across} in the middle of the divider, Z on the box's mating face"
        ),
        (Layout::EndToEnd, ZeroPoint::Shared) => format!(
            "{along} in the middle of the centre stop, {across} at the fence, Z on the box's mating face"
        ),
    }
}

fn banner(checks: &[Check]) -> Banner {
    let of = |verdict| {
        checks
            .iter()
            .filter(|check| check.verdict == verdict)
            .count()
    };
    let (failed, warned) = (of(Verdict::Fail), of(Verdict::Warn));
    let judged = checks.len() - of(Verdict::None);
    if failed > 0 {
        return Banner {
            class: "fail",
            word: format!("{failed} failed"),
            line: "Read what failed before anything moves.".to_owned(),
        };
    }
    let line = format!("{judged} checks on the replayed text");
    if warned > 0 {
        Banner {
            class: "warn",
            word: format!("Passed, {warned} to look at"),
            line,
        }
    } else {
        Banner {
            class: "pass",
            word: "All passed".to_owned(),
            line,
        }
    }
}

fn check_row(check: &Check) -> CheckRow {
    let word = match check.verdict {
        Verdict::None => "not judged",
        Verdict::Pass => "pass",
        Verdict::Warn => "look",
        Verdict::Fail => "FAIL",
    };
    CheckRow {
        id: check.id.name(),
        class: check.verdict.name(),
        word,
        message: check.message.clone(),
        findings: check.findings.iter().map(Finding::in_its_line).collect(),
        more: check.count.saturating_sub(check.findings.len() as u64),
    }
}

fn facts(input: &Input<'_>) -> Vec<Fact> {
    let job = input.job;
    let seconds: f64 = input
        .outcome
        .report
        .programs
        .iter()
        .map(|program| program.seconds.as_seconds())
        .sum();
    let mut woods: Vec<_> = job
        .parts
        .iter()
        .map(|part| part.wood.name.as_str())
        .collect();
    woods.dedup();
    let bit = &job.bit;
    let control = match job.machine.spindle.control {
        SpindleControl::Program => String::new(),
        SpindleControl::Manual => "set the dial by hand".to_owned(),
    };
    vec![
        fact("Machine", job.machine.name.clone(), ""),
        fact("Wood", woods.join(" / "), ""),
        look_up(
            "Bit",
            bit.name.clone(),
            &format!("{} out of the nut", one(bit.stickout, input.units)),
        ),
        look_up(
            "Spindle",
            format!("{:.0} rpm", input.settings.speed.as_rpm()),
            &control,
        ),
        look_up(
            "Feed",
            feed_in(input.settings.feed, input.units),
            &feed_in(input.settings.feed, input.units.other()),
        ),
        fact("Time", duration(seconds), "pauses left out"),
    ]
}

fn feed_in(feed: Feed, units: Units) -> String {
    match units {
        Units::Millimetre => format!("{:.0} mm/min", feed.as_mm_per_minute()),
        Units::Inch => {
            let inch = Length::from_mm(feed.as_mm_per_minute()).as_inch();
            format!("{} in/min", fixed(inch, 1))
        }
    }
}

fn fact(label: &'static str, value: String, more: &str) -> Fact {
    Fact {
        label,
        value,
        more: more.to_owned(),
        look_up: false,
    }
}

fn look_up(label: &'static str, value: String, more: &str) -> Fact {
    Fact {
        look_up: true,
        ..fact(label, value, more)
    }
}

fn bits(input: &Input<'_>, trace: &Trace) -> Vec<BitCard> {
    let mut cards = vec![main_bit(input)];
    // One step alone is cut without the holes.
    let pilot = input.job.pilot.as_ref();
    if let Some(pilot) = pilot.filter(|_| input.job.selection.step.is_none()) {
        let bit = &pilot.bit;
        let mut lines = shape(bit, input.units);
        let peck = crate::cutting::limits(bit, &input.job.parts[0].wood).stepdown;
        let Both { first, second } = both(peck, input.units);
        lines.push(fact("Peck", first, &second));
        let programs = &input.outcome.report.programs;
        let own = programs.iter().position(|program| program.bit == bit.name);
        if let Some((own, speed)) = own.and_then(|own| Some((own, trace.speeds.get(own)?))) {
            lines.push(fact("Speed", format!("{:.0} rpm", speed.as_rpm()), ""));
            let steps = trace.steps.iter().filter(|step| step.program == own);
            let feeds = steps.filter(|step| step.path != Path::Rapid);
            let feed = feeds.map(|step| step.feed).fold(0.0, f64::max);
            let feed = Feed::from_mm_per_minute(feed);
            let other = feed_in(feed, input.units.other());
            lines.push(fact("Feed", feed_in(feed, input.units), &other));
        }
        cards.push(BitCard {
            name: bit.name.clone(),
            kind: kind(bit),
            lines,
            wall_care: Vec::new(),
        });
    }
    cards
}

fn kind(bit: &Bit) -> String {
    let plural = if bit.flutes == 1 { "" } else { "s" };
    format!("{}, {} flute{plural}", bit.kind.name(), bit.flutes)
}

fn shape(bit: &Bit, units: Units) -> Vec<Fact> {
    let both = |label, length| {
        let Both { first, second } = both(length, units);
        fact(label, first, &second)
    };
    let mut lines = vec![
        both("Cuts", bit.cutting_diameter()),
        both("Nut to tip", bit.stickout),
    ];
    if bit.measured.is_some() {
        lines.push(both("Nominal", bit.diameter));
    }
    lines
}

fn main_bit(input: &Input<'_>) -> BitCard {
    let (job, settings, units) = (input.job, input.settings, input.units);
    let mut lines = shape(&job.bit, units);
    let feed = |label, feed| fact(label, feed_in(feed, units), &feed_in(feed, units.other()));
    let speed = match job.machine.spindle.control {
        SpindleControl::Program => "",
        SpindleControl::Manual => "dial, by hand",
    };
    lines.push(fact(
        "Speed",
        format!("{:.0} rpm", settings.speed.as_rpm()),
        speed,
    ));
    lines.push(feed("Feed", settings.feed));
    if settings.finish_feed != settings.feed {
        lines.push(feed("Finishing feed", settings.finish_feed));
    }
    let Both { first, second } = both(settings.limits.stepdown, units);
    lines.push(fact("Deepest pass", first, &second));
    lines.push(fact(
        "Ramp",
        format!("{} degrees", fixed(settings.limits.ramp.as_degrees(), 1)),
        "at most",
    ));
    let chip = |units| match units {
        Units::Millimetre => format!("{} mm a tooth", fixed(settings.chip_load.as_mm(), 3)),
        Units::Inch => format!("{} in a tooth", fixed(settings.chip_load.as_inch(), 4)),
    };
    lines.push(look_up("Chip", chip(units), &chip(units.other())));
    lines.push(look_up("Held by", settings.binding.clone(), ""));
    if job.bit.wear > 0.0 {
        let percent = (job.bit.wear * 100.0).round();
        lines.push(fact("Wear", format!("{percent} %"), "assumed"));
    }
    BitCard {
        name: job.bit.name.clone(),
        kind: kind(&job.bit),
        lines,
        wall_care: wall_care(job),
    }
}

/// What the job's bit does for rim and wall, and why.
fn wall_care(job: &Job) -> Vec<Care> {
    care::choices(&job.bit, job.room_for(&job.bit))
        .into_iter()
        .map(|choice| Care {
            key: choice.key,
            value: choice.value,
            origin: match choice.origin {
                Origin::Default if choice.key == "score" => {
                    format!("the default for {}", job.bit.kind.name())
                }
                Origin::Default => "the default".to_owned(),
                Origin::Rack => "chosen in the bits file".to_owned(),
            },
            effect: choice.effect,
            otherwise: choice.otherwise,
        })
        .collect()
}

/// How many passes each step takes at the deepest pass allowed.
fn passes(input: &Input<'_>) -> Vec<String> {
    let stepdown = input.settings.limits.stepdown.as_mm();
    let steps = input
        .job
        .parts
        .iter()
        .find_map(|part| part.pockets.first())
        .map_or(&[][..], |pocket| &pocket.steps);
    let mut from = 0.0;
    let mut words = Vec::new();
    for (index, step) in steps.iter().enumerate() {
        let drop = step.depth.as_mm() - from;
        from = step.depth.as_mm();
        if input
            .job
            .selection
            .step
            .is_some_and(|step| step != index + 1)
        {
            continue;
        }
        let count = if stepdown > 0.0 {
            (drop / stepdown - 1e-6).ceil().max(1.0)
        } else {
            1.0
        };
        let passes = if count > 1.5 { "passes" } else { "pass" };
        words.push(format!(
            "Step {}: {} down in {count} {passes}",
            index + 1,
            one(Length::from_mm(drop), input.units)
        ));
    }
    words
}

fn program_rows(input: &Input<'_>) -> Vec<ProgramRow> {
    let named = input.programs.iter().map(|(name, _)| name.clone());
    input
        .outcome
        .report
        .programs
        .iter()
        .zip(named.map(Some).chain(std::iter::repeat(None)))
        .map(|(program, name)| ProgramRow {
            name: file_name(&name.unwrap_or_else(|| program.path.clone())).to_owned(),
            bit: program.bit.clone(),
            time: duration(program.seconds.as_seconds()),
            lines: program.lines,
            sha256: program.sha256.clone(),
        })
        .collect()
}

/// The pockets of a part in this run.
pub(super) fn chosen<'a>(job: &Job, part: &'a Part) -> impl Iterator<Item = &'a Pocket> {
    let selected = job.selection.hinge;
    let pockets = part.pockets.iter();
    pockets.filter(move |pocket| selected.is_none_or(|hinge| hinge == pocket.hinge))
}

/// Those that a drawing shows, by what they are like, and the others.
fn sorted<'a>(job: &Job, part: &'a Part) -> (Vec<Vec<&'a Pocket>>, Vec<&'a Pocket>) {
    let (mut kinds, mut others) = (Vec::<Vec<&Pocket>>::new(), Vec::new());
    for pocket in chosen(job, part) {
        let alike = kinds.iter().position(|kind| {
            let first = kind.first();
            kind.len() < DRAWN && first.is_some_and(|first| pocket::are_alike(first, pocket))
        });
        match alike {
            Some(kind) => kinds[kind].push(pocket),
            None if kinds.len() < DRAWN => kinds.push(vec![pocket]),
            None => others.push(pocket),
        }
    }
    (kinds, others)
}

/// Part and hinge of each pocket that a drawing shows.
pub(super) fn drawn(job: &Job) -> Vec<(PartName, usize)> {
    let parts = job.parts.iter().filter(|_| job.plate.is_none());
    let parts = parts.filter(|part| job.is_selected(part.name));
    parts
        .flat_map(|part| {
            let (kinds, _) = sorted(job, part);
            let pockets = kinds.into_iter().flatten();
            pockets.map(|pocket| (part.name, pocket.hinge))
        })
        .collect()
}

fn pockets(input: &Input<'_>) -> Pockets {
    let job = input.job;
    let (mut cards, mut rows, mut unlisted) = (Vec::new(), Vec::new(), 0);
    // What is cut into a plate stands on its own leaf: none of it takes a hinge.
    let parts = job.parts.iter().filter(|_| job.plate.is_none());
    for part in parts.filter(|part| job.is_selected(part.name)) {
        let (kinds, others) = sorted(job, part);
        for pocket in others {
            if rows.len() < ROWS {
                rows.push(row(input, part, pocket));
            } else {
                unlisted += 1;
            }
        }
        // On paper there is room for two: one of each part, or two of a scrap.
        let on_paper = if part.name.lies_alone() { 2 } else { 1 };
        let drawn = kinds.iter().enumerate();
        cards.extend(drawn.map(|(index, kind)| card(input, part, kind, index < on_paper)));
    }
    Pockets {
        cards,
        rows,
        unlisted,
    }
}

fn find<'a>(input: &Input<'a>, part: PartName, hinge: usize) -> Option<&'a PocketReport> {
    let mut pockets = input.outcome.report.pockets.iter();
    pockets.find(|pocket| pocket.part == part && pocket.hinge == hinge)
}

/// Pockets of one part that are alike.
fn card(input: &Input<'_>, part: &Part, pockets: &[&Pocket], print: bool) -> Card {
    let units = input.units;
    let cuts: Vec<_> = pockets
        .iter()
        .map(|&pocket| depth::Cut {
            pocket,
            map: find_map(&input.outcome.maps, part.name, pocket.hinge),
        })
        .collect();
    let numbers: Vec<_> = pockets.iter().map(|pocket| pocket.hinge).collect();
    Card {
        name: pocket_name(part.name, &numbers),
        print,
        drawing: pocket::draw(input.job, part, pockets, units).inline(),
        depth: depth::draw(input.job, part, &cuts, units).inline(),
        figures: figures(input, part, pockets),
        truth: truth(input, part, pockets),
    }
}

/// How true the replayed pockets are, the worst of them.
fn truth(input: &Input<'_>, part: &Part, pockets: &[&Pocket]) -> String {
    let judged: Option<Vec<_>> = pockets
        .iter()
        .map(|pocket| find(input, part.name, pocket.hinge))
        .collect();
    let Some(judged) = judged else {
        return "Not judged in this run.".to_owned();
    };
    let worst = |of: fn(&PocketReport) -> Length| {
        let worst = judged.iter().map(|report| of(report));
        fine(worst.fold(Length::ZERO, Length::max), input.units)
    };
    format!(
        "From the text: at most {} cut too far, at most {} left.",
        worst(|report| report.gouge_mm),
        worst(|report| report.residual_mm)
    )
}

/// Deviations are thousandths of a millimetre, or ten-thousandths of an inch.
fn fine(length: Length, units: Units) -> String {
    match units {
        Units::Millimetre => format!("{} mm", fixed(length.as_mm(), 3)),
        Units::Inch => format!("{} in", fixed(length.as_inch(), 4)),
    }
}

fn pocket_name(part: PartName, numbers: &[usize]) -> String {
    match part {
        PartName::Box => format!("Box, {}", pocket::counted("hinge", numbers)),
        PartName::Lid => format!("Lid, {}", pocket::counted("hinge", numbers)),
        PartName::Scrap => format!("Scrap, {}", pocket::counted("pocket", numbers)),
        PartName::Plate => format!("Plate, {}", pocket::counted("place", numbers)),
    }
}

fn find_map(maps: &[DepthMap], part: PartName, hinge: usize) -> Option<&DepthMap> {
    maps.iter()
        .find(|map| map.part == part && map.hinge == hinge)
}

/// Every figure of pockets that are alike: what they share once, their places
/// one by one.
fn figures(input: &Input<'_>, part: &Part, pockets: &[&Pocket]) -> Vec<Figure> {
    let Some(&first) = pockets.first() else {
        return Vec::new();
    };
    let line = |what: String, length, class| Figure {
        what,
        value: measure::row(length, input.units),
        class,
    };
    let faces = input.job.closing.faces(part.name);
    let end = faces.stop;
    let number = |pocket: &Pocket| match pockets.len() {
        1 => String::new(),
        _ => format!("{}: ", pocket.hinge),
    };
    let mut figures = vec![line(
        format!("centre from the {}", faces.fence),
        first.center.y(),
        "",
    )];
    for pocket in pockets {
        let number = number(pocket);
        let at = place(&at_hinge(input.job, pocket.hinge), part.name, pocket.center);
        figures.extend([
            line(
                format!("{number}centre from the {end}"),
                pocket.center.x(),
                "",
            ),
            // On paper the fixture's drawing has these.
            line(format!("{number}centre X"), at.x(), "screen"),
            line(format!("{number}centre Y"), at.y(), "screen"),
        ]);
    }
    for (index, step) in first.steps.iter().enumerate() {
        let Step {
            length,
            width,
            depth,
            ..
        } = *step;
        for (what, length) in [("length", length), ("width", width), ("depth", depth)] {
            figures.push(line(format!("step {} {what}", index + 1), length, ""));
        }
    }
    let left = around(part, first);
    for (side, length) in [
        (format!("to the {}", faces.fence), left.outside),
        (format!("to the {}", faces.far), left.inside),
        ("below".to_owned(), left.below),
    ] {
        let class = thin(input.job, length);
        figures.push(line(format!("wood left {side}"), length, class));
    }
    let nearer = pockets.iter().map(|pocket| around(part, pocket).end);
    let nearer = nearer.fold(part.length, Length::min);
    let class = thin(input.job, nearer);
    figures.push(line(
        "wood left to the nearer end".to_owned(),
        nearer,
        class,
    ));
    figures
}

/// Under 1 mm of wood a pocket breaks through sooner or later.
fn thin(job: &Job, left: Length) -> &'static str {
    if left < Length::from_mm(1.0) {
        "fail"
    } else if left < job.fit.min_left {
        "warn"
    } else {
        ""
    }
}

fn row(input: &Input<'_>, part: &Part, pocket: &Pocket) -> Row {
    let at = place(&at_hinge(input.job, pocket.hinge), part.name, pocket.center);
    let left = around(part, pocket);
    let one = |length| one(length, input.units);
    Row {
        name: pocket_name(part.name, &[pocket.hinge]),
        x: one(at.x()),
        y: one(at.y()),
        outside: one(left.outside),
        inside: one(left.inside),
        below: one(left.below),
    }
}

/// The pockets of a test piece, each with its ticks.
fn clearances(job: &Job, units: Units) -> Vec<Clearance> {
    let Some(scrap) = job.part(PartName::Scrap) else {
        return Vec::new();
    };
    let row = |pocket| {
        let first = pocket_step(pocket)?;
        Some(Clearance {
            row: if is_first_row(scrap, pocket) { 1 } else { 2 },
            ticks: ticks_of(scrap, pocket),
            clearance: both(first.width - job.hinge.width, units),
            depth: both(first.depth, units),
        })
    };
    scrap.pockets.iter().filter_map(row).collect()
}

fn pocket_step(pocket: &Pocket) -> Option<&Step> {
    pocket.steps.first()
}

/// The second row, whose depth steps, lies beyond the ticks of the first.
fn is_first_row(scrap: &Part, pocket: &Pocket) -> bool {
    let ticks = scrap.ticks.iter();
    ticks
        .map(|tick| tick.from.x)
        .all(|tick| pocket.center.x < tick)
}

/// Ticks stand to the right of their own pocket, level with it.
fn ticks_of(scrap: &Part, pocket: &Pocket) -> usize {
    let owner = |middle: Point| {
        let level = scrap.pockets.iter().filter(|pocket| {
            pocket.center.x < middle.x && (pocket.center.y - middle.y).abs() < Length::SAME.as_mm()
        });
        level
            .max_by(|one, other| one.center.x.total_cmp(&other.center.x))
            .map(|pocket| pocket.hinge)
    };
    let middle = |tick: &Tick| {
        Point::from_mm(
            f64::midpoint(tick.from.x, tick.to.x),
            f64::midpoint(tick.from.y, tick.to.y),
        )
    };
    let ticks = scrap.ticks.iter();
    ticks
        .filter(|tick| owner(middle(tick)) == Some(pocket.hinge))
        .count()
}

/// What enters the pocket that fits, with all that the test piece was made with.
fn fit_commands(job: &Job) -> Vec<String> {
    let Some(scrap) = job.part(PartName::Scrap) else {
        return Vec::new();
    };
    let (first, second): (Vec<&Pocket>, Vec<&Pocket>) = scrap
        .pockets
        .iter()
        .partition(|pocket| is_first_row(scrap, pocket));
    let millimetres = |length: Length| format!("{}mm", text::trimmed(length.as_mm()));
    let apart = |row: &[&Pocket], of: fn(&Step) -> Length| {
        let mut steps = row.iter().filter_map(|pocket| pocket_step(pocket));
        let (one, next) = (steps.next()?, steps.next()?);
        Some(millimetres(of(next) - of(one)))
    };
    let mut made = format!(
        "stepwell fit JOB.toml --cut PROGRAM.nc --test-piece --length {} --width {} --thickness {} \
         --pockets {}",
        millimetres(scrap.length),
        millimetres(scrap.across),
        millimetres(scrap.below),
        first.len()
    );
    if let Some(step) = apart(&first, |step| step.width) {
        made += &format!(" --step {step}");
    }
    let mut commands = vec![format!("{made} --pocket N")];
    if let Some(step) = apart(&second, |step| step.depth) {
        made += &format!(" --depth-step {step}");
        commands = vec![
            format!("{made} --pocket N"),
            format!("{made} --depth-pocket N"),
        ];
    }
    commands
}

fn clamps(job: &Job, units: Units) -> Vec<String> {
    job.fixture
        .clamps
        .iter()
        .map(|clamp| {
            format!(
                "{}: X {} to {}, Y {} to {}, to Z {}",
                clamp.name,
                measure::figure(clamp.min.x(), units),
                measure::figure(clamp.max.x(), units),
                measure::figure(clamp.min.y(), units),
                measure::figure(clamp.max.y(), units),
                measure::figure(clamp.height, units)
            )
        })
        .collect()
}
