//! Options that several commands take.

use clap::{Args, ValueEnum};

use crate::diagnostic::Diagnostic;
use crate::job::{Job, PartName, Selection};
use crate::units::Units;

/// How a test piece's clearance and depth step.
#[derive(Clone, Debug, Args)]
pub(crate) struct SeriesOptions {
    /// Pockets of the test piece, 5 to 9 [default: 5]
    #[arg(long, value_name = "N", value_parser = count, allow_hyphen_values = true)]
    pub(crate) pockets: Option<usize>,

    /// Clearance from one pocket of the test piece to the next [default: 0.05 mm]
    #[arg(long, value_name = "S", allow_hyphen_values = true)]
    pub(crate) step: Option<String>,

    /// Depth from one pocket to the next in a second row, cut only where this is given
    #[arg(long, value_name = "D", allow_hyphen_values = true)]
    pub(crate) depth_step: Option<String>,
}

/// What programs are: of a job, or of part of it, or of its test piece.
#[derive(Clone, Debug, Args)]
pub(crate) struct ProgramOptions {
    /// Only this part
    #[arg(long, value_enum, default_value_t, value_name = "PART")]
    pub(crate) part: PartChoice,

    /// Only this hinge, counted from 1 at the stop end
    #[arg(long, value_name = "N", value_parser = count, allow_hyphen_values = true)]
    pub(crate) hinge: Option<usize>,

    /// Only this step, counted from 1 at the top; of a test piece the step from one clearance to the next
    #[arg(long, value_name = "N or S", allow_hyphen_values = true)]
    pub(crate) step: Option<String>,

    /// The position of each program, in order, or once for all [default: all positions in order where there are as many programs]
    #[arg(long, value_name = "N", value_parser = count, allow_hyphen_values = true, conflicts_with = "test_piece")]
    pub(crate) position: Vec<usize>,

    /// The programs are those of a test piece; give the options it was made with
    #[arg(long, group = "scrap", requires_all = ["length", "width", "thickness"], conflicts_with = "hinge")]
    pub(crate) test_piece: bool,

    /// The programs are those of the job's template
    #[arg(long, conflicts_with_all = ["test_piece", "hinge", "step", "position"])]
    pub(crate) template: bool,

    /// Length of the scrap, along X
    #[arg(long, value_name = "L", requires = "scrap", allow_hyphen_values = true)]
    pub(crate) length: Option<String>,

    /// Width of the scrap, along Y
    #[arg(long, value_name = "W", requires = "scrap", allow_hyphen_values = true)]
    pub(crate) width: Option<String>,

    /// Thickness of the scrap
    #[arg(long, value_name = "T", requires = "scrap", allow_hyphen_values = true)]
    pub(crate) thickness: Option<String>,

    /// Pockets of the test piece, 5 to 9 [default: 5]
    #[arg(long, value_name = "P", requires = "test_piece", value_parser = count, allow_hyphen_values = true)]
    pub(crate) pockets: Option<usize>,

    /// Depth from one pocket to the next in the test piece's second row
    #[arg(
        long,
        value_name = "D",
        requires = "test_piece",
        allow_hyphen_values = true
    )]
    pub(crate) depth_step: Option<String>,
}

impl ProgramOptions {
    /// What of the job the programs cut; all of a test piece.
    ///
    /// # Errors
    /// A step that is no number of one.
    pub(crate) fn selection(&self) -> Result<Selection, Diagnostic> {
        let step = self.step.as_deref().filter(|_| !self.test_piece);
        let step = step.map(|written| {
            count(written).map_err(|help| {
                let message = format!("--step is `{written}`; {help}");
                Diagnostic::new("usage", message)
            })
        });
        Ok(Selection {
            part: self.part.name(),
            hinge: self.hinge,
            step: step.transpose()?,
        })
    }

    /// The series of the test piece.
    pub(crate) fn series(&self) -> SeriesOptions {
        SeriesOptions {
            pockets: self.pockets,
            step: self.step.clone(),
            depth_step: self.depth_step.clone(),
        }
    }
}

/// Which part of the job.
#[derive(Clone, Copy, Debug, Default, Args)]
pub(crate) struct SelectionOptions {
    /// Only this part
    #[arg(long, value_enum, default_value_t, value_name = "PART")]
    pub(crate) part: PartChoice,

    /// Only this hinge, counted from 1 at the stop end
    #[arg(long, value_name = "N", value_parser = count, allow_hyphen_values = true)]
    pub(crate) hinge: Option<usize>,

    /// Only this step, counted from 1 at the top; those above it count as already cut
    #[arg(long, value_name = "N", value_parser = count, allow_hyphen_values = true)]
    pub(crate) step: Option<usize>,
}

impl SelectionOptions {
    pub(crate) fn selection(self) -> Selection {
        Selection {
            part: self.part.name(),
            hinge: self.hinge,
            step: self.step,
        }
    }
}

#[derive(Clone, Copy, Debug, Default, ValueEnum)]
pub(crate) enum PartChoice {
    Box,
    Lid,
    #[default]
    Both,
}

impl PartChoice {
    fn name(self) -> Option<PartName> {
        match self {
            Self::Box => Some(PartName::Box),
            Self::Lid => Some(PartName::Lid),
            Self::Both => None,
        }
    }
}

/// How to report.
#[derive(Clone, Copy, Debug, Args)]
pub(crate) struct Reporting {
    /// For people or for programs
    #[arg(long, value_enum, default_value_t, value_name = "FORMAT")]
    pub(crate) format: Format,

    /// The unit of what people read [default: the job's own]
    #[arg(long, value_enum, value_name = "UNITS")]
    pub(crate) units: Option<UnitsChoice>,
}

impl Reporting {
    /// The unit asked for, or the job's own.
    pub(crate) fn units_of(&self, job: &Job) -> Units {
        self.units_or(job.units)
    }

    /// The unit asked for, or that of the job file.
    pub(crate) fn units_or(&self, own: Units) -> Units {
        self.units.map_or(own, Units::from)
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    #[default]
    Human,
    Json,
}

/// How many, or which one.
pub(super) fn count(written: &str) -> Result<usize, String> {
    let help = "a whole number from 1 is wanted, such as 2";
    written.trim().parse().map_err(|_| help.to_owned())
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum UnitsChoice {
    Mm,
    In,
}

impl From<UnitsChoice> for Units {
    fn from(choice: UnitsChoice) -> Self {
        match choice {
            UnitsChoice::Mm => Self::Millimetre,
            UnitsChoice::In => Self::Inch,
        }
    }
}
