//! The stored format: structs of its own, readable names, engraved labels. Text in, text out; no browser.
//!
//! One record for the setting and one for each camera of the user's own, so that two tabs never overwrite each other's
//! cameras. A record names its format and version. A damaged record is set aside, never dropped; a record of a newer
//! version is left as it is.

use std::{io, sync::Arc};

use book::{
    hash,
    json::{self, Fields, Value},
};
use exposure::{
    BoxSpeed, Bracket, Control, DepthOfField, Doubt, Effect, FilmKind, LongRule, LongTimes, Mark,
    Prefer, Reading, Scale, Steps, Stops, words,
};
use serde::Serialize;
use serde_json::ser::{Formatter, Serializer};

use crate::{
    choices::{BRACKET_BY, CONTROLS, FILMS, ORDERS, ROUNDINGS, STEPS, THEMES, key_of},
    equipment::{Equipment, OwnCamera, first_form, form_of, kind_form, parse_form, steps_of},
    lines::{Depth, LINE_KINDS, LONGEST_NAME, Line, Long, MOST_LINES},
    state::{Lead, State, first_bracket},
    view::CameraForm,
};

/// Key of the setting.
pub const SETTING: &str = "stopkeeper.setting";
/// What the key of every camera of the user's own begins with.
pub const CAMERA_PREFIX: &str = "stopkeeper.camera.";
/// What the key of a record that was set aside begins with.
pub const ASIDE_PREFIX: &str = "stopkeeper.aside.";

const SETTING_FORMAT: &str = "stopkeeper setting";
const CAMERA_FORMAT: &str = "stopkeeper camera";
/// The newest version of each record that this page reads. A setting that says nothing new is still written as version 1.
const SETTING_VERSION: u32 = 3;
const CAMERA_VERSION: u32 = 1;

/// What a browser's storage held at the start.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Found {
    /// The text under [`SETTING`].
    pub setting: Option<String>,
    /// Keys and texts of all records whose key begins with [`CAMERA_PREFIX`].
    pub cameras: Vec<(String, String)>,
}

/// What could be made of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    /// The state to start from.
    pub state: State,
    /// Sentences for the person, where something could not be read.
    pub notices: Vec<String>,
    /// Records to keep under another key: old key and new key. Copy first, then remove.
    pub set_aside: Vec<(String, String)>,
    /// Whether the setting may be written: not over a record of a newer version.
    pub may_write_setting: bool,
}

#[derive(Serialize)]
struct SettingRecord {
    format: String,
    version: u32,
    reading: ReadingRecord,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    corrections: Vec<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    long_times: Vec<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    depth: Vec<String>,
    film: FilmRecord,
    camera: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    hand_held_limit: Option<String>,
    set: SetRecord,
    held: Vec<String>,
    turned_last: String,
    extra_light_stops: f64,
    bracket: BracketRecord,
    theme: String,
    tick: bool,
    /// The setting from before a link was opened.
    #[serde(skip_serializing_if = "Option::is_none")]
    before_link: Option<Box<Self>>,
}

#[derive(Serialize)]
struct ReadingRecord {
    time: String,
    aperture: String,
    sensitivity: String,
    steps: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    from: String,
    #[serde(skip_serializing_if = "is_nought")]
    give_or_take_thousandths: u32,
}

#[derive(Serialize)]
struct FilmRecord {
    box_speed: String,
    kind: String,
    rounding: String,
}

#[derive(Serialize)]
struct SetRecord {
    time: String,
    aperture: String,
    sensitivity: String,
}

#[derive(Serialize)]
struct BracketRecord {
    by: String,
    under: u8,
    over: u8,
    step: String,
    order: String,
}

#[derive(Serialize)]
struct CameraRecord {
    format: String,
    version: u32,
    id: String,
    name: String,
    times: String,
    apertures: String,
    steps: String,
    focal_mm: String,
}

/// Why a record was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Unreadable {
    /// Written by a newer version of this page.
    Newer,
    /// Not what this page writes.
    Damaged,
}

/// The setting as text.
#[must_use]
pub fn encode_setting(state: &State) -> String {
    json(&setting_record(state))
}

/// The user's own cameras, one key and text each.
#[must_use]
pub fn encode_cameras(state: &State) -> Vec<(String, String)> {
    state
        .own
        .iter()
        .map(|own| (camera_key(&own.id), encode_camera(own)))
        .collect()
}

