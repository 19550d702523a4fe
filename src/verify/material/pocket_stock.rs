//! What has happened to one pocket or tick so far, and the wood in it now.

use std::array::from_fn;
use std::mem::take;
use std::ops::Range;

use crate::geometry::RoundedRectangle;
use crate::replay::height_map::{HeightMap, Witness};
use crate::replay::sample_row::{FEW, Few, greater, joined, lesser, number, to_f32};
use crate::replay::segment::{Extent, Segment};
use crate::replay::tip::Tip;
use crate::verify::material::allowance::Allowance;
use crate::verify::material::bite::Bite;
use crate::verify::material::engagement::Stroke;
use crate::verify::material::probe::Probed;
use crate::verify::material::residual::{BAND, TakingMove};
use crate::verify::scene::kerf::Kerf;
use crate::verify::scene::{Depth, Site};

/// A sample this far outside an outline still counts as at its wall, in millimetres.
const OUTSIDE: f64 = 0.05;

/// Where nothing higher is taken nobody asks whether it lies at a wall, in millimetres.
const SCRAPING: f32 = 0.02;

/// After so many moves in one place only those are kept that took wood from
/// a sample, and from time to time those are let go whose wood others have
/// taken deeper everywhere since: memory grows with the pocket, not with the program.
const KEPT_MOVES: usize = 30_000;

/// The record of one site.
#[derive(Clone, Debug, Default)]
pub(crate) struct PocketStock {
    kept: Kept,
    /// Moves that took wood here or might have.
    pub(crate) touched: bool,
    /// Deepest tip, below the face.
    pub(crate) deepest: f64,
    /// How deep each hole is drilled.
    pub(crate) drilled: Vec<f64>,
    /// Least radius of a bit that cut here.
    pub(crate) radius: Option<f64>,
    wood: Option<Box<Wood>>,
    /// The depths of its samples while it rests: how many alike, and how deep.
    packed: Vec<(u32, f32)>,
    /// So many kept moves are looked through again.
    crowded_at: usize,
}

/// The wood as it is now, with where the walls are.
#[derive(Clone, Debug)]
struct Wood {
    stock: HeightMap,
    /// For each sample a bit for each layer whose wall is near; the layer
    /// above step k's floor is bit k, counted from 0.
    at_wall: Vec<u32>,
    /// Depths of the floors.
    floors: Vec<f32>,
}

/// The moves of one place, in little room: single precision about the place's
/// own middle, where it is good to a ten-thousandth of a millimetre.
#[derive(Clone, Debug, Default)]
struct Kept {
    origin: [f64; 2],
    moves: Vec<KeptMove>,
    tips: Vec<Tip>,
}

#[derive(Clone, Debug)]
struct KeptMove {
    from: [f32; 3],
    to: [f32; 3],
    /// Centre and sweep of an arc; no sweep is a line.
    turn: [f32; 3],
    tip: u8,
}

impl Kept {
    fn push(&mut self, segment: &Segment, tip: Tip) {
        let number = self.tips.iter().position(|other| *other == tip);
        let number = number.unwrap_or_else(|| {
            self.tips.push(tip);
            self.tips.len() - 1
        });
        let [x, y] = self.origin;
        let near = |point: [f64; 3]| [point[0] - x, point[1] - y, point[2]].map(to_f32);
        self.moves.push(KeptMove {
            from: near(segment.from),
            to: near(segment.to),
            turn: segment.turn.map_or([0.0; 3], |turn| {
                let [center_x, center_y] = turn.center;
                [center_x - x, center_y - y, turn.sweep].map(to_f32)
            }),
            tip: u8::try_from(number).unwrap_or(u8::MAX),
        });
    }

    fn cuts(&self) -> impl Iterator<Item = TakingMove> + '_ {
        self.moves.iter().filter_map(|kept| {
            let far = |point: [f32; 3]| {
                let [x, y, z] = point.map(f64::from);
                [x + self.origin[0], y + self.origin[1], z]
            };
            let (from, to) = (far(kept.from), far(kept.to));
            let [x, y, sweep] = kept.turn.map(f64::from);
            let segment = if sweep == 0.0 {
                Segment::line(from, to)
            } else {
                Segment::arc(from, to, [x + self.origin[0], y + self.origin[1]], sweep)
            };
            let tip = *self.tips.get(usize::from(kept.tip))?;
            Some(TakingMove { segment, tip })
        })
    }
}

