//! A photo's metadata as a reading: what the file says, in words, what is missing, and the reading once it is complete.
//!
//! Source: the meaning of tags is that of Exif (CIPA DC-008, JEITA CP-3451); tag numbers as read in `kamadak-exif` 0.6.2.
//! Where a photo was taken is never looked at.

mod container;
mod tiff;

use std::borrow::Cow;

use exif::{Field, Tag, Value};
use exposure::{
    Bv, Compared, Control, Doubt, Ev, Mark, Reading, Steps, Stops, Sv, of_two, two_meanings, words,
};

use crate::{
    Error, Found, LineKind, Method,
    found::{Known, left_over, scales, short},
    method::{BRIGHTNESS, DIGITAL, FAVOURED, marks},
    picture::Settings,
};

use self::{
    container::{Kind, Lack},
    tiff::{Block, Head},
};

/// What a photo's file says.
///
/// Reading never fails: what could not be read is a remark, and what is missing can be typed.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo {
    /// What kind of file it is: `JPEG`; empty where nothing could be read.
    pub kind: &'static str,
    /// Where in it the figures of the exposure stand: `the camera's directory`; empty where there are none.
    pub place: &'static str,
    /// Every tag that was found, in words, in the order in which they are shown.
    pub entries: Vec<Entry>,
    /// Sentences on what could not be read or has to be known.
    pub remarks: Vec<String>,
    figures: [Option<f64>; 3],
    bias: Option<Stops>,
    brightness: Option<Bv>,
    flash: bool,
}

/// One tag of a photo, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// What it is: `Time`, `Sensitivity`.
    pub name: &'static str,
    /// What the file says: `1/125 second`, `0/0, which says nothing`.
    pub says: String,
    /// Whether it can be used.
    pub usable: bool,
}

/// What a person typed in place of what the file says; empty where the file is believed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Filled {
    /// Time, as people type it.
    pub time: String,
    /// Aperture, as people type it.
    pub aperture: String,
    /// Sensitivity, as people type it.
    pub sensitivity: String,
}

impl Filled {
    fn of(&self, control: Control) -> &str {
        match control {
            Control::Time => self.time.trim(),
            Control::Aperture => self.aperture.trim(),
            Control::Sensitivity => self.sensitivity.trim(),
        }
    }
}

/// Whose a figure is.
enum Whose {
    Typed,
    Photo,
}

/// The largest compensation that is believed, in stops; cameras have up to five.
const LARGEST_BIAS: f64 = 10.0;

/// Reads the metadata of a photo: JPEG, HEIC, AVIF, TIFF and what is built on it, PNG, WebP, and raw files whose structure is
/// public.
///
/// A file that is handed over whole is not copied.
///
/// ```
/// let photo = readings::photo::read(b"no photo at all");
/// assert_eq!(photo.missing().len(), 3);
/// assert!(photo.remarks[0].contains("no photo"));
/// ```
#[must_use]
pub fn read<'a>(file: impl Into<Cow<'a, [u8]>>) -> Photo {
    let file = file.into();
    let read = match tiff::head(&file) {
        Head::Plain => directories(Kind::Tiff, file.into_owned()),
        Head::Raw => directories(Kind::RawTiff, file.into_owned()),
        Head::Unknown => {
            contained(&file).or_else(|_| directories(Kind::RawTiff, file.into_owned()))
        }
        Head::Wide => Err(Lack::Wide),
        Head::Other => contained(&file),
    };
    read.unwrap_or_else(|lack| Photo::unread(refusal(lack)))
}

/// A file whose metadata stand in a container.
fn contained(file: &[u8]) -> Result<Photo, Lack> {
    let found = container::open(file)?;
    photo_of(found.kind, found.photos)
}

/// The first photo that says anything of its exposure, else the first.
fn photo_of(kind: Kind, photos: Vec<container::Blocks<'_>>) -> Result<Photo, Lack> {
    let mut read = photos.into_iter().filter_map(|blocks| {
        let blocks: Vec<Block> = blocks
            .into_iter()
            .filter_map(|block| Block::read(block.into_owned()))
            .collect();
        (!blocks.is_empty()).then(|| Photo::of(kind, &blocks))
    });
    let first = read.next().ok_or(Lack::Damaged)?;
    if first.says_something() {
        return Ok(first);
    }
    Ok(read.find(|photo| photo.says_something()).unwrap_or(first))
}