/// Key of the record of a camera, to remove it by.
#[must_use]
pub fn camera_key(id: &str) -> String {
    format!("{CAMERA_PREFIX}{id}")
}

/// Every camera there is, with its name: the described kinds, then the user's own as found in storage.
///
/// Records that cannot be read are left out here; [`open`] reports them.
///
/// ```
/// let cameras = panel::store::cameras(&[]);
/// assert!(cameras.iter().any(|(name, _)| name.starts_with("Box camera")));
/// ```
#[must_use]
pub fn cameras(found: &[(String, String)]) -> Vec<(String, exposure::Camera)> {
    let kinds = exposure::KINDS.iter().filter_map(|kind| kind_form(kind.id));
    let own = found.iter().filter_map(|(key, text)| {
        let own = decode_camera(key, text).ok()?;
        Some(own.form)
    });
    kinds
        .chain(own)
        .filter_map(|form| Some((form.name.clone(), parse_form(&form).ok()?)))
        .collect()
}

/// Makes a state of what was found. Never fails: what cannot be read is reported and set aside.
#[must_use]
pub fn open(found: &Found) -> Opened {
    let mut opened = Opened {
        state: State::default(),
        notices: Vec::new(),
        set_aside: Vec::new(),
        may_write_setting: true,
    };
    let mut damaged = 0;
    for (key, text) in &found.cameras {
        match decode_camera(key, text) {
            Ok(own) => opened.state.own.push(own),
            Err(Unreadable::Newer) => {
                opened.notices.push(
                    "A camera saved by a newer version of this page is left as it is.".to_owned(),
                );
            }
            Err(Unreadable::Damaged) => {
                damaged += 1;
                opened.set_aside.push((key.clone(), aside_key(key, text)));
            }
        }
    }
    if damaged > 0 {
        opened.notices.push(
            "A saved camera could not be read. It is set aside in this browser, not deleted."
                .to_owned(),
        );
    }
    let own = opened.state.own.clone();
    match found
        .setting
        .as_deref()
        .map(|text| (text, decode_setting(text, &own, None)))
    {
        None => {}
        Some((_, Ok(state))) => opened.state = state,
        Some((_, Err(Unreadable::Newer))) => {
            opened.may_write_setting = false;
            opened.notices.push(
                "A newer version of this page saved the setting here. It is left as it is; changes made now last until you \
                 close the page. Reload when you are online to get the newer version."
                    .to_owned(),
            );
        }
        Some((text, Err(Unreadable::Damaged))) => {
            opened
                .set_aside
                .push((SETTING.to_owned(), aside_key(SETTING, text)));
            opened.notices.push(
                "The saved setting could not be read, so the page starts afresh. The old record is set aside in this \
                 browser, not deleted."
                    .to_owned(),
            );
        }
    }
    opened
}

/// A key of its own for each damaged text, so that a second damaged record never replaces the first.
pub(crate) fn aside_key(key: &str, text: &str) -> String {
    format!(
        "{ASIDE_PREFIX}{}.{:016x}",
        key.trim_start_matches("stopkeeper."),
        hash(text)
    )
}

/// A new id for a camera: readable, and different for different content, so that two tabs do not meet.
pub(crate) fn new_camera_id(form: &CameraForm, taken: impl Fn(&str) -> bool) -> String {
    let slug: String = form
        .name
        .to_ascii_lowercase()
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .take(24)
        .collect();
    let all = [
        &form.name,
        &form.times,
        &form.apertures,
        &form.steps,
        &form.focal,
    ]
    .map(String::as_str)
    .join("\n");
    let base = format!("own-{}-{:08x}", slug.trim_matches('-'), hash(&all) >> 32);
    let mut id = base.clone();
    let mut n = 2;
    while taken(&id) {
        id = format!("{base}-{n}");
        n += 1;
    }
    id
}

pub(crate) fn json<T: Serialize>(record: &T) -> String {
    let mut text = Vec::new();
    record
        .serialize(&mut Serializer::with_formatter(&mut text, Decimals))
        .expect("strings, numbers and lists always have a JSON form");
    String::from_utf8(text).expect("JSON of texts is a text")
}

/// Writes numbers as [`decimal`] does.
struct Decimals;

impl Formatter for Decimals {
    fn write_f64<W: ?Sized + io::Write>(&mut self, to: &mut W, number: f64) -> io::Result<()> {
        to.write_all(decimal(number).as_bytes())
    }
}

