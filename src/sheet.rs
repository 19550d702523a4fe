//! The job sheet: one self-contained HTML page for the bench, and its drawings
//! as files of their own.
//!
//! Everything on it comes from the job, from what the judge found, and from
//! the text of the programs; the plan behind them is not asked.

mod boxes;
mod caliper;
mod depth;
mod fixture;
mod frame;
#[cfg(feature = "page")]
mod grip;
mod hinge;
#[cfg(feature = "page")]
mod leaf;
mod loose_piece;
mod measure;
mod order;
mod page;
mod paper_template;
mod path;
mod pen;
mod plate_paper;
mod plate_picture;
mod playback;
#[cfg(feature = "page")]
mod plot;
mod pocket;
mod position_picture;
mod positions;
#[cfg(test)]
mod sample;
mod side_view;
mod template;
mod touch_off;
mod trace;

use std::borrow::Cow;
use std::fmt;

use data_encoding::BASE64;
use minijinja::value::Serde;
use minijinja::{Environment, context};
use sha2::{Digest, Sha256};

use crate::cutting::Settings;
use crate::job::{Job, PartName};
use crate::units::Units;
use crate::verify::Outcome;
use crate::visible;

#[cfg(feature = "page")]
pub(crate) use grip::{figures as fixture_figures, on_the_machine, turned};
pub use hinge::letter;
#[cfg(feature = "page")]
pub(crate) use plot::{Curve, Plot};

const PAGE: &str = include_str!("sheet/page.html");
/// Colours of verdicts and drawings, which a page with [`figures`] needs too.
pub(crate) const COLORS: &str = include_str!("sheet/colors.css");
const STYLE: &str = include_str!("sheet/page.css");
/// What the replay stands in, how it looks, and what runs it; a page with
/// [`replay`] needs them too.
pub(crate) const PLAYBACK: &str = include_str!("sheet/playback.html");
pub(crate) const PLAYBACK_STYLE: &str = include_str!("sheet/playback.css");
pub(crate) const SCRIPT: &str = include_str!("sheet/playback.js");

/// What a sheet is made from.
#[derive(Clone, Copy, Debug)]
pub struct Input<'a> {
    /// The job, resolved.
    pub job: &'a Job,
    /// The settings for the pockets' bit.
    pub settings: &'a Settings,
    /// What the judge found in the programs.
    pub outcome: &'a Outcome,
    /// File name and text of each program, in the order they are run; without
    /// its text a program is not replayed on the page.
    pub programs: &'a [(String, String)],
    /// The unit that comes first for the reader.
    pub units: Units,
}

/// Why no page was made. A fault of this program, never of the job.
#[derive(Debug)]
pub struct Error(minijinja::Error);

impl fmt::Display for Error {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "the sheet's template failed: {}", self.0)
    }
}

impl std::error::Error for Error {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        Some(&self.0)
    }
}

/// The job sheet as one HTML file that asks for nothing from anywhere.
///
/// # Errors
/// Fails only when a template is broken, which no input can bring about.
pub fn page(input: &Input<'_>) -> Result<String, Error> {
    let job = spoken_of(input);
    let input = &Input {
        job: &job,
        ..*input
    };
    let mut environment = Environment::new();
    environment.add_template("page.html", PAGE).map_err(Error)?;
    environment
        .add_template("playback.html", PLAYBACK)
        .map_err(Error)?;
    let template = environment.get_template("page.html").map_err(Error)?;
    let trace = trace(input);
    let packed = packed(input, &trace);
    let playback = packed.as_ref().map(playback::json);
    let page = page::page(input, &trace);
    let page = template
        .render(context! {
            page => Serde(page),
            playback => playback,
            script => SCRIPT,
            script_digest => BASE64.encode(&Sha256::digest(SCRIPT)),
            style => format!("{COLORS}{STYLE}{PLAYBACK_STYLE}"),
            drawing_style => pen::STYLE,
            cautions => CAUTIONS,
            version => env!("CARGO_PKG_VERSION"),
        })
        .map_err(Error)?;
    Ok(visible::escaped(&page).into_owned())
}

/// The replay of a sheet as JSON that is safe inside a script element; nothing
/// where the programs are of several positions or have too many moves.
#[cfg(feature = "page")]
pub(crate) fn replay(input: &Input<'_>) -> Option<String> {
    let job = spoken_of(input);
    let input = &Input {
        job: &job,
        ..*input
    };
    packed(input, &trace(input)).as_ref().map(playback::json)
}

