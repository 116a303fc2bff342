//! The live camera as a meter, on a slow processor: how many pictures a second the page has.

use ::tests::harness::{Folder, PHONE, Site};
use anyhow::{Context, Result};

use crate::{
    drive::{Pace, slow_processor},
    numbers::median,
};

/// Pictures of the page, and frames of the camera, in two seconds; each a second.
const COUNT: &str = "new Promise(done => {
    const video = document.querySelector('video');
    const frames = () => video.getVideoPlaybackQuality().totalVideoFrames - video.getVideoPlaybackQuality().droppedVideoFrames;
    const start = performance.now(), first = frames();
    let pictures = 0;
    const next = now => {
        pictures += 1;
        if (now - start < 2000) requestAnimationFrame(next);
        else done([pictures, frames() - first].map(count => count * 1000 / (now - start)));
    };
    requestAnimationFrame(next);
})";

/// What was found out, in pictures a second; one entry a round.
#[derive(Debug, Default)]
pub(crate) struct Meter {
    /// Of the page.
    pub(crate) pictures: Vec<f64>,
    /// Of the camera, of those that were shown.
    pub(crate) frames: Vec<f64>,
}

impl Meter {
    /// A line on it.
    pub(crate) fn words(&self) -> String {
        format!(
            "The live camera with a fourth of the processor: {:.0} pictures a second of the page (aim 20), {:.0} frames of the camera.",
            median(&self.pictures),
            median(&self.frames)
        )
    }
}

/// Looks through a camera of the browser's own, in a fresh browser each round.
pub(crate) async fn measure(rounds: usize) -> Result<Meter> {
    let mut meter = Meter::default();
    let folder = Folder::new("camera")?;
    for _ in 0..rounds {
        let site = Site::start().await?;
        let seen = |x, _| if x < 160 { 118 } else { 58 };
        let page = site.open_with_camera(&folder, PHONE, seen).await?;
        page.press_on("button", "Find the light").await?;
        let row = page
            .wait_for("there is a row for the camera", async || {
                let rows = page.find_all("button").await?;
                let mut rows = rows.into_iter();
                Ok(rows.find(|row| row.name().starts_with("Live camera ")))
            })
            .await?;
        row.tap().await?;
        page.press_on("button", "Start the camera").await?;
        page.reads("The ring: ").await?;
        slow_processor(&page, Pace::Slowed).await?;
        let counted = page.eval(COUNT).await?;
        for (found, value) in [
            (&mut meter.pictures, &counted[0]),
            (&mut meter.frames, &counted[1]),
        ] {
            found.push(value.as_f64().context("a number a second")?);
        }
    }
    Ok(meter)
}
