//! `stepwell fit`: enters what was measured on what a program cut.

use std::path::PathBuf;

use clap::Args;

use crate::cli::failure::Failure;
use crate::cli::options::{Format, ProgramOptions, count};
use crate::cli::{Ending, entered, subject};
use crate::produce::fitting::{self, Act, Cut};

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell fit box.toml --cut out/box-h1-s1.nc --hinge 1 --step 1 --outside-box 2.60 --outside-lid 2.30
  stepwell fit box.toml --cut out/box.nc --gap 0.6                    the closed parts gape
  stepwell fit box.toml --cut out/box-test-piece.nc --test-piece --length 300 --width 90 --thickness 20 --pocket 3
  stepwell fit box.toml --undo                                        the last entry is taken back

The program is the record of what was cut: say with the options it was made with what it is.
Lengths are in the job's unit or carry their own. A reading taken twice replaces the first.")]
pub(crate) struct Fit {
    /// The job file
    #[arg(value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    /// The programs that cut what was measured, in their order
    #[arg(long, value_name = "PROGRAM.nc", num_args = 1.., required_unless_present_any = ["show", "undo", "new_setup"])]
    pub(crate) cut: Vec<PathBuf>,

    #[command(flatten)]
    pub(crate) program: ProgramOptions,

    /// The bit of each program, in order [default: its T word, then the job's bit]
    #[arg(long, value_name = "NAME")]
    pub(crate) bit: Vec<String>,

    /// Wood measured outside the first pocket that was cut in the box
    #[arg(long, value_name = "W", allow_hyphen_values = true)]
    pub(crate) outside_box: Option<String>,

    /// Wood measured outside the first pocket that was cut in the lid
    #[arg(long, value_name = "W", allow_hyphen_values = true)]
    pub(crate) outside_lid: Option<String>,

    /// Wood measured from the stop end to the box's first pocket
    #[arg(long, value_name = "W", allow_hyphen_values = true)]
    pub(crate) end_box: Option<String>,

    /// Wood measured from the stop end to the lid's first pocket
    #[arg(long, value_name = "W", allow_hyphen_values = true)]
    pub(crate) end_lid: Option<String>,

    /// Wood outside the pocket that a template gave, the router's marked side
    /// towards the batten and then turned half round
    #[arg(long, value_names = ["A", "B"], num_args = 2, requires = "template", allow_hyphen_values = true)]
    pub(crate) turned: Vec<String>,

    /// Wood from the stop end to it, in the box's pose, likewise
    #[arg(long, value_names = ["A", "B"], num_args = 2, requires = "template", allow_hyphen_values = true)]
    pub(crate) turned_end: Vec<String>,

    /// Gap seen between the closed parts
    #[arg(long, value_name = "G", allow_hyphen_values = true)]
    pub(crate) gap: Option<String>,

    /// Width of a slot that the bit cut
    #[arg(long, value_name = "W", allow_hyphen_values = true)]
    pub(crate) slot: Option<String>,

    /// The test piece's pocket that fits
    #[arg(long, value_name = "N", requires = "test_piece", value_parser = count, allow_hyphen_values = true)]
    pub(crate) pocket: Option<usize>,

    /// The pocket of the test piece's second row where the leaf lies as deep as it should
    #[arg(long, value_name = "N", requires_all = ["test_piece", "depth_step"], value_parser = count, allow_hyphen_values = true)]
    pub(crate) depth_pocket: Option<usize>,

    /// The readings are meant as they are, whatever speaks against them
    #[arg(long)]
    pub(crate) as_read: bool,

    /// Only show what stands entered, and from which program
    #[arg(long, conflicts_with_all = ["undo", "new_setup", "cut"])]
    pub(crate) show: bool,

    /// Take the last entry back
    #[arg(long, conflicts_with_all = ["new_setup", "cut"])]
    pub(crate) undo: bool,

    /// Forget the corrections of places, which belong to the set-up, and keep the rest
    #[arg(long, conflicts_with = "cut")]
    pub(crate) new_setup: bool,

    /// Only say what would be entered
    #[arg(long)]
    pub(crate) dry: bool,

    /// For people or for programs
    #[arg(long, value_enum, default_value_t, value_name = "FORMAT")]
    pub(crate) format: Format,
}

pub(super) fn run(options: &Fit) -> Result<Ending, Failure> {
    let why = "fit writes into the job file, standard input cannot take that";
    entered::refuse_stream(&options.job, why)?;
    let act = match options {
        Fit { show: true, .. } => Act::Show,
        Fit { undo: true, .. } => Act::Undo,
        Fit {
            new_setup: true, ..
        } => Act::NewSetUp,
        _ => Act::Enter(Box::new(cut(options))),
    };
    let selection = options.program.selection()?;
    let done = fitting::run(&options.job, selection, &act, options.dry, &|_| Ok(()));
    entered::end(done, options.show, options.dry, options.format)
}

fn cut(options: &Fit) -> Cut {
    Cut {
        programs: options.cut.clone(),
        bits: options.bit.clone(),
        positions: options.program.position.clone(),
        subject: subject::of(&options.program),
        pocket: options.pocket,
        depth_pocket: options.depth_pocket,
        slot: options.slot.clone(),
        outside_box: options.outside_box.clone(),
        outside_lid: options.outside_lid.clone(),
        end_box: options.end_box.clone(),
        end_lid: options.end_lid.clone(),
        turned: pair(&options.turned),
        turned_end: pair(&options.turned_end),
        gap: options.gap.clone(),
        as_read: options.as_read,
    }
}

/// The two readings of a trial, where they are given.
fn pair(written: &[String]) -> Option<[String; 2]> {
    <[String; 2]>::try_from(written.to_vec()).ok()
}
