//! The vibration motor, where there is one.

/// A tick of a few milliseconds, as of a detent under the finger.
pub(crate) fn tick() {
    if let Some(window) = web_sys::window() {
        let navigator = window.navigator();
        // Some browsers have no such method at all, and the binding would throw.
        if js_sys::Reflect::has(&navigator, &wasm_bindgen::JsValue::from_str("vibrate"))
            .unwrap_or(false)
        {
            navigator.vibrate_with_duration(8);
        }
    }
}
