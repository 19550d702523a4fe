//! The wear record: metres cut are booked to a bit, and the next job takes
//! its wear from them where nobody has said better.

use toml_edit::{DocumentMut, Item, Table, TableLike, Value};

use crate::diagnostic::Diagnostic;
use crate::job::Job;
use crate::report::Report;
use crate::shop::bit::Bit;
use crate::shop::machine::ToolChange;
use crate::shop::wood::Wood;
use crate::units::Length;

/// Density of the reference wood in kilograms per cubic metre (common practice, no source).
const REFERENCE_DENSITY: f64 = 650.0;
/// Metres are booked to this many decimals.
const DECIMALS: i32 = 2;

/// Metres of reference wood that wear an edge as much as `cut` in `woods`, in
/// equal shares: weighted by density and by abrasiveness.
pub fn weighted_metres(cut: Length, woods: &[&Wood]) -> f64 {
    let weight = |wood: &&Wood| wood.density() / REFERENCE_DENSITY * wood.abrasiveness();
    let sum: f64 = woods.iter().map(weight).sum();
    let mean = if woods.is_empty() {
        1.0
    } else {
        #[allow(clippy::cast_precision_loss)]
        let count = woods.len() as f64;
        sum / count
    };
    cut.as_mm() / 1000.0 * mean
}

/// What a person should know of a wear that comes from the record: said
/// where the bit has one. A `wear` that differs from the record's is a
/// person's own judgement and stands.
pub fn note(bit: &Bit) -> Option<String> {
    let metres = bit.cut_m?;
    let estimated = bit.material.wear_after(metres);
    Some(if (bit.wear - estimated).abs() < 1e-9 {
        format!(
            "`{}` has cut {metres:.1} m since it was fresh, so its wear is taken as {estimated:.2} \
             (common practice, no source); burn marks, a fuzzy rim or squeal tell more: \
             set `wear` in the bits file",
            bit.name
        )
    } else {
        format!(
            "`{}` is taken as worn {:.2} as stated; its record of {metres:.1} m would say {estimated:.2}",
            bit.name, bit.wear
        )
    })
}

/// A bits file with metres booked.
#[derive(Clone, Debug, PartialEq)]
pub struct Booked {
    /// The file, but for the records as it was.
    pub text: String,
    /// What was booked, in words.
    pub notes: Vec<String>,
}

/// The bits file with what the programs of `report` cut added to the `cut_m`
/// of their bits; comments and layout stay as they are. Where bits are
/// changed inside a program all of it counts for the pockets' bit: a drill's
/// path is short.
///
/// # Errors
/// A text that is no bits file, or that has none of the bits.
pub fn book(bits_file: &str, job: &Job, report: &Report) -> Result<Booked, Diagnostic> {
    let woods: Vec<&Wood> = job
        .parts
        .iter()
        .filter(|part| job.is_selected(part.name))
        .map(|part| &part.wood)
        .collect();
    let split = job.machine.dialect.effective_tool_change() == ToolChange::Split;
    let mut booked = Booked {
        text: bits_file.to_owned(),
        notes: Vec::new(),
    };
    for program in &report.programs {
        let bit = if split { &program.bit } else { &job.bit.name };
        let metres = weighted_metres(program.cut_mm, &woods);
        booked.text = add(&booked.text, bit, metres)?;
        booked.notes.push(format!(
            "booked {metres:.2} m to `{bit}`: {:.2} m of path, weighted by density and abrasiveness",
            program.cut_mm.as_mm() / 1000.0
        ));
    }
    Ok(booked)
}

