//! What is left of a path on paper.

/// The last part of a path, in either way of writing paths.
pub(super) fn file_name(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}
