//! What was run: the metres that programs cut are added to the record of
//! their bits, and the wear of the next job follows from them.

use toml_edit::{DocumentMut, Item, Value};

use crate::diagnostic::Diagnostic;
use crate::report::ProgramReport;
use crate::rewrite;
use crate::shop::bit::Bit;

/// Metres are entered to this many decimals.
const DECIMALS: i32 = 2;

/// A bits file with metres entered.
#[derive(Clone, Debug, PartialEq)]
pub struct Entered {
    /// The file, but for the records as it was.
    pub text: String,
    /// What was entered, in words.
    pub words: Vec<String>,
}

/// The bits file with the metres that each program cuts, run so many `times`,
/// added to the `cut_m` of its bit; comments and layout stay as they are.
///
/// # Errors
/// A text that is no bits file, or that has none of the bits.
pub fn enter(
    bits_file: &str,
    programs: &[ProgramReport],
    times: u32,
) -> Result<Entered, Diagnostic> {
    let mut entered = Entered {
        text: bits_file.to_owned(),
        words: Vec::new(),
    };
    for program in programs {
        let once = program.cut_mm.as_mm() / 1000.0;
        let metres = once * f64::from(times);
        let (text, after) = add(&entered.text, &program.bit, metres)?;
        entered.text = text;
        let how_often = match times {
            1 => String::new(),
            times => format!(", {times} times {once:.2} m"),
        };
        entered.words.push(format!(
            "{}: {metres:.2} m entered for `{}`{how_often}; it has cut {after:.2} m",
            program.path, program.bit
        ));
    }
    Ok(entered)
}

/// What a person should know of a wear that comes from the record: said
/// where the bit has one.
pub fn note(bit: &Bit) -> Option<String> {
    let record = bit.record?;
    let since = record.since_stated();
    let from = match record.stated_wear {
        0.0 if record.wear_at_m == 0.0 => format!("has cut {since:.1} m since it was fresh"),
        stated => format!("has cut {since:.1} m since its wear was stated as {stated:.2}"),
    };
    Some(format!(
        "`{}` {from}, so it is taken as worn {:.2} in this wood (common practice, no source); \
         burn marks, a fuzzy rim or squeal tell more: set `wear` in the bits file, \
         and `wear_at_m = {}` beside it",
        bit.name, bit.wear, record.cut_m
    ))
}

/// The bits file with `metres` added to the `cut_m` of the bit of that name,
/// and what that is now.
///
/// # Errors
/// A text that is no TOML, or has no such bit, or a `cut_m` that is no number.
fn add(bits_file: &str, bit: &str, metres: f64) -> Result<(String, f64), Diagnostic> {
    let mut document: DocumentMut = bits_file.parse().map_err(|error| {
        Diagnostic::new("bits-syntax", format!("the bits file is no TOML: {error}"))
    })?;
    let table = rewrite::bit(&mut document, bit).ok_or_else(|| {
        Diagnostic::new(
            "unknown-bit",
            format!("the bits file has no bit named `{bit}` to enter metres for"),
        )
    })?;
    let before = match table.get("cut_m") {
        None => 0.0,
        Some(item) => number(item).ok_or_else(|| {
            Diagnostic::new(
                "wrong-type",
                format!("`cut_m` of bit `{bit}` is {item}, a number of metres is allowed"),
            )
        })?,
    };
    let scale = 10.0_f64.powi(DECIMALS);
    let after = ((before + metres) * scale).round() / scale;
    rewrite::put(table, "cut_m", Value::from(after));
    Ok((document.to_string(), after))
}

fn number(item: &Item) -> Option<f64> {
    #[allow(clippy::cast_precision_loss)]
    let whole = item.as_integer().map(|whole| whole as f64);
    item.as_float().or(whole)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::shop::bit::{BitKind, BitMaterial, EdgeRecord};

    const RACK: &str = "\
# my rack
units = \"mm\"

[[bit]]
name = \"6 mm up-spiral\"   # the good one
kind = \"up-spiral\"
cut_m = 12.5   # since sharpening

[[bit]]
name     = \"3 mm\"
diameter = 3
";

    #[test]
    fn metres_are_added_and_nothing_else_changes() {
        let entered = add(RACK, "6 mm up-spiral", 3.456).unwrap().0;
        assert_eq!(entered, RACK.replace("cut_m = 12.5 ", "cut_m = 15.96 "));
    }

    #[test]
    fn a_bit_without_a_record_gets_one() {
        let entered = add(RACK, "3 mm", 2.0).unwrap().0;
        assert_eq!(entered, format!("{RACK}cut_m = 2.0\n"));
        let again = add(&entered, "3 mm", 0.25).unwrap().0;
        assert_eq!(again, format!("{RACK}cut_m = 2.25\n"));
    }

    #[test]
    fn a_rack_written_inline_is_entered_too() {
        let rack = "bit = [ { name = \"a\", cut_m = 1 }, { name = \"b\" } ] # all\n";
        let entered = add(rack, "a", 1.0).unwrap().0;
        assert_eq!(
            entered,
            "bit = [ { name = \"a\", cut_m = 2.0 }, { name = \"b\" } ] # all\n"
        );
    }

    #[test]
    fn what_cannot_be_entered_is_said() {
        assert_eq!(add(RACK, "8 mm", 1.0).unwrap_err().code, "unknown-bit");
        assert_eq!(add("= 3", "8 mm", 1.0).unwrap_err().code, "bits-syntax");
        let text = "[[bit]]\nname = \"a\"\ncut_m = \"far\"\n";
        let error = add(text, "a", 1.0).unwrap_err();
        assert_eq!(error.code, "wrong-type");
        assert!(error.message.contains("\"far\""), "{}", error.message);
    }

    #[test]
    fn wear_is_what_was_stated_and_what_was_cut_since() {
        let mut bit = sample::bit(BitKind::UpSpiral, 6.0);
        assert_eq!(note(&bit), None);
        let mut record = EdgeRecord {
            cut_m: 1500.0,
            ..EdgeRecord::default()
        };
        // Half of the 3000 m that a carbide edge lasts; in a wood half as dense a quarter.
        assert!((record.wear(bit.material, 1.0) - 0.5).abs() < 1e-12);
        assert!((record.wear(bit.material, 0.5) - 0.25).abs() < 1e-12);
        bit.record = Some(record);
        bit.wear = 0.5;
        assert!(
            note(&bit)
                .unwrap()
                .contains("since it was fresh, so it is taken as worn 0.50")
        );
        record.stated_wear = 0.3;
        record.wear_at_m = 1200.0;
        assert!((record.wear(bit.material, 1.0) - 0.4).abs() < 1e-12);
        bit.record = Some(record);
        let words = note(&bit).unwrap();
        assert!(
            words.contains("300.0 m since its wear was stated as 0.30"),
            "{words}"
        );
        assert!(words.contains("`wear_at_m = 1500`"), "{words}");
        record.wear_at_m = 0.0;
        assert_eq!(record.wear(BitMaterial::Steel, 1.0), 1.0);
    }
}
