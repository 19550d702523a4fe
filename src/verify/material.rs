//! What a pocket's wood is: as the moves so far have left it.

pub(crate) mod allowance;
pub(crate) mod bite;
pub(crate) mod contact;
pub(crate) mod descent;
pub(crate) mod engagement;
pub(crate) mod kerf_left;
pub(crate) mod left;
pub(crate) mod load;
pub(crate) mod pocket_stock;
pub(crate) mod probe;
pub(crate) mod residual;
