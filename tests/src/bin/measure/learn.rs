//! The picture of the part that teaches while a dial is turned: how long each picture of the screen takes.

use ::tests::harness::{PHONE, Page, Site};
use anyhow::{Context, Result};

use crate::{
    drive::{Pace, slow_processor},
    numbers::{median, p99},
};

/// Milliseconds from one picture of the screen to the next, in each of which the dial of time goes on by a mark.
const TURN: &str = "new Promise(done => {
    const range = document.getElementById('learn-time-range'), last = Number(range.max), times = [];
    let at = Number(range.value), by = 1, before = null;
    const next = now => {
        if (before !== null) times.push(now - before);
        before = now;
        if (times.length >= 48) return done(times);
        if (at + by > last || at + by < last - 14) by = -by;
        at += by;
        range.value = String(at);
        range.dispatchEvent(new Event('input', { bubbles: true }));
        requestAnimationFrame(next);
    };
    requestAnimationFrame(next);
})";

/// The scenes that can be chosen.
const SCENES: &str =
    "[...document.getElementById('learn-scene').options].map(option => option.value)";

/// What was found out, in milliseconds from picture to picture; all rounds and scenes.
#[derive(Debug, Default)]
pub(crate) struct Learn {
    /// As the machine is.
    pub(crate) plain: Vec<f64>,
    /// With a fourth of the processor; a scene each.
    pub(crate) slowed: Vec<(String, Vec<f64>)>,
}

impl Learn {
    /// A line on it.
    pub(crate) fn words(&self) -> String {
        let scenes: Vec<String> = self
            .slowed
            .iter()
            .map(|(scene, times)| format!("{scene} {:.0} ({:.0})", median(times), p99(times)))
            .collect();
        format!(
            "A mark turned under its picture is drawn in {:.1} ms (99 of 100: {:.1}), aim 17. With a fourth of the processor, \
             aim 33: {}.",
            median(&self.plain),
            p99(&self.plain),
            scenes.join(", ")
        )
    }
}

async fn turned(page: &Page<'_>) -> Result<Vec<f64>> {
    let times = page.eval(TURN).await?;
    let times = times.as_array().context("no times")?;
    Ok(times.iter().filter_map(serde_json::Value::as_f64).collect())
}

/// Turns the dial under each scene, in a fresh browser each round.
pub(crate) async fn measure(rounds: usize) -> Result<Learn> {
    let mut learn = Learn::default();
    for _ in 0..rounds {
        let site = Site::start().await?;
        let page = site.open(PHONE).await?;
        page.open_part("Learn").await?;
        page.find("figure", "Picture").await?;
        let scenes = page.eval(SCENES).await?;
        learn.plain.extend(turned(&page).await?);
        slow_processor(&page, Pace::Slowed).await?;
        for (i, scene) in scenes.as_array().into_iter().flatten().enumerate() {
            let scene = scene.as_str().unwrap_or_default();
            let choose = format!(
                "(() => {{
                    const field = document.getElementById('learn-scene');
                    field.value = '{scene}';
                    field.dispatchEvent(new Event('change', {{ bubbles: true }}));
                }})()"
            );
            page.eval(&choose).await?;
            page.until_still().await?;
            let times = turned(&page).await?;
            match learn.slowed.get_mut(i) {
                Some((_, all)) => all.extend(times),
                None => learn.slowed.push((scene.to_owned(), times)),
            }
        }
    }
    Ok(learn)
}
