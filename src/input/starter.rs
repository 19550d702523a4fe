//! The job that a person starts from.

/// A commented job file that resolves as it stands beside the shipped
/// machines; its comments say which caliper reading each key wants. The first
/// line names the JSON Schema for editors.
pub const STARTER: &str = include_str!("starter.toml");
