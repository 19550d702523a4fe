//! What each check has found so far.

use crate::report::{Check, CheckId, Finding, Verdict};
use crate::verify::program_state::ProgramState;

/// How many findings of a check are kept in full.
const KEPT: usize = 10;

/// One row for each check.
#[derive(Clone, Debug)]
pub(crate) struct Tally {
    rows: Vec<Row>,
}

#[derive(Clone, Debug, Default)]
struct Row {
    fails: Findings,
    warnings: Findings,
    /// Said where nothing was found.
    message: String,
    /// Why it does not apply.
    reason: Option<String>,
}

#[derive(Clone, Debug, Default)]
struct Findings {
    count: u64,
    kept: Vec<Finding>,
}

/// Where something was found: a program and its line, or the job as a whole.
#[derive(Clone, Copy, Debug)]
pub(crate) struct At<'a> {
    pub(crate) file: &'a str,
    pub(crate) line: u64,
}

impl At<'_> {
    /// The job as a whole.
    pub(crate) const JOB: At<'static> = At { file: "", line: 0 };
}

impl<'a> At<'a> {
    /// The line that a program is at.
    pub(crate) fn of(run: &'a ProgramState) -> Self {
        Self {
            file: &run.path,
            line: run.line,
        }
    }
}

/// What a check may tell, and of which line where it names none.
pub(crate) struct Found<'a> {
    tally: &'a mut Tally,
    id: CheckId,
    at: At<'a>,
}

/// What a check says where it has found nothing.
#[derive(Debug, PartialEq)]
pub(crate) enum Answer {
    /// What was looked at, with figures.
    Passes(String),
    /// Why it does not apply.
    DoesNotApply(&'static str),
}

impl<'a> Found<'a> {
    pub(crate) fn new(tally: &'a mut Tally, id: CheckId, at: At<'a>) -> Self {
        Self { tally, id, at }
    }

    /// Something refused. `message` is only worked out where it is kept.
    pub(crate) fn fail(&mut self, message: impl FnOnce() -> String) {
        self.tally.fail(self.id, self.at, message);
    }

    /// Something refused at another line.
    pub(crate) fn fail_at(&mut self, line: u64, message: impl FnOnce() -> String) {
        let at = At { line, ..self.at };
        self.tally.fail(self.id, at, message);
    }

    /// Something worth a look.
    pub(crate) fn warn(&mut self, message: impl FnOnce() -> String) {
        self.tally.warn(self.id, self.at, message);
    }

    /// Something worth a look at another line.
    pub(crate) fn warn_at(&mut self, line: u64, message: impl FnOnce() -> String) {
        let at = At { line, ..self.at };
        self.tally.warn(self.id, at, message);
    }
}

impl Answer {
    /// A sentence without figures.
    pub(crate) fn passes(message: &str) -> Self {
        Self::Passes(message.to_owned())
    }
}

impl Findings {
    fn add(&mut self, at: At<'_>, message: impl FnOnce() -> String) {
        self.count += 1;
        // In the order of the lines: the characters of a piece of the program
        // are looked at before the words of its first line.
        let before = |kept: &Finding| kept.file != at.file || kept.line <= at.line;
        let place = self
            .kept
            .iter()
            .rposition(before)
            .map_or(0, |last| last + 1);
        if place < KEPT {
            let finding = Finding {
                message: message(),
                file: at.file.to_owned(),
                line: at.line,
            };
            self.kept.truncate(KEPT - 1);
            self.kept.insert(place, finding);
        }
    }
}

impl Tally {
    pub(crate) fn new() -> Self {
        Self {
            rows: vec![Row::default(); CheckId::ALL.len()],
        }
    }

    fn row(&mut self, id: CheckId) -> &mut Row {
        &mut self.rows[id as usize]
    }

    /// Something refused. `message` is only worked out where it is kept.
    pub(crate) fn fail(&mut self, id: CheckId, at: At<'_>, message: impl FnOnce() -> String) {
        self.row(id).fails.add(at, message);
    }

