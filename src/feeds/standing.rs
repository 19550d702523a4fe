//! How each bit but the job's own does on the job, in a line.

use crate::cutting::FINISHING_DEFLECTION;
use crate::feeds::rank::{Candidate, serves, serving, state};
use crate::feeds::{BitFeeds, Condition, FeedTable, chips};
use crate::units::ruler::Ruler;

/// A bit of the rack, and how it does on the job.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing<'a> {
    /// The bit.
    pub bit: &'a BitFeeds,
    /// Its verdict with the reason.
    pub words: String,
}

/// Every bit but the job's own: those that serve as they are, best first, then
/// those that do not, then those that cannot cut the pockets at all.
pub fn others(table: &FeedTable) -> Vec<Standing<'_>> {
    let own = table.bits.iter().find(|bit| bit.of_the_job);
    let own = own.and_then(Candidate::of).map(|own| own.seconds());
    let best = table.verdict.best.as_deref();
    let ruler = Ruler::new(table.units);
    let serving = serving(&table.bits);
    let serving = serving.iter().map(|candidate| Standing {
        bit: candidate.bit,
        words: served(candidate, best, own, ruler),
    });
    let (can_cut, cannot): (Vec<&BitFeeds>, Vec<&BitFeeds>) =
        table.bits.iter().partition(|bit| bit.problems.is_empty());
    let refused = can_cut.into_iter().chain(cannot).filter_map(|bit| {
        let words = refused(bit)?;
        Some(Standing { bit, words })
    });
    serving
        .chain(refused)
        .filter(|standing| !standing.bit.of_the_job)
        .collect()
}

fn served(candidate: &Candidate<'_>, best: Option<&str>, own: Option<f64>, ruler: Ruler) -> String {
    let mut reasons = vec![candidate.bit.rim.words().to_owned()];
    reasons.extend(candidate.bit.packed.map(chips::words));
    if !candidate.stiff() {
        reasons.push(format!(
            "bends {} on the finishing pass, more than {}",
            ruler.one(candidate.row.finish_deflection_mm.as_mm(), 3),
            ruler.limit(FINISHING_DEFLECTION.as_mm())
        ));
    }
    reasons.push(time(candidate.seconds(), own));
    let verdict = if best == Some(candidate.bit.bit.as_str()) {
        "best: "
    } else {
        ""
    };
    format!("{verdict}{}", reasons.join("; "))
}

/// The difference is that of the whole seconds that people read.
fn time(seconds: f64, own: Option<f64>) -> String {
    let seconds = seconds.round();
    let beside = match own.map(|own| seconds - own.round()) {
        None => return format!("{seconds:.0} s"),
        Some(more) if more > 0.0 => format!("{more:.0} s more than"),
        Some(more) if more < 0.0 => format!("{:.0} s less than", -more),
        Some(_) => "the same as".to_owned(),
    };
    format!("{seconds:.0} s, {beside} the job's bit")
}

/// Why a bit does not serve as it is; `None` where it does.
fn refused(bit: &BitFeeds) -> Option<String> {
    if !bit.problems.is_empty() {
        return Some(format!("cannot do this job: {}", bit.problems.join("; ")));
    }
    let present = state(bit, Condition::Present)?;
    let refusal = present.refusal.as_ref()?;
    Some(if serves(bit, Condition::Fresh).is_some() {
        format!("not as worn as it is ({:.2}): {refusal}", present.wear)
    } else {
        format!("not on this machine: {refusal}")
    })
}
