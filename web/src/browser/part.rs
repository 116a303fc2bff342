//! The way from the dial to the other parts of the page, programs of their own that are fetched when they are first opened,
//! and the way back.

use js_sys::{Function, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{CustomEvent, CustomEventInit};

use super::events::listen_to_window;

/// The film book.
pub(crate) const BOOK: &str = "book";
/// The light: readings and corrections.
pub(crate) const LIGHT: &str = "light";

/// What the dial asks the film book to log for a roll begins with this; the roll's id follows, and the setting on a line of
/// its own.
pub(crate) const LOG: &str = "log:";

/// What hands the film book a file that the system opened with this page begins with this; how many more were opened with it
/// follows. The start script says it.
pub(crate) const OPENED: &str = "file:";
/// What asks the film book for the roll that the dial serves, where its next frame stands.
pub(crate) const NEXT: &str = "next";
/// The page of the light that reads a photo, and what it is asked for a photo that was shared to this page.
pub(crate) const PHOTO: &str = "photo";
pub(crate) const SHARED: &str = "shared";

/// Name of the start script's function that opens a part.
const OPEN: &str = "stopkeeperOpen";

/// Opens a part with a message to it.
pub(crate) fn open(part: &str, message: &str) {
    let Some(window) = web_sys::window() else {
        return;
    };
    let function = Reflect::get(&window, &JsValue::from_str(OPEN))
        .ok()
        .and_then(|value| value.dyn_into::<Function>().ok());
    if let Some(function) = function {
        let (part, message) = (JsValue::from_str(part), JsValue::from_str(message));
        // OK to ignore: that it is late or could not come is said by the start script.
        let _ = function.call2(&window, &part, &message);
    }
}

/// Leaves a mark for whoever measures the page.
pub(crate) fn mark(name: &str) {
    if let Some(performance) = web_sys::window().and_then(|window| window.performance()) {
        // OK to ignore: nothing but a measurement misses it.
        let _ = performance.mark(name);
    }
}

/// Calls back with each message to a part once it is there.
pub(crate) fn on_message(part: &str, call: impl Fn(String) + 'static) {
    on_told(part, call);
}

/// Tells the other programs on the page something, each of which may listen under the name or not.
pub(crate) fn tell(name: &str, text: &str) {
    let Some(window) = web_sys::window() else {
        return;
    };
    let detail = CustomEventInit::new();
    detail.set_detail(&JsValue::from_str(text));
    if let Ok(event) = CustomEvent::new_with_event_init_dict(&format!("stopkeeper-{name}"), &detail)
    {
        // OK to ignore: nobody cancels these.
        let _ = window.dispatch_event(&event);
    }
}

/// Calls back with what is told under a name.
pub(crate) fn on_told(name: &str, call: impl Fn(String) + 'static) {
    listen(name, Box::new(call));
}

fn listen(name: &str, call: Box<dyn Fn(String)>) {
    listen_to_window(&format!("stopkeeper-{name}"), move |event| {
        let told = event.unchecked_into::<CustomEvent>().detail();
        call(told.as_string().unwrap_or_default());
    });
}