/// A record that is being read: each entry is taken out once, and in the end none may be left.
///
/// Read by hand and not through derived code, which would be the largest piece of the page's program after its views.
pub(crate) struct Entries(Fields);

impl Entries {
    /// A record of a format, unless it is damaged or newer than this page.
    pub(crate) fn of(text: &str, format: &str, newest: u32) -> Result<Self, Unreadable> {
        Self::read(text)?.without_head(format, newest)
    }

    /// A record of any kind.
    pub(crate) fn read(text: &str) -> Result<Self, Unreadable> {
        Self::from(json::read(text))
    }

    /// The rest of a record of a format, without what says so.
    fn without_head(mut self, format: &str, newest: u32) -> Result<Self, Unreadable> {
        if self.text("format")? != format {
            return Err(Unreadable::Damaged);
        }
        match self.0.remove("version").and_then(|v| v.as_u64()) {
            Some(version) if version > u64::from(newest) => Err(Unreadable::Newer),
            Some(_) => Ok(self),
            None => Err(Unreadable::Damaged),
        }
    }

    pub(crate) fn from(value: Option<Value>) -> Result<Self, Unreadable> {
        match value {
            Some(Value::Object(entries)) => Ok(Self(entries)),
            _ => Err(Unreadable::Damaged),
        }
    }

    pub(crate) fn text(&mut self, key: &str) -> Result<String, Unreadable> {
        text_of(self.0.remove(key))
    }

    pub(crate) fn text_if_any(&mut self, key: &str) -> Result<Option<String>, Unreadable> {
        let entry = self.0.remove(key);
        entry.map(|value| text_of(Some(value))).transpose()
    }

    pub(crate) fn texts_if_any(&mut self, key: &str) -> Result<Option<Vec<String>>, Unreadable> {
        let values = match self.0.remove(key) {
            None => return Ok(None),
            Some(Value::Array(values)) => values,
            Some(_) => return Err(Unreadable::Damaged),
        };
        let texts: Result<_, _> = values.into_iter().map(|v| text_of(Some(v))).collect();
        texts.map(Some)
    }

    fn count(&mut self, key: &str) -> Result<u8, Unreadable> {
        let count = self.0.remove(key).and_then(|value| value.as_u64());
        count
            .and_then(|count| u8::try_from(count).ok())
            .ok_or(Unreadable::Damaged)
    }

    pub(crate) fn whole(&mut self, key: &str) -> Result<u64, Unreadable> {
        let number = self.0.remove(key).and_then(|value| value.as_u64());
        number.ok_or(Unreadable::Damaged)
    }

    pub(crate) fn whole_or_nought(&mut self, key: &str) -> Result<u64, Unreadable> {
        if self.0.contains_key(key) {
            self.whole(key)
        } else {
            Ok(0)
        }
    }

    /// How far a reading may be off, where it says so.
    pub(crate) fn doubt(&mut self) -> Result<Option<Doubt>, Unreadable> {
        const KEY: &str = "give_or_take_thousandths";
        if !self.0.contains_key(KEY) {
            return Ok(None);
        }
        let doubt = Doubt::of_thousandths(self.whole(KEY)?);
        // Nought is not written.
        doubt
            .filter(|doubt| *doubt > Doubt::NONE)
            .map(Some)
            .ok_or(Unreadable::Damaged)
    }

    pub(crate) fn list_if_any(&mut self, key: &str) -> Result<Vec<Value>, Unreadable> {
        match self.0.remove(key) {
            None => Ok(Vec::new()),
            Some(Value::Array(values)) => Ok(values),
            Some(_) => Err(Unreadable::Damaged),
        }
    }

    fn flag(&mut self, key: &str) -> Result<bool, Unreadable> {
        let flag = self.0.remove(key).and_then(|value| value.as_bool());
        flag.ok_or(Unreadable::Damaged)
    }

    pub(crate) fn number_or_nought(&mut self, key: &str) -> Result<f64, Unreadable> {
        match self.0.remove(key) {
            None => Ok(0.0),
            Some(value) => value.as_f64().ok_or(Unreadable::Damaged),
        }
    }

    fn entries(&mut self, key: &str) -> Result<Self, Unreadable> {
        Self::from(self.0.remove(key))
    }

    pub(crate) fn end(self) -> Result<(), Unreadable> {
        if self.0.is_empty() {
            Ok(())
        } else {
            Err(Unreadable::Damaged)
        }
    }
}

