//! The run, box by box: the programs in force are judged with the bits as worn
//! as they are when the box is cut.

use crate::boxes::edge::{self, Edge};
use crate::job::Job;
use crate::proof::Program;
use crate::report::{BoxReport, Check, CheckId, ProgramReport, Report, Verdict};
use crate::retune;
use crate::settings;
use crate::shop::bit::Bit;
use crate::verify::Judge;

/// A program is retuned for an edge worn by so much more, that it serves for a
/// while (common practice, no source).
const AHEAD: f64 = 0.1;
/// The most worn edge that a program is retuned for.
const MOST_WORN: f64 = 0.99;

/// What stands in a retuned program's name before the box it serves from.
pub const FROM: &str = "-from-";

/// How a run of boxes goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// One row for each box and program, in the order they are cut.
    pub rows: Vec<BoxReport>,
    /// The retuned programs that the rows name.
    pub retuned: Vec<Program>,
    /// What was judged of each of them.
    pub reports: Vec<ProgramReport>,
    /// Why the run ends early, where no program serves any more.
    pub stopped: Option<String>,
}

/// The run of `count` boxes that begins with `programs`, of which `first` is
/// the report. `name` tells what a program of a suffix is called.
pub fn of(
    job: &Job,
    programs: &[Program],
    first: &Report,
    name: &dyn Fn(&str) -> String,
    count: u32,
) -> Run {
    let (edges, of_program) = edge::edges(job, &first.programs);
    let mut line = Line {
        job,
        firsts: programs,
        of_program,
        named: name,
        first,
        count,
        number: 1,
        in_force: programs.to_vec(),
        edges,
        run: Run {
            rows: Vec::new(),
            retuned: Vec::new(),
            reports: Vec::new(),
            stopped: None,
        },
    };
    while line.number <= count {
        if let Err(reason) = line.cut() {
            line.run.stopped = Some(reason);
            break;
        }
        line.number += 1;
    }
    line.run
}

/// The run as far as it has come.
struct Line<'a> {
    job: &'a Job,
    /// The programs that the job was planned as.
    firsts: &'a [Program],
    /// Which edge cuts each program.
    of_program: Vec<usize>,
    named: &'a dyn Fn(&str) -> String,
    first: &'a Report,
    count: u32,
    /// The box in hand, from 1.
    number: u32,
    in_force: Vec<Program>,
    edges: Vec<Edge>,
    run: Run,
}