/// A file that is a TIFF, or a raw file that is laid out like one; a picture in it may say more than it does itself.
fn directories(kind: Kind, file: Vec<u8>) -> Result<Photo, Lack> {
    let is_raw = kind == Kind::RawTiff;
    let block = Block::read(file).ok_or(if is_raw { Lack::Raw } else { Lack::Damaged })?;
    let mut photo = Photo::of(kind, std::slice::from_ref(&block));
    if !photo.missing().is_empty() {
        let inside = block
            .pictures()
            .into_iter()
            .filter_map(|picture| photo_of(kind, container::jpeg(picture).ok()?).ok())
            .min_by_key(|inside| inside.missing().len());
        // All of the one or all of the other, so that no figure is of another picture.
        if let Some(inside) = inside.filter(|it| it.missing().len() < photo.missing().len()) {
            photo = inside;
        }
    }
    if is_raw && !photo.says_something() {
        return Err(Lack::Raw);
    }
    Ok(photo)
}

fn refusal(lack: Lack) -> &'static str {
    match lack {
        Lack::Empty => "The file is empty.",
        Lack::Nothing => {
            "This photo carries no metadata; it may have been taken off when the photo was sent or picked. Type what the camera shows."
        }
        Lack::Damaged => {
            "The metadata of this photo is damaged and could not be read. Type what the camera shows."
        }
        Lack::Cut => {
            "This file is cut off, and what is there of it holds no metadata. Type what the camera shows."
        }
        Lack::Packed => {
            "The metadata of this photo is packed in a way that is not read here. Type what the camera shows."
        }
        Lack::Raw => {
            "This is a kind of raw file that is not read here. Type what the camera shows, or choose the JPEG that was taken with it."
        }
        Lack::Wide => {
            "This is a TIFF of the kind for very large pictures, which is not read here. Type what the camera shows."
        }
        Lack::NoPhoto => {
            "This is no photo whose metadata can be read (JPEG, HEIC, TIFF, PNG, WebP or a raw file). Type what the camera shows."
        }
    }
}

/// A number as a tag holds it.
enum Number {
    /// A number, and how the file writes it.
    Is(f64),
    /// Something that says nothing, as the file writes it.
    Nothing(String),
}

fn number(field: &Field) -> Number {
    // Whole numbers are printed as such, for the page has no other use for printing any floating-point number.
    let ratio = |over: f64, under: f64, written: String| {
        if under == 0.0 {
            Number::Nothing(format!("{written}, which says nothing"))
        } else {
            Number::Is(over / under)
        }
    };
    let unreadable = || Number::Nothing("not a number".to_owned());
    match &field.value {
        Value::Rational(values) => values.first().map_or_else(unreadable, |value| {
            let written = format!("{}/{}", value.num, value.denom);
            ratio(f64::from(value.num), f64::from(value.denom), written)
        }),
        Value::SRational(values) => values.first().map_or_else(unreadable, |value| {
            let written = format!("{}/{}", value.num, value.denom);
            ratio(f64::from(value.num), f64::from(value.denom), written)
        }),
        Value::Float(values) => values
            .first()
            .map_or_else(unreadable, |value| Number::Is(f64::from(*value))),
        Value::Double(values) => values
            .first()
            .map_or_else(unreadable, |value| Number::Is(*value)),
        value => value
            .get_uint(0)
            .map_or_else(unreadable, |value| Number::Is(f64::from(value))),
    }
}

/// Collects entries while the tags are read.
struct Tags<'a> {
    /// The blocks of one photo.
    blocks: &'a [Block],
    /// The directory of the blocks that says something of the exposure.
    directory: u16,
    entries: Vec<Entry>,
    /// Whether the value of a tag that was asked for cannot be read.
    damaged: bool,
}

/// Tags of which one at least has to be there for a photo to say anything of its exposure.
const FIGURES: [Tag; 9] = [
    Tag::ExposureTime,
    Tag::ShutterSpeedValue,
    Tag::FNumber,
    Tag::ApertureValue,
    Tag::PhotographicSensitivity,
    Tag::StandardOutputSensitivity,
    Tag::RecommendedExposureIndex,
    Tag::ISOSpeed,
    Tag::ExposureIndex,
];

