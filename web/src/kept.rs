//! The records of the film book as they are kept: what the database, the journal and the place before it hold together.

use book::{Device, Written};

use crate::browser::{database, storage};

/// Where records lay before there was a database. They move over by themselves.
pub(crate) const OLD: &str = "stopkeeper.book.";
/// What was changed and may not be in the database yet.
pub(crate) const JOURNAL: &str = "stopkeeper.journal.";

/// The entries of the journal that can be read, as they stand now.
pub(crate) fn journal() -> Vec<Written> {
    storage::read_all(JOURNAL)
        .unwrap_or_default()
        .into_iter()
        .filter_map(|(_, text)| Written::decode(&text))
        .collect()
}

/// The records that lie where they lay before there was a database.
pub(crate) fn old() -> Vec<Written> {
    storage::read_all(OLD)
        .unwrap_or_default()
        .into_iter()
        .filter_map(|(key, text)| Written::of_old(key.strip_prefix(OLD)?, &text))
        .collect()
}

/// The reading devices of the kit, for a program that has no book.
pub(crate) async fn devices() -> Vec<Device> {
    let index = database::index().await.unwrap_or_default();
    book::devices(&index, old().into_iter().chain(journal()))
}
