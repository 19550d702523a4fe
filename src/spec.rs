//! What the user wrote: TOML to values with their places, all mistakes at once.
