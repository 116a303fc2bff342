//! Text records in the browser's own storage.

use gloo_storage::{LocalStorage, Storage as _};
use js_sys::{Function, Reflect};
use leptos::ev;
use leptos::prelude::{on_cleanup, window_event_listener};
use wasm_bindgen::{JsCast, JsValue};

/// The storage cannot be used: forbidden, absent or full.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Unavailable;

/// Asked for anew each time: reaching it may throw, and a person may forbid it while the page is open.
///
/// Probed first, because the library takes it for granted that there is a storage.
fn storage() -> Result<web_sys::Storage, Unavailable> {
    web_sys::window()
        .and_then(|window| window.local_storage().ok().flatten())
        .map(|_| LocalStorage::raw())
        .ok_or(Unavailable)
}

/// The text under a key.
pub(crate) fn read(key: &str) -> Result<Option<String>, Unavailable> {
    storage()?.get_item(key).map_err(|_| Unavailable)
}

/// All records whose key begins so, in the order of their keys.
pub(crate) fn read_all(prefix: &str) -> Result<Vec<(String, String)>, Unavailable> {
    let storage = storage()?;
    let length = storage.length().map_err(|_| Unavailable)?;
    let mut found: Vec<(String, String)> = (0..length)
        .filter_map(|i| storage.key(i).ok().flatten())
        .filter(|key| key.starts_with(prefix))
        .filter_map(|key| {
            let text = storage.get_item(&key).ok().flatten()?;
            Some((key, text))
        })
        .collect();
    found.sort();
    Ok(found)
}

/// Writes a record, unless the same text is there already.
pub(crate) fn write(key: &str, text: &str) -> Result<(), Unavailable> {
    let storage = storage()?;
    if storage.get_item(key).ok().flatten().as_deref() == Some(text) {
        return Ok(());
    }
    storage.set_item(key, text).map_err(|_| Unavailable)
}

/// Removes a record.
pub(crate) fn remove(key: &str) -> Result<(), Unavailable> {
    storage()?.remove_item(key).map_err(|_| Unavailable)
}

/// Moves a record to another key: copies it first, so that it is never in neither place.
pub(crate) fn move_record(from: &str, to: &str) -> Result<(), Unavailable> {
    if let Some(text) = read(from)? {
        write(to, &text)?;
        remove(from)?;
    }
    Ok(())
}

/// Calls back when another tab changes a record whose key begins so.
pub(crate) fn on_change_elsewhere(prefix: &'static str, call: impl Fn() + 'static) {
    let listener = window_event_listener(ev::storage, move |event| {
        // No key means that everything was cleared.
        if event.key().is_none_or(|key| key.starts_with(prefix)) {
            call();
        }
    });
    on_cleanup(move || listener.remove());
}

/// Calls back with the key and the new text of a record that another tab wrote or removed.
pub(crate) fn on_record_elsewhere(
    prefix: &'static str,
    call: impl Fn(String, Option<String>) + 'static,
) {
    let listener = window_event_listener(ev::storage, move |event| {
        if let Some(key) = event.key().filter(|key| key.starts_with(prefix)) {
            call(key, event.new_value());
        }
    });
    on_cleanup(move || listener.remove());
}

/// Asks the browser to keep what is stored even when it needs room. Some ask the person, most decide by themselves.
///
/// Reached by name: a page that is not on a secure address has no such thing.
pub(crate) fn ask_to_keep() {
    let ask = || {
        let navigator = web_sys::window()?.navigator();
        let manager = Reflect::get(&navigator, &JsValue::from_str("storage")).ok()?;
        let persist = Reflect::get(&manager, &JsValue::from_str("persist")).ok()?;
        persist.dyn_into::<Function>().ok()?.call0(&manager).ok()
    };
    // OK to ignore: the records are stored all the same, and the book says how to save them as a file.
    let _ = ask();
}
