//! `cargo xtask icons`: draws the PNG icons from the SVG ones with the browser.

use std::path::Path;
use std::process::Command;

use anyhow::{Context, Result};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

use crate::browser;
use crate::project::{Project, read, write};
use crate::run::{output, step};

/// One picture to draw.
struct Picture {
    drawing: &'static str,
    /// Pixels on each side.
    size: u32,
    /// What shows through where the drawing is transparent.
    ground: &'static str,
    name: &'static str,
}

const NO_GROUND: &str = "transparent";

const PICTURES: [Picture; 4] = [
    Picture {
        drawing: "icon.svg",
        size: 180,
        // Apple's icon may not be transparent: the ground is the drawing's own, so its round corners vanish.
        ground: "#00514c",
        name: "apple-touch-icon.png",
    },
    Picture {
        drawing: "icon.svg",
        size: 192,
        ground: NO_GROUND,
        name: "icon-192.png",
    },
    Picture {
        drawing: "icon.svg",
        size: 512,
        ground: NO_GROUND,
        name: "icon-512.png",
    },
    Picture {
        drawing: "icon-maskable.svg",
        size: 512,
        ground: NO_GROUND,
        name: "icon-maskable-512.png",
    },
];

/// Draws every picture.
///
/// # Errors
///
/// When there is no browser, or a picture does not come out in its size.
pub fn icons(project: &Project) -> Result<()> {
    let chromium = browser::chromium()?;
    let site = project.root().join("web/site");
    let work = project.site_cache().join("icons");
    for picture in PICTURES {
        let Picture { size, name, .. } = picture;
        step(&format!("Drawing {name}"), || {
            let page = work.join("page.html");
            write(
                &page,
                page_with(&read(&site.join(picture.drawing))?, size, picture.ground),
            )?;
            let drawn = draw(&chromium, &work.join("profile"), &page)?;
            let found = png_size(&drawn);
            anyhow::ensure!(
                found == Some((size, size)),
                "{name} came out in the size {found:?} instead of {size}"
            );
            write(&site.join("icons").join(name), drawn)
        })?;
    }
    Ok(())
}

/// A page that paints the drawing on a canvas of the exact size and leaves the picture as text: a screenshot would have
/// the size of a window, and browsers refuse small ones.
fn page_with(drawing: &[u8], size: u32, ground: &str) -> String {
    let drawing = STANDARD.encode(drawing);
    format!(
        "<!doctype html><canvas width={size} height={size}></canvas><p></p><script>\
         const image = new Image();\
         image.onload = () => {{\
         const canvas = document.querySelector('canvas');\
         const context = canvas.getContext('2d');\
         context.fillStyle = '{ground}';\
         context.fillRect(0, 0, {size}, {size});\
         context.drawImage(image, 0, 0, {size}, {size});\
         document.querySelector('p').textContent = canvas.toDataURL('image/png');\
         }};\
         image.src = 'data:image/svg+xml;base64,{drawing}';\
         </script>"
    )
}

fn draw(chromium: &Path, profile: &Path, page: &Path) -> Result<Vec<u8>> {
    let document = output(
        Command::new(chromium)
            .args(browser::SWITCHES)
            .arg(format!("--user-data-dir={}", profile.display()))
            .arg("--dump-dom")
            .arg(format!("file://{}", page.display())),
    )
    .context("the browser did not draw the picture")?;
    let (_, picture) = document
        .split_once("<p>data:image/png;base64,")
        .context("the browser left no picture")?;
    let picture = picture.split('<').next().unwrap_or_default();
    STANDARD
        .decode(picture)
        .context("the browser left a broken picture")
}

/// Width and height in pixels, from the picture's first chunk.
fn png_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let head = bytes.strip_prefix(b"\x89PNG\r\n\x1a\n")?;
    let number = |at: usize| -> Option<u32> {
        let four = head.get(at..at + 4)?;
        Some(u32::from_be_bytes(four.try_into().ok()?))
    };
    Some((number(8)?, number(12)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_a_size() {
        let head = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR\0\0\0\xb4\0\0\x01\0";
        assert_eq!(png_size(head), Some((180, 256)), "size");
        assert_eq!(png_size(b"GIF89a"), None, "another format");
        assert_eq!(png_size(&head[..20]), None, "cut off");
    }

    #[test]
    fn committed_pictures_have_their_sizes() {
        let project = Project::find().expect("tests run inside the project");
        for Picture { size, name, .. } in PICTURES {
            let path = project.root().join("web/site/icons").join(name);
            let bytes = read(&path).expect("a committed picture");
            assert_eq!(png_size(&bytes), Some((size, size)), "{name}");
        }
    }
}
