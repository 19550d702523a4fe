//! A bit over a run: what one box wears of it, and what it has come to.

use crate::job::Job;
use crate::report::ProgramReport;
use crate::shop::bit::Bit;
use crate::shop::wood;

/// A bit of the run.
#[derive(Clone, Debug)]
pub(super) struct Edge {
    pub(super) bit: Bit,
    /// Wear that one box adds, 0 … 1.
    pub(super) growth: f64,
}

impl Edge {
    /// Wear when the box in hand is cut, at most worn out.
    pub(super) fn after_box(&self) -> f64 {
        (self.bit.wear + self.growth).min(1.0)
    }

    /// The bit as it stands when the box in hand is cut.
    pub(super) fn worn_bit(&self) -> Bit {
        Bit {
            wear: self.after_box(),
            ..self.bit.clone()
        }
    }
}

/// The bits of the programs, each once, and for each program which it is.
pub(super) fn edges(job: &Job, programs: &[ProgramReport]) -> (Vec<Edge>, Vec<usize>) {
    let woods: Vec<_> = job.parts.iter().map(|part| &part.wood).collect();
    let weight = wood::wear_weight(&woods);
    let mut edges: Vec<Edge> = Vec::new();
    let of_program = programs.iter().map(|program| {
        let known = edges.iter().position(|edge| edge.bit.name == program.bit);
        let index = known.unwrap_or_else(|| {
            edges.push(Edge {
                bit: find(job, &program.bit).clone(),
                growth: 0.0,
            });
            edges.len() - 1
        });
        let metres = program.cut_mm.as_mm() / 1000.0;
        let edge = &mut edges[index];
        edge.growth += edge.bit.material.wear_after(metres * weight);
        index
    });
    let of_program = of_program.collect();
    (edges, of_program)
}

/// The bit of that name: the job's own as worn as the job says.
fn find<'a>(job: &'a Job, name: &str) -> &'a Bit {
    let pilot = job.pilot.as_ref().map(|pilot| &pilot.bit);
    let mut others = pilot.into_iter().chain(&job.rack);
    match job.bit.name == name {
        true => &job.bit,
        false => others.find(|bit| bit.name == name).unwrap_or(&job.bit),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::proof;

    // A carbide edge lasts 3000 m in wood of middling density, so a box of 6 m
    // wears 6 / 3000 of it times the weight of its woods.
    #[test]
    fn a_box_wears_its_metres() {
        let job = sample::job();
        let mut report = proof::generate(&job).unwrap().report().clone();
        report.programs[0].cut_mm = crate::units::Length::from_mm(6000.0);
        let twice = [report.programs[0].clone(), report.programs[0].clone()];
        let woods: Vec<_> = job.parts.iter().map(|part| &part.wood).collect();
        let weight = wood::wear_weight(&woods);
        let (edges, of_program) = edges(&job, &twice);
        assert_eq!((edges.len(), of_program), (1, vec![0, 0]));
        assert!((edges[0].growth - 0.004 * weight).abs() < 1e-12);
        let mut worn = edges[0].clone();
        worn.bit.wear = 0.999;
        assert_eq!(worn.after_box(), 1.0);
    }
}
