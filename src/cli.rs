//! The command line.

mod arguments;
mod entered;
mod explain;
mod failure;
mod feed_table;
mod feeds;
mod fit;
mod generate;
mod hinges;
mod init;
mod options;
mod page;
mod plug;
mod produce;
mod ran;
mod retune;
mod schema;
mod set;
mod shell;
mod simulate;
mod subject;
mod summary;
mod template;
mod terminal;
mod test_piece;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use arguments::{Arguments, Command};
use failure::Failure;

pub use page::{PageWish, ServePage};

/// How a command ended, when nothing was wrong with its input.
enum Ending {
    /// Every check passed.
    Passed,
    /// At least one check failed; the report has been printed.
    CheckFailed,
}

/// Runs one command line and returns the exit code: 0 every check passed,
/// 1 a check failed, 2 the command line or an input is wrong. `serve` is what
/// serves the page: it is none of the command line's.
pub fn run(arguments: impl IntoIterator<Item = OsString>, serve: ServePage) -> ExitCode {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let parsed = match Arguments::try_parse_from(&arguments) {
        Ok(parsed) => parsed,
        Err(error) => return failure::usage(&error, &arguments),
    };
    let format = parsed.command.format();
    let ending = match parsed.command {
        Command::Generate(options) => generate::run(&options),
        Command::Simulate(options) => simulate::run(&options),
        Command::Feeds(options) => feeds::run(&options),
        Command::Retune(options) => retune::run(&options),
        Command::TestPiece(options) => test_piece::run(&options),
        Command::Template(options) => template::run(&options),
        Command::Fit(options) => fit::run(&options),
        Command::Ran(options) => ran::run(&options),
        Command::Hinges(options) => hinges::run(&options),
        Command::Page(options) => page::run(options, serve),
        Command::Set(options) => set::run(&options),
        Command::Init(options) => init::run(&options),
        Command::Explain(options) => explain::run(&options),
        Command::Schema(options) => schema::run(&options),
        Command::Completions(options) => shell::completions(&options, Arguments::command()),
        Command::Man(options) => shell::man(&options, Arguments::command()),
    };
    match ending {
        Ok(Ending::Passed) => ExitCode::SUCCESS,
        Ok(Ending::CheckFailed) => ExitCode::from(1),
        Err(Failure {
            diagnostics,
            sources,
        }) => failure::print(&diagnostics, &sources, format),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_command_line_is_consistent() {
        Arguments::command().debug_assert();
    }
}
