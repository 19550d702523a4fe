//! Positions for a job that is longer than the machine, as `envelope` proposes them.

use crate::job::{Job, Layout, Selection, StopEnd};
use crate::units::{Length, Units, text};

/// Bit and nut keep so far from a block, and a pocket from the end of the
/// travel (common practice, no source). Millimetres.
const ROOM: f64 = 10.0;

/// One hinge in both parts, by what each part has of its own. Millimetres.
struct Hinge {
    number: usize,
    /// Least and greatest u.
    from: f64,
    to: f64,
    /// The most from the part's far end.
    back: f64,
}

/// `positions = [ … ]`, ready to paste into `[fixture]`; nothing where positions
/// do not help, or the job has some already. Lengths carry their unit: nobody
/// knows here which one the file is written in.
pub(crate) fn positions(job: &Job) -> Option<String> {
    let fixture = &job.fixture;
    let is_open = fixture.layout == Layout::Book && fixture.positions.is_empty();
    if !is_open || job.selection != Selection::default() {
        return None;
    }
    let room = room(job);
    let show = |millimetres: f64| {
        format!(
            "\"{}\"",
            text::short(Length::from_mm(millimetres), job.units)
        )
    };
    let hinges = hinges(job);
    let mut rest = hinges.as_slice();
    let mut written = Vec::new();
    let mut position = |taken: &[Hinge], located: String| {
        let mut numbers: Vec<usize> = taken.iter().map(|hinge| hinge.number).collect();
        numbers.sort_unstable();
        let numbers: Vec<String> = numbers.iter().map(usize::to_string).collect();
        written.push(format!("{{ hinges = [{}]{located} }}", numbers.join(", ")));
    };
    // At the stop as many as the travel reaches.
    let (here, others) = rest.split_at(reached(rest, 0.0, room));
    if others.is_empty() {
        return None;
    }
    if !here.is_empty() {
        position(here, String::new());
    }
    rest = others;
    while let Some(first) = rest.first() {
        let back = rest.iter().map(|hinge| hinge.back).fold(0.0, f64::max);
        let face = up(back + ROOM, job.units);
        if face <= room {
            position(rest, format!(", far_stop = {}", show(face)));
            break;
        }
        let nut = job.machine.nut.diameter.as_mm() / 2.0;
        let block = fixture.block_length.as_mm();
        let mark = down(first.from - block - nut - ROOM, job.units);
        let count = reached(rest, mark, room);
        if mark <= 0.0 || count == 0 {
            return None;
        }
        let (here, others) = rest.split_at(count);
        position(here, format!(", mark = {}", show(mark)));
        rest = others;
    }
    Some(format!("positions = [ {} ]", written.join(", ")))
}

/// How far the machine goes on from zero along the hinged edges. Millimetres.
fn room(job: &Job) -> f64 {
    let fixture = &job.fixture;
    let axis = usize::from(fixture.letters()[0] == 'Y');
    let travel = job.machine.travel[axis].as_mm();
    let Some(zero) = fixture.machine_zero else {
        return travel;
    };
    let (least, most) = job.machine.limits[axis];
    let room = match fixture.stop_end {
        StopEnd::Left => most - zero[axis],
        StopEnd::Right => zero[axis] - least,
    };
    room.as_mm().min(travel)
}

/// All hinges, from the stop end.
fn hinges(job: &Job) -> Vec<Hinge> {
    let mut hinges: Vec<Hinge> = Vec::new();
    for part in &job.parts {
        for pocket in &part.pockets {
            let (from, to) = pocket.extent_u();
            let back = (part.length - from).as_mm();
            let (from, to) = (from.as_mm(), to.as_mm());
            let number = pocket.hinge;
            match hinges.iter_mut().find(|hinge| hinge.number == number) {
                Some(hinge) => {
                    hinge.from = hinge.from.min(from);
                    hinge.to = hinge.to.max(to);
                    hinge.back = hinge.back.max(back);
                }
                None => hinges.push(Hinge {
                    number,
                    from,
                    to,
                    back,
                }),
            }
        }
    }
    hinges.sort_by(|one, other| one.from.total_cmp(&other.from));
    hinges
}

