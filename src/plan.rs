//! From a job to ordered motion, no text.
