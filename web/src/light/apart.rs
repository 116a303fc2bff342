//! What of the light is fetched when it is first wanted: what reads photos, a fifth of all.

use super::{photo, room::Room};
use crate::parts::Part;

/// The way to it.
#[derive(Debug)]
pub struct Apart {
    /// The page that reads a photo.
    pub(super) photo: fn(Room) -> Part,
}

/// All of it.
#[must_use]
pub fn apart() -> &'static Apart {
    &Apart { photo: photo::page }
}
