//! The clipboard, where the browser lets a page write to it.

use wasm_bindgen_futures::JsFuture;

/// Puts text on the clipboard; whether that worked.
///
/// Has to begin in the click that asks for it: browsers refuse it later.
pub(crate) async fn write(text: &str) -> bool {
    let Some(window) = web_sys::window() else {
        return false;
    };
    // Pages that are not served securely have no clipboard at all, and the binding would throw.
    if !window.is_secure_context() {
        return false;
    }
    JsFuture::from(window.navigator().clipboard().write_text(text))
        .await
        .is_ok()
}
