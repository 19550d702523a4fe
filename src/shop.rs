//! What stands in the workshop: bits, the machine, kinds of wood.

pub mod bit;
pub mod machine;
mod name;
pub mod wood;

pub use name::same_name;
