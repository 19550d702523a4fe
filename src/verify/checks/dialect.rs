//! `dialect`: what the machine's controller does not have, read from the
//! characters of the program and from what its words mean.

use crate::report::CheckId;
use crate::rs274::event::{Event, Move, Path};
use crate::shop::machine::{ArcSupport, CommentStyle, Dialect as Has, DustRelay, ToolChange};
use crate::verify::checks::check::{Check, End, Heard, Now, Whole};
use crate::verify::findings::{Answer, Found};
use crate::verify::script::Fault;

#[derive(Debug, Default)]
pub(crate) struct Dialect;

impl Check for Dialect {
    const ID: CheckId = CheckId::Dialect;
    const WITHOUT_JOB: bool = true;

    fn fault(&mut self, line: u64, fault: &Fault, now: Now<'_>, found: &mut Found<'_>) {
        if let Some(message) = refusal(fault, &now.machine.dialect) {
            found.fail_at(line, || message);
        }
    }

    fn event(&mut self, heard: &Heard<'_>, now: Now<'_>, found: &mut Found<'_>) {
        let dialect = &now.machine.dialect;
        match heard.event {
            Event::Units(units) if *units != dialect.units => {
                let own = dialect.units;
                found.warn(|| {
                    format!("the program counts in {units}, the machine's own unit is {own}")
                });
            }
            Event::ToolChange(_) if dialect.effective_tool_change() != ToolChange::M6 => {
                found.fail(|| {
                    "M6, and this machine changes no bit by it (`dialect.tool_change`)".to_owned()
                });
            }
            Event::Move(motion) => check_arc(motion, dialect, found),
            _ => {}
        }
    }

    fn end(&mut self, end: End, now: Now<'_>, found: &mut Found<'_>) {
        if now.machine.dialect.percent && end.percents == 0 {
            found.fail(|| {
                "no percent sign as first and last line; the controller wants both".to_owned()
            });
        }
    }

    fn answer(&mut self, _whole: &Whole<'_>, _found: &mut Found<'_>) -> Answer {
        Answer::passes("nothing that the machine's controller does not have")
    }
}

fn check_arc(motion: &Move, dialect: &Has, found: &mut Found<'_>) {
    if !matches!(motion.path, Path::Arc { .. }) {
        return;
    }
    let is_level = motion.from[2] == motion.to[2];
    match dialect.arcs {
        ArcSupport::None => {
            found.fail(|| "an arc, and the controller has none; use short lines".to_owned());
        }
        ArcSupport::Flat if !is_level => found.fail(|| {
            "an arc that also goes up or down, and the controller has level ones only".to_owned()
        }),
        _ => {}
    }
}

/// What is wrong with it, where the controller does not have it.
fn refusal(fault: &Fault, dialect: &Has) -> Option<String> {
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