    /// Something worth a look.
    pub(crate) fn warn(&mut self, id: CheckId, at: At<'_>, message: impl FnOnce() -> String) {
        self.row(id).warnings.add(at, message);
    }

    /// The check does not apply.
    pub(crate) fn none(&mut self, id: CheckId, reason: impl Into<String>) {
        self.row(id).reason = Some(reason.into());
    }

    /// What to say where nothing was found.
    pub(crate) fn say(&mut self, id: CheckId, message: impl Into<String>) {
        self.row(id).message = message.into();
    }

    /// What a check says in the end.
    pub(crate) fn answer(&mut self, id: CheckId, answer: Answer) {
        match answer {
            Answer::Passes(message) => self.say(id, message),
            Answer::DoesNotApply(reason) => self.none(id, reason),
        }
    }

    /// The rows of `ids`, in their order.
    pub(crate) fn into_checks(self, ids: &[CheckId]) -> Vec<Check> {
        ids.iter()
            .map(|&id| self.rows[id as usize].clone().into_check(id))
            .collect()
    }
}

impl Row {
    fn into_check(self, id: CheckId) -> Check {
        let count = self.fails.count + self.warnings.count;
        let verdict = if self.fails.count > 0 {
            Verdict::Fail
        } else if self.warnings.count > 0 {
            Verdict::Warn
        } else if self.reason.is_some() {
            Verdict::None
        } else {
            Verdict::Pass
        };
        let mut findings = self.fails.kept;
        findings.extend(self.warnings.kept);
        findings.truncate(KEPT);
        let message = match (verdict, findings.first()) {
            (Verdict::Fail | Verdict::Warn, Some(first)) if count == 1 => first.message.clone(),
            (Verdict::Fail | Verdict::Warn, Some(first)) => {
                format!("{count} findings, the first: {}", first.message)
            }
            _ => self.reason.unwrap_or(self.message),
        };
        Check {
            id,
            verdict,
            message,
            count,
            findings,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(tally: Tally, id: CheckId) -> Check {
        tally.into_checks(&[id]).remove(0)
    }

    #[test]
    fn findings_stand_in_the_order_of_the_lines() {
        let mut tally = Tally::new();
        for line in [30, 5, 5, 90, 1] {
            let at = At { file: "a.nc", line };
            tally.fail(CheckId::Dialect, at, || line.to_string());
        }
        let check = row(tally, CheckId::Dialect);
        let lines: Vec<u64> = check.findings.iter().map(|found| found.line).collect();
        assert_eq!(lines, [1, 5, 5, 30, 90]);
    }

    #[test]
    fn a_thousand_faults_keep_ten_and_the_count() {
        let (mut tally, mut told) = (Tally::new(), 0);
        for line in 1..=1000 {
            let at = At { file: "a.nc", line };
            tally.fail(CheckId::Plunge, at, || {
                told += 1;
                format!("fault {line}")
            });
        }
        assert_eq!(told, 10);
        let check = row(tally, CheckId::Plunge);
        assert_eq!((check.count, check.findings.len()), (1000, 10));
        assert_eq!(check.findings[9].line, 10);
        assert_eq!(check.message, "1000 findings, the first: fault 1");
    }

    #[test]
    fn failures_outrank_warnings_and_stand_before_them() {
        let mut tally = Tally::new();
        tally.warn(CheckId::WallLeft, At::JOB, || "thin".to_owned());
        tally.fail(CheckId::WallLeft, At::JOB, || "gone".to_owned());
        let check = row(tally, CheckId::WallLeft);
        assert_eq!(check.verdict, Verdict::Fail);
        assert_eq!(check.findings[0].message, "gone");
        assert_eq!(check.findings[1].message, "thin");
    }

    #[test]
    fn a_check_that_does_not_apply_gives_its_reason() {
        let mut tally = Tally::new();
        tally.none(CheckId::Opening, "no `open_gap` given");
        let check = row(tally, CheckId::Opening);
        assert_eq!(check.verdict, Verdict::None);
        assert_eq!(check.message, "no `open_gap` given");
        assert_eq!(row(Tally::new(), CheckId::Syntax).verdict, Verdict::Pass);
    }
}
