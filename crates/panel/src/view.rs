//! What the page shows: finished words and positions, one part per piece of the screen.
//!
//! Every part compares by value, so that the page can wake only the pieces that changed.
//! The page adds nothing to these figures: it places them.

use std::sync::Arc;

pub use exposure::Control;

/// Everything on the screen that follows from the [`State`](crate::State).
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// Whether the dials are the reading device, so that the reading is set by them.
    pub by_dials: bool,
    /// The reading of the other device.
    pub reading: ReadingView,
    /// Box speed, rating and film type.
    pub film: FilmView,
    /// The chosen camera and the ones to choose from.
    pub camera: CameraView,
    /// Time, aperture, sensitivity, in this order.
    pub dials: [DialView; 3],
    /// The ledger of stops and the exposure it adds up to.
    pub ledger: LedgerView,
    /// The bracket strip.
    pub bracket: BracketView,
    /// Every pair of time and aperture that the camera can set for this light.
    pub pairs: Vec<PairView>,
}

/// The reading as it was typed, and the light it means.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingView {
    /// Text for the field "Reading time", for example `1/125`.
    pub time: String,
    /// Text for the field "Reading aperture", for example `f/8`.
    pub aperture: String,
    /// Text for the field "Reading sensitivity", for example `ISO 200`.
    pub sensitivity: String,
    /// Whether the device steps in halves (else thirds); settles labels that belong to both.
    pub halves: bool,
    /// Asked only where a label has two meanings, else none: a sentence.
    pub two_meanings: Option<String>,
    /// Where the reading came from, for example `From: photo`; empty if it was typed.
    pub from: String,
    /// The light, for example `EV 12 at ISO 100`, and how far it may be off: `EV 12 at ISO 100, give or take 1 stop`.
    pub light: String,
}

/// Film facts: three separate speeds are kept apart and named.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmView {
    /// Box speed and film type in a line: `Box ISO 400, colour negative`.
    pub line: String,
    /// Text for the field "Box speed", for example `ISO 400`.
    pub box_speed: String,
    /// Rating against box, in words: `Rated 2 stops more light than box speed`.
    pub against_box: String,
    /// Key of the film type chosen.
    pub kind: &'static str,
    /// Key and name of each film type, for the field "Film type".
    pub kinds: &'static [(&'static str, &'static str)],
}

/// The camera field and the text of the chosen camera's marks.
#[derive(Debug, Clone, PartialEq)]
pub struct CameraView {
    /// Id of the chosen camera.
    pub chosen: String,
    /// Id and name of every camera: the described kinds first, then the user's own.
    pub all: Vec<(String, String)>,
    /// Text for the field "Hand-held limit", for example `1/50`.
    pub hand_limit: String,
    /// Where that limit comes from, in words.
    pub hand_limit_source: String,
}

/// A camera as a person types it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CameraForm {
    /// Name, any text.
    pub name: String,
    /// Times as a list, for example `B 1 1/2 1/5 1/10 1/25 1/50 1/100 1/250=1/160`.
    pub times: String,
    /// Apertures as a list (`2.8 4 5.6`) or a stepless ring (`4.5-22`).
    pub apertures: String,
    /// Key of how the marks are read: `full`, `half`, `third`, `engraved`.
    pub steps: String,
    /// Focal length of the lens in millimetres, or empty.
    pub focal: String,
}

/// One rotary dial.
#[derive(Debug, Clone, PartialEq)]
pub struct DialView {
    /// Which control this is.
    pub control: Control,
    /// Its name: `Time`, `Aperture`, `Sensitivity`.
    pub name: &'static str,
    /// The value, set large: `1/125`, `f/8`, `100`.
    pub value: String,
    /// Where the button for less light (or a lower sensitivity) leads: `1/250`; empty at the end of the scale.
    pub less: String,
    /// Where the button for more light leads.
    pub more: String,
    /// The value as it is spoken: `1/125 second`, `f/8`, `ISO 100`.
    pub spoken: String,
    /// The engraved scale. Equal scales share one allocation.
    pub face: Arc<Face>,
    /// Index of the mark at the fixed index; between two marks on a stepless ring.
    pub at: f64,
    /// The same place in stops along the face (see [`Notch::place`]).
    pub place: f64,
    /// What the dial does when another one is turned.
    pub part: Part,
    /// A short line under the value where there is something to say (end of scale, measured time), else none.
    pub note: Option<String>,
}

/// What a dial does when another one is turned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Held by the user: it stays.
    Held,
    /// It makes up for the dial that is turned.
    Follows,
    /// It was turned last.
    Leads,
    /// Free, and not needed for now.
    Free,
    /// It is the reading device's.
    Reads,
}

/// An engraved scale, darkest mark first.
#[derive(Debug, Clone, PartialEq)]
pub struct Face {
    /// The marks, from the one that gives least light (or least sensitivity) upward.
    pub notches: Vec<Notch>,
    /// Whether positions between the marks can be set.
    pub stepless: bool,
    /// Whether it goes so far that its marks have to stand closer together to fit on a full circle.
    pub wide: bool,
}

/// One mark of a face.
#[derive(Debug, Clone, PartialEq)]
pub struct Notch {
    /// What is engraved there; empty for a mark without a figure.
    pub figure: String,
    /// Where it stands along the face, in stops; grows with the index.
    pub place: f64,
    /// Whether it carries a long line.
    pub long: bool,
    /// Whether its figure finds no room where a wide face is shown as a full circle.
    pub close: bool,
}

