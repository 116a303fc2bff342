//! A newer version of the page, ready and waiting for the person's word.

use js_sys::{Function, Reflect};
use wasm_bindgen::{JsCast, JsValue};

use super::events::listen_to_window;

/// What the start script leaves on the window when a newer version waits.
const TAKE_OVER: &str = "stopkeeperUpdate";
/// What it tells the window at that moment.
const WAITS: &str = "stopkeeper-update";

fn take_over() -> Option<Function> {
    let window = web_sys::window()?;
    Reflect::get(&window, &JsValue::from_str(TAKE_OVER))
        .ok()?
        .dyn_into()
        .ok()
}

/// Whether a newer version waits already.
pub(crate) fn waits() -> bool {
    take_over().is_some()
}

/// Calls back when a newer version comes to wait.
pub(crate) fn on_waiting(call: impl Fn() + 'static) {
    listen_to_window(WAITS, move |_| call());
}

/// Lets the newer version take over; the start script reloads the page then.
pub(crate) fn let_in() {
    if let Some(function) = take_over() {
        // OK to ignore: the old version simply stays.
        let _ = function.call0(&JsValue::UNDEFINED);
    }
}
