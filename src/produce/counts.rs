//! How many, as options and fields take it.

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
