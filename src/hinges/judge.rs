//! Each hinge of the drawer, taken by the job in place of its own.

use serde::Serialize;

use super::suitability::Suitability;
use super::{reasons, wants};
use crate::advice::{self, Topic};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::feeds;
use crate::input::{JobSpec, Overrides};
use crate::job::{Job, PartName};
use crate::report::WoodLeft;
use crate::shop::bit::{Bit, BitKind};
use crate::shop::machine::Machine;
use crate::units::{Length, Units};
use crate::verify;

/// All hinges of a drawer, the best first.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Judgement {
    /// The unit of the reasons, and of what people read.
    pub units: Units,
    /// Those that suit, then those that are tight, then the rest; among their
    /// like those that leave most wood first, else in the drawer's order.
    pub hinges: Vec<Judged>,
}

/// A hinge in this box.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Judged {
    /// Its name in the drawer.
    pub name: String,
    /// Whether it suits.
    pub verdict: Suitability,
    /// What speaks against it, a sentence each; none where it suits.
    pub reasons: Vec<String>,
    /// How many the lid wants, by its length and by its weight.
    pub count: Option<usize>,
    /// The bit for it: the job's own where that cuts it, else the best of the rack.
    pub bit: Option<String>,
    /// All bits of the rack that cut it.
    pub bits: Vec<String>,
    /// Wood left around its pockets, the least of all pockets of both parts.
    pub left: Option<WoodLeft>,
    /// Whether the lid opens flat; nothing where the hinge has no `open_gap`.
    pub opens_flat: Option<bool>,
    /// What its screws hold against what the lid pulls, a sentence a part.
    pub screws: Vec<String>,
    /// The thinnest lid that leaves it the wood that the job wants.
    pub thinnest_lid: Option<Length>,
    /// The thinnest hinged wall that does.
    pub thinnest_wall: Option<Length>,
}

/// Judges every hinge of the drawer in the box and lid of `spec`; nothing where
/// the job has no drawer. What the job
/// says over the drawer's counts for its own hinge alone. What people read is
/// in `units`.
pub fn judge(spec: &JobSpec, machine: &Machine, rack: &[Bit], units: Units) -> Option<Judgement> {
    let drawer = spec.drawer()?;
    let mut hinges: Vec<Judged> = drawer
        .names()
        .map(|name| {
            let taken = spec.clone().with_hinge(name);
            match fitting(&taken, machine, rack) {
                Ok(mut fitting) => {
                    fitting.job.units = units;
                    judged(name, &fitting)
                }
                Err(reasons) => Judged {
                    name: name.to_owned(),
                    verdict: Suitability::DoesNot,
                    reasons,
                    count: None,
                    bit: None,
                    bits: Vec::new(),
                    left: None,
                    opens_flat: None,
                    screws: Vec::new(),
                    thinnest_lid: None,
                    thinnest_wall: None,
                },
            }
        })
        .collect();
    let least = |judged: &Judged| judged.left.map_or(f64::NEG_INFINITY, reasons::least);
    hinges.sort_by(|one, other| {
        let by_verdict = one.verdict.cmp(&other.verdict);
        by_verdict.then(least(other).total_cmp(&least(one)))
    });
    Some(Judgement { units, hinges })
}

/// The job with the hinge and the bit for it.
struct Fitting {
    job: Job,
    /// Whether the job's bit cuts it; else why no bit of the rack does.
    cut: Result<Vec<String>, Vec<String>>,
}

