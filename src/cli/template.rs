//! `stepwell template`: the plate that guides a hand-held router.

use std::path::PathBuf;

use clap::Args;

use crate::cli::failure::Failure;
use crate::cli::options::Reporting;
use crate::cli::{Ending, produce};
use crate::files::{self, ReadJob};
use crate::input::Overrides;
use crate::produce::{Order, Subject, counts, plate_notes};

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell template cabinet.toml -o out
  stepwell template cabinet.toml -o out --cutter \"6 mm up-spiral\"

The machine cuts the plate; the router with its collar follows it. Try it in a
scrap both ways round, then: stepwell fit cabinet.toml --cut out/cabinet-template.nc --template --turned A B")]
pub(crate) struct Template {
    /// The job file, or - for standard input; it has a template table
    #[arg(value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    /// Folder for the program and the sheet
    #[arg(short, long, value_name = "DIR", default_value = ".")]
    pub(crate) output: PathBuf,

    /// The bit on the machine, which cuts the plate, by its name in the rack [default: the job's own]
    #[arg(long, value_name = "NAME")]
    pub(crate) cutter: Option<String>,

    /// How worn that bit is: 0 fresh, 1 worn out [default: as the rack says]
    #[arg(long, value_name = "0..1", value_parser = counts::share, allow_hyphen_values = true)]
    pub(crate) wear: Option<f64>,

    /// Write each drawing as an SVG file too, with the openings in full size
    #[arg(long)]
    pub(crate) svg: bool,

    #[command(flatten)]
    pub(crate) reporting: Reporting,
}

pub(super) fn run(options: &Template) -> Result<Ending, Failure> {
    let overrides = Overrides {
        bit: options.cutter.clone(),
        wear: options.wear,
        cuts_template: true,
        ..Overrides::default()
    };
    let ReadJob {
        mut job, inputs, ..
    } = files::read_job(&options.job, &overrides)?;
    job.units = options.reporting.units_of(&job);
    let (plate, settings) = Subject::Template.of(job)?;
    let order = Order {
        boxes: None,
        folder: &options.output,
        stem: plate.stem.clone(),
        notes: plate_notes(&plate),
        inputs,
        drawings: options.svg,
        force: false,
    };
    produce::run(&plate, &settings, &order, options.reporting.format)
}
