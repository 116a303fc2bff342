//! Starts the part that teaches.

use leptos::wasm_split::{SplitLoaderError, wasm_split};

/// What of it is fetched when it is first wanted: a build puts all that nothing else reaches into a file of this name.
#[wasm_split(lessons, wasm_split_path = ::leptos::wasm_split, fallible)]
fn lessons() -> Result<&'static web::LearnApart, SplitLoaderError> {
    Ok(web::learn_apart())
}

fn main() {
    web::start_learn(|| Box::pin(async { lessons().await.ok() }));
}
