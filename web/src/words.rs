//! Words that stand in more than one program of the page.

/// Ticks a frame off: it was shot as planned. The same words in shoot mode and on the roll.
pub(crate) const SHOT: &str = "Shot";

/// Opens a frame to note what was otherwise. The same words in shoot mode, which has them in the document, and on the roll.
pub(crate) const NOT_AS_PLANNED: &str = "Not as planned";