/// The job without what a sheet of some positions' programs does not speak of.
fn spoken_of<'a>(input: &Input<'a>) -> Cow<'a, Job> {
    let programs = input.outcome.report.programs.iter();
    let positions: Vec<Option<usize>> = programs.map(|program| program.position).collect();
    frame::replayed(input.job, &positions)
}

fn trace(input: &Input<'_>) -> trace::Trace {
    let programs = input.outcome.report.programs.iter();
    let bits: Vec<&str> = programs.map(|program| program.bit.as_str()).collect();
    trace::Trace::of(input.job, input.programs, &bits)
}

fn packed(input: &Input<'_>, trace: &trace::Trace) -> Option<playback::Playback> {
    let job = one_lie(input)?;
    playback::pack(&job, input.programs, trace, input.units)
}

/// The job as it lies for all programs, where that is in one way alone.
fn one_lie<'a>(input: &Input<'a>) -> Option<Cow<'a, Job>> {
    let mut positions = input.outcome.report.programs.iter();
    let first = positions.next()?.position;
    if positions.any(|program| program.position != first) {
        return None;
    }
    let position = first.and_then(|number| input.job.fixture.position(number));
    Some(match position {
        Some(position) => Cow::Owned(frame::in_position(input.job, position)),
        None => Cow::Borrowed(input.job),
    })
}

/// Part and hinge of each pocket whose picture the sheet shows; the judge is to
/// make them.
#[must_use]
pub fn pictured(job: &Job) -> Vec<(PartName, usize)> {
    page::drawn(job)
}

/// Each drawing of the sheet as an SVG file, with what to append to the job's
/// stem, and the full-size paper template.
///
/// # Errors
/// As [`page()`].
pub fn drawings(input: &Input<'_>) -> Result<Vec<(String, String)>, Error> {
    let Input { job, units, .. } = *input;
    let drawn = drawn(input).into_iter();
    let mut files: Vec<(String, String)> = drawn
        .map(|(suffix, drawing)| (suffix, drawing.standalone(None)))
        .collect();
    if job.plate.is_some() {
        let pages = plate_paper::draw(job, units).into_iter();
        let size = Some(paper_template::PAGE);
        files.extend(pages.map(|(suffix, page)| (suffix, page.standalone(size))));
        return Ok(files);
    }
    for (index, drawing) in paper_template::draw(job, units).iter().enumerate() {
        let suffix = match index {
            0 => "-template".to_owned(),
            _ => format!("-template-{}", index + 1),
        };
        files.push((suffix, drawing.standalone(Some(paper_template::PAGE))));
    }
    Ok(files)
}

/// What the calipers must read: the reading's option of `fit`, and the figure
/// with the place, for each way the parts lie.
#[cfg(feature = "page")]
pub(crate) fn to_read(job: &Job) -> Vec<(String, String)> {
    let lies = job.positions().into_iter();
    let all = lies.flat_map(|position| {
        let view = match position {
            Some(position) => Cow::Owned(frame::in_position(job, position)),
            None => Cow::Borrowed(job),
        };
        let readings = caliper::readings(&view, job.units).into_iter();
        let told = readings.filter_map(move |reading| reading.told(position));
        told.collect::<Vec<_>>()
    });
    all.collect()
}

/// The same drawings as part of a page that has [`DRAWING_STYLE`].
#[cfg(feature = "page")]
pub(crate) fn figures(input: &Input<'_>) -> Vec<(String, String)> {
    let drawn = drawn(input).into_iter();
    let inline = drawn.map(|(suffix, drawing)| (suffix, drawing.inline()));
    inline.collect()
}

/// One half of the hinge as it was read, to scale.
#[cfg(feature = "page")]
pub(crate) fn leaf_figure(job: &Job, units: Units) -> Option<String> {
    leaf::draw(job, units).map(|drawing| drawing.inline())
}

/// A template's plate on the machine, underside up, then on each part.
#[cfg(feature = "page")]
pub(crate) fn plate_figures(job: &Job, units: Units) -> Vec<String> {
    template::drawings(job, units)
}

/// What both trial cuts on a template's plate must read, outside and to the stop end:
/// the router the right way round, and turned.
#[cfg(feature = "page")]
pub(crate) fn trial_to_read(plate: &Job) -> Option<[[String; 2]; 2]> {
    template::to_read(plate, plate.units)
}