/// Directories of a block that may be of the picture: the library reads as many.
const DIRECTORIES: core::ops::Range<u16> = 0..8;

impl<'a> Tags<'a> {
    fn new(blocks: &'a [Block]) -> Self {
        let says = |directory: &u16| {
            blocks.iter().any(|block| {
                FIGURES
                    .into_iter()
                    .any(|tag| block.field(tag, *directory).is_some())
            })
        };
        Self {
            blocks,
            directory: DIRECTORIES.into_iter().find(says).unwrap_or(0),
            entries: Vec::new(),
            damaged: false,
        }
    }

    fn field(&self, tag: Tag) -> Option<&'a Field> {
        self.blocks
            .iter()
            .find_map(|block| block.field(tag, self.directory))
    }

    /// Which directory the figures stand in, in words; empty where none is there.
    fn place(&self) -> &'static str {
        let is = |of: fn(&Block, Tag, u16) -> bool| {
            self.blocks.iter().any(|block| {
                FIGURES
                    .into_iter()
                    .any(|tag| of(block, tag, self.directory))
            })
        };
        if is(Block::is_of_the_camera) {
            "the camera's directory"
        } else if !is(|block, tag, directory| block.field(tag, directory).is_some()) {
            ""
        } else if self.directory == 0 {
            "the first directory"
        } else {
            "a later directory"
        }
    }

    fn say(&mut self, name: &'static str, says: impl Into<String>, usable: bool) {
        self.entries.push(Entry {
            name,
            says: says.into(),
            usable,
        });
    }

    /// A number of a tag that passes `take`, with its words; what does not is said to be unusable.
    fn take<T>(
        &mut self,
        tag: Tag,
        name: &'static str,
        take: impl FnOnce(f64) -> Result<(T, String), String>,
    ) -> Option<T> {
        let taken = match self.field(tag).map(number) {
            Some(Number::Is(value)) => take(value),
            Some(Number::Nothing(says)) => Err(says),
            None if self.is_beyond(tag) => {
                self.damaged = true;
                Err("damaged".to_owned())
            }
            None => return None,
        };
        match taken {
            Ok((value, says)) => {
                self.say(name, says, true);
                Some(value)
            }
            Err(says) => {
                self.say(name, says, false);
                None
            }
        }
    }

    /// Whether a tag is listed and its value is not in the file.
    fn is_beyond(&self, tag: Tag) -> bool {
        self.blocks
            .iter()
            .any(|block| block.is_beyond(tag, self.directory))
    }

    fn mark(&mut self, tag: Tag, name: &'static str, control: Control) -> Option<f64> {
        self.take(tag, name, |value| figure(control, value))
    }

    /// A time or an aperture that is only there as an APEX value.
    fn apex(
        &mut self,
        tag: Tag,
        name: &'static str,
        control: Control,
        of: impl FnOnce(f64) -> f64,
    ) -> Option<f64> {
        self.take(tag, name, |value| figure(control, of(value)))
    }
}

fn figure(control: Control, value: f64) -> Result<(f64, String), String> {
    let said = words::decimal(value, 6);
    Mark::new(control, value, Steps::Third)
        .map(|mark| (value, words::spoken(&mark)))
        .map_err(|error| format!("{said}, which cannot be: {error}"))
}

impl Photo {
    /// A photo of which nothing could be read, with the reason as a sentence.
    #[must_use]
    pub fn unread(reason: impl Into<String>) -> Self {
        Self {
            kind: "",
            place: "",
            entries: Vec::new(),
            remarks: vec![reason.into()],
            figures: [None; 3],
            bias: None,
            brightness: None,
            flash: false,
        }
    }

