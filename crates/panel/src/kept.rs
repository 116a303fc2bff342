//! What became of a record that was read.

use crate::store::{Unreadable, aside_key};

/// A record of its own, read from storage.
#[derive(Debug, Clone, PartialEq)]
pub enum Kept<T> {
    /// As it was written.
    Good(T),
    /// Not what this page writes: to be kept under this other key before anything is written over it.
    Damaged(String),
    /// Written by a newer version of this page: to be left as it is.
    Newer,
}

impl<T> Kept<T> {
    pub(crate) fn of(key: &str, text: &str, read: Result<T, Unreadable>) -> Self {
        match read {
            Ok(record) => Self::Good(record),
            Err(Unreadable::Newer) => Self::Newer,
            Err(Unreadable::Damaged) => Self::Damaged(aside_key(key, text)),
        }
    }
}
