//! A whole setting in the fragment of an address, which browsers keep to themselves.

use base64ct::{Base64UrlUnpadded, Encoding as _};
use serde::Serialize;

use crate::{
    equipment::OwnCamera,
    intent::Refusal,
    state::State,
    store::{self, Entries, Unreadable},
};

/// What links begin with, by the version of their setting: pages of before refuse what is newer than they are.
const MARKS: [&str; 3] = ["set1.", "set2.", "set3."];
/// What the fragments of all versions have in common, before their number.
const FAMILY: &str = "set";
/// Longer fragments are not looked at.
const LONGEST: usize = 16_384;

/// What a link carries, and what the programs of the page hand each other.
#[derive(Serialize)]
struct Parcel {
    setting: String,
    /// The camera where it is the user's own: key and record.
    #[serde(skip_serializing_if = "Option::is_none")]
    camera: Option<(String, String)>,
    /// For the film book alone ([`handover`](crate::handover)).
    #[serde(skip_serializing_if = "Vec::is_empty")]
    frames: Vec<String>,
}

/// This setting as a text for another program of the page, with the camera if it is the user's own.
///
/// ```
/// use panel::{State, link};
/// assert_eq!(link::setting(&link::parcel(&State::default())), Ok(State::default()));
/// ```
#[must_use]
pub fn parcel(state: &State) -> String {
    with_frames(state, Vec::new())
}

/// The same with frames.
pub(crate) fn with_frames(state: &State, frames: Vec<String>) -> String {
    let camera = state
        .own
        .iter()
        .find(|own| own.id == state.equipment.id)
        .map(|own| (store::camera_key(&own.id), store::encode_camera(own)));
    store::json(&Parcel {
        setting: store::setting_text(state),
        camera,
        frames,
    })
}

/// The fragment (without `#`) that carries this setting, with the camera if it is the user's own.
///
/// ```
/// use panel::{Intent, State, apply, link};
/// let (state, _) = apply(&State::default(), &Intent::OpenLink(link::fragment(&State::default()))).unwrap();
/// assert!(state.from_link());
/// ```
#[must_use]
pub fn fragment(state: &State) -> String {
    let mark = MARKS[store::version_without(state).min(3) as usize - 1];
    format!(
        "{mark}{}",
        Base64UrlUnpadded::encode_string(parcel(state).as_bytes())
    )
}

/// The setting of a [`parcel`], for a program that has none of its own.
///
/// # Errors
///
/// A sentence: the text is damaged or of a newer version.
pub fn setting(parcel: &str) -> Result<State, Refusal> {
    of_parcel(parcel, &State::default())
}

/// Makes a state of a fragment, with the cameras that are there already; how the page looks and feels stays the reader's own
/// choice.
pub(crate) fn open(fragment: &str, here: &State) -> Result<State, Refusal> {
    Ok(State {
        theme: here.theme,
        tick: here.tick,
        ..of_parcel(&parcel_of(fragment)?, here)?
    })
}

fn damaged() -> Refusal {
    Refusal {
        sentence: "The link is damaged or not one of this page's, so nothing was changed. Ask for it again.".to_owned(),
    }
}

fn newer() -> Refusal {
    Refusal {
        sentence: "The link comes from a newer version of this page, so nothing was changed. Reload, then open it again."
            .to_owned(),
    }
}

/// The [`parcel`] that a fragment carries.
///
/// # Errors
///
/// A sentence: the fragment is damaged or of a newer version.
pub fn parcel_of(fragment: &str) -> Result<String, Refusal> {
    let fragment = fragment.trim();
    let Some(body) = MARKS
        .into_iter()
        .find_map(|mark| fragment.strip_prefix(mark))
    else {
        let version = fragment
            .strip_prefix(FAMILY)
            .and_then(|rest| rest.split_once('.'))
            .map(|(version, _)| version);
        let is_version = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        return Err(if version.is_some_and(is_version) {
            newer()
        } else {
            damaged()
        });
    };
    if body.len() > LONGEST {
        return Err(damaged());
    }
    let bytes = Base64UrlUnpadded::decode_vec(body).map_err(|_| damaged())?;
    String::from_utf8(bytes).map_err(|_| damaged())
}

/// A state of everything that a parcel says, with the cameras that are there already.
pub(crate) fn of_parcel(text: &str, here: &State) -> Result<State, Refusal> {
    let refused = |why: Unreadable| {
        if why == Unreadable::Newer {
            newer()
        } else {
            damaged()
        }
    };
    let mut parcel = Entries::read(text).map_err(refused)?;
    let setting = parcel.text("setting").map_err(refused)?;
    let camera = parcel
        .texts_if_any("camera")
        .map_err(refused)?
        .unwrap_or_default();
    let mut own: Vec<OwnCamera> = here.own.clone();
    let mut renamed = None;
    if !matches!(camera.len(), 0 | 2) {
        return Err(damaged());
    }
    if let [key, text] = camera.as_slice() {
        let mut camera = store::decode_camera(key, text).map_err(refused)?;
        // Ours of the same id may have been changed since: the one from the link then comes in under an id of its own.
        if own
            .iter()
            .any(|mine| mine.id == camera.id && mine.form != camera.form)
        {
            camera.id =
                store::new_camera_id(&camera.form, |id| own.iter().any(|mine| mine.id == id));
            renamed = Some(camera.id.clone());
        }
        if !own.iter().any(|mine| mine.id == camera.id) {
            own.push(camera);
        }
    }
    store::decode_setting(&setting, &own, renamed.as_deref()).map_err(refused)
}
