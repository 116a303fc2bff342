//! The device's camera, asked for only on a press of a button, and let go as soon as nobody looks.

use js_sys::{Array, Function, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    HtmlElement, HtmlVideoElement, MediaStream, MediaStreamConstraints, MediaStreamTrack,
};

/// Why there is no camera.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NoCamera {
    /// The person or the device does not allow it.
    Forbidden,
    /// There is none, or the page's address is not a secure one.
    Absent,
    /// Another program has it.
    Busy,
}

/// What the camera can be told, where it can be told at all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Reach {
    /// Shortest time, in units of 100 µs.
    pub(crate) least: f64,
    /// Longest time, in units of 100 µs.
    pub(crate) most: f64,
    /// Lowest sensitivity.
    pub(crate) iso: f64,
}

/// A camera that sees.
#[derive(Debug)]
pub(crate) struct Camera {
    stream: MediaStream,
    track: MediaStreamTrack,
}

impl Drop for Camera {
    fn drop(&mut self) {
        self.let_go();
    }
}

fn get(object: &JsValue, name: &str) -> Option<JsValue> {
    Reflect::get(object, &JsValue::from_str(name))
        .ok()
        .filter(|value| !value.is_undefined() && !value.is_null())
}

fn set(object: &Object, name: &str, value: &JsValue) {
    // OK to ignore: a plain object takes every property.
    let _ = Reflect::set(object, &JsValue::from_str(name), value);
}

/// Asks for the camera that looks away from the person.
pub(crate) async fn open() -> Result<Camera, NoCamera> {
    let navigator = web_sys::window().ok_or(NoCamera::Absent)?.navigator();
    // Asked by name: a page that is not on a secure address has no such thing.
    get(&navigator, "mediaDevices").ok_or(NoCamera::Absent)?;
    let devices = navigator.media_devices().map_err(|_| NoCamera::Absent)?;
    let wanted = Object::new();
    set(&wanted, "facingMode", &JsValue::from_str("environment"));
    let constraints = MediaStreamConstraints::new();
    constraints.set_video(&wanted);
    let promise = devices
        .get_user_media_with_constraints(&constraints)
        .map_err(|_| NoCamera::Absent)?;
    let stream: MediaStream = JsFuture::from(promise)
        .await
        .map_err(|error| {
            match get(&error, "name")
                .and_then(|name| name.as_string())
                .as_deref()
            {
                Some("NotAllowedError" | "SecurityError") => NoCamera::Forbidden,
                Some("NotReadableError" | "AbortError") => NoCamera::Busy,
                _ => NoCamera::Absent,
            }
        })?
        .dyn_into()
        .map_err(|_| NoCamera::Absent)?;
    let track = stream.get_video_tracks().get(0);
    let track = track
        .dyn_into::<MediaStreamTrack>()
        .map_err(|_| NoCamera::Absent)?;
    Ok(Camera { stream, track })
}

impl Camera {
    /// Lets the device have it back: from here on it sees nothing.
    pub(crate) fn let_go(&self) {
        self.track.stop();
    }

    /// Whether it sees nothing any more: the device took it away, or it was let go.
    pub(crate) fn is_gone(&self) -> bool {
        get(&self.track, "readyState").is_some_and(|state| state == "ended")
    }

    /// Shows what it sees in a video.
    pub(crate) fn show_in(&self, video: &HtmlElement) {
        let video = video.unchecked_ref::<HtmlVideoElement>();
        video.set_muted(true);
        video.set_src_object(Some(&self.stream));
        // OK to ignore: a browser that does not start it says so in its own controls.
        let _ = video.play();
    }

    /// Lets a video stand still, or go on.
    pub(crate) fn hold(video: &HtmlElement, held: bool) {
        let video = video.unchecked_ref::<HtmlVideoElement>();
        // OK to ignore: as where it was started.
        let _ = if held {
            video.pause().err()
        } else {
            video.play().err()
        };
    }

    /// A word for this camera that stays the same on this page.
    pub(crate) fn id(&self) -> String {
        get(&self.track, "getSettings")
            .and_then(|call| call.dyn_into::<Function>().ok()?.call0(&self.track).ok())
            .and_then(|settings| get(&settings, "deviceId")?.as_string())
            .filter(|id| !id.is_empty())
            .unwrap_or_else(|| "camera".to_owned())
    }

    /// What it can be told: a time and a sensitivity of one's own; none where the browser keeps both to itself.
    ///
    /// Reached by name: the browser interface that describes it is not in every browser.
    pub(crate) fn reach(&self) -> Option<Reach> {
        let call: Function = get(&self.track, "getCapabilities")?.dyn_into().ok()?;
        let able = call.call0(&self.track).ok()?;
        let modes: Array = get(&able, "exposureMode")?.dyn_into().ok()?;
        modes
            .iter()
            .any(|mode| mode.as_string().as_deref() == Some("manual"))
            .then_some(())?;
        let range = |name: &str, end: &str| get(&get(&able, name)?, end)?.as_f64();
        Some(Reach {
            least: range("exposureTime", "min")?,
            most: range("exposureTime", "max")?,
            iso: range("iso", "min")?,
        })
    }

    /// Sets time (100 µs) and sensitivity; whether it was taken.
    pub(crate) async fn expose(&self, hundred_microseconds: f64, iso: f64) -> bool {
        let wish = Object::new();
        set(&wish, "exposureMode", &JsValue::from_str("manual"));
        set(
            &wish,
            "exposureTime",
            &JsValue::from_f64(hundred_microseconds),
        );
        set(&wish, "iso", &JsValue::from_f64(iso));
        let constraints = Object::new();
        set(&constraints, "advanced", &Array::of1(&wish));
        let asked = get(&self.track, "applyConstraints")
            .and_then(|call| call.dyn_into::<Function>().ok())
            .and_then(|call| call.call1(&self.track, &constraints).ok())
            .map(js_sys::Promise::from);
        match asked {
            Some(promise) => JsFuture::from(promise).await.is_ok(),
            None => false,
        }
    }
}
