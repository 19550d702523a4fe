//! What programs are of: the job itself, its test piece, or its template.

use crate::cutting::Settings;
use crate::diagnostic::Diagnostics;
use crate::job::Job;
use crate::produce::piece::PieceWish;
use crate::{settings, template, test_piece};

/// As the command line says it, or the page's form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) enum Subject {
    /// The job's own pockets.
    #[default]
    Job,
    /// A test piece, made with these options.
    TestPiece(PieceWish),
    /// The template for a hand-held router.
    Template,
}

impl Subject {
    /// The job that the programs are judged against, and its speeds: a test piece
    /// runs at those of its job, for both its woods; a template at its plate's.
    ///
    /// # Errors
    /// What is no length, and a piece or a template that cannot be.
    pub(crate) fn of(&self, job: Job) -> Result<(Job, Settings), Diagnostics> {
        match self {
            Self::Job => {
                let settings = settings::for_job(&job);
                Ok((job, settings))
            }
            Self::TestPiece(wish) => {
                let (scrap, series) = wish.said(job.units)?;
                let piece = test_piece::job(&job, scrap, series)?;
                Ok((piece, settings::for_job(&job)))
            }
            Self::Template => {
                let plate = template::job(&job)?;
                let settings = settings::for_job(&plate);
                Ok((plate, settings))
            }
        }
    }
}
