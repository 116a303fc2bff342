//! Pictures as pixels: drawn onto a canvas small enough to be read at once. They stay on the device.

use wasm_bindgen::{Clamped, JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    CanvasRenderingContext2d, File, HtmlCanvasElement, HtmlElement, HtmlVideoElement, ImageBitmap,
    ImageData,
};

/// Pixels of a picture in sRGB: rows of red, green, blue and opacity.
#[derive(Debug)]
pub(crate) struct Pixels {
    /// Pixels in a row.
    pub(crate) width: usize,
    /// Rows.
    pub(crate) height: usize,
    /// Four bytes each.
    pub(crate) data: Vec<u8>,
}

/// Draws a file onto a canvas, turned as it was taken, and reads it; none where this browser cannot show the file.
pub(crate) async fn of_file(file: &File, canvas: &HtmlElement, longest: f64) -> Option<Pixels> {
    let promise = web_sys::window()?
        .create_image_bitmap_with_blob(file)
        .ok()?;
    let bitmap: ImageBitmap = JsFuture::from(promise).await.ok()?.dyn_into().ok()?;
    let size = (f64::from(bitmap.width()), f64::from(bitmap.height()));
    let pixels = read(canvas, size, longest, |context, width, height| {
        context
            .draw_image_with_image_bitmap_and_dw_and_dh(&bitmap, 0.0, 0.0, width, height)
            .ok()
    });
    bitmap.close();
    pixels
}

/// Draws what a video shows now and reads it; none before its first frame.
pub(crate) fn of_video(video: &HtmlElement, canvas: &HtmlElement, longest: f64) -> Option<Pixels> {
    let video = video.unchecked_ref::<HtmlVideoElement>();
    let size = (
        f64::from(video.video_width()),
        f64::from(video.video_height()),
    );
    read(canvas, size, longest, |context, width, height| {
        context
            .draw_image_with_html_video_element_and_dw_and_dh(video, 0.0, 0.0, width, height)
            .ok()
    })
}

fn read(
    canvas: &HtmlElement,
    size: (f64, f64),
    longest: f64,
    draw: impl FnOnce(&CanvasRenderingContext2d, f64, f64) -> Option<()>,
) -> Option<Pixels> {
    let canvas = canvas.unchecked_ref::<HtmlCanvasElement>();
    let scale = (longest / size.0.max(size.1)).min(1.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "from 0 to the longest side, and a size that is not a number becomes nought"
    )]
    let side = |length: f64| (length * scale).round() as u32;
    let (width, height) = (side(size.0), side(size.1));
    if width == 0 || height == 0 {
        return None;
    }
    // A new size clears it, and takes longer than to draw over what is there.
    if (canvas.width(), canvas.height()) != (width, height) {
        canvas.set_width(width);
        canvas.set_height(height);
    }
    let context = context(canvas)?;
    draw(&context, f64::from(width), f64::from(height))?;
    let data = context
        .get_image_data(0.0, 0.0, f64::from(width), f64::from(height))
        .ok()?
        .data();
    Some(Pixels {
        width: usize::try_from(width).ok()?,
        height: usize::try_from(height).ok()?,
        data: data.0,
    })
}

/// Shows pixels on a canvas, which takes their size.
pub(crate) fn put(canvas: &HtmlElement, width: u32, height: u32, pixels: &[u8]) -> Option<()> {
    let shown = canvas.unchecked_ref::<HtmlCanvasElement>();
    if shown.width() != width || shown.height() != height {
        shown.set_width(width);
        shown.set_height(height);
    }
    paint(canvas, usize::try_from(width).ok()?, pixels)
}

fn context(canvas: &HtmlCanvasElement) -> Option<CanvasRenderingContext2d> {
    // The canvas is read back again and again; so the browser keeps it where that is quick.
    let options = js_sys::Object::new();
    js_sys::Reflect::set(&options, &"willReadFrequently".into(), &JsValue::TRUE).ok()?;
    let context = canvas.get_context_with_context_options("2d", &options);
    context.ok()??.dyn_into().ok()
}

/// Paints what one canvas shows onto another one, which has its size.
pub(crate) fn copy(from: &HtmlElement, to: &HtmlElement) -> Option<()> {
    let from = from.unchecked_ref::<HtmlCanvasElement>();
    let context = context(to.unchecked_ref())?;
    context
        .draw_image_with_html_canvas_element(from, 0.0, 0.0)
        .ok()
}

/// Paints pixels onto a canvas of their size.
pub(crate) fn paint(canvas: &HtmlElement, width: usize, pixels: &[u8]) -> Option<()> {
    let width = u32::try_from(width).ok()?;
    let image = ImageData::new_with_u8_clamped_array(Clamped(pixels), width).ok()?;
    let context = context(canvas.unchecked_ref())?;
    context.put_image_data(&image, 0.0, 0.0).ok()
}

/// Shows what lies around a place of a canvas larger in another one: `around` pixels to each side.
pub(crate) fn magnify(
    from: &HtmlElement,
    to: &HtmlElement,
    (across, down): (f64, f64),
    around: f64,
) -> Option<()> {
    let from = from.unchecked_ref::<HtmlCanvasElement>();
    let to = to.unchecked_ref::<HtmlCanvasElement>();
    let (width, height) = (f64::from(to.width()), f64::from(to.height()));
    let (x, y) = (
        across * f64::from(from.width()),
        down * f64::from(from.height()),
    );
    let context = context(to)?;
    context.clear_rect(0.0, 0.0, width, height);
    // What lies beyond the picture stays empty.
    context
        .draw_image_with_html_canvas_element_and_sw_and_sh_and_dx_and_dy_and_dw_and_dh(
            from,
            x - around,
            y - around,
            2.0 * around,
            2.0 * around,
            0.0,
            0.0,
            width,
            height,
        )
        .ok()
}
