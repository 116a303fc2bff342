//! The readings taken last, each of which can be taken again: the same light as before.
//!
//! ```
//! use panel::{State, light::Found, recent::{self, Recent}};
//!
//! let mut list = Vec::new();
//! let reading = Found::of(&State::default());
//! recent::note(&mut list, Recent::new("2026-11-25T13:35", reading.clone()).unwrap());
//! recent::note(&mut list, Recent::new("2026-11-25T13:50", reading).unwrap());
//! assert_eq!(list.len(), 1);
//! assert_eq!(list[0].words(), "1/125, f/8, ISO 200 (EV 12 at ISO 100): typed, 2026-11-25 13:50");
//! ```

use book::{Moment, json::Value};
use exposure::{Control, Mark, Reading, Steps, Stops, words};
use serde::Serialize;

use crate::{
    intent::Refusal,
    kept::Kept,
    light::{Found, LONGEST_NAME, Line, LineKind, MOST_LINES, give_or_take},
    state::State,
    store::{Entries, Unreadable, is_nought, json, label, thousandths},
};

/// Key of the record.
pub const RECORD: &str = "stopkeeper.recent-readings";
/// So many are kept; the oldest goes first.
pub const MOST: usize = 20;

const FORMAT: &str = "stopkeeper recent readings";
/// The newest version that this page reads. A list in which nothing says how far it may be off is still written as version 1.
const VERSION: u32 = 2;

/// A reading and when it was taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Recent {
    at: Moment,
    found: Found,
}

impl Recent {
    /// A reading that was taken at a moment written like `2026-11-25T13:35`, by the clock on the spot.
    ///
    /// # Errors
    ///
    /// A sentence, where the text is no moment.
    pub fn new(at: &str, found: Found) -> Result<Self, Refusal> {
        let at = Moment::parse(at).map_err(|error| Refusal {
            sentence: error.to_string(),
        })?;
        Ok(Self { at, found })
    }

    /// The reading, to be taken again.
    #[must_use]
    pub const fn found(&self) -> &Found {
        &self.found
    }

    /// The reading, where it came from and when.
    #[must_use]
    pub fn words(&self) -> String {
        let [time, aperture, sensitivity] =
            self.found.reading.marks().map(|mark| words::value(&mark));
        let light = words::light(self.found.reading.light());
        let at = self.at.text().replace('T', " ");
        format!(
            "{time}, {aperture}, {sensitivity} ({light}{}): {}, {at}",
            give_or_take(self.found.doubt),
            self.found.from
        )
    }
}

impl Found {
    /// The reading of a setting, with what belongs to it alone.
    #[must_use]
    pub fn of(state: &State) -> Self {
        let own = state
            .lines()
            .iter()
            .filter(|line| line.kind() == LineKind::Reading);
        let from = match state.reading_from() {
            "" => "typed",
            from => from,
        };
        Self {
            reading: *state.reading(),
            halves: state.reads_halves(),
            from: from.to_owned(),
            doubt: state.doubt(),
            // What belongs to a reading is the same at every setting.
            lines: own
                .filter_map(|line| Some((line.name().to_owned(), line.effect().fixed()?)))
                .collect(),
        }
    }
}

/// Puts a reading at the head of the list; the same one from before goes, and the oldest beyond [`MOST`].
pub fn note(list: &mut Vec<Recent>, recent: Recent) {
    list.retain(|other| other.found != recent.found);
    list.insert(0, recent);
    list.truncate(MOST);
}

#[derive(Serialize)]
struct Record {
    format: &'static str,
    version: u32,
    readings: Vec<ReadingRecord>,
}

#[derive(Serialize)]
struct ReadingRecord {
    at: String,
    time: String,
    aperture: String,
    sensitivity: String,
    steps: &'static str,
    from: String,
    #[serde(skip_serializing_if = "is_nought")]
    give_or_take_thousandths: u32,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    lines: Vec<LineRecord>,
}

#[derive(Serialize)]
struct LineRecord {
    name: String,
    light_stops: f64,
}

/// The record of a list.
#[must_use]
pub fn encode(list: &[Recent]) -> String {
    let reading = |recent: &Recent| {
        let found = &recent.found;
        let [time, aperture, sensitivity] = found.reading.marks().map(|mark| label(&mark));
        let lines = found.lines.iter().map(|(name, effect)| LineRecord {
            name: name.clone(),
            light_stops: effect.get(),
        });
        ReadingRecord {
            at: recent.at.text(),
            time,
            aperture,
            sensitivity,
            steps: if found.halves { "halves" } else { "thirds" },
            from: found.from.clone(),
            give_or_take_thousandths: thousandths(found.doubt),
            lines: lines.collect(),
        }
    };
    json(&Record {
        format: FORMAT,
        version: if list.iter().any(|recent| recent.found.doubt.is_some()) {
            VERSION
        } else {
            1
        },
        readings: list.iter().map(reading).collect(),
    })
}

/// Reads a record.
#[must_use]
pub fn decode(text: &str) -> Kept<Vec<Recent>> {
    Kept::of(RECORD, text, read(text))
}

fn read(text: &str) -> Result<Vec<Recent>, Unreadable> {
    let mut record = Entries::of(text, FORMAT, VERSION)?;
    let readings = record.list_if_any("readings")?;
    record.end()?;
    if readings.len() > MOST {
        return Err(Unreadable::Damaged);
    }
    readings.into_iter().map(recent_of).collect()
}

fn recent_of(value: Value) -> Result<Recent, Unreadable> {
    let mut record = Entries::from(Some(value))?;
    let at = record.text("at")?;
    let halves = match record.text("steps")?.as_str() {
        "halves" => true,
        "thirds" => false,
        _ => return Err(Unreadable::Damaged),
    };
    let steps = if halves { Steps::Half } else { Steps::Third };
    let mut mark = |control, key: &str| {
        let text = record.text(key)?;
        Mark::parse(control, &text, steps).map_err(|_| Unreadable::Damaged)
    };
    let (time, aperture, sensitivity) = (
        mark(Control::Time, "time")?,
        mark(Control::Aperture, "aperture")?,
        mark(Control::Sensitivity, "sensitivity")?,
    );
    let reading = Reading::new(time, aperture, sensitivity).map_err(|_| Unreadable::Damaged)?;
    let from = record.text("from")?;
    if from.trim().is_empty() || from.chars().count() > LONGEST_NAME {
        return Err(Unreadable::Damaged);
    }
    let doubt = record.doubt()?;
    let lines = record.list_if_any("lines")?;
    record.end()?;
    if lines.len() > MOST_LINES {
        return Err(Unreadable::Damaged);
    }
    let found = Found {
        reading,
        halves,
        from,
        doubt,
        lines: lines.into_iter().map(line_of).collect::<Result<_, _>>()?,
    };
    Recent::new(&at, found).map_err(|_| Unreadable::Damaged)
}

fn line_of(value: Value) -> Result<(String, Stops), Unreadable> {
    let mut record = Entries::from(Some(value))?;
    let name = record.text("name")?;
    let effect =
        Stops::new(record.number_or_nought("light_stops")?).map_err(|_| Unreadable::Damaged)?;
    record.end()?;
    // Whoever takes it again makes a line of it, so it has to be one.
    let line = Line::new(LineKind::Reading, &name, effect).map_err(|_| Unreadable::Damaged)?;
    Ok((line.name().to_owned(), effect))
}
