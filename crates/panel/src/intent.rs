//! Everything a person can ask of the page. Keyboard, buttons, taps, drags, wheel and links all become one of these.

use crate::loaded::Loaded;
use crate::view::{CameraForm, Control};

/// One thing a person asks for.
#[derive(Debug, Clone, PartialEq)]
pub enum Intent {
    /// Turn a dial to the mark with this index of its face.
    Turn(Control, usize),
    /// Turn a dial by so many marks or stops, or to an end.
    Nudge(Control, Nudge),
    /// Type a value for a dial: it goes to that mark, or to the nearest one that the camera has, and says so.
    Type(Control, String),
    /// Give back the value that the dial had before this turn began.
    GiveBack(Control),
    /// The turn is over: time to save and to speak.
    Settle,
    /// Hold a dial (`true`) or let it go.
    Hold(Control, bool),
    /// Drop every deliberate offset: the free dials make up for the reading again.
    BackToReading,
    /// Type one field of the reading.
    Reading(Control, String),
    /// Set the reading by the dials (`true`), which have the device's marks meanwhile, or the camera again.
    ByDials(bool),
    /// The reading device steps in halves (`true`) or thirds.
    ReadingHalves(bool),
    /// Count a correction of the ledger (`true`) or leave it out.
    Correct(usize, bool),
    /// Take the whole setting over from another part of the page that was given it: the [`parcel`](crate::link::parcel) that it
    /// made.
    Take(String),
    /// Set everything for a roll that is in a camera: its camera, film and rating, the rating held.
    Serve(Box<Loaded>),
    /// Type the box speed.
    BoxSpeed(String),
    /// Choose a film type by key.
    Film(String),
    /// Choose a rounding rule by key.
    Rounding(String),
    /// Choose a camera by id.
    Camera(String),
    /// Save a camera of the user's own: a new one (no id) or a changed one.
    SaveCamera(Option<String>, CameraForm),
    /// Remove a camera of the user's own.
    RemoveCamera(String),
    /// Type the hand-held limit; empty text goes back to the rule of thumb.
    HandLimit(String),
    /// Bracket by `time` or by `aperture`.
    BracketBy(String),
    /// Frames with less light than the base.
    BracketUnder(u8),
    /// Frames with more light than the base.
    BracketOver(u8),
    /// Step of the bracket by key.
    BracketStep(String),
    /// Shooting order by key.
    BracketOrder(String),
    /// Put a pair of the table on the dials: row of [`View::pairs`](crate::View::pairs).
    Pick(usize),
    /// Own cameras were saved or removed in another tab: their records, as [`store`](crate::store) writes them.
    CamerasElsewhere(Vec<(String, String)>),
    /// Take the whole setting from a link's fragment.
    OpenLink(String),
    /// After a link: back to the setting from before it.
    LeaveLink,
    /// Choose a theme by key: `sun`, `dusk`, `darkroom`.
    Theme(String),
    /// Vibration tick on or off.
    Tick(bool),
}

/// A relative turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nudge {
    /// So many marks; positive is brighter.
    Marks(i32),
    /// So many whole stops; positive is brighter.
    Stops(i32),
    /// The brightest mark (`true`) or the darkest.
    End(bool),
}

/// What an intent led to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outcome {
    /// One plain sentence for the status line, spoken when the turn settles.
    pub sentence: Option<String>,
    /// Whether a detent was crossed (for the vibration tick).
    pub moved: bool,
    /// Whether what is stored has to be written.
    pub save: Save,
}

/// What has to be written after an intent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Save {
    /// Nothing yet.
    #[default]
    Nothing,
    /// The setting.
    Setting,
    /// The setting and the user's own cameras.
    Cameras,
}

/// Text that could not be taken: the field keeps it, the state stays as it was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// A sentence that says what would be accepted.
    pub sentence: String,
}