fn text_of(value: Option<Value>) -> Result<String, Unreadable> {
    match value {
        Some(Value::String(text)) => Ok(text),
        _ => Err(Unreadable::Damaged),
    }
}

/// What a list of texts says, where there is one.
fn some_of<T>(
    texts: Option<Vec<String>>,
    of: fn(&[String]) -> Option<T>,
) -> Result<Option<T>, Unreadable> {
    texts
        .map(|texts| of(&texts).ok_or(Unreadable::Damaged))
        .transpose()
}

/// A decimal as [`written`]; nought as well, and with a sign.
fn number_of(text: &str) -> Option<f64> {
    let (sign, size) = match text.strip_prefix('-') {
        Some(size) => (-1.0, size),
        None => (1.0, text),
    };
    if size == "0.0" {
        return Some(0.0);
    }
    Some(sign * words::plain_decimal(size)?)
}

/// A number as JSON writes it, to the twelfth decimal.
pub(crate) fn decimal(number: f64) -> String {
    written(number, 12)
}

/// A number with a point in any case, which tells it from a count.
fn written(number: f64, places: u8) -> String {
    let text = words::exact(number, places);
    if text.contains('.') {
        text
    } else {
        text + ".0"
    }
}

pub(crate) fn encode_camera(own: &OwnCamera) -> String {
    let form = own.form.clone();
    json(&CameraRecord {
        format: CAMERA_FORMAT.to_owned(),
        version: CAMERA_VERSION,
        id: own.id.clone(),
        name: form.name,
        times: form.times,
        apertures: form.apertures,
        steps: form.steps,
        focal_mm: form.focal,
    })
}

pub(crate) fn decode_camera(key: &str, text: &str) -> Result<OwnCamera, Unreadable> {
    let mut record = Entries::of(text, CAMERA_FORMAT, CAMERA_VERSION)?;
    let id = record.text("id")?;
    let form = CameraForm {
        name: record.text("name")?,
        times: record.text("times")?,
        apertures: record.text("apertures")?,
        steps: record.text("steps")?,
        focal: record.text("focal_mm")?,
    };
    record.end()?;
    let valid = key == camera_key(&id) && !form.name.is_empty() && parse_form(&form).is_ok();
    if valid {
        Ok(OwnCamera { id, form })
    } else {
        Err(Unreadable::Damaged)
    }
}

fn value_of<T: Copy>(table: &[(&'static str, T)], key: &str) -> Result<T, Unreadable> {
    table
        .iter()
        .find(|(name, _)| *name == key)
        .map(|(_, value)| *value)
        .ok_or(Unreadable::Damaged)
}

/// The label of a mark; between the marks of a stepless ring with enough digits to return to the same place.
pub(crate) fn label(mark: &Mark) -> String {
    let label = words::value(mark);
    let same = Mark::parse(mark.control(), &label, Steps::Engraved)
        .is_ok_and(|read| (read.engraved() - mark.engraved()).abs() < 1e-10 * mark.engraved());
    if same || mark.control() != Control::Aperture {
        return label;
    }
    // Words stop at six decimals; a record takes nine, so that a reload is the same to the last word.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "an f-number is positive and has three digits before the point"
    )]
    let billionths = (mark.engraved() * 1e9).round() as u64;
    let exact = format!(
        "{}.{:09}",
        billionths / 1_000_000_000,
        billionths % 1_000_000_000
    );
    format!("f/{}", exact.trim_end_matches('0').trim_end_matches('.'))
}

pub(crate) fn setting_text(state: &State) -> String {
    encode_setting(&State {
        before_link: None,
        ..state.clone()
    })
}

/// A setting is written in the oldest version that can say it, so that older pages read it.
fn version_of(state: &State) -> u32 {
    let before = state.before_link.as_deref().map_or(1, version_of);
    before.max(version_without(state))
}

/// The version that a setting needs, without the one kept behind it.
pub(crate) fn version_without(state: &State) -> u32 {
    let says_2 = !state.from.is_empty()
        || !state.lines().is_empty()
        || state.long().is_some()
        || state.depth().is_some();
    // How far the reading may be off, or a correction that belongs to a time or a stop.
    let says_3 = state.doubt.is_some()
        || state
            .lines()
            .iter()
            .any(|line| line.effect().fixed().is_none());
    match (says_2, says_3) {
        (_, true) => 3,
        (true, false) => 2,
        (false, false) => 1,
    }
}

