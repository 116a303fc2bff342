//! The records of the film book as they are kept: what the database, the journal and the place before it hold together.

use book::{ByKey, Keeper, Kind, Shelved, Written};

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

/// The records of a kind as they are kept, for the other programs: keys and texts.
pub(crate) async fn records_of(kind: Kind) -> Vec<(String, String)> {
    let begins = format!("{}.", kind.name());
    let mut found = ByKey::new();
    for (key, text) in database::index().await.unwrap_or_default() {
        if let Some(shelved) = Shelved::decode(&text).filter(|_| key.starts_with(&begins)) {
            found.insert(shelved.key().clone(), shelved);
        }
    }
    for written in old().into_iter().chain(journal()) {
        if written.key.kind == kind && Keeper::is_news(&written, found.get(&written.key)) {
            let (shelved, _) = written.shelved();
            found.insert(written.key, shelved);
        }
    }
    found
        .iter()
        .filter_map(|(key, shelved)| Some((key.text(), shelved.text()?.to_owned())))
        .collect()
}
