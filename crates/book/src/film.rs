//! What film there is: stocks, batches, and the groups that may share a result.

use exposure::FilmKind;
use serde::Serialize;

use crate::{Date, Expiry, Speed, text};

/// The type of a film.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Film {
    /// Colour negative.
    ColourNegative,
    /// Black-and-white negative.
    BlackAndWhite,
    /// Reversal (slide).
    Reversal,
}

impl Film {
    /// All types, in the order in which they are always listed.
    pub const ALL: [Self; 3] = [Self::ColourNegative, Self::BlackAndWhite, Self::Reversal];

    /// The trade's name, lower case.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::ColourNegative => "colour negative",
            Self::BlackAndWhite => "black-and-white negative",
            Self::Reversal => "reversal",
        }
    }

    /// The same type as the calculation knows it.
    #[must_use]
    pub const fn kind(self) -> FilmKind {
        match self {
            Self::ColourNegative => FilmKind::ColourNegative,
            Self::BlackAndWhite => FilmKind::BlackAndWhite,
            Self::Reversal => FilmKind::Reversal,
        }
    }

    /// Whether it is a negative, which forgives more light rather than less.
    #[must_use]
    pub const fn is_negative(self) -> bool {
        !matches!(self, Self::Reversal)
    }
}

/// How film was kept for most of its life. "Unknown" is a real answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Storage {
    /// Nobody can say.
    #[default]
    Unknown,
    /// In a freezer.
    Frozen,
    /// In a fridge.
    Fridge,
    /// In a cool cellar.
    CoolCellar,
    /// In a room.
    Room,
    /// In an attic, a car or another hot place.
    Hot,
}

impl Storage {
    /// All answers, in the order in which they are always listed.
    pub const ALL: [Self; 6] = [
        Self::Unknown,
        Self::Frozen,
        Self::Fridge,
        Self::CoolCellar,
        Self::Room,
        Self::Hot,
    ];

    /// In words, to follow the film: `kept in a fridge`.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Unknown => "storage unknown",
            Self::Frozen => "kept frozen",
            Self::Fridge => "kept in a fridge",
            Self::CoolCellar => "kept in a cool cellar",
            Self::Room => "kept in a room",
            Self::Hot => "kept in a hot place",
        }
    }

    /// Whether it counts as cold-stored: fridge or freezer for most of its life.
    #[must_use]
    pub const fn is_cold(self) -> bool {
        matches!(self, Self::Frozen | Self::Fridge)
    }
}

/// A film as it is sold: what is the same on every box of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stock {
    /// Id, unique among stocks.
    pub id: String,
    /// The person's name for it.
    pub name: String,
    /// Type.
    pub film: Film,
    /// Process as printed on the cassette (`C-41`); empty where it is not known.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub process: String,
    /// Box speed, arithmetic ISO.
    pub box_speed: Speed,
    /// Format as printed (`135`, `120`); empty where it is not known.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub format: String,
    /// Exposures that the box promises; none where it does not say (120 film gives what the camera makes of it).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exposures: Option<u16>,
    /// Whether it is motion-picture stock, or has a remjet backing for another reason.
    #[serde(skip_serializing_if = "is_false")]
    pub remjet: bool,
    /// Anything else.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde passes a reference to what it may leave out"
)]
pub(crate) const fn is_false(value: &bool) -> bool {
    !*value
}

impl Stock {
    /// A stock of which only the first two of the four questions are answered: type and box speed.
    #[must_use]
    pub fn new(id: &str, name: &str, film: Film, box_speed: Speed) -> Self {
        Self {
            id: id.to_owned(),
            name: name.to_owned(),
            film,
            process: String::new(),
            box_speed,
            format: String::new(),
            exposures: None,
            remjet: false,
            note: String::new(),
        }
    }
}

/// Rolls of one stock that came from one coating run and were kept together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Batch {
    /// Id, unique among batches.
    pub id: String,
    /// Id of the stock.
    pub stock: String,
    /// Expiry; none where it is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expiry: Option<Expiry>,
    /// How it was kept.
    pub storage: Storage,
    /// Batch (emulsion) number as printed; empty where it is not known.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub number: String,
    /// Where it came from, in the person's words.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub origin: String,
    /// Anything else.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Batch {
    /// A batch of which only the last two of the four questions are answered: expiry and storage.
    #[must_use]
    pub fn new(id: &str, stock: &str, expiry: Option<Expiry>, storage: Storage) -> Self {
        Self {
            id: id.to_owned(),
            stock: stock.to_owned(),
            expiry,
            storage,
            number: String::new(),
            origin: String::new(),
            note: String::new(),
        }
    }

    /// Its age on a day, in words.
    #[must_use]
    pub fn age_words(&self, on: Date) -> String {
        self.expiry
            .map_or("expiry unknown".to_owned(), |expiry| expiry.age_words(on))
    }
}

/// The same stock, the same batch and the same storage: only such rolls may share a result.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Group {
    /// Id of the stock.
    pub stock: String,
    /// Id of the batch.
    pub batch: String,
    /// How these rolls were kept.
    pub storage: Storage,
}