impl Line<'_> {
    /// Cuts the box in hand.
    ///
    /// # Errors
    /// Why it cannot be cut, not even with sharp bits.
    fn cut(&mut self) -> Result<(), String> {
        let mut sharpened = Vec::new();
        for (index, edge) in self.edges.iter_mut().enumerate() {
            if edge.after_box() >= 1.0 && edge.bit.wear > 0.0 {
                edge.bit.wear = 0.0;
                sharpened.push(index);
            }
        }
        self.back_to_first(&sharpened);
        let mut report = self.judged(&self.in_force);
        let worse = self.is_worse(&report);
        if worse.is_some() {
            match self.retuned(worse) {
                Some((programs, judged)) => {
                    self.take(programs, &judged);
                    report = judged;
                }
                // What only warns and cannot be bettered is cut as it is.
                None if worse < Some(Verdict::Fail) => {}
                None => {
                    for index in self.blamed(&report) {
                        self.edges[index].bit.wear = 0.0;
                        sharpened.push(index);
                    }
                    self.back_to_first(&sharpened);
                    report = self.judged(&self.in_force);
                    if self.is_worse(&report) == Some(Verdict::Fail) {
                        return Err(self.reason(&report));
                    }
                }
            }
        }
        for (index, program) in report.programs.iter().enumerate() {
            let edge = self.of_program[index];
            // It is told once, before the first program that the bit cuts.
            let is_first = self.of_program.iter().position(|other| *other == edge) == Some(index);
            self.run.rows.push(BoxReport {
                number: self.number,
                program: self.in_force[index].file_name().to_owned(),
                bit: program.bit.clone(),
                wear: self.edges[edge].bit.wear,
                sharpen: is_first && sharpened.contains(&edge),
                seconds: program.seconds,
            });
        }
        for edge in &mut self.edges {
            edge.bit.wear = edge.after_box();
        }
        Ok(())
    }

    /// The worn edges of the programs that fail where the first ones did not;
    /// all worn ones where no program is named.
    fn blamed(&self, report: &Report) -> Vec<usize> {
        let failed = report.failed().filter(|check| self.is_new(check));
        let files: Vec<&str> = failed
            .flat_map(|check| &check.findings)
            .map(|finding| finding.file.as_str())
            .collect();
        let is_worn = |index: &usize| self.edges[*index].bit.wear > 0.0;
        let cuts_badly = |index: &usize| {
            let mut own = self.in_force.iter().zip(&self.of_program);
            own.any(|(program, edge)| edge == index && files.contains(&program.file_name()))
        };
        let worn: Vec<usize> = (0..self.edges.len()).filter(is_worn).collect();
        let blamed: Vec<usize> = worn.iter().copied().filter(cuts_badly).collect();
        if blamed.is_empty() { worn } else { blamed }
    }

    /// The programs of bits just sharpened are the first ones again.
    fn back_to_first(&mut self, sharpened: &[usize]) {
        for (index, edge) in self.of_program.iter().enumerate() {
            if sharpened.contains(edge) {
                self.in_force[index] = self.firsts[index].clone();
            }
        }
    }

    /// The first programs with new F and S words for the edges as worn as they
    /// get, where those do better than `worse`: as far ahead as may be, else for
    /// this box alone.
    fn retuned(&self, worse: Option<Verdict>) -> Option<(Vec<Program>, Report)> {
        let left = f64::from(self.count - self.number);
        let ahead = |edge: &Edge| {
            let end = edge.after_box() + left * edge.growth;
            (edge.after_box() + AHEAD).min(end).min(MOST_WORN)
        };
        let wears: [&dyn Fn(&Edge) -> f64; 2] = [&ahead, &Edge::after_box];
        wears.into_iter().find_map(|wear| {
            let programs = self.retuned_for(wear)?;
            let report = self.judged(&programs);
            (self.is_worse(&report) < worse).then_some((programs, report))
        })
    }

    fn retuned_for(&self, wear: &dyn Fn(&Edge) -> f64) -> Option<Vec<Program>> {
        let mut programs = Vec::new();
        for (index, first) in self.firsts.iter().enumerate() {
            let edge = &self.edges[self.of_program[index]];
            let own = edge.bit.name == self.job.bit.name;
            let given = (!own).then_some(&edge.bit);
            let text = first.text().as_bytes();
            let position = self.position(index);
            let wear = Some(wear(edge));
            let retuned = retune::retune(text, self.job, position, given, wear).ok()?;
            if retuned.changes.is_empty() {
                programs.push(first.clone());
                continue;
            }
            let suffix = format!("{}{FROM}{}", first.suffix(), self.number);
            let text = String::from_utf8(retuned.text).ok()?;
            programs.push(Program::new(suffix, self.named, text));
        }
        Some(programs)
    }

    /// The position that a program is cut in, from 1.
    fn position(&self, program: usize) -> Option<usize> {
        self.first.programs[program].position
    }

    /// Takes retuned programs into force.
    fn take(&mut self, programs: Vec<Program>, judged: &Report) {
        for (program, report) in programs.iter().zip(&judged.programs) {
            let is_new = |known: &Program| known.file_name() != program.file_name();
            if self.firsts.iter().chain(&self.run.retuned).all(is_new) {
                self.run.retuned.push(program.clone());
                self.run.reports.push(report.clone());
            }
        }
        self.in_force = programs;
    }

    /// What the judge says of all programs, cut one after the other in one
    /// wood, with the bits as worn as the box in hand leaves them.
    fn judged(&self, programs: &[Program]) -> Report {
        let bits: Vec<Bit> = self.edges.iter().map(Edge::worn_bit).collect();
        let mut job = self.job.clone();
        let named = |name: &str| bits.iter().find(|bit| bit.name == name).cloned();
        let own = std::iter::once(&mut job.bit);
        for bit in own.chain(&mut job.rack) {
            if let Some(worn) = named(&bit.name) {
                *bit = worn;
            }
        }
        let settings = settings::for_job(&job);
        let mut judge = Judge::new(&job, &settings);
        for (index, (program, edge)) in programs.iter().zip(&self.of_program).enumerate() {
            if let Some(position) = self.position(index) {
                judge.lay(position);
            }
            judge.begin(program.file_name(), bits.get(*edge));
            judge.push(program.text().as_bytes());
            judge.end();
        }
        judge.finish().report
    }

    /// The worst of what was better with the first box; a worn edge's own
    /// warning no F and S words help.
    fn is_worse(&self, report: &Report) -> Option<Verdict> {
        let worse = report.checks.iter().filter(|check| self.is_new(check));
        worse.map(|check| check.verdict).max()
    }

    fn is_new(&self, check: &Check) -> bool {
        let before = self.first.check(check.id).map(|check| check.verdict);
        let warns = check.verdict == Verdict::Warn && check.id == CheckId::EdgeWear;
        check.verdict >= Verdict::Warn && before < Some(check.verdict) && !warns
    }

    fn reason(&self, report: &Report) -> String {
        let failed = report.failed().find(|check| self.is_new(check));
        let why = failed.map_or_else(String::new, |check| {
            let first = check.findings.first();
            let message = first.map_or(&check.message, |finding| &finding.message);
            format!(": {}: {message}", check.id)
        });
        format!(
            "box {} cannot be cut, not even with a fresh edge{why}; plan the job anew for it",
            self.number
        )
    }
}
