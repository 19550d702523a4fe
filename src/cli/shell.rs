//! `stepwell completions` and `stepwell man`.

use std::path::{Path, PathBuf};

use clap::CommandFactory;

use crate::cli::arguments::{Arguments, Completions, Man};
use crate::cli::failure::Failure;
use crate::cli::{Ending, terminal};
use crate::diagnostic::Diagnostic;
use crate::files;

/// Writes the completions of a shell to standard output.
pub(super) fn completions(options: &Completions) -> Result<Ending, Failure> {
    let mut bytes = Vec::new();
    clap_complete::generate(
        options.shell,
        &mut Arguments::command(),
        "stepwell",
        &mut bytes,
    );
    terminal::styled_result(&String::from_utf8_lossy(&bytes))?;
    Ok(Ending::Passed)
}

/// Writes a man page for the program and one for each command.
pub(super) fn man(options: &Man) -> Result<Ending, Failure> {
    let mut command = Arguments::command();
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

fn page(folder: &Path, name: &str, command: &clap::Command) -> Result<(PathBuf, Vec<u8>), Failure> {
    let mut bytes = Vec::new();
    clap_mangen::Man::new(command.clone())
        .title(name)
        .render(&mut bytes)
        .map_err(|error| {
            Diagnostic::new("internal", format!("cannot write the man page: {error}"))
        })?;
    Ok((folder.join(format!("{name}.1")), bytes))
}