/// How far a reading may be off, as records keep it; nought where nothing is said.
pub(crate) fn thousandths(doubt: Option<Doubt>) -> u32 {
    doubt.map_or(0, |doubt| u32::from(doubt.thousandths()))
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "what serde hands over is a reference"
)]
pub(crate) const fn is_nought(number: &u32) -> bool {
    *number == 0
}

// What version 2 brought is written as lists of texts: each more kind of record that is written or read would cost more of
// the dial's program than all the words of this page.

const COUNTS: &str = "counts";
const LEFT_OUT: &str = "left out";

fn counted(on: bool) -> String {
    if on { COUNTS } else { LEFT_OUT }.to_owned()
}

fn is_counted(text: &str) -> Option<bool> {
    match text {
        COUNTS => Some(true),
        LEFT_OUT => Some(false),
        _ => None,
    }
}

fn line_texts(line: &Line) -> [String; 4] {
    [
        key_of(&LINE_KINDS, &line.kind()).to_owned(),
        counted(line.on()),
        effect_text(line.effect()),
        line.name().to_owned(),
    ]
}

const LEAF: &str = "leaf shutter";

/// Stops, `leaf shutter`, a time with what it gives there (`1/250 0.644`), or apertures with theirs (`f/2 -0.333 f/4 0.0`).
fn effect_text(effect: &Effect) -> String {
    let row = |(mark, effect): &(Mark, Stops)| format!("{} {}", label(mark), decimal(effect.get()));
    match effect {
        Effect::Fixed(effect) => decimal(effect.get()),
        Effect::Leaf => LEAF.to_owned(),
        Effect::AtTime(mark, effect) => row(&(*mark, *effect)),
        Effect::ByStop(rows) => rows.iter().map(row).collect::<Vec<_>>().join(" "),
    }
}

fn effect_of(text: &str) -> Option<Effect> {
    if let Some(effect) = number_of(text) {
        return Some(Effect::Fixed(Stops::new(effect).ok()?));
    }
    if text == LEAF {
        return Some(Effect::Leaf);
    }
    let words: Vec<&str> = text.split(' ').collect();
    let control = if text.starts_with("f/") {
        Control::Aperture
    } else {
        Control::Time
    };
    let row = |pair: &[&str]| {
        let [mark, effect] = pair else { return None };
        let mark = Mark::parse(control, mark, Steps::Full).ok()?;
        Some((mark, Stops::new(number_of(effect)?).ok()?))
    };
    let mut rows = words.chunks(2).map(row).collect::<Option<Vec<_>>>()?;
    match control {
        Control::Aperture => Some(Effect::ByStop(rows)),
        _ if rows.len() == 1 => rows
            .pop()
            .map(|(mark, effect)| Effect::AtTime(mark, effect)),
        _ => None,
    }
}

fn line_of(texts: &[String]) -> Option<Line> {
    let [kind, on, effect, name] = texts else {
        return None;
    };
    let kind = value_of(&LINE_KINDS, kind).ok()?;
    let line = Line::by(kind, name, effect_of(effect)?).ok()?;
    Some(line.counted(is_counted(on)?))
}

fn lines_of(texts: &[String]) -> Option<Vec<Line>> {
    let lines = texts.chunks(4).map(line_of);
    lines
        .collect::<Option<Vec<_>>>()
        .filter(|lines| lines.len() <= MOST_LINES)
}

fn long_texts(long: &Long) -> Vec<String> {
    let rule = long.times().rule();
    let (key, figures) = match rule {
        LongRule::Power { exponent } => ("power", vec![*exponent]),
        LongRule::Added { share, exponent } => ("added", vec![*share, *exponent]),
        LongRule::Table(rows) => ("table", rows.concat()),
    };
    let mut texts = vec![counted(long.on()), long.name().to_owned(), key.to_owned()];
    texts.push(decimal(long.times().threshold()));
    texts.extend(figures.into_iter().map(decimal));
    texts
}

fn long_of(texts: &[String]) -> Option<Long> {
    let [on, name, key, figures @ ..] = texts else {
        return None;
    };
    let figures: Vec<f64> = figures
        .iter()
        .map(|text| number_of(text))
        .collect::<Option<_>>()?;
    let (threshold, figures) = figures.split_first()?;
    let rule = match (key.as_str(), figures) {
        ("power", &[exponent]) => LongRule::Power { exponent },
        ("added", &[share, exponent]) => LongRule::Added { share, exponent },
        ("table", rows) if rows.len() % 2 == 0 => {
            LongRule::Table(rows.chunks(2).map(|row| [row[0], row[1]]).collect())
        }
        _ => return None,
    };
    let times = LongTimes::new(rule, *threshold).ok()?;
    Some(Long::new(name, times).ok()?.counted(is_counted(on)?))
}

