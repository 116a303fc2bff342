//! Pictures of invented scenes on canvases.

use exposure::{Mark, Stops};
use learn::{
    film::Printing,
    render::{Renderer, Size},
    scene::{PHONE, Scene},
};

use crate::browser::{draw::Here, picture};

/// A picture, and the canvas that it belongs on.
#[derive(Clone)]
pub(super) struct Shown {
    pub(super) here: Here,
    pub(super) scene: Scene,
    pub(super) set: [Mark; 3],
    /// How many times it is magnified, around its middle.
    pub(super) magnified: f64,
}

/// The size of a whole picture so many pixels wide.
pub(super) fn size(scene: &Scene, width: u32) -> Option<Size> {
    let height = Size::whole_height(width, scene.format().ok()?);
    Size::new(width, height).ok()
}

/// Shows pixels on a canvas.
pub(super) fn put(here: Here, size: &Size, pixels: &[u8]) {
    let side = |pixels: usize| u32::try_from(pixels).unwrap_or(PHONE);
    if let Some(canvas) = here.get() {
        // OK to ignore: where a browser draws nothing, the words say what is to be seen.
        let _ = picture::put(&canvas, side(size.width()), side(size.height()), pixels);
    }
}

/// Draws pictures so many pixels wide; those of one scene that follow one another share its layers.
pub(super) fn draw(all: &[Shown], width: u32) {
    let mut made: Option<Renderer> = None;
    for shown in all {
        let Some(mut size) = size(&shown.scene, width) else {
            continue;
        };
        if shown.magnified > 1.0 {
            size = size.magnified(shown.magnified, [0.0, 0.0]).unwrap_or(size);
        }
        if !made
            .as_ref()
            .is_some_and(|made| *made.scene() == shown.scene && *made.size() == size)
        {
            made = Renderer::new(&shown.scene, size).ok();
        }
        let pixels = made
            .as_mut()
            .and_then(|made| made.draw(&shown.set, Stops::ZERO, Printing::Fixed).ok());
        if let Some(pixels) = pixels {
            put(shown.here, &size, pixels);
        }
    }
}