    fn of(kind: Kind, blocks: &[Block]) -> Self {
        let mut found = Tags::new(blocks);
        let mut remarks = Vec::new();
        let time = found
            .mark(Tag::ExposureTime, "Time", Control::Time)
            .or_else(|| {
                found.apex(
                    Tag::ShutterSpeedValue,
                    "Time, from its APEX value",
                    Control::Time,
                    |tv| of_two(-tv),
                )
            });
        let aperture = found
            .mark(Tag::FNumber, "Aperture", Control::Aperture)
            .or_else(|| {
                found.apex(
                    Tag::ApertureValue,
                    "Aperture, from its APEX value",
                    Control::Aperture,
                    |av| of_two(av / 2.0),
                )
            });
        let sensitivity = found.sensitivity(&mut remarks);
        let bias = found.take(Tag::ExposureBiasValue, "Compensation", |value| {
            Stops::new(value)
                .ok()
                .filter(|bias| bias.size().get() <= LARGEST_BIAS)
                .map(|bias| {
                    let says = if bias.is_even() {
                        "none".to_owned()
                    } else {
                        words::difference(bias)
                    };
                    (bias, says)
                })
                .ok_or_else(|| {
                    format!(
                        "{} stops, which no camera has",
                        words::count(value.abs().min(9e15))
                    )
                })
        });
        let brightness = found.brightness();
        let flash = found.remaining();
        let place = found.place();
        // Where nothing was found, it may have stood in any of them.
        let broken = blocks.iter().any(|block| {
            block.is_broken(found.directory) || (place.is_empty() && block.is_broken_somewhere())
        });
        if found.damaged || broken {
            remarks.push("Parts of the metadata are damaged; what could be read is shown.".into());
        }
        if flash {
            remarks.push(
                "The flash fired: the settings say little about the light that was there before."
                    .into(),
            );
        }
        let photo = Self {
            kind: kind.name(),
            place,
            entries: found.entries,
            remarks,
            figures: [time, aperture, sensitivity],
            bias,
            brightness,
            flash,
        };
        photo.with_doubts()
    }

    /// Whether a figure of the exposure is there that can be used.
    fn says_something(&self) -> bool {
        self.figures.iter().any(Option::is_some)
    }

    fn with_doubts(mut self) -> Self {
        if self.entries.is_empty() {
            self.remarks.push("The metadata of this photo says nothing about its exposure. Type what the camera shows.".into());
        }
        for control in Control::ALL {
            if let Some(figure) =
                self.figures[control.index()].filter(|x| two_meanings(control, *x))
            {
                let shown =
                    Mark::new(control, figure, Steps::Third).map(|mark| words::value(&mark));
                if let Ok(shown) = shown {
                    self.remarks.push(format!(
                        "{shown} stands for another value on a camera that steps in halves; it is taken as one that steps in thirds unless said otherwise."
                    ));
                }
            }
        }
        if let (Some(brightness), Ok(found)) = (
            self.brightness_light(),
            self.found(&Filled::default(), None),
        ) {
            let more = found.light().light_relative_to(brightness);
            if more.size() > Stops::constant(0.5) {
                let wrong = match self.contradicted(found.light(), found.halves) {
                    Some(_) => ", and one of the two is wrong",
                    None => "",
                };
                self.remarks.push(format!(
                    "The file's own brightness value is {}, which is {} than its settings say{wrong}; the settings are used.",
                    words::light(brightness),
                    if more.is_more() {
                        format!("{} brighter", words::stops(more))
                    } else {
                        format!("{} dimmer", words::stops(more))
                    }
                ));
            }
        }
        self
    }

    /// The controls that the file does not say, or says in a way that cannot be.
    #[must_use]
    pub fn missing(&self) -> Vec<Control> {
        Control::ALL
            .into_iter()
            .filter(|control| self.figures[control.index()].is_none())
            .collect()
    }

    /// The compensation that the camera was set to; more light is positive.
    #[must_use]
    pub const fn compensation(&self) -> Option<Stops> {
        self.bias
    }

    /// The light by the camera's own brightness value, as EV at ISO 100: Bv + 5.
    ///
    /// It is shown beside the settings and not used in their place: metering, flash and bias make the two differ, and one
    /// stored scale counts from a foot-lambert (0.22 stop off this one, from memory).
    #[must_use]
    pub fn brightness_light(&self) -> Option<Ev> {
        let iso_100 = Sv::new(5.0).ok()?;
        Some(self.brightness?.exposure(iso_100))
    }

    /// Which figure is used for a control, and whose it is: what was typed for this photo goes before what the photo says.
    fn used(
        &self,
        control: Control,
        filled: &Filled,
        steps: Steps,
    ) -> Result<(Mark, Whose), Error> {
        let typed = filled.of(control);
        if !typed.is_empty() {
            return Ok((Mark::parse(control, typed, steps)?, Whose::Typed));
        }
        let figure = self.figures[control.index()].ok_or_else(|| {
            Error::new(format!(
                "The photo does not say its {}; type what the camera shows.",
                words::noun(control)
            ))
        })?;
        Ok((Mark::new(control, figure, steps)?, Whose::Photo))
    }

