//! Wood left in the places that this run cuts, as the moves left it.

use crate::verify::job_context::JobContext;
use crate::verify::material::kerf_left;
use crate::verify::material::pocket_stock::PocketStock;
use crate::verify::material::residual::{TakingMove, residual};
use crate::verify::scene::Site;

/// Wood left in each site that could have been reached, in millimetres.
pub(crate) fn left(shop: &JobContext<'_>) -> Vec<f64> {
    let sites = shop.scene.sites.iter().zip(&shop.grounds);
    let left =
        sites.map(|(site, ground)| left_at(shop, site, ground).max(left_round(shop, site, ground)));
    left.collect()
}

fn left_at(shop: &JobContext<'_>, site: &Site, ground: &PocketStock) -> f64 {
    let top = shop.scene.boards[site.board].top;
    // Where nothing was cut all of the wood is left, whatever would reach it.
    let radius = ground.radius.unwrap_or(0.0);
    let cuts: Vec<TakingMove> = ground.cuts().collect();
    site.required_steps()
        .iter()
        .map(|step| residual(&cuts, top, step, radius))
        .fold(0.0, f64::max)
}

/// The same of a kerf. Where two pieces lie near each other, cuts count for both
/// whichever place they were made in.
fn left_round(shop: &JobContext<'_>, site: &Site, ground: &PocketStock) -> f64 {
    let Some(kerf) = site.required_kerf() else {
        return 0.0;
    };
    let board = &shop.scene.boards[site.board];
    let grounds = &shop.grounds[board.sites.clone()];
    let cuts: Vec<TakingMove> = grounds.iter().flat_map(PocketStock::cuts).collect();
    kerf_left::left(&cuts, board, kerf, ground.radius.unwrap_or(0.0))
}