/// What a page with [`figures`] needs to show them.
#[cfg(feature = "page")]
pub(crate) const DRAWING_STYLE: &str = pen::STYLE;

/// What is said before the machine is started.
pub(crate) const CAUTIONS: [&str; 6] = [
    "Glasses, muffs, mask, extraction. Some woods irritate.",
    "Hands, sleeves, hair away. Power off to touch bit or wood.",
    "Nothing loose; nut, spindle and dust shoe clear of all.",
    "Stay, and try the stop first: a hold stops no spindle.",
    "Stopped half-way: home, touch off anew, make the rest.",
    "Machine's manual and local rules stand above this sheet.",
];

fn drawn(input: &Input<'_>) -> Vec<(String, pen::Drawing)> {
    let Input {
        job,
        outcome,
        units,
        ..
    } = *input;
    let lies = job.positions().into_iter().map(|position| match position {
        Some(position) => {
            let view = frame::in_position(job, position);
            let drawing = position_picture::draw(&view, position, units);
            (format!("-fixture{}", position.suffix()), drawing)
        }
        None => ("-fixture".to_owned(), fixture::draw(job, units)),
    });
    let mut drawn: Vec<(String, pen::Drawing)> = lies.collect();
    if job.plate.is_some() {
        return drawn;
    }
    drawn.push(("-measure".to_owned(), hinge::draw()));
    for part in job.parts.iter().filter(|part| job.is_selected(part.name)) {
        for pocket in page::chosen(job, part) {
            let map = outcome
                .maps
                .iter()
                .find(|map| map.part == part.name && map.hinge == pocket.hinge);
            let name = file_name(part.name, pocket.hinge);
            let plan = pocket::draw(job, part, &[pocket], units);
            drawn.push((format!("-pocket-{name}"), plan));
            let cut = depth::Cut { pocket, map };
            let deep = depth::draw(job, part, &[cut], units);
            drawn.push((format!("-depth-{name}"), deep));
        }
    }
    drawn
}

