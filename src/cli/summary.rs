//! The report as people read it in ten seconds, or as JSON.

use std::fmt::Write as _;

use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, ContentArrangement, Table};

use crate::cli::options::Format;
use crate::cli::terminal;
use crate::diagnostic::Diagnostic;
use crate::job::PocketKind;
use crate::produce;
use crate::report::{
    BoxReport, Check, Finding, PocketReport, ProgramReport, Report, Verdict, stretches,
};
use crate::units::text::{
    chip, decimal_with_unit as plain, decimals, duration, nearest_with_error,
};
use crate::units::{Length, Units};

/// What became of the programs the report is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fate {
    /// They were written.
    Written,
    /// They were planned but not written.
    Kept,
    /// They are somebody else's.
    OnlyRead,
}

/// Prints the report to standard output, and the ids of failed checks to
/// standard error.
///
/// # Errors
/// Standard output that takes nothing more.
pub(crate) fn print(
    report: &Report,
    units: Units,
    format: Format,
    fate: Fate,
) -> Result<(), Diagnostic> {
    match format {
        Format::Json => terminal::json(report)?,
        Format::Human => terminal::result(&text(report, units, fate))?,
    }
    let failed: Vec<&str> = report.failed().map(|check| check.id.name()).collect();
    if !failed.is_empty() {
        terminal::note(&format!("failed: {}", failed.join(" ")));
    }
    if let Some(words) = produce::stale_words(&report.stale) {
        terminal::note(&words);
    }
    Ok(())
}

fn text(report: &Report, units: Units, fate: Fate) -> String {
    let mut text = String::new();
    if let Some(title) = &report.job {
        let _ = writeln!(text, "{title}");
    }
    if !report.pockets.is_empty() {
        let _ = writeln!(text, "\n{}", pockets(report, units));
    }
    for program in &report.programs {
        let _ = writeln!(text, "{}", program_lines(program, units));
    }
    if let Some(feeds) = &report.feeds {
        // A program from elsewhere has words of its own.
        let whose = match fate {
            Fate::OnlyRead => "the model's choice for this job, not the program's: ",
            Fate::Written | Fate::Kept => "",
        };
        let _ = writeln!(
            text,
            "{whose}{}: {:.0} rpm, {}, chip {}, at most {} a pass, ramp {:.1} degrees",
            feeds.bit,
            feeds.rpm,
            feed(feeds.feed, units),
            chip(Length::from_mm(feeds.chip_load), units),
            plain(Length::from_mm(feeds.stepdown), units),
            feeds.ramp_deg,
        );
    }
    text.push_str(&run_of_boxes(&report.boxes));
    for note in &report.notes {
        let _ = writeln!(text, "note: {note}");
    }
    text.push_str(&verdicts(report, fate));
    text
}

/// What cuts each box of a run.
fn run_of_boxes(rows: &[BoxReport]) -> String {
    let Some(last) = rows.last() else {
        return String::new();
    };
    let mut text = String::new();
    for stretch in stretches(rows) {
        let _ = writeln!(text, "{stretch}");
    }
    let _ = writeln!(
        text,
        "{} boxes: {} of the machine's time, changing parts left out",
        last.number,
        duration(rows.iter().map(|row| row.seconds.as_seconds()).sum())
    );
    text
}

/// A feed in millimetres a minute as people set it.
fn feed(feed: f64, units: Units) -> String {
    match units {
        Units::Millimetre => format!("{feed:.0} mm/min"),
        Units::Inch => format!("{:.1} in/min", Length::from_mm(feed).as_inch()),
    }
}

/// Narrower than this a table breaks its words.
const NARROW: usize = 66;

