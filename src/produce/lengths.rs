//! Lengths as options and fields take them: in the job's unit, or with one of their own.

use crate::diagnostic::Diagnostic;
use crate::units::{Length, Units, text};

/// Reads what stands after `--name`.
pub(crate) fn read(name: &str, written: &str, units: Units) -> Result<Length, Diagnostic> {
    let length = text::parse_in(written, units).map_err(|error| {
        let message = format!("--{name}: `{written}` {error}");
        let help = match text::suggestion(written) {
            _ if written.starts_with("--") => {
                format!("write the figure after --{name}, before {written}")
            }
            Some(meant) => format!("write \"{meant}\""),
            None => "write a number in the job's unit, or 9.5mm, 0.375in, 3/8in".to_owned(),
        };
        Diagnostic::new("bad-length", message).help(help)
    })?;
    if length <= Length::ZERO {
        let message = format!("--{name} is {written}, allowed is more than 0");
        let help = "it is measured with a rule or caliper, which reads no less than nothing";
        return Err(Diagnostic::new("out-of-range", message).help(help));
    }
    if length.as_mm() > MOST_MM {
        let message = format!(
            "--{name} is {written}, {} mm, allowed is at most 10 m",
            text::trimmed(length.as_mm())
        );
        let diagnostic = Diagnostic::new("out-of-range", message);
        let number = written.trim_end_matches(|last: char| !last.is_ascii_digit());
        return Err(match units {
            Units::Inch => diagnostic.help(format!("if millimetres were meant, write {number}mm")),
            Units::Millimetre => diagnostic,
        });
    }
    Ok(length)
}

/// As [`read`], where the option may be left out.
pub(crate) fn optional(
    name: &str,
    written: Option<&String>,
    units: Units,
) -> Result<Option<Length>, Diagnostic> {
    written
        .map(|written| read(name, written, units))
        .transpose()
}

const MOST_MM: f64 = 10_000.0;
