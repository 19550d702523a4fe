//! Whatever text comes in, mistakes come out and nothing panics.

use proptest::prelude::*;

use super::{BITS, MACHINE, OVERLAY};
use crate::input::{Overrides, bits, hinges, job, machine, sample};

/// Every place lies in the text it speaks of.
fn check_places(text: &str, errors: &crate::diagnostic::Diagnostics) -> Result<(), TestCaseError> {
    prop_assert!(!errors.is_empty());
    for error in errors.iter() {
        prop_assert!(!error.message.is_empty());
        if let Some(place) = &error.place {
            let lines = text.split('\n').count().max(1);
            prop_assert!((1..=lines).contains(&(place.line as usize)), "{error}");
            let line = text.split('\n').nth(place.line as usize - 1).unwrap_or("");
            prop_assert!(place.column as usize <= line.chars().count() + 1, "{error}");
        }
    }
    Ok(())
}

fn read_all(text: &str) -> Result<(), TestCaseError> {
    if let Err(errors) = machine("machine.toml", text) {
        check_places(text, &errors)?;
    }
    if let Err(errors) = bits("bits.toml", text) {
        check_places(text, &errors)?;
    }
    if let Err(errors) = hinges("hinges.toml", text) {
        check_places(text, &errors)?;
    }
    match job("job.toml", text) {
        Err(errors) => check_places(text, &errors),
        Ok(spec) => match spec.resolve(sample::machine(), sample::rack(), &Overrides::default()) {
            Err(errors) => check_places(text, &errors),
            Ok(job) => {
                for part in &job.parts {
                    for pocket in &part.pockets {
                        prop_assert!(pocket.center.x().is_finite());
                        prop_assert!(!pocket.steps.is_empty());
                        for step in &pocket.steps {
                            prop_assert!(step.depth.as_mm() > 0.0 && step.depth.is_finite());
                            prop_assert!(step.corner * 2.0 <= step.width * 1.000_001);
                        }
                    }
                }
                Ok(())
            }
        },
    }
}

/// A sample with one stretch replaced by something else.
fn damaged(sample: &'static str) -> impl Strategy<Value = String> {
    let scrap = prop_oneof![
        Just(String::new()),
        "[-+0-9.eE_'\" a-z=\\[\\]{},#\n]{0,12}",
        prop_oneof![
            Just("nan"),
            Just("inf"),
            Just("-1"),
            Just("0"),
            Just("1e308"),
            Just("1e-308"),
            Just("'1/0 in'"),
            Just("99999999999999999999"),
            Just("0x10"),
            Just("[[[["),
            Just("{ a = 1 }"),
            Just("\u{0}"),
            Just("é"),
            Just("1979-05-27"),
            Just("'''"),
        ]
        .prop_map(str::to_owned),
    ];
    (0..sample.len(), 0_usize..8, scrap).prop_map(move |(at, length, scrap)| {
        let mut text = sample.to_owned();
        let start = text.floor_char_boundary(at);
        let end = text.floor_char_boundary((at + length).min(text.len()));
        text.replace_range(start..end.max(start), &scrap);
        text
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,200}") {
        read_all(&text)?;
    }

    #[test]
    fn a_damaged_job_is_read_or_refused(text in damaged(OVERLAY)) {
        read_all(&text)?;
    }

    #[test]
    fn a_damaged_machine_is_read_or_refused(text in damaged(MACHINE)) {
        read_all(&text)?;
    }

    #[test]
    fn a_damaged_rack_is_read_or_refused(text in damaged(BITS)) {
        read_all(&text)?;
    }

    #[test]
    fn a_damaged_drawer_is_read_or_refused(text in damaged(include_str!("../../../machines/hinges.toml"))) {
        read_all(&text)?;
    }

    #[test]
    fn any_length_text_is_read_or_refused(text in "[-+0-9./ minx\"]{0,12}") {
        if let Ok(length) = crate::units::text::parse(&text) {
            prop_assert!(length.is_finite());
        }
    }

    // Decimal millimetres and sixty-fourths come back as they were written.
    #[test]
    fn lengths_come_back_as_written(hundredths in -100_000_i32..100_000, sixty_fourths in 0_i32..6400) {
        let millimetres = f64::from(hundredths) / 100.0;
        let read = crate::units::text::parse(&format!("{millimetres:.2} mm")).unwrap();
        prop_assert!((read.as_mm() - millimetres).abs() < 1e-12);
        let length = crate::units::Length::from_inch(f64::from(sixty_fourths) / 64.0);
        let fraction = crate::units::fraction::Fraction::nearest(length);
        let read = crate::units::text::parse(&format!("{fraction} in")).unwrap();
        prop_assert!((read - length).abs().as_mm() < 1e-9, "{fraction}");
    }
}
