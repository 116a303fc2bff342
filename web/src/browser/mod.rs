//! What the page asks of the browser, as plain values and errors.
//!
//! Nothing here knows the exposure, its panel or the signals of the page.

pub(crate) mod camera;
pub(crate) mod channel;
pub(crate) mod clipboard;
pub(crate) mod clock;
#[cfg(feature = "parts")]
pub(crate) mod copy;
pub(crate) mod database;
#[cfg(feature = "parts")]
pub(crate) mod draw;
pub(crate) mod events;
pub(crate) mod files;
#[cfg(feature = "parts")]
pub(crate) mod folder;
pub(crate) mod later;
pub(crate) mod page;
pub(crate) mod part;
pub(crate) mod picture;
#[cfg(feature = "parts")]
pub(crate) mod pictures;
pub(crate) mod position;
pub(crate) mod rows;
pub(crate) mod session;
#[cfg(feature = "parts")]
pub(crate) mod sheet;
pub(crate) mod slots;
pub(crate) mod storage;
pub(crate) mod update;
pub(crate) mod vibration;
pub(crate) mod wake;
pub(crate) mod worker;

use js_sys::{Function, Reflect};
use wasm_bindgen::{JsCast, JsValue};

/// A method by its name, for what has no binding that is declared stable; none where the browser does not have it.
fn method(of: &JsValue, name: &str) -> Option<Function> {
    Reflect::get(of, &JsValue::from_str(name))
        .ok()?
        .dyn_into()
        .ok()
}

/// A function that the start script has left for the program; none where there is no such script, as in a test.
fn function(name: &str) -> Option<Function> {
    method(web_sys::window()?.as_ref(), name)
}
