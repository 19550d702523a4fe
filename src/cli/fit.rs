//! `stepwell fit`: books readings into the job and the rack.

use serde_json::json;

use crate::cli::arguments::{Fit, Format};
use crate::cli::failure::Failure;
use crate::cli::load::{self, Loaded};
use crate::cli::{Ending, lengths, terminal, test_piece};
use crate::diagnostic::Diagnostic;
use crate::files::{self, Edited};
use crate::fit::{self, Booked, Readings, Repeat, Texts};
use crate::input::Overrides;

/// The files that readings are entered in.
struct Held {
    job: Edited,
    bits: Edited,
}

impl Held {
    fn changed<'h>(&'h self, booked: &'h Booked) -> Vec<(&'h Edited, &'h str)> {
        let texts = [(&self.job, &booked.job), (&self.bits, &booked.bits)];
        let new = texts.into_iter();
        new.filter_map(|(file, text)| Some((file, text.as_deref()?)))
            .collect()
    }
}

pub(super) fn run(options: &Fit) -> Result<Ending, Failure> {
    if files::is_stream(&options.job) {
        let message = "fit writes into the job file, standard input cannot take that";
        return Err(Diagnostic::new("usage", message)
            .help("name the file")
            .into());
    }
    let overrides = Overrides {
        bit: options.bit.clone(),
        ..Overrides::default()
    };
    // Both are held before they are read.
    let held = Held {
        job: Edited::open(&options.job)?,
        bits: Edited::open(&load::bits_path(&options.job)?)?,
    };
    let loaded = load::job(&options.job, &overrides)?;
    let readings = readings(options, &loaded)?;
    let booked = book(&held, &loaded, &readings)?;
    let changed = held.changed(&booked);
    if !options.dry {
        files::replace_all(&changed)?;
    }
    report(options, &booked, &changed)?;
    Ok(Ending::Passed)
}

fn readings(options: &Fit, loaded: &Loaded) -> Result<Readings, Diagnostic> {
    let units = loaded.job.units;
    let length = |name, written: &Option<String>| lengths::optional(name, written.as_ref(), units);
    let series = test_piece::series(&options.series, units)?;
    Ok(Readings {
        test_piece: options.pocket.map(|pocket| (pocket, series)),
        depth_pocket: options.depth_pocket.map(|pocket| (pocket, series)),
        slot: length("slot", &options.slot)?,
        outside_box: length("outside-box", &options.outside_box)?,
        outside_lid: length("outside-lid", &options.outside_lid)?,
        end_box: length("end-box", &options.end_box)?,
        end_lid: length("end-lid", &options.end_lid)?,
        gap: length("gap", &options.gap)?,
        repeat: match (options.again, options.instead) {
            (true, _) => Repeat::Again,
            (false, true) => Repeat::Instead,
            (false, false) => Repeat::Once,
        },
    })
}

fn book(held: &Held, loaded: &Loaded, readings: &Readings) -> Result<Booked, Failure> {
    let (job_file, bits_file) = (
        held.job.path().display().to_string(),
        held.bits.path().display().to_string(),
    );
    let texts = Texts {
        job_file: &job_file,
        job: held.job.text(),
        bits_file: &bits_file,
        bits: held.bits.text(),
    };
    fit::book(texts, &loaded.job, readings).map_err(|diagnostics| Failure {
        diagnostics,
        sources: loaded.sources.clone(),
    })
}

fn report(options: &Fit, booked: &Booked, changed: &[(&Edited, &str)]) -> Result<(), Diagnostic> {
    let paths: Vec<String> = changed
        .iter()
        .map(|(file, _)| file.path().display().to_string())
        .collect();
    if options.format == Format::Json {
        return terminal::json(
            &json!({ "words": booked.words, "changed": paths, "dry": options.dry }),
        );
    }
    let mut text = booked.words.join("\n");
    text.push('\n');
    let verb = if options.dry {
        "would be written"
    } else {
        "written"
    };
    match paths.as_slice() {
        [] => text.push_str("nothing changed\n"),
        paths => text.push_str(&format!("{}: {verb}\n", paths.join(", "))),
    }
    terminal::result(&text)
}