impl PocketStock {
    pub(crate) fn new(site: &Site) -> Self {
        Self {
            drilled: vec![0.0; site.holes.len()],
            kept: Kept {
                origin: [0, 1].map(|axis| f64::midpoint(site.min[axis], site.max[axis])),
                ..Kept::default()
            },
            ..Self::default()
        }
    }

    /// Takes away what the bit sweeps and tells how much that was.
    pub(crate) fn cut(
        &mut self,
        site: &Site,
        top: f64,
        segment: &Segment,
        tip: Tip,
        allowance: Allowance,
    ) -> Bite {
        let bite = self.wood(site, allowance).cut(segment, top, tip);
        let crowded = self.kept.moves.len() >= KEPT_MOVES;
        if !crowded || bite.whole > 0.0 {
            self.kept.push(segment, tip);
        }
        if self.kept.moves.len() > self.crowded_at.max(2 * KEPT_MOVES) {
            let blank = Wood::of(site, allowance).stock;
            self.kept.let_go_of_the_overtaken(blank, top);
            self.crowded_at = 2 * self.kept.moves.len();
        }
        self.touched = true;
        self.deepest = self.deepest.max(top - segment.lowest());
        self.radius = Some(
            self.radius
                .map_or(tip.radius, |least| least.min(tip.radius)),
        );
        for (hole, drilled) in site.holes.iter().zip(&mut self.drilled) {
            if segment.distance(hole.center) <= tip.radius.min(BAND) {
                *drilled = drilled.max(top - segment.lowest());
            }
        }
        bite
    }

    /// Looks for wood where the stroke must meet none, then takes away its own.
    pub(crate) fn work(
        &mut self,
        stroke: &mut Stroke,
        site: &Site,
        top: f64,
        allowance: Allowance,
    ) {
        let (segment, tip) = (stroke.segment, stroke.tip);
        for probe in &mut stroke.probes {
            let is_rapid = probe.what == Probed::Rapid;
            if is_rapid && let Some(drilled) = self.own_hole(site, &segment, tip) {
                probe.standing = (probe.depth - drilled).max(0.0);
            } else if probe.is_inside {
                let stock = &self.wood(site, allowance).stock;
                let highest = if is_rapid {
                    let Extent { min, max } = segment.extent();
                    stock.highest_wood([min[0], min[1]], [max[0], max[1]], probe.reach)
                } else {
                    stock.highest_beside(&segment, probe.reach)
                };
                probe.standing = highest.map_or(0.0, |cut| probe.depth - f64::from(cut));
            }
        }
        stroke.bite = self.cut(site, top, &segment, tip, allowance);
        stroke.deepest = self.deepest;
    }

    /// Takes away what a stroke of another place sweeps here.
    pub(crate) fn sweep(&mut self, site: &Site, top: f64, stroke: &Stroke, allowance: Allowance) {
        let wood = self.wood(site, allowance);
        wood.cut(&stroke.segment, top, stroke.tip);
    }

    /// How deep the hole is in which a drill goes straight up or down.
    fn own_hole(&self, site: &Site, segment: &Segment, tip: Tip) -> Option<f64> {
        let is_drill = tip.point > 0.0 && segment.level_length() < 1e-6;
        let mut holes = site.holes.iter().zip(&self.drilled);
        let own =
            holes.find(|(hole, drilled)| segment.distance(hole.center) <= BAND && **drilled > 0.0);
        own.filter(|_| is_drill).map(|(_, &drilled)| drilled)
    }

    /// Every move that was below the board's face here.
    pub(crate) fn cuts(&self) -> impl Iterator<Item = TakingMove> + '_ {
        self.kept.cuts()
    }

    fn wood(&mut self, site: &Site, allowance: Allowance) -> &mut Wood {
        let wood = self.take_wood(site, allowance);
        self.wood.insert(wood)
    }

    /// The stock itself.
    pub(crate) fn take_stock(&mut self, site: &Site, allowance: Allowance) -> HeightMap {
        self.take_wood(site, allowance).stock
    }

    fn take_wood(&mut self, site: &Site, allowance: Allowance) -> Box<Wood> {
        self.wood.take().unwrap_or_else(|| {
            let mut wood = Box::new(Wood::of(site, allowance));
            unpack(&mut wood.stock.depth, &take(&mut self.packed));
            wood
        })
    }

    /// Packs the samples of a place that rests: most lie on a few even floors.
    pub(crate) fn pack(&mut self) {
        if let Some(wood) = self.wood.take() {
            let runs = wood.stock.depth.chunk_by(|one, next| one == next);
            let run = |run: &[f32]| (u32::try_from(run.len()).unwrap_or(u32::MAX), run[0]);
            self.packed = runs.map(run).collect();
        }
    }
}

