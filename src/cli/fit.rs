//! `stepwell fit`: enters what was measured on what a program cut.

use crate::cli::arguments::Fit;
use crate::cli::failure::Failure;
use crate::cli::{Ending, entered, subject};
use crate::produce::fitting::{self, Act, Cut};

pub(super) fn run(options: &Fit) -> Result<Ending, Failure> {
    let why = "fit writes into the job file, standard input cannot take that";
    entered::refuse_stream(&options.job, why)?;
    let act = match options {
        Fit { show: true, .. } => Act::Show,
        Fit { undo: true, .. } => Act::Undo,
        Fit {
            new_setup: true, ..
        } => Act::NewSetUp,
        _ => Act::Enter(Box::new(cut(options))),
    };
    let selection = options.program.selection()?;
    let done = fitting::run(&options.job, selection, &act, options.dry, &|_| Ok(()));
    entered::end(done, options.show, options.dry, options.format)
}

fn cut(options: &Fit) -> Cut {
    Cut {
        programs: options.cut.clone(),
        bits: options.bit.clone(),
        positions: options.program.position.clone(),
        subject: subject::of(&options.program),
        pocket: options.pocket,
        depth_pocket: options.depth_pocket,
        slot: options.slot.clone(),
        outside_box: options.outside_box.clone(),
        outside_lid: options.outside_lid.clone(),
        end_box: options.end_box.clone(),
        end_lid: options.end_lid.clone(),
        turned: pair(&options.turned),
        turned_end: pair(&options.turned_end),
        gap: options.gap.clone(),
        as_read: options.as_read,
    }
}

/// The two readings of a trial, where they are given.
fn pair(written: &[String]) -> Option<[String; 2]> {
    <[String; 2]>::try_from(written.to_vec()).ok()
}
