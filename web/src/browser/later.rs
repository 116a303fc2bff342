//! What is done later: when something is answered, after a while, again and again, or with the next picture of the screen.

use std::time::Duration;

use wasm_bindgen::{JsCast, closure::Closure};
pub(crate) use wasm_bindgen_futures::spawn_local;

use super::events;

#[cfg(feature = "parts")]
/// Waits until what follows from changes so far has been done.
pub(crate) async fn tick() {
    leptos::task::tick().await;
}

fn milliseconds(time: Duration) -> i32 {
    i32::try_from(time.as_millis()).unwrap_or(i32::MAX)
}

/// Does something after a while.
pub(crate) fn set_timeout(call: impl FnOnce() + 'static, time: Duration) {
    // OK to ignore: nothing takes it back.
    let _ = events::after(milliseconds(time), call);
}

/// Does something with the next picture of the screen.
pub(crate) fn request_animation_frame(call: impl FnOnce() + 'static) {
    if let Some(window) = web_sys::window() {
        let call = Closure::once_into_js(call);
        // OK to ignore: a window has pictures.
        let _ = window.request_animation_frame(call.unchecked_ref());
    }
}

/// Something that is done again and again, for as long as this lives.
pub(crate) struct Every {
    number: i32,
    _call: Closure<dyn Fn()>,
}

/// Does something again and again.
pub(crate) fn every(time: Duration, call: impl Fn() + 'static) -> Option<Every> {
    let call = Closure::<dyn Fn()>::new(call);
    let number = web_sys::window()?
        .set_interval_with_callback_and_timeout_and_arguments_0(
            call.as_ref().unchecked_ref(),
            milliseconds(time),
        )
        .ok()?;
    Some(Every {
        number,
        _call: call,
    })
}

impl Drop for Every {
    fn drop(&mut self) {
        if let Some(window) = web_sys::window() {
            window.clear_interval_with_handle(self.number);
        }
    }
}
