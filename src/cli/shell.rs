//! `stepwell completions` and `stepwell man`.

use std::path::{Path, PathBuf};

use clap::{Args, Command};

use crate::cli::failure::Failure;
use crate::cli::{Ending, terminal};
use crate::diagnostic::Diagnostic;
use crate::files;

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

/// Writes the completions of a shell for a command line to standard output.
pub(super) fn completions(options: &Completions, mut line: Command) -> Result<Ending, Failure> {
    let mut bytes = Vec::new();
    clap_complete::generate(options.shell, &mut line, "stepwell", &mut bytes);
    terminal::styled_result(&String::from_utf8_lossy(&bytes))?;
    Ok(Ending::Passed)
}

/// Writes a man page for the program and one for each command of its line.
pub(super) fn man(options: &Man, mut command: Command) -> Result<Ending, Failure> {
    command.build();
    let mut pages = vec![page(&options.folder, "stepwell", &command)?];
    for subcommand in command
        .get_subcommands()
        .filter(|each| each.get_name() != "help")
    {
        let name = format!("stepwell-{}", subcommand.get_name());
        pages.push(page(&options.folder, &name, subcommand)?);
    }
    files::write_all(&pages, &[])?;
    Ok(Ending::Passed)
}

fn page(folder: &Path, name: &str, command: &Command) -> Result<(PathBuf, Vec<u8>), Failure> {
    let mut bytes = Vec::new();
    clap_mangen::Man::new(command.clone())
        .title(name)
        .render(&mut bytes)
        .map_err(|error| {
            Diagnostic::new("internal", format!("cannot write the man page: {error}"))
        })?;
    Ok((folder.join(format!("{name}.1")), bytes))
}
