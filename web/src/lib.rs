//! The page: shows what the panel derives, and sends it what a person asks for.
//!
//! One value holds the state, one function changes it, and after each change one function derives the view. The dial's
//! document stands in `index.html`; each part of it that differs is shown by one plain function. What shows gets a part of
//! the view and a [`Dispatcher`](store::Dispatcher), never the state, and does no arithmetic on stops.
//!
//! The film book, the light, the bench and the part that teaches are programs of their own of the same crate; what they show is described as data
//! ([`parts`]) and drawn by one place ([`browser::draw`]). The dial's own program is built without them (feature `parts`).
#![cfg_attr(
    not(feature = "parts"),
    allow(
        dead_code,
        unused_imports,
        reason = "what wraps the browser is there for all programs"
    )
)]

#[cfg(feature = "parts")]
mod apart;
mod app;
#[cfg(feature = "parts")]
mod bench;
mod browser;
mod caution;
mod choice;
mod css;
mod dial;
#[cfg(feature = "parts")]
mod drawn;
mod field;
#[cfg(feature = "parts")]
mod film_book;
#[cfg(feature = "parts")]
mod form;
mod kept;
#[cfg(feature = "parts")]
mod learn;
mod ledger;
#[cfg(feature = "parts")]
mod light;
#[cfg(feature = "parts")]
mod live;
mod measuring;
mod moment;
mod notices;
mod pairs;
#[cfg(feature = "parts")]
mod parts;
#[cfg(feature = "parts")]
mod piece;
mod reading;
mod rolls;
#[cfg(feature = "parts")]
mod room;
#[cfg(feature = "parts")]
mod sheet;
#[cfg(feature = "parts")]
mod shelf;
mod store;
mod strip;
mod words;

#[cfg(test)]
#[path = "../../crates/learn/tests/learn/fingerprints.rs"]
mod fingerprints;

#[cfg(test)]
wasm_bindgen_test::wasm_bindgen_test_configure!(run_in_browser);

#[cfg(feature = "parts")]
/// Puts the film book over the page, and opens it at each message from the dial; `fetch` brings what of it stays away until it is
/// first wanted.
pub fn start_film_book(fetch: Fetch<BookApart>) {
    browser::draw::begin(move || film_book::sheet(fetch));
}

#[cfg(feature = "parts")]
pub use apart::{Coming, Fetch};
#[cfg(feature = "parts")]
pub use film_book::{Apart as BookApart, apart as book_apart};
#[cfg(feature = "parts")]
pub use learn::{Apart as LearnApart, apart as learn_apart};
#[cfg(feature = "parts")]
pub use light::{Apart as LightApart, apart as light_apart};

#[cfg(feature = "parts")]
/// Puts what finds the light over the page, and opens it at each message from the dial; `fetch` as above.
pub fn start_light(fetch: Fetch<LightApart>) {
    browser::draw::begin(move || light::sheet(fetch));
}

#[cfg(feature = "parts")]
/// Puts the bench over the page, and opens it at each message from the dial.
pub fn start_bench() {
    browser::draw::begin(bench::sheet);
}

#[cfg(feature = "parts")]
/// Puts the part that teaches over the page, and opens it at each message from the dial; `fetch` as above.
pub fn start_learn(fetch: Fetch<LearnApart>) {
    browser::draw::begin(move || learn::sheet(fetch));
}

/// Measures scans, beside the page.
pub fn start_measuring() {
    measuring::begin();
}

/// Brings the dial's document to life.
pub fn start() {
    app::start();
}