/// # Errors
/// Why the job cannot be with that hinge, whatever the bit.
fn fitting(spec: &JobSpec, machine: &Machine, rack: &[Bit]) -> Result<Fitting, Vec<String>> {
    let routers = rack.iter().filter(|bit| bit.kind != BitKind::Drill);
    let mut cutting: Vec<Job> = Vec::new();
    let mut others: Vec<(Job, String)> = Vec::new();
    let mut refused: Vec<(&Bit, Diagnostics)> = Vec::new();
    for bit in routers {
        let overrides = Overrides {
            bit: Some(bit.name.clone()),
            ..Overrides::default()
        };
        match spec.resolve(machine.clone(), rack.to_vec(), &overrides) {
            Ok(job) => match feeds::problems(&job, &job.bit).as_slice() {
                [] => cutting.push(job),
                problems => {
                    let why = format!("{}: {}", bit.name, problems.join("; "));
                    others.push((job, why));
                }
            },
            Err(errors) => refused.push((bit, errors)),
        }
    }
    if cutting.is_empty() {
        return uncut(others, &refused);
    }
    let bits: Vec<String> = cutting.iter().map(|job| job.bit.name.clone()).collect();
    let best = feeds::table(&cutting[0], None).verdict.best;
    let wanted = spec
        .bit_name()
        .filter(|name| bits.iter().any(|bit| bit == name));
    let wanted = wanted.map(str::to_owned).or(best);
    let place = bits.iter().position(|bit| Some(bit) == wanted.as_ref());
    Ok(Fitting {
        job: cutting.swap_remove(place.unwrap_or(0)),
        cut: Ok(bits),
    })
}

/// Where no bit cuts it: what can be said of it all the same.
///
/// # Errors
/// Why the job cannot be with that hinge.
fn uncut(
    others: Vec<(Job, String)>,
    refused: &[(&Bit, Diagnostics)],
) -> Result<Fitting, Vec<String>> {
    let is_of_the_bit = |error: &&Diagnostic| IN_THE_WAY.contains(&error.code);
    let of_the_hinge = refused.iter().find_map(|(_, errors)| {
        let errors = errors.iter().filter(|error| !is_of_the_bit(error));
        let words: Vec<String> = errors.map(|error| error.message.clone()).collect();
        (!words.is_empty()).then_some(words)
    });
    if let (Some(words), true) = (of_the_hinge, others.is_empty()) {
        return Err(words);
    }
    let of_the_bits = refused.iter().filter_map(|(bit, errors)| {
        let first = errors.first()?;
        Some(format!("{}: {}", bit.name, first.message))
    });
    let mut why = others.iter().map(|(_, why)| why.clone()).chain(of_the_bits);
    let why = match why.next() {
        Some(first) => format!("no bit of the rack cuts it, as {first}"),
        None => "the rack has no bit for a pocket".to_owned(),
    };
    match others.into_iter().next() {
        Some((job, _)) => Ok(Fitting {
            job,
            cut: Err(vec![why]),
        }),
        None => Err(vec![why]),
    }
}

/// What is refused because of the bit and not because of the hinge.
const IN_THE_WAY: [&str; 3] = ["bit-too-wide", "corner-too-tight", "finish-too-great"];

fn judged(name: &str, fitting: &Fitting) -> Judged {
    let job = &fitting.job;
    let mut against = reasons::of(job);
    if let Err(why) = &fitting.cut {
        let why = why.iter().map(|why| (Suitability::DoesNot, why.clone()));
        against.splice(0..0, why);
    }
    against.sort_by_key(|(worst, _)| std::cmp::Reverse(*worst));
    let worst = against.iter().map(|(worst, _)| *worst).max();
    let bits = fitting.cut.clone().unwrap_or_default();
    let holds = advice::of(job).into_iter();
    let opening = verify::opening(job);
    Judged {
        name: name.to_owned(),
        verdict: worst.unwrap_or(Suitability::Suits),
        reasons: against.into_iter().map(|(_, words)| words).collect(),
        count: advice::hinges_wanted(job),
        bit: (!bits.is_empty()).then(|| job.bit.name.clone()),
        bits,
        left: reasons::left(job),
        opens_flat: opening.map(|opening| opening.is_flat()),
        screws: holds
            .filter(|advice| advice.topic == Topic::Withdrawal && !advice.warns)
            .map(|advice| advice.text)
            .collect(),
        thinnest_lid: wants::thickness(job, PartName::Lid),
        thinnest_wall: wants::thickness(job, PartName::Box),
    }
}
