//! Where the device is, asked for only on a press of a button; it goes nowhere.

use js_sys::{Promise, Reflect};
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::JsFuture;
use web_sys::PositionOptions;

/// How long it may take to find out, in milliseconds: a device that cannot tell does not say so by itself.
const PATIENCE: u32 = 30_000;

/// Degrees north and east.
pub(crate) async fn here() -> Option<(f64, f64)> {
    let navigator = web_sys::window()?.navigator();
    let asks = navigator.geolocation().ok()?;
    let options = PositionOptions::new();
    options.set_timeout(PATIENCE);
    let promise = Promise::new(&mut |done, fail| {
        if asks
            .get_current_position_with_error_callback_and_options(&done, Some(&fail), &options)
            .is_err()
        {
            // OK to ignore: a promise that is refused twice is refused.
            let _ = fail.call0(&JsValue::NULL);
        }
    });
    let position = JsFuture::from(promise).await.ok()?;
    let part = |object: &JsValue, name: &str| Reflect::get(object, &JsValue::from_str(name)).ok();
    let place = part(&position, "coords")?;
    Some((
        part(&place, "latitude")?.as_f64()?,
        part(&place, "longitude")?.as_f64()?,
    ))
}
