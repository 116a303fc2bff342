//! Keeps the screen awake for as long as a person reads from it.
//!
//! The interface is reached by name: its bindings are not declared stable yet.

use js_sys::{Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

use super::{events::listen_to_window, method};

/// A screen that stays awake until this is let go.
#[derive(Debug)]
pub(crate) struct Awake(JsValue);

/// Asks for a screen that stays awake; none where the browser cannot or will not.
pub(crate) async fn keep_awake() -> Option<Awake> {
    let navigator = web_sys::window()?.navigator();
    let lock = Reflect::get(&navigator, &JsValue::from_str("wakeLock")).ok()?;
    let promise: Promise = method(&lock, "request")?
        .call1(&lock, &JsValue::from_str("screen"))
        .ok()?
        .dyn_into()
        .ok()?;
    JsFuture::from(promise).await.ok().map(Awake)
}

impl Drop for Awake {
    fn drop(&mut self) {
        if let Some(release) = method(&self.0, "release") {
            // OK to ignore: the browser lets go by itself when the page is hidden.
            let _ = release.call0(&self.0);
        }
    }
}

/// The same with a call when the browser has made up its mind.
pub(crate) fn stay_awake(call: impl FnOnce(Option<Awake>) + 'static) {
    wasm_bindgen_futures::spawn_local(async { call(keep_awake().await) });
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
