//! Photos and what a camera sees, made by the tests: nothing of it was ever in front of a lens.

use std::{fs, path::PathBuf};

use anyhow::{Context, Result, ensure};
use base64::{Engine, prelude::BASE64_STANDARD};
use serde_json::json;

use super::{
    browser::{Page, Screen, Setup, Site},
    folder::Folder,
};

/// What a photo's metadata says; what is `None` is not in the file.
#[derive(Debug, Clone, Copy, Default)]
pub struct Metadata {
    /// Time in seconds, as a fraction.
    pub time: Option<(u32, u32)>,
    /// Aperture as an f-number, as a fraction.
    pub aperture: Option<(u32, u32)>,
    /// Sensitivity.
    pub sensitivity: Option<u16>,
    /// Whether the file says where it was taken: 12 degrees north.
    pub place: bool,
}

/// One entry of a directory of tags: tag, kind, count, and four bytes of value or offset.
fn entry(tag: u16, kind: u16, count: u32, value: [u8; 4]) -> Vec<u8> {
    let mut bytes = Vec::new();
    bytes.extend(tag.to_le_bytes());
    bytes.extend(kind.to_le_bytes());
    bytes.extend(count.to_le_bytes());
    bytes.extend(value);
    bytes
}

/// A directory of tags as TIFF lays it out.
fn directory(entries: &[Vec<u8>]) -> Vec<u8> {
    let count = u16::try_from(entries.len()).unwrap_or(u16::MAX);
    let mut bytes = count.to_le_bytes().to_vec();
    bytes.extend(entries.concat());
    // No further directory.
    bytes.extend([0; 4]);
    bytes
}

impl Metadata {
    /// A whole exposure, and nothing on the place.
    #[must_use]
    pub const fn of(time: (u32, u32), aperture: (u32, u32), sensitivity: u16) -> Self {
        Self {
            time: Some(time),
            aperture: Some(aperture),
            sensitivity: Some(sensitivity),
            place: false,
        }
    }

    /// As Exif, in the order of bytes that begins with the least.
    ///
    /// Source: tags and layout of Exif 2.3 (CIPA DC-008), from memory: 0x829A time, 0x829D f-number, 0x8827 sensitivity,
    /// 0x8769 and 0x8825 the directories of the camera and of the place.
    fn exif(&self) -> Vec<u8> {
        const SHORT: u16 = 3;
        const LONG: u16 = 4;
        const RATIO: u16 = 5;
        const ASCII: u16 = 2;
        let head = 8;
        let first_tags = 1 + u32::from(self.place);
        // Directories first, then the fractions that do not fit into four bytes.
        let camera_at = head + 2 + first_tags * 12 + 4;
        let camera_tags = u32::from(self.time.is_some())
            + u32::from(self.aperture.is_some())
            + u32::from(self.sensitivity.is_some());
        let place_at = camera_at + 2 + camera_tags * 12 + 4;
        let place_length = if self.place { 2 + 2 * 12 + 4 } else { 0 };
        let mut next = place_at + place_length;
        let mut fractions = Vec::new();
        let mut fraction = |(over, under): (u32, u32)| {
            let at = next;
            next += 8;
            fractions.extend(over.to_le_bytes());
            fractions.extend(under.to_le_bytes());
            at.to_le_bytes()
        };
        let mut camera = Vec::new();
        if let Some(time) = self.time {
            camera.push(entry(0x829A, RATIO, 1, fraction(time)));
        }
        if let Some(aperture) = self.aperture {
            camera.push(entry(0x829D, RATIO, 1, fraction(aperture)));
        }
        if let Some(sensitivity) = self.sensitivity {
            let [low, high] = sensitivity.to_le_bytes();
            camera.push(entry(0x8827, SHORT, 1, [low, high, 0, 0]));
        }
        let mut first = vec![entry(0x8769, LONG, 1, camera_at.to_le_bytes())];
        let mut place = Vec::new();
        if self.place {
            first.push(entry(0x8825, LONG, 1, place_at.to_le_bytes()));
            let degrees = fraction((12, 1));
            fraction((0, 1));
            fraction((0, 1));
            place.push(entry(0x0001, ASCII, 2, *b"N\0\0\0"));
            place.push(entry(0x0002, RATIO, 3, degrees));
        }
        let mut bytes = b"II*\0".to_vec();
        bytes.extend(u32::to_le_bytes(head));
        bytes.extend(directory(&first));
        bytes.extend(directory(&camera));
        if self.place {
            bytes.extend(directory(&place));
        }
        bytes.extend(fractions);
        bytes
    }

