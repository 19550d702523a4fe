//! What may be typed.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::diagnostic::Diagnostic;
use crate::job::{Job, PartName, Selection};
use crate::produce::counts;
use crate::units::Units;

const AFTER_HELP: &str = "\
Examples:
  stepwell generate examples/tea-box.toml -o out
  stepwell simulate out/tea-box.nc --job examples/tea-box.toml

Exit codes: 0 every check passed, 1 a check failed, 2 the command line or an
input file is wrong or an output cannot be written.

A router can hurt you. Read safety.md, and the manual of your machine first.";

/// Cuts stepped hinge pockets for a box and its lid on a small CNC router:
/// plans the paths, writes the program, and proves it from its own text.
#[derive(Debug, Parser)]
#[command(name = "stepwell", version, after_help = AFTER_HELP, max_term_width = 100)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Plan, write, replay and check a job's programs and job sheet
    Generate(Generate),
    /// Replay programs from any source and check them against a job or a machine
    Simulate(Simulate),
    /// Speeds and feeds for every bit in the rack, and which is best
    Feeds(Feeds),
    /// New F and S words for a worn bit, the geometry untouched
    Retune(Retune),
    /// Make a test piece from a scrap: the job's pocket with stepped clearances
    TestPiece(TestPiece),
    /// Make a template for a hand-held router with a guide collar
    Template(Template),
    /// Enter what was measured on what a program cut
    Fit(Fit),
    /// Enter that programs were run: the metres they cut, for their bits
    Ran(Ran),
    /// Which hinges of the drawer suit this box and lid, and why the others do not
    Hinges(Hinges),
    /// The whole job in a browser on this computer
    Page(Page),
    /// Set one key of a job, comments kept
    Set(Set),
    /// Write a commented starter job, with machine and bits files
    Init(Init),
    /// What a check looks at, what a key means, what to do about a topic
    Explain(Explain),
    /// Write the JSON Schema of a file kind to standard output
    Schema(SchemaOptions),
    /// Write the completions of a shell to standard output
    Completions(Completions),
    /// Write man pages
    Man(Man),
}

impl Command {
    pub(crate) fn format(&self) -> Format {
        match self {
            Self::Generate(options) => options.reporting.format,
            Self::Simulate(options) => options.reporting.format,
            Self::Feeds(options) => options.reporting.format,
            Self::Retune(options) => options.reporting.format,
            Self::TestPiece(options) => options.reporting.format,
            Self::Template(options) => options.reporting.format,
            Self::Fit(options) => options.format,
            Self::Ran(options) => options.format,
            Self::Hinges(options) => options.reporting.format,
            Self::Explain(_)
            | Self::Init(_)
            | Self::Page(_)
            | Self::Set(_)
            | Self::Schema(_)
            | Self::Completions(_)
            | Self::Man(_) => Format::Human,
        }
    }
}

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
    #[arg(long, value_name = "0..1", value_parser = share, allow_hyphen_values = true)]
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

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell simulate box.nc --job box.toml
  stepwell simulate box.nc box-pilot.nc --job box.toml      in this order, in the same wood
  stepwell simulate door-p2.nc --job door.toml --position 2
  stepwell simulate box-test-piece.nc --job box.toml --test-piece --length 300 --width 90 --thickness 20
  stepwell simulate box-lid-h2-plug.nc --job box.toml --part lid --hinge 2 --plug box.nc --length 80 --width 60 --thickness 10
  stepwell simulate box.nc --machine machines/benchtop-mm.toml
  cat box.nc | stepwell simulate - --job box.toml --format json")]
pub(crate) struct Simulate {
    /// The programs in the order they run, or - for standard input
    #[arg(value_name = "PROGRAM.nc", required = true)]
    pub(crate) programs: Vec<PathBuf>,

    /// Check against this job
    #[arg(long, value_name = "JOB.toml", required_unless_present = "machine")]
    pub(crate) job: Option<PathBuf>,

    /// Replay without a job: syntax, bounds, envelope, time
    #[arg(long, value_name = "M.toml", conflicts_with_all = ["job", "bit", "part", "hinge", "step", "position", "test_piece", "wear", "sheet"])]
    pub(crate) machine: Option<PathBuf>,

    /// The bit of each program, in order [default: its T word, then the job's bit]
    #[arg(long, value_name = "NAME")]
    pub(crate) bit: Vec<String>,

    #[command(flatten)]
    pub(crate) program: ProgramOptions,

    /// The program is that of a plug: the programs that cut the pocket it fills
    #[arg(long, group = "scrap", value_name = "CUT.nc", num_args = 1.., requires_all = ["job", "hinge", "length", "width", "thickness"], conflicts_with_all = ["step", "position", "template"])]
    pub(crate) plug: Vec<PathBuf>,

    /// How worn the bit is: 0 fresh, 1 worn out [default: as the rack says]
    #[arg(long, value_name = "0..1", value_parser = share, allow_hyphen_values = true)]
    pub(crate) wear: Option<f64>,

