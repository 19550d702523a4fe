//! What stands in the workshop: bits, the machine, kinds of wood.

pub mod bit;
pub mod machine;
pub mod wood;
