//! From the name of a job file to a resolved job.

use std::collections::BTreeMap;
use std::fmt;
use std::path::{Path, PathBuf};

use crate::diagnostic::{Diagnostic, Diagnostics, Place};
use crate::files::read::{is_stream, read_spec, read_spec_file};
use crate::input::{self, JobSpec, Overrides};
use crate::job::Job;
use crate::shop::bit::Bit;
use crate::shop::machine::Machine;

/// Texts of files by the names that diagnostics use.
pub type Sources = BTreeMap<String, String>;

/// A resolved job with the files it came from.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct ReadJob {
    /// The job.
    pub job: Job,
    /// The files that were read: job, machine, bits, and the drawer where there is one.
    pub inputs: Vec<PathBuf>,
    /// Their texts.
    pub sources: Sources,
}

/// Why there is no job: the mistakes, and the texts that they point into.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct Unread {
    /// All mistakes of all files.
    pub diagnostics: Diagnostics,
    /// Texts of the files that could be read.
    pub sources: Sources,
}

impl Unread {
    /// These mistakes of a file whose text is known.
    pub fn of_text(file: String, text: String, diagnostics: Diagnostics) -> Self {
        Self {
            diagnostics,
            sources: Sources::from([(file, text)]),
        }
    }
}

impl From<Diagnostics> for Unread {
    fn from(diagnostics: Diagnostics) -> Self {
        Self {
            diagnostics,
            sources: Sources::new(),
        }
    }
}

impl From<Diagnostic> for Unread {
    fn from(diagnostic: Diagnostic) -> Self {
        Self {
            diagnostics: diagnostic.into(),
            sources: Sources::new(),
        }
    }
}

impl fmt::Display for Unread {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.diagnostics.fmt(formatter)
    }
}

impl std::error::Error for Unread {}

impl Job {
    /// Reads a job file, and machine, rack and drawer that it names, which count
    /// from its folder, and resolves them.
    ///
    /// # Errors
    /// All mistakes of all files together, each with its place.
    pub fn read(path: impl AsRef<Path>) -> Result<Self, Diagnostics> {
        match read_job(path.as_ref(), &Overrides::default()) {
            Ok(read) => Ok(read.job),
            Err(unread) => Err(unread.diagnostics),
        }
    }
}

/// A job's files, each read and the job not resolved.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct ReadFiles {
    /// The job as written, with its drawer where it names one.
    pub spec: JobSpec,
    /// The machine that it names.
    pub machine: Machine,
    /// The rack that it names.
    pub rack: Vec<Bit>,
    /// The files that were read: job, machine, bits, and the drawer where there is one.
    pub inputs: Vec<PathBuf>,
    /// Their texts.
    pub sources: Sources,
}

/// As [`Job::read`], with what stands on a command line, and with the texts.
///
/// # Errors
/// All mistakes of all files together, each with its place.
pub fn read_job(path: &Path, overrides: &Overrides) -> Result<ReadJob, Unread> {
    resolved(read_files(path)?, overrides)
}

/// As [`read_job`], with a text that the job's file does not hold yet.
///
/// # Errors
/// As [`read_job`].
#[cfg(feature = "page")]
pub(crate) fn read_job_as(
    path: &Path,
    text: String,
    overrides: &Overrides,
) -> Result<ReadJob, Unread> {
    resolved(read_named(path, text)?, overrides)
}

fn resolved(files: ReadFiles, overrides: &Overrides) -> Result<ReadJob, Unread> {
    let ReadFiles {
        spec,
        machine,
        rack,
        inputs,
        sources,
    } = files;
    match spec.resolve(machine, rack, overrides) {
        Ok(job) => Ok(ReadJob {
            job,
            inputs,
            sources,
        }),
        Err(diagnostics) => Err(Unread {
            diagnostics,
            sources,
        }),
    }
}

/// Reads a job file, and machine, rack and drawer that it names.
///
/// # Errors
/// All mistakes of each file, together.
pub fn read_files(path: &Path) -> Result<ReadFiles, Unread> {
    read_named(path, read_spec(path)?)
}

/// A job of that text, and what it names, counted from the folder of `path`.
fn read_named(path: &Path, text: String) -> Result<ReadFiles, Unread> {
    let mut sources = Sources::from([(path.display().to_string(), text.clone())]);
    let spec = match input::job(&path.display().to_string(), &text) {
        Ok(spec) => spec,
        Err(diagnostics) => {
            return Err(Unread {
                diagnostics,
                sources,
            });
        }
    };
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
        return Err(Unread {
            diagnostics,
            sources,
        });
    };
    let spec = match drawer {
        Some(drawer) => spec.with_hinges(drawer),
        None => spec,
    };
    Ok(ReadFiles {
        spec,
        machine,
        rack,
        inputs,
        sources,
    })
}

/// Reads a machine file.
///
/// # Errors
/// A file that cannot be read, or its mistakes.
pub fn read_machine(path: &Path) -> Result<Machine, Unread> {
    let mut sources = Sources::new();
    let text = read_spec_file(path)?;
    sources.insert(path.display().to_string(), text.clone());
    input::machine(&path.display().to_string(), &text).map_err(|diagnostics| Unread {
        diagnostics,
        sources,
    })
}

/// The files that a job names.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Edits {
    /// The machine, which no command changes.
    pub machine: PathBuf,
    /// The rack.
    pub bits: PathBuf,
    /// The drawer, where the job names one.
    pub hinges: Option<PathBuf>,
}

/// The bits file and the drawer that a job names.
///
/// # Errors
/// A job file that cannot be read, or its mistakes.
pub fn edits(path: &Path) -> Result<Edits, Unread> {
    let name = path.display().to_string();
    let text = read_spec_file(path)?;
    match input::job(&name, &text) {
        Ok(spec) => Ok(Edits {
            machine: beside(path, spec.machine_path()),
            bits: beside(path, spec.bits_path()),
            hinges: spec.hinges_path().map(|hinges| beside(path, hinges)),
        }),
        Err(diagnostics) => Err(Unread::of_text(name, text, diagnostics)),
    }
}

/// The stem that what is made from a job file is named after.
pub fn stem(path: &Path) -> String {
    match path.file_stem() {
        Some(stem) if !is_stream(path) => stem.to_string_lossy().into_owned(),
        _ => "job".to_owned(),
    }
}
/// Beside the job file that names it.
fn beside(job: &Path, named: &str) -> PathBuf {
    match job.parent() {
        Some(folder) if !is_stream(job) => folder.join(named),
        _ => PathBuf::from(named),
    }
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
    let text = read_spec_file(path)?;
    let name = path.display().to_string();
    sources.insert(name.clone(), text.clone());
    Ok(parse(&name, &text)
        .map_err(|found| diagnostics.extend(found))
        .ok())
}
