//! Choices from a list.

/// Keys and names to choose from.
pub(crate) type Options = Vec<(String, String)>;
