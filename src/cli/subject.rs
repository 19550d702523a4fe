//! What programs are of, as the options of a command say it.

use crate::cli::options::ProgramOptions;
use crate::cli::test_piece;
use crate::produce::Subject;

/// What programs with these options are of.
pub(super) fn of(program: &ProgramOptions) -> Subject {
    if program.test_piece {
        let sizes = [&program.length, &program.width, &program.thickness];
        let sizes = sizes.map(|written| written.as_deref().unwrap_or_default());
        return Subject::TestPiece(test_piece::wish(sizes, &program.series()));
    }
    if program.template {
        Subject::Template
    } else {
        Subject::Job
    }
}
