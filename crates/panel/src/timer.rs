//! What to count for a long exposure, and what to show while it is counted.
//!
//! A shutter on B stays open for as long as a hand keeps it; with a film that needs more than metered, what to count is not
//! what the meter says. The end is a moment of the device's clock, so that a reload or a dark screen loses nothing: what is
//! shown follows from the clock alone, never from counted ticks.
//!
//! Moments are whole milliseconds since 1970 (UTC), as a browser's clock has them.
//!
//! ```
//! use panel::{State, timer::{Phase, Plan, Running}};
//!
//! let plan = Plan::new(&State::default(), "1'30").unwrap();
//! let running = Running::start(&plan, 1_000_000, 0);
//! assert_eq!(running.at(1_030_000).large, "1:00");
//! assert_eq!(running.at(1_091_500).phase, Phase::Over);
//! ```

use exposure::{Control, Counted, Stops, range, words};
use serde::Serialize;

use crate::{
    derive::times_of_frames,
    intent::Refusal,
    kept::Kept,
    light::LONGEST_NAME,
    state::State,
    store::{Entries, Unreadable, json},
};

/// Key of the record of an exposure under way.
pub const RECORD: &str = "stopkeeper.timer";

const FORMAT: &str = "stopkeeper timer";
/// Since the second, a record may say which frame of the series is counted; one that does not is written as the first.
const VERSION: u32 = 2;

/// Seconds that a person may want between the press and the opening.
pub const LEADS: [u8; 4] = [0, 3, 5, 10];

/// Longest exposure that is counted, in seconds: a hundred hours.
const LONGEST: f64 = 360_000.0;
/// From here on tenths are shown, and the last stretch is announced, in milliseconds.
const NEAR: u64 = 10_000;

/// More frames no series has.
const MOST_FRAMES: u64 = 1000;

/// How long to count, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    counted: Counted,
    rule: Rule,
}

/// What is known of the film at long times.
#[derive(Debug, Clone, PartialEq)]
enum Rule {
    /// Nothing.
    Unknown,
    /// Something, but it is left out.
    LeftOut(String),
    /// A rule of this name; and whether the time lies beyond the rows of its table.
    Known(String, bool),
}

impl Plan {
    /// What a metered time needs on the film of this setting. Typed as `15`, `15 s`, `7.5`, `1:30`, `1'30`, `4 min`: a bare number
    /// is seconds here, for a fraction of a second is nothing to count.
    ///
    /// # Errors
    ///
    /// A sentence, where the text is no time, or the time to count is shorter than half a second or longer than a hundred
    /// hours.
    pub fn new(state: &State, text: &str) -> Result<Self, Refusal> {
        let bare = text.trim().replace(',', ".");
        let metered = match words::plain_decimal(&bare) {
            Some(seconds) => seconds,
            None => words::parse_number(Control::Time, text).map_err(|_| unknown(text))?,
        };
        let counted = state.film_needs(metered);
        let rule = match state.long() {
            None => Rule::Unknown,
            Some(long) if !long.on() => Rule::LeftOut(long.name().to_owned()),
            Some(long) => Rule::Known(long.name().to_owned(), counted.guess),
        };
        let refused = |sentence: &str| {
            Err(Refusal {
                sentence: sentence.to_owned(),
            })
        };
        if !counted.by_hand() {
            return refused(
                "Half a second is the shortest time that can be counted by hand; leave shorter ones to the shutter.",
            );
        }
        if !(counted.needed <= LONGEST && metered.is_finite()) {
            return refused("A hundred hours is the longest time that is counted here.");
        }
        Ok(Self { counted, rule })
    }

    /// The time to count, in words: `15.2 s`.
    #[must_use]
    pub fn count(&self) -> String {
        words::to_count(self.counted.needed)
    }

    /// Why it is this long.
    #[must_use]
    pub fn reason(&self) -> String {
        let Counted { metered, more, .. } = self.counted;
        let long = metered >= 1.0;
        let metered = words::to_count(metered);
        match &self.rule {
            Rule::Unknown if long => format!(
                "As metered, {metered}. Film may need more from about 1 s on (reciprocity failure), and nothing is entered for \
                 this one."
            ),
            Rule::Unknown => format!("As metered, {metered}."),
            Rule::LeftOut(name) => format!("As metered, {metered}: {name} is left out."),
            Rule::Known(name, beyond) => {
                if more.is_even() {
                    return format!("As metered, {metered}: {name} needs nothing more.");
                }
                let beyond = if *beyond {
                    " That lies beyond the last row of the table, so it is a guess along its last piece."
                } else {
                    ""
                };
                format!(
                    "Metered {metered}, and {} of time more for {name}.{beyond}",
                    words::stops(more)
                )
            }
        }
    }
}

