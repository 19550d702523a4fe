//! `dialect`: what the machine's controller does not have, read from the
//! characters of the program.

use crate::report::CheckId;
use crate::rs274::event::{Event, Move, Path};
use crate::shop::machine::{ArcSupport, CommentStyle, Dialect, DustRelay, ToolChange};
use crate::verify::script::Fault;
use crate::verify::verifier::Verifier;

/// What is wrong with it, where the controller does not have it.
fn refusal(fault: &Fault, dialect: &Dialect) -> Option<String> {
    Some(match fault {
        Fault::Long(length) if *length > dialect.line_limit => format!(
            "a line of {length} characters, the controller takes {}",
            dialect.line_limit
        ),
        Fault::Comment(style) if *style != dialect.comments => match dialect.comments {
            CommentStyle::None => "a comment, and the controller has none".to_owned(),
            CommentStyle::Parentheses => {
                "a comment after a semicolon; this controller's stand in parentheses".to_owned()
            }
            CommentStyle::Semicolon => {
                "a comment in parentheses; this controller's follow a semicolon".to_owned()
            }
        },
        Fault::ActiveComment(word) => format!(
            "a comment that begins with `{word},`, which some controllers act on; \
             begin it with another word"
        ),
        Fault::Percent if !dialect.percent => {
            "a percent sign, and the machine's programs have none".to_owned()
        }
        // What the controller takes is said for its own unit.
        Fault::Decimals(letter, count, units)
            if *count > u32::from(dialect.decimals)
                && units.is_none_or(|units| units == dialect.units) =>
        {
            format!(
                "{letter} with {count} decimals, the controller takes {}",
                dialect.decimals
            )
        }
        Fault::Dust(relay) if *relay != dialect.dust => {
            let word = if *relay == DustRelay::M7 { "M7" } else { "M8" };
            match dialect.dust {
                DustRelay::None => format!("{word}, and the machine has no relay (`dialect.dust`)"),
                DustRelay::M7 => format!("{word}, the machine's relay is M7"),
                DustRelay::M8 => format!("{word}, the machine's relay is M8"),
            }
        }
        _ => return None,
    })
}

impl Verifier<'_> {
    /// The next bytes of the program, as they stand.
    pub(crate) fn read_script(&mut self, bytes: &[u8]) {
        let mut script = std::mem::take(&mut self.run.script);
        script.take(bytes, |line, fault| self.judge_fault(line, &fault));
        self.run.script = script;
    }

    pub(crate) fn end_script(&mut self) {
        let mut script = std::mem::take(&mut self.run.script);
        let percents = script.finish(|line, fault| self.judge_fault(line, &fault));
        if self.machine.dialect.percent && percents == 0 {
            self.fail(CheckId::Dialect, || {
                "no percent sign as first and last line; the controller wants both".to_owned()
            });
        }
    }

    fn judge_fault(&mut self, line: u64, fault: &Fault) {
        let Some(message) = refusal(fault, &self.machine.dialect) else {
            return;
        };
        self.fail_at(line, CheckId::Dialect, || message);
    }

    /// What only the meaning of the words tells.
    pub(crate) fn check_dialect(&mut self, event: &Event) {
        let dialect = &self.machine.dialect;
        match event {
            Event::Units(units) if *units != dialect.units => {
                let (found, own) = (*units, dialect.units);
                self.warn(CheckId::Dialect, || {
                    format!("the program counts in {found}, the machine's own unit is {own}")
                });
            }
            Event::ToolChange(_) if dialect.effective_tool_change() != ToolChange::M6 => {
                self.fail(CheckId::Dialect, || {
                    "M6, and this machine changes no bit by it (`dialect.tool_change`)".to_owned()
                });
            }
            Event::Move(motion) => self.check_arc(motion),
            _ => {}
        }
    }

    fn check_arc(&mut self, motion: &Move) {
        if !matches!(motion.path, Path::Arc { .. }) {
            return;
        }
        let is_level = motion.from[2] == motion.to[2];
        match self.machine.dialect.arcs {
            ArcSupport::None => self.fail(CheckId::Dialect, || {
                "an arc, and the controller has none; use short lines".to_owned()
            }),
            ArcSupport::Flat if !is_level => self.fail(CheckId::Dialect, || {
                "an arc that also goes up or down, and the controller has level ones only"
                    .to_owned()
            }),
            _ => {}
        }
    }
}