    /// Which figure is used for a control, and whose it is, in words: `Time: 1/30, typed for this photo in place of 1/125`.
    #[must_use]
    pub fn used_in_words(&self, control: Control, filled: &Filled, steps: Option<Steps>) -> String {
        let steps = steps.unwrap_or_else(|| self.steps());
        let says = match self.used(control, filled, steps) {
            Ok((mark, Whose::Photo)) => format!("{}, from the photo", words::value(&mark)),
            Ok((mark, Whose::Typed)) => {
                let own = self.used(control, &Filled::default(), steps);
                let instead = own.map_or_else(
                    |_| String::new(),
                    |(own, _)| format!(" in place of {}", words::value(&own)),
                );
                format!("{}, typed for this photo{instead}", words::value(&mark))
            }
            Err(_) if filled.of(control).is_empty() => "not known yet".to_owned(),
            Err(_) => "what was typed for this photo is not understood".to_owned(),
        };
        format!("{}: {says}", control.name())
    }

    /// What kind of file it is and where in it the figures stand: `JPEG, figures from the camera's directory`; empty where
    /// nothing could be read.
    #[must_use]
    pub fn origin(&self) -> String {
        match (self.kind, self.place) {
            (kind, "") => kind.to_owned(),
            (kind, place) => format!("{kind}, figures from {place}"),
        }
    }

    /// The reading, where the file and what was typed are complete.
    ///
    /// `steps`: how the camera's figures are read; `None` takes thirds, or halves where only halves have the figures.
    ///
    /// # Errors
    ///
    /// A sentence that names what is missing, or what was typed and not understood.
    pub fn found(&self, filled: &Filled, steps: Option<Steps>) -> Result<Found, Error> {
        let steps = steps.unwrap_or_else(|| self.steps());
        let [time, aperture, sensitivity] =
            Control::ALL.map(|control| self.used(control, filled, steps).map(|(mark, _)| mark));
        let literal = Reading::new(time?, aperture?, sensitivity?)?;
        let typed = Control::ALL
            .into_iter()
            .any(|control| !filled.of(control).is_empty());
        let light = literal.light().giving(-self.bias.unwrap_or(Stops::ZERO));
        let known = self.known(typed, light, steps == Steps::Half);
        let found = on_marks(literal, steps, known)?;
        Ok(match self.bias {
            Some(bias) => found.and(LineKind::Compensation, "Compensation in the photo", bias),
            None => found,
        })
    }

    /// The settings without the compensation taken out: what the pixels of the picture were exposed by.
    ///
    /// # Errors
    ///
    /// As for [`Photo::found`].
    pub fn settings(&self, filled: &Filled, steps: Option<Steps>) -> Result<Settings, Error> {
        let mut found = self.found(filled, steps)?;
        // What the camera favoured and how its meter rounded does not matter to a place: the picture was exposed by these.
        let doubt = self.doubt(DIGITAL, self.contradicted(found.light(), found.halves));
        found
            .lines
            .retain(|line| line.kind != LineKind::Compensation);
        Ok(Settings {
            light: found.light(),
            doubt,
        })
    }

    /// How far settings that are right for a light lie from the camera's own brightness value, where that is further than both
    /// allow.
    fn contradicted(&self, light: Ev, halves: bool) -> Option<Stops> {
        let beside = Compared {
            apart: light.light_relative_to(self.brightness_light()?),
            doubts: [whole(halves), BRIGHTNESS],
            floors: [DIGITAL, BRIGHTNESS],
            same_method: false,
        };
        beside.disagree().then_some(beside.apart)
    }

    /// How far a light may be off, where the method alone makes so much of it; none with flash.
    fn doubt(&self, method: Doubt, contradicted: Option<Stops>) -> Option<Doubt> {
        (!self.flash).then(|| method.reaching(contradicted.unwrap_or(Stops::ZERO)))
    }

