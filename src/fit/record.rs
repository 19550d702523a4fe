//! What was booked before: a reading of each kind and the value it replaced,
//! under `fit.booked` of the job file.

use super::Repeat;
use super::edit::Document;
use super::reading::Reading;
use crate::diagnostic::Diagnostic;
use crate::units::Length;

/// What a reading means beside the one booked last.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Change {
    /// Taken on a cut made with the job as it stands.
    Fresh,
    /// Takes the place of the last one, which replaced this value.
    InsteadOf(Length),
    /// The same once more.
    Repeated,
}

/// Readings within this of each other are the same reading: more than the
/// file's own rounding, less than any caliper shows.
pub(super) const SAME: Length = Length::from_mm(0.002);

/// A change below this shows on no caliper and is none.
pub(super) const UNSEEN: Length = Length::from_mm(0.005);

/// `reading` is in millimetres, or the number of a test piece's pocket.
pub(super) fn judge(document: &Document, kind: Reading, reading: f64, repeat: Repeat) -> Change {
    let Some((booked, was)) = document.booked(kind) else {
        return Change::Fresh;
    };
    let same = Length::from_mm(booked).is_near(Length::from_mm(reading), SAME);
    match repeat {
        Repeat::Again => Change::Fresh,
        Repeat::Once | Repeat::Instead if same => Change::Repeated,
        Repeat::Once => Change::Fresh,
        Repeat::Instead => Change::InsteadOf(was),
    }
}

/// Records that `reading` replaced `was`.
pub(super) fn write(
    document: &mut Document,
    kind: Reading,
    reading: f64,
    was: Length,
) -> Result<(), Diagnostic> {
    document.set_booked(kind, reading, was)
}