/// Examples of its own, for on a shutter 60 is a sixtieth and here it is a minute.
fn unknown(text: &str) -> Refusal {
    let shown: String = text.trim().chars().take(40).collect();
    let what = if shown.is_empty() {
        "Nothing was typed".to_owned()
    } else {
        format!("“{shown}” was not understood")
    };
    Refusal {
        sentence: format!("{what}; a time to count is typed like 15, 7.5, 1:30 or 4 min."),
    }
}

/// How many stops longer one time is than another.
fn ratio(time: f64, than: f64) -> Stops {
    Stops::new((time / than).log2()).unwrap_or(Stops::ZERO)
}

/// The time on the dial of a setting, as the field for the metered time shows it: what the mark really stands for, 16 s for
/// 15. Empty where it is too short to count.
#[must_use]
pub fn metered(state: &State) -> String {
    metered_text(state.set()[Control::Time.index()].gives())
}

/// The same for any metered time in seconds.
pub(crate) fn metered_text(seconds: f64) -> String {
    if seconds < range::BY_HAND.min {
        String::new()
    } else if seconds < 3599.0 {
        words::to_count(seconds)
    } else {
        // Hours are not typed.
        format!("{} s", words::decimal(seconds, 0))
    }
}

/// The series on the dial, as the timer counts it: the metered time of each frame as [`metered`] has it, in its order; empty where
/// there is nothing to count.
///
/// ```
/// use panel::{State, timer::Series};
/// assert_eq!(Series::of(&State::default()).frame_of("8 s", None), None);
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Series(Vec<String>);

impl Series {
    /// The frames that stand on the dial.
    #[must_use]
    pub fn of(state: &State) -> Self {
        let times = times_of_frames(state).into_iter();
        Self(times.map(|time| metered_text(time.gives())).collect())
    }

    /// Which frame (from 0) has this metered time: the one that is due, else the first; none where it is no frame's, or one
    /// frame is all there is.
    #[must_use]
    pub fn frame_of(&self, typed: &str, due: Option<usize>) -> Option<usize> {
        let typed = typed.trim();
        let is = |i: &usize| self.0.get(*i).is_some_and(|metered| metered == typed);
        if self.0.len() < 2 || typed.is_empty() {
            return None;
        }
        due.filter(is).or_else(|| (0..self.0.len()).find(is))
    }

    /// The next frame after one that a hand has to count, and its metered time.
    #[must_use]
    pub fn after(&self, frame: usize) -> Option<(usize, &str)> {
        let rest = self.0.iter().enumerate().skip(frame + 1);
        rest.map(|(i, metered)| (i, metered.as_str()))
            .find(|(_, metered)| !metered.is_empty())
    }

    /// A frame in words: `Frame 2 of 3 on the dial.`
    #[must_use]
    pub fn words(&self, frame: usize) -> String {
        format!("Frame {} of {} on the dial.", frame + 1, self.0.len())
    }
}

/// Where in the exposure a moment lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    /// The clock stands before the press: somebody set it back.
    Lost,
    /// Before the opening.
    Ready,
    /// Open, with a while to go.
    Open,
    /// Open, the last ten seconds.
    Near,
    /// The time is up.
    Over,
}

/// What is shown at one moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// Where in the exposure the moment lies.
    pub phase: Phase,
    /// The large figure: `1:00`, `9.4`, `Close now`.
    pub large: String,
    /// What it counts: `until you close it`, `3.2 s over`.
    pub beside: String,
    /// How long it has been open.
    pub since: String,
    /// For the title of the page.
    pub title: String,
    /// What is said when this phase begins.
    pub said: String,
    /// Seconds to go until the shutter is opened or closed, of the last three; nought before that. Each is felt.
    pub beat: u8,
    /// How wide the large figure is, in tenths of a figure, and never less than its kind needs: what counts seconds keeps one
    /// size.
    pub wide: u8,
}

/// The last seconds that are felt.
const BEATS: u64 = 3;

