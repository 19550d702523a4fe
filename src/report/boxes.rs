//! What cuts each box of a run; boxes that are cut alike make one stretch.

use std::fmt;

use serde::Serialize;

use crate::units::Seconds;

/// What cuts one box of a run: one row for each of its programs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BoxReport {
    /// Which box, from 1.
    #[serde(rename = "box")]
    pub number: u32,
    /// The program, by the path it was written to.
    pub program: String,
    /// Name of the bit that cuts it.
    pub bit: String,
    /// That bit's wear when the box is begun, 0 … 1; the program was proved with
    /// what it is when the box is done.
    pub wear: f64,
    /// Whether that bit is sharpened or replaced before this box.
    pub sharpen: bool,
    /// Everything with real acceleration; pauses left out.
    pub seconds: Seconds,
}

/// Boxes that one program cuts, one after the other, with the same edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    /// The first and the last box, from 1.
    pub boxes: [u32; 2],
    /// The program.
    pub program: String,
    /// The bit that cuts it.
    pub bit: String,
    /// Its wear, 0 … 1, before the first and before the last of these boxes.
    pub wear: [f64; 2],
    /// Whether that bit is sharpened or replaced before the first of them.
    pub sharpen: bool,
    /// Machine time of all of them, parts changed in between left out.
    pub seconds: Seconds,
}

impl fmt::Display for Stretch {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [from, to] = self.boxes;
        let (bit, program) = (&self.bit, &self.program);
        if self.sharpen {
            writeln!(
                formatter,
                "sharpen or replace `{bit}` before box {from}, and generate anew: a plan for the \
                 fresh edge may be faster, and where it cuts another width (fit --slot) it must be"
            )?;
        }
        match to - from {
            0 => write!(formatter, "box {from}: ")?,
            _ => write!(formatter, "boxes {from} to {to}: ")?,
        }
        let [before, after] = self.wear.map(|wear| format!("{wear:.2}"));
        match before == after {
            true => write!(formatter, "{program}, `{bit}` worn {before}"),
            false => write!(formatter, "{program}, `{bit}` worn {before} to {after}"),
        }
    }
}

/// The stretches of a run, in the order of their first boxes.
pub fn stretches(rows: &[BoxReport]) -> Vec<Stretch> {
    let mut stretches: Vec<Stretch> = Vec::new();
    for row in rows {
        let goes_on = |stretch: &&mut Stretch| {
            let is_sharper = row.sharpen || row.wear < stretch.wear[1];
            !is_sharper && stretch.program == row.program && stretch.boxes[1] + 1 == row.number
        };
        match stretches.iter_mut().find(goes_on) {
            Some(stretch) => {
                stretch.boxes[1] = row.number;
                stretch.wear[1] = row.wear;
                stretch.seconds += row.seconds;
            }
            None => stretches.push(Stretch {
                boxes: [row.number; 2],
                program: row.program.clone(),
                bit: row.bit.clone(),
                wear: [row.wear; 2],
                sharpen: row.sharpen,
                seconds: row.seconds,
            }),
        }
    }
    stretches
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(number: u32, program: &str, wear: f64, sharpen: bool) -> BoxReport {
        BoxReport {
            number,
            program: program.to_owned(),
            bit: "a".to_owned(),
            wear,
            sharpen,
            seconds: Seconds::from_seconds(10.0),
        }
    }

    #[test]
    fn boxes_cut_alike_are_one_stretch() {
        let rows = [
            row(1, "x.nc", 0.1, false),
            row(1, "y.nc", 0.1, false),
            row(2, "x.nc", 0.2, false),
            row(2, "y.nc", 0.2, false),
            row(3, "x-from-3.nc", 0.3, false),
            row(3, "y.nc", 0.3, false),
            row(4, "x.nc", 0.0, true),
            row(4, "y.nc", 0.0, false),
        ];
        let told: Vec<_> = stretches(&rows)
            .into_iter()
            .map(|stretch| (stretch.boxes, stretch.program, stretch.wear))
            .collect();
        assert_eq!(
            told,
            [
                ([1, 2], "x.nc".to_owned(), [0.1, 0.2]),
                ([1, 3], "y.nc".to_owned(), [0.1, 0.3]),
                ([3, 3], "x-from-3.nc".to_owned(), [0.3, 0.3]),
                ([4, 4], "x.nc".to_owned(), [0.0, 0.0]),
                ([4, 4], "y.nc".to_owned(), [0.0, 0.0]),
            ]
        );
        assert_eq!(stretches(&rows)[1].seconds, Seconds::from_seconds(30.0));
    }
}
