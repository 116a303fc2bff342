//! The stored format: structs of its own, readable names, engraved labels. Text in, text out; no browser.
//!
//! One record for the setting and one for each camera of the user's own, so that two tabs never overwrite each other's
//! cameras. A record names its format and version. A damaged record is set aside, never dropped; a record of a newer
//! version is left as it is.

use std::sync::Arc;

use exposure::{BoxSpeed, Bracket, Control, Mark, Reading, Steps, Stops, words};
use serde::{Deserialize, Serialize};

use crate::{
    apply::{BRACKET_BY, FILMS, ORDERS, ROUNDINGS, STEPS},
    equipment::{Equipment, OwnCamera, kind_form, parse_form},
    state::{Lead, State, THEMES},
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
const VERSION: u32 = 1;

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

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SettingRecord {
    format: String,
    version: u32,
    reading: ReadingRecord,
    film: FilmRecord,
    camera: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    hand_held_limit: Option<String>,
    set: SetRecord,
    held: Vec<String>,
    turned_last: String,
    #[serde(default)]
    extra_light_stops: f64,
    bracket: BracketRecord,
    theme: String,
    tick: bool,
    /// The setting from before a link was opened.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    before_link: Option<Box<Self>>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ReadingRecord {
    time: String,
    aperture: String,
    sensitivity: String,
    steps: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct FilmRecord {
    box_speed: String,
    kind: String,
    rounding: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SetRecord {
    time: String,
    aperture: String,
    sensitivity: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct BracketRecord {
    by: String,
    under: u8,
    over: u8,
    step: String,
    order: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
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

/// Only what every version has.
#[derive(Deserialize)]
struct Head {
    format: String,
    version: u32,
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
fn aside_key(key: &str, text: &str) -> String {
    format!(
        "{ASIDE_PREFIX}{}.{:016x}",
        key.trim_start_matches("stopkeeper."),
        hash(text)
    )
}

/// FNV-1a, 64 bits: names records by content; nothing depends on it being hard to guess.
fn hash(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// A new id for a camera: readable, and different for different content, so that two tabs do not meet.
pub(crate) fn new_camera_id(form: &CameraForm, taken: impl Fn(&str) -> bool) -> String {
    let slug: String = form
        .name
        .to_lowercase()
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

fn json<T: Serialize>(record: &T) -> String {
    serde_json::to_string(record).expect("strings, numbers and lists always have a JSON form")
}

fn read<T: for<'a> Deserialize<'a>>(text: &str, format: &str) -> Result<T, Unreadable> {
    let head: Head = serde_json::from_str(text).map_err(|_| Unreadable::Damaged)?;
    if head.format != format {
        return Err(Unreadable::Damaged);
    }
    if head.version > VERSION {
        return Err(Unreadable::Newer);
    }
    serde_json::from_str(text).map_err(|_| Unreadable::Damaged)
}

pub(crate) fn encode_camera(own: &OwnCamera) -> String {
    let form = own.form.clone();
    json(&CameraRecord {
        format: CAMERA_FORMAT.to_owned(),
        version: VERSION,
        id: own.id.clone(),
        name: form.name,
        times: form.times,
        apertures: form.apertures,
        steps: form.steps,
        focal_mm: form.focal,
    })
}

pub(crate) fn decode_camera(key: &str, text: &str) -> Result<OwnCamera, Unreadable> {
    let record: CameraRecord = read(text, CAMERA_FORMAT)?;
    let form = CameraForm {
        name: record.name,
        times: record.times,
        apertures: record.apertures,
        steps: record.steps,
        focal: record.focal_mm,
    };
    let valid = key == camera_key(&record.id) && !form.name.is_empty() && parse_form(&form).is_ok();
    if valid {
        Ok(OwnCamera {
            id: record.id,
            form,
        })
    } else {
        Err(Unreadable::Damaged)
    }
}

fn key_of<T: PartialEq>(table: &[(&'static str, T)], value: &T) -> String {
    table
        .iter()
        .find(|(_, v)| v == value)
        .map_or(table[0].0, |(key, _)| key)
        .to_owned()
}

fn value_of<T: Copy>(table: &[(&'static str, T)], key: &str) -> Result<T, Unreadable> {
    table
        .iter()
        .find(|(name, _)| *name == key)
        .map(|(_, value)| *value)
        .ok_or(Unreadable::Damaged)
}

const CONTROLS: [(&str, Control); 3] = [
    ("time", Control::Time),
    ("aperture", Control::Aperture),
    ("sensitivity", Control::Sensitivity),
];

/// The label of a mark; between the marks of a stepless ring with enough digits to return to the same place.
fn label(mark: &Mark) -> String {
    let label = words::value(mark);
    let same = Mark::parse(mark.control(), &label, Steps::Engraved)
        .is_ok_and(|read| (read.engraved() - mark.engraved()).abs() < 1e-10 * mark.engraved());
    if same || mark.control() != Control::Aperture {
        return label;
    }
    // Words stop at six decimals; a record takes nine, so that a reload is the same to the last word.
    let exact = format!("{:.9}", mark.engraved());
    format!("f/{}", exact.trim_end_matches('0').trim_end_matches('.'))
}

pub(crate) fn setting_text(state: &State) -> String {
    encode_setting(&State {
        before_link: None,
        ..state.clone()
    })
}

fn setting_record(state: &State) -> SettingRecord {
    let [time, aperture, sensitivity] = state.reading.marks().map(|mark| label(&mark));
    let shown = state.solution().marks;
    let set = shown.map(|mark| label(&mark));
    SettingRecord {
        format: SETTING_FORMAT.to_owned(),
        version: VERSION,
        reading: ReadingRecord {
            time,
            aperture,
            sensitivity,
            steps: if state.halves { "halves" } else { "thirds" }.to_owned(),
        },
        film: FilmRecord {
            box_speed: label(&state.box_speed.mark()),
            kind: key_of(&FILMS, &state.film),
            rounding: key_of(&ROUNDINGS, &state.rounding),
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
            .map(|control| key_of(&CONTROLS, control))
            .collect(),
        turned_last: key_of(&CONTROLS, &state.lead.control),
        extra_light_stops: state.wish().get(),
        bracket: BracketRecord {
            by: key_of(&BRACKET_BY, &state.bracket.by()),
            under: state.bracket.under(),
            over: state.bracket.over(),
            step: key_of(&STEPS, &state.bracket.step()),
            order: key_of(&ORDERS, &state.bracket.order()),
        },
        theme: state.theme.to_owned(),
        tick: state.tick,
        before_link: state
            .before_link
            .as_ref()
            .map(|before| Box::new(setting_record(before))),
    }
}

/// Reads a setting; `own` are the cameras it may name, and `renamed` is a camera to take instead of the one it names.
pub(crate) fn decode_setting(
    text: &str,
    own: &[OwnCamera],
    renamed: Option<&str>,
) -> Result<State, Unreadable> {
    let mut record: SettingRecord = read(text, SETTING_FORMAT)?;
    if let Some(id) = renamed {
        id.clone_into(&mut record.camera);
    }
    state_of(record, own)
}

fn state_of(record: SettingRecord, own: &[OwnCamera]) -> Result<State, Unreadable> {
    let damaged = |_| Unreadable::Damaged;
    let halves = match record.reading.steps.as_str() {
        "halves" => true,
        "thirds" => false,
        _ => return Err(Unreadable::Damaged),
    };
    let reading_steps = if halves { Steps::Half } else { Steps::Third };
    let read = |control, text: &str| Mark::parse(control, text, reading_steps).map_err(damaged);
    let reading = Reading::new(
        read(Control::Time, &record.reading.time)?,
        read(Control::Aperture, &record.reading.aperture)?,
        read(Control::Sensitivity, &record.reading.sensitivity)?,
    )
    .map_err(damaged)?;
    // A camera that is gone (removed in another tab) is no reason to lose the setting.
    let form_of = |id: &str| {
        kind_form(id).or_else(|| {
            own.iter()
                .find(|own| own.id == id)
                .map(|own| own.form.clone())
        })
    };
    let fallback = State::default();
    let equipment = match form_of(&record.camera) {
        Some(form) => Arc::new(Equipment::new(&record.camera, &form).map_err(damaged)?),
        None => Arc::clone(&fallback.equipment),
    };
    let stands = {
        let stand = |control: Control, text: &str| {
            let typed = Mark::parse(control, text, equipment.steps()).map_err(damaged)?;
            Ok(equipment.scale(control).meant(&typed).mark)
        };

        [
            stand(Control::Time, &record.set.time)?,
            stand(Control::Aperture, &record.set.aperture)?,
            stand(Control::Sensitivity, &record.set.sensitivity)?,
        ]
    };
    let held = record
        .held
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
    let control = value_of(&CONTROLS, &record.turned_last)?;
    let hand_limit = record
        .hand_held_limit
        .map(|text| Mark::parse(Control::Time, &text, equipment.steps()))
        .transpose()
        .map_err(damaged)?;
    let box_mark =
        Mark::parse(Control::Sensitivity, &record.film.box_speed, Steps::Third).map_err(damaged)?;
    let bracket = Bracket::new(
        value_of(&BRACKET_BY, &record.bracket.by)?,
        record.bracket.under,
        record.bracket.over,
        value_of(&STEPS, &record.bracket.step)?,
        value_of(&ORDERS, &record.bracket.order)?,
    )
    .map_err(damaged)?;
    Ok(State {
        reading,
        halves,
        box_speed: BoxSpeed::new(box_mark).map_err(damaged)?,
        film: value_of(&FILMS, &record.film.kind)?,
        rounding: value_of(&ROUNDINGS, &record.film.rounding)?,
        equipment,
        own: own.to_vec(),
        hand_limit,
        stands,
        lead: Lead {
            control,
            from: stands[control.index()],
        },
        settled: stands,
        extra: Stops::new(record.extra_light_stops).map_err(damaged)?,
        held,
        bracket,
        theme: THEMES
            .into_iter()
            .find(|theme| *theme == record.theme)
            .ok_or(Unreadable::Damaged)?,
        tick: record.tick,
        before_link: record
            .before_link
            .map(|before| state_of(*before, own))
            .transpose()?
            .map(Box::new),
    })
}
