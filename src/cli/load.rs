//! From file names to a resolved job.

use std::path::{Path, PathBuf};

use crate::cli::failure::{Failure, Sources};
use crate::diagnostic::{Diagnostic, Diagnostics, Place};
use crate::files;
use crate::input::{self, Overrides};
use crate::job::Job;
use crate::shop::bit::Bit;
use crate::shop::machine::Machine;

/// A resolved job with the texts it came from.
pub(crate) struct Loaded {
    pub(crate) job: Job,
    /// The files that were read: job, machine, bits, and the drawer where there is one.
    pub(crate) inputs: Vec<PathBuf>,
    /// Texts by the names that diagnostics use.
    pub(crate) sources: Sources,
}

/// The files that are edited besides the job that names them.
pub(crate) struct Edits {
    pub(crate) bits: PathBuf,
    pub(crate) hinges: Option<PathBuf>,
}

/// The bits file and the drawer that a job names.
pub(crate) fn edits(path: &Path) -> Result<Edits, Failure> {
    let name = path.display().to_string();
    let text = files::read_spec(path)?;
    let spec = input::job(&name, &text).map_err(|diagnostics| Failure {
        diagnostics,
        sources: Sources::from([(name, text)]),
    })?;
    Ok(Edits {
        bits: beside(path, spec.bits_path()),
        hinges: spec.hinges_path().map(|hinges| beside(path, hinges)),
    })
}

/// Reads the job file, and machine, rack and drawer that it names, and resolves
/// them; all mistakes of all files are gathered.
pub(crate) fn job(path: &Path, overrides: &Overrides) -> Result<Loaded, Failure> {
    let mut sources = Sources::new();
    let text = read(path, &mut sources)?;
    let spec = input::job(&path.display().to_string(), &text).map_err(|diagnostics| Failure {
        diagnostics,
        sources: sources.clone(),
    })?;
    let machine_path = beside(path, spec.machine_path());
    let bits_path = beside(path, spec.bits_path());
    let mut diagnostics = Diagnostics::new();
    let machine = gather(
        &machine_path,
        &mut sources,
        &mut diagnostics,
        input::machine,
    );
    let machine = machine.unwrap_or_else(|error| {
        diagnostics.push(named_at(error, spec.machine_place()));
        None
    });
    let rack = gather(&bits_path, &mut sources, &mut diagnostics, input::bits);
    let rack = rack.unwrap_or_else(|error| {
        diagnostics.push(named_at(error, spec.bits_place()));
        None
    });
    let mut inputs = vec![path.to_owned(), machine_path, bits_path];
    let drawer = match (spec.hinges_path(), spec.hinges_place()) {
        (Some(written), Some(place)) => {
            let hinges_path = beside(path, written);
            let read = gather(&hinges_path, &mut sources, &mut diagnostics, input::hinges);
            inputs.push(hinges_path);
            read.unwrap_or_else(|error| {
                diagnostics.push(named_at(error, place));
                None
            })
        }
        _ => None,
    };
    let (Some(machine), Some(rack), true) = (machine, rack, diagnostics.is_empty()) else {
        return Err(Failure {
            diagnostics,
            sources,
        });
    };
    let spec = match drawer {
        Some(drawer) => spec.with_hinges(drawer),
        None => spec,
    };
    match spec.resolve(machine, rack, overrides) {
        Ok(job) => Ok(Loaded {
            job,
            inputs,
            sources,
        }),
        Err(diagnostics) => Err(Failure {
            diagnostics,
            sources,
        }),
    }
}

/// Reads a machine file.
pub(crate) fn machine(path: &Path) -> Result<Machine, Failure> {
    let mut sources = Sources::new();
    let text = read(path, &mut sources)?;
    input::machine(&path.display().to_string(), &text).map_err(|diagnostics| Failure {
        diagnostics,
        sources,
    })
}

/// The bit of that name in the job's rack.
pub(crate) fn bit<'a>(job: &'a Job, name: &str) -> Result<&'a Bit, Failure> {
    let wanted = name.trim();
    job.rack
        .iter()
        .find(|bit| bit.name == wanted)
        .ok_or_else(|| {
            let known: Vec<&str> = job.rack.iter().map(|bit| bit.name.as_str()).collect();
            Diagnostic::new(
                "unknown-bit",
                format!(
                    "bit `{name}` is not in the rack; it holds `{}`",
                    known.join("`, `")
                ),
            )
            .into()
        })
}

/// The stem that outputs are named after.
pub(crate) fn stem(path: &Path) -> String {
    match path.file_stem() {
        Some(stem) if !files::is_stream(path) => stem.to_string_lossy().into_owned(),
        _ => "job".to_owned(),
    }
}

fn beside(job: &Path, named: &str) -> PathBuf {
    match job.parent() {
        Some(folder) if !files::is_stream(job) => folder.join(named),
        _ => PathBuf::from(named),
    }
}

fn read(path: &Path, sources: &mut Sources) -> Result<String, Failure> {
    let text = files::read_spec(path)?;
    sources.insert(path.display().to_string(), text.clone());
    Ok(text)
}

/// A file that cannot be read, at the key of the job that names it.
fn named_at(error: Diagnostic, place: Place) -> Diagnostic {
    // A place in the named file itself says more.
    if error.place.is_some() {
        return error;
    }
    let counted = "paths inside a job file count from the folder of the job file";
    let help = match &error.help {
        Some(help) => format!("{counted}; {help}"),
        None => counted.to_owned(),
    };
    error.at(place).help(help)
}

/// What the file says, or nothing where it has mistakes.
///
/// # Errors
/// A file that cannot be read.
fn gather<T>(
    path: &Path,
    sources: &mut Sources,
    diagnostics: &mut Diagnostics,
    parse: impl FnOnce(&str, &str) -> Result<T, Diagnostics>,
) -> Result<Option<T>, Diagnostic> {
    let text = files::read_spec(path)?;
    let name = path.display().to_string();
    sources.insert(name.clone(), text.clone());
    Ok(parse(&name, &text)
        .map_err(|found| diagnostics.extend(found))
        .ok())
}