fn depth_texts(depth: &Depth) -> Vec<String> {
    let of = depth.of();
    vec![
        depth.circle().to_owned(),
        decimal(of.circle()),
        decimal(of.focal()),
        // Nought stands for infinity.
        written(of.distance().unwrap_or(0.0), 6),
    ]
}

fn depth_of(texts: &[String]) -> Option<Depth> {
    let [name, circle, focal, distance] = texts else {
        return None;
    };
    let distance = number_of(distance).filter(|distance| *distance > 0.0);
    let of = DepthOfField::new(number_of(focal)?, distance, number_of(circle)?).ok()?;
    Depth::new(of, name).ok()
}

fn setting_record(state: &State) -> SettingRecord {
    let [time, aperture, sensitivity] = state.reading.marks().map(|mark| label(&mark));
    let shown = state.solution().marks;
    let set = shown.map(|mark| label(&mark));
    SettingRecord {
        format: SETTING_FORMAT.to_owned(),
        version: version_of(state),
        reading: ReadingRecord {
            time,
            aperture,
            sensitivity,
            steps: if state.halves { "halves" } else { "thirds" }.to_owned(),
            from: state.from.clone(),
            give_or_take_thousandths: thousandths(state.doubt),
        },
        corrections: state.lines().iter().flat_map(line_texts).collect(),
        long_times: state.long().map(long_texts).unwrap_or_default(),
        depth: state.depth().map(depth_texts).unwrap_or_default(),
        film: FilmRecord {
            box_speed: label(&state.box_speed.mark()),
            kind: key_of(&FILMS, &state.film).to_owned(),
            rounding: key_of(&ROUNDINGS, &state.rounding).to_owned(),
        },
        camera: state.equipment.id.clone(),
        hand_held_limit: state.hand_limit.as_ref().map(label),
        set: {
            let [time, aperture, sensitivity] = set;
            SetRecord {
                time,
                aperture,
                sensitivity,
            }
        },
        held: state
            .held
            .iter()
            .map(|control| key_of(&CONTROLS, control).to_owned())
            .collect(),
        turned_last: key_of(&CONTROLS, &state.lead.control).to_owned(),
        extra_light_stops: state.wish().get(),
        bracket: BracketRecord {
            by: key_of(&BRACKET_BY, &state.bracket.by()).to_owned(),
            under: state.bracket.under(),
            over: state.bracket.over(),
            step: key_of(&STEPS, &state.bracket.step()).to_owned(),
            order: key_of(&ORDERS, &state.bracket.order()).to_owned(),
        },
        theme: state.theme.to_owned(),
        tick: state.tick,
        before_link: state
            .before_link
            .as_ref()
            .map(|before| Box::new(setting_record(before))),
    }
}

/// A reading as a setting has it.
struct Read {
    reading: Reading,
    halves: bool,
    from: String,
    doubt: Option<Doubt>,
}

fn read_of(record: &mut Entries) -> Result<Read, Unreadable> {
    let damaged = |_| Unreadable::Damaged;
    let mut read = record.entries("reading")?;
    let halves = match read.text("steps")?.as_str() {
        "halves" => true,
        "thirds" => false,
        _ => return Err(Unreadable::Damaged),
    };
    let steps = if halves { Steps::Half } else { Steps::Third };
    let mut mark = |control, key| Mark::parse(control, &read.text(key)?, steps).map_err(damaged);
    let reading = Reading::new(
        mark(Control::Time, "time")?,
        mark(Control::Aperture, "aperture")?,
        mark(Control::Sensitivity, "sensitivity")?,
    )
    .map_err(damaged)?;
    let from = read.text_if_any("from")?.unwrap_or_default();
    let doubt = read.doubt()?;
    read.end()?;
    if from.chars().count() > LONGEST_NAME {
        return Err(Unreadable::Damaged);
    }
    Ok(Read {
        reading,
        halves,
        from,
        doubt,
    })
}

