//! The vibration motor, where there is one.

use js_sys::Reflect;
use wasm_bindgen::JsValue;

/// A tick of a few milliseconds, as of a detent under the finger.
pub(crate) fn tick() {
    buzz(8);
}

/// Vibrates for so many milliseconds.
pub(crate) fn buzz(milliseconds: u32) {
    let Some(window) = web_sys::window() else {
        return;
    };
    let navigator = window.navigator();
    // Some browsers have no such method at all, and the binding would throw.
    let has = Reflect::has(&navigator, &JsValue::from_str("vibrate")).unwrap_or(false);
    if has && was_touched(&navigator) {
        navigator.vibrate_with_duration(milliseconds);
    }
}

/// Before the first finger was lifted from the page, browsers that know of it refuse to vibrate, and complain.
fn was_touched(navigator: &JsValue) -> bool {
    let Ok(activation) = Reflect::get(navigator, &JsValue::from_str("userActivation")) else {
        return true;
    };
    Reflect::get(&activation, &JsValue::from_str("hasBeenActive"))
        .map_or(true, |active| active.as_bool().unwrap_or(true))
}
