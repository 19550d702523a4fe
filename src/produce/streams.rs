//! Programs read as they are judged.

use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};

use crate::diagnostic::Diagnostic;
use crate::files;
use crate::report::Report;
use crate::shop::bit::Bit;
use crate::verify::Judge;

const CHUNK_BYTES: usize = 64 * 1024;

/// Is told how many bytes more are read; made from the size of a file, where known.
pub(crate) type Watch<'w> = &'w dyn Fn(Option<u64>) -> Box<dyn FnMut(usize)>;

/// A program that is open to be read.
pub(crate) struct Stream {
    pub(crate) name: String,
    size: Option<u64>,
    input: Box<dyn Read>,
}

/// Every program is opened before the first is read.
///
/// # Errors
/// A file that cannot be opened.
pub(crate) fn open_all(programs: &[PathBuf]) -> Result<Vec<Stream>, Diagnostic> {
    let mut streams = Vec::new();
    for path in programs {
        streams.push(Stream {
            name: path.display().to_string(),
            size: files::size(path),
            input: files::open(path)?,
        });
    }
    Ok(streams)
}

/// The report on programs in their order in the same wood, read as they are judged.
///
/// # Errors
/// A file that cannot be read.
pub(crate) fn judged(
    mut judge: Judge<'_>,
    programs: &[PathBuf],
    positions: &[Option<usize>],
    bits: &[Bit],
    watch: Watch<'_>,
) -> Result<Report, Diagnostic> {
    for (index, stream) in open_all(programs)?.into_iter().enumerate() {
        lay(&mut judge, positions, index);
        judge.begin(&stream.name, bits.get(index));
        pump(stream, watch, |chunk| judge.push(chunk))?;
        judge.end();
    }
    Ok(judge.finish().report)
}

/// Lays the parts into the position that a program is for.
pub(crate) fn lay(judge: &mut Judge<'_>, positions: &[Option<usize>], program: usize) {
    if let Some(&Some(position)) = positions.get(program) {
        judge.lay(position);
    }
}

/// Hands a program on, piece by piece.
///
/// # Errors
/// A file that cannot be read.
pub(crate) fn pump(
    stream: Stream,
    watch: Watch<'_>,
    mut sink: impl FnMut(&[u8]),
) -> Result<(), Diagnostic> {
    let Stream {
        name,
        size,
        mut input,
    } = stream;
    let mut advance = watch(size);
    let mut buffer = vec![0; CHUNK_BYTES];
    loop {
        match input.read(&mut buffer) {
            Ok(0) => return Ok(()),
            Ok(count) => {
                sink(buffer.get(..count).unwrap_or_default());
                advance(count);
            }
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => return Err(files::unreadable(Path::new(&name), &error)),
        }
    }
}
