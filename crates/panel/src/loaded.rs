//! What the film book tells the dial of the rolls that are in cameras: written and read here, and nowhere else.
//!
//! The dial does not hold the book. After each change the book leaves a short record; the dial shows which roll it serves,
//! and one wish ([`Intent::Serve`](crate::Intent::Serve)) sets it for that roll.

#[cfg(doc)]
use crate::State;

/// The record in the browser's storage.
pub const RECORD: &str = "stopkeeper.loaded";
/// The id of the roll that the dial serves.
pub const SERVED: &str = "stopkeeper.served";

/// A roll in a camera.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Loaded {
    /// Id of the roll in the book.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Id of the camera, where the dial knows it; else empty.
    pub camera_id: String,
    /// What the camera is called.
    pub camera: String,
    /// Box speed as a mark: `ISO 160`.
    pub box_speed: String,
    /// Key of the film type: `slide`.
    pub kind: String,
    /// The rating as a mark: `ISO 80`.
    pub rating: String,
    /// Which frame comes next: `frame 7 of 36 comes next`.
    pub next: String,
    /// What was found usable on its group: least and most light in thousandths of a stop from box speed, more light is
    /// positive, and the same in a sentence; all empty where nothing was.
    pub usable: [String; 3],
}

/// All that the book tells.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Told {
    /// What waits longest, in a sentence; empty where nothing does.
    pub waits: String,
    /// From which day on that is said, in days since 1970-01-01.
    pub from_day: i64,
    /// The rolls that are in cameras.
    pub rolls: Vec<Loaded>,
}

impl Told {
    /// What is said of waiting on a day, in days since 1970-01-01; empty before it is time.
    #[must_use]
    pub fn waits_on(&self, day: i64) -> &str {
        if day < self.from_day { "" } else { &self.waits }
    }
}

/// What is told as text: a line on what waits, then one for each roll, their parts divided by tabs.
///
/// ```
/// use panel::loaded::{self, Loaded, Told};
/// let roll = Loaded { id: "old-3".into(), name: "Old\t3".into(), ..Loaded::default() };
/// let read = loaded::decode(&loaded::encode(&Told { rolls: vec![roll], ..Told::default() }));
/// assert_eq!((read.rolls[0].id.as_str(), read.rolls[0].name.as_str()), ("old-3", "Old 3"));
/// ```
#[must_use]
pub fn encode(told: &Told) -> String {
    // Names may hold anything; what divides the parts becomes a space.
    let line = |parts: &[&str]| {
        let plain = |part: &&str| part.replace(['\t', '\n', '\r'], " ");
        parts.iter().map(plain).collect::<Vec<_>>().join("\t")
    };
    let mut lines = vec![line(&[&told.from_day.to_string(), &told.waits])];
    lines.extend(told.rolls.iter().map(|roll| {
        let [least, most, words] = &roll.usable;
        line(&[
            &roll.id,
            &roll.name,
            &roll.camera_id,
            &roll.camera,
            &roll.box_speed,
            &roll.kind,
            &roll.rating,
            &roll.next,
            least,
            most,
            words,
        ])
    }));
    lines.join("\n")
}

/// What a record tells; a line that cannot be read is passed over, for the book writes it anew.
#[must_use]
pub fn decode(text: &str) -> Told {
    let mut lines = text.lines();
    let first = lines.next().and_then(|line| line.split_once('\t'));
    let (from_day, waits) = first.unwrap_or_default();
    let roll = |line: &str| {
        let mut parts = line.split('\t').map(str::to_owned);
        let mut next = || parts.next();
        Some(Loaded {
            id: next()?,
            name: next()?,
            camera_id: next()?,
            camera: next()?,
            box_speed: next()?,
            kind: next()?,
            rating: next()?,
            next: next()?,
            // An older book does not tell it.
            usable: [(); 3].map(|()| next().unwrap_or_default()),
        })
    };
    Told {
        waits: waits.to_owned(),
        // OK to fall back on never: then nothing is said.
        from_day: from_day.parse().unwrap_or(i64::MAX),
        rolls: lines.filter_map(roll).collect(),
    }
}

impl Loaded {
    /// Where it is and how far, under its name: `Folding six, EI 80: frame 7 of 36 comes next`.
    #[must_use]
    pub fn words(&self) -> String {
        format!("{}, {}: {}", self.camera, self.rating_words(), self.next)
    }

    /// What it is rated, in words: `EI 80`.
    #[must_use]
    pub fn rating_words(&self) -> String {
        self.rating.replacen("ISO", "EI", 1)
    }

    /// Whether the dial counts from the box speed of this roll, on its type of film.
    #[must_use]
    pub fn is_film_of(&self, on_dial: &Self) -> bool {
        on_dial.box_speed == self.box_speed && on_dial.kind == self.kind
    }

    /// Where a dial, as it [is set](State::for_roll) or was when a series was planned, is not set as this roll asks, in a
    /// sentence; empty where it is.
    #[must_use]
    pub fn differs_from(&self, on_dial: &Self) -> String {
        let mut other = Vec::new();
        if on_dial.box_speed != self.box_speed {
            other.push("box speed");
        }
        if on_dial.kind != self.kind {
            other.push("film type");
        }
        if on_dial.rating != self.rating {
            other.push("rating");
        }
        // A camera that nobody described cannot be chosen.
        let is_camera = self.camera_id.is_empty() || on_dial.camera_id == self.camera_id;
        if !is_camera {
            other.push("camera");
        }
        let Some(last) = other.pop() else {
            return String::new();
        };
        let what = if other.is_empty() {
            last.to_owned()
        } else {
            format!("{} and {last}", other.join(", "))
        };
        format!(
            "The dial has another {what} than {} in the {}.",
            self.name, self.camera
        )
    }
}
