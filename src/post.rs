//! From motion to RS-274 text, in the machine's dialect.

mod arc;
mod block;
mod head;
mod motion;
mod number;
mod program_text;
mod session;

use crate::cutting::Settings;
use crate::job::Job;
use crate::job::position::Position;
use crate::plan::{Operation, OperationKind, Plan};
use crate::shop::bit::Bit;
use crate::shop::machine::ToolChange;

use session::Session;

/// One program as text.
#[derive(Clone, Debug, PartialEq)]
pub struct Program {
    /// What to append to the job's stem: empty, `-box`, `-lid-h2`, `-p2-pilot`.
    pub suffix: String,
    /// Number of the position it is for, where the job has positions.
    pub position: Option<usize>,
    /// The bit it is for (the first, where bits are changed inside).
    pub bit: Bit,
    /// The text, line ends included.
    pub text: String,
}

/// Writes `plan` for the job's machine: one program for each position, or one for
/// each bit where bits are not changed in a program. `settings` are those of the pockets' bit;
/// `marks` go into the head of each program, where the dialect has comments.
pub fn programs(plan: &Plan, job: &Job, settings: &Settings, marks: &[String]) -> Vec<Program> {
    let split = job.machine.dialect.effective_tool_change() == ToolChange::Split;
    let are_one = |one: &Operation, next: &Operation| !split && one.position == next.position;
    plan.operations
        .chunk_by(are_one)
        .filter_map(|run| run.split_first())
        .map(|(first, others)| {
            let mut session = Session::new(job, first);
            session.begin(
                first,
                position(job, first),
                settings_of(first, settings),
                marks,
            );
            session.cut(first, settings_of(first, settings));
            for operation in others {
                session.change(operation, settings_of(operation, settings));
                session.cut(operation, settings_of(operation, settings));
            }
            Program {
                suffix: suffix(job, first),
                position: first.position,
                bit: first.bit.clone(),
                text: session.end(),
            }
        })
        .collect()
}

fn settings_of<'a>(operation: &'a Operation, pockets: &'a Settings) -> &'a Settings {
    match operation.kind {
        OperationKind::Pockets => pockets,
        OperationKind::Pilot => &operation.settings,
    }
}

/// The position that an operation is cut in.
fn position<'a>(job: &'a Job, operation: &Operation) -> Option<&'a Position> {
    job.fixture.position(operation.position?)
}

/// What a program that drills adds to the stem.
pub const PILOT: &str = "-pilot";

fn suffix(job: &Job, first: &Operation) -> String {
    let kind = match first.kind {
        OperationKind::Pockets => "",
        OperationKind::Pilot => PILOT,
    };
    let position = position(job, first).map_or_else(String::new, Position::suffix);
    position + &job.selection.suffix() + kind
}

#[cfg(test)]
mod tests;