impl Group {
    /// What keeps a result of this group from being taken for another one; none if both are the same group.
    ///
    /// `films` are the types of this group's film and of the other's, where they are known.
    ///
    /// ```
    /// use book::{Group, Storage};
    /// let room = Group { stock: "s".into(), batch: "b".into(), storage: Storage::Room };
    /// let hot = Group { storage: Storage::Hot, ..room.clone() };
    /// assert_eq!(room.barrier(&room, None), None);
    /// assert!(room.barrier(&hot, None).is_some_and(|text| text.contains("kept in a hot place")));
    /// ```
    #[must_use]
    pub fn barrier(&self, other: &Self, films: Option<(Film, Film)>) -> Option<String> {
        let mut differs = Vec::new();
        if let Some((mine, theirs)) = films.filter(|(mine, theirs)| mine != theirs) {
            differs.push(format!(
                "another type of film ({}, not {})",
                theirs.name(),
                mine.name()
            ));
        } else if self.stock != other.stock {
            differs.push("another stock".to_owned());
        }
        if self.batch != other.batch {
            differs.push("another batch".to_owned());
        }
        if self.storage != other.storage {
            differs.push(format!(
                "another storage ({}, not {})",
                other.storage.words(),
                self.storage.words()
            ));
        }
        (!differs.is_empty()).then(|| {
            format!(
                "This is {}: the result does not carry over. Take it as a guess at most and test again.",
                text::list(&differs)
            )
        })
    }
}

/// What is known of a process code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Process {
    /// Nothing was typed.
    Unknown,
    /// In use today.
    InUse,
    /// No longer offered as such.
    Dead,
    /// Of motion-picture film: a remjet backing has to come off first.
    MotionPicture,
    /// A code that this list does not know.
    Other,
}

/// Sorts a process code as printed on a cassette. `c41`, `C 41` and `Process C-41` are the same.
///
/// Dead are C-22, E-4, K-14 and the older ones of the same families: lower numbers of C and E, and every K.
/// Source: common practice, no source.
#[must_use]
pub fn process(code: &str) -> Process {
    let plain: String = code
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .map(|c| c.to_ascii_uppercase())
        .collect();
    let plain = plain.strip_prefix("PROCESS").unwrap_or(&plain);
    if plain.is_empty() {
        return Process::Unknown;
    }
    if plain == "BW" || plain.starts_with("BLACKANDWHITE") {
        return Process::InUse;
    }
    if plain.starts_with("ECN") || plain.starts_with("ECP") {
        return Process::MotionPicture;
    }
    let end = plain.find(|c: char| c.is_ascii_digit());
    let (family, number) = plain.split_at(end.unwrap_or(plain.len()));
    match (family, number.parse::<u16>().ok()) {
        ("C", Some(41)) | ("E", Some(6)) => Process::InUse,
        ("C", Some(number)) if number < 41 => Process::Dead,
        ("E", Some(number)) if number < 6 => Process::Dead,
        ("K", Some(_)) => Process::Dead,
        _ => Process::Other,
    }
}

/// What to know before film is spent: dead processes, a remjet backing, fast film, a base that burns, heat, and unknowns that
/// matter.
///
/// One sentence each, most costly first; none where there is nothing to say.
#[must_use]
pub fn warnings(stock: &Stock, batch: Option<&Batch>) -> Vec<String> {
    let mut out = Vec::new();
    match process(&stock.process) {
        Process::Dead => out.push(format!(
            "Process {} is no longer offered as such. Ask a lab before you shoot: it may only be developed in black and \
             white, and then it wants several stops more light.",
            stock.process.trim()
        )),
        Process::MotionPicture => out.push(format!(
            "{} is a motion-picture process: the black remjet backing ruins a standard colour line. Find a lab that takes \
             it off before you shoot.",
            stock.process.trim()
        )),
        _ if stock.remjet => out.push(
            "This film has a black remjet backing, which ruins a standard colour line. Find a lab that takes it off before \
             you shoot."
                .to_owned(),
        ),
        Process::Other => out.push(format!(
            "Process “{}” is not one that this list knows. Ask a lab whether it is still offered.",
            stock.process.trim()
        )),
        Process::Unknown if stock.film != Film::BlackAndWhite => out.push(
            "The process is not known. Look at the cassette before you shoot: some colour processes are gone.".to_owned(),
        ),
        Process::Unknown | Process::InUse => {}
    }
    if stock.box_speed.as_box().iso() > 780.0 {
        out.push(
            "Fast film loses most with age, and fogs even when frozen. Test it first and use the rest soon."
                .to_owned(),
        );
    }
    if let Some(batch) = batch {
        if batch.expiry.is_some_and(Expiry::may_burn) {
            out.push(
                "Film base this old may be cellulose nitrate, which burns: keep it cool and away from fire, and ask a lab \
                 before you send it."
                    .to_owned(),
            );
        }
        if batch.storage == Storage::Hot {
            out.push(
                "Kept in a hot place: every rule by age says too little here. Bracket wider towards more light."
                    .to_owned(),
            );
        }
        if batch.expiry.is_none() {
            out.push(
                "The expiry is not known, so no rule by age can say anything. A test roll is worth more here."
                    .to_owned(),
            );
        }
    }
    out
}
