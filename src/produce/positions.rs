//! Which position of the job each program is for.

use crate::diagnostic::Diagnostic;
use crate::job::Job;

/// The position of each program, as the command line names it, or in their order
/// where there are as many programs as positions; none where the job has no positions.
///
/// # Errors
/// Positions that the job does not have or that do not cut the hinge asked for,
/// and programs that may be any of several positions.
pub(crate) fn of_programs(
    job: &Job,
    named: &[usize],
    programs: usize,
) -> Result<Vec<Option<usize>>, Diagnostic> {
    let all = &job.fixture.positions;
    if all.is_empty() {
        return match named {
            [] => Ok(vec![None; programs]),
            [number, ..] => {
                let message =
                    format!("--position is {number}, but the job names no `fixture.positions`");
                Err(Diagnostic::new("usage", message).help("leave --position out"))
            }
        };
    }
    for &number in named {
        let Some(position) = job.fixture.position(number) else {
            let message = format!("--position is {number}, allowed is from 1 to {}", all.len());
            return Err(Diagnostic::new("usage", message)
                .help("positions count from 1 in the order of `fixture.positions`"));
        };
        if let Some(hinge) = job.selection.hinge
            && !position.holds(hinge)
        {
            let own = job.position_of(hinge).map(|position| position.number);
            let message = format!("--position is {number}, which does not cut hinge {hinge}");
            return Err(Diagnostic::new("usage", message).help(match own {
                Some(own) => format!("hinge {hinge} is cut in position {own}"),
                None => "no position cuts it".to_owned(),
            }));
        }
    }
    let of_this_run: Vec<Option<usize>> = job
        .positions()
        .into_iter()
        .map(|position| position.map(|position| position.number))
        .collect();
    match named {
        [] if of_this_run.len() == programs => Ok(of_this_run),
        [] if of_this_run.len() == 1 => Ok(vec![of_this_run[0]; programs]),
        [one] => Ok(vec![Some(*one); programs]),
        several if several.len() == programs => Ok(several.iter().copied().map(Some).collect()),
        [] => {
            let message = format!(
                "{programs} program{} and {} positions: which is for which?",
                if programs == 1 { "" } else { "s" },
                of_this_run.len()
            );
            Err(Diagnostic::new("usage", message)
                .help("say --position once for each program, in order, such as --position 1"))
        }
        several => {
            let message = format!("{} positions named for {programs} programs", several.len());
            Err(Diagnostic::new("usage", message)
                .help("give --position once for each program, in order, or once for all"))
        }
    }
}
