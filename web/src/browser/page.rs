//! The page as a document: its address, its theme, its first moments.

use std::time::Duration;

use js_sys::Promise;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::HtmlDialogElement;

use super::{events::listen_to_window, later::set_timeout, slots::element};

/// Lets the browser do what waits, such as showing what was said last, and goes on after it.
pub(crate) async fn turn() {
    let promise = Promise::new(&mut |resolve, _| {
        let go_on = move || {
            // OK to ignore: nothing listens that could throw.
            let _ = resolve.call0(&JsValue::NULL);
        };
        set_timeout(go_on, Duration::ZERO);
    });
    // OK to ignore: it is never refused.
    let _ = JsFuture::from(promise).await;
}

/// Puts the theme on the document, where the stylesheet finds it.
pub(crate) fn set_theme(key: &str) {
    let root = web_sys::window()
        .and_then(|window| window.document())
        .and_then(|document| document.document_element());
    if let Some(root) = root.filter(|root| root.get_attribute("data-theme").as_deref() != Some(key))
    {
        // OK to ignore: the name is a valid one, so this does not fail.
        let _ = root.set_attribute("data-theme", key);
    }
}

/// Takes the fragment (without `#`) out of the address, so that a reload does not open the link again.
pub(crate) fn take_fragment() -> Option<String> {
    let window = web_sys::window()?;
    let location = window.location();
    let hash = location.hash().ok()?;
    let fragment = hash.strip_prefix('#')?.to_owned();
    let bare = location.pathname().ok()? + &location.search().ok()?;
    // OK to ignore: if the address stays as it is, a reload opens the same link once more.
    let _ = window
        .history()
        .and_then(|history| history.replace_state_with_url(&JsValue::NULL, "", Some(&bare)));
    (!fragment.is_empty()).then_some(fragment)
}

/// Puts a fragment (without `#`) into the address, so that a reload opens it again.
pub(crate) fn put_fragment(fragment: &str) {
    let history = web_sys::window().and_then(|window| window.history().ok());
    if let Some(history) = history {
        // OK to ignore: what it stands for is lost with a reload then, as it would be without.
        let _ = history.replace_state_with_url(&JsValue::NULL, "", Some(&format!("#{fragment}")));
    }
}

/// Calls back when a link to this page is opened in its own tab.
pub(crate) fn on_fragment(call: impl Fn(String) + 'static) {
    listen_to_window("hashchange", move |_| {
        if let Some(fragment) = take_fragment() {
            call(fragment);
        }
    });
}

/// The address of the page with this fragment.
pub(crate) fn address(fragment: &str) -> String {
    let base = web_sys::window()
        .and_then(|window| {
            let location = window.location();
            Some(location.origin().ok()? + &location.pathname().ok()?)
        })
        .unwrap_or_default();
    format!("{base}#{fragment}")
}

/// Calls back when nobody sees the page any more: another one is in front, the screen is dark, or it is left.
pub(crate) fn on_hidden(call: impl Fn() + Clone + 'static) {
    let hides = call.clone();
    listen_to_window("visibilitychange", move |_| {
        let hidden = web_sys::window()
            .and_then(|window| window.document())
            .is_some_and(|document| document.hidden());
        if hidden {
            hides();
        }
    });
    listen_to_window("pagehide", move |_| call());
}

/// Gives the page a title in the browser's own tab.
pub(crate) fn set_title(title: &str) {
    if let Some(document) = web_sys::window().and_then(|window| window.document()) {
        document.set_title(title);
    }
}

/// Opens the browser's print dialog.
pub(crate) fn print() {
    if let Some(window) = web_sys::window() {
        // OK to ignore: a browser that cannot print says so itself.
        let _ = window.print();
    }
}

/// Loads the page anew.
pub(crate) fn reload() {
    if let Some(window) = web_sys::window() {
        // OK to ignore: the page stays as it is.
        let _ = window.location().reload();
    }
}

/// The page answers now: it can be pressed, and the moment is noted.
pub(crate) fn answers(id: &str) {
    if let Some(element) = element(id) {
        element.set_inert(false);
    }
    if let Some(performance) = web_sys::window().and_then(|window| window.performance()) {
        // OK to ignore: only measurements read it.
        let _ = performance.mark("app-mounted");
    }
}

/// Opens a dialog over the page.
pub(crate) fn show_dialog(id: &str) {
    if let Some(dialog) = element(id) {
        // OK to ignore: it fails only where it is open already.
        let _ = dialog.unchecked_into::<HtmlDialogElement>().show_modal();
    }
}

/// Closes it again.
pub(crate) fn close_dialog(id: &str) {
    if let Some(dialog) = element(id) {
        dialog.unchecked_into::<HtmlDialogElement>().close();
    }
}