    fn known(&self, typed: bool, light: Ev, halves: bool) -> Known {
        let contradicted = self.contradicted(light, halves);
        let caution = if self.flash {
            " The flash fired, so it may be far off.".to_owned()
        } else if let Some(apart) = contradicted {
            format!(
                " The file's own brightness value lies {} away, more than both allow, so as much is counted.",
                words::of_a_stop(apart)
            )
        } else {
            String::new()
        };
        let parts = if typed { ", with parts typed" } else { "" };
        // Goes wherever the reading goes, where no figure can.
        let flash = if self.flash { ", by flash" } else { "" };
        Known {
            from: format!("photo{parts}{flash}"),
            method: Method::Photo,
            doubt: self.doubt(whole(halves), contradicted),
            uncertainty: format!(
                "This is what the camera chose for the whole picture: it may have favoured the sky, a face or the highlights, by about ½ stop (an estimate); digital sensitivities are defined in several ways, up to about ½ stop from film metering (common practice, no source); and it chose among its marks.{caution}"
            ),
        }
    }

    /// Thirds, unless every figure is one of halves and at least one is not one of thirds.
    fn steps(&self) -> Steps {
        let belongs = |steps: Steps| {
            [Control::Time, Control::Aperture]
                .into_iter()
                .all(|control| {
                    self.figures[control.index()].is_none_or(|figure| {
                        Mark::new(control, figure, steps).is_ok_and(|mark| mark.nominal().is_some())
                    })
                })
        };
        if belongs(Steps::Half) && !belongs(Steps::Third) {
            Steps::Half
        } else {
            Steps::Third
        }
    }
}

/// How far what a camera chose for a whole picture may be off.
fn whole(halves: bool) -> Doubt {
    DIGITAL.and(FAVOURED).and(marks(halves))
}

/// A reading on standard marks, with what they leave over; where a figure is beyond the marks, another pair for the same light.
fn on_marks(literal: Reading, steps: Steps, known: Known) -> Result<Found, Error> {
    let (times, apertures) = scales()?;
    let speeds = exposure::Scale::sensitivities();
    let mut marks = *literal.marks();
    for (mark, scale) in marks.iter_mut().zip([times, apertures, speeds]) {
        if mark.nominal().is_some() && speed_is_listed(mark) {
            continue;
        }
        let choice = scale.choose(mark.place(), exposure::Prefer::Nearest);
        if choice.end.is_some() {
            return Found::of_light(literal.light(), known);
        }
        *mark = choice.mark;
    }
    let [time, aperture, sensitivity] = marks;
    let reading = Reading::new(time, aperture, sensitivity)?;
    Ok(Found {
        reading,
        halves: steps == Steps::Half,
        from: short(&known.from),
        lines: left_over(literal.light(), &reading).into_iter().collect(),
        method: known.method,
        doubt: known.doubt,
        uncertainty: known.uncertainty,
    })
}

/// Speeds beyond the list are understood when typed, but no scale carries them.
fn speed_is_listed(mark: &Mark) -> bool {
    mark.control() != Control::Sensitivity
        || exposure::Scale::sensitivities()
            .labelled(mark.engraved())
            .is_some()
}

