//! Keeps the screen awake for as long as a person reads from it.
//!
//! The interface is reached by name: its bindings are not declared stable yet.

use js_sys::Reflect;
use wasm_bindgen::{JsValue, closure::Closure};

use super::{events::listen_to_window, method};

/// What a hold on the screen has.
const RELEASE: &str = "release";

/// A screen that stays awake until this is let go.
#[derive(Debug)]
pub(crate) struct Awake(JsValue);

/// The promise of a screen that stays awake, where the browser has one.
fn promised() -> Option<JsValue> {
    let navigator = web_sys::window()?.navigator();
    let lock = Reflect::get(&navigator, &JsValue::from_str("wakeLock")).ok()?;
    let request = method(&lock, "request")?;
    request.call1(&lock, &JsValue::from_str("screen")).ok()
}

/// Asks for a screen that stays awake, and calls back when the browser has made up its mind: with none where it will not, and
/// not at all where it cannot.
///
/// By a call and not by a future: the dial has no other, and what drives them would be a part in thirty of what it loads.
pub(crate) fn stay_awake(call: impl FnOnce(Option<Awake>) + 'static) {
    let Some(promise) = promised() else { return };
    let Some(then) = method(&promise, "then") else {
        return;
    };
    // What comes is a hold on the screen, which can be let go, or a refusal. It comes once.
    let answer = move |answer: JsValue| {
        let held = method(&answer, RELEASE).is_some();
        call(held.then_some(Awake(answer)));
    };
    let answer = Closure::once_into_js(answer);
    // OK to ignore: a promise takes both.
    let _ = then.call2(&promise, &answer, &answer);
}

impl Drop for Awake {
    fn drop(&mut self) {
        if let Some(release) = method(&self.0, RELEASE) {
            // OK to ignore: the browser lets go by itself when the page is hidden.
            let _ = release.call0(&self.0);
        }
    }
}

/// Calls back when the page is shown again after it was hidden.
pub(crate) fn on_shown_again(call: impl Fn() + 'static) {
    listen_to_window("visibilitychange", move |_| {
        let hidden = web_sys::window()
            .and_then(|window| window.document())
            .is_some_and(|document| document.hidden());
        if !hidden {
            call();
        }
    });
}
