//! How many and how worn, as options and fields take it.

/// How often.
///
/// # Errors
/// What is wanted instead.
pub(crate) fn times(written: &str) -> Result<u32, String> {
    whole(written, 1000)
}

/// How many boxes; each is judged by itself.
///
/// # Errors
/// What is wanted instead.
pub(crate) fn boxes(written: &str) -> Result<u32, String> {
    whole(written, 200)
}

fn whole(written: &str, most: u32) -> Result<u32, String> {
    let number = written.trim().parse().ok();
    let within = number.filter(|number| (1..=most).contains(number));
    within.ok_or_else(|| format!("a whole number from 1 to {most} is wanted"))
}

/// How worn, from 0 to 1; whether it is in the range is told with the job's other mistakes.
///
/// # Errors
/// What is wanted instead.
pub(crate) fn share(written: &str) -> Result<f64, String> {
    number(written).ok_or_else(|| match meant_share(written) {
        Some(meant) => format!("write {meant}"),
        None => "a number from 0, fresh, to 1, worn out, is wanted".to_owned(),
    })
}

/// The share that is meant by `0,5` or `50 %`.
pub(crate) fn meant_share(written: &str) -> Option<f64> {
    let plain = written.replace(',', ".");
    match plain.trim().strip_suffix('%') {
        Some(percent) => number(percent).map(|percent| percent / 100.0),
        None => number(&plain),
    }
}

fn number(text: &str) -> Option<f64> {
    let number = text.trim().parse::<f64>().ok();
    number.filter(|number| number.is_finite())
}