fn pockets(report: &Report, units: Units) -> String {
    if terminal::width() < NARROW {
        return pockets_in_lines(report, units);
    }
    let mut table = Table::new();
    table.load_style(NOTHING);
    table.set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(u16::try_from(terminal::width()).unwrap_or(80));
    table.set_header([
        "pocket".to_owned(),
        format!("centre from\noutside, {units}"),
        "nearest\n1/64 in, off by".to_owned(),
        "steps, deep\n(passes)".to_owned(),
        "wood left\noutside".to_owned(),
        "\ninside".to_owned(),
        "\nbelow".to_owned(),
        "\nend".to_owned(),
    ]);
    let stepdown = report.feeds.as_ref().map(|feeds| feeds.stepdown);
    for pocket in &report.pockets {
        let center = center_from_outside(pocket);
        table.add_row([
            name(pocket),
            decimals(center, units),
            nearest_with_error(center, units),
            steps(pocket, units, stepdown),
            decimals(pocket.left.outside, units),
            decimals(pocket.left.inside, units),
            below(pocket.left.below, units),
            decimals(pocket.left.end, units),
        ]);
    }
    for (index, column) in table.column_iter_mut().enumerate() {
        if index == 1 || index > 3 {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table.to_string()
}

/// The same one below the other.
fn pockets_in_lines(report: &Report, units: Units) -> String {
    let stepdown = report.feeds.as_ref().map(|feeds| feeds.stepdown);
    let mut lines = Vec::new();
    for pocket in &report.pockets {
        let center = center_from_outside(pocket);
        lines.push(format!("{}, {units}", name(pocket)));
        let left = &pocket.left;
        for (what, figure) in [
            ("centre from outside", decimals(center, units)),
            ("nearest 1/64 in", nearest_with_error(center, units)),
            ("deep (passes)", steps(pocket, units, stepdown)),
            ("left outside", decimals(left.outside, units)),
            ("left inside", decimals(left.inside, units)),
            ("left below", below(left.below, units)),
            ("left at the end", decimals(left.end, units)),
        ] {
            lines.push(format!("  {what}: {figure}"));
        }
    }
    lines.join("\n")
}

/// Each step's depth with the passes its own height takes.
fn steps(pocket: &PocketReport, units: Units, stepdown: Option<f64>) -> String {
    let mut floor = Length::ZERO;
    let mut words = Vec::new();
    for step in &pocket.steps {
        let height = (step.depth - floor).as_mm();
        floor = step.depth;
        let passes = match stepdown {
            Some(stepdown) if stepdown > 0.0 => {
                format!(" ({:.0})", (height / stepdown - 1e-6).ceil().max(1.0))
            }
            _ => String::new(),
        };
        words.push(format!("{}{passes}", decimals(step.depth, units)));
    }
    words.join(", ")
}

/// The pocket's centre to the outside face: wood left there plus half the
/// widest step.
fn center_from_outside(pocket: &PocketReport) -> Length {
    let half = pocket
        .steps
        .iter()
        .fold(Length::ZERO, |half, step| half.max(step.width / 2.0));
    pocket.left.outside + half
}

fn program_lines(program: &ProgramReport, units: Units) -> String {
    let seconds = program.seconds.as_seconds().round();
    let (minutes, seconds) = ((seconds / 60.0).floor(), seconds % 60.0);
    let extent = |axis: usize| {
        format!(
            "{} to {}",
            decimals(program.bounds.min[axis], units),
            plain(program.bounds.max[axis], units)
        )
    };
    let bit = match program.bit.as_str() {
        "" => String::new(),
        bit => format!(", {bit}"),
    };
    format!(
        "{}: {} lines, {minutes:.0} min {seconds:02.0} s, cut {}{bit}\n  X {}, Y {}, Z {}",
        program.path,
        program.lines,
        plain(program.cut_mm, units),
        extent(0),
        extent(1),
        extent(2),
    )
}

/// A finding with the file and line it is at.
fn in_its_place(finding: &Finding) -> String {
    let message = &finding.message;
    match (finding.file.as_str(), finding.line) {
        ("", _) => message.clone(),
        (file, 0) => format!("{file}: {message}"),
        (file, line) => format!("{file}:{line}: {message}"),
    }
}

fn verdicts(report: &Report, fate: Fate) -> String {
    let mut text = String::new();
    // What is refused stands before what is only worth a look.
    let refused = |check: &&Check| check.verdict == Verdict::Fail;
    let (fails, others): (Vec<&Check>, Vec<&Check>) = report.checks.iter().partition(refused);
    for check in fails.into_iter().chain(others) {
        let word = match check.verdict {
            Verdict::Warn => "warning",
            Verdict::Fail => "FAILED",
            Verdict::Pass | Verdict::None => continue,
        };
        let found: Vec<String> = check.findings.iter().map(in_its_place).collect();
        match found.as_slice() {
            [] => {
                let _ = writeln!(text, "{word} {}: {}", check.id, check.message);
            }
            [one] => {
                let _ = writeln!(text, "{word} {}: {one}", check.id);
            }
            several => {
                let _ = writeln!(text, "{word} {}: {} findings", check.id, check.count);
                for one in several {
                    let _ = writeln!(text, "  {one}");
                }
            }
        }
        let hidden = check.count.saturating_sub(check.findings.len() as u64);
        if hidden > 0 {
            let _ = writeln!(text, "  and {hidden} more");
        }
    }
    let count = |verdict| {
        report
            .checks
            .iter()
            .filter(|check| check.verdict == verdict)
            .count()
    };
    let (passed, warned, failed) = (
        count(Verdict::Pass),
        count(Verdict::Warn),
        count(Verdict::Fail),
    );
    let ending = match (failed, fate) {
        (0, Fate::Written) => "written.",
        (0, Fate::Kept | Fate::OnlyRead) => "good.",
        (_, Fate::Written) => "WRITTEN BY FORCE. Do not run it before you know why.",
        (_, Fate::Kept) => "nothing was written.",
        (_, Fate::OnlyRead) => "do not run it.",
    };
    let _ = writeln!(
        text,
        "{passed} checks passed, {warned} warn, {failed} failed: {ending}"
    );
    text
}
/// Wood left below; none where it is cut through.
fn below(left: Length, units: Units) -> String {
    if left < Length::ZERO {
        "through".to_owned()
    } else {
        decimals(left, units)
    }
}

/// `box 1`, or what it is for and its number.
fn name(pocket: &PocketReport) -> String {
    match pocket.kind {
        PocketKind::Pocket => format!("{} {}", pocket.part, pocket.hinge),
        kind => format!("{kind} {}", pocket.hinge),
    }
}