/// Where the dials stand, on the scales of a camera.
fn set_of(
    record: &mut Entries,
    scales: [&Scale; 3],
    steps: Steps,
) -> Result<[Mark; 3], Unreadable> {
    let [time, aperture, sensitivity] = scales;
    let mut set = record.entries("set")?;
    let stands = [
        mark_on(time, &set.text("time")?, steps)?,
        mark_on(aperture, &set.text("aperture")?, steps)?,
        mark_on(sensitivity, &set.text("sensitivity")?, steps)?,
    ];
    set.end()?;
    Ok(stands)
}

/// The mark of a scale that a label stands for.
fn mark_on(scale: &Scale, label: &str, steps: Steps) -> Result<Mark, Unreadable> {
    let typed = Mark::parse(scale.control(), label, steps).map_err(|_| Unreadable::Damaged)?;
    Ok(scale.meant(&typed).mark)
}

/// Box speed, film type and rounding.
fn film_of(record: &mut Entries) -> Result<(Mark, FilmKind, Option<Prefer>), Unreadable> {
    let mut film = record.entries("film")?;
    let box_speed = Mark::parse(Control::Sensitivity, &film.text("box_speed")?, Steps::Third)
        .map_err(|_| Unreadable::Damaged)?;
    let kind = value_of(&FILMS, &film.text("kind")?)?;
    let rounding = value_of(&ROUNDINGS, &film.text("rounding")?)?;
    film.end()?;
    Ok((box_speed, kind, rounding))
}

/// What is planned, read of a setting by a program that turns no dial.
pub(crate) struct Plan {
    pub(crate) camera_id: String,
    pub(crate) camera: String,
    pub(crate) reading: Reading,
    pub(crate) from: String,
    pub(crate) doubt: Option<Doubt>,
    pub(crate) lines: Vec<Line>,
    pub(crate) long: Option<Long>,
    pub(crate) box_speed: Mark,
    pub(crate) film: FilmKind,
    pub(crate) set: [Mark; 3],
    /// Time and aperture of each frame, and how much more light than the base was wanted.
    pub(crate) frames: Vec<(Mark, Mark, Stops)>,
}

/// Reads a plan: a setting, the camera where it is the user's own, and the frames, each the label of the mark that changes and
/// the stops that were wanted.
pub(crate) fn plan_of(
    setting: &str,
    own: &[OwnCamera],
    frames: &[String],
) -> Result<Plan, Unreadable> {
    let damaged = |_| Unreadable::Damaged;
    let mut record = Entries::of(setting, SETTING_FORMAT, SETTING_VERSION)?;
    let Read {
        reading,
        from,
        doubt,
        ..
    } = read_of(&mut record)?;
    let camera_id = record.text("camera")?;
    let form = form_of(&camera_id, own).ok_or(Unreadable::Damaged)?;
    let camera = parse_form(&form).map_err(damaged)?;
    let steps = steps_of(&form.steps);
    let speeds = Scale::sensitivities();
    let set = set_of(
        &mut record,
        [camera.times(), camera.apertures(), &speeds],
        steps,
    )?;
    let by = bracket_of(&mut record)?.by();
    let frame = |texts: &[String]| {
        let [label, wanted] = texts else {
            return Err(Unreadable::Damaged);
        };
        let wanted = number_of(wanted).ok_or(Unreadable::Damaged)?;
        let wanted = Stops::new(wanted).map_err(damaged)?;
        Ok(if by == Control::Time {
            (mark_on(camera.times(), label, steps)?, set[1], wanted)
        } else {
            (set[0], mark_on(camera.apertures(), label, steps)?, wanted)
        })
    };
    let frames = frames.chunks(2).map(frame).collect::<Result<_, _>>()?;
    let (box_speed, film, _) = film_of(&mut record)?;
    Ok(Plan {
        camera_id,
        camera: form.name,
        reading,
        from,
        doubt,
        lines: some_of(record.texts_if_any("corrections")?, lines_of)?.unwrap_or_default(),
        long: some_of(record.texts_if_any("long_times")?, long_of)?,
        box_speed,
        film,
        set,
        frames,
    })
}

fn bracket_of(record: &mut Entries) -> Result<Bracket, Unreadable> {
    let mut series = record.entries("bracket")?;
    let bracket = Bracket::new(
        value_of(&BRACKET_BY, &series.text("by")?)?,
        series.count("under")?,
        series.count("over")?,
        value_of(&STEPS, &series.text("step")?)?,
        value_of(&ORDERS, &series.text("order")?)?,
    )
    .map_err(|_| Unreadable::Damaged)?;
    series.end()?;
    Ok(bracket)
}