fn beat(left: u64) -> u8 {
    // OK to fall back on none: it is three at most.
    let seconds = left.div_ceil(1000);
    if seconds <= BEATS {
        u8::try_from(seconds).unwrap_or(0)
    } else {
        0
    }
}

/// The least width: two figures and a point, so that it is the same from 59 seconds on.
const LEAST_WIDE: u8 = 25;

fn wide(large: &str) -> u8 {
    let tenths = |c: char| if c.is_ascii_digit() { 10 } else { 5 };
    let all = large.chars().map(tenths).fold(0_u8, u8::saturating_add);
    all.max(LEAST_WIDE)
}

/// An exposure under way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Running {
    pressed: u64,
    opens: u64,
    metered: u64,
    needed: u64,
    rule: String,
    /// The frame of the series, from one; nought where it is none.
    frame: u64,
}

#[derive(Serialize)]
struct Record<'a> {
    format: &'a str,
    version: u32,
    pressed_ms: u64,
    opens_ms: u64,
    metered_ms: u64,
    needed_ms: u64,
    #[serde(skip_serializing_if = "str::is_empty")]
    rule: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    frame: Option<u64>,
}

impl Running {
    /// Begins at a press; the shutter is opened `lead` seconds later.
    #[must_use]
    pub fn start(plan: &Plan, now: u64, lead: u8) -> Self {
        let rule = match &plan.rule {
            Rule::Known(name, _) => name.clone(),
            Rule::Unknown | Rule::LeftOut(_) => String::new(),
        };
        Self {
            pressed: now,
            opens: now.saturating_add(u64::from(lead) * 1000),
            metered: milliseconds(plan.counted.metered),
            needed: milliseconds(plan.counted.needed),
            rule,
            frame: 0,
        }
    }

    /// The same for a frame (from 0) of the series on the dial.
    #[must_use]
    pub fn of_frame(self, frame: Option<usize>) -> Self {
        let frame = frame.map_or(0, |frame| frame as u64 + 1);
        Self { frame, ..self }
    }

    /// The metered time as the field for it shows it, to count it again.
    #[must_use]
    pub fn metered(&self) -> String {
        metered_text(seconds(self.metered))
    }

    /// Seconds between the press and the opening.
    #[must_use]
    pub const fn lead(&self) -> u64 {
        (self.opens - self.pressed) / 1000
    }

    /// The frame (from 0) of the series on the dial that is counted, where it is one.
    #[must_use]
    pub fn frame(&self) -> Option<usize> {
        usize::try_from(self.frame.checked_sub(1)?).ok()
    }

    /// What is shown at a moment.
    #[must_use]
    pub fn at(&self, now: u64) -> Shown {
        let needed = words::to_count(seconds(self.needed));
        if now < self.pressed {
            return Shown {
                phase: Phase::Lost,
                large: "?".to_owned(),
                beside: "The clock of this device was set back after the start: count on by another watch.".to_owned(),
                since: format!("{needed} in all"),
                title: "Clock set back".to_owned(),
                said: "The clock of this device was set back.".to_owned(),
                beat: 0,
                wide: LEAST_WIDE,
            };
        }
        if now < self.opens {
            let left = clock(self.opens - now);
            return Shown {
                phase: Phase::Ready,
                title: format!("Open in {left}"),
                beat: beat(self.opens - now),
                wide: wide(&left),
                large: left,
                beside: "seconds until you open it".to_owned(),
                since: format!("then {needed}"),
                said: "Get ready.".to_owned(),
            };
        }
        let open = now - self.opens;
        let since = format!("Opened {} s ago", open / 1000);
        if open < self.needed {
            let left = self.needed - open;
            let large = clock(left);
            return Shown {
                phase: if left > NEAR {
                    Phase::Open
                } else {
                    Phase::Near
                },
                title: format!("Close in {large}"),
                beside: if left < 60_000 {
                    "seconds until you close it"
                } else {
                    "until you close it"
                }
                .to_owned(),
                said: if left > NEAR {
                    format!("Open: close it in {}.", words::to_count(seconds(left)))
                } else {
                    format!("Close it in {} seconds.", left.div_ceil(1000))
                },
                beat: beat(left),
                wide: wide(&large),
                large,
                since,
            };
        }
        Shown {
            phase: Phase::Over,
            large: "Close now".to_owned(),
            beside: format!("{} over", passed(open - self.needed)),
            since,
            title: "Close now".to_owned(),
            said: "Close now.".to_owned(),
            beat: 0,
            wide: LEAST_WIDE,
        }
    }