/// Puts packed depths back, where there are any.
fn unpack(depths: &mut [f32], packed: &[(u32, f32)]) {
    let mut rest = depths;
    for &(count, depth) in packed {
        let count = usize::try_from(count).unwrap_or(usize::MAX).min(rest.len());
        let (run, later) = rest.split_at_mut(count);
        run.fill(depth);
        rest = later;
    }
}

impl Kept {
    /// Keeps those moves that some sample of `blank` wood owes its depth to.
    fn let_go_of_the_overtaken(&mut self, mut blank: HeightMap, top: f64) {
        let mut owners = Owners {
            of: vec![u32::MAX; blank.depth.len()],
            present: 0,
        };
        for TakingMove { segment, tip } in self.cuts() {
            blank.cut(&segment, top, tip, &mut owners);
            owners.present += 1;
        }
        let mut owns = vec![false; self.moves.len()];
        for owner in owners.of {
            if let Some(owns) = usize::try_from(owner)
                .ok()
                .and_then(|own| owns.get_mut(own))
            {
                *owns = true;
            }
        }
        let mut owns = owns.into_iter();
        self.moves.retain(|_| owns.next().unwrap_or(true));
    }
}

/// Which move each sample owes its depth to.
struct Owners {
    of: Vec<u32>,
    present: u32,
}

impl Witness for Owners {
    fn few(&mut self, first: usize, before: &Few, after: &Few) {
        for place in (0..FEW).filter(|&place| after[place] > before[place]) {
            if let Some(owner) = self.of.get_mut(first + place) {
                *owner = self.present;
            }
        }
    }

    fn one(&mut self, index: usize, before: f32, after: f32) {
        if after > before {
            self.of[index] = self.present;
        }
    }

    fn even(&mut self, samples: Range<usize>, before: f32, after: f32) {
        if after > before {
            self.of[samples].fill(self.present);
        }
    }
}

impl Wood {
    /// Wood that this run has not touched.
    fn of(site: &Site, allowance: Allowance) -> Self {
        let mut stock = HeightMap::new(site.min, site.max, allowance.cell);
        let mut at_wall = vec![0; stock.depth.len()];
        if let Some(kerf) = &site.kerf {
            return Self::about(kerf, site.already > 0, stock, at_wall, allowance);
        }
        let walls: Vec<&Depth> = site.steps.iter().take(32).collect();
        for row in 0..stock.grid.rows {
            let y = stock.grid.point(0, row)[1];
            let base = row * stock.grid.columns;
            for (layer, step) in walls.iter().enumerate() {
                let outer = inside(&stock, y, step.outline.grown(OUTSIDE));
                let inner = inside(&stock, y, step.outline.grown(-allowance.band));
                for column in outer {
                    if !inner.contains(&column) {
                        at_wall[base + column] |= 1 << layer;
                    }
                }
                if layer < site.already {
                    let gone = inside(&stock, y, Some(step.outline));
                    stock.depth[base + gone.start..base + gone.end].fill(to_f32(step.depth));
                }
            }
        }
        Self {
            stock,
            at_wall,
            floors: walls.iter().map(|step| to_f32(step.depth)).collect(),
        }
    }

    /// The same about a kerf, whose only wall is the piece's.
    fn about(
        kerf: &Kerf,
        is_gone: bool,
        mut stock: HeightMap,
        mut at_wall: Vec<u32>,
        allowance: Allowance,
    ) -> Self {
        for row in 0..stock.grid.rows {
            for column in 0..stock.grid.columns {
                let out = kerf.piece.signed_distance(stock.grid.point(column, row));
                let index = row * stock.grid.columns + column;
                at_wall[index] = u32::from((-OUTSIDE..=allowance.band).contains(&out));
                if is_gone && (0.0..=kerf.width).contains(&out) {
                    stock.depth[index] = to_f32(kerf.depth);
                }
            }
        }
        Self {
            stock,
            at_wall,
            floors: vec![to_f32(kerf.depth)],
        }
    }

