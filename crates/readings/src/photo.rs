//! A photo's metadata as a reading: what the file says, in words, what is missing, and the reading once it is complete.
//!
//! Source: the meaning of tags is that of Exif (CIPA DC-008, JEITA CP-3451); tag numbers as read in `kamadak-exif` 0.6.2.
//! Where a photo was taken is never looked at.

use std::io::Cursor;

use exif::{Exif, Field, In, Reader, Tag, Value};
use exposure::{
    Bv, Compared, Control, Doubt, Ev, Mark, Reading, Steps, Stops, Sv, two_meanings, words,
};

use crate::{
    Error, Found, LineKind, Method,
    found::{Known, left_over, scales, short},
    method::{BRIGHTNESS, DIGITAL, FAVOURED, marks},
    picture::Settings,
};

/// What a photo's file says.
///
/// Reading never fails: what could not be read is a remark, and what is missing can be typed.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo {
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

/// The largest compensation that is believed, in stops; cameras have up to five.
const LARGEST_BIAS: f64 = 10.0;

/// Reads the metadata of a photo: JPEG, HEIC, AVIF, TIFF and what is built on it, PNG, WebP.
///
/// ```
/// let photo = readings::photo::read(b"no photo at all");
/// assert_eq!(photo.missing().len(), 3);
/// assert!(photo.remarks[0].contains("no photo"));
/// ```
#[must_use]
pub fn read(bytes: &[u8]) -> Photo {
    let mut reader = Reader::new();
    reader.continue_on_error(true);
    let mut damaged = false;
    let result = reader
        .read_from_container(&mut Cursor::new(bytes))
        .or_else(|error| error.distill_partial_result(|_| damaged = true));
    match result {
        Ok(exif) => Photo::of(&exif, damaged),
        Err(error) => Photo::unread(refusal(&error, bytes)),
    }
}

fn refusal(error: &exif::Error, bytes: &[u8]) -> &'static str {
    if bytes.is_empty() {
        return "The file is empty.";
    }
    match error {
        exif::Error::NotFound(_) => {
            "This photo carries no metadata; it may have been taken off when the photo was sent or picked. Type what the camera shows."
        }
        // What is no container that the library knows is an invalid format as well; the beginning of the file tells.
        _ if is_picture(bytes) => {
            "The metadata of this photo is damaged and could not be read. Type what the camera shows."
        }
        _ => {
            "This is no photo whose metadata can be read (JPEG, HEIC, TIFF, PNG or WebP). Type what the camera shows."
        }
    }
}

fn is_picture(bytes: &[u8]) -> bool {
    let begins = |start: &[u8]| bytes.starts_with(start);
    begins(b"\xff\xd8\xff")
        || begins(b"II*\0")
        || begins(b"MM\0*")
        || begins(b"\x89PNG")
        || begins(b"RIFF")
        || bytes.get(4..8) == Some(b"ftyp")
}

/// A number as a tag holds it.
enum Number {
    /// A number, and how the file writes it.
    Is(f64),
    /// Something that says nothing, as the file writes it.
    Nothing(String),
}

fn number(field: &Field) -> Number {
    let ratio = |over: f64, under: f64| {
        if under == 0.0 {
            Number::Nothing(format!("{over}/{under}, which says nothing"))
        } else {
            Number::Is(over / under)
        }
    };
    let unreadable = || Number::Nothing("not a number".to_owned());
    match &field.value {
        Value::Rational(values) => values.first().map_or_else(unreadable, |value| {
            ratio(f64::from(value.num), f64::from(value.denom))
        }),
        Value::SRational(values) => values.first().map_or_else(unreadable, |value| {
            ratio(f64::from(value.num), f64::from(value.denom))
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
    exif: &'a Exif,
    entries: Vec<Entry>,
}

impl Tags<'_> {
    fn field(&self, tag: Tag) -> Option<&Field> {
        self.exif.get_field(tag, In::PRIMARY)
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
        let taken = match number(self.field(tag)?) {
            Number::Is(value) => take(value),
            Number::Nothing(says) => Err(says),
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
            entries: Vec::new(),
            remarks: vec![reason.into()],
            figures: [None; 3],
            bias: None,
            brightness: None,
            flash: false,
        }
    }

    fn of(exif: &Exif, damaged: bool) -> Self {
        let mut found = Tags {
            exif,
            entries: Vec::new(),
        };
        let mut remarks = Vec::new();
        let time = found
            .mark(Tag::ExposureTime, "Time", Control::Time)
            .or_else(|| {
                found.apex(
                    Tag::ShutterSpeedValue,
                    "Time, from its APEX value",
                    Control::Time,
                    |tv| (-tv).exp2(),
                )
            });
        let aperture = found
            .mark(Tag::FNumber, "Aperture", Control::Aperture)
            .or_else(|| {
                found.apex(
                    Tag::ApertureValue,
                    "Aperture, from its APEX value",
                    Control::Aperture,
                    |av| (av / 2.0).exp2(),
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
        if damaged {
            remarks.push("Parts of the metadata are damaged; what could be read is shown.".into());
        }
        if flash {
            remarks.push(
                "The flash fired: the settings say little about the light that was there before."
                    .into(),
            );
        }
        let photo = Self {
            entries: found.entries,
            remarks,
            figures: [time, aperture, sensitivity],
            bias,
            brightness,
            flash,
        };
        photo.with_doubts()
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

    /// The reading, where the file and what was typed are complete.
    ///
    /// `steps`: how the camera's figures are read; `None` takes thirds, or halves where only halves have the figures.
    ///
    /// # Errors
    ///
    /// A sentence that names what is missing, or what was typed and not understood.
    pub fn found(&self, filled: &Filled, steps: Option<Steps>) -> Result<Found, Error> {
        let steps = match steps {
            Some(steps) => steps,
            None => self.steps(),
        };
        let [time, aperture, sensitivity] = Control::ALL.map(|control| {
            let typed = filled.of(control);
            if !typed.is_empty() {
                return Ok(Mark::parse(control, typed, steps)?);
            }
            let figure = self.figures[control.index()].ok_or_else(|| {
                Error::new(format!(
                    "The photo does not say its {}; type what the camera shows.",
                    words::noun(control)
                ))
            })?;
            Ok::<_, Error>(Mark::new(control, figure, steps)?)
        });
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
            Some(_) => self.mark(Tag::PhotographicSensitivity, named, Control::Sensitivity),
            None => None,
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
