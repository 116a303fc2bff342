//! Starts the film book.

use leptos::wasm_split::{SplitLoaderError, wasm_split};

/// What of it is fetched when it is first wanted: a build puts all that nothing else reaches into a file of this name.
#[wasm_split(scans, wasm_split_path = ::leptos::wasm_split, fallible)]
fn scans() -> Result<&'static web::BookApart, SplitLoaderError> {
    Ok(web::book_apart())
}

fn main() {
    web::start_film_book(|| Box::pin(async { scans().await.ok() }));
}