    fn cut(&mut self, segment: &Segment, top: f64, tip: Tip) -> Bite {
        let mut taken = Taken {
            at_wall: &self.at_wall,
            floors: &self.floors,
            whole: 0.0,
            core: 0.0,
            wall: 0.0,
            sums: [0.0; FEW],
        };
        self.stock.cut(segment, top, tip, &mut taken);
        let Taken {
            whole,
            core,
            wall,
            sums,
            ..
        } = taken;
        Bite {
            whole: f64::from(whole),
            core: f64::from(if whole < SCRAPING { whole } else { core }),
            wall: f64::from(wall),
            volume: f64::from(joined(sums, |a, b| a + b)) * self.stock.grid.cell_area(),
        }
    }
}

/// What one move takes so far.
struct Taken<'a> {
    at_wall: &'a [u32],
    floors: &'a [f32],
    whole: f32,
    core: f32,
    wall: f32,
    /// Of the heights taken, in parts.
    sums: Few,
}

impl Taken<'_> {
    fn height(&mut self, index: usize, old: f32, new: f32) {
        let taken = new - old;
        if taken < SCRAPING {
            return;
        }
        let [at_walls] = heights_at_walls(&[self.at_wall[index]], self.floors, [old], [new]);
        self.wall = greater(self.wall, at_walls);
        self.core = greater(self.core, taken - at_walls);
    }
}

impl Witness for Taken<'_> {
    fn few(&mut self, first: usize, before: &Few, after: &Few) {
        let taken: Few = from_fn(|place| after[place] - before[place]);
        let most = joined(taken, greater);
        self.whole = greater(self.whole, most);
        for (sum, taken) in self.sums.iter_mut().zip(taken) {
            *sum += taken;
        }
        if most < SCRAPING {
            return;
        }
        let Some(walls) = self.at_wall[first..].first_chunk::<FEW>() else {
            return;
        };
        if walls.iter().fold(0, |any, wall| any | wall) == 0 {
            self.core = greater(self.core, most);
            return;
        }
        let at_walls = heights_at_walls(walls, self.floors, *before, *after);
        let core: Few = from_fn(|place| taken[place] - at_walls[place]);
        self.wall = greater(self.wall, joined(at_walls, greater));
        self.core = greater(self.core, joined(core, greater));
    }

    fn one(&mut self, index: usize, before: f32, after: f32) {
        self.whole = greater(self.whole, after - before);
        self.sums[0] += after - before;
        self.height(index, before, after);
    }

    fn even(&mut self, samples: Range<usize>, before: f32, after: f32) {
        let taken = after - before;
        self.whole = greater(self.whole, taken);
        self.sums[1] += taken * to_f32(number(samples.len()));
        if taken >= SCRAPING {
            for index in samples {
                self.height(index, before, after);
            }
        }
    }
}

/// The samples of the row at `y` that lie inside an outline.
fn inside(stock: &HeightMap, y: f64, outline: Option<RoundedRectangle>) -> Range<usize> {
    outline
        .and_then(|outline| outline.span(y))
        .map_or(0..0, |(first, last)| {
            stock.grid.columns_between(first, last)
        })
}

