//! What the pages of this browser tell each other.

use std::cell::RefCell;

use wasm_bindgen::{JsCast, JsValue, closure::Closure};
use web_sys::{BroadcastChannel, MessageEvent};

thread_local! {
    /// The channel that this program listens on. It speaks on the same one, and so does not hear itself.
    static OPEN: RefCell<Option<BroadcastChannel>> = const { RefCell::new(None) };
}

/// Tells all other pages a text, as far as they listen.
pub(crate) fn tell(text: &str) {
    OPEN.with_borrow(|channel| {
        if let Some(channel) = channel {
            // OK to ignore: who does not hear it looks for itself.
            let _ = channel.post_message(&JsValue::from_str(text));
        }
    });
}

/// Calls back with each text that another page tells on this channel, for as long as the page is there.
pub(crate) fn listen(name: &str, call: impl Fn(String) + 'static) {
    let Ok(channel) = BroadcastChannel::new(name) else {
        return;
    };
    let heard = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
        if let Some(text) = event.data().as_string() {
            call(text);
        }
    });
    channel.set_onmessage(Some(heard.as_ref().unchecked_ref()));
    heard.forget();
    OPEN.set(Some(channel));
}
