//! What `generate` and `simulate` tell: the figures, the checks, the findings.
//!
//! Lengths are millimetres in shared program coordinates, times are seconds.

mod boxes;
mod template;

pub use boxes::{BoxReport, Stretch, stretches};
pub use template::{
    GrooveReport, InsertPieceReport, InsertReport, OpeningReport, PlateReport, SupportBlock,
    TemplateReport,
};

use std::fmt;

use serde::Serialize;

use crate::job::{PartName, PocketKind};
use crate::units::{Length, Seconds, Units};

/// The whole report; serialises as the JSON of `--format json`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// The job's title; absent without a job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job: Option<String>,
    /// What the human summary uses.
    pub units: Units,
    /// One for each program, in the order given.
    pub programs: Vec<ProgramReport>,
    /// One for each pocket in question; empty without a job.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pockets: Vec<PocketReport>,
    /// The model's choice for the pockets' bit; absent without a job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub feeds: Option<FeedsReport>,
    /// Of a template: what is where on its plate.
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    pub template: Option<TemplateReport>,
    /// One row for each check.
    pub checks: Vec<Check>,
    /// Of a run of boxes: what cuts each, in the order they are cut.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub boxes: Vec<BoxReport>,
    /// Of a run of boxes: the programs that replace the first ones.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub retuned: Vec<ProgramReport>,
    /// Things a person should know that are no check: corrections applied, wear estimated.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
    /// Programs and sheets of an earlier run that still lie where this one would have written.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub stale: Vec<String>,
}

impl Report {
    /// Whether no check failed.
    pub fn passed(&self) -> bool {
        self.failed().next().is_none()
    }

    /// The checks that failed, in the order of the report.
    pub fn failed(&self) -> impl Iterator<Item = &Check> {
        let checks = self.checks.iter();
        checks.filter(|check| check.verdict == Verdict::Fail)
    }

    /// Those of them that nobody may override: the programs are not what the
    /// job asks for, or not safe at all.
    pub fn beyond_force(&self) -> impl Iterator<Item = &Check> {
        self.failed().filter(|check| !check.id.may_be_forced())
    }

    /// The row of that check.
    pub fn check(&self, id: CheckId) -> Option<&Check> {
        self.checks.iter().find(|check| check.id == id)
    }
}

/// Figures of one program.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ProgramReport {
    /// Path as written to or read from.
    pub path: String,
    /// The position that it was judged in, from 1; absent where the job has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub position: Option<usize>,
    /// SHA-256 of its bytes, hexadecimal.
    pub sha256: String,
    /// Size.
    pub bytes: u64,
    /// Lines.
    pub lines: u64,
    /// Name of the bit it was judged with.
    pub bit: String,
    /// Everything, with real acceleration; pauses left out.
    pub seconds: Seconds,
    /// Feed moves without scoring, acceleration unlimited.
    pub cutting_seconds: Seconds,
    /// Scoring laps, acceleration unlimited.
    pub scoring_seconds: Seconds,
    /// Rapids, acceleration unlimited.
    pub rapid_seconds: Seconds,
    /// All feed moves, with real acceleration.
    pub feed_seconds: Seconds,
    /// The least the chosen feed allows.
    pub bound_seconds: Seconds,
    /// Share of the path under feed on which the feed asked for is reached within 5 %.
    pub reached_feed: f64,
    /// The greatest count of feed moves that begin in one second.
    pub blocks_per_second: u64,
    /// Path under feed.
    pub cut_mm: Length,
    /// Path of rapids.
    pub rapid_mm: Length,
    /// Extent of the bit's tip.
    pub bounds: Bounds,
}

/// A box in space.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Bounds {
    /// Least X, Y, Z.
    pub min: [Length; 3],
    /// Greatest X, Y, Z.
    pub max: [Length; 3],
}

