//! `stepwell fit`: books readings into the job and the rack.

use std::path::PathBuf;

use serde_json::json;

use crate::cli::arguments::{Fit, Format};
use crate::cli::failure::Failure;
use crate::cli::load::{self, Loaded};
use crate::cli::{Ending, lengths, terminal, test_piece};
use crate::diagnostic::Diagnostic;
use crate::files;
use crate::fit::{self, Booked, Readings, Repeat, Texts};
use crate::input::Overrides;

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
    let loaded = load::with_texts(&options.job, &overrides)?;
    let readings = readings(options, &loaded)?;
    let booked = book(options, &loaded, &readings)?;
    let changed = changed(options, &loaded, &booked);
    if !options.dry {
        files::write_all(&changed)?;
    }
    report(options, &booked, &changed);
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

fn book(options: &Fit, loaded: &Loaded, readings: &Readings) -> Result<Booked, Failure> {
    let (job_file, bits_file) = (
        options.job.display().to_string(),
        loaded.bits_path.display().to_string(),
    );
    let text = |name: &str| loaded.sources.get(name).map_or("", String::as_str);
    let texts = Texts {
        job_file: &job_file,
        job: text(&job_file),
        bits_file: &bits_file,
        bits: text(&bits_file),
    };
    fit::book(texts, &loaded.job, readings).map_err(|diagnostics| Failure {
        diagnostics,
        sources: loaded.sources.clone(),
    })
}

fn changed(options: &Fit, loaded: &Loaded, booked: &Booked) -> Vec<(PathBuf, Vec<u8>)> {
    let files = [
        (&options.job, &booked.job),
        (&loaded.bits_path, &booked.bits),
    ];
    files
        .into_iter()
        .filter_map(|(path, text)| Some((path.clone(), text.clone()?.into_bytes())))
        .collect()
}

fn report(options: &Fit, booked: &Booked, changed: &[(PathBuf, Vec<u8>)]) {
    let paths: Vec<String> = changed
        .iter()
        .map(|(path, _)| path.display().to_string())
        .collect();
    if options.format == Format::Json {
        let value = json!({ "words": booked.words, "changed": paths, "dry": options.dry });
        terminal::result(&format!("{value:#}\n"));
        return;
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
    terminal::result(&text);
}