    /// Puts the metadata into a JPEG, right after its first marker.
    fn put_into(&self, jpeg: &[u8]) -> Result<Vec<u8>> {
        ensure!(jpeg.starts_with(&[0xFF, 0xD8]), "the picture is no JPEG");
        let exif = self.exif();
        let length = u16::try_from(exif.len() + 8).context("more metadata than a JPEG takes")?;
        let mut bytes = vec![0xFF, 0xD8, 0xFF, 0xE1];
        bytes.extend(length.to_be_bytes());
        bytes.extend(b"Exif\0\0");
        bytes.extend(exif);
        bytes.extend(&jpeg[2..]);
        Ok(bytes)
    }
}

impl Page<'_> {
    /// Writes a photo as a camera does, and returns where it is. `paint` is JavaScript that paints 300 by 200 pixels with a
    /// `pen`, a 2D context.
    ///
    /// # Errors
    ///
    /// Fails where the browser cannot paint it or the file cannot be written.
    pub async fn photo(
        &self,
        folder: &Folder,
        name: &str,
        paint: &str,
        metadata: Option<Metadata>,
    ) -> Result<PathBuf> {
        let script = format!(
            "(async () => {{
                const canvas = new OffscreenCanvas(300, 200), pen = canvas.getContext('2d');
                {paint}
                const blob = await canvas.convertToBlob({{ type: 'image/jpeg', quality: 1 }});
                const bytes = new Uint8Array(await blob.arrayBuffer());
                return btoa(Array.from(bytes, byte => String.fromCharCode(byte)).join(''));
            }})()"
        );
        let painted = self.eval(&script).await?;
        let painted = BASE64_STANDARD.decode(painted.as_str().context("no picture")?)?;
        let bytes = match metadata {
            Some(metadata) => metadata.put_into(&painted)?,
            None => painted,
        };
        let path = folder.path().join(name);
        fs::write(&path, bytes)?;
        Ok(path)
    }

    /// Chooses a file on the disk in the field with this label, as the system's dialog does.
    ///
    /// # Errors
    ///
    /// Fails where there is no such field.
    pub async fn choose_file(&self, label: &str, file: &std::path::Path) -> Result<()> {
        let find = format!(
            "[...document.querySelectorAll('label')].find(label => label.innerText.trim() === {}).control",
            json!(label)
        );
        let found = self
            .devtools("Runtime.evaluate", json!({ "expression": find }))
            .await?;
        let object = found["result"]["objectId"]
            .as_str()
            .with_context(|| format!("no field is called {label:?}"))?;
        let parameters = json!({ "files": [file], "objectId": object });
        self.devtools("DOM.setFileInputFiles", parameters)
            .await
            .map(drop)
    }
}

impl Site {
    /// Opens the page on a device with a camera that sees one still picture; `grey` is the sRGB value at a place of 320 by 240.
    ///
    /// # Errors
    ///
    /// Fails where the film cannot be written or the page does not open.
    pub async fn open_with_camera(
        &self,
        folder: &Folder,
        screen: Screen,
        grey: impl Fn(u32, u32) -> u8,
    ) -> Result<Page<'_>> {
        self.open(Setup {
            arguments: FAKE_CAMERA,
            film: Some(camera_film(folder, grey)?),
            ..Setup::from(screen)
        })
        .await
    }
}

/// The browser's switches for a camera of its own making, which is allowed without a question.
pub const FAKE_CAMERA: &[&str] = &[
    "--use-fake-ui-for-media-stream",
    "--use-fake-device-for-media-stream",
];

/// Writes what a camera sees as a film of one still frame, 320 by 240. `grey` is the sRGB value at a place.
///
/// # Errors
///
/// Fails where the file cannot be written.
fn camera_film(folder: &Folder, grey: impl Fn(u32, u32) -> u8) -> Result<PathBuf> {
    // Of all forms of the header the browser takes this one alone; luma runs from 16 to 235, without colour.
    let mut bytes = b"YUV4MPEG2 W320 H240 F30:1 Ip A1:1 C420\n".to_vec();
    for _ in 0..2 {
        bytes.extend(b"FRAME\n");
        for y in 0..240 {
            for x in 0..320 {
                let luma = 16 + (u32::from(grey(x, y)) * 219 + 127) / 255;
                bytes.push(u8::try_from(luma).unwrap_or(235));
            }
        }
        bytes.extend([128; 2 * 160 * 120]);
    }
    let path = folder.path().join("camera.y4m");
    fs::write(&path, bytes)?;
    Ok(path)
}
