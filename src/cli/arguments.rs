//! What may be typed.

use clap::{Parser, Subcommand};

use crate::cli::explain::Explain;
use crate::cli::feeds::Feeds;
use crate::cli::fit::Fit;
use crate::cli::generate::Generate;
use crate::cli::hinges::Hinges;
use crate::cli::init::Init;
use crate::cli::options::Format;
use crate::cli::page::Page;
use crate::cli::ran::Ran;
use crate::cli::retune::Retune;
use crate::cli::schema::SchemaOptions;
use crate::cli::set::Set;
use crate::cli::shell::{Completions, Man};
use crate::cli::simulate::Simulate;
use crate::cli::template::Template;
use crate::cli::test_piece::TestPiece;

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