impl Tags<'_> {
    /// The sensitivity and which kind it is.
    ///
    /// Source: Exif 2.3, tags 0x8827 and 0x8830 to 0x8833; 65535 in the first means that it does not fit.
    fn sensitivity(&mut self, remarks: &mut Vec<String>) -> Option<f64> {
        const DOES_NOT_FIT: f64 = 65535.0;
        let kind = self
            .field(Tag::SensitivityType)
            .and_then(|field| field.value.get_uint(0))
            .and_then(SpeedKind::of);
        let named = match kind {
            Some(kind) => kind.name(),
            None => "Sensitivity",
        };
        let short = match self.field(Tag::PhotographicSensitivity).map(number) {
            Some(Number::Is(value)) if value >= DOES_NOT_FIT => None,
            _ => self.mark(Tag::PhotographicSensitivity, named, Control::Sensitivity),
        };
        let found = short
            .or_else(|| {
                self.mark(
                    Tag::StandardOutputSensitivity,
                    SpeedKind::Output.name(),
                    Control::Sensitivity,
                )
            })
            .or_else(|| {
                self.mark(
                    Tag::RecommendedExposureIndex,
                    SpeedKind::Recommended.name(),
                    Control::Sensitivity,
                )
            })
            .or_else(|| self.mark(Tag::ISOSpeed, SpeedKind::Speed.name(), Control::Sensitivity))
            .or_else(|| {
                self.mark(
                    Tag::ExposureIndex,
                    "Exposure index of the camera",
                    Control::Sensitivity,
                )
            });
        if found.is_some()
            && self
                .entries
                .last()
                .is_some_and(|entry| entry.name == "Sensitivity")
        {
            remarks.push(
                "The file does not say which kind of sensitivity it means; kinds differ by up to about ½ stop.".into(),
            );
        }
        found
    }

    /// Source: Exif, tag 0x9203: a numerator of FFFFFFFF means unknown.
    fn brightness(&mut self) -> Option<Bv> {
        if let Some(Value::SRational(values)) =
            self.field(Tag::BrightnessValue).map(|field| &field.value)
            && values.first().is_some_and(|value| value.num == -1)
        {
            self.say("Brightness", "unknown", false);
            return None;
        }
        self.take(Tag::BrightnessValue, "Brightness", |value| {
            let cannot = || format!("{}, which cannot be", words::decimal(value, 2));
            // From starlight to the sun's disc.
            if !(-20.0..=30.0).contains(&value) {
                return Err(cannot());
            }
            let bv = Bv::new(value).map_err(|_| cannot())?;
            let ev = Sv::new(5.0).map_err(|_| cannot())?;
            Ok((
                bv,
                format!(
                    "Bv {}, which is {}",
                    words::decimal(value, 2),
                    words::light(bv.exposure(ev))
                ),
            ))
        })
    }

    /// Metering, flash and the time of day; whether the flash fired.
    fn remaining(&mut self) -> bool {
        if let Some(metering) = self
            .field(Tag::MeteringMode)
            .and_then(|field| field.value.get_uint(0))
            .and_then(|mode| {
                let mode = usize::try_from(mode).ok()?;
                METERING.get(mode).copied().filter(|name| !name.is_empty())
            })
        {
            self.say("Metering", metering, true);
        }
        let flash = self
            .field(Tag::Flash)
            .and_then(|field| field.value.get_uint(0));
        let fired = flash.is_some_and(|flash| flash & 1 == 1);
        if flash.is_some() {
            self.say("Flash", if fired { "fired" } else { "did not fire" }, true);
        }
        if let Some(Value::Ascii(lines)) = self.field(Tag::DateTimeOriginal).map(|f| &f.value)
            && let Some(taken) = lines.first().and_then(|line| moment(line))
        {
            self.say("Taken", taken, true);
        }
        fired
    }
}

/// Source: Exif, tag 0x9207.
const METERING: [&str; 7] = [
    "",
    "average",
    "centre-weighted average",
    "spot",
    "several spots",
    "pattern of zones",
    "part of the picture",
];

/// `2026:11:25 13:35:10` as `2026-11-25 13:35`, if it is a moment at all.
fn moment(line: &[u8]) -> Option<String> {
    let text = core::str::from_utf8(line).ok()?;
    let shape = text.len() >= 16
        && text
            .bytes()
            .take(16)
            .enumerate()
            .all(|(at, byte)| match at {
                4 | 7 | 13 => byte == b':' || byte == b'-',
                10 => byte == b' ' || byte == b'T',
                _ => byte.is_ascii_digit(),
            });
    (shape && !text.starts_with("0000")).then(|| {
        format!(
            "{}-{}-{} {}",
            &text[0..4],
            &text[5..7],
            &text[8..10],
            &text[11..16]
        )
    })
}

/// Which definition a digital sensitivity follows (ISO 12232 as Exif names them).
#[derive(Clone, Copy)]
enum SpeedKind {
    Output,
    Recommended,
    Speed,
}

impl SpeedKind {
    /// Exif 2.3, tag 0x8830: 1 SOS, 2 REI, 3 ISO speed, 4 to 7 several of them with the same figure.
    const fn of(value: u32) -> Option<Self> {
        match value {
            1 | 4 | 5 | 7 => Some(Self::Output),
            2 | 6 => Some(Self::Recommended),
            3 => Some(Self::Speed),
            _ => None,
        }
    }

    const fn name(self) -> &'static str {
        match self {
            Self::Output => "Sensitivity, as standard output sensitivity (SOS)",
            Self::Recommended => "Sensitivity, as recommended exposure index (REI)",
            Self::Speed => "Sensitivity, as ISO speed",
        }
    }
}
