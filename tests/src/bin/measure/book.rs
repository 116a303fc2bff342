//! The film book with more full rolls than anybody has shot.

use ::tests::harness::{DESK, Page, Site, shelf};
use anyhow::{Context, Result};

use crate::numbers::median;

/// Rolls of 36 frames in the book.
const ROLLS: u32 = 5_000;

/// What was found out, in milliseconds.
#[derive(Debug, Default)]
pub(crate) struct Book {
    /// From the first step of the program until the cover is there; one entry a round.
    pub(crate) opens: Vec<f64>,
    /// What a press takes by itself; one entry a round.
    pub(crate) presses: Vec<f64>,
    /// From a press until the browser has said that the frame is stored; one entry a round.
    pub(crate) keeps: Vec<f64>,
}

impl Book {
    /// A line on it.
    pub(crate) fn words(&self) -> String {
        format!(
            "The film book with {ROLLS} full rolls opens in {:.0} ms (aim 300) and keeps a frame in {:.1} ms (aim 5), of which the press takes {:.1} ms.",
            median(&self.opens),
            median(&self.keeps),
            median(&self.presses)
        )
    }
}

/// Opens the book and logs frames, in a fresh browser each round.
pub(crate) async fn measure(rounds: usize) -> Result<Book> {
    let mut book = Book::default();
    for _ in 0..rounds {
        let site = Site::start().await?;
        let page = site.open(DESK).await?;
        open(&page).await?;
        page.press_on("button", "Add the invented example").await?;
        page.reads("The invented example is in the book").await?;
        shelf::many(&page, ROLLS).await?;
        page.reload().await?;
        open(&page).await?;
        page.press_on("button", "Open the log").await?;
        page.press_on("DisclosureTriangle", "A frame without a scene")
            .await?;
        let opened = page.eval(shelf::OPENED).await?;
        let kept = page.eval(shelf::KEPT).await?;
        for (found, value) in [
            (&mut book.opens, &opened),
            (&mut book.presses, &kept[0]),
            (&mut book.keeps, &kept[1]),
        ] {
            found.push(value.as_f64().context("a number of milliseconds")?);
        }
    }
    Ok(book)
}

async fn open(page: &Page<'_>) -> Result<()> {
    page.press_on("button", "Film book").await?;
    page.find("heading", "Film book").await.map(drop)
}