/// Camera, bracket and hand-held limit of what was found, for a program that turns no dial; the first camera and bracket where
/// nothing can be read.
pub(crate) fn for_loading(found: &Found) -> (CameraForm, Bracket, Option<Mark>) {
    let own: Vec<_> = found
        .cameras
        .iter()
        .filter_map(|(key, text)| decode_camera(key, text).ok())
        .collect();
    let read = |text: &str| {
        let mut record = Entries::of(text, SETTING_FORMAT, SETTING_VERSION).ok()?;
        let form = form_of(&record.text("camera").ok()?, &own).unwrap_or_else(first_form);
        let limit = record.text_if_any("hand_held_limit").ok()?;
        let limit = limit
            .map(|text| Mark::parse(Control::Time, &text, steps_of(&form.steps)))
            .transpose();
        Some((form, bracket_of(&mut record).ok()?, limit.ok()?))
    };
    let read = found.setting.as_deref().and_then(read);
    read.unwrap_or_else(|| (first_form(), first_bracket(), None))
}

/// Reads a setting; `own` are the cameras it may name, and `renamed` is a camera to take instead of the one it names.
pub(crate) fn decode_setting(
    text: &str,
    own: &[OwnCamera],
    renamed: Option<&str>,
) -> Result<State, Unreadable> {
    let record = Entries::of(text, SETTING_FORMAT, SETTING_VERSION)?;
    state_of(record, own, renamed)
}

fn state_of(
    mut record: Entries,
    own: &[OwnCamera],
    renamed: Option<&str>,
) -> Result<State, Unreadable> {
    let damaged = |_| Unreadable::Damaged;
    let Read {
        reading,
        halves,
        from,
        doubt,
    } = read_of(&mut record)?;
    let lines = some_of(record.texts_if_any("corrections")?, lines_of)?.unwrap_or_default();
    let long = some_of(record.texts_if_any("long_times")?, long_of)?;
    let depth = some_of(record.texts_if_any("depth")?, depth_of)?;
    let named = record.text("camera")?;
    let camera = renamed.unwrap_or(&named);
    // A camera that is gone (removed in another tab) is no reason to lose the setting.
    let fallback = State::default();
    let equipment = match form_of(camera, own) {
        Some(form) => Arc::new(Equipment::new(camera, &form).map_err(damaged)?),
        None => Arc::clone(&fallback.equipment),
    };
    let stands = set_of(&mut record, equipment.scales(), equipment.steps())?;
    let held = record
        .texts_if_any("held")?
        .ok_or(Unreadable::Damaged)?
        .iter()
        .map(|key| value_of(&CONTROLS, key))
        .collect::<Result<Vec<_>, _>>()?;
    let repeated = held
        .iter()
        .enumerate()
        .any(|(i, control)| held[..i].contains(control));
    if held.len() > 2 || repeated {
        return Err(Unreadable::Damaged);
    }
    let control = value_of(&CONTROLS, &record.text("turned_last")?)?;
    let hand_limit = record
        .text_if_any("hand_held_limit")?
        .map(|text| Mark::parse(Control::Time, &text, equipment.steps()))
        .transpose()
        .map_err(damaged)?;
    let (box_mark, kind, rounding) = film_of(&mut record)?;
    let bracket = bracket_of(&mut record)?;
    let extra = Stops::new(record.number_or_nought("extra_light_stops")?).map_err(damaged)?;
    let named = record.text("theme")?;
    let theme = THEMES.into_iter().find(|theme| *theme == named);
    let tick = record.flag("tick")?;
    let before_link = match record.0.remove("before_link") {
        None => None,
        before => Some(Box::new(state_of(
            Entries::from(before)?.without_head(SETTING_FORMAT, SETTING_VERSION)?,
            own,
            None,
        )?)),
    };
    record.end()?;
    let state = State {
        reading,
        halves,
        from,
        doubt,
        lines,
        long,
        depth,
        box_speed: BoxSpeed::new(box_mark).map_err(damaged)?,
        film: kind,
        rounding,
        equipment,
        own: own.to_vec(),
        hand_limit,
        stands,
        lead: Lead {
            control,
            from: stands[control.index()],
        },
        settled: stands,
        extra,
        held,
        bracket,
        theme: theme.ok_or(Unreadable::Damaged)?,
        tick,
        before_link,
        device: None,
    };
    state.light_is_in_reach().map_err(|_| Unreadable::Damaged)?;
    Ok(state)
}