/// How many of the first hinges end within the travel where `zero` lies at it.
fn reached(hinges: &[Hinge], zero: f64, room: f64) -> usize {
    let past = |hinge: &Hinge| hinge.to - zero > room;
    hinges.iter().position(past).unwrap_or(hinges.len())
}

/// Steps that a rule shows.
fn step(units: Units) -> f64 {
    match units {
        Units::Millimetre => 10.0,
        Units::Inch => Length::from_inch(0.5).as_mm(),
    }
}

fn up(length: f64, units: Units) -> f64 {
    (length / step(units)).ceil() * step(units)
}

fn down(length: f64, units: Units) -> f64 {
    (length / step(units)).floor() * step(units)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;

    fn mm(value: f64) -> Length {
        Length::from_mm(value)
    }

    /// Parts of 1180 with a leaf of 44.1 at these places, on a travel of 400.
    fn long(centers: &[f64]) -> Job {
        let mut job = sample::job();
        for part in &mut job.parts {
            part.length = mm(1180.0);
            let first = part.pockets[0].clone();
            part.pockets = (1..)
                .zip(centers)
                .map(|(hinge, &u)| {
                    let mut pocket = first.clone();
                    pocket.hinge = hinge;
                    pocket.center.x = u;
                    pocket
                })
                .collect();
        }
        job
    }

    /// By hand: 590 - 22.05 less block 20, nut 10 and 10 more is 527.95; the last
    /// begins 1180 - 1090 + 22.05 before the far end, and 10 more is 122.05.
    #[test]
    fn the_first_lie_at_the_stop_the_last_at_a_far_stop_and_a_mark_between() {
        assert_eq!(
            positions(&long(&[90.0, 590.0, 1090.0])).unwrap(),
            "positions = [ { hinges = [1] }, { hinges = [2], mark = \"520 mm\" }, \
             { hinges = [3], far_stop = \"130 mm\" } ]"
        );
        assert_eq!(
            positions(&long(&[90.0, 1000.0, 1090.0])).unwrap(),
            "positions = [ { hinges = [1] }, { hinges = [2, 3], far_stop = \"220 mm\" } ]"
        );
        // None reaches the stop; the last is too far from either end for both.
        assert_eq!(
            positions(&long(&[500.0, 700.0])).unwrap(),
            "positions = [ { hinges = [1, 2], mark = \"430 mm\" } ]"
        );
    }

    #[test]
    fn nothing_is_proposed_where_it_would_not_help() {
        assert_eq!(positions(&long(&[90.0, 300.0])), None);
        let mut job = long(&[90.0, 1090.0]);
        job.fixture.layout = Layout::EndToEnd;
        assert_eq!(positions(&job), None);
        job.fixture.layout = Layout::Book;
        job.selection.hinge = Some(2);
        assert_eq!(positions(&job), None);
        // A travel that no pocket lies in.
        let mut job = long(&[90.0, 590.0, 1090.0]);
        job.machine.travel[0] = mm(40.0);
        assert_eq!(positions(&job), None);
    }

    /// The stop 100 from the end of the travel leaves that much and no more.
    #[test]
    fn the_machine_goes_no_further_than_from_its_zero() {
        let mut job = long(&[60.0, 1090.0]);
        job.fixture.machine_zero = Some([280.0, 100.0, -40.0].map(mm));
        // 112.05 and 10 more, to the next ten: 130 is past the 120 that are left.
        assert_eq!(
            positions(&job).unwrap(),
            "positions = [ { hinges = [1] }, { hinges = [2], mark = \"1020 mm\" } ]"
        );
        job.fixture.stop_end = StopEnd::Right;
        assert_eq!(
            positions(&job).unwrap(),
            "positions = [ { hinges = [1] }, { hinges = [2], far_stop = \"130 mm\" } ]"
        );
    }
}
