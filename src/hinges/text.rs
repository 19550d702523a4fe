//! The judgement as people read it.

use std::fmt::Write as _;

use super::judge::{Judged, Judgement};
use crate::report::WoodLeft;
use crate::units::{Length, Units, text::decimals};

/// A block for each hinge, the best first: the verdict and the weightiest
/// reason in its first line.
pub fn render(judgement: &Judgement) -> String {
    let units = judgement.units;
    let mut text = format!(
        "The hinges of the drawer, the best first. Lengths in {}; wood left is the least of box and lid.\n",
        units.name()
    );
    for judged in &judgement.hinges {
        text.push('\n');
        let _ = write!(text, "{}: {}", judged.name, judged.verdict.word());
        if let Some(first) = judged.reasons.first() {
            let _ = write!(text, ", {first}");
        }
        text.push('\n');
        for reason in judged.reasons.iter().skip(1) {
            let _ = writeln!(text, "  {reason}");
        }
        text += &figures(judged, units);
    }
    text
}

fn figures(judged: &Judged, units: Units) -> String {
    let mut text = String::new();
    if let Some(left) = judged.left {
        let _ = writeln!(text, "  wood left: {}", wood(left, units));
    }
    if let (Some(lid), Some(wall)) = (judged.thinnest_lid, judged.thinnest_wall) {
        let show = |length: Length| decimals(length, units);
        let _ = writeln!(
            text,
            "  wants a lid at least {} thick and a hinged wall of {}",
            show(lid),
            show(wall)
        );
    }
    if let (Some(count), Some(bit)) = (judged.count, &judged.bit) {
        let others: Vec<&str> = judged
            .bits
            .iter()
            .filter(|other| *other != bit)
            .map(String::as_str)
            .collect();
        let _ = match others.as_slice() {
            [] => writeln!(text, "  {count} for this lid, with {bit}"),
            others => writeln!(
                text,
                "  {count} for this lid, with {bit}; also cut by {}",
                others.join(", ")
            ),
        };
    }
    match judged.opens_flat {
        Some(true) => text += "  the lid opens flat\n",
        // Told as a reason.
        Some(false) => {}
        None if judged.left.is_some() => {
            text += "  no `open_gap` in the drawer, so nothing is known of the lid opening flat\n";
        }
        None => {}
    }
    for screws in &judged.screws {
        let _ = writeln!(text, "  {screws}");
    }
    text
}

fn wood(left: WoodLeft, units: Units) -> String {
    let sides = [
        ("outside", left.outside),
        ("inside", left.inside),
        ("below", left.below),
        ("end", left.end),
    ];
    let sides = sides.map(|(side, wood)| format!("{side} {}", decimals(wood, units)));
    sides.join(", ")
}
