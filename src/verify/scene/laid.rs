//! Where each part, pocket and fixture piece lies in shared program
//! coordinates, worked out from the job alone.

use crate::job::Job;
use crate::job::position::Position;
use crate::replay::segment::Segment;
use crate::rs274::event::Frames;
use crate::verify::scene::board::Board;
use crate::verify::scene::fixture::{Solid, solids, touched_faces};
use crate::verify::scene::frame::{PartFrame, frames};
use crate::verify::scene::site::{Site, find_spared, part_sites};

/// The job as it lies on the machine. Millimetres.
#[derive(Clone, Debug)]
pub(crate) struct Scene {
    pub(crate) boards: Vec<Board>,
    /// Pockets and ticks of all boards, board by board, each board's sorted along its row.
    pub(crate) sites: Vec<Site>,
    pub(crate) solids: Vec<Solid>,
    pub(crate) frames: Frames,
    /// Origin of G54.
    pub(crate) zero: [f64; 3],
    /// Which of G54 … G59 the job has a zero for.
    pub(crate) offsets: &'static [u8],
    /// Least height for sideways travel.
    pub(crate) travel_height: f64,
    /// Highest of wood, divider, fence, stop and clamps.
    pub(crate) highest: f64,
    /// The faces that X and Y are found at.
    pub(crate) faces: [f64; 2],
}

impl Scene {
    /// All parts as the layout alone has them.
    pub(crate) fn new(job: &Job) -> Self {
        Self::of(job, None)
    }

    /// All parts as they lie in a position.
    pub(crate) fn of(job: &Job, position: Option<&Position>) -> Self {
        let fixture = &job.fixture;
        let mut boards = Vec::with_capacity(job.parts.len());
        let mut sites = Vec::new();
        for part in &job.parts {
            let frame = PartFrame::of(fixture, part, position);
            let first = sites.len();
            sites.extend(part_sites(job, part, position, frame, boards.len()));
            let row = frame.row();
            sites[first..].sort_by(|a, b| a.min[row].total_cmp(&b.min[row]));
            let mut board = Board::new(part, frame, fixture, first..sites.len());
            board.widest = sites[first..]
                .iter()
                .map(|site| site.max[row] - site.min[row])
                .fold(0.0, f64::max);
            boards.push(board);
        }
        find_spared(&mut sites);
        let solids = solids(fixture, position);
        let highest = boards
            .iter()
            .map(|board| board.top)
            .chain(solids.iter().map(|solid| solid.top))
            .fold(0.0, f64::max);
        let (frames, zero, offsets) = frames(fixture);
        Self {
            boards,
            sites,
            solids,
            frames,
            zero,
            offsets,
            travel_height: highest + job.machine.clearance.as_mm(),
            highest,
            faces: touched_faces(fixture, position),
        }
    }

    /// Sites of a board whose rectangle meets the stretch of its row.
    pub(crate) fn sites_across<'a>(
        &'a self,
        board: &Board,
        low: f64,
        high: f64,
    ) -> impl Iterator<Item = usize> + 'a {
        let range = board.sites.clone();
        let sites = &self.sites[range.clone()];
        let row = board.frame.row();
        let end = sites.partition_point(|site| site.min[row] <= high);
        let start = sites.partition_point(|site| site.min[row] < low - board.widest);
        let first = range.start;
        (start..end)
            .map(move |index| first + index)
            .filter(move |&index| self.sites[index].max[row] >= low)
    }

    /// The site that a move is in: the one about its middle, or else about an end.
    pub(crate) fn site_of(&self, board: &Board, segment: &Segment) -> Option<usize> {
        let extent = segment.extent();
        let row = board.frame.row();
        let across = 1 - row;
        let points = [segment.at(0.5), segment.from, segment.to].map(|point| [point[0], point[1]]);
        let met = |&index: &usize| {
            let site = &self.sites[index];
            site.min[across] <= extent.max[across] && site.max[across] >= extent.min[across]
        };
        let distance = |index: usize| -> f64 {
            let site = &self.sites[index];
            points.iter().map(|&point| site.distance(point)).sum()
        };
        self.sites_across(board, extent.min[row], extent.max[row])
            .filter(met)
            .map(|index| (distance(index), index))
            .min_by(|one, other| one.0.total_cmp(&other.0))
            .map(|(_, index)| index)
    }

    /// The site that a point is nearest to, of those whose board it is over.
    pub(crate) fn site_at(&self, point: [f64; 2]) -> Option<&Site> {
        let over = |site: &&Site| self.boards[site.board].signed_distance(point) < 0.0;
        let sites = self.sites.iter().filter(over);
        sites.min_by(|one, other| one.distance(point).total_cmp(&other.distance(point)))
    }

    /// A site near the middle of a move, for the report.
    pub(crate) fn nearest_site(&self, board: &Board, segment: &Segment) -> Option<usize> {
        let middle = segment.at(0.5);
        let range = board.sites.clone();
        let row = board.frame.row();
        let sites = &self.sites[range.clone()];
        let after = sites.partition_point(|site| site.min[row] <= middle[row]);
        let first = range.start + after.saturating_sub(2);
        let last = (range.start + after + 2).min(range.end);
        (first..last).min_by(|&a, &b| {
            let distance = |index: usize| self.sites[index].distance([middle[0], middle[1]]);
            distance(a).total_cmp(&distance(b))
        })
    }
}