    /// What was metered beside what is counted, in words.
    #[must_use]
    pub fn reason(&self) -> String {
        let (metered, needed) = (
            words::to_count(seconds(self.metered)),
            words::to_count(seconds(self.needed)),
        );
        if self.rule.is_empty() || self.metered == self.needed {
            format!("Counts {needed}, as metered.")
        } else {
            format!(
                "Counts {needed} for {}; the meter alone says {metered}.",
                self.rule
            )
        }
    }

    /// What a shutter that was closed at a moment has given.
    #[must_use]
    pub fn closed(&self, now: u64) -> String {
        if now < self.pressed {
            return "The clock of this device was set back after the start, so it is not known how long it was open.".to_owned();
        }
        if now <= self.opens {
            return "Stopped before it was opened.".to_owned();
        }
        let (open, needed) = (seconds(now - self.opens), seconds(self.needed));
        let off = ratio(open, needed);
        let (open, needed) = (words::to_count(open), words::to_count(needed));
        let off = if off.is_even() {
            "as meant".to_owned()
        } else if open == needed {
            "as meant, to a fiftieth of a stop".to_owned()
        } else {
            format!("{} than meant", words::difference(off))
        };
        format!("Open for {open} of {needed}: {off}.")
    }

    /// The record that survives a reload.
    #[must_use]
    pub fn encode(&self) -> String {
        json(&Record {
            format: FORMAT,
            version: if self.frame == 0 { 1 } else { VERSION },
            pressed_ms: self.pressed,
            opens_ms: self.opens,
            metered_ms: self.metered,
            needed_ms: self.needed,
            rule: &self.rule,
            frame: (self.frame > 0).then_some(self.frame),
        })
    }

    /// Reads a record.
    #[must_use]
    pub fn decode(text: &str) -> Kept<Self> {
        Kept::of(RECORD, text, Self::read(text))
    }

    fn read(text: &str) -> Result<Self, Unreadable> {
        let mut record = Entries::of(text, FORMAT, VERSION)?;
        let running = Self {
            pressed: record.whole("pressed_ms")?,
            opens: record.whole("opens_ms")?,
            metered: record.whole("metered_ms")?,
            needed: record.whole("needed_ms")?,
            rule: record.text_if_any("rule")?.unwrap_or_default(),
            frame: record.whole_or_nought("frame")?,
        };
        record.end()?;
        let sound = running.pressed <= running.opens
            && running.opens - running.pressed <= 60_000
            && running.needed >= 1
            && running.needed <= milliseconds(LONGEST)
            && running.metered <= running.needed
            && running.frame <= MOST_FRAMES
            && running.rule.chars().count() <= LONGEST_NAME;
        if sound {
            Ok(running)
        } else {
            Err(Unreadable::Damaged)
        }
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "from nought to a hundred hours"
)]
fn milliseconds(seconds: f64) -> u64 {
    (seconds * 1000.0).round().clamp(0.0, LONGEST * 1000.0) as u64
}

#[expect(
    clippy::cast_precision_loss,
    reason = "milliseconds of at most some years"
)]
fn seconds(milliseconds: u64) -> f64 {
    milliseconds as f64 / 1000.0
}

/// A time that is left, never shown shorter than it is: `1:02:03`, `1:00`, `34`, `9.4`.
fn clock(left: u64) -> String {
    // From 9.9 on: ten seconds are as wide as eleven.
    if left <= NEAR - 100 {
        let tenths = left.div_ceil(100);
        return format!("{}.{}", tenths / 10, tenths % 10);
    }
    let whole = left.div_ceil(1000);
    let (hours, minutes, rest) = (whole / 3600, whole / 60 % 60, whole % 60);
    match (hours, minutes) {
        (0, 0) => rest.to_string(),
        (0, _) => format!("{minutes}:{rest:02}"),
        _ => format!("{hours}:{minutes:02}:{rest:02}"),
    }
}

/// A time that has passed, never shown longer than it is: `0.4 s`, `12 s`, `1 min 5 s`.
fn passed(time: u64) -> String {
    if time < NEAR {
        return format!("{}.{} s", time / 1000, time / 100 % 10);
    }
    words::to_count(seconds(time / 1000 * 1000))
}
