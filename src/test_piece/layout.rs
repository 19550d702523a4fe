//! Where the pockets and ticks of a test piece go, or how large a scrap they need.

use super::{Scrap, TICK_DEPTH, room};
use crate::diagnostic::Diagnostics;
use crate::geometry::Point;
use crate::job::{Job, Pocket, PocketKind, Step, Tick};
use crate::shop::bit::Bit;
use crate::units::Length;

/// Wood kept between neighbours and at the edges, where the job wants no more:
/// room for a finger's judgement and well past what the checks warn under.
const LEAST_WALL_MM: f64 = 4.0;

/// Wood between one tick and the next.
const TICK_GAP_MM: f64 = 2.0;

const WORDS: room::Words = room::Words {
    what: "test piece",
    larger: "take a larger scrap, or fewer pockets",
    smaller: "choose fewer pockets, or leave the depth row out",
};

/// A tick's straight run beside the bit's own width.
const TICK_RUN_MM: f64 = 3.0;

/// Pockets and ticks in the scrap's frame.
pub(super) struct Plan {
    pub(super) pockets: Vec<Pocket>,
    pub(super) ticks: Vec<Tick>,
}

/// One pocket with its ticks after it along u: the space it takes.
struct Cell {
    steps: Vec<Step>,
    /// Ticks beside it.
    number: usize,
    /// Extent of the pocket along u before and after its centre.
    before: f64,
    after: f64,
    /// Extent of the pocket along v.
    across: f64,
}

/// Cells stacked across v, rows beside each other along u.
pub(super) fn arrange(
    job: &Job,
    scrap: Scrap,
    rows: &[Vec<Vec<Step>>],
) -> Result<Plan, Diagnostics> {
    let wall = job.fit.min_left.as_mm().max(LEAST_WALL_MM);
    let bit = &job.bit;
    let rows: Vec<Vec<Cell>> = rows.iter().map(|row| cells(row)).collect();
    let needed = Scrap {
        length: Length::from_mm(
            wall + rows
                .iter()
                .map(|row| row_length(row, bit, wall))
                .sum::<f64>(),
        ),
        width: Length::from_mm(
            wall + rows
                .iter()
                .map(|row| row_width(row, bit, wall))
                .fold(0.0, f64::max),
        ),
        thickness: Length::from_mm(deepest(&rows) + wall),
    };
    room::check(job, scrap, needed, &WORDS)?;
    let mut plan = Plan {
        pockets: Vec::new(),
        ticks: Vec::new(),
    };
    let mut start = wall;
    for row in &rows {
        place(&mut plan, row, bit, start, wall);
        start += row_length(row, bit, wall);
    }
    Ok(plan)
}

fn cells(row: &[Vec<Step>]) -> Vec<Cell> {
    let end = |steps: &[Step], side: f64| {
        let ends = steps
            .iter()
            .map(|step| step.length.as_mm() / 2.0 + side * step.shift.as_mm());
        ends.fold(0.0, f64::max)
    };
    let cell = |(index, steps): (usize, &Vec<Step>)| Cell {
        steps: steps.clone(),
        number: index + 1,
        before: end(steps, -1.0),
        after: end(steps, 1.0),
        across: steps
            .iter()
            .map(|step| step.width.as_mm())
            .fold(0.0, f64::max),
    };
    row.iter().enumerate().map(cell).collect()
}

fn tick_pitch(bit: &Bit) -> f64 {
    bit.cutting_diameter().as_mm() + TICK_GAP_MM
}

/// Along u: the longest pocket, a wall, the most ticks, a wall.
fn row_length(row: &[Cell], bit: &Bit, wall: f64) -> f64 {
    let pocket = longest(row);
    let ticks = row.len() as f64 * tick_pitch(bit) - TICK_GAP_MM;
    pocket + wall + ticks + wall
}

fn longest(row: &[Cell]) -> f64 {
    row.iter()
        .map(|cell| cell.before + cell.after)
        .fold(0.0, f64::max)
}

/// Along v: each cell and the wall after it.
fn row_width(row: &[Cell], bit: &Bit, wall: f64) -> f64 {
    row.iter().map(|cell| cell_width(cell, bit) + wall).sum()
}

/// The pocket or its ticks, whichever are wider.
fn cell_width(cell: &Cell, bit: &Bit) -> f64 {
    cell.across
        .max(bit.cutting_diameter().as_mm() + TICK_RUN_MM)
}

fn deepest(rows: &[Vec<Cell>]) -> f64 {
    let steps = rows.iter().flatten().flat_map(|cell| &cell.steps);
    steps.map(|step| step.depth.as_mm()).fold(0.0, f64::max)
}

fn place(plan: &mut Plan, row: &[Cell], bit: &Bit, start: f64, wall: f64) {
    let pocket_end = start + longest(row);
    let mut edge = wall;
    for cell in row {
        let middle = edge + cell_width(cell, bit) / 2.0;
        plan.pockets.push(Pocket {
            hinge: plan.pockets.len() + 1,
            kind: PocketKind::Pocket,
            center: Point::from_mm(start + cell.before, middle),
            steps: cell.steps.clone(),
            holes: Vec::new(),
            screws: Vec::new(),
        });
        for tick in 0..cell.number {
            let u = pocket_end
                + wall
                + bit.cutting_diameter().as_mm() / 2.0
                + tick as f64 * tick_pitch(bit);
            plan.ticks.push(Tick {
                from: Point::from_mm(u, middle - TICK_RUN_MM / 2.0),
                to: Point::from_mm(u, middle + TICK_RUN_MM / 2.0),
                depth: TICK_DEPTH,
            });
        }
        edge += cell_width(cell, bit) + wall;
    }
}