/// How much of the wood from `old` down to `new` belongs to layers whose wall
/// is near, for each of some samples.
fn heights_at_walls<const N: usize>(
    at_wall: &[u32; N],
    floors: &[f32],
    old: [f32; N],
    new: [f32; N],
) -> [f32; N] {
    let mut ceiling = 0.0_f32;
    let mut heights = [0.0; N];
    for (layer, &floor) in floors.iter().enumerate() {
        for place in 0..N {
            let height = greater(
                lesser(new[place], floor) - greater(old[place], ceiling),
                0.0,
            );
            let is_near = (at_wall[place] >> layer) & 1;
            heights[place] += f32::from_bits(height.to_bits() & is_near.wrapping_neg());
        }
        ceiling = floor;
    }
    heights
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::sample;
    use crate::verify::scene::Scene;

    const TIP: Tip = Tip {
        radius: 3.0,
        point: 0.0,
    };

    /// For 0.2 mm, and samples as wide apart as half of it.
    const ALLOWANCE: Allowance = Allowance {
        band: 0.332_842_712,
        cell: 0.0925,
    };

    /// The lid's first pocket: centre (45, 14.5), 44.1 × 10.1 to 4.7, 27.1 × 10.1 to 12.4.
    fn site() -> Site {
        Scene::new(&sample::job()).sites[2].clone()
    }

    fn cut(ground: &mut PocketStock, from: [f64; 3], to: [f64; 3]) -> Bite {
        ground.cut(&site(), 0.0, &Segment::line(from, to), TIP, ALLOWANCE)
    }

    #[track_caller]
    fn near(found: f64, expected: f64, error: f64) {
        assert!(
            (found - expected).abs() <= error,
            "{found} is not {expected}"
        );
    }

    #[test]
    fn the_second_pass_takes_only_what_the_first_left() {
        let mut ground = PocketStock::new(&site());
        let first = cut(&mut ground, [35.0, 14.5, -2.0], [55.0, 14.5, -2.0]);
        near(first.core, 2.0, 1e-6);
        // 20 × 6 mm and a circle of 6 mm, 2 mm deep.
        near(first.volume, 2.0 * (120.0 + 28.27), 6.0);
        let second = cut(&mut ground, [35.0, 14.5, -3.0], [55.0, 14.5, -3.0]);
        near(second.core, 1.0, 1e-6);
        let again = cut(&mut ground, [35.0, 14.5, -3.0], [55.0, 14.5, -3.0]);
        assert_eq!(again, Bite::default());
    }

    /// Roughing 0.2 mm short of the wall leaves 0.2 mm for a finishing move,
    /// which is no bite of the core however high it is.
    #[test]
    fn wood_at_the_wall_is_told_apart() {
        let mut ground = PocketStock::new(&site());
        for y in [14.5, 16.35] {
            cut(&mut ground, [35.0, y, -4.7], [55.0, y, -4.7]);
        }
        let finish = cut(&mut ground, [36.0, 16.55, -4.7], [54.0, 16.55, -4.7]);
        near(finish.wall, 4.7, 1e-5);
        near(finish.core, 0.0, 1e-6);
        // 18 mm long, 0.2 mm wide, 4.7 mm high, and a little at both ends.
        near(finish.volume, 18.0 * 0.2 * 4.7, 3.0);
    }

    #[test]
    fn the_floor_of_a_shallow_step_is_no_wall_of_the_deep_one() {
        let mut ground = PocketStock::new(&site());
        cut(&mut ground, [30.0, 14.5, -4.7], [60.0, 14.5, -4.7]);
        // Near the end of the second step (x = 31.45 … 58.55), away from the sides.
        let deep = cut(&mut ground, [34.45, 14.5, -6.0], [55.55, 14.5, -6.0]);
        near(deep.core, 1.3, 1e-5);
        near(deep.wall, 1.3, 1e-5);
    }

    /// 10 mm in moves of a hundredth and longer: the shortest are shorter than
    /// the sliver at the side of the bit that does not count.
    #[test]
    fn short_moves_cannot_take_wood_unseen() {
        for count in [1000_u32, 400, 160, 100, 70, 50, 30, 10] {
            let mut ground = PocketStock::new(&site());
            cut(&mut ground, [35.0, 14.5, -4.0], [35.0, 14.5, -4.0]);
            let (mut highest, mut volume) = (0.0_f64, 0.0);
            for step in 0..count {
                let x = |step: u32| 35.0 + 10.0 * f64::from(step) / f64::from(count);
                let from = [x(step), 14.5, -4.0];
                let bite = cut(&mut ground, from, [x(step + 1), 14.5, -4.0]);
                highest = highest.max(bite.core);
                volume += bite.volume;
            }
            near(highest, 4.0, 1e-6);
            let swept = 10.0 * 6.0 * 4.0;
            let told = volume / swept;
            assert!((0.94..1.001).contains(&told), "{count} moves: {told}");
        }
    }

    #[test]
    fn a_run_of_the_second_step_starts_from_the_first_ones_floor() {
        let mut site = site();
        site.already = 1;
        let mut ground = PocketStock::new(&site);
        let segment = Segment::line([40.0, 14.5, -5.7], [50.0, 14.5, -5.7]);
        let bite = ground.cut(&site, 0.0, &segment, TIP, ALLOWANCE);
        near(bite.core, 1.0, 1e-5);
        // Gone is the outline, 34 × 10.1 mm and a circle, and nothing beside it.
        let stock = ground.take_stock(&site, ALLOWANCE);
        let gone = stock.depth.iter().filter(|&&depth| depth > 0.0).count();
        let area = f64::from(u32::try_from(gone).unwrap()) * stock.grid.cell_area();
        near(area, 34.0 * 10.1 + 5.05 * 5.05 * std::f64::consts::PI, 3.0);
    }

    #[test]
    fn moves_are_kept_as_they_were() {
        let mut ground = PocketStock::new(&site());
        let line = Segment::line([40.0, 13.0, -1.0], [50.0, 16.0, -2.0]);
        let arc = Segment::arc([50.0, 16.0, -2.0], [48.0, 18.0, -2.5], [48.0, 16.0], 1.5);
        for segment in [&line, &arc] {
            ground.cut(&site(), 0.0, segment, TIP, ALLOWANCE);
        }
        let cuts: Vec<TakingMove> = ground.cuts().collect();
        assert_eq!(cuts.len(), 2);
        for (cut, segment) in cuts.iter().zip([&line, &arc]) {
            assert_eq!(cut.tip, TIP);
            for axis in 0..3 {
                near(cut.segment.from[axis], segment.from[axis], 1e-5);
                near(cut.segment.to[axis], segment.to[axis], 1e-5);
            }
            assert_eq!(cut.segment.turn.is_some(), segment.turn.is_some());
        }
        let turn = cuts[1].segment.turn.unwrap();
        near(turn.center[0], 48.0, 1e-5);
        near(turn.center[1], 16.0, 1e-5);
        near(turn.sweep, 1.5, 1e-5);
    }

    #[test]
    fn forgotten_wood_comes_back_from_the_moves() {
        let mut ground = PocketStock::new(&site());
        cut(&mut ground, [35.0, 14.5, -2.0], [55.0, 14.5, -2.0]);
        ground.pack();
        assert!(ground.wood.is_none());
        let bite = cut(&mut ground, [35.0, 14.5, -3.0], [55.0, 14.5, -3.0]);
        near(bite.core, 1.0, 1e-6);
    }

    /// The bit stands in an even floor, a disc of 28.27 mm², and goes down half a
    /// millimetre and then a hundredth.
    #[test]
    fn an_even_floor_is_taken_whole() {
        let mut ground = PocketStock::new(&site());
        cut(&mut ground, [45.0, 14.5, 0.0], [45.0, 14.5, -2.0]);
        let down = cut(&mut ground, [45.0, 14.5, -2.0], [45.0, 14.5, -2.5]);
        near(down.whole, 0.5, 1e-6);
        near(down.core, 0.5, 1e-6);
        assert_eq!(down.wall, 0.0);
        near(down.volume, 0.5 * 28.27, 0.3);
        let further = cut(&mut ground, [45.0, 14.5, -2.5], [45.0, 14.5, -2.51]);
        near(further.core, 0.01, 1e-6);
        near(further.volume, 0.01 * 28.27, 0.01);
    }

    /// 16.55 is as near to the wall as the bit comes.
    #[test]
    fn an_even_floor_at_a_wall_is_told_apart_where_it_is_near() {
        let mut ground = PocketStock::new(&site());
        cut(&mut ground, [45.0, 16.55, 0.0], [45.0, 16.55, -2.0]);
        let down = cut(&mut ground, [45.0, 16.55, -2.0], [45.0, 16.55, -2.5]);
        near(down.core, 0.5, 1e-6);
        near(down.wall, 0.5, 1e-6);
    }

    /// 10 mm of way and 1 mm down in fifty moves: what they are told to take is
    /// what the wood has lost, less a sliver before each.
    #[test]
    fn short_moves_of_a_ramp_add_up() {
        let mut ground = PocketStock::new(&site());
        cut(&mut ground, [40.0, 14.5, 0.0], [40.0, 14.5, -2.0]);
        let lost = |ground: &PocketStock| {
            let stock = &ground.wood.as_ref().unwrap().stock;
            let depths = stock.depth.iter().map(|&depth| f64::from(depth));
            depths.sum::<f64>() * stock.grid.cell_area()
        };
        let before = lost(&ground);
        let at = |step: i32| {
            let share = f64::from(step) / 50.0;
            [40.0 + 10.0 * share, 14.5, -2.0 - share]
        };
        let bites = (0..50).map(|step| cut(&mut ground, at(step), at(step + 1)).volume);
        let told: f64 = bites.sum();
        let lost = lost(&ground) - before;
        assert!(told > 0.9 * lost && told <= lost + 1e-3, "{told} of {lost}");
    }

    #[test]
    fn what_is_cut_already_is_gone_all_over() {
        let mut site = site();
        site.already = 1;
        let mut ground = PocketStock::new(&site);
        for y in [12.45, 14.5, 16.55] {
            let segment = Segment::line([31.0, y, -4.7], [59.0, y, -4.7]);
            let bite = ground.cut(&site, 0.0, &segment, TIP, ALLOWANCE);
            assert!(bite.volume < 0.1, "{y}: {bite:?}");
        }
    }

    /// Of a crowd of moves those that take nothing are not kept.
    #[test]
    fn a_crowded_place_keeps_what_takes_wood() {
        let mut ground = PocketStock::new(&site());
        cut(&mut ground, [35.0, 14.5, -2.0], [55.0, 14.5, -2.0]);
        let first = ground.kept.moves[0].clone();
        ground.kept.moves.resize(KEPT_MOVES - 1, first);
        let mut kept = |z: f64| {
            cut(&mut ground, [35.0, 14.5, z], [55.0, 14.5, z]);
            ground.kept.moves.len()
        };
        assert_eq!(kept(-2.0), KEPT_MOVES);
        assert_eq!(kept(-2.0), KEPT_MOVES);
        assert_eq!(kept(-3.0), KEPT_MOVES + 1);
    }

    /// The second step 2 mm to the right, so from 33.45 to 60.55.
    #[test]
    fn walls_are_known_where_they_are() {
        let mut site = site();
        site.steps[1].outline.center.x += 2.0;
        let wood = Wood::of(&site, ALLOWANCE);
        let grid = wood.stock.grid;
        let near_second = |x: f64, y: f64| {
            let [column, row] = grid.cells_to([x, y]).map(|cells| cells.round() as usize);
            wood.at_wall[row * grid.columns + column] & 0b10 != 0
        };
        assert!(near_second(33.55, 14.5) && near_second(60.45, 14.5));
        assert!(!near_second(34.0, 14.5) && !near_second(60.0, 14.5));
        assert!(!near_second(31.55, 14.5) && !near_second(58.45, 14.5));
        assert!(near_second(47.0, 9.55) && near_second(47.0, 19.45));
        assert!(!near_second(47.0, 10.0) && !near_second(47.0, 19.0));
    }

    #[test]
    fn each_move_is_kept_with_its_own_bit() {
        let mut ground = PocketStock::new(&site());
        let drill = Tip {
            radius: 1.25,
            point: 0.75,
        };
        for (tip, depth) in [(TIP, 2.0), (drill, 3.0), (TIP, 2.5), (drill, 4.0)] {
            let segment = Segment::line([45.0, 14.5, 0.0], [45.0, 14.5, -depth]);
            ground.cut(&site(), 0.0, &segment, tip, ALLOWANCE);
        }
        let tips: Vec<_> = ground.cuts().map(|cut| cut.tip).collect();
        assert_eq!(tips, [TIP, drill, TIP, drill]);
        assert_eq!(ground.kept.tips, [TIP, drill]);
    }

    #[test]
    fn a_move_that_takes_nothing_is_kept_too() {
        let mut ground = PocketStock::new(&site());
        for kept in 1..=2 {
            cut(&mut ground, [35.0, 14.5, -2.0], [55.0, 14.5, -2.0]);
            assert_eq!(ground.cuts().count(), kept);
        }
    }

    /// Round (46, 14) and down, off the middle of the place.
    #[test]
    fn forgotten_arcs_come_back_from_the_moves_too() {
        let mut ground = PocketStock::new(&site());
        let (from, to) = ([47.5, 14.0, -2.0], [46.0, 15.5, -2.2]);
        let arc = Segment::arc(from, to, [46.0, 14.0], std::f64::consts::FRAC_PI_2);
        let mut cut = |segment| ground.cut(&site(), 0.0, &segment, TIP, ALLOWANCE);
        near(cut(arc).whole, 2.2, 1e-6);
        ground.pack();
        let again = ground.cut(&site(), 0.0, &arc, TIP, ALLOWANCE);
        assert!(again.whole < 1e-3 && again.volume < 1e-3, "{again:?}");
    }

    /// To and fro on one line, down by a thousandth each: all but the last
    /// have been overtaken.
    #[test]
    fn moves_that_others_have_overtaken_are_let_go() {
        let site = site();
        let mut kept = PocketStock::new(&site).kept;
        let line =
            |x: [f64; 2], depth: f64| Segment::line([x[0], 14.5, -depth], [x[1], 14.5, -depth]);
        for step in 1..=50 {
            kept.push(&line([35.0, 55.0], f64::from(step) * 0.001), TIP);
        }
        // Beside the others, and not as deep.
        kept.push(&line([56.0, 58.0], 0.01), TIP);
        let blank = || Wood::of(&site, ALLOWANCE).stock;
        let cut = |kept: &Kept| {
            let mut stock = blank();
            for TakingMove { segment, tip } in kept.cuts() {
                stock.cut(&segment, 0.0, tip, &mut ());
            }
            stock.depth
        };
        let before = cut(&kept);
        kept.let_go_of_the_overtaken(blank(), 0.0);
        let depths: Vec<f32> = kept.moves.iter().map(|kept| kept.from[2]).collect();
        assert_eq!(depths, [-0.05, -0.01]);
        assert_eq!(cut(&kept), before);
    }

    #[test]
    fn wood_that_rests_comes_back_as_it_was() {
        let mut ground = PocketStock::new(&site());
        for x in [30.0, 41.0, 52.0] {
            cut(&mut ground, [x, 14.5, -1.0], [x + 6.0, 14.5, -3.5]);
        }
        let before = ground.wood(&site(), ALLOWANCE).stock.depth.clone();
        ground.pack();
        assert!(ground.wood.is_none() && ground.packed.len() < before.len() / 2);
        assert_eq!(ground.wood(&site(), ALLOWANCE).stock.depth, before);
    }

    #[test]
    fn layers_count_only_where_their_own_wall_is_near() {
        let floors = [4.7, 12.4];
        let at_walls = |walls: u32, old: f32| {
            let [_, height] = heights_at_walls(&[0, walls], &floors, [0.0, old], [1.0, 12.0]);
            height
        };
        assert_eq!(at_walls(0b00, 0.0), 0.0);
        assert_eq!(at_walls(0b01, 0.0), 4.7);
        assert!((at_walls(0b10, 3.0) - 7.3).abs() < 1e-5);
        assert!((at_walls(0b11, 3.0) - 9.0).abs() < 1e-5);
    }

    /// A hole at (63, 14.5) of the lid, drilled 9 mm deep.
    #[test]
    fn only_a_drill_goes_straight_down_the_hole_it_has_drilled() {
        let mut site = site();
        site.holes.push(crate::verify::scene::site::Bore {
            center: [63.0, 14.5],
            radius: 1.25,
            tip: 13.7,
            point: 0.75,
        });
        let mut ground = PocketStock::new(&site);
        ground.drilled = vec![9.0];
        let own = |from: [f64; 2], to: [f64; 2], point: f64| {
            let segment = Segment::line([from[0], from[1], 5.0], [to[0], to[1], -9.0]);
            let tip = Tip {
                radius: 1.25,
                point,
            };
            ground.own_hole(&site, &segment, tip)
        };
        let at = |x: f64| [x, 14.5];
        assert_eq!(own(at(63.0), at(63.0), 0.75), Some(9.0));
        assert_eq!(own(at(63.0), at(63.0), 0.0), None);
        assert_eq!(own(at(63.019), at(63.019), 0.75), Some(9.0));
        assert_eq!(own(at(63.021), at(63.021), 0.75), None);
        assert_eq!(own(at(63.0), at(63.01), 0.75), None);
    }
}
