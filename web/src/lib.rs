//! The page: shows what the panel derives, and sends it what a person asks for.
//!
//! One value holds the state, one function changes it, and after each change one function derives the view; a signal for
//! each part of it is set where that part differs, and wakes only the piece of the screen that changed. Components get a
//! part and a [`Dispatcher`](store::Dispatcher), never the state, and do no arithmetic on stops.
//!
//! The film book and the light are programs of their own of the same crate.

#![expect(
    unreachable_pub,
    reason = "the component macro makes a public function of each component of a private module"
)]

mod app;
mod browser;
mod caution;
mod css;
mod dial;
mod field;
mod film_book;
mod form;
mod ledger;
mod light;
mod notices;
mod pairs;
mod piece;
mod reading;
mod sheet;
mod store;
mod strip;

pub use app::App;

#[cfg(test)]
wasm_bindgen_test::wasm_bindgen_test_configure!(run_in_browser);

/// Puts the film book over the page, and opens it at each message from the dial.
pub fn start_film_book() {
    leptos::mount::mount_to_body(film_book::FilmBook);
}

/// Puts the light over the page, and opens it at each message from the dial.
pub fn start_light() {
    leptos::mount::mount_to_body(light::Light);
}

/// Puts the page into the document's body, and takes the static shell away.
pub fn start() {
    leptos::mount::mount_to_body(App);
    browser::page::mounted();
}