/// Figures of one pocket.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PocketReport {
    /// Which part.
    pub part: PartName,
    /// Which hinge, from 1.
    pub hinge: usize,
    /// What it is for; absent for a hinge's pocket.
    #[serde(skip_serializing_if = "PocketKind::is_pocket")]
    pub kind: PocketKind,
    /// Which position it is cut in, from 1; absent where the job has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub position: Option<usize>,
    /// Centre, X and Y, in that position.
    pub center: [Length; 2],
    /// Z of the part's mating face.
    pub top: Length,
    /// The steps as wanted.
    pub steps: Vec<StepReport>,
    /// Wood left around it.
    pub left: WoodLeft,
    /// Deepest intrusion beyond the wanted shape, from the replayed text.
    pub gouge_mm: Length,
    /// Most wood left that the bit could have reached, from the replayed text.
    pub residual_mm: Length,
}

/// One wanted step.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct StepReport {
    /// Centre, X and Y.
    pub center: [Length; 2],
    /// Along X.
    pub length: Length,
    /// Along Y.
    pub width: Length,
    /// Below the part's mating face.
    pub depth: Length,
    /// Corner radius.
    pub corner: Length,
}

/// Wood left around a pocket.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct WoodLeft {
    /// To the outside face.
    pub outside: Length,
    /// To the inside face.
    pub inside: Length,
    /// Under the deepest step.
    pub below: Length,
    /// To the nearer end.
    pub end: Length,
}

/// The model's choice of feeds.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FeedsReport {
    /// Name of the bit.
    pub bit: String,
    /// Spindle speed.
    pub rpm: f64,
    /// Cutting feed, mm a minute.
    pub feed: f64,
    /// Straight-down feed, mm a minute.
    pub plunge_feed: f64,
    /// mm a tooth.
    pub chip_load: f64,
    /// mm.
    pub stepdown: f64,
    /// Degrees.
    pub ramp_deg: f64,
    /// Watts at the spindle.
    pub power_w: f64,
    /// mm at the tip.
    pub deflection_mm: f64,
    /// 0 … 1 as assumed.
    pub wear: f64,
}

/// One row of the report.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Check {
    /// Which check.
    pub id: CheckId,
    /// How it went.
    pub verdict: Verdict,
    /// One sentence with figures.
    pub message: String,
    /// How many findings in all.
    pub count: u64,
    /// The first ten.
    pub findings: Vec<Finding>,
}

impl Check {
    /// The check's name, such as `pocket-bounds`.
    pub fn id(&self) -> &'static str {
        self.id.name()
    }

    /// One sentence with figures: what was found, or what was looked at.
    pub fn message(&self) -> &str {
        &self.message
    }
}

/// One thing found.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    /// Figures and what to do.
    pub message: String,
    /// The program; empty where the finding is about the job.
    pub file: String,
    /// Line from 1; 0 where the finding is about the job or the whole file.
    pub line: u64,
}

impl Finding {
    /// The message with the line it is at, where it is at one.
    pub fn in_its_line(&self) -> String {
        match self.line {
            0 => self.message.clone(),
            line => format!("line {line}: {}", self.message),
        }
    }
}

/// How a check went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Does not apply, with the reason.
    None,
    /// Good.
    Pass,
    /// Worth a look.
    Warn,
    /// Refused.
    Fail,
}

impl Verdict {
    /// As the report's JSON has it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Pass => "pass",
            Self::Warn => "warn",
            Self::Fail => "fail",
        }
    }
}

/// Every check, in the order of the report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum CheckId {
    Syntax,
    Dialect,
    Preamble,
    SpindleOn,
    RapidInWood,
    TravelHeight,
    PocketBounds,
    PocketComplete,
    Stepdown,
    Plunge,
    RampAngle,
    FeedLimit,
    SpindleLimit,
    ChipLoad,
    BitSpeed,
    EdgeWear,
    ChipRoom,
    SpindlePower,
    Deflection,
    FluteReach,
    NutClearance,
    ClampClearance,
    Envelope,
    WallLeft,
    FloorLeft,
    FoldMatch,
    Opening,
    ProgramEnd,
    TemplateMatch,
    CollarRoom,
    PlateLeft,
}

