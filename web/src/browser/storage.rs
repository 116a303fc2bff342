//! Text records in the browser's own storage.

use std::cell::{Cell, RefCell};

use gloo_storage::{LocalStorage, Storage as _};
use js_sys::{Function, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{StorageEvent, StorageEventInit};

use super::events::{after, listen_to_window};

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

thread_local! {
    /// What could not be written or removed, each record once.
    static WAITING: RefCell<Vec<(String, Option<String>)>> = const { RefCell::new(Vec::new()) };
    static TRIES_AGAIN: Cell<bool> = const { Cell::new(false) };
    static ON_KEPT: RefCell<Option<Box<dyn Fn()>>> = const { RefCell::new(None) };
}

/// When what could not be written is tried again, in milliseconds.
const AGAIN: i32 = 5000;
/// Calls back when what could not be written is kept after all. One of a program listens.
pub(crate) fn on_kept(call: impl Fn() + 'static) {
    ON_KEPT.set(Some(Box::new(call)));
}

/// Writes a record, or removes it, and remembers what could not be: it is tried again with each record and every few seconds,
/// and is read as if it were there.
pub(crate) fn hold(key: &str, text: Option<String>) {
    WAITING.with_borrow_mut(|waiting| {
        waiting.retain(|(name, _)| name != key);
        waiting.push((key.to_owned(), text));
    });
    if !try_again() && !TRIES_AGAIN.replace(true) {
        after(AGAIN, keep_trying);
    }
}

fn keep_trying() {
    if try_again() {
        TRIES_AGAIN.set(false);
        ON_KEPT.with_borrow(|call| {
            if let Some(call) = call {
                call();
            }
        });
    } else {
        after(AGAIN, keep_trying);
    }
}

/// Tries what waits, and says whether everything is kept now.
pub(crate) fn try_again() -> bool {
    WAITING.with_borrow_mut(|waiting| {
        waiting.retain(|(key, text)| match text {
            Some(text) => write(key, text).is_err(),
            None => remove(key).is_err(),
        });
        waiting.is_empty()
    })
}

/// Whether a record could not be written or removed yet.
pub(crate) fn waits(key: &str) -> bool {
    WAITING.with_borrow(|waiting| waiting.iter().any(|(name, _)| name == key))
}

/// The text under a key.
pub(crate) fn read(key: &str) -> Result<Option<String>, Unavailable> {
    let waits = |waiting: &Vec<(String, Option<String>)>| {
        let (_, text) = waiting.iter().find(|(name, _)| name == key)?;
        Some(text.clone())
    };
    match WAITING.with_borrow(waits) {
        Some(text) => Ok(text),
        None => storage()?.get_item(key).map_err(|_| Unavailable),
    }
}

/// How many records have a key that begins so.
pub(crate) fn count(prefix: &str) -> usize {
    let count = || {
        let storage = storage().ok()?;
        let length = storage.length().ok()?;
        let keys = (0..length).filter_map(|i| storage.key(i).ok().flatten());
        Some(keys.filter(|key| key.starts_with(prefix)).count())
    };
    count().unwrap_or_default()
}

/// All records whose key begins so, in the order of their keys.
pub(crate) fn read_all(prefix: &str) -> Result<Vec<(String, String)>, Unavailable> {
    let storage = storage()?;
    let length = storage.length().map_err(|_| Unavailable)?;
    let mut found: Vec<(String, String)> = (0..length)
        .filter_map(|i| storage.key(i).ok().flatten())
        .filter(|key| key.starts_with(prefix))
        .filter(|key| !waits(key))
        .filter_map(|key| {
            let text = storage.get_item(&key).ok().flatten()?;
            Some((key, text))
        })
        .collect();
    WAITING.with_borrow(|waiting| {
        let ours = waiting.iter().filter(|(key, _)| key.starts_with(prefix));
        found.extend(ours.filter_map(|(key, text)| Some((key.clone(), text.clone()?))));
    });
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
    listen_to_window("storage", move |event| {
        let key = event.unchecked_into::<StorageEvent>().key();
        // No key means that everything was cleared.
        if key.is_none_or(|key| key.starts_with(prefix)) {
            call();
        }
    });
}

/// Calls back with the key and the new text of a record that another tab wrote or removed.
pub(crate) fn on_record_elsewhere(
    prefix: &'static str,
    call: impl Fn(String, Option<String>) + 'static,
) {
    listen_to_window("storage", move |event| {
        let event = event.unchecked_into::<StorageEvent>();
        if let Some(key) = event.key().filter(|key| key.starts_with(prefix)) {
            call(key, event.new_value());
        }
    });
}

/// Tells the other programs of this page what one of them wrote or removed, as the browser tells other pages.
pub(crate) fn tell_this_page(key: &str, text: Option<&str>) {
    let said = StorageEventInit::new();
    said.set_key(Some(key));
    said.set_new_value(text);
    let tell = || {
        let event = StorageEvent::new_with_event_init_dict("storage", &said).ok()?;
        web_sys::window()?.dispatch_event(&event).ok()
    };
    // OK to ignore: what is stored is read at the next start.
    let _ = tell();
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
