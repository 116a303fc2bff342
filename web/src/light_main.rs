//! Starts the light.

use leptos::wasm_split::{SplitLoaderError, wasm_split};

/// What of it is fetched when it is first wanted: a build puts all that nothing else reaches into a file of this name.
#[wasm_split(photo, wasm_split_path = ::leptos::wasm_split, fallible)]
fn photo() -> Result<&'static web::LightApart, SplitLoaderError> {
    Ok(web::light_apart())
}

fn main() {
    web::start_light(|| Box::pin(async { photo().await.ok() }));
}