impl CheckId {
    /// All of them, in the order of the report.
    pub const ALL: [Self; 31] = [
        Self::Syntax,
        Self::Dialect,
        Self::Preamble,
        Self::SpindleOn,
        Self::RapidInWood,
        Self::TravelHeight,
        Self::PocketBounds,
        Self::PocketComplete,
        Self::Stepdown,
        Self::Plunge,
        Self::RampAngle,
        Self::FeedLimit,
        Self::SpindleLimit,
        Self::ChipLoad,
        Self::BitSpeed,
        Self::EdgeWear,
        Self::ChipRoom,
        Self::SpindlePower,
        Self::Deflection,
        Self::FluteReach,
        Self::NutClearance,
        Self::ClampClearance,
        Self::Envelope,
        Self::WallLeft,
        Self::FloorLeft,
        Self::FoldMatch,
        Self::Opening,
        Self::ProgramEnd,
        Self::TemplateMatch,
        Self::CollarRoom,
        Self::PlateLeft,
    ];

    /// Those of a report, in its order: a template's has some of its own.
    pub fn of_report(is_template: bool) -> Vec<Self> {
        let all = Self::ALL.into_iter();
        all.filter(|id| is_template || !id.is_only_of_template())
            .collect()
    }

    /// The kebab-case id.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Syntax => "syntax",
            Self::Dialect => "dialect",
            Self::Preamble => "preamble",
            Self::SpindleOn => "spindle-on",
            Self::RapidInWood => "rapid-in-wood",
            Self::TravelHeight => "travel-height",
            Self::PocketBounds => "pocket-bounds",
            Self::PocketComplete => "pocket-complete",
            Self::Stepdown => "stepdown",
            Self::Plunge => "plunge",
            Self::RampAngle => "ramp-angle",
            Self::FeedLimit => "feed-limit",
            Self::SpindleLimit => "spindle-limit",
            Self::ChipLoad => "chip-load",
            Self::BitSpeed => "bit-speed",
            Self::EdgeWear => "edge-wear",
            Self::ChipRoom => "chip-room",
            Self::SpindlePower => "spindle-power",
            Self::Deflection => "deflection",
            Self::FluteReach => "flute-reach",
            Self::NutClearance => "nut-clearance",
            Self::ClampClearance => "clamp-clearance",
            Self::Envelope => "envelope",
            Self::WallLeft => "wall-left",
            Self::FloorLeft => "floor-left",
            Self::FoldMatch => "fold-match",
            Self::Opening => "opening",
            Self::ProgramEnd => "program-end",
            Self::TemplateMatch => "template-match",
            Self::CollarRoom => "collar-room",
            Self::PlateLeft => "plate-left",
        }
    }

    /// Whether it stands in a template's report only.
    pub const fn is_only_of_template(self) -> bool {
        matches!(
            self,
            Self::TemplateMatch | Self::CollarRoom | Self::PlateLeft
        )
    }

    /// Whether `--force` may override it.
    pub const fn may_be_forced(self) -> bool {
        matches!(
            self,
            Self::WallLeft
                | Self::FloorLeft
                | Self::ChipLoad
                | Self::Deflection
                | Self::PocketComplete
                | Self::FoldMatch
                | Self::Opening
        )
    }
}

impl fmt::Display for CheckId {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_template_is_asked_what_a_template_alone_has() {
        let names = |is_template| -> Vec<&str> {
            let ids = CheckId::of_report(is_template);
            ids.into_iter().map(CheckId::name).collect()
        };
        let (usual, template) = (names(false), names(true));
        assert_eq!(usual.len(), 28);
        assert_eq!(template[..28], usual);
        assert_eq!(
            template[28..],
            ["template-match", "collar-room", "plate-left"]
        );
        let own = CheckId::ALL.into_iter().skip(28);
        assert!(own.into_iter().all(|id| !id.may_be_forced()));
    }
}
