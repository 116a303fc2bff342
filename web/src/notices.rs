//! Quiet lines above the dials: an exposure that is counted, what was not kept, a link that is open, a newer version.

use crate::browser::slots::{Slots, places};

const NEWER: &str = "A new version is ready.";
const FROM_LINK: &str = "This setting came with a link. Your own is kept.";

places! {
    NAMES {
        Newer "newer", NewerText "newer-text",
        Counting "counting", CountingText "counting-text",
        FromLink "from-link", FromLinkText "from-link-text",
        Waits "waits", WaitsText "waits-text",
        Said "said",
    }
}

/// All quiet lines; a line without a sentence is not there.
pub(crate) struct Notices(Slots);

impl Notices {
    pub(crate) fn find() -> Self {
        Self(Slots::find("", NAMES))
    }

    fn line(&self, line: Place, text: Place, sentence: &str) {
        self.0.text(text, sentence);
        self.0.flag(line, "hidden", sentence.is_empty());
    }

    /// A newer version waits.
    pub(crate) fn newer(&self) {
        self.line(Place::Newer, Place::NewerText, NEWER);
    }

    /// What the timer counts; empty while it does not.
    pub(crate) fn counting(&self, count: &str) {
        self.line(Place::Counting, Place::CountingText, count);
    }

    /// Whether the setting came with a link.
    pub(crate) fn came_with_link(&self, is: bool) {
        let sentence = if is { FROM_LINK } else { "" };
        self.line(Place::FromLink, Place::FromLinkText, sentence);
    }

    /// What has waited for long in the film book; empty where nothing has.
    pub(crate) fn waits(&self, sentence: &str) {
        self.line(Place::Waits, Place::WaitsText, sentence);
    }

    /// What could not be read or kept, a sentence to a line.
    pub(crate) fn said(&self, sentences: &str) {
        self.line(Place::Said, Place::Said, sentences);
    }
}