fn file_name(part: PartName, hinge: usize) -> String {
    format!("{part}-h{hinge}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{Closing, Layout, ZeroPoint};
    use crate::report::{CheckId, Verdict};
    use sample::Sample;

    /// Leaves the page for a person to look at, in the folder `KEEP_SHEETS` names.
    fn keep(name: &str, page: &str) {
        if let Some(folder) = std::env::var_os("KEEP_SHEETS") {
            std::fs::write(std::path::Path::new(&folder).join(name), page).unwrap();
        }
    }

    fn rendered(name: &str, sample: &Sample) -> String {
        let page = page(&sample.input()).unwrap();
        keep(name, &page);
        page
    }

    #[test]
    fn the_page_answers_the_questions_at_the_machine() {
        let page = rendered("book.html", &Sample::book());
        for words in [
            "Which way round",
            "Where zero is",
            "Y9.000",
            "error in Y counts twice",
            "3.45 mm",
            "All passed",
            "Countersinks",
            &"a1".repeat(32),
        ] {
            assert!(page.contains(words), "{words}");
        }
    }

    #[test]
    fn the_page_asks_for_nothing_from_anywhere() {
        for (name, sample) in [
            ("book.html", Sample::book()),
            ("line.html", Sample::line()),
            ("scrap.html", Sample::scrap()),
        ] {
            let page = rendered(name, &sample);
            for reference in [
                "src=",
                "http:",
                "https:",
                "@import",
                "<link rel=\"stylesheet",
            ] {
                assert!(!page.contains(reference), "{name}: {reference}");
            }
            assert_eq!(page.matches("url(").count(), page.matches("url(#").count());
        }
    }

    #[test]
    fn every_drawing_has_words_for_those_who_cannot_see_it() {
        let page = rendered("book.html", &Sample::book());
        let drawings = page.matches("class=\"drawing\"").count();
        // The fixture from above and from the side; box and lid, each with its depths; the hinge.
        assert_eq!(drawings, 2 + 2 * 2 + 1);
        let canvases = page.matches("<canvas").count();
        assert_eq!(page.matches("role=\"img\"").count(), drawings + canvases);
        assert_eq!(page.matches("<desc id=").count(), drawings);
    }

    #[test]
    fn what_failed_stands_on_both_printed_pages() {
        let mut sample = Sample::book();
        sample.fail(CheckId::WallLeft, "0.40 mm left outside box 1");
        let page = rendered("forced.html", &sample);
        assert_eq!(page.matches("Checks failed. Do not run").count(), 2);
        assert_eq!(
            page.matches("<b>wall-left</b>: 0.40 mm left outside box 1.")
                .count(),
            2
        );
        assert!(!sample.outcome.report.passed());
    }

    #[test]
    fn words_of_the_job_cannot_become_markup() {
        let mut sample = Sample::book();
        sample.job.title = "<script>alert(1)</script>".to_owned();
        sample.job.machine.name = "a\"b<i>".to_owned();
        let page = rendered("hostile.html", &sample);
        assert!(!page.contains("<script>alert"));
        assert!(!page.contains("b<i>"));
    }

    #[test]
    fn inches_come_first_for_who_reads_inches() {
        let mut sample = Sample::book();
        sample.units = Units::Inch;
        sample.job.fixture.zero = ZeroPoint::Each;
        let page = rendered("inch.html", &sample);
        // 3.45 mm = 0.1358 in, nearest 9/64 in = 0.1406 in (hand computed).
        assert!(page.contains(
            "<b>0.1358 in</b> <small class=\"other\">3.45 mm, 9&#x2f;64 in − 0.0048 in</small>"
        ));
    }

    #[test]
    fn no_figure_is_noise() {
        for units in [Units::Millimetre, Units::Inch] {
            let mut sample = Sample::book();
            sample.units = units;
            let page = rendered("units.html", &sample);
            assert!(!page.contains(", 0 in") && !page.contains("figures in in<"));
            // 0.069 mm / 25.4 = 0.00272 in.
            assert!(page.contains("0.069 mm a tooth") && page.contains("0.0027 in a tooth"));
        }
    }

    #[test]
    fn pockets_that_are_alike_share_a_drawing_and_each_keeps_its_figures() {
        let page = rendered("book.html", &Sample::book());
        assert!(page.contains("Box, hinges 1 and 2") && page.contains("Lid, hinges 1 and 2"));
        for (what, value) in [("1: centre from", "45.00"), ("2: centre from", "215.00")] {
            let row = format!("<th>{what} the stop end</th><td><b>{value}</b></td>");
            assert_eq!(page.matches(&row).count(), 2, "{row}");
        }
        assert!(
            page.contains("From the text: at most 0.000 mm cut too far, at most 0.004 mm left")
        );
    }

    /// Of each part six drawings of up to six pockets that are alike.
    #[test]
    fn the_judge_is_asked_for_the_pockets_that_are_drawn_and_no_others() {
        let mut job = Sample::book().job;
        for part in &mut job.parts {
            let first = part.pockets[0].clone();
            let more = (3..=40).map(|hinge| crate::job::Pocket {
                hinge,
                ..first.clone()
            });
            part.pockets.extend(more);
        }
        let drawn = |job: &Job, part| {
            let pictured = pictured(job).into_iter();
            let hinges = pictured.filter(|(name, _)| *name == part);
            hinges.map(|(_, hinge)| hinge).collect::<Vec<_>>()
        };
        let first: Vec<usize> = (1..=36).collect();
        assert_eq!(drawn(&job, PartName::Box), first);
        assert_eq!(drawn(&job, PartName::Lid), first);
        job.selection.part = Some(PartName::Box);
        job.selection.hinge = Some(7);
        assert_eq!(drawn(&job, PartName::Box), [7]);
        assert!(drawn(&job, PartName::Lid).is_empty());
    }

    #[test]
    fn rim_and_wall_are_told_with_what_is_in_force() {
        let mut sample = Sample::book();
        let page = rendered("book.html", &sample);
        assert!(page.contains("score = true, the default for up-spiral:"));
        assert!(page.contains("finish_direction = climb, the default:"));
        sample.job.bit.wall_care.score = Some(false);
        let page = rendered("unscored.html", &sample);
        assert!(page.contains("score = false, chosen in the bits file:"));
    }

    #[test]
    fn the_first_pass_is_told_with_the_commands_it_wants() {
        let mut sample = Sample::book();
        let page = rendered("book.html", &sample);
        let first = page.split("id=\"first-pass\"").nth(1).unwrap();
        let first = first.split("</section>").next().unwrap();
        for words in [
            "--hinge 1 --step 1",
            "stepwell fit JOB.toml",
            "--outside-box READING",
            "--end-lid READING",
        ] {
            assert!(first.contains(words), "{words}");
        }
        sample.job.selection.step = Some(1);
        let first = rendered("first.html", &sample);
        assert!(!first.contains("-o DIR --hinge 1 --step 1"));
        assert!(first.contains("stepwell fit JOB.toml --cut PROGRAM.nc --step 1"));
    }

    #[test]
    fn what_holds_for_both_parts_is_said_once() {
        let mut sample = Sample::book();
        sample.outcome.report.notes = ["box: moves", "lid: moves", "lid: binds"]
            .map(str::to_owned)
            .into();
        let page = rendered("notes.html", &sample);
        assert!(page.contains("<li>box and lid: moves</li><li>lid: binds</li>"));
    }

    #[test]
    fn a_test_piece_says_which_pocket_has_which_clearance() {
        let page = rendered("scrap.html", &Sample::scrap());
        assert!(
            page.contains("<td>1</td><td>3</td><td><b>0.10 mm</b>"),
            "clearance row"
        );
        assert!(page.contains("--pockets 5 --step 0.05mm --pocket N"));
        assert!(page.contains("stepwell fit JOB.toml --cut PROGRAM.nc --test-piece --length "));
    }

    #[test]
    fn an_inset_box_end_to_end_shows_fence_and_stop() {
        let sample = Sample::line();
        assert_eq!(sample.job.closing, Closing::Inset);
        assert_eq!(sample.job.fixture.layout, Layout::EndToEnd);
        let page = rendered("line.html", &sample);
        assert!(page.contains(">FENCE</text>") && page.contains(">STOP</text>"));
        assert!(page.contains("loose hinged wall, inside face up"));
    }

    #[test]
    fn checks_that_do_not_apply_are_not_counted_as_judged() {
        let mut sample = Sample::book();
        sample.outcome.report.checks[0].verdict = Verdict::None;
        assert!(rendered("book-none.html", &sample).contains("27 checks on the replayed text"));
    }

    #[test]
    fn the_replay_holds_every_line_of_the_program() {
        let sample = Sample::book();
        let page = rendered("book.html", &sample);
        let data = page
            .split("id=\"playback-data\">")
            .nth(1)
            .and_then(|rest| rest.split("</script>").next())
            .unwrap();
        let data: serde_json::Value = serde_json::from_str(data).unwrap();
        assert_eq!(data["programs"][0]["text"], sample.programs[0].1.as_str());
        // 4 pockets of 2 steps, each 3 to get there, 3 ramps, 5 around, 1 up; the
        // first move is Z alone and shows only when X and Y are known.
        assert_eq!(data["kind"].as_str().unwrap().len(), 4 * 2 * 12);
    }

    #[test]
    fn fifty_thousand_moves_are_a_page_of_a_few_megabytes() {
        let mut sample = Sample::book();
        sample.programs[0].1 = sample::program_text(&sample.job, 6250);
        let page = rendered("long.html", &sample);
        assert!(page.contains("id=\"playback-data\""));
        assert!(page.len() < 4_000_000, "{}", page.len());
    }

    #[test]
    fn a_program_too_long_for_a_page_is_said_to_be() {
        let mut sample = Sample::book();
        sample.programs[0].1 = sample::program_text(&sample.job, 16_000);
        let page = page(&sample.input()).unwrap();
        assert!(!page.contains("id=\"playback-data\""));
        assert!(page.contains("too many moves"));
    }

    #[test]
    fn each_drawing_is_a_file_of_its_own() {
        let sample = Sample::book();
        let files = drawings(&sample.input()).unwrap();
        let names: Vec<_> = files.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(
            names,
            [
                "-fixture",
                "-measure",
                "-pocket-box-h1",
                "-depth-box-h1",
                "-pocket-box-h2",
                "-depth-box-h2",
                "-pocket-lid-h1",
                "-depth-lid-h1",
                "-pocket-lid-h2",
                "-depth-lid-h2",
                "-template",
            ]
        );
        for (name, svg) in &files {
            keep(&format!("sample{name}.svg"), svg);
            assert!(
                svg.starts_with("<svg") && svg.contains("xmlns=\"http://www.w3.org/2000/svg\"")
            );
        }
    }
}
