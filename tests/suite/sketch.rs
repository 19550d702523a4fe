//! Jobs built from figures, planned, posted and judged without files.

use stepwell::input::{self, Overrides};
use stepwell::job::Job;
use stepwell::report::{Report, Verdict};
use stepwell::verify::Judge;
use stepwell::{plan, post, settings};

/// A job in the making; the defaults pass every check.
#[derive(Clone, Debug)]
pub(crate) struct Sketch {
    pub(crate) kind: &'static str,
    pub(crate) diameter: f64,
    pub(crate) wood: &'static str,
    /// Length, width, depth of each step.
    pub(crate) steps: Vec<[f64; 3]>,
    /// Corner radius of every step, where not half its width.
    pub(crate) corner: Option<f64>,
    /// Lines of the bit's entry.
    pub(crate) bit: String,
    /// A line of `[hinge]`.
    pub(crate) screws: &'static str,
    pub(crate) layout: &'static str,
    /// Lines of `[fixture]`.
    pub(crate) fixture: String,
    /// Lines of `[dialect]`.
    pub(crate) dialect: String,
    /// Lines of `[spindle]`.
    pub(crate) spindle: String,
    /// Lines of the job's other tables.
    pub(crate) tables: String,
}

impl Default for Sketch {
    fn default() -> Self {
        Self {
            kind: "up-spiral",
            diameter: 6.0,
            wood: "black walnut",
            steps: vec![[44.0, 10.0, 4.5], [27.0, 10.0, 12.0]],
            corner: None,
            bit: String::new(),
            screws: "",
            layout: "book",
            fixture: String::new(),
            dialect: String::new(),
            spindle: String::new(),
            tables: String::new(),
        }
    }
}

/// What came of it.
pub(crate) struct Judged {
    pub(crate) programs: Vec<post::Program>,
    pub(crate) report: Report,
}

impl Sketch {
    pub(crate) fn job(&self) -> Job {
        let machine = format!(
            "name = \"Bench\"\nunits = \"mm\"\ntravel = [900, 600, 120]\n\
             feed_max = [3000, 3000, 1200]\nrapid = [4000, 4000, 1500]\n\
             [spindle]\nrpm = [8000, 24000]\npower_w = 800\nspin_up_s = 2\n{}\n[dialect]\n{}\n",
            self.spindle, self.dialect
        );
        let bits = format!(
            "units = \"mm\"\n[[bit]]\nname = \"cutter\"\nkind = \"{}\"\ndiameter = {}\n\
             cutting_length = 22\nstickout = 28\n{}\n\
             [[bit]]\nname = \"small drill\"\nkind = \"drill\"\ndiameter = 2\n\
             cutting_length = 24\nstickout = 30\npoint_angle = 118\n",
            self.kind, self.diameter, self.bit
        );
        let steps: Vec<String> = self.steps.iter().map(|step| self.step(step)).collect();
        let job = format!(
            "machine = \"m\"\nbits = \"b\"\nbit = \"cutter\"\n\
             [box]\nlength = 300\nwall = 60\nheight = 90\nwood = \"{wood}\"\n\
             [lid]\nclosing = \"overlay\"\nwidth = 120\nthickness = 40\nwood = \"{wood}\"\n\
             [hinge]\nwidth = {width}\nsetback = 6\nclosed_gap = 0.6\nsteps = [{steps}]\n{screws}\n\
             [placement]\ncentres = [110]\n\
             [fit]\nclearance = 0\nunder = 0\n\
             [fixture]\nlayout = \"{layout}\"\ndivider = 12\n{fixture}\n{tables}\n",
            wood = self.wood,
            width = self.steps[0][1],
            steps = steps.join(", "),
            screws = self.screws,
            layout = self.layout,
            fixture = self.fixture,
            tables = self.tables,
        );
        let spec = input::job("sketch.toml", &job).unwrap();
        let machine = input::machine("m", &machine).unwrap();
        let rack = input::bits("b", &bits).unwrap();
        spec.resolve(machine, rack, &Overrides::default()).unwrap()
    }

    fn step(&self, [length, width, depth]: &[f64; 3]) -> String {
        let corner = self
            .corner
            .map_or_else(String::new, |corner| format!(", corner = {corner}"));
        format!("{{ length = {length}, width = {width}, depth = {depth}{corner} }}")
    }

    pub(crate) fn judged(&self) -> Judged {
        judged(&self.job())
    }

    /// Fails the test unless every check passes, warnings allowed.
    #[track_caller]
    pub(crate) fn assert_passes(&self) -> Judged {
        let judged = self.judged();
        let failed = judged.failures();
        assert!(failed.is_empty(), "{self:?}\n{}", failed.join("\n"));
        judged
    }
}

/// Plans, posts and judges `job`.
pub(crate) fn judged(job: &Job) -> Judged {
    let settings = settings::for_job(job);
    let programs = post::programs(&plan::job(job, &settings), job, &settings, &[]);
    let mut judge = Judge::new(job, &settings);
    for program in &programs {
        judge.begin(&format!("job{}.nc", program.suffix), Some(&program.bit));
        judge.push(program.text.as_bytes());
        judge.end();
    }
    let report = judge.finish().report;
    Judged { programs, report }
}

impl Judged {
    pub(crate) fn failures(&self) -> Vec<String> {
        let failed = self.report.checks.iter();
        failed
            .filter(|check| check.verdict == Verdict::Fail)
            .map(|check| {
                let first = check.findings.first();
                let finding = first.map_or_else(String::new, |finding| {
                    let text = &self.programs[0].text;
                    let line = text.lines().nth(finding.line.max(1) as usize - 1);
                    format!(
                        "; {} line {}: {} `{}`",
                        finding.file,
                        finding.line,
                        finding.message,
                        line.unwrap_or_default()
                    )
                });
                format!("{} ({}): {}{finding}", check.id, check.count, check.message)
            })
            .collect()
    }
}