/// The ledger: what each dial adds to or takes from the reading.
#[derive(Debug, Clone, PartialEq)]
pub struct LedgerView {
    /// One line per dial, in dial order, then one per correction, with what the film needs at long times last; the stops add
    /// up to the total.
    pub lines: Vec<LedgerLine>,
    /// The sum in words, and how far it may be off: `As the reading asks`, `⅓ stop more light than the reading asks for, give
    /// or take 1 stop`.
    pub total: String,
    /// Why the sum is not zero, where it is not: rounding to marks, the user's wish, the end of a scale.
    pub reasons: Vec<String>,
    /// Whether "back to the reading" would change anything.
    pub can_go_back: bool,
}

impl LedgerView {
    /// The lines of the corrections.
    #[must_use]
    pub fn corrections(&self) -> &[LedgerLine] {
        &self.lines[Control::ALL.len()..]
    }
}

/// One line of the ledger.
#[derive(Debug, Clone, PartialEq)]
pub struct LedgerLine {
    /// The dial, or the correction: `Time`, `Filter, factor 8`.
    pub name: String,
    /// From and to: `1/125 → 1/60`; empty for a correction.
    pub change: String,
    /// The stops in words: `gives 1 stop more light`, `3 stops less light`, `left out`.
    pub stops: String,
    /// Its direction.
    pub lean: Lean,
    /// Signed stops for drawing a bar, rounded as the words are; more light is positive.
    pub bar: f64,
    /// Whether a correction counts; none for a dial, which cannot be left out.
    pub counts: Option<bool>,
}

/// More light, less light, or neither.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lean {
    /// More light.
    More,
    /// Neither.
    Even,
    /// Less light.
    Less,
}

/// The bracket strip and its settings.
#[derive(Debug, Clone, PartialEq)]
pub struct BracketView {
    /// Key of what is changed from frame to frame: `time` or `aperture`.
    pub by: &'static str,
    /// Frames with less light than the base.
    pub under: u8,
    /// Frames with more light than the base.
    pub over: u8,
    /// Most frames on one side.
    pub most: u8,
    /// Key of the step: `third`, `half`, `one`, `two`.
    pub step: &'static str,
    /// Key and name of each step.
    pub steps: &'static [(&'static str, &'static str)],
    /// Key of the shooting order: `base`, `rising`, `falling`.
    pub order: &'static str,
    /// Key and name of each order.
    pub orders: &'static [(&'static str, &'static str)],
    /// The frames in shooting order.
    pub frames: Vec<FrameView>,
    /// The axis of stops from box speed that the frames stand on.
    pub axis: AxisView,
    /// One line on the series: `4 frames by time at f/11, 0 to 3 stops more light than the base`.
    pub summary: String,
    /// What shoot mode shows after the last frame: `Set back to 1/125`.
    pub set_back: String,
}

/// The axis of stops from box speed: less light on the left, more on the right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AxisView {
    /// Where it begins, in whole stops from box speed.
    pub from: i32,
    /// Where it ends.
    pub to: i32,
}

impl AxisView {
    /// What is written at a whole stop: `box`, and how many stops from there, without a sign, for the sides have names.
    #[must_use]
    pub fn figure(at: i32) -> String {
        match at {
            0 => "box".to_owned(),
            _ => at.unsigned_abs().to_string(),
        }
    }
}

/// One frame of the strip.
#[derive(Debug, Clone, PartialEq)]
pub struct FrameView {
    /// Place in shooting order, from 1.
    pub number: usize,
    /// What to set: `1/60` or `f/5.6`.
    pub set: String,
    /// What stays: `f/11`.
    pub leave: String,
    /// Offset from the base in words: `base`, `1 stop more light`, `as the base`.
    pub from_base: String,
    /// Offset from box speed in words: `2 stops more light than box`.
    pub from_box: String,
    /// The bare figure of the offset from box for a bar, more light positive.
    pub box_bar: f64,
    /// The EI it amounts to: `EI 100`.
    pub amounts_to: String,
    /// Whether this is the base frame.
    pub base: bool,
    /// Whether it gives as much light as the base, which may be at another mark.
    pub even: bool,
    /// `hand-held` or `tripod`.
    pub support: &'static str,
    /// Whether its time is ended by a hand or by a watch.
    pub timed: bool,
    /// Whether a tripod is needed.
    pub tripod: bool,
    /// How long to count where the film needs more than the metered time: `count 15.2 s`; else empty.
    pub count: String,
    /// The metered time as the timer takes it: `16 s`; empty where it is too short to count.
    pub metered: String,
    /// Where the picture is sharp: `sharp from 1.9 m to 3.2 m`; empty where nobody asked.
    pub sharp: String,
    /// Warnings in words: `wanted 3 stops more light, gives 2⅓`, `same setting as frame 2`, `same light as frame 2`.
    pub flags: Vec<String>,
}

impl FrameView {
    /// The whole frame in one sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        let than = if self.even { "" } else { " than the base" };
        let mut all = format!(
            "Frame {}: set {}, leave {}; {}{than}; {}; {}; {}",
            self.number,
            self.set,
            self.leave,
            self.from_base,
            self.from_box,
            self.amounts_to,
            self.support,
        );
        for words in [&self.count, &self.sharp].into_iter().chain(&self.flags) {
            if !words.is_empty() {
                all = format!("{all}; {words}");
            }
        }
        all
    }
}

/// One pair of time and aperture.
#[derive(Debug, Clone, PartialEq)]
pub struct PairView {
    /// The time, `1/60`.
    pub time: String,
    /// The aperture, `f/5.6`.
    pub aperture: String,
    /// The residual in words: `exact`, `⅓ stop more light`.
    pub residual: String,
    /// `hand-held`, `tripod`, or `by hand on B`.
    pub support: &'static str,
    /// Whether a tripod is needed.
    pub tripod: bool,
    /// How long to count where the film needs more than this time, as in [`FrameView::count`].
    pub count: String,
    /// Whether this pair is on the dials now.
    pub current: bool,
}
