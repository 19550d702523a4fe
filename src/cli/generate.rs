//! `stepwell generate`: from the job file to a proved program.

use std::path::PathBuf;

use clap::Args;

use crate::cli::failure::Failure;
use crate::cli::options::{Reporting, SelectionOptions};
use crate::cli::plug::{self, Asked};
use crate::cli::{Ending, produce, terminal};
use crate::files::{self, ReadJob};
use crate::input::Overrides;
use crate::produce::counts;
use crate::produce::{Order, notes, stale, stale_words};
use crate::settings;

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell generate box.toml -o out
  stepwell generate box.toml -o out --part lid --hinge 2    only the lid's second pocket
  stepwell generate box.toml -o out --wear 0.6              the bit is past its best
  stepwell generate box.toml -o out --boxes 10              ten of them, one after the other
  stepwell generate box.toml -o out --part lid --hinge 2 --plug out/box.nc --length 80 --width 60 --thickness 10
                                                            wood that fills that pocket, out of a scrap

Nothing is written when a check fails.")]
pub(crate) struct Generate {
    /// The job file, or - for standard input
    #[arg(value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    /// Folder for the program and the job sheet
    #[arg(short, long, value_name = "DIR", default_value = ".")]
    pub(crate) output: PathBuf,

    /// The bit for the pockets, by its name in the rack [default: the job's own]
    #[arg(long, value_name = "NAME")]
    pub(crate) bit: Option<String>,

    #[command(flatten)]
    pub(crate) selection: SelectionOptions,

    /// How worn the bit is: 0 fresh, 1 worn out [default: as the rack says]
    #[arg(long, value_name = "0..1", value_parser = counts::share, allow_hyphen_values = true)]
    pub(crate) wear: Option<f64>,

    /// Tell how wear grows over a run of so many boxes, and write the retuned
    /// programs that it wants
    #[arg(long, value_name = "N", value_parser = counts::boxes, allow_hyphen_values = true, conflicts_with_all = ["part", "hinge", "step", "force"])]
    pub(crate) boxes: Option<u32>,

    /// Instead of the pocket, cut a plug that fills it, to be glued in before the pocket is cut
    /// again: the programs that cut it, whose text says how large it came out
    #[arg(long, value_name = "PROGRAM.nc", num_args = 1.., requires_all = ["hinge", "length", "width", "thickness"], conflicts_with_all = ["step", "boxes"])]
    pub(crate) plug: Vec<PathBuf>,

    /// Length of the plug's scrap, along X, in the job's unit or with one of its own
    #[arg(long, value_name = "L", requires = "plug", allow_hyphen_values = true)]
    pub(crate) length: Option<String>,

    /// Width of the plug's scrap, along Y
    #[arg(long, value_name = "W", requires = "plug", allow_hyphen_values = true)]
    pub(crate) width: Option<String>,

    /// Thickness of the plug's scrap
    #[arg(long, value_name = "T", requires = "plug", allow_hyphen_values = true)]
    pub(crate) thickness: Option<String>,

    /// Write each drawing as an SVG file too, with a full-size paper template
    #[arg(long)]
    pub(crate) svg: bool,

    /// Write even if wall-left, floor-left, chip-load, deflection,
    /// pocket-complete, fold-match or opening fail; marks every page, still exits 1
    #[arg(long)]
    pub(crate) force: bool,

    #[command(flatten)]
    pub(crate) reporting: Reporting,
}

pub(super) fn run(options: &Generate) -> Result<Ending, Failure> {
    let overrides = Overrides {
        bit: options.bit.clone(),
        wear: options.wear,
        selection: options.selection.selection(),
        ..Overrides::default()
    };
    let loaded = files::read_job(&options.job, &overrides).inspect_err(|_| {
        let stem = files::stem(&options.job);
        let left = stale(&options.output, &stem, overrides.selection);
        if let Some(words) = stale_words(&left) {
            terminal::note(&words);
        }
    })?;
    let ReadJob {
        mut job,
        mut inputs,
        ..
    } = loaded;
    let written_in = job.units;
    job.units = options.reporting.units_of(&job);
    let mut said = notes(&job);
    let asked = Asked {
        programs: &options.plug,
        sizes: [&options.length, &options.width, &options.thickness],
    };
    let folder = Some(options.output.as_path());
    if let Some((plug, words)) = plug::job(&asked, &options.job, &job, written_in, folder)? {
        (job, said) = (plug, words);
        inputs.extend(options.plug.iter().cloned());
    }
    let order = Order {
        folder: &options.output,
        stem: job.stem.clone(),
        notes: said,
        inputs,
        drawings: options.svg,
        force: options.force,
        boxes: options.boxes,
    };
    let settings = settings::for_job(&job);
    produce::run(&job, &settings, &order, options.reporting.format)
}
