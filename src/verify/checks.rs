//! A file for each check: what it hears, what it finds, and what it says where
//! it finds nothing.

mod bit_speed;
pub(crate) mod check;
mod chip_load;
mod chip_room;
mod clamp_clearance;
mod deflection;
mod dialect;
mod edge_wear;
mod envelope;
mod feed_limit;
mod floor_left;
mod flute_reach;
mod fold_match;
pub(crate) mod list;
mod nut_clearance;
mod opening;
mod plunge;
mod pocket_bounds;
mod pocket_complete;
mod preamble;
mod program_end;
mod ramp_angle;
mod rapid_in_wood;
mod spindle_limit;
mod spindle_on;
mod spindle_power;
mod stepdown;
mod syntax;
#[cfg(test)]
mod tests;
mod travel_height;
mod wall_left;
