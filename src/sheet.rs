//! The job sheet: one self-contained HTML page for the bench.
