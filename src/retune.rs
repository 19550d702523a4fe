//! New F and S words for a worn bit, in a program from any source. Nothing
//! but the figures of F and S words changes; the result is replayed and
//! proved to move as the program did.

mod choice;
mod proof;
mod survey;
mod words;

use serde::Serialize;

use crate::job::Job;
use crate::report::CheckId;
use crate::shop::bit::Bit;
use crate::verify::scene::Scene;

/// A program with new F and S words.
#[derive(Clone, Debug, PartialEq)]
pub struct Retuned {
    /// The program, byte for byte as it was but for the figures changed.
    pub text: Vec<u8>,
    /// The bit it was retuned for.
    pub bit: String,
    /// How worn it was taken to be.
    pub wear: f64,
    /// What was changed, in the order of the program.
    pub changes: Vec<Change>,
    /// Moves replayed and found the same in both programs.
    pub moves: u64,
}

/// One word changed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// Line, from 1.
    pub line: u64,
    /// `F` or `S`.
    pub word: char,
    /// The figure as it was written.
    pub before: String,
    /// The figure as it is written now.
    pub after: String,
    /// What the word governs, in words.
    pub governs: String,
}

/// Why a program cannot be retuned.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Objection {
    /// The check that such a program would fail.
    pub check: CheckId,
    /// Line from 1; 0 where the whole program is meant.
    pub line: u64,
    /// Figures and what to do.
    pub message: String,
}

/// Retunes `program`, of the position of that number where the job has positions, for the bit that cuts it: the one `given`, else that of
/// its T words (the job's own among several), else the job's. `wear` is what
/// that bit is taken to have; without, as it stands. Moves of other bits keep
/// their words.
///
/// # Errors
/// Everything that stands in the way: a program that is not of the subset, a
/// bite too deep for the worn bit, chips that no F and S words make thick
/// enough, a word that would have to serve moves that want different feeds.
pub fn retune(
    program: &[u8],
    job: &Job,
    position: Option<usize>,
    given: Option<&Bit>,
    wear: Option<f64>,
) -> Result<Retuned, Vec<Objection>> {
    let located = position.and_then(|number| job.fixture.position(number));
    let scene = Scene::of(job, located);
    let before = proof::trace(program, &job.machine.dialect, &scene.frames);
    if !before.refusals.is_empty() {
        return Err(before.refusals);
    }
    let survey = survey::of(program, job, given, wear, &scene)?;
    let figures = choice::figures(&survey, job)?;
    let (text, changes) = words::replace(program, &job.machine.dialect, &figures);
    let after = proof::trace(&text, &job.machine.dialect, &scene.frames);
    proof::same(&before, &after)?;
    proof::judged(&text, job, position, &survey)?;
    Ok(Retuned {
        text,
        wear: survey.bit.wear,
        bit: survey.bit.name,
        changes,
        moves: after.moves,
    })
}

#[cfg(test)]
mod tests;