    /// Draw what was replayed as a job sheet
    #[arg(long, value_name = "FILE.html")]
    pub(crate) sheet: Option<PathBuf>,

    #[command(flatten)]
    pub(crate) reporting: Reporting,
}

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell feeds box.toml
  stepwell feeds box.toml --wear 0.6                        every bit as worn as that
  stepwell feeds box.toml --all                             the figures of every bit
  stepwell feeds box.toml --format json")]
pub(crate) struct Feeds {
    /// The job file, or - for standard input
    #[arg(value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    /// How worn the bits are now: 0 fresh, 1 worn out [default: as the rack says]
    #[arg(long, value_name = "0..1", value_parser = share, allow_hyphen_values = true)]
    pub(crate) wear: Option<f64>,

    /// Show the figures of every bit, not of the job's own alone
    #[arg(long)]
    pub(crate) all: bool,

    #[command(flatten)]
    pub(crate) reporting: Reporting,
}

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell retune box.nc --job box.toml --wear 0.4 -o box-worn.nc
  stepwell retune - --job box.toml --wear 0.4 -o - < box.nc

Nothing is written where the worn bit needs a smaller bite than the program takes.")]
pub(crate) struct Retune {
    /// The program, or - for standard input
    #[arg(value_name = "PROGRAM.nc")]
    pub(crate) program: PathBuf,

    /// The job that the program cuts
    #[arg(long, value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    /// How worn the bit is: 0 fresh, 1 worn out [default: as the rack says]
    #[arg(long, value_name = "0..1", value_parser = share, allow_hyphen_values = true)]
    pub(crate) wear: Option<f64>,

    /// The program's bit, by its name in the rack [default: its T word, then the job's bit]
    #[arg(long, value_name = "NAME")]
    pub(crate) bit: Option<String>,

    /// The retuned program, or - for standard output
    #[arg(short, long, value_name = "OUT.nc")]
    pub(crate) output: PathBuf,

    #[command(flatten)]
    pub(crate) selection: SelectionOptions,

    /// The position that the program is for, of a job that names several
    #[arg(long, value_name = "N", value_parser = count, allow_hyphen_values = true)]
    pub(crate) position: Option<usize>,

    /// The program is that of the job's template
    #[arg(long, conflicts_with_all = ["hinge", "step", "position"])]
    pub(crate) template: bool,

    #[command(flatten)]
    pub(crate) reporting: Reporting,
}

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell test-piece box.toml -o out --length 150 --width 100 --thickness 20
  stepwell test-piece box.toml -o out --length 6in --width 4in --thickness 3/4in --step 0.1mm

Each pocket has as many ticks beside it as its number. Try the hinge in each,
then: stepwell fit box.toml --cut out/box-test-piece.nc --test-piece … --pocket 3")]
pub(crate) struct TestPiece {
    /// The job file, or - for standard input
    #[arg(value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    /// Folder for the program and the sheet
    #[arg(short, long, value_name = "DIR", default_value = ".")]
    pub(crate) output: PathBuf,

    /// Length of the scrap, along X, in the job's unit or with one of its own
    #[arg(long, value_name = "L", allow_hyphen_values = true)]
    pub(crate) length: String,

    /// Width of the scrap, along Y
    #[arg(long, value_name = "W", allow_hyphen_values = true)]
    pub(crate) width: String,

    /// Thickness of the scrap
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    pub(crate) thickness: String,

    #[command(flatten)]
    pub(crate) series: SeriesOptions,

    /// The bit, by its name in the rack [default: the job's own]
    #[arg(long, value_name = "NAME")]
    pub(crate) bit: Option<String>,

    /// How worn the bit is: 0 fresh, 1 worn out [default: as the rack says]
    #[arg(long, value_name = "0..1", value_parser = share, allow_hyphen_values = true)]
    pub(crate) wear: Option<f64>,

    /// Write each drawing as an SVG file too, with a full-size paper template
    #[arg(long)]
    pub(crate) svg: bool,

    #[command(flatten)]
    pub(crate) reporting: Reporting,
}

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
    #[arg(long, value_name = "0..1", value_parser = share, allow_hyphen_values = true)]
    pub(crate) wear: Option<f64>,

    /// Write each drawing as an SVG file too, with the openings in full size
    #[arg(long)]
    pub(crate) svg: bool,

    #[command(flatten)]
    pub(crate) reporting: Reporting,
}

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

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell ran out/box.nc out/box-pilot.nc --job box.toml
  stepwell ran out/box.nc --job box.toml --times 3          the same three times
  stepwell ran out/box-test-piece.nc --job box.toml --test-piece --length 300 --width 90 --thickness 20

What was run is judged first: a program that is something else is not entered.")]
pub(crate) struct Ran {
    /// The programs in the order they were run
    #[arg(value_name = "PROGRAM.nc", required = true)]
    pub(crate) programs: Vec<PathBuf>,

    /// The job that they cut
    #[arg(long, value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    /// The bit of each program, in order [default: its T word, then the job's bit]
    #[arg(long, value_name = "NAME")]
    pub(crate) bit: Vec<String>,

