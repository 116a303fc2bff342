//! What of Learn is fetched when it is first wanted: questions and lessons. Whoever comes from the dial looks at a picture first.

use super::{Class, lessons, practise, see::See};
use crate::parts::Part;

/// The way to it.
#[derive(Debug)]
pub struct Apart {
    /// The page of questions.
    pub(super) practise: fn() -> Part,
    /// The page of lessons.
    pub(super) lessons: fn(See, Class) -> Part,
    /// Takes in the lesson that was handed on.
    pub(super) take: fn(Class),
}

/// All of it.
#[must_use]
pub fn apart() -> &'static Apart {
    &Apart {
        practise: practise::page,
        lessons: lessons::page,
        take: lessons::take,
    }
}