/// The bits file with `metres` added to the `cut_m` of the bit of that name.
///
/// # Errors
/// A text that is no TOML, or has no such bit, or a `cut_m` that is no number.
pub fn add(bits_file: &str, bit: &str, metres: f64) -> Result<String, Diagnostic> {
    let mut document: DocumentMut = bits_file.parse().map_err(|error| {
        Diagnostic::new("bits-syntax", format!("the bits file is no TOML: {error}"))
    })?;
    let table = find(&mut document, bit).ok_or_else(|| {
        Diagnostic::new(
            "unknown-bit",
            format!("the bits file has no bit named `{bit}` to book metres to"),
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
    set(table, after);
    Ok(document.to_string())
}

fn find<'a>(document: &'a mut DocumentMut, bit: &str) -> Option<&'a mut dyn TableLike> {
    let is_it = |table: &dyn TableLike| {
        let name = table.get("name").and_then(Item::as_str);
        name == Some(bit)
    };
    match document.get_mut("bit")? {
        Item::ArrayOfTables(tables) => tables
            .iter_mut()
            .find(|table| is_it(*table))
            .map(|table: &mut Table| table as &mut dyn TableLike),
        Item::Value(Value::Array(array)) => array
            .iter_mut()
            .filter_map(Value::as_inline_table_mut)
            .find(|table| is_it(*table))
            .map(|table| table as &mut dyn TableLike),
        _ => None,
    }
}

fn number(item: &Item) -> Option<f64> {
    #[allow(clippy::cast_precision_loss)]
    let whole = item.as_integer().map(|whole| whole as f64);
    item.as_float().or(whole)
}

/// Sets the value and leaves the comment behind it where it is.
fn set(table: &mut dyn TableLike, metres: f64) {
    let mut value = Value::from(metres);
    if let Some(old) = table.get("cut_m").and_then(Item::as_value) {
        *value.decor_mut() = old.decor().clone();
    }
    table.insert("cut_m", Item::Value(value));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::shop::bit::{BitKind, BitMaterial};
    use crate::shop::wood;

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
        let booked = add(RACK, "6 mm up-spiral", 3.456).unwrap();
        assert_eq!(booked, RACK.replace("cut_m = 12.5 ", "cut_m = 15.96 "));
    }

    #[test]
    fn a_bit_without_a_record_gets_one() {
        let booked = add(RACK, "3 mm", 2.0).unwrap();
        assert_eq!(booked, format!("{RACK}cut_m = 2.0\n"));
        let again = add(&booked, "3 mm", 0.25).unwrap();
        assert_eq!(again, format!("{RACK}cut_m = 2.25\n"));
    }

    #[test]
    fn a_rack_written_inline_is_booked_too() {
        let rack = "bit = [ { name = \"a\", cut_m = 1 }, { name = \"b\" } ] # all\n";
        let booked = add(rack, "a", 1.0).unwrap();
        assert_eq!(
            booked,
            "bit = [ { name = \"a\", cut_m = 2.0 }, { name = \"b\" } ] # all\n"
        );
    }

    #[test]
    fn what_cannot_be_booked_is_said() {
        assert_eq!(add(RACK, "8 mm", 1.0).unwrap_err().code, "unknown-bit");
        assert_eq!(add("= 3", "8 mm", 1.0).unwrap_err().code, "bits-syntax");
        let text = "[[bit]]\nname = \"a\"\ncut_m = \"far\"\n";
        let error = add(text, "a", 1.0).unwrap_err();
        assert_eq!(error.code, "wrong-type");
        assert!(error.message.contains("\"far\""), "{}", error.message);
    }

    #[test]
    fn dense_and_abrasive_wood_counts_for_more() {
        let metre = Length::from_mm(1000.0);
        let of = |name: &str| weighted_metres(metre, &[&wood::find(name).unwrap()]);
        assert!(of("white oak") > of("eastern white pine"));
        // Teak is lighter than white oak, but full of silica.
        assert!(of("teak") > 2.0 * of("white oak"));
        assert!(of("MDF") > of("hard maple"));
        let both = [
            &wood::find("white oak").unwrap(),
            &wood::find("teak").unwrap(),
        ];
        let mean = (of("white oak") + of("teak")) / 2.0;
        assert!((weighted_metres(metre, &both) - mean).abs() < 1e-12);
    }

    #[test]
    fn wear_follows_the_record_unless_a_person_knows_better() {
        let mut bit = sample::bit(BitKind::UpSpiral, 6.0);
        assert_eq!(note(&bit), None);
        bit.cut_m = Some(1500.0);
        bit.wear = bit.material.wear_after(1500.0);
        assert!((bit.wear - 0.5).abs() < 1e-12);
        assert!(note(&bit).unwrap().contains("taken as 0.50"));
        bit.wear = 0.8;
        let words = note(&bit).unwrap();
        assert!(words.contains("0.80 as stated") && words.contains("would say 0.50"));
        assert_eq!(BitMaterial::Steel.wear_after(1e9), 1.0);
    }
}
