//! What of the book is fetched when it is first wanted: all that shows, measures and weighs scans, and the film-speed test.
//! Most who open the book look up a frame or tick one off.

use book::{Book, Group, Suggestion};

use super::{evidence, review, room::Room, speed_test};
use crate::parts::Part;

/// The way to it.
#[derive(Debug)]
pub struct Apart {
    /// The page on which the scans of a roll are judged.
    pub(super) review: fn(Room, String) -> Part,
    /// The page of a film-speed test.
    pub(super) speed_test: fn(Room, Group) -> Part,
    /// What was judged of a group, drawn.
    pub(super) evidence: fn(Room, &Book, &Suggestion) -> Part,
    /// What was preferred two at a time in a group.
    pub(super) paired: fn(&Book, &Group) -> Part,
}

/// All of it.
#[must_use]
pub fn apart() -> &'static Apart {
    &Apart {
        review: review::page,
        speed_test: speed_test::page,
        evidence: evidence::shown,
        paired: evidence::paired,
    }
}
