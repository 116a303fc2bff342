//! Text that this tab keeps over a reload, and that ends with it.

use web_sys::Storage;

fn storage() -> Option<Storage> {
    web_sys::window()?.session_storage().ok().flatten()
}

/// The text under a key; none where the browser keeps none.
pub(crate) fn read(key: &str) -> Option<String> {
    storage()?.get_item(key).ok().flatten()
}

/// Keeps a text, or forgets it.
pub(crate) fn keep(key: &str, text: Option<&str>) {
    let Some(storage) = storage() else {
        return;
    };
    // OK to ignore: what is half typed is still in the page, and a reload loses it only where nothing can be kept.
    let _ = match text {
        Some(text) => storage.set_item(key, text),
        None => storage.remove_item(key),
    };
}
