//! Corrections in words.

use super::reading::SAME;
use crate::job::{Drawn, Job, PartName};
use crate::units::{Length, Units, text};

/// `lid moved 0.30 mm inward`; `offset` along u or v, away from the outside
/// face or the stop end positive.
pub(super) fn moved(part: PartName, along: bool, offset: Length, units: Units) -> String {
    if offset.is_near(Length::ZERO, SAME) {
        return format!("{part} stays where it is and nothing changes");
    }
    let way = match (along, offset > Length::ZERO) {
        (false, true) => "inward",
        (false, false) => "outward",
        (true, true) => "away from the stop end",
        (true, false) => "towards the stop end",
    };
    format!(
        "{part} moved {} {way}",
        text::decimal_with_unit(offset.abs(), units)
    )
}

/// What an entered value of that key does, without its figure; empty where the
/// key is none that `fit` enters.
pub(super) fn effect(key: &str, value: &str) -> &'static str {
    let digits = value.trim_matches(['"', '\'', ' ']);
    let is_back = digits.starts_with('-');
    if !digits.bytes().any(|digit| (b'1'..=b'9').contains(&digit)) {
        return "nothing is changed by it";
    }
    match (key.rsplit('.').next(), is_back) {
        (Some("box_v" | "lid_v"), false) => "its pockets lie so much further inward",
        (Some("box_v" | "lid_v"), true) => "its pockets lie so much further outward",
        (Some("box_u" | "lid_u"), false) => "its pockets lie so much further from the stop end",
        (Some("box_u" | "lid_u"), true) => "its pockets lie so much nearer to the stop end",
        (Some("clearance"), _) => "every step is so much wider and longer than the hinge",
        (Some("depth"), false) => "every step is so much deeper",
        (Some("depth"), true) => "every step is so much shallower",
        (Some("measured"), _) => "programs are planned and judged for a bit that cuts so wide",
        _ => "",
    }
}

/// Where the hinge comes from, and what the drawer has learned of it; nothing
/// where it is the job's own.
pub fn drawn(job: &Job) -> Vec<String> {
    let Some(drawn) = &job.drawn else {
        return Vec::new();
    };
    let (name, file) = (&drawn.name, &drawn.file);
    let mut hinge = format!("the hinge is `{name}` of the drawer {file}");
    if !drawn.own.is_empty() {
        let own: Vec<String> = drawn.own.iter().map(|key| format!("`{key}`")).collect();
        hinge.push_str(&format!(", with the job's own {}", own.join(", ")));
    }
    let clearance = drawn.is_clearance_learned.then(|| {
        let clearance = text::decimal_with_unit(job.fit.clearance, job.units);
        format!("a clearance of {clearance}")
    });
    let depth = drawn.is_depth_learned.then(|| deeper(job));
    let learned: Vec<String> = [clearance, depth].into_iter().flatten().collect();
    let mut words = vec![hinge];
    if !learned.is_empty() {
        words.push(format!(
            "{}, as {file} has learned of `{name}` with {} in {}",
            learned.join(" and "),
            job.bit.name,
            drawn.woods
        ));
    }
    words
}

fn deeper(job: &Job) -> String {
    let way = if job.fit.depth < Length::ZERO {
        "shallower"
    } else {
        "deeper"
    };
    let depth = text::decimal_with_unit(job.fit.depth.abs(), job.units);
    format!("every step {depth} {way}")
}

/// What the corrections of the parts that are cut do, a sentence each; none
/// where nothing is corrected.
pub fn corrections(job: &Job) -> Vec<String> {
    let mut words = Vec::new();
    for part in job.parts.iter().filter(|part| job.is_selected(part.name)) {
        for (along, offset) in [(false, part.correction_v), (true, part.correction_u)] {
            if !offset.is_near(Length::ZERO, SAME) {
                words.push(moved(part.name, along, offset, job.units));
            }
        }
    }
    for position in job.positions().into_iter().flatten() {
        let own = [
            (PartName::Box, position.box_u),
            (PartName::Lid, position.lid_u),
        ];
        for (part, offset) in own {
            if job.is_selected(part) && !offset.is_near(Length::ZERO, SAME) {
                let moved = moved(part, true, offset, job.units);
                words.push(format!("position {}: {moved}", position.number));
            }
        }
    }
    let is_told = |drawn: &Drawn| drawn.is_depth_learned;
    if !job.drawn.as_ref().is_some_and(is_told) && !job.fit.depth.is_near(Length::ZERO, SAME) {
        words.push(format!("{}, as `fit.depth` says", deeper(job)));
    }
    if let Some(measured) = job.bit.measured {
        words.push(format!(
            "{} taken as {} wide, as measured, nominal {}",
            job.bit.name,
            text::decimal_with_unit(measured, job.units),
            text::decimal_with_unit(job.bit.diameter, job.units)
        ));
    }
    words
}