    /// How often
    #[arg(long, value_name = "N", default_value = "1", value_parser = counts::times, allow_hyphen_values = true)]
    pub(crate) times: u32,

    #[command(flatten)]
    pub(crate) program: ProgramOptions,

    /// Only say what would be entered
    #[arg(long)]
    pub(crate) dry: bool,

    /// For people or for programs
    #[arg(long, value_enum, default_value_t, value_name = "FORMAT")]
    pub(crate) format: Format,
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

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell hinges box.toml
  stepwell hinges box.toml --format json

Each is judged with its own figures of the drawer; keys of the job's [hinge] count for the hinge that it names.")]
pub(crate) struct Hinges {
    /// The job file, or - for standard input
    #[arg(value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    #[command(flatten)]
    pub(crate) reporting: Reporting,
}

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell page
  stepwell page my-box.toml --port 8080 --no-open

The page is for this computer alone: it answers to nobody without the address
that is printed, and ends on Ctrl-C or when nobody has been there for ten minutes.")]
pub(crate) struct Page {
    /// The job file; where it is not there yet the page begins it
    #[arg(value_name = "JOB.toml", default_value = "job.toml")]
    pub(crate) job: PathBuf,

    /// The port to serve on [default: any that is free]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    pub(crate) port: Option<u16>,

    /// Only print the address
    #[arg(long)]
    pub(crate) no_open: bool,
}

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell set my-box.toml hinge.width 10.2
  stepwell set my-box.toml 'hinge.steps[2].depth' '15/32 in'
  stepwell set my-box.toml fixture.park --remove")]
pub(crate) struct Set {
    /// The job file
    #[arg(value_name = "JOB.toml")]
    pub(crate) job: PathBuf,

    /// The key with its table, as `stepwell explain` takes it; a list counts from 1
    #[arg(value_name = "KEY")]
    pub(crate) key: String,

    /// The value, as you would say it: 9.5, 3/8, "9.5 mm", inset
    #[arg(
        value_name = "VALUE",
        required_unless_present = "remove",
        allow_hyphen_values = true
    )]
    pub(crate) value: Option<String>,

    /// Take the key away
    #[arg(long, conflicts_with = "value")]
    pub(crate) remove: bool,
}

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell init my-box.toml
  stepwell init my-box.toml --machine my-router.toml --bits my-bits.toml
  stepwell init my-box.toml --hinges my-hinges.toml         with a hinge drawer
  stepwell init - | less")]
pub(crate) struct Init {
    /// The job file to write, or - for standard output; never an existing one
    #[arg(value_name = "FILE", default_value = "job.toml")]
    pub(crate) file: PathBuf,

    /// The machine file that the job names; written too where it is not there
    #[arg(long, value_name = "FILE", default_value = "machines/benchtop-mm.toml")]
    pub(crate) machine: PathBuf,

    /// The bits file that the job names; written too where it is not there
    #[arg(long, value_name = "FILE", default_value = "machines/bits.toml")]
    pub(crate) bits: PathBuf,

    /// A hinge drawer for the job to take its hinge from; written too where it is not there
    #[arg(long, value_name = "FILE")]
    pub(crate) hinges: Option<PathBuf>,
}

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell explain pocket-bounds
  stepwell explain hinge.setback
  stepwell explain closing")]
pub(crate) struct Explain {
    /// A check id, a key with its table, or a topic: closing, dull, test-piece
    #[arg(value_name = "WORD")]
    pub(crate) word: String,
}

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell schema job > job.schema.json")]
pub(crate) struct SchemaOptions {
    /// Which kind of file
    #[arg(value_enum, value_name = "KIND")]
    pub(crate) kind: SchemaKind,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum SchemaKind {
    Job,
    Machine,
    Bits,
    Hinges,
}

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell completions bash > ~/.local/share/bash-completion/completions/stepwell")]
pub(crate) struct Completions {
    /// Which shell
    #[arg(value_enum)]
    pub(crate) shell: clap_complete::Shell,
}

#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stepwell man ~/.local/share/man/man1")]
pub(crate) struct Man {
    /// Folder for the pages, one for each command
    #[arg(value_name = "DIR")]
    pub(crate) folder: PathBuf,
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
fn count(written: &str) -> Result<usize, String> {
    let help = "a whole number from 1 is wanted, such as 2";
    written.trim().parse().map_err(|_| help.to_owned())
}

/// A number from 0 to 1; whether it is in the range is told with the job's other mistakes.
fn share(written: &str) -> Result<f64, String> {
    let number = |text: &str| {
        text.trim()
            .parse::<f64>()
            .ok()
            .filter(|number| number.is_finite())
    };
    if let Some(number) = number(written) {
        return Ok(number);
    }
    let plain = written.replace(',', ".");
    let meant = match plain.strip_suffix('%') {
        Some(percent) => number(percent).map(|percent| percent / 100.0),
        None => number(&plain),
    };
    Err(match meant {
        Some(meant) => format!("write {meant}"),
        None => "a number from 0, fresh, to 1, worn out, is wanted".to_owned(),
    })
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
